//! Which cylinders can share a double-ended coil: those whose pistons are at the top together.

use super::{CylinderId, Engine, SAME_ANGLE, Strokes};

/// What the second plug does when two cylinders share one double-ended coil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SharedSpark {
    /// It sparks at the end of the exhaust stroke: a waste spark.
    Waste,
    /// Both cylinders are on compression: both sparks do work.
    Together,
}

/// The companions of an engine.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Companions {
    /// Pairs whose tops coincide modulo 360°, the smaller number first, in rising order.
    pub pairs: Vec<(CylinderId, CylinderId, SharedSpark)>,
    /// Cylinders that have no companion.
    pub alone: Vec<CylinderId>,
}

impl Companions {
    /// All companions of `cylinder`.
    pub fn of(&self, cylinder: CylinderId) -> impl Iterator<Item = CylinderId> + '_ {
        self.pairs
            .iter()
            .filter_map(move |(a, b, _)| match cylinder {
                c if c == *a => Some(*b),
                c if c == *b => Some(*a),
                _ => None,
            })
    }
}

impl Engine {
    /// How `a` and `b` could share a double-ended coil, or `None` when their pistons are not at the top together.
    ///
    /// # Source
    /// Crank geometry: one coil fires both plugs at one crank angle, so both tops must coincide modulo 360°.
    #[must_use]
    pub fn shared_spark(&self, a: CylinderId, b: CylinderId) -> Option<SharedSpark> {
        if a == b {
            return None;
        }
        let (first, second) = (self.compression_top(a)?, self.compression_top(b)?);
        let apart = |modulus: f64| {
            let turn = (first - second).get().rem_euclid(modulus);
            turn.min(modulus - turn)
        };
        if apart(360.0) > SAME_ANGLE.get() {
            None
        } else if self.strokes == Strokes::Two || apart(720.0) <= SAME_ANGLE.get() {
            Some(SharedSpark::Together)
        } else {
            Some(SharedSpark::Waste)
        }
    }

    /// Every pair that could share a double-ended coil, and the cylinders that could not.
    #[must_use]
    pub fn companions(&self) -> Companions {
        let all = self.cylinders();
        let mut found = Companions::default();
        for (i, a) in all.iter().enumerate() {
            for b in all.iter().skip(i + 1) {
                if let Some(shared) = self.shared_spark(*a, *b) {
                    found.pairs.push((*a, *b, shared));
                }
            }
        }
        found.alone = all
            .into_iter()
            .filter(|c| !found.pairs.iter().any(|(a, b, _)| a == c || b == c))
            .collect();
        found
    }
}
