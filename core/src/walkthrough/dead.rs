//! Finding the dead cylinders: which of them work, then what the leads of the others show.

use super::gauge::Turns;
use super::step::{Replies, Reply, Task};
use super::tape::{Scene, Tape, found};
use super::verdict::{Meaning, Verdict};
use crate::engine::CylinderId;
use crate::isolation::{Answer, Question};
use crate::model::{FaultThen, Harness, PartKind, Setup, Spark, Works};

pub(super) fn play(tape: &mut Tape<'_>) -> Scene<Verdict> {
    let all = in_firing_order(tape.harness);
    let turns = tape.runs(2 * all.len())?;
    let (dead, sometimes, doubtful) = match turns {
        Turns::No => return Ok(Verdict::DoesNotTurn),
        Turns::Cranks => {
            for &cylinder in &all {
                let question = Question::Contribution(cylinder);
                tape.note(&question, Answer::Works(Works::Dead), FaultThen::Present);
            }
            tape.mean(Meaning::NoneWorks);
            (all, Vec::new(), Vec::new())
        }
        Turns::Runs => listen(tape, &all)?,
    };
    let mut look: Vec<CylinderId> = dead.clone();
    look.extend(sometimes.iter().chain(&doubtful));
    for (place, &cylinder) in look.iter().enumerate() {
        tape.then = if dead.contains(&cylinder) {
            FaultThen::Present
        } else {
            FaultThen::Unknown
        };
        let question = Question::Spark(cylinder);
        let left = look.len() - place - 1;
        let answer = tape.find(&question, &turns.setup(), left)?;
        if let Answer::Spark(spark) = answer {
            tape.mean(Meaning::Sparked(cylinder, spark));
        }
    }
    Ok(Verdict::Cylinders { dead, sometimes })
}

/// Dead, now and then, nobody can tell.
type Heard = (Vec<CylinderId>, Vec<CylinderId>, Vec<CylinderId>);

/// Each cylinder in turn: does it do its share? Once one was found ill, the rest can be told at once.
fn listen(tape: &mut Tape<'_>, all: &[CylinderId]) -> Scene<Heard> {
    let (mut dead, mut sometimes, mut doubtful) = (Vec::new(), Vec::new(), Vec::new());
    for (place, &cylinder) in all.iter().enumerate() {
        let question = Question::Contribution(cylinder);
        let mut replies = vec![
            Reply::Found(Answer::Works(Works::Alive)),
            Reply::Found(Answer::Works(Works::Dead)),
            Reply::Found(Answer::Works(Works::Sometimes)),
            Reply::Unsure,
        ];
        if dead.len() + sometimes.len() > 0 {
            replies.push(Reply::TheRestWork);
        }
        let ill = dead.len() + sometimes.len() + doubtful.len();
        let left = 2 * (all.len() - place - 1) + ill + 1;
        let setup = without_fuel(tape.harness, cylinder);
        let task = Task::Ask(question.clone());
        let reply = tape.ask(task, &setup, Replies::Choice(replies), left)?;
        match reply {
            Reply::TheRestWork => {
                let rest = &all[place..];
                for &other in rest {
                    let question = Question::Contribution(other);
                    tape.note(&question, Answer::Works(Works::Alive), FaultThen::Unknown);
                }
                tape.mean(Meaning::OthersWork(rest.to_vec()));
                break;
            }
            Reply::Unsure => doubtful.push(cylinder),
            Reply::Done | Reply::Yes | Reply::No | Reply::OnlyCranks | Reply::Found(_) => {
                let answer = found(reply);
                tape.note(&question, answer, FaultThen::Unknown);
                if let Answer::Works(works) = answer {
                    tape.mean(Meaning::Cylinder(cylinder, works));
                    match works {
                        Works::Dead => dead.push(cylinder),
                        Works::Sometimes => sometimes.push(cylinder),
                        Works::Alive => {}
                    }
                }
            }
        }
    }
    Ok((dead, sometimes, doubtful))
}

/// The firing order, then what it leaves out.
fn in_firing_order(harness: &Harness) -> Vec<CylinderId> {
    let there = harness.engine.cylinders();
    let mut order: Vec<CylinderId> = Vec::new();
    for &cylinder in harness.engine.order.value.iter().chain(&there) {
        if there.contains(&cylinder) && !order.contains(&cylinder) {
            order.push(cylinder);
        }
    }
    order
}

/// Idling, with the fuel of one cylinder taken away where its injector is on the map: an engine that
/// does not change then did not use that cylinder. No lead is ever pulled for it.
fn without_fuel(harness: &Harness, cylinder: CylinderId) -> Setup {
    let injectors = harness.parts.iter().filter_map(|(&id, part)| {
        if let PartKind::Injector(injector) = &part.kind {
            injector
                .cylinder
                .filter(|fact| fact.value == cylinder)
                .map(|_| id)
        } else {
            None
        }
    });
    Setup {
        unplugged: injectors.collect(),
        ..Setup::idling()
    }
}

/// Whether a lead showed what it should.
pub(super) const fn is_spark(spark: Spark) -> bool {
    match spark {
        Spark::Yes => true,
        Spark::No | Spark::Weak | Spark::WrongTime => false,
    }
}
