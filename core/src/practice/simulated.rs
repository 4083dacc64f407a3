//! What a test shows on the bench: readings from the electrics with a meter's error, all else by the chances
//! of the tables.

use std::sync::Arc;

use super::bench::Bench;
use super::defaults;
use super::luck::Luck;
use crate::electrics::{Alteration, Desk, Measure, OperatingPoint, Solution};
use crate::isolation::{Answer, Plan, Probes, Question, TestIndex, trials};
use crate::model::{
    BatteryLink, CompressionResult, Effect, FaultThen, Look, Setup, Spark, Stored, SwapOutcome,
    Works,
};

/// What one test showed, and whether the fault was there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shown {
    pub(super) answer: Answer,
    pub(super) then: FaultThen,
}

/// What luck is drawn for.
const THERE: u64 = 11;
const CONTACT: u64 = 12;
const NOISE: u64 = 13;
const TABLE: u64 = 14;
const LEVEL: u64 = 15;

impl Bench {
    /// The circuit with the hidden faults in it, solved; healthy where they are away.
    #[must_use]
    pub fn solution(&self, setup: &Setup, then: FaultThen) -> Solution {
        let healthy = Alteration::default();
        let change = if then == FaultThen::Away {
            &healthy
        } else {
            self.change()
        };
        Solution::of(self.circuit(), setup, change)
    }

    /// What a perfect meter would show with the fault there; `None` for what is no reading.
    #[must_use]
    pub fn behind(&self, question: &Question) -> Option<Measure> {
        let probes = question.probes()?;
        self.measured(question, probes, FaultThen::Present)
    }

    /// The same by the way that the suspects' tables take, a low-rank change of the healthy circuit, V; for
    /// checks. `None` for what is no voltage against battery minus.
    #[must_use]
    pub fn behind_by_update(&self, question: &Question) -> Option<f64> {
        let probes = question.probes()?;
        let circuit = self.circuit();
        let volts = !matches!(question, Question::Resistance(_) | Question::Lamp(_));
        let red = circuit.terminal(probes.red)?;
        if !volts || circuit.terminal(probes.black?)? != circuit.reference() {
            return None;
        }
        let point = Arc::new(OperatingPoint::of(circuit, &probes.setup));
        let mut desk = Desk::new(&point);
        let answer = desk.answer(self.change());
        Some(answer.readings.get(red).copied().unwrap_or_default())
    }

    fn measured(&self, question: &Question, probes: &Probes, then: FaultThen) -> Option<Measure> {
        let black = probes.black?;
        if matches!(question, Question::Resistance(_)) {
            let setup = Setup {
                battery: BatteryLink::Disconnected,
                ..probes.setup.clone()
            };
            let ohms = self.solution(&setup, then).ohms_between(probes.red, black);
            return Some(ohms.ok()?.map_or(Measure::Overload, Measure::Ohms));
        }
        let volts = self.solution(&probes.setup, then);
        Some(Measure::Volts(volts.volts_between(probes.red, black).ok()?))
    }

    /// What a test shows the `times`-th time, from 0.
    pub(super) fn show(&self, test: TestIndex, times: usize) -> Option<Shown> {
        let question = &self.plan().act(test).question;
        let number = u64::try_from(test.0).unwrap_or(0);
        let mut luck = self.luck().of(number);
        // The second time its luck is its own as often as the tables say.
        let again = u64::try_from(times).unwrap_or(0);
        if times > 0 && luck.even(TABLE ^ (again << 20)) >= question.shared_luck() {
            luck = luck.of(again);
        }
        let moment = self.luck().of(number).of(again);
        let away = self.comes_and_goes() && moment.even(THERE) >= defaults::SHOWS;
        let then = if away {
            FaultThen::Away
        } else {
            FaultThen::Present
        };
        let answer = match question.probes() {
            Some(probes) if !matches!(question, Question::Lamp(_)) => {
                let behind = self.measured(question, probes, then)?;
                self.meter(question, behind, luck)?
            }
            Some(_) | None => self.drawn(test, then, luck)?,
        };
        Some(Shown { answer, then })
    }

    /// A meter's answer: what is there, with its error, or what a probe that touches badly makes of it.
    fn meter(&self, question: &Question, behind: Measure, luck: Luck) -> Option<Answer> {
        let bad = luck.even(CONTACT) < defaults::BAD_CONTACT;
        let noise = luck.normal(NOISE).clamp(-3.0, 3.0);
        let round = |value: f64, step: f64| (value / step).round() * step;
        Some(match behind {
            Measure::Volts(volts) => {
                let (share, beside) = defaults::VOLTS_ERROR;
                let level = if matches!(question, Question::Drop(_)) {
                    0.0
                } else {
                    defaults::LEVEL * self.luck().normal(LEVEL)
                };
                let volts = volts.get();
                let shown = if bad {
                    volts * luck.even(CONTACT ^ 7) * 0.4
                } else {
                    volts * (1.0 + level) + noise * (share * volts.abs() + beside)
                };
                let shown = round(shown, 0.01);
                Answer::Volts(shown, shown)
            }
            Measure::Ohms(_) | Measure::Overload if bad => Answer::Overload,
            Measure::Ohms(ohms) => {
                let (share, beside) = defaults::OHMS_ERROR;
                let ohms = ohms.get();
                let shown = ohms * (1.0 + share * noise) + defaults::LEADS + beside * noise.abs();
                let step = 10.0_f64.powf((shown.max(0.1).log10() - 2.0).floor());
                let shown = round(shown.max(0.0), step.max(0.01));
                if shown >= crate::electrics::nominal::OVERLOAD.value {
                    Answer::Overload
                } else {
                    Answer::Ohms(shown, shown)
                }
            }
            Measure::Overload => Answer::Overload,
        })
    }

    /// An answer by the chances of the tables; of two faults, the one that shows more.
    fn drawn(&self, test: TestIndex, then: FaultThen, luck: Luck) -> Option<Answer> {
        let plan = self.plan();
        let answers = plan.answers(test);
        let by = |cause: usize, luck: Luck| -> Option<Answer> {
            let (outcome, _) = trials::drawn(plan, test, cause, luck.even(TABLE))?;
            answers.get(outcome).copied()
        };
        if then == FaultThen::Away {
            return usual(plan, test);
        }
        let first = by(*self.causes().first()?, luck)?;
        let Some(&second) = self.causes().get(1) else {
            return Some(first);
        };
        // The luck of the act is one: only what is wrong differs.
        Some(both(first, by(second, luck)?))
    }
}

/// What a test shows with nothing wrong: what most causes show.
fn usual(plan: &Plan, test: TestIndex) -> Option<Answer> {
    let answers = plan.answers(test);
    let healthy = answers.iter().find(|answer| is_healthy(answer));
    healthy.or_else(|| answers.first()).copied()
}

/// Whether an answer shows nothing wrong.
const fn is_healthy(answer: &Answer) -> bool {
    matches!(
        answer,
        Answer::Works(Works::Alive)
            | Answer::Spark(Spark::Yes)
            | Answer::Look(Look::Sound)
            | Answer::Effect(Effect::Same)
            | Answer::Swap(SwapOutcome::Stayed)
            | Answer::Stored(Stored::Absent)
            | Answer::Compression(CompressionResult::Good)
    )
}

/// What two faults show together.
fn both(a: Answer, b: Answer) -> Answer {
    match (a, b) {
        // One is mended, the other still there: something changed.
        (Answer::Effect(Effect::Cured), Answer::Effect(Effect::Same))
        | (Answer::Effect(Effect::Same), Answer::Effect(Effect::Cured)) => {
            Answer::Effect(Effect::Changed)
        }
        (Answer::Swap(SwapOutcome::Gone), Answer::Swap(SwapOutcome::Stayed))
        | (Answer::Swap(SwapOutcome::Stayed), Answer::Swap(SwapOutcome::Gone)) => {
            Answer::Swap(SwapOutcome::Changed)
        }
        (a, b) if is_healthy(&a) && !is_healthy(&b) => b,
        (a, _) => a,
    }
}
