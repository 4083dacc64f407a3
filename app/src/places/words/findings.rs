//! Words of what was seen and measured: the list of findings and the form that adds one.

use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Mistyped};
use sparktrail_core::model::{
    CompressionResult, Effect, FaultThen, Finding, Glow, Harness, Look, OhmReading, Seen, Setup,
    Spark, Stored, StressKind, Substitute, SwapOutcome, SwapPair, Works,
};

use super::meter::{ohms, setup as setup_words, volts};

/// Heading of the list.
pub const HEADING: &str = "Findings";
/// Nothing was found yet.
pub const NONE: &str =
    "Nothing yet. Mark the dead cylinders above, or add what you saw or measured.";
/// Heading over the cylinders.
pub const CYLINDERS: &str = "Which cylinders are dead?";
/// What a tap does.
pub const CYLINDERS_HINT: &str = "Tap a cylinder until it says what you saw.";
/// What a tap does in the quick form.
pub const TICK_HINT: &str = "Tick the dead ones, then enter them all at once.";
/// Why to say it of the others too.
pub const OTHERS_HINT: &str =
    "What works counts as much as what is dead: it rules out whatever serves the whole engine.";
/// The cylinders that nothing was said of.
pub const OTHERS_WORK: &str = "All the others work";
/// Heading over what can be said of a place in one tap.
pub const SEEN_HERE: &str = "What did you see here?";
/// It was entered from there.
pub const ENTERED_HERE: &str = "Entered. Undo takes it back.";
/// Heading of the form.
pub const ADD: &str = "Add a finding";
/// What was done.
pub const KIND: &str = "What did you do?";
/// Enter it.
pub const ENTER: &str = "Enter it";
/// It no longer counts.
pub const TAKE_BACK: &str = "Take back";
/// It counts again.
pub const PUT_BACK: &str = "Put back";
/// It does not count.
pub const TAKEN_BACK: &str = "taken back";
/// The fault did not show then.
pub const AWAY: &str = "The fault was away at the time";
/// Whether the fault showed, in the form.
pub const THEN: &str = "Was the fault there at the time?";
/// Choices for that, in the order of the list.
pub const THENS: [(&str, FaultThen); 3] = [
    ("not sure", FaultThen::Unknown),
    ("yes", FaultThen::Present),
    ("no, it was away", FaultThen::Away),
];
/// Nothing chosen yet.
pub const CHOOSE: &str = "choose…";
/// Fields.
pub const CYLINDER: &str = "Cylinder";
/// Where the red lead was.
pub const RED: &str = "Red lead on";
/// Where the black lead was.
pub const BLACK: &str = "Black lead on";
/// What came out.
pub const OUTCOME: &str = "What came of it?";
/// What was looked at.
pub const ELEMENT: &str = "Which piece?";
/// Which part.
pub const PART: &str = "Which part?";
/// The other part.
pub const OTHER: &str = "With which?";
/// How it was provoked.
pub const BY: &str = "How?";
/// A code.
pub const CODE: &str = "Code";
/// The setup.
pub const SETUP: &str = "How the car stood";
/// A voltage.
pub const VOLTS: &str = "It read, in V";
/// A resistance.
pub const OHMS: &str = "It read, in Ω (k and M are understood, OL for none)";

/// The kinds of finding, in the order of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Whether a cylinder works.
    Contribution,
    /// Spark at a lead.
    Spark,
    /// Voltage.
    Volts,
    /// Resistance.
    Resistance,
    /// Voltage lost.
    Drop,
    /// Test lamp.
    Lamp,
    /// A look.
    Look,
    /// Wiggled, heated, cooled.
    Stress,
    /// Another part put in.
    Substituted,
    /// Two parts changed places.
    Swapped,
    /// Contact cleaned.
    Cleaned,
    /// Joint made anew.
    Remade,
    /// Codes.
    Code,
    /// Compression.
    Compression,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 14] = [
        Self::Resistance,
        Self::Volts,
        Self::Spark,
        Self::Contribution,
        Self::Drop,
        Self::Lamp,
        Self::Look,
        Self::Stress,
        Self::Swapped,
        Self::Substituted,
        Self::Cleaned,
        Self::Remade,
        Self::Code,
        Self::Compression,
    ];

    /// Its name in the list.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Contribution => "Watched whether a cylinder works",
            Self::Spark => "Looked for spark at a lead",
            Self::Volts => "Measured volts",
            Self::Resistance => "Measured resistance",
            Self::Drop => "Measured a voltage drop under load",
            Self::Lamp => "Used a test lamp",
            Self::Look => "Looked at something",
            Self::Stress => "Wiggled, heated or cooled something",
            Self::Substituted => "Put another part in",
            Self::Swapped => "Swapped two like parts",
            Self::Cleaned => "Cleaned a contact",
            Self::Remade => "Made a joint anew",
            Self::Code => "Read trouble codes",
            Self::Compression => "Checked compression",
        }
    }

    /// Whether the fault's being away at the time bears on it.
    #[must_use]
    pub const fn asks_then(self) -> bool {
        match self {
            Self::Spark | Self::Volts | Self::Resistance | Self::Drop | Self::Lamp => true,
            Self::Contribution
            | Self::Look
            | Self::Stress
            | Self::Substituted
            | Self::Swapped
            | Self::Cleaned
            | Self::Remade
            | Self::Code
            | Self::Compression => false,
        }
    }

    /// What can come of it, for the list; readings have none.
    #[must_use]
    pub fn outcomes(self) -> Vec<Answer> {
        match self {
            Self::Contribution => [Works::Dead, Works::Alive, Works::Sometimes]
                .map(Answer::Works)
                .to_vec(),
            Self::Spark => [Spark::Yes, Spark::No, Spark::Weak, Spark::WrongTime]
                .map(Answer::Spark)
                .to_vec(),
            Self::Lamp => [Glow::Bright, Glow::Dim, Glow::Off, Glow::Flickering]
                .map(Answer::Glow)
                .to_vec(),
            Self::Look => [Look::Sound, Look::Damaged].map(Answer::Look).to_vec(),
            Self::Stress | Self::Substituted | Self::Cleaned | Self::Remade => {
                [Effect::Same, Effect::Cured, Effect::Changed]
                    .map(Answer::Effect)
                    .to_vec()
            }
            Self::Swapped => [
                SwapOutcome::Moved,
                SwapOutcome::Stayed,
                SwapOutcome::Gone,
                SwapOutcome::Changed,
            ]
            .map(Answer::Swap)
            .to_vec(),
            Self::Code => [Stored::Present, Stored::Absent]
                .map(Answer::Stored)
                .to_vec(),
            Self::Compression => [CompressionResult::Good, CompressionResult::Low]
                .map(Answer::Compression)
                .to_vec(),
            Self::Volts | Self::Resistance | Self::Drop => Vec::new(),
        }
    }
}

/// Setups to choose from, in the order of the list.
#[must_use]
pub fn setups() -> [(&'static str, Setup); 2] {
    [
        ("key on, engine stopped", Setup::key_on()),
        ("idling", Setup::idling()),
    ]
}

/// An answer in a few words.
#[must_use]
pub fn answer(answer: Answer) -> String {
    match answer {
        Answer::Works(Works::Alive) => "works".into(),
        Answer::Works(Works::Dead) => "dead".into(),
        Answer::Works(Works::Sometimes) => "comes and goes".into(),
        Answer::Spark(Spark::Yes) => "regular sparks".into(),
        Answer::Spark(Spark::No) => "no spark".into(),
        Answer::Spark(Spark::Weak) => "weak sparks".into(),
        Answer::Spark(Spark::WrongTime) => "sparks at the wrong time".into(),
        Answer::Volts(low, high) => range(low, high, volts),
        Answer::Ohms(low, high) => range(low, high, ohms),
        Answer::Overload => "OL: no way through".into(),
        Answer::Glow(Glow::Bright) => "bright".into(),
        Answer::Glow(Glow::Dim) => "dim".into(),
        Answer::Glow(Glow::Off) => "dark".into(),
        Answer::Glow(Glow::Flickering) => "flickers with the engine".into(),
        Answer::Look(Look::Sound) => "looks sound".into(),
        Answer::Look(Look::Damaged) => "damaged, burnt, green or loose".into(),
        Answer::Effect(Effect::Same) => "no change".into(),
        Answer::Effect(Effect::Cured) => "the fault went away".into(),
        Answer::Effect(Effect::Changed) => "something else changed".into(),
        Answer::Swap(SwapOutcome::Moved) => "the fault moved with it".into(),
        Answer::Swap(SwapOutcome::Stayed) => "the fault stayed".into(),
        Answer::Swap(SwapOutcome::Gone) => "the fault went away".into(),
        Answer::Swap(SwapOutcome::Changed) => "something else changed".into(),
        Answer::Stored(Stored::Present) => "stored".into(),
        Answer::Stored(Stored::Absent) => "no codes".into(),
        Answer::Compression(CompressionResult::Good) => "like its neighbours".into(),
        Answer::Compression(CompressionResult::Low) => "clearly lower".into(),
    }
}

fn range(low: f64, high: f64, words: impl Fn(f64) -> String) -> String {
    let equal = (low - high).abs() < f64::EPSILON;
    match (low.is_finite(), high.is_finite()) {
        (true, true) if equal => words(low),
        (true, true) => format!("{} to {}", words(low), words(high)),
        (true, false) => format!("above {}", words(low)),
        (false, true) => format!("below {}", words(high)),
        (false, false) => "any reading".into(),
    }
}

/// A cylinder with what was said of it.
#[must_use]
pub fn cylinder_state(cylinder: CylinderId, works: Option<Works>) -> String {
    let state = works.map_or("not looked at yet", works_word);
    format!("Cylinder {cylinder}: {state}")
}

/// What a cylinder does.
#[must_use]
pub const fn works_word(works: Works) -> &'static str {
    match works {
        Works::Alive => "works",
        Works::Dead => "dead",
        Works::Sometimes => "comes and goes",
    }
}

/// A finding as a sentence.
#[must_use]
pub fn sentence(harness: &Harness, finding: &Finding) -> String {
    let spot = |terminal| harness.terminal_name(terminal);
    let effect = |effect: Effect| match effect {
        Effect::Same => "nothing changed",
        Effect::Cured => "the fault went away",
        Effect::Changed => "something else changed",
    };
    let standing = || {
        finding.setup.as_ref().map_or_else(String::new, |setup| {
            format!(" ({})", setup_words(harness, setup))
        })
    };
    match &finding.seen {
        Seen::Contribution { cylinder, works } => match works {
            Works::Alive => format!("Cylinder {cylinder} works."),
            Works::Dead => format!("Cylinder {cylinder} is dead."),
            Works::Sometimes => format!("Cylinder {cylinder} comes and goes."),
        },
        Seen::Spark { cylinder, spark } => match spark {
            Spark::Yes => format!("Regular sparks at the lead of cylinder {cylinder}."),
            Spark::No => format!("No spark at the lead of cylinder {cylinder}."),
            Spark::Weak => format!("Weak sparks at the lead of cylinder {cylinder}."),
            Spark::WrongTime => {
                format!("Sparks at the wrong time at the lead of cylinder {cylinder}.")
            }
        },
        Seen::Volts {
            red,
            black,
            reading,
        } => {
            let black = black.map_or_else(String::new, |black| format!(" to {}", spot(black)));
            format!(
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
                OhmReading::Overload => "OL, no way through,".into(),
            };
            format!("{read} from {} to {}.", spot(*red), spot(*black))
        }
        Seen::Drop {
            red,
            black,
            reading,
        } => format!(
            "{} lost under load from {} to {}{}.",
            volts(reading.get()),
            spot(*red),
            spot(*black),
            standing()
        ),
        Seen::Lamp { red, black, glow } => {
            let glow = match glow {
                Glow::Bright => "bright",
                Glow::Dim => "dim",
                Glow::Off => "dark",
                Glow::Flickering => "flickering",
            };
            format!(
                "A test lamp from {} to {} was {glow}{}.",
                spot(*red),
                spot(*black),
                standing()
            )
        }
        Seen::Look { element, look } => {
            let name = harness.element_name(*element);
            match look {
                Look::Sound => format!("{name} looks sound."),
                Look::Damaged => format!("{name} looks damaged, burnt, green or loose."),
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
            effect(*after)
        ),
        Seen::Substituted {
            part,
            with,
            effect: after,
        } => {
            let with = match with {
                Substitute::New => "a new one",
                Substitute::KnownGood => "one known to work",
            };
            format!(
                "Put {with} in place of {}: {}.",
                harness.part_name(*part),
                effect(*after)
            )
        }
        Seen::Swapped { what, outcome } => {
            let (a, b) = pair(harness, *what);
            let outcome = match outcome {
                SwapOutcome::Moved => "the fault moved with it",
                SwapOutcome::Stayed => "the fault stayed where it was",
                SwapOutcome::Gone => "the fault went away",
                SwapOutcome::Changed => "something else changed",
            };
            format!("Swapped {a} and {b}: {outcome}.")
        }
        Seen::Cleaned {
            element,
            effect: after,
        } => format!(
            "Cleaned {}: {}.",
            harness.element_name(*element),
            effect(*after)
        ),
        Seen::Remade {
            element,
            effect: after,
        } => format!(
            "Made {} anew: {}.",
            harness.element_name(*element),
            effect(*after)
        ),
        Seen::Code { code, stored } => match (code, stored) {
            (Some(code), Stored::Present) => format!("Code {code} is stored."),
            (Some(code), Stored::Absent) => format!("Code {code} is not stored."),
            (None, Stored::Present | Stored::Absent) => "No trouble codes are stored.".into(),
        },
        Seen::Compression { cylinder, result } => match result {
            CompressionResult::Good => {
                format!("Compression of cylinder {cylinder} is like its neighbours’.")
            }
            CompressionResult::Low => {
                format!("Compression of cylinder {cylinder} is clearly lower.")
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
            .map_or_else(|| "a transistor".into(), |driver| driver.name.clone())
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
pub const fn stressed(by: StressKind) -> &'static str {
    match by {
        StressKind::Wiggled => "Wiggled",
        StressKind::Heated => "Heated",
        StressKind::Cooled => "Cooled",
    }
}

/// Ways to provoke, in the order of the list.
pub const STRESSES: [StressKind; 3] = [StressKind::Wiggled, StressKind::Heated, StressKind::Cooled];

/// What was put in, in the order of the list.
pub const SUBSTITUTES: [(&str, Substitute); 2] = [
    ("one known to work", Substitute::KnownGood),
    ("a new one", Substitute::New),
];

/// What should have been read.
#[must_use]
pub fn expected(reading: &str) -> String {
    format!("expected {reading}")
}

/// A field was left open.
#[must_use]
pub fn missing(field: &str) -> String {
    format!("“{field}” is still open: choose something there.")
}

/// Why what was typed is no reading, and what to do.
#[must_use]
pub fn mistyped(why: Mistyped, typed: &str) -> String {
    match why {
        Mistyped::NoVolts => no_volts(typed),
        Mistyped::NoOhms => no_ohms(typed),
        Mistyped::OhmsForVolts => OHMS_FOR_VOLTS.into(),
        Mistyped::VoltsForOhms => VOLTS_FOR_OHMS.into(),
        Mistyped::TooManyVolts => TOO_MANY_VOLTS.into(),
        Mistyped::NegativeOhms => NEGATIVE_OHMS.into(),
        Mistyped::TooManyOhms => TOO_MANY_OHMS.into(),
    }
}

/// A resistance where a voltage was asked for.
pub const OHMS_FOR_VOLTS: &str =
    "That is a resistance; a voltage is asked for. Turn the meter to DC volts, battery connected.";
/// A voltage where a resistance was asked for.
pub const VOLTS_FOR_OHMS: &str = "That is a voltage; a resistance is asked for. Take the battery off and turn the meter to ohms.";

/// What was typed is no voltage.
fn no_volts(typed: &str) -> String {
    format!(
        "“{}” is no voltage. Type what the meter showed, such as 12.4 or -0.2.",
        typed.trim()
    )
}

/// What was typed is no resistance.
fn no_ohms(typed: &str) -> String {
    format!(
        "“{}” is no resistance. Type what the meter showed, such as 0.5, 12.5k, or OL.",
        typed.trim()
    )
}

/// A voltage that a car does not have.
pub const TOO_MANY_VOLTS: &str =
    "No car’s wiring stands at more than 60 V. Check the meter’s range, and the decimal point.";
/// A resistance below nothing.
pub const NEGATIVE_OHMS: &str =
    "A resistance is never below 0. Check the sign, and that the battery was off.";
/// A resistance that no meter shows.
pub const TOO_MANY_OHMS: &str =
    "No ohmmeter shows so much. Type OL if it showed no way through, or check kΩ and MΩ.";
/// Both leads on one place.
pub const SAME_PLACE: &str = "Both leads stand on the same place: choose two.";
/// A part swapped with itself.
pub const SAME_PART: &str = "A part cannot change places with itself: choose two.";
/// No code was typed.
pub const NO_CODE: &str = "Type the code that was stored, such as P0301, or choose “no codes”.";
