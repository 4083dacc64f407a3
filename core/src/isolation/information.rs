//! How much every test would tell about the unit of repair: all tests in one pass over the table.

use super::table::Test;
use super::{Belief, Table, TestIndex};

/// Entropy of a distribution, bits. Entries need not be normalised; zeros count nothing.
#[must_use]
pub fn entropy(shares: &[f64]) -> f64 {
    let total: f64 = shares.iter().sum();
    if !total.is_finite() || total <= 0.0 {
        return 0.0;
    }
    let sum: f64 = shares
        .iter()
        .filter(|p| **p > 0.0)
        .map(|p| p / total * (p / total).log2())
        .sum();
    (-sum).max(0.0)
}

/// Expected information of every test about the unit of repair, bits, never negative, within 1e-5.
///
/// One pass. Most suspects answer a test alike: of units all of whose suspects do, one closed sum is
/// enough; only those that answer otherwise are weighed one by one. Units that hold less than one part
/// in 10⁹ are left out.
///
/// # Source
/// Mutual information of outcome and unit: I = Σ q(o,u)·log q(o,u) − Σ q(o)·log q(o) + H(u).
#[must_use]
pub fn information(table: &Table, belief: &Belief) -> Vec<f64> {
    let weighed = Weighed::of(table, belief);
    table
        .all()
        .iter()
        .map(|test| (weighed.before - weighed.after(test)).max(0.0))
        .collect()
}

/// Entropy of the unit of repair that one test is expected to leave, bits.
#[must_use]
pub fn expected_unit_entropy(table: &Table, belief: &Belief, test: TestIndex) -> f64 {
    let weighed = Weighed::of(table, belief);
    table
        .all()
        .get(test.0)
        .map_or(weighed.before, |test| weighed.after(test))
}

/// Units below this share cannot change a choice.
const NEGLIGIBLE: f64 = 1e-9;

/// A belief with the sums over all units that any test starts from.
struct Weighed<'a> {
    table: &'a Table,
    belief: &'a Belief,
    /// Entropy of the unit before any test, bits.
    before: f64,
    /// Sum of the units that count.
    total: f64,
    /// Sum over them of x·log x.
    logs: f64,
}

impl<'a> Weighed<'a> {
    fn of(table: &'a Table, belief: &'a Belief) -> Self {
        let counting: Vec<f64> = belief
            .units()
            .iter()
            .copied()
            .filter(|share| *share > NEGLIGIBLE)
            .collect();
        Self {
            table,
            belief,
            before: entropy(&counting),
            total: counting.iter().sum(),
            logs: counting.iter().copied().map(xlogx).sum(),
        }
    }

    /// Entropy that a test is expected to leave, bits.
    fn after(&self, test: &Test) -> f64 {
        let columns = self.table.suspects().columns();
        let outcomes = test.usual.len();
        let mut totals = vec![0.0_f64; outcomes];
        let mut joint = 0.0;
        let mut mass = vec![0.0_f64; outcomes];
        // What is left to the units that answer as usual.
        let (mut total, mut logs) = (self.total, self.logs);
        let mut nth = 0;
        while nth < test.columns.len() {
            let unit = self.table.unit_of(test.columns[nth]);
            let share = self.belief.unit(unit);
            let counts = share > NEGLIGIBLE;
            mass.fill(0.0);
            let mut usual = share;
            while nth < test.columns.len() && self.table.unit_of(test.columns[nth]) == unit {
                if counts {
                    let weight = self.belief.suspect(columns[test.columns[nth]]);
                    usual -= weight;
                    for (sum, p) in mass.iter_mut().zip(test.other(nth)) {
                        *sum += weight * f64::from(*p);
                    }
                }
                nth += 1;
            }
            if counts {
                total -= share;
                logs -= xlogx(share);
                for ((mass, p), sum) in mass.iter().zip(&test.usual).zip(&mut totals) {
                    let mass = mass + usual.max(0.0) * f64::from(*p);
                    joint += xlogx(mass);
                    *sum += mass;
                }
            }
        }
        for (p, sum) in test.usual.iter().zip(&mut totals) {
            let p = f64::from(*p);
            *sum += p * total.max(0.0);
            // Σ p·b·log(p·b) over the units left.
            joint += p * logs + xlogx(p) * total.max(0.0);
        }
        totals.into_iter().map(xlogx).sum::<f64>() - joint
    }
}

/// x·log₂ x, and 0 at 0.
fn xlogx(x: f64) -> f64 {
    if x > 0.0 { x * x.log2() } else { 0.0 }
}
