//! Keeps the document soon after each change, and at once when the page is left.

use leptos::prelude::*;

use super::{Place, Store};
use crate::edge::page;
use crate::edge::timer::{self, Waiting};

/// A pause in typing this long, in milliseconds, saves.
const PAUSE_MS: u64 = 400;

pub(super) fn start(store: Store) {
    let waiting: StoredValue<Option<Waiting>, LocalStorage> = StoredValue::new_local(None);
    // The document that opening brought in is kept by whoever opened it.
    Effect::watch(
        move || store.harness.get(),
        move |now, before, _| {
            let opened = store
                .history
                .with_untracked(|history| history.undoes().is_none() && history.redoes().is_none());
            let same = before.is_some_and(|before| std::sync::Arc::ptr_eq(now, before));
            if opened || same || store.session.place.get_untracked() != Place::Job {
                return;
            }
            store.wants_saving();
            waiting.update_value(|waiting| {
                if let Some(earlier) = waiting.take() {
                    earlier.cancel();
                }
                *waiting = Some(timer::after(PAUSE_MS, move || store.save_now()));
            });
        },
        false,
    );
    page::on_leaving(move || store.save_now());
}
