//! Guided walks on every sample: they find what is hidden, are not fooled, and never ask for what hurts.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::OnceLock;

use sparktrail_core::electrics::Measure;
use sparktrail_core::faults::{Fault, expected};
use sparktrail_core::isolation::{Answer, Probes};
use sparktrail_core::model::*;
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::*;

#[path = "../common/mod.rs"]
mod common;

mod found;
mod kept;
mod laws;
mod proven;

fn samples() -> &'static [Harness] {
    static SAMPLES: OnceLock<Vec<Harness>> = OnceLock::new();
    SAMPLES.get_or_init(|| {
        let names = common::names();
        names.iter().map(|name| common::sample(name)).collect()
    })
}

fn v8() -> Harness {
    common::sample("white-cruiser")
}

/// What a car with a fault reads, leads of the meter included.
fn read(harness: &Harness, probes: &Probes, fault: Option<&Fault>) -> Reply {
    let at = (probes.red, probes.black.unwrap());
    let reading = expected(harness, &probes.setup, at, fault).unwrap();
    Reply::Found(match reading.value {
        Measure::Volts(volts) => Answer::Volts(volts.get(), volts.get()),
        Measure::Ohms(ohms) => Answer::Ohms(ohms.get() + 0.2, ohms.get() + 0.2),
        Measure::Overload => Answer::Overload,
    })
}

/// Plays a walk to its end on a car with a fault; the fault is always there.
fn play(harness: &Harness, kind: Kind, fault: Option<&Fault>) -> (Walk, Verdict) {
    let mut walk = Walk::begin(harness, kind);
    for _ in 0..100 {
        let step = match walk.stage(harness).now {
            Stage::Over(verdict) => return (walk, verdict),
            Stage::Ask(step) => step,
        };
        let reply = match (&step.task, step.probes()) {
            (Task::LeadsTogether, _) => Reply::Found(Answer::Ohms(0.2, 0.2)),
            (_, Some(probes))
                if step.replies == Replies::Volts || step.replies == Replies::Ohms =>
            {
                read(harness, probes, fault)
            }
            (Task::FaultNow | Task::Runs, _) => Reply::Yes,
            _ => panic!("no reply to {step:?}"),
        };
        walk = walk.answer(harness, reply).unwrap().walk;
    }
    panic!("the walk does not end");
}

fn control_paths(harness: &Harness) -> Vec<Kind> {
    let mut found = Vec::new();
    for wire in harness.wires.keys() {
        for kind in offered(harness, Pick::Wire(*wire)) {
            let wanted = matches!(kind, Kind::Continuity { from, to }
                if matches!(from.port, Port::Pin(_))
                    && matches!(to.port, Port::Switched | Port::DriveIn));
            if wanted && !found.contains(&kind) {
                found.push(kind);
            }
        }
    }
    found
}

fn ask(harness: &Harness, walk: &Walk) -> Step {
    match walk.stage(harness).now {
        Stage::Ask(step) => step,
        Stage::Over(verdict) => panic!("over: {verdict:?}"),
    }
}

fn volts(value: f64) -> Reply {
    Reply::Found(Answer::Volts(value, value))
}

fn go(harness: &Harness, walk: &Walk, reply: Reply) -> Answered {
    walk.answer(harness, reply)
        .unwrap_or_else(|why| panic!("{reply:?}: {why}"))
}
