//! The way to another language.

use leptos::prelude::*;

use crate::edge::{language, page};
use crate::store::Base;

/// A button for each language that the page is not in, in that language.
pub(super) fn other_languages(base: Base) -> AnyView {
    let now = language::now();
    let others = language::ALL.iter().filter(|(code, _)| *code != now);
    let buttons: Vec<AnyView> = others
        .map(|&(code, name)| {
            let speak = move |_| {
                base.settle_if_here();
                language::choose(code);
                page::reload();
            };
            view! {
                <button
                    type="button"
                    class="button"
                    data-weight="quiet"
                    data-language=code
                    lang=code
                    on:click=speak
                >
                    {name}
                </button>
            }
            .into_any()
        })
        .collect();
    buttons.into_any()
}
