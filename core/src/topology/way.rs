//! The way of one cylinder's spark as an ordered list: from the battery to the plug, stretch by stretch.

use super::{NeedKind, NeedState, Pick, Topology};
use crate::engine::CylinderId;
use crate::gather::Arrange;
use crate::model::{Element, Harness, Port, Terminal};

/// One thing on a way, with what of it is passed there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Passed {
    /// The thing.
    pub thing: Pick,
    /// Its elements on the way, in order.
    pub elements: Vec<Element>,
}

/// One connection that the spark needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stretch {
    /// What it is for.
    pub kind: NeedKind,
    /// Whether the map shows it.
    pub state: NeedState,
    /// The things that every path of it goes through, from its start on.
    pub passed: Vec<Passed>,
    /// How many more elements lie on paths beside each other.
    pub beside: usize,
}

/// The thing on the map that a person points at to mean an element.
#[must_use]
pub fn thing_of(harness: &Harness, element: Element) -> Pick {
    match element {
        Element::Wire(wire) | Element::Joint(wire, _) => Pick::Wire(wire),
        Element::Cylinder(cylinder) => Pick::Cylinder(cylinder),
        Element::Driver(driver, _) => Pick::Driver(driver),
        Element::Trace(part, pin) => Pick::Terminal(Terminal {
            part,
            port: Port::Pin(pin),
        }),
        Element::Mated(terminal) if matches!(terminal.port, Port::Pin(_)) => {
            Pick::Terminal(terminal)
        }
        Element::Mated(_)
        | Element::Battery(_)
        | Element::Contact(_)
        | Element::RelayWinding(_)
        | Element::Cavity(..)
        | Element::BoardSupply(_)
        | Element::BoardGround(_)
        | Element::Logic(_)
        | Element::CrankSignal(_)
        | Element::Primary(_)
        | Element::Secondary(_)
        | Element::CoilInsulation(_)
        | Element::Rotor(_)
        | Element::Cap(_)
        | Element::LeadConductor(_)
        | Element::LeadInsulation(_)
        | Element::Gap(_)
        | Element::Insulator(_)
        | Element::PlugResistor(_)
        | Element::InjectorWinding(_) => harness
            .part_of(element)
            .map_or(Pick::Element(element), Pick::Part),
    }
}

impl Topology {
    /// Everything that the spark of a cylinder needs, in the order in which it is reasoned: feed, coil, control,
    /// driver and its ground, what commands it, the units and relays on the way, then the spark's own loop.
    /// Connections that every cylinder shares are in it too. Empty for a cylinder that the engine has not.
    #[must_use]
    pub fn way(&self, harness: &Harness, cylinder: CylinderId) -> Vec<Stretch> {
        let mut needs: Vec<usize> = self.trail_needs(cylinder, false).into_iter().collect();
        needs.arrange_by(|a, b| self.turn(*a).cmp(&self.turn(*b)).then(a.cmp(b)));
        let stretch = |index: usize| {
            let need = self.needs().get(index)?;
            let elements: Vec<Element> = self.needed_by(index).collect();
            Some(Stretch {
                kind: need.kind,
                state: need.state,
                beside: self.on_path_of(index).len().saturating_sub(elements.len()),
                passed: passed(harness, elements),
            })
        };
        needs.into_iter().filter_map(stretch).collect()
    }

    /// When a need has its turn.
    fn turn(&self, need: usize) -> u8 {
        self.needs()
            .get(need)
            .map_or(u8::MAX, |need| turn(need.kind))
    }
}

const fn turn(kind: NeedKind) -> u8 {
    match kind {
        NeedKind::Battery(_) => 0,
        NeedKind::Feed(_) => 1,
        NeedKind::WindingFeed(_) => 2,
        NeedKind::Winding(_) => 3,
        NeedKind::WindingReturn(_) => 4,
        NeedKind::Primary(_) => 5,
        NeedKind::Control(..) | NeedKind::ControlToUnknown(_) => 6,
        NeedKind::Switch(_) => 7,
        NeedKind::DriverGround(_) => 8,
        NeedKind::Drive(_) => 9,
        NeedKind::UnitSupply(_) => 10,
        NeedKind::UnitGround(_) => 11,
        NeedKind::Secondary(_) => 12,
        NeedKind::Side(..) | NeedKind::SideToUnknown(_) => 13,
        NeedKind::Return(_) => 14,
        NeedKind::EngineGround => 15,
        NeedKind::InjectorFeed(_) => 16,
        NeedKind::InjectorWinding(_) => 17,
        NeedKind::InjectorControl(_) => 18,
    }
}

/// Elements in order as the things that they are of; what follows each other of one thing is one.
fn passed(harness: &Harness, elements: Vec<Element>) -> Vec<Passed> {
    let mut found: Vec<Passed> = Vec::new();
    for element in elements {
        let thing = thing_of(harness, element);
        match found.last_mut() {
            Some(last) if last.thing == thing => last.elements.push(element),
            Some(_) | None => found.push(Passed {
                thing,
                elements: vec![element],
            }),
        }
    }
    found
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::engine::{Layout, Strokes};
    use crate::model::PartKind;

    #[test]
    fn a_way_leads_from_the_battery_to_the_plug() {
        let engine = propose_engine(4, Layout::Inline, Strokes::Four);
        let harness = build(&Plan::new("Four in line", engine)).unwrap();
        let topology = Topology::of(&harness);
        for cylinder in harness.engine.cylinders() {
            let way = topology.way(&harness, cylinder);
            let kinds: Vec<u8> = way.iter().map(|stretch| turn(stretch.kind)).collect();
            assert!(kinds.is_sorted(), "{kinds:?}");
            let first = way.first().unwrap();
            assert!(matches!(first.kind, NeedKind::Battery(_)), "{first:?}");
            // The plug of the cylinder is passed, and of all plugs at most its companion's beside it.
            let plugs: Vec<_> = way
                .iter()
                .flat_map(|stretch| &stretch.passed)
                .filter_map(|passed| {
                    let Pick::Part(part) = passed.thing else {
                        return None;
                    };
                    let PartKind::Plug(plug) = &harness.parts.get(&part)?.kind else {
                        return None;
                    };
                    plug.cylinder.map(|fact| fact.value)
                })
                .collect();
            assert!(plugs.contains(&cylinder), "{plugs:?}");
            // Everything that alone takes the spark is named on the way.
            let named: Vec<Element> = way
                .iter()
                .flat_map(|stretch| &stretch.passed)
                .flat_map(|passed| passed.elements.iter().copied())
                .collect();
            for cut in topology.cuts(cylinder) {
                let beside = matches!(cut, Element::Cylinder(_));
                assert!(
                    beside || named.contains(&cut),
                    "{}",
                    harness.element_name(cut)
                );
            }
        }
    }

    #[test]
    fn what_follows_each_other_of_one_thing_is_one() {
        let engine = propose_engine(2, Layout::Inline, Strokes::Four);
        let harness = build(&Plan::new("Twin", engine)).unwrap();
        let topology = Topology::of(&harness);
        let cylinder = harness.engine.cylinders()[0];
        for stretch in topology.way(&harness, cylinder) {
            for pair in stretch.passed.windows(2) {
                assert_ne!(pair[0].thing, pair[1].thing);
            }
        }
        assert!(topology.way(&harness, CylinderId(99)).is_empty());
    }
}
