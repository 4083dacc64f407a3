//! What is wrong, doubtful or unfinished in a map, as data.
//!
//! ```
//! use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! use sparktrail_core::engine::{Layout, Strokes};
//! use sparktrail_core::model::check;
//!
//! let mut harness = build(&Plan::new("Blue estate", propose_engine(4, Layout::Inline, Strokes::Four)))?;
//! assert!(check(&harness).is_empty());
//! harness.engine.order.value.swap(0, 1);
//! let found = check(&harness);
//! println!("{}", found[0].named(&harness));
//! # assert_eq!(found.len(), 2);
//! # Ok::<(), sparktrail_core::edit::layouts::PlanError>(())
//! ```

mod engine;
mod finding;
mod ignition;
mod joined;
mod places;
mod record;
mod supply;
mod values;
mod wiring;
mod words;

use crate::gather::Gather;
use std::collections::BTreeSet;

use super::{FactAt, Harness};

pub use finding::{MapFinding, Missing};
pub use places::{Severity, Spot};
pub use values::{Basis, Quantity, Range};
pub use words::Named;

/// Everything that is wrong, doubtful or unfinished in a map: the engine first, then wiring, ignition,
/// supply, values and findings, each in rising order of ids. Empty for a finished, sound map.
///
/// An unfinished or broken map is data here, never an error. Two maps that differ only in names give
/// the same findings.
#[must_use]
pub fn check(harness: &Harness) -> Vec<MapFinding> {
    let mut found = check_wiring(harness);
    found.extend(check_record(harness));
    found
}

/// The first part of [`check`]: what engine, parts and wires give, whatever was found on the car and is said of it.
#[must_use]
pub fn check_wiring(harness: &Harness) -> Vec<MapFinding> {
    let mut found = Vec::new();
    engine::check(harness, &mut found);
    wiring::check(harness, &mut found);
    let joined = joined::Joined::of(harness);
    ignition::check(harness, &joined, &mut found);
    supply::check(harness, &joined, &mut found);
    values::check(harness, &mut found);
    found
}

/// The rest of [`check`]: values that clash, and findings that name what is not there.
#[must_use]
pub fn check_record(harness: &Harness) -> Vec<MapFinding> {
    let mut found = Vec::new();
    clashes(harness, &mut found);
    record::check(harness, &mut found);
    found
}

/// One finding for each fact of which several things are said.
fn clashes(harness: &Harness, found: &mut Vec<MapFinding>) {
    let facts: BTreeSet<FactAt> = harness.rivals.iter().map(|rival| rival.at).gather();
    found.extend(facts.into_iter().map(|at| MapFinding::FactsClash { at }));
}
