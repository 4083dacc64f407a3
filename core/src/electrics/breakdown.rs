//! How much voltage a plug's gap needs: an upper estimate from gap, pressure and temperature.

use crate::units::Millimetres;

/// What fills the gap when it is asked to spark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Charge {
    /// Air, out of the engine.
    OpenAir,
    /// The end of the exhaust stroke: 1.05 bar, 900 K.
    Exhaust,
    /// Compression at idle: 5 bar, 600 K.
    Idle,
    /// Compression at part load: 10 bar, 650 K.
    PartLoad,
    /// Compression at full load: 18 bar, 700 K.
    FullLoad,
}

impl Charge {
    /// Absolute pressure in bar and temperature in kelvin. Common practice, no source.
    #[must_use]
    pub const fn state(self) -> (f64, f64) {
        match self {
            Self::OpenAir => (1.013_25, 293.0),
            Self::Exhaust => (1.05, 900.0),
            Self::Idle => (5.0, 600.0),
            Self::PartLoad => (10.0, 650.0),
            Self::FullLoad => (18.0, 700.0),
        }
    }
}

/// Breakdown voltage (kV) of a uniform field, from density times gap (relative density × cm).
///
/// # Source
/// Empirical formula for air, 24.22·x + 6.08·√x kV; attributed to Kuffel et al., value from memory.
#[must_use]
pub fn uniform_field_kilovolts(density_gap: f64) -> f64 {
    let x = density_gap.clamp(0.0, 1e6);
    24.22 * x + 6.08 * x.sqrt()
}

/// Voltage (kV) that a gap needs; an upper estimate, for sharp hot electrodes need less.
///
/// # Source
/// [`uniform_field_kilovolts`] with x = gap in cm × (pressure / 1.01325 bar) × (293 K / temperature).
#[must_use]
pub fn needed_kilovolts(gap: Millimetres, charge: Charge) -> f64 {
    let (bar, kelvin) = charge.state();
    uniform_field_kilovolts(gap.get().max(0.0) / 10.0 * (bar / 1.013_25) * (293.0 / kelvin))
}

/// Breakdown voltage (V) of air between plates from pressure times gap (torr·cm), for the teaching
/// curve only: not for a plug. `None` left of the curve's pole.
///
/// # Source
/// Paschen's law with A = 15, B = 365 and γ = 0.01 as a public page quotes them; its minimum is 305 V at
/// 0.836 torr·cm, not the measured 327 V at 0.567.
#[must_use]
pub fn paschen_volts(pressure_gap: f64) -> Option<f64> {
    const A: f64 = 15.0;
    const B: f64 = 365.0;
    const GAMMA: f64 = 0.01;
    let below = (A / (1.0_f64 + 1.0 / GAMMA).ln()).ln() + pressure_gap.ln();
    (pressure_gap > 0.0 && below > 1e-9).then(|| B * pressure_gap / below)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, wanted: f64, within: f64) {
        assert!((found - wanted).abs() <= within, "{found} is not {wanted}");
    }

    /// Source: the formula itself, recomputed; the values at x = 0.1 and 1.
    #[test]
    fn uniform_field() {
        near(uniform_field_kilovolts(0.1), 4.345, 0.001);
        near(uniform_field_kilovolts(1.0), 30.30, 0.001);
    }

    /// Source: a textbook chapter on ignition (abstract seen): 0.6 mm needs 2 to 3 kV at 1 bar and about
    /// 8 kV at 8:1; 1 mm needs 3 to 4 kV at 1 bar, 8 to 10 kV compressed. The formula is an upper
    /// estimate, so it may lie above by half.
    #[test]
    fn textbook_anchors() {
        let air = |gap| needed_kilovolts(Millimetres::lit(gap), Charge::OpenAir);
        assert!((2.0..=3.0).contains(&air(0.6)), "{}", air(0.6));
        assert!((3.0..=4.0 * 1.15).contains(&air(1.0)), "{}", air(1.0));
        let load = |gap| needed_kilovolts(Millimetres::lit(gap), Charge::PartLoad);
        assert!(
            (8.0 / 1.5..=8.0 * 1.5).contains(&load(0.6)),
            "{}",
            load(0.6)
        );
        assert!((8.0..=10.0 * 1.5).contains(&load(1.0)), "{}", load(1.0));
    }

    /// Source: the formula, recomputed by hand for four gaps and five states.
    #[test]
    fn by_gap_and_state() {
        for (charge, wanted) in [
            (Charge::OpenAir, [2.94, 3.66, 4.34, 5.01]),
            (Charge::Exhaust, [1.36, 1.65, 1.93, 2.20]),
            (Charge::Idle, [5.81, 7.34, 8.82, 10.27]),
            (Charge::PartLoad, [9.61, 12.25, 14.83, 17.37]),
            (Charge::FullLoad, [14.87, 19.10, 23.25, 27.35]),
        ] {
            for (gap, kilovolts) in [0.6, 0.8, 1.0, 1.2].into_iter().zip(wanted) {
                near(
                    needed_kilovolts(Millimetres::lit(gap), charge),
                    kilovolts,
                    0.006,
                );
            }
        }
    }

    /// Source: the constants' own minimum and values, recomputed.
    #[test]
    fn paschen() {
        for (pd, volts) in [
            (0.567, 338.5),
            (0.8363, 305.3),
            (1.0, 309.7),
            (10.0, 1048.5),
            (76.0, 5035.0),
            (760.0, 35_509.0),
        ] {
            let found = paschen_volts(pd).unwrap_or_default();
            near(found, volts, 0.001 * volts);
        }
        assert_eq!(paschen_volts(0.01), None);
        assert_eq!(paschen_volts(0.0), None);
    }
}
