//! The next test: expected information about the unit of repair for its cost, access paid once.

use crate::gather::Arrange;
use std::collections::BTreeSet;

use super::information::Weighed;
use super::{Belief, Table, TestIndex};

/// Kinds of access: coil out, unit open, iron hot. At most 128, by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct AccessSet(u128);

impl AccessSet {
    /// No access needed, or none paid.
    pub const NONE: Self = Self(0);

    /// The set that holds access `number` alone; `None` from 128 up.
    #[must_use]
    pub const fn one(number: usize) -> Option<Self> {
        if number < 128 {
            Some(Self(1 << number))
        } else {
            None
        }
    }

    /// Both together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// What is in `self` and not in `other`.
    #[must_use]
    pub const fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    /// Whether all of `other` is in `self`.
    #[must_use]
    pub const fn covers(self, other: Self) -> bool {
        other.0 & !self.0 == 0
    }

    /// The numbers in the set, rising.
    pub fn numbers(self) -> impl Iterator<Item = usize> {
        let mut left = self.0;
        std::iter::from_fn(move || {
            let number = left.trailing_zeros() as usize;
            // The lowest one goes; of none nothing is taken.
            left &= left.wrapping_sub(1);
            (number < 128).then_some(number)
        })
    }
}

/// What an act costs, once its access is paid.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cost {
    /// Working time, minutes.
    pub minutes: f64,
    /// What may go wrong, as minutes: chance times the time it would cost.
    pub risk: f64,
    /// What must be opened or taken out first.
    pub access: AccessSet,
}

/// What every test of a table costs, and what each access costs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Acts {
    /// By test.
    pub costs: Vec<Cost>,
    /// By access number, minutes to get there and close up again.
    pub access: Vec<f64>,
}

/// No act is cheaper than this, minutes: one still has to walk there.
const LEAST: f64 = 0.1;

impl Acts {
    /// Price of an act in minutes when `paid` is open already; at least 0.1.
    #[must_use]
    pub fn price(&self, cost: &Cost, paid: AccessSet) -> f64 {
        price(cost, paid, &self.access)
    }
}

/// Price of an act in minutes when `paid` is open already; at least 0.1.
pub(super) fn price(cost: &Cost, paid: AccessSet, access: &[f64]) -> f64 {
    let opening: f64 = cost
        .access
        .without(paid)
        .numbers()
        .filter_map(|n| access.get(n))
        .sum();
    let all = cost.minutes + cost.risk + opening;
    if all.is_finite() {
        all.max(LEAST)
    } else {
        f64::MAX
    }
}

/// Score of a test: information^1.5 for its price, a mild liking for tests that tell much.
///
/// # Source
/// The exponent was measured against exact optimal trees in a prototype of this method; judgement beyond that.
#[must_use]
pub(super) fn score(bits: f64, price: f64) -> f64 {
    let bits = bits.max(0.0);
    bits * bits.sqrt() / price
}

/// Information below this counts as none, bits.
pub(super) const WORTHLESS: f64 = 1e-4;

/// One possible next test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The test.
    pub test: TestIndex,
    /// What it is expected to tell about the unit of repair, bits.
    pub bits: f64,
    /// What it costs now, minutes, with access that is not paid yet.
    pub price: f64,
    /// What the list is sorted by: bits^1.5 / price.
    pub score: f64,
}

/// The tests worth doing, the best first; equals by test number.
///
/// `paid`: access that is open already. `done`: tests whose outcome is known. A test that tells
/// nothing is not in the list, so an empty list means that testing can tell no more.
#[must_use]
pub fn rank(
    table: &Table,
    belief: &Belief,
    acts: &Acts,
    paid: AccessSet,
    done: &BTreeSet<TestIndex>,
) -> Vec<Choice> {
    let asked: Vec<TestIndex> = (0..table.tests())
        .map(TestIndex)
        .filter(|test| !done.contains(test))
        .collect();
    let mut choices = weighed(table, belief, acts, paid, &asked, WORTHLESS);
    arrange(&mut choices);
    choices
}

/// Some of the tests in their order, those that tell no more than `least` bits left out.
pub(super) fn weighed(
    table: &Table,
    belief: &Belief,
    acts: &Acts,
    paid: AccessSet,
    asked: &[TestIndex],
    least: f64,
) -> Vec<Choice> {
    let free = Cost::default();
    let weighed = Weighed::of(table, belief);
    asked
        .iter()
        .filter_map(|&test| {
            let bits = weighed.told_by(test);
            if bits <= least {
                return None;
            }
            let price = acts.price(acts.costs.get(test.0).unwrap_or(&free), paid);
            Some(Choice {
                test,
                bits,
                price,
                score: score(bits, price),
            })
        })
        .collect()
}

/// Brings choices into their order: the best first, equals by test number.
pub(super) fn arrange(choices: &mut [Choice]) {
    choices.arrange_by(|a, b| b.score.total_cmp(&a.score).then(a.test.cmp(&b.test)));
}
