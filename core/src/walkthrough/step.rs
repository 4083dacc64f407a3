//! One step of a walk: what to do, how the car has to stand, and which replies it takes.

use super::bench::Bench;
use crate::electrics::Reading;
use crate::isolation::{Answer, Mistyped, Probes, Question};
use crate::model::{
    CompressionResult, Effect, Glow, Harness, Look, Setup, Spark, Stored, SwapOutcome, SwapPair,
    Works,
};

/// One step of a walk.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What to do.
    pub task: Task,
    /// How the car has to stand.
    pub setup: Setup,
    /// What can be replied.
    pub replies: Replies,
    /// How many steps may follow at most, this one left out.
    pub left: usize,
}

/// What to do at a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Start the engine: does it run by itself?
    Runs,
    /// See whether the fault shows now.
    FaultNow,
    /// Hold both leads of an ohmmeter together: what do leads and meter show by themselves?
    LeadsTogether,
    /// Measure where the answer is known: the battery. It proves the meter, its range and the black lead.
    Reference(Probes),
    /// The same with a test lamp.
    LampReference(Probes),
    /// Find something out; its answer is evidence.
    Ask(Question),
    /// The same on a cylinder that works, to see that the tool does.
    ProveTool(Question),
    /// Let two like things change places.
    Exchange(SwapPair),
    /// Carry out what a question is about: clean, make anew, put another part in.
    Carry(Question),
    /// Put everything back as it belongs.
    Restore,
    /// Clear the stored trouble codes.
    ClearCodes,
    /// Let the engine get warm, and drive where the fault used to show.
    Warm,
}

/// What a step is done with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Instrument {
    /// Meter on DC volts.
    Volts,
    /// Meter on ohms.
    Ohms,
    /// Test lamp.
    Lamp,
    /// Timing light or spark tester.
    Flash,
}

/// One reply.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reply {
    /// It is done.
    Done,
    /// Yes.
    Yes,
    /// No.
    No,
    /// Nobody can tell.
    Unsure,
    /// The starter turns it, it does not run.
    OnlyCranks,
    /// All cylinders that were not asked for yet work.
    TheRestWork,
    /// What was found.
    Found(Answer),
}

/// What can be replied to a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Replies {
    /// One of these.
    Choice(Vec<Reply>),
    /// A voltage.
    Volts,
    /// A resistance or overload.
    Ohms,
}

/// Why a reply is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// The step does not take it.
    #[error("this step takes no such reply; give one of those that it offers")]
    NotOffered,
    /// It is no reading.
    #[error(transparent)]
    Mistyped(#[from] Mistyped),
    /// The walk is over.
    #[error("the walk is over; take a step back or begin again")]
    Over,
}

impl Replies {
    /// Exactly these.
    pub(super) fn of(replies: &[Reply]) -> Self {
        Self::Choice(replies.to_vec())
    }

    /// What a question can be answered with.
    #[must_use]
    pub fn to(question: &Question) -> Self {
        let found =
            |answers: Vec<Answer>| Self::Choice(answers.into_iter().map(Reply::Found).collect());
        match question {
            Question::Contribution(_) => found(
                [Works::Alive, Works::Dead, Works::Sometimes]
                    .map(Answer::Works)
                    .to_vec(),
            ),
            Question::Spark(_) => found(
                [Spark::Yes, Spark::No, Spark::Weak, Spark::WrongTime]
                    .map(Answer::Spark)
                    .to_vec(),
            ),
            Question::Volts(_) | Question::Drop(_) => Self::Volts,
            Question::Resistance(_) => Self::Ohms,
            Question::Lamp(_) => found(
                [Glow::Bright, Glow::Dim, Glow::Off, Glow::Flickering]
                    .map(Answer::Glow)
                    .to_vec(),
            ),
            Question::Look(_) => found([Look::Sound, Look::Damaged].map(Answer::Look).to_vec()),
            Question::Stress(..)
            | Question::Substitute(..)
            | Question::Clean(_)
            | Question::Remake(_) => found(
                [Effect::Same, Effect::Cured, Effect::Changed]
                    .map(Answer::Effect)
                    .to_vec(),
            ),
            Question::Swap(_) => found(
                [
                    SwapOutcome::Moved,
                    SwapOutcome::Stayed,
                    SwapOutcome::Gone,
                    SwapOutcome::Changed,
                ]
                .map(Answer::Swap)
                .to_vec(),
            ),
            Question::Code(_) | Question::AnyCode => found(
                [Stored::Absent, Stored::Present]
                    .map(Answer::Stored)
                    .to_vec(),
            ),
            Question::Compression(_) => found(
                [CompressionResult::Good, CompressionResult::Low]
                    .map(Answer::Compression)
                    .to_vec(),
            ),
        }
    }

    /// Whether a reply is one of these, and no impossible reading.
    ///
    /// # Errors
    /// [`Refused::NotOffered`], or which bound a reading breaks.
    pub fn take(&self, reply: Reply) -> Result<Reply, Refused> {
        match (self, reply) {
            (Self::Choice(offered), _) if offered.contains(&reply) => Ok(reply),
            (Self::Volts, Reply::Found(answer @ Answer::Volts(..)))
            | (Self::Ohms, Reply::Found(answer @ (Answer::Ohms(..) | Answer::Overload))) => {
                answer.checked()?;
                Ok(reply)
            }
            (Self::Volts, Reply::Found(Answer::Ohms(..) | Answer::Overload)) => {
                Err(Mistyped::OhmsForVolts.into())
            }
            (Self::Ohms, Reply::Found(Answer::Volts(..))) => Err(Mistyped::VoltsForOhms.into()),
            (Self::Choice(_) | Self::Volts | Self::Ohms, _) => Err(Refused::NotOffered),
        }
    }

    /// The reply that somebody typed, where a reading is asked for.
    ///
    /// # Errors
    /// [`Refused`]: no number, the wrong unit, an impossible value.
    pub fn typed(&self, text: &str) -> Result<Reply, Refused> {
        match self {
            Self::Volts => Ok(Reply::Found(Answer::volts_typed(text)?)),
            Self::Ohms => Ok(Reply::Found(Answer::ohms_typed(text)?)),
            Self::Choice(_) => Err(Refused::NotOffered),
        }
    }
}

impl Step {
    /// What it is done with, where a tool is needed.
    #[must_use]
    pub const fn instrument(&self) -> Option<Instrument> {
        match &self.task {
            Task::LeadsTogether | Task::Ask(Question::Resistance(_)) => Some(Instrument::Ohms),
            Task::Reference(_) | Task::Ask(Question::Volts(_) | Question::Drop(_)) => {
                Some(Instrument::Volts)
            }
            Task::LampReference(_) | Task::Ask(Question::Lamp(_)) => Some(Instrument::Lamp),
            Task::ProveTool(_) | Task::Ask(Question::Spark(_)) => Some(Instrument::Flash),
            Task::Runs
            | Task::FaultNow
            | Task::Ask(_)
            | Task::Exchange(_)
            | Task::Carry(_)
            | Task::Restore
            | Task::ClearCodes
            | Task::Warm => None,
        }
    }

    /// Where red and black go, where leads are used.
    #[must_use]
    pub const fn probes(&self) -> Option<&Probes> {
        match &self.task {
            Task::Reference(probes) | Task::LampReference(probes) => Some(probes),
            Task::Ask(question) => question.probes(),
            Task::Runs
            | Task::FaultNow
            | Task::LeadsTogether
            | Task::ProveTool(_)
            | Task::Exchange(_)
            | Task::Carry(_)
            | Task::Restore
            | Task::ClearCodes
            | Task::Warm => None,
        }
    }

    /// The question that the step is about, where it is about one.
    #[must_use]
    pub const fn question(&self) -> Option<&Question> {
        match &self.task {
            Task::Ask(question) | Task::ProveTool(question) | Task::Carry(question) => {
                Some(question)
            }
            Task::Runs
            | Task::FaultNow
            | Task::LeadsTogether
            | Task::Reference(_)
            | Task::LampReference(_)
            | Task::Exchange(_)
            | Task::Restore
            | Task::ClearCodes
            | Task::Warm => None,
        }
    }
}

/// What a sound car should show at a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Expected {
    /// A reading, with its band and what lies between the leads.
    Reading(Reading),
    /// At most this much, Ω: leads held together.
    AtMost(f64),
    /// This answer.
    Answer(Answer),
}

impl Step {
    /// What a sound car should show, where there is something to expect.
    #[must_use]
    pub fn expected(&self, harness: &Harness) -> Option<Expected> {
        let answer = |answer| Some(Expected::Answer(answer));
        match &self.task {
            Task::LeadsTogether => Some(Expected::AtMost(super::gauge::LEADS)),
            Task::LampReference(_) => answer(Answer::Glow(Glow::Bright)),
            Task::Reference(probes)
            | Task::Ask(
                Question::Volts(probes) | Question::Drop(probes) | Question::Resistance(probes),
            ) => Bench::new(harness).reading(probes).map(Expected::Reading),
            Task::ProveTool(question) | Task::Ask(question) => match question {
                Question::Contribution(_) => answer(Answer::Works(Works::Alive)),
                Question::Spark(_) => answer(Answer::Spark(Spark::Yes)),
                Question::Look(_) => answer(Answer::Look(Look::Sound)),
                Question::Compression(_) => answer(Answer::Compression(CompressionResult::Good)),
                Question::Code(_) | Question::AnyCode => answer(Answer::Stored(Stored::Absent)),
                Question::Volts(_)
                | Question::Drop(_)
                | Question::Resistance(_)
                | Question::Lamp(_)
                | Question::Stress(..)
                | Question::Substitute(..)
                | Question::Swap(_)
                | Question::Clean(_)
                | Question::Remake(_) => None,
            },
            Task::Runs
            | Task::FaultNow
            | Task::Exchange(_)
            | Task::Carry(_)
            | Task::Restore
            | Task::ClearCodes
            | Task::Warm => None,
        }
    }
}
