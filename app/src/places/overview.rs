//! The panel of the map: what is selected, or what the map is about and how sure it is.

use leptos::prelude::*;
use sparktrail_core::edit::count_facts;
use sparktrail_core::model::Harness;
use sparktrail_core::provenance::Provenance;
use sparktrail_core::topology::Pick;

use super::closing::{Stands, case_card, case_line};
use super::facts::companions;
use super::nominals::Granted;
use super::seen_here::SeenHere;
use super::selection::{FactCard, PickedHead, source};
use super::trails::Trails;
use super::walk_offers::WalksFrom;
use super::words::{facts as fact_words, job as words};
use crate::edge::page;
use crate::store::{Store, Tab};

/// The panel.
#[component]
pub(super) fn MapPanel(store: Store) -> impl IntoView {
    let editing = Memo::new(move |_| store.editor.is_on());
    // What is chosen anew begins at its head.
    Effect::watch(
        move || store.session.picked.get(),
        |_, _, _| page::scroll_to_start(".side"),
        false,
    );
    move || match store.session.picked.get() {
        picked if editing.get() => super::editor::panel(store, picked),
        Some(pick) => view! { <Picked store pick /> }.into_any(),
        None => view! { <Overview store /> }.into_any(),
    }
}

/// What is selected, with its facts and the way to its failures.
#[component]
fn Picked(store: Store, pick: Pick) -> impl IntoView {
    let what_if = move |_| store.session.tab.set(Tab::WhatIf);
    view! {
        <div class="panel">
            {case_line(store)}
            <section class="card picked">
                <PickedHead store pick />
                <button type="button" class="button" data-weight="strong" on:click=what_if>
                    {words::WHAT_IF}
                </button>
            </section>
            <SeenHere store pick />
            <WalksFrom store pick />
            <FactCard store pick />
            <Granted store pick />
        </div>
    }
    .into_any()
}

/// What the map is about, and how sure it is.
#[component]
fn Overview(store: Store) -> impl IntoView {
    let about = move || store.told.with(|harness| harness.about.clone());
    let engine = move || {
        store
            .harness
            .with(engine_lines)
            .into_iter()
            .map(|(term, value)| {
                view! {
                    <div class="fact">
                        <dt>{term}</dt>
                        <dd class="num">{value}</dd>
                    </div>
                }
                .into_any()
            })
            .collect::<Vec<AnyView>>()
    };
    view! {
        <div class="panel">
            {case_card(store, Stands::Beside)}
            <p class="hint only-narrow">{words::HINT_SHORT}</p>
            <section class="card only-wide">
                <p class="eyebrow">{words::ABOUT}</p>
                <p class="story">{about}</p>
                <p class="faint">{words::HINT}</p>
                <dl class="facts">{engine}</dl>
            </section>
            <section class="card only-wide">
                <h2 class="sub-head">{words::SURE}</h2>
                <Sureness store />
                <p class="faint small">{words::SURE_HINT}</p>
            </section>
            <Trails store />
        </div>
    }
    .into_any()
}

/// How many facts are assumed, from a diagram, measured: the key to the map's lines.
#[component]
fn Sureness(store: Store) -> impl IntoView {
    let rows = move || {
        let count = store.told.with(|harness| count_facts(harness));
        [
            (Provenance::Measured, count.measured),
            (Provenance::Diagram, count.diagram),
            (Provenance::Assumed, count.assumed),
        ]
        .map(|(how, number)| {
            view! {
                <li class="sure">
                    <svg viewBox="0 0 48 8" aria-hidden="true" data-source=source(how)>
                        <path d="M1 4h46" />
                    </svg>
                    <span>{fact_words::provenance(how)}</span>
                    <span class="num">{number.to_string()}</span>
                </li>
            }
            .into_any()
        })
        .into_iter()
        .collect::<Vec<AnyView>>()
    };
    view! { <ul class="sureness">{rows}</ul> }.into_any()
}

pub(super) fn engine_lines(harness: &std::sync::Arc<Harness>) -> Vec<(&'static str, String)> {
    let engine = &harness.engine;
    let order: Vec<String> = engine.order.value.iter().map(ToString::to_string).collect();
    vec![
        (
            fact_words::LAYOUT.said(),
            fact_words::engine(engine.cylinders().len(), engine.layout, engine.strokes),
        ),
        (fact_words::ORDER.said(), words::order(&order)),
        (words::COMPANIONS.said(), companions(harness)),
    ]
}
