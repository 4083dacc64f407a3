//! What was done to the car, whether it is mended, and the case closed with its cause.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::model::{CaseState, CaseStep, Element, Harness, WorkEntry, Works};
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::Kind;

use super::walk_offers::begin;
use super::words::closing as words;
use super::words::suspects::titled;
use super::words::walk as walk_words;
use crate::edge::{clock, page};
use crate::store::{Reckoned, Store, Tab, cylinders_said};
use crate::ui::{choice, fact};

/// Suspects offered as the cause.
const MOST_CAUSES: usize = 6;

/// Where the card stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stands {
    /// Where the next thing to do is told: all of it.
    Next,
    /// Beside something else: a word of it, with the way there.
    Beside,
}

/// Whether the search goes on. Tracked.
pub(super) fn is_open(store: Store) -> bool {
    store
        .harness
        .with(|harness| harness.case_state() == CaseState::Open)
}

/// How far the case is, and the next thing to say about it.
pub(super) fn case_card(store: Store, stands: Stands) -> AnyView {
    let state = Memo::new(move |_| store.harness.with(|harness| owned(harness)));
    let body = move || match (state.get(), stands) {
        (State::Open, Stands::Next) => open(store),
        (State::Open, Stands::Beside) => ().into_any(),
        (State::Mended(done), Stands::Next) => mended(store, &done),
        (State::Mended(done), Stands::Beside) => mended_short(store, &done),
        (State::Closed(done, cause), _) => closed(store, done.as_ref(), &cause),
    };
    view! { {body} }.into_any()
}

/// A line of how far the case is, while something that was selected has the room.
pub(super) fn case_line(store: Store) -> AnyView {
    let state = Memo::new(move |_| store.harness.with(|harness| owned(harness)));
    let body = move || match state.get() {
        State::Open => ().into_any(),
        State::Mended(_) => {
            let go = move || store.session.tab.set(Tab::Next);
            line(words::SEE_HEADING.said().to_owned(), go)
        }
        State::Closed(_, cause) => {
            // The whole of it stands where nothing is selected.
            let go = move || {
                store.session.picked.set(None);
                page::scroll_to_start(".side");
            };
            line(words::closed_line(&cause.text), go)
        }
    };
    view! { {body} }.into_any()
}

fn line(words: String, go: impl Fn() + 'static) -> AnyView {
    view! {
        <button type="button" class="case-line" on:click=move |_| go()>{words}</button>
    }
    .into_any()
}

/// [`CaseState`] with what it tells of.
#[derive(Debug, Clone, PartialEq)]
enum State {
    Open,
    Mended(WorkEntry),
    Closed(Option<WorkEntry>, WorkEntry),
}

fn owned(harness: &Harness) -> State {
    match harness.case_state() {
        CaseState::Open => State::Open,
        CaseState::Mended(done) => State::Mended(done.clone()),
        CaseState::Closed(done, cause) => State::Closed(done.cloned(), cause.clone()),
    }
}

fn log(store: Store, step: CaseStep, text: &str, element: Option<Element>) -> bool {
    let done = store.dispatch(Command::Log {
        step,
        text: text.trim().to_owned(),
        element,
        at: Some(clock::timestamp()),
    });
    if let Err(error) = &done {
        let words = store.harness.with_untracked(|harness| error.told(harness));
        store.session.say(words, None);
    }
    done.is_ok()
}

/// Something was done: only noted, or the car is mended by it.
fn open(store: Store) -> AnyView {
    let text = store.session.drafts.did;
    let begun = text.with_untracked(|text| !text.is_empty());
    let trouble = RwSignal::new(None::<&'static str>);
    let say = move |step: CaseStep| {
        let did = text.get_untracked();
        if did.trim().is_empty() {
            trouble.set(Some(words::SAY_WHAT.said()));
        } else if log(store, step, &did, None) {
            text.set(String::new());
            trouble.set(None);
            if step == CaseStep::Work {
                store.session.say(words::NOTED, None);
            }
            page::scroll_to_start(".side");
        }
    };
    view! {
        <details class="card closing" open=begun>
            <summary><h3>{words::DONE_HEADING}</h3></summary>
            <label class="field">
                <span>{words::DID}</span>
                <textarea
                    rows="2"
                    maxlength="1000"
                    prop:value=move || text.get()
                    on:input:target=move |event| text.set(event.target().value())
                />
            </label>
            {move || alarm(trouble.get())}
            <div class="way-row">
                <button
                    type="button"
                    class="button"
                    data-weight="strong"
                    on:click=move |_| say(CaseStep::Mended)
                >
                    {words::MENDED}
                </button>
                <button type="button" class="button" on:click=move |_| say(CaseStep::Work)>
                    {words::ONLY_NOTE}
                </button>
            </div>
            <p class="faint small">{words::DID_HINT}</p>
        </details>
    }
    .into_any()
}

fn alarm(words: Option<&'static str>) -> Option<AnyView> {
    Some(view! { <p class="alarm" role="alert">{words?}</p> }.into_any())
}

/// What was mended, and whether the fault is gone.
fn mended(store: Store, done: &WorkEntry) -> AnyView {
    let was = store.session.drafts.was;
    let closing = RwSignal::new(was.with_untracked(|was| !was.is_empty()));
    let still = move |_| {
        if log(store, CaseStep::Reopened, "", None) {
            store.session.say(words::REOPENED, None);
        }
    };
    let all_work = move |_| {
        let numbers = store
            .harness
            .with_untracked(|harness| harness.engine.cylinders());
        store.change(Command::MarkAll {
            marks: numbers.into_iter().map(|c| (c, Works::Alive)).collect(),
            at: Some(clock::timestamp()),
        });
    };
    let walk = Kind::Mended(None);
    let name = store
        .harness
        .with_untracked(|harness| walk_words::kind(harness, &walk));
    let check = begin(store, walk, name);
    let form = move || closing.get().then(|| close_form(store));
    view! {
        <section class="card closing">
            <p class="eyebrow">{done.text.clone()}</p>
            <h2>{words::SEE_HEADING}</h2>
            <p>{words::SEE}</p>
            {check}
            <p class="faint">{move || store.harness.with(|harness| since(harness))}</p>
            <div class="way-row">
                <button type="button" class="button" on:click=all_work>
                    {words::ALL_WORK}
                </button>
                <button
                    type="button"
                    class="button"
                    on:click=move |_| store.session.tab.set(Tab::Findings)
                >
                    {words::TO_FINDINGS}
                </button>
                <button type="button" class="button" on:click=still>{words::STILL}</button>
                <button
                    type="button"
                    class="button"
                    data-weight="strong"
                    aria-expanded=move || if closing.get() { "true" } else { "false" }
                    on:click=move |_| closing.set(true)
                >
                    {words::GONE}
                </button>
            </div>
            {form}
        </section>
    }
    .into_any()
}

fn mended_short(store: Store, done: &WorkEntry) -> AnyView {
    view! {
        <section class="card closing">
            <p class="eyebrow">{done.text.clone()}</p>
            <button
                type="button"
                class="button"
                on:click=move |_| store.session.tab.set(Tab::Next)
            >
                {words::SEE_HEADING}
            </button>
        </section>
    }
    .into_any()
}

/// Which cylinders work on the mended car.
pub(super) fn since(harness: &Harness) -> String {
    let said = cylinders_said(harness.findings_now());
    if said.is_empty() {
        return words::NOT_SEEN.to_owned();
    }
    let alive = said
        .values()
        .filter(|works| **works == Works::Alive)
        .count();
    let dead: Vec<String> = said
        .iter()
        .filter(|(_, works)| **works != Works::Alive)
        .map(|(cylinder, _)| cylinder.to_string())
        .collect();
    words::works_now(alive, harness.engine.cylinders().len(), &dead)
}

/// The leading suspects by name, each with the element that most likely failed in it.
fn causes(store: Store) -> Vec<(String, Element)> {
    let Reckoned::Known(verdict) = store.isolation.reckoned.get_untracked() else {
        return Vec::new();
    };
    let harness = store.harness_now();
    let leading = verdict.suspects.iter().take(MOST_CAUSES);
    leading
        .filter_map(|suspect| {
            let (fault, _) = suspect.ways.first()?;
            Some((titled(&suspect.why.unit.name(&harness)), fault.element))
        })
        .collect()
}

/// What it was: one of the suspects, or something else, in one's own words if one likes.
fn close_form(store: Store) -> AnyView {
    let all = causes(store);
    let chosen = RwSignal::new(None::<usize>);
    let text = store.session.drafts.was;
    let trouble = RwSignal::new(None::<&'static str>);
    let names = all.iter().map(|(name, _)| name.clone());
    let buttons: Vec<AnyView> = names
        .chain([words::OTHER.to_owned()])
        .enumerate()
        .map(|(place, name)| {
            let is_on = move || chosen.get() == Some(place);
            choice(name, "button", is_on, move || chosen.set(Some(place)))
        })
        .collect();
    let all = StoredValue::new(all);
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let cause = chosen
            .get_untracked()
            .and_then(|place| all.with_value(|all| all.get(place).cloned()));
        let own = text.get_untracked();
        let (said, element) = match (cause, own.trim()) {
            (Some((name, element)), "") => (name, Some(element)),
            (Some((name, element)), own) => (format!("{name}: {own}"), Some(element)),
            (None, own) => (own.to_owned(), None),
        };
        if said.is_empty() {
            trouble.set(Some(words::SAY_CAUSE.said()));
        } else if log(store, CaseStep::Closed, &said, element) {
            text.set(String::new());
            store.session.say(words::CLOSED, None);
            page::scroll_to_start(".side");
        }
    };
    view! {
        <form class="read" on:submit=submit>
            <h3>{words::WAS}</h3>
            <div class="way-row" role="group" aria-label=words::WAS>{buttons}</div>
            <label class="field">
                <span>{words::WAS_WORDS}</span>
                <textarea
                    rows="2"
                    maxlength="600"
                    prop:value=move || text.get()
                    on:input:target=move |event| text.set(event.target().value())
                />
            </label>
            {move || alarm(trouble.get())}
            <button type="submit" class="button" data-weight="strong">{words::CLOSE}</button>
        </form>
    }
    .into_any()
}

/// The closed case: what it was, what was done, what was seen since.
fn closed(store: Store, done: Option<&WorkEntry>, cause: &WorkEntry) -> AnyView {
    let element = cause.element;
    let show = move |_| {
        if let Some(element) = element {
            store.session.tab.set(Tab::Map);
            store.session.picked.set(Some(Pick::Element(element)));
        }
    };
    let cause = cause.text.clone();
    let cause = if element.is_some() {
        view! { <button type="button" class="link" on:click=show>{cause}</button> }.into_any()
    } else {
        view! { <span>{cause}</span> }.into_any()
    };
    let done = done.map(|done| fact(words::WAS_DONE.said(), done.text.clone()));
    let reopen = move |_| {
        if log(store, CaseStep::Reopened, "", None) {
            store.session.say(words::REOPENED, None);
        }
    };
    view! {
        <section class="card closing">
            <p class="good-note" role="status">{words::CLOSED_HEADING}</p>
            <dl class="facts">
                <div class="fact">
                    <dt>{words::IT_WAS}</dt>
                    <dd>{cause}</dd>
                </div>
                {done}
                <div class="fact">
                    <dt>{words::SINCE}</dt>
                    <dd>{move || store.harness.with(|harness| since(harness))}</dd>
                </div>
            </dl>
            <div class="way-row">
                <button
                    type="button"
                    class="button"
                    data-weight="strong"
                    on:click=move |_| store.session.reporting.set(true)
                >
                    {words::REPORT}
                </button>
                <button type="button" class="button" on:click=reopen>{words::REOPEN}</button>
            </div>
        </section>
    }
    .into_any()
}

/// The work log as lines: what was done, in order.
pub(super) fn work_lines(harness: &Arc<Harness>) -> Vec<String> {
    let line = |entry: &WorkEntry| {
        let step = words::step(entry.step);
        if entry.text.trim().is_empty() {
            step.to_owned()
        } else {
            format!("{step}: {}", entry.text.trim()).replace("was:", "was")
        }
    };
    harness.work.iter().map(line).collect()
}
