//! What dies when the chosen thing fails.

use leptos::prelude::*;

use super::overview::{PartList, PickedHead};
use crate::store::Store;

/// The panel.
#[component]
pub(super) fn WhatIfPanel(store: Store) -> impl IntoView {
    let head = move || {
        store
            .session
            .picked
            .get()
            .map(|pick| view! { <PickedHead store pick /> })
    };
    view! {
        <div class="panel">
            {head}
            <PartList store />
        </div>
    }
    .into_any()
}
