//! The field into which a link that somebody sent is pasted.

use leptos::html;
use leptos::prelude::*;

use crate::places::words::share as words;
use crate::store::Base;

/// A field for a link and its button; `go` takes what stands in it.
pub(in crate::places) fn link_form(
    label: &'static str,
    button: &'static str,
    field: NodeRef<html::Input>,
    go: Callback<String>,
) -> AnyView {
    let sent = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        if let Some(field) = field.get_untracked() {
            go.run(field.value());
        }
    };
    view! {
        <form class="paste" on:submit=sent>
            <label class="field">
                <span>{label}</span>
                <input
                    node_ref=field
                    type="text"
                    inputmode="url"
                    autocomplete="off"
                    spellcheck="false"
                />
            </label>
            <button type="submit" class="button">
                {button}
            </button>
        </form>
    }
    .into_any()
}

/// Opens the map in a link that is pasted.
pub(in crate::places) fn paste_link(base: Base) -> AnyView {
    let field = NodeRef::<html::Input>::new();
    let open = Callback::new(move |pasted: String| {
        if !pasted.trim().is_empty() {
            if let Some(field) = field.get_untracked() {
                field.set_value("");
            }
            base.session.sent.set(Some(pasted));
        }
    });
    link_form(words::PASTE.said(), words::OPEN.said(), field, open)
}
