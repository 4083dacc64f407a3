//! The ways in which each sort of element can fail, with a usual severity.

use crate::engine::CylinderId;
use crate::model::{
    Cavity, CavityId, DriverPiece, Element, Harness, Lead, LeadKind, PartId, PartKind, PinId,
    PinRole, Port, Terminal, UnitRole, WireEnd, WireId,
};
use crate::units::{Amps, Ohms, Percent};

use super::{Fault, Mode};

/// Added by a bad joint or contact. Common practice, no source.
pub const USUAL_SERIES: Ohms = Ohms::lit(2.0);
/// A chafed wire on metal or on another wire. Common practice, no source.
pub const USUAL_SHORT: Ohms = Ohms::lit(0.05);
/// A transistor that is partly on. Common practice, no source.
pub const USUAL_PARTLY_ON: Ohms = Ohms::lit(3.0);
/// Current at which a transistor that is stuck on may hold itself: the upper end of primary currents in
/// handbooks, value from memory.
pub const USUAL_LIMIT: Amps = Amps::lit(9.0);
/// A transistor that leaks. Common practice, no source.
pub const USUAL_LEAK: Ohms = Ohms::lit(25.0);
/// Insulation of a lead or boot that leaks. Common practice, no source.
pub const USUAL_INSULATION: Ohms = Ohms::lit(1e6);
/// A lead or plug resistor gone high. Common practice, no source.
pub const USUAL_LEAD: Ohms = Ohms::lit(1e5);
/// Deposits across a plug's gap. Common practice, no source.
pub const USUAL_FOULING: Ohms = Ohms::lit(1e5);
/// Shorted turns of a winding. Common practice, no source.
pub const USUAL_TURNS: Percent = Percent::lit(10.0);

/// The ways in which an element can fail, each once, with its usual severity. Empty for an element
/// that the harness does not have.
#[must_use]
pub fn modes_of(harness: &Harness, element: Element) -> Vec<Mode> {
    let series = [Mode::Open, Mode::HighResistance(USUAL_SERIES)];
    match element {
        Element::Battery(_)
        | Element::BoardSupply(_)
        | Element::BoardGround(_)
        | Element::Joint(..)
        | Element::RelayWinding(_)
        | Element::Trace(..) => series.to_vec(),
        Element::Contact(part) => contact(harness, part),
        Element::Wire(wire) => {
            let mut modes = series.to_vec();
            if !ends_at_ground(harness, wire) {
                modes.extend([Mode::ToGround(USUAL_SHORT), Mode::ToSupply(USUAL_SHORT)]);
            }
            modes
        }
        Element::Mated(terminal) => {
            let mut modes = series.to_vec();
            if let Port::Pin(pin) = terminal.port {
                let port = |pin| Terminal {
                    part: terminal.part,
                    port: Port::Pin(pin),
                };
                modes.extend(
                    pins_beside(harness, terminal.part, pin)
                        .map(|pin| Mode::ToNeighbour(Element::Mated(port(pin)), USUAL_SHORT)),
                );
            }
            modes
        }
        Element::Cavity(part, cavity) => {
            let mut modes = series.to_vec();
            modes.extend(
                cavities_beside(harness, part, cavity)
                    .map(|beside| Mode::ToNeighbour(Element::Cavity(part, beside), USUAL_SHORT)),
            );
            modes
        }
        Element::Logic(unit) => {
            let mut modes = vec![Mode::Silent];
            let drivers = harness.drivers().map(|(_, driver)| driver.id);
            if harness
                .unit(unit)
                .is_some_and(|unit| unit.role == UnitRole::EngineControl)
            {
                modes.extend(drivers.map(Mode::SilentFor));
            }
            modes
        }
        Element::CrankSignal(_) => vec![Mode::Missing, Mode::Erratic],
        Element::Driver(_, piece) => driver(piece),
        Element::Primary(_) => vec![
            Mode::Open,
            Mode::HighResistance(USUAL_SERIES),
            Mode::TurnsShorted(USUAL_TURNS),
            Mode::ToGround(USUAL_SHORT),
        ],
        Element::Secondary(_) => vec![Mode::Open, Mode::TurnsShorted(USUAL_TURNS)],
        Element::CoilInsulation(_) => vec![Mode::Breakdown, Mode::Tracking],
        Element::Rotor(_) => vec![Mode::Open, Mode::Breakdown],
        Element::Cap(part) => cap(harness, part),
        Element::LeadConductor(part) => {
            let mut modes = vec![Mode::Open, Mode::HighResistance(USUAL_LEAD)];
            modes.extend(
                leads_beside(harness, part)
                    .into_iter()
                    .map(Mode::CrossedWith),
            );
            modes
        }
        Element::LeadInsulation(_) => vec![Mode::Leaky(USUAL_INSULATION)],
        Element::Gap(_) => vec![Mode::Fouled(USUAL_FOULING), Mode::Worn],
        Element::Insulator(_) => vec![Mode::Cracked],
        Element::PlugResistor(_) => vec![Mode::Open, Mode::HighResistance(USUAL_LEAD)],
        Element::InjectorWinding(_) => vec![Mode::Open, Mode::TurnsShorted(USUAL_TURNS)],
        Element::Cylinder(_) => vec![Mode::NoFuel, Mode::WrongAir, Mode::NoCompression],
    }
}

/// Every single fault of a harness, each once: a short between neighbours or crossed leads are listed
/// at the lower of the two.
#[must_use]
pub fn all_faults(harness: &Harness) -> Vec<Fault> {
    harness
        .elements()
        .into_iter()
        .flat_map(|element| {
            modes_of(harness, element)
                .into_iter()
                .map(move |mode| Fault::new(element, mode))
        })
        .filter(|fault| match (fault.mode, fault.element) {
            (Mode::ToNeighbour(other, _), element) => element < other,
            (Mode::CrossedWith(other), element) => element < Element::LeadConductor(other),
            _ => true,
        })
        .collect()
}

fn contact(harness: &Harness, part: PartId) -> Vec<Mode> {
    let mut modes = vec![Mode::Open, Mode::HighResistance(USUAL_SERIES)];
    let switches = harness
        .parts
        .get(&part)
        .is_some_and(|part| matches!(part.kind, PartKind::KeySwitch | PartKind::Relay(_)));
    if switches {
        modes.push(Mode::AlwaysOn);
    }
    modes
}

fn driver(piece: DriverPiece) -> Vec<Mode> {
    match piece {
        DriverPiece::OutputJoint | DriverPiece::GroundJoint => {
            vec![Mode::Open, Mode::HighResistance(USUAL_SERIES)]
        }
        DriverPiece::Switch => vec![
            Mode::NeverOn,
            Mode::AlwaysOn,
            Mode::AlwaysOnLimited(USUAL_LIMIT),
            Mode::PartlyOn(USUAL_PARTLY_ON),
            Mode::Leaky(USUAL_LEAK),
        ],
        DriverPiece::DriveJoint | DriverPiece::DriveResistor | DriverPiece::GateJoint => {
            vec![Mode::Open, Mode::PartlyOn(USUAL_PARTLY_ON)]
        }
    }
}

fn cap(harness: &Harness, part: PartId) -> Vec<Mode> {
    let Some(distributor) = harness.distributor(part) else {
        return Vec::new();
    };
    let towers = &distributor.towers;
    let mut modes = vec![Mode::Breakdown];
    for (place, &tower) in towers.iter().enumerate() {
        modes.push(Mode::BurntTower(tower));
        let next = towers.get((place + 1) % towers.len()).copied();
        if let Some(next) = next.filter(|&next| next != tower) {
            let pair = Mode::TrackingBetween(tower.min(next), tower.max(next));
            if !modes.contains(&pair) {
                modes.push(pair);
            }
        }
    }
    modes
}

/// Whether a wire ends at a ground point, at battery minus or at a unit's ground pin.
fn ends_at_ground(harness: &Harness, wire: WireId) -> bool {
    let Some(wire) = harness.wires.get(&wire) else {
        return false;
    };
    WireEnd::BOTH
        .into_iter()
        .filter_map(|end| wire.end(end))
        .any(|fact| {
            let part = fact.value.part;
            let port = fact.value.port;
            if let Port::Pin(pin) = port {
                harness
                    .pin(part, pin)
                    .and_then(|pin| pin.role)
                    .is_some_and(|role| role.value == PinRole::Ground)
            } else {
                let at_ground_point = harness
                    .parts
                    .get(&part)
                    .is_some_and(|part| matches!(part.kind, PartKind::Ground(_)));
                port == Port::Minus || at_ground_point
            }
        })
}

/// Those beside the one at `place`: with numbers for names, the numbers before and after; else the
/// entries before and after in the list.
fn beside<Id: Copy + PartialEq>(all: &[(Id, Option<&str>)], id: Id) -> Vec<Id> {
    let numbers: Option<Vec<(Id, u32)>> = all
        .iter()
        .map(|&(id, label)| Some((id, label?.parse().ok()?)))
        .collect();
    if let Some(numbers) = numbers {
        let mine = numbers.iter().find(|(other, _)| *other == id);
        return numbers
            .iter()
            .filter(|(_, number)| mine.is_some_and(|(_, mine)| mine.abs_diff(*number) == 1))
            .map(|&(other, _)| other)
            .collect();
    }
    let place = all.iter().position(|(other, _)| *other == id);
    all.iter()
        .enumerate()
        .filter(|(other, _)| place.is_some_and(|place| place.abs_diff(*other) == 1))
        .map(|(_, &(other, _))| other)
        .collect()
}

fn pins_beside(harness: &Harness, part: PartId, pin: PinId) -> impl Iterator<Item = PinId> {
    let pins: Vec<(PinId, Option<&str>)> = harness
        .unit(part)
        .into_iter()
        .flat_map(|unit| &unit.pins)
        .map(|pin| (pin.id, pin.label.as_ref().map(|label| label.value.as_str())))
        .collect();
    beside(&pins, pin).into_iter()
}

fn cavities_beside(
    harness: &Harness,
    part: PartId,
    cavity: CavityId,
) -> impl Iterator<Item = CavityId> {
    let kind = harness.parts.get(&part).map(|part| &part.kind);
    let all: &[Cavity] = if let Some(PartKind::Connector(connector)) = kind {
        &connector.cavities
    } else {
        &[]
    };
    let cavities: Vec<(CavityId, Option<&str>)> = all
        .iter()
        .map(|c| (c.id, c.label.as_ref().map(|label| label.value.as_str())))
        .collect();
    beside(&cavities, cavity).into_iter()
}

/// The plug leads with which this one is easily mixed up: those of the cylinders next to its own in
/// the row, those from the same coil, and those from the next towers of the same cap.
fn leads_beside(harness: &Harness, part: PartId) -> Vec<PartId> {
    let Some(mine) = harness.lead(part) else {
        return Vec::new();
    };
    let cylinder = |lead: &Lead| -> Option<CylinderId> {
        harness.plug(lead.to?.value.part)?.cylinder.map(|c| c.value)
    };
    let Some(my_cylinder) = cylinder(mine).filter(|_| mine.kind == LeadKind::Lead) else {
        return Vec::new();
    };
    let from = |lead: &Lead| lead.from.map(|fact| fact.value);
    let towers_touch = |a: Terminal, b: Terminal| {
        let place = |at: Terminal| {
            let towers = &harness.distributor(at.part)?.towers;
            let place = towers
                .iter()
                .position(|&tower| Port::Tower(tower) == at.port)?;
            Some((place, towers.len()))
        };
        a.part == b.part
            && match (place(a), place(b)) {
                (Some((a, count)), Some((b, _))) => [1, count - 1].contains(&a.abs_diff(b)),
                // Not a cap: the towers of one coil.
                (None, _) | (_, None) => true,
            }
    };
    harness
        .parts
        .iter()
        .filter(|&(&other, _)| other != part)
        .filter(|&(&other, _)| {
            let Some(lead) = harness
                .lead(other)
                .filter(|lead| lead.kind == LeadKind::Lead)
            else {
                return false;
            };
            let Some(theirs) = cylinder(lead) else {
                return false;
            };
            let engine = &harness.engine;
            let in_row = match (engine.place(my_cylinder), engine.place(theirs)) {
                (Some((row, a)), Some((same, b))) => row == same && a.abs_diff(b) == 1,
                (None, _) | (_, None) => false,
            };
            let at_source = match (from(mine), from(lead)) {
                (Some(a), Some(b)) => towers_touch(a, b),
                (None, _) | (_, None) => false,
            };
            in_row || at_source
        })
        .map(|(&other, _)| other)
        .collect()
}
