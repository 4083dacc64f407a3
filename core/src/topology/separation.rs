//! What is lost when elements open: relays that drop, units that die, cylinders that lose their needs.

use std::collections::{BTreeMap, BTreeSet};

use super::crew::Crew;
use super::need::{NeedKind, NeedState};
use super::wiring::{BranchSet, Route};
use super::{BranchKind, Topology};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{Element, PartId};

/// What one cylinder loses.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Loss {
    /// Connections without which there is no spark, where every way to a spark has lost one: those of
    /// the first way.
    pub spark: Vec<NeedKind>,
    /// Connections without which the spark is in doubt, or those of one of two plugs.
    pub doubt: Vec<NeedKind>,
    /// Connections without which there is no fuel.
    pub fuel: Vec<NeedKind>,
}

/// What is separated when some elements are open.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Separation {
    /// The cylinders that lose something.
    pub losses: BTreeMap<CylinderId, Loss>,
    /// Relays that drop.
    pub relays: BTreeSet<PartId>,
    /// Units that lose their supply or ground.
    pub units: BTreeSet<PartId>,
}

impl Separation {
    /// The cylinders without a spark.
    #[must_use]
    pub fn dead(&self) -> BTreeSet<CylinderId> {
        self.dead_crew().into()
    }

    pub(super) fn dead_crew(&self) -> Crew {
        self.losses
            .iter()
            .filter(|(_, loss)| !loss.spark.is_empty())
            .map(|(&cylinder, _)| cylinder)
            .collect()
    }

    /// The cylinders that spark but get no fuel.
    #[must_use]
    pub fn starved(&self) -> BTreeSet<CylinderId> {
        self.losses
            .iter()
            .filter(|(_, loss)| loss.spark.is_empty() && !loss.fuel.is_empty())
            .map(|(&cylinder, _)| cylinder)
            .gather()
    }
}

impl Topology {
    /// What is lost when all of these elements are open at once, in the running engine: relays are
    /// pulled in until something they need is gone.
    #[must_use]
    pub fn separates(&self, open: &[Element]) -> Separation {
        let gone = open
            .iter()
            .flat_map(|&element| self.branches_of(element))
            .copied()
            .collect();
        self.without(gone)
    }

    fn without(&self, mut gone: Vec<usize>) -> Separation {
        let mut found = Separation::default();
        if gone.is_empty() {
            return found;
        }
        // Only needs on whose paths something is gone can be lost.
        let mut touched = vec![false; self.needs.len()];
        let mut known = 0;
        loop {
            for &need in gone
                .iter()
                .skip(known)
                .flat_map(|&branch| self.over.get(branch))
                .flatten()
            {
                if let Some(mark) = touched.get_mut(need) {
                    *mark = true;
                }
            }
            known = gone.len();
            let set = BranchSet::of(gone.iter().copied());
            let lost =
                |need: &usize| touched.get(*need) == Some(&true) && self.lost(*need, &gone, &set);
            let mut more = Vec::new();
            for (&unit, needs) in &self.units {
                if !found.units.contains(&unit) && needs.iter().any(&lost) {
                    found.units.insert(unit);
                    more.extend(self.relay_switches(unit));
                }
            }
            for (&relay, needs) in &self.relays {
                if !found.relays.contains(&relay) && needs.iter().any(&lost) {
                    found.relays.insert(relay);
                    more.extend(self.branches_of(Element::Contact(relay)));
                }
            }
            more.retain(|&branch| !set.contains(branch));
            if more.is_empty() {
                break;
            }
            gone.extend(more);
        }
        let set = BranchSet::of(gone.iter().copied());
        let lost: Vec<bool> = touched
            .iter()
            .enumerate()
            .map(|(need, &touched)| touched && self.lost(need, &gone, &set))
            .collect();
        if lost.contains(&true) {
            self.losses(&lost, &set, &mut found);
        }
        found
    }

    fn losses(&self, lost: &[bool], set: &BranchSet, found: &mut Separation) {
        let of = |needs: &[usize]| -> Vec<NeedKind> {
            needs
                .iter()
                .filter(|&&need| lost.get(need) == Some(&true))
                .filter_map(|&need| Some(self.needs.get(need)?.kind))
                .collect()
        };
        for (&cylinder, needs) in &self.cylinders {
            let mut loss = Loss {
                fuel: of(&needs.fuel),
                ..Loss::default()
            };
            let mut ways = 0;
            for chain in &needs.chains {
                let mut doubt = of(&chain.doubts);
                let strap = chain.doubts.iter().copied().find(|&need| {
                    lost.get(need) == Some(&true) && self.kind(need) == Some(NeedKind::EngineGround)
                });
                // Engine and body touch in more places than a map shows: a coil's return that still
                // reaches the battery is in doubt without the engine's strap, not gone.
                let held: Vec<usize> = chain
                    .needs
                    .iter()
                    .copied()
                    .filter(|&need| !strap.is_some_and(|strap| self.returns_past(need, strap, set)))
                    .collect();
                let spark = of(&held);
                if spark.is_empty() {
                    ways += 1;
                } else {
                    doubt.clone_from(&spark);
                }
                if loss.spark.is_empty() {
                    loss.spark = spark;
                }
                for kind in doubt {
                    if !loss.doubt.contains(&kind) {
                        loss.doubt.push(kind);
                    }
                }
            }
            if ways > 0 {
                loss.spark.clear();
            } else if !loss.spark.is_empty() {
                loss.doubt.clear();
            }
            if loss != Loss::default() {
                found.losses.insert(cylinder, loss);
            }
        }
    }

    fn kind(&self, need: usize) -> Option<NeedKind> {
        self.needs.get(need).map(|need| need.kind)
    }

    /// Whether a need is a coil's return that reaches the battery by itself, as `strap` should.
    fn returns_past(&self, need: usize, strap: usize, set: &BranchSet) -> bool {
        let Some(NeedKind::Return(_)) = self.kind(need) else {
            return false;
        };
        let (Some(from), Some(to)) = (self.paths.get(need), self.paths.get(strap)) else {
            return false;
        };
        self.needs.get(need).is_some_and(|described| {
            self.wiring.holds(
                Route {
                    from: &from.from,
                    to: &to.to,
                    through: described.through,
                },
                set,
            )
        })
    }

    /// Whether a need is lost without these branches. `gone` and `set` hold the same ones.
    fn lost(&self, need: usize, gone: &[usize], set: &BranchSet) -> bool {
        let (Some(paths), Some(described)) = (self.paths.get(need), self.needs.get(need)) else {
            return false;
        };
        let mut on = 0;
        for &branch in gone {
            if paths.on.contains(branch) {
                on += 1;
                if paths.needed.contains(&branch) {
                    return true;
                }
            }
        }
        on > 1
            && described.state == NeedState::Shown
            && !self.wiring.holds(
                Route {
                    from: &paths.from,
                    to: &paths.to,
                    through: described.through,
                },
                set,
            )
    }

    /// The branches of a unit's own switches that pull in relays.
    fn relay_switches(&self, unit: PartId) -> impl Iterator<Item = usize> + '_ {
        self.network
            .branches
            .iter()
            .enumerate()
            .filter(move |(_, branch)| {
                branch.kind == BranchKind::RelaySwitch && branch.b == super::Node::GroundRail(unit)
            })
            .map(|(index, _)| index)
    }
}
