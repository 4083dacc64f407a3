//! The order in which to mend what is left, with access that is paid once.

use super::choose::price;
use super::{AccessSet, Cost};
use crate::gather::Arrange;

/// One thing that can be mended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repair {
    /// Unit of repair.
    pub unit: usize,
    /// Chance that mending it ends the trouble.
    pub chance: f64,
    /// What mending it costs, checking the result included.
    pub cost: Cost,
}

/// Repairs in order, with what the whole order is expected to cost.
#[derive(Debug, Clone, PartialEq)]
pub struct RepairList {
    /// Places in the list that was given.
    pub order: Vec<usize>,
    /// Expected cost, minutes.
    pub cost: f64,
}

/// Whether the last suspect is still tested when all others have been cleared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LastSuspect {
    /// It is tested (or mended) like the others.
    Tested,
    /// It is inferred, and costs nothing.
    Inferred,
}

/// Expected cost of an order, in the unit of its repairs' costs: each step is paid by those who were not helped before it.
///
/// # Source
/// Expected cost of repair: Kalagnanam and Henrion, arXiv 1304.2362; formula as in Heckerman,
/// Breese and Rommelse 1995 with an initial and no further cost.
#[must_use]
pub fn expected_cost(
    repairs: &[Repair],
    order: &[usize],
    access: &[f64],
    paid: AccessSet,
    last: LastSuspect,
) -> f64 {
    let mut still: f64 = order.iter().map(|i| repairs[*i].chance).sum();
    let (mut cost, mut paid) = (0.0, paid);
    let steps = match last {
        LastSuspect::Tested => order.len(),
        LastSuspect::Inferred => order.len().saturating_sub(1),
    };
    for i in &order[..steps] {
        let repair = &repairs[*i];
        cost += still * price(&repair.cost, paid, access);
        paid = paid.with(repair.cost.access);
        still = (still - repair.chance).max(0.0);
    }
    cost
}

/// The order by chance over price, as if each repair paid its own access in full.
///
/// With [`LastSuspect::Inferred`] each suspect in turn is tried as the one left over, and the
/// cheapest such order wins: the plain order is beaten in nearly half of all such cases.
///
/// # Source
/// Smallest cost over chance first: Kalagnanam and Henrion, arXiv 1304.2362; Simon and Kadane 1975.
#[must_use]
pub fn plain_order(
    repairs: &[Repair],
    access: &[f64],
    paid: AccessSet,
    last: LastSuspect,
) -> RepairList {
    let ratio = |i: usize| repairs[i].chance / price(&repairs[i].cost, paid, access);
    let mut order: Vec<usize> = (0..repairs.len()).collect();
    order.arrange_by(|a, b| ratio(*b).total_cmp(&ratio(*a)).then(a.cmp(b)));
    let list = |order: Vec<usize>| RepairList {
        cost: expected_cost(repairs, &order, access, paid, last),
        order,
    };
    let mut best = list(order.clone());
    if last == LastSuspect::Inferred {
        for place in 0..order.len() {
            let mut other = order.clone();
            let left_over = other.remove(place);
            other.push(left_over);
            let other = list(other);
            if other.cost < best.cost {
                best = other;
            }
        }
    }
    best
}

/// The order with access paid once: from the innermost access outward, the group of repairs with the
/// best ratio of chance to cost, opening included, becomes one step.
///
/// An opening is a step that costs time and mends nothing, before all that lies behind it. Access
/// that nests (unit out, unit open, solder) makes a forest of such steps, and the order is then the
/// cheapest there is. Where access sets overlap without nesting, the forest is rebuilt after each
/// opening from what is not paid yet, and the order is a good one without that warrant.
///
/// # Source
/// Ottosen and Jensen 2010, "The cost of troubleshooting cost clusters with inside information"
/// (bottom-up P-over-C); the rule for forests is Horn 1972, doi:10.1137/0123021 (value from memory):
/// always take the step whose best closed group of followers has the highest ratio.
#[must_use]
pub fn repair_order(repairs: &[Repair], access: &[f64], paid: AccessSet) -> RepairList {
    let mut left: Vec<usize> = (0..repairs.len()).collect();
    let (mut order, mut open) = (Vec::new(), paid);
    while !left.is_empty() {
        // The forest is another one only when something was opened.
        let steps = Forest::of(repairs, &left, access, open).steps();
        if steps.is_empty() {
            break;
        }
        for step in steps {
            match step {
                Step::Mend(i) => {
                    order.push(i);
                    left.retain(|j| *j != i);
                }
                Step::Open(number) => {
                    open = open.with(AccessSet::one(number).unwrap_or_default());
                }
            }
        }
    }
    RepairList {
        cost: expected_cost(repairs, &order, access, paid, LastSuspect::Tested),
        order,
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    Open(usize),
    Mend(usize),
}

struct Node {
    step: Step,
    chance: f64,
    cost: f64,
    followers: Vec<Node>,
}

struct Forest(Vec<Node>);

impl Forest {
    fn of(repairs: &[Repair], left: &[usize], access: &[f64], paid: AccessSet) -> Self {
        let needs = |i: usize| repairs[i].cost.access.without(paid);
        let mut users = vec![0_usize; 128];
        for number in left.iter().flat_map(|i| needs(*i).numbers()) {
            users[number] += 1;
        }
        let mut roots = Vec::new();
        for i in left {
            // The opening that most repairs share comes first.
            let mut path: Vec<usize> = needs(*i).numbers().collect();
            path.arrange_by(|a, b| users[*b].cmp(&users[*a]).then(a.cmp(b)));
            let mut level: &mut Vec<Node> = &mut roots;
            for number in path {
                let step = Step::Open(number);
                let place = level.iter().position(|n| n.step == step);
                let place = place.unwrap_or_else(|| {
                    level.push(Node {
                        step,
                        chance: 0.0,
                        cost: access.get(number).copied().unwrap_or(0.0).max(0.0),
                        followers: Vec::new(),
                    });
                    level.len() - 1
                });
                level = &mut level[place].followers;
            }
            level.push(Node {
                step: Step::Mend(*i),
                chance: repairs[*i].chance.max(0.0),
                cost: price(&repairs[*i].cost, paid.with(needs(*i)), access),
                followers: Vec::new(),
            });
        }
        Self(roots)
    }

    /// The steps up to the first opening, that included: each begins the group with the best ratio, the first
    /// of equals.
    fn steps(self) -> Vec<Step> {
        let mut roots: Vec<(f64, Step)> = self
            .0
            .iter()
            .map(|root| (root.best_ratio(), root.step))
            .collect();
        roots.arrange_by(|a, b| b.0.total_cmp(&a.0));
        let opening = roots
            .iter()
            .position(|(_, step)| matches!(step, Step::Open(_)));
        roots.truncate(opening.map_or(roots.len(), |place| place + 1));
        roots.into_iter().map(|(_, step)| step).collect()
    }
}

impl Node {
    /// Highest chance over cost of any closed group that begins here.
    ///
    /// # Source
    /// Dinkelbach's iteration for a ratio of sums: the ratio rises until no group beats it.
    fn best_ratio(&self) -> f64 {
        let mut ratio = 0.0;
        loop {
            let (chance, cost) = self.group(ratio);
            let next = if cost > 0.0 { chance / cost } else { f64::MAX };
            if next <= ratio * (1.0 + 1e-12) {
                return ratio;
            }
            ratio = next;
        }
    }

    /// Chance and cost of the group, this node included, with the most (chance − ratio · cost).
    fn group(&self, ratio: f64) -> (f64, f64) {
        let mut sum = (self.chance, self.cost);
        for follower in &self.followers {
            let (chance, cost) = follower.group(ratio);
            if chance - ratio * cost > 0.0 {
                sum.0 += chance;
                sum.1 += cost;
            }
        }
        sum
    }
}
