//! The projects' promises, on a shelf that can be made to fail at any write.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

use super::projects::{self, ProjectError, Record};
use super::shelf::Shelf;
use crate::edge::storage::StorageError;

/// Text in memory; the write numbered `fails_at` is refused.
#[derive(Default)]
struct Memory {
    kept: RefCell<BTreeMap<String, String>>,
    writes: Cell<usize>,
    fails_at: Cell<Option<usize>>,
}

impl Shelf for Memory {
    fn read(&self, key: &str) -> Result<Option<String>, StorageError> {
        Ok(self.kept.borrow().get(key).cloned())
    }

    fn write(&self, key: &str, text: &str) -> Result<(), StorageError> {
        let count = self.writes.get();
        self.writes.set(count + 1);
        if self.fails_at.get() == Some(count) {
            return Err(StorageError::Refused);
        }
        self.kept.borrow_mut().insert(key.into(), text.into());
        Ok(())
    }

    fn remove(&self, key: &str) -> Result<(), StorageError> {
        self.kept.borrow_mut().remove(key);
        Ok(())
    }

    fn keys(&self, prefix: &str) -> Result<Vec<String>, StorageError> {
        Ok(self
            .kept
            .borrow()
            .keys()
            .filter(|key| key.starts_with(prefix))
            .cloned()
            .collect())
    }
}

fn record(text: &str) -> Record<'_> {
    Record {
        title: "Estate",
        about: "",
        text,
        now: 1_000.0,
    }
}

#[test]
fn what_was_saved_comes_back() {
    let shelf = Memory::default();
    let id = projects::add(&shelf, record("one")).unwrap();
    projects::save(&shelf, &id, record("two")).unwrap();
    assert_eq!(projects::load(&shelf, &id).unwrap(), "two");
    // One list and one record: the older record is gone.
    assert_eq!(shelf.kept.borrow().len(), 2);
}

#[test]
fn a_failed_write_keeps_the_last_good_state() {
    for fails_at in 0..3 {
        let shelf = Memory::default();
        let id = projects::add(&shelf, record("good")).unwrap();
        shelf.fails_at.set(Some(shelf.writes.get() + fails_at));
        let outcome = projects::save(&shelf, &id, record("new"));
        let expected = if outcome.is_ok() { "new" } else { "good" };
        assert_eq!(projects::load(&shelf, &id).unwrap(), expected);
        // The next save works as if nothing had been.
        shelf.fails_at.set(None);
        projects::save(&shelf, &id, record("later")).unwrap();
        assert_eq!(projects::load(&shelf, &id).unwrap(), "later");
    }
}

#[test]
fn the_list_write_can_fail_too() {
    let shelf = Memory::default();
    let id = projects::add(&shelf, record("good")).unwrap();
    // The record is written first, the list second.
    shelf.fails_at.set(Some(shelf.writes.get() + 1));
    assert!(projects::save(&shelf, &id, record("new")).is_err());
    assert_eq!(projects::load(&shelf, &id).unwrap(), "good");
}

#[test]
fn two_projects_made_in_one_moment_stay_apart() {
    let shelf = Memory::default();
    let a = projects::add(&shelf, record("a")).unwrap();
    let b = projects::add(&shelf, record("b")).unwrap();
    assert_ne!(a, b);
    assert_eq!(projects::load(&shelf, &a).unwrap(), "a");
    assert_eq!(projects::load(&shelf, &b).unwrap(), "b");
}

#[test]
fn a_map_that_is_there_already_is_found() {
    let shelf = Memory::default();
    let id = projects::add(&shelf, record("one")).unwrap();
    assert_eq!(
        projects::same(&shelf, "Estate", "one").unwrap(),
        Some(id.clone())
    );
    assert_eq!(projects::same(&shelf, "Estate", "other").unwrap(), None);
    projects::delete(&shelf, &id).unwrap();
    assert_eq!(projects::same(&shelf, "Estate", "one").unwrap(), None);
}

#[test]
fn a_deleted_project_can_be_brought_back() {
    let shelf = Memory::default();
    let id = projects::add(&shelf, record("kept")).unwrap();
    projects::delete(&shelf, &id).unwrap();
    assert_eq!(
        projects::load(&shelf, &id),
        Err(ProjectError::Gone(id.clone()))
    );
    projects::bring_back(&shelf, &id).unwrap();
    assert_eq!(projects::load(&shelf, &id).unwrap(), "kept");
}

#[test]
fn the_bin_forgets_its_oldest_and_leaves_no_record_behind() {
    let shelf = Memory::default();
    let ids: Vec<_> = (0..12)
        .map(|_| projects::add(&shelf, record("x")).unwrap())
        .collect();
    for id in &ids {
        projects::delete(&shelf, id).unwrap();
    }
    assert!(projects::bring_back(&shelf, &ids[0]).is_err());
    assert!(projects::bring_back(&shelf, &ids[11]).is_ok());
    assert_eq!(shelf.kept.borrow().len(), 11, "ten records and the list");
}

#[test]
fn a_full_shelf_gives_up_what_was_deleted_first() {
    let shelf = Memory::default();
    let old = projects::add(&shelf, record("old")).unwrap();
    projects::delete(&shelf, &old).unwrap();
    shelf.fails_at.set(Some(shelf.writes.get()));
    let new = projects::add(&shelf, record("new")).unwrap();
    assert_eq!(projects::load(&shelf, &new).unwrap(), "new");
    assert!(projects::bring_back(&shelf, &old).is_err());
}

#[test]
fn a_damaged_list_is_made_again_from_the_records() {
    let shelf = Memory::default();
    let text = r#"{"title":"Blue estate","about":"Two dead."}"#;
    let id = projects::add(&shelf, record(text)).unwrap();
    shelf
        .kept
        .borrow_mut()
        .insert("sparktrail/1/projects".into(), "{oops".into());
    let list = projects::list(&shelf).unwrap();
    assert_eq!(list.projects[0].title, "Blue estate");
    assert_eq!(projects::load(&shelf, &id).unwrap(), text);
}
