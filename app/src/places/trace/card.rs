//! The card of the next step: setup, cautions, where the leads go, the answers; or the reading to take again.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::model::Harness;
use sparktrail_core::topology::Pick;
use sparktrail_core::trace::{Belief, Coverage, Doubted, Measure, Premise, Step, Trace, Way};

use super::super::words::meter::setup;
use super::super::words::next as next_words;
use super::super::words::trace as words;
use super::{Tracing, answers, pin_name};
use crate::ui::{caution, fact, instead};

/// The measurement that is chosen, and the others.
pub(super) fn measure(
    tracing: Tracing,
    harness: &Arc<Harness>,
    trace: &Trace,
    steps: Vec<Step>,
) -> AnyView {
    let others = others(tracing, harness, &steps);
    let aside = aside(tracing, trace);
    let (harness, trace) = (Arc::clone(harness), trace.clone());
    let card = move || {
        let place = tracing.chosen.get().min(steps.len().saturating_sub(1));
        Some(one(tracing, &harness, &trace, steps.get(place)?))
    };
    view! {
        {card}
        {others}
        {aside}
    }
    .into_any()
}

fn one(tracing: Tracing, harness: &Arc<Harness>, trace: &Trace, step: &Step) -> AnyView {
    light(tracing, harness, trace, step);
    let way = step.measure.way();
    let cannot = move |_| {
        tracing.change(|trace| {
            trace.aside.insert(way);
        });
    };
    view! {
        <section class="card act">
            <p class="eyebrow">{words::DO_THIS}</p>
            <h2>{words::act(harness, &step.measure)}</h2>
            {leads(harness, trace, &step.measure, words::EACH.to_owned())}
            {time(step)}
            {caution(next_words::CAUTION.said(), words::cautions(&step.measure))}
            {answers::answers(tracing, harness, trace, step)}
            <button type="button" class="link" on:click=cannot>{words::CANNOT}</button>
        </section>
    }
    .into_any()
}

fn time(step: &Step) -> AnyView {
    let time = next_words::minutes(step.minutes.get());
    view! { <dl class="facts">{fact(next_words::TIME.said(), time)}</dl> }.into_any()
}

/// Where red and black go, how the car stands, what to expect.
fn leads(harness: &Harness, trace: &Trace, measure: &Measure, pins: String) -> AnyView {
    let other = trace.other_lead(harness, measure).map_or_else(
        || "?".to_owned(),
        |terminal| harness.terminal_name(terminal),
    );
    let (red, black) = match measure {
        Measure::Volts | Measure::ToGround | Measure::Unplug(_) => (pins, other),
        Measure::FromFeed | Measure::Continuity(_) => (other, pins),
    };
    view! {
        <dl class="facts">
            {fact(next_words::SETUP.said(), setup(harness, &trace.setup(measure)))}
            {fact(next_words::RED.said(), red)}
            {fact(next_words::BLACK.said(), black)}
            {fact(words::EXPECT.said(), words::expect(measure).to_owned())}
        </dl>
    }
    .into_any()
}

/// The pins, the other lead and the coils to unplug light up on the map.
fn light(tracing: Tracing, harness: &Harness, trace: &Trace, step: &Step) {
    let pins = step.pins.iter().map(|pin| trace.terminal(*pin));
    let terminals = pins.chain(trace.other_lead(harness, &step.measure));
    let coils = step.measure.unplugged().into_iter().map(Pick::Part);
    let picks = terminals.map(Pick::Terminal).chain(coils).collect();
    tracing.store.session.lit.set(Some(picks));
}

fn others(tracing: Tracing, harness: &Harness, steps: &[Step]) -> AnyView {
    let way = |step: &Step| {
        let sub = next_words::minutes(step.minutes.get());
        (words::act(harness, &step.measure), sub)
    };
    let heading = next_words::INSTEAD.said();
    let ways: Vec<(String, String)> = steps.iter().map(way).collect();
    instead(heading, Signal::stored(ways), tracing.chosen)
}

/// The ways that were set aside.
fn aside(tracing: Tracing, trace: &Trace) -> AnyView {
    if trace.aside.is_empty() {
        return ().into_any();
    }
    let row = |way: Way| {
        let again = move |_| {
            tracing.change(|trace| {
                trace.aside.remove(&way);
            });
        };
        view! {
            <li class="step">
                <span>{words::way(way)}</span>
                <button type="button" class="link" on:click=again>{words::AFTER_ALL}</button>
            </li>
        }
        .into_any()
    };
    let rows: Vec<AnyView> = trace.aside.iter().map(|way| row(*way)).collect();
    view! {
        <section class="card">
            <h3>{words::ASIDE}</h3>
            <ul class="path">{rows}</ul>
        </section>
    }
    .into_any()
}

/// Readings that cannot all be right: the most doubtful is taken again.
pub(super) fn again(
    tracing: Tracing,
    harness: &Arc<Harness>,
    trace: &Trace,
    belief: &Belief,
    doubted: &[Doubted],
) -> AnyView {
    let Some((first, others)) = doubted.split_first() else {
        return ().into_any();
    };
    let said = |doubted: &Doubted| {
        words::doubted(harness, &pin_name(harness, trace, doubted.pin), doubted)
    };
    let step = Step {
        measure: first.measure.clone(),
        pins: vec![first.pin],
        minutes: sparktrail_core::units::Minutes::ZERO,
        tells: 0.0,
    };
    light(tracing, harness, trace, &step);
    let lines: Vec<AnyView> = others
        .iter()
        .map(|doubted| view! { <li>{said(doubted)}</li> }.into_any())
        .collect();
    let also = (!lines.is_empty()).then(|| {
        view! {
            <h3>{words::ALSO}</h3>
            <ul class="path">{lines}</ul>
        }
        .into_any()
    });
    let premise = (belief.coverage == Premise::Doubted).then(|| not_all(tracing));
    view! {
        <section class="card act">
            <p class="alarm" role="alert">{words::CLASH}</p>
            <p class="eyebrow">{words::AGAIN}</p>
            <h2>{said(first)}</h2>
            {leads(harness, trace, &first.measure, words::only(&pin_name(harness, trace, first.pin)))}
            {caution(next_words::CAUTION.said(), words::cautions(&first.measure))}
            {answers::once_more(tracing, harness, trace, first)}
            {also}
        </section>
        {premise}
    }
    .into_any()
}

/// Some coil has its pin elsewhere.
pub(super) fn not_all(tracing: Tracing) -> AnyView {
    let say = move |_| tracing.change(|trace| trace.coverage = Coverage::Some);
    view! {
        <section class="card">
            <p class="alarm" role="status">{words::NOT_ALL}</p>
            <button type="button" class="button" on:click=say>{words::SAY_NOT_ALL}</button>
        </section>
    }
    .into_any()
}
