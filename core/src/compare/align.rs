//! Which thing of another map is which of this one.

use std::collections::{BTreeMap, BTreeSet};

use super::ids::{Ids, Of};
use crate::model::{Finding, Harness, Part, PartKind, Terminal, Timestamp, Wire};
use crate::provenance::Fact;

/// New ids begin this far above those of both maps, so that what is added to this map while the two are compared
/// does not meet them.
const ROOM: u32 = 1_000;

/// `theirs` with the ids that the same things have in `ours`. What is only in theirs gets ids that neither map has.
///
/// Things are the same that have the same id, kind and name, as in a copy that was worked on; else the same kind
/// and name; else, in two maps of which most parts agree, the same id and kind. Wires are the same that join the
/// same terminals, findings that say the same.
#[must_use]
pub fn align(ours: &Harness, theirs: &Harness) -> Harness {
    let mut known = Known {
        ids: BTreeMap::new(),
        taken: BTreeSet::new(),
        given: given(ours),
        next: ours.next_id.max(theirs.next_id).saturating_add(ROOM),
    };
    known.given.append(&mut given(theirs));
    known.parts(ours, theirs);
    let mut aligned = theirs.clone();
    // First all but what is told by what it joins or says.
    known.inside(ours, theirs);
    known.wires(ours, theirs);
    known.findings(ours, theirs);
    known.work(ours, theirs);
    aligned.ids(&mut |of, id| known.of(of, id));
    aligned.next_id = known.next;
    aligned
}

/// Every id that a map gives to something that others refer to.
fn given(harness: &Harness) -> BTreeSet<(Of, u32)> {
    let mut found = BTreeSet::new();
    for (id, part) in &harness.parts {
        found.insert((Of::Part, id.number()));
        for of in [Of::Pin, Of::Cavity, Of::Driver] {
            found.extend(named(part, of).into_iter().map(|(id, _)| (of, id)));
        }
    }
    found.extend(harness.wires.keys().map(|id| (Of::Wire, id.number())));
    let findings = harness.findings.iter();
    found.extend(findings.map(|finding| (Of::Finding, finding.id.number())));
    found.extend(
        harness
            .work
            .iter()
            .map(|entry| (Of::Work, entry.id.number())),
    );
    found
}

/// What goes together.
struct Known {
    /// The ids of theirs that are known, as ours.
    ids: BTreeMap<(Of, u32), u32>,
    /// Those of ours that are one of theirs.
    taken: BTreeSet<(Of, u32)>,
    /// Ids that either map gives to something.
    given: BTreeSet<(Of, u32)>,
    next: u32,
}

impl Known {
    fn of(&mut self, of: Of, id: u32) -> u32 {
        if let Some(known) = self.ids.get(&(of, id)) {
            return *known;
        }
        // What is gone from both maps keeps its number.
        if !self.given.contains(&(of, id)) {
            return id;
        }
        let fresh = self.next;
        self.next = fresh.saturating_add(1);
        self.ids.insert((of, id), fresh);
        fresh
    }

    fn note(&mut self, of: Of, their: u32, our: u32) {
        self.ids.insert((of, their), our);
        self.taken.insert((of, our));
    }

    fn is_free(&self, of: Of, our: u32) -> bool {
        !self.taken.contains(&(of, our))
    }

    fn is_open(&self, of: Of, their: u32) -> bool {
        !self.ids.contains_key(&(of, their))
    }

    /// Notes which go together: those that alone have a key, on either side, and are not noted yet.
    fn pair<K: Ord>(&mut self, of: Of, mut ours: Vec<(u32, K)>, mut theirs: Vec<(u32, K)>) {
        ours.retain(|(id, _)| self.is_free(of, *id));
        theirs.retain(|(id, _)| self.is_open(of, *id));
        let ours = single(ours);
        for (key, their) in single(theirs) {
            if let (Some(their), Some(Some(our))) = (their, ours.get(&key)) {
                self.note(of, their, *our);
            }
        }
    }

    fn parts(&mut self, ours: &Harness, theirs: &Harness) {
        let all = |harness: &Harness| -> Vec<(u32, (u8, String, u32))> {
            let parts = harness.parts.iter();
            parts
                .map(|(id, part)| (id.number(), (kind(part), part.name.clone(), id.number())))
                .collect()
        };
        self.pair(Of::Part, all(ours), all(theirs));
        let related = 2 * self.ids.len() >= ours.parts.len().min(theirs.parts.len());
        let by_name = |harness: &Harness| -> Vec<(u32, (u8, String))> {
            let parts = harness.parts.iter();
            parts
                .filter(|(_, part)| !part.name.is_empty())
                .map(|(id, part)| (id.number(), (kind(part), part.name.clone())))
                .collect()
        };
        self.pair(Of::Part, by_name(ours), by_name(theirs));
        if related {
            let by_id = |harness: &Harness| -> Vec<(u32, (u8, u32))> {
                let parts = harness.parts.iter();
                parts
                    .map(|(id, part)| (id.number(), (kind(part), id.number())))
                    .collect()
            };
            self.pair(Of::Part, by_id(ours), by_id(theirs));
        }
    }

    /// Pins, cavities and drivers, of parts that are known.
    fn inside(&mut self, ours: &Harness, theirs: &Harness) {
        for (id, part) in &theirs.parts {
            let our = self.ids.get(&(Of::Part, id.number())).copied();
            let Some(our) = our.and_then(|our| ours.parts.get(&our.into())) else {
                continue;
            };
            for of in [Of::Pin, Of::Cavity, Of::Driver] {
                let (our, their) = (named(our, of), named(part, of));
                let with_id = |all: &[(u32, String)]| -> Vec<(u32, (String, u32))> {
                    all.iter()
                        .map(|(id, name)| (*id, (name.clone(), *id)))
                        .collect()
                };
                let with_name = |all: &[(u32, String)]| -> Vec<(u32, String)> {
                    all.iter()
                        .filter(|(_, name)| !name.is_empty())
                        .cloned()
                        .collect()
                };
                let alone = |all: &[(u32, String)]| -> Vec<(u32, u32)> {
                    all.iter().map(|(id, _)| (*id, *id)).collect()
                };
                self.pair(of, with_id(&our), with_id(&their));
                self.pair(of, with_name(&our), with_name(&their));
                self.pair(of, alone(&our), alone(&their));
                // Those of which nothing is known are as good as one another.
                let left = |all: &[(u32, String)], open: &dyn Fn(u32) -> bool| {
                    let mut left = Vec::new();
                    for (id, name) in all {
                        if name.is_empty() && open(*id) {
                            left.push((*id, left.len()));
                        }
                    }
                    left
                };
                let our = left(&our, &|id| self.is_free(of, id));
                let their = left(&their, &|id| self.is_open(of, id));
                self.pair(of, our, their);
            }
        }
    }

    fn wires(&mut self, ours: &Harness, theirs: &Harness) {
        let ends = |wire: &Wire| [wire.from, wire.to].map(|end| end.map(|fact| fact.value));
        let our: Vec<_> = ours
            .wires
            .iter()
            .map(|(id, wire)| (id.number(), ends(wire)))
            .collect();
        let mut their = Vec::new();
        for (id, wire) in &theirs.wires {
            let mut wire = wire.clone();
            wire.ids(&mut |of, id| self.of(of, id));
            their.push((id.number(), ends(&wire)));
        }
        let sorted =
            |[from, to]: [Option<Terminal>; 2]| if from <= to { [from, to] } else { [to, from] };
        // As in a copy: the same id and one of the ends; else the same two ends, either way round.
        for end in [0, 1] {
            let one = |all: &[(u32, [Option<Terminal>; 2])]| -> Vec<(u32, (u32, Terminal))> {
                let known = all
                    .iter()
                    .filter_map(|(id, ends)| Some((*id, (*id, ends[end]?))));
                known.collect()
            };
            self.pair(Of::Wire, one(&our), one(&their));
        }
        let both = |all: &[(u32, [Option<Terminal>; 2])]| -> Vec<(u32, [Option<Terminal>; 2])> {
            let known = all
                .iter()
                .filter(|(_, ends)| ends.iter().any(Option::is_some));
            known.map(|(id, ends)| (*id, sorted(*ends))).collect()
        };
        self.pair(Of::Wire, both(&our), both(&their));
    }

    fn findings(&mut self, ours: &Harness, theirs: &Harness) {
        for alike in [
            (|our, their| our.id == their.id) as fn(&Finding, &Finding) -> bool,
            |our, their| our.at == their.at,
        ] {
            for their in &theirs.findings {
                let id = their.id.number();
                if !self.is_open(Of::Finding, id) {
                    continue;
                }
                let mut seen = their.seen.clone();
                seen.ids(&mut |of, id| self.of(of, id));
                let our = ours.findings.iter().find(|our| {
                    self.is_free(Of::Finding, our.id.number())
                        && alike(our, their)
                        && our.seen == seen
                });
                if let Some(our) = our {
                    self.note(Of::Finding, id, our.id.number());
                }
            }
        }
    }

    fn work(&mut self, ours: &Harness, theirs: &Harness) {
        let all = |harness: &Harness| -> Vec<(u32, (String, Option<Timestamp>))> {
            let work = harness.work.iter();
            work.map(|entry| (entry.id.number(), (entry.text.clone(), entry.at)))
                .collect()
        };
        self.pair(Of::Work, all(ours), all(theirs));
    }
}

/// The one thing with each key; `None` where there are several.
fn single<K: Ord>(all: Vec<(u32, K)>) -> BTreeMap<K, Option<u32>> {
    let mut found = BTreeMap::new();
    for (id, key) in all {
        found
            .entry(key)
            .and_modify(|one| *one = None)
            .or_insert(Some(id));
    }
    found
}

/// A number for each kind of part.
const fn kind(part: &Part) -> u8 {
    match part.kind {
        PartKind::Battery(_) => 0,
        PartKind::Fuse(_) => 1,
        PartKind::KeySwitch => 2,
        PartKind::Relay(_) => 3,
        PartKind::Splice => 4,
        PartKind::Ground(_) => 5,
        PartKind::Connector(_) => 6,
        PartKind::ControlUnit(_) => 7,
        PartKind::Coil(_) => 8,
        PartKind::Pack => 9,
        PartKind::Distributor(_) => 10,
        PartKind::Lead(_) => 11,
        PartKind::Plug(_) => 12,
        PartKind::Injector(_) => 13,
    }
}

/// What is inside of a part, by id and name.
fn named(part: &Part, of: Of) -> Vec<(u32, String)> {
    let label = |label: &Option<Fact<String>>| {
        label
            .as_ref()
            .map(|fact| fact.value.clone())
            .unwrap_or_default()
    };
    match (&part.kind, of) {
        (PartKind::ControlUnit(unit), Of::Pin) => {
            let pins = unit.pins.iter();
            pins.map(|pin| (pin.id.number(), label(&pin.label)))
                .collect()
        }
        (PartKind::ControlUnit(unit), Of::Driver) => {
            let drivers = unit.drivers.iter();
            drivers
                .map(|driver| (driver.id.number(), driver.name.clone()))
                .collect()
        }
        (PartKind::Coil(coil), Of::Driver) => {
            let drivers = coil.driver.iter();
            drivers
                .map(|driver| (driver.id.number(), driver.name.clone()))
                .collect()
        }
        (PartKind::Connector(connector), Of::Cavity) => {
            let cavities = connector.cavities.iter();
            cavities
                .map(|cavity| (cavity.id.number(), label(&cavity.label)))
                .collect()
        }
        (_, Of::Part | Of::Wire | Of::Pin | Of::Cavity | Of::Driver | Of::Finding | Of::Work) => {
            Vec::new()
        }
    }
}
