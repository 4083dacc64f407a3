//! Wiggling, warming and cooling something while the engine runs, for faults that come and go.

use super::kind::{goes_onto_a_board, is_high};
use super::step::{Replies, Reply, Task};
use super::tape::{Scene, Tape, found};
use super::verdict::{Meaning, Verdict};
use crate::isolation::{Answer, Question};
use crate::model::{Effect, Element, FaultThen, Setup, StressKind};

pub(super) fn play(tape: &mut Tape<'_>, element: Element) -> Scene<Verdict> {
    let ways = ways(tape, element);
    if ways.is_empty() {
        return Ok(Verdict::NoPath);
    }
    tape.fault_now(2 * ways.len())?;
    for (place, &way) in ways.iter().enumerate() {
        let left = 2 * (ways.len() - place) - 1;
        let first = provoke(tape, element, way, left)?;
        if first == Effect::Same {
            continue;
        }
        // Once may be chance.
        let again = provoke(tape, element, way, left - 1)?;
        if again != Effect::Same {
            return Ok(Verdict::Stressed {
                element,
                found: Some((way, again)),
                then: tape.then,
            });
        }
    }
    Ok(Verdict::Stressed {
        element,
        found: None,
        then: tape.then,
    })
}

/// One go. What makes the fault come shows it: that counts although it was away before.
fn provoke(tape: &mut Tape<'_>, element: Element, way: StressKind, left: usize) -> Scene<Effect> {
    let question = Question::Stress(element, way);
    let mut replies = vec![Effect::Same, Effect::Changed];
    if tape.then != FaultThen::Away {
        replies.insert(1, Effect::Cured);
    }
    let replies = replies
        .into_iter()
        .map(|effect| Reply::Found(Answer::Effect(effect)))
        .collect();
    let task = Task::Ask(question.clone());
    let reply = tape.ask(task, &Setup::idling(), Replies::Choice(replies), left)?;
    let answer = found(reply);
    let effect = if let Answer::Effect(effect) = answer {
        effect
    } else {
        Effect::Same
    };
    let then = if effect == Effect::Changed {
        FaultThen::Present
    } else {
        tape.then
    };
    tape.note(&question, answer, then);
    tape.mean(Meaning::Plain(answer));
    Ok(effect)
}

/// What can be done to it with the engine running: nothing to what carries the high voltage.
fn ways(tape: &Tape<'_>, element: Element) -> Vec<StressKind> {
    let question = Question::Stress(element, StressKind::Heated);
    if is_high(element) {
        Vec::new()
    } else if goes_onto_a_board(tape.harness, &Task::Ask(question)) {
        vec![StressKind::Heated, StressKind::Cooled]
    } else {
        match element {
            Element::Primary(_)
            | Element::RelayWinding(_)
            | Element::InjectorWinding(_)
            | Element::CrankSignal(_)
            | Element::Logic(_)
            | Element::Driver(..)
            | Element::Trace(..)
            | Element::BoardSupply(_)
            | Element::BoardGround(_) => vec![StressKind::Heated, StressKind::Cooled],
            Element::Contact(_)
            | Element::Battery(_)
            | Element::Wire(_)
            | Element::Joint(..)
            | Element::Mated(_)
            | Element::Cavity(..) => {
                vec![StressKind::Wiggled, StressKind::Heated, StressKind::Cooled]
            }
            Element::Secondary(_)
            | Element::CoilInsulation(_)
            | Element::Rotor(_)
            | Element::Cap(_)
            | Element::LeadConductor(_)
            | Element::LeadInsulation(_)
            | Element::Gap(_)
            | Element::Insulator(_)
            | Element::PlugResistor(_)
            | Element::Cylinder(_) => Vec::new(),
        }
    }
}
