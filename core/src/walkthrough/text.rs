//! A walk as text that can be kept: its kind and replies on one line each, its subject as a harness file.
//!
//! ```text
//! sparktrail-walk 1 continuity steady
//! 0.2Ω
//! 0.31Ω 41
//!
//! { "format": "sparktrail-harness", … one finding: the subject … }
//! ```

use super::kind::Kind;
use super::step::Reply;
use super::walk::{Given, Shows, Walk};
use crate::isolation::{Answer, Question};
use crate::model::{
    CompressionResult, Effect, FaultThen, Finding, FindingId, Glow, Harness, Look, OhmReading,
    Seen, Setup, Spark, Stored, SwapOutcome, Works, file,
};
use crate::units::{Ohms, Volts};

/// Why a text is no walk.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoWalk {
    /// It says so of itself, or says nothing.
    #[error("this is no kept walk; begin a new one")]
    NotOne,
    /// Written by a newer version.
    #[error(
        "this walk was kept by a newer version of the program; reload the page, or begin a new walk"
    )]
    Newer,
    /// What it is about cannot be read.
    #[error("what the walk is about cannot be read; begin a new one")]
    Subject,
    /// One of its replies cannot be read.
    #[error("reply {0} of the walk cannot be read; begin a new one")]
    Reply(usize),
}

const HEAD: &str = "sparktrail-walk";
const VERSION: u32 = 1;

impl Walk {
    /// The walk as text, for [`Self::of_text`]. `harness`: the map that it belongs to.
    #[must_use]
    pub fn text(&self, harness: &Harness) -> String {
        let shows = match self.shows {
            Shows::Steady => "steady",
            Shows::Wavers => "wavers",
        };
        let mut text = format!("{HEAD} {VERSION} {} {shows}\n", self.kind.word());
        for given in &self.given {
            text.push_str(&reply_text(given.reply));
            for finding in &given.findings {
                text.push_str(&format!(" {}", finding.number()));
            }
            text.push('\n');
        }
        text.push('\n');
        if let Some(seen) = subject(&self.kind) {
            // A map without parts: what it names is written as gone, and read back as it was.
            let mut about = Harness::new("", harness.engine.clone());
            about.next_id = 2;
            about.findings.push(finding(seen, stood(&self.kind)));
            text.push_str(&file::write(&about));
        }
        text
    }

    /// The walk in a text.
    ///
    /// # Errors
    /// [`NoWalk`].
    pub fn of_text(text: &str) -> Result<Self, NoWalk> {
        let (walk, about) = text.split_once("\n\n").ok_or(NoWalk::NotOne)?;
        let mut lines = walk.lines();
        let head: Vec<&str> = lines.next().unwrap_or_default().split(' ').collect();
        let &[HEAD, version, word, shows] = head.as_slice() else {
            return Err(NoWalk::NotOne);
        };
        if version.parse::<u32>().map_err(|_| NoWalk::NotOne)? > VERSION {
            return Err(NoWalk::Newer);
        }
        let shows = match shows {
            "steady" => Shows::Steady,
            "wavers" => Shows::Wavers,
            _ => return Err(NoWalk::NotOne),
        };
        let about = if about.is_empty() {
            None
        } else {
            let harness = file::read(about).map_err(|_| NoWalk::Subject)?;
            Some(harness.findings.into_iter().next().ok_or(NoWalk::Subject)?)
        };
        let given = lines
            .enumerate()
            .map(|(place, line)| given(line).ok_or(NoWalk::Reply(place + 1)))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            kind: kind(word, about.as_ref()).ok_or(NoWalk::Subject)?,
            shows,
            given,
        })
    }
}

fn finding(seen: Seen, setup: Option<Setup>) -> Finding {
    Finding {
        setup,
        ..Finding::new(FindingId::from_number(1), seen, FaultThen::Unknown)
    }
}

/// What a walk is about, as something seen; its reading says nothing.
fn subject(kind: &Kind) -> Option<Seen> {
    match kind {
        Kind::Dead | Kind::Mended(None) => None,
        Kind::Continuity { from, to } => Some(Seen::Resistance {
            red: *from,
            black: *to,
            reading: OhmReading::Ohms(Ohms::ZERO),
        }),
        Kind::Siblings { of } => Some(Seen::Volts {
            red: *of,
            black: None,
            reading: Volts::ZERO,
        }),
        Kind::Drop { from, to } => Some(Seen::Drop {
            red: *from,
            black: *to,
            reading: Volts::ZERO,
        }),
        Kind::Spark(cylinder) => Some(Seen::Spark {
            cylinder: *cylinder,
            spark: Spark::Yes,
        }),
        Kind::Swap(pair) => Some(Seen::Swapped {
            what: *pair,
            outcome: SwapOutcome::Stayed,
        }),
        Kind::Stress(element) => Some(Seen::Stress {
            element: *element,
            by: crate::model::StressKind::Wiggled,
            effect: Effect::Same,
        }),
        Kind::Mended(Some(question)) | Kind::Single(question) => Some(of_question(question)),
    }
}

fn stood(kind: &Kind) -> Option<Setup> {
    match kind {
        Kind::Single(question) => question.probes().map(|probes| probes.setup.clone()),
        Kind::Dead
        | Kind::Continuity { .. }
        | Kind::Siblings { .. }
        | Kind::Drop { .. }
        | Kind::Spark(_)
        | Kind::Swap(_)
        | Kind::Stress(_)
        | Kind::Mended(_) => None,
    }
}

/// A question with an answer that says nothing.
fn of_question(question: &Question) -> Seen {
    let answer = match question {
        Question::Contribution(_) => Answer::Works(Works::Alive),
        Question::Spark(_) => Answer::Spark(Spark::Yes),
        Question::Volts(_) | Question::Drop(_) => Answer::Volts(0.0, 0.0),
        Question::Resistance(_) => Answer::Overload,
        Question::Lamp(_) => Answer::Glow(Glow::Off),
        Question::Look(_) => Answer::Look(Look::Sound),
        Question::Stress(..)
        | Question::Substitute(..)
        | Question::Clean(_)
        | Question::Remake(_) => Answer::Effect(Effect::Same),
        Question::Swap(_) => Answer::Swap(SwapOutcome::Stayed),
        Question::Code(_) => Answer::Stored(Stored::Present),
        Question::AnyCode => Answer::Stored(Stored::Absent),
        Question::Compression(_) => Answer::Compression(CompressionResult::Good),
    };
    // Every arm above answers its question; a lead that touches nothing asks for nothing.
    question.seen(answer).map_or(
        Seen::Code {
            code: None,
            stored: Stored::Absent,
        },
        |(seen, _)| seen,
    )
}

fn kind(word: &str, about: Option<&Finding>) -> Option<Kind> {
    match word {
        "dead" => return Some(Kind::Dead),
        "mended" => return Some(Kind::Mended(about.map(|finding| Question::of(finding).0))),
        _ => {}
    }
    let about = about?;
    Some(match (word, &about.seen) {
        ("continuity", Seen::Resistance { red, black, .. }) => Kind::Continuity {
            from: *red,
            to: *black,
        },
        ("siblings", Seen::Volts { red, .. }) => Kind::Siblings { of: *red },
        ("drop", Seen::Drop { red, black, .. }) => Kind::Drop {
            from: *red,
            to: *black,
        },
        ("spark", Seen::Spark { cylinder, .. }) => Kind::Spark(*cylinder),
        ("swap", Seen::Swapped { what, .. }) => Kind::Swap(*what),
        ("stress", Seen::Stress { element, .. }) => Kind::Stress(*element),
        ("single", _) => Kind::Single(Question::of(about).0),
        _ => return None,
    })
}

/// The replies that are words.
const WORDS: [(&str, Reply); 31] = [
    ("done", Reply::Done),
    ("yes", Reply::Yes),
    ("no", Reply::No),
    ("unsure", Reply::Unsure),
    ("only-cranks", Reply::OnlyCranks),
    ("the-rest-work", Reply::TheRestWork),
    ("OL", Reply::Found(Answer::Overload)),
    ("alive", Reply::Found(Answer::Works(Works::Alive))),
    ("dead", Reply::Found(Answer::Works(Works::Dead))),
    ("sometimes", Reply::Found(Answer::Works(Works::Sometimes))),
    ("spark", Reply::Found(Answer::Spark(Spark::Yes))),
    ("no-spark", Reply::Found(Answer::Spark(Spark::No))),
    ("weak-spark", Reply::Found(Answer::Spark(Spark::Weak))),
    ("wrong-time", Reply::Found(Answer::Spark(Spark::WrongTime))),
    ("bright", Reply::Found(Answer::Glow(Glow::Bright))),
    ("dim", Reply::Found(Answer::Glow(Glow::Dim))),
    ("off", Reply::Found(Answer::Glow(Glow::Off))),
    ("flickering", Reply::Found(Answer::Glow(Glow::Flickering))),
    ("sound", Reply::Found(Answer::Look(Look::Sound))),
    ("damaged", Reply::Found(Answer::Look(Look::Damaged))),
    ("same", Reply::Found(Answer::Effect(Effect::Same))),
    ("cured", Reply::Found(Answer::Effect(Effect::Cured))),
    ("changed", Reply::Found(Answer::Effect(Effect::Changed))),
    ("moved", Reply::Found(Answer::Swap(SwapOutcome::Moved))),
    ("stayed", Reply::Found(Answer::Swap(SwapOutcome::Stayed))),
    ("gone", Reply::Found(Answer::Swap(SwapOutcome::Gone))),
    (
        "swap-changed",
        Reply::Found(Answer::Swap(SwapOutcome::Changed)),
    ),
    ("stored", Reply::Found(Answer::Stored(Stored::Present))),
    ("not-stored", Reply::Found(Answer::Stored(Stored::Absent))),
    (
        "good",
        Reply::Found(Answer::Compression(CompressionResult::Good)),
    ),
    (
        "low",
        Reply::Found(Answer::Compression(CompressionResult::Low)),
    ),
];

fn reply_text(reply: Reply) -> String {
    // As many digits as it takes to read back equal.
    if let Reply::Found(Answer::Volts(value, _)) = reply {
        return format!("{value}V");
    }
    if let Reply::Found(Answer::Ohms(value, _)) = reply {
        return format!("{value}Ω");
    }
    let known = WORDS.iter().find(|(_, word)| *word == reply);
    known.map_or("?", |(word, _)| word).to_owned()
}

fn given(line: &str) -> Option<Given> {
    let mut words = line.split(' ');
    let word = words.next()?;
    let number = |unit| word.strip_suffix(unit)?.parse::<f64>().ok();
    let reply = if let Some(volts) = number('V') {
        Reply::Found(Answer::Volts(volts, volts).checked().ok()?)
    } else if let Some(ohms) = number('Ω') {
        Reply::Found(Answer::Ohms(ohms, ohms).checked().ok()?)
    } else {
        WORDS.iter().find(|(known, _)| *known == word)?.1
    };
    let findings = words
        .map(|word| word.parse().ok().map(FindingId::from_number))
        .collect::<Option<_>>()?;
    Some(Given { reply, findings })
}
