//! What could be wrong, ranked, with the findings that moved each suspect, and what was cleared by what.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::isolation::{Cleared, Explained, Factor, Unit};
use sparktrail_core::model::{FindingId, Harness};
use sparktrail_core::topology::Pick;

use super::closing::{Stands, case_card};
use super::entry::to_findings;
use super::words::faults::Say;
use super::words::findings::sentence;
use super::words::suspects as words;
use crate::store::{Pairing, Pairs, Reckoned, Store, Suspect, Verdict};

/// Reasons shown for one suspect.
const MOST_REASONS: usize = 6;
/// Findings named for one cleared thing.
const MOST_CLEARERS: usize = 2;

/// The panel.
#[component]
pub(super) fn SuspectsPanel(store: Store) -> impl IntoView {
    let cleared_open = RwSignal::new(false);
    let body = move || match store.isolation.reckoned.get() {
        Reckoned::Soon => note(words::SOON.said()),
        Reckoned::NoCase(error) => {
            view! { <p class="alarm">{words::no_case(error)}</p> }.into_any()
        }
        Reckoned::NothingFits(doubtful) => {
            let harness = store.harness.get_untracked();
            let words = words::nothing_fits(&said(&harness, doubtful).unwrap_or_default());
            view! { <p class="alarm" role="alert">{words}</p> }.into_any()
        }
        Reckoned::Known(verdict) => told(store, &verdict, cleared_open),
    };
    on_cleanup(move || store.session.lit.set(None));
    view! {
        <div class="panel suspects">
            {case_card(store, Stands::Beside)}
            {body}
        </div>
    }
    .into_any()
}

fn note(words: &'static str) -> AnyView {
    view! { <p class="faint" role="status">{words}</p> }.into_any()
}

fn told(store: Store, verdict: &Arc<Verdict>, cleared_open: RwSignal<bool>) -> AnyView {
    let harness = store.harness.get_untracked();
    let nothing_yet = (verdict.evidence == 0).then(|| {
        view! {
            <section class="card">
                <p>{words::NOTHING_YET}</p>
                {to_findings(store)}
            </section>
        }
        .into_any()
    });
    let named = |ids: &[FindingId]| ids.first().and_then(|id| said(&harness, *id));
    let doubt = match &verdict.explained {
        Explained::ByOne => named(&verdict.retake).map(|words| words::contradicts(&words)),
        Explained::NotByOne => Some(words::NOT_BY_ONE.to_owned()),
        Explained::CheckAgain(ids) => named(ids).map(|words| words::check_again(&words)),
    };
    let two = (verdict.explained != Explained::ByOne).then(|| pairs(store));
    let doubt = doubt.map(|words| view! { <p class="alarm" role="status">{words}</p> }.into_any());
    let fuel = (verdict.not_electrical > 0.5 && verdict.evidence > 0)
        .then(|| view! { <p class="alarm" role="status">{words::NOT_ELECTRICAL}</p> }.into_any());
    let troubles = (!verdict.troubles.is_empty()).then(|| {
        let lines: Vec<AnyView> = verdict
            .troubles
            .iter()
            .map(|trouble| {
                let what = said(&harness, trouble.finding).unwrap_or_default();
                view! { <li>{what} " " {trouble.why.to_string()} "."</li> }.into_any()
            })
            .collect();
        view! {
            <div class="alarm">
                <p>{words::TROUBLES}</p>
                <ul>{lines}</ul>
            </div>
        }
        .into_any()
    });
    let rows: Vec<AnyView> = (0..verdict.suspects.len())
        .map(|place| row(store, &harness, verdict, place))
        .collect();
    let many = verdict.cleared.len();
    let verdict = Arc::clone(verdict);
    let cleared = move || {
        cleared_open.get().then(|| {
            let cleared = verdict.cleared.iter();
            cleared
                .map(|cleared| cleared_row(&harness, cleared))
                .collect::<Vec<AnyView>>()
        })
    };
    view! {
        {nothing_yet}
        {doubt}
        {two}
        {fuel}
        {troubles}
        <section class="card">
            <h2>{words::HEADING}</h2>
            <ol class="suspect-list">{rows}</ol>
            <p class="faint small">{words::REST} " " {words::PRIORS}</p>
        </section>
        <details class="card">
            <summary on:click=move |_| cleared_open.set(true)>
                <h3>
                    {words::CLEARED} " "
                    <span class="faint num">{many.to_string()}</span>
                </h3>
            </summary>
            {(many == 0).then(|| note(words::NOTHING_CLEARED.said()))}
            <ul class="cleared-list">{cleared}</ul>
        </details>
    }
    .into_any()
}

/// Two faults at once: looked for when asked to, with its progress, and stopped when asked to.
fn pairs(store: Store) -> AnyView {
    let isolation = store.isolation;
    let body = move || {
        match isolation.pairing.get() {
        Pairing::Idle => view! {
            <p>{words::PAIRS_WHEN}</p>
            <button type="button" class="button pairs-go" on:click=move |_| isolation.search_pairs()>
                {words::PAIRS_GO}
            </button>
        }
        .into_any(),
        Pairing::Searching(done, of) => view! {
            <p role="status">{words::PAIRS_SEARCHING}</p>
            <progress max=of.to_string() value=done.to_string()>
                {words::progress(done, of)}
            </progress>
            <button type="button" class="button" on:click=move |_| isolation.stop_pairs()>
                {words::PAIRS_STOP}
            </button>
        }
        .into_any(),
        Pairing::Known(pairs) => pairs_found(&store.harness.get_untracked(), &pairs),
    }
    };
    view! {
        <section class="card pairs">
            <h2>{words::PAIRS}</h2>
            {body}
        </section>
    }
    .into_any()
}

fn pairs_found(harness: &Harness, pairs: &Pairs) -> AnyView {
    if pairs.likeliest.is_empty() {
        return note(words::PAIRS_NONE.said());
    }
    let rows: Vec<AnyView> = pairs
        .likeliest
        .iter()
        .map(|(a, b, share)| {
            let both = words::both(&a.name(harness), &b.name(harness));
            view! {
                <li class="step">
                    <span>{both}</span>
                    <span class="num">{words::share(*share)}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    view! {
        <p role="status">{words::two_rather_than_one(pairs.two)}</p>
        <ol class="path">{rows}</ol>
        <p class="faint small">{words::PAIRS_SHARES}</p>
    }
    .into_any()
}

/// A finding as it was said.
fn said(harness: &Harness, id: FindingId) -> Option<String> {
    let finding = harness.findings.iter().find(|finding| finding.id == id)?;
    Some(sentence(harness, finding))
}

/// A suspect: why it stands where it stands is written once somebody opens it, or at once for the first.
fn row(store: Store, harness: &Arc<Harness>, verdict: &Arc<Verdict>, place: usize) -> AnyView {
    let Some(suspect) = verdict.suspects.get(place) else {
        return ().into_any();
    };
    let why = &suspect.why;
    let name = why.unit.name(harness);
    let share = words::share(why.share);
    let width = format!("{:.1}", (why.share * 100.0).clamp(0.5, 100.0));
    let picks = StoredValue::new(picks(why.unit, suspect));
    let lit = store.session.lit;
    let first = place == 0;
    let opened = RwSignal::new(first);
    let open = {
        let (harness, verdict) = (Arc::clone(harness), Arc::clone(verdict));
        move || {
            let suspect = verdict.suspects.get(place)?;
            opened.get().then(|| reasoned(&harness, suspect))
        }
    };
    view! {
        <li
            class="suspect"
            data-share=format!("{:.6}", why.share)
            on:pointerenter=move |_| lit.set(Some(picks.get_value()))
            on:pointerleave=move |_| lit.set(None)
        >
            <details open=first>
                <summary on:click=move |_| opened.set(true)>
                    <span class="suspect-name">{words::titled(&name)}</span>
                    <strong class="num">{share}</strong>
                    <svg
                        class="bar-of"
                        viewBox="0 0 100 6"
                        preserveAspectRatio="none"
                        aria-hidden="true"
                    >
                        <rect class="bar-in" width=width height="6" />
                    </svg>
                </summary>
                {open}
            </details>
        </li>
    }
    .into_any()
}

/// The ways in which a suspect fails, and what moved it.
fn reasoned(harness: &Harness, suspect: &Suspect) -> AnyView {
    let why = &suspect.why;
    let name = why.unit.name(harness);
    let ways: Vec<String> = suspect
        .ways
        .iter()
        .map(|(fault, _)| {
            let element = harness.element_name(fault.element);
            let mode = Say(harness).mode(fault.mode);
            super::words::faults::within(&format!("{element} {mode}"), &name)
        })
        .collect();
    let ways = (!ways.is_empty()).then(|| {
        view! { <p class="small"><span class="faint">{words::WAYS} ": "</span> {ways.join("; ")}</p> }
            .into_any()
    });
    let reasons = reasons(harness, &why.factors);
    let none = reasons.is_empty().then(|| note(words::UNMOVED.said()));
    view! {
        {ways}
        <h3 class="small faint">{words::WHY}</h3>
        <ul class="reasons">{reasons}</ul>
        {none}
    }
    .into_any()
}

fn reasons(harness: &Harness, factors: &[Factor]) -> Vec<AnyView> {
    factors
        .iter()
        .filter_map(|factor| {
            let moved = words::factor(factor)?;
            let direction = if factor.factor > 1.0 { "up" } else { "down" };
            let said = said_all(harness, &factor.findings);
            let arrow = if factor.factor > 1.0 { "▲" } else { "▼" };
            Some(
                view! {
                    <li class="reason" data-way=direction>
                        <span aria-hidden="true">{arrow}</span>
                        <span>{said} " " <span class="faint">{moved}</span></span>
                    </li>
                }
                .into_any(),
            )
        })
        .take(MOST_REASONS)
        .collect()
}

/// The findings that moved a suspect most, each with what it did.
pub(super) fn reasons_in_words(harness: &Harness, factors: &[Factor], most: usize) -> Vec<String> {
    let moved = factors.iter().filter_map(|factor| {
        let moved = words::factor(factor)?;
        let said = said_all(harness, &factor.findings);
        Some(format!("{}: {moved}", said.trim_end_matches('.')))
    });
    moved
        .take(most)
        .map(|reason| format!("{reason}."))
        .collect()
}

pub(super) fn said_all(harness: &Harness, ids: &[FindingId]) -> String {
    let said: Vec<String> = ids.iter().filter_map(|id| said(harness, *id)).collect();
    said.join(" ")
}

fn cleared_row(harness: &Harness, cleared: &Cleared) -> AnyView {
    let by: Vec<String> = cleared
        .by
        .iter()
        .take(MOST_CLEARERS)
        .map(|factor| said_all(harness, &factor.findings))
        .collect();
    view! {
        <li class="reason">
            <span class="tick" aria-hidden="true">"✓"</span>
            <span>
                {words::titled(&cleared.unit.name(harness))} " " <span class="faint small">{by.join(" ")}</span>
            </span>
        </li>
    }
    .into_any()
}

/// What a suspect is on the map.
fn picks(unit: Unit, suspect: &Suspect) -> Vec<Pick> {
    let own = match unit {
        Unit::Part(part) | Unit::Joints(part) => vec![Pick::Part(part)],
        Unit::Wire(wire) => vec![Pick::Wire(wire)],
        Unit::Crossed(a, b) => vec![Pick::Part(a), Pick::Part(b)],
        Unit::Cylinder(cylinder) => vec![Pick::Cylinder(cylinder)],
        Unit::Transistor(driver) | Unit::DriverJoints(driver) | Unit::DriveResistor(driver) => {
            vec![Pick::Driver(driver)]
        }
        Unit::Contacts(_)
        | Unit::Trace(..)
        | Unit::BoardSupply(_)
        | Unit::BoardGround(_)
        | Unit::Logic(_)
        | Unit::CrankSignal(_) => Vec::new(),
    };
    if own.is_empty() {
        let ways = suspect.ways.iter();
        ways.map(|(fault, _)| Pick::Element(fault.element))
            .collect()
    } else {
        own
    }
}
