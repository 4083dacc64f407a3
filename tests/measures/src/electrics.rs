//! The electrics on the V12 sample: every single fault in three setups, all terminals.

use std::sync::Arc;

use sparktrail_core::edit::layouts::propose_engine;
use sparktrail_core::electrics::{
    Alteration, Assumptions, Circuit, Desk, OperatingPoint, Solution,
};
use sparktrail_core::engine::{Layout, Strokes};
use sparktrail_core::faults::{all_faults, alteration, graded_faults};
use sparktrail_core::model::{
    Battery, Coil, ControlUnit, Driver, GroundSite, Harness, Lead, LeadKind, PartKind, Pin, PinId,
    PinRole, Plug, Port, Secondary, Setup, Terminal, UnitRole, Wire, file,
};
use sparktrail_core::provenance::Fact;

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
        let alterations = graded_faults(harness)
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
            let point = Arc::new(OperatingPoint::of(&self.circuit, &setup));
            let mut desk = Desk::new(&point);
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

/// What the app solves when a fault is chosen after an edit. Returns what was read in all.
fn one_reading(harness: &Harness) -> f64 {
    let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
    let fault = all_faults(harness).into_iter().next();
    let change = fault.map_or_else(Alteration::default, |fault| {
        alteration(harness, &circuit, fault)
    });
    let cases = [Alteration::default(), change];
    let sums = cases.iter().map(|change| {
        let solution = Solution::of(&circuit, &Setup::idling(), change);
        solution.volts().iter().sum::<f64>()
    });
    sums.sum()
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
    let reading = median_ms(|| one_reading(&harness));
    rows.push(row(
        "v12_reading_ms",
        reading,
        "ms",
        Some(16.0),
        "one tap in the app after an edit: circuit, healthy and faulty solution, every potential; beside: one frame".into(),
    ));
    #[cfg(not(target_arch = "wasm32"))]
    rows.extend(native_rows(&job, each));
    if cfg!(target_arch = "wasm32") {
        return rows;
    }
    let (exponent, curve) = growth();
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
        row(
            "growth_exponent",
            exponent,
            "",
            Some(1.0),
            format!("time to the power of (faults × terminals), 2 to 40 coils; beside: in proportion; {curve}"),
        ),
    ]);
    rows
}

/// Rows that need processes or much time.
#[cfg(not(target_arch = "wasm32"))]
fn native_rows(job: &Job, each: f64) -> Vec<Row> {
    use crate::outside::{max_error, ngspice_ms};

    let mut rows = vec![Row {
        name: "electrics.max_error_volts".into(),
        value: max_error(&job.circuit, &job.alterations, &setups()),
        unit: "V",
        beside: Some(1e-7),
        note: "largest distance from an elimination in 256 bits, over all faults, setups and nodes; beside: the aim".into(),
    }];
    if let Some(process) = ngspice_ms(&job.circuit, &job.alterations) {
        rows.push(Row {
            name: "electrics.ngspice_ratio".into(),
            value: process * 1e3 / each,
            unit: "×",
            beside: Some(1000.0),
            note: format!("how many times as long one process of ngspice a fault takes: {process:.1} ms; beside: the aim"),
        });
    }
    rows
}

/// Coils of the harnesses whose times make the curve.
const COILS: [u32; 5] = [2, 5, 10, 20, 40];

/// By which power of (faults × terminals) the time grows, with the times in words.
fn growth() -> (f64, String) {
    let mut points = Vec::new();
    let mut words = Vec::new();
    for coils in COILS {
        let harness = many_coils(coils);
        let job = Job::of(&harness);
        let ms = median_ms(|| job.run());
        let size = count(job.alterations.len()) * count(job.circuit.terminals().count());
        points.push((size.ln(), ms.ln()));
        words.push(format!("{coils} coils {ms:.1} ms"));
    }
    let many = count(points.len());
    let mean = |value: fn(&(f64, f64)) -> f64| points.iter().map(value).sum::<f64>() / many;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let along: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    let wide: f64 = points.iter().map(|p| (p.0 - x).powi(2)).sum();
    (along / wide, words.join(", "))
}

/// A harness with this many coils, each with its driver, feed, lead and plug. Wasted sparks all: the
/// engine's cylinders do not matter for the time.
fn many_coils(coils: u32) -> Harness {
    let engine = propose_engine(2, Layout::Inline, Strokes::Four);
    let mut harness = Harness::new("many coils", engine);
    let at = |part, port| Terminal { part, port };
    let fact = |terminal| Some(Fact::assumed(terminal));
    let battery = harness.add_part("battery", PartKind::Battery(Battery::default()));
    let ground = harness.add_part("ground", PartKind::Ground(GroundSite::Engine));
    let splice = harness.add_part("splice", PartKind::Splice);
    let pins: Vec<PinId> = (0..=coils).map(|_| harness.fresh()).collect();
    let pin = |id, role| Pin {
        id,
        label: None,
        role: Some(Fact::assumed(role)),
        note: String::new(),
    };
    let drivers = pins[1..]
        .iter()
        .map(|&output| {
            let id = harness.fresh();
            Driver {
                output: Some(Fact::assumed(output)),
                ..Driver::new(id, "driver")
            }
        })
        .collect();
    let switches = pins[1..].iter().map(|&id| pin(id, PinRole::CoilSwitch));
    let unit = harness.add_part(
        "unit",
        PartKind::ControlUnit(ControlUnit {
            pins: std::iter::once(pin(pins[0], PinRole::Ground))
                .chain(switches)
                .collect(),
            drivers,
            ..ControlUnit::new(UnitRole::EngineControl)
        }),
    );
    let mut wire = |from, to| {
        harness.add_wire(Wire {
            from: fact(from),
            to: fact(to),
            ..Wire::default()
        });
    };
    wire(at(battery, Port::Plus), at(splice, Port::Joint));
    wire(at(unit, Port::Pin(pins[0])), at(ground, Port::Joint));
    wire(at(ground, Port::Joint), at(battery, Port::Minus));
    for &output in &pins[1..] {
        let coil = harness.add_part("coil", PartKind::Coil(Coil::new(Secondary::ReturnsToFeed)));
        let plug = harness.add_part("plug", PartKind::Plug(Plug::default()));
        let lead = Lead {
            kind: LeadKind::Lead,
            from: fact(at(coil, Port::TowerA)),
            to: fact(at(plug, Port::PlugTop)),
            resistance: None,
        };
        harness.add_part("lead", PartKind::Lead(lead));
        let mut wire = |from, to| {
            harness.add_wire(Wire {
                from: fact(from),
                to: fact(to),
                ..Wire::default()
            });
        };
        wire(at(splice, Port::Joint), at(coil, Port::Feed));
        wire(at(unit, Port::Pin(output)), at(coil, Port::Switched));
    }
    harness
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
        assert!(one_reading(&harness) > 1000.0);
    }
}
