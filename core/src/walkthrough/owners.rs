//! Simulated owners: a fault is hidden, and somebody who knows nothing does what Next and the walks say.
//!
//! Meters read what the electrics say with the fault in place, with noise and now and then grossly wrong;
//! what is seen or done answers by the rates of the isolation's tables. The black lead hangs in the air now
//! and then: the walk has to notice.

use super::kind::Kind;
use super::step::{Replies, Reply, Step, Task};
use super::walk::{Stage, Walk};
use crate::electrics::Measure;
use crate::faults::{Fault, expected};
use crate::isolation::searches::mix;
use crate::isolation::trials::{End, Run};
use crate::isolation::{AccessSet, Answer, Case, ISOLATED, Plan, Probes, Question, Stop, defaults};
use crate::model::{Effect, EngineState, Finding, FindingId, Harness, Spark, Standing, Works};

/// A run that takes longer than this is given up.
const GIVEN_UP: usize = 60;
/// A walk that takes longer than this is given up.
const LONG_WALK: usize = 60;
/// Leads of an ordinary meter, Ω. Common practice, no source.
const LEADS: f64 = 0.2;
/// Minutes until an engine is warm. Judgement.
const WARM_UP: f64 = 10.0;
/// Minutes for what is done on the way: start, leads together, battery. Judgement.
const ON_THE_WAY: f64 = 0.5;

/// One owner with one hidden fault.
struct Owner<'a> {
    case: &'a Case<'a>,
    plan: &'a Plan,
    car: Harness,
    cause: usize,
    fault: Fault,
    seed: u64,
    asked: u64,
    minutes: f64,
    paid: AccessSet,
    tests: usize,
}

/// Hides one cause; the owner walks through the dead cylinders and then does what Next says, each act as
/// its walk. `None` where every cylinder seemed to work: nobody would have come.
///
/// `harness` has no findings; `case` and `plan` are its own; `round` is the luck of the draw. Minutes count
/// as in `isolation::trials`: the complaint is free, everything after it is not.
#[must_use]
pub fn hide(
    harness: &Harness,
    case: &Case<'_>,
    plan: &Plan,
    cause: usize,
    round: usize,
) -> Option<Run> {
    hide_watched(harness, case, plan, cause, round, |_| {})
}

/// One act of an owner, when it is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Done<'a> {
    /// What it asked.
    pub question: &'a Question,
    /// What was found on the way, the references left out that make no finding.
    pub found: &'a [Finding],
    /// The unit that led before it, with its share.
    pub leader: (usize, f64),
    /// Share of the hidden unit before it.
    pub hidden: f64,
    /// What it cost, minutes.
    pub price: f64,
}

/// The same, telling each act as it is done.
#[must_use]
pub fn hide_watched(
    harness: &Harness,
    case: &Case<'_>,
    plan: &Plan,
    cause: usize,
    round: usize,
    watch: impl FnMut(&Done<'_>),
) -> Option<Run> {
    let number = |n: usize| u64::try_from(n).unwrap_or(0);
    let mut owner = Owner {
        case,
        plan,
        car: harness.clone(),
        cause,
        fault: case.causes().get(cause)?.fault,
        seed: mix(number(cause)) ^ mix(number(round)).rotate_left(17),
        asked: 0,
        minutes: 0.0,
        paid: AccessSet::NONE,
        tests: 0,
    };
    owner.walk(Kind::Dead);
    owner.complains().then(|| owner.search(watch))
}

impl Owner<'_> {
    fn complains(&self) -> bool {
        super::walk::said(&self.car)
            .values()
            .any(|works| *works != Works::Alive)
    }

    fn search(mut self, mut watch: impl FnMut(&Done<'_>)) -> Run {
        let right = self.case.suspects().unit_of(self.cause);
        let mut cured = false;
        loop {
            let Ok(assessment) = self.case.assess_with(&self.car.findings) else {
                return self.ended(End::NothingFits, usize::MAX, (0, 0.0));
            };
            let belief = &assessment.belief;
            let place = belief.ranked().iter().position(|(unit, _)| *unit == right);
            let place = place.unwrap_or(usize::MAX);
            let leader = belief.leader();
            let (stop, proposals) = self.plan.advise(self.case, &assessment, 1);
            let end = if cured {
                Some(End::Cured)
            } else if leader.1 >= ISOLATED {
                Some(End::Isolated)
            } else if self.tests >= GIVEN_UP {
                Some(End::GivenUp)
            } else if matches!(stop, Stop::HandOver(_)) {
                Some(End::HandedOver)
            } else if stop == Stop::NothingTells || proposals.is_empty() {
                Some(End::NothingTells)
            } else {
                None
            };
            if let Some(end) = end {
                return self.ended(end, place, leader);
            }
            let Some(act) = proposals
                .first()
                .and_then(|proposal| self.plan.catalogue().acts.get(proposal.act))
            else {
                return self.ended(End::NothingTells, place, leader);
            };
            let (before, spent) = (self.car.findings.len(), self.minutes);
            self.walk(Kind::of(&act.question));
            self.tests += 1;
            cured = act.mends()
                && self.car.findings[before..]
                    .iter()
                    .any(|finding| Question::of(finding).1 == Answer::Effect(Effect::Cured));
            if self.car.findings.len() == before {
                // A walk that proved nothing is begun again; it counts as a test.
                self.minutes += ON_THE_WAY;
            }
            watch(&Done {
                question: &act.question,
                found: &self.car.findings[before..],
                leader,
                hidden: belief.unit(right),
                price: self.minutes - spent,
            });
        }
    }

    const fn ended(&self, end: End, place: usize, leader: (usize, f64)) -> Run {
        Run {
            tests: self.tests,
            minutes: self.minutes,
            place,
            end,
            leader,
        }
    }

    /// Goes through one walk; what it finds goes to the findings.
    fn walk(&mut self, kind: Kind) {
        let complaint = kind == Kind::Dead;
        let mut walk = Walk::begin(&self.car, kind);
        for _ in 0..LONG_WALK {
            let Stage::Ask(step) = walk.stage(&self.car).now else {
                return;
            };
            let reply = self.reply(&step);
            self.pay(&step, complaint);
            let Ok(answered) = walk.answer(&self.car, reply) else {
                return;
            };
            let ids = answered
                .evidence
                .into_iter()
                .map(|evidence| {
                    let id: FindingId = self.car.fresh();
                    self.car.findings.push(Finding {
                        id,
                        seen: evidence.seen,
                        setup: evidence.setup,
                        fault_then: evidence.fault_then,
                        at: None,
                        note: String::new(),
                        standing: Standing::Counts,
                    });
                    id
                })
                .collect();
            walk = answered.walk.noted(ids);
        }
    }

    /// Time spent on a step. The act of the catalogue, or the usual time for what has none.
    fn pay(&mut self, step: &Step, complaint: bool) {
        let act = step
            .question()
            .and_then(|question| self.plan.test_of(question));
        self.minutes += match (&step.task, act) {
            (Task::Ask(Question::Contribution(_)) | Task::Runs, _) if complaint => 0.0,
            // The time for the whole act is paid where it is answered.
            (Task::Carry(_) | Task::Exchange(_), _) => 0.0,
            (Task::Ask(_) | Task::ProveTool(_), Some(test)) => {
                let cost = self.plan.costs().costs[test.0];
                let price = self.plan.costs().price(&cost, self.paid);
                self.paid = self.paid.with(cost.access);
                price
            }
            (Task::Ask(_) | Task::ProveTool(_), None) => defaults::minutes::VOLTS,
            (Task::Warm, _) => WARM_UP,
            (
                Task::Runs
                | Task::FaultNow
                | Task::LeadsTogether
                | Task::Reference(_)
                | Task::LampReference(_)
                | Task::Restore
                | Task::ClearCodes,
                _,
            ) => ON_THE_WAY,
        };
    }

    /// Luck from 0 to 1, the next of its own.
    fn luck(&mut self) -> f64 {
        self.asked += 1;
        let luck = mix(self.seed ^ mix(self.asked));
        f64::from(u32::try_from(luck >> 32).unwrap_or(0)) / 4_294_967_296.0
    }

    /// About normal: twelve draws less six. Mean 0, width 1.
    fn spread(&mut self) -> f64 {
        (0..12).map(|_| self.luck()).sum::<f64>() - 6.0
    }

    fn reply(&mut self, step: &Step) -> Reply {
        match &step.task {
            Task::Runs => {
                let cylinders = self.car.engine.cylinders();
                let showing = self.case.showing(self.cause);
                let works = cylinders
                    .iter()
                    .any(|c| !showing.ill().any(|ill| ill == *c));
                if works { Reply::Yes } else { Reply::OnlyCranks }
            }
            Task::FaultNow => Reply::Yes,
            Task::LeadsTogether => {
                let wrong = self.luck() < defaults::GROSS;
                let ohms = LEADS + 0.02 * self.luck();
                Reply::Found(if wrong {
                    Answer::Overload
                } else {
                    Answer::Ohms(ohms, ohms)
                })
            }
            Task::LampReference(_) => Reply::Found(Answer::Glow(crate::model::Glow::Bright)),
            Task::Reference(probes)
            | Task::Ask(
                Question::Volts(probes) | Question::Drop(probes) | Question::Resistance(probes),
            ) => self.meter(probes),
            Task::Ask(question) | Task::ProveTool(question) => self.look(question, &step.replies),
            Task::Exchange(_) | Task::Carry(_) | Task::Restore | Task::ClearCodes | Task::Warm => {
                Reply::Done
            }
        }
    }

    /// What a meter reads, with the noise that the tables give it.
    fn meter(&mut self, probes: &Probes) -> Reply {
        let black = probes.black.unwrap_or(probes.red);
        let fault = Some(&self.fault);
        let value = expected(&self.car, &probes.setup, (probes.red, black), fault)
            .map_or(Measure::Overload, |reading| reading.value);
        let gross = self.luck() < defaults::GROSS;
        Reply::Found(match value {
            // Grossly wrong volts: the lead in the air.
            Measure::Volts(_) if gross => Answer::Volts(0.0, 0.0),
            Measure::Volts(volts) => {
                let width = if probes.setup.engine == EngineState::Stopped {
                    defaults::VOLTS_WIDTH
                } else {
                    defaults::IDLE_WIDTH
                };
                let read = volts.get() + 0.5 * width * self.spread();
                Answer::Volts(read, read)
            }
            Measure::Ohms(_) if gross => Answer::Overload,
            Measure::Overload if gross => Answer::Ohms(LEADS, LEADS),
            Measure::Ohms(ohms) => {
                let (decades, beside) = defaults::OHMS_WIDTH;
                let off = 0.3 * decades * self.spread();
                let read = ohms.get() * 10.0_f64.powf(off) + LEADS + 0.2 * beside * self.spread();
                Answer::Ohms(read.max(0.0), read.max(0.0))
            }
            Measure::Overload => Answer::Overload,
        })
    }

    /// What is seen or done answers by the rates of the tables; what has none there, as it is.
    fn look(&mut self, question: &Question, replies: &Replies) -> Reply {
        let luck = self.luck();
        let Some(test) = self.plan.test_of(question) else {
            return match replies {
                Replies::Choice(offered) => offered.first().copied().unwrap_or(Reply::Done),
                Replies::Volts | Replies::Ohms => Reply::Done,
            };
        };
        let table = self.plan.table();
        let (mut before, mut last) = (0.0, None);
        for (outcome, answer) in self.plan.answers(test).iter().enumerate() {
            let Ok(row) = table.row(test, outcome) else {
                continue;
            };
            before += row[self.cause];
            last = Some(*answer);
            if luck < before {
                break;
            }
        }
        let answer = last.unwrap_or(Answer::Spark(Spark::Yes));
        let reply = Reply::Found(answer);
        // A walk may offer less than the table knows: nothing is cured that was not there.
        replies.take(reply).unwrap_or(match replies {
            Replies::Choice(offered) => offered.first().copied().unwrap_or(Reply::Done),
            Replies::Volts | Replies::Ohms => reply,
        })
    }
}
