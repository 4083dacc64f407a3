//! Laws that hold for any commands on any harness.

use std::sync::Arc;

use proptest::prelude::*;

use super::random::command;
use crate::edit::{EditError, History, apply};
use crate::model::random::{Dice, random_harness};
use crate::model::{Harness, MapFinding, check, file};

/// How many ends of wires and leads name a terminal that is not there.
fn nowhere(harness: &Harness) -> usize {
    let found = check(harness);
    let nowhere = found.iter().filter(|found| {
        matches!(
            found,
            MapFinding::WireNowhere { .. } | MapFinding::LeadNowhere { .. }
        )
    });
    nowhere.count()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn undo_brings_back_exactly_what_was(seed in any::<u64>(), length in 1_usize..40) {
        let mut dice = Dice::new(seed);
        let mut history = History::new(Arc::new(random_harness(seed, 6)));
        let mut states = vec![Harness::clone(history.now())];
        for _ in 0..length {
            let next = command(history.now(), &mut dice);
            let steps = history.undoes().is_some();
            if history.apply(next).is_ok() && states.last() != Some(&**history.now()) {
                states.push(Harness::clone(history.now()));
            }
            prop_assert!(history.undoes().is_some() || !steps);
        }
        for state in states.iter().rev().skip(1) {
            history.undo();
            prop_assert_eq!(&**history.now(), state);
        }
        prop_assert!(history.undoes().is_none());
        for state in states.iter().skip(1) {
            history.redo();
            prop_assert_eq!(&**history.now(), state);
        }
        prop_assert!(history.redoes().is_none());
    }

    #[test]
    fn what_was_edited_can_be_saved_and_read_again(seed in any::<u64>(), length in 1_usize..30) {
        let mut dice = Dice::new(seed);
        let mut harness = random_harness(seed, 6);
        for _ in 0..length {
            let before = nowhere(&harness);
            let ids = harness.next_id;
            let next = command(&harness, &mut dice);
            if let Ok(changed) = apply(&harness, &next) {
                harness = changed;
                prop_assert!(nowhere(&harness) <= before, "{next:?}");
                prop_assert!(harness.next_id >= ids);
            }
        }
        let read = file::read(&file::write(&harness));
        prop_assert_eq!(read, Ok(harness));
    }

    #[test]
    fn a_batch_is_one_step_or_none(seed in any::<u64>()) {
        let mut dice = Dice::new(seed);
        let mut history = History::new(Arc::new(random_harness(seed, 4)));
        let before = Arc::clone(history.now());
        let mut now = Harness::clone(&before);
        let mut commands = Vec::new();
        let mut fits = true;
        for _ in 0..4 {
            let next = command(&now, &mut dice);
            match apply(&now, &next) {
                Ok(changed) => now = changed,
                Err(_) => fits = false,
            }
            commands.push(next);
        }
        let done = history.apply(crate::edit::Command::Batch(commands));
        prop_assert_eq!(done.is_ok(), fits);
        if fits {
            prop_assert_eq!(&history.now().parts, &now.parts);
            prop_assert_eq!(&history.now().wires, &now.wires);
            history.undo();
        }
        prop_assert!(Arc::ptr_eq(history.now(), &before));
    }
}

#[test]
fn undo_reaches_back_to_the_very_first_of_a_thousand_steps() {
    let first = Arc::new(random_harness(12, 4));
    let mut history = History::new(Arc::clone(&first));
    let mut dice = Dice::new(5);
    let mut states = Vec::new();
    while states.len() < 1_000 {
        let before = Arc::clone(history.now());
        let next = command(&before, &mut dice);
        if history.apply(next).is_ok() && !Arc::ptr_eq(&before, history.now()) {
            states.push(before);
        }
    }
    for state in states.iter().rev() {
        history.undo();
        assert_eq!(history.now(), state);
    }
    assert!(history.undoes().is_none());
    for state in states.iter().skip(1) {
        history.redo();
        assert_eq!(history.now(), state);
    }
}

#[test]
fn a_map_whose_numbers_are_used_up_takes_no_more_parts() {
    let mut harness = random_harness(2, 4);
    harness.next_id = u32::MAX - 1;
    let add = crate::edit::Command::AddPart {
        name: "Splice".into(),
        kind: Box::new(crate::model::PartKind::Splice),
        at: None,
    };
    assert_eq!(apply(&harness, &add), Err(EditError::NoIdsLeft));
    harness.next_id = u32::MAX - 2;
    assert!(apply(&harness, &add).is_ok());
}
