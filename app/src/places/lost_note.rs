//! What to do when a map cannot be kept: beside it, and on the first screen.

use leptos::prelude::*;

use super::map_file::save_as_file;
use super::words::{start, trouble as wrong};
use crate::store::{Clash, Place, Saved, Store};

/// The note beside the map, while it is not kept.
#[component]
pub(super) fn LostNote(store: Store) -> impl IntoView {
    move || match store.saved() {
        Saved::Kept | Saved::Soon => ().into_any(),
        Saved::Lost(error) => view! {
            <div class="alarm lost" role="alert">
                <p>{wrong::storage(error)}</p>
                <button type="button" class="button" on:click=move |_| save_as_file(*store)>
                    {start::SAVE_FILE}
                </button>
            </div>
        }
        .into_any(),
        Saved::Clash(clash) => clash_note(store, clash),
    }
}

/// What to do when another window went on with the map.
fn clash_note(store: Store, clash: Clash) -> AnyView {
    let keep = match clash {
        Clash::Changed => wrong::KEEP_BOTH,
        Clash::Deleted => wrong::KEEP_THIS,
    };
    let theirs = (clash == Clash::Changed).then(|| {
        let take = move |_| {
            if let Err(error) = store.take_theirs() {
                store.session.say(wrong::not_opened(&error).0, None);
            }
        };
        view! {
            <button type="button" class="button" on:click=take>{wrong::TAKE_THEIRS}</button>
        }
        .into_any()
    });
    view! {
        <div class="alarm lost" role="alert">
            <p>{wrong::clash(clash)}</p>
            <button type="button" class="button" on:click=move |_| store.keep_both()>{keep}</button>
            " "
            {theirs}
        </div>
    }
    .into_any()
}

/// The map that was open and could not be kept: it must not go unseen.
pub(crate) fn left_unsaved(store: Store) -> AnyView {
    let note = move || {
        store.left_unsaved().map(|title| {
            view! {
                <div class="alarm" role="alert">
                    <p>{wrong::left_unsaved(&title)}</p>
                    <div class="alarm-acts">
                        <button type="button" class="button" on:click=move |_| store.session.place.set(Place::Job)>
                            {wrong::GO_BACK}
                        </button>
                        <button type="button" class="button" on:click=move |_| save_as_file(*store)>
                            {start::SAVE_FILE}
                        </button>
                        <button type="button" class="button" data-weight="quiet" on:click=move |_| store.give_up()>
                            {wrong::GIVE_UP}
                        </button>
                    </div>
                </div>
            }
            .into_any()
        })
    };
    view! { {note} }.into_any()
}
