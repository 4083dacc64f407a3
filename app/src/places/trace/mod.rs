//! Tracing: which pins, step after step, and what goes on the map.

mod answers;
mod card;
mod choose;
mod keep;
mod pins;

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::model::{Harness, PinId};
use sparktrail_core::trace::{Next, Trace};

use super::words::trace as words;
use crate::edge::page;
use crate::store::{Store, Tab};

/// The trace of the open project, shared by the pieces of the panel.
#[derive(Clone, Copy)]
struct Tracing {
    store: Store,
    now: RwSignal<Option<Trace>>,
    /// Which of the measurements shows.
    chosen: RwSignal<usize>,
}

impl Tracing {
    /// Changes the trace; the next step begins at its best measurement.
    fn change(self, change: impl FnOnce(&mut Trace)) {
        self.chosen.set(0);
        self.now.update(|now| {
            if let Some(trace) = now {
                change(trace);
            }
        });
        page::scroll_to_start(".side");
    }
}

/// The panel.
#[component]
pub(super) fn TracePanel(store: Store) -> impl IntoView {
    let tracing = Tracing {
        store,
        now: RwSignal::new(keep::kept(store)),
        chosen: RwSignal::new(0),
    };
    Effect::new(move |before: Option<()>| {
        let now = tracing.now.get();
        if before.is_some() {
            keep::keep(store, now.as_ref());
        }
    });
    on_cleanup(move || store.session.lit.set(None));
    let body = move || {
        let Some(trace) = tracing.now.get() else {
            return choose::choose(tracing, &store.harness.get_untracked());
        };
        let harness = store.harness.get();
        if trace.fits(&harness).is_err() {
            return gone(tracing);
        }
        steps(tracing, &harness, &trace)
    };
    view! { <div class="panel next trace">{body}</div> }.into_any()
}

/// The map has lost what was traced.
fn gone(tracing: Tracing) -> AnyView {
    view! {
        <section class="card">
            <p class="alarm" role="alert">{words::GONE}</p>
            <button type="button" class="button" on:click=move |_| tracing.now.set(None)>
                {words::OTHERS}
            </button>
        </section>
    }
    .into_any()
}

fn steps(tracing: Tracing, harness: &Arc<Harness>, trace: &Trace) -> AnyView {
    let belief = trace.belief(harness);
    let next = trace.next(harness);
    let known = belief.pins.iter().filter(|pin| pin.known().is_some());
    let all = known.count() == belief.pins.len();
    let card = match next {
        Next::Measure(steps) => card::measure(tracing, harness, trace, steps),
        Next::Again(doubted) => card::again(tracing, harness, trace, &belief, &doubted),
        Next::NotAll => card::not_all(tracing),
        Next::Done => {
            tracing.store.session.lit.set(None);
            let words = if all { words::DONE } else { words::NO_MORE };
            view! { <p class="good-note" role="status">{words}</p> }.into_any()
        }
    };
    view! {
        {card}
        {on_the_map(tracing, harness, trace)}
        {pins::pins(harness, trace, &belief)}
        {pins::so_far(tracing, harness, trace)}
        <button type="button" class="button" on:click=move |_| tracing.now.set(None)>
            {words::OTHERS}
        </button>
    }
    .into_any()
}

/// What is known goes on the map.
fn on_the_map(tracing: Tracing, harness: &Arc<Harness>, trace: &Trace) -> AnyView {
    let store = tracing.store;
    match trace.facts(harness) {
        Err(error) => view! { <p class="alarm" role="alert">{error.told(harness)}</p> }.into_any(),
        Ok(Some(command)) => {
            let command = StoredValue::new(command);
            let put = move |_| match store.dispatch(command.get_value()) {
                Ok(()) => store.session.say(words::PUT_DONE, None),
                Err(error) => store
                    .harness
                    .with_untracked(|harness| store.session.say(error.told(harness), None)),
            };
            view! {
                <section class="card">
                    <p class="faint small">{words::PUT_HINT}</p>
                    <button type="button" class="button" data-weight="strong" on:click=put>
                        {words::PUT}
                    </button>
                </section>
            }
            .into_any()
        }
        Ok(None) if trace.next(harness) == Next::Done => view! {
            <section class="card">
                <p>{words::ON_MAP}</p>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| store.session.tab.set(Tab::Map)
                >
                    {words::TO_MAP}
                </button>
            </section>
        }
        .into_any(),
        Ok(None) => ().into_any(),
    }
}

/// A pin as people say it: by its number, or by its place among those without one.
fn pin_name(harness: &Harness, trace: &Trace, pin: PinId) -> String {
    let label = |pin: PinId| {
        let label = harness.pin(trace.unit, pin)?.label.as_ref()?;
        Some(label.value.clone())
    };
    if let Some(label) = label(pin) {
        return words::pin(&label);
    }
    let mut unnamed = trace.pins.iter().filter(|pin| label(**pin).is_none());
    let place = unnamed.position(|other| *other == pin);
    words::unnamed(place.map_or(0, |place| place + 1))
}
