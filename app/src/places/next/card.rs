//! One act as a card: where the leads go, how long it takes, what comes off, what to mind, what it would mean.

use leptos::prelude::*;
use sparktrail_core::isolation::{Access, Probes, Question, Unit};
use sparktrail_core::model::{Element, Harness, PartKind, Port, SwapPair, WireEnd};
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::Kind;

use super::super::words::findings::answer_to;
use super::super::words::meter::{self as meter_words, UnitUnplugged};
use super::super::words::next::{self as words, Inside};
use super::super::words::walk::WALK_ME;
use super::answers::{answers, shows_now};
use crate::store::{Advised, LeadColour, Store, Tab};
use crate::ui::{caution, fact};

/// The card of an act; what it is about is lit on the map.
pub(super) fn card(
    store: Store,
    harness: &Harness,
    advised: &Advised,
    leaders: &[(Unit, f64)],
    eyebrow: &'static str,
) -> AnyView {
    let act = &advised.act;
    store.session.lit.set(Some(picks(harness, &act.question)));
    let first: Vec<String> = advised
        .opens
        .iter()
        .map(|(access, _)| words::access(harness, *access))
        .collect();
    let first = if first.is_empty() {
        words::NOTHING_FIRST.to_owned()
    } else {
        first.join(", ")
    };
    let leads = act
        .question
        .probes()
        .map(|probes| leads(store, harness, probes));
    let cautions = cautions(harness, advised);
    view! {
        <section class="card act">
            <p class="eyebrow">{eyebrow}</p>
            <h2>{words::act(harness, act)}</h2>
            <dl class="facts">
                {leads}
                {fact(words::TIME.said(), words::minutes(advised.proposal.price))}
                {fact(words::FIRST.said(), first)}
            </dl>
            {cautions}
            {super::super::walk_offers::begin(store, Kind::of(&act.question), WALK_ME.to_owned())}
            {shows_now(store, &act.question)}
            {answers(store, advised)}
            {predictions(harness, advised, leaders)}
        </section>
    }
    .into_any()
}

fn leads(store: Store, harness: &Harness, probes: &Probes) -> AnyView {
    let black = probes
        .black
        .map_or_else(String::new, |black| harness.terminal_name(black));
    let at = probes.clone();
    let show = move |_| {
        let meter = store.meter;
        meter.setup.set(at.setup.clone());
        meter.put(LeadColour::Red, at.red);
        if let Some(black) = at.black {
            meter.put(LeadColour::Black, black);
        }
        meter.in_hand.set(None);
        store.session.tab.set(Tab::Meter);
    };
    view! {
        {fact(words::RED.said(), harness.terminal_name(probes.red))}
        {fact(words::BLACK.said(), black)}
        {fact(words::SETUP.said(), meter_words::setup(harness, &probes.setup))}
        <div class="fact">
            <dt></dt>
            <dd>
                <button type="button" class="link" on:click=show>{words::SHOW_METER}</button>
            </dd>
        </div>
    }
    .into_any()
}

fn cautions(harness: &Harness, advised: &Advised) -> AnyView {
    let question = &advised.act.question;
    let opens = |soldering: bool| {
        advised.opens.iter().any(|(access, _)| match access {
            Access::Open(_) => !soldering,
            Access::Solder(_) => soldering,
            Access::Reach(_) | Access::Plugs(_) => false,
        })
    };
    let remade = matches!(
        question,
        Question::Remake(Element::Driver(..)) | Question::Swap(SwapPair::Transistors(..))
    );
    let inside = if opens(true) || remade {
        Inside::Solder
    } else if opens(false) {
        Inside::Open
    } else {
        Inside::No
    };
    let unit = |part| {
        let part = harness.parts.get(&part);
        part.is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_)))
    };
    let unplugged = question.probes().is_some_and(|probes| {
        let mut ends = [Some(probes.red), probes.black].into_iter().flatten();
        probes.setup.unplugged.iter().any(|part| unit(*part))
            || (matches!(question, Question::Resistance(_))
                && ends.any(|end| unit(end.part) && matches!(end.port, Port::Pin(_))))
    });
    let unplugged = if unplugged {
        UnitUnplugged::Yes
    } else {
        UnitUnplugged::No
    };
    caution(
        words::CAUTION.said(),
        words::cautions(&advised.act, inside, unplugged),
    )
}

/// For each outcome what would lead then; for each leading suspect what it predicts.
fn predictions(harness: &Harness, advised: &Advised, leaders: &[(Unit, f64)]) -> AnyView {
    let then: Vec<AnyView> = advised
        .proposal
        .outcomes
        .iter()
        .filter(|outcome| outcome.chance >= 0.01)
        .map(|outcome| {
            let leads = outcome
                .after
                .first()
                .map_or_else(String::new, |(unit, share)| {
                    words::leads_then(&unit.name(harness), *share)
                });
            view! {
                <li class="step">
                    <span>
                        {answer_to(&advised.act.question, outcome.answer)} ": "
                        <span class="faint small">{leads}</span>
                    </span>
                    <span class="num">{words::chance(outcome.chance)}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    let predicts: Vec<AnyView> = leaders
        .iter()
        .filter_map(|(unit, _)| {
            let best = advised
                .proposal
                .outcomes
                .iter()
                .filter_map(|outcome| {
                    let (_, chance) = outcome.by_leader.iter().find(|(u, _)| u == unit)?;
                    Some((outcome.answer, *chance))
                })
                .max_by(|a, b| a.1.total_cmp(&b.1))?;
            Some(
                view! {
                    <li class="step">
                        <span>{super::super::words::suspects::titled(&unit.name(harness))}</span>
                        <span class="num">
                            {format!("{} ({})", answer_to(&advised.act.question, best.0), words::chance(best.1))}
                        </span>
                    </li>
                }
                .into_any(),
            )
        })
        .collect();
    view! {
        <details class="predict" open>
            <summary><h3>{words::THEN}</h3></summary>
            <ul class="path">{then}</ul>
        </details>
        <details class="predict">
            <summary><h3>{words::PREDICT}</h3></summary>
            <ul class="path">{predicts}</ul>
        </details>
    }
    .into_any()
}

/// What the act is about, on the map.
fn picks(harness: &Harness, question: &Question) -> Vec<Pick> {
    let element = |element: Element| {
        if let Element::Driver(driver, _) = element {
            return vec![Pick::Element(element), Pick::Driver(driver)];
        }
        let mut found = vec![Pick::Element(element)];
        if let Element::Wire(wire) | Element::Joint(wire, WireEnd::From | WireEnd::To) = element {
            found.push(Pick::Wire(wire));
        }
        found.extend(harness.part_of(element).map(Pick::Part));
        found
    };
    match question {
        Question::Contribution(cylinder)
        | Question::Spark(cylinder)
        | Question::Compression(cylinder) => vec![Pick::Cylinder(*cylinder)],
        Question::Volts(probes)
        | Question::Resistance(probes)
        | Question::Drop(probes)
        | Question::Lamp(probes) => {
            let ends = [Some(probes.red), probes.black];
            let ends = ends.into_iter().flatten();
            ends.flat_map(|end| [Pick::Terminal(end), Pick::Part(end.part)])
                .collect()
        }
        Question::Look(about)
        | Question::Stress(about, _)
        | Question::Clean(about)
        | Question::Remake(about) => element(*about),
        Question::Substitute(part, _) => vec![Pick::Part(*part)],
        Question::Swap(SwapPair::Parts(a, b)) => vec![Pick::Part(*a), Pick::Part(*b)],
        Question::Swap(SwapPair::Transistors(a, b)) => vec![Pick::Driver(*a), Pick::Driver(*b)],
        Question::Code(_) | Question::AnyCode => Vec::new(),
    }
}
