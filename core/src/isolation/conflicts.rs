//! Consistency-based diagnosis of small networks, as suspects and rows of this engine's own table.
//!
//! A network of gates or arithmetic boxes becomes hypotheses (each a set of faulty boxes), evidence
//! (which sets agree with what was observed) and tests (what each set predicts at a probe). From
//! there on it is the same belief and the same choice of tests as for a harness.

use crate::gather::Arrange;
use std::collections::{BTreeMap, BTreeSet};

use super::{Family, Suspects, SuspectsError, minimal_hitting_sets};

/// What a box does with its inputs when it works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Behaviour {
    /// Both, 0 or 1.
    And,
    /// Either, 0 or 1.
    Or,
    /// One but not both, 0 or 1.
    Xor,
    /// Sum of integers.
    Add,
    /// Product of integers.
    Multiply,
}

impl Behaviour {
    const fn output(self, a: i64, b: i64) -> Option<i64> {
        match self {
            Self::And => Some(a & b),
            Self::Or => Some(a | b),
            Self::Xor => Some(a ^ b),
            Self::Add => a.checked_add(b),
            Self::Multiply => a.checked_mul(b),
        }
    }

    /// The other input, where the output and one input fix it.
    const fn other_input(self, output: i64, input: i64) -> Option<i64> {
        match self {
            Self::Xor => Some(output ^ input),
            Self::Add => output.checked_sub(input),
            Self::Multiply if input != 0 && output % input == 0 => Some(output / input),
            Self::And | Self::Or | Self::Multiply => None,
        }
    }

    const fn is_logic(self) -> bool {
        match self {
            Self::And | Self::Or | Self::Xor => true,
            Self::Add | Self::Multiply => false,
        }
    }
}

/// A box with two inputs and one output, all lines by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Box2 {
    /// What it does.
    pub does: Behaviour,
    /// The lines it reads.
    pub inputs: [usize; 2],
    /// The line it drives.
    pub output: usize,
}

/// Boxes joined by lines.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Network {
    /// The boxes.
    pub boxes: Vec<Box2>,
}

/// Values of lines that were set or observed.
pub type Observed = BTreeMap<usize, i64>;

/// The boxes held to be faulty.
pub type FaultSet = BTreeSet<usize>;

impl Network {
    /// Every set of boxes, by binary counting: set number n holds box i where bit i of n is set.
    /// Meant for up to 16 boxes; boxes beyond are left out.
    #[must_use]
    pub fn fault_sets(&self) -> Vec<FaultSet> {
        let boxes = self.boxes.len().min(16);
        (0..1_u32 << boxes)
            .map(|n| (0..boxes).filter(|i| n >> i & 1 == 1).collect())
            .collect()
    }

    /// Whether `observed` can happen when exactly these boxes may do anything and all others work.
    #[must_use]
    pub fn consistent(&self, faulty: &FaultSet, observed: &Observed) -> bool {
        self.lines(faulty, observed).is_some()
    }

    /// The value that a line must have under these faults, where it is fixed.
    #[must_use]
    pub fn predicted(&self, faulty: &FaultSet, observed: &Observed, line: usize) -> Option<i64> {
        let values = self.lines(faulty, observed)?;
        if let Some(value) = values.get(&line) {
            return Some(*value);
        }
        // A logic line that is free in propagation may still be forced.
        let logic = self
            .boxes
            .iter()
            .any(|b| (b.output == line || b.inputs.contains(&line)) && b.does.is_logic());
        let allowed: Vec<i64> = [0, 1]
            .into_iter()
            .filter(|value| {
                let mut assumed = observed.clone();
                assumed.insert(line, *value);
                self.consistent(faulty, &assumed)
            })
            .collect();
        match (logic, allowed.as_slice()) {
            (true, [only]) => Some(*only),
            (true, _) | (false, _) => None,
        }
    }

    /// Every line that follows from `observed`; `None` on a contradiction. Logic lines that stay
    /// open are tried both ways; an open integer line can take any value.
    fn lines(&self, faulty: &FaultSet, observed: &Observed) -> Option<Observed> {
        let mut known = observed.clone();
        let working = || {
            self.boxes
                .iter()
                .enumerate()
                .filter(|(i, _)| !faulty.contains(i))
                .map(|(_, b)| b)
        };
        let mut grew = true;
        while grew {
            grew = false;
            for b in working() {
                let [x, y] = b.inputs;
                let (a, c, out) = (known.get(&x), known.get(&y), known.get(&b.output));
                let (line, value) = match (a.copied(), c.copied(), out.copied()) {
                    (Some(a), Some(c), out) => {
                        let value = b.does.output(a, c)?;
                        if out.is_some_and(|seen| seen != value) {
                            return None;
                        }
                        (b.output, Some(value))
                    }
                    (Some(a), None, Some(out)) => (y, b.does.other_input(out, a)),
                    (None, Some(c), Some(out)) => (x, b.does.other_input(out, c)),
                    (None, _, _) | (_, None, _) => (b.output, None),
                };
                if let Some(value) = value
                    && known.insert(line, value).is_none()
                {
                    grew = true;
                }
            }
        }
        // Some working logic box with an open line: try both values.
        let open = working()
            .filter(|b| b.does.is_logic())
            .flat_map(|b| [b.inputs[0], b.inputs[1], b.output])
            .find(|line| !known.contains_key(line));
        let Some(line) = open else {
            return Some(known);
        };
        let possible = [0, 1].into_iter().any(|value| {
            let mut tried = known.clone();
            tried.insert(line, value);
            self.lines(faulty, &tried).is_some()
        });
        possible.then_some(known)
    }

    /// Minimal conflicts: the smallest sets of boxes that cannot all be working.
    #[must_use]
    pub fn minimal_conflicts(&self, observed: &Observed) -> Family {
        let all: FaultSet = (0..self.boxes.len()).collect();
        let mut sets = self.fault_sets();
        sets.arrange_by_key(BTreeSet::len);
        let mut conflicts: Family = Vec::new();
        for working in sets {
            let faulty = all.difference(&working).copied().collect();
            if !conflicts.iter().any(|c| c.is_subset(&working))
                && !self.consistent(&faulty, observed)
            {
                conflicts.push(working);
            }
        }
        conflicts
    }

    /// Minimal diagnoses: the minimal hitting sets of the minimal conflicts.
    ///
    /// # Source
    /// Reiter 1987, doi:10.1016/0004-3702(87)90062-2.
    #[must_use]
    pub fn minimal_diagnoses(&self, observed: &Observed) -> Family {
        minimal_hitting_sets(&self.minimal_conflicts(observed), self.boxes.len())
    }
}

/// Suspects for sets of faulty boxes: each its own unit of repair, each box failing by itself with
/// probability `p`.
///
/// # Errors
/// [`SuspectsError`] when `sets` is empty or `p` is 0 or not a probability.
pub fn suspects(network: &Network, sets: &[FaultSet], p: f64) -> Result<Suspects, SuspectsError> {
    let given: Vec<(f64, usize)> = sets
        .iter()
        .enumerate()
        .map(|(unit, set)| {
            let weight = (0..network.boxes.len())
                .map(|i| if set.contains(&i) { p } else { 1.0 - p })
                .product();
            (weight, unit)
        })
        .collect();
    Suspects::new(&given)
}

/// Evidence from an observation: 1 for each set that agrees with it, 0 for the others.
#[must_use]
pub fn agreement(network: &Network, sets: &[FaultSet], observed: &Observed) -> Vec<f64> {
    sets.iter()
        .map(|set| f64::from(u8::from(network.consistent(set, observed))))
        .collect()
}

/// Evidence from an observation where a set that does not predict it spreads over `values` values.
///
/// # Source
/// De Kleer and Williams 1987, doi:10.1016/0004-3702(87)90063-4: unpredicted values count 1/m.
#[must_use]
pub fn spread_agreement(
    network: &Network,
    sets: &[FaultSet],
    set_lines: &Observed,
    line: usize,
    value: i64,
    values: f64,
) -> Vec<f64> {
    sets.iter()
        .map(|set| match network.predicted(set, set_lines, line) {
            Some(predicted) if predicted == value => 1.0,
            Some(_) => 0.0,
            None => 1.0 / values,
        })
        .collect()
}

/// A probe as a test: the values that any set predicts, and P(value | set) row by row.
///
/// Sets that do not fix the line spread evenly over the predicted values.
#[must_use]
pub fn probe(
    network: &Network,
    sets: &[FaultSet],
    observed: &Observed,
    line: usize,
) -> (Vec<i64>, Vec<Vec<f64>>) {
    let predicted: Vec<Option<i64>> = sets
        .iter()
        .map(|set| network.predicted(set, observed, line))
        .collect();
    let mut values: Vec<i64> = predicted.iter().flatten().copied().collect();
    values.arrange();
    values.dedup();
    if values.is_empty() {
        return (vec![0], vec![vec![1.0; sets.len()]]);
    }
    let even = 1.0 / f64::from(u32::try_from(values.len()).unwrap_or(u32::MAX));
    let rows = values
        .iter()
        .map(|value| {
            predicted
                .iter()
                .map(|p| match p {
                    Some(p) if p == value => 1.0,
                    Some(_) => 0.0,
                    None => even,
                })
                .collect()
        })
        .collect();
    (values, rows)
}
