//! Practice: cases of every level on every sample, their readings by two ways, and the planner on each.

use std::path::Path;

use sparktrail_core::electrics::Measure;
use sparktrail_core::isolation::{Case, Plan};
use sparktrail_core::model::file;
use sparktrail_core::practice::{Bench, End, Level, Run, Ticket};

use crate::Row;

/// Cases of each level on each sample.
const SEEDS: u64 = 2;
/// Two ways to one reading may differ by this, V.
const SAME: f64 = 1e-6;

#[derive(Default)]
struct Count {
    tried: u32,
    agreed: u32,
    readings: u32,
    right: u32,
}

pub(crate) fn rows() -> Vec<Row> {
    let mut count = Count::default();
    for path in crate::samples() {
        sample(&path, &mut count);
    }
    vec![Row {
        name: "practice.cases_checked".into(),
        value: f64::from(count.agreed),
        unit: "cases",
        beside: Some(f64::from(count.tried)),
        note: format!(
            "cases whose {} voltage readings agree by two ways within a microvolt; beside: all cases \
             tried; in {} of them the planner ended on a culprit or mended it",
            count.readings, count.right
        ),
    }]
}

fn sample(path: &Path, count: &mut Count) -> Option<()> {
    let harness = file::read(&std::fs::read_to_string(path).ok()?).ok()?;
    let case = Case::owning(Bench::bare(&harness)).ok()?;
    let plan = Plan::of(&case);
    for level in Level::ALL {
        for seed in 0..SEEDS {
            let ticket = Ticket {
                engine: path.file_stem()?.to_string_lossy().into_owned(),
                level,
                seed,
            };
            let case = case.reweighed(Bench::bare(&harness)).ok()?;
            let Ok(bench) = Bench::set(&harness, case, plan.clone(), ticket) else {
                continue;
            };
            let mut run = bench.begin();
            while bench.planned(&mut run) {}
            count.tried += 1;
            count.agreed += u32::from(agrees(&bench, &run, &mut count.readings));
            let faults = bench.truth().faults;
            let leader = run.steps.last().and_then(|step| step.leader);
            let right = leader.is_some_and(|(unit, _)| faults.iter().any(|(_, u)| *u == unit));
            count.right += u32::from(right || run.end == Some(End::Cured));
        }
    }
    Some(())
}

/// Whether every voltage that was asked for reads the same both ways.
fn agrees(bench: &Bench, run: &Run, readings: &mut u32) -> bool {
    run.steps.iter().all(|step| {
        let question = &bench.plan().act(step.test).question;
        match (bench.behind(question), bench.behind_by_update(question)) {
            (Some(Measure::Volts(one)), Some(other)) => {
                *readings += 1;
                (one.get() - other).abs() < SAME
            }
            _ => true,
        }
    })
}
