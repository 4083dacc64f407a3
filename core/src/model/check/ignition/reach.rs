//! Findings about distributors, plugs and what reaches each cylinder.

use std::collections::BTreeSet;

use super::{Map, at};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::check::MapFinding;
use crate::model::{Distributor, PartId, Port, Terminal};

impl Map<'_> {
    pub(super) fn distributor(
        &self,
        id: PartId,
        distributor: &Distributor,
        found: &mut Vec<MapFinding>,
    ) {
        let towers = &distributor.towers;
        let distinct: BTreeSet<CylinderId> = towers.iter().copied().gather();
        let order: Vec<CylinderId> = self
            .harness
            .engine
            .order
            .value
            .iter()
            .copied()
            .filter(|cylinder| distinct.contains(cylinder))
            .collect();
        if distinct.len() == towers.len()
            && order.len() == towers.len()
            && !same_ring(towers, &order)
        {
            found.push(MapFinding::CapOutOfOrder { distributor: id });
        }
        for &cylinder in &distinct {
            self.cylinder_of(id, Some(cylinder), found);
            if towers.iter().filter(|c| **c == cylinder).count() > 1 {
                found.push(MapFinding::CapRepeats {
                    distributor: id,
                    cylinder,
                });
            }
            let tower = at(id, Port::Tower(cylinder));
            if !self.leads.from.contains_key(&tower) {
                found.push(MapFinding::TowerWithoutLead { tower });
            }
            if let Some((lead, reached)) = self.fires(tower)
                && reached != cylinder
            {
                found.push(MapFinding::LeadsCrossed {
                    tower,
                    lead,
                    cylinder: reached,
                });
            }
        }
        if !self.comes_from_coil(at(id, Port::Centre)) {
            found.push(MapFinding::DistributorWithoutCoil { distributor: id });
        }
    }

    /// Whether a lead from a coil's tower ends here.
    fn comes_from_coil(&self, end: Terminal) -> bool {
        self.leads
            .to
            .get(&end)
            .is_some_and(|towers| towers.iter().any(|t| self.harness.coil(t.part).is_some()))
    }

    /// Whether a coil's spark gets to this plug, directly or through a distributor.
    fn is_reached(&self, plug: PartId) -> bool {
        let top = at(plug, Port::PlugTop);
        self.comes_from_coil(top)
            || self.leads.to.get(&top).is_some_and(|towers| {
                towers.iter().any(|tower| {
                    self.harness.distributor(tower.part).is_some()
                        && self.comes_from_coil(at(tower.part, Port::Centre))
                })
            })
    }

    pub(super) fn cylinder_of(
        &self,
        part: PartId,
        cylinder: Option<CylinderId>,
        found: &mut Vec<MapFinding>,
    ) {
        match cylinder {
            None => found.push(MapFinding::CylinderUntold { part }),
            Some(cylinder) if !self.harness.engine.cylinders().contains(&cylinder) => {
                found.push(MapFinding::CylinderUnknown { part, cylinder });
            }
            Some(_) => {}
        }
    }

    pub(super) fn cylinders(&self, found: &mut Vec<MapFinding>) {
        for cylinder in self.harness.engine.cylinders() {
            let plugs: Vec<PartId> = self
                .harness
                .parts
                .keys()
                .copied()
                .filter(|id| {
                    self.harness
                        .plug(*id)
                        .and_then(|plug| plug.cylinder)
                        .is_some_and(|of| of.value == cylinder)
                })
                .collect();
            let cold: Vec<PartId> = plugs
                .iter()
                .copied()
                .filter(|plug| !self.is_reached(*plug))
                .collect();
            if plugs.is_empty() {
                found.push(MapFinding::CylinderWithoutPlug { cylinder });
            } else if cold.len() == plugs.len() {
                found.push(MapFinding::CylinderWithoutCoil { cylinder });
            } else {
                found.extend(
                    cold.into_iter()
                        .map(|plug| MapFinding::PlugWithoutCoil { plug }),
                );
            }
        }
    }
}

/// Whether two lists are the same round a ring, whichever way it turns.
fn same_ring(a: &[CylinderId], b: &[CylinderId]) -> bool {
    let turned = |list: Vec<CylinderId>| {
        (0..list.len().max(1)).any(|start| {
            list.iter()
                .cycle()
                .skip(start)
                .take(list.len())
                .eq(a.iter())
        })
    };
    a.len() == b.len() && (turned(b.to_vec()) || turned(b.iter().rev().copied().collect()))
}
