//! What each key does over an open map, and the list of them.

use leptos::prelude::*;

use super::editor;
use super::words::keys as words;
use crate::edge::keys::{Heed, Press, Shift};
use crate::store::Store;
use crate::ui::{Sheet, SheetActs};

/// Does what a key means.
pub(crate) fn press(store: Store, press: &Press) -> Heed {
    match press {
        Press::Command(key, Shift::Free) if key == "z" => store.undo(),
        Press::Command(key, Shift::Held) if key == "z" => store.redo(),
        Press::Plain(key) if key == "?" => store.session.keys.set(true),
        Press::Plain(key) if key == "Escape" => return store.step_back(),
        Press::Command(..) | Press::Plain(_) => return editor::key(store, press),
    }
    Heed::Taken
}

/// A sheet with every key and what it does.
#[component]
pub(crate) fn KeysSheet(
    /// The store.
    store: Store,
) -> impl IntoView {
    let open = store.session.keys;
    let close = Callback::new(move |()| open.set(false));
    view! {
        <Sheet open close title=words::HEADING.said()>
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
