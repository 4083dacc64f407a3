//! Prints what should be read at every terminal of a harness in a setup, as JSON.
//!
//! ```sh
//! cargo run --release -p sparktrail-core --example readings -- FILE [--setup NAME] [--fault NUMBER] [--pull up:OHMS|down:OHMS]
//! ```
//!
//! Voltages stand against battery minus; with the battery off, resistances do. Where the engine turns
//! it also prints each coil's current and each plug's spark.

use std::process::ExitCode;

use serde_json::{Value, json};
use sparktrail_core::electrics::{Charge, Demand, Measure, Reading, SparkEvent};
use sparktrail_core::model::{PartKind, Port, Terminal};

mod case;
use case::Case;

fn main() -> ExitCode {
    case::with_case("readings", |case| {
        let told = json!({
            "title": case.harness.title,
            "setup": case.setup_name,
            "fault": case.fault_name(),
            "terminals": terminals(case),
            "coils": coils(case),
            "plugs": plugs(case),
        });
        format!("{told:#}\n")
    })
}

/// Every terminal against battery minus.
fn terminals(case: &Case) -> Value {
    let harness = &case.harness;
    let battery = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)));
    let solution = case.solution();
    let Some((&battery, _)) = battery else {
        // Nothing to hold the black lead on: potentials against an imagined ground.
        return solution
            .potentials()
            .map(|(terminal, volts)| {
                json!({ "terminal": harness.terminal_name(terminal), "volts": volts.get() })
            })
            .collect();
    };
    let black = Terminal {
        part: battery,
        port: Port::Minus,
    };
    solution
        .circuit()
        .terminals()
        .filter_map(|(terminal, _)| {
            let reading = solution.reading(terminal, black).ok()?;
            Some(told(&harness.terminal_name(terminal), &reading))
        })
        .collect()
}

fn told(terminal: &str, reading: &Reading) -> Value {
    let (low, high) = reading.band;
    match reading.value {
        Measure::Volts(volts) => {
            json!({ "terminal": terminal, "volts": volts.get(), "band": [low, high] })
        }
        Measure::Ohms(ohms) => {
            json!({ "terminal": terminal, "ohms": ohms.get(), "band": [low, high] })
        }
        Measure::Overload => json!({ "terminal": terminal, "ohms": "OL" }),
    }
}

fn coils(case: &Case) -> Value {
    case.solution()
        .currents()
        .map(|(coil, peak, average)| {
            json!({
                "coil": case.harness.part_name(coil),
                "peak_amps": peak.get(),
                "average_amps": average.get(),
            })
        })
        .collect()
}

fn plugs(case: &Case) -> Value {
    let event = |event: Option<SparkEvent>| {
        event.map(|event| {
            json!({
                "spark": event.state.code(),
                "because": event.reason.code(),
                "available_kv": event.available_kv,
                "needed_kv": event.needed_kv,
                "joules": event.energy.get(),
            })
        })
    };
    case.solution()
        .sparks(&case.harness, Demand::ByGap(Charge::Idle))
        .iter()
        .map(|plug| {
            json!({
                "plug": case.harness.part_name(plug.plug),
                "cylinder": plug.cylinder.map(|cylinder| cylinder.0),
                "compression": event(plug.compression),
                "waste": event(plug.waste),
                "at_other_angles": plug.stray.len(),
            })
        })
        .collect()
}
