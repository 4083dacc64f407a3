//! Faults on the high-voltage side that are not plain opens: towers of a cap, crossed leads.

use std::collections::BTreeSet;

use super::effect::Reason;
use super::structural::Case;
use super::verdicts::Fares;
use crate::engine::{CylinderId, Engine, SAME_ANGLE};
use crate::gather::Gather;
use crate::model::{Element, PartId, Port, Spark};
use crate::topology::{Chain, NeedKind};

impl Case<'_> {
    /// The cylinders whose spark comes over one tower of the cap that failed.
    pub(super) fn behind_tower(&self, tower: CylinderId) -> BTreeSet<CylinderId> {
        self.sides_behind_tower(tower)
            .into_iter()
            .map(|(cylinder, _)| cylinder)
            .gather()
    }

    pub(super) fn sides_behind_tower(&self, tower: CylinderId) -> Vec<(CylinderId, NeedKind)> {
        let Element::Cap(distributor) = self.fault.element else {
            return Vec::new();
        };
        self.chains()
            .into_iter()
            .filter(|(_, chain)| self.comes_over(chain.plug) == Some((distributor, tower)))
            .map(|(cylinder, chain)| {
                let kind = NeedKind::Side(chain.tower, chain.plug);
                (cylinder, kind)
            })
            .collect()
    }

    /// The distributor's tower that a plug's lead is pushed onto.
    fn comes_over(&self, plug: PartId) -> Option<(PartId, CylinderId)> {
        let from = self.harness.parts.keys().find_map(|&part| {
            let lead = self.harness.lead(part)?;
            lead.from
                .filter(|_| lead.to.is_some_and(|to| to.value.part == plug))
        })?;
        if let Port::Tower(tower) = from.value.port {
            Some((from.value.part, tower))
        } else {
            None
        }
    }

    /// Two leads have changed places at their plugs: each plug gets the other's sparks.
    pub(super) fn crossed(&mut self, other: PartId) {
        let Element::LeadConductor(lead) = self.fault.element else {
            return;
        };
        let plug_of = |lead: PartId| Some(self.harness.lead(lead)?.to?.value.part);
        let (Some(mine), Some(theirs)) = (plug_of(lead), plug_of(other)) else {
            return;
        };
        let chains = self.chains();
        let chain_of = |plug: PartId| chains.iter().find(|(_, chain)| chain.plug == plug);
        let (Some(a), Some(b)) = (chain_of(mine), chain_of(theirs)) else {
            return;
        };
        for ((cylinder, own), (from, foreign)) in [(a, b), (b, a)] {
            let over = |plug| self.comes_over(plug);
            let one_coil = own.tower.part == foreign.tower.part
                && over(own.plug).is_none()
                && over(foreign.plug).is_none();
            let engine = &self.harness.engine;
            if one_coil {
                self.verdicts.live(*cylinder, Reason::PolarityOnly);
            } else if let Some(meets) = meets(
                engine,
                *cylinder,
                &self.spark_times(*from, foreign, &chains),
            ) {
                match meets {
                    Meets::Yes => self.verdicts.live(*cylinder, Reason::SameTime(*from)),
                    Meets::No => self.verdicts.say(
                        *cylinder,
                        Fares::Dead,
                        Some(Spark::WrongTime),
                        Reason::SparksOf(*from),
                    ),
                }
            } else {
                self.verdicts.doubtful(*cylinder, Reason::SparksOf(*from));
            }
        }
    }

    /// The cylinders at whose compression tops a chain's lead carries a spark.
    fn spark_times(
        &self,
        cylinder: CylinderId,
        chain: &Chain,
        chains: &[(CylinderId, Chain)],
    ) -> Vec<CylinderId> {
        if let Some((_, tower)) = self.comes_over(chain.plug) {
            return vec![tower];
        }
        let mut times: Vec<CylinderId> = chains
            .iter()
            .filter(|(_, other)| other.tower.part == chain.tower.part)
            .map(|(cylinder, _)| *cylinder)
            .collect();
        times.push(cylinder);
        times
    }
}

/// Whether two times meet.
enum Meets {
    Yes,
    No,
}

/// Whether a spark at one of these compression tops comes at the cylinder's own. `None` where the
/// engine's angles are unknown.
fn meets(engine: &Engine, cylinder: CylinderId, times: &[CylinderId]) -> Option<Meets> {
    let own = engine.compression_top(cylinder)?;
    let cycle = engine.cycle().get();
    let mut unknown = false;
    for &time in times {
        let Some(top) = engine.compression_top(time) else {
            unknown = true;
            continue;
        };
        let turn = (top - own).get().rem_euclid(cycle);
        if turn.min(cycle - turn) <= SAME_ANGLE.get() {
            return Some(Meets::Yes);
        }
    }
    (!unknown).then_some(Meets::No)
}
