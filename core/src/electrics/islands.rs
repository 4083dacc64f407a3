//! Bridges: branches whose opening cuts a part of the circuit off from everything but its own leaks.

use super::nominal;
use super::operating_point::OperatingPoint;

/// Which branches are bridges and what hangs behind them.
#[derive(Debug, Clone, Default)]
pub(super) struct Islands {
    /// Place of each node in the order of the search; the last is the reference. Empty: nothing is known.
    order: Vec<usize>,
    /// Last place of what hangs on each node.
    last: Vec<usize>,
    /// For each strand that is a bridge, its far end: the one away from the reference.
    far: Vec<Option<usize>>,
    /// For each place of the order, how many ends of driving strands come before it.
    sources: Vec<usize>,
}

/// What an opened bridge cuts off.
#[derive(Debug, Clone, Copy)]
pub(super) struct CutOff {
    /// The end that stays connected.
    pub(super) near: usize,
    /// What the rest loses by it: conductance to the reference, S.
    pub(super) siemens: f64,
    first: usize,
    last: usize,
}

const UNSEEN: usize = usize::MAX;

impl Islands {
    pub(super) fn of(point: &OperatingPoint) -> Self {
        let circuit = point.circuit();
        let n = circuit.len();
        if point.weights.len() != circuit.strands.len() {
            return Self::default();
        }
        let mut order = vec![UNSEEN; n + 1];
        let mut last = vec![0; n + 1];
        let mut low = vec![0; n + 1];
        let mut far = vec![None; circuit.strands.len()];
        let mut seen = 1;
        order[n] = 0;
        // Each entry: node, the strand it was reached by, and how far its neighbours were looked at.
        let mut path = vec![(n, UNSEEN, 0)];
        while let Some(top) = path.last_mut() {
            let (node, via, next) = *top;
            if let Some(&at) = circuit.beside[node].get(next) {
                top.2 += 1;
                let strand = &circuit.strands[at];
                let to = if strand.a == node { strand.b } else { strand.a };
                if at == via || to == node || point.weights[at] <= 0.0 {
                    continue;
                }
                if order[to] == UNSEEN {
                    order[to] = seen;
                    low[to] = seen;
                    seen += 1;
                    path.push((to, at, 0));
                } else {
                    low[node] = low[node].min(order[to]);
                }
            } else {
                path.pop();
                last[node] = seen - 1;
                if let Some(&(parent, ..)) = path.last() {
                    low[parent] = low[parent].min(low[node]);
                    if low[node] == order[node] {
                        far[via] = Some(node);
                    }
                }
            }
        }
        let mut sources = vec![0; seen + 1];
        for ((strand, weight), emf) in circuit.strands.iter().zip(&point.weights).zip(&point.emfs) {
            if *weight > 0.0 && *emf != 0.0 {
                for end in [strand.a, strand.b] {
                    if order[end] != UNSEEN {
                        sources[order[end] + 1] += 1;
                    }
                }
            }
        }
        for place in 1..=seen {
            sources[place] += sources[place - 1];
        }
        Self {
            order,
            last,
            far,
            sources,
        }
    }

    /// What opening this strand cuts off; `None` when it is no bridge, or when what hangs behind it
    /// has a source of its own.
    pub(super) fn cut(&self, point: &OperatingPoint, strand: usize) -> Option<CutOff> {
        let far = (*self.far.get(strand)?)?;
        let (first, last) = (self.order[far], self.last[far]);
        if self.sources[last + 1] > self.sources[first] {
            return None;
        }
        let (a, b) = point.circuit().ends(strand)?;
        let many = u32::try_from(last + 1 - first).map_or(f64::MAX, f64::from);
        let leaks = nominal::LEAK.value * many;
        let weight = point.weights[strand];
        Some(CutOff {
            near: if a == far { b } else { a },
            siemens: weight * leaks / (weight + leaks),
            first,
            last,
        })
    }

    /// Whether a node is among what was cut off.
    pub(super) fn holds(&self, cut: &CutOff, node: usize) -> bool {
        let place = self.order[node];
        place != UNSEEN && (cut.first..=cut.last).contains(&place)
    }
}
