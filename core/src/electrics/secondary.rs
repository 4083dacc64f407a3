//! How high a secondary can go when its primary's current is cut off.

use super::nominal;

/// A primary whose current is cut off, as its secondary sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct CutOffCoil {
    /// Inductance of the primary, H.
    pub(super) henries: f64,
    /// Secondary turns for each primary turn.
    pub(super) ratio: f64,
    /// Current that stops, A.
    pub(super) current: f64,
    /// How far (V) beyond the feed the driver lets the primary's low end rise.
    pub(super) clamp: f64,
    /// Resistance of the primary's whole loop while the driver is off, Ω.
    pub(super) load: f64,
}

/// Resistance (Ω) beside the secondary that eats so much that [`nominal::SECONDARY_YIELD`] is left
/// for the capacitance.
#[must_use]
pub(super) fn loss_ohms(henries: f64, ratio: f64) -> f64 {
    surge(henries, ratio) / (2.0 * LOSS_DAMPING)
}

/// Damping of an unloaded secondary: damping(x) = √yield, found once, checked by a test.
const LOSS_DAMPING: f64 = 0.149_938_76;

/// Surge impedance (Ω) of the secondary.
fn surge(henries: f64, ratio: f64) -> f64 {
    ratio * (henries / nominal::SECONDARY_CAPACITANCE.value).sqrt()
}

/// First peak of a parallel resonant circuit that starts with all energy in the coil, as a share of
/// the peak without damping.
///
/// # Source
/// Step response of a parallel RLC circuit, closed form.
fn damping(x: f64) -> f64 {
    if x < 1.0 - 1e-9 {
        let root = (1.0 - x * x).sqrt();
        (-x / root * (root / x).atan()).exp()
    } else if x > 1.0 + 1e-9 {
        let root = (x * x - 1.0).sqrt();
        (-x / root * (root / x).atanh()).exp()
    } else {
        (-1.0_f64).exp()
    }
}

impl CutOffCoil {
    /// Highest secondary voltage (V) with a resistance (Ω) across the secondary or none; approximate.
    ///
    /// # Source
    /// √(2ηE/C) for an unloaded secondary, the first peak of a parallel RLC circuit for a loaded one, held
    /// by clamp × ratio × overshoot. Agrees with ngspice within the tolerances of the checks on the base
    /// coil.
    pub(super) fn highest(self, shunt: Option<f64>) -> f64 {
        let loss = loss_ohms(self.henries, self.ratio);
        let beside = |a: f64, b: f64| a.max(1.0) * b / (a.max(1.0) + b);
        let across = beside(self.leak(), loss);
        let free = self.free(shunt.map_or(across, |shunt| beside(shunt, across)));
        free.min(self.held())
    }

    /// Highest voltage (V) from tower to tower while neither of two plugs has sparked yet.
    ///
    /// # Source
    /// A load on the primary's side stands behind the leakage inductance, which rings up with the
    /// capacitance: first peak of a series RLC circuit. A spark ends the ringing.
    pub(super) fn between_towers(self) -> f64 {
        let unloaded = self.free(loss_ohms(self.henries, self.ratio));
        let rung = self.highest(None) * (1.0 + self.ringing());
        rung.min(unloaded).min(self.held())
    }

    /// What loads the primary, as the secondary sees it, Ω.
    fn leak(self) -> f64 {
        self.load * self.ratio * self.ratio
    }

    fn held(self) -> f64 {
        self.ratio * self.clamp.max(0.0) * nominal::CLAMP_OVERSHOOT.value
    }

    fn free(self, across: f64) -> f64 {
        let surge = surge(self.henries, self.ratio);
        self.current.max(0.0) / self.ratio * surge * damping(surge / (2.0 * across))
    }

    /// By which share the leakage inductance overshoots what a load on the primary's side lets stand.
    fn ringing(self) -> f64 {
        let leakage = 1.0 - nominal::COUPLING.value * nominal::COUPLING.value;
        let surge = surge(self.henries * leakage, self.ratio);
        let damping = (self.leak() + nominal::SECONDARY_RESISTANCE.value) / (2.0 * surge);
        if damping < 1.0 {
            (-std::f64::consts::PI * damping / (1.0 - damping * damping).sqrt()).exp()
        } else {
            0.0
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unloaded_secondary_keeps_the_stated_share_of_the_energy() {
        let share = damping(LOSS_DAMPING);
        assert!(
            (share * share - nominal::SECONDARY_YIELD.value).abs() < 1e-3,
            "{}",
            share * share
        );
    }
}
