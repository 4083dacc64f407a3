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
    (0..table.tests())
        .map(|test| weighed.told_by(TestIndex(test)))
        .collect()
}

/// Entropy of the unit of repair that one test is expected to leave, bits.
#[must_use]
pub fn expected_unit_entropy(table: &Table, belief: &Belief, test: TestIndex) -> f64 {
    Weighed::of(table, belief).left_by(test)
}

/// Units below this share cannot change a choice.
const NEGLIGIBLE: f64 = 1e-9;

/// A belief with the sums over all units that any test starts from.
pub(super) struct Weighed<'a> {
    table: &'a Table,
    /// By column: the suspect's share.
    shares: Vec<f64>,
    /// By unit: its share x with x·log x; `None` where it does not count.
    units: Vec<Option<(f64, f64)>>,
    /// Entropy of the unit before any test, bits.
    before: f64,
    /// Sum of the units that count.
    total: f64,
    /// Sum over them of x·log x.
    logs: f64,
}

impl<'a> Weighed<'a> {
    pub(super) fn of(table: &'a Table, belief: &Belief) -> Self {
        let units: Vec<Option<(f64, f64)>> = belief
            .units()
            .iter()
            .map(|share| (*share > NEGLIGIBLE).then(|| (*share, xlogx(*share))))
            .collect();
        let (mut total, mut logs) = (0.0, 0.0);
        for (share, log) in units.iter().flatten() {
            total += share;
            logs += log;
        }
        let columns = table.suspects().columns().iter();
        Self {
            table,
            shares: columns.map(|suspect| belief.suspect(*suspect)).collect(),
            units,
            // −Σ (x/t)·log (x/t), t being the sum of all x.
            before: if total > 0.0 {
                (total.log2() - logs / total).max(0.0)
            } else {
                0.0
            },
            total,
            logs,
        }
    }

    /// What a test is expected to tell about the unit of repair, bits, never negative; an unknown test tells nothing.
    pub(super) fn told_by(&self, test: TestIndex) -> f64 {
        (self.before - self.left_by(test)).max(0.0)
    }

    /// Entropy that a test is expected to leave, bits.
    fn left_by(&self, test: TestIndex) -> f64 {
        let Some(test) = self.table.all().get(test.0) else {
            return self.before;
        };
        // Nearly every test has two to four outcomes: sums of a known width need no memory of their own.
        match test.usual.len() {
            2 => self.left_after(test, [0.0; 2]),
            3 => self.left_after(test, [0.0; 3]),
            4 => self.left_after(test, [0.0; 4]),
            many => self.left_after(test, vec![0.0; many]),
        }
    }

    /// [`Self::left_by`]; `zeros`: one for each outcome.
    fn left_after<Sums: AsMut<[f64]> + Clone>(&self, test: &Test, zeros: Sums) -> f64 {
        let (mut sums, mut scratch) = (zeros.clone(), zeros);
        let (totals, mass) = (sums.as_mut(), scratch.as_mut());
        let mut joint = 0.0;
        // What is left to the units that answer as usual.
        let (mut total, mut logs) = (self.total, self.logs);
        let mut others = test.others().peekable();
        while let Some((first, answers)) = others.next() {
            let unit = self.table.unit_of(first);
            let next_of_unit = |(column, _): &(usize, &[f32])| self.table.unit_of(*column) == unit;
            let Some((share, log)) = self.units[unit] else {
                while others.next_if(next_of_unit).is_some() {}
                continue;
            };
            mass.fill(0.0);
            let mut usual = share;
            let mut held = Some((first, answers));
            while let Some((column, answers)) = held {
                let weight = self.shares[column];
                usual -= weight;
                for (sum, p) in mass.iter_mut().zip(answers) {
                    *sum += weight * f64::from(*p);
                }
                held = others.next_if(next_of_unit);
            }
            total -= share;
            logs -= log;
            for ((mass, p), sum) in mass.iter().zip(&test.usual).zip(totals.iter_mut()) {
                let mass = mass + usual.max(0.0) * f64::from(*p);
                joint += xlogx(mass);
                *sum += mass;
            }
        }
        let total = total.max(0.0);
        for (p, sum) in test.usual.iter().zip(totals.iter_mut()) {
            *sum += f64::from(*p) * total;
        }
        // Σ p·b·log(p·b) over the units left and all outcomes, whose p sum to one.
        joint += logs + test.logs * total;
        totals.iter().copied().map(xlogx).sum::<f64>() - joint
    }
}

/// x·log₂ x, and 0 at 0.
pub(super) fn xlogx(x: f64) -> f64 {
    if x > 0.0 { x * x.log2() } else { 0.0 }
}
