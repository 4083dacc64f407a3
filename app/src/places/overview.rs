//! The panel of the map: what is selected, or what the map is about and how sure it is.

use leptos::prelude::*;
use sparktrail_core::edit::{Command, FactAt, count_facts};
use sparktrail_core::model::{Harness, PartKind};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::topology::Pick;

use super::facts::{self, FactLine};
use super::words::{facts as fact_words, job as words};
use crate::edge::events;
use crate::store::{Store, Tab};
use crate::ui::{Icon, IconButton};

/// The panel.
#[component]
pub(super) fn MapPanel(store: Store) -> impl IntoView {
    move || match store.session.picked.get() {
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
            <section class="card picked">
                <PickedHead store pick />
                <button type="button" class="button" data-weight="strong" on:click=what_if>
                    {words::WHAT_IF}
                </button>
            </section>
            <FactCard store pick />
        </div>
    }
    .into_any()
}

/// The name of what is selected, and the button that puts it away.
#[component]
pub(super) fn PickedHead(store: Store, pick: Pick) -> impl IntoView {
    let name = move || store.harness.with(|harness| facts::name(harness, pick));
    let kind = store
        .harness
        .with_untracked(|harness| facts::kind(harness, pick));
    view! {
        <div class="picked-head">
            <div>
                <p class="eyebrow">{kind}</p>
                <h2>{name}</h2>
            </div>
            <IconButton
                icon=Icon::Close
                name=words::UNPICK
                act=Callback::new(move |()| store.session.picked.set(None))
            />
        </div>
    }
    .into_any()
}

/// Every fact of what is selected, each with how it is known.
#[component]
pub(super) fn FactCard(store: Store, pick: Pick) -> impl IntoView {
    move || {
        let lines = store.harness.with(|harness| facts::lines(harness, pick));
        if lines.is_empty() {
            return ().into_any();
        }
        let lines: Vec<AnyView> = lines
            .into_iter()
            .map(|line| view! { <Line store line /> }.into_any())
            .collect();
        view! {
            <section class="card">
                <h3>{fact_words::FACTS}</h3>
                <dl class="facts">{lines}</dl>
            </section>
        }
        .into_any()
    }
}

#[component]
fn Line(store: Store, line: FactLine) -> impl IntoView {
    let known = line
        .known
        .map(|(at, how)| view! { <How store at how term=line.term.clone() /> });
    let value = match (line.value, line.leads_to) {
        (None, _) => view! { <span class="faint">{fact_words::UNKNOWN}</span> }.into_any(),
        (Some(value), None) => view! { <span class="num">{value}</span> }.into_any(),
        (Some(value), Some(pick)) => view! {
            <button
                type="button"
                class="link"
                on:click=move |_| store.session.picked.set(Some(pick))
            >
                {value}
            </button>
        }
        .into_any(),
    };
    view! {
        <div class="fact">
            <dt>{line.term}</dt>
            <dd>{value} {known}</dd>
        </div>
    }
    .into_any()
}

/// How a fact is known, to be changed.
#[component]
fn How(store: Store, at: FactAt, how: Provenance, term: String) -> impl IntoView {
    const ALL: [Provenance; 3] = [
        Provenance::Assumed,
        Provenance::Diagram,
        Provenance::Measured,
    ];
    let changed = move |event: leptos::ev::Event| {
        let chosen = events::chosen(&event).and_then(|chosen| ALL.get(chosen).copied());
        if let Some(how) = chosen {
            store.change(Command::SetProvenance { at, how });
        }
    };
    let options: Vec<AnyView> = ALL
        .into_iter()
        .map(|each| {
            view! { <option selected=each == how>{fact_words::provenance(each)}</option> }
                .into_any()
        })
        .collect();
    view! {
        <select
            class="how"
            data-source=source(how)
            aria-label=format!("{}: {term}", fact_words::HOW)
            on:change=changed
        >
            {options}
        </select>
    }
    .into_any()
}

const fn source(how: Provenance) -> &'static str {
    match how {
        Provenance::Assumed => "assumed",
        Provenance::Diagram => "diagram",
        Provenance::Measured => "measured",
    }
}

/// What the map is about, and how sure it is.
#[component]
fn Overview(store: Store) -> impl IntoView {
    let about = move || store.harness.with(|harness| harness.about.clone());
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
            <p class="hint only-narrow">{words::HINT_SHORT}</p>
            <section class="card only-wide">
                <p class="eyebrow">{words::ABOUT}</p>
                <p class="story">{about}</p>
                <p class="faint">{words::HINT}</p>
                <dl class="facts">{engine}</dl>
            </section>
            <section class="card only-wide">
                <h3>{words::SURE}</h3>
                <Sureness store />
                <p class="faint small">{words::SURE_HINT}</p>
            </section>
        </div>
    }
    .into_any()
}

/// How many facts are assumed, from a diagram, measured: the key to the map's lines.
#[component]
fn Sureness(store: Store) -> impl IntoView {
    let rows = move || {
        let count = store.harness.with(|harness| count_facts(harness));
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

fn engine_lines(harness: &std::sync::Arc<Harness>) -> Vec<(&'static str, String)> {
    let engine = &harness.engine;
    let order: Vec<String> = engine.order.value.iter().map(ToString::to_string).collect();
    let pairs: Vec<(String, String)> = engine
        .companions()
        .pairs
        .iter()
        .map(|(a, b, _)| (a.to_string(), b.to_string()))
        .collect();
    vec![
        (
            fact_words::LAYOUT,
            fact_words::engine(engine.cylinders().len(), engine.layout, engine.strokes),
        ),
        (fact_words::ORDER, words::order(&order)),
        (words::COMPANIONS, words::pairs(&pairs)),
    ]
}

/// Every part and cylinder in groups, to be chosen without the map.
#[component]
pub(super) fn PartList(store: Store) -> impl IntoView {
    move || {
        let mut groups: Vec<(&'static str, Vec<(Pick, String)>)> = Vec::new();
        store.harness.with(|harness| {
            for (&id, part) in &harness.parts {
                // A ground point or splice has nothing of its own that fails: its joints are the wires'.
                if matches!(part.kind, PartKind::Pack) {
                    continue;
                }
                let heading = fact_words::kinds(&part.kind);
                let entry = (Pick::Part(id), part.name.clone());
                match groups.iter_mut().find(|(found, _)| *found == heading) {
                    Some((_, entries)) => entries.push(entry),
                    None => groups.push((heading, vec![entry])),
                }
            }
            let wires = harness
                .wires
                .keys()
                .map(|&id| (Pick::Wire(id), harness.wire_name(id)))
                .collect();
            groups.push((fact_words::WIRES, wires));
        });
        let groups: Vec<AnyView> = groups
            .into_iter()
            .filter(|(_, entries)| !entries.is_empty())
            .map(|(heading, entries)| {
                let rows: Vec<AnyView> = entries
                    .into_iter()
                    .map(|(pick, name)| view! { <PickRow store pick name /> }.into_any())
                    .collect();
                view! {
                    <details class="group">
                        <summary>{heading} <span class="faint num">{rows.len().to_string()}</span></summary>
                        <ul class="rows">{rows}</ul>
                    </details>
                }
                .into_any()
            })
            .collect();
        view! {
            <section class="card">
                <h3>{words::PARTS}</h3>
                {groups}
            </section>
        }
        .into_any()
    }
}

/// One thing to choose; pointing at it lights it on the map.
#[component]
pub(super) fn PickRow(store: Store, pick: Pick, name: String) -> impl IntoView {
    let hovered = store.session.hovered;
    view! {
        <li>
            <button
                type="button"
                class="row"
                on:click=move |_| store.session.picked.set(Some(pick))
                on:pointerenter=move |_| hovered.set(Some(pick))
                on:pointerleave=move |_| hovered.set(None)
                on:focus=move |_| hovered.set(Some(pick))
                on:blur=move |_| hovered.set(None)
            >
                {name}
            </button>
        </li>
    }
    .into_any()
}
