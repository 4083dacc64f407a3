//! A trace kept beside its project until the work on the car is done.

use leptos::prelude::*;
use sparktrail_core::trace::Trace;

use super::super::words::trace as words;
use crate::edge::storage;
use crate::store::Store;
use crate::store::projects::ProjectId;

const KEPT: &str = "sparktrail/1/trace/";

fn key(id: &ProjectId) -> String {
    format!("{KEPT}{}", id.as_str())
}

/// The trace that belongs to the open project, if one was begun.
pub(super) fn kept(store: Store) -> Option<Trace> {
    let text = storage::read(&key(&store.open_project()?)).ok()??;
    Trace::read(&text)
}

/// Keeps the trace of the open project, or forgets it. What belongs to projects that are gone goes too.
pub(super) fn keep(store: Store, trace: Option<&Trace>) {
    let Some(id) = store.open_project() else {
        return;
    };
    let done = match trace {
        Some(trace) => storage::write(&key(&id), &trace.written()),
        None => storage::remove(&key(&id)),
    };
    if done.is_err() && trace.is_some() {
        store.session.say(words::NOT_KEPT, None);
    }
    let Ok(list) = untrack(|| store.list()) else {
        return;
    };
    let there = |kept: &str| {
        let mut known = list.projects.iter().chain(&list.bin);
        known.any(|entry| key(&entry.id) == kept) || key(&id) == kept
    };
    for kept in storage::keys(KEPT).unwrap_or_default() {
        if !there(&kept) {
            let _ = storage::remove(&kept);
        }
    }
}
