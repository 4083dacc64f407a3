//! The best thing to do now, as a card: what, where, how long, what comes off, what to mind, what it would mean.

mod answers;
mod card;

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::isolation::{CaseError, Kit, Loose, Stop, Tool, Unit};
use sparktrail_core::model::{FaultThen, Harness};

use super::closing::{Stands, case_card, is_open};
use super::entry::{nothing_yet, others_work};
use super::words::next as words;
use crate::store::{Advice, Advised, Planned, Reckoned, Store, Tab, Verdict};
use crate::ui::instead;

/// Board work that is this likely to be needed is handed to those who do it, whatever else may be tested. Judgement.
const HANDED_OVER: f64 = 0.6;
/// What is left to mend is listed up to here.
const MOST_REPAIRS: usize = 6;

/// What the panel is about.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Shows {
    Mended,
    NothingFits,
    NoCase(CaseError),
    /// So many acts are weighed, of so many.
    Weighing(usize, usize),
    Plan,
}

/// What the panel is about, while the search goes on or not. Tracked.
fn shows(store: Store, searching: bool) -> Shows {
    if !searching {
        return Shows::Mended;
    }
    store.isolation.reckoned.with(|reckoned| match reckoned {
        Reckoned::NothingFits(_) => Shows::NothingFits,
        Reckoned::NoCase(error) => Shows::NoCase(*error),
        Reckoned::Soon => Shows::Weighing(0, 0),
        Reckoned::Known(_) => store.isolation.planned.with(|planned| match planned {
            Planned::Weighing(done, of) => Shows::Weighing(*done, *of),
            Planned::Known(_) => Shows::Plan,
        }),
    })
}

/// What is read off the plan, once there is one; what it reads off the map stands as it was then. Tracked.
fn read<T: Default>(store: Store, read: impl FnOnce(&Harness, &Advice) -> T) -> T {
    store.isolation.planned.with(|planned| match planned {
        Planned::Known(advice) => store
            .harness
            .with_untracked(|harness| read(harness, advice)),
        Planned::Weighing(..) => T::default(),
    })
}

/// The panel.
#[component]
pub(super) fn NextPanel(store: Store) -> impl IntoView {
    let chosen = RwSignal::new(0_usize);
    // A new plan begins with its best act.
    Effect::new(move |_| {
        store.isolation.planned.track();
        if chosen.get_untracked() != 0 {
            chosen.set(0);
        }
    });
    let searching = Memo::new(move |_| is_open(store));
    let shows = Memo::new(move |_| shows(store, searching.get()));
    let body = move || match shows.get() {
        // The tests are about a fault that is mended.
        Shows::Mended => ().into_any(),
        Shows::NothingFits => view! { <p class="alarm">{words::NOTHING_FITS}</p> }.into_any(),
        Shows::NoCase(error) => {
            view! { <p class="alarm">{super::words::suspects::no_case(error)}</p> }.into_any()
        }
        Shows::Weighing(_, 0) => {
            view! { <p class="faint" role="status">{words::WEIGHING}</p> }.into_any()
        }
        Shows::Weighing(done, of) => view! {
            <section class="card" role="status">
                <p>{words::WEIGHING}</p>
                <progress max=of.to_string() value=done.to_string()>
                    {words::progress(done, of)}
                </progress>
            </section>
        }
        .into_any(),
        Shows::Plan => told(store, chosen),
    };
    on_cleanup(move || store.session.lit.set(None));
    let tools = tools(store);
    view! {
        <div class="panel next">
            {move || (!searching.get()).then(|| case_card(store, Stands::Next))}
            {body}
            {move || searching.get().then(|| case_card(store, Stands::Next))}
            {tools}
        </div>
    }
    .into_any()
}

/// The owner's tools and skills: a tap adds or takes away.
fn tools(store: Store) -> AnyView {
    let kit = store.isolation.kit;
    let boxes: Vec<AnyView> = Tool::ALL
        .into_iter()
        .map(|tool| {
            let turn = move |_| {
                kit.update(|kit| {
                    *kit = if kit.has(tool) {
                        kit.without(tool)
                    } else {
                        kit.with(tool)
                    };
                });
            };
            view! {
                <label class="switch">
                    <input type="checkbox" prop:checked=move || kit.get().has(tool) on:change=turn />
                    <span>{words::tool(tool)}</span>
                </label>
            }
            .into_any()
        })
        .collect();
    view! {
        <details class="card kit">
            <summary><h3>{words::TOOLS}</h3></summary>
            <p class="faint small">{words::TOOLS_HINT}</p>
            {boxes}
        </details>
    }
    .into_any()
}

/// The plan. It stays on the page while the next one comes, and writes anew what differs.
fn told(store: Store, chosen: RwSignal<usize>) -> AnyView {
    let again = Memo::new(move |_| store.read_verdict(look_again));
    let again = move || {
        let words = again.get()?;
        Some(view! { <p class="alarm" role="status">{words}</p> }.into_any())
    };
    let nothing_yet = nothing_yet(store, words::NOTHING_YET);
    let stop = Memo::new(move |_| read(store, |harness, advice| words::stop(harness, advice.stop)));
    let stop = move || {
        let words = stop.get()?;
        Some(view! { <p class="good-note" role="status">{words}</p> }.into_any())
    };
    let left = Memo::new(move |_| {
        let kit = store.isolation.kit.get_untracked();
        read(store, |harness, advice| to_repair(harness, advice, kit))
    });
    let repairs = move || left.get().map(|left| repairs(&left));
    // While the fault is away there may be nothing to do but wait for it.
    let waits = Memo::new(move |_| {
        let idle = read(store, |_, advice| advice.acts.is_empty());
        idle && store.fault_now() == FaultThen::Away
    });
    let waiting = move || {
        let card = || {
            view! {
                <section class="card act">
                    <h2>{words::WAIT_FOR_IT}</h2>
                    {answers::toggle(store)}
                </section>
            }
            .into_any()
        };
        waits.get().then(card)
    };
    let loose = Memo::new(move |_| read(store, |_, advice| advice.loose.clone()));
    let first = move || {
        let loose = loose.get()?;
        let card = |harness: &Arc<Harness>| trace_first(store, harness, &loose);
        Some(store.harness.with_untracked(card))
    };
    view! {
        {nothing_yet}
        {others_work(store, "card untold")}
        {again}
        {stop}
        {repairs}
        {waiting}
        {first}
        {card::card(store, chosen)}
        {others(store, chosen)}
    }
    .into_any()
}

/// A wire that nobody has followed, on the way of a dead cylinder: where it goes is found out first.
fn trace_first(store: Store, harness: &Harness, loose: &Loose) -> AnyView {
    let go = move |_| store.session.tab.set(Tab::Trace);
    view! {
        <section class="card act trace-first">
            <p class="eyebrow">{words::DO_THIS}</p>
            <h2>{words::trace(harness, loose)}</h2>
            <p>{words::why_trace(loose)}</p>
            <button type="button" class="button" data-weight="strong" on:click=go>
                {words::TRACE}
            </button>
        </section>
    }
    .into_any()
}

/// The finding that the others contradict.
fn look_again(harness: &Harness, verdict: &Verdict) -> Option<String> {
    let id = verdict.retake.first()?;
    let finding = harness.findings.iter().find(|found| found.id == *id)?;
    let said = super::words::findings::sentence(harness, finding);
    Some(super::words::suspects::contradicts(&said))
}

/// What is left to mend, as it shows: each with its chance and whether it is for other hands.
#[derive(Debug, Clone, PartialEq)]
struct Left {
    lines: Vec<(String, String, bool)>,
    /// What to tell a specialist.
    tell: Option<String>,
}

/// What is left to mend, where testing ends or the likeliest is for others.
fn to_repair(harness: &Harness, advice: &Advice, kit: Kit) -> Option<Left> {
    let solders = kit.has(Tool::BoardSoldering);
    let for_others = !solders
        && advice
            .leaders
            .first()
            .is_some_and(|(unit, share)| *share >= HANDED_OVER && unit.is_on_a_board());
    if advice.stop == Stop::GoOn && !for_others {
        return None;
    }
    let first = || advice.repairs.iter().take(MOST_REPAIRS);
    let other_hands = |unit: &Unit| unit.is_on_a_board() && !solders;
    let line = |(unit, share): &(Unit, f64)| {
        let name = super::words::suspects::titled(&unit.name(harness));
        (name, words::chance(*share), other_hands(unit))
    };
    let specialist = first().find(|(unit, _)| other_hands(unit));
    Some(Left {
        lines: first().map(line).collect(),
        tell: specialist.map(|(unit, _)| words::specialist(&unit.name(harness))),
    })
}

fn repairs(left: &Left) -> AnyView {
    let rows: Vec<AnyView> = left
        .lines
        .iter()
        .map(|(name, chance, other_hands)| {
            let who = other_hands
                .then(|| view! { <span class="tag">{words::FOR_A_SPECIALIST}</span> }.into_any());
            view! {
                <li class="step">
                    <span>{name.clone()} " " {who}</span>
                    <span class="num">{chance.clone()}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    let tell = left.tell.clone();
    let tell = tell.map(|words| view! { <p>{words}</p> }.into_any());
    view! {
        <section class="card">
            <h3>{words::REPAIRS}</h3>
            <ol class="path">{rows}</ol>
            {tell}
        </section>
    }
    .into_any()
}

fn others(store: Store, chosen: RwSignal<usize>) -> AnyView {
    let way = |harness: &Harness, advised: &Advised| {
        let sub = format!(
            "{}, {}",
            words::minutes(advised.proposal.price),
            words::worth(advised.proposal.bits)
        );
        (words::act(harness, &advised.act), sub)
    };
    let ways = Memo::new(move |_| {
        read(store, |harness, advice| {
            let acts = advice.acts.iter();
            acts.map(|advised| way(harness, advised))
                .collect::<Vec<_>>()
        })
    });
    instead(words::INSTEAD.said(), ways.into(), chosen)
}
