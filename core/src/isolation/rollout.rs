//! Trying the leading few tests further: each suspect hardened to its likeliest outcome, the plan followed to its end.

use super::choose::{AccessSet, Acts, Choice};
use super::exact::{Probe, Problem, Stand};
use super::{Belief, Table, TestIndex};
use crate::gather::Arrange;

/// How many leading tests are tried further.
const LEADING: usize = 6;
/// How many suspects of the belief are kept.
const SUSPECTS: usize = 40;
/// How many tests may be used on the way.
const TESTS: usize = 48;
/// An outcome this likely counts as certain; a test with less is left to its score.
const HARD: f64 = 0.8;

/// Reorders the leading choices by what each would cost to the end; returns what the best one would,
/// in minutes, where they could be followed.
///
/// Suspects are the likeliest of the belief, each with its likeliest outcome; tests that leave a kept
/// suspect in doubt cannot be followed that way and keep their place by score.
pub(super) fn reorder(
    table: &Table,
    belief: &Belief,
    acts: &Acts,
    paid: AccessSet,
    choices: &mut [Choice],
) -> Option<f64> {
    let problem = harden(table, belief, acts, choices)?;
    let start = problem.problem.start_with(paid);
    let mut costs: Vec<(f64, Choice)> = Vec::new();
    let leading = choices.len().min(LEADING);
    for choice in &choices[..leading] {
        // Where it cannot be followed, the order is left as it is.
        let probe = problem.tests.iter().position(|t| *t == choice.test)?;
        costs.push((problem.after(start, probe), *choice));
    }
    costs.arrange_by(|a, b| a.0.total_cmp(&b.0));
    let least = costs.first().map(|(cost, _)| *cost);
    for (slot, (_, choice)) in choices[..leading].iter_mut().zip(costs) {
        *slot = choice;
    }
    least
}

struct Hardened {
    problem: Problem,
    tests: Vec<TestIndex>,
}

impl Hardened {
    fn after(&self, start: Stand, probe: usize) -> f64 {
        self.problem.cost_beginning_with(start, probe)
    }
}

fn harden(table: &Table, belief: &Belief, acts: &Acts, choices: &[Choice]) -> Option<Hardened> {
    let mut kept: Vec<usize> = (0..belief.suspects().len())
        .filter(|h| belief.suspect(*h) > 1e-4)
        .collect();
    kept.arrange_by(|a, b| {
        belief
            .suspect(*b)
            .total_cmp(&belief.suspect(*a))
            .then(a.cmp(b))
    });
    kept.truncate(SUSPECTS);
    let (mut tests, mut probes) = (Vec::new(), Vec::new());
    for choice in choices.iter().take(TESTS) {
        let mut outcome = Vec::with_capacity(kept.len());
        for suspect in &kept {
            let (likeliest, p) = table.likeliest(choice.test, *suspect)?;
            if p < HARD {
                break;
            }
            outcome.push(u16::try_from(likeliest).ok()?);
        }
        if outcome.len() == kept.len() {
            tests.push(choice.test);
            probes.push(Probe {
                outcome,
                cost: acts.costs.get(choice.test.0).copied().unwrap_or_default(),
                aim: None,
            });
        }
    }
    let suspects: Vec<(f64, usize)> = kept
        .iter()
        .map(|h| (belief.suspect(*h), table.suspects().unit_of(*h)))
        .collect();
    let problem = Problem::new(&suspects, &probes, acts.access.clone()).ok()?;
    Some(Hardened { problem, tests })
}
