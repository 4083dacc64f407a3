//! Words of what was seen and measured: the list of findings and the form that adds one.

mod sentence;

use crate::text::{Text, text};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Mistyped, Question};
use sparktrail_core::model::{
    CompressionResult, Effect, Element, FaultThen, Glow, Harness, Look, Setup, Spark, Stored,
    StressKind, Substitute, SwapOutcome, Works,
};
use sparktrail_core::said::{said, say};

use super::meter::{ohms, setup as setup_words, volts};

pub use sentence::{pair, sentence, stressed};

/// Heading of the list.
pub const HEADING: Text = text("Findings");
/// Nothing was found yet.
pub const NONE: Text =
    text("Nothing yet. Mark the dead cylinders above, or add what you saw or measured.");
/// Heading over the cylinders.
pub const CYLINDERS: Text = text("Which cylinders are dead?");
/// What a tap does.
pub const CYLINDERS_HINT: Text = text(
    "Tap once for a dead cylinder, again for one that works, a third time for one that comes and goes. Each tap counts at once.",
);
/// Why to say it of the others too.
pub const OTHERS_HINT: Text = text(
    "What works counts as much as what is dead: it rules out whatever serves the whole engine.",
);
/// The cylinders that nothing was said of.
pub const OTHERS_WORK: Text = text("All the others work");
/// Heading over what can be said of a place in one tap.
pub const SEEN_HERE: Text = text("What did you see here?");
/// Heading over what can be said of its pieces, where there are many.
pub const MORE_HERE: Text = text("The same at its other pieces");
/// A reading at a place.
pub const VOLTS_HERE: Text = text("Volts from here to battery minus. Then say how the car stands:");
/// It was entered.
pub const ENTERED: Text = text("Entered.");
/// Heading of the form.
pub const ADD: Text = text("Add a finding");
/// What was done.
pub const KIND: Text = text("What did you do?");
/// Enter it.
pub const ENTER: Text = text("Enter it");
/// It no longer counts.
pub const TAKE_BACK: Text = text("Take back");
/// It was entered wrongly.
pub const CHANGE: Text = text("Change it");
/// What was changed is entered.
pub const CHANGE_DONE: Text = text("Keep the change");
/// It stays as it was.
pub const LEAVE_IT: Text = text("Leave it");
/// It says something else now.
pub const CHANGED: Text = text("Changed.");
/// It counts again.
pub const PUT_BACK: Text = text("Put back");
/// It does not count.
pub const TAKEN_BACK: Text = text("taken back");
/// The fault did not show then.
pub const AWAY: Text = text("The fault was away at the time");
/// Whether the fault showed, in the form.
pub const THEN: Text = text("Was the fault there at the time?");
/// Choices for that, in the order of the list.
pub const THENS: [(Text, FaultThen); 3] = [
    (text("not sure"), FaultThen::Unknown),
    (text("yes"), FaultThen::Present),
    (text("no, it was away"), FaultThen::Away),
];
/// Nothing chosen yet.
pub const CHOOSE: Text = text("choose…");
/// Fields.
pub const CYLINDER: Text = text("Cylinder");
/// Where the red lead was.
pub const RED: Text = text("Red lead on");
/// Where the black lead was.
pub const BLACK: Text = text("Black lead on");
/// What came out.
pub const OUTCOME: Text = text("What came of it?");
/// What was looked at.
pub const ELEMENT: Text = text("Which piece?");
/// Which part.
pub const PART: Text = text("Which part?");
/// The other part.
pub const OTHER: Text = text("With which?");
/// How it was provoked.
pub const BY: Text = text("How?");
/// A code.
pub const CODE: Text = text("Code");
/// The setup.
pub const SETUP: Text = text("How the car stood");
/// A voltage.
pub const VOLTS: Text = text("It read, in V");
/// A resistance.
pub const OHMS: Text = text("It read, in Ω (k and M are understood, OL for none)");

/// The cylinders of which nothing was said.
#[must_use]
pub fn untold(cylinders: &[CylinderId]) -> String {
    match cylinders {
        [one] => say!("You have said nothing of cylinder {one}."),
        many => {
            let numbers: Vec<String> = many.iter().map(ToString::to_string).collect();
            let numbers = numbers.join(", ");
            say!("You have said nothing of cylinders {numbers}.")
        }
    }
}

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

/// What was held to the two places of a reading: a meter's leads, or a lamp's tip and clip.
#[must_use]
pub const fn ends(kind: Kind) -> [Text; 2] {
    match kind {
        Kind::Lamp => [text("Tip of the lamp on"), text("Clip of the lamp on")],
        Kind::Resistance
        | Kind::Volts
        | Kind::Spark
        | Kind::Contribution
        | Kind::Drop
        | Kind::Look
        | Kind::Stress
        | Kind::Swapped
        | Kind::Substituted
        | Kind::Cleaned
        | Kind::Remade
        | Kind::Code
        | Kind::Compression => [RED, BLACK],
    }
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

    /// The kind of the findings that answer a question.
    #[must_use]
    pub const fn of(question: &Question) -> Self {
        match question {
            Question::Contribution(_) => Self::Contribution,
            Question::Spark(_) => Self::Spark,
            Question::Volts(_) => Self::Volts,
            Question::Resistance(_) => Self::Resistance,
            Question::Drop(_) => Self::Drop,
            Question::Lamp(_) => Self::Lamp,
            Question::Look(_) => Self::Look,
            Question::Stress(..) => Self::Stress,
            Question::Substitute(..) => Self::Substituted,
            Question::Swap(_) => Self::Swapped,
            Question::Clean(_) => Self::Cleaned,
            Question::Remake(_) => Self::Remade,
            Question::Code(_) | Question::AnyCode => Self::Code,
            Question::Compression(_) => Self::Compression,
        }
    }

    /// Its name in the list.
    #[must_use]
    pub fn name(self) -> &'static str {
        said(match self {
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
        })
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
pub fn setups(kind: Kind) -> Vec<Setup> {
    match kind {
        Kind::Volts | Kind::Lamp => vec![Setup::key_on(), Setup::idling()],
        Kind::Drop => vec![Setup::idling()],
        Kind::Resistance => vec![Setup::battery_off()],
        Kind::Contribution
        | Kind::Spark
        | Kind::Look
        | Kind::Stress
        | Kind::Substituted
        | Kind::Swapped
        | Kind::Cleaned
        | Kind::Remade
        | Kind::Code
        | Kind::Compression => Vec::new(),
    }
}

/// What a wiggle, warmth or cold did, where it did something.
pub const CAME: Text = text("the fault came, or got worse");

/// An answer to a question in a few words.
#[must_use]
pub fn answer_to(question: &Question, said: Answer) -> String {
    match (question, said) {
        (Question::Stress(..), Answer::Effect(Effect::Changed)) => CAME.said().to_owned(),
        (Question::Look(Element::Cylinder(_)), Answer::Look(look)) => match look {
            Look::Sound => say!("it gets fuel and air"),
            Look::Damaged => say!("something is wrong there"),
        },
        (_, said) => answer(said),
    }
}

/// How the car stands, in few words where it is usual.
#[must_use]
pub fn stands(harness: &Harness, setup: &Setup) -> String {
    if *setup == Setup::key_on() {
        say!("key on, engine stopped")
    } else if *setup == Setup::idling() {
        say!("idling")
    } else {
        setup_words(harness, setup)
    }
}

/// An answer in a few words.
#[must_use]
pub fn answer(answer: Answer) -> String {
    match answer {
        Answer::Works(Works::Alive) => say!("works"),
        Answer::Works(Works::Dead) => say!("dead"),
        Answer::Works(Works::Sometimes) => say!("comes and goes"),
        Answer::Spark(Spark::Yes) => say!("regular sparks"),
        Answer::Spark(Spark::No) => say!("no spark"),
        Answer::Spark(Spark::Weak) => say!("weak sparks"),
        Answer::Spark(Spark::WrongTime) => say!("sparks at the wrong time"),
        Answer::Volts(low, high) => range(low, high, volts),
        Answer::Ohms(low, high) => range(low, high, ohms),
        Answer::Overload => say!("OL: no way through"),
        Answer::Glow(Glow::Bright) => say!("bright"),
        Answer::Glow(Glow::Dim) => say!("dim"),
        Answer::Glow(Glow::Off) => say!("dark"),
        Answer::Glow(Glow::Flickering) => say!("flickers with the engine"),
        Answer::Look(Look::Sound) => say!("looks sound"),
        Answer::Look(Look::Damaged) => say!("damaged, burnt, green or loose"),
        Answer::Effect(Effect::Same) => say!("no change"),
        Answer::Effect(Effect::Cured) => say!("the fault went away"),
        Answer::Effect(Effect::Changed) => say!("something else changed"),
        Answer::Swap(SwapOutcome::Moved) => say!("the fault moved with it"),
        Answer::Swap(SwapOutcome::Stayed) => say!("the fault stayed"),
        Answer::Swap(SwapOutcome::Gone) => say!("the fault went away"),
        Answer::Swap(SwapOutcome::Changed) => say!("something else changed"),
        Answer::Stored(Stored::Present) => say!("stored"),
        Answer::Stored(Stored::Absent) => say!("no codes"),
        Answer::Compression(CompressionResult::Good) => say!("like its neighbours"),
        Answer::Compression(CompressionResult::Low) => say!("clearly lower"),
    }
}

fn range(low: f64, high: f64, words: impl Fn(f64) -> String) -> String {
    let equal = (low - high).abs() < f64::EPSILON;
    match (low.is_finite(), high.is_finite()) {
        (true, true) if equal => words(low),
        (true, true) => say!("{} to {}", words(low), words(high)),
        (true, false) => say!("above {}", words(low)),
        (false, true) => say!("below {}", words(high)),
        (false, false) => say!("any reading"),
    }
}

/// A cylinder with what was said of it.
#[must_use]
pub fn cylinder_state(cylinder: CylinderId, works: Option<Works>) -> String {
    let state = works.map_or(said("not looked at yet"), works_word);
    say!("Cylinder {cylinder}: {state}")
}

/// What a cylinder does.
#[must_use]
pub fn works_word(works: Works) -> &'static str {
    said(match works {
        Works::Alive => "works",
        Works::Dead => "dead",
        Works::Sometimes => "comes and goes",
    })
}

/// Ways to provoke, in the order of the list.
pub const STRESSES: [StressKind; 3] = [StressKind::Wiggled, StressKind::Heated, StressKind::Cooled];

/// What was put in, in the order of the list.
pub const SUBSTITUTES: [(Text, Substitute); 2] = [
    (text("one known to work"), Substitute::KnownGood),
    (text("a new one"), Substitute::New),
];

/// What should have been read.
#[must_use]
pub fn expected(reading: &str) -> String {
    say!("expected {reading}")
}

/// A field was left open.
#[must_use]
pub fn missing(field: &str) -> String {
    say!("“{field}” is still open: choose something there.")
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
pub const OHMS_FOR_VOLTS: Text = text(
    "That is a resistance; a voltage is asked for. Turn the meter to DC volts, battery connected.",
);
/// A voltage where a resistance was asked for.
pub const VOLTS_FOR_OHMS: Text = text(
    "That is a voltage; a resistance is asked for. Take the battery off and turn the meter to ohms.",
);

/// What was typed is no voltage.
fn no_volts(typed: &str) -> String {
    say!(
        "“{}” is no voltage. Type what the meter showed, such as 12.4 or -0.2.",
        typed.trim()
    )
}

/// What was typed is no resistance.
fn no_ohms(typed: &str) -> String {
    say!(
        "“{}” is no resistance. Type what the meter showed, such as 0.5, 12.5k, or OL.",
        typed.trim()
    )
}

/// A voltage that a car does not have.
pub const TOO_MANY_VOLTS: Text = text(
    "No car’s wiring stands at more than 60 V. Check the meter’s range, and the decimal point.",
);
/// A resistance below nothing.
pub const NEGATIVE_OHMS: Text =
    text("A resistance is never below 0. Check the sign, and that the battery was off.");
/// A resistance that no meter shows.
pub const TOO_MANY_OHMS: Text =
    text("No ohmmeter shows so much. Type OL if it showed no way through, or check kΩ and MΩ.");
/// Both leads on one place.
pub const SAME_PLACE: Text = text("Both leads stand on the same place: choose two.");
/// A part swapped with itself.
pub const SAME_PART: Text = text("A part cannot change places with itself: choose two.");
/// No code was typed.
pub const NO_CODE: Text =
    text("Type the code that was stored, such as P0301, or choose “no codes”.");
