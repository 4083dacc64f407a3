//! What dies when something fails: the ways in which the chosen thing can, and what each does.

use leptos::prelude::*;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::{Effect, Fault, RefinedEffect, Verdict, modes_of};
use sparktrail_core::model::{Element, Harness};
use sparktrail_core::topology::Pick;

use super::facts;
use super::selection::{PartList, PickedHead};
use super::words::faults::{self as words, Say};
use crate::edge::page;
use crate::store::Store;
use crate::ui::{DiscState, Discs};

/// The panel.
#[component]
pub(super) fn WhatIfPanel(store: Store) -> impl IntoView {
    let picked = move || match store.session.picked.get() {
        Some(pick) => view! { <Ways store pick /> }.into_any(),
        None => view! {
            <section class="card">
                <h2>{words::HEADING}</h2>
                <p class="faint">{words::LEAD}</p>
            </section>
            <PartList store />
        }
        .into_any(),
    };
    view! {
        <div class="panel">
            <Outcome store />
            {picked}
        </div>
    }
    .into_any()
}

/// What is broken now, and what that does.
#[component]
fn Outcome(store: Store) -> impl IntoView {
    move || {
        let refined = store.derived.refined.get()?;
        let effect = refined.effect.clone();
        let harness = store.told.get();
        let say = Say(&harness);
        let Fault { element, mode } = effect.fault;
        let title = format!("{}: {}", harness.element_name(element), say.mode(mode));
        let besides: Vec<AnyView> = effect
            .besides
            .iter()
            .map(|&besides| {
                let class = if words::is_caution(besides) {
                    "caution"
                } else {
                    "faint"
                };
                view! { <p class=class>{say.besides(besides)}</p> }.into_any()
            })
            .collect();
        let lists = outcome_lists(&harness, &effect, &refined);
        Some(
            view! {
                <section class="card outcome" aria-live="polite">
                    <p class="eyebrow">{words::BROKEN}</p>
                    <h2>{title}</h2>
                    {lists}
                    {besides}
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| store.session.broken.set(None)
                    >
                        {words::MEND}
                    </button>
                </section>
            }
            .into_any(),
        )
    }
}

fn outcome_lists(harness: &Harness, effect: &Effect, refined: &RefinedEffect) -> Vec<AnyView> {
    let mut lists = Vec::new();
    if effect.dead.is_empty() {
        lists.push(view! { <p>{words::NONE_DEAD}</p> }.into_any());
    }
    for (heading, word, state, verdicts) in [
        (words::DEAD, "dead", DiscState::Dead, &effect.dead),
        (
            words::DOUBTFUL,
            "doubtful",
            DiscState::Doubtful,
            &effect.doubtful,
        ),
        (words::LIVE, "live", DiscState::Plain, &effect.live),
    ] {
        if verdicts.is_empty() {
            continue;
        }
        let why = |verdict: &Verdict| {
            let mut cylinders = refined.cylinders.iter();
            let one = cylinders.find(|one| one.cylinder == verdict.cylinder);
            let reason = Say(harness).reason(verdict.reason);
            match one.and_then(words::reached) {
                Some(reached) => format!("{reason}; {reached}"),
                None => reason,
            }
        };
        let rows: Vec<AnyView> = by_reason(verdicts, why)
            .into_iter()
            .map(|(reason, cylinders)| {
                let numbers = cylinders.iter().map(|cylinder| cylinder.0).collect();
                view! {
                    <li class="verdict">
                        <Discs numbers state />
                        <span>{reason}</span>
                    </li>
                }
                .into_any()
            })
            .collect();
        let all: Vec<CylinderId> = verdicts.iter().map(|verdict| verdict.cylinder).collect();
        lists.push(
            view! {
                <div class="verdicts" data-verdict=word data-cylinders=words::numbers(&all)>
                    <h3>{heading}</h3>
                    <ul>{rows}</ul>
                </div>
            }
            .into_any(),
        );
    }
    lists
}

/// The cylinders of each reason, in the order in which the reasons first come.
fn by_reason(
    verdicts: &[Verdict],
    why: impl Fn(&Verdict) -> String,
) -> Vec<(String, Vec<CylinderId>)> {
    let mut found: Vec<(String, Vec<CylinderId>)> = Vec::new();
    for verdict in verdicts {
        let why = why(verdict);
        match found.iter_mut().find(|(reason, _)| *reason == why) {
            Some((_, cylinders)) => cylinders.push(verdict.cylinder),
            None => found.push((why, vec![verdict.cylinder])),
        }
    }
    found
}

/// Beyond this many elements each is folded away with its ways.
const OPEN_AT_MOST: usize = 8;

/// The ways in which what is selected can fail.
#[component]
fn Ways(store: Store, pick: Pick) -> impl IntoView {
    let body = move || {
        let harness = store.told.get();
        let elements: Vec<Element> = store.derived.elements_at(&harness, pick);
        if elements.is_empty() {
            return vec![view! { <p class="faint">{words::NO_WAYS}</p> }.into_any()];
        }
        let open = elements.len() <= OPEN_AT_MOST;
        let owner = facts::name(&harness, pick);
        elements
            .into_iter()
            .map(|element| {
                let name = words::within(&harness.element_name(element), &owner);
                let ways = view! { <ElementWays store element /> };
                view! {
                    <details class="ways" open=open>
                        <summary>{name}</summary>
                        {ways}
                    </details>
                }
                .into_any()
            })
            .collect()
    };
    view! {
        <section class="card">
            <PickedHead store pick />
            <h3>{words::WAYS}</h3>
            {body}
        </section>
    }
    .into_any()
}

/// One button for each way in which one element can fail.
#[component]
fn ElementWays(store: Store, element: Element) -> impl IntoView {
    let buttons: Vec<AnyView> = store.harness.with_untracked(|harness| {
        modes_of(harness, element)
            .into_iter()
            .map(|mode| {
                let fault = Fault::new(element, mode);
                let broken = store.session.broken;
                let is_this = move || broken.get() == Some(fault);
                let turn = move |_| {
                    if broken.get_untracked() == Some(fault) {
                        broken.set(None);
                    } else {
                        broken.set(Some(fault));
                        // What it does is told at the panel's head.
                        page::scroll_to_start(".side");
                    }
                };
                let pressed = move || if is_this() { "true" } else { "false" };
                view! {
                    <button type="button" class="button way" aria-pressed=pressed on:click=turn>
                        {Say(harness).mode(mode)}
                    </button>
                }
                .into_any()
            })
            .collect()
    });
    view! { <div class="way-row">{buttons}</div> }.into_any()
}
