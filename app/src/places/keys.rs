//! The list of keys.

use leptos::prelude::*;

use super::words::keys as words;
use crate::ui::{Sheet, SheetActs};

/// A sheet with every key and what it does.
#[component]
pub fn KeysSheet(
    /// Whether it shows.
    open: RwSignal<bool>,
) -> impl IntoView {
    let close = Callback::new(move |()| open.set(false));
    view! {
        <Sheet open close title=words::HEADING>
            <dl class="facts">
                {words::KEYS
                    .iter()
                    .map(|&(key, does)| {
                        view! {
                            <div class="fact">
                                <dt>{key}</dt>
                                <dd>{does}</dd>
                            </div>
                        }
                        .into_any()
                    })
                    .collect::<Vec<AnyView>>()}
            </dl>
            <SheetActs>
                <button type="button" class="button" on:click=move |_| open.set(false)>
                    {words::CLOSE}
                </button>
            </SheetActs>
        </Sheet>
    }
    .into_any()
}
