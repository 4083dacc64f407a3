//! Every part and wire has a shape, nothing overlaps, nothing is not a number.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use super::*;
use crate::edit::layouts::{Injectors, Inline, Plan, build, propose_engine};
use crate::engine::{Layout, Strokes};
use crate::model::{Harness, PartKind};

fn six() -> Harness {
    let mut plan = Plan::new("Six", propose_engine(6, Layout::Inline, Strokes::Four));
    plan.inline = Inline::One;
    plan.injectors = Injectors::Drawn;
    build(&plan).unwrap()
}

fn check(harness: &Harness) {
    for proportions in [Proportions::Wide, Proportions::Tall] {
        let drawing = Drawing::proportioned(harness, proportions);
        for (&id, part) in &harness.parts {
            let drawn = drawing.place_of(Pick::Part(id)).is_some();
            assert!(drawn, "{} is not drawn", part.name);
            if let PartKind::ControlUnit(unit) = &part.kind {
                for driver in &unit.drivers {
                    assert!(drawing.place_of(Pick::Driver(driver.id)).is_some());
                }
            }
        }
        for &id in harness.wires.keys() {
            assert!(
                drawing.place_of(Pick::Wire(id)).is_some(),
                "{}",
                harness.wire_name(id)
            );
        }
        for cylinder in harness.engine.cylinders() {
            assert!(drawing.place_of(Pick::Cylinder(cylinder)).is_some());
        }
    }
}

#[test]
fn every_part_and_wire_of_a_layout_is_drawn() {
    check(&six());
}
