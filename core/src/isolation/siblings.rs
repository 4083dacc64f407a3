//! Voltages compared with those of siblings: what was read at like terminals in the same setup.

use super::question::{Answer, Probes, Question};
use crate::model::{Harness, PinRole, Port, Terminal};

/// What is known of the car's own level: how far it stands from the model's, and how unsure that is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shift {
    /// To be added to a reading, V.
    pub(super) volts: f64,
    /// What is left unsure of a reading of the full battery voltage, V.
    pub(super) unsure: f64,
}

impl Shift {
    /// Nothing to compare with: the battery may stand anywhere within this.
    pub(super) const ALONE: Self = Self {
        volts: 0.0,
        unsure: 0.45,
    };
    /// As a planner may expect: siblings will be read as well.
    pub(super) const COMPARED: Self = Self {
        volts: 0.0,
        unsure: 0.1,
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

/// Siblings' readings among all voltage findings: those of like terminals, in the same setup, the
/// terminal itself left out. Each with the probes that took it.
pub(super) fn readings<'a>(
    harness: &Harness,
    all: &'a [(Question, Answer)],
    of: &Probes,
) -> Vec<(&'a Probes, f64)> {
    let Some(like) = likeness(harness, of.red) else {
        return Vec::new();
    };
    all.iter()
        .filter_map(|(question, answer)| match (question, answer) {
            (Question::Volts(p), Answer::Volts(reading, _))
                if p.red != of.red
                    && p.black == of.black
                    && p.setup == of.setup
                    && likeness(harness, p.red) == Some(like) =>
            {
                Some((p, *reading))
            }
            _ => None,
        })
        .collect()
}

/// The shift that brings the siblings' readings to what one cause predicts for them.
///
/// `apart`: for each sibling, prediction less reading, V. One sibling alone may be the bad one: it
/// narrows the doubt less than two or more. A median far from any battery is a fault of its own, not
/// a level.
pub(super) fn shift(mut apart: Vec<f64>) -> Shift {
    apart.retain(|r| r.is_finite());
    apart.sort_by(f64::total_cmp);
    let n = apart.len();
    let Some(middle) = apart.get(n / 2).copied() else {
        return Shift::ALONE;
    };
    let median = if n.is_multiple_of(2) {
        0.5 * (middle + apart[n / 2 - 1])
    } else {
        middle
    };
    if median.abs() > 1.5 {
        return Shift::ALONE;
    }
    Shift {
        volts: median,
        unsure: if n == 1 { 0.2 } else { 0.05 },
    }
}
