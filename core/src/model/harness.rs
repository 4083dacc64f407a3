//! The whole map of one car: one immutable value, changed only by commands.

use crate::said::say;
use std::collections::BTreeMap;

use super::{
    Cavity, CavityId, Coil, Connector, ControlUnit, Distributor, Driver, DriverId, Finding, Lead,
    LeadKind, Part, PartId, PartKind, Pin, PinId, Plug, Rival, Terminal, Wire, WireId, WorkEntry,
};
use crate::engine::{CylinderId, Engine};

/// The map of one car's ignition, with all that was found on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Harness {
    /// What the owner calls the car.
    pub title: String,
    /// A few sentences about it.
    pub about: String,
    /// The engine.
    pub engine: Engine,
    /// The parts.
    pub parts: BTreeMap<PartId, Part>,
    /// The wires.
    pub wires: BTreeMap<WireId, Wire>,
    /// Values that clash with those that the map goes by, until somebody settles them.
    pub rivals: Vec<Rival>,
    /// What was seen or measured, oldest first.
    pub findings: Vec<Finding>,
    /// What was done to the car, oldest first.
    pub work: Vec<WorkEntry>,
    /// The lowest number that no id has ever had.
    pub next_id: u32,
}

impl Harness {
    /// A map with an engine and nothing else.
    #[must_use]
    pub fn new(title: impl Into<String>, engine: Engine) -> Self {
        Self {
            title: title.into(),
            about: String::new(),
            engine,
            parts: BTreeMap::new(),
            wires: BTreeMap::new(),
            rivals: Vec::new(),
            findings: Vec::new(),
            work: Vec::new(),
            next_id: 1,
        }
    }

    /// An id that was never given out before, of any kind.
    pub fn fresh<Id: From<u32>>(&mut self) -> Id {
        let number = self.next_id;
        self.next_id = self.next_id.saturating_add(1);
        Id::from(number)
    }

    /// Adds a part and returns its id.
    pub fn add_part(&mut self, name: impl Into<String>, kind: PartKind) -> PartId {
        let id = self.fresh();
        self.parts.insert(id, Part::new(name, kind));
        id
    }

    /// Adds a wire and returns its id.
    pub fn add_wire(&mut self, wire: Wire) -> WireId {
        let id = self.fresh();
        self.wires.insert(id, wire);
        id
    }

    /// The part's name, or "?" where there is no such part.
    #[must_use]
    pub fn part_name(&self, id: PartId) -> &str {
        self.parts.get(&id).map_or("?", |part| part.name.as_str())
    }

    /// A wire as people say it: its colours and what it joins.
    #[must_use]
    pub fn wire_name(&self, id: WireId) -> String {
        let Some(wire) = self.wires.get(&id) else {
            return "?".into();
        };
        let end = |terminal: Option<Terminal>| {
            terminal.map_or_else(|| say!("nowhere yet"), |t| self.terminal_name(t))
        };
        let colour = wire
            .colour
            .map_or_else(String::new, |colour| format!("{} ", colour.value.code()));
        say!(
            "{colour}wire {} → {}",
            end(wire.from.map(|fact| fact.value)),
            end(wire.to.map(|fact| fact.value))
        )
    }

    /// A pin of a control unit.
    #[must_use]
    pub fn pin(&self, part: PartId, pin: PinId) -> Option<&Pin> {
        self.unit(part)?.pins.iter().find(|p| p.id == pin)
    }

    /// A cavity of a connector.
    #[must_use]
    pub fn cavity(&self, part: PartId, cavity: CavityId) -> Option<&Cavity> {
        let mut cavities = self.connector(part)?.cavities.iter();
        cavities.find(|c| c.id == cavity)
    }

    /// Every driver with the part it sits in, in rising order of part.
    pub fn drivers(&self) -> impl Iterator<Item = (PartId, &Driver)> {
        self.parts.iter().flat_map(|(&id, part)| {
            let (in_unit, in_coil): (&[Driver], Option<&Driver>) = match &part.kind {
                PartKind::ControlUnit(unit) => (&unit.drivers, None),
                PartKind::Coil(coil) => (&[], coil.driver.as_ref()),
                PartKind::Battery(_)
                | PartKind::Fuse(_)
                | PartKind::KeySwitch
                | PartKind::Relay(_)
                | PartKind::Splice
                | PartKind::Ground(_)
                | PartKind::Connector(_)
                | PartKind::Pack
                | PartKind::Distributor(_)
                | PartKind::Lead(_)
                | PartKind::Plug(_)
                | PartKind::Injector(_) => (&[], None),
            };
            in_unit
                .iter()
                .chain(in_coil)
                .map(move |driver| (id, driver))
        })
    }

    /// A part that is a control unit or module.
    #[must_use]
    pub fn unit(&self, id: PartId) -> Option<&ControlUnit> {
        if let PartKind::ControlUnit(unit) = &self.parts.get(&id)?.kind {
            Some(unit)
        } else {
            None
        }
    }

    /// A part that is a connector.
    #[must_use]
    pub fn connector(&self, id: PartId) -> Option<&Connector> {
        if let PartKind::Connector(connector) = &self.parts.get(&id)?.kind {
            Some(connector)
        } else {
            None
        }
    }

    /// A part that is a coil.
    #[must_use]
    pub fn coil(&self, id: PartId) -> Option<&Coil> {
        if let PartKind::Coil(coil) = &self.parts.get(&id)?.kind {
            Some(coil)
        } else {
            None
        }
    }

    /// A part that is a lead or boot.
    #[must_use]
    pub fn lead(&self, id: PartId) -> Option<&Lead> {
        if let PartKind::Lead(lead) = &self.parts.get(&id)?.kind {
            Some(lead)
        } else {
            None
        }
    }

    /// A part that is a spark plug.
    #[must_use]
    pub fn plug(&self, id: PartId) -> Option<&Plug> {
        if let PartKind::Plug(plug) = &self.parts.get(&id)?.kind {
            Some(plug)
        } else {
            None
        }
    }

    /// The boot on a plug of a cylinder whose coil sits on its plug: there is no lead that a clamp goes around.
    #[must_use]
    pub fn boot_of(&self, cylinder: CylinderId) -> Option<&Lead> {
        let sparks_it = |plug: PartId| {
            let fires = self.plug(plug).and_then(|plug| plug.cylinder);
            fires.is_some_and(|fact| fact.value == cylinder)
        };
        self.parts.keys().find_map(|id| {
            let lead = self.lead(*id)?;
            let is_on_it = lead.to.is_some_and(|end| sparks_it(end.value.part));
            (lead.kind == LeadKind::Boot && is_on_it).then_some(lead)
        })
    }

    /// A part that is a distributor.
    #[must_use]
    pub fn distributor(&self, id: PartId) -> Option<&Distributor> {
        if let PartKind::Distributor(d) = &self.parts.get(&id)?.kind {
            Some(d)
        } else {
            None
        }
    }

    /// A driver by id.
    #[must_use]
    pub fn driver(&self, id: DriverId) -> Option<&Driver> {
        self.drivers()
            .find_map(|(_, driver)| (driver.id == id).then_some(driver))
    }

    /// The part that a driver sits in.
    #[must_use]
    pub fn host_of(&self, id: DriverId) -> Option<PartId> {
        self.drivers()
            .find_map(|(part, driver)| (driver.id == id).then_some(part))
    }
}
