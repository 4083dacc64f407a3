//! Which cylinders share what.

use std::collections::BTreeMap;

use super::crew::Crew;
use super::trail::joint_at;
use super::{NeedKind, Topology};
use crate::engine::CylinderId;
use crate::gather::{Arrange, Gather};
use crate::model::{DriverId, Element, Harness, PartId, PartKind};

/// What some cylinders have in common.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SharedBy {
    /// A control unit or module: it holds or commands their drivers.
    Unit(PartId),
    /// A driver.
    Driver(DriverId),
    /// A coil.
    Coil(PartId),
    /// A housing of several coils.
    Pack(PartId),
    /// A distributor.
    Distributor(PartId),
    /// A stretch of the supply of their coils: elements that carry just these cylinders, rising.
    Feed(Vec<Element>),
    /// A stretch of the ground of their drivers: elements that carry just these cylinders, rising.
    Ground(Vec<Element>),
    /// A key switch.
    Key(PartId),
    /// A relay: its contact or, through it, its winding.
    Relay(PartId),
    /// A fuse.
    Fuse(PartId),
    /// An in-line connector: at least one of its cavities.
    Connector(PartId),
    /// A splice.
    Splice(PartId),
}

/// Cylinders that have something in common. A driver or coil that feeds a single cylinder is listed
/// too; of the rest only what at least two cylinders share.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Group {
    /// What they share.
    pub by: SharedBy,
    /// The cylinders, rising.
    pub cylinders: Vec<CylinderId>,
}

impl Topology {
    /// All groups, in the order of [`SharedBy`], then by cylinders.
    pub(super) fn find_groups(&self, harness: &Harness) -> Vec<Group> {
        let mut units: BTreeMap<PartId, Crew> = BTreeMap::new();
        let mut drivers: BTreeMap<DriverId, Crew> = BTreeMap::new();
        let mut coils: BTreeMap<PartId, Crew> = BTreeMap::new();
        let mut packs: BTreeMap<PartId, Crew> = BTreeMap::new();
        let mut feeds: BTreeMap<Element, Crew> = BTreeMap::new();
        let mut grounds: BTreeMap<Element, Crew> = BTreeMap::new();
        let hosts: BTreeMap<DriverId, PartId> = harness
            .drivers()
            .filter(|&(host, _)| harness.unit(host).is_some())
            .map(|(host, driver)| (driver.id, host))
            .gather();
        for (&cylinder, needs) in &self.cylinders {
            for chain in &needs.chains {
                let coil = chain.tower.part;
                coils.entry(coil).or_default().insert(cylinder);
                if let Some(pack) = harness.coil(coil).and_then(|coil| coil.pack) {
                    packs.entry(pack).or_default().insert(cylinder);
                }
                if let Some(driver) = chain.driver {
                    drivers.entry(driver).or_default().insert(cylinder);
                    for unit in hosts.get(&driver).copied().into_iter().chain(chain.command) {
                        units.entry(unit).or_default().insert(cylinder);
                    }
                }
                for &need in &chain.needs {
                    let of = match self.needs.get(need).map(|need| need.kind) {
                        Some(NeedKind::Feed(_)) => &mut feeds,
                        Some(NeedKind::DriverGround(_)) => &mut grounds,
                        _ => continue,
                    };
                    let elements = self.paths.get(need).map(|paths| &paths.elements);
                    for &element in elements.into_iter().flatten() {
                        of.entry(element).or_default().insert(cylinder);
                    }
                }
            }
        }
        let mut found: Vec<Group> = Vec::new();
        let mut add = |by: SharedBy, cylinders: Crew, least: u32| {
            if cylinders.len() >= least {
                found.push(Group {
                    by,
                    cylinders: cylinders.iter().collect(),
                });
            }
        };
        for (unit, cylinders) in units {
            add(SharedBy::Unit(unit), cylinders, 2);
        }
        for (driver, cylinders) in drivers {
            add(SharedBy::Driver(driver), cylinders, 1);
        }
        for (coil, cylinders) in coils {
            add(SharedBy::Coil(coil), cylinders, 1);
        }
        for (pack, cylinders) in packs {
            add(SharedBy::Pack(pack), cylinders, 2);
        }
        for (cylinders, elements) in by_cylinders(feeds) {
            add(SharedBy::Feed(elements), cylinders, 2);
        }
        for (cylinders, elements) in by_cylinders(grounds) {
            add(SharedBy::Ground(elements), cylinders, 2);
        }
        for (by, cylinders) in self.by_part(harness) {
            add(by, cylinders, 2);
        }
        found.arrange_by(|a, b| {
            (rank(&a.by), &a.cylinders, &a.by).cmp(&(rank(&b.by), &b.cylinders, &b.by))
        });
        found
    }

    /// For parts that stand in the way: the cylinders whose trails lead through them.
    fn by_part(&self, harness: &Harness) -> Vec<(SharedBy, Crew)> {
        let mut through: BTreeMap<PartId, Crew> = BTreeMap::new();
        for (&element, users) in &self.users {
            let part = match element {
                Element::Contact(part)
                | Element::Cavity(part, _)
                | Element::Rotor(part)
                | Element::Cap(part) => Some(part),
                Element::Joint(wire, end) => joint_at(harness, wire, end),
                Element::Battery(_)
                | Element::RelayWinding(_)
                | Element::Wire(_)
                | Element::Mated(_)
                | Element::Trace(..)
                | Element::BoardSupply(_)
                | Element::BoardGround(_)
                | Element::Logic(_)
                | Element::CrankSignal(_)
                | Element::Driver(..)
                | Element::Primary(_)
                | Element::Secondary(_)
                | Element::CoilInsulation(_)
                | Element::LeadConductor(_)
                | Element::LeadInsulation(_)
                | Element::Gap(_)
                | Element::Insulator(_)
                | Element::PlugResistor(_)
                | Element::InjectorWinding(_)
                | Element::Cylinder(_) => None,
            };
            if let Some(part) = part {
                through.entry(part).or_default().join(users.spark);
            }
        }
        through
            .into_iter()
            .filter_map(|(part, cylinders)| {
                let by = match harness.parts.get(&part)?.kind {
                    PartKind::KeySwitch => SharedBy::Key(part),
                    PartKind::Relay(_) => SharedBy::Relay(part),
                    PartKind::Fuse(_) => SharedBy::Fuse(part),
                    PartKind::Connector(_) => SharedBy::Connector(part),
                    PartKind::Splice => SharedBy::Splice(part),
                    PartKind::Distributor(_) => SharedBy::Distributor(part),
                    PartKind::Battery(_)
                    | PartKind::Ground(_)
                    | PartKind::ControlUnit(_)
                    | PartKind::Coil(_)
                    | PartKind::Pack
                    | PartKind::Lead(_)
                    | PartKind::Plug(_)
                    | PartKind::Injector(_) => return None,
                };
                Some((by, cylinders))
            })
            .collect()
    }
}

/// Elements gathered by the set of cylinders that they carry.
fn by_cylinders(carried: BTreeMap<Element, Crew>) -> BTreeMap<Crew, Vec<Element>> {
    let mut found: BTreeMap<Crew, Vec<Element>> = BTreeMap::new();
    for (element, cylinders) in carried {
        found.entry(cylinders).or_default().push(element);
    }
    found
}

const fn rank(by: &SharedBy) -> u8 {
    match by {
        SharedBy::Unit(_) => 0,
        SharedBy::Driver(_) => 1,
        SharedBy::Coil(_) => 2,
        SharedBy::Pack(_) => 3,
        SharedBy::Distributor(_) => 4,
        SharedBy::Feed(_) => 5,
        SharedBy::Ground(_) => 6,
        SharedBy::Key(_) => 7,
        SharedBy::Relay(_) => 8,
        SharedBy::Fuse(_) => 9,
        SharedBy::Connector(_) => 10,
        SharedBy::Splice(_) => 11,
    }
}
