//! Effects as the electrics see them: the structural verdicts, replaced where the sparks come out otherwise.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{Effect, Fault, Reason, Verdict, alteration, effect};
use crate::electrics::{
    Alteration, Assumptions, Charge, Circuit, Demand, Desk, OperatingPoint, PlugSpark, SparkReason,
    SparkState,
};
use crate::engine::CylinderId;
use crate::model::{Harness, Setup, Spark};
use crate::topology::Topology;
use crate::units::Ohms;

/// How a cylinder fares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fares {
    /// It does no work.
    Dead,
    /// It cannot be said, or it works badly.
    Doubtful,
    /// It works as before.
    Live,
}

/// What the electrics say of one cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CylinderEffect {
    /// The cylinder.
    pub cylinder: CylinderId,
    /// How it fares in the end.
    pub fares: Fares,
    /// Its best spark at the top of compression, idling; `None` where the map shows no plug.
    pub spark: Option<SparkState>,
    /// What limits that spark.
    pub limit: SparkReason,
    /// What the structure alone says.
    pub structural: Verdict,
    /// Where the structure alone would put it.
    pub structural_fares: Fares,
}

impl CylinderEffect {
    /// Whether the electrics changed the verdict.
    #[must_use]
    pub fn differs(&self) -> bool {
        self.fares != self.structural_fares
    }
}

/// What a fault does to every cylinder, rising.
#[derive(Debug, Clone, PartialEq)]
pub struct RefinedEffect {
    /// The fault.
    pub fault: Fault,
    /// Every cylinder of the engine.
    pub cylinders: Vec<CylinderEffect>,
    /// The structural form, with what else the fault does.
    pub structural: Effect,
}

impl RefinedEffect {
    /// The cylinders that fare so.
    #[must_use]
    pub fn that(&self, fares: Fares) -> BTreeSet<CylinderId> {
        let those = self.cylinders.iter().filter(|one| one.fares == fares);
        those.map(|one| one.cylinder).collect()
    }
}

/// Refines the effects of many faults of one harness, idling at 800 rpm.
#[derive(Debug)]
pub struct Refiner<'h> {
    harness: &'h Harness,
    topology: &'h Topology,
    circuit: Arc<Circuit>,
    point: OperatingPoint,
    healthy: BTreeMap<CylinderId, Best>,
}

type Best = (SparkState, SparkReason, usize);

const DEMAND: Demand = Demand::ByGap(Charge::Idle);
/// A short of less than this burns a wire that has no fuse.
const DEAD_SHORT: Ohms = Ohms::lit(1.0);

impl<'h> Refiner<'h> {
    /// A refiner for one harness.
    #[must_use]
    pub fn new(harness: &'h Harness, topology: &'h Topology) -> Self {
        let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
        let point = OperatingPoint::of(&circuit, &Setup::idling());
        let healthy = {
            let mut desk = Desk::new(&point);
            let none = Alteration::default();
            best(&desk.answer(&none).sparks(harness, &circuit, &none, DEMAND))
        };
        Self {
            harness,
            topology,
            circuit,
            point,
            healthy,
        }
    }

    /// What these faults do, in their order.
    #[must_use]
    pub fn refine(&self, faults: &[Fault]) -> Vec<RefinedEffect> {
        let mut desk = Desk::new(&self.point);
        faults
            .iter()
            .map(|fault| self.one(&mut desk, *fault))
            .collect()
    }

    fn one(&self, desk: &mut Desk<'_>, fault: Fault) -> RefinedEffect {
        let change = alteration(self.harness, &self.circuit, fault);
        let answer = desk.answer(&change);
        let now = best(&answer.sparks(self.harness, &self.circuit, &change, DEMAND));
        let structural = effect(self.harness, self.topology, fault);
        let lists = [
            (Fares::Dead, &structural.dead),
            (Fares::Doubtful, &structural.doubtful),
            (Fares::Live, &structural.live),
        ];
        let mut cylinders: Vec<CylinderEffect> = lists
            .into_iter()
            .flat_map(|(fares, verdicts)| verdicts.iter().map(move |verdict| (fares, *verdict)))
            .map(|(fares, verdict)| self.cylinder(fault, fares, verdict, &now))
            .collect();
        cylinders.sort_unstable_by_key(|one| one.cylinder);
        RefinedEffect {
            fault,
            cylinders,
            structural,
        }
    }

    fn cylinder(
        &self,
        fault: Fault,
        was: Fares,
        verdict: Verdict,
        now: &BTreeMap<CylinderId, Best>,
    ) -> CylinderEffect {
        let cylinder = verdict.cylinder;
        let found = now.get(&cylinder).copied();
        let healthy = self.healthy.get(&cylinder).copied();
        // A spark at the wrong time, two plugs, a fault that is not a matter of sparks, what comes and goes,
        // a wire that burns, and what the map leaves open: there the structure knows better.
        let sparks_matter = match verdict.spark {
            Some(Spark::WrongTime) => false,
            Some(Spark::Yes) => was == Fares::Live,
            Some(Spark::No | Spark::Weak) | None => true,
        };
        let dead_short = fault.mode.ohms().is_some_and(|ohms| ohms < DEAD_SHORT);
        let sparks_matter = sparks_matter
            && !matches!(
                verdict.reason,
                Reason::ErraticSignal(_) | Reason::FiredTogether
            )
            && !(verdict.reason == Reason::SupplyShorted && dead_short);
        let known = healthy.is_some_and(|(state, _, plugs)| state == SparkState::Yes && plugs == 1);
        let fares = match found {
            Some((state, ..)) if known && sparks_matter => match state {
                SparkState::No => Fares::Dead,
                SparkState::Doubtful | SparkState::Weak => Fares::Doubtful,
                SparkState::Yes => Fares::Live,
            },
            Some(_) | None => was,
        };
        CylinderEffect {
            cylinder,
            fares,
            spark: found.map(|(state, ..)| state),
            limit: found.map_or(SparkReason::NotOnMap, |(_, reason, _)| reason),
            structural: verdict,
            structural_fares: was,
        }
    }
}

/// The best spark of each cylinder, what limits it, and how many plugs it has.
fn best(plugs: &[PlugSpark]) -> BTreeMap<CylinderId, Best> {
    let mut found: BTreeMap<CylinderId, Best> = BTreeMap::new();
    for plug in plugs {
        let Some(cylinder) = plug.cylinder else {
            continue;
        };
        let event = plug.compression;
        let state = plug.at_work();
        let reason = event.map_or(SparkReason::NotEnergised, |event| event.reason);
        let entry = found.entry(cylinder).or_insert((state, reason, 0));
        entry.2 += 1;
        if state > entry.0 {
            (entry.0, entry.1) = (state, reason);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::edit::layouts::{Arrangement, DriversIn, Inline, Plan, build, propose_engine};
    use crate::engine::{Layout, Strokes};
    use crate::faults::{ModeKind, all_faults, severities};

    fn maps() -> Vec<Harness> {
        let four = propose_engine(4, Layout::Inline, Strokes::Four);
        let six = propose_engine(6, Layout::Inline, Strokes::Four);
        let plan = |engine| Plan::new("test", engine);
        vec![
            build(&Plan {
                inline: Inline::One,
                ..plan(four.clone())
            })
            .unwrap(),
            build(&Plan {
                drivers: DriversIn::Module,
                ..plan(six)
            })
            .unwrap(),
            build(&Plan {
                arrangement: Arrangement::OneEach,
                drivers: DriversIn::Coil,
                ..plan(four.clone())
            })
            .unwrap(),
            build(&Plan {
                arrangement: Arrangement::Distributor,
                ..plan(four)
            })
            .unwrap(),
        ]
    }

    /// Why the electrics change a verdict: mode, reason of the structure, how it fares in the end.
    const EXPLAINED: &[(ModeKind, &str, Fares, &str)] = &[
        (
            ModeKind::Breakdown,
            "spark-elsewhere",
            Fares::Dead,
            "4 kV inside is less than any gap needs",
        ),
        (
            ModeKind::Cracked,
            "spark-elsewhere",
            Fares::Dead,
            "6 kV at the crack is less than the gap needs",
        ),
        (
            ModeKind::Fouled,
            "gap-shunted",
            Fares::Doubtful,
            "100 kΩ leave 8 kV, about what the gap needs at idle",
        ),
        (
            ModeKind::Fouled,
            "gap-shunted",
            Fares::Live,
            "1 MΩ leaves 31 kV",
        ),
        (
            ModeKind::HighResistance,
            "weakened",
            Fares::Live,
            "2 Ω leave 24 kV; or little current flows there",
        ),
        (
            ModeKind::HighResistance,
            "weakened",
            Fares::Dead,
            "100 Ω leave no energy, or a unit's supply breaks down",
        ),
        (
            ModeKind::Leaky,
            "spark-elsewhere",
            Fares::Dead,
            "10 kΩ beside the lead leave 1 kV",
        ),
        (
            ModeKind::Leaky,
            "spark-elsewhere",
            Fares::Live,
            "1 MΩ beside the lead leaves 31 kV",
        ),
        (
            ModeKind::Leaky,
            "driver-leaks",
            Fares::Live,
            "25 Ω load the flyback little",
        ),
        (
            ModeKind::Leaky,
            "driver-leaks",
            Fares::Dead,
            "8 Ω and less load the flyback to below 6 kV",
        ),
        (
            ModeKind::ToGround,
            "never-cut",
            Fares::Live,
            "25 Ω at the switched side leave enough",
        ),
        (
            ModeKind::ToGround,
            "disturbed",
            Fares::Live,
            "25 Ω at a feed draw half an ampere",
        ),
        (
            ModeKind::ToGround,
            "disturbed",
            Fares::Dead,
            "25 Ω hold a drive signal down",
        ),
        (
            ModeKind::ToGround,
            "fuse-blows",
            Fares::Live,
            "3 Ω draw less than the fuse carries",
        ),
        (
            ModeKind::ToGround,
            "supply-shorted",
            Fares::Live,
            "3 Ω draw four amperes: the supply holds",
        ),
        (
            ModeKind::ToNeighbour,
            "disturbed",
            Fares::Live,
            "the two signals do not need to differ",
        ),
        (
            ModeKind::ToNeighbour,
            "disturbed",
            Fares::Dead,
            "one of the two holds the other down",
        ),
        (
            ModeKind::ToNeighbour,
            "fuse-blows",
            Fares::Live,
            "3 Ω draw less than the fuse carries",
        ),
        (
            ModeKind::ToSupply,
            "driver-shorted",
            Fares::Live,
            "25 Ω beside a primary of half an ohm carry little",
        ),
        (
            ModeKind::ToSupply,
            "supply-shorted",
            Fares::Live,
            "3 Ω draw four amperes: the supply holds",
        ),
        (
            ModeKind::TurnsShorted,
            "turns-shorted",
            Fares::Doubtful,
            "5 % leave 9 kV, about what the gap needs at idle",
        ),
        (
            ModeKind::TurnsShorted,
            "turns-shorted",
            Fares::Dead,
            "6 kV are less than the gap needs",
        ),
        (
            ModeKind::Worn,
            "gap-wide",
            Fares::Live,
            "at idle the coil reaches more than twice the need",
        ),
    ];

    #[test]
    fn every_difference_from_the_structure_is_explained() {
        let mut seen = BTreeSet::new();
        let mut stray = Vec::new();
        for harness in maps() {
            let topology = Topology::of(&harness);
            let refiner = Refiner::new(&harness, &topology);
            let faults: Vec<Fault> = all_faults(&harness)
                .into_iter()
                .flat_map(|fault| {
                    let all = severities(fault.element, fault.mode).into_iter();
                    all.map(move |mode| Fault::new(fault.element, mode))
                })
                .collect();
            for refined in refiner.refine(&faults) {
                assert_eq!(refined.cylinders.len(), harness.engine.cylinders().len());
                for one in refined.cylinders.iter().filter(|one| one.differs()) {
                    let kind = refined.fault.mode.kind();
                    let reason = one.structural.reason.code();
                    let row = EXPLAINED.iter().position(|(mode, why, fares, _)| {
                        (*mode, *why, *fares) == (kind, reason, one.fares)
                    });
                    match row {
                        Some(row) => {
                            seen.insert(row);
                        }
                        None => stray.push(format!(
                            "{} {kind:?}: {reason} → {:?}, {:?}",
                            harness.element_name(refined.fault.element),
                            one.fares,
                            one.limit
                        )),
                    }
                }
            }
        }
        assert!(stray.is_empty(), "not explained: {stray:#?}");
        let idle: Vec<_> = (0..EXPLAINED.len())
            .filter(|row| !seen.contains(row))
            .collect();
        assert!(idle.is_empty(), "explained but never seen: rows {idle:?}");
    }
}
