//! Keeps the page on this device and tells of a newer one, which comes only when it is asked for.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::words::offline as words;
use crate::edge::{offline, page};
use crate::store::Store;
use crate::ui::ToastAct;

/// Begins to keep the page. A program under development is not kept: it changes with every look at it.
pub(crate) fn keep(store: Store) {
    if cfg!(debug_assertions) {
        return;
    }
    let asked = StoredValue::new(false);
    let newer = move || {
        let go = ToastAct::new(words::USE_NOW, move || {
            store.settle();
            asked.set_value(true);
            offline::use_newer();
        });
        store.session.say(words::NEWER, Some(go));
    };
    let taken = move || {
        if asked.get_value() {
            page::reload();
            return;
        }
        let again = ToastAct::new(words::LOAD_AGAIN, move || {
            store.settle();
            page::reload();
        });
        store.session.say(words::ELSEWHERE, Some(again));
    };
    offline::keep(newer, taken);
    spawn_local(async move {
        if offline::is_renewed().await {
            store.session.say(words::RENEWED, None);
        }
    });
}
