//! Paths in the network: what reaches what, which branches every path needs, which lie on some path.

use std::collections::VecDeque;

use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;

use super::need::Through;
use super::{Branch, BranchKind, Network, Node};

/// A set of branches, by their index in the network.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct BranchSet(Vec<u64>);

impl BranchSet {
    pub(super) fn of(branches: impl IntoIterator<Item = usize>) -> Self {
        let mut set = Self::default();
        for branch in branches {
            set.insert(branch);
        }
        set
    }

    pub(super) fn insert(&mut self, branch: usize) {
        let word = branch / 64;
        if self.0.len() <= word {
            self.0.resize(word + 1, 0);
        }
        if let Some(bits) = self.0.get_mut(word) {
            *bits |= 1 << (branch % 64);
        }
    }

    pub(super) fn contains(&self, branch: usize) -> bool {
        self.0
            .get(branch / 64)
            .is_some_and(|bits| bits >> (branch % 64) & 1 == 1)
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(word, &bits)| {
            let mut left = bits;
            std::iter::from_fn(move || {
                if left == 0 {
                    return None;
                }
                let bit = left.trailing_zeros();
                left &= left - 1;
                Some(word * 64 + usize::try_from(bit).unwrap_or_default())
            })
        })
    }
}

/// The network as a graph. The index of a node or edge is that of the network's node or branch.
#[derive(Debug, Clone)]
pub(super) struct Wiring {
    graph: UnGraph<(), ()>,
    branches: Vec<Branch>,
    nodes: Vec<Node>,
    /// Whether each branch's first end is the edge's source: a signal runs that way only.
    ends: Vec<(usize, usize)>,
}

/// From where to where, and through what.
#[derive(Debug, Clone, Copy)]
pub(super) struct Route<'a> {
    pub(super) from: &'a [usize],
    pub(super) to: &'a [usize],
    pub(super) through: Through,
}

impl Wiring {
    pub(super) fn of(network: &Network) -> Self {
        let mut graph = UnGraph::with_capacity(network.nodes.len(), network.branches.len());
        for _ in &network.nodes {
            graph.add_node(());
        }
        let index = |node: Node| network.nodes.binary_search(&node).unwrap_or_default();
        let mut ends = Vec::with_capacity(network.branches.len());
        for branch in &network.branches {
            let (a, b) = (index(branch.a), index(branch.b));
            graph.add_edge(NodeIndex::new(a), NodeIndex::new(b), ());
            ends.push((a, b));
        }
        Self {
            graph,
            branches: network.branches.clone(),
            nodes: network.nodes.clone(),
            ends,
        }
    }

    pub(super) fn index(&self, node: Node) -> Option<usize> {
        self.nodes.binary_search(&node).ok()
    }

    pub(super) fn indices(&self, nodes: &[Node]) -> Vec<usize> {
        nodes.iter().filter_map(|&node| self.index(node)).collect()
    }

    pub(super) fn branch(&self, index: usize) -> Option<&Branch> {
        self.branches.get(index)
    }

    /// The branches at a node that `through` admits, each with its far end, whichever way they run.
    fn around(&self, node: usize, through: Through) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.graph
            .edges(NodeIndex::new(node))
            .map(|edge| (edge.id().index(), edge.target().index()))
            .filter(move |(branch, _)| {
                self.branches
                    .get(*branch)
                    .is_some_and(|b| through.admits(*branch, b))
            })
    }

    /// Whether a branch may be walked from `node` to its other end, or the other way for `Way::Back`.
    fn walks(&self, branch: usize, node: usize, way: Way) -> bool {
        let signal = self
            .branches
            .get(branch)
            .is_some_and(|b| b.kind == BranchKind::Signal);
        let Some(&(a, b)) = self.ends.get(branch) else {
            return false;
        };
        !signal
            || match way {
                Way::On => a == node,
                Way::Back => b == node,
            }
    }

    /// The nodes that can be reached, in the direction of signals or against it.
    pub(super) fn reach(
        &self,
        from: &[usize],
        through: Through,
        without: &BranchSet,
        way: Way,
    ) -> Vec<bool> {
        let mut seen = vec![false; self.nodes.len()];
        let mut open: Vec<usize> = Vec::new();
        for &node in from {
            if let Some(mark) = seen.get_mut(node) {
                *mark = true;
                open.push(node);
            }
        }
        while let Some(node) = open.pop() {
            for (branch, next) in self.around(node, through) {
                if without.contains(branch) || !self.walks(branch, node, way) {
                    continue;
                }
                if let Some(mark) = seen.get_mut(next)
                    && !*mark
                {
                    *mark = true;
                    open.push(next);
                }
            }
        }
        seen
    }

    /// Whether the route holds without these branches.
    pub(super) fn holds(&self, route: Route<'_>, without: &BranchSet) -> bool {
        let seen = self.reach(route.from, route.through, without, Way::On);
        route.to.iter().any(|&node| seen.get(node) == Some(&true))
    }

    /// One shortest path, as branches with the node that each leads to.
    fn path(&self, route: Route<'_>) -> Option<(usize, Vec<(usize, usize)>)> {
        let mut came: Vec<Option<(usize, usize)>> = vec![None; self.nodes.len()];
        let mut seen = vec![false; self.nodes.len()];
        let mut open: VecDeque<usize> = route.from.iter().copied().collect();
        for &node in route.from {
            *seen.get_mut(node)? = true;
        }
        while let Some(node) = open.pop_front() {
            if route.to.contains(&node) {
                let mut steps = Vec::new();
                let mut at = node;
                while let Some(&Some((branch, before))) = came.get(at) {
                    steps.push((branch, at));
                    at = before;
                }
                steps.reverse();
                return Some((at, steps));
            }
            for (branch, next) in self.around(node, route.through) {
                if seen.get(next) == Some(&false) && self.walks(branch, node, Way::On) {
                    *seen.get_mut(next)? = true;
                    *came.get_mut(next)? = Some((branch, node));
                    open.push_back(next);
                }
            }
        }
        None
    }

    /// The branches that every path of the route needs, from its start on, and those that lie on any
    /// path. `None` when there is no path.
    pub(super) fn paths(&self, route: Route<'_>) -> Option<(Vec<usize>, BranchSet)> {
        if let Through::Branch(only) = route.through {
            return Some((vec![only], BranchSet::of([only])));
        }
        let (needed, length) = self.needed(route)?;
        let on = if needed.len() == length && route.from.len() == 1 && route.to.len() == 1 {
            // Every branch of one path is needed, and there is one start and one end: no other path.
            BranchSet::of(needed.iter().copied())
        } else {
            self.between(route)
        };
        Some((needed, on))
    }

    /// The branches that every path of the route needs, from its start on, and how many branches one
    /// shortest path has. `None` when there is no path.
    ///
    /// One path is walked; a branch of it is needed when what can be reached before it, without the
    /// rest of the path, never comes back to the path beyond it. One pass over the graph.
    fn needed(&self, route: Route<'_>) -> Option<(Vec<usize>, usize)> {
        let (start, path) = self.path(route)?;
        let last = path.len();
        let mut place = vec![None; self.nodes.len()];
        *place.get_mut(start)? = Some(0);
        for (step, &(_, node)) in path.iter().enumerate() {
            *place.get_mut(node)? = Some(step + 1);
        }
        for &node in route.to {
            *place.get_mut(node)? = Some(last);
        }
        let on_path = BranchSet::of(path.iter().map(|&(branch, _)| branch));
        let mut seen = vec![false; self.nodes.len()];
        let mut open: Vec<usize> = route.from.to_vec();
        for &node in route.from {
            *seen.get_mut(node)? = true;
        }
        let mut needed = Vec::new();
        let mut here = 0;
        while here < last {
            let mut far = here;
            while let Some(node) = open.pop() {
                if let Some(&Some(step)) = place.get(node) {
                    far = far.max(step);
                }
                for (branch, next) in self.around(node, route.through) {
                    if !on_path.contains(branch)
                        && seen.get(next) == Some(&false)
                        && self.walks(branch, node, Way::On)
                    {
                        *seen.get_mut(next)? = true;
                        open.push(next);
                    }
                }
            }
            let next = if far == here {
                needed.push(path.get(here)?.0);
                here + 1
            } else {
                far
            };
            for &(_, node) in path.get(here..next)? {
                if seen.get(node) == Some(&false) {
                    *seen.get_mut(node)? = true;
                    open.push(node);
                }
            }
            here = next;
        }
        Some((needed, last))
    }

    /// The branches that lie on at least one path of the route that visits no node twice.
    ///
    /// They are those in one biconnected component with an edge drawn from the end to the start; for
    /// signals, of what the start reaches and what reaches the end.
    ///
    /// # Source
    /// Hopcroft and Tarjan 1973, "Efficient algorithms for graph manipulation", doi:10.1145/362248.362272.
    fn between(&self, route: Route<'_>) -> BranchSet {
        let nothing = BranchSet::default();
        let before = self.reach(route.from, route.through, &nothing, Way::On);
        let after = self.reach(route.to, route.through, &nothing, Way::Back);
        let inside =
            |node: usize| before.get(node) == Some(&true) && after.get(node) == Some(&true);
        if !route.to.iter().any(|&node| inside(node)) {
            return nothing;
        }
        let (start, end) = (self.nodes.len(), self.nodes.len() + 1);
        // Edges that are drawn in addition, numbered after the branches.
        let drawn: Vec<(usize, usize)> = route
            .from
            .iter()
            .map(|&node| (start, node))
            .chain(route.to.iter().map(|&node| (node, end)))
            .collect();
        let neighbours = |node: usize| -> Vec<(usize, usize)> {
            let mut found: Vec<(usize, usize)> = if node < start {
                self.around(node, route.through)
                    .filter(|&(_, next)| inside(next))
                    .collect()
            } else {
                Vec::new()
            };
            for (number, &(a, b)) in drawn.iter().enumerate() {
                let edge = self.branches.len() + number;
                if a == node {
                    found.push((edge, b));
                } else if b == node {
                    found.push((edge, a));
                }
            }
            found
        };
        let mut order = vec![usize::MAX; end + 1];
        let mut low = vec![usize::MAX; end + 1];
        let mut count = 0;
        let mut number = |node: usize, order: &mut [usize], low: &mut [usize]| {
            if let (Some(o), Some(l)) = (order.get_mut(node), low.get_mut(node)) {
                *o = count;
                *l = count;
            }
            count += 1;
        };
        number(end, &mut order, &mut low);
        number(start, &mut order, &mut low);
        let mut edges: Vec<usize> = Vec::new();
        let mut frames = vec![Frame {
            node: start,
            by: usize::MAX,
            around: neighbours(start),
            next: 0,
            edges: 0,
        }];
        while let Some(frame) = frames.last_mut() {
            if let Some(&(edge, next)) = frame.around.get(frame.next) {
                frame.next += 1;
                let node = frame.node;
                if edge == frame.by {
                    continue;
                }
                let (Some(&here), Some(&there)) = (order.get(node), order.get(next)) else {
                    continue;
                };
                if there == usize::MAX {
                    number(next, &mut order, &mut low);
                    let before = edges.len();
                    edges.push(edge);
                    frames.push(Frame {
                        node: next,
                        by: edge,
                        around: neighbours(next),
                        next: 0,
                        edges: before,
                    });
                } else if there < here {
                    edges.push(edge);
                    if let Some(l) = low.get_mut(node) {
                        *l = (*l).min(there);
                    }
                }
            } else if let Some(done) = frames.pop()
                && let Some(parent) = frames.last()
            {
                let lowest = low.get(done.node).copied().unwrap_or_default();
                if let Some(l) = low.get_mut(parent.node) {
                    *l = (*l).min(lowest);
                }
                if order.get(parent.node).is_some_and(|&o| lowest >= o) {
                    edges.truncate(done.edges);
                }
            }
        }
        BranchSet::of(edges.into_iter().filter(|&edge| edge < self.branches.len()))
    }

    /// The branches that any continuation from `from` must begin with: walked as long as there is
    /// only one way on.
    pub(super) fn only_way(&self, from: usize, through: Through, way: Way) -> Vec<usize> {
        let mut found: Vec<usize> = Vec::new();
        let mut node = from;
        loop {
            let on: Vec<(usize, usize)> = self
                .around(node, through)
                .filter(|&(branch, _)| !found.contains(&branch) && self.walks(branch, node, way))
                .collect();
            let &[(branch, next)] = on.as_slice() else {
                return found;
            };
            found.push(branch);
            node = next;
        }
    }
}

/// A node on the way of a depth-first walk.
struct Frame {
    node: usize,
    /// The edge it was entered by.
    by: usize,
    around: Vec<(usize, usize)>,
    /// The next of its neighbours to look at.
    next: usize,
    /// How many edges were gathered before it was entered.
    edges: usize,
}

/// With the signals or against them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// From where a signal comes to where it goes.
    On,
    /// The other way.
    Back,
}
