//! The causes that a harness can have: every element, way of failing and severity, with its prior.

use std::collections::BTreeSet;

use super::defaults::{self, Kind};
use super::unit::Unit;
use crate::engine::CylinderId;
use crate::faults::{Fault, Mode, ModeKind};
use crate::model::{
    Age, DriverPiece, Element, Exposure, Harness, LeadKind, PartId, PartKind, PinRole, Port,
    Terminal, WireId,
};
use crate::units::{Ohms, Percent};

/// One thing that could be wrong, with what decides its outcome.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cause {
    /// The fault.
    pub fault: Fault,
    /// What becomes of cylinders that the fault leaves in doubt.
    pub doubt: Doubt,
    /// The unit of repair that mends it.
    pub unit: Unit,
    /// Chance beside the others, not normalised.
    pub prior: f64,
    /// Share of such faults that come and go.
    pub comes_and_goes: f64,
    /// The part that its element belongs to.
    pub(super) part: Option<PartId>,
    /// The splice, ground point or battery at which its joint sits.
    pub(super) joined: Option<PartId>,
}

/// What becomes of the cylinders that a fault leaves in doubt. Each answer is a cause of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Doubt {
    /// They live.
    Lives,
    /// They die.
    Dies,
    /// This one dies, the others live.
    Only(CylinderId),
}

/// The kind of an element, as far as priors go.
#[must_use]
pub fn kind_of(harness: &Harness, element: Element) -> Kind {
    match element {
        Element::Battery(_) => Kind::Battery,
        Element::Contact(part) => match harness.parts.get(&part).map(|p| &p.kind) {
            Some(PartKind::Fuse(_)) => Kind::Fuse,
            Some(PartKind::Relay(_)) => Kind::RelayContact,
            Some(
                PartKind::KeySwitch
                | PartKind::Battery(_)
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
            )
            | None => Kind::Key,
        },
        Element::RelayWinding(_) => Kind::RelayWinding,
        Element::Wire(wire) => kind_of_wire(harness, wire),
        Element::Joint(wire, end) => {
            let at = super::unit::joined_at(harness, wire, end);
            match at
                .and_then(|part| harness.parts.get(&part))
                .map(|p| &p.kind)
            {
                Some(PartKind::Ground(_)) => Kind::GroundPoint,
                Some(
                    PartKind::Battery(_)
                    | PartKind::Fuse(_)
                    | PartKind::KeySwitch
                    | PartKind::Relay(_)
                    | PartKind::Splice
                    | PartKind::Connector(_)
                    | PartKind::ControlUnit(_)
                    | PartKind::Coil(_)
                    | PartKind::Pack
                    | PartKind::Distributor(_)
                    | PartKind::Lead(_)
                    | PartKind::Plug(_)
                    | PartKind::Injector(_),
                )
                | None => Kind::SpliceJoint,
            }
        }
        Element::Mated(terminal) => match terminal.port {
            Port::Feed | Port::Switched | Port::CoilGround | Port::DriveIn => Kind::CoilContact,
            Port::Pin(_) => Kind::UnitPin,
            Port::Plus
            | Port::Minus
            | Port::In
            | Port::Out
            | Port::WindingEnd
            | Port::WindingStart
            | Port::ContactIn
            | Port::ContactOut
            | Port::Joint
            | Port::Cavity(..)
            | Port::TowerA
            | Port::TowerB
            | Port::Centre
            | Port::Tower(_)
            | Port::LeadFrom
            | Port::LeadTo
            | Port::PlugTop
            | Port::Shell
            | Port::InjectorFeed
            | Port::InjectorControl => Kind::OtherContact,
        },
        Element::Cavity(..) => Kind::Cavity,
        Element::Trace(..) => Kind::Trace,
        Element::BoardSupply(_) => Kind::BoardSupply,
        Element::BoardGround(_) => Kind::BoardGround,
        Element::Logic(_) => Kind::Logic,
        Element::CrankSignal(_) => Kind::CrankSignal,
        Element::Driver(_, piece) => match piece {
            DriverPiece::OutputJoint | DriverPiece::GroundJoint => Kind::DriverJoint,
            DriverPiece::Switch => Kind::Transistor,
            DriverPiece::DriveJoint | DriverPiece::GateJoint => Kind::DriveJoint,
            DriverPiece::DriveResistor => Kind::DriveResistor,
        },
        Element::Primary(_) => Kind::Primary,
        Element::Secondary(_) => Kind::Secondary,
        Element::CoilInsulation(_) => Kind::CoilInsulation,
        Element::Rotor(_) => Kind::Rotor,
        Element::Cap(_) => Kind::Cap,
        Element::LeadConductor(part) if is_boot(harness, part) => Kind::Boot,
        Element::LeadInsulation(part) if is_boot(harness, part) => Kind::BootInsulation,
        Element::LeadConductor(_) => Kind::Lead,
        Element::LeadInsulation(_) => Kind::LeadInsulation,
        Element::Gap(_) => Kind::Gap,
        Element::Insulator(_) => Kind::Insulator,
        Element::PlugResistor(_) => Kind::PlugResistor,
        Element::InjectorWinding(_) => Kind::Injector,
        Element::Cylinder(_) => Kind::Cylinder,
    }
}

fn is_boot(harness: &Harness, part: PartId) -> bool {
    harness.lead(part).is_some_and(|l| l.kind == LeadKind::Boot)
}

/// What a wire is for, by what stands at its ends; through connectors, by the far end.
fn kind_of_wire(harness: &Harness, wire: WireId) -> Kind {
    run_of(harness, wire).1
}

/// The pieces of a wire that runs through connectors, and what it is for.
fn run_of(harness: &Harness, wire: WireId) -> (BTreeSet<WireId>, Kind) {
    let mut seen = BTreeSet::new();
    let mut open = vec![wire];
    let mut found = Kind::SupplyWire;
    while let Some(next) = open.pop() {
        if !seen.insert(next) {
            continue;
        }
        let Some(w) = harness.wires.get(&next) else {
            continue;
        };
        for terminal in [w.from, w.to].into_iter().flatten().map(|f| f.value) {
            match use_of(harness, terminal) {
                Some(kind) => found = kind,
                None => open.extend(through_cavity(harness, terminal)),
            }
        }
    }
    (seen, found)
}

/// The coil to which a pin's wire runs, through connectors.
pub(super) fn coil_of_pin(harness: &Harness, pin: Terminal) -> Option<PartId> {
    let ends = |wire: &crate::model::Wire| {
        [wire.from, wire.to]
            .into_iter()
            .flatten()
            .map(|fact| fact.value)
    };
    let (first, _) = harness
        .wires
        .iter()
        .find(|(_, wire)| ends(wire).any(|t| t == pin))?;
    let (run, _) = run_of(harness, *first);
    run.iter()
        .filter_map(|id| harness.wires.get(id))
        .flat_map(ends)
        .find(|t| matches!(t.port, Port::Switched | Port::DriveIn))
        .map(|t| t.part)
}

/// What a terminal says about the wire that ends there; `None` where it says nothing.
fn use_of(harness: &Harness, terminal: Terminal) -> Option<Kind> {
    match terminal.port {
        Port::Switched | Port::DriveIn => Some(Kind::ControlWire),
        Port::InjectorFeed | Port::InjectorControl | Port::WindingEnd | Port::WindingStart => {
            Some(Kind::OtherWire)
        }
        Port::Pin(pin) => match harness.pin(terminal.part, pin)?.role?.value {
            PinRole::CoilSwitch | PinRole::DriveOut | PinRole::DriveIn => Some(Kind::ControlWire),
            PinRole::InjectorSwitch | PinRole::RelaySwitch | PinRole::SensorIn | PinRole::Other => {
                Some(Kind::OtherWire)
            }
            PinRole::Supply | PinRole::Ground => None,
        },
        Port::Plus
        | Port::Minus
        | Port::In
        | Port::Out
        | Port::ContactIn
        | Port::ContactOut
        | Port::Joint
        | Port::Cavity(..)
        | Port::Feed
        | Port::TowerA
        | Port::TowerB
        | Port::CoilGround
        | Port::Centre
        | Port::Tower(_)
        | Port::LeadFrom
        | Port::LeadTo
        | Port::PlugTop
        | Port::Shell => None,
    }
}

/// Wires on either side of the cavity that a terminal belongs to.
fn through_cavity(harness: &Harness, terminal: Terminal) -> Vec<WireId> {
    let Port::Cavity(cavity, _) = terminal.port else {
        return Vec::new();
    };
    harness
        .wires
        .iter()
        .filter(|(_, wire)| {
            [wire.from, wire.to].into_iter().flatten().any(|end| {
                end.value.part == terminal.part
                    && matches!(end.value.port, Port::Cavity(c, _) if c == cavity)
            })
        })
        .map(|(id, _)| *id)
        .collect()
}

/// How much what the owner knows of a part changes its priors.
fn knowledge(harness: &Harness, element: Element, kind: Kind) -> f64 {
    let Some(part) = harness
        .part_of(element)
        .and_then(|id| harness.parts.get(&id))
    else {
        return 1.0;
    };
    let age = match part.condition.age {
        Age::Unknown => 1.0,
        Age::New => defaults::AGE.0,
        Age::Old => defaults::AGE.1,
    };
    let minds_water = matches!(
        kind,
        Kind::CoilContact
            | Kind::UnitPin
            | Kind::OtherContact
            | Kind::Cavity
            | Kind::GroundPoint
            | Kind::SpliceJoint
            | Kind::CoilInsulation
            | Kind::LeadInsulation
            | Kind::BootInsulation
            | Kind::Cap
    );
    let water = match part.condition.exposure {
        Exposure::Dry if minds_water => defaults::EXPOSURE.0,
        Exposure::Wet if minds_water => defaults::EXPOSURE.1,
        Exposure::Unknown | Exposure::Dry | Exposure::Wet => 1.0,
    };
    age * water
}

/// Every fault that the tables suspect, with its prior, in rising order of element.
///
/// Severities share the prior of their mode; a partner (the other lead, the other tower) is a chance
/// of its own. Doubt is not split yet: that needs the fault's effect.
#[must_use]
pub fn faults(harness: &Harness) -> Vec<(Fault, f64, Kind)> {
    let mut found = Vec::new();
    for element in harness.elements() {
        let kind = kind_of(harness, element);
        let known = knowledge(harness, element, kind) / pieces(harness, element);
        for (_, mode, per_mille) in defaults::PRIORS.iter().filter(|(k, _, _)| *k == kind) {
            found.extend(
                severities(harness, element, *mode)
                    .into_iter()
                    .map(|(mode, share)| {
                        (Fault::new(element, mode), per_mille * share * known, kind)
                    }),
            );
        }
    }
    found
}

/// In how many pieces a wire runs through connectors: they share the prior of one wire.
fn pieces(harness: &Harness, element: Element) -> f64 {
    let Element::Wire(wire) = element else {
        return 1.0;
    };
    let (run, _) = run_of(harness, wire);
    f64::from(u32::try_from(run.len()).unwrap_or(u32::MAX)).max(1.0)
}

/// The severities or partners of a mode, each with its share of the mode's prior.
fn severities(harness: &Harness, element: Element, mode: ModeKind) -> Vec<(Mode, f64)> {
    fn evenly<T: Copy>(values: &[T], make: impl Fn(T) -> Mode) -> Vec<(Mode, f64)> {
        let count = u32::try_from(values.len()).unwrap_or(u32::MAX).max(1);
        values
            .iter()
            .map(|v| (make(*v), 1.0 / f64::from(count)))
            .collect()
    }
    fn each<T>(values: Vec<T>, make: impl Fn(T) -> Mode) -> Vec<(Mode, f64)> {
        values.into_iter().map(|v| (make(v), 1.0)).collect()
    }
    let leaks = |make: fn(Ohms) -> Mode| -> Vec<(Mode, f64)> {
        defaults::LEAK
            .iter()
            .map(|(ohms, share)| (make(Ohms::lit(*ohms)), *share))
            .collect()
    };
    let ohms = |values: &[f64], make: fn(Ohms) -> Mode| evenly(values, |v| make(Ohms::lit(v)));
    let one = |mode: Mode| vec![(mode, 1.0)];
    match mode {
        ModeKind::Open => one(Mode::Open),
        ModeKind::HighResistance => ohms(&defaults::HIGH_RESISTANCE, Mode::HighResistance),
        ModeKind::ToGround => leaks(Mode::ToGround),
        ModeKind::ToSupply => leaks(Mode::ToSupply),
        ModeKind::NeverOn => one(Mode::NeverOn),
        ModeKind::AlwaysOn => one(Mode::AlwaysOn),
        ModeKind::PartlyOn => ohms(&defaults::PARTLY_ON, Mode::PartlyOn),
        ModeKind::Leaky if matches!(element, Element::Driver(..)) => {
            ohms(&defaults::LEAKY_TRANSISTOR, Mode::Leaky)
        }
        ModeKind::Leaky => ohms(&defaults::LEAKY_LEAD, Mode::Leaky),
        ModeKind::TurnsShorted => evenly(&defaults::TURNS, |v| Mode::TurnsShorted(Percent::lit(v))),
        ModeKind::Breakdown => one(Mode::Breakdown),
        ModeKind::Tracking => one(Mode::Tracking),
        ModeKind::TrackingBetween => each(neighbouring_towers(harness, element), |(a, b)| {
            Mode::TrackingBetween(a, b)
        }),
        ModeKind::BurntTower => each(towers(harness, element), Mode::BurntTower),
        ModeKind::Fouled => ohms(&defaults::FOULED, Mode::Fouled),
        ModeKind::Worn => one(Mode::Worn),
        ModeKind::Cracked => one(Mode::Cracked),
        ModeKind::CrossedWith => each(neighbouring_leads(harness, element), Mode::CrossedWith),
        ModeKind::Silent => one(Mode::Silent),
        ModeKind::SilentFor => each(
            harness.drivers().map(|(_, driver)| driver.id).collect(),
            Mode::SilentFor,
        ),
        ModeKind::Missing => one(Mode::Missing),
        ModeKind::Erratic => one(Mode::Erratic),
        ModeKind::NoFuel => one(Mode::NoFuel),
        ModeKind::WrongAir => one(Mode::WrongAir),
        ModeKind::NoCompression => one(Mode::NoCompression),
        // The tables do not suspect it: it needs a partner that only a layout of cavities tells.
        ModeKind::ToNeighbour => Vec::new(),
    }
}

fn towers(harness: &Harness, element: Element) -> Vec<CylinderId> {
    harness
        .part_of(element)
        .and_then(|part| harness.distributor(part))
        .map_or_else(Vec::new, |d| d.towers.clone())
}

fn neighbouring_towers(harness: &Harness, element: Element) -> Vec<(CylinderId, CylinderId)> {
    let towers = towers(harness, element);
    (0..towers.len())
        .filter(|_| towers.len() > 1)
        .map(|i| (towers[i], towers[(i + 1) % towers.len()]))
        .filter(|(a, b)| a != b)
        .collect()
}

/// The leads that this one could have changed places with. Each pair is named once, by the lead with
/// the smaller id.
fn neighbouring_leads(harness: &Harness, element: Element) -> Vec<PartId> {
    let Some(lead) = harness.part_of(element) else {
        return Vec::new();
    };
    harness
        .parts
        .iter()
        .filter(|(id, part)| **id > lead && matches!(part.kind, PartKind::Lead(_)))
        .map(|(id, _)| *id)
        .filter(|other| leads_beside(harness, lead, *other))
        .collect()
}

/// Whether two leads go to cylinders that stand beside each other: in one row, or face to face.
pub(super) fn leads_beside(harness: &Harness, a: PartId, b: PartId) -> bool {
    let place = |lead: PartId| {
        cylinder_of_lead(harness, lead).and_then(|cylinder| harness.engine.place(cylinder))
    };
    match (place(a), place(b)) {
        (Some((row, along)), Some((other, far))) => {
            (row == other && along.abs_diff(far) == 1) || (row != other && along == far)
        }
        (None, _) | (_, None) => false,
    }
}

/// The cylinder whose plug a lead feeds.
pub(super) fn cylinder_of_lead(harness: &Harness, lead: PartId) -> Option<CylinderId> {
    let plug = harness.lead(lead)?.to?.value.part;
    harness.plug(plug)?.cylinder.map(|fact| fact.value)
}
