//! Findings about coils, drivers and packs.

mod reach;

use std::collections::{BTreeMap, BTreeSet};

use super::MapFinding;
use super::joined::Joined;
use super::supply::{is_fed, is_grounded};
use crate::engine::{CylinderId, Engine};
use crate::gather::Gather;
use crate::model::{
    Coil, Driver, Harness, PartId, PartKind, PinId, PinRole, Port, Secondary, Terminal, UnitRole,
};

pub(super) fn check(harness: &Harness, joined: &Joined, found: &mut Vec<MapFinding>) {
    let map = Map {
        harness,
        joined,
        leads: Leads::of(harness),
    };
    map.companions(found);
    for (&id, part) in &harness.parts {
        match &part.kind {
            PartKind::Coil(coil) => map.coil(id, coil, found),
            PartKind::ControlUnit(unit) => {
                for driver in &unit.drivers {
                    map.driver(id, unit.role, driver, found);
                }
                shared_pins(id, &unit.drivers, found);
            }
            PartKind::Pack => {
                let is_used = harness.parts.keys().any(|other| {
                    harness
                        .coil(*other)
                        .is_some_and(|coil| coil.pack == Some(id))
                });
                if !is_used {
                    found.push(MapFinding::PackEmpty { pack: id });
                }
            }
            PartKind::Distributor(distributor) => map.distributor(id, distributor, found),
            PartKind::Plug(plug) => map.cylinder_of(id, plug.cylinder.map(|f| f.value), found),
            PartKind::Injector(injector) => {
                map.cylinder_of(id, injector.cylinder.map(|f| f.value), found);
            }
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::Lead(_) => {}
        }
    }
    map.cylinders(found);
}

const fn at(part: PartId, port: Port) -> Terminal {
    Terminal { part, port }
}

/// Where leads come from and go to.
struct Leads {
    /// By the tower: the lead, and where it goes if that is known.
    from: BTreeMap<Terminal, Vec<(PartId, Option<Terminal>)>>,
    /// By the far end: the tower.
    to: BTreeMap<Terminal, Vec<Terminal>>,
}

impl Leads {
    fn of(harness: &Harness) -> Self {
        let mut leads = Self {
            from: BTreeMap::new(),
            to: BTreeMap::new(),
        };
        for id in harness.parts.keys() {
            let Some(lead) = harness.lead(*id) else {
                continue;
            };
            let (from, to) = (lead.from.map(|f| f.value), lead.to.map(|f| f.value));
            if let Some(from) = from {
                leads.from.entry(from).or_default().push((*id, to));
                if let Some(to) = to {
                    leads.to.entry(to).or_default().push(from);
                }
            }
        }
        leads
    }
}

struct Map<'h> {
    harness: &'h Harness,
    joined: &'h Joined,
    leads: Leads,
}

impl Map<'_> {
    /// The cylinder whose plug the lead on this tower feeds, with the lead.
    fn fires(&self, tower: Terminal) -> Option<(PartId, CylinderId)> {
        self.leads.from.get(&tower)?.iter().find_map(|(lead, to)| {
            let plug = self.harness.plug((*to)?.part)?;
            Some((*lead, plug.cylinder?.value))
        })
    }

    /// Double-ended coils whose cylinders are not at the top together.
    fn companions(&self, found: &mut Vec<MapFinding>) {
        let engine = &self.harness.engine;
        let double: Vec<PartId> = self
            .harness
            .parts
            .keys()
            .copied()
            .filter(|id| {
                self.harness
                    .coil(*id)
                    .is_some_and(|coil| coil.secondary == Secondary::TwoEnded)
            })
            .collect();
        let mut apart_found = false;
        for &coil in &double {
            let fired = |port| self.fires(at(coil, port)).map(|(_, cylinder)| cylinder);
            let (Some(a), Some(b)) = (fired(Port::TowerA), fired(Port::TowerB)) else {
                continue;
            };
            let (Some(top_a), Some(top_b)) = (engine.compression_top(a), engine.compression_top(b))
            else {
                continue;
            };
            if a != b && engine.shared_spark(a, b).is_none() {
                apart_found = true;
                let turn = (top_a - top_b).get().rem_euclid(360.0);
                found.push(MapFinding::NotCompanions {
                    coil,
                    cylinders: (a, b),
                    tops: (top_a, top_b),
                    apart: crate::units::Degrees::lit(turn.min(360.0 - turn)),
                });
            }
        }
        if apart_found && no_companions(engine) {
            found.push(MapFinding::NoCompanionsAtAll { coils: double });
        }
    }

    fn coil(&self, id: PartId, coil: &Coil, found: &mut Vec<MapFinding>) {
        if !is_fed(self.harness, self.joined, at(id, Port::Feed)) {
            found.push(MapFinding::CoilWithoutFeed { coil: id });
        }
        let (switched, wanted) = if coil.driver.is_some() {
            (at(id, Port::DriveIn), PinRole::DriveOut)
        } else {
            (at(id, Port::Switched), PinRole::CoilSwitch)
        };
        let mut signals = 0;
        for (unit, pin, role) in self.pins_at(switched) {
            match role {
                Some(role) if role != wanted => found.push(MapFinding::CoilAtWrongPin {
                    coil: id,
                    unit,
                    pin,
                    role,
                }),
                Some(_) | None => signals += 1,
            }
        }
        let drivers = self.drivers_at(switched);
        if (coil.driver.is_some() && signals == 0) || (coil.driver.is_none() && drivers.is_empty())
        {
            found.push(MapFinding::CoilWithoutSwitch { coil: id });
        }
        let outputs: BTreeSet<PinId> = drivers
            .iter()
            .filter_map(|driver| driver.output.map(|pin| pin.value))
            .gather();
        if outputs.len() > 1 {
            found.push(MapFinding::DriversShareCoil {
                coil: id,
                drivers: drivers.iter().map(|driver| driver.id).collect(),
            });
        }
        let ports: Vec<Port> = self
            .harness
            .terminals_of(id)
            .into_iter()
            .map(|t| t.port)
            .collect();
        if ports.contains(&Port::CoilGround)
            && !is_grounded(self.harness, self.joined, at(id, Port::CoilGround))
        {
            found.push(MapFinding::CoilWithoutGround { coil: id });
        }
        for port in [Port::TowerA, Port::TowerB] {
            if ports.contains(&port) && !self.leads.from.contains_key(&at(id, port)) {
                found.push(MapFinding::TowerWithoutLead {
                    tower: at(id, port),
                });
            }
        }
        if let Some(pack) = coil.pack
            && self.harness.parts.get(&pack).map(|part| &part.kind) != Some(&PartKind::Pack)
        {
            found.push(MapFinding::PackMissing { coil: id, pack });
        }
    }

    /// The pins of control units and modules that a terminal is joined to.
    fn pins_at(&self, terminal: Terminal) -> Vec<(PartId, PinId, Option<PinRole>)> {
        let units = self
            .harness
            .parts
            .keys()
            .filter_map(|id| self.harness.unit(*id).map(|unit| (*id, unit)));
        units
            .flat_map(|(id, unit)| {
                unit.pins
                    .iter()
                    .filter(move |pin| self.joined.are(at(id, Port::Pin(pin.id)), terminal))
                    .map(move |pin| (id, pin.id, pin.role.map(|role| role.value)))
            })
            .collect()
    }

    /// The drivers whose output pin a terminal is joined to.
    fn drivers_at(&self, terminal: Terminal) -> Vec<&Driver> {
        self.harness
            .drivers()
            .filter(|(host, driver)| {
                driver
                    .output
                    .is_some_and(|pin| self.joined.are(at(*host, Port::Pin(pin.value)), terminal))
            })
            .map(|(_, driver)| driver)
            .collect()
    }

    fn driver(&self, unit: PartId, role: UnitRole, driver: &Driver, found: &mut Vec<MapFinding>) {
        for (pin, needs) in [
            (driver.output, PinRole::CoilSwitch),
            (driver.ground, PinRole::Ground),
            (driver.drive, PinRole::DriveIn),
        ] {
            let Some(pin) = pin.map(|pin| pin.value) else {
                continue;
            };
            match self.harness.pin(unit, pin).map(|pin| pin.role) {
                None => found.push(MapFinding::DriverPinMissing {
                    driver: driver.id,
                    unit,
                    pin,
                }),
                Some(Some(role)) if role.value != needs => {
                    found.push(MapFinding::DriverPinRole {
                        driver: driver.id,
                        unit,
                        pin,
                        needs,
                        role: role.value,
                    });
                }
                Some(_) => {}
            }
        }
        let coils: Vec<PartId> = driver.output.map_or_else(Vec::new, |pin| {
            let output = at(unit, Port::Pin(pin.value));
            self.harness
                .parts
                .keys()
                .copied()
                .filter(|id| self.harness.coil(*id).is_some())
                .filter(|id| self.joined.are(at(*id, Port::Switched), output))
                .collect()
        });
        match coils.len() {
            0 => found.push(MapFinding::DriverWithoutCoil {
                driver: driver.id,
                unit,
            }),
            1 => {}
            _ => found.push(MapFinding::CoilsShareDriver {
                driver: driver.id,
                unit,
                coils,
            }),
        }
        let told = driver.drive.is_some_and(|pin| {
            self.pins_at(at(unit, Port::Pin(pin.value)))
                .into_iter()
                .any(|(other, _, role)| {
                    other != unit && role.is_none_or(|role| role == PinRole::DriveOut)
                })
        });
        if role == UnitRole::IgnitionModule && !told {
            found.push(MapFinding::DriverWithoutSignal {
                driver: driver.id,
                unit,
            });
        }
    }
}

/// Whether all angles are known and no two pistons are at the top together.
fn no_companions(engine: &Engine) -> bool {
    let cylinders = engine.cylinders();
    !cylinders.is_empty()
        && cylinders
            .iter()
            .all(|c| engine.compression_top(*c).is_some())
        && engine.companions().pairs.is_empty()
}

fn shared_pins(unit: PartId, drivers: &[Driver], found: &mut Vec<MapFinding>) {
    let mut by_pin: BTreeMap<PinId, Vec<_>> = BTreeMap::new();
    for driver in drivers {
        if let Some(pin) = driver.output {
            by_pin.entry(pin.value).or_default().push(driver.id);
        }
    }
    found.extend(
        by_pin
            .into_iter()
            .filter(|(_, drivers)| drivers.len() > 1)
            .map(|(pin, drivers)| MapFinding::DriversSharePin { unit, pin, drivers }),
    );
}
