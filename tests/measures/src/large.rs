//! Invented maps of any size, for measuring how cost grows: so many coils, each with its driver, its lead and its
//! plug, and in-line connectors until there are about 25 terminals a coil.
//!
//! An engine has at most 16 cylinders, so that 40 coils are 16 cylinders with two plugs each, and eight with three:
//! nobody builds such an engine, but every rule of a map holds in it.

use std::collections::BTreeMap;

use sparktrail_core::edit::layouts::{Arrangement, Injectors, Plan, build, propose_engine};
use sparktrail_core::engine::{Layout, Strokes};
use sparktrail_core::model::{
    Cavity, Connector, ControlUnit, Driver, Harness, PartId, PartKind, Pin, PinId, Port, Seen,
    Side, Terminal, Wire, WireEnd, Works,
};
use sparktrail_core::provenance::Fact;

/// In-line connectors that each wire of a coil or injector goes through.
const STAGES: usize = 3;
/// Cavities of a connector.
const CAVITIES: usize = 24;
/// The most cylinders of an engine.
const MOST_CYLINDERS: usize = 16;

/// A map of `coils` coils, an even number from 2 on, in which cylinder 1 was found dead. The same for the same
/// number; `None` where there is no such map.
#[must_use]
pub fn large(coils: usize) -> Option<Harness> {
    let cylinders = coils.min(MOST_CYLINDERS);
    let layout = if cylinders > 6 {
        Layout::Flat
    } else {
        Layout::Inline
    };
    let engine = propose_engine(u8::try_from(cylinders).ok()?, layout, Strokes::Four);
    let mut plan = Plan::new(format!("{coils} coils"), engine);
    plan.arrangement = Arrangement::OneEach;
    plan.injectors = Injectors::Drawn;
    let mut harness = build(&plan).ok()?;
    let first: Vec<PartId> = coils_of(&harness);
    for nth in cylinders..coils {
        let like = *first.get(nth % cylinders)?;
        one_more(&mut harness, like, nth)?;
    }
    for stage in 0..STAGES {
        through_connectors(&mut harness, stage);
    }
    let dead = *harness.engine.cylinders().first()?;
    let id = harness.fresh();
    harness.findings.push(sparktrail_core::model::Finding {
        id,
        seen: Seen::Contribution {
            cylinder: dead,
            works: Works::Dead,
        },
        setup: None,
        fault_then: sparktrail_core::model::FaultThen::default(),
        at: None,
        note: String::new(),
        standing: sparktrail_core::model::Standing::default(),
    });
    Some(harness)
}

/// All terminals of a map.
#[must_use]
pub fn terminals(harness: &Harness) -> usize {
    let parts = harness.parts.keys();
    parts.map(|&part| harness.terminals_of(part).len()).sum()
}

fn coils_of(harness: &Harness) -> Vec<PartId> {
    let parts = harness.parts.iter();
    parts
        .filter(|(_, part)| matches!(part.kind, PartKind::Coil(_)))
        .map(|(&id, _)| id)
        .collect()
}

/// One more coil like another, with a driver, a lead and a plug of its own for the same cylinder.
fn one_more(harness: &mut Harness, like: PartId, nth: usize) -> Option<()> {
    let lead = like_part(
        harness,
        |kind| matches!(kind, PartKind::Lead(lead) if lead.from.is_some_and(|from| from.value.part == like)),
    )?;
    let PartKind::Lead(known) = harness.parts.get(&lead)?.kind.clone() else {
        return None;
    };
    let plug = known.to?.value.part;
    let number = nth + 1;
    let copied = |harness: &Harness, part: PartId| Some(harness.parts.get(&part)?.kind.clone());
    let coil = copied(harness, like)?;
    let coil = harness.add_part(format!("Coil {number}"), coil);
    let other = copied(harness, plug)?;
    let other = harness.add_part(format!("Plug {number}"), other);
    let moved = |at: Option<Fact<Terminal>>, part: PartId| {
        at.map(|at| Fact {
            value: Terminal {
                part,
                port: at.value.port,
            },
            how: at.how,
        })
    };
    let mut another = known.clone();
    another.from = moved(known.from, coil);
    another.to = moved(known.to, other);
    harness.add_part(format!("Lead {number}"), PartKind::Lead(another));
    let wires: Vec<Wire> = harness
        .wires
        .values()
        .filter(|wire| ends_on(wire, like))
        .cloned()
        .collect();
    for mut wire in wires {
        for end in [&mut wire.from, &mut wire.to] {
            let Some(at) = end else { continue };
            if at.value.part == like {
                at.value.part = coil;
            } else if let Port::Pin(pin) = at.value.port {
                at.value.port = Port::Pin(one_more_driver(harness, at.value.part, pin, number)?);
            }
        }
        harness.add_wire(wire);
    }
    Some(())
}

fn like_part(harness: &Harness, is_it: impl Fn(&PartKind) -> bool) -> Option<PartId> {
    let mut parts = harness.parts.iter();
    parts.find(|(_, part)| is_it(&part.kind)).map(|(&id, _)| id)
}

fn ends_on(wire: &Wire, part: PartId) -> bool {
    let ends = [WireEnd::From, WireEnd::To].map(|end| wire.end(end));
    ends.iter().flatten().any(|end| end.value.part == part)
}

/// A pin like another one, with a driver like the one behind that.
fn one_more_driver(
    harness: &mut Harness,
    unit: PartId,
    pin: PinId,
    number: usize,
) -> Option<PinId> {
    let (pin_id, driver_id) = (harness.fresh(), harness.fresh());
    let PartKind::ControlUnit(unit) = &mut harness.parts.get_mut(&unit)?.kind else {
        return None;
    };
    let unit: &mut ControlUnit = unit;
    let old = unit.pins.iter().find(|known| known.id == pin)?.clone();
    let behind = unit
        .drivers
        .iter()
        .find(|driver| driver.output.is_some_and(|out| out.value == pin))?
        .clone();
    unit.pins.push(Pin {
        id: pin_id,
        label: Some(Fact::assumed(format!("{}", 100 + number))),
        ..old
    });
    unit.drivers.push(Driver {
        id: driver_id,
        name: format!("driver {number}"),
        output: Some(Fact::assumed(pin_id)),
        ..behind
    });
    Some(pin_id)
}

/// Leads every wire of a coil or an injector through one more connector, at its end on that.
fn through_connectors(harness: &mut Harness, stage: usize) {
    let served = |harness: &Harness, at: Terminal| {
        let kind = harness.parts.get(&at.part).map(|part| &part.kind);
        matches!(kind, Some(PartKind::Coil(_) | PartKind::Injector(_)))
    };
    let cut: Vec<_> = harness
        .wires
        .iter()
        .filter_map(|(&id, wire)| {
            let ends = [WireEnd::From, WireEnd::To].map(|end| (end, wire.end(end)));
            let mut ends = ends.into_iter();
            ends.find(|(_, at)| at.is_some_and(|at| served(harness, at.value)))
                .map(|(end, _)| (id, end))
        })
        .collect();
    let mut boxes: BTreeMap<usize, PartId> = BTreeMap::new();
    for (nth, (id, end)) in cut.into_iter().enumerate() {
        let block = nth / CAVITIES;
        let connector = *boxes.entry(block).or_insert_with(|| {
            let name = format!("Connector {}.{}", stage + 1, block + 1);
            harness.add_part(
                name,
                PartKind::Connector(Connector {
                    cavities: Vec::new(),
                }),
            )
        });
        let cavity = harness.fresh();
        if let Some(PartKind::Connector(known)) =
            harness.parts.get_mut(&connector).map(|part| &mut part.kind)
        {
            known.cavities.push(Cavity {
                id: cavity,
                label: Some(Fact::assumed(format!("{}", nth % CAVITIES + 1))),
            });
        }
        let at = |side| {
            Some(Fact::assumed(Terminal {
                part: connector,
                port: Port::Cavity(cavity, side),
            }))
        };
        let Some(wire) = harness.wires.get_mut(&id) else {
            continue;
        };
        let mut rest = wire.clone();
        match end {
            WireEnd::From => {
                wire.from = at(Side::A);
                rest.to = at(Side::B);
            }
            WireEnd::To => {
                wire.to = at(Side::A);
                rest.from = at(Side::B);
            }
        }
        harness.add_wire(rest);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use sparktrail_core::model::file;
    use sparktrail_core::topology::Topology;

    #[test]
    fn forty_coils_are_a_thousand_terminals_and_a_sound_map() {
        let harness = large(40).unwrap();
        assert_eq!(coils_of(&harness).len(), 40);
        let count = terminals(&harness);
        assert!((1000..1200).contains(&count), "{count}");
        assert_eq!(file::read(&file::write(&harness)).unwrap(), harness);
        // Every cylinder has its spark's whole way on the map.
        let topology = Topology::of(&harness);
        assert_eq!(topology.cylinders().len(), 16);
        for (cylinder, needs) in topology.cylinders() {
            assert!(needs.missing.is_empty(), "{cylinder}: {:?}", needs.missing);
        }
    }

    #[test]
    fn terminals_grow_with_the_coils() {
        for coils in [2, 4, 8, 16, 24, 32] {
            let count = terminals(&large(coils).unwrap());
            assert!(
                (20 * coils..45 * coils).contains(&count),
                "{coils}: {count}"
            );
        }
    }
}
