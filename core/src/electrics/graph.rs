//! Resistance between two nodes of a bare graph of resistors, by the same elimination.

use super::circuit::siemens;
use super::nominal;
use super::sparse::{Factor, Pattern, elimination_order};
use crate::units::Ohms;

/// A node that is not in the graph.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("there is no node {node} in a graph of {nodes} nodes")]
pub struct NoNode {
    /// The node asked for.
    pub node: usize,
    /// How many nodes there are.
    pub nodes: usize,
}

/// Effective resistance between two nodes of a graph of resistors; `resistors` are two nodes and Ω.
/// Nodes that nothing joins are apart by what the leak of every node makes of it: gigaohms.
///
/// # Errors
/// [`NoNode`] names a node outside `0..nodes`.
pub fn graph_ohms(
    nodes: usize,
    resistors: &[(usize, usize, f64)],
    (a, b): (usize, usize),
) -> Result<Ohms, NoNode> {
    let named = resistors.iter().flat_map(|&(a, b, _)| [a, b]).chain([a, b]);
    if let Some(node) = named.into_iter().find(|node| *node >= nodes) {
        return Err(NoNode { node, nodes });
    }
    let edges: Vec<(usize, usize)> = resistors.iter().map(|&(a, b, _)| (a, b)).collect();
    let mut place = vec![0; nodes];
    for (at, node) in elimination_order(nodes, &edges).into_iter().enumerate() {
        place[node] = at;
    }
    let edges: Vec<(usize, usize)> = edges.iter().map(|&(a, b)| (place[a], place[b])).collect();
    let pattern = Pattern::of(nodes, &edges);
    let mut factor = Factor::default();
    pattern.factorise(
        resistors.iter().map(|r| siemens(r.2)),
        nominal::LEAK.value,
        &mut factor,
    );
    let mut values = vec![0.0; nodes + 1];
    values[place[a]] += 1.0;
    values[place[b]] -= 1.0;
    pattern.solve(&factor, &mut values, 0);
    Ok(Ohms::new((values[place[a]] - values[place[b]]).max(0.0)).unwrap_or_default())
}
