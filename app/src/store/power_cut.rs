//! The power is cut between any two changes of what is kept, in every flow that changes it: whatever was saved is
//! there afterwards as it was before the flow or as it is after it, never neither.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::{BTreeMap, BTreeSet};

use super::backup;
use super::projects::{self, Beside, Entry, ProjectId, Record, Version};
use super::shelf::Shelf;
use super::tests::{Memory, kept, map};
use super::windows::{self, beside};

/// Everything that can be had from a shelf: projects, and deleted ones that can be brought back.
fn had(shelf: &Memory) -> BTreeMap<ProjectId, String> {
    let list = projects::list(shelf).unwrap();
    let entries: Vec<Entry> = list.projects.into_iter().chain(list.bin).collect();
    let mut had = BTreeMap::new();
    for entry in entries {
        let key = format!("sparktrail/1/map/{}.{}", entry.id.as_str(), entry.revision);
        let text = shelf.read(&key).unwrap();
        let text = text.unwrap_or_else(|| panic!("{entry:?} has no record"));
        had.insert(entry.id, text);
    }
    had
}

fn records(shelf: &Memory) -> usize {
    shelf.keys("sparktrail/1/map/").unwrap().len()
}

fn record<'a>(title: &'a str, text: &'a str) -> Record<'a> {
    Record {
        title,
        about: "",
        text,
        now: 9_000.0,
    }
}

/// Runs a flow with the power cut after no change, after one, and so on until it runs to its end; `before` fills the
/// shelf and tells what the flow needs to know.
fn at_every_cut<T>(before: impl Fn(&Memory) -> T, flow: impl Fn(&Memory, &T)) {
    let whole = Memory::default();
    let known = before(&whole);
    let old = had(&whole);
    flow(&whole, &known);
    let new = had(&whole);
    let mut cuts = 0;
    loop {
        let shelf = Memory::default();
        let known = before(&shelf);
        shelf.changes_left.set(Some(cuts));
        flow(&shelf, &known);
        let ended = shelf.changes_left.get() != Some(0);
        // The power is back.
        shelf.changes_left.set(None);
        projects::mend(&shelf).unwrap();
        let now = had(&shelf);
        let ids: BTreeSet<&ProjectId> = old.keys().chain(new.keys()).chain(now.keys()).collect();
        for id in ids {
            let (is, was, would) = (now.get(id), old.get(id), new.get(id));
            assert!(
                is == was || is == would,
                "after {cuts} changes: {is:?} is neither {was:?} nor {would:?}"
            );
        }
        // At most the record that was being written takes room.
        assert!(records(&shelf) <= now.len() + 1, "after {cuts} changes");
        goes_on(&shelf);
        if ended {
            assert_eq!(now, new);
            assert!(cuts > 0, "the flow changes nothing");
            break;
        }
        cuts += 1;
    }
}

/// Every project can be saved anew, and is then what was saved.
fn goes_on(shelf: &Memory) {
    for entry in projects::list(shelf).unwrap().projects {
        projects::save(shelf, &entry.version(), record("Later", "later")).unwrap();
        assert_eq!(projects::load(shelf, &entry.id).unwrap().0, "later");
    }
    let list = projects::list(shelf).unwrap();
    assert_eq!(records(shelf), list.projects.len() + list.bin.len());
}

fn two(shelf: &Memory) -> (Version, Version) {
    let estate = kept(shelf, "Estate", "", 1_000.0);
    (estate, kept(shelf, "Van", "", 2_000.0))
}

#[test]
fn a_first_project() {
    at_every_cut(
        |_| (),
        |shelf, ()| {
            let _ = projects::add(shelf, record("New", "new"));
        },
    );
}

#[test]
fn a_new_project_or_a_copy() {
    at_every_cut(two, |shelf, _| {
        let _ = projects::add(shelf, record("New", "new"));
    });
}

#[test]
fn autosave() {
    at_every_cut(two, |shelf, (estate, _)| {
        let _ = projects::save(shelf, estate, record("Estate", "changed"));
    });
}

/// What is saved is one of three states that follow each other.
#[test]
fn autosave_keeps_the_last_state_or_the_one_before() {
    for cuts in 0..8 {
        let shelf = Memory::default();
        let (mut at, _) = two(&shelf);
        shelf.changes_left.set(Some(cuts));
        let mut last = 0;
        for (count, text) in ["first", "second"].into_iter().enumerate() {
            if shelf.changes_left.get() == Some(0) {
                break;
            }
            last = count + 1;
            at = projects::save(&shelf, &at, record("Estate", text)).unwrap();
        }
        shelf.changes_left.set(None);
        projects::mend(&shelf).unwrap();
        let before = map("Estate", "");
        let states = [before.as_str(), "first", "second"];
        let now = projects::load(&shelf, &at.id).unwrap().0;
        let place = states.iter().position(|state| *state == now).unwrap();
        assert!(
            place == last || place + 1 == last,
            "{place} of {last} after {cuts} changes"
        );
    }
}

#[test]
fn another_title() {
    at_every_cut(two, |shelf, (estate, _)| {
        let text = map("Estate, mended", "");
        let _ = projects::save(shelf, estate, record("Estate, mended", &text));
    });
}

#[test]
fn deleting_and_bringing_back() {
    at_every_cut(two, |shelf, (estate, _)| {
        let _ = projects::delete(shelf, &estate.id);
    });
    at_every_cut(two, |shelf, (estate, _)| {
        let _ = projects::delete(shelf, &estate.id);
        let _ = projects::bring_back(shelf, &estate.id);
    });
}

/// The eleventh that is deleted pushes the first out of the bin.
#[test]
fn deleting_with_a_full_bin() {
    let full = |shelf: &Memory| {
        let mut last = None;
        for count in 0..11_u32 {
            let version = kept(shelf, &format!("Map {count}"), "", f64::from(count));
            if count < 10 {
                let _ = projects::delete(shelf, &version.id);
            }
            shelf
                .write(&Beside::Walk.key(&version.id), "a walk")
                .unwrap();
            last = Some(version);
        }
        last.unwrap()
    };
    at_every_cut(full, |shelf, last| {
        let _ = projects::delete(shelf, &last.id);
    });
}

/// Where there is no room, what was deleted gives way.
#[test]
fn saving_into_a_full_shelf() {
    let full = |shelf: &Memory| {
        let (estate, van) = two(shelf);
        projects::delete(shelf, &van.id).unwrap();
        shelf.fails_at.set(Some(shelf.writes.get()));
        estate
    };
    at_every_cut(full, |shelf, estate| {
        let _ = projects::save(shelf, estate, record("Estate", "changed"));
    });
}

#[test]
fn taking_a_backup_in() {
    let other = Memory::default();
    let (estate, _) = two(&other);
    kept(&other, "Truck", "", 3_000.0);
    let changed = map("Estate", "of the backup");
    projects::save(&other, &estate, record("Estate", &changed)).unwrap();
    let backup = backup::pack(&other).unwrap().text;
    at_every_cut(two, move |shelf, _| {
        let restored = backup::restore(shelf, &backup);
        assert!(restored.is_ok());
    });
}

/// Another window saved the project; this one keeps both.
#[test]
fn two_windows() {
    at_every_cut(two, |shelf, (estate, _)| {
        let _ = projects::save(shelf, estate, record("Estate", "theirs"));
        if projects::save(shelf, estate, record("Estate", "ours")).is_err() {
            let title = beside("Estate", windows::Beside::Window);
            let _ = projects::add(shelf, record(&title, "ours"));
        }
    });
}

/// A walk's step writes the walk and, a moment later, the map with what was found.
#[test]
fn what_is_kept_beside_a_project() {
    for key in [Beside::Walk, Beside::Trace] {
        let begun = |shelf: &Memory| {
            let (estate, _) = two(shelf);
            shelf.write(&key.key(&estate.id), "one step").unwrap();
            estate
        };
        let step = |shelf: &Memory, estate: &Version| {
            let _ = shelf.write(&key.key(&estate.id), "two steps");
            let _ = projects::save(shelf, estate, record("Estate", "with a finding"));
        };
        at_every_cut(begun, step);
        for cuts in 0..5 {
            let shelf = Memory::default();
            let estate = begun(&shelf);
            shelf.changes_left.set(Some(cuts));
            step(&shelf, &estate);
            shelf.changes_left.set(None);
            projects::mend(&shelf).unwrap();
            let beside = shelf.read(&key.key(&estate.id)).unwrap();
            assert!(matches!(beside.as_deref(), Some("one step" | "two steps")));
        }
    }
}
