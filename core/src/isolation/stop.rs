//! Whether to go on testing: found, mend now, nothing tells, too many; and what is left to mend, in order.

use std::collections::BTreeMap;

use super::Belief;
use super::case::{Assessment, Case};
use super::catalogue::Act;
use super::choose::{AccessSet, Choice, Cost, price};
use super::defaults::minutes;
use super::next::Plan;
use super::question::Question;
use super::repair::{Repair, RepairList, repair_order};
use super::table::TestIndex;
use super::unit::Unit;
use crate::model::Substitute;

/// Whether to go on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// Go on testing.
    GoOn,
    /// One unit of repair holds at least 0.95.
    Isolated(Unit),
    /// Mending this costs less, on average, than testing on: mend it and see.
    Mend(Unit),
    /// Testing has gone on for so long that some test must have misled, or nothing tells more, and this
    /// leads: it was mended once and the trouble stayed, so that repair is to be looked at again, or
    /// it is another trade's.
    HandOver(Unit),
    /// No test tells more, or so little that testing on would take a day; what is left is a repair list.
    NothingTells,
    /// Too many tests: say so, and work down the repair list.
    TooMany,
}

/// Share at which a unit of repair counts as found.
pub const ISOLATED: f64 = 0.95;
/// A run longer than this wanders.
pub const MOST_TESTS: usize = 25;
/// Who is less sure than this is not told to mend.
const SURE_ENOUGH: f64 = 0.4;
/// A search of more tests than this has most likely been misled by one of them. Judgement, tried on the samples
/// with the bench: fewer hand over too soon, more leave long runs.
const WANDERS: usize = 18;
/// It is handed over with a leader that is this sure. Judgement, tried likewise.
const LEADS: f64 = 0.35;
/// After more tests than this a search may be given up. Judgement, tried likewise: with fewer, some faults are given
/// up that would have been found.
const GIVES_UP: usize = 20;
/// It is, where the rest is reckoned to take longer than this, minutes: a working day. Judgement, tried likewise:
/// with half of it some faults are given up, with twice as much long runs stay.
const A_DAY: f64 = 400.0;
/// Units that are weighed when it is asked whether to mend now.
const WEIGHED: usize = 16;

impl Plan {
    /// Whether to go on after `tests` tests.
    #[must_use]
    pub fn stop(&self, case: &Case<'_>, assessment: &Assessment, tests: usize) -> Stop {
        let (done, paid) = self.done(assessment);
        self.decide(case, &assessment.belief, paid, &done, tests).0
    }

    /// Whether to go on at a belief, and the tests worth doing, the best first. `done`: how often each
    /// test was done; `tests`: how many count towards [`MOST_TESTS`].
    #[must_use]
    pub fn decide(
        &self,
        case: &Case<'_>,
        belief: &Belief,
        paid: AccessSet,
        done: &BTreeMap<TestIndex, usize>,
        tests: usize,
    ) -> (Stop, Vec<Choice>) {
        let (choices, testing) = self.weighed(belief, paid, done);
        let (leader, share) = belief.leader();
        let found = case.units.get(leader).filter(|_| share >= ISOLATED);
        let stop = if let Some(unit) = found {
            Stop::Isolated(*unit)
        } else if tests >= MOST_TESTS {
            Stop::TooMany
        } else if let Some(stop) =
            self.mend_or_hand_over(case, belief, paid, done, &choices, testing)
        {
            stop
        } else if choices.is_empty() || is_hopeless(self.worked(done), testing) {
            Stop::NothingTells
        } else {
            Stop::GoOn
        };
        (stop, choices)
    }

    /// How many tests were done. Which cylinders work is what the search starts from, and no test; to look at
    /// one of them again is.
    pub(super) fn worked(&self, done: &BTreeMap<TestIndex, usize>) -> usize {
        done.iter()
            .map(|(test, times)| {
                let complaint = matches!(self.act(*test).question, Question::Contribution(_));
                times.saturating_sub(usize::from(complaint))
            })
            .sum()
    }

    /// Whether to mend at once or to hand over, where working down the repair list is expected to cost
    /// less than testing on and then mending the right one.
    fn mend_or_hand_over(
        &self,
        case: &Case<'_>,
        belief: &Belief,
        paid: AccessSet,
        done: &BTreeMap<TestIndex, usize>,
        choices: &[Choice],
        testing: Option<f64>,
    ) -> Option<Stop> {
        let repairs = self.repairs_at(case, belief, WEIGHED);
        let list = repair_order(&repairs, &self.costs().access, paid);
        let mending: f64 = repairs
            .iter()
            .map(|r| r.chance * price(&r.cost, paid, &self.costs().access))
            .sum();
        // What working down the list costs beyond mending the right one at once.
        let astray = list.cost - mending;
        let dearer = choices.is_empty() || testing.is_some_and(|testing| astray < testing);
        let untried = |unit: Unit| {
            let test = self.mending_test(unit)?;
            (!done.contains_key(&test)).then_some(test)
        };
        let first = repairs.get(*list.order.first()?)?;
        let unit = *case.units.get(first.unit)?;
        let served = |test: TestIndex| self.kit().serves(self.act(test).needs);
        if first.chance >= SURE_ENOUGH && untried(unit).is_some_and(served) {
            return dearer.then_some(Stop::Mend(unit));
        }
        let (leader, share) = belief.leader();
        let leader = *case.units.get(leader)?;
        let over = share >= LEADS && (choices.is_empty() || self.worked(done) > WANDERS);
        (over && untried(leader).is_none()).then_some(Stop::HandOver(leader))
    }

    /// The test of the table that mends a unit, if it does anything.
    #[must_use]
    pub fn mending_test(&self, unit: Unit) -> Option<TestIndex> {
        (0..self.table().tests())
            .map(TestIndex)
            .find(|test| self.act(*test).aim == Some(unit) && self.act(*test).mends())
    }

    /// What is left, in the order in which to mend it: access is paid once.
    #[must_use]
    pub fn repairs(
        &self,
        case: &Case<'_>,
        assessment: &Assessment,
        paid: AccessSet,
    ) -> (Vec<Repair>, RepairList) {
        let repairs = self.repairs_at(case, &assessment.belief, usize::MAX);
        let list = repair_order(&repairs, &self.costs().access, paid);
        (repairs, list)
    }

    /// What is left, the likeliest first, at most `most` of it.
    fn repairs_at(&self, case: &Case<'_>, belief: &Belief, most: usize) -> Vec<Repair> {
        belief
            .ranked()
            .into_iter()
            .take_while(|(_, share)| *share > 1e-3)
            .take(most)
            .map(|(unit, share)| Repair {
                unit,
                chance: share,
                cost: self.mending(case.units[unit]),
            })
            .collect()
    }

    /// What mending a unit costs: the act of the catalogue that mends it, or a usual figure.
    #[must_use]
    pub fn mending(&self, unit: Unit) -> Cost {
        let aimed = self
            .catalogue()
            .acts
            .iter()
            .filter(|act| act.aim == Some(unit));
        let act = aimed.clone().find(|act| Act::mends(act));
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
            Unit::Contacts(_) => minutes::CLEAN,
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

/// Whether a search of so many tests has wandered and what is left would take a day: a test has misled it, the
/// belief is spread thin, and it would go through everything one by one. `testing`: minutes to its end, if known.
fn is_hopeless(worked: usize, testing: Option<f64>) -> bool {
    worked > GIVES_UP && testing.is_some_and(|minutes| minutes > A_DAY)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::CylinderId;
    use crate::model::file;

    #[test]
    fn a_long_search_is_given_up_only_where_the_rest_takes_a_day() {
        assert!(is_hopeless(GIVES_UP + 1, Some(A_DAY + 1.0)));
        assert!(!is_hopeless(GIVES_UP, Some(A_DAY + 1.0)));
        assert!(!is_hopeless(GIVES_UP + 1, Some(A_DAY)));
        assert!(!is_hopeless(GIVES_UP + 1, None));
    }

    #[test]
    fn the_first_look_at_a_cylinder_is_no_test() {
        let text = include_str!("../../../sample-harnesses/red-twin.json");
        let harness = file::read(text).unwrap_or_else(|why| panic!("{why}"));
        let case = Case::of(&harness).unwrap_or_else(|why| panic!("{why}"));
        let plan = Plan::of(&case);
        let worked = |question: Question, times: usize| {
            let test = plan.test_of(&question);
            plan.worked(&test.into_iter().map(|test| (test, times)).collect())
        };
        assert_eq!(worked(Question::Contribution(CylinderId(1)), 1), 0);
        assert_eq!(worked(Question::Contribution(CylinderId(1)), 3), 2);
        assert_eq!(worked(Question::Spark(CylinderId(1)), 3), 3);
    }
}
