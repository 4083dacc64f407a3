//! The step to do now: what, how the car stands, where the leads go, what to mind, what a sound car shows.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::electrics::{self, Reading};
use sparktrail_core::isolation::{Probes, Question};
use sparktrail_core::model::{Element, Harness, PartId, SwapPair, WireEnd};
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::{Expected, Instrument, Step, Task, foretold};

use super::super::words::findings::{answer as answer_words, answer_to};
use super::super::words::meter as meter_words;
use super::super::words::next as next_words;
use super::super::words::walk as words;
use super::{Now, STEP, face, replies};
use crate::store::{LeadColour, Store};
use crate::text::Text;
use crate::ui::caution;

/// The card of a step.
pub(super) fn card(store: Store, now: &Arc<Now>, step: &Step) -> AnyView {
    let harness = &now.harness;
    show_on_map(store, harness, step);
    // Whether it runs is the question itself.
    let car = (step.task != Task::Runs).then(|| {
        fact(
            words::CAR.said(),
            meter_words::setup(harness, &step.setup),
            None,
        )
    });
    let how = words::how(step).map(|how| view! { <p>{how}</p> }.into_any());
    let with = step
        .instrument()
        .map(|with| fact(words::WITH.said(), words::instrument(with).to_owned(), None));
    let leads = step.probes().map(|probes| leads(harness, step, probes));
    let faces = step.probes().map(|probes| face::faces(harness, probes));
    let expected = step
        .expected(harness)
        .map(|expected| sound(harness, step, &expected));
    view! {
        <section class="card act walk-card">
            <h2 id=STEP tabindex="-1">{words::task(harness, step)}</h2>
            {how}
            <dl class="facts">
                {car}
                {with}
                {leads}
            </dl>
            {cautions(harness, step)}
            {predictions(harness, step)}
            {faces}
            {expected}
            {replies::form(store, now, step)}
        </section>
    }
    .into_any()
}

fn fact(term: &'static str, value: String, lead: Option<LeadColour>) -> AnyView {
    view! {
        <div class="fact" data-lead=lead.map(LeadColour::word)>
            <dt>{term}</dt>
            <dd>{value}</dd>
        </div>
    }
    .into_any()
}

fn leads(harness: &Harness, step: &Step, probes: &Probes) -> AnyView {
    let [red, black] = ends(step);
    let black = probes.black.map(|at| {
        let at = harness.terminal_name(at);
        fact(black.said(), at, Some(LeadColour::Black))
    });
    view! {
        {fact(red.said(), harness.terminal_name(probes.red), Some(LeadColour::Red))}
        {black}
    }
    .into_any()
}

/// What is held to the two places of a step: a meter's leads, or a lamp's tip and clip.
fn ends(step: &Step) -> [Text; 2] {
    match step.instrument() {
        Some(Instrument::Lamp) => [next_words::TIP, next_words::CLIP],
        Some(Instrument::Volts | Instrument::Ohms | Instrument::Flash) | None => {
            [next_words::RED, next_words::BLACK]
        }
    }
}

/// Where the leads are, in one line.
pub(super) fn places(harness: &Harness, step: &Step, probes: &Probes) -> String {
    let [red, black] = ends(step);
    let red = format!("{red}: {}", harness.terminal_name(probes.red));
    match probes.black {
        Some(at) => format!("{red}. {black}: {}.", harness.terminal_name(at)),
        None => red,
    }
}

fn cautions(harness: &Harness, step: &Step) -> AnyView {
    let lines = step.cautions(harness).into_iter().map(words::caution);
    caution(next_words::CAUTION.said(), lines.collect())
}

/// Before a swap: what each suspect predicts, and when it is judged, once more.
fn predictions(harness: &Harness, step: &Step) -> AnyView {
    let (Task::Exchange(pair) | Task::Ask(Question::Swap(pair))) = &step.task else {
        return ().into_any();
    };
    let lines: Vec<AnyView> = foretold(harness, *pair)
        .iter()
        .map(|told| view! { <li>{words::foretold(told)}</li> }.into_any())
        .collect();
    if lines.is_empty() {
        return ().into_any();
    }
    view! {
        <h3>{words::FORETOLD}</h3>
        <ul class="walk-foretold">{lines}</ul>
    }
    .into_any()
}

/// What a sound car shows, in one line.
pub(super) fn in_a_line(step: &Step, expected: &Expected) -> String {
    match expected {
        Expected::Reading(reading) => meter_words::measure(reading.value),
        Expected::AtMost(most) => words::at_most(*most),
        Expected::Answer(answer) => match &step.task {
            Task::Ask(question) => answer_to(question, *answer),
            Task::Runs
            | Task::FaultNow
            | Task::LeadsTogether
            | Task::Reference(_)
            | Task::LampReference(_)
            | Task::ProveTool(_)
            | Task::Exchange(_)
            | Task::Carry(_)
            | Task::Restore
            | Task::ClearCodes
            | Task::Warm => answer_words(*answer),
        },
    }
}

fn sound(harness: &Harness, step: &Step, expected: &Expected) -> AnyView {
    let value = in_a_line(step, expected);
    let more = if let Expected::Reading(reading) = expected {
        let band = meter_words::band(reading);
        Some(
            view! {
                <p class="faint small">{band}</p>
                {why(harness, reading)}
            }
            .into_any(),
        )
    } else {
        None
    };
    view! {
        <div class="walk-sound">
            <p><span class="faint">{words::EXPECTED}": "</span><strong class="num">{value}</strong></p>
            {more}
        </div>
    }
    .into_any()
}

/// What lies between the leads.
fn why(harness: &Harness, reading: &Reading) -> AnyView {
    let ohmmeter = match reading.value {
        electrics::Measure::Volts(_) => meter_words::Ohmmeter::No,
        electrics::Measure::Ohms(_) | electrics::Measure::Overload => meter_words::Ohmmeter::Yes,
    };
    let rows: Vec<AnyView> = reading
        .path
        .iter()
        .filter_map(|step| {
            let name = harness.element_name(step.element?);
            let lost = meter_words::lost(step, ohmmeter);
            Some(
                view! {
                    <li class="step">
                        <span>{name}</span>
                        <span class="num">{lost}</span>
                    </li>
                }
                .into_any(),
            )
        })
        .collect();
    if rows.is_empty() {
        return ().into_any();
    }
    let lead = match ohmmeter {
        meter_words::Ohmmeter::Yes => meter_words::WHY_OHMS,
        meter_words::Ohmmeter::No => meter_words::WHY_VOLTS,
    };
    view! {
        <details class="predict">
            <summary><h3>{words::WHY}</h3></summary>
            <p class="faint small">{lead}</p>
            <ol class="path">{rows}</ol>
        </details>
    }
    .into_any()
}

/// Red and black go onto the map, and what the step is about is lit.
fn show_on_map(store: Store, harness: &Harness, step: &Step) {
    let leads = step.probes().map_or_else(Vec::new, |probes| {
        let red = (LeadColour::Red, probes.red);
        let black = probes.black.map(|black| (LeadColour::Black, black));
        std::iter::once(red).chain(black).collect()
    });
    store.session.leads.set(leads);
    let picks = picks(harness, step);
    store.session.lit.set((!picks.is_empty()).then_some(picks));
}

fn picks(harness: &Harness, step: &Step) -> Vec<Pick> {
    let mut found: BTreeSet<Pick> = BTreeSet::new();
    if let Some(probes) = step.probes() {
        for end in [Some(probes.red), probes.black].into_iter().flatten() {
            found.extend([Pick::Terminal(end), Pick::Part(end.part)]);
        }
        // What is measured shines too.
        if let Some(Expected::Reading(reading)) = step.expected(harness) {
            let elements = reading.path.iter().filter_map(|step| step.element);
            found.extend(elements.flat_map(|element| places_of(harness, element)));
        }
    }
    let of_pair = |pair: &SwapPair| match *pair {
        SwapPair::Parts(a, b) => [Pick::Part(a), Pick::Part(b)],
        SwapPair::Transistors(a, b) => [Pick::Driver(a), Pick::Driver(b)],
    };
    if let Task::Exchange(pair) = &step.task {
        found.extend(of_pair(pair));
    }
    match step.question() {
        Some(
            Question::Contribution(cylinder)
            | Question::Spark(cylinder)
            | Question::Compression(cylinder),
        ) => {
            found.insert(Pick::Cylinder(*cylinder));
        }
        Some(
            Question::Look(element)
            | Question::Stress(element, _)
            | Question::Clean(element)
            | Question::Remake(element),
        ) => found.extend(places_of(harness, *element)),
        Some(Question::Substitute(part, _)) => {
            found.insert(Pick::Part(*part));
        }
        Some(Question::Swap(pair)) => found.extend(of_pair(pair)),
        Some(
            Question::Volts(_)
            | Question::Resistance(_)
            | Question::Drop(_)
            | Question::Lamp(_)
            | Question::Code(_)
            | Question::AnyCode,
        )
        | None => {}
    }
    found.into_iter().collect()
}

fn places_of(harness: &Harness, element: Element) -> Vec<Pick> {
    let mut found = vec![Pick::Element(element)];
    if let Element::Wire(wire) | Element::Joint(wire, WireEnd::From | WireEnd::To) = element {
        found.push(Pick::Wire(wire));
    }
    if let Element::Driver(driver, _) = element {
        found.push(Pick::Driver(driver));
    }
    let part: Option<PartId> = harness.part_of(element);
    found.extend(part.map(Pick::Part));
    found
}
