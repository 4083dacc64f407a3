//! What a fault changes in a cycle: sparks that vanish or weaken, currents that are otherwise.

use super::Cycle;
use super::coils::SPARKS_TOGETHER;
use crate::electrics::{Moment, SparkReason, SparkState};
use crate::engine::CylinderId;
use crate::model::PartId;
use crate::units::{Amps, Degrees};

/// A spark that is otherwise than before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SparkChange {
    /// The coil.
    pub coil: PartId,
    /// Crank angle.
    pub at: Degrees,
    /// The plug.
    pub plug: PartId,
    /// Its cylinder, where it is known.
    pub cylinder: Option<CylinderId>,
    /// Which spark it is.
    pub moment: Moment,
    /// How it was; `None` where there was none at this angle.
    pub before: Option<SparkState>,
    /// How it is; `None` where none is asked for at this angle any more.
    pub now: Option<SparkState>,
    /// Why.
    pub reason: SparkReason,
}

/// A coil whose current is otherwise than before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoilChange {
    /// The coil.
    pub coil: PartId,
    /// Highest current before and now.
    pub peak: (Amps, Amps),
    /// Current that flows all the time, before and now.
    pub steady: (Amps, Amps),
    /// Whether a driver still switches it.
    pub switched: bool,
}

/// Currents closer than this, as a share of the larger, count as the same. Judgement: nobody sees less.
const SAME_CURRENT: f64 = 0.01;

type Seen = (PartId, Degrees, PartId, Option<CylinderId>, Moment);

fn sparks(cycle: &Cycle) -> Vec<(Seen, SparkState, SparkReason)> {
    let mut found = Vec::new();
    for row in &cycle.coils {
        for firing in &row.firings {
            for end in &firing.ends {
                let seen = (row.coil, firing.at, end.plug, end.cylinder, end.moment);
                found.push((seen, end.spark.state, end.spark.reason));
            }
        }
    }
    found
}

fn same(a: &Seen, b: &Seen) -> bool {
    a.0 == b.0 && a.2 == b.2 && (a.1 - b.1).abs() <= SPARKS_TOGETHER
}

/// The sparks that are otherwise in `now` than in `before`, coil by coil.
#[must_use]
pub fn spark_changes(before: &Cycle, now: &Cycle) -> Vec<SparkChange> {
    let (old, new) = (sparks(before), sparks(now));
    let change = |seen: &Seen, before, now, reason| SparkChange {
        coil: seen.0,
        at: seen.1,
        plug: seen.2,
        cylinder: seen.3,
        moment: seen.4,
        before,
        now,
        reason,
    };
    let mut found: Vec<SparkChange> = Vec::new();
    for (seen, state, reason) in &old {
        match new.iter().find(|(other, ..)| same(seen, other)) {
            Some((_, now, why)) if now != state => {
                found.push(change(seen, Some(*state), Some(*now), *why));
            }
            Some(_) => {}
            None => found.push(change(seen, Some(*state), None, *reason)),
        }
    }
    for (seen, state, reason) in &new {
        if !old.iter().any(|(other, ..)| same(seen, other)) {
            found.push(change(seen, None, Some(*state), *reason));
        }
    }
    found
}

/// The coils whose current is otherwise in `now` than in `before`, rising.
#[must_use]
pub fn coil_changes(before: &Cycle, now: &Cycle) -> Vec<CoilChange> {
    let differs = |(a, b): (Amps, Amps)| {
        let most = a.abs().max(b.abs()).get();
        (a - b).abs().get() > SAME_CURRENT * most.max(0.1)
    };
    let coils = now.coils.iter().filter_map(|row| {
        let old = before.coil(row.coil)?;
        let change = CoilChange {
            coil: row.coil,
            peak: (old.peak(), row.peak()),
            steady: (old.steady, row.steady),
            switched: !row.runs.is_empty(),
        };
        let switched = old.runs.is_empty() != row.runs.is_empty();
        (switched || differs(change.peak) || differs(change.steady)).then_some(change)
    });
    coils.collect()
}
