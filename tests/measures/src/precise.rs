//! The same circuits solved with 256-bit numbers and a plain elimination: what errors are measured against.

use std::collections::BTreeMap;
use std::sync::Arc;

use dashu_float::FBig;
use sparktrail_core::electrics::{Oracle, Solver};

/// Bits of every number.
const BITS: usize = 256;

/// Solves in 256 bits.
#[derive(Debug)]
pub(crate) struct Precise;

/// An elimination: for each node its pivot and what it passes on.
#[derive(Debug)]
struct Eliminated {
    pivots: Vec<FBig>,
    /// For each node, later nodes with (entry / pivot); the matrix is symmetric.
    shares: Vec<Vec<(usize, FBig)>>,
}

fn exact(value: f64) -> FBig {
    FBig::try_from(value)
        .unwrap_or(FBig::ZERO)
        .with_precision(BITS)
        .value()
}

impl Oracle for Precise {
    fn factorise(&self, n: usize, branches: &[(usize, usize, f64)], leak: f64) -> Arc<dyn Solver> {
        // The matrix of nodes with summed diagonals, as text-book nodal analysis has it.
        let mut diagonal = vec![exact(leak); n];
        let mut rows: Vec<BTreeMap<usize, FBig>> = vec![BTreeMap::new(); n];
        for &(a, b, siemens) in branches {
            if a == b || siemens <= 0.0 {
                continue;
            }
            let siemens = exact(siemens);
            for node in [a, b] {
                if node < n {
                    diagonal[node] += &siemens;
                }
            }
            let (low, high) = (a.min(b), a.max(b));
            if high < n {
                *rows[low].entry(high).or_insert_with(|| exact(0.0)) -= &siemens;
            }
        }
        let mut found = Eliminated {
            pivots: Vec::with_capacity(n),
            shares: Vec::with_capacity(n),
        };
        for k in 0..n {
            let row: Vec<(usize, FBig)> = std::mem::take(&mut rows[k]).into_iter().collect();
            let pivot = diagonal[k].clone();
            let shares: Vec<(usize, FBig)> =
                row.iter().map(|(j, entry)| (*j, entry / &pivot)).collect();
            for (x, (i, entry)) in row.iter().enumerate() {
                diagonal[*i] -= &shares[x].1 * entry;
                for (j, share) in &shares[x + 1..] {
                    *rows[*i].entry(*j).or_insert_with(|| exact(0.0)) -= share * entry;
                }
            }
            found.pivots.push(pivot);
            found.shares.push(shares);
        }
        Arc::new(found)
    }
}

impl Solver for Eliminated {
    fn solve(&self, currents: &[f64]) -> Vec<f64> {
        let mut values: Vec<FBig> = currents.iter().map(|current| exact(*current)).collect();
        for (k, shares) in self.shares.iter().enumerate() {
            let own = values[k].clone();
            for (j, share) in shares {
                values[*j] -= share * &own;
            }
        }
        for k in (0..values.len()).rev() {
            let mut value = &values[k] / &self.pivots[k];
            for (j, share) in &self.shares[k] {
                value -= share * &values[*j];
            }
            values[k] = value;
        }
        values.iter().map(|value| value.to_f64().value()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_divider() {
        let solver = Precise.factorise(2, &[(0, 1, 1.0 / 0.62), (1, 2, 1.0 / 0.58)], 1e-18);
        let values = solver.solve(&[1.0, 0.0]);
        assert!(
            (values[0] - 1.2).abs() < 1e-12 && (values[1] - 0.58).abs() < 1e-12,
            "{values:?}"
        );
    }
}
