//! Where an angle, a time or an amount stands on the drawings of the cycle, in the drawing's own units.

use std::fmt::Write;

/// Width of every drawing.
pub(super) const WIDTH: f64 = 360.0;
/// Left of the first degree.
pub(super) const GUTTER: f64 = 30.0;
/// Right of the last degree.
const MARGIN: f64 = 8.0;

/// From an angle to the right.
#[derive(Debug, Clone, Copy)]
pub(super) struct Along {
    length: f64,
}

impl Along {
    /// `length`: of the cycle, degrees.
    pub(super) const fn new(length: f64) -> Self {
        Self { length }
    }

    /// Where an angle stands.
    pub(super) fn at(self, angle: f64) -> f64 {
        GUTTER + (WIDTH - GUTTER - MARGIN) * angle / self.length
    }

    /// The angle at a share of the drawing's width, held within the cycle.
    pub(super) fn angle(self, share: f64) -> f64 {
        let inside = (share * WIDTH - GUTTER) / (WIDTH - GUTTER - MARGIN);
        (inside * self.length).clamp(0.0, self.length)
    }
}

/// From two amounts to a place on a plot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plane {
    /// Highest amount to the right, and upward.
    pub(super) most: (f64, f64),
    /// Height of the plot.
    pub(super) height: f64,
}

/// Above the plot, and below it for the numbers.
pub(super) const ABOVE: f64 = 8.0;
pub(super) const BELOW: f64 = 22.0;

impl Plane {
    pub(super) fn x(self, x: f64) -> f64 {
        GUTTER + (WIDTH - GUTTER - MARGIN) * (x / self.most.0).clamp(0.0, 1.0)
    }

    pub(super) fn y(self, y: f64) -> f64 {
        let high = self.height - ABOVE - BELOW;
        ABOVE + high * (1.0 - (y / self.most.1).clamp(0.0, 1.0))
    }

    /// A line through these points.
    pub(super) fn line(self, points: impl IntoIterator<Item = (f64, f64)>) -> String {
        path(points.into_iter().map(|(x, y)| (self.x(x), self.y(y))))
    }
}

/// A path through points of the drawing.
pub(super) fn path(points: impl IntoIterator<Item = (f64, f64)>) -> String {
    let mut text = String::new();
    for (place, (x, y)) in points.into_iter().enumerate() {
        // Writing to a string cannot fail.
        let _ = write!(text, "{}{x:.1} {y:.1}", if place == 0 { 'M' } else { 'L' });
    }
    text
}

/// A round number of steps up to `most`: 1, 2 or 5 times a power of ten each.
pub(super) fn ticks(most: f64, about: f64) -> Vec<f64> {
    let raw = (most / about).max(1e-6);
    let power = 10.0_f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * power)
        .find(|step| *step >= raw)
        .unwrap_or(raw);
    let mut found = Vec::new();
    let mut at = 0.0;
    while at <= most * 1.0001 {
        found.push(at);
        at += step;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        let along = Along::new(720.0);
        for angle in [0.0, 1.0, 359.5, 720.0] {
            assert!((along.angle(along.at(angle) / WIDTH) - angle).abs() < 1e-9);
        }
        assert!(along.angle(0.0).abs() < 1e-9 && (along.angle(1.0) - 720.0).abs() < 1e-9);
    }

    #[test]
    fn round_ticks() {
        assert_eq!(ticks(9.0, 5.0), [0.0, 2.0, 4.0, 6.0, 8.0]);
        assert_eq!(ticks(0.5, 5.0).len(), 6);
    }
}
