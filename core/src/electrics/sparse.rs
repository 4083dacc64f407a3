//! Elimination on a weighted graph that only ever adds positive numbers, so that tiny leaks survive beside large conductances.
//!
//! Nodes are numbered in the order of their elimination; the reference is the node after the last.

use crate::gather::Gather;
use std::collections::{BTreeMap, BTreeSet};

/// Says "no slot": a branch from a node to itself.
const NOWHERE: u32 = u32::MAX;

/// An order of elimination that keeps the fill small: always the node with the fewest neighbours.
///
/// `n`: nodes without the reference. `edges`: pairs of nodes, `n` stands for the reference.
/// Returns the nodes in that order.
///
/// # Source
/// Minimum degree: Tinney, Walker 1967, doi:10.1109/PROC.1967.6011 (value from memory).
pub(super) fn elimination_order(n: usize, edges: &[(usize, usize)]) -> Vec<usize> {
    let mut beside: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); n];
    for &(a, b) in edges {
        if a < n && b < n && a != b {
            beside[a].insert(b);
            beside[b].insert(a);
        }
    }
    let mut queue: BTreeSet<(usize, usize)> = beside
        .iter()
        .enumerate()
        .map(|(i, s)| (s.len(), i))
        .gather();
    let mut order = Vec::with_capacity(n);
    while let Some((_, k)) = queue.pop_first() {
        order.push(k);
        let around: Vec<usize> = std::mem::take(&mut beside[k]).into_iter().collect();
        for (place, &i) in around.iter().enumerate() {
            queue.remove(&(beside[i].len(), i));
            beside[i].remove(&k);
            for &j in &around[..place] {
                if beside[i].insert(j) {
                    queue.remove(&(beside[j].len(), j));
                    beside[j].insert(i);
                    queue.insert((beside[j].len(), j));
                }
            }
            queue.insert((beside[i].len(), i));
        }
    }
    order
}

/// Where the numbers of an elimination go: made once for a graph, used for every set of weights.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    n: usize,
    /// For each node, where its later neighbours begin in `column`.
    start: Vec<u32>,
    /// Later neighbours, rising.
    column: Vec<u32>,
    /// For each node and each pair of its later neighbours, the slot of the edge between these two.
    pair: Vec<u32>,
    /// For each edge given, its slot; slots from `column.len()` on are slacks.
    edge: Vec<u32>,
}

impl Pattern {
    /// The pattern of a graph of `n` nodes with these edges (`n` stands for the reference).
    pub(super) fn of(n: usize, edges: &[(usize, usize)]) -> Self {
        let mut later: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); n];
        for &(a, b) in edges {
            let (low, high) = (a.min(b), a.max(b));
            if high < n && low != high {
                later[low].insert(high);
            }
        }
        for k in 0..n {
            let around: Vec<usize> = later[k].iter().copied().collect();
            for (place, &i) in around.iter().enumerate() {
                later[i].extend(&around[place + 1..]);
            }
        }
        let mut start = Vec::with_capacity(n + 1);
        let mut column = Vec::new();
        let mut slot = BTreeMap::new();
        for (k, around) in later.iter().enumerate() {
            start.push(small(column.len()));
            for &j in around {
                slot.insert((k, j), small(column.len()));
                column.push(small(j));
            }
        }
        start.push(small(column.len()));
        let mut pair = Vec::new();
        for around in &later {
            let around: Vec<usize> = around.iter().copied().collect();
            for (place, &i) in around.iter().enumerate() {
                for &j in &around[place + 1..] {
                    pair.push(slot[&(i, j)]);
                }
            }
        }
        let edge = edges
            .iter()
            .map(|&(a, b)| {
                let (low, high) = (a.min(b), a.max(b));
                if low == high {
                    NOWHERE
                } else if high == n {
                    small(column.len() + low)
                } else {
                    slot[&(low, high)]
                }
            })
            .collect();
        Self {
            n,
            start,
            column,
            pair,
            edge,
        }
    }

    /// Factorises with one conductance (S, at least zero) an edge, `leak` (S, above zero) from every
    /// node to the reference, into `factor`.
    pub(super) fn factorise(
        &self,
        weights: impl Iterator<Item = f64>,
        leak: f64,
        factor: &mut Factor,
    ) {
        let edges = self.column.len();
        let w = &mut factor.ratio;
        w.clear();
        w.resize(edges, 0.0);
        w.resize(edges + self.n, leak);
        for (&slot, weight) in self.edge.iter().zip(weights) {
            if slot != NOWHERE {
                w[slot as usize] += weight;
            }
        }
        factor.inverse.clear();
        let (w, slack) = w.split_at_mut(edges);
        let mut pairs = self.pair.iter();
        for k in 0..self.n {
            let range = self.start[k] as usize..self.start[k + 1] as usize;
            let own = slack[k];
            let d = own + w[range.clone()].iter().sum::<f64>();
            let inverse = 1.0 / d;
            factor.inverse.push(inverse);
            for x in range.clone() {
                let ratio = w[x] * inverse;
                slack[self.column[x] as usize] += ratio * own;
                for y in x + 1..range.end {
                    if let Some(&target) = pairs.next() {
                        w[target as usize] += ratio * w[y];
                    }
                }
            }
            for value in &mut w[range] {
                *value *= inverse;
            }
        }
        factor.ratio.truncate(edges);
    }

    /// Solves for the potentials (V) that these currents (A) into the nodes give. `values` holds
    /// `n + 1` numbers: currents going in, potentials coming out, the reference last.
    /// Currents stand at node `from` or later: what comes before is not looked at.
    pub(super) fn solve(&self, factor: &Factor, values: &mut [f64], from: usize) {
        for k in from..self.n {
            let own = values[k];
            if own != 0.0 {
                for x in self.start[k] as usize..self.start[k + 1] as usize {
                    values[self.column[x] as usize] += factor.ratio[x] * own;
                }
            }
        }
        values[self.n] = 0.0;
        for k in (0..self.n).rev() {
            let mut value = values[k] * factor.inverse[k];
            for x in self.start[k] as usize..self.start[k + 1] as usize {
                value += factor.ratio[x] * values[self.column[x] as usize];
            }
            values[k] = value;
        }
    }
}

impl Pattern {
    /// Resistance (Ω) between each node and the reference, the reference last: the diagonal of the
    /// inverse, from the last node down, again by additions of positive numbers only.
    ///
    /// # Source
    /// Takahashi, Fagan, Chen 1973 (value from memory).
    pub(super) fn own_ohms(&self, factor: &Factor) -> Vec<f64> {
        let mut own = vec![0.0; self.n + 1];
        let mut shared = vec![0.0; self.column.len()];
        let mut pairs_end = self.pair.len();
        for k in (0..self.n).rev() {
            let range = self.start[k] as usize..self.start[k + 1] as usize;
            let many = range.len();
            let pairs = &self.pair[pairs_end - many * many.saturating_sub(1) / 2..pairs_end];
            pairs_end -= pairs.len();
            let ratio = &factor.ratio[range.clone()];
            for (x, column) in range.clone().enumerate() {
                shared[column] = ratio[x] * own[self.column[column] as usize];
            }
            let mut pair = pairs.iter();
            for x in 0..many {
                for y in x + 1..many {
                    if let Some(&slot) = pair.next() {
                        let between = shared[slot as usize];
                        shared[range.start + x] += ratio[y] * between;
                        shared[range.start + y] += ratio[x] * between;
                    }
                }
            }
            let beside: f64 = ratio.iter().zip(&shared[range]).map(|(r, z)| r * z).sum();
            own[k] = factor.inverse[k] + beside;
        }
        own
    }
}

/// The numbers of one elimination.
#[derive(Debug, Clone, Default)]
pub(super) struct Factor {
    /// Share of a node's current that each later neighbour takes.
    ratio: Vec<f64>,
    /// One over what leaves a node.
    inverse: Vec<f64>,
}

/// Slots are counted in 32 bits: a harness has thousands of nodes, not billions.
fn small(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(NOWHERE)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn solve(
        n: usize,
        edges: &[(usize, usize)],
        weights: &[f64],
        leak: f64,
        into: &[(usize, f64)],
    ) -> Vec<f64> {
        let pattern = Pattern::of(n, edges);
        let mut factor = Factor::default();
        pattern.factorise(weights.iter().copied(), leak, &mut factor);
        let mut values = vec![0.0; n + 1];
        for &(node, current) in into {
            values[node] += current;
        }
        pattern.solve(&factor, &mut values, 0);
        values
    }

    #[test]
    fn a_divider() {
        let edges = [(0, 1), (1, 2)];
        let values = solve(2, &edges, &[1.0 / 0.62, 1.0 / 0.58], 1e-12, &[(0, 1.0)]);
        assert!(
            (values[0] - 1.2).abs() < 1e-9 && (values[1] - 0.58).abs() < 1e-9,
            "{values:?}"
        );
    }

    #[test]
    fn a_leak_survives_beside_a_thick_wire() {
        // A chain of 10 mΩ wires that hangs on nothing but 1 nS a node: 1 nA gives 1 V / nodes.
        let n = 40;
        let edges: Vec<_> = (1..n).map(|k| (k - 1, k)).collect();
        let values = solve(n, &edges, &vec![100.0; n - 1], 1e-9, &[(7, 1e-9)]);
        for value in &values[..n] {
            assert!((value * 40.0 - 1.0).abs() < 1e-8, "{value}");
        }
    }

    #[test]
    fn own_resistances_are_the_diagonal_of_the_inverse() {
        let edges = [
            (0, 3),
            (1, 3),
            (1, 4),
            (2, 4),
            (3, 4),
            (4, 5),
            (0, 2),
            (2, 5),
        ];
        let weights = [1.0, 0.2, 5.0, 300.0, 0.0, 2.0, 0.7, 1.0];
        let pattern = Pattern::of(5, &edges);
        let mut factor = Factor::default();
        pattern.factorise(weights.iter().copied(), 1e-9, &mut factor);
        let own = pattern.own_ohms(&factor);
        for node in 0..5 {
            let values = solve(5, &edges, &weights, 1e-9, &[(node, 1.0)]);
            assert!((values[node] / own[node] - 1.0).abs() < 1e-12, "{node}");
        }
    }

    #[test]
    fn the_order_of_a_star_leaves_the_middle_for_last() {
        let edges: Vec<_> = (1..9).map(|k| (0, k)).collect();
        let order = elimination_order(9, &edges);
        assert!(order[7..].contains(&0));
        assert_eq!(
            Pattern::of(
                9,
                &edges.iter().map(|&(_, k)| (8, k - 1)).collect::<Vec<_>>()
            )
            .column
            .len(),
            8
        );
    }
}
