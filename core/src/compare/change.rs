//! What differs between two maps whose ids agree.

use std::collections::BTreeSet;

use crate::edit::facts;
use crate::model::{
    CavityId, Driver, DriverId, FactAt, FactOwner, FindingId, Harness, Part, PartId, PartKind,
    PinId, Port, Side, Terminal, WireId, WorkId,
};
use crate::provenance::Provenance;
use crate::topology::Pick;

/// One difference between our map and theirs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Change {
    /// Something that was seen or measured is only in one of them.
    Finding(FindingId, Only),
    /// A finding counts in one and not in the other, or something else about it differs.
    FindingDiffers(FindingId),
    /// An entry of the work log is only in one of them.
    Work(WorkId, Only),
    /// The engine's strokes, layout or rows.
    Engine,
    /// A part is only in one of them.
    Part(PartId, Only),
    /// A pin of a control unit is only in one of them.
    Pin(PartId, PinId, Only),
    /// A cavity of a connector is only in one of them.
    Cavity(PartId, CavityId, Only),
    /// A driver is only in one of them.
    Driver(PartId, DriverId, Only),
    /// A wire is only in one of them.
    Wire(WireId, Only),
    /// A fact of something that both have.
    Fact(FactAt),
    /// A part's name.
    PartName(PartId),
    /// Where a part sits, or how long it takes to get at it.
    PartPlace(PartId),
    /// A part's age or surroundings.
    PartCondition(PartId),
    /// The note on a part.
    PartNote(PartId),
    /// What makes a part of its kind.
    PartForm(PartId),
    /// How the cavities of a part's connector stand.
    PartFace(PartId),
    /// A driver's name.
    DriverName(PartId, DriverId),
    /// The note on a pin.
    PinNote(PartId, PinId),
    /// The note on a wire.
    WireNote(WireId),
    /// The map's title.
    Title,
    /// The text about the map.
    About,
}

impl Change {
    /// In which map alone the thing is; `None` where both have it and it differs.
    #[must_use]
    pub const fn only(self) -> Option<Only> {
        match self {
            Self::Finding(_, only)
            | Self::Work(_, only)
            | Self::Part(_, only)
            | Self::Pin(_, _, only)
            | Self::Cavity(_, _, only)
            | Self::Driver(_, _, only)
            | Self::Wire(_, only) => Some(only),
            Self::FindingDiffers(_)
            | Self::Engine
            | Self::Fact(_)
            | Self::PartName(_)
            | Self::PartPlace(_)
            | Self::PartCondition(_)
            | Self::PartNote(_)
            | Self::PartForm(_)
            | Self::PartFace(_)
            | Self::DriverName(..)
            | Self::PinNote(..)
            | Self::WireNote(_)
            | Self::Title
            | Self::About => None,
        }
    }

    /// What on the map it is about; `None` where it is about nothing that is drawn.
    #[must_use]
    pub fn pick(self) -> Option<Pick> {
        let pin = |part, pin| {
            Pick::Terminal(Terminal {
                part,
                port: Port::Pin(pin),
            })
        };
        Some(match self {
            Self::Part(part, _)
            | Self::PartName(part)
            | Self::PartPlace(part)
            | Self::PartCondition(part)
            | Self::PartNote(part)
            | Self::PartForm(part)
            | Self::PartFace(part) => Pick::Part(part),
            Self::Pin(part, id, _) | Self::PinNote(part, id) => pin(part, id),
            Self::Cavity(part, id, _) => Pick::Terminal(Terminal {
                part,
                port: Port::Cavity(id, Side::A),
            }),
            Self::Driver(_, id, _) | Self::DriverName(_, id) => Pick::Driver(id),
            Self::Wire(wire, _) | Self::WireNote(wire) => Pick::Wire(wire),
            Self::Fact(at) => return fact_pick(at),
            Self::Finding(..)
            | Self::FindingDiffers(_)
            | Self::Work(..)
            | Self::Engine
            | Self::Title
            | Self::About => return None,
        })
    }
}

fn fact_pick(at: FactAt) -> Option<Pick> {
    let terminal = |part, port| Pick::Terminal(Terminal { part, port });
    Some(match at.owner() {
        FactOwner::Engine => return None,
        FactOwner::Wire(wire) => Pick::Wire(wire),
        FactOwner::Part(part) => Pick::Part(part),
        FactOwner::Pin(part, pin) => terminal(part, Port::Pin(pin)),
        FactOwner::Cavity(part, cavity) => terminal(part, Port::Cavity(cavity, Side::A)),
        FactOwner::Driver(driver) => Pick::Driver(driver),
    })
}

/// In which of two maps something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Only {
    /// Only in ours.
    Ours,
    /// Only in theirs.
    Theirs,
}

/// Every difference, findings first; `theirs` has our ids, see [`align`](super::align).
///
/// Where parts were put on the map by hand is no difference, nor is a finding that we took back and they do not have,
/// nor a value of theirs that already stands beside ours as a rival.
#[must_use]
pub fn differences(ours: &Harness, theirs: &Harness) -> Vec<Change> {
    let mut found = BTreeSet::new();
    let mut add = |differs: bool, change: Change| {
        if differs {
            found.insert(change);
        }
    };
    add(ours.title != theirs.title, Change::Title);
    add(ours.about != theirs.about, Change::About);
    let (our, their) = (&ours.engine, &theirs.engine);
    let same =
        our.strokes == their.strokes && our.layout == their.layout && our.banks == their.banks;
    add(!same, Change::Engine);
    findings(ours, theirs, &mut add);
    for (our, their, only) in [
        (&ours.work, &theirs.work, Only::Ours),
        (&theirs.work, &ours.work, Only::Theirs),
    ] {
        for entry in our {
            let there = their.iter().any(|other| other.id == entry.id);
            add(!there, Change::Work(entry.id, only));
        }
    }
    for (&id, part) in &ours.parts {
        match theirs.parts.get(&id) {
            Some(their) => part_differs(id, part, their, &mut add),
            None => add(true, Change::Part(id, Only::Ours)),
        }
    }
    for &id in theirs.parts.keys() {
        add(
            !ours.parts.contains_key(&id),
            Change::Part(id, Only::Theirs),
        );
    }
    for (id, wire) in &ours.wires {
        match theirs.wires.get(id) {
            Some(their) => add(wire.note != their.note, Change::WireNote(*id)),
            None => add(true, Change::Wire(*id, Only::Ours)),
        }
    }
    for id in theirs.wires.keys() {
        add(
            !ours.wires.contains_key(id),
            Change::Wire(*id, Only::Theirs),
        );
    }
    for (at, _) in facts(ours).into_iter().chain(facts(theirs)) {
        add(fact_differs(ours, theirs, at), Change::Fact(at));
    }
    found.into_iter().collect()
}

fn findings(ours: &Harness, theirs: &Harness, add: &mut impl FnMut(bool, Change)) {
    use crate::model::Standing;
    for our in &ours.findings {
        match theirs.findings.iter().find(|their| their.id == our.id) {
            Some(their) => add(our != their, Change::FindingDiffers(our.id)),
            None => add(
                our.standing == Standing::Counts,
                Change::Finding(our.id, Only::Ours),
            ),
        }
    }
    for their in &theirs.findings {
        let there = ours.findings.iter().any(|our| our.id == their.id);
        add(!there, Change::Finding(their.id, Only::Theirs));
    }
}

fn part_differs(id: PartId, our: &Part, their: &Part, add: &mut impl FnMut(bool, Change)) {
    add(our.name != their.name, Change::PartName(id));
    add(our.place != their.place, Change::PartPlace(id));
    add(our.condition != their.condition, Change::PartCondition(id));
    add(our.note != their.note, Change::PartNote(id));
    add(our.face != their.face, Change::PartFace(id));
    add(form_differs(our, their), Change::PartForm(id));
    if let (PartKind::ControlUnit(our), PartKind::ControlUnit(their)) = (&our.kind, &their.kind) {
        for pin in &our.pins {
            match their.pins.iter().find(|other| other.id == pin.id) {
                Some(other) => add(pin.note != other.note, Change::PinNote(id, pin.id)),
                None => add(true, Change::Pin(id, pin.id, Only::Ours)),
            }
        }
        for pin in &their.pins {
            let there = our.pins.iter().any(|other| other.id == pin.id);
            add(!there, Change::Pin(id, pin.id, Only::Theirs));
        }
    }
    if let (PartKind::Connector(our), PartKind::Connector(their)) = (&our.kind, &their.kind) {
        for (these, those, only) in [(our, their, Only::Ours), (their, our, Only::Theirs)] {
            for cavity in &these.cavities {
                let there = those.cavities.iter().any(|other| other.id == cavity.id);
                add(!there, Change::Cavity(id, cavity.id, only));
            }
        }
    }
    let (our, their) = (drivers(our), drivers(their));
    for driver in our {
        match their.iter().find(|other| other.id == driver.id) {
            Some(other) => add(driver.name != other.name, Change::DriverName(id, driver.id)),
            None => add(true, Change::Driver(id, driver.id, Only::Ours)),
        }
    }
    for driver in their {
        let there = our.iter().any(|other| other.id == driver.id);
        add(!there, Change::Driver(id, driver.id, Only::Theirs));
    }
}

fn drivers(part: &Part) -> &[Driver] {
    if let PartKind::ControlUnit(unit) = &part.kind {
        &unit.drivers
    } else if let PartKind::Coil(coil) = &part.kind {
        coil.driver.as_slice()
    } else {
        &[]
    }
}

/// Whether two parts of one kind differ in what makes them of their kind.
pub(super) fn form_differs(our: &Part, their: &Part) -> bool {
    match (&our.kind, &their.kind) {
        (PartKind::Coil(our), PartKind::Coil(their)) => {
            our.secondary != their.secondary || our.pack != their.pack
        }
        (PartKind::Ground(our), PartKind::Ground(their)) => our != their,
        (PartKind::ControlUnit(our), PartKind::ControlUnit(their)) => our.role != their.role,
        (PartKind::Distributor(our), PartKind::Distributor(their)) => our.towers != their.towers,
        (PartKind::Lead(our), PartKind::Lead(their)) => our.kind != their.kind,
        (
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::ControlUnit(_)
            | PartKind::Coil(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_),
            _,
        ) => false,
    }
}

fn fact_differs(ours: &Harness, theirs: &Harness, at: FactAt) -> bool {
    // What only one map has is told as a whole.
    if !ours.has_fact(at) || !theirs.has_fact(at) {
        return false;
    }
    match (ours.fact(at), theirs.fact(at)) {
        (Some(our), Some(their)) if our.value == their.value => their.how > our.how,
        (Some(_), Some(their)) => !ours.rivals_of(at).any(|rival| rival.value == their.value),
        (None, Some(_)) | (Some(_), None) => true,
        (None, None) => false,
    }
}

/// Whether one map has a fact from a diagram and the other measured something else: taking theirs then keeps ours
/// beside it, or theirs beside ours, whichever is better founded.
#[must_use]
pub fn is_clash(ours: &Harness, theirs: &Harness, change: Change) -> bool {
    let Change::Fact(at) = change else {
        return false;
    };
    let (Some(our), Some(their)) = (ours.fact(at), theirs.fact(at)) else {
        return false;
    };
    our.value != their.value
        && our.how != their.how
        && our.how != Provenance::Assumed
        && their.how != Provenance::Assumed
}
