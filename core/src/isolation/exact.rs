//! Noise-free search problems: the exact optimal tree, and what any way of searching costs on them.

use crate::gather::Arrange;
use std::collections::{BTreeMap, HashMap};

use super::choose::{price, score};
use super::searches::{Offer, Search};
use super::{AccessSet, Cost, entropy};

/// A test without noise: each suspect has one outcome.
#[derive(Debug, Clone, PartialEq)]
pub struct Probe {
    /// Outcome of each suspect.
    pub outcome: Vec<u16>,
    /// What it costs.
    pub cost: Cost,
    /// The unit of repair it looks at directly, if it does.
    pub aim: Option<usize>,
}

/// Why a problem was refused or given up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ExactError {
    /// More than 128 suspects can be told apart.
    #[error("{0} suspects can be told apart where an exact tree takes at most 128")]
    TooMany(usize),
    /// The search met more states than allowed.
    #[error("the exact tree needs more than {0} states")]
    TooLarge(usize),
    /// A probe does not give one outcome for each suspect.
    #[error("probe {0} does not give one outcome for each suspect")]
    Length(usize),
}

/// A noise-free problem: find the unit of repair.
///
/// Suspects that no probe tells apart are one *class*. The goal of a class is its unit, or the
/// class itself where its suspects belong to several units: a search ends when one goal is left.
#[derive(Debug, Clone)]
pub struct Problem {
    weight: Vec<f64>,
    goal: Vec<usize>,
    goals: usize,
    probes: Vec<Split>,
    access: Vec<f64>,
}

#[derive(Debug, Clone)]
struct Split {
    parts: Vec<u128>,
    cost: Cost,
    aim: u128,
}

/// Where a search stands: the classes left and the access paid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Stand {
    left: u128,
    paid: AccessSet,
}

/// What a way of searching costs on a problem.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Effort {
    /// Expected price, minutes.
    pub cost: f64,
    /// Expected number of tests.
    pub tests: f64,
    /// Most tests on any path.
    pub worst: usize,
}

impl Problem {
    /// A problem from suspects as (weight, unit of repair), probes, and minutes by access number.
    ///
    /// # Errors
    /// [`ExactError::Length`], [`ExactError::TooMany`].
    pub fn new(
        suspects: &[(f64, usize)],
        probes: &[Probe],
        access: Vec<f64>,
    ) -> Result<Self, ExactError> {
        if let Some(bad) = probes
            .iter()
            .position(|p| p.outcome.len() != suspects.len())
        {
            return Err(ExactError::Length(bad));
        }
        // Classes by signature: the outcomes of all probes.
        let mut classes: BTreeMap<Vec<u16>, Vec<usize>> = BTreeMap::new();
        for (suspect, (weight, _)) in suspects.iter().enumerate() {
            if *weight > 0.0 {
                let signature = probes.iter().map(|p| p.outcome[suspect]).collect();
                classes.entry(signature).or_default().push(suspect);
            }
        }
        if classes.len() > 128 {
            return Err(ExactError::TooMany(classes.len()));
        }
        let mut units: BTreeMap<usize, usize> = BTreeMap::new();
        let mut goals = 0;
        let (mut weight, mut goal) = (Vec::new(), Vec::new());
        for members in classes.values() {
            weight.push(members.iter().map(|h| suspects[*h].0).sum());
            let unit = suspects[members[0]].1;
            let alone = members.iter().all(|h| suspects[*h].1 == unit);
            goal.push(if alone {
                *units.entry(unit).or_insert_with(|| {
                    goals += 1;
                    goals - 1
                })
            } else {
                goals += 1;
                goals - 1
            });
        }
        let members: Vec<&Vec<usize>> = classes.values().collect();
        let mut splits: Vec<Split> = Vec::new();
        for (number, probe) in probes.iter().enumerate() {
            let mut parts: BTreeMap<u16, u128> = BTreeMap::new();
            let mut aim = 0_u128;
            for (class, (signature, held)) in classes.iter().enumerate() {
                *parts.entry(signature[number]).or_default() |= 1 << class;
                if probe.aim == Some(suspects[held[0]].1) {
                    aim |= 1 << class;
                }
            }
            splits.push(Split {
                parts: parts.into_values().collect(),
                cost: probe.cost,
                aim,
            });
        }
        debug_assert_eq!(members.len(), weight.len());
        Ok(Self {
            weight,
            goal,
            goals,
            probes: splits,
            access,
        })
    }

    /// How many classes of suspects can be told apart.
    #[must_use]
    pub fn classes(&self) -> usize {
        self.weight.len()
    }

    /// The start: every class left, nothing paid.
    #[must_use]
    pub fn start(&self) -> Stand {
        let left = if self.classes() == 128 {
            u128::MAX
        } else {
            (1 << self.classes()) - 1
        };
        Stand {
            left,
            paid: AccessSet::NONE,
        }
    }

    /// The start with some access open already.
    pub(super) fn start_with(&self, paid: AccessSet) -> Stand {
        Stand {
            paid,
            ..self.start()
        }
    }

    /// What it costs to begin with one probe and to let the planner go on.
    pub(super) fn cost_beginning_with(&self, at: Stand, probe: usize) -> f64 {
        let mut walk = Walk {
            problem: self,
            search: Search::Planner,
            known: HashMap::new(),
            greedy: HashMap::new(),
        };
        self.step(at, probe, |next| walk.from(next)).cost
    }

    fn members(left: u128) -> impl Iterator<Item = usize> {
        let mut rest = left;
        std::iter::from_fn(move || {
            if rest == 0 {
                return None;
            }
            let class = rest.trailing_zeros() as usize;
            rest &= rest - 1;
            Some(class)
        })
    }

    fn mass(&self, left: u128) -> f64 {
        Self::members(left).map(|c| self.weight[c]).sum()
    }

    fn finished(&self, left: u128) -> bool {
        let mut goals = Self::members(left).map(|c| self.goal[c]);
        let first = goals.next();
        goals.all(|goal| Some(goal) == first)
    }

    fn by_goal(&self, left: u128) -> Vec<f64> {
        let mut shares = vec![0.0; self.goals];
        for class in Self::members(left) {
            shares[self.goal[class]] += self.weight[class];
        }
        shares
    }

    fn splits(&self, probe: &Split, left: u128) -> bool {
        probe.parts.iter().filter(|part| *part & left != 0).count() > 1
    }

    /// Classes left after each outcome of a probe.
    fn after<'a>(&'a self, probe: usize, left: u128) -> impl Iterator<Item = u128> + 'a {
        self.probes[probe]
            .parts
            .iter()
            .map(move |part| part & left)
            .filter(|part| *part != 0)
    }

    /// Every probe that would still tell something, as a search sees it.
    #[must_use]
    pub fn offers(&self, at: Stand) -> Vec<Offer> {
        let whole = self.mass(at.left);
        let before = entropy(&self.by_goal(at.left));
        let mut offers = Vec::new();
        for (number, probe) in self.probes.iter().enumerate() {
            if !self.splits(probe, at.left) {
                continue;
            }
            let mut after = 0.0;
            let mut largest = 0_u32;
            for part in self.after(number, at.left) {
                after += self.mass(part) / whole * entropy(&self.by_goal(part));
                largest = largest.max(part.count_ones());
            }
            offers.push(Offer {
                test: number,
                // A split within one goal tells nothing yet may be needed on the way.
                bits: (before - after).max(1e-6),
                price: price(&probe.cost, at.paid, &self.access),
                aimed_at: self.mass(probe.aim & at.left) / whole,
                largest: f64::from(largest) / f64::from(at.left.count_ones()),
            });
        }
        offers
    }

    /// Follows one way of searching through every outcome and returns what it costs on average.
    #[must_use]
    pub fn effort(&self, search: Search) -> Effort {
        let mut walk = Walk {
            problem: self,
            search,
            known: HashMap::new(),
            greedy: HashMap::new(),
        };
        walk.from(self.start())
    }

    /// The least expected cost of any tree of tests, and that tree's effort.
    ///
    /// `most_states`: how many states may be remembered before it gives up.
    ///
    /// # Errors
    /// [`ExactError::TooLarge`].
    ///
    /// # Source
    /// Dynamic programming over (suspects left, access paid) with branch and bound. The bound: a
    /// state of entropy H needs at least H / log₂ k tests of k outcomes, each at the least price.
    pub fn optimal(&self, most_states: usize) -> Result<Effort, ExactError> {
        let mut solver = Solver {
            problem: self,
            most: most_states,
            known: HashMap::new(),
        };
        solver.best(self.start())
    }
}

struct Walk<'a> {
    problem: &'a Problem,
    search: Search,
    known: HashMap<Stand, Effort>,
    greedy: HashMap<Stand, Effort>,
}

impl Walk<'_> {
    fn from(&mut self, at: Stand) -> Effort {
        if self.problem.finished(at.left) {
            return Effort::default();
        }
        if let Some(effort) = self.known.get(&at) {
            return *effort;
        }
        let offers = self.problem.offers(at);
        let chosen = match self.search {
            Search::Rollout { leading } => self.roll(at, &offers, leading),
            Search::Planner
            | Search::SourceToLoad
            | Search::HalfSplit
            | Search::PriorOverCost
            | Search::Random(_) => self.search.pick(&offers, at.left.count_ones().into()),
        };
        let effort = chosen.map_or_else(Effort::default, |probe| {
            self.problem.step(at, probe, |next| self.from(next))
        });
        self.known.insert(at, effort);
        effort
    }

    /// Among the leading few by score, the one from which the plain planner ends cheapest.
    fn roll(&mut self, at: Stand, offers: &[Offer], leading: usize) -> Option<usize> {
        let mut ranked: Vec<&Offer> = offers.iter().collect();
        ranked.arrange_by(|a, b| {
            score(b.bits, b.price)
                .total_cmp(&score(a.bits, a.price))
                .then(a.test.cmp(&b.test))
        });
        let mut best: Option<(f64, usize)> = None;
        for offer in ranked.into_iter().take(leading.max(1)) {
            let cost = self
                .problem
                .step(at, offer.test, |next| self.plain(next))
                .cost;
            if best.is_none_or(|(least, _)| cost < least) {
                best = Some((cost, offer.test));
            }
        }
        best.map(|(_, test)| test)
    }

    fn plain(&mut self, at: Stand) -> Effort {
        if self.problem.finished(at.left) {
            return Effort::default();
        }
        if let Some(effort) = self.greedy.get(&at) {
            return *effort;
        }
        let offers = self.problem.offers(at);
        let effort = Search::Planner
            .pick(&offers, 0)
            .map_or_else(Effort::default, |probe| {
                self.problem.step(at, probe, |next| self.plain(next))
            });
        self.greedy.insert(at, effort);
        effort
    }
}

impl Problem {
    fn step(&self, at: Stand, probe: usize, mut then: impl FnMut(Stand) -> Effort) -> Effort {
        let cost = &self.probes[probe].cost;
        let paid = at.paid.with(cost.access);
        let whole = self.mass(at.left);
        let mut all = Effort {
            cost: price(cost, at.paid, &self.access),
            tests: 1.0,
            worst: 0,
        };
        let parts: Vec<u128> = self.after(probe, at.left).collect();
        for left in parts {
            let share = self.mass(left) / whole;
            let next = then(Stand { left, paid });
            all.cost += share * next.cost;
            all.tests += share * next.tests;
            all.worst = all.worst.max(next.worst);
        }
        all.worst += 1;
        all
    }
}

struct Solver<'a> {
    problem: &'a Problem,
    most: usize,
    known: HashMap<Stand, Effort>,
}

impl Solver<'_> {
    /// No tree from `at` costs less than this.
    fn bound(&self, at: Stand) -> f64 {
        if self.problem.finished(at.left) {
            return 0.0;
        }
        if let Some(known) = self.known.get(&at) {
            return known.cost;
        }
        let (mut least, mut outcomes) = (f64::INFINITY, 2_usize);
        for probe in &self.problem.probes {
            let count = probe.parts.iter().filter(|p| *p & at.left != 0).count();
            if count > 1 {
                least = least.min(price(&probe.cost, at.paid, &self.problem.access));
                // Access may have been paid by then.
                least = least.min(price(&probe.cost, probe.cost.access, &self.problem.access));
                outcomes = outcomes.max(count);
            }
        }
        let outcomes = u32::try_from(outcomes).unwrap_or(u32::MAX);
        let tests = entropy(&self.problem.by_goal(at.left)) / f64::from(outcomes).log2();
        least * tests.max(1.0)
    }

    fn best(&mut self, at: Stand) -> Result<Effort, ExactError> {
        if self.problem.finished(at.left) {
            return Ok(Effort::default());
        }
        if let Some(known) = self.known.get(&at) {
            return Ok(*known);
        }
        let whole = self.problem.mass(at.left);
        let mut offers = self.problem.offers(at);
        offers.arrange_by(|a, b| {
            score(b.bits, b.price)
                .total_cmp(&score(a.bits, a.price))
                .then(a.test.cmp(&b.test))
        });
        let mut best: Option<Effort> = None;
        for offer in offers {
            let paid = at.paid.with(self.problem.probes[offer.test].cost.access);
            let parts: Vec<u128> = self.problem.after(offer.test, at.left).collect();
            // What this probe would cost at the very least.
            let bounds: Vec<f64> = parts
                .iter()
                .map(|left| {
                    self.problem.mass(*left) / whole * self.bound(Stand { left: *left, paid })
                })
                .collect();
            let mut floor = offer.price + bounds.iter().sum::<f64>();
            let mut effort = Effort {
                cost: offer.price,
                tests: 1.0,
                worst: 0,
            };
            let mut beaten = false;
            for (left, bound) in parts.iter().zip(&bounds) {
                if best.is_some_and(|b| floor >= b.cost - 1e-12) {
                    beaten = true;
                    break;
                }
                let share = self.problem.mass(*left) / whole;
                let next = self.best(Stand { left: *left, paid })?;
                floor += share * next.cost - bound;
                effort.cost += share * next.cost;
                effort.tests += share * next.tests;
                effort.worst = effort.worst.max(next.worst);
            }
            effort.worst += 1;
            if !beaten && best.is_none_or(|b| effort.cost < b.cost - 1e-12) {
                best = Some(effort);
            }
        }
        let effort = best.unwrap_or_default();
        if self.known.len() >= self.most {
            return Err(ExactError::TooLarge(self.most));
        }
        self.known.insert(at, effort);
        Ok(effort)
    }
}
