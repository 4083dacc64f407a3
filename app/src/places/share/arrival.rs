//! What came of a link that was opened: what a forum helper wants to know at once, or why nothing came.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::model::{Harness, Works};

use crate::edge::clock;
use crate::places::trouble::{Trouble, TroubleNote};
use crate::places::words::suspects::{share, titled};
use crate::places::words::{share as words, start};
use crate::store::projects::Entry;
use crate::store::{Arrival, Reckoned, Store, Tab, Verdict, cylinders_said};
use crate::ui::{DiscState, Discs, Sheet, SheetActs};

/// Suspects named at once.
const MOST_SUSPECTS: usize = 3;
/// Own maps of the same name that are offered to be compared with.
const MOST_OWN: usize = 3;

/// The sheet.
#[component]
pub(crate) fn ArrivalSheet(
    /// The store.
    store: Store,
) -> impl IntoView {
    let arrival = store.session.arrival;
    let close = Callback::new(move |()| arrival.set(None));
    let title = Signal::derive(move || {
        arrival.with(|arrival| match arrival {
            Some(Arrival::Opened) | None => words::ARRIVED.to_owned(),
            Some(Arrival::Refused(_) | Arrival::Unsaved) => words::NOT_ARRIVED.to_owned(),
        })
    });
    view! {
        <Sheet open=Signal::derive(move || arrival.with(Option::is_some)) close title>
            {move || body(store)}
        </Sheet>
    }
    .into_any()
}

fn body(store: Store) -> AnyView {
    match store.session.arrival.get() {
        None => ().into_any(),
        Some(Arrival::Opened) => opened(store),
        Some(Arrival::Unsaved) => refused(store, words::UNSAVED.to_owned(), Vec::new()),
        Some(Arrival::Refused(error)) => {
            let (heading, lines) = words::refused(&error);
            refused(store, heading, lines)
        }
    }
}

fn refused(store: Store, heading: String, lines: Vec<String>) -> AnyView {
    let lines: Vec<AnyView> = lines
        .into_iter()
        .map(|line| view! { <li>{line}</li> }.into_any())
        .collect();
    view! {
        <div class="alarm" role="alert">
            <p>{heading}</p>
            <ul>{lines}</ul>
        </div>
        <p class="faint small">{crate::places::words::trouble::UNTOUCHED}</p>
        <SheetActs>
            <button
                type="button"
                class="button"
                data-weight="strong"
                on:click=move |_| store.session.arrival.set(None)
            >
                {words::CLOSE}
            </button>
        </SheetActs>
    }
    .into_any()
}

fn opened(store: Store) -> AnyView {
    let harness = store.harness_now();
    let said = cylinders_said(harness.findings_now());
    let row = |term: &'static str, wanted: Works, state: DiscState| {
        let found = said.iter().filter(|(_, works)| **works == wanted);
        let numbers: Vec<u8> = found.map(|(cylinder, _)| cylinder.0).collect();
        (!numbers.is_empty()).then(|| {
            view! {
                <div class="fact">
                    <dt>{term}</dt>
                    <dd><Discs numbers state /></dd>
                </div>
            }
            .into_any()
        })
    };
    let dead = row(words::DEAD.said(), Works::Dead, DiscState::Dead);
    let at_times = row(
        words::AT_TIMES.said(),
        Works::Sometimes,
        DiscState::Doubtful,
    );
    let none = (dead.is_none() && at_times.is_none())
        .then(|| view! { <p class="faint">{words::NONE_DEAD}</p> }.into_any());
    let found = harness.findings.len();
    let suspects = (found > 0).then(|| {
        view! {
            <h3>{words::SUSPECTS}</h3>
            {move || suspects(store)}
        }
        .into_any()
    });
    let go = move |tab: Tab| {
        store.session.arrival.set(None);
        store.session.tab.set(tab);
    };
    view! {
        <h3 class="sent-title">{start::titled(&harness.title).to_owned()}</h3>
        <p class="story">{harness.about.clone()}</p>
        <dl class="facts">{dead} {at_times}</dl>
        {none}
        <p class="num">{words::findings(found)}</p>
        {suspects}
        {own_of_name(store, &harness)}
        <p class="faint small">{words::YOURS}</p>
        <SheetActs>
            <button type="button" class="button" on:click=move |_| go(Tab::Findings)>
                {words::TO_FINDINGS}
            </button>
            <button type="button" class="button" on:click=move |_| go(Tab::Suspects)>
                {words::TO_SUSPECTS}
            </button>
            <button type="button" class="button" data-weight="strong" on:click=move |_| go(Tab::Map)>
                {words::TO_MAP}
            </button>
        </SheetActs>
    }
    .into_any()
}

/// Own maps of the same name, to be compared with: what came back is mostly a map that was sent out.
fn own_of_name(store: Store, arrived: &Arc<Harness>) -> AnyView {
    let here = store.open_project();
    let mut own = untrack(|| store.list())
        .map(|list| list.projects)
        .unwrap_or_default();
    own.retain(|entry| Some(&entry.id) != here.as_ref() && entry.title == arrived.title);
    own.truncate(MOST_OWN);
    if own.is_empty() {
        return ().into_any();
    }
    let trouble = RwSignal::new(None::<Trouble>);
    let is_one = own.len() == 1;
    let button = |entry: Entry| {
        let arrived = Arc::clone(arrived);
        let says = if is_one {
            words::COMPARE.to_owned()
        } else {
            words::compare_with(&start::ago(clock::now_ms(), entry.changed))
        };
        let compare = move |_| match store.open(&entry.id) {
            Ok(()) => {
                store.session.arrival.set(None);
                store.compare_with(&arrived);
            }
            Err(error) => trouble.set(Some(error.into())),
        };
        view! {
            <button type="button" class="button" on:click=compare>
                {says}
            </button>
        }
        .into_any()
    };
    let buttons: Vec<AnyView> = own.into_iter().map(button).collect();
    view! {
        <div class="card sent-own">
            <p>{words::OWN_OF_NAME}</p>
            <TroubleNote trouble />
            {buttons}
        </div>
    }
    .into_any()
}

fn suspects(store: Store) -> AnyView {
    let note =
        |words: &'static str| view! { <p class="faint" role="status">{words}</p> }.into_any();
    match store.isolation.reckoned.get() {
        Reckoned::Soon => note(words::SUSPECTS_SOON.said()),
        Reckoned::NoCase(_) | Reckoned::NothingFits(_) => note(words::NO_SUSPECT.said()),
        Reckoned::Known(verdict) if verdict.evidence == 0 => note(words::NO_FINDINGS.said()),
        Reckoned::Known(verdict) => named(store, &verdict),
    }
}

fn named(store: Store, verdict: &Arc<Verdict>) -> AnyView {
    let harness = store.harness.get_untracked();
    let rows: Vec<AnyView> = verdict
        .suspects
        .iter()
        .take(MOST_SUSPECTS)
        .map(|suspect| {
            let name = titled(&suspect.why.unit.name(&harness));
            let share = share(suspect.why.share);
            view! {
                <li class="sent-suspect">
                    <span>{name}</span>
                    <span class="num">{share}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    view! { <ol class="sent-suspects">{rows}</ol> }.into_any()
}
