//! Terminals that wires and closed contacts join with nothing between.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::model::{GroundSite, Harness, PartKind, Port, Side, Terminal, WireId};

/// A way from one terminal to a neighbour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// Along a wire.
    Wire(WireId),
    /// Through a contact, or through the metal of the engine or body.
    Inside,
}

/// Which terminals are joined when every contact is closed and every plug is in.
pub(super) struct Joined {
    ways: BTreeMap<Terminal, Vec<(Terminal, Way)>>,
    group: BTreeMap<Terminal, usize>,
}

impl Joined {
    pub(super) fn of(harness: &Harness) -> Self {
        let mut ways: BTreeMap<Terminal, Vec<(Terminal, Way)>> = BTreeMap::new();
        let mut join = |a: Terminal, b: Terminal, way: Way| {
            ways.entry(a).or_default().push((b, way));
            ways.entry(b).or_default().push((a, way));
        };
        for (&id, wire) in &harness.wires {
            if let (Some(from), Some(to)) = (wire.from, wire.to) {
                join(from.value, to.value, Way::Wire(id));
            }
        }
        let mut metal: [Option<Terminal>; 2] = [None; 2];
        for (&part, found) in &harness.parts {
            let at = |port| Terminal { part, port };
            match &found.kind {
                PartKind::Fuse(_) | PartKind::KeySwitch => {
                    join(at(Port::In), at(Port::Out), Way::Inside);
                }
                PartKind::Relay(_) => join(at(Port::ContactIn), at(Port::ContactOut), Way::Inside),
                PartKind::Connector(connector) => {
                    for cavity in &connector.cavities {
                        join(
                            at(Port::Cavity(cavity.id, Side::A)),
                            at(Port::Cavity(cavity.id, Side::B)),
                            Way::Inside,
                        );
                    }
                }
                PartKind::Ground(site) => {
                    let [engine, body] = &mut metal;
                    let first = match site {
                        GroundSite::Engine => engine,
                        GroundSite::Body => body,
                    };
                    let here = at(Port::Joint);
                    match first {
                        Some(other) => join(*other, here, Way::Inside),
                        None => *first = Some(here),
                    }
                }
                PartKind::Battery(_)
                | PartKind::Splice
                | PartKind::ControlUnit(_)
                | PartKind::Coil(_)
                | PartKind::Pack
                | PartKind::Distributor(_)
                | PartKind::Lead(_)
                | PartKind::Plug(_)
                | PartKind::Injector(_) => {}
            }
        }
        let mut group = BTreeMap::new();
        for (number, start) in ways.keys().enumerate() {
            if group.contains_key(start) {
                continue;
            }
            let mut open = vec![*start];
            while let Some(here) = open.pop() {
                if group.insert(here, number).is_none() {
                    open.extend(ways.get(&here).into_iter().flatten().map(|(next, _)| *next));
                }
            }
        }
        Self { ways, group }
    }

    /// Whether the two are joined; a terminal is joined to itself.
    pub(super) fn are(&self, a: Terminal, b: Terminal) -> bool {
        a == b
            || self
                .group
                .get(&a)
                .is_some_and(|g| Some(g) == self.group.get(&b))
    }

    /// Whether a wire ends at this terminal.
    pub(super) fn is_wired(&self, terminal: Terminal) -> bool {
        self.ways.get(&terminal).is_some_and(|ways| {
            ways.iter().any(|(_, way)| match way {
                Way::Wire(_) => true,
                Way::Inside => false,
            })
        })
    }

    /// The wires on the shortest way from one terminal to another, or `None` where there is no way.
    pub(super) fn wires_between(&self, from: Terminal, to: Terminal) -> Option<Vec<WireId>> {
        let mut seen = BTreeSet::from([from]);
        let mut open = VecDeque::from([(from, Vec::new())]);
        while let Some((here, wires)) = open.pop_front() {
            if here == to {
                return Some(wires);
            }
            for (next, way) in self.ways.get(&here).into_iter().flatten() {
                if seen.insert(*next) {
                    let mut wires = wires.clone();
                    match way {
                        Way::Wire(id) => wires.push(*id),
                        Way::Inside => {}
                    }
                    open.push_back((*next, wires));
                }
            }
        }
        None
    }
}
