//! Voltages compared with those of siblings: what was read at like terminals in the same setup.

use super::defaults;
use super::question::{Answer, Probes, Question};
use crate::gather::Arrange;
use crate::model::{EngineState, Harness, PinRole, Port, Terminal};

/// What is known of the car's own level: how far it stands from the model's, and how unsure that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shift {
    /// To be added to a reading, V.
    pub(super) volts: f64,
    /// What is left unsure of a reading of the full battery voltage, V.
    pub(super) unsure: f64,
    /// Chance that the reading is grossly wrong. Siblings that read as they should vouch for meter,
    /// range and way of probing.
    pub(super) gross: f64,
}

impl Shift {
    /// Nothing to compare with: the battery may stand anywhere within this.
    pub(super) const ALONE: Self = Self {
        volts: 0.0,
        unsure: 0.45,
        gross: defaults::GROSS,
    };
    /// As a planner may expect: siblings will be read as well.
    pub(super) const COMPARED: Self = Self {
        volts: 0.0,
        unsure: 0.1,
        gross: defaults::GROSS,
    };
}

/// Which terminals are like each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Likeness {
    Port(Port),
    Pin(PinRole),
}

fn likeness(harness: &Harness, terminal: Terminal) -> Option<Likeness> {
    match terminal.port {
        Port::Feed
        | Port::Switched
        | Port::DriveIn
        | Port::InjectorFeed
        | Port::InjectorControl => Some(Likeness::Port(terminal.port)),
        Port::Pin(pin) => harness
            .pin(terminal.part, pin)?
            .role
            .map(|role| Likeness::Pin(role.value)),
        Port::Plus
        | Port::Minus
        | Port::In
        | Port::Out
        | Port::WindingEnd
        | Port::WindingStart
        | Port::ContactIn
        | Port::ContactOut
        | Port::Joint
        | Port::Cavity(..)
        | Port::TowerA
        | Port::TowerB
        | Port::CoilGround
        | Port::Centre
        | Port::Tower(_)
        | Port::LeadFrom
        | Port::LeadTo
        | Port::PlugTop
        | Port::Shell => None,
    }
}

/// Readings of like terminals among all voltage findings, in the same setup; the terminal itself first.
pub(super) fn readings(
    harness: &Harness,
    all: &[(Question, Answer)],
    of: &Probes,
) -> Vec<(Probes, f64)> {
    let like = likeness(harness, of.red);
    let mut found: Vec<(Probes, f64)> = all
        .iter()
        .filter_map(|(question, answer)| match (question, answer) {
            (Question::Volts(p), Answer::Volts(reading, _))
                if p.black == of.black
                    && p.setup == of.setup
                    && (p.red == of.red
                        || (like.is_some() && likeness(harness, p.red) == like)) =>
            {
                Some((p.clone(), *reading))
            }
            _ => None,
        })
        .collect();
    found.arrange_by_key(|(p, _)| p.red != of.red);
    found
}

/// One reading beside what a cause predicts for it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside {
    /// Prediction less reading, V.
    pub(super) apart: f64,
    /// How wide the prediction is, V.
    pub(super) width: f64,
    /// Whether it was taken at the terminal that the shift is for.
    pub(super) own: bool,
}

/// How much more a car reads whose alternator charges than the model, which has none, V; and what that
/// counts beside a car that reads as the model does.
///
/// # Source
/// Common practice, no source: 13.5 to 14.8 V, where a battery at rest has 12.8 V.
const CHARGING: (f64, f64) = (1.4, 0.5);
/// No car's level is farther than this from one of those two, V. Judgement.
const FARTHEST: f64 = 1.5;

/// The level of the car under one cause: the shift, common to all readings of siblings, that makes
/// them likeliest together. Any one of them may be grossly wrong; the level itself may lie within
/// [`Shift::ALONE`] of the model's, or, where the engine runs, of a car that charges.
///
/// One reading alone has no level to be compared with.
pub(super) fn shift(readings: &[Beside], engine: EngineState) -> Shift {
    if readings.iter().all(|r| r.own) {
        return Shift::ALONE;
    }
    // How far a level is from the nearest that a car may have, V, and what that one counts.
    let from_usual = |level: f64| match engine {
        EngineState::Running(_) if level < -0.5 * CHARGING.0 => {
            ((level + CHARGING.0).abs(), CHARGING.1)
        }
        EngineState::Running(_) | EngineState::Stopped | EngineState::Cranking(_) => {
            (level.abs(), 1.0)
        }
    };
    let score = |level: f64| {
        let (apart, counts) = from_usual(level);
        let prior = apart / Shift::ALONE.unsure;
        readings
            .iter()
            .map(|r| {
                let z = (r.apart - level) / r.width;
                ((-0.5 * z * z).exp() / r.width + 0.01).ln()
            })
            .sum::<f64>()
            - 0.5 * prior * prior
            + counts.ln()
    };
    let mut best = (score(0.0), 0.0_f64);
    for reading in readings {
        let level = reading.apart;
        if level.is_finite() && from_usual(level).0 <= FARTHEST {
            let found = score(level);
            if found > best.0 || (found >= best.0 && level < best.1) {
                best = (found, level);
            }
        }
    }
    let vouched = readings
        .iter()
        .any(|r| !r.own && (r.apart - best.1).abs() < 0.5);
    Shift {
        volts: best.1,
        unsure: 0.05,
        gross: if vouched {
            defaults::GROSS_VOUCHED
        } else {
            defaults::GROSS
        },
    }
}

/// The terminals that are like one, itself included, rising: pins of one use, coils' terminals of one
/// number. Only the terminal itself where nothing is like it.
#[must_use]
pub fn siblings(harness: &Harness, terminal: Terminal) -> Vec<Terminal> {
    let Some(like) = likeness(harness, terminal) else {
        return vec![terminal];
    };
    harness
        .parts
        .keys()
        .flat_map(|part| harness.terminals_of(*part))
        .filter(|other| likeness(harness, *other) == Some(like))
        .collect()
}
