//! How much every test would tell about the unit of repair: all tests in one pass over the table.

use super::table::narrow;
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
/// One pass: each column is weighed with the belief in its suspect and summed by unit (columns are
/// sorted by unit), then x·log x is taken of the sums. Units that hold less than one part in 10⁹ are
/// left out.
///
/// # Source
/// Mutual information of outcome and unit: I = Σ q(o,u)·log q(o,u) − Σ q(o)·log q(o) + H(u).
#[must_use]
pub fn information(table: &Table, belief: &Belief) -> Vec<f64> {
    let wide = Wide::of(table, belief);
    (0..table.tests())
        .map(|test| (wide.before - wide.after(TestIndex(test))).max(0.0))
        .collect()
}

/// Entropy of the unit of repair that one test is expected to leave, bits.
#[must_use]
pub fn expected_unit_entropy(table: &Table, belief: &Belief, test: TestIndex) -> f64 {
    Wide::of(table, belief).after(test)
}

/// For every row: the probability of the outcome, and the sum over units of x·log x.
struct Wide<'a> {
    table: &'a Table,
    /// Entropy of the unit before any test, bits.
    before: f64,
    total: Vec<f32>,
    joint: Vec<f32>,
}

/// Units below this share cannot change a choice.
const NEGLIGIBLE: f64 = 1e-9;

impl<'a> Wide<'a> {
    fn of(table: &'a Table, belief: &Belief) -> Self {
        let suspects = table.suspects();
        let mut total = vec![0.0_f32; table.rows()];
        let mut joint = vec![0.0_f32; table.rows()];
        let mut mass = vec![0.0_f32; table.rows()];
        let mut shares = Vec::new();
        for unit in 0..suspects.units() {
            if belief.unit(unit) <= NEGLIGIBLE {
                continue;
            }
            shares.push(belief.unit(unit));
            mass.fill(0.0);
            for column in suspects.starts()[unit]..suspects.starts()[unit + 1] {
                let weight = narrow(belief.suspect(suspects.columns()[column]));
                for (sum, p) in mass.iter_mut().zip(table.column(column)) {
                    *sum += weight * p;
                }
            }
            for ((mass, total), joint) in mass.iter().zip(&mut total).zip(&mut joint) {
                *total += mass;
                *joint += xlogx(*mass);
            }
        }
        Self {
            table,
            before: entropy(&shares),
            total,
            joint,
        }
    }

    fn after(&self, test: TestIndex) -> f64 {
        self.table
            .row_range(test)
            .map(|row| f64::from(xlogx(self.total[row])) - f64::from(self.joint[row]))
            .sum()
    }
}

/// x·log₂ x, and 0 at 0.
fn xlogx(x: f32) -> f32 {
    x * log2(x.max(1e-30))
}

/// Base-2 logarithm of a positive normal number, within 2e-7 of its size or of one. No branches, so
/// that a compiler can do several at once.
///
/// # Source
/// ln m = 2·artanh((m − 1)/(m + 1)), four terms, with m brought between √½ and √2.
#[allow(
    clippy::cast_precision_loss,
    reason = "an exponent of two is a small whole number"
)]
fn log2(x: f32) -> f32 {
    /// The bits of √½.
    const ROOT_HALF: i32 = 0x3f35_04f3;
    let bits = x.to_bits().cast_signed();
    let exponent = (bits.wrapping_sub(ROOT_HALF)) >> 23;
    let m = f32::from_bits(bits.wrapping_sub(exponent << 23).cast_unsigned());
    let s = (m - 1.0) / (m + 1.0);
    let q = s * s;
    let series = 1.0 + q * (1.0 / 3.0 + q * (0.2 + q * (1.0 / 7.0)));
    exponent as f32 + 2.0 * std::f32::consts::LOG2_E * s * series
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_logarithm_is_the_library_s() {
        for i in 1..4000_u16 {
            let x = f32::from(i).powi(5) * 1e-17;
            let wanted = x.log2();
            assert!(
                (log2(x) - wanted).abs() < 2e-7 * wanted.abs().max(1.0),
                "{x}"
            );
        }
    }
}
