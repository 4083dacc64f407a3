//! A trace written as a few lines of text, and read again: it lives as long as the work on the car does.

use crate::model::{OhmReading, PartId, PinId};
use crate::units::Ohms;

use super::{Coverage, Measure, Shown, Taken, Trace, Way};

const HEAD: &str = "sparktrail-trace 1";

impl Trace {
    /// The trace as text that [`Trace::read`] reads.
    #[must_use]
    pub fn written(&self) -> String {
        let pins: Vec<u32> = self.pins.iter().map(|pin| pin.number()).collect();
        let coils: Vec<u32> = self.coils.iter().map(|coil| coil.number()).collect();
        let coverage = match self.coverage {
            Coverage::All => "all",
            Coverage::Some => "some",
        };
        let mut lines = vec![
            HEAD.to_owned(),
            format!("unit {}", self.unit.number()),
            format!("pins {}", listed(&pins)),
            format!("coils {}", listed(&coils)),
            format!("coverage {coverage}"),
        ];
        for way in &self.aside {
            lines.push(format!("aside {}", word(*way)));
        }
        for taken in &self.taken {
            let coils: Vec<u32> = match &taken.measure {
                Measure::Volts | Measure::FromFeed | Measure::ToGround => Vec::new(),
                Measure::Unplug(coils) => coils.iter().map(|coil| coil.number()).collect(),
                Measure::Continuity(coil) => vec![coil.number()],
            };
            let mut line = format!("taken {} {}", word(taken.measure.way()), listed(&coils));
            for (pin, shown) in &taken.shown {
                line.push_str(&format!(" {}={}", pin.number(), told(*shown)));
            }
            lines.push(line);
        }
        lines.push(String::new());
        lines.join("\n")
    }

    /// The trace that a text says; `None` where it is none, or one of a newer kind.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut lines = text.lines();
        if lines.next()? != HEAD {
            return None;
        }
        let mut trace = Self {
            unit: PartId::from_number(lines.next()?.strip_prefix("unit ")?.parse().ok()?),
            pins: numbers(lines.next()?.strip_prefix("pins ")?, PinId::from_number)?,
            coils: numbers(lines.next()?.strip_prefix("coils ")?, PartId::from_number)?,
            coverage: match lines.next()?.strip_prefix("coverage ")? {
                "all" => Coverage::All,
                "some" => Coverage::Some,
                _ => return None,
            },
            taken: Vec::new(),
            aside: std::collections::BTreeSet::new(),
        };
        for line in lines {
            if let Some(way) = line.strip_prefix("aside ") {
                trace.aside.insert(way_of(way)?);
            } else {
                trace.taken.push(taken(line.strip_prefix("taken ")?)?);
            }
        }
        Some(trace)
    }
}

/// Numbers with commas between; a stroke where there are none.
fn listed(numbers: &[u32]) -> String {
    if numbers.is_empty() {
        return "-".into();
    }
    let words: Vec<String> = numbers.iter().map(u32::to_string).collect();
    words.join(",")
}

fn numbers<T>(text: &str, make: fn(u32) -> T) -> Option<Vec<T>> {
    if text == "-" {
        return Some(Vec::new());
    }
    text.split(',')
        .map(|word| Some(make(word.parse().ok()?)))
        .collect()
}

const fn word(way: Way) -> &'static str {
    match way {
        Way::Volts => "volts",
        Way::FromFeed => "from-feed",
        Way::ToGround => "to-ground",
        Way::Unplug => "unplug",
        Way::Continuity => "continuity",
    }
}

fn way_of(text: &str) -> Option<Way> {
    Way::ALL.into_iter().find(|way| word(*way) == text)
}

fn told(shown: Shown) -> String {
    match shown {
        Shown::There => "there".into(),
        Shown::NotThere => "not".into(),
        Shown::Ohms(OhmReading::Overload) => "OL".into(),
        Shown::Ohms(OhmReading::Ohms(ohms)) => ohms.get().to_string(),
    }
}

fn shown(text: &str) -> Option<Shown> {
    Some(match text {
        "there" => Shown::There,
        "not" => Shown::NotThere,
        "OL" => Shown::Ohms(OhmReading::Overload),
        number => Shown::Ohms(OhmReading::Ohms(Ohms::new(number.parse().ok()?).ok()?)),
    })
}

fn taken(line: &str) -> Option<Taken> {
    let mut words = line.split(' ');
    let way = way_of(words.next()?)?;
    let coils = numbers(words.next()?, PartId::from_number)?;
    let measure = match (way, coils.as_slice()) {
        (Way::Volts, []) => Measure::Volts,
        (Way::FromFeed, []) => Measure::FromFeed,
        (Way::ToGround, []) => Measure::ToGround,
        (Way::Unplug, [_, ..]) => Measure::Unplug(coils.into_iter().collect()),
        (Way::Continuity, [coil]) => Measure::Continuity(*coil),
        (Way::Volts | Way::FromFeed | Way::ToGround | Way::Unplug | Way::Continuity, _) => {
            return None;
        }
    };
    let shown = words.map(|word| {
        let (pin, what) = word.split_once('=')?;
        Some((PinId::from_number(pin.parse().ok()?), shown(what)?))
    });
    Some(Taken {
        measure,
        shown: shown.collect::<Option<Vec<_>>>()?,
    })
}
