//! Keeps the document soon after each change, and at once when the page is left.

use leptos::prelude::*;
use sparktrail_core::model::file;

use super::{Base, Place, Saved};
use crate::edge::timer::{self, Waiting};
use crate::edge::{page, rescue};

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
    // What has no place on this device outlives the program all the same.
    Effect::watch(
        move || (store.saved.get(), store.harness.get()),
        move |(saved, harness), _, _| match saved {
            Saved::Lost(_) | Saved::Clash(_) if !store.is_kept() => {
                rescue::hold(&harness.title, &file::write(harness));
            }
            Saved::Kept | Saved::Lost(_) | Saved::Clash(_) => rescue::let_go(),
            // What was handed over last is better than nothing.
            Saved::Soon => {}
        },
        true,
    );
    page::on_leaving(move || store.settle());
    page::hold_while(move || {
        store.settle();
        store.is_at_risk()
    });
}
