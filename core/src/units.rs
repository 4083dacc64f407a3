//! Physical quantities as types: adding volts to ohms does not compile, and a quantity is always finite.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A number that is infinite or not a number was offered where a quantity was wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a quantity must be a finite number")]
pub struct NotFinite;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Default)]
        pub struct $name(f64);

        // Always finite, so equality is reflexive and the order is total.
        impl Eq for $name {}

        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
                Some(self.cmp(other))
            }
        }

        impl Ord for $name {
            fn cmp(&self, other: &Self) -> Ordering {
                self.0.partial_cmp(&other.0).unwrap_or(Ordering::Equal)
            }
        }

        impl Hash for $name {
            fn hash<H: Hasher>(&self, state: &mut H) {
                // Adding 0.0 makes one zero of the two.
                (self.0 + 0.0).to_bits().hash(state);
            }
        }

        impl $name {
            /// Zero.
            pub const ZERO: Self = Self(0.0);
            /// The unit's symbol.
            pub const UNIT: &'static str = $unit;

            /// A quantity from a number in this unit.
            ///
            /// # Errors
            /// [`NotFinite`] when `value` is infinite or not a number.
            pub fn new(value: f64) -> Result<Self, NotFinite> {
                if value.is_finite() { Ok(Self(value)) } else { Err(NotFinite) }
            }

            /// A quantity written in the source; meant for constants.
            ///
            /// # Panics
            /// When `value` is not finite (at compile time where the result is a constant).
            #[must_use]
            pub const fn lit(value: f64) -> Self {
                assert!(value.is_finite(), "a quantity must be a finite number");
                Self(value)
            }

            /// The number, in this unit.
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }

            /// The size without the sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// Keeps a computed value finite: what overflowed becomes the largest finite number.
            fn held(value: f64) -> Self {
                if value.is_nan() { Self(0.0) } else { Self(value.clamp(f64::MIN, f64::MAX)) }
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self::held(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self::held(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self::held(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self::held(self.0 / divisor)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                if let Some(places) = f.precision() {
                    write!(f, "{:.*} {}", places, self.0, $unit)
                } else {
                    write!(f, "{} {}", self.0, $unit)
                }
            }
        }
    };
}

quantity!(
    /// Electrical potential or voltage.
    Volts, "V"
);
quantity!(
    /// Resistance.
    Ohms, "Ω"
);
quantity!(
    /// Current.
    Amps, "A"
);
quantity!(
    /// Inductance.
    Henries, "H"
);
quantity!(
    /// Energy.
    Joules, "J"
);
quantity!(
    /// Time.
    Seconds, "s"
);
quantity!(
    /// Length of a wire.
    Metres, "m"
);
quantity!(
    /// A small length, such as a plug gap.
    Millimetres, "mm"
);
quantity!(
    /// Conductor cross-section.
    SquareMillimetres, "mm²"
);
quantity!(
    /// Temperature.
    Celsius, "°C"
);
quantity!(
    /// Crank angle.
    Degrees, "°"
);
quantity!(
    /// Crankshaft speed, revolutions a minute.
    Rpm, "rpm"
);
quantity!(
    /// A share of a whole, in hundredths.
    Percent, "%"
);
quantity!(
    /// Working time, as a person plans it.
    Minutes, "min"
);

impl Div<Ohms> for Volts {
    type Output = Amps;
    fn div(self, r: Ohms) -> Amps {
        Amps::held(self.0 / r.0)
    }
}

impl Mul<Ohms> for Amps {
    type Output = Volts;
    fn mul(self, r: Ohms) -> Volts {
        Volts::held(self.0 * r.0)
    }
}

impl Div<Amps> for Volts {
    type Output = Ohms;
    fn div(self, i: Amps) -> Ohms {
        Ohms::held(self.0 / i.0)
    }
}

/// A probability: finite, from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Probability(f64);

impl Probability {
    /// Impossible.
    pub const NEVER: Self = Self(0.0);
    /// Certain.
    pub const ALWAYS: Self = Self(1.0);

    /// A probability from a number.
    ///
    /// # Errors
    /// [`NotFinite`] when `p` is not a number or lies outside 0 to 1.
    pub fn new(p: f64) -> Result<Self, NotFinite> {
        if (0.0..=1.0).contains(&p) {
            Ok(Self(p))
        } else {
            Err(NotFinite)
        }
    }

    /// The number, 0 to 1.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use super::*;

    #[test]
    fn quantities_refuse_what_is_not_finite() {
        assert_eq!(Volts::new(f64::NAN), Err(NotFinite));
        assert_eq!(Ohms::new(f64::INFINITY), Err(NotFinite));
        assert!(Probability::new(1.5).is_err());
    }

    #[test]
    fn quantities_have_a_total_order_with_one_zero() {
        let hash = |ohms: Ohms| {
            let mut state = std::hash::DefaultHasher::new();
            ohms.hash(&mut state);
            state.finish()
        };
        assert!(Ohms::lit(-1.0) < Ohms::ZERO && Ohms::ZERO < Ohms::lit(0.5));
        assert_eq!(Ohms::lit(-0.0), Ohms::ZERO);
        assert_eq!(hash(Ohms::lit(-0.0)), hash(Ohms::ZERO));
    }

    #[test]
    fn ohms_law_and_overflow() {
        let current = Volts::lit(12.0) / Ohms::lit(0.5);
        assert!((current.get() - 24.0).abs() < 1e-12);
        assert!((Volts::lit(1.0) / Ohms::ZERO).get().is_finite());
        assert!((Volts::ZERO / Ohms::ZERO).get().is_finite());
        assert_eq!(format!("{:.2}", Volts::lit(12.694)), "12.69 V");
    }
}
