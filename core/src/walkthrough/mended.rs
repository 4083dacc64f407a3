//! The check after a repair: everything back in place, codes cleared, each cylinder, then once more warm.

use super::gauge::at_rest;
use super::step::{Replies, Reply, Task};
use super::tape::{Scene, Tape, found};
use super::verdict::{Meaning, Verdict};
use super::walk;
use crate::engine::CylinderId;
use crate::isolation::{Answer, Question};
use crate::model::{Effect, FaultThen, Setup, Works};

pub(super) fn play(tape: &mut Tape<'_>, done: Option<&Question>) -> Scene<Verdict> {
    // Those that were ill; where nobody said, all of them.
    let all = tape.harness.engine.cylinders();
    let mut before: Vec<CylinderId> = walk::said(tape.harness)
        .into_iter()
        .filter(|(c, works)| *works != Works::Alive && all.contains(c))
        .map(|(c, _)| c)
        .collect();
    if before.is_empty() {
        before = all;
    }
    let left = before.len() + 2;
    tape.ask(
        Task::Restore,
        &at_rest(),
        Replies::of(&[Reply::Done]),
        left + 1,
    )?;
    let clear = Replies::of(&[Reply::Done, Reply::Unsure]);
    tape.ask(Task::ClearCodes, &Setup::key_on(), clear, left)?;
    let mut ill = Vec::new();
    for (place, &cylinder) in before.iter().enumerate() {
        let question = Question::Contribution(cylinder);
        let replies = Replies::to(&question);
        let left = before.len() - place + 1;
        // Not a finding: the findings are of the car as it was.
        let reply = tape.ask(Task::Ask(question), &Setup::idling(), replies, left)?;
        if let Answer::Works(works) = found(reply) {
            tape.mean(Meaning::Cylinder(cylinder, works));
            if works != Works::Alive {
                ill.push(cylinder);
            }
        }
    }
    if !ill.is_empty() {
        let effect = if ill.len() == before.len() {
            Effect::Same
        } else {
            Effect::Changed
        };
        note(tape, done, effect);
        return Ok(Verdict::NotMended { ill });
    }
    tape.ask(Task::Warm, &Setup::idling(), Replies::of(&[Reply::Done]), 1)?;
    tape.fault_now(0)?;
    if tape.then == FaultThen::Present {
        note(tape, done, Effect::Same);
        return Ok(Verdict::NotMended { ill: before });
    }
    note(tape, done, Effect::Cured);
    Ok(Verdict::Mended)
}

fn note(tape: &mut Tape<'_>, done: Option<&Question>, effect: Effect) {
    if let Some(question) = done {
        tape.note(question, Answer::Effect(effect), FaultThen::Unknown);
    }
}
