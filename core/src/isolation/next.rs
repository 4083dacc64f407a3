//! What to do next: the catalogue as a table, ranked by information for its price, with outcomes told ahead.

use std::collections::{BTreeMap, BTreeSet};

use super::case::{Assessment, Case};
use super::catalogue::{Act, Catalogue};
use super::choose::{self, AccessSet, Acts, Choice, Cost};
use super::defaults::minutes;
use super::question::{Answer, Question};
use super::repair::{Repair, RepairList, repair_order};
use super::table::{Table, TestIndex};
use super::unit::Unit;
use super::{Belief, rollout};
use crate::model::Substitute;

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

/// Whether to go on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// Go on testing.
    GoOn,
    /// One unit of repair holds at least 0.95.
    Isolated(Unit),
    /// No test tells more; what is left is a repair list.
    NothingTells,
    /// Too many tests: say so, and work down the repair list.
    TooMany,
}

/// Share at which a unit of repair counts as found.
pub const ISOLATED: f64 = 0.95;
/// A run longer than this wanders.
pub const MOST_TESTS: usize = 25;
/// How many units of repair lead in what is told about an act.
const LEADERS: usize = 5;

impl Plan {
    /// The catalogue of a case, its table still empty.
    #[must_use]
    pub fn begin(case: &Case<'_>) -> Self {
        Self {
            catalogue: Catalogue::of(&case.harness),
            table: Table::new(case.suspects.clone()),
            acts: Vec::new(),
            answers: Vec::new(),
            costs: Acts::default(),
            next: 0,
        }
    }

    /// The whole plan of a case at once.
    #[must_use]
    pub fn of(case: &Case<'_>) -> Self {
        let mut plan = Self::begin(case);
        while plan.grow(case, usize::MAX) > 0 {}
        plan
    }

    /// Reckons up to `acts` more acts; returns how many are left.
    pub fn grow(&mut self, case: &Case<'_>, acts: usize) -> usize {
        let outlook = case.outlook();
        let last = self
            .catalogue
            .acts
            .len()
            .min(self.next.saturating_add(acts));
        for number in self.next..last {
            let act = &self.catalogue.acts[number];
            // An act whose outcome cannot be reckoned on this map is no proposal.
            let Some(spread) = outlook.spread(&act.question) else {
                continue;
            };
            let rows: Vec<Vec<f64>> = spread
                .rows
                .iter()
                .map(|row| row[..case.causes.len()].to_vec())
                .collect();
            if self.table.add_test(&rows).is_ok() {
                self.acts.push(number);
                self.answers.push(spread.answers);
                self.costs.costs.push(act.cost);
            }
        }
        self.next = last;
        if self.costs.access.len() != self.catalogue.accesses.len() {
            self.costs.access = self.catalogue.accesses.iter().map(|(_, m)| *m).collect();
        }
        self.catalogue.acts.len() - last
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
        self.choices(&assessment.belief, paid, &done)
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
        let all = choose::rank(&self.table, belief, &self.costs, paid, &BTreeSet::new());
        let (again, mut choices): (Vec<Choice>, Vec<Choice>) =
            all.into_iter().partition(|c| done.contains_key(&c.test));
        rollout::reorder(&self.table, belief, &self.costs, paid, &mut choices);
        for choice in again {
            let bits = choice.bits * (1.0 - self.act(choice.test).question.shared_luck());
            if done.get(&choice.test).is_some_and(|n| *n > 1) || bits < choose::WORTHLESS {
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
        choices
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
        let bits = super::information(&self.table, &assessment.belief)
            .get(test.0)
            .copied()?;
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
        let leaders: Vec<(usize, f64)> = belief.ranked().into_iter().take(LEADERS).collect();
        let outcomes = self
            .answers(choice.test)
            .iter()
            .enumerate()
            .filter_map(|(number, answer)| {
                let row = self.table.row(choice.test, number).ok()?;
                let joint: Vec<f64> = row
                    .iter()
                    .zip(belief.suspects())
                    .map(|(p, b)| p * b)
                    .collect();
                let chance: f64 = joint.iter().sum();
                let mut units = vec![0.0; case.units.len()];
                for (cause, p) in joint.iter().enumerate() {
                    units[case.suspects.unit_of(cause)] += p;
                }
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
                let mut after: Vec<(Unit, f64)> = (0..units.len())
                    .map(|unit| (case.units[unit], after_share(unit)))
                    .collect();
                after.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
                after.truncate(LEADERS);
                Some(Outcome {
                    answer: *answer,
                    chance,
                    by_leader,
                    after,
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

    /// Whether to go on after `tests` tests.
    #[must_use]
    pub fn stop(&self, case: &Case<'_>, assessment: &Assessment, tests: usize) -> Stop {
        let (leader, share) = assessment.belief.leader();
        if share >= ISOLATED
            && let Some(unit) = case.units.get(leader)
        {
            return Stop::Isolated(*unit);
        }
        if tests >= MOST_TESTS {
            return Stop::TooMany;
        }
        let (done, paid) = self.done(assessment);
        if self.choices(&assessment.belief, paid, &done).is_empty() {
            Stop::NothingTells
        } else {
            Stop::GoOn
        }
    }

    /// What is left, in the order in which to mend it: access is paid once.
    #[must_use]
    pub fn repairs(
        &self,
        case: &Case<'_>,
        assessment: &Assessment,
        paid: AccessSet,
    ) -> (Vec<Repair>, RepairList) {
        let repairs: Vec<Repair> = assessment
            .belief
            .ranked()
            .into_iter()
            .take_while(|(_, share)| *share > 1e-3)
            .map(|(unit, share)| Repair {
                unit,
                chance: share,
                cost: self.mending(case.units[unit]),
            })
            .collect();
        let list = repair_order(&repairs, &self.costs.access, paid);
        (repairs, list)
    }

    /// What mending a unit costs: the act of the catalogue that mends it, or a usual figure.
    #[must_use]
    pub fn mending(&self, unit: Unit) -> Cost {
        let mends = |question: &Question| {
            matches!(
                question,
                Question::Clean(_) | Question::Remake(_) | Question::Substitute(_, _)
            )
        };
        let aimed = self
            .catalogue
            .acts
            .iter()
            .filter(|act| act.aim == Some(unit));
        let act = aimed.clone().find(|act| mends(&act.question));
        if let Some(act) = act {
            let minutes = match (&act.question, unit) {
                (Question::Substitute(_, Substitute::KnownGood), Unit::Part(_)) => {
                    act.cost.minutes + minutes::NEW_SMALL
                }
                _ => act.cost.minutes,
            };
            return Cost {
                minutes,
                ..act.cost
            };
        }
        let access = aimed
            .clone()
            .map(|act| act.cost.access)
            .next()
            .unwrap_or_default();
        let minutes = match unit {
            Unit::Part(_) => minutes::NEW_SMALL,
            Unit::Wire(_) | Unit::Trace(..) | Unit::BoardSupply(_) | Unit::BoardGround(_) => {
                minutes::NEW_WIRE
            }
            Unit::Joints(_) | Unit::DriverJoints(_) => minutes::SOLDER,
            Unit::Contact(_) | Unit::Cavity(..) => minutes::CLEAN,
            Unit::Logic(_) => minutes::NEW_UNIT,
            Unit::CrankSignal(_) => minutes::NEW_COIL,
            Unit::Transistor(_) | Unit::DriveResistor(_) => minutes::NEW_TRANSISTOR,
            Unit::Crossed(..) => minutes::SWAP_LEADS,
            // What is not electrical is another trade: it counts as long.
            Unit::Cylinder(_) => minutes::NEW_UNIT,
        };
        Cost {
            minutes,
            risk: 0.0,
            access,
        }
    }
}
