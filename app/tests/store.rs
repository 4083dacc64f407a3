//! The store on a real browser's storage: open, change, save, find again, delete, bring back.

#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use leptos::prelude::Owner;
use sparktrail::edge::storage;
use sparktrail::store::{Clash, OpenError, Place, Saved, Store, Tab};
use sparktrail_core::edit::Command;
use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
use sparktrail_core::engine::{CylinderId, Layout, Strokes};
use sparktrail_core::model::Works;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

const MAP: &str = include_str!("../../sample-harnesses/blue-estate.json");

/// Runs `act` on a fresh store over empty storage.
fn with_store(act: impl FnOnce(Store)) {
    for key in storage::keys("sparktrail/1/").unwrap() {
        storage::remove(&key).unwrap();
    }
    // Refused when an earlier test has done it.
    let _ = any_spawner::Executor::init_wasm_bindgen();
    let owner = Owner::new();
    owner.with(|| act(Store::new()));
}

#[wasm_bindgen_test]
fn an_opened_map_is_a_project_and_comes_back_as_it_was() {
    with_store(|store| {
        store.open_text(MAP).unwrap();
        assert_eq!(store.saved(), Saved::Kept);
        let opened = store.harness_now();
        let id = store.open_project().unwrap();
        store.leave();
        assert_eq!(store.list().unwrap().projects.len(), 1);
        store.open(&id).unwrap();
        assert_eq!(*store.harness_now(), *opened);
    });
}

#[wasm_bindgen_test]
fn the_same_map_opened_twice_is_one_project() {
    with_store(|store| {
        store.open_text(MAP).unwrap();
        store.leave();
        store.open_text(MAP).unwrap();
        store.dispatch(Command::Rename("Another".into())).unwrap();
        store.leave();
        store.open_text(MAP).unwrap();
        store.leave();
        assert_eq!(store.list().unwrap().projects.len(), 2);
    });
}

#[wasm_bindgen_test]
fn a_change_is_saved_and_undone() {
    with_store(|store| {
        store.open_text(MAP).unwrap();
        let id = store.open_project().unwrap();
        store.dispatch(Command::Rename("Another".into())).unwrap();
        store.leave();
        assert_eq!(store.list().unwrap().projects[0].title, "Another");
        store.open(&id).unwrap();
        assert_eq!(store.harness_now().title, "Another");
    });
    with_store(|store| {
        store.open_text(MAP).unwrap();
        let before = store.harness_now();
        store.dispatch(Command::Rename("Another".into())).unwrap();
        store.undo();
        assert_eq!(*store.harness_now(), *before);
        store.redo();
        assert_eq!(store.harness_now().title, "Another");
    });
}

#[wasm_bindgen_test]
fn a_broken_file_leaves_everything_as_it_was() {
    with_store(|store| {
        store.open_text(MAP).unwrap();
        let before = store.harness_now();
        let broken = MAP.replacen("\"version\": 1", "\"version\": 99", 1);
        let error = store.open_text(&broken).unwrap_err();
        let OpenError::Text(errors) = error else {
            panic!("another kind of error");
        };
        assert_eq!(errors.errors[0].pointer, "/version");
        assert_eq!(*store.harness_now(), *before);
        assert_eq!(store.list().unwrap().projects.len(), 1);
    });
}

#[wasm_bindgen_test]
fn a_deleted_project_comes_back() {
    with_store(|store| {
        store.open_text(MAP).unwrap();
        let id = store.open_project().unwrap();
        store.leave();
        store.delete(&id).unwrap();
        assert!(store.list().unwrap().projects.is_empty());
        assert!(store.open(&id).is_err());
        store.bring_back(&id).unwrap();
        store.open(&id).unwrap();
        assert_eq!(store.place(), Place::Job);
    });
}

#[wasm_bindgen_test]
fn a_copy_stands_apart_from_its_original() {
    with_store(|store| {
        store.open_text(MAP).unwrap();
        let id = store.open_project().unwrap();
        store.leave();
        store.duplicate(&id, "Copy").unwrap();
        store.rename(&id, "Original").unwrap();
        let mut titles: Vec<String> = store
            .list()
            .unwrap()
            .projects
            .into_iter()
            .map(|entry| entry.title)
            .collect();
        titles.sort();
        assert_eq!(titles, ["Copy", "Original"]);
    });
}

/// Two stores on one storage stand for two windows that have not heard of each other yet.
#[wasm_bindgen_test]
fn a_window_that_fell_behind_overwrites_nothing() {
    with_store(|ours| {
        ours.open_text(MAP).unwrap();
        let id = ours.open_project().unwrap();
        let theirs = Store::new();
        theirs.open(&id).unwrap();
        theirs.dispatch(Command::Rename("Theirs".into())).unwrap();
        theirs.save_now();
        assert_eq!(theirs.saved(), Saved::Kept);

        ours.dispatch(Command::Rename("Ours".into())).unwrap();
        ours.save_now();
        assert_eq!(ours.saved(), Saved::Clash(Clash::Changed));
        assert_eq!(titles(ours), ["Theirs"]);
        ours.keep_both();
        assert_eq!(ours.saved(), Saved::Kept);
        assert_ne!(ours.open_project(), Some(id.clone()));
        assert_eq!(titles(ours).len(), 2);

        // The other one goes on as if nothing had been.
        theirs
            .dispatch(Command::Rename("Theirs again".into()))
            .unwrap();
        theirs.save_now();
        assert_eq!(theirs.saved(), Saved::Kept);
        assert_eq!(
            titles(theirs),
            ["Theirs again", "Ours (from a second window)"]
        );
    });
}

#[wasm_bindgen_test]
fn theirs_is_taken_and_ours_comes_back_by_undo() {
    with_store(|ours| {
        ours.open_text(MAP).unwrap();
        let id = ours.open_project().unwrap();
        let theirs = Store::new();
        theirs.open(&id).unwrap();
        theirs.dispatch(Command::Rename("Theirs".into())).unwrap();
        theirs.save_now();
        ours.dispatch(Command::Rename("Ours".into())).unwrap();
        ours.save_now();
        ours.take_theirs().unwrap();
        assert_eq!(ours.saved(), Saved::Kept);
        assert_eq!(ours.harness_now().title, "Theirs");
        ours.undo();
        assert_eq!(ours.harness_now().title, "Ours");
        ours.save_now();
        assert_eq!(titles(ours), ["Ours"]);
    });
}

#[wasm_bindgen_test]
fn a_map_made_here_is_a_project_and_its_marks_are_one_step() {
    with_store(|store| {
        let plan = Plan::new("My V8", propose_engine(8, Layout::Inline, Strokes::Four));
        let marks = vec![
            (CylinderId(1), Works::Dead),
            (CylinderId(2), Works::Alive),
            (CylinderId(6), Works::Dead),
        ];
        let change = Command::MarkAll { marks, at: None };
        store
            .open_new(build(&plan).unwrap(), Some(change), Tab::Next)
            .unwrap();
        assert_eq!(store.saved(), Saved::Kept);
        assert_eq!(store.harness_now().findings.len(), 3);
        store.undo();
        assert_eq!(store.harness_now().findings.len(), 0);
        assert_eq!(store.undoes(), None);
        assert_eq!(titles(store), ["My V8"]);
    });
}

fn titles(store: Store) -> Vec<String> {
    store.refresh_list();
    let list = store.list().unwrap();
    list.projects.into_iter().map(|entry| entry.title).collect()
}
