//! Single cells: colours, sizes, lengths and ways of knowing, read as people write them and written one way.

use super::names::{key, squeezed};
use super::wrong::Wrong;
use crate::model::file::limits::{THICKEST_AWG, THINNEST_AWG};
use crate::model::{Colour, WireColour, WireSize};
use crate::provenance::Provenance;
use crate::said::decimal;
use crate::units::{Metres, SquareMillimetres};

/// A colour cell: IEC 60757 codes or English words, base first, then the tracer.
///
/// Empty, `-` and `?` say nothing.
///
/// # Errors
/// [`Wrong::UnknownColour`]; [`Wrong::JoinedColour`] where two codes stand together, because the
/// standard joins them in the order of its table and so does not tell which is the stripe.
///
/// # Source
/// IEC 60757:2021, clause 5.1 for the joining; letter codes, value from memory.
pub fn colour(text: &str) -> Result<Option<WireColour>, Wrong> {
    if says_nothing(text) {
        return Ok(None);
    }
    let unknown = || Wrong::UnknownColour {
        found: text.to_owned(),
    };
    let parts: Vec<String> = colour_words(text);
    match parts.as_slice() {
        [one] => match single(one) {
            Some(base) => Ok(Some(WireColour { base, tracer: None })),
            None => joined(one).ok_or_else(unknown)?,
        },
        [base, tracer] => match (single(base), single(tracer)) {
            (Some(base), Some(tracer)) => Ok(Some(WireColour {
                base,
                tracer: Some(tracer),
            })),
            (Some(_) | None, Some(_) | None) => Err(unknown()),
        },
        _ => Err(unknown()),
    }
}

/// A cell with one colour: the base or the tracer alone.
///
/// # Errors
/// [`Wrong::UnknownColour`].
pub fn single_colour(text: &str) -> Result<Option<Colour>, Wrong> {
    if says_nothing(text) {
        return Ok(None);
    }
    let found = match colour_words(text).as_slice() {
        [one] => single(one),
        _ => None,
    };
    found.map(Some).ok_or_else(|| Wrong::UnknownColour {
        found: text.to_owned(),
    })
}

/// The words of a colour without those that only join them.
fn colour_words(text: &str) -> Vec<String> {
    const JOIN: [&str; 5] = ["with", "and", "wire", "stripe", "tracer"];
    text.to_uppercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty() && !JOIN.contains(&word.to_lowercase().as_str()))
        .map(str::to_owned)
        .collect()
}

/// One colour by its code or English word, upper case.
fn single(word: &str) -> Option<Colour> {
    let by_word = || {
        let word = word.to_lowercase();
        let word = match word.as_str() {
            "gray" => "grey",
            "purple" => "violet",
            other => other,
        };
        let mut all = Colour::ALL.iter();
        all.find(|colour| colour.english() == word || colour.word().to_lowercase() == word)
            .copied()
    };
    Colour::from_code(word).or_else(by_word)
}

/// Two codes in one word. Green with yellow is a code of its own.
fn joined(word: &str) -> Option<Result<Option<WireColour>, Wrong>> {
    if word.len() != 4 || !word.is_ascii() {
        return None;
    }
    let (first, second) = word.split_at(2);
    let (first, second) = (Colour::from_code(first)?, Colour::from_code(second)?);
    if (first, second) == (Colour::Green, Colour::Yellow) {
        return Some(Ok(Some(WireColour {
            base: first,
            tracer: Some(second),
        })));
    }
    Some(Err(Wrong::JoinedColour { first, second }))
}

/// What a bare number in a size cell means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bare {
    /// Square millimetres.
    Area,
    /// American wire gauge.
    Gauge,
}

/// A size cell: "1.5", "0,75 mm²", "AWG 18", "18 ga", "#18", "2/0", "00".
///
/// # Errors
/// [`Wrong::NoSize`].
pub fn size(text: &str, bare: Bare) -> Result<Option<WireSize>, Wrong> {
    if says_nothing(text) {
        return Ok(None);
    }
    let wrong = || Wrong::NoSize {
        found: text.to_owned(),
    };
    let lower = squeezed(text).to_lowercase();
    let mut rest = lower.as_str();
    let mut means = bare;
    for unit in ["mm²", "mm^2", "mm2", "sqmm", "qmm", "mm"] {
        if let Some(number) = rest.strip_suffix(unit) {
            (rest, means) = (number, Bare::Area);
            break;
        }
    }
    for unit in ["awg", "gauge", "ga"] {
        let bare = rest.strip_prefix(unit).or_else(|| rest.strip_suffix(unit));
        if let Some(number) = bare {
            (rest, means) = (number, Bare::Gauge);
            break;
        }
    }
    let rest = rest.trim();
    // Gauges are written so, areas never.
    let numbered = rest.strip_prefix('#').or_else(|| rest.strip_prefix("no."));
    if numbered.is_some() || rest.ends_with("/0") {
        means = Bare::Gauge;
    }
    let rest = numbered.unwrap_or(rest).trim();
    match means {
        Bare::Area => {
            let area = number(rest).filter(|area| *area >= 0.0).ok_or_else(wrong)?;
            let area = SquareMillimetres::new(area).map_err(|_| wrong())?;
            Ok(Some(WireSize::Area(area)))
        }
        Bare::Gauge => gauge(rest).map(WireSize::Awg).map(Some).ok_or_else(wrong),
    }
}

fn gauge(text: &str) -> Option<i8> {
    let gauge = match text.strip_suffix("/0") {
        Some(noughts) => 1_i8.checked_sub(noughts.trim().parse().ok().filter(|n| *n >= 1)?)?,
        // "00" is another way to write 2/0.
        None if text.len() > 1 && text.bytes().all(|b| b == b'0') => {
            1_i8.checked_sub(i8::try_from(text.len()).ok()?)?
        }
        None => text.parse().ok()?,
    };
    (THICKEST_AWG..=THINNEST_AWG)
        .contains(&gauge)
        .then_some(gauge)
}

/// What a bare number in a length cell counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Metres.
    Metre,
    /// Centimetres.
    Centimetre,
    /// Millimetres.
    Millimetre,
}

impl LengthUnit {
    /// How many make a metre.
    const fn in_a_metre(self) -> f64 {
        match self {
            Self::Metre => 1.0,
            Self::Centimetre => 100.0,
            Self::Millimetre => 1000.0,
        }
    }
}

/// A length cell: "1.2", "0,45 m", "120 cm", "4 ft".
///
/// # Errors
/// [`Wrong::NoLength`]; [`Wrong::Thousands`] where "1,200 mm" may be twelve hundred or one point two.
pub fn length(text: &str, bare: LengthUnit) -> Result<Option<Metres>, Wrong> {
    // How many make a metre, in whole numbers, so that 115 cm are 1.15 m to the last digit. The international
    // foot and inch are a whole number of tenths of a millimetre.
    const UNITS: [(&str, f64, f64); 7] = [
        ("mm", 1.0, 1000.0),
        ("cm", 1.0, 100.0),
        ("m", 1.0, 1.0),
        ("ft", 3048.0, 10_000.0),
        ("in", 254.0, 10_000.0),
        ("\"", 254.0, 10_000.0),
        ("'", 3048.0, 10_000.0),
    ];
    if says_nothing(text) {
        return Ok(None);
    }
    let wrong = || Wrong::NoLength {
        found: text.to_owned(),
    };
    let lower = squeezed(text).to_lowercase();
    let (digits, of, parts) = UNITS
        .iter()
        .find_map(|(name, of, parts)| Some((lower.strip_suffix(name)?, *of, *parts)))
        .unwrap_or((lower.as_str(), 1.0, bare.in_a_metre()));
    let in_small_units = of < parts && parts <= 1000.0;
    if in_small_units && has_thousands(digits) {
        return Err(Wrong::Thousands {
            found: text.to_owned(),
        });
    }
    let length = number(digits).filter(|length| *length >= 0.0);
    let length = length.ok_or_else(wrong)? * of / parts;
    Metres::new(length).map(Some).map_err(|_| wrong())
}

/// A cell that tells how the row is known.
///
/// # Errors
/// [`Wrong::UnknownHow`].
pub fn how(text: &str) -> Result<Option<Provenance>, Wrong> {
    if says_nothing(text) {
        return Ok(None);
    }
    let mut all = [
        Provenance::Assumed,
        Provenance::Diagram,
        Provenance::Measured,
    ]
    .into_iter();
    if let Some(how) = all.find(|how| key(how.phrase()) == key(text)) {
        return Ok(Some(how));
    }
    match squeezed(text).to_lowercase().as_str() {
        "assumed" | "assumption" | "guess" | "guessed" => Ok(Some(Provenance::Assumed)),
        "from a diagram" | "diagram" | "from diagram" | "from the diagram" => {
            Ok(Some(Provenance::Diagram))
        }
        "measured" | "seen" | "checked" | "seen on the car" => Ok(Some(Provenance::Measured)),
        _ => Err(Wrong::UnknownHow {
            found: text.to_owned(),
        }),
    }
}

/// A colour as the table writes it: "GN/WH".
#[must_use]
pub fn write_colour(colour: WireColour) -> String {
    colour.code()
}

/// A size as the table writes it: "1.5" in mm², "AWG 18", "AWG 2/0".
#[must_use]
pub fn write_size(size: WireSize) -> String {
    match size {
        WireSize::Area(area) => decimal(&area.get()),
        WireSize::Awg(gauge) if gauge <= 0 => format!("AWG {}/0", 1 - i16::from(gauge)),
        WireSize::Awg(gauge) => format!("AWG {gauge}"),
    }
}

/// A length in metres as the table writes it.
#[must_use]
pub fn write_length(length: Metres) -> String {
    decimal(&length.get())
}

/// A way of knowing as the table writes it.
#[must_use]
pub fn write_how(how: Provenance) -> &'static str {
    how.phrase()
}

/// Whether a cell leaves open what it could tell.
pub(super) fn says_nothing(text: &str) -> bool {
    matches!(text.trim(), "" | "-" | "–" | "—" | "?")
}

/// Whether a point or comma may part thousands: up to three digits before it and three after. A nought
/// before it is that of a decimal.
fn has_thousands(text: &str) -> bool {
    let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    text.trim()
        .split_once([',', '.'])
        .is_some_and(|(before, after)| {
            (1..=3).contains(&before.len())
                && !before.starts_with('0')
                && after.len() == 3
                && digits(before)
                && digits(after)
        })
}

/// A finite number; a comma counts as a point.
fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    // "inf", "nan" and "1e5" are no sizes that anybody writes.
    let plain = text
        .bytes()
        .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b',' | b'-' | b'+'));
    if !plain {
        return None;
    }
    let number: f64 = text.replace(',', ".").parse().ok()?;
    number.is_finite().then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the ways of writing a gauge are common practice, no source; that 0, 00, 000 and 0000 are 1/0 to
    /// 4/0: ASTM B258-02.
    #[test]
    fn sizes_in_many_notations() {
        let area = |mm2| Ok(Some(WireSize::Area(SquareMillimetres::lit(mm2))));
        let awg = |gauge| Ok(Some(WireSize::Awg(gauge)));
        for (text, wanted) in [
            ("0,75 mm²", area(0.75)),
            ("1.5", area(1.5)),
            ("2.5mm2", area(2.5)),
            ("0,5\u{a0}mm²", area(0.5)),
            ("AWG18", awg(18)),
            ("18 AWG", awg(18)),
            ("18ga", awg(18)),
            ("#18", awg(18)),
            ("# 18 AWG", awg(18)),
            ("No. 18", awg(18)),
            ("0 AWG", awg(0)),
            ("AWG 00", awg(-1)),
            ("0000 ga", awg(-3)),
            ("2/0", awg(-1)),
        ] {
            assert_eq!(size(text, Bare::Area), wanted, "{text:?}");
        }
        for text in ["00000 AWG", "18.5 AWG", "#", "1,5,0", "-1", "1e3", "½"] {
            assert!(size(text, Bare::Area).is_err(), "{text:?}");
        }
    }

    #[test]
    fn a_length_that_can_be_read_in_two_ways_is_refused() {
        let metres = |m| Ok(Some(Metres::lit(m)));
        for (text, bare, wanted) in [
            ("1,200 m", LengthUnit::Metre, metres(1.2)),
            ("1.250", LengthUnit::Metre, metres(1.25)),
            ("1200 mm", LengthUnit::Metre, metres(1.2)),
            ("0,500", LengthUnit::Centimetre, metres(0.005)),
            ("12,50", LengthUnit::Centimetre, metres(0.125)),
            ("4 ft", LengthUnit::Metre, metres(1.2192)),
        ] {
            assert_eq!(length(text, bare), wanted, "{text:?}");
        }
        for (text, bare) in [
            ("1,200 mm", LengthUnit::Metre),
            ("1.200", LengthUnit::Millimetre),
            ("1,200", LengthUnit::Centimetre),
        ] {
            let found = text.to_owned();
            assert_eq!(
                length(text, bare),
                Err(Wrong::Thousands { found }),
                "{text:?}"
            );
        }
        for text in ["1.234,5 mm", "1'6\"", "-3 m", "long"] {
            let found = text.to_owned();
            assert_eq!(
                length(text, LengthUnit::Metre),
                Err(Wrong::NoLength { found })
            );
        }
    }
}
