//! Trails: from any place of the map to the cylinders that depend on it, and back to driver and supply.

use std::collections::{BTreeMap, BTreeSet};

use super::crew::Crew;
use super::need::{Need, NeedKind};
use super::{Branch, BranchKind, Node, Topology, Users};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{DriverId, Element, Harness, PartId, PartKind, Terminal, WireEnd, WireId};

/// What a person points at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pick {
    /// One element.
    Element(Element),
    /// A part with all that is in it.
    Part(PartId),
    /// A wire with its joints.
    Wire(WireId),
    /// A terminal with all that meets there.
    Terminal(Terminal),
    /// A driver.
    Driver(DriverId),
    /// A cylinder.
    Cylinder(CylinderId),
}

/// What to light, one way.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lit {
    /// Elements.
    pub elements: BTreeSet<Element>,
    /// The parts that hold these elements, splices and ground points between them too.
    pub parts: BTreeSet<PartId>,
    /// Wires.
    pub wires: BTreeSet<WireId>,
}

/// The trail of what was picked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Trail {
    /// The cylinders that lose their spark when all that was picked is open.
    pub depend: BTreeSet<CylinderId>,
    /// The cylinders that then spark but get no fuel.
    pub starve: BTreeSet<CylinderId>,
    /// The cylinders whose trails lead through it; they may have another way.
    pub through: BTreeSet<CylinderId>,
    /// The drivers of these cylinders' sparks; none where only their fuel depends on what was picked.
    pub drivers: BTreeSet<DriverId>,
    /// What belongs to these cylinders and their drivers alone: from pin to plug.
    pub own: Lit,
    /// What they share with others: supply, ground, crank signal.
    pub shared: Lit,
}

impl Topology {
    /// The trail of a pick. What no trail leads through gives an empty one.
    #[must_use]
    pub fn trail(&self, harness: &Harness, pick: Pick) -> Trail {
        let elements = self.elements_at(harness, pick);
        let (mut spark, mut fuel) = (Crew::default(), Crew::default());
        for users in elements.iter().filter_map(|e| self.users.get(e)) {
            spark.join(users.spark);
            fuel.join(users.fuel);
        }
        if let Pick::Cylinder(cylinder) = pick
            && self.cylinders.contains_key(&cylinder)
        {
            spark = [cylinder].into_iter().collect();
        }
        let open: Vec<Element> = elements.iter().copied().collect();
        let separation = self.separates(&open);
        let mut trail = Trail {
            depend: separation.dead(),
            starve: separation.starved(),
            ..Trail::default()
        };
        let by_fuel = spark.is_empty();
        trail.through = if by_fuel { fuel } else { spark }.into();
        let all: Crew = self.cylinders.keys().copied().collect();
        let mut own = elements;
        let mut lit: BTreeSet<Element> = BTreeSet::new();
        for &cylinder in &trail.through {
            let Some(needs) = self.cylinders.get(&cylinder) else {
                continue;
            };
            let drivers: BTreeSet<DriverId> = needs
                .chains
                .iter()
                .filter_map(|chain| chain.driver)
                .gather();
            let mut group = if by_fuel {
                Crew::default()
            } else {
                self.cylinders_of(&drivers)
            };
            group.insert(cylinder);
            for need in self.trail_needs(cylinder, by_fuel) {
                let pin_to_plug = self.needs.get(need).is_some_and(is_pin_to_plug);
                for element in self.on_path_of(need) {
                    lit.insert(element);
                    let users = self.users.get(&element);
                    let alone = users.is_some_and(|users| {
                        let crew = if by_fuel { users.fuel } else { users.spark };
                        crew.within(group) && (group != all || all.len() == 1)
                    });
                    let common = matches!(element, Element::Logic(_) | Element::CrankSignal(_));
                    if (pin_to_plug || alone) && !common {
                        own.insert(element);
                    }
                }
            }
            if !by_fuel {
                trail.drivers.extend(drivers);
            }
        }
        if let Pick::Driver(driver) = pick {
            trail.drivers.insert(driver);
        }
        let own_set = own;
        let shared: BTreeSet<Element> = lit.difference(&own_set).copied().gather();
        trail.own = light(harness, own_set);
        trail.shared = light(harness, shared);
        trail.shared.parts = trail
            .shared
            .parts
            .difference(&trail.own.parts)
            .copied()
            .gather();
        trail
    }

    /// The elements that are meant when something is picked.
    #[must_use]
    pub fn elements_at(&self, harness: &Harness, pick: Pick) -> BTreeSet<Element> {
        match pick {
            Pick::Element(element) => BTreeSet::from([element]),
            Pick::Wire(wire) => self.elements_where(|element| {
                matches!(element, Element::Wire(id) | Element::Joint(id, _) if id == wire)
            }),
            Pick::Driver(driver) => self.elements_where(
                |element| matches!(element, Element::Driver(id, _) if id == driver),
            ),
            Pick::Cylinder(cylinder) => BTreeSet::from([Element::Cylinder(cylinder)]),
            Pick::Terminal(terminal) => {
                let (at, behind) = (self.network.at(terminal), Node::Behind(terminal));
                self.network
                    .branches
                    .iter()
                    .filter(|branch| touches(branch, at) || touches(branch, behind))
                    .filter_map(|branch| branch.element)
                    .gather()
            }
            Pick::Part(part) => {
                let mut parts = BTreeSet::from([part]);
                for (&id, other) in &harness.parts {
                    if let PartKind::Coil(coil) = &other.kind
                        && coil.pack == Some(part)
                    {
                        parts.insert(id);
                    }
                }
                let hosts: BTreeMap<DriverId, PartId> = harness
                    .drivers()
                    .map(|(host, driver)| (driver.id, host))
                    .gather();
                self.elements_where(|element| {
                    let at = if let Element::Joint(wire, end) = element {
                        joint_at(harness, wire, end)
                    } else if let Element::Driver(driver, _) = element {
                        hosts.get(&driver).copied()
                    } else {
                        harness.part_of(element)
                    };
                    at.is_some_and(|at| parts.contains(&at))
                })
            }
        }
    }

    fn elements_where(&self, keep: impl Fn(Element) -> bool) -> BTreeSet<Element> {
        self.elements
            .iter()
            .copied()
            .filter(|&element| keep(element))
            .gather()
    }

    /// The cylinders that these drivers feed.
    fn cylinders_of(&self, drivers: &BTreeSet<DriverId>) -> Crew {
        self.cylinders
            .iter()
            .filter(|(_, needs)| {
                needs
                    .chains
                    .iter()
                    .any(|chain| chain.driver.is_some_and(|d| drivers.contains(&d)))
            })
            .map(|(&cylinder, _)| cylinder)
            .collect()
    }

    /// The needs of a cylinder's spark or fuel, with those of the relays and units on their way.
    pub(super) fn trail_needs(&self, cylinder: CylinderId, by_fuel: bool) -> BTreeSet<usize> {
        let Some(needs) = self.cylinders.get(&cylinder) else {
            return BTreeSet::new();
        };
        let mut open: Vec<usize> = if by_fuel {
            needs.fuel.clone()
        } else {
            let engine_ground = |need: usize| {
                self.needs
                    .get(need)
                    .is_some_and(|n| n.kind == NeedKind::EngineGround)
            };
            needs
                .chains
                .iter()
                .flat_map(|chain| chain.needs.iter().chain(&chain.doubts))
                .copied()
                .filter(|&need| !engine_ground(need))
                .collect()
        };
        let mut found = BTreeSet::new();
        while let Some(need) = open.pop() {
            if !found.insert(need) {
                continue;
            }
            let Some(paths) = self.paths.get(need) else {
                continue;
            };
            for branch in paths.on.iter().filter_map(|b| self.wiring.branch(b)) {
                let more = match (branch.kind, branch.element, branch.b) {
                    (BranchKind::RelayContact, Some(Element::Contact(relay)), _) => {
                        self.relays.get(&relay)
                    }
                    (BranchKind::RelaySwitch, _, Node::GroundRail(unit)) => self.units.get(&unit),
                    _ => None,
                };
                open.extend(more.into_iter().flatten());
            }
        }
        found
    }

    /// The cylinders on whose trails each element lies.
    pub(super) fn find_users(&self) -> BTreeMap<Element, Users> {
        let mut of_need = vec![Users::default(); self.needs.len()];
        for &cylinder in self.cylinders.keys() {
            for by_fuel in [false, true] {
                for need in self.trail_needs(cylinder, by_fuel) {
                    if let Some(users) = of_need.get_mut(need) {
                        let crew = if by_fuel {
                            &mut users.fuel
                        } else {
                            &mut users.spark
                        };
                        crew.insert(cylinder);
                    }
                }
            }
        }
        let mut users: BTreeMap<Element, Users> = BTreeMap::new();
        for (paths, of_need) in self.paths.iter().zip(of_need) {
            for &element in &paths.elements {
                let entry = users.entry(element).or_default();
                entry.spark.join(of_need.spark);
                entry.fuel.join(of_need.fuel);
            }
        }
        for &element in &self.elements {
            if let Some(beside) = conductor_beside(element)
                && let Some(same) = users.get(&beside).copied()
            {
                users.insert(element, same);
            }
            if let Element::Cylinder(cylinder) = element {
                users.entry(element).or_default().spark.insert(cylinder);
            }
        }
        users
    }
}

/// The conductor that an insulation belongs to.
fn conductor_beside(element: Element) -> Option<Element> {
    if let Element::CoilInsulation(part) = element {
        Some(Element::Secondary(part))
    } else if let Element::LeadInsulation(part) = element {
        Some(Element::LeadConductor(part))
    } else if let Element::Insulator(part) = element {
        Some(Element::Gap(part))
    } else {
        None
    }
}

const fn is_pin_to_plug(need: &Need) -> bool {
    match need.kind {
        NeedKind::Primary(_)
        | NeedKind::Control(..)
        | NeedKind::ControlToUnknown(_)
        | NeedKind::Switch(_)
        | NeedKind::Drive(_)
        | NeedKind::Secondary(_)
        | NeedKind::Side(..)
        | NeedKind::SideToUnknown(_)
        | NeedKind::InjectorWinding(_)
        | NeedKind::InjectorControl(_) => true,
        NeedKind::Battery(_)
        | NeedKind::Feed(_)
        | NeedKind::DriverGround(_)
        | NeedKind::UnitSupply(_)
        | NeedKind::UnitGround(_)
        | NeedKind::WindingFeed(_)
        | NeedKind::Winding(_)
        | NeedKind::WindingReturn(_)
        | NeedKind::Return(_)
        | NeedKind::EngineGround
        | NeedKind::InjectorFeed(_) => false,
    }
}

fn touches(branch: &Branch, node: Node) -> bool {
    branch.a == node || branch.b == node
}

/// The part at which a wire's joint sits.
pub(super) fn joint_at(harness: &Harness, wire: WireId, end: WireEnd) -> Option<PartId> {
    Some(harness.wires.get(&wire)?.end(end)?.value.part)
}

fn light(harness: &Harness, elements: BTreeSet<Element>) -> Lit {
    let hosts: BTreeMap<DriverId, PartId> = harness
        .drivers()
        .map(|(host, driver)| (driver.id, host))
        .gather();
    let mut lit = Lit::default();
    for &element in &elements {
        if let Element::Wire(wire) = element {
            lit.wires.insert(wire);
        } else if let Element::Joint(wire, end) = element {
            lit.parts.extend(joint_at(harness, wire, end));
        } else if let Element::Driver(driver, _) = element {
            lit.parts.extend(hosts.get(&driver));
        } else {
            lit.parts.extend(harness.part_of(element));
        }
    }
    lit.elements = elements;
    lit
}
