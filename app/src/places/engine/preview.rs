//! The map as the answers make it, drawn beside them.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::drawing::Drawing;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::gather::Gather;
use sparktrail_core::model::Harness;

use crate::canvas::{Camera, Cold, ColdMap, Lit, MapView};
use crate::places::words::engine::{self as words, Refusal};

/// The drawing. It can be looked at and nothing else; while an answer is wrong the last one stays.
pub(super) fn preview(
    map: Memo<Result<Arc<Harness>, Refusal>>,
    dead: RwSignal<BTreeSet<CylinderId>>,
) -> AnyView {
    let harness = Memo::new(move |last: Option<&Arc<Harness>>| match (map.get(), last) {
        (Ok(harness), _) => harness,
        (Err(_), Some(last)) => Arc::clone(last),
        (Err(_), None) => Arc::new(crate::store::nothing()),
    });
    let drawing = Memo::new(move |_| harness.with(|harness| Arc::new(Drawing::of(harness))));
    let cold = Signal::derive(move || -> ColdMap {
        dead.with(|dead| dead.iter().map(|cylinder| (*cylinder, Cold::Dead)).gather())
    });
    view! {
        <section class="engine-preview" aria-hidden="true" inert>
            <p class="faint small">{words::PREVIEW}</p>
            <div class="preview-map">
                <MapView
                    harness
                    drawing
                    selected=RwSignal::new(None)
                    hovered=RwSignal::new(None)
                    camera=RwSignal::new(Camera::default())
                    cold
                    lit=Signal::derive(|| None::<Lit>)
                />
            </div>
        </section>
    }
    .into_any()
}
