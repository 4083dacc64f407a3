//! Owners who do what Next and the walks say find what was hidden from them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use sparktrail_core::isolation::trials::{Tally, noticed};
use sparktrail_core::isolation::{Case, MOST_TESTS, Plan};
use sparktrail_core::model::file;
use sparktrail_core::walkthrough::owners::hide;

#[test]
fn hidden_faults_are_found_by_walks_alone() {
    let text = include_str!("../../sample-harnesses/red-twin.json");
    let mut harness = file::read(text).unwrap();
    harness.findings.clear();
    let case = Case::of(&harness).unwrap();
    let plan = Plan::of(&case);
    let mut tally = Tally::default();
    let mut runs = 0;
    for cause in noticed(&case).into_iter().step_by(12) {
        if let Some(run) = hide(&harness, &case, &plan, cause, 0) {
            // The same luck gives the same run.
            if runs < 2 {
                assert_eq!(hide(&harness, &case, &plan, cause, 0), Some(run));
            }
            tally.add(&run, case.causes()[cause].prior);
            runs += 1;
        }
    }
    println!(
        "{runs} runs: first {:.3}, {:.1} tests, {:.0} min, long {:.3}",
        tally.first(),
        tally.tests(),
        tally.minutes(),
        tally.long()
    );
    assert!(runs >= 10, "only {runs} runs");
    // What a simulated owner with the same luck of the tables reaches: see `cargo xtask measure`.
    assert!(tally.first() >= 0.85, "{:.3}", tally.first());
    assert!(tally.tests() < f64::from(u32::try_from(MOST_TESTS).unwrap()));
}
