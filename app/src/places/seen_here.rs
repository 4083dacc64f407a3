//! A finding in two taps: the place on the map, then what was seen there.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Catalogue, Question};
use sparktrail_core::model::{Element, FaultThen, Harness, Port, SwapPair, Terminal, Works};
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::{Replies, Reply};

use super::words::findings::{self as words, answer as answer_words};
use super::words::next;
use crate::edge::clock;
use crate::store::{Store, cylinders_said};

/// What can be said of what is selected, one tap each.
#[component]
pub(super) fn SeenHere(store: Store, pick: Pick) -> impl IntoView {
    let harness = store.harness_now();
    let rows: Vec<AnyView> = about(&harness, pick)
        .into_iter()
        .map(|question| row(store, &harness, question))
        .collect();
    if rows.is_empty() {
        return ().into_any();
    }
    view! {
        <details class="card seen-here">
            <summary><h3>{words::SEEN_HERE}</h3></summary>
            {rows}
        </details>
    }
    .into_any()
}

fn row(store: Store, harness: &Harness, question: Question) -> AnyView {
    let Replies::Choice(offered) = Replies::to(&question) else {
        return ().into_any();
    };
    let sentence = next::ask(harness, &question);
    let question = StoredValue::new(question);
    let one = |reply: Reply| {
        let Reply::Found(answer) = reply else {
            return ().into_any();
        };
        let put = move |_| question.with_value(|question| enter(store, question, answer));
        view! {
            <button type="button" class="button" on:click=put>{answer_words(answer)}</button>
        }
        .into_any()
    };
    let buttons: Vec<AnyView> = offered.into_iter().map(one).collect();
    view! {
        <div role="group" aria-label=sentence.clone()>
            <p class="small">{sentence.clone()}</p>
            <div class="way-row">{buttons}</div>
        </div>
    }
    .into_any()
}

/// What is said becomes a finding, as one change.
fn enter(store: Store, question: &Question, answer: Answer) {
    if let (Question::Contribution(cylinder), Answer::Works(works)) = (question, answer) {
        store.change(Command::Mark {
            cylinder: *cylinder,
            works,
            at: Some(clock::timestamp()),
        });
    } else if let Some((seen, setup)) = question.seen(answer) {
        let wavers = store.harness.with_untracked(|harness| {
            let mut said = cylinders_said(&harness.findings).into_values();
            said.any(|works| works == Works::Sometimes)
        });
        let fault_then = if question.can_be_passed_while_away() && !wavers {
            FaultThen::Present
        } else {
            FaultThen::Unknown
        };
        store.change(Command::AddFinding {
            seen,
            setup,
            fault_then,
            at: Some(clock::timestamp()),
            note: String::new(),
        });
    }
    store.session.say(words::ENTERED_HERE, None);
}

/// The questions about a place that eyes and hands answer, in the order of the catalogue.
fn about(harness: &Harness, pick: Pick) -> Vec<Question> {
    let cylinder = cylinder_of(harness, pick);
    Catalogue::of(harness)
        .acts
        .into_iter()
        .map(|act| act.question)
        .filter(|question| bears_on(harness, pick, cylinder, question))
        .collect()
}

fn bears_on(
    harness: &Harness,
    pick: Pick,
    cylinder: Option<CylinderId>,
    question: &Question,
) -> bool {
    match question {
        Question::Contribution(about) | Question::Spark(about) | Question::Compression(about) => {
            cylinder == Some(*about)
        }
        Question::Look(element)
        | Question::Stress(element, _)
        | Question::Clean(element)
        | Question::Remake(element) => is_at(harness, pick, *element),
        Question::Substitute(part, _) => pick == Pick::Part(*part),
        Question::Swap(SwapPair::Parts(a, b)) => [*a, *b].map(Pick::Part).contains(&pick),
        Question::Swap(SwapPair::Transistors(a, b)) => [*a, *b].map(Pick::Driver).contains(&pick),
        Question::Volts(_)
        | Question::Resistance(_)
        | Question::Drop(_)
        | Question::Lamp(_)
        | Question::Code(_)
        | Question::AnyCode => false,
    }
}

fn is_at(harness: &Harness, pick: Pick, element: Element) -> bool {
    match pick {
        Pick::Element(picked) => picked == element,
        Pick::Part(part) => harness.part_of(element) == Some(part),
        Pick::Wire(wire) => {
            matches!(element, Element::Wire(id) | Element::Joint(id, _) if id == wire)
        }
        Pick::Terminal(terminal) => is_contact(terminal, element),
        Pick::Driver(driver) => matches!(element, Element::Driver(id, _) if id == driver),
        Pick::Cylinder(cylinder) => element == Element::Cylinder(cylinder),
    }
}

/// Whether an element is the contact at a terminal, or another contact of the same plug: who pulls one
/// pulls them all.
fn is_contact(terminal: Terminal, element: Element) -> bool {
    if let Element::Mated(other) = element {
        other.part == terminal.part
    } else if let Element::Cavity(part, _) = element {
        part == terminal.part && matches!(terminal.port, Port::Cavity(..))
    } else {
        false
    }
}

/// The cylinder that is meant: its disc, its plug, its lead.
fn cylinder_of(harness: &Harness, pick: Pick) -> Option<CylinderId> {
    let part = match pick {
        Pick::Cylinder(cylinder) => return Some(cylinder),
        Pick::Part(part) => part,
        Pick::Element(element) => harness.part_of(element)?,
        Pick::Terminal(terminal) => terminal.part,
        Pick::Wire(_) | Pick::Driver(_) => return None,
    };
    let plug = match harness.lead(part) {
        Some(lead) => lead.to?.value.part,
        None => part,
    };
    harness.plug(plug)?.cylinder.map(|fact| fact.value)
}
