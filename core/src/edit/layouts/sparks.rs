//! Which cylinders each coil of a plan serves.

use super::{Arrangement, Feeds, Housing, Plan, PlanError, PlugsEach};
use crate::engine::{CylinderId, Engine, SharedSpark};

/// One coil to be built.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Job {
    /// What it serves.
    pub(super) serves: Serves,
    /// The row on which it stands, from 0.
    pub(super) row: usize,
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
    /// Both plugs of one.
    Both(CylinderId),
    /// Two companions.
    Pair(CylinderId, CylinderId),
    /// Several in turn, through a distributor, in firing order.
    InTurn(Vec<CylinderId>),
}

impl Serves {
    fn cylinders(&self) -> Vec<CylinderId> {
        match self {
            Self::One(c) | Self::Both(c) => vec![*c],
            Self::Pair(a, b) => vec![*a, *b],
            Self::InTurn(all) => all.clone(),
        }
    }
}

/// The coils of a plan, in the order in which people name them.
pub(super) fn jobs(plan: &Plan) -> Result<Vec<Job>, PlanError> {
    let serves = serves(plan)?;
    let sets: &[PlugSet] = match plan.plugs {
        PlugsEach::One | PlugsEach::TwoOnOneCoil => &[PlugSet::Only],
        PlugsEach::Two => &[PlugSet::First, PlugSet::Second],
    };
    let mut jobs = Vec::new();
    for set in sets {
        for serves in &serves {
            jobs.push(Job {
                row: row(plan, serves)?,
                serves: serves.clone(),
                set: *set,
            });
        }
    }
    let rows = plan.engine.banks.len();
    let too_small = match plan.housing {
        Housing::Single => false,
        Housing::Packs(coils) => coils < 2,
        Housing::RowPacks(_) => {
            (0..rows).any(|row| jobs.iter().filter(|job| job.row == row).count() < 2)
        }
    };
    if too_small {
        return Err(PlanError::EmptyPack);
    }
    Ok(jobs)
}

/// The row on which a coil stands: that of its first cylinder, or the opposite one.
fn row(plan: &Plan, serves: &Serves) -> Result<usize, PlanError> {
    let cylinders = serves.cylinders();
    let mut rows = cylinders
        .iter()
        .map(|cylinder| plan.engine.place(*cylinder).map_or(0, |(row, _)| row));
    let first = rows.next().unwrap_or(0);
    let Housing::RowPacks(feeds) = plan.housing else {
        return Ok(first);
    };
    let count = plan.engine.banks.len();
    if count != 2 {
        return Err(PlanError::RowsForPacks { rows: count });
    }
    if rows.any(|row| row != first) {
        return Err(PlanError::AcrossRows { cylinders });
    }
    Ok(match feeds {
        Feeds::OwnRow => first,
        Feeds::OppositeRow => 1 - first,
    })
}

fn serves(plan: &Plan) -> Result<Vec<Serves>, PlanError> {
    let order = &plan.engine.order.value;
    if plan.plugs == PlugsEach::TwoOnOneCoil {
        if plan.arrangement != Arrangement::OneEach {
            return Err(PlanError::BothPlugsOneCoil);
        }
        let all = plan.engine.cylinders();
        return Ok(all.into_iter().map(Serves::Both).collect());
    }
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
