//! The field into which a link that somebody sent is pasted.

use leptos::prelude::*;

use crate::places::words::share as words;
use crate::store::Store;

/// The field and its button.
#[component]
pub(in crate::places) fn PasteLink(
    /// The store.
    store: Store,
) -> impl IntoView {
    let text = RwSignal::new(String::new());
    let open = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let pasted = text.get_untracked();
        if !pasted.trim().is_empty() {
            text.set(String::new());
            store.session.sent.set(Some(pasted));
        }
    };
    view! {
        <form class="paste" on:submit=open>
            <label class="field">
                <span>{words::PASTE}</span>
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
                {words::OPEN}
            </button>
        </form>
    }
    .into_any()
}
