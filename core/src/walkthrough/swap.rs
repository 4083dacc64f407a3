//! The swap test: what each suspect predicts, the swap, and what the fault did.

use std::collections::BTreeSet;

use super::step::{Replies, Reply, Task};
use super::tape::{Scene, Tape, found};
use super::verdict::{Meaning, Verdict};
use super::walk;
use crate::engine::CylinderId;
use crate::isolation::{Answer, Question};
use crate::model::{DriverPiece, Element, FaultThen, Harness, Setup, SwapOutcome, SwapPair, Works};
use crate::topology::{Pick, Topology};

/// What a fault may sit in when two like things change places.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Culprit {
    /// In the thing: it goes along.
    Thing,
    /// In what stays where it is: joints, drive path, contacts, wires.
    Place,
}

/// What one suspect predicts of a swap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Foretold {
    /// The suspect.
    pub culprit: Culprit,
    /// The cylinders that are dead before.
    pub before: Vec<CylinderId>,
    /// The cylinders that are dead after.
    pub after: Vec<CylinderId>,
}

/// What each suspect predicts of a swap, the thing itself first. Empty where the map does not tell which
/// cylinders depend on the two.
#[must_use]
pub fn foretold(harness: &Harness, pair: SwapPair) -> Vec<Foretold> {
    let topology = Topology::of(harness);
    let depend = |pick: Pick| -> Vec<CylinderId> {
        topology.trail(harness, pick).depend.into_iter().collect()
    };
    let [first, second] = picks(pair).map(depend);
    if first.is_empty() || second.is_empty() || first == second {
        return Vec::new();
    }
    let said = walk::said(harness);
    let ill = |cylinders: &[CylinderId]| {
        cylinders
            .iter()
            .filter(|c| said.get(c).is_some_and(|works| *works != Works::Alive))
            .count()
    };
    // The one whose cylinders are ill is the suspect.
    let (mine, other) = if ill(&second) > ill(&first) {
        (second, first)
    } else {
        (first, second)
    };
    vec![
        Foretold {
            culprit: Culprit::Thing,
            before: mine.clone(),
            after: other,
        },
        Foretold {
            culprit: Culprit::Place,
            before: mine.clone(),
            after: mine,
        },
    ]
}

const fn picks(pair: SwapPair) -> [Pick; 2] {
    match pair {
        SwapPair::Parts(a, b) => [Pick::Part(a), Pick::Part(b)],
        SwapPair::Transistors(a, b) => [Pick::Driver(a), Pick::Driver(b)],
    }
}

pub(super) fn play(tape: &mut Tape<'_>, pair: SwapPair) -> Scene<Verdict> {
    tape.fault_now(4)?;
    if tape.then == FaultThen::Away {
        return Ok(Verdict::NotNow);
    }
    let mut setup = Setup::battery_off();
    if let SwapPair::Transistors(a, b) = pair {
        let hosts = [a, b].map(|driver| tape.harness.host_of(driver));
        setup.unplugged.extend(hosts.into_iter().flatten());
    }
    tape.ask(Task::Exchange(pair), &setup, Replies::of(&[Reply::Done]), 3)?;
    let question = Question::Swap(pair);
    let running = Setup::idling();
    let ask = |tape: &mut Tape<'_>, left| {
        let task = Task::Ask(question.clone());
        tape.ask(task, &running, Replies::to(&question), left)
    };
    let mut reply = ask(tape, 2)?;
    if found(reply) == Answer::Swap(SwapOutcome::Gone) {
        // Contacts that were moved work for a while.
        tape.mean(Meaning::GoneForNow);
        tape.ask(Task::Warm, &running, Replies::of(&[Reply::Done]), 1)?;
        reply = ask(tape, 0)?;
    }
    let answer = found(reply);
    tape.note(&question, answer, tape.then);
    tape.mean(Meaning::Plain(answer));
    let outcome = if let Answer::Swap(outcome) = answer {
        outcome
    } else {
        SwapOutcome::Changed
    };
    Ok(Verdict::Swapped {
        outcome,
        left: staying(tape.harness, pair),
    })
}

/// What stays where it is when two things change places: of the trails of both, from pin to plug.
fn staying(harness: &Harness, pair: SwapPair) -> Vec<Element> {
    let topology = Topology::of(harness);
    let moves = |element: Element| match pair {
        SwapPair::Transistors(a, b) => [a, b]
            .iter()
            .any(|driver| element == Element::Driver(*driver, DriverPiece::Switch)),
        SwapPair::Parts(a, b) => {
            // A contact is half the part's, half the place's.
            !matches!(element, Element::Mated(_))
                && harness
                    .part_of(element)
                    .is_some_and(|part| part == a || part == b)
        }
    };
    let own: BTreeSet<Element> = picks(pair)
        .into_iter()
        .flat_map(|pick| topology.trail(harness, pick).own.elements)
        .filter(|element| !moves(*element))
        .collect();
    own.into_iter().collect()
}
