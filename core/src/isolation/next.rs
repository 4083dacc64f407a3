//! What to do next: the catalogue as a table, ranked by information for its price, with outcomes told ahead.

use std::collections::BTreeMap;

use super::case::{Assessment, Case};
use super::catalogue::{Act, Catalogue};
use super::choose::{self, AccessSet, Acts, Choice};
use super::information::Weighed;
use super::kit::Kit;
use super::question::{Answer, Question};
use super::table::{Table, TestIndex};
use super::unit::Unit;
use super::{Belief, Stop, rollout};
use crate::model::FaultThen;

/// The catalogue of a case as a table of outcomes, grown in steps so that no page waits for it.
#[derive(Debug, Clone)]
pub struct Plan {
    catalogue: Catalogue,
    table: Table,
    /// The act of each test of the table.
    acts: Vec<usize>,
    answers: Vec<Vec<Answer>>,
    costs: Acts,
    next: usize,
    kit: Kit,
    now: FaultThen,
}

/// An act proposed as the next one.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// Its number in the catalogue.
    pub act: usize,
    /// What it is expected to tell about the unit of repair, bits.
    pub bits: f64,
    /// What it costs now, minutes.
    pub price: f64,
    /// Access that has to be paid for it.
    pub opens: AccessSet,
    /// What may come out, and what that would mean.
    pub outcomes: Vec<Outcome>,
}

/// One thing that may come out of an act.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The answer.
    pub answer: Answer,
    /// Its probability now.
    pub chance: f64,
    /// For each leading unit of repair: the probability of this answer if it is that unit.
    pub by_leader: Vec<(Unit, f64)>,
    /// What would lead after this answer, the likeliest first.
    pub after: Vec<(Unit, f64)>,
    /// The leading units that this answer would clear: to a tenth or less of what they have now.
    pub clears: Vec<Unit>,
}

/// A test that is expected to tell less than this is not worth the walk, bits.
const TOO_LITTLE: f64 = 2e-3;
/// How many units of repair lead in what is told about an act.
const LEADERS: usize = 5;

impl Plan {
    /// The catalogue of a case, its table still empty.
    #[must_use]
    pub fn begin(case: &Case<'_>) -> Self {
        let catalogue = case.catalogue.clone();
        Self {
            costs: Acts {
                costs: Vec::new(),
                access: catalogue.accesses.iter().map(|(_, m)| *m).collect(),
            },
            catalogue,
            table: Table::new(case.suspects.clone()),
            acts: Vec::new(),
            answers: Vec::new(),
            next: 0,
            kit: Kit::WORKSHOP,
            now: FaultThen::Unknown,
        }
    }

    /// The whole plan of a case at once.
    #[must_use]
    pub fn of(case: &Case<'_>) -> Self {
        let mut plan = Self::begin(case);
        while plan.grow(case, usize::MAX) > 0 {}
        plan
    }

    /// Does up to `steps` steps more, each about as long as weighing one act or solving the circuit for
    /// one fault; returns how many acts are left.
    pub fn grow(&mut self, case: &Case<'_>, steps: usize) -> usize {
        let outlook = case.outlook();
        let mut budget = steps;
        while let Some(act) = self.catalogue.acts.get(self.next)
            && budget > 0
        {
            // Its readings first: they are the longest work.
            if case.meter.prepare(&act.question, budget) > 0 {
                break;
            }
            budget -= 1;
            // An act whose outcome cannot be reckoned on this map is no proposal.
            if let Some(spread) = outlook.spread(&act.question)
                && self
                    .table
                    .add_sparse(&spread.usual, &spread.causes, &spread.chances)
                    .is_ok()
            {
                self.acts.push(self.next);
                self.answers.push(spread.answers);
                self.costs.costs.push(act.cost);
            }
            self.next += 1;
        }
        self.catalogue.acts.len() - self.next
    }

    /// From now on, only acts for which this kit has the tools are proposed.
    pub const fn set_kit(&mut self, kit: Kit) {
        self.kit = kit;
    }

    /// The kit that acts are proposed for.
    #[must_use]
    pub const fn kit(&self) -> Kit {
        self.kit
    }

    /// Whether the fault shows now. While it is away, [`Self::advise`] proposes only what tells something then.
    pub const fn set_now(&mut self, now: FaultThen) {
        self.now = now;
    }

    /// The catalogue.
    #[must_use]
    pub fn catalogue(&self) -> &Catalogue {
        &self.catalogue
    }

    /// The table of outcomes.
    #[must_use]
    pub fn table(&self) -> &Table {
        &self.table
    }

    /// Costs by test of the table.
    #[must_use]
    pub fn costs(&self) -> &Acts {
        &self.costs
    }

    /// The act behind a test of the table.
    #[must_use]
    pub fn act(&self, test: TestIndex) -> &Act {
        &self.catalogue.acts[self.acts[test.0]]
    }

    /// The answers that a test of the table can have, in the order of its rows.
    #[must_use]
    pub fn answers(&self, test: TestIndex) -> &[Answer] {
        &self.answers[test.0]
    }

    /// The test of the table that asks a question.
    #[must_use]
    pub fn test_of(&self, question: &Question) -> Option<TestIndex> {
        self.acts
            .iter()
            .position(|act| self.catalogue.acts[*act].question == *question)
            .map(TestIndex)
    }

    /// The tests that the findings have answered, with how often, and the access that was paid for them.
    #[must_use]
    pub fn done(&self, assessment: &Assessment) -> (BTreeMap<TestIndex, usize>, AccessSet) {
        let mut done = BTreeMap::new();
        for evidence in &assessment.evidence {
            if let Some(test) = evidence.question.as_ref().and_then(|q| self.test_of(q)) {
                *done.entry(test).or_insert(0) += evidence.findings.len();
            }
        }
        // What would have passed while the fault was away is as good as never done; what is done to bring it back is not.
        let brought = assessment
            .away
            .iter()
            .filter(|question| question.tells_while_away());
        for test in brought.filter_map(|question| self.test_of(question)) {
            *done.entry(test).or_insert(0) += 1;
        }
        let paid = done.keys().fold(AccessSet::NONE, |set, test| {
            set.with(self.costs.costs[test.0].access)
        });
        (done, paid)
    }

    /// The acts worth doing next, the best first, at most `most` of them.
    ///
    /// `paid`: access that is open. The leading few are tried further by rolling the plan out.
    #[must_use]
    pub fn next(
        &self,
        case: &Case<'_>,
        assessment: &Assessment,
        paid: AccessSet,
        most: usize,
    ) -> Vec<Proposal> {
        let (done, _) = self.done(assessment);
        let choices = self.choices(&assessment.belief, paid, &done);
        self.proposals(case, assessment, paid, choices, most)
    }

    /// Whether to go on, and the acts worth doing next, the best first, at most `most` of them. An act
    /// that is to mend at once comes first.
    #[must_use]
    pub fn advise(
        &self,
        case: &Case<'_>,
        assessment: &Assessment,
        most: usize,
    ) -> (Stop, Vec<Proposal>) {
        let (done, paid) = self.done(assessment);
        let tests = self.worked(&done);
        let (stop, mut choices) = self.decide(case, &assessment.belief, paid, &done, tests);
        if self.now == FaultThen::Away {
            choices.retain(|choice| self.act(choice.test).question.tells_while_away());
        }
        let mut proposals = self.proposals(case, assessment, paid, choices, most);
        if let Stop::Mend(unit) = stop
            && let Some(test) = self.mending_test(unit)
            && let Some(mend) = self.foretell(case, assessment, &self.act(test).question)
        {
            proposals.retain(|proposal| proposal.act != mend.act);
            proposals.insert(0, mend);
        }
        (stop, proposals)
    }

    fn proposals(
        &self,
        case: &Case<'_>,
        assessment: &Assessment,
        paid: AccessSet,
        choices: Vec<Choice>,
        most: usize,
    ) -> Vec<Proposal> {
        choices
            .into_iter()
            .take(most)
            .map(|choice| self.proposal(case, &assessment.belief, paid, choice))
            .collect()
    }

    /// The tests worth doing at a belief, the best first; `done`: how often each was done.
    ///
    /// A test that was done once may be done again: it then tells only as much as its luck is its own
    /// the second time. Nothing is done three times.
    #[must_use]
    pub fn choices(
        &self,
        belief: &Belief,
        paid: AccessSet,
        done: &BTreeMap<TestIndex, usize>,
    ) -> Vec<Choice> {
        self.weighed(belief, paid, done).0
    }

    /// The tests worth doing, and how many minutes testing would go on for, as far as can be foreseen.
    pub(super) fn weighed(
        &self,
        belief: &Belief,
        paid: AccessSet,
        done: &BTreeMap<TestIndex, usize>,
    ) -> (Vec<Choice>, Option<f64>) {
        // What cannot be done, or is not done a third time, need not be weighed.
        let asked: Vec<TestIndex> = (0..self.table.tests())
            .map(TestIndex)
            .filter(|test| {
                self.kit.serves(self.act(*test).needs) && done.get(test).is_none_or(|n| *n < 2)
            })
            .collect();
        let costs = &self.costs;
        let all = choose::weighed(&self.table, belief, costs, paid, &asked, TOO_LITTLE);
        let (mut again, mut choices): (Vec<Choice>, Vec<Choice>) =
            all.into_iter().partition(|c| done.contains_key(&c.test));
        choose::arrange(&mut again);
        choose::arrange(&mut choices);
        let minutes = rollout::reorder(&self.table, belief, &self.costs, paid, &mut choices);
        for choice in again {
            let bits = choice.bits * (1.0 - self.act(choice.test).question.shared_luck());
            if bits < TOO_LITTLE {
                continue;
            }
            let again = Choice {
                bits,
                score: choose::score(bits, choice.price),
                ..choice
            };
            let place = choices.iter().position(|c| c.score < again.score);
            choices.insert(place.unwrap_or(choices.len()), again);
        }
        // As if every test told as much for its price as the best one. What was followed further took
        // every answer for certain: it never costs less than that.
        let by_rate = choices
            .first()
            .map(|best| super::entropy(belief.units()) * best.price / best.bits);
        let minutes = minutes.into_iter().chain(by_rate).reduce(f64::max);
        (choices, minutes)
    }

    /// What one act of the catalogue would tell, whether or not it is worth doing.
    #[must_use]
    pub fn foretell(
        &self,
        case: &Case<'_>,
        assessment: &Assessment,
        question: &Question,
    ) -> Option<Proposal> {
        let test = self.test_of(question)?;
        let (_, paid) = self.done(assessment);
        let bits = Weighed::of(&self.table, &assessment.belief).told_by(test);
        let price = self.costs.price(&self.costs.costs[test.0], paid);
        let choice = Choice {
            test,
            bits,
            price,
            score: choose::score(bits, price),
        };
        Some(self.proposal(case, &assessment.belief, paid, choice))
    }

    fn proposal(
        &self,
        case: &Case<'_>,
        belief: &Belief,
        paid: AccessSet,
        choice: Choice,
    ) -> Proposal {
        let leaders = leading(belief.units());
        let outcomes = self
            .answers(choice.test)
            .iter()
            .enumerate()
            .filter_map(|(number, answer)| {
                let units = self.table.joint(choice.test, number, belief).ok()?;
                let chance: f64 = units.iter().sum();
                let by_leader = leaders
                    .iter()
                    .filter(|(_, share)| *share > 0.0)
                    .map(|(unit, share)| (case.units[*unit], units[*unit] / share))
                    .collect();
                let after_share = |unit: usize| {
                    if chance > 0.0 {
                        units[unit] / chance
                    } else {
                        0.0
                    }
                };
                let clears = leaders
                    .iter()
                    .filter(|(unit, share)| after_share(*unit) <= 0.1 * share)
                    .map(|(unit, _)| case.units[*unit])
                    .collect();
                let after = leading(&units).into_iter();
                let after = after.map(|(unit, _)| (case.units[unit], after_share(unit)));
                Some(Outcome {
                    answer: *answer,
                    chance,
                    by_leader,
                    after: after.collect(),
                    clears,
                })
            })
            .collect();
        let opens = self.costs.costs[choice.test.0].access.without(paid);
        Proposal {
            act: self.acts[choice.test.0],
            bits: choice.bits,
            price: choice.price,
            opens,
            outcomes,
        }
    }
}

/// The [`LEADERS`] likeliest of some units of repair with their shares, the likeliest first, equals by number.
fn leading(units: &[f64]) -> Vec<(usize, f64)> {
    let mut first: Vec<(usize, f64)> = Vec::with_capacity(LEADERS + 1);
    for (unit, share) in units.iter().copied().enumerate() {
        let place = first.partition_point(|(_, other)| other.total_cmp(&share).is_ge());
        if place < LEADERS {
            first.truncate(LEADERS - 1);
            first.insert(place, (unit, share));
        }
    }
    first
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn the_leading_units_are_the_first_of_all_in_order(
            shares in proptest::collection::vec(0_u8..9, 0..30),
        ) {
            let shares: Vec<f64> = shares.into_iter().map(f64::from).collect();
            let mut all: Vec<(usize, f64)> = shares.iter().copied().enumerate().collect();
            all.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
            all.truncate(LEADERS);
            prop_assert_eq!(leading(&shares), all);
        }
    }
}
