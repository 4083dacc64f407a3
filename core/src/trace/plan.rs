//! The cheapest next measurement.

use std::collections::BTreeSet;

use crate::gather::Arrange;
use crate::isolation::entropy;
use crate::model::{Harness, PartId, PinId};
use crate::units::Minutes;

use super::belief::{Belief, Doubted, PinBelief, Premise, Reading, Rows, open_coils};
use super::cost::{Stands, plug_of};
use super::rounds::{Nothing, none_possible, schedule};
use super::usage::{Outcome, outcomes};
use super::{Measure, Trace, Use, Way};

/// Less than this is not worth a measurement, bit.
const TELLS_NOTHING: f64 = 1e-6;

/// What to do now.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// One of these measurements, the best first.
    Measure(Vec<Step>),
    /// The readings cannot all be right: take the first of these again.
    Again(Vec<Doubted>),
    /// The readings can be right, but then some coil has its pin elsewhere.
    NotAll,
    /// Nothing more can be learned: every pin is known, or no measurement tells more.
    Done,
}

/// A measurement to take.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// How.
    pub measure: Measure,
    /// On which pins.
    pub pins: Vec<PinId>,
    /// What it takes, with what has to be reached for it first.
    pub minutes: Minutes,
    /// What it tells, bit.
    pub tells: f64,
}

impl Trace {
    /// The cheapest next measurement, with what else could be done.
    ///
    /// First what a pin is for is found by the measurement that tells most for its minutes; then which coil each
    /// serves, by rounds of unplugging or by continuity, whichever takes less to the end from here.
    #[must_use]
    pub fn next(&self, harness: &Harness) -> Next {
        let belief = self.belief(harness);
        if belief.coverage == Premise::Doubted {
            return if belief.doubted.is_empty() {
                Next::NotAll
            } else {
                Next::Again(belief.doubted)
            };
        }
        if !belief.doubted.is_empty() {
            return Next::Again(belief.doubted);
        }
        if belief.pins.iter().all(|pin| pin.known().is_some()) {
            return Next::Done;
        }
        let planner = Planner {
            trace: self,
            harness,
            rows: Rows::of(self, harness),
            readings: self.readings(),
            stands: Stands::after(self, harness),
            belief,
        };
        let steps = planner.steps();
        if steps.is_empty() {
            Next::Done
        } else {
            Next::Measure(steps)
        }
    }
}

struct Planner<'t> {
    trace: &'t Trace,
    harness: &'t Harness,
    rows: Rows,
    readings: Vec<Reading<'t>>,
    stands: Stands,
    belief: Belief,
}

impl Planner<'_> {
    fn steps(&self) -> Vec<Step> {
        let mut kinds: Vec<Step> = [Measure::Volts, Measure::FromFeed, Measure::ToGround]
            .into_iter()
            .filter_map(|measure| self.by_pins(measure))
            .collect();
        let feed_or_volts = |step: &Step| step.measure != Measure::ToGround;
        let rounds = if kinds.iter().any(feed_or_volts) {
            // What is no coil's pin is not worth a round: that is found out first.
            Vec::new()
        } else {
            self.rounds()
        };
        let sweeps = self.sweeps();
        let (rounds_take, sweeps_take) = (self.total(&rounds), self.total(&sweeps));
        let first_round = rounds.into_iter().next();
        let first_sweep = sweeps.into_iter().next();
        let in_order = match (rounds_take, sweeps_take) {
            (Some(rounds), Some(sweeps)) if sweeps < rounds => [first_sweep, first_round],
            (Some(_) | None, Some(_) | None) => [first_round, first_sweep],
        };
        let mut coils = in_order.into_iter().flatten();
        // Of rounds and sweeps only the better one is weighed against the rest.
        kinds.extend(coils.next());
        kinds.arrange_by(|a, b| worth(b).total_cmp(&worth(a)));
        kinds.extend(coils);
        kinds
    }

    /// A measurement of what pins are for, on those of which it tells anything.
    fn by_pins(&self, measure: Measure) -> Option<Step> {
        if self.trace.aside.contains(&measure.way()) {
            return None;
        }
        let told: Vec<(PinId, f64)> = self
            .belief
            .pins
            .iter()
            .filter(|pin| pin.known().is_none() && !self.was_read(&measure, pin.pin))
            .filter(|pin| measure != Measure::FromFeed || self.may_be_fed(pin))
            .map(|pin| (pin.pin, self.tells(&measure, pin)))
            .filter(|(_, bits)| *bits > TELLS_NOTHING)
            .collect();
        let pins: Vec<PinId> = told.iter().map(|(pin, _)| *pin).collect();
        (!pins.is_empty()).then(|| self.step(measure, pins, told.iter().map(|(_, b)| b).sum()))
    }

    /// Whether the resistance from the feed says more of a pin than what else hangs on the ground.
    fn may_be_fed(&self, pin: &PinBelief) -> bool {
        pin.fits
            .iter()
            .any(|option| !matches!(option, Use::Ground | Use::Signal))
            || self.trace.aside.contains(&Way::ToGround)
    }

    fn was_read(&self, measure: &Measure, pin: PinId) -> bool {
        let mut readings = self.readings.iter();
        readings.any(|reading| reading.pin == pin && reading.measure == measure)
    }

    /// What a measurement tells of a pin, bit: the uncertainty that it takes away on average.
    fn tells(&self, measure: &Measure, pin: &PinBelief) -> f64 {
        let shares: Vec<(usize, f64)> = self
            .rows
            .options
            .iter()
            .enumerate()
            .filter(|(_, option)| pin.fits.contains(option))
            .map(|(place, option)| (place, pin.share(*option)))
            .collect();
        let parts: Vec<f64> = shares.iter().map(|(_, share)| *share).collect();
        let before = entropy(&parts);
        let after: f64 = (0..outcomes(measure))
            .map(|outcome| {
                let joint = shares
                    .iter()
                    .map(|(place, s)| s * self.rows.chance(measure, *place, Outcome(outcome)));
                let joint: Vec<f64> = joint.collect();
                joint.iter().sum::<f64>() * entropy(&joint)
            })
            .sum();
        let total: f64 = parts.iter().sum();
        if total > 0.0 {
            before - after / total
        } else {
            0.0
        }
    }

    /// The rounds of unplugging that are left, in order.
    fn rounds(&self) -> Vec<Step> {
        if self.trace.aside.contains(&Way::Unplug) {
            return Vec::new();
        }
        let pins = self.undecided();
        let rounds = schedule(self.trace, self.harness, &self.belief).into_iter();
        rounds
            .map(|plugs| {
                let coils: BTreeSet<PartId> =
                    plugs.into_iter().flat_map(|plug| plug.coils).collect();
                let measure = Measure::Unplug(coils);
                let bits = self.tell_of(&measure, &pins);
                self.step(measure, pins.clone(), bits)
            })
            .collect()
    }

    /// The pins that may be a coil's and are not known.
    fn undecided(&self) -> Vec<PinId> {
        let open = |pin: &&PinBelief| {
            pin.known().is_none() && pin.fits.iter().any(|o| matches!(o, Use::Coil(_)))
        };
        self.belief
            .pins
            .iter()
            .filter(open)
            .map(|pin| pin.pin)
            .collect()
    }

    fn tell_of(&self, measure: &Measure, pins: &[PinId]) -> f64 {
        let asked = self
            .belief
            .pins
            .iter()
            .filter(|pin| pins.contains(&pin.pin));
        asked.map(|pin| self.tells(measure, pin)).sum()
    }

    /// Continuity from coil after coil that is left, the easiest to reach first.
    fn sweeps(&self) -> Vec<Step> {
        if self.trace.aside.contains(&Way::Continuity) {
            return Vec::new();
        }
        let mut coils = open_coils(self.trace, &self.belief);
        let reach = |coil: &PartId| plug_of(self.trace, self.harness, *coil).reach;
        coils.arrange_by(|a, b| reach(a).total_cmp(&reach(b)));
        // The last one is known when all others are, unless it may have none of the pins.
        if none_possible(&self.belief) == Nothing::Excluded && coils.len() > 1 {
            coils.pop();
        }
        coils
            .into_iter()
            .filter_map(|coil| {
                let measure = Measure::Continuity(coil);
                let held: Vec<(PinId, f64)> = self
                    .belief
                    .pins
                    .iter()
                    .filter(|pin| pin.fits.contains(&Use::Coil(coil)))
                    .filter(|pin| !self.was_read(&measure, pin.pin))
                    .map(|pin| (pin.pin, pin.share(Use::Coil(coil))))
                    .collect();
                let pins: Vec<PinId> = held.iter().map(|(pin, _)| *pin).collect();
                let mut shares: Vec<f64> = held.iter().map(|(_, share)| *share).collect();
                shares.push((1.0 - shares.iter().sum::<f64>()).max(0.0));
                let bits = entropy(&shares);
                (!pins.is_empty()).then(|| self.step(measure, pins, bits))
            })
            .collect()
    }

    fn step(&self, measure: Measure, pins: Vec<PinId>, tells: f64) -> Step {
        let many = pins.len();
        let took = self
            .stands
            .clone()
            .minutes(self.trace, self.harness, &measure, many);
        Step {
            minutes: Minutes::new(took).unwrap_or_default(),
            measure,
            pins,
            tells,
        }
    }

    /// Minutes of these steps one after the other, and of the sweeps that are left where coils share a plug;
    /// `None` where there are none.
    fn total(&self, steps: &[Step]) -> Option<f64> {
        let mut stands = self.stands.clone();
        let mut sum = 0.0;
        for step in steps {
            sum += stands.minutes(self.trace, self.harness, &step.measure, step.pins.len());
        }
        let by_rounds = steps.first()?.measure.way() == Way::Unplug;
        if by_rounds {
            for coil in self.sharing_a_plug() {
                let measure = Measure::Continuity(coil);
                sum += stands.minutes(self.trace, self.harness, &measure, steps[0].pins.len());
            }
        }
        Some(sum)
    }

    /// The coils that rounds leave to continuity: of each shared plug all but one.
    fn sharing_a_plug(&self) -> Vec<PartId> {
        let mut seen = BTreeSet::new();
        let mut coils = open_coils(self.trace, &self.belief);
        coils.retain(|coil| !seen.insert(plug_of(self.trace, self.harness, *coil).access));
        coils
    }
}

fn worth(step: &Step) -> f64 {
    step.tells / step.minutes.get().max(0.1)
}
