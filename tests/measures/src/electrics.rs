//! The electrics on the V12 sample: every single fault in three setups, all terminals.

use std::sync::Arc;

use sparktrail_core::electrics::{Alteration, Assumptions, Circuit, Desk, Solution, Standing};
use sparktrail_core::faults::{Fault, all_faults, alteration, severities};
use sparktrail_core::model::{Harness, Setup, file};

use crate::Row;
use crate::stopwatch::median_ms;

/// A V12 with a coil on each cylinder and in-line connectors: the largest sample.
const V12: &str = include_str!("../../../sample-harnesses/silver-limousine.json");
/// One fault in this many is also factorised anew, to compare.
const ANEW: usize = 16;

/// A harness with all that is asked of it.
struct Job {
    circuit: Arc<Circuit>,
    alterations: Vec<Alteration>,
}

fn setups() -> [Setup; 3] {
    [Setup::key_on(), Setup::idling(), Setup::battery_off()]
}

impl Job {
    fn of(harness: &Harness) -> Self {
        let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
        let alterations = every_fault(harness)
            .into_iter()
            .map(|fault| alteration(harness, &circuit, fault))
            .collect();
        Self {
            circuit,
            alterations,
        }
    }

    /// Every fault in every setup, the base factorisations included. Returns what was read in all, so
    /// that none of it can be left out.
    fn run(&self) -> f64 {
        let mut sum = 0.0;
        for setup in setups() {
            let standing = Standing::of(&self.circuit, &setup);
            let mut desk = Desk::new(&standing);
            for change in &self.alterations {
                sum += desk.answer(change).readings.iter().sum::<f64>();
            }
        }
        sum
    }

    /// Some of the faults in every setup, each factorised anew.
    fn anew(&self) -> f64 {
        let mut sum = 0.0;
        for setup in setups() {
            for change in self.alterations.iter().step_by(ANEW) {
                sum += Solution::of(&self.circuit, &setup, change)
                    .volts()
                    .iter()
                    .sum::<f64>();
            }
        }
        sum
    }
}

/// Every element × mode × severity.
fn every_fault(harness: &Harness) -> Vec<Fault> {
    all_faults(harness)
        .into_iter()
        .flat_map(|fault| {
            severities(fault.element, fault.mode)
                .into_iter()
                .map(move |mode| Fault::new(fault.element, mode))
        })
        .collect()
}

fn count(many: usize) -> f64 {
    u32::try_from(many).map_or(f64::MAX, f64::from)
}

/// The rows of this floor.
pub(crate) fn rows() -> Vec<Row> {
    let Ok(harness) = file::read(V12) else {
        return Vec::new();
    };
    let job = Job::of(&harness);
    let asked = count(job.alterations.len() * setups().len());
    let each = median_ms(|| job.run()) * 1e3 / asked;
    let anew = median_ms(|| job.anew()) * 1e3
        / count(job.alterations.len().div_ceil(ANEW) * setups().len());
    let row = |name: &str, value, unit, beside, note: String| Row {
        name: format!("electrics.{name}"),
        value,
        unit,
        beside,
        note,
    };
    let place = if cfg!(target_arch = "wasm32") {
        "browser"
    } else {
        "native"
    };
    let mut rows = vec![row(
        &format!("v12_fault_{place}_us"),
        each,
        "µs",
        Some(anew),
        "one fault in one setup, all terminals, base factorisations shared out; beside: factorised anew".into(),
    )];
    if cfg!(target_arch = "wasm32") {
        return rows;
    }
    rows.extend([
        row(
            "v12_faults",
            count(job.alterations.len()),
            "",
            None,
            format!(
                "element × mode × severity, each in {} setups, {} nodes",
                setups().len(),
                job.circuit.len()
            ),
        ),
        row(
            "refactorise_ratio",
            anew / each,
            "×",
            None,
            "how many times as long a new factorisation for each fault takes".into(),
        ),
    ]);
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_timed_does_happen() {
        let harness = file::read(V12).expect("the sample can be read");
        let job = Job::of(&harness);
        assert!(job.alterations.len() > 1000);
        assert!(job.run().is_finite() && job.run() > 1e6);
    }
}
