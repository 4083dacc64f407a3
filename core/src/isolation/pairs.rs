//! Two faults at once: minimal pairs that together explain the dead cylinders, found in steps.

use std::collections::BTreeSet;

use super::case::{Assessment, Case, Evidence};
use super::unit::Unit;
use crate::engine::CylinderId;
use crate::gather::{Arrange, Gather};

/// Two causes that together explain what none of them explains alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The causes, the smaller number first.
    pub causes: (usize, usize),
    /// Their units of repair.
    pub units: (Unit, Unit),
    /// Share among all pairs.
    pub share: f64,
}

/// How far a search for pairs has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Pairs looked at.
    pub done: usize,
    /// Pairs in all.
    pub of: usize,
}

/// A search for pairs that can be stopped at any time: drop it.
#[derive(Debug, Clone)]
pub struct PairSearch {
    dead: BTreeSet<CylinderId>,
    /// Causes whose dead cylinders were all seen dead, with those cylinders.
    candidates: Vec<(usize, BTreeSet<CylinderId>)>,
    next: (usize, usize),
    done: usize,
    /// Causes, and chance beside a single cause.
    found: Vec<(usize, usize, f64)>,
}

impl PairSearch {
    /// A search for pairs behind the dead cylinders of an assessment.
    #[must_use]
    pub fn new(case: &Case<'_>, assessment: &Assessment) -> Self {
        let dead: BTreeSet<CylinderId> = assessment.dead().into_iter().gather();
        let candidates = (0..case.causes.len())
            .filter_map(|cause| {
                let ill: BTreeSet<CylinderId> = case.showing(cause).ill().collect();
                (!ill.is_empty() && ill.is_subset(&dead)).then_some((cause, ill))
            })
            .collect();
        Self {
            dead,
            candidates,
            next: (0, 1),
            done: 0,
            found: Vec::new(),
        }
    }

    /// For each dead cylinder, the causes that kill it: the family whose minimal hitting sets of two
    /// are the pairs.
    #[must_use]
    pub fn family(&self) -> super::Family {
        self.dead
            .iter()
            .map(|cylinder| {
                self.candidates
                    .iter()
                    .filter(|(_, ill)| ill.contains(cylinder))
                    .map(|(cause, _)| *cause)
                    .gather()
            })
            .collect()
    }

    /// Looks at up to `pairs` more pairs.
    pub fn step(&mut self, case: &Case<'_>, assessment: &Assessment, pairs: usize) -> Progress {
        let n = self.candidates.len();
        let (mut i, mut j) = self.next;
        for _ in 0..pairs {
            if j >= n {
                i += 1;
                j = i + 1;
                if j >= n {
                    break;
                }
            }
            let ((a, ill_a), (b, ill_b)) = (&self.candidates[i], &self.candidates[j]);
            let alone = ill_a.len() == self.dead.len() || ill_b.len() == self.dead.len();
            let together = self
                .dead
                .iter()
                .all(|c| ill_a.contains(c) || ill_b.contains(c));
            if together && !alone {
                let weight = weight(case, assessment, *a, *b);
                self.found.push((*a, *b, weight));
            }
            self.done += 1;
            j += 1;
        }
        self.next = (i, j);
        Progress {
            done: self.done,
            of: n * n.saturating_sub(1) / 2,
        }
    }

    /// How many minimal pairs were found so far.
    #[must_use]
    pub fn found(&self) -> usize {
        self.found.len()
    }

    /// The pairs found so far, the likeliest first.
    #[must_use]
    pub fn pairs(&self, case: &Case<'_>) -> Vec<Pair> {
        let total: f64 = self.found.iter().map(|(_, _, w)| w).sum();
        let mut pairs: Vec<Pair> = self
            .found
            .iter()
            .map(|(a, b, w)| Pair {
                causes: (*a, *b),
                units: (case.causes[*a].unit, case.causes[*b].unit),
                share: if total > 0.0 { w / total } else { 0.0 },
            })
            .collect();
        pairs.arrange_by(|a, b| b.share.total_cmp(&a.share).then(a.causes.cmp(&b.causes)));
        pairs
    }

    /// Chance that two faults are behind it rather than one, from what was found so far.
    ///
    /// Priors are taken as chances out of a thousand, independent of each other.
    #[must_use]
    pub fn against_one(&self, case: &Case<'_>, assessment: &Assessment) -> f64 {
        let two: f64 = self.found.iter().map(|(_, _, w)| w).sum();
        let one: f64 = case
            .causes
            .iter()
            .enumerate()
            .map(|(c, cause)| {
                let fit: f64 = assessment.evidence.iter().map(|e| e.row[c]).product();
                cause.prior / 1000.0 * fit
            })
            .sum();
        if one + two > 0.0 {
            two / (one + two)
        } else {
            0.0
        }
    }
}

/// Chance of both at once and of all evidence under both.
fn weight(case: &Case<'_>, assessment: &Assessment, a: usize, b: usize) -> f64 {
    let prior = case.causes[a].prior / 1000.0 * case.causes[b].prior / 1000.0;
    assessment
        .evidence
        .iter()
        .map(|evidence| together(evidence, a, b))
        .product::<f64>()
        * prior
}

/// Likelihood under both: of the cause that changes the answer more, beside nothing wrong.
fn together(evidence: &Evidence, a: usize, b: usize) -> f64 {
    let change = |p: f64| (p.max(1e-300) / evidence.nothing.max(1e-300)).ln().abs();
    let (pa, pb) = (evidence.row[a], evidence.row[b]);
    if change(pa) >= change(pb) { pa } else { pb }
}
