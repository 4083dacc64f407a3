//! Spark at the lead of a cylinder: the tool proven on one that works, the cylinder, those on its coil.

use super::dead::is_spark;
use super::gauge::Turns;
use super::step::{Replies, Task};
use super::tape::{Scene, Tape, found};
use super::verdict::{Meaning, Verdict};
use super::walk;
use crate::electrics::Reach;
use crate::engine::CylinderId;
use crate::isolation::{Answer, Question};
use crate::model::{FaultThen, Harness, Setup, Spark, Works};

/// How many cylinders the tool may fail on before the walk gives up.
const TRIES: usize = 2;

pub(super) fn play(tape: &mut Tape<'_>, cylinder: CylinderId) -> Scene<Verdict> {
    let others = on_the_same_coil(tape.harness, cylinder);
    let left = others.len();
    tape.fault_now_if_it_wavers(left + 3)?;
    let setup = match tape.runs(left + 2)? {
        Turns::No => return Ok(Verdict::DoesNotTurn),
        turns @ (Turns::Runs | Turns::Cranks) => turns.setup(),
    };
    if !prove(tape, cylinder, &others, &setup)? {
        return Ok(Verdict::NotProven);
    }
    let mut seen = Vec::new();
    for (place, &one) in std::iter::once(&cylinder).chain(&others).enumerate() {
        let answer = tape.find(&Question::Spark(one), &setup, left - place)?;
        if let Answer::Spark(spark) = answer {
            tape.mean(Meaning::Sparked(one, spark));
            seen.push((one, spark));
        }
    }
    Ok(Verdict::Sparks(seen))
}

/// The tool on a cylinder that works. Where none is known to work there is nothing to prove it on.
fn prove(
    tape: &mut Tape<'_>,
    cylinder: CylinderId,
    others: &[CylinderId],
    setup: &Setup,
) -> Scene<bool> {
    let said = walk::said(tape.harness);
    let working: Vec<CylinderId> = said
        .into_iter()
        .filter(|(c, works)| *works == Works::Alive && *c != cylinder && !others.contains(c))
        .map(|(c, _)| c)
        .take(TRIES)
        .collect();
    for &one in &working {
        let question = Question::Spark(one);
        let replies = Replies::to(&question);
        let task = Task::ProveTool(question.clone());
        let reply = tape.ask(task, setup, replies, others.len() + 1)?;
        if let Answer::Spark(spark) = found(reply)
            && is_spark(spark)
        {
            tape.note(&question, Answer::Spark(Spark::Yes), FaultThen::Unknown);
            tape.mean(Meaning::ToolProven);
            return Ok(true);
        }
        tape.mean(Meaning::ToolDoubted(one));
    }
    Ok(working.is_empty())
}

/// The other cylinders that the coil of a cylinder sparks.
pub(super) fn on_the_same_coil(harness: &Harness, cylinder: CylinderId) -> Vec<CylinderId> {
    let mut found: Vec<CylinderId> = Reach::all(harness)
        .iter()
        .map(|reach| {
            reach
                .ways
                .iter()
                .filter_map(|way| way.cylinder)
                .collect::<Vec<_>>()
        })
        // A coil with a distributor sparks them all: they are no companions.
        .filter(|on| on.contains(&cylinder) && on.len() <= 2)
        .flatten()
        .filter(|other| *other != cylinder)
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}
