//! From a question with its answer to the finding that says the same; what findings say of now.

use super::question::{Answer, Probes, Question};
use crate::model::{FaultThen, Finding, OhmReading, Seen, Setup, Standing, Stored};
use crate::units::{Ohms, Volts};

impl Question {
    /// What was seen when a question got an answer, and how the car stood where that matters; `None`
    /// where the answer belongs to another question, or where a code is stored but nobody said which.
    ///
    /// Of a range of readings the lower end is taken.
    #[must_use]
    pub fn seen(&self, answer: Answer) -> Option<(Seen, Option<Setup>)> {
        let seen = match (self.clone(), answer) {
            (Self::Contribution(cylinder), Answer::Works(works)) => {
                Seen::Contribution { cylinder, works }
            }
            (Self::Spark(cylinder), Answer::Spark(spark)) => Seen::Spark { cylinder, spark },
            (Self::Volts(probes), Answer::Volts(value, _)) => Seen::Volts {
                red: probes.red,
                black: probes.black,
                reading: Volts::new(value).ok()?,
            },
            (Self::Drop(probes), Answer::Volts(value, _)) => Seen::Drop {
                red: probes.red,
                black: probes.black?,
                reading: Volts::new(value).ok()?,
            },
            (Self::Resistance(probes), Answer::Ohms(value, _)) => Seen::Resistance {
                red: probes.red,
                black: probes.black?,
                reading: OhmReading::Ohms(Ohms::new(value).ok()?),
            },
            (Self::Resistance(probes), Answer::Overload) => Seen::Resistance {
                red: probes.red,
                black: probes.black?,
                reading: OhmReading::Overload,
            },
            (Self::Lamp(probes), Answer::Glow(glow)) => Seen::Lamp {
                red: probes.red,
                black: probes.black?,
                glow,
            },
            (Self::Look(element), Answer::Look(look)) => Seen::Look { element, look },
            (Self::Stress(element, by), Answer::Effect(effect)) => Seen::Stress {
                element,
                by,
                effect,
            },
            (Self::Substitute(part, with), Answer::Effect(effect)) => {
                Seen::Substituted { part, with, effect }
            }
            (Self::Swap(what), Answer::Swap(outcome)) => Seen::Swapped { what, outcome },
            (Self::Clean(element), Answer::Effect(effect)) => Seen::Cleaned { element, effect },
            (Self::Remake(element), Answer::Effect(effect)) => Seen::Remade { element, effect },
            (Self::Code(code), Answer::Stored(stored)) => Seen::Code {
                code: Some(code),
                stored,
            },
            (Self::AnyCode, Answer::Stored(Stored::Absent)) => Seen::Code {
                code: None,
                stored: Stored::Absent,
            },
            (Self::Compression(cylinder), Answer::Compression(result)) => {
                Seen::Compression { cylinder, result }
            }
            (
                Self::Contribution(_)
                | Self::Spark(_)
                | Self::Volts(_)
                | Self::Resistance(_)
                | Self::Drop(_)
                | Self::Lamp(_)
                | Self::Look(_)
                | Self::Stress(..)
                | Self::Substitute(..)
                | Self::Swap(_)
                | Self::Clean(_)
                | Self::Remake(_)
                | Self::Code(_)
                | Self::AnyCode
                | Self::Compression(_),
                _,
            ) => return None,
        };
        Some((seen, self.probes().map(|probes| probes.setup.clone())))
    }

    /// Where the leads go, of what is measured with leads.
    #[must_use]
    pub const fn probes(&self) -> Option<&Probes> {
        match self {
            Self::Volts(probes)
            | Self::Resistance(probes)
            | Self::Drop(probes)
            | Self::Lamp(probes) => Some(probes),
            Self::Contribution(_)
            | Self::Spark(_)
            | Self::Look(_)
            | Self::Stress(..)
            | Self::Substitute(..)
            | Self::Swap(_)
            | Self::Clean(_)
            | Self::Remake(_)
            | Self::Code(_)
            | Self::AnyCode
            | Self::Compression(_) => None,
        }
    }
}

/// Whether the fault shows now, as far as the findings tell: the last that asked for it has the last word.
#[must_use]
pub fn shows_now(findings: &[Finding]) -> FaultThen {
    let asked = |finding: &&Finding| {
        let (question, _) = Question::of(finding);
        let asks = question.can_be_passed_while_away() || matches!(question, Question::Stress(..));
        finding.standing == Standing::Counts && asks
    };
    let last = findings.iter().rev().find(asked);
    last.map_or(FaultThen::Unknown, |finding| finding.fault_then)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::CylinderId;
    use crate::model::Works;

    #[test]
    fn a_finding_answers_the_question_that_was_asked() {
        let question = Question::Contribution(CylinderId(3));
        let expected = Seen::Contribution {
            cylinder: CylinderId(3),
            works: Works::Dead,
        };
        assert_eq!(
            question.seen(Answer::Works(Works::Dead)),
            Some((expected, None))
        );
        assert_eq!(question.seen(Answer::Overload), None);
    }
}
