//! Random harnesses are of every kind, and whole in their references.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use super::*;
use crate::model::{PartKind, file};

#[test]
fn every_kind_of_part_and_coil_turns_up() {
    let mut kinds = BTreeSet::new();
    let mut coils = BTreeSet::new();
    let mut seen = BTreeSet::new();
    for seed in 0..300 {
        let harness = random_harness(seed, 8);
        for part in harness.parts.values() {
            let kind = format!("{:?}", part.kind);
            let end = kind.find('(').unwrap_or(kind.len());
            kinds.insert(kind[..end].to_owned());
            if let PartKind::Coil(coil) = &part.kind {
                coils.insert((format!("{:?}", coil.secondary), coil.driver.is_some()));
            }
        }
        for finding in &harness.findings {
            let what = format!("{:?}", finding.seen);
            let end = what.find(' ').unwrap_or(what.len());
            seen.insert(what[..end].to_owned());
        }
    }
    assert_eq!(kinds.len(), 14, "{kinds:?}");
    assert_eq!(coils.len(), 6, "{coils:?}");
    assert_eq!(seen.len(), 14, "{seen:?}");
}

#[test]
fn a_finished_harness_leaves_nothing_open() {
    for seed in 0..200 {
        let harness = random_harness_of(seed, 12, Tidiness::Finished);
        for wire in harness.wires.values() {
            for end in [wire.from, wire.to] {
                assert!(harness.has_terminal(end.unwrap().value), "seed {seed}");
            }
        }
        for cylinder in harness.engine.cylinders() {
            let plugs = harness.parts.keys().filter_map(|id| harness.plug(*id));
            let of_it = plugs.filter(|plug| plug.cylinder.unwrap().value == cylinder);
            assert_eq!(of_it.count(), 1, "seed {seed}");
        }
    }
}

#[test]
fn an_unfinished_harness_differs_from_the_finished_one() {
    let differ = (0..100).filter(|seed| {
        random_harness_of(*seed, 6, Tidiness::Finished)
            != random_harness_of(*seed, 6, Tidiness::Unfinished)
    });
    assert_eq!(differ.count(), 100);
}

#[test]
fn every_random_harness_is_whole_in_its_references() {
    for seed in 0..120 {
        let harness = random_harness(seed, 16);
        let back = file::read(&file::write(&harness));
        assert!(
            back.as_ref() == Ok(&harness),
            "seed {seed}: {:?}",
            back.err()
        );
    }
}
