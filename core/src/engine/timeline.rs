//! What each cylinder does at a crank angle, and the cylinders in the order of their sparks.

use super::{CylinderId, Engine, Strokes};
use crate::gather::Arrange;
use crate::units::Degrees;

/// What a piston is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stroke {
    /// Four-stroke, downward: drawing in.
    Intake,
    /// Upward, squeezing the charge.
    Compression,
    /// Downward, driven by the burning charge.
    Power,
    /// Four-stroke, upward: pushing out.
    Exhaust,
}

/// One cylinder reaching the top of its compression stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FiringEvent {
    /// Crank angle from the first cylinder of the order.
    pub at: Degrees,
    /// The cylinder.
    pub cylinder: CylinderId,
}

impl Engine {
    /// The cylinders by the crank angle of their compression top, through one cycle.
    #[must_use]
    pub fn firing_events(&self) -> Vec<FiringEvent> {
        let mut events: Vec<FiringEvent> = self
            .cylinders()
            .into_iter()
            .filter_map(|cylinder| {
                self.compression_top(cylinder)
                    .map(|at| FiringEvent { at, cylinder })
            })
            .collect();
        events.arrange_by(|a, b| {
            a.at.get()
                .total_cmp(&b.at.get())
                .then(a.cylinder.cmp(&b.cylinder))
        });
        events
    }

    /// The stroke of `cylinder` when the crank stands at `crank`.
    /// A two-stroke cylinder is said to be on power for the half turn after its top, on compression before it.
    #[must_use]
    pub fn stroke_at(&self, cylinder: CylinderId, crank: Degrees) -> Option<Stroke> {
        let after = (crank - self.compression_top(cylinder)?)
            .get()
            .rem_euclid(self.cycle().get());
        Some(match self.strokes {
            Strokes::Two if after < 180.0 => Stroke::Power,
            Strokes::Two => Stroke::Compression,
            Strokes::Four if after < 180.0 => Stroke::Power,
            Strokes::Four if after < 360.0 => Stroke::Exhaust,
            Strokes::Four if after < 540.0 => Stroke::Intake,
            Strokes::Four => Stroke::Compression,
        })
    }
}
