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
use crate::isolation::{
    AccessSet, Answer, Case, Doubt, ISOLATED, Plan, Probes, Question, Stop, Unit, defaults,
};
use crate::model::{
    Effect, Element, EngineState, Finding, FindingId, Harness, Spark, Works, ends_at,
};

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
    /// The map as the owner has it.
    car: Harness,
    /// The car itself, with the cause as its case counts it.
    real: (&'a Case<'a>, &'a Plan, &'a Harness, usize),
    /// The map once its loose ends are traced, until they are.
    traced: Option<&'a Traced>,
    cause: usize,
    fault: Fault,
    seed: u64,
    asked: u64,
    minutes: f64,
    paid: AccessSet,
    tests: usize,
}

/// An unfinished map once its loose ends are traced: how the car is behind it.
pub struct Traced {
    /// The map with what was traced on it, no findings.
    pub harness: Harness,
    /// Its case.
    pub case: Case<'static>,
    /// Its plan.
    pub plan: Plan,
    /// What tracing takes, minutes.
    pub minutes: f64,
    /// Measurements, each of which counts as a test.
    pub tests: usize,
}

impl Traced {
    /// Of a map with what was traced on it, which took so many minutes and measurements; `None` where it gives no
    /// case.
    #[must_use]
    pub fn new(harness: Harness, minutes: f64, tests: usize) -> Option<Self> {
        let case = Case::owning(harness.clone()).ok()?;
        Some(Self {
            plan: Plan::of(&case),
            harness,
            case,
            minutes,
            tests,
        })
    }
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
    hide_watched(harness, case, plan, &[], cause, round, |_| {})
}

/// One act of an owner, when it is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Done<'a> {
    /// What it asked.
    pub question: &'a Question,
    /// What was found on the way, the references left out that make no finding.
    pub found: &'a [Finding],
    /// The unit that led before it, with its share.
    pub leader: (Unit, f64),
    /// Share of the hidden unit before it.
    pub hidden: f64,
    /// What it cost, minutes.
    pub price: f64,
}

/// The same, telling each act as it is done.
///
/// `traced`: for an unfinished map, how the car may be behind it; luck chooses. The car then fails as it is, and
/// the owner has the whole map once Next has said to trace first.
#[must_use]
pub fn hide_watched<'a>(
    harness: &'a Harness,
    case: &'a Case<'a>,
    plan: &'a Plan,
    traced: &'a [Traced],
    cause: usize,
    round: usize,
    watch: impl FnMut(&Done<'_>),
) -> Option<Run> {
    let number = |n: usize| u64::try_from(n).unwrap_or(0);
    let seed = mix(number(cause)) ^ mix(number(round)).rotate_left(17);
    let ways = number(traced.len()).max(1);
    let traced = traced.get(usize::try_from(mix(seed) % ways).unwrap_or(0));
    let (mut fault, mut real) = (
        case.causes().get(cause)?.fault,
        (case, plan, harness, cause),
    );
    if let Some(traced) = traced {
        fault.element = joined(harness, &traced.harness, fault.element);
        let there = same_cause(&traced.case, fault, case.causes()[cause].doubt)?;
        // In the car as it is, nobody may notice what the unfinished map leaves in doubt.
        traced.case.showing(there).ill().next()?;
        real = (&traced.case, &traced.plan, &traced.harness, there);
    }
    let mut owner = Owner {
        case,
        plan,
        car: harness.clone(),
        real,
        traced,
        cause,
        fault,
        seed,
        asked: 0,
        minutes: 0.0,
        paid: AccessSet::NONE,
        tests: 0,
    };
    owner.walk(Kind::Dead);
    owner.complains().then(|| owner.search(watch))
}

/// What an element is called once the map is traced: two loose ends may have become one wire.
fn joined(before: &Harness, after: &Harness, element: Element) -> Element {
    let Element::Wire(wire) = element else {
        return element;
    };
    if after.wires.contains_key(&wire) {
        return element;
    }
    let ends = before.wires.get(&wire).map(|wire| [wire.from, wire.to]);
    let held = ends.into_iter().flatten().flatten().next();
    let now = held.and_then(|held| ends_at(after, held.value).into_iter().next());
    now.map_or(element, |(wire, _)| Element::Wire(wire))
}

/// The cause of a case that is this fault, with the same doubt where it has one.
fn same_cause(case: &Case<'_>, fault: Fault, doubt: Doubt) -> Option<usize> {
    let mut same = case.causes().iter().enumerate();
    let all = same
        .clone()
        .find(|(_, c)| c.fault == fault && c.doubt == doubt);
    let found = all.or_else(|| same.find(|(_, c)| c.fault == fault));
    found.map(|(number, _)| number)
}

impl Owner<'_> {
    fn complains(&self) -> bool {
        super::walk::said(&self.car)
            .values()
            .any(|works| *works != Works::Alive)
    }

    fn search(mut self, mut watch: impl FnMut(&Done<'_>)) -> Run {
        let mut cured = false;
        loop {
            let right = self.case.suspects().unit_of(self.cause);
            let Ok(assessment) = self.case.assess_with(&self.car.findings) else {
                return self.ended(End::NothingFits, usize::MAX, (0, 0.0));
            };
            let belief = &assessment.belief;
            let place = belief.ranked().iter().position(|(unit, _)| *unit == right);
            let place = place.unwrap_or(usize::MAX);
            let leader = belief.leader();
            let (stop, proposals) = self.plan.advise(self.case, &assessment, 1);
            if !cured && self.case.trace_first(&assessment, stop).is_some() && self.trace() {
                continue;
            }
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
                leader: (self.case.units()[leader.0], leader.1),
                hidden: belief.unit(right),
                price: self.minutes - spent,
            });
        }
    }

    /// Traces what is loose; whether there was something.
    fn trace(&mut self) -> bool {
        let Some(traced) = self.traced.take() else {
            return false;
        };
        let findings = std::mem::take(&mut self.car.findings);
        self.car = traced.harness.clone();
        for finding in findings {
            let id: FindingId = self.car.fresh();
            self.car.findings.push(Finding { id, ..finding });
        }
        self.minutes += traced.minutes;
        self.tests += traced.tests;
        self.paid = AccessSet::NONE;
        (self.case, self.plan, self.cause) = (&traced.case, &traced.plan, self.real.3);
        true
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
                        setup: evidence.setup,
                        ..Finding::new(id, evidence.seen, evidence.fault_then)
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
                let showing = self.real.0.showing(self.real.3);
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
        let value = expected(self.real.2, &probes.setup, (probes.red, black), fault)
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
        let (_, plan, _, cause) = self.real;
        let Some(test) = plan.test_of(question) else {
            return match replies {
                Replies::Choice(offered) => offered.first().copied().unwrap_or(Reply::Done),
                Replies::Volts | Replies::Ohms => Reply::Done,
            };
        };
        let table = plan.table();
        let (mut before, mut last) = (0.0, None);
        for (outcome, answer) in plan.answers(test).iter().enumerate() {
            let Ok(row) = table.row(test, outcome) else {
                continue;
            };
            before += row[cause];
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
