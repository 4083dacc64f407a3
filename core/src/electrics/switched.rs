//! What switches what: the coils, drivers, relays and units of a circuit, with the strands that they stand in.

use std::collections::{BTreeMap, BTreeSet};

use super::build::Builder;
use super::circuit::{CoilAt, DriverAt, RelayAt, Strand, StrandKind, UnitAt};
use super::nominal;
use super::reach::Reach;
use crate::engine::Strokes;
use crate::gather::Gather;
use crate::model::{DriverId, DriverPiece, Element, PartId, PinRole, Secondary, UnitRole};
use crate::topology::Node;

impl Builder<'_> {
    /// Where a driver's drive signal arrives, if it comes over a wire.
    pub(super) fn start(&self, id: DriverId) -> Option<Node> {
        let first = Element::Driver(id, DriverPiece::DriveJoint);
        let (_, branch) = self.network.branches_of(first).next()?;
        Some(branch.a).filter(|node| !matches!(node, Node::DriveStart(_)))
    }

    pub(super) fn coils(&self, strands: &[Strand]) -> Vec<CoilAt> {
        Reach::all(self.harness)
            .into_iter()
            .filter_map(|reach| {
                let part = reach.coil;
                let coil = self.harness.coil(part)?;
                let strand = strands
                    .iter()
                    .position(|s| s.element == Some(Element::Primary(part)))?;
                let henries = coil
                    .primary_inductance
                    .map_or(nominal::PRIMARY_INDUCTANCE.value, |f| f.value.get());
                let ratio = coil
                    .turns_ratio
                    .map_or(nominal::TURNS_RATIO.value, |f| f.value);
                let ratio = if ratio.is_finite() {
                    ratio.clamp(1.0, 1e4)
                } else {
                    nominal::TURNS_RATIO.value
                };
                Some(CoilAt {
                    part,
                    strand,
                    henries: henries.clamp(1e-6, 10.0),
                    ratio,
                    reach,
                })
            })
            .collect()
    }

    pub(super) fn drivers(
        &self,
        index: &BTreeMap<Node, usize>,
        strands: &[Strand],
        coils: &[CoilAt],
        hosts: &[(PartId, DriverId)],
        starts: &[Option<Node>],
    ) -> Vec<DriverAt> {
        let mut found = Vec::new();
        for (&(host, id), start) in hosts.iter().zip(starts) {
            let (collector, emitter) = (Node::Collector(id), Node::Emitter(id));
            let (Some(&c), Some(&e)) = (index.get(&collector), index.get(&emitter)) else {
                continue;
            };
            let Some(strand) = strands
                .iter()
                .position(|s| s.element == Some(Element::Driver(id, DriverPiece::Switch)))
            else {
                continue;
            };
            let known = self.harness.driver(id);
            let switched: BTreeSet<usize> = self
                .joined(collector)
                .iter()
                .filter_map(|n| index.get(n).copied())
                .gather();
            let served: Vec<usize> = (0..coils.len())
                .filter(|&k| switched.contains(&strands[coils[k].strand].b))
                .collect();
            let line = start.and_then(|start| self.line(index, strands, start));
            let unit = self.unit(host);
            let in_engine_unit = unit.is_some_and(|u| self.units[u].1 == UnitRole::EngineControl);
            let first = || {
                self.units
                    .iter()
                    .position(|(_, role)| *role == UnitRole::EngineControl)
            };
            let command = match line {
                Some((_, drive)) => strands[drive].kind.drive_of(),
                None if in_engine_unit && start.is_none() => unit,
                None => first(),
            };
            found.push(DriverAt {
                id,
                host,
                strand,
                collector: c,
                emitter: e,
                volts: known
                    .and_then(|d| d.on_voltage)
                    .map_or(nominal::DRIVER_VOLTAGE.value, |f| {
                        f.value.get().clamp(0.0, 1e3)
                    }),
                ohms: known
                    .and_then(|d| d.on_resistance)
                    .map_or(nominal::DRIVER_RESISTANCE.value, |f| {
                        f.value.get().clamp(1e-3, 1e6)
                    }),
                command,
                module: if in_engine_unit { None } else { unit },
                line,
                sparks: self.sparks(&served, coils),
                coils: served,
            });
        }
        found
    }

    /// Where a drive signal arrives and the strand that makes it.
    fn line(
        &self,
        index: &BTreeMap<Node, usize>,
        strands: &[Strand],
        start: Node,
    ) -> Option<(usize, usize)> {
        let along: BTreeSet<usize> = self
            .joined(start)
            .iter()
            .filter_map(|n| index.get(n).copied())
            .gather();
        let drive = strands
            .iter()
            .position(|s| matches!(s.kind, StrandKind::Drive(_)) && along.contains(&s.a))?;
        Some((*index.get(&start)?, drive))
    }

    fn sparks(&self, served: &[usize], coils: &[CoilAt]) -> f64 {
        let mut angles: Vec<f64> = served
            .iter()
            .flat_map(|&k| coils[k].reach.angles.iter().map(|angle| angle.get()))
            .collect();
        angles.sort_by(f64::total_cmp);
        angles.dedup_by(|a, b| (*a - *b).abs() <= crate::engine::SAME_ANGLE.get());
        let many = u32::try_from(angles.len()).map_or(1.0, f64::from);
        if many > 0.0 {
            return many;
        }
        let two_ended = served
            .iter()
            .any(|&k| coils[k].reach.secondary == Secondary::TwoEnded);
        match self.harness.engine.strokes {
            Strokes::Four if two_ended => 2.0,
            Strokes::Four | Strokes::Two => 1.0,
        }
    }

    pub(super) fn relays(&self, strands: &[Strand]) -> Vec<RelayAt> {
        self.relays
            .iter()
            .map(|&part| {
                let wanted = Some(Element::RelayWinding(part));
                let winding = strands.iter().position(|s| s.element == wanted);
                RelayAt { winding }
            })
            .collect()
    }

    pub(super) fn units_at(&self, index: &BTreeMap<Node, usize>) -> Vec<UnitAt> {
        self.units
            .iter()
            .map(|&(part, role)| {
                let fed = self.harness.unit(part).is_some_and(|unit| {
                    unit.pins
                        .iter()
                        .any(|pin| pin.role.is_some_and(|r| r.value == PinRole::Supply))
                });
                let rails = index
                    .get(&Node::SupplyRail(part))
                    .zip(index.get(&Node::GroundRail(part)))
                    .map(|(&a, &b)| (a, b))
                    .filter(|_| fed);
                UnitAt { part, role, rails }
            })
            .collect()
    }
}
