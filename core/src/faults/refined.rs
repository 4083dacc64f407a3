//! Effects as the electrics see them: the structural verdicts, replaced where the sparks come out otherwise.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{Effect, Fault, Reason, Verdict, alteration, effect};
use crate::electrics::{
    Alteration, Assumptions, Charge, Circuit, Demand, Desk, OperatingPoint, PlugSpark, SparkReason,
    SparkState,
};
use crate::engine::CylinderId;
use crate::gather::{Arrange, Gather};
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
    /// What the coil can reach at that plug and what its gap needs, kV, idling; `None` where no coil fires
    /// then.
    pub kilovolts: Option<(f64, f64)>,
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

    /// The structure's verdict with the spark that the electrics find, where they changed it.
    fn verdict(&self) -> Verdict {
        if !self.differs() {
            return self.structural;
        }
        let spark = match self.spark {
            Some(SparkState::Yes) => Some(Spark::Yes),
            Some(SparkState::Weak) => Some(Spark::Weak),
            Some(SparkState::No) => Some(Spark::No),
            Some(SparkState::Doubtful) | None => None,
        };
        Verdict {
            spark,
            ..self.structural
        }
    }
}

/// What a fault does to every cylinder, rising.
#[derive(Debug, Clone, PartialEq)]
pub struct RefinedEffect {
    /// The fault.
    pub fault: Fault,
    /// Every cylinder of the engine.
    pub cylinders: Vec<CylinderEffect>,
    /// The same as lists, every cylinder where the electrics put it, with what else the fault does. Reasons
    /// are those of the structure.
    pub effect: Effect,
}

impl RefinedEffect {
    /// The cylinders that fare so.
    #[must_use]
    pub fn that(&self, fares: Fares) -> BTreeSet<CylinderId> {
        let those = self.cylinders.iter().filter(|one| one.fares == fares);
        those.map(|one| one.cylinder).gather()
    }
}

/// What one fault does, as the electrics see it with the engine idling. For many faults of one harness a
/// [`Refiner`] is quicker.
#[must_use]
pub fn refined(harness: &Harness, topology: &Topology, fault: Fault) -> RefinedEffect {
    let refiner = Refiner::new(harness, topology);
    refiner.one(&mut Desk::new(&refiner.point), fault)
}

/// Refines the effects of many faults of one harness, idling at 800 rpm.
#[derive(Debug)]
pub struct Refiner<'h> {
    harness: &'h Harness,
    topology: &'h Topology,
    circuit: Arc<Circuit>,
    point: Arc<OperatingPoint>,
    healthy: BTreeMap<CylinderId, Best>,
}

/// The best spark of one cylinder, and how many plugs it has.
#[derive(Debug, Clone, Copy)]
struct Best {
    state: SparkState,
    limit: SparkReason,
    kilovolts: Option<(f64, f64)>,
    plugs: usize,
}

const DEMAND: Demand = Demand::ByGap(Charge::Idle);
/// A short of less than this burns a wire that has no fuse.
const DEAD_SHORT: Ohms = Ohms::lit(1.0);

impl<'h> Refiner<'h> {
    /// A refiner for one harness.
    #[must_use]
    pub fn new(harness: &'h Harness, topology: &'h Topology) -> Self {
        let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
        let point = Arc::new(OperatingPoint::of(&circuit, &Setup::idling()));
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

    fn one(&self, desk: &mut Desk, fault: Fault) -> RefinedEffect {
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
        cylinders.arrange_by_key(|one| one.cylinder);
        let list = |fares| -> Vec<Verdict> {
            let those = cylinders.iter().filter(|one| one.fares == fares);
            those.map(CylinderEffect::verdict).collect()
        };
        let effect = Effect {
            dead: list(Fares::Dead),
            doubtful: list(Fares::Doubtful),
            live: list(Fares::Live),
            ..structural
        };
        RefinedEffect {
            fault,
            cylinders,
            effect,
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
        let known = healthy.is_some_and(|best| best.state == SparkState::Yes && best.plugs == 1);
        let fares = match found {
            Some(best) if known && sparks_matter => match best.state {
                SparkState::No => Fares::Dead,
                SparkState::Doubtful | SparkState::Weak => Fares::Doubtful,
                SparkState::Yes => Fares::Live,
            },
            Some(_) | None => was,
        };
        CylinderEffect {
            cylinder,
            fares,
            spark: found.map(|best| best.state),
            limit: found.map_or(SparkReason::NotOnMap, |best| best.limit),
            kilovolts: found.and_then(|best| best.kilovolts),
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
        let mine = Best {
            state: plug.at_work(),
            limit: event.map_or(SparkReason::NotEnergised, |event| event.reason),
            kilovolts: event.map(|event| (event.available_kv, event.needed_kv)),
            plugs: 1,
        };
        found
            .entry(cylinder)
            .and_modify(|best| {
                let plugs = best.plugs + 1;
                if mine.state > best.state {
                    *best = mine;
                }
                best.plugs = plugs;
            })
            .or_insert(mine);
    }
    found
}
