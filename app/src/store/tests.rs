//! The projects' promises, on a shelf that can be made to fail at any write.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

use serde_json::json;
use sparktrail_core::edit::layouts::propose_engine;
use sparktrail_core::engine::{Layout, Strokes};
use sparktrail_core::model::{Harness, file};

use super::backup::{self, BackupError};
use super::projects::{self, Beside, ProjectError, ProjectId, Record, Version};
use super::shelf::Shelf;
use crate::edge::storage::StorageError;

/// Text in memory; the write numbered `fails_at` is refused.
#[derive(Default)]
pub(super) struct Memory {
    pub(super) kept: RefCell<BTreeMap<String, String>>,
    pub(super) writes: Cell<usize>,
    pub(super) fails_at: Cell<Option<usize>>,
    /// Whether every write after that one is refused too.
    pub(super) fails_after: Cell<bool>,
    /// Changes of any kind that still reach it; `None` for no end to them. Then the power is cut.
    pub(super) changes_left: Cell<Option<usize>>,
}

impl Memory {
    /// Whether the power is still on for one change more.
    fn is_on(&self) -> bool {
        match self.changes_left.get() {
            None => true,
            Some(0) => false,
            Some(left) => {
                self.changes_left.set(Some(left - 1));
                true
            }
        }
    }
}

impl Shelf for Memory {
    fn read(&self, key: &str) -> Result<Option<String>, StorageError> {
        Ok(self.kept.borrow().get(key).cloned())
    }

    fn write(&self, key: &str, text: &str) -> Result<(), StorageError> {
        let count = self.writes.get();
        self.writes.set(count + 1);
        let fails = self
            .fails_at
            .get()
            .is_some_and(|at| count == at || (self.fails_after.get() && count > at));
        if fails {
            return Err(StorageError::Refused);
        }
        if self.is_on() {
            self.kept.borrow_mut().insert(key.into(), text.into());
        }
        Ok(())
    }

    fn remove(&self, key: &str) -> Result<(), StorageError> {
        if self.is_on() {
            self.kept.borrow_mut().remove(key);
        }
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

/// The text of a project, and nothing of its version.
fn load(shelf: &Memory, id: &ProjectId) -> Result<String, ProjectError> {
    projects::load(shelf, id).map(|(text, _)| text)
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
    let first = projects::add(&shelf, record("one")).unwrap();
    projects::save(&shelf, &first, record("two")).unwrap();
    assert_eq!(load(&shelf, &first.id).unwrap(), "two");
    // One list and one record: the older record is gone.
    assert_eq!(shelf.kept.borrow().len(), 2);
}

#[test]
fn a_failed_write_keeps_the_last_good_state() {
    for fails_at in 0..3 {
        let shelf = Memory::default();
        let good = projects::add(&shelf, record("good")).unwrap();
        shelf.fails_at.set(Some(shelf.writes.get() + fails_at));
        let outcome = projects::save(&shelf, &good, record("new"));
        let expected = if outcome.is_ok() { "new" } else { "good" };
        assert_eq!(load(&shelf, &good.id).unwrap(), expected);
        // The next save works as if nothing had been.
        shelf.fails_at.set(None);
        let now = outcome.unwrap_or(good);
        projects::save(&shelf, &now, record("later")).unwrap();
        assert_eq!(load(&shelf, &now.id).unwrap(), "later");
    }
}

#[test]
fn the_list_write_can_fail_too() {
    let shelf = Memory::default();
    let good = projects::add(&shelf, record("good")).unwrap();
    // The record is written first, the list second.
    shelf.fails_at.set(Some(shelf.writes.get() + 1));
    assert!(projects::save(&shelf, &good, record("new")).is_err());
    assert_eq!(load(&shelf, &good.id).unwrap(), "good");
}

#[test]
fn two_projects_made_in_one_moment_stay_apart() {
    let shelf = Memory::default();
    let a = projects::add(&shelf, record("a")).unwrap();
    let b = projects::add(&shelf, record("b")).unwrap();
    assert_ne!(a.id, b.id);
    assert_eq!(load(&shelf, &a.id).unwrap(), "a");
    assert_eq!(load(&shelf, &b.id).unwrap(), "b");
}

#[test]
fn a_map_that_is_there_already_is_found() {
    let shelf = Memory::default();
    let one = projects::add(&shelf, record("one")).unwrap();
    assert_eq!(
        projects::same(&shelf, "Estate", "one").unwrap(),
        Some(one.clone())
    );
    assert_eq!(projects::same(&shelf, "Estate", "other").unwrap(), None);
    projects::delete(&shelf, &one.id).unwrap();
    assert_eq!(projects::same(&shelf, "Estate", "one").unwrap(), None);
}

#[test]
fn a_deleted_project_can_be_brought_back() {
    let shelf = Memory::default();
    let id = projects::add(&shelf, record("kept")).unwrap().id;
    projects::delete(&shelf, &id).unwrap();
    assert_eq!(load(&shelf, &id), Err(ProjectError::Gone(id.clone())));
    projects::bring_back(&shelf, &id).unwrap();
    assert_eq!(load(&shelf, &id).unwrap(), "kept");
}

#[test]
fn the_bin_forgets_its_oldest_and_leaves_no_record_behind() {
    let shelf = Memory::default();
    let ids: Vec<_> = (0..12)
        .map(|_| projects::add(&shelf, record("x")).unwrap().id)
        .collect();
    for id in [&ids[0], &ids[11]] {
        shelf.write(&Beside::Walk.key(id), "a walk").unwrap();
        shelf.write(&Beside::Trace.key(id), "a trace").unwrap();
    }
    for id in &ids {
        projects::delete(&shelf, id).unwrap();
    }
    assert!(projects::bring_back(&shelf, &ids[0]).is_err());
    assert!(projects::bring_back(&shelf, &ids[11]).is_ok());
    let walk = |id| shelf.read(&Beside::Walk.key(id)).unwrap();
    assert_eq!(walk(&ids[0]), None);
    assert_eq!(walk(&ids[11]).as_deref(), Some("a walk"));
    let kept = shelf.kept.borrow().len();
    assert_eq!(kept, 13, "ten records, the list, a walk and a trace");
}

#[test]
fn a_full_shelf_gives_up_what_was_deleted_first() {
    let shelf = Memory::default();
    let old = projects::add(&shelf, record("old")).unwrap().id;
    projects::delete(&shelf, &old).unwrap();
    shelf.fails_at.set(Some(shelf.writes.get()));
    let new = projects::add(&shelf, record("new")).unwrap().id;
    assert_eq!(load(&shelf, &new).unwrap(), "new");
    assert!(projects::bring_back(&shelf, &old).is_err());
}

#[test]
fn a_damaged_list_is_made_again_from_the_records() {
    let shelf = Memory::default();
    let text = r#"{"title":"Blue estate","about":"Two dead."}"#;
    let id = projects::add(&shelf, record(text)).unwrap().id;
    shelf
        .kept
        .borrow_mut()
        .insert("sparktrail/1/projects".into(), "{oops".into());
    let list = projects::list(&shelf).unwrap();
    assert_eq!(list.projects[0].title, "Blue estate");
    assert_eq!(load(&shelf, &id).unwrap(), text);
}

/// A newer program may say more of a project and of the list than this one knows: no act here drops any of it.
#[test]
fn what_a_newer_program_says_in_the_list_stays() {
    let shelf = Memory::default();
    let (estate, van) = (
        kept(&shelf, "Estate", "", 1_000.0),
        kept(&shelf, "Van", "", 2_000.0),
    );
    let mut told: serde_json::Value =
        serde_json::from_str(&shelf.read(projects::LIST).unwrap().unwrap()).unwrap();
    let news = json!({ "folder": "Workshop", "pinned": true, "deep": [1, { "half": 0.5 }] });
    let of = |told: &serde_json::Value, id: &ProjectId| {
        let lists = ["projects", "bin"].into_iter();
        let mut entries = lists.flat_map(|name| told[name].as_array().unwrap().clone());
        entries
            .find(|entry| entry["id"] == id.as_str())
            .map(|entry| entry["news"].clone())
    };
    told["folders"] = json!(["Workshop", "Sold"]);
    for entry in told["projects"].as_array_mut().unwrap() {
        entry["news"] = news.clone();
    }
    shelf.write(projects::LIST, &told.to_string()).unwrap();

    let stays = |act: &str| {
        let now: serde_json::Value =
            serde_json::from_str(&shelf.read(projects::LIST).unwrap().unwrap()).unwrap();
        assert_eq!(now["folders"], told["folders"], "{act}");
        for version in [&estate, &van] {
            assert_eq!(of(&now, &version.id), Some(news.clone()), "{act}");
        }
    };
    projects::mend(&shelf).unwrap();
    stays("beginning");
    projects::save(&shelf, &estate, record("changed")).unwrap();
    stays("saving");
    let new = projects::add(&shelf, record("new")).unwrap();
    stays("adding");
    projects::delete(&shelf, &van.id).unwrap();
    stays("deleting");
    projects::bring_back(&shelf, &van.id).unwrap();
    stays("bringing back");
    let backup = backup::pack(&shelf).unwrap().text;
    backup::restore(&shelf, &backup).unwrap();
    stays("a backup");
    // A record that went missing, and one that the list lacks.
    let mut lost = shelf.kept.borrow().clone();
    lost.retain(|key, _| !key.contains(new.id.as_str()));
    lost.insert("sparktrail/1/map/5000.1".into(), map("Found", ""));
    *shelf.kept.borrow_mut() = lost;
    projects::mend(&shelf).unwrap();
    assert!(titles(&shelf).contains(&"Found".to_owned()));
    stays("mending");
}

#[test]
fn a_save_never_overwrites_what_another_window_saved() {
    let shelf = Memory::default();
    let first = projects::add(&shelf, record("first")).unwrap();
    let theirs = projects::save(&shelf, &first, record("theirs")).unwrap();
    assert_eq!(
        projects::save(&shelf, &first, record("ours")),
        Err(ProjectError::Changed(first.id.clone()))
    );
    assert_eq!(load(&shelf, &first.id).unwrap(), "theirs");
    projects::save(&shelf, &theirs, record("theirs again")).unwrap();
    projects::delete(&shelf, &first.id).unwrap();
    assert_eq!(
        projects::save(&shelf, &first, record("ours")),
        Err(ProjectError::Gone(first.id.clone()))
    );
    // What was deleted comes back as the other window left it.
    projects::bring_back(&shelf, &first.id).unwrap();
    assert_eq!(load(&shelf, &first.id).unwrap(), "theirs again");
}

/// A map of one cylinder, as text.
pub(super) fn map(title: &str, about: &str) -> String {
    let engine = propose_engine(1, Layout::Inline, Strokes::Four);
    let mut harness = Harness::new(title, engine);
    about.clone_into(&mut harness.about);
    file::write(&harness)
}

pub(super) fn kept(shelf: &Memory, title: &str, about: &str, now: f64) -> Version {
    let text = map(title, about);
    let record = Record {
        title,
        about,
        text: &text,
        now,
    };
    projects::add(shelf, record).unwrap()
}

fn titles(shelf: &Memory) -> Vec<String> {
    let list = projects::list(shelf).unwrap();
    list.projects.into_iter().map(|entry| entry.title).collect()
}

#[test]
fn a_backup_fills_an_empty_shelf_as_it_was() {
    let shelf = Memory::default();
    kept(&shelf, "Estate", "old", 1_000.0);
    kept(&shelf, "Van", "", 2_000.0);
    let packed = backup::pack(&shelf).unwrap();
    assert_eq!((packed.maps, packed.damaged.len()), (2, 0));
    assert!(backup::is_backup(&packed.text));
    assert!(!backup::is_backup(&map("sparktrail", "")));

    let empty = Memory::default();
    let restored = backup::restore(&empty, &packed.text).unwrap();
    assert_eq!((restored.added, restored.beside, restored.here), (2, 0, 0));
    let list = |shelf: &Memory| -> Vec<(ProjectId, String, f64)> {
        let list = projects::list(shelf).unwrap();
        list.projects
            .into_iter()
            .map(|e| (e.id, e.title, e.changed))
            .collect()
    };
    assert_eq!(list(&empty), list(&shelf));
    for (id, ..) in list(&shelf) {
        assert_eq!(load(&empty, &id).unwrap(), load(&shelf, &id).unwrap());
    }
}

#[test]
fn a_backup_overwrites_nothing() {
    let shelf = Memory::default();
    let estate = kept(&shelf, "Estate", "old", 1_000.0);
    kept(&shelf, "Van", "", 2_000.0);
    let packed = backup::pack(&shelf).unwrap().text;
    let newer = map("Estate", "new");
    let record = Record {
        title: "Estate",
        about: "new",
        text: &newer,
        now: 3_000.0,
    };
    projects::save(&shelf, &estate, record).unwrap();

    let restored = backup::restore(&shelf, &packed).unwrap();
    assert_eq!((restored.added, restored.beside, restored.here), (0, 1, 1));
    assert_eq!(load(&shelf, &estate.id).unwrap(), newer);
    assert_eq!(titles(&shelf), ["Estate (from a backup)", "Estate", "Van"]);
    // A second time nothing more comes of it.
    let again = backup::restore(&shelf, &packed).unwrap();
    assert_eq!((again.added, again.beside, again.here), (0, 0, 2));
    assert_eq!(titles(&shelf).len(), 3);

    // What was deleted since comes back too, and the deleted one can still be brought back.
    projects::delete(&shelf, &estate.id).unwrap();
    let restored = backup::restore(&shelf, &packed).unwrap();
    assert_eq!((restored.added, restored.here), (1, 1));
    projects::bring_back(&shelf, &estate.id).unwrap();
    assert_eq!(load(&shelf, &estate.id).unwrap(), newer);
}

#[test]
fn a_backup_is_taken_in_as_far_as_it_is_sound_and_there_is_room() {
    let shelf = Memory::default();
    kept(&shelf, "Estate", "", 1_000.0);
    kept(&shelf, "Van", "", 2_000.0);
    let packed = backup::pack(&shelf).unwrap().text;
    let broken = packed.replacen("\"inline\"", "\"star\"", 1);
    assert_ne!(broken, packed);
    let restored = backup::restore(&Memory::default(), &broken).unwrap();
    assert_eq!(restored.added, 1);
    let (at, why) = &restored.refused[0];
    assert_eq!(*at, 1);
    assert!(why.contains("star"), "{why}");

    let full = Memory::default();
    full.fails_at.set(Some(0));
    // Writing fails once, and once more after the bin was emptied: so it is with a full browser.
    full.fails_after.set(true);
    let restored = backup::restore(&full, &packed).unwrap();
    assert_eq!(restored.no_room, ["Van", "Estate"]);
    assert_eq!(full.kept.borrow().len(), 0);
}

#[test]
fn what_is_no_backup_is_refused() {
    let shelf = Memory::default();
    for text in [
        "",
        "{",
        "[]",
        "{\"format\":\"sparktrail-backup\",\"version\":1}",
        "{\"format\":\"other\",\"version\":1,\"maps\":[]}",
        "\u{0}",
    ] {
        let error = backup::restore(&shelf, text).unwrap_err();
        assert!(matches!(error, BackupError::Damaged(_)), "{error}");
    }
    let newer = "{\"format\":\"sparktrail-backup\",\"version\":2,\"maps\":[]}";
    assert_eq!(backup::restore(&shelf, newer), Err(BackupError::Newer(2)));
    assert_eq!(shelf.kept.borrow().len(), 0);
}

#[test]
fn a_damaged_record_is_told_and_left_out() {
    let shelf = Memory::default();
    kept(&shelf, "Estate", "", 1_000.0);
    projects::add(&shelf, record("{oops")).unwrap();
    let packed = backup::pack(&shelf).unwrap();
    assert_eq!((packed.maps, packed.damaged.len()), (1, 1));
    // Its letters are in the file all the same, and do not keep the others from coming back.
    assert!(packed.text.contains("{oops"));
    let empty = Memory::default();
    let restored = backup::restore(&empty, &packed.text).unwrap();
    assert_eq!((restored.added, titles(&empty).len()), (1, 1));
}

#[test]
fn a_list_that_lacks_projects_is_mended_when_the_program_begins() {
    for list in [
        "{oops",
        "{\"projects\":[]}",
        "{\"projects\":[],\"bin\":[],\"of_a_newer_program\":1}",
        "[]",
        "",
    ] {
        let shelf = Memory::default();
        let estate = kept(&shelf, "Estate", "", 1_000.0);
        kept(&shelf, "Van", "", 2_000.0);
        shelf.write(projects::LIST, list).unwrap();
        projects::mend(&shelf).unwrap();
        assert_eq!(titles(&shelf), ["Van", "Estate"], "{list}");
        assert_eq!(load(&shelf, &estate.id).unwrap(), map("Estate", ""));
        // It was written, so that every window sees it.
        let now = shelf.read(projects::LIST).unwrap();
        assert!(now.is_some_and(|now| now.contains("Estate")), "{list}");
    }
}

#[test]
fn an_entry_without_its_record_stands_for_the_newest_that_is_there() {
    let shelf = Memory::default();
    let version = kept(&shelf, "Estate", "", 1_000.0);
    let list = shelf.read(projects::LIST).unwrap().unwrap();
    let list = list.replace("\"revision\":1", "\"revision\":77");
    shelf.write(projects::LIST, &list).unwrap();
    assert!(load(&shelf, &version.id).is_err());
    projects::mend(&shelf).unwrap();
    assert_eq!(load(&shelf, &version.id).unwrap(), map("Estate", ""));
    assert_eq!(titles(&shelf), ["Estate"]);
}

#[test]
fn mending_what_is_whole_writes_nothing() {
    let shelf = Memory::default();
    kept(&shelf, "Estate", "", 1_000.0);
    let gone = kept(&shelf, "Van", "", 2_000.0);
    projects::delete(&shelf, &gone.id).unwrap();
    let writes = shelf.writes.get();
    projects::mend(&shelf).unwrap();
    projects::mend(&Memory::default()).unwrap();
    assert_eq!(shelf.writes.get(), writes);
    assert_eq!(titles(&shelf), ["Estate"]);
}

#[test]
fn a_backup_cut_off_or_altered_anywhere_is_refused_or_taken_in_and_nothing_else() {
    let shelf = Memory::default();
    kept(&shelf, "Estate", "", 1_000.0);
    kept(&shelf, "Van", "", 2_000.0);
    let packed = backup::pack(&shelf).unwrap().text;
    for end in 0..packed.len() {
        let empty = Memory::default();
        let error = backup::restore(&empty, &packed[..end]).unwrap_err();
        assert!(matches!(error, BackupError::Damaged(_)), "{error}");
        assert_eq!(empty.kept.borrow().len(), 0);
    }
    for at in 0..packed.len() {
        let mut bytes = packed.clone().into_bytes();
        bytes[at] = if bytes[at] == b'7' { b'x' } else { b'7' };
        let empty = Memory::default();
        let altered = String::from_utf8(bytes).unwrap();
        if let Ok(restored) = backup::restore(&empty, &altered) {
            let kept = restored.added + restored.beside + restored.here;
            assert_eq!(kept + restored.refused.len(), 2, "{altered}");
            assert_eq!(titles(&empty).len(), kept);
        }
    }
}
