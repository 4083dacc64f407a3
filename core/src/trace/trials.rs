//! Hidden assignments traced by a simulated owner: what `measure` and the tests run.

use std::collections::{BTreeMap, BTreeSet};

use crate::edit::apply;
use crate::edit::layouts::{Arrangement, Plan, build, propose_engine};
use crate::engine::{Layout, Strokes};
use crate::gather::Gather;
use crate::isolation::Loose;
use crate::model::random::Dice;
use crate::model::{Harness, OhmReading, PartKind, Pin, PinId, PinRole};
use crate::units::Ohms;

use super::usage::spread;
use super::{Coverage, Measure, Next, Shown, Step, Trace, Use, terminal_1};

/// A car whose pins are known to the trial alone.
#[derive(Debug, Clone)]
pub struct Hidden {
    /// The map, without the roles of the pins asked for and without the wires on them.
    pub harness: Harness,
    /// The question.
    pub trace: Trace,
    /// What each pin is.
    pub truth: BTreeMap<PinId, Use>,
}

/// What the simulated owner reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reads {
    /// What such a pin shows most often.
    Typical,
    /// Anything that such a pin can show.
    Any,
}

/// How a trial ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ended {
    /// Rounds of unplugging.
    pub rounds: u32,
    /// Measurements of all kinds.
    pub measurements: usize,
    /// Pins that ended as something else than they are, or open.
    pub wrong: Vec<PinId>,
}

/// An unfinished map as it is once its loose ends are traced, and what that took.
#[derive(Debug, Clone, PartialEq)]
pub struct Followed {
    /// The map with what was traced on it.
    pub harness: Harness,
    /// Minutes of tracing.
    pub minutes: f64,
    /// Measurements that were made.
    pub measurements: usize,
}

/// Traces the pins of a map that lead nowhere, with every reading right. `turn`: which coil is on which pin, one of
/// as many ways as there are pins. `None` where the map joins everything.
///
/// Nothing is broken while it is traced: a break on the way is found on the spot in a real car, or leaves its coil
/// to be told by the pin that is left over.
#[must_use]
pub fn followed(harness: &Harness, turn: usize) -> Option<Followed> {
    let loose = Loose::around(harness, &harness.engine.cylinders())?;
    let Loose {
        unit, pins, coils, ..
    } = loose;
    let own = |n: usize| {
        Some((
            *pins.get((n + turn) % pins.len())?,
            Use::Coil(*coils.get(n)?),
        ))
    };
    let truth: BTreeMap<PinId, Use> = (0..coils.len()).filter_map(own).gather();
    let trace = Trace::new(harness, unit, pins.clone(), coils.clone(), Coverage::All).ok()?;
    let hidden = Hidden {
        harness: harness.clone(),
        trace,
        truth,
    };
    let mut trace = hidden.trace.clone();
    let mut dice = Dice::new(0);
    let (mut minutes, mut counted) = (0.0, 0);
    while let Next::Measure(steps) = trace.next(harness)
        && let Some(step) = steps.into_iter().next()
        && trace.taken.len() < ENOUGH
    {
        minutes += step.minutes.get();
        let rightly = (Reads::Typical, &BTreeSet::new());
        let shown = hidden.carried_out(&step, rightly, &mut counted, &mut dice);
        trace.answer(step.measure, shown);
    }
    let facts = trace.facts(harness).ok().flatten()?;
    Some(Followed {
        harness: apply(harness, &facts).ok()?,
        minutes,
        measurements: trace.taken.len(),
    })
}

/// More measurements than any trace needs.
const ENOUGH: usize = 200;

/// A car with one coil a cylinder, its control pins among `others` of other uses, in an order that a seed decides.
///
/// `cylinders`: 1 to 16.
///
/// # Panics
/// Where no such engine can be laid out.
#[must_use]
pub fn hidden(cylinders: u8, others: &[Use], coverage: Coverage, seed: u64) -> Hidden {
    let mut dice = Dice::new(seed);
    let mut plan = Plan::new(
        "Hidden",
        propose_engine(cylinders, Layout::Inline, Strokes::Four),
    );
    plan.arrangement = Arrangement::OneEach;
    let mut harness = build(&plan).unwrap_or_else(|error| panic!("{error}"));
    let coils = Trace::coils_of(&harness);
    let unit = harness
        .parts
        .iter()
        .find_map(|(id, part)| matches!(part.kind, PartKind::ControlUnit(_)).then_some(*id));
    let Some(unit) = unit else {
        panic!("a laid out car has a control unit")
    };
    let mut pins: Vec<PinId> = harness
        .unit(unit)
        .map_or(&[][..], |unit| &unit.pins)
        .iter()
        .filter(|pin| pin.role.is_some_and(|r| r.value == PinRole::CoilSwitch))
        .map(|pin| pin.id)
        .collect();
    let mut uses: Vec<Use> = coils.iter().copied().map(Use::Coil).collect();
    for other in others {
        let id = harness.fresh();
        add_pin(&mut harness, unit, id);
        pins.push(id);
        uses.push(*other);
    }
    dice.shuffle(&mut uses);
    forget(&mut harness, &pins);
    let truth = pins.iter().copied().zip(uses).collect();
    let trace =
        Trace::new(&harness, unit, pins, coils, coverage).unwrap_or_else(|error| panic!("{error}"));
    Hidden {
        harness,
        trace,
        truth,
    }
}

fn add_pin(harness: &mut Harness, unit: crate::model::PartId, id: PinId) {
    if let Some(part) = harness.parts.get_mut(&unit)
        && let PartKind::ControlUnit(unit) = &mut part.kind
    {
        unit.pins.push(Pin {
            id,
            label: None,
            role: None,
            note: String::new(),
        });
    }
}

/// Takes off the map what the trial is to find out.
fn forget(harness: &mut Harness, pins: &[PinId]) {
    let on_pins = |terminal: crate::model::Terminal| matches!(terminal.port, crate::model::Port::Pin(pin) if pins.contains(&pin));
    harness.wires.retain(|_, wire| {
        let ends = [wire.from, wire.to];
        !ends.into_iter().flatten().any(|fact| on_pins(fact.value))
    });
    for part in harness.parts.values_mut() {
        if let PartKind::ControlUnit(unit) = &mut part.kind {
            for pin in unit.pins.iter_mut().filter(|pin| pins.contains(&pin.id)) {
                pin.role = None;
            }
            for driver in &mut unit.drivers {
                driver.output = None;
            }
        }
    }
}

impl Hidden {
    /// What a careful owner reads.
    pub fn read(&self, measure: &Measure, pin: PinId, reads: Reads, dice: &mut Dice) -> Shown {
        let what = self.truth.get(&pin).copied().unwrap_or(Use::Signal);
        let brought = match what {
            Use::Coil(coil) => terminal_1(&self.harness, coil),
            Use::AnotherCoil
            | Use::Injector
            | Use::Relay
            | Use::Feed
            | Use::Ground
            | Use::Signal => super::Terminal1::BroughtOut,
        };
        let spread = spread(measure, what, brought);
        let most = spread.iter().copied().fold(0.0, f64::max);
        let least = match reads {
            Reads::Typical => most,
            Reads::Any => f64::MIN_POSITIVE,
        };
        let can = spread.iter().enumerate().filter(|(_, p)| **p >= least);
        let can: Vec<usize> = can.map(|(place, _)| place).collect();
        shown(measure, dice.pick(&can))
    }

    /// Follows the trace to its end. `slips`: which reading, counted from 0, is taken wrongly.
    ///
    /// Returns the trace as it ended, and how. A reading that the trace asks for again is taken rightly.
    #[must_use]
    pub fn follow(&self, reads: Reads, slips: &BTreeSet<usize>, seed: u64) -> (Trace, Ended) {
        let mut dice = Dice::new(seed);
        let mut trace = self.trace.clone();
        let mut counted = 0;
        while trace.taken.len() < ENOUGH {
            match trace.next(&self.harness) {
                Next::Measure(steps) => {
                    let Some(step) = steps.into_iter().next() else {
                        break;
                    };
                    let shown = self.carried_out(&step, (reads, slips), &mut counted, &mut dice);
                    trace.answer(step.measure, shown);
                }
                Next::Again(doubted) => {
                    let Some(first) = doubted.into_iter().next() else {
                        break;
                    };
                    let shown = self.read(&first.measure, first.pin, reads, &mut dice);
                    trace.answer(first.measure, vec![(first.pin, shown)]);
                }
                Next::NotAll | Next::Done => break,
            }
        }
        let ended = self.ended(&trace);
        (trace, ended)
    }

    fn carried_out(
        &self,
        step: &Step,
        (reads, slips): (Reads, &BTreeSet<usize>),
        counted: &mut usize,
        dice: &mut Dice,
    ) -> Vec<(PinId, Shown)> {
        let mut shown = Vec::new();
        for pin in &step.pins {
            let right = self.read(&step.measure, *pin, reads, dice);
            let slip = slips.contains(counted);
            *counted += 1;
            shown.push((*pin, if slip { wrong(right) } else { right }));
        }
        shown
    }

    fn ended(&self, trace: &Trace) -> Ended {
        let belief = trace.belief(&self.harness);
        let wrong = belief
            .pins
            .iter()
            .filter(|pin| pin.known() != self.truth.get(&pin.pin).copied());
        Ended {
            rounds: u32::try_from(super::rounds::rounds_taken(trace).len()).unwrap_or(u32::MAX),
            measurements: trace.taken.len(),
            wrong: wrong.map(|pin| pin.pin).collect(),
        }
    }
}

/// A reading that is not the right one.
const fn wrong(right: Shown) -> Shown {
    match right {
        Shown::There => Shown::NotThere,
        Shown::NotThere => Shown::There,
        Shown::Ohms(OhmReading::Overload) => Shown::Ohms(OhmReading::Ohms(Ohms::lit(0.1))),
        Shown::Ohms(OhmReading::Ohms(_)) => Shown::Ohms(OhmReading::Overload),
    }
}

/// A reading that is this outcome.
fn shown(measure: &Measure, outcome: usize) -> Shown {
    /// One reading in each band.
    const INSIDE: [f64; 9] = [0.1, 0.35, 0.7, 3.5, 14.0, 30.0, 85.0, 300.0, 2_000.0];
    match measure {
        Measure::Volts | Measure::Unplug(_) | Measure::Continuity(_) if outcome == 0 => {
            Shown::There
        }
        Measure::Volts | Measure::Unplug(_) | Measure::Continuity(_) => Shown::NotThere,
        Measure::FromFeed | Measure::ToGround => Shown::Ohms(
            INSIDE
                .get(outcome)
                .and_then(|ohms| Ohms::new(*ohms).ok())
                .map_or(OhmReading::Overload, OhmReading::Ohms),
        ),
    }
}
