//! What each pin may be, given the readings, and which readings cannot all be right.

use crate::gather::Arrange;
use crate::model::{Harness, PartId, PinId, PinRole};
use crate::provenance::Provenance;
use crate::units::Probability;

use super::exact::shares;
use super::usage::{Outcome, outcome, outcomes, spread};
use super::{Coverage, Measure, Shown, Terminal1, Trace, Use, terminal_1};

/// Chance that one reading is wrong: a slip of the probe, the wrong cavity. Judgement.
const SLIP: f64 = 0.01;
/// What is left of that chance each time the same reading comes out again. Judgement: whoever takes a cavity for
/// its neighbour may do so twice.
const SLIP_AGAIN: f64 = 0.1;
/// How much the map's own word on a pin counts where it was not measured. Judgement.
const DIAGRAM_SAYS: f64 = 8.0;
const ASSUMED_SAYS: f64 = 2.0;
/// A use this likely is taken as known, if it fits every reading.
pub(super) const SURE: f64 = 0.95;

/// What is believed of all pins.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// Each pin, in the order of the trace.
    pub pins: Vec<PinBelief>,
    /// Readings that may be wrong, the most doubtful first; empty while all of them can be right together.
    pub doubted: Vec<Doubted>,
    /// Whether it can be that each coil has its pin among these.
    pub coverage: Premise,
}

/// Whether something that was said at the start can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Premise {
    /// It can.
    Holds,
    /// The readings speak against it.
    Doubted,
}

/// What one pin may be.
#[derive(Debug, Clone, PartialEq)]
pub struct PinBelief {
    /// The pin.
    pub pin: PinId,
    /// What it may be, the likeliest first, with its share of all assignments; the shares sum to 1. Each reading
    /// is taken as right but for a small chance of a slip, so nothing is ever quite excluded.
    pub uses: Vec<(Use, Probability)>,
    /// What it can be if every reading is right; empty where they cannot all be.
    pub fits: Vec<Use>,
}

impl PinBelief {
    /// What the pin is, once nothing else fits or hardly anything else is likely.
    #[must_use]
    pub fn known(&self) -> Option<Use> {
        if let [only] = self.fits.as_slice() {
            return Some(*only);
        }
        let (first, share) = self.uses.first()?;
        (share.get() >= SURE && self.fits.contains(first)).then_some(*first)
    }

    /// How likely it is for a use: a share from 0 to 1.
    #[must_use]
    pub fn share(&self, of: Use) -> f64 {
        let found = self.uses.iter().find(|(other, _)| *other == of);
        found.map_or(0.0, |(_, share)| share.get())
    }
}

/// A reading that may be wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubted {
    /// How it was taken.
    pub measure: Measure,
    /// On which pin.
    pub pin: PinId,
    /// What it showed.
    pub shown: Shown,
    /// How often in a row it came out so.
    pub agreed: u32,
    /// How likely it is wrong.
    pub wrong: Probability,
}

/// One reading that counts: the latest of its measurement on its pin.
#[derive(Debug, Clone)]
pub(super) struct Reading<'t> {
    pub(super) measure: &'t Measure,
    pub(super) pin: PinId,
    pub(super) shown: Shown,
    outcome: Outcome,
    agreed: u32,
}

/// The rows of a trace: what each pin can be, and with what weight.
pub(super) struct Rows {
    /// The options of every row, the coils first.
    pub(super) options: Vec<Use>,
    /// How each coil is brought out, in the order of the options; `BroughtOut` for what is no coil.
    brought: Vec<Terminal1>,
    /// The weights, a row a pin.
    weights: Vec<Vec<f64>>,
    coils: usize,
}

impl Trace {
    /// The readings that count.
    pub(super) fn readings(&self) -> Vec<Reading<'_>> {
        let mut found: Vec<Reading<'_>> = Vec::new();
        for taken in &self.taken {
            for (pin, shown) in &taken.shown {
                let Some(outcome) = outcome(&taken.measure, *shown) else {
                    continue;
                };
                let mut new = Reading {
                    measure: &taken.measure,
                    pin: *pin,
                    shown: *shown,
                    outcome,
                    agreed: 1,
                };
                let earlier = found
                    .iter_mut()
                    .find(|r| r.pin == new.pin && r.measure == new.measure);
                if let Some(earlier) = earlier {
                    if earlier.outcome == outcome {
                        new.agreed += earlier.agreed;
                    }
                    *earlier = new;
                } else {
                    found.push(new);
                }
            }
        }
        found
    }

    /// The exact belief, given all that was measured.
    #[must_use]
    pub fn belief(&self, harness: &Harness) -> Belief {
        let readings = self.readings();
        let prior = Rows::of(self, harness);
        let (hard, coverage) = prior.certain(&readings, self);
        let weighed = prior.weighed(&readings, self);
        let share = |coverage| shares(&weighed, prior.coils, coverage);
        let soft = share(self.coverage).or_else(|| share(Coverage::Some));
        let pins = self.pins.iter().enumerate().map(|(row, &pin)| {
            let at = |shares: &Option<Vec<Vec<f64>>>| {
                let row = shares.as_ref().and_then(|rows| rows.get(row));
                row.cloned().unwrap_or_default()
            };
            prior.told(pin, &at(&soft), &at(&hard))
        });
        let pins: Vec<PinBelief> = pins.collect();
        let doubted = if hard.is_some() {
            Vec::new()
        } else {
            prior.doubted(&readings, &pins)
        };
        Belief {
            pins,
            doubted,
            coverage,
        }
    }
}

impl Rows {
    pub(super) fn of(trace: &Trace, harness: &Harness) -> Self {
        let coils = trace.coils.iter().map(|coil| Use::Coil(*coil));
        let options: Vec<Use> = coils.chain(Use::BESIDE).collect();
        let brought = options.iter().map(|option| {
            if let Use::Coil(coil) = option {
                terminal_1(harness, *coil)
            } else {
                Terminal1::BroughtOut
            }
        });
        let brought: Vec<Terminal1> = brought.collect();
        let pins = trace.pins.iter();
        let weights: Vec<Vec<f64>> = pins
            .map(|pin| {
                let said = harness
                    .pin(trace.unit, *pin)
                    .and_then(|pin| pin.role)
                    .map(|role| (role.value, role.how));
                let each = options.iter().zip(&brought);
                each.map(|(option, brought)| {
                    let many = if matches!(option, Use::Coil(_)) {
                        trace.coils.len()
                    } else {
                        1
                    };
                    let share = option.prior() / f64::from(u32::try_from(many).unwrap_or(u32::MAX));
                    share * said.map_or(1.0, |said| counts(*option, *brought, said))
                })
                .collect()
            })
            .collect();
        Self {
            weights,
            options,
            brought,
            coils: trace.coils.len(),
        }
    }

    /// The shares of all assignments that fit every reading.
    fn certain(&self, readings: &[Reading<'_>], trace: &Trace) -> (Option<Vec<Vec<f64>>>, Premise) {
        let rows = self.with(readings, trace, |p, _, _| p);
        let found = shares(&rows, self.coils, trace.coverage);
        let otherwise = || shares(&rows, self.coils, Coverage::Some);
        let coverage = if found.is_none() && otherwise().is_some() {
            Premise::Doubted
        } else {
            Premise::Holds
        };
        (found, coverage)
    }

    /// The weights with each reading taken as right but for a slip.
    fn weighed(&self, readings: &[Reading<'_>], trace: &Trace) -> Vec<Vec<f64>> {
        self.with(readings, trace, |p, ways, agreed| {
            let again = i32::try_from(agreed - 1).unwrap_or(i32::MAX);
            let slip = SLIP * SLIP_AGAIN.powi(again);
            p * (1.0 - slip) + slip / ways
        })
    }

    fn with(
        &self,
        readings: &[Reading<'_>],
        trace: &Trace,
        chance: impl Fn(f64, f64, u32) -> f64,
    ) -> Vec<Vec<f64>> {
        let mut rows = self.weights.clone();
        for reading in readings {
            let Some(row) = trace.pins.iter().position(|pin| *pin == reading.pin) else {
                continue;
            };
            let ways = u32::try_from(outcomes(reading.measure)).unwrap_or(u32::MAX);
            for (option, weight) in rows[row].iter_mut().enumerate() {
                let p = self.chance(reading.measure, option, reading.outcome);
                *weight *= chance(p, f64::from(ways), reading.agreed);
            }
        }
        rows
    }

    /// How likely an outcome is where a pin is what an option says, read without error.
    pub(super) fn chance(&self, measure: &Measure, option: usize, outcome: Outcome) -> f64 {
        let spread = spread(measure, self.options[option], self.brought[option]);
        spread.get(outcome.0).copied().unwrap_or(0.0)
    }

    /// Belief about one pin as told to others.
    fn told(&self, pin: PinId, soft: &[f64], hard: &[f64]) -> PinBelief {
        let mut uses: Vec<(Use, Probability)> = self
            .options
            .iter()
            .zip(soft)
            .filter_map(|(option, share)| Some((*option, Probability::new(*share).ok()?)))
            .filter(|(_, share)| share.get() > 0.0)
            .collect();
        uses.arrange_by(|a, b| b.1.get().total_cmp(&a.1.get()));
        let fits = self.options.iter().zip(hard);
        PinBelief {
            pin,
            uses,
            fits: fits.filter(|(_, s)| **s > 0.0).map(|(o, _)| *o).collect(),
        }
    }

    /// Each reading with the chance that it is wrong, the most doubtful first.
    fn doubted(&self, readings: &[Reading<'_>], pins: &[PinBelief]) -> Vec<Doubted> {
        let mut found: Vec<Doubted> = readings
            .iter()
            .filter_map(|reading| {
                let belief = pins.iter().find(|belief| belief.pin == reading.pin)?;
                let wrong = self.options.iter().enumerate().filter(|(option, _)| {
                    self.chance(reading.measure, *option, reading.outcome) <= 0.0
                });
                let wrong: f64 = wrong.map(|(_, option)| belief.share(*option)).sum();
                Some(Doubted {
                    measure: reading.measure.clone(),
                    pin: reading.pin,
                    shown: reading.shown,
                    agreed: reading.agreed,
                    wrong: Probability::new(wrong.min(1.0)).ok()?,
                })
            })
            .collect();
        found.arrange_by(|a, b| b.wrong.get().total_cmp(&a.wrong.get()));
        let worth_telling = found.iter().filter(|d| d.wrong.get() > SLIP).count();
        found.truncate(worth_telling.max(1));
        found
    }
}

/// How much the map's own word on a pin's role counts for a use.
fn counts(option: Use, brought: Terminal1, (role, how): (PinRole, Provenance)) -> f64 {
    let says = match role {
        PinRole::DriveIn | PinRole::Other => Use::Signal.role(brought) == option.role(brought),
        PinRole::CoilSwitch
        | PinRole::DriveOut
        | PinRole::Supply
        | PinRole::Ground
        | PinRole::InjectorSwitch
        | PinRole::RelaySwitch
        | PinRole::SensorIn => option.role(brought) == role,
    };
    match (says, how) {
        (true, Provenance::Diagram) => DIAGRAM_SAYS,
        (true, Provenance::Assumed) => ASSUMED_SAYS,
        (false, Provenance::Measured) => 0.0,
        (true, Provenance::Measured) | (false, Provenance::Diagram | Provenance::Assumed) => 1.0,
    }
}

/// The coils of a trace whose pin is not known for sure, given what each pin can be.
pub(super) fn open_coils(trace: &Trace, belief: &Belief) -> Vec<PartId> {
    let coils = trace.coils.iter().copied();
    let open = |coil: &PartId| {
        let wanted = Use::Coil(*coil);
        let mut may = belief.pins.iter().filter(|pin| pin.fits.contains(&wanted));
        match (may.next(), may.next()) {
            (None, _) => false,
            (Some(only), None) => only.known() != Some(wanted),
            (Some(_), Some(_)) => true,
        }
    };
    coils.filter(open).collect()
}
