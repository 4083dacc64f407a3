//! The buttons on the map that take changes back and make them again.

use leptos::prelude::*;

use super::words::job as words;
use crate::store::Store;
use crate::ui::{Icon, IconButton};

/// Undo and redo.
#[component]
pub(crate) fn ChangeTools(
    /// The store.
    store: Store,
) -> impl IntoView {
    let undo_name = Signal::derive(move || {
        store.undoes().map_or_else(
            || words::UNDO.to_owned(),
            |command| words::undo(words::change(&command)),
        )
    });
    let redo_name = Signal::derive(move || {
        store.redoes().map_or_else(
            || words::REDO.to_owned(),
            |command| words::redo(words::change(&command)),
        )
    });
    view! {
        <div class="tools" role="toolbar" aria-label=words::TOOLS>
            <IconButton
                icon=Icon::Undo
                name=undo_name
                act=Callback::new(move |()| store.undo())
                disabled=Signal::derive(move || store.undoes().is_none())
            />
            <IconButton
                icon=Icon::Redo
                name=redo_name
                act=Callback::new(move |()| store.redo())
                disabled=Signal::derive(move || store.redoes().is_none())
            />
        </div>
    }
    .into_any()
}
