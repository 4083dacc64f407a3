//! The way to the findings: from a question with its answer to one, from what a person types to an answer.

use leptos::prelude::*;
use sparktrail_core::isolation::{Answer, Question};
use sparktrail_core::model::{OhmReading, Seen, Setup, Stored};
use sparktrail_core::units::{Ohms, Volts};

use super::words::findings as words;
use super::words::suspects::TO_FINDINGS;
use crate::store::{Store, Tab};

/// The button that leads to the findings.
pub(super) fn to_findings(store: Store) -> AnyView {
    view! {
        <button
            type="button"
            class="button"
            data-weight="strong"
            on:click=move |_| store.session.tab.set(Tab::Findings)
        >
            {TO_FINDINGS}
        </button>
    }
    .into_any()
}

/// What a person said: a question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Said {
    question: Question,
    answer: Answer,
}

impl Said {
    pub(super) const fn new(question: Question, answer: Answer) -> Self {
        Self { question, answer }
    }

    /// The finding that says the same, and how the car stood; `None` where the answer belongs to
    /// another question.
    pub(super) fn seen(self) -> Option<(Seen, Option<Setup>)> {
        let mut stood = None;
        let seen = match (self.question, self.answer) {
            (Question::Contribution(cylinder), Answer::Works(works)) => {
                Seen::Contribution { cylinder, works }
            }
            (Question::Spark(cylinder), Answer::Spark(spark)) => Seen::Spark { cylinder, spark },
            (Question::Volts(probes), Answer::Volts(value, _)) => {
                stood = Some(probes.setup);
                Seen::Volts {
                    red: probes.red,
                    black: probes.black,
                    reading: Volts::new(value).ok()?,
                }
            }
            (Question::Drop(probes), Answer::Volts(value, _)) => {
                stood = Some(probes.setup);
                Seen::Drop {
                    red: probes.red,
                    black: probes.black?,
                    reading: Volts::new(value).ok()?,
                }
            }
            (Question::Resistance(probes), answer @ (Answer::Ohms(..) | Answer::Overload)) => {
                stood = Some(probes.setup);
                let reading = if let Answer::Ohms(value, _) = answer {
                    OhmReading::Ohms(Ohms::new(value).ok()?)
                } else {
                    OhmReading::Overload
                };
                Seen::Resistance {
                    red: probes.red,
                    black: probes.black?,
                    reading,
                }
            }
            (Question::Lamp(probes), Answer::Glow(glow)) => {
                stood = Some(probes.setup);
                Seen::Lamp {
                    red: probes.red,
                    black: probes.black?,
                    glow,
                }
            }
            (Question::Look(element), Answer::Look(look)) => Seen::Look { element, look },
            (Question::Stress(element, by), Answer::Effect(effect)) => Seen::Stress {
                element,
                by,
                effect,
            },
            (Question::Substitute(part, with), Answer::Effect(effect)) => {
                Seen::Substituted { part, with, effect }
            }
            (Question::Swap(what), Answer::Swap(outcome)) => Seen::Swapped { what, outcome },
            (Question::Clean(element), Answer::Effect(effect)) => Seen::Cleaned { element, effect },
            (Question::Remake(element), Answer::Effect(effect)) => Seen::Remade { element, effect },
            (Question::Code(code), Answer::Stored(stored)) => Seen::Code {
                code: Some(code),
                stored,
            },
            (Question::AnyCode, Answer::Stored(Stored::Absent)) => Seen::Code {
                code: None,
                stored: Stored::Absent,
            },
            (Question::Compression(cylinder), Answer::Compression(result)) => {
                Seen::Compression { cylinder, result }
            }
            (
                Question::Contribution(_)
                | Question::Spark(_)
                | Question::Volts(_)
                | Question::Resistance(_)
                | Question::Drop(_)
                | Question::Lamp(_)
                | Question::Look(_)
                | Question::Stress(..)
                | Question::Substitute(..)
                | Question::Swap(_)
                | Question::Clean(_)
                | Question::Remake(_)
                | Question::Code(_)
                | Question::AnyCode
                | Question::Compression(_),
                _,
            ) => return None,
        };
        Some((seen, stood))
    }
}

/// Bounds of a car's wiring, as the core's check of findings has them: V, Ω.
const MOST_VOLTS: f64 = 60.0;
const MOST_OHMS: f64 = 1e9;

/// A voltage as typed: a comma or a point, with or without its unit.
pub(super) fn volts(typed: &str) -> Result<Answer, String> {
    let text = typed.trim().trim_end_matches(['V', 'v']).trim();
    let value = number(text).ok_or_else(|| words::no_volts(typed))?;
    if value.abs() > MOST_VOLTS {
        return Err(words::TOO_MANY_VOLTS.into());
    }
    Ok(Answer::Volts(value, value))
}

/// A resistance as typed: "0.5", "12,5k", "1M", "OL"; `m` is milliohms.
pub(super) fn ohms(typed: &str) -> Result<Answer, String> {
    let text = typed.trim().trim_end_matches('Ω').trim();
    let text = text
        .strip_suffix("Ohm")
        .or_else(|| text.strip_suffix("ohm"))
        .unwrap_or(text)
        .trim();
    if ["ol", "o.l", "o.l.", "∞"].contains(&text.to_lowercase().as_str()) {
        return Ok(Answer::Overload);
    }
    let (text, one) = match text.chars().last() {
        Some('k' | 'K') => (&text[..text.len() - 1], 1e3),
        Some('M') => (&text[..text.len() - 1], 1e6),
        Some('m') => (&text[..text.len() - 1], 1e-3),
        Some(_) | None => (text, 1.0),
    };
    let value = number(text.trim()).ok_or_else(|| words::no_ohms(typed))? * one;
    if value < 0.0 {
        return Err(words::NEGATIVE_OHMS.into());
    }
    if value > MOST_OHMS {
        return Err(words::TOO_MANY_OHMS.into());
    }
    Ok(Answer::Ohms(value, value))
}

/// A code as typed, where one was stored.
pub(super) fn code(answer: Answer, typed: &str) -> Result<Said, String> {
    if answer == Answer::Stored(Stored::Absent) {
        return Ok(Said::new(Question::AnyCode, answer));
    }
    let code = typed.trim().to_uppercase();
    if code.is_empty() || code.len() > 20 {
        return Err(words::NO_CODE.into());
    }
    Ok(Said::new(Question::Code(code), answer))
}

fn number(text: &str) -> Option<f64> {
    let value: f64 = text.replace(',', ".").parse().ok()?;
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_understood_as_people_type_them() {
        for (typed, expected) in [
            ("0.5", 0.5),
            ("0,5 Ω", 0.5),
            ("12.5k", 12_500.0),
            ("12,5 kΩ", 12_500.0),
            ("1M", 1e6),
            ("20m", 0.02),
        ] {
            let Ok(Answer::Ohms(value, _)) = ohms(typed) else {
                panic!("{typed} was not understood");
            };
            assert!((value - expected).abs() < 1e-9, "{typed} became {value}");
        }
        assert_eq!(ohms(" ol "), Ok(Answer::Overload));
        assert_eq!(volts("-0,2 V"), Ok(Answer::Volts(-0.2, -0.2)));
    }

    #[test]
    fn what_cannot_be_read_is_told_with_its_mend() {
        for typed in ["", "abc", "1e999", "NaN", "1.2.3"] {
            assert!(ohms(typed).is_err_and(|why| why.contains("OL")), "{typed}");
            assert!(
                volts(typed).is_err_and(|why| why.contains("12.4")),
                "{typed}"
            );
        }
        assert_eq!(ohms("-1"), Err(words::NEGATIVE_OHMS.into()));
        assert_eq!(ohms("2e9"), Err(words::TOO_MANY_OHMS.into()));
        assert_eq!(volts("1200"), Err(words::TOO_MANY_VOLTS.into()));
        assert!(code(Answer::Stored(Stored::Present), " ").is_err());
    }

    #[test]
    fn a_finding_answers_the_question_that_was_asked() {
        use sparktrail_core::engine::CylinderId;
        use sparktrail_core::model::Works;

        let said = Said::new(
            Question::Contribution(CylinderId(3)),
            Answer::Works(Works::Dead),
        );
        let expected = Seen::Contribution {
            cylinder: CylinderId(3),
            works: Works::Dead,
        };
        assert_eq!(said.seen(), Some((expected, None)));
        let crossed = Said::new(Question::Contribution(CylinderId(3)), Answer::Overload);
        assert_eq!(crossed.seen(), None);
    }
}
