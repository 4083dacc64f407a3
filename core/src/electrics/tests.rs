//! Laws of the reckoning: two ways agree, currents sum to nothing, nothing is ever not a number.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::Arc;

use super::*;
use crate::edit::layouts::{Arrangement, DriversIn, Inline, Plan, build, propose_engine};
use crate::engine::{Layout, Strokes};
use crate::model::{Harness, Setup};
use crate::units::Degrees;

/// Maps of several kinds.
pub(super) fn maps() -> Vec<Harness> {
    let four = propose_engine(4, Layout::Inline, Strokes::Four);
    let six = propose_engine(6, Layout::Inline, Strokes::Four);
    let twelve = propose_engine(
        12,
        Layout::Vee {
            bank_angle: Degrees::lit(60.0),
        },
        Strokes::Four,
    );
    let plan = |engine| Plan::new("test", engine);
    vec![
        build(&plan(four.clone())).unwrap(),
        build(&Plan {
            drivers: DriversIn::Module,
            ..plan(six)
        })
        .unwrap(),
        build(&Plan {
            arrangement: Arrangement::OneEach,
            drivers: DriversIn::Coil,
            ..plan(four.clone())
        })
        .unwrap(),
        build(&Plan {
            arrangement: Arrangement::Distributor,
            ..plan(four)
        })
        .unwrap(),
        build(&Plan {
            arrangement: Arrangement::OneEach,
            inline: Inline::One,
            ..plan(twelve)
        })
        .unwrap(),
    ]
}

pub(super) fn setups() -> Vec<Setup> {
    vec![Setup::key_on(), Setup::idling(), Setup::battery_off()]
}

/// Every single change of every branch, at a few severities.
fn single(circuit: &Circuit) -> Vec<Alteration> {
    let mut found = Vec::new();
    for at in 0..circuit.strands.len() {
        for edit in [
            Edit::Open,
            Edit::Series(0.5),
            Edit::Series(8.0),
            Edit::Series(100.0),
            Edit::Welded,
        ] {
            found.push(Alteration {
                edits: vec![(at, edit)],
                ..Alteration::default()
            });
        }
    }
    for node in 0..circuit.len() {
        for ohms in [0.02, 3.0, 25.0] {
            found.push(Alteration {
                bridges: vec![(node, circuit.reference(), ohms)],
                ..Alteration::default()
            });
        }
    }
    for driver in &circuit.drivers {
        found.push(Alteration {
            drivers: vec![(driver.id, Switching::Never)],
            ..Alteration::default()
        });
        found.push(Alteration {
            drivers: vec![(driver.id, Switching::Always)],
            ..Alteration::default()
        });
        found.push(Alteration {
            bridges: vec![(driver.collector, driver.emitter, 2.2)],
            ..Alteration::default()
        });
    }
    found
}

#[test]
fn low_rank_changes_agree_with_a_new_factorisation() {
    for (m, harness) in maps().iter().enumerate() {
        let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
        for setup in setups() {
            let standing = Standing::of(&circuit, &setup);
            let mut desk = Desk::new(&standing);
            let all = single(&circuit);
            let mut worst: f64 = 0.0;
            let step = if m == 4 { 7 } else { 1 };
            for alteration in all.iter().step_by(step) {
                let answer = desk.answer(alteration);
                let anew = Standing::altered(&circuit, &setup, alteration);
                let (plain, ..) = Desk::settled(&anew, alteration);
                for (node, (a, b)) in answer.volts.iter().zip(&plain).enumerate() {
                    assert!(a.is_finite() && b.is_finite());
                    let apart = (a - b).abs();
                    assert!(
                        apart < 1e-6,
                        "map {m} {:?}: {a} and {b} at {:?} with {alteration:?}",
                        setup.engine,
                        circuit.nodes.get(node)
                    );
                    worst = worst.max(apart);
                }
            }
            println!(
                "map {m} n {} strands {} {:?} worst {worst:e} {:?} of {}",
                circuit.len(),
                circuit.strands.len(),
                setup.engine,
                desk.tally(),
                all.len()
            );
        }
    }
}
