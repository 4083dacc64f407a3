//! A finding as a sentence.

use sparktrail_core::model::{
    CompressionResult, Effect, Element, Finding, Glow, Harness, Look, OhmReading, Seen, Spark,
    Stored, StressKind, Substitute, SwapOutcome, SwapPair, Works,
};
use sparktrail_core::said::{said, say};

use super::super::meter::{ohms, setup as setup_words, volts};
use super::CAME;

/// A finding as a sentence.
#[must_use]
pub fn sentence(harness: &Harness, finding: &Finding) -> String {
    let spot = |terminal| harness.terminal_name(terminal);
    let effect = |effect: Effect| match effect {
        Effect::Same => said("nothing changed"),
        Effect::Cured => said("the fault went away"),
        Effect::Changed => said("something else changed"),
    };
    let standing = || {
        finding.setup.as_ref().map_or_else(String::new, |setup| {
            format!(" ({})", setup_words(harness, setup))
        })
    };
    match &finding.seen {
        Seen::Contribution { cylinder, works } => match works {
            Works::Alive => say!("Cylinder {cylinder} works."),
            Works::Dead => say!("Cylinder {cylinder} is dead."),
            Works::Sometimes => say!("Cylinder {cylinder} comes and goes."),
        },
        Seen::Spark { cylinder, spark } => match spark {
            Spark::Yes => say!("Regular sparks at the lead of cylinder {cylinder}."),
            Spark::No => say!("No spark at the lead of cylinder {cylinder}."),
            Spark::Weak => say!("Weak sparks at the lead of cylinder {cylinder}."),
            Spark::WrongTime => {
                say!("Sparks at the wrong time at the lead of cylinder {cylinder}.")
            }
        },
        Seen::Volts {
            red,
            black,
            reading,
        } => {
            let black = black.map_or_else(String::new, |black| say!(" to {}", spot(black)));
            say!(
                "{} from {}{black}{}.",
                volts(reading.get()),
                spot(*red),
                standing()
            )
        }
        Seen::Resistance {
            red,
            black,
            reading,
        } => {
            let read = match reading {
                OhmReading::Ohms(value) => ohms(value.get()),
                OhmReading::Overload => say!("OL, no way through,"),
            };
            say!("{read} from {} to {}.", spot(*red), spot(*black))
        }
        Seen::Drop {
            red,
            black,
            reading,
        } => say!(
            "{} lost under load from {} to {}{}.",
            volts(reading.get()),
            spot(*red),
            spot(*black),
            standing()
        ),
        Seen::Lamp { red, black, glow } => {
            let glow = match glow {
                Glow::Bright => said("bright"),
                Glow::Dim => said("dim"),
                Glow::Off => said("dark"),
                Glow::Flickering => said("flickering"),
            };
            say!(
                "A test lamp from {} to {} was {glow}{}.",
                spot(*red),
                spot(*black),
                standing()
            )
        }
        Seen::Look {
            element: Element::Cylinder(cylinder),
            look,
        } => match look {
            Look::Sound => say!("Cylinder {cylinder} gets fuel and air."),
            Look::Damaged => {
                say!("Something is wrong with the fuel or air of cylinder {cylinder}.")
            }
        },
        Seen::Look { element, look } => {
            let name = harness.element_name(*element);
            match look {
                Look::Sound => say!("{name} looks sound."),
                Look::Damaged => say!("{name} looks damaged, burnt, green or loose."),
            }
        }
        Seen::Stress {
            element,
            by,
            effect: after,
        } => format!(
            "{} {}: {}.",
            stressed(*by),
            harness.element_name(*element),
            match after {
                Effect::Changed => CAME.said(),
                Effect::Same | Effect::Cured => effect(*after),
            }
        ),
        Seen::Substituted {
            part,
            with,
            effect: after,
        } => {
            let with = match with {
                Substitute::New => said("a new one"),
                Substitute::KnownGood => said("one known to work"),
            };
            say!(
                "Put {with} in place of {}: {}.",
                harness.part_name(*part),
                effect(*after)
            )
        }
        Seen::Swapped { what, outcome } => {
            let (a, b) = pair(harness, *what);
            let outcome = match outcome {
                SwapOutcome::Moved => said("the fault moved with it"),
                SwapOutcome::Stayed => said("the fault stayed where it was"),
                SwapOutcome::Gone => said("the fault went away"),
                SwapOutcome::Changed => said("something else changed"),
            };
            say!("Swapped {a} and {b}: {outcome}.")
        }
        Seen::Cleaned {
            element,
            effect: after,
        } => say!(
            "Cleaned {}: {}.",
            harness.element_name(*element),
            effect(*after)
        ),
        Seen::Remade {
            element,
            effect: after,
        } => say!(
            "Made {} anew: {}.",
            harness.element_name(*element),
            effect(*after)
        ),
        Seen::Code { code, stored } => match (code, stored) {
            (Some(code), Stored::Present) => say!("Code {code} is stored."),
            (Some(code), Stored::Absent) => say!("Code {code} is not stored."),
            (None, Stored::Present | Stored::Absent) => say!("No trouble codes are stored."),
        },
        Seen::Compression { cylinder, result } => match result {
            CompressionResult::Good => {
                say!("Compression of cylinder {cylinder} is like its neighbours’.")
            }
            CompressionResult::Low => {
                say!("Compression of cylinder {cylinder} is clearly lower.")
            }
        },
    }
}

/// Two things that change places.
#[must_use]
pub fn pair(harness: &Harness, pair: SwapPair) -> (String, String) {
    let driver = |id| {
        harness
            .driver(id)
            .map_or_else(|| say!("a transistor"), |driver| driver.name.clone())
    };
    match pair {
        SwapPair::Parts(a, b) => (
            harness.part_name(a).to_owned(),
            harness.part_name(b).to_owned(),
        ),
        SwapPair::Transistors(a, b) => (driver(a), driver(b)),
    }
}

/// How something was provoked.
#[must_use]
pub fn stressed(by: StressKind) -> &'static str {
    said(match by {
        StressKind::Wiggled => "Wiggled",
        StressKind::Heated => "Heated",
        StressKind::Cooled => "Cooled",
    })
}
