//! Which walks a place of the map offers.

use std::collections::BTreeSet;

use super::bench::Bench;
use super::kind::{Kind, is_high};
use crate::isolation::siblings;
use crate::model::{
    CavityId, Element, Harness, Hold, PartId, PartKind, PinRole, Port, Setup, Side, Terminal,
    WireEnd, WireId,
};
use crate::topology::Pick;

/// The walks that begin at a place of the map, the most telling first.
#[must_use]
pub fn offered(harness: &Harness, pick: Pick) -> Vec<Kind> {
    let mut found = Vec::new();
    if let Pick::Cylinder(cylinder) = pick {
        if harness.engine.cylinders().contains(&cylinder) {
            found.extend([Kind::Spark(cylinder), Kind::Dead]);
        }
        return found;
    }
    let element = element_of(harness, pick);
    if let Some((from, to)) = wire_of(harness, pick).and_then(|wire| run(harness, wire)) {
        found.push(Kind::Continuity { from, to });
        found.extend(
            terminal_of(harness, pick)
                .into_iter()
                .chain([from, to])
                .find_map(|of| (siblings(harness, of).len() > 1).then_some(Kind::Siblings { of })),
        );
    }
    found.extend(element.and_then(|element| loaded(harness, element)));
    if let Some(cylinder) = cylinder_of(harness, pick) {
        found.push(Kind::Spark(cylinder));
    }
    found.extend(
        element
            .filter(|element| !is_high(*element) && !matches!(element, Element::Cylinder(_)))
            .map(Kind::Stress),
    );
    found
}

/// The element that is meant where a walk needs a single one.
fn element_of(harness: &Harness, pick: Pick) -> Option<Element> {
    match pick {
        Pick::Element(element) => Some(element),
        Pick::Wire(wire) => Some(Element::Wire(wire)),
        Pick::Terminal(terminal) => {
            if let Port::Cavity(cavity, _) = terminal.port {
                Some(Element::Cavity(terminal.part, cavity))
            } else {
                let contact = terminal.port.hold() == Hold::Contact;
                contact.then_some(Element::Mated(terminal))
            }
        }
        Pick::Part(part) => match harness.parts.get(&part)?.kind {
            PartKind::Coil(_) => Some(Element::Primary(part)),
            PartKind::Fuse(_) | PartKind::KeySwitch | PartKind::Relay(_) => {
                Some(Element::Contact(part))
            }
            PartKind::Injector(_) => Some(Element::InjectorWinding(part)),
            PartKind::Battery(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::ControlUnit(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Plug(_) => None,
        },
        Pick::Driver(_) | Pick::Cylinder(_) => None,
    }
}

fn terminal_of(harness: &Harness, pick: Pick) -> Option<Terminal> {
    match pick {
        Pick::Terminal(terminal) | Pick::Element(Element::Mated(terminal)) => Some(terminal),
        Pick::Element(Element::Trace(part, pin)) => Some(Terminal {
            part,
            port: Port::Pin(pin),
        }),
        Pick::Driver(driver) => {
            let pin = harness.driver(driver)?.output?.value;
            Some(Terminal {
                part: harness.host_of(driver)?,
                port: Port::Pin(pin),
            })
        }
        Pick::Element(Element::Driver(driver, _)) => terminal_of(harness, Pick::Driver(driver)),
        Pick::Part(part) if harness.coil(part).is_some() => {
            let terminals = harness.terminals_of(part);
            terminals
                .into_iter()
                .find(|t| matches!(t.port, Port::Switched | Port::DriveIn))
        }
        Pick::Element(Element::Primary(part)) => terminal_of(harness, Pick::Part(part)),
        Pick::Element(_) | Pick::Part(_) | Pick::Wire(_) | Pick::Cylinder(_) => None,
    }
}

/// The wire at a place.
fn wire_of(harness: &Harness, pick: Pick) -> Option<WireId> {
    match pick {
        Pick::Wire(wire) | Pick::Element(Element::Wire(wire) | Element::Joint(wire, _)) => {
            Some(wire)
        }
        Pick::Element(Element::Cavity(part, cavity)) => {
            let side = |side| Terminal {
                part,
                port: Port::Cavity(cavity, side),
            };
            [Side::A, Side::B]
                .into_iter()
                .find_map(|s| wires_at(harness, side(s)).first().copied())
        }
        Pick::Element(_)
        | Pick::Part(_)
        | Pick::Terminal(_)
        | Pick::Driver(_)
        | Pick::Cylinder(_) => {
            let terminal = terminal_of(harness, pick)?;
            wires_at(harness, terminal).first().copied()
        }
    }
}

fn wires_at(harness: &Harness, at: Terminal) -> Vec<WireId> {
    harness
        .wires
        .iter()
        .filter(|(_, wire)| {
            WireEnd::BOTH
                .iter()
                .any(|end| wire.end(*end).is_some_and(|f| f.value == at))
        })
        .map(|(id, _)| *id)
        .collect()
}

/// Both ends of the run that a wire is part of, through in-line connectors, the end at a control unit or
/// nearer the battery first; `None` where an end is not known.
pub(super) fn run(harness: &Harness, wire: WireId) -> Option<(Terminal, Terminal)> {
    let known = harness.wires.get(&wire)?;
    let mut seen = BTreeSet::from([wire]);
    let from = far_end(harness, known.from?.value, &mut seen);
    let to = far_end(harness, known.to?.value, &mut seen);
    if from == to {
        return None;
    }
    let rank = |terminal: Terminal| {
        if matches!(terminal.port, Port::Pin(_)) {
            0
        } else if matches!(terminal.port, Port::Plus | Port::Out | Port::ContactOut) {
            1
        } else if matches!(
            terminal.port,
            Port::Switched | Port::DriveIn | Port::Feed | Port::InjectorControl
        ) {
            3
        } else {
            2
        }
    };
    Some(if rank(to) < rank(from) {
        (to, from)
    } else {
        (from, to)
    })
}

/// Onward through connectors while one wire goes on.
fn far_end(harness: &Harness, mut at: Terminal, seen: &mut BTreeSet<WireId>) -> Terminal {
    while let Port::Cavity(cavity, side) = at.port {
        let Some(next) = through(harness, at.part, cavity, side, seen) else {
            break;
        };
        at = next;
    }
    at
}

fn through(
    harness: &Harness,
    part: PartId,
    cavity: CavityId,
    side: Side,
    seen: &mut BTreeSet<WireId>,
) -> Option<Terminal> {
    let beyond = match side {
        Side::A => Side::B,
        Side::B => Side::A,
    };
    let across = Terminal {
        part,
        port: Port::Cavity(cavity, beyond),
    };
    let wires = wires_at(harness, across);
    let [wire] = wires.as_slice() else {
        return None;
    };
    if !seen.insert(*wire) {
        return None;
    }
    let ends = harness.wires.get(wire)?;
    let (from, to) = (ends.from?.value, ends.to?.value);
    Some(if from == across { to } else { from })
}

/// The walk along the supply or ground that an element is part of: from battery plus to a coil or unit,
/// or from a ground pin to battery minus.
fn loaded(harness: &Harness, element: Element) -> Option<Kind> {
    let bench = Bench::new(harness);
    let solution = bench.solution(&Setup::idling());
    let battery = super::gauge::battery(harness, &Setup::idling())?;
    let (plus, minus) = (battery.red, battery.black?);
    let ends = harness
        .parts
        .keys()
        .flat_map(|part| harness.terminals_of(*part));
    let mut found = None;
    for end in ends {
        let (from, to) = match load_end(harness, end) {
            Some(Load::Fed) => (plus, end),
            Some(Load::Grounded) => (end, minus),
            None => continue,
        };
        let Ok(path) = solution.path(from, to) else {
            continue;
        };
        if path.iter().any(|step| step.element == Some(element)) {
            found = Some(Kind::Drop { from, to });
            break;
        }
    }
    found
}

/// What a terminal draws its current through.
enum Load {
    Fed,
    Grounded,
}

fn load_end(harness: &Harness, end: Terminal) -> Option<Load> {
    if end.port == Port::Feed {
        return Some(Load::Fed);
    }
    if end.port == Port::CoilGround {
        return Some(Load::Grounded);
    }
    let Port::Pin(pin) = end.port else {
        return None;
    };
    match harness.pin(end.part, pin)?.role?.value {
        PinRole::Supply => Some(Load::Fed),
        PinRole::Ground => Some(Load::Grounded),
        PinRole::CoilSwitch
        | PinRole::DriveOut
        | PinRole::DriveIn
        | PinRole::InjectorSwitch
        | PinRole::RelaySwitch
        | PinRole::SensorIn
        | PinRole::Other => None,
    }
}

/// The cylinder that a lead or plug belongs to.
fn cylinder_of(harness: &Harness, pick: Pick) -> Option<crate::engine::CylinderId> {
    let part = match pick {
        Pick::Part(part) => part,
        Pick::Element(element) => harness.part_of(element)?,
        Pick::Terminal(terminal) => terminal.part,
        Pick::Wire(_) | Pick::Driver(_) | Pick::Cylinder(_) => return None,
    };
    let plug = match harness.lead(part) {
        Some(lead) => lead.to?.value.part,
        None => part,
    };
    harness.plug(plug)?.cylinder.map(|fact| fact.value)
}
