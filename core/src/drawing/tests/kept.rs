//! Maps on which parts once overlapped, and crowds made to make them overlap.

use super::any::{Recipe, random};
use super::*;
use crate::model::{Fuse, PinId, Port, Relay};

#[test]
fn a_splice_on_the_rail_keeps_off_the_next_part() {
    // Found by the law on random maps: a splice with seven wires reached into the relay after it.
    let recipe = Recipe {
        cylinders: 1,
        layout: 0,
        parts: [4, 3, 6, 0, 4, 0, 4, 3].map(|kind| (kind, 0)).to_vec(),
        wires: vec![
            (10018, 2510),
            (37866, 33174),
            (29965, 53931),
            (53251, 23634),
            (45251, 4426),
            (29815, 25450),
            (13491, 43861),
            (16071, 9010),
        ],
        leads: vec![(10199, 37155), (57912, 39615), (60706, 16491)],
        placed: Vec::new(),
    };
    let harness = random(&recipe);
    for proportions in BOTH {
        lawful(&harness, &Drawing::proportioned(&harness, proportions));
    }
}

/// Battery, splice, fuse, splice, relay, with `more` wires from either splice to a unit, a connector and a ground.
fn crowd(more: u8) -> Harness {
    let engine = propose_engine(4, Layout::Inline, Strokes::Four);
    let mut harness = Harness::new(format!("A crowd of {more}"), engine);
    let battery = harness.add_part(
        "Battery",
        PartKind::Battery(crate::model::Battery::default()),
    );
    let first = harness.add_part("First splice", PartKind::Splice);
    let fuse = harness.add_part("Fuse", PartKind::Fuse(Fuse::default()));
    let second = harness.add_part("Second splice", PartKind::Splice);
    let relay = harness.add_part("Relay", PartKind::Relay(Relay::default()));
    let upright = harness.add_part("Coil splice", PartKind::Splice);
    let ground = harness.add_part("Ground", PartKind::Ground(GroundSite::Engine));
    let coil = harness.add_part("Coil", PartKind::Coil(Coil::new(Secondary::TwoEnded)));
    let pins: Vec<PinId> = (0..more).map(|_| harness.fresh()).collect();
    let unit = PartKind::ControlUnit(ControlUnit {
        pins: pins
            .iter()
            .map(|&id| Pin {
                id,
                label: None,
                role: None,
                note: String::new(),
            })
            .collect(),
        ..ControlUnit::new(UnitRole::EngineControl)
    });
    let unit = harness.add_part("Unit", unit);
    let mut wire = |from: (PartId, Port), to: (PartId, Port)| {
        let end = |(part, port)| Some(Fact::assumed(Terminal { part, port }));
        harness.add_wire(Wire {
            from: end(from),
            to: end(to),
            ..Wire::default()
        });
    };
    wire((battery, Port::Plus), (first, Port::Joint));
    wire((first, Port::Joint), (fuse, Port::In));
    wire((fuse, Port::Out), (second, Port::Joint));
    wire((second, Port::Joint), (relay, Port::ContactIn));
    wire((relay, Port::ContactOut), (upright, Port::Joint));
    wire((upright, Port::Joint), (coil, Port::Feed));
    for (i, pin) in pins.into_iter().enumerate() {
        let pin = (unit, Port::Pin(pin));
        wire((first, Port::Joint), pin);
        wire(
            (second, Port::Joint),
            if i % 2 == 0 {
                pin
            } else {
                (ground, Port::Joint)
            },
        );
        wire(
            (upright, Port::Joint),
            if i % 3 == 0 {
                (ground, Port::Joint)
            } else {
                pin
            },
        );
    }
    harness
}

#[test]
fn crowded_splices_and_grounds_keep_apart() {
    for more in [0, 1, 2, 3, 5, 8, 13] {
        let harness = crowd(more);
        for proportions in BOTH {
            lawful(&harness, &Drawing::proportioned(&harness, proportions));
        }
    }
}

#[test]
fn crowded_splices_keep_apart_wherever_they_are_put() {
    for (x, y) in [(0.0, 0.0), (240.0, -120.0), (131.0, 77.0), (400.0, 300.0)] {
        let mut harness = crowd(9);
        let splices: Vec<PartId> = harness.parts.keys().copied().collect();
        for (step, id) in splices.into_iter().enumerate().filter(|(i, _)| i % 2 == 1) {
            let x = x + 30.0 * f64::from(u8::try_from(step).unwrap());
            harness.parts.get_mut(&id).unwrap().drawn_at = Some(DrawnAt { x, y });
        }
        for proportions in BOTH {
            lawful(&harness, &Drawing::proportioned(&harness, proportions));
        }
    }
}
