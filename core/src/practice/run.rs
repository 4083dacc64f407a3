//! What somebody does on a bench: tests with their answers, minutes, money, and what each told.

use std::collections::BTreeMap;

use super::bench::Bench;
use super::defaults::money;
use super::look_back::Naming;
use super::simulated::Shown;
use crate::engine::CylinderId;
use crate::isolation::{AccessSet, Answer, Assessment, Question, Stop, TestIndex, Unit, entropy};
use crate::model::{Effect, FaultThen, Finding, FindingId, Seen, Stored, SwapOutcome, Works};

/// A run that takes longer than this is given up.
const GIVEN_UP: usize = 60;
/// How often the complaint is drawn anew where by luck nobody would have come.
const DRAWS: usize = 32;

/// What was done on a bench.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Run {
    /// What was found, the complaint and the earlier repair first.
    pub findings: Vec<Finding>,
    /// The tests, in their order.
    pub steps: Vec<Step>,
    /// Minutes spent.
    pub minutes: f64,
    /// Money spent on parts.
    pub money: f64,
    /// Units of repair that were named, with whether each was right.
    pub named: Vec<Naming>,
    /// Whether something that was done mended it.
    pub cured: bool,
    /// Why the planner stopped, where it was its run.
    pub end: Option<End>,
    paid: AccessSet,
    done: BTreeMap<usize, usize>,
}

/// Why the planner stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// One unit of repair is sure enough.
    Isolated,
    /// What it did mended it.
    Cured,
    /// No test tells more.
    NothingTells,
    /// It takes too long.
    GivenUp,
    /// No single suspect fits: two faults, or a wrong reading.
    NothingFits,
}

/// One test.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The test, by its number in the plan's table.
    pub test: TestIndex,
    /// What it showed, among the run's findings.
    pub finding: usize,
    /// Minutes that it took, access included.
    pub minutes: f64,
    /// What it cost in parts.
    pub money: f64,
    /// What it was expected to tell about the unit of repair, bits.
    pub expected: Option<f64>,
    /// What it told, bits: how much less there is to know than before; below zero where it unsettled what
    /// seemed sure. `None` where no single suspect fits what was found.
    pub bits: Option<f64>,
    /// The leading unit of repair after it, with its share.
    pub leader: Option<(Unit, f64)>,
}

fn finding(number: usize, seen: Seen, then: FaultThen) -> Finding {
    let id = u32::try_from(number).unwrap_or(u32::MAX);
    Finding::new(FindingId::from(1_000_000 + id), seen, then)
}

impl Bench {
    /// The start: which cylinders the owner says do not work, and what was done before.
    #[must_use]
    pub fn begin(&self) -> Run {
        let mut run = Run::default();
        let cylinders = self.harness().engine.cylinders();
        for draw in 0..DRAWS {
            run.findings.clear();
            let mut complaint = false;
            for &cylinder in &cylinders {
                let Some(works) = self.complaint(cylinder, draw) else {
                    continue;
                };
                complaint |= works != Works::Alive;
                let seen = Seen::Contribution { cylinder, works };
                // The owner speaks of the bad moments.
                run.findings
                    .push(finding(run.findings.len(), seen, FaultThen::Present));
            }
            if complaint {
                break;
            }
        }
        if let Some(earlier) = self.hidden().earlier {
            let number = run.findings.len();
            run.findings
                .push(finding(number, earlier.seen(), FaultThen::Present));
        }
        run
    }

    fn complaint(&self, cylinder: CylinderId, draw: usize) -> Option<Works> {
        let test = self.plan().test_of(&Question::Contribution(cylinder))?;
        // A later draw stands for another moment.
        let shown = self.show_present(test, draw)?;
        if let Answer::Works(works) = shown.answer {
            Some(works)
        } else {
            None
        }
    }

    fn show_present(&self, test: TestIndex, times: usize) -> Option<Shown> {
        let mut moment = times;
        loop {
            let shown = self.show(test, moment)?;
            if shown.then == FaultThen::Present || moment > times + DRAWS {
                return Some(shown);
            }
            moment += 1;
        }
    }

    /// What the findings of a run say; `None` where no single suspect fits them.
    #[must_use]
    pub fn assess(&self, run: &Run) -> Option<Assessment> {
        self.case().assess_with(&run.findings).ok()
    }

    /// What a test costs now: minutes with the access still to be paid, and parts.
    #[must_use]
    pub fn price(&self, run: &Run, test: TestIndex) -> (f64, f64) {
        let costs = self.plan().costs();
        let minutes = costs.price(&costs.costs[test.0], run.paid);
        (
            minutes,
            money(self.harness(), &self.plan().act(test).question),
        )
    }

    /// Does a test. `None` where the bench cannot show it.
    pub fn ask(&self, run: &mut Run, test: TestIndex) -> Option<Step> {
        let times = run.done.get(&test.0).copied().unwrap_or(0);
        let shown = self.show(test, times)?;
        let question = &self.plan().act(test).question;
        let before = self.assess(run);
        let expected = before.as_ref().and_then(|before| {
            let told = self.plan().foretell(self.case(), before, question)?;
            Some(told.bits)
        });
        let (seen, setup) = self.told(question, shown.answer)?;
        let mut found = finding(run.findings.len(), seen, shown.then);
        found.setup = setup;
        run.findings.push(found);
        let (minutes, parts) = self.price(run, test);
        run.paid = run.paid.with(self.plan().costs().costs[test.0].access);
        run.minutes += minutes;
        run.money += parts;
        *run.done.entry(test.0).or_insert(0) += 1;
        run.cured |= mended(shown.answer) && self.plan().act(test).mends();
        let after = self.assess(run);
        let bits = before
            .zip(after.as_ref())
            .map(|(before, after)| entropy(before.belief.units()) - entropy(after.belief.units()));
        let step = Step {
            test,
            finding: run.findings.len() - 1,
            minutes,
            money: parts,
            expected,
            bits,
            leader: after.map(|after| {
                let (unit, share) = after.belief.leader();
                (self.case().units()[unit], share)
            }),
        };
        run.steps.push(step.clone());
        Some(step)
    }

    /// The finding that says an answer. Codes that are stored are those of a cylinder that is ill.
    fn told(
        &self,
        question: &Question,
        answer: Answer,
    ) -> Option<(Seen, Option<crate::model::Setup>)> {
        if let (Question::AnyCode, Answer::Stored(Stored::Present)) = (question, answer) {
            let cause = *self.causes().first()?;
            let cylinder = self.case().showing(cause).ill().next()?;
            let code = Some(format!("P03{:02}", cylinder.0));
            let stored = Stored::Present;
            return Some((Seen::Code { code, stored }, None));
        }
        question.seen(answer)
    }

    /// Does what the planner would do next; `false` once it stops, with the run's end told.
    pub fn planned(&self, run: &mut Run) -> bool {
        if run.end.is_some() {
            return false;
        }
        let (end, test) = self.decide(run);
        run.end = end;
        match (end, test) {
            (None, Some(test)) => {
                if self.ask(run, test).is_none() {
                    run.end = Some(End::NothingTells);
                }
            }
            (None, None) => run.end = Some(End::NothingTells),
            (Some(_), _) => {}
        }
        run.end.is_none()
    }

    fn decide(&self, run: &Run) -> (Option<End>, Option<TestIndex>) {
        if run.cured {
            return (Some(End::Cured), None);
        }
        if run.steps.len() >= GIVEN_UP {
            return (Some(End::GivenUp), None);
        }
        let Some(assessment) = self.assess(run) else {
            return (Some(End::NothingFits), None);
        };
        let done: BTreeMap<TestIndex, usize> = run
            .done
            .iter()
            .map(|(test, times)| (TestIndex(*test), *times))
            .collect();
        let (stop, choices) =
            self.plan()
                .decide(self.case(), &assessment.belief, run.paid, &done, 0);
        match stop {
            Stop::Isolated(_) => (Some(End::Isolated), None),
            Stop::Mend(unit) => {
                let mend = self.plan().mending_test(unit);
                (None, mend.or_else(|| choices.first().map(|c| c.test)))
            }
            // No test tells enough for its price.
            Stop::HandOver(_) | Stop::NothingTells => (Some(End::NothingTells), None),
            Stop::GoOn | Stop::TooMany => (None, choices.first().map(|choice| choice.test)),
        }
    }
}

const fn mended(answer: Answer) -> bool {
    matches!(
        answer,
        Answer::Effect(Effect::Cured) | Answer::Swap(SwapOutcome::Gone)
    )
}
