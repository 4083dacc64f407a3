//! The field into which a link that somebody sent is pasted.

use leptos::prelude::*;

use crate::places::words::share as words;
use crate::store::Store;

/// A field for a link and its button: `text` is what stands in it, `go` takes it.
pub(in crate::places) fn link_form(
    label: &'static str,
    button: &'static str,
    text: RwSignal<String>,
    go: Callback<String>,
) -> AnyView {
    let sent = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        go.run(text.get_untracked());
    };
    view! {
        <form class="paste" on:submit=sent>
            <label class="field">
                <span>{label}</span>
                <input
                    type="text"
                    inputmode="url"
                    autocomplete="off"
                    spellcheck="false"
                    prop:value=move || text.get()
                    on:input:target=move |event| text.set(event.target().value())
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
pub(in crate::places) fn paste_link(store: Store) -> AnyView {
    let text = RwSignal::new(String::new());
    let open = Callback::new(move |pasted: String| {
        if !pasted.trim().is_empty() {
            text.set(String::new());
            store.session.sent.set(Some(pasted));
        }
    });
    link_form(words::PASTE, words::OPEN, text, open)
}
