//! A finding in two taps: the place on the map, then what was seen there.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::is_high_voltage;
use sparktrail_core::isolation::{Answer, Catalogue, Probes, Question};
use sparktrail_core::model::{
    DriverPiece, Element, Harness, Part, PartKind, Port, Setup, SwapPair, Terminal,
};
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::{Replies, Reply};

use super::entry;
use super::words::findings as words;
use super::words::next;
use crate::edge::clock;
use crate::store::Store;

/// So many questions stand open at most; of more, one of each kind does, and the others are folded away.
const AT_ONCE: usize = 6;

/// What can be said of what is selected, one tap each.
#[component]
pub(super) fn SeenHere(store: Store, pick: Pick) -> impl IntoView {
    let harness = store.harness_now();
    let (first, others) = parted(about(&harness, pick));
    let rows = |questions: Vec<Question>| -> Vec<AnyView> {
        let one = |question| row(store, &harness, question);
        questions.into_iter().map(one).collect()
    };
    let read = volts_here(store, &harness, pick);
    if first.is_empty() && read.is_none() {
        return ().into_any();
    }
    let others = (!others.is_empty()).then(|| {
        let rows = rows(others);
        view! {
            <details>
                <summary>{words::MORE_HERE}</summary>
                {rows}
            </details>
        }
    });
    view! {
        <section class="card seen-here">
            <h3>{words::SEEN_HERE}</h3>
            {read}
            {rows(first)}
            {others}
        </section>
    }
    .into_any()
}

/// The questions that stand open, and those that are folded away: the same at another piece, which can be
/// pointed at by itself.
fn parted(all: Vec<Question>) -> (Vec<Question>, Vec<Question>) {
    if all.len() <= AT_ONCE {
        return (all, Vec::new());
    }
    let mut kinds: Vec<words::Kind> = Vec::new();
    all.into_iter().partition(|question| {
        let kind = words::Kind::of(question);
        let is_first = !kinds.contains(&kind);
        if is_first {
            kinds.push(kind);
        }
        is_first
    })
}

/// A field for the volts from a terminal to battery minus: a button for each way in which the car may stand
/// enters it.
fn volts_here(store: Store, harness: &Harness, pick: Pick) -> Option<AnyView> {
    let Pick::Terminal(red) = pick else {
        return None;
    };
    let is_battery = |part: &Part| matches!(part.kind, PartKind::Battery(_));
    let (&battery, _) = harness.parts.iter().find(|(_, part)| is_battery(part))?;
    if battery == red.part || is_high_voltage(red.port) {
        return None;
    }
    let black = Some(Terminal {
        part: battery,
        port: Port::Minus,
    });
    let text = RwSignal::new(String::new());
    let trouble = RwSignal::new(None::<String>);
    let put = move |setup: Setup| match text.with_untracked(|text| entry::volts(text)) {
        Ok(answer) => {
            trouble.set(None);
            text.set(String::new());
            let probes = Probes { red, black, setup };
            enter(store, &Question::Volts(probes), answer);
        }
        Err(why) => trouble.set(Some(why)),
    };
    let one = |setup: Setup| {
        let name = words::stands(harness, &setup);
        view! {
            <button type="button" class="button" on:click=move |_| put(setup.clone())>{name}</button>
        }
        .into_any()
    };
    let buttons: Vec<AnyView> = words::setups(words::Kind::Volts)
        .into_iter()
        .map(one)
        .collect();
    let wrong = move || {
        let words = trouble.get()?;
        Some(view! { <p class="alarm" role="alert">{words}</p> }.into_any())
    };
    let row = view! {
        <div role="group" aria-label=words::VOLTS_HERE>
            <label class="field">
                <span class="small">{words::VOLTS_HERE}</span>
                <input
                    type="text"
                    autocomplete="off"
                    prop:value=move || text.get()
                    on:input:target=move |event| text.set(event.target().value())
                />
            </label>
            <div class="way-row">{buttons}</div>
            {wrong}
        </div>
    };
    Some(row.into_any())
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
        let words = question.with_value(|question| words::answer_to(question, answer));
        view! {
            <button type="button" class="button" on:click=put>{words}</button>
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
        store.change(Command::AddFinding {
            seen,
            setup,
            fault_then: entry::fault_then(store, question, answer),
            at: Some(clock::timestamp()),
            note: String::new(),
        });
    }
    entry::say_entered(store, words::ENTERED);
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
        Question::Swap(pair) => changes_place(pick, *pair),
        Question::Volts(_)
        | Question::Resistance(_)
        | Question::Drop(_)
        | Question::Lamp(_)
        | Question::Code(_)
        | Question::AnyCode => false,
    }
}

/// Whether a swap moves what is selected.
pub(super) fn changes_place(pick: Pick, pair: SwapPair) -> bool {
    match pair {
        SwapPair::Parts(a, b) => [a, b].map(Pick::Part).contains(&pick),
        SwapPair::Transistors(a, b) => {
            let switch = |driver| Pick::Element(Element::Driver(driver, DriverPiece::Switch));
            [a, b].map(Pick::Driver).contains(&pick) || [a, b].map(switch).contains(&pick)
        }
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
