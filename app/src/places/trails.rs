//! The map as lists: how each cylinder is fed, step by step, with how it is known and its heat. It says to readers
//! what the drawing shows.

use leptos::prelude::*;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::{Element, Harness};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::topology::{NeedState, Passed, Pick, Stretch};

use super::facts;
use super::lights;
use super::selection::source;
use super::words::facts::provenance;
use super::words::faults::Say;
use super::words::suspects::{share, titled};
use super::words::trails as words;
use crate::store::{Store, cylinders_said};

/// The least probability that is said as a number, as on the map.
const LEAST: f64 = 0.05;

/// The lists, folded away; each is made when it is opened.
#[component]
pub(super) fn Trails(store: Store) -> impl IntoView {
    let open = RwSignal::new(false);
    let lists = move || {
        if !open.get() {
            return Vec::new();
        }
        let cylinders: Vec<CylinderId> = store.told.with(|harness| harness.engine.cylinders());
        cylinders
            .into_iter()
            .map(|cylinder| one(store, cylinder))
            .collect()
    };
    view! {
        <details class="card trails" on:toggle=move |_| open.set(true)>
            <summary><h2 class="sub-head">{words::HEADING}</h2></summary>
            <p class="faint small">{words::LEAD}</p>
            {lists}
        </details>
    }
    .into_any()
}

/// One cylinder, folded.
fn one(store: Store, cylinder: CylinderId) -> AnyView {
    let open = RwSignal::new(false);
    let name = move || {
        let works = store.told.with(|harness| {
            let said = cylinders_said(harness.findings_now());
            said.get(&cylinder).copied()
        });
        words::cylinder(cylinder, works)
    };
    let body = move || open.get().then(|| way(store, cylinder));
    view! {
        <details class="trail" data-cylinder=cylinder.to_string() on:toggle=move |_| open.set(true)>
            <summary>{name}</summary>
            {body}
        </details>
    }
    .into_any()
}

/// The way of one cylinder, stretch by stretch.
fn way(store: Store, cylinder: CylinderId) -> Vec<AnyView> {
    let harness = store.told.get();
    let stretches = store.derived.topology.with(|topology| {
        let way = topology.as_ref().map(|t| t.way(&harness, cylinder));
        way.unwrap_or_default()
    });
    let show = |shown: Stretch| stretch(store, &harness, shown);
    stretches.into_iter().map(show).collect()
}

fn stretch(store: Store, harness: &Harness, shown: Stretch) -> AnyView {
    let name = titled(&Say(harness).need(shown.kind));
    let doubt = match shown.state {
        NeedState::Shown => None,
        NeedState::Unknown(_) => {
            Some(view! { <p class="faint small">{words::NOT_SHOWN}</p> }.into_any())
        }
    };
    let beside = (shown.beside > 0)
        .then(|| view! { <li class="faint small">{words::beside(shown.beside)}</li> }.into_any());
    let rows: Vec<AnyView> = shown
        .passed
        .into_iter()
        .map(|passed| row(store, harness, passed))
        .collect();
    view! {
        <section class="stretch">
            <h3>{name}</h3>
            {doubt}
            <ol class="path">{rows} {beside}</ol>
        </section>
    }
    .into_any()
}

fn row(store: Store, harness: &Harness, passed: Passed) -> AnyView {
    let pick = passed.thing;
    let name = facts::name(harness, pick);
    let how = weakest(harness, pick).map(|how| {
        view! { <span class="tag" data-source=source(how)>{provenance(how)}</span> }.into_any()
    });
    let heat = move || {
        let (hot, good) = (lights::heat(store), lights::cleared(store));
        state(&passed.elements, &hot, &good)
    };
    view! {
        <li class="step">
            <button
                type="button"
                class="link"
                on:click=move |_| store.session.picked.set(Some(pick))
            >
                <bdi>{name}</bdi>
            </button>
            <span class="num">{heat} " " {how}</span>
        </li>
    }
    .into_any()
}

/// How likely a thing is the fault, or that it is proven good.
fn state(
    elements: &[Element],
    hot: &crate::canvas::HeatMap,
    good: &std::collections::BTreeSet<Element>,
) -> Option<String> {
    let heat: f64 = elements.iter().filter_map(|element| hot.get(element)).sum();
    if heat > LEAST {
        return Some(share(heat));
    }
    let all_good = !elements.is_empty() && elements.iter().all(|element| good.contains(element));
    all_good.then(|| words::CLEARED.to_owned())
}

/// The weakest way in which anything of a thing is known.
fn weakest(harness: &Harness, pick: Pick) -> Option<Provenance> {
    let lines = facts::lines(harness, pick);
    lines
        .into_iter()
        .filter_map(|line| Some(line.known?.1))
        .min()
}
