//! Keeps the document soon after each change, and at once when the page is left.

use leptos::prelude::*;

use super::{Base, Place};
use crate::edge::page;
use crate::edge::timer::{self, Waiting};

/// A pause in typing this long, in milliseconds, saves.
const PAUSE_MS: u64 = 400;

pub(super) fn start(store: Base) {
    let waiting: StoredValue<Option<Waiting>, LocalStorage> = StoredValue::new_local(None);
    Effect::watch(
        move || store.harness.get(),
        move |_, _, _| {
            if store.session.place.get_untracked() != Place::Job || store.is_overtaken() {
                return;
            }
            waiting.update_value(|waiting| {
                if let Some(earlier) = waiting.take() {
                    earlier.cancel();
                }
                if store.is_kept() {
                    store.mark_kept();
                } else {
                    store.wants_saving();
                    *waiting = Some(timer::after(PAUSE_MS, move || store.save_now()));
                }
            });
        },
        false,
    );
    page::on_leaving(move || store.settle());
    page::hold_while(move || {
        store.settle();
        store.is_at_risk()
    });
}
