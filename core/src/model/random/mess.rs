//! What makes a harness unfinished or odd, as an owner's map may be halfway.

use super::Dice;
use crate::engine::{CylinderId, Firing};
use crate::model::{
    Age, Driver, Exposure, Harness, Part, PartId, PartKind, Pin, PinRole, Terminal, Wire, WireId,
};
use crate::provenance::Fact;

/// Takes things away, doubles and swaps them. What is left refers to nothing that is gone.
pub(super) fn up(harness: &mut Harness, dice: &mut Dice) {
    engine(harness, dice);
    for part in harness.parts.values_mut() {
        unfinish(part, dice);
    }
    for wire in harness.wires.values_mut() {
        if dice.often(6) {
            wire.from = None;
        }
        if dice.often(6) {
            wire.to = None;
        }
        if dice.often(5) {
            wire.note = "goes into the loom, \u{2192} not followed \\ yet".into();
        }
    }
    lose_wires(harness, dice);
    swap_leads(harness, dice);
    stray_wires(harness, dice);
    if dice.often(50) {
        for _ in 0..=dice.below(2) {
            lose_part(harness, dice);
        }
    }
    if dice.often(10) {
        harness.about = "Bought as a project.\n\u{1F697} \"Half\" of it is known.".into();
    }
}

fn engine(harness: &mut Harness, dice: &mut Dice) {
    let engine = &mut harness.engine;
    if dice.often(10) {
        engine.order.value.pop();
    }
    if dice.often(10)
        && let Some(first) = engine.order.value.first_mut()
    {
        *first = CylinderId(16);
    }
    if dice.often(5) {
        engine.firing = Fact::assumed(Firing::At(Vec::new()));
    }
    if dice.often(3) {
        engine.banks.clear();
    }
}

fn unfinish(part: &mut Part, dice: &mut Dice) {
    part.condition.age = dice.pick(&[Age::Unknown, Age::New, Age::Old]);
    part.condition.exposure = dice.pick(&[Exposure::Unknown, Exposure::Dry, Exposure::Wet]);
    if dice.often(10) {
        part.name.clear();
    }
    match &mut part.kind {
        PartKind::ControlUnit(unit) => {
            unit.pins.iter_mut().for_each(|pin| unknown_pin(pin, dice));
            unit.drivers
                .iter_mut()
                .for_each(|driver| unknown_driver(driver, dice));
        }
        PartKind::Connector(connector) => {
            for cavity in &mut connector.cavities {
                if dice.often(30) {
                    cavity.label = None;
                }
            }
        }
        PartKind::Lead(lead) => {
            if dice.often(8) {
                lead.from = None;
            }
            if dice.often(8) {
                lead.to = None;
            }
        }
        PartKind::Plug(plug) => {
            if dice.often(6) {
                plug.cylinder = None;
            }
        }
        PartKind::Distributor(distributor) => {
            if dice.often(20) {
                distributor.towers.pop();
            }
        }
        PartKind::Injector(injector) => {
            if dice.often(20) {
                injector.cylinder = None;
            }
        }
        PartKind::Battery(_)
        | PartKind::Fuse(_)
        | PartKind::KeySwitch
        | PartKind::Relay(_)
        | PartKind::Splice
        | PartKind::Ground(_)
        | PartKind::Coil(_)
        | PartKind::Pack => {}
    }
}

fn unknown_pin(pin: &mut Pin, dice: &mut Dice) {
    if dice.often(25) {
        pin.label = None;
    }
    if dice.often(15) {
        pin.role = None;
    } else if dice.often(5) {
        pin.role = Some(Fact::assumed(
            dice.pick(&[PinRole::Other, PinRole::SensorIn]),
        ));
    }
}

fn unknown_driver(driver: &mut Driver, dice: &mut Dice) {
    if dice.often(12) {
        driver.output = None;
    }
    if dice.often(12) {
        driver.drive = None;
    }
}

fn lose_wires(harness: &mut Harness, dice: &mut Dice) {
    let lost: Vec<WireId> = harness
        .wires
        .keys()
        .copied()
        .filter(|_| dice.often(4))
        .collect();
    for wire in lost {
        harness.wires.remove(&wire);
    }
}

/// Two leads change their plugs.
fn swap_leads(harness: &mut Harness, dice: &mut Dice) {
    let leads: Vec<PartId> = harness
        .parts
        .iter()
        .filter_map(|(id, part)| matches!(part.kind, PartKind::Lead(_)).then_some(*id))
        .collect();
    if leads.len() < 2 || dice.often(70) {
        return;
    }
    let (first, second) = (dice.pick(&leads), dice.pick(&leads));
    let end = |harness: &Harness, id| harness.lead(id).and_then(|lead| lead.to);
    let ends = (end(harness, first), end(harness, second));
    for (id, to) in [(first, ends.1), (second, ends.0)] {
        if let Some(Part {
            kind: PartKind::Lead(lead),
            ..
        }) = harness.parts.get_mut(&id)
        {
            lead.to = to;
        }
    }
}

/// Wires from anywhere to anywhere.
fn stray_wires(harness: &mut Harness, dice: &mut Dice) {
    let terminals: Vec<Terminal> = harness
        .parts
        .keys()
        .flat_map(|id| harness.terminals_of(*id))
        .collect();
    for _ in 0..dice.below(4) {
        let wire = Wire {
            from: Some(Fact::assumed(dice.pick(&terminals))),
            to: Some(Fact::assumed(dice.pick(&terminals))),
            ..Wire::default()
        };
        harness.add_wire(wire);
    }
}

/// A part goes, and with it every reference to it; its number stays unused.
fn lose_part(harness: &mut Harness, dice: &mut Dice) {
    let ids: Vec<PartId> = harness.parts.keys().copied().collect();
    let gone = dice.pick(&ids);
    if ids.len() < 2 {
        return;
    }
    harness.parts.remove(&gone);
    let forget = |end: &mut Option<Fact<Terminal>>| {
        if end.is_some_and(|fact| fact.value.part == gone) {
            *end = None;
        }
    };
    for wire in harness.wires.values_mut() {
        forget(&mut wire.from);
        forget(&mut wire.to);
    }
    for part in harness.parts.values_mut() {
        match &mut part.kind {
            PartKind::Lead(lead) => {
                forget(&mut lead.from);
                forget(&mut lead.to);
            }
            PartKind::Coil(coil) => coil.pack = coil.pack.filter(|pack| *pack != gone),
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::ControlUnit(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_) => {}
        }
    }
    // A joint of its own may be left over, with no wire at it.
    if dice.often(50) {
        harness.add_part("", PartKind::Splice);
    }
}
