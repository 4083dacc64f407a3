//! The editor's buttons on the map, what is in hand, and the sheets.

use leptos::prelude::*;
use sparktrail_core::topology::Pick;

use super::acts::{copy, remove, turn, turn_several};
use super::ask::sheets;
use crate::places::words::editor as words;
use crate::store::{Ask, Choose, Store};
use crate::ui::{Icon, IconButton, picture};

/// The buttons and sheets.
pub(crate) fn tools(store: Store) -> AnyView {
    let editor = store.editor;
    let row = move || editor.is_on().then(|| row(store));
    let pressed = move || if editor.is_on() { "true" } else { "false" };
    let name = move || {
        if editor.is_on() {
            words::DONE.said()
        } else {
            words::EDIT.said()
        }
    };
    view! {
        <div class="edit-tools" role="toolbar" aria-label=words::TOOLS>
            <button
                type="button"
                class="button edit-turn"
                title=name
                aria-label=name
                aria-pressed=pressed
                on:click=move |_| turn(store)
            >
                {picture(Icon::Edit)}
                <span>{name}</span>
            </button>
            {row}
        </div>
        {move || in_hand(store)}
        {sheets(store)}
    }
    .into_any()
}

fn row(store: Store) -> AnyView {
    let editor = store.editor;
    let several = move || {
        if editor.choose.get() == Choose::More {
            "true"
        } else {
            "false"
        }
    };
    let can_go = move || {
        let one = store.session.picked.with(|picked| {
            matches!(
                picked,
                Some(Pick::Part(_) | Pick::Wire(_) | Pick::Driver(_) | Pick::Terminal(_))
            )
        });
        one || editor.chosen.with(|all| !all.is_empty())
    };
    let can_copy = move || {
        let one = store
            .session
            .picked
            .with(|picked| matches!(picked, Some(Pick::Part(_))));
        one || editor.chosen.with(|all| !all.is_empty())
    };
    view! {
        <IconButton
            icon=Icon::Add
            name=words::ADD.said()
            act=Callback::new(move |()| editor.ask.set(Some(Ask::Kind)))
        />
        <button
            type="button"
            class="icon"
            title=words::SEVERAL
            aria-label=words::SEVERAL
            aria-pressed=several
            on:click=move |_| turn_several(store)
        >
            {picture(Icon::Several)}
        </button>
        <IconButton
            icon=Icon::Copy
            name=words::COPY.said()
            act=Callback::new(move |()| copy(store))
            disabled=Signal::derive(move || !can_copy())
        />
        <IconButton
            icon=Icon::Remove
            name=words::REMOVE.said()
            act=Callback::new(move |()| remove(store))
            disabled=Signal::derive(move || !can_go())
        />
    }
    .into_any()
}

/// A terminal waits for another.
fn in_hand(store: Store) -> Option<AnyView> {
    let from = store.editor.from.get()?;
    if store.editor.ask.with(Option::is_some) {
        return None;
    }
    let name = store.told.with(|harness| harness.terminal_name(from));
    Some(
        view! {
            <div class="in-hand-note" role="status">
                <p><strong>{name}</strong> " → … " {words::IN_HAND}</p>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| store.editor.ask.set(Some(Ask::Other(from, None)))
                >
                    {words::FROM_LIST}
                </button>
                <button type="button" class="button" on:click=move |_| store.editor.from.set(None)>
                    {words::PUT_DOWN}
                </button>
            </div>
        }
        .into_any(),
    )
}
