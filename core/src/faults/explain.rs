//! Every single fault of a harness with its effect, and those that explain which cylinders are dead.

use std::collections::BTreeSet;

use super::{Effect, all_faults, effect};
use crate::engine::CylinderId;
use crate::gather::{Arrange, Gather};
use crate::model::Harness;
use crate::topology::Topology;

/// Every single fault with its effect, in the order of [`all_faults`].
#[must_use]
pub fn effects(harness: &Harness, topology: &Topology) -> Vec<Effect> {
    all_faults(harness)
        .into_iter()
        .map(|fault| effect(harness, topology, fault))
        .collect()
}

/// How well a fault explains which cylinders are dead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// It kills just these.
    Exactly,
    /// It kills only some of these and leaves the rest of them in doubt.
    WithDoubt,
}

/// The faults that alone explain that just these cylinders are dead, the exact ones first.
/// None for no dead cylinders.
#[must_use]
pub fn explains<'a>(effects: &'a [Effect], dead: &[CylinderId]) -> Vec<(Fit, &'a Effect)> {
    let dead: BTreeSet<CylinderId> = dead.iter().copied().gather();
    if dead.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<(Fit, &Effect)> = effects
        .iter()
        .filter_map(|effect| {
            let kills = effect.dead_cylinders();
            if kills == dead {
                return Some((Fit::Exactly, effect));
            }
            let with_doubt: BTreeSet<CylinderId> =
                kills.union(&effect.doubtful_cylinders()).copied().collect();
            (kills.is_subset(&dead) && dead.is_subset(&with_doubt))
                .then_some((Fit::WithDoubt, effect))
        })
        .collect();
    found.arrange_by_key(|&(fit, _)| fit);
    found
}
