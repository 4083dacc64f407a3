//! One question from setting up to its answer, and the comparison of sibling pins.

use super::gauge::{Turns, at_rest};
use super::step::{Replies, Reply, Task};
use super::tape::{Scene, Tape};
use super::verdict::{Meaning, Verdict};
use crate::isolation::{self, Answer, Probes, Question};
use crate::model::{Element, Setup, Terminal};

/// Siblings agree within this, V. Common practice, no source.
const AGREE: f64 = 0.5;

/// One question.
pub(super) fn play(tape: &mut Tape<'_>, question: &Question) -> Scene<Verdict> {
    if question.can_be_passed_while_away() {
        tape.fault_now_if_it_wavers(3)?;
    }
    match question {
        Question::Volts(probes) | Question::Drop(probes) => {
            let Some(share) = tape.reference(&probes.setup, 1)? else {
                return Ok(Verdict::NotProven);
            };
            let Some(read) = tape.volts(question, 0)? else {
                return Ok(Verdict::NotProven);
            };
            let off = tape.bench.number(probes).map(|(_, (low, high))| {
                let level = |volts: f64| volts * share;
                beyond(read, (level(low).min(low), level(high).max(high)))
            });
            tape.mean(Meaning::Reading {
                off: off.unwrap_or(0.0),
            });
            Ok(Tape::one(question, Answer::Volts(read, read)))
        }
        Question::Resistance(probes) => {
            let Some(leads) = tape.leads(1)? else {
                return Ok(Verdict::NotProven);
            };
            let read = tape.ohms(question, 0)?;
            let off = tape.bench.number(probes).map_or(0.0, |(wanted, band)| {
                if read.is_infinite() && wanted.is_infinite() {
                    0.0
                } else {
                    beyond((read - leads).max(0.0), band)
                }
            });
            tape.mean(Meaning::Reading { off });
            let answer = if read.is_finite() {
                Answer::Ohms(read, read)
            } else {
                Answer::Overload
            };
            Ok(Tape::one(question, answer))
        }
        Question::Lamp(probes) => {
            if !tape.lamp_reference(&probes.setup, 1)? {
                return Ok(Verdict::NotProven);
            }
            let answer = tape.find(question, &probes.setup, 0)?;
            Ok(Tape::one(question, answer))
        }
        Question::Substitute(..) | Question::Clean(_) | Question::Remake(_) => {
            let setup = hands_on(tape, question);
            let task = Task::Carry(question.clone());
            tape.ask(task, &setup, Replies::of(&[Reply::Done]), 1)?;
            let answer = tape.find(question, &Setup::idling(), 0)?;
            Ok(Tape::one(question, answer))
        }
        Question::Contribution(_)
        | Question::Spark(_)
        | Question::Look(_)
        | Question::Stress(..)
        | Question::Swap(_)
        | Question::Code(_)
        | Question::AnyCode
        | Question::Compression(_) => {
            let setup = setup_of(tape, question);
            let answer = tape.find(question, &setup, 0)?;
            Ok(Tape::one(question, answer))
        }
    }
}

/// How the car stands while hands are on it: with the battery off.
fn hands_on(tape: &Tape<'_>, question: &Question) -> Setup {
    let mut setup = Setup::battery_off();
    let part = if let Question::Clean(element) = question {
        tape.harness.part_of(*element)
    } else if let Question::Substitute(part, _) = question {
        Some(*part)
    } else {
        None
    };
    let pluggable = part.filter(|part| {
        let ports = tape.harness.terminals_of(*part);
        ports
            .iter()
            .any(|t| t.port.hold() == crate::model::Hold::Contact)
    });
    setup.unplugged.extend(pluggable);
    setup
}

/// How the car stands while something is looked at that no meter shows.
fn setup_of(tape: &Tape<'_>, question: &Question) -> Setup {
    match question {
        Question::Contribution(_)
        | Question::Spark(_)
        | Question::Stress(..)
        | Question::Swap(_) => Setup::idling(),
        Question::Look(Element::CrankSignal(_) | Element::Logic(_) | Element::Cylinder(_)) => {
            Setup::idling()
        }
        Question::Look(element) => {
            let inside = super::kind::goes_onto_a_board(tape.harness, &Task::Ask(question.clone()));
            if inside || super::kind::is_high(*element) {
                Setup::battery_off()
            } else {
                at_rest()
            }
        }
        Question::Code(_) | Question::AnyCode => Setup::key_on(),
        Question::Compression(_) => super::gauge::cranking(),
        Question::Volts(probes)
        | Question::Resistance(probes)
        | Question::Drop(probes)
        | Question::Lamp(probes) => probes.setup.clone(),
        Question::Substitute(..) | Question::Clean(_) | Question::Remake(_) => Setup::battery_off(),
    }
}

/// How far a reading lies outside a band; zero inside.
fn beyond(read: f64, (low, high): (f64, f64)) -> f64 {
    if read > high {
        read - high
    } else if read < low {
        read - low
    } else {
        0.0
    }
}

/// A pin beside its siblings.
pub(super) fn siblings(tape: &mut Tape<'_>, of: Terminal) -> Scene<Verdict> {
    let mut all = isolation::siblings(tape.harness, of);
    // The pin that is asked about comes first.
    all.sort_by_key(|terminal| *terminal != of);
    let many = all.len();
    tape.fault_now_if_it_wavers(many + 2)?;
    let setup = match tape.runs(many + 1)? {
        Turns::Runs => Setup::idling(),
        Turns::Cranks | Turns::No => Setup::key_on(),
    };
    if tape.reference(&setup, many)?.is_none() {
        return Ok(Verdict::NotProven);
    }
    let black = super::gauge::battery(tape.harness, &setup).and_then(|battery| battery.black);
    let mut read = Vec::new();
    for (place, &red) in all.iter().enumerate() {
        let probes = Probes {
            red,
            black,
            setup: setup.clone(),
        };
        let question = Question::Volts(probes.clone());
        let Some(volts) = tape.volts(&question, many - place - 1)? else {
            return Ok(Verdict::NotProven);
        };
        read.push((red, volts));
        let off = match (place, median(&read[..place])) {
            (0, _) | (_, None) => tape
                .bench
                .number(&probes)
                .map_or(0.0, |(_, band)| beyond(volts, band)),
            (_, Some(level)) if (volts - level).abs() > AGREE => volts - level,
            (_, Some(_)) => 0.0,
        };
        tape.mean(Meaning::Reading { off });
    }
    let level = median(&read).unwrap_or(0.0);
    let odd = read
        .iter()
        .map(|(terminal, volts)| (*terminal, volts - level))
        .filter(|(_, apart)| apart.abs() > AGREE)
        .collect();
    Ok(Verdict::Siblings { level, odd })
}

fn median(read: &[(Terminal, f64)]) -> Option<f64> {
    let mut volts: Vec<f64> = read.iter().map(|(_, volts)| *volts).collect();
    volts.sort_by(f64::total_cmp);
    let middle = volts.len() / 2;
    let upper = *volts.get(middle)?;
    if volts.len() % 2 == 1 {
        return Some(upper);
    }
    Some(f64::midpoint(*volts.get(middle - 1)?, upper))
}
