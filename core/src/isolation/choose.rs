//! The next test: expected information about the unit of repair for its cost, access paid once.

use crate::gather::Arrange;
use std::collections::BTreeSet;

use super::{Belief, Table, TestIndex, information};

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
        (0..128).filter(move |n| self.0 >> n & 1 == 1)
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

/// Exponent on information in the score: a mild liking for tests that tell much.
///
/// # Source
/// Measured against exact optimal trees in a prototype of this method; judgement beyond that.
pub(super) const EXPONENT: f64 = 1.5;

/// Score of a test: information^1.5 for its price.
#[must_use]
pub(super) fn score(bits: f64, price: f64) -> f64 {
    bits.max(0.0).powf(EXPONENT) / price
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
    let free = Cost::default();
    let mut choices: Vec<Choice> = information(table, belief)
        .into_iter()
        .enumerate()
        .map(|(test, bits)| {
            let price = acts.price(acts.costs.get(test).unwrap_or(&free), paid);
            Choice {
                test: TestIndex(test),
                bits,
                price,
                score: score(bits, price),
            }
        })
        .filter(|choice| choice.bits > WORTHLESS && !done.contains(&choice.test))
        .collect();
    choices.arrange_by(|a, b| b.score.total_cmp(&a.score).then(a.test.cmp(&b.test)));
    choices
}
