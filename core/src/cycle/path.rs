//! The way of the current that a spark drives: from the coil through its plugs and the metal, and back.

use super::Cycle;
use super::coils::{CoilRow, Firing, PlugEnd, Polarity};
use crate::electrics::SparkState;
use crate::model::{Element, GroundSite, Harness, Port, Secondary, Terminal};
use crate::topology::Pick;

/// One piece of the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Leg {
    /// Through an element.
    Through(Element),
    /// Through metal: the cylinder head, the engine, the body.
    Metal(GroundSite),
}

/// The whole way, in the direction of the current, from the coil's secondary on and back to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SecondaryPath {
    /// Its pieces.
    pub legs: Vec<Leg>,
    /// Whether current flows: every plug on it sparks or may spark.
    pub flows: bool,
}

impl SecondaryPath {
    /// The places on the map that it passes, each once.
    #[must_use]
    pub fn picks(&self, harness: &Harness, firing: &Firing) -> Vec<Pick> {
        let mut found: Vec<Pick> = Vec::new();
        let mut add = |pick: Pick| {
            if !found.contains(&pick) {
                found.push(pick);
            }
        };
        for leg in &self.legs {
            let Leg::Through(element) = *leg else {
                continue;
            };
            add(Pick::Element(element));
            harness.part_of(element).map(Pick::Part).map(&mut add);
            if let Element::Wire(wire) | Element::Joint(wire, _) = element {
                add(Pick::Wire(wire));
            } else if let Element::Mated(terminal) = element {
                add(Pick::Terminal(terminal));
            }
        }
        for end in &firing.ends {
            end.cylinder.map(Pick::Cylinder).map(&mut add);
        }
        found
    }
}

impl Cycle {
    /// The way of the current when a coil fires, in the direction of the current. `None` for a firing
    /// without a plug.
    ///
    /// # Source
    /// *Auto Fundamentals* (Goodheart-Willcox 2020), chapter 10: tower, lead, plug, block, plug, lead,
    /// tower. Direction by [`Polarity`]: current enters a positive centre electrode from its lead.
    #[must_use]
    pub fn path(&self, row: &CoilRow, firing: &Firing) -> Option<SecondaryPath> {
        let head = Leg::Metal(GroundSite::Engine);
        let mut legs = vec![Leg::Through(Element::Secondary(row.coil))];
        let of = |wanted: Polarity| firing.ends.iter().find(|end| end.polarity == wanted);
        if let Some(out) = of(Polarity::Positive) {
            legs.extend(out.outward());
            legs.push(head);
        }
        match (of(Polarity::Negative), row.secondary) {
            (Some(back), Secondary::TwoEnded) => {
                if !legs.contains(&head) {
                    legs.push(head);
                }
                legs.extend(back.outward().into_iter().rev());
            }
            (Some(back), Secondary::ReturnsToFeed | Secondary::ReturnsToGround) => {
                legs.extend(self.around(row, back));
                legs.push(head);
                legs.extend(back.outward().into_iter().rev());
            }
            (None, _) => {}
        }
        let whole = match row.secondary {
            Secondary::TwoEnded => 2,
            Secondary::ReturnsToFeed | Secondary::ReturnsToGround => 1,
        };
        let flows = firing.ends.len() == whole
            && firing
                .ends
                .iter()
                .all(|end| end.spark.state > SparkState::No);
        (!firing.ends.is_empty()).then_some(SecondaryPath { legs, flows })
    }

    /// From the coil's return to the engine's metal: over feed and battery, or over the coil's ground wire.
    fn around(&self, row: &CoilRow, end: &PlugEnd) -> Vec<Leg> {
        let port = match row.secondary {
            Secondary::ReturnsToFeed => Port::Feed,
            Secondary::ReturnsToGround => Port::CoilGround,
            Secondary::TwoEnded => return Vec::new(),
        };
        let from = Terminal {
            part: row.coil,
            port,
        };
        let to = Terminal {
            part: end.plug,
            port: Port::Shell,
        };
        let steps = self.solution.path(from, to).unwrap_or_default();
        let elements = steps.into_iter().filter_map(|step| step.element);
        elements.map(Leg::Through).collect()
    }
}

impl PlugEnd {
    /// From the tower to the metal.
    fn outward(&self) -> Vec<Leg> {
        let mut elements = Vec::new();
        if let Some((lead, distributor)) = self.way.through {
            elements.extend(lead.map(Element::LeadConductor));
            elements.push(Element::Rotor(distributor));
            elements.push(Element::Cap(distributor));
        }
        elements.extend(self.way.lead.map(Element::LeadConductor));
        elements.push(Element::PlugResistor(self.plug));
        elements.push(Element::Gap(self.plug));
        elements.into_iter().map(Leg::Through).collect()
    }
}
