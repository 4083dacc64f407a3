//! A guided walk: the step to do now with all that it needs, what the last answer meant, and the way back.

mod face;
mod paper;
mod replies;
mod step;

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::model::Harness;
use sparktrail_core::walkthrough::{NoWalk, Past, Position, Stage, Verdict, Walk};

use super::words::trouble as wrong;
use super::words::walk as words;
use crate::edge::page;
use crate::edge::storage::StorageError;
use crate::store::Store;

/// The heading that the keyboard goes to at each step.
const STEP: &str = "walk-step";

/// A walk and where it stands on the map as it is.
#[derive(Clone, PartialEq)]
struct Now {
    walk: Walk,
    position: Position,
    harness: Arc<Harness>,
}

/// The panel.
#[component]
pub(super) fn WalkPanel(store: Store) -> impl IntoView {
    let now = Memo::new(move |_| {
        let harness = store.harness.get();
        let text = store.session.walk.get()?;
        Some(Walk::of_text(&text).map(|walk| {
            let walk = walk.live(&harness);
            let position = walk.stage(&harness);
            Arc::new(Now {
                walk,
                position,
                harness,
            })
        }))
    });
    on_cleanup(move || {
        store.session.lit.set(None);
        store.session.leads.set(Vec::new());
    });
    // Each step begins at its head, for eyes and keyboard.
    let steps = StoredValue::new(None::<usize>);
    Effect::new(move |_| {
        let Some(Ok(now)) = now.get() else { return };
        let many = now.position.past.len();
        if steps.get_value().is_some_and(|before| before != many) {
            page::after_painting(move || {
                page::scroll_to_start(".side");
                page::focus(STEP);
            });
        }
        steps.set_value(Some(many));
    });
    let body = move || match now.get() {
        None => ().into_any(),
        Some(Err(why)) => broken(store, &why),
        Some(Ok(now)) => shown(store, &now),
    };
    // It stays while steps come and go, so that readers hear each of them.
    let heard = move || match now.get() {
        Some(Ok(now)) => heard(&now),
        Some(Err(_)) | None => String::new(),
    };
    view! {
        <div class="panel walk">
            <p class="unseen" aria-live="polite">{heard}</p>
            {body}
        </div>
    }
    .into_any()
}

/// What the last answer meant and what is to be done now, in one breath.
fn heard(now: &Now) -> String {
    let meant = meaning(now).unwrap_or_default();
    let to_do = match &now.position.now {
        Stage::Ask(step) => words::task(&now.harness, step),
        Stage::Over(verdict) => words::verdict(&now.harness, verdict),
    };
    format!("{meant} {to_do}").trim().to_owned()
}

fn meaning(now: &Now) -> Option<String> {
    // How a walk ended says it again, unless it was about one question.
    match &now.position.now {
        Stage::Ask(_) | Stage::Over(Verdict::One { .. }) => {}
        Stage::Over(_) => return None,
    }
    let past = now.position.past.last()?;
    words::meaning(&now.harness, &past.meaning)
}

/// The walk cannot be read.
fn broken(store: Store, why: &NoWalk) -> AnyView {
    view! {
        <p class="alarm" role="alert">{words::no_walk(why)}</p>
        <button type="button" class="button" on:click=move |_| tell(store, store.end_walk())>
            {words::PUT_AWAY}
        </button>
    }
    .into_any()
}

/// Where the browser did not keep the walk, its owner hears of it.
fn tell(store: Store, kept: Result<(), StorageError>) {
    if let Err(error) = kept {
        store.session.say(wrong::storage(error), None);
    }
}

fn shown(store: Store, now: &Arc<Now>) -> AnyView {
    let body = match &now.position.now {
        Stage::Ask(step) => step::card(store, now, step),
        Stage::Over(verdict) => over(store, now, verdict),
    };
    let paper = RwSignal::new(false);
    view! {
        {head(store, now, paper)}
        {meant(now)}
        {body}
        {so_far(now)}
        {paper::sheet(paper, now)}
    }
    .into_any()
}

/// What the walk is about, how far it is, and the ways out of the step.
fn head(store: Store, now: &Arc<Now>, paper: RwSignal<bool>) -> AnyView {
    let done = now.position.past.len();
    let (progress, left) = match &now.position.now {
        Stage::Ask(step) => (words::progress(done, step.left), step.left),
        Stage::Over(_) => (words::OVER.to_owned(), 0),
    };
    let ahead = match &now.position.now {
        Stage::Ask(_) => left + 1,
        Stage::Over(_) => 0,
    };
    let whole = (done + ahead).max(1).to_string();
    let walk = now.walk.clone();
    let back = move |_| tell(store, store.step_back_walking(&walk));
    view! {
        <header class="walk-head">
            <p class="eyebrow">{words::kind(&now.harness, now.walk.kind())}</p>
            <div class="walk-acts" role="toolbar" aria-label=words::WALK>
                <button
                    type="button"
                    class="button"
                    title=words::LEAVE_HINT
                    on:click=move |_| tell(store, store.leave_walk())
                >
                    {words::LEAVE}
                </button>
                <button
                    type="button"
                    class="button"
                    title=words::BACK_HINT
                    disabled=done == 0
                    on:click=back
                >
                    {words::BACK}
                </button>
                <button type="button" class="button" on:click=move |_| paper.set(true)>
                    {words::PAPER}
                </button>
            </div>
            <label class="walk-progress">
                <span class="faint small">{progress}</span>
                <progress max=whole value=done.to_string()></progress>
            </label>
        </header>
    }
    .into_any()
}

/// What the last answer meant.
fn meant(now: &Now) -> AnyView {
    let note = meaning(now).map(|words| view! { <p class="note">{words}</p> }.into_any());
    note.into_any()
}

fn over(store: Store, now: &Now, verdict: &Verdict) -> AnyView {
    store.session.leads.set(Vec::new());
    store.session.lit.set(None);
    view! {
        <section class="card walk-over">
            <h2 id=STEP tabindex="-1">{words::OVER}</h2>
            <p>{words::verdict(&now.harness, verdict)}</p>
            <button
                type="button"
                class="button"
                data-weight="strong"
                on:click=move |_| tell(store, store.end_walk())
            >
                {words::TO_NEXT}
            </button>
        </section>
    }
    .into_any()
}

/// The steps so far, each with its answer.
fn so_far(now: &Now) -> AnyView {
    if now.position.past.is_empty() {
        return ().into_any();
    }
    let one = |past: &Past| {
        let task = words::task(&now.harness, &past.step);
        let reply = words::reply(&past.step.task, past.reply);
        let places = past
            .step
            .probes()
            .map(|probes| step::places(&now.harness, &past.step, probes));
        view! {
            <li class="step">
                <span>{task} <span class="faint small">{places}</span></span>
                <strong>{reply}</strong>
            </li>
        }
        .into_any()
    };
    let rows: Vec<AnyView> = now.position.past.iter().map(one).collect();
    view! {
        <details class="card">
            <summary><h3>{words::SO_FAR}</h3></summary>
            <ol class="path">{rows}</ol>
        </details>
    }
    .into_any()
}
