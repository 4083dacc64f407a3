//! Readings as people type them: with a comma or a point, with or without their unit.

use super::question::Answer;
use super::trouble::{MOST_OHMS, MOST_VOLTS};

/// Why what was typed is no reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Mistyped {
    /// No voltage.
    #[error("no number of volts was found; type one such as 12.4")]
    NoVolts,
    /// No resistance.
    #[error("no number of ohms was found; type one such as 0.5, 12k or OL")]
    NoOhms,
    /// Ohms where volts were asked for.
    #[error("that is a resistance, volts are asked for; turn the meter to DC volts")]
    OhmsForVolts,
    /// Volts where ohms were asked for.
    #[error(
        "that is a voltage, ohms are asked for; take the battery off and turn the meter to ohms"
    )]
    VoltsForOhms,
    /// More than a car's wiring has.
    #[error("more than 60 V is not found in a car's wiring; check the range of the meter")]
    TooManyVolts,
    /// A resistance below zero.
    #[error("a resistance cannot be below zero; check that the battery is off")]
    NegativeOhms,
    /// More than an ohmmeter shows.
    #[error("no ohmmeter shows that much; type OL")]
    TooManyOhms,
}

impl Answer {
    /// The same, unless it is a reading that no meter on a car shows.
    ///
    /// # Errors
    /// [`Mistyped`] names the bound that it breaks.
    pub fn checked(self) -> Result<Self, Mistyped> {
        match self {
            Self::Volts(low, high) if !low.is_finite() || !high.is_finite() => {
                Err(Mistyped::NoVolts)
            }
            Self::Volts(low, high) if low.abs().max(high.abs()) > MOST_VOLTS => {
                Err(Mistyped::TooManyVolts)
            }
            Self::Ohms(low, high) if !low.is_finite() || !high.is_finite() => Err(Mistyped::NoOhms),
            Self::Ohms(low, _) if low < 0.0 => Err(Mistyped::NegativeOhms),
            Self::Ohms(_, high) if high > MOST_OHMS => Err(Mistyped::TooManyOhms),
            Self::Works(_)
            | Self::Spark(_)
            | Self::Volts(..)
            | Self::Ohms(..)
            | Self::Overload
            | Self::Glow(_)
            | Self::Look(_)
            | Self::Effect(_)
            | Self::Swap(_)
            | Self::Stored(_)
            | Self::Compression(_) => Ok(self),
        }
    }

    /// A voltage as typed: "12.4", "-0,2 V", "80 mV".
    ///
    /// # Errors
    /// [`Mistyped`].
    pub fn volts_typed(typed: &str) -> Result<Self, Mistyped> {
        let text = typed.trim();
        if ohms_of(text).is_some() || is_overload(text) {
            return Err(Mistyped::OhmsForVolts);
        }
        let text = text.trim_end_matches(['V', 'v']).trim();
        let (text, one) = match text.strip_suffix('m') {
            Some(rest) => (rest.trim(), 1e-3),
            None => (text, 1.0),
        };
        let value = number(text).ok_or(Mistyped::NoVolts)? * one;
        Self::Volts(value, value).checked()
    }

    /// A resistance as typed: "0.5", "12,5k", "1M", "OL"; `m` is milliohms.
    ///
    /// # Errors
    /// [`Mistyped`].
    pub fn ohms_typed(typed: &str) -> Result<Self, Mistyped> {
        let text = typed.trim();
        if text
            .strip_suffix(['V', 'v'])
            .is_some_and(|rest| number(rest.trim().trim_end_matches('m').trim()).is_some())
        {
            return Err(Mistyped::VoltsForOhms);
        }
        if is_overload(text) {
            return Ok(Self::Overload);
        }
        let text = ohms_of(text).unwrap_or(text);
        let (text, one) = match text.chars().last() {
            Some('k' | 'K') => (&text[..text.len() - 1], 1e3),
            Some('M') => (&text[..text.len() - 1], 1e6),
            Some('m') => (&text[..text.len() - 1], 1e-3),
            Some(_) | None => (text, 1.0),
        };
        let value = number(text).ok_or(Mistyped::NoOhms)? * one;
        Self::Ohms(value, value).checked()
    }
}

/// What stands before a unit of resistance.
fn ohms_of(text: &str) -> Option<&str> {
    ["Ω", "\u{2126}", "Ohm", "ohm", "OHM"]
        .into_iter()
        .find_map(|unit| text.strip_suffix(unit))
        .map(str::trim)
}

fn is_overload(text: &str) -> bool {
    ["ol", "o.l", "o.l.", "∞"].contains(&text.to_lowercase().as_str())
}

fn number(text: &str) -> Option<f64> {
    let value: f64 = text.trim().replace(',', ".").parse().ok()?;
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_understood_as_people_type_them() {
        for (typed, expected) in [
            ("0.5", 0.5),
            ("0,5 Ω", 0.5),
            ("12.5k", 12_500.0),
            ("12,5 kΩ", 12_500.0),
            ("1M", 1e6),
            ("20m", 0.02),
        ] {
            let Ok(Answer::Ohms(value, _)) = Answer::ohms_typed(typed) else {
                panic!("{typed} was not understood");
            };
            assert!((value - expected).abs() < 1e-9, "{typed} became {value}");
        }
        assert_eq!(Answer::ohms_typed(" ol "), Ok(Answer::Overload));
        for (typed, expected) in [("-0,2 V", -0.2), ("80 mV", 0.08), ("12.4", 12.4)] {
            let Ok(Answer::Volts(value, _)) = Answer::volts_typed(typed) else {
                panic!("{typed} was not understood");
            };
            assert!((value - expected).abs() < 1e-12, "{typed} became {value}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_told_by_its_kind() {
        for typed in ["", "abc", "1e999", "NaN", "1.2.3"] {
            assert_eq!(Answer::ohms_typed(typed), Err(Mistyped::NoOhms), "{typed}");
            assert_eq!(
                Answer::volts_typed(typed),
                Err(Mistyped::NoVolts),
                "{typed}"
            );
        }
        assert_eq!(Answer::ohms_typed("-1"), Err(Mistyped::NegativeOhms));
        assert_eq!(Answer::ohms_typed("2e9"), Err(Mistyped::TooManyOhms));
        assert_eq!(Answer::volts_typed("1200"), Err(Mistyped::TooManyVolts));
        for typed in ["0.4 Ω", "4.7 kΩ", "OL"] {
            assert_eq!(
                Answer::volts_typed(typed),
                Err(Mistyped::OhmsForVolts),
                "{typed}"
            );
        }
        for typed in ["12.4 V", "80 mV"] {
            assert_eq!(
                Answer::ohms_typed(typed),
                Err(Mistyped::VoltsForOhms),
                "{typed}"
            );
        }
    }
}
