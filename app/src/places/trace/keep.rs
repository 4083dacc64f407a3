//! A trace kept beside its project until the work on the car is done.

use sparktrail_core::trace::Trace;

use super::super::words::trace as words;
use crate::edge::storage;
use crate::store::Store;
use crate::store::projects::Beside;

/// The trace that belongs to the open project, if one was begun.
pub(super) fn kept(store: Store) -> Option<Trace> {
    let text = storage::read(&Beside::Trace.key(&store.open_project()?)).ok()??;
    Trace::read(&text)
}

/// Keeps the trace of the open project, or forgets it.
pub(super) fn keep(store: Store, trace: Option<&Trace>) {
    let Some(id) = store.open_project() else {
        return;
    };
    let key = Beside::Trace.key(&id);
    let done = match trace {
        Some(trace) => storage::write(&key, &trace.written()),
        None => storage::remove(&key),
    };
    if done.is_err() && trace.is_some() {
        store.session.say(words::NOT_KEPT, None);
    }
}
