//! A walk's replies played through its script: what each of them meant, and the first question without one.

use super::bench::Bench;
use super::step::{Replies, Reply, Step, Task};
use super::verdict::{Meaning, Verdict};
use super::walk::{Evidence, Past, Shows};
use crate::isolation::{Answer, Question};
use crate::model::{FaultThen, Harness, Setup};

/// A script goes on, or waits for the reply to a step.
pub(super) type Scene<T> = Result<T, Box<Step>>;

/// Replies, and how far they have been played.
pub(super) struct Tape<'a> {
    pub(super) harness: &'a Harness,
    pub(super) bench: Bench<'a>,
    pub(super) shows: Shows,
    /// Whether the fault shows, as last told.
    pub(super) then: FaultThen,
    /// How far the battery stands from the model's, as a share of it, as last read.
    pub(super) supply: f64,
    replies: &'a [Reply],
    pub(super) past: Vec<Past>,
}

impl<'a> Tape<'a> {
    pub(super) const fn new(harness: &'a Harness, shows: Shows, replies: &'a [Reply]) -> Self {
        let then = match shows {
            Shows::Steady => FaultThen::Present,
            Shows::Wavers => FaultThen::Unknown,
        };
        Self {
            harness,
            bench: Bench::new(harness),
            shows,
            then,
            supply: 1.0,
            replies,
            past: Vec::new(),
        }
    }

    /// The reply to a step; the script waits where there is none, or none that the step takes.
    pub(super) fn ask(
        &mut self,
        task: Task,
        setup: &Setup,
        replies: Replies,
        left: usize,
    ) -> Scene<Reply> {
        let step = Step {
            task,
            setup: setup.clone(),
            replies,
            left,
        };
        match self.replies.get(self.past.len()) {
            Some(&reply) if step.replies.take(reply).is_ok() => {
                self.past.push(Past {
                    step,
                    reply,
                    meaning: Meaning::Noted,
                    evidence: Vec::new(),
                });
                Ok(reply)
            }
            Some(_) | None => Err(Box::new(step)),
        }
    }

    /// What the last reply meant.
    pub(super) fn mean(&mut self, meaning: Meaning) {
        if let Some(last) = self.past.last_mut() {
            last.meaning = meaning;
        }
    }

    /// The last reply answers a question: that is evidence.
    pub(super) fn note(&mut self, question: &Question, answer: Answer, then: FaultThen) {
        let then =
            if question.can_be_passed_while_away() || matches!(question, Question::Stress(..)) {
                then
            } else {
                FaultThen::Unknown
            };
        if let (Some(last), Some((seen, setup))) = (self.past.last_mut(), question.seen(answer)) {
            last.evidence.push(Evidence {
                seen,
                setup,
                fault_then: then,
            });
        }
    }

    /// Asks a question that has a list of answers; what was answered is evidence.
    pub(super) fn find(
        &mut self,
        question: &Question,
        setup: &Setup,
        left: usize,
    ) -> Scene<Answer> {
        let replies = Replies::to(question);
        let reply = self.ask(Task::Ask(question.clone()), setup, replies, left)?;
        let answer = found(reply);
        self.note(question, answer, self.then);
        self.mean(Meaning::Plain(answer));
        Ok(answer)
    }

    /// The one question, answered.
    pub(super) fn one(question: &Question, answer: Answer) -> Verdict {
        Verdict::One {
            question: question.clone(),
            answer,
        }
    }
}

/// The answer in a reply. A step that asks a question takes nothing else.
pub(super) fn found(reply: Reply) -> Answer {
    match reply {
        Reply::Found(answer) => answer,
        Reply::Done
        | Reply::Yes
        | Reply::No
        | Reply::Unsure
        | Reply::OnlyCranks
        | Reply::TheRestWork => Answer::Overload,
    }
}

/// The number in a reading: V, or Ω with infinity for overload.
pub(super) fn reading(reply: Reply) -> f64 {
    match found(reply) {
        Answer::Volts(value, _) | Answer::Ohms(value, _) => value,
        Answer::Works(_)
        | Answer::Spark(_)
        | Answer::Overload
        | Answer::Glow(_)
        | Answer::Look(_)
        | Answer::Effect(_)
        | Answer::Swap(_)
        | Answer::Stored(_)
        | Answer::Compression(_) => f64::INFINITY,
    }
}
