//! A wire's colour as a short piece of wire: base, tracer stripe, and a casing that shows on any ground.

use leptos::prelude::*;
use sparktrail_core::drawing::paint;
use sparktrail_core::model::WireColour;

/// The piece of wire; an unknown colour is a dashed outline.
pub(super) fn swatch(colour: Option<WireColour>) -> AnyView {
    let base = colour.map(|colour| {
        view! { <path d="M2 8h28" stroke=paint(colour.base) stroke-width="9" /> }.into_any()
    });
    let tracer = colour.and_then(|colour| colour.tracer).map(|tracer| {
        view! { <path d="M2 8h28" stroke=paint(tracer) stroke-width="3.5" /> }.into_any()
    });
    let state = if colour.is_some() { "known" } else { "unknown" };
    view! {
        <svg class="swatch" data-state=state viewBox="0 0 32 16" aria-hidden="true">
            <path class="casing" d="M1 8h30" stroke-width="12" />
            {base}
            {tracer}
        </svg>
    }
    .into_any()
}
