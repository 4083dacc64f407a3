//! Another way to solve the same circuit: what checks hold against our own elimination.

use std::fmt::Debug;
use std::sync::Arc;

/// A way to solve a resistive circuit.
pub trait Oracle: Debug + Send + Sync {
    /// Prepares a circuit of `n` nodes beside the reference, which is node `n`: `branches` are two nodes
    /// and a conductance (S), `leak` (S) joins every node to the reference.
    fn factorise(&self, n: usize, branches: &[(usize, usize, f64)], leak: f64) -> Arc<dyn Solver>;
}

/// A prepared circuit.
pub trait Solver: Debug + Send + Sync {
    /// Potentials (V) of the nodes that these currents (A) into them give, the reference left out.
    fn solve(&self, currents: &[f64]) -> Vec<f64>;
}
