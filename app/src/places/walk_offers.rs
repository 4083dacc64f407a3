//! The guided walks that a place offers, and the walk that waits to be gone on with.

use leptos::prelude::*;
use sparktrail_core::isolation::{Catalogue, Kit, Question};
use sparktrail_core::model::Harness;
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::{Kind, Walk, offered};

use super::seen_here::changes_place;
use super::words::trouble as wrong;
use super::words::walk as words;
use crate::edge::storage::StorageError;
use crate::store::Store;

/// Where the browser did not keep the walk, its owner hears of it.
fn tell(store: Store, kept: Result<(), StorageError>) {
    if let Err(error) = kept {
        store.session.say(wrong::storage(error), None);
    }
}

/// A button that begins a walk.
pub(super) fn begin(store: Store, kind: Kind, name: String) -> AnyView {
    begin_what(store, move || Some(kind.clone()), name)
}

/// A button that begins the walk that `kind` says when it is pressed.
pub(super) fn begin_what(
    store: Store,
    kind: impl Fn() -> Option<Kind> + 'static,
    name: String,
) -> AnyView {
    let go = move |_| {
        if let Some(kind) = kind() {
            tell(store, store.begin_walk(kind));
        }
    };
    view! {
        <button type="button" class="button walk-begin" on:click=go>{name}</button>
    }
    .into_any()
}

/// The walks from what is selected, reckoned when they are asked for.
#[component]
pub(super) fn WalksFrom(store: Store, pick: Pick) -> impl IntoView {
    let asked = RwSignal::new(false);
    let body = move || {
        if !asked.get() {
            return view! {
                <button type="button" class="button" on:click=move |_| asked.set(true)>
                    {words::SHOW_OFFERS}
                </button>
            }
            .into_any();
        }
        let harness = store.harness.get();
        let mut kinds = offered(&harness, pick);
        kinds.extend(swaps(&harness, pick, store.isolation.kit.get()));
        if kinds.is_empty() {
            return view! { <p class="faint">{words::NO_OFFERS}</p> }.into_any();
        }
        let rows: Vec<AnyView> = kinds
            .into_iter()
            .map(|kind| {
                let name = words::kind(&harness, &kind);
                let row = begin(store, kind, name);
                view! { <li>{row}</li> }.into_any()
            })
            .collect();
        view! { <ul class="walk-offers">{rows}</ul> }.into_any()
    };
    view! {
        <section class="card">
            <h3>{words::FROM_HERE}</h3>
            {body}
        </section>
    }
    .into_any()
}

/// The swaps of a thing with one like it, as far as the owner has what they take.
fn swaps(harness: &Harness, pick: Pick, kit: Kit) -> Vec<Kind> {
    let acts = Catalogue::of(harness).acts.into_iter();
    acts.filter(|act| kit.serves(act.needs))
        .filter_map(|act| {
            let swap = |pair| changes_place(pick, pair).then_some(Kind::Swap(pair));
            if let Question::Swap(pair) = act.question {
                swap(pair)
            } else {
                None
            }
        })
        .collect()
}

/// The walk that was left, if there is one.
#[component]
pub(super) fn WaitingWalk(store: Store) -> impl IntoView {
    move || {
        let text = store.session.walk.get()?;
        let harness = store.harness.get_untracked();
        let name = Walk::of_text(&text).map(|walk| words::kind(&harness, walk.kind()));
        Some(
            view! {
                <section class="card">
                    <h3>{words::LEFT}</h3>
                    <p>{name.unwrap_or_default()}</p>
                    <div class="way-row">
                        <button
                            type="button"
                            class="button"
                            data-weight="strong"
                            on:click=move |_| tell(store, store.resume_walk())
                        >
                            {words::GO_ON}
                        </button>
                        <button
                            type="button"
                            class="button"
                            on:click=move |_| tell(store, store.end_walk())
                        >
                            {words::PUT_AWAY}
                        </button>
                    </div>
                </section>
            }
            .into_any(),
        )
    }
}

/// Walks that begin at no place of the map.
#[component]
pub(super) fn OtherWalks(store: Store) -> impl IntoView {
    let buttons: Vec<AnyView> = [Kind::Dead, Kind::Mended(None)]
        .into_iter()
        .map(|kind| {
            let name = store
                .harness
                .with_untracked(|harness| words::kind(harness, &kind));
            begin(store, kind, name)
        })
        .collect();
    view! {
        <details class="card">
            <summary><h3>{words::OTHER_WALKS}</h3></summary>
            {buttons}
        </details>
    }
    .into_any()
}
