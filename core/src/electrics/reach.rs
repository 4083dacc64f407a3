//! What each coil's high voltage reaches: ends, leads, plugs, cylinders, and when they must spark.

use std::collections::BTreeMap;

use super::spark::Moment;
use crate::engine::{CylinderId, Engine, SAME_ANGLE};
use crate::gather::Arrange;
use crate::model::{Coil, Harness, PartId, PartKind, Port, Secondary, Terminal};
use crate::units::Degrees;

/// One way from a coil's tower to a plug, everything in place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Way {
    /// The coil's tower.
    pub tower: Port,
    /// Lead from the coil to a distributor, and the distributor.
    pub through: Option<(Option<PartId>, PartId)>,
    /// The distributor's tower, by the cylinder that it is meant for.
    pub cap_tower: Option<CylinderId>,
    /// Lead or boot at the plug.
    pub lead: Option<PartId>,
    /// The plug, where one is known.
    pub plug: Option<PartId>,
    /// The cylinder that sparks, where it is known.
    pub cylinder: Option<CylinderId>,
}

/// A coil with all its ways.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The coil.
    pub coil: PartId,
    /// How its secondary is brought out.
    pub secondary: Secondary,
    /// Its ways to plugs, in rising order.
    pub ways: Vec<Way>,
    /// Crank angles at which it must spark, rising, each once. Empty where nothing tells.
    pub angles: Vec<Degrees>,
}

const fn towers(secondary: Secondary) -> &'static [Port] {
    match secondary {
        Secondary::TwoEnded => &[Port::TowerA, Port::TowerB],
        Secondary::ReturnsToFeed | Secondary::ReturnsToGround => &[Port::TowerA],
    }
}

impl Reach {
    /// Every coil of a harness with its ways, in rising order of coil.
    #[must_use]
    pub fn all(harness: &Harness) -> Vec<Self> {
        let mut leads: BTreeMap<Terminal, Vec<PartId>> = BTreeMap::new();
        for (&id, part) in &harness.parts {
            if let PartKind::Lead(lead) = &part.kind
                && let Some(from) = lead.from
            {
                leads.entry(from.value).or_default().push(id);
            }
        }
        harness
            .parts
            .iter()
            .filter_map(|(&id, _)| {
                harness
                    .coil(id)
                    .map(|coil| Self::of(harness, &leads, id, coil))
            })
            .collect()
    }

    /// The coil's towers, each with the way that leads on from it at a crank angle: a distributor's rotor
    /// points at the tower whose cylinder is due.
    pub fn ways_at(
        &self,
        engine: &Engine,
        angle: Degrees,
    ) -> impl Iterator<Item = (Port, Option<&Way>)> {
        let points =
            move |cylinder: CylinderId| engine.moment(cylinder, angle) == Moment::Compression;
        let way = move |tower: Port| {
            let mut from = self.ways.iter().filter(move |way| way.tower == tower);
            from.find(|way| way.cap_tower.is_none_or(points))
        };
        towers(self.secondary)
            .iter()
            .map(move |&tower| (tower, way(tower)))
    }

    fn of(
        harness: &Harness,
        leads: &BTreeMap<Terminal, Vec<PartId>>,
        id: PartId,
        coil: &Coil,
    ) -> Self {
        let from =
            |terminal: Terminal| leads.get(&terminal).map_or(&[] as &[PartId], Vec::as_slice);
        let mut ways = Vec::new();
        for &tower in towers(coil.secondary) {
            for &lead in from(Terminal {
                part: id,
                port: tower,
            }) {
                let Some(to) = harness.lead(lead).and_then(|l| l.to).map(|fact| fact.value) else {
                    continue;
                };
                if let Some(distributor) = harness.distributor(to.part) {
                    for &cylinder in &distributor.towers {
                        let port = Port::Tower(cylinder);
                        for &second in from(Terminal {
                            part: to.part,
                            port,
                        }) {
                            ways.push(Way {
                                cap_tower: Some(cylinder),
                                ..Way::ending(harness, tower, Some((Some(lead), to.part)), second)
                            });
                        }
                    }
                } else {
                    ways.push(Way::ending(harness, tower, None, lead));
                }
            }
        }
        ways.arrange();
        let mut angles: Vec<Degrees> = ways
            .iter()
            .filter_map(|way| harness.engine.compression_top(way.cylinder?))
            .collect();
        angles.arrange_by(|a, b| a.get().total_cmp(&b.get()));
        angles.dedup_by(|a, b| (*a - *b).abs() <= SAME_ANGLE);
        Self {
            coil: id,
            secondary: coil.secondary,
            ways,
            angles,
        }
    }
}

impl Way {
    fn ending(
        harness: &Harness,
        tower: Port,
        through: Option<(Option<PartId>, PartId)>,
        lead: PartId,
    ) -> Self {
        let plug = harness
            .lead(lead)
            .and_then(|l| l.to)
            .map(|fact| fact.value.part)
            .filter(|&part| harness.plug(part).is_some());
        let cylinder = plug
            .and_then(|part| harness.plug(part))
            .and_then(|plug| plug.cylinder)
            .map(|fact| fact.value);
        Self {
            tower,
            through,
            cap_tower: None,
            lead: Some(lead),
            plug,
            cylinder,
        }
    }
}
