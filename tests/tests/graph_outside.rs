//! Graph answers against networkx: what is needed, what lies on the way, what a cut separates, what is shared.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;

use serde_json::{Value, json};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::random::{Dice, Tidiness, random_harness_of};
use sparktrail_core::model::{Element, Harness, file};
use sparktrail_core::topology::{
    Branch, BranchKind, Chain, NeedKind, NeedState, Node, SharedBy, Through, Topology,
};
use sparktrail_tests::{outside, place};

/// Half of them finished maps, half unfinished.
const RANDOM: u64 = 500;
const CYLINDERS: u8 = 5;
const PAIRS: usize = 12;

struct Asked {
    name: String,
    topology: Topology,
    elements: Vec<Element>,
    pairs: Vec<[usize; 2]>,
}

impl Asked {
    fn new(name: String, harness: &Harness, seed: u64) -> Self {
        let topology = Topology::of(harness);
        let elements = topology.elements().to_vec();
        let mut dice = Dice::new(seed);
        let pairs = (0..PAIRS)
            .map(|_| [dice.below(elements.len()), dice.below(elements.len())])
            .collect();
        Self {
            name,
            topology,
            elements,
            pairs,
        }
    }

    fn number(&self, element: Element) -> usize {
        self.elements.binary_search(&element).unwrap()
    }

    fn numbers(&self, elements: impl IntoIterator<Item = Element>) -> Vec<usize> {
        let set: BTreeSet<usize> = elements.into_iter().map(|e| self.number(e)).collect();
        set.into_iter().collect()
    }

    fn node(&self, node: Node) -> usize {
        self.topology.network().nodes.binary_search(&node).unwrap()
    }

    /// Nodes, branches and needs, with the rule of each need spelt out once more for the oracle.
    fn exported(&self) -> Value {
        let network = self.topology.network();
        let branches: Vec<Value> = network
            .branches
            .iter()
            .map(|branch| {
                json!({
                    "a": self.node(branch.a),
                    "b": self.node(branch.b),
                    "kind": kind(branch),
                    "plug": plug(branch),
                    "element": branch.element.map(|element| self.number(element)),
                })
            })
            .collect();
        let needs: Vec<Value> = (0..self.topology.needs().len())
            .map(|need| self.need(need))
            .collect();
        let relays: Vec<Value> = self
            .topology
            .winding_needs()
            .map(|(relay, needs)| {
                let contact = self.number(Element::Contact(relay));
                json!({ "part": relay.number(), "needs": needs, "contact": contact })
            })
            .collect();
        let units: Vec<Value> = self
            .topology
            .unit_needs()
            .map(|(unit, needs)| {
                let switches: Vec<usize> = (0..network.branches.len())
                    .filter(|&index| {
                        let branch = network.branches.get(index).unwrap();
                        branch.kind == BranchKind::RelaySwitch && branch.b == Node::GroundRail(unit)
                    })
                    .collect();
                json!({ "part": unit.number(), "needs": needs, "switches": switches })
            })
            .collect();
        let chain = |chain: &Chain| json!({ "needs": chain.needs, "doubts": chain.doubts });
        let cylinders: Vec<Value> = self
            .topology
            .cylinders()
            .iter()
            .map(|(cylinder, needs)| {
                let chains: Vec<Value> = needs.chains.iter().map(chain).collect();
                json!({ "number": cylinder.0, "chains": chains, "fuel": needs.fuel })
            })
            .collect();
        json!({
            "branches": branches,
            "needs": needs,
            "relays": relays,
            "units": units,
            "cylinders": cylinders,
            "elements": self.elements.len(),
            "pairs": self.pairs,
        })
    }

    fn need(&self, index: usize) -> Value {
        let need = self.topology.needs().get(index).unwrap();
        // An end at which nothing conducts is no node of the network.
        let all = &self.topology.network().nodes;
        let ends = |nodes: &[Node]| -> Vec<usize> {
            nodes
                .iter()
                .filter_map(|node| all.binary_search(node).ok())
                .collect()
        };
        let mut told = json!({
            "kind": need.kind.code(),
            "engine_ground": need.kind == NeedKind::EngineGround,
            "return": matches!(need.kind, NeedKind::Return(_)),
            "from": ends(&need.from),
            "to": ends(&need.to),
            "barred": [],
            "plug": null,
            "stub": [],
        });
        let fields = told.as_object_mut().unwrap();
        let power = ["conductor", "key", "relay"];
        let mut kinds: Vec<&str> = Vec::new();
        let mut open_unit = None;
        match need.through {
            Through::Branch(only) => {
                fields.insert("only".into(), only.into());
            }
            Through::Power(unit) => {
                kinds.extend(power);
                open_unit = Some(unit);
            }
            Through::RelayReturn => {
                kinds.extend(power.into_iter().chain(["relay-switch"]));
                open_unit = Some(None);
            }
            Through::SparkReturn => {
                kinds.extend(power.into_iter().chain(["source"]));
                open_unit = Some(None);
            }
            Through::Conductors => kinds.push("conductor"),
            Through::Signals => kinds.extend(["conductor", "signal"]),
            Through::HighVoltage(plug) => {
                kinds.extend(["lead", "rotor", "cap-gap", "plug", "gap"]);
                fields.insert("plug".into(), plug.number().into());
            }
        }
        if let Some(open) = open_unit {
            let barred: Vec<usize> = self
                .topology
                .network()
                .nodes
                .iter()
                .enumerate()
                .filter(|(_, node)| matches!(node, Node::SupplyIn(part) if Some(*part) != open))
                .map(|(index, _)| index)
                .collect();
            fields.insert("barred".into(), barred.into());
        }
        fields.insert("kinds".into(), kinds.into());
        if need.state != NeedState::Shown {
            let stub = self.topology.branches_needed_by(index);
            fields.insert("stub".into(), stub.into());
        }
        told
    }

    fn compare(&self, answer: &Value) {
        let name = &self.name;
        let topology = &self.topology;
        for (index, need) in topology.needs().iter().enumerate() {
            let shown = answer["shown"][index].as_bool().unwrap();
            assert_eq!(need.state == NeedState::Shown, shown, "{name}: {need:?}");
            if shown {
                let cuts = self.numbers(topology.needed_by(index));
                assert_eq!(
                    json!(cuts),
                    answer["cuts"][index],
                    "{name}: cuts of {need:?}"
                );
                let on = self.numbers(topology.on_path_of(index));
                assert_eq!(json!(on), answer["on"][index], "{name}: path of {need:?}");
            }
        }
        for (index, &element) in self.elements.iter().enumerate() {
            let alone = self.separated(&[element]);
            assert_eq!(alone, answer["alone"][index], "{name}: without {element:?}");
            assert_eq!(
                json!(numbers(topology.dependents(element))),
                alone[0],
                "{name}: dependents of {element:?}"
            );
            if !topology.branches_of(element).is_empty() {
                let users = numbers(topology.users(element).0);
                assert_eq!(
                    json!(users),
                    answer["users"][index],
                    "{name}: trails over {element:?}"
                );
            }
        }
        for (pair, expected) in self.pairs.iter().zip(answer["pairs"].as_array().unwrap()) {
            let open = pair.map(|index| *self.elements.get(index).unwrap());
            assert_eq!(&self.separated(&open), expected, "{name}: without {open:?}");
        }
        for (what, field) in [("feed", "feeds"), ("ground", "grounds")] {
            let mut groups: Vec<Value> = topology
                .sharing()
                .iter()
                .filter_map(|group| {
                    let (SharedBy::Feed(elements) | SharedBy::Ground(elements)) = &group.by else {
                        return None;
                    };
                    let cylinders = numbers(group.cylinders.iter().copied());
                    let elements = self.numbers(elements.iter().copied());
                    (group.by.code() == what).then(|| json!([cylinders, elements]))
                })
                .collect();
            let mut expected = answer[field].as_array().unwrap().clone();
            groups.sort_by_key(Value::to_string);
            expected.sort_by_key(Value::to_string);
            assert_eq!(groups, expected, "{name}: shared {what}");
        }
    }

    fn separated(&self, open: &[Element]) -> Value {
        let separation = self.topology.separates(open);
        json!([numbers(separation.dead()), numbers(separation.starved())])
    }
}

fn numbers(cylinders: impl IntoIterator<Item = CylinderId>) -> Vec<u8> {
    cylinders.into_iter().map(|cylinder| cylinder.0).collect()
}

const fn kind(branch: &Branch) -> &'static str {
    match branch.kind {
        BranchKind::Source => "source",
        BranchKind::Conductor => "conductor",
        BranchKind::KeyContact => "key",
        BranchKind::RelayContact => "relay",
        BranchKind::RelayWinding => "winding",
        BranchKind::UnitLoad => "load",
        BranchKind::Primary => "primary",
        BranchKind::Secondary => "secondary",
        BranchKind::Switch => "switch",
        BranchKind::RelaySwitch => "relay-switch",
        BranchKind::InjectorWinding => "injector",
        BranchKind::Rotor => "rotor",
        BranchKind::CapGap(_) => "cap-gap",
        BranchKind::Lead => "lead",
        BranchKind::PlugResistor => "plug",
        BranchKind::Gap => "gap",
        BranchKind::Signal => "signal",
    }
}

/// The plug that a branch belongs to.
const fn plug(branch: &Branch) -> Option<u32> {
    match (branch.kind, branch.a, branch.b) {
        (BranchKind::PlugResistor, _, Node::Electrode(plug))
        | (BranchKind::Gap, Node::Electrode(plug), _) => Some(plug.number()),
        _ => None,
    }
}

/// Asks networkx the same questions and compares the answers. `None` where there is no Python.
fn agrees(asked: &[Asked]) -> Option<()> {
    let lines: Vec<String> = asked.iter().map(|one| one.exported().to_string()).collect();
    let answers = outside::python_file_says("oracles/graph.py", &lines.join("\n"))?;
    let answers: Vec<&str> = answers.lines().collect();
    assert_eq!(answers.len(), asked.len());
    for (one, answer) in asked.iter().zip(answers) {
        one.compare(&serde_json::from_str(answer).unwrap());
    }
    // The questions were worth asking: some elements kill one cylinder, some several, some none.
    let crews: BTreeSet<usize> = asked
        .iter()
        .flat_map(|one| {
            one.elements
                .iter()
                .map(|&e| one.topology.dependents(e).len())
        })
        .collect();
    assert!(
        crews.contains(&0) && crews.contains(&1) && crews.len() > 4,
        "{crews:?}"
    );
    Some(())
}

fn random(tidiness: Tidiness) -> Vec<Asked> {
    (0..RANDOM / 2)
        .map(|seed| {
            let harness = random_harness_of(seed, CYLINDERS, tidiness);
            Asked::new(
                format!("{tidiness:?} random harness {seed}"),
                &harness,
                seed,
            )
        })
        .collect()
}

/// Source: networkx 3.6.1.
#[test]
fn samples_agree_with_networkx() {
    let asked: Vec<Asked> = place::samples()
        .unwrap()
        .iter()
        .map(|path| {
            let harness = file::read(&fs::read_to_string(path).unwrap()).unwrap();
            Asked::new(path.display().to_string(), &harness, 1)
        })
        .collect();
    assert!(asked.len() >= 10, "only {} samples", asked.len());
    agrees(&asked);
}

/// Source: networkx 3.6.1.
#[test]
fn finished_random_harnesses_agree_with_networkx() {
    agrees(&random(Tidiness::Finished));
}

/// Source: networkx 3.6.1.
#[test]
fn unfinished_random_harnesses_agree_with_networkx() {
    agrees(&random(Tidiness::Unfinished));
}
