//! The best thing to do now, as a card: what, where, how long, what comes off, what to mind, what it would mean.

mod answers;
mod card;

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::isolation::{Kit, Loose, Stop, Tool};
use sparktrail_core::model::{FaultThen, Harness};

use super::closing::{Stands, case_card, is_open};
use super::entry::to_findings;
use super::words::next as words;
use crate::store::{Advice, Advised, Planned, Reckoned, Store, Tab, Verdict};
use crate::ui::instead;

/// Board work that is this likely to be needed is handed to those who do it, whatever else may be tested. Judgement.
const HANDED_OVER: f64 = 0.6;

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
    let body = move || match (
        store.isolation.reckoned.get(),
        store.isolation.planned.get(),
    ) {
        // The tests are about a fault that is mended.
        (_, _) if !searching.get() => ().into_any(),
        (Reckoned::NothingFits(_), _) => {
            view! { <p class="alarm">{words::NOTHING_FITS}</p> }.into_any()
        }
        (Reckoned::NoCase(error), _) => {
            view! { <p class="alarm">{super::words::suspects::no_case(error)}</p> }.into_any()
        }
        (Reckoned::Soon, _) | (Reckoned::Known(_), Planned::Weighing(_, 0)) => {
            view! { <p class="faint" role="status">{words::WEIGHING}</p> }.into_any()
        }
        (Reckoned::Known(_), Planned::Weighing(done, of)) => view! {
            <section class="card" role="status">
                <p>{words::WEIGHING}</p>
                <progress max=of.to_string() value=done.to_string()>
                    {words::progress(done, of)}
                </progress>
            </section>
        }
        .into_any(),
        (Reckoned::Known(verdict), Planned::Known(advice)) => {
            told(store, &verdict, &advice, chosen)
        }
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

fn told(store: Store, verdict: &Verdict, advice: &Arc<Advice>, chosen: RwSignal<usize>) -> AnyView {
    let harness = store.harness.get_untracked();
    let kit = store.isolation.kit.get_untracked();
    let again = verdict.retake.first().and_then(|id| {
        let finding = harness.findings.iter().find(|found| found.id == *id)?;
        let words = super::words::suspects::contradicts(&super::words::findings::sentence(
            &harness, finding,
        ));
        Some(view! { <p class="alarm" role="status">{words}</p> }.into_any())
    });
    let nothing_yet = (verdict.evidence == 0).then(|| {
        view! {
            <section class="card">
                <p>{words::NOTHING_YET}</p>
                {to_findings(store)}
            </section>
        }
        .into_any()
    });
    let stop = words::stop(&harness, advice.stop)
        .map(|words| view! { <p class="good-note" role="status">{words}</p> }.into_any());
    let for_others = !kit.has(Tool::BoardSoldering)
        && advice
            .leaders
            .first()
            .is_some_and(|(unit, share)| *share >= HANDED_OVER && unit.is_on_a_board());
    let stops = advice.stop != Stop::GoOn || for_others;
    let repairs = stops.then(|| repairs(&harness, advice, kit));
    let mend = matches!(advice.stop, Stop::Mend(_));
    // While the fault is away there may be nothing to do but wait for it.
    let waiting = (advice.acts.is_empty() && store.fault_now() == FaultThen::Away).then(|| {
        view! {
            <section class="card act">
                <h2>{words::WAIT_FOR_IT}</h2>
                {answers::toggle(store)}
            </section>
        }
        .into_any()
    });
    let card = {
        let advice = Arc::clone(advice);
        move || {
            let advised = advice.acts.get(chosen.get())?.clone();
            let harness = store.harness.get_untracked();
            let eyebrow = match (mend && chosen.get() == 0, &advice.loose) {
                (true, _) => words::MEND_THIS,
                (false, None) => words::DO_THIS,
                (false, Some(_)) => words::OR_TEST,
            };
            let eyebrow = eyebrow.said();
            Some(card::card(
                store,
                &harness,
                &advised,
                &advice.leaders,
                eyebrow,
            ))
        }
    };
    let first = advice
        .loose
        .as_ref()
        .map(|loose| trace_first(store, &harness, loose));
    let others = others(&harness, advice, chosen);
    view! {
        {nothing_yet}
        {again}
        {stop}
        {repairs}
        {waiting}
        {first}
        {card}
        {others}
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

fn repairs(harness: &Harness, advice: &Advice, kit: Kit) -> AnyView {
    let solders = kit.has(Tool::BoardSoldering);
    let mut first_for_a_specialist = None;
    let rows: Vec<AnyView> = advice
        .repairs
        .iter()
        .take(6)
        .map(|(unit, share)| {
            let name = unit.name(harness);
            let other_hands = unit.is_on_a_board() && !solders;
            if other_hands && first_for_a_specialist.is_none() {
                first_for_a_specialist = Some(words::specialist(&name));
            }
            let who = other_hands
                .then(|| view! { <span class="tag">{words::FOR_A_SPECIALIST}</span> }.into_any());
            view! {
                <li class="step">
                    <span>{super::words::suspects::titled(&name)} " " {who}</span>
                    <span class="num">{words::chance(*share)}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    let tell = first_for_a_specialist.map(|words| view! { <p>{words}</p> }.into_any());
    view! {
        <section class="card">
            <h3>{words::REPAIRS}</h3>
            <ol class="path">{rows}</ol>
            {tell}
        </section>
    }
    .into_any()
}

fn others(harness: &Harness, advice: &Arc<Advice>, chosen: RwSignal<usize>) -> AnyView {
    let way = |advised: &Advised| {
        let sub = format!(
            "{}, {}",
            words::minutes(advised.proposal.price),
            words::worth(advised.proposal.bits)
        );
        (words::act(harness, &advised.act), sub)
    };
    instead(
        words::INSTEAD.said(),
        advice.acts.iter().map(way).collect(),
        chosen,
    )
}
