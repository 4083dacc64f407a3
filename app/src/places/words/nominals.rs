//! Words for numbers of parts that can be typed in, and for those that are taken for granted.

use crate::text::{Text, text};
use sparktrail_core::edit::allowed;
use sparktrail_core::electrics::nominal::Nominal;
use sparktrail_core::model::Quantity;
use sparktrail_core::said::{digits, said, say};

/// A unit that people use, and how many of the core's unit it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Its symbol.
    pub unit: &'static str,
    /// One of it in the core's unit.
    pub one: f64,
}

/// The unit in which a quantity is typed in.
#[must_use]
pub fn scale(quantity: Quantity) -> Scale {
    let (unit, one) = match quantity {
        Quantity::Primary
        | Quantity::RelayWinding
        | Quantity::InjectorWinding
        | Quantity::DriverResistance => ("Ω", 1.0),
        Quantity::Secondary | Quantity::Lead | Quantity::PlugResistor | Quantity::Pull => {
            ("kΩ", 1e3)
        }
        Quantity::BatteryResistance => ("mΩ", 1e-3),
        Quantity::Inductance => ("mH", 1e-3),
        Quantity::TurnsRatio => (said("to 1"), 1.0),
        Quantity::Gap => ("mm", 1.0),
        Quantity::BatteryVoltage | Quantity::DriverVoltage => ("V", 1.0),
        Quantity::FuseRating => ("A", 1.0),
        Quantity::WireArea => ("mm²", 1.0),
        Quantity::WireLength => ("m", 1.0),
    };
    Scale { unit, one }
}

/// A number with no more than four digits after the point, and no idle zeros.
#[must_use]
pub fn number(value: f64) -> String {
    let text = digits!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches(['.', ',']);
    if text == "-0" { "0" } else { text }.to_owned()
}

/// A number as it was typed: a comma counts as a point, the unit may stand behind it.
#[must_use]
pub fn typed(text: &str, unit: &str) -> Option<f64> {
    let text = text.trim();
    let text = text.strip_suffix(unit).unwrap_or(text).trim();
    let value: f64 = text.replace(',', ".").parse().ok()?;
    value.is_finite().then_some(value)
}

/// What was typed is no number.
#[must_use]
pub fn no_number(text: &str) -> String {
    say!(
        "“{}” is no number. Type one such as 0.55, or nothing.",
        text.trim()
    )
}

/// What was typed cannot be.
#[must_use]
pub fn out_of_range(quantity: Quantity) -> String {
    let (low, high) = allowed(quantity);
    let Scale { unit, one } = scale(quantity);
    say!(
        "It must lie between {} and {} {unit}.",
        number(low / one),
        number(high / one)
    )
}

/// What stands for a number that nobody knows.
#[must_use]
pub fn default_of(value: f64, quantity: Quantity, source: &'static str) -> String {
    let Scale { unit, one } = scale(quantity);
    say!(
        "taken as {} {unit} ({source})",
        number(value / one),
        source = said(source)
    )
}

/// The fold with what is taken for granted.
pub const GRANTED: Text = text("Taken for granted in readings");
/// How these are known.
pub const GRANTED_HOW: Text = text("Assumed; nobody has measured them here.");
/// A wire's resistance.
pub const WIRE_OHMS: Text = text("copper of this size and length at 20 °C");

/// A value that is taken for granted.
#[must_use]
pub fn granted(nominal: &Nominal) -> String {
    let small = nominal.unit == "Ω" && nominal.value < 0.1;
    let large = nominal.unit == "Ω" && nominal.value >= 1e3;
    if small {
        format!("{} mΩ", number(nominal.value * 1e3))
    } else if large {
        format!("{} kΩ", number(nominal.value / 1e3))
    } else {
        format!("{} {}", number(nominal.value), nominal.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_people_type_them() {
        for (text, expected) in [
            ("0.55", Some(0.55)),
            (" 0,55 Ω", Some(0.55)),
            ("12", Some(12.0)),
            ("", None),
            ("much", None),
            ("inf", None),
            ("NaN", None),
        ] {
            assert_eq!(typed(text, "Ω"), expected, "{text}");
        }
        assert_eq!(number(0.55), "0.55");
        assert_eq!(number(3.5), "3.5");
        assert_eq!(
            out_of_range(Quantity::Inductance),
            "It must lie between 0.02 and 200 mH."
        );
    }
}
