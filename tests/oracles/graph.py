"""Answers graph questions about harnesses with networkx, one JSON line in, one out.

Knows nothing of how the answers are found elsewhere: it takes nodes, branches and needs as data and
asks networkx for connectivity, bridges, biconnected components, descendants and ancestors.
"""

import json
import sys

import networkx as nx

START, END = "start", "end"


def admitted(need, branch, index):
    """Whether a need may use a branch, by the need's rule."""
    if "only" in need:
        return index == need["only"]
    if branch["kind"] not in need["kinds"]:
        return False
    if branch["a"] in need["barred"] or branch["b"] in need["barred"]:
        return False
    return branch["kind"] not in ("plug", "gap") or branch["plug"] == need["plug"]


def graph_of(need, branches, gone=frozenset()):
    """Every branch is a node of its own between its ends, so that parallel branches stay apart."""
    graph = nx.DiGraph()
    graph.add_nodes_from([START, END])
    for node in need["from"]:
        graph.add_edge(START, node)
    for node in need["to"]:
        graph.add_edge(node, END)
    for index, branch in enumerate(branches):
        if index in gone or not admitted(need, branch, index):
            continue
        middle = ("branch", index)
        graph.add_edge(branch["a"], middle)
        graph.add_edge(middle, branch["b"])
        if branch["kind"] != "signal":
            graph.add_edge(branch["b"], middle)
            graph.add_edge(middle, branch["a"])
    return graph


def branches_in(nodes):
    return {node[1] for node in nodes if isinstance(node, tuple)}


def on_any_path(graph):
    """Branches on a path from start to end that visits no node twice."""
    inside = (nx.descendants(graph, START) | {START}) & (nx.ancestors(graph, END) | {END})
    ring = nx.Graph(graph.subgraph(inside))
    ring.add_edge(START, END)
    for component in nx.biconnected_components(ring):
        if START in component and END in component:
            return branches_in(component)
    raise AssertionError("start and end are joined, so one component holds both")


def needed(graph, directed):
    """Branches without which start and end are apart."""
    path = nx.shortest_path(graph, START, END)
    if not directed:
        bridges = set(nx.bridges(nx.Graph(graph)))
        bridges |= {(b, a) for a, b in bridges}
        return branches_in(
            node
            for a, b in zip(path, path[1:])
            if (a, b) in bridges
            for node in (a, b)
            if isinstance(node, tuple)
        )
    found = set()
    for node in path:
        if isinstance(node, tuple):
            rest = graph.copy()
            rest.remove_node(node)
            if not nx.has_path(rest, START, END):
                found.add(node[1])
    return found


class Harness:
    def __init__(self, given):
        self.branches = given["branches"]
        self.needs = given["needs"]
        self.relays = given["relays"]
        self.units = given["units"]
        self.cylinders = given["cylinders"]
        self.elements = given["elements"]
        self.of_element = {}
        for index, branch in enumerate(self.branches):
            if branch["element"] is not None:
                self.of_element.setdefault(branch["element"], set()).add(index)
        self.graphs = [graph_of(need, self.branches) for need in self.needs]
        self.shown = [nx.has_path(graph, START, END) for graph in self.graphs]
        directed = ["signal" in need.get("kinds", ()) for need in self.needs]
        self.on = [
            on_any_path(graph) if shown else set()
            for graph, shown in zip(self.graphs, self.shown)
        ]
        # A path that visits no node twice stays within these parts of the graphs.
        self.parts = [
            graph.subgraph(
                {START, END}
                | {("branch", index) for index in on}
                | {self.branches[index][end] for index in on for end in "ab"}
            ).copy()
            for graph, on in zip(self.graphs, self.on)
        ]
        self.cuts = [
            needed(graph, way) if shown else set()
            for graph, way, shown in zip(self.graphs, directed, self.shown)
        ]

    def lost(self, need, gone):
        if not self.shown[need]:
            return not gone.isdisjoint(self.needs[need]["stub"])
        hit = gone & self.on[need]
        if hit & self.cuts[need]:
            return True
        if len(hit) < 2:
            return False
        rest = self.parts[need].copy()
        rest.remove_nodes_from([("branch", index) for index in hit])
        return not nx.has_path(rest, START, END)

    def returns_past(self, need, strap, gone):
        """Whether a coil's return still reaches the battery past an engine without its strap."""
        if not self.needs[need]["return"]:
            return False
        rest = self.graphs[need].copy()
        rest.remove_nodes_from([("branch", index) for index in gone] + [END])
        ends = [node for node in self.needs[strap]["to"] if node in rest]
        return any(nx.has_path(rest, START, node) for node in ends)

    def separated(self, elements):
        """Cylinders without spark, and cylinders without fuel, when the elements are open."""
        gone = set()
        for element in elements:
            gone |= self.of_element.get(element, set())
        dropped, off = set(), set()
        while True:
            before = len(dropped) + len(off)
            closed = frozenset(gone)
            for unit in self.units:
                if unit["part"] not in off and any(self.lost(n, closed) for n in unit["needs"]):
                    off.add(unit["part"])
                    gone |= set(unit["switches"])
            for relay in self.relays:
                if relay["part"] not in dropped and any(
                    self.lost(n, closed) for n in relay["needs"]
                ):
                    dropped.add(relay["part"])
                    gone |= self.of_element.get(relay["contact"], set())
            if len(dropped) + len(off) == before:
                break
        gone = frozenset(gone)
        lost = {n for n in range(len(self.needs)) if self.lost(n, gone)}
        dead, starved = [], []
        for cylinder in self.cylinders:
            fires = []
            for chain in cylinder["chains"]:
                straps = [
                    n for n in chain["doubts"] if n in lost and self.needs[n]["engine_ground"]
                ]
                hard = [
                    n
                    for n in chain["needs"]
                    if n in lost and not any(self.returns_past(n, s, gone) for s in straps)
                ]
                fires.append(not hard)
            if fires and not any(fires):
                dead.append(cylinder["number"])
            elif any(n in lost for n in cylinder["fuel"]):
                starved.append(cylinder["number"])
        return [dead, starved]

    def trails(self):
        """For each cylinder the elements on its way to a spark, through relays and units too."""
        found = {}
        for cylinder in self.cylinders:
            web = nx.DiGraph(self.helpers)
            root = "cylinder"
            web.add_node(root)
            for chain in cylinder["chains"]:
                for n in chain["needs"] + chain["doubts"]:
                    if not self.needs[n]["engine_ground"]:
                        web.add_edge(root, n)
            wanted = nx.descendants(web, root)
            found[cylinder["number"]] = set().union(*(self.elements_on(n) for n in wanted))
        return found

    def elements_on(self, need):
        on = self.on[need] if self.shown[need] else self.needs[need]["stub"]
        return {self.branches[index]["element"] for index in on} - {None}

    def find_helpers(self):
        """From each need to those of the relays and units that stand in its way."""
        self.helpers = []
        for need, on in enumerate(self.on):
            if not self.shown[need]:
                on = set(self.needs[need]["stub"])
            for relay in self.relays:
                if on & self.of_element.get(relay["contact"], set()):
                    self.helpers += [(need, other) for other in relay["needs"]]
            for unit in self.units:
                if on & set(unit["switches"]):
                    self.helpers += [(need, other) for other in unit["needs"]]

    def groups(self, kind):
        """Elements gathered by the cylinders for whom they carry this kind of need."""
        carried = {}
        for cylinder in self.cylinders:
            for chain in cylinder["chains"]:
                for n in chain["needs"]:
                    if self.needs[n]["kind"] == kind:
                        for element in self.elements_on(n):
                            carried.setdefault(element, set()).add(cylinder["number"])
        gathered = {}
        for element, cylinders in carried.items():
            gathered.setdefault(tuple(sorted(cylinders)), []).append(element)
        return sorted(
            [list(cylinders), sorted(elements)]
            for cylinders, elements in gathered.items()
            if len(cylinders) > 1
        )

    def answer(self, pairs):
        self.find_helpers()
        trails = self.trails()

        def named(indices):
            return sorted({self.branches[i]["element"] for i in indices} - {None})

        return {
            "shown": self.shown,
            "cuts": [named(cuts) for cuts in self.cuts],
            "on": [named(on) for on in self.on],
            "alone": [self.separated([element]) for element in range(self.elements)],
            "pairs": [self.separated(pair) for pair in pairs],
            "users": [
                [cylinder for cylinder, trail in trails.items() if element in trail]
                for element in range(self.elements)
            ],
            "feeds": self.groups("feed"),
            "grounds": self.groups("driver-ground"),
        }


for line in sys.stdin:
    given = json.loads(line)
    print(json.dumps(Harness(given).answer(given["pairs"])), flush=True)
