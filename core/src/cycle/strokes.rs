//! What each cylinder does along the crank angle.

use crate::engine::{CylinderId, Engine, Stroke, Strokes};
use crate::units::Degrees;

/// One cylinder through the cycle.
#[derive(Debug, Clone, PartialEq)]
pub struct CylinderRow {
    /// The cylinder.
    pub cylinder: CylinderId,
    /// The top of its compression stroke, 0° up to the cycle.
    pub top: Degrees,
    /// Its strokes from 0° to the end of the cycle, without a gap. A stroke that runs over the end stands
    /// there twice, once at each end.
    pub strokes: Vec<Span>,
}

/// A stretch of crank angle in which a cylinder does one thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Where it begins.
    pub from: Degrees,
    /// Where it ends.
    pub to: Degrees,
    /// What the cylinder does.
    pub stroke: Stroke,
}

/// Degrees of the crank in a stroke: half a turn takes a piston from one end to the other.
const STROKE: f64 = 180.0;

/// Every cylinder of the firing order, in that order.
pub(super) fn rows(engine: &Engine) -> Vec<CylinderRow> {
    let events = engine.firing_events();
    events
        .into_iter()
        .map(|event| CylinderRow {
            cylinder: event.cylinder,
            top: event.at,
            strokes: spans(engine.strokes, event.at.get(), engine.cycle().get()),
        })
        .collect()
}

fn spans(strokes: Strokes, top: f64, cycle: f64) -> Vec<Span> {
    let after: &[Stroke] = match strokes {
        Strokes::Four => &[
            Stroke::Power,
            Stroke::Exhaust,
            Stroke::Intake,
            Stroke::Compression,
        ],
        Strokes::Two => &[Stroke::Power, Stroke::Compression],
    };
    let mut found = Vec::new();
    let mut from = top;
    for &stroke in after {
        let start = from.rem_euclid(cycle);
        let end = start + STROKE;
        let mut add = |from: f64, to: f64| {
            if to - from > 1e-9 {
                found.push(Span {
                    from: Degrees::lit(from),
                    to: Degrees::lit(to),
                    stroke,
                });
            }
        };
        add(start, end.min(cycle));
        add(0.0, end - cycle);
        from = end;
    }
    found.sort_by(|a, b| a.from.get().total_cmp(&b.from.get()));
    found
}
