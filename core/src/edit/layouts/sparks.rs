//! Which cylinders each coil of a plan serves.

use super::{Arrangement, Housing, Plan, PlanError, PlugsEach};
use crate::engine::{CylinderId, Engine, SharedSpark};

/// One coil to be built.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Job {
    /// What it serves.
    pub(super) serves: Serves,
    /// Which plug of each cylinder: 0, or 1 where a cylinder has two.
    pub(super) set: PlugSet,
}

/// Which of a cylinder's plugs a coil serves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PlugSet {
    /// The only one.
    Only,
    /// The first of two.
    First,
    /// The second of two.
    Second,
}

/// The cylinders of one coil.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Serves {
    /// One.
    One(CylinderId),
    /// Two companions.
    Pair(CylinderId, CylinderId),
    /// Several in turn, through a distributor, in firing order.
    InTurn(Vec<CylinderId>),
}

impl Serves {
    /// The cylinder by which the coil is placed.
    pub(super) fn first(&self) -> Option<CylinderId> {
        match self {
            Self::One(c) | Self::Pair(c, _) => Some(*c),
            Self::InTurn(all) => all.first().copied(),
        }
    }
}

/// The coils of a plan, in the order in which people name them.
pub(super) fn jobs(plan: &Plan) -> Result<Vec<Job>, PlanError> {
    if let Housing::Packs(coils) = plan.housing
        && coils < 2
    {
        return Err(PlanError::EmptyPack);
    }
    let serves = serves(plan)?;
    let sets: &[PlugSet] = match plan.plugs {
        PlugsEach::One => &[PlugSet::Only],
        PlugsEach::Two => &[PlugSet::First, PlugSet::Second],
    };
    Ok(sets
        .iter()
        .flat_map(|set| {
            serves.iter().map(|serves| Job {
                serves: serves.clone(),
                set: *set,
            })
        })
        .collect())
}

fn serves(plan: &Plan) -> Result<Vec<Serves>, PlanError> {
    let order = &plan.engine.order.value;
    let too_few = |distributors: usize| PlanError::NothingToDistribute {
        distributors,
        cylinders: order.len(),
    };
    match plan.arrangement {
        Arrangement::Pairs => Ok(pairs(&plan.engine)?
            .into_iter()
            .map(|(a, b)| Serves::Pair(a, b))
            .collect()),
        Arrangement::OneEach => Ok(plan
            .engine
            .cylinders()
            .into_iter()
            .map(Serves::One)
            .collect()),
        Arrangement::Distributor if order.len() < 2 => Err(too_few(1)),
        Arrangement::Distributor => Ok(vec![Serves::InTurn(order.clone())]),
        Arrangement::TwoDistributors if order.len() < 4 || order.len() % 2 == 1 => Err(too_few(2)),
        Arrangement::TwoDistributors => {
            let half = |start| order.iter().copied().skip(start).step_by(2).collect();
            Ok(vec![Serves::InTurn(half(0)), Serves::InTurn(half(1))])
        }
    }
}

/// The cylinders in pairs of companions, a waste-spark partner where there is one.
///
/// # Errors
/// [`PlanError::NoCompanion`] where a cylinder is left over.
pub(super) fn pairs(engine: &Engine) -> Result<Vec<(CylinderId, CylinderId)>, PlanError> {
    let mut left = engine.cylinders();
    let (mut found, mut alone) = (Vec::new(), Vec::new());
    while let Some(first) = (!left.is_empty()).then(|| left.remove(0)) {
        let shares = |kind| {
            left.iter()
                .position(|other| engine.shared_spark(first, *other) == Some(kind))
        };
        match shares(SharedSpark::Waste).or_else(|| shares(SharedSpark::Together)) {
            Some(at) => found.push((first, left.remove(at))),
            None => alone.push(first),
        }
    }
    if alone.is_empty() {
        Ok(found)
    } else {
        Err(PlanError::NoCompanion { alone })
    }
}
