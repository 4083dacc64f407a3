//! Verbs that put a map together: parts, pins, wires through connectors, supply, grounds, injectors.

use crate::said::{said, say};
mod coils;

use std::collections::BTreeMap;

use super::looks::{self, Look, value};
use super::{DriversIn, Inline, Plan, SupplyBy};
use crate::model::{
    Battery, Cavity, Connector, ControlUnit, Fuse, GroundSite, Harness, Injector, PartId, PartKind,
    Pin, PinId, PinRole, Port, Relay, Side, Terminal, UnitRole, Wire, WireSize,
};
use crate::provenance::Fact;

/// What a coil shares its feed with.
type FeedGroup = Vec<PartId>;

/// A map under construction.
pub(super) struct Builder<'p> {
    plan: &'p Plan,
    harness: Harness,
    /// Where the switched supply is shared out.
    supply: Terminal,
    engine_ground: Terminal,
    unit: PartId,
    /// The box that holds the drivers, unless they sit in the coils.
    drivers: PartId,
    /// The pin to which the drivers' emitters go.
    power_ground: PinId,
    connectors: Vec<PartId>,
    packs: Vec<(PartId, PartId)>,
    feeds: BTreeMap<FeedGroup, Terminal>,
    coil_ground: Option<Terminal>,
    coils: usize,
}

const fn at(part: PartId, port: Port) -> Terminal {
    Terminal { part, port }
}

/// "A", "B" … for the nth of something; sixteen cylinders with two plugs make at most 32.
fn letter(nth: usize) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    let one = |n: usize| LETTERS.get(n).map_or('?', |byte| char::from(*byte));
    match nth.checked_sub(LETTERS.len()) {
        None => one(nth).to_string(),
        Some(over) => format!("A{}", one(over)),
    }
}

impl<'p> Builder<'p> {
    /// Battery, grounds, switched supply and the control unit; a module where the plan has one.
    pub(super) fn new(plan: &'p Plan) -> Self {
        let mut harness = Harness::new(plan.title.clone(), plan.engine.clone());
        let battery = harness.add_part(
            said("Battery"),
            PartKind::Battery(Battery {
                voltage: Some(Fact::assumed(value::BATTERY)),
                resistance: Some(Fact::assumed(value::BATTERY_INNER)),
            }),
        );
        let ground = |harness: &mut Harness, name: &str, site| {
            at(harness.add_part(name, PartKind::Ground(site)), Port::Joint)
        };
        let engine_ground = ground(&mut harness, said("Engine ground"), GroundSite::Engine);
        let body_ground = ground(&mut harness, said("Body ground"), GroundSite::Body);
        let unit = harness.add_part(said("Control unit"), unit_of(UnitRole::EngineControl));
        let drivers = match plan.drivers {
            DriversIn::Unit | DriversIn::Coil => unit,
            DriversIn::Module => {
                harness.add_part(said("Ignition module"), unit_of(UnitRole::IgnitionModule))
            }
        };
        let splice = harness.add_part(said("Supply splice"), PartKind::Splice);
        let mut builder = Self {
            plan,
            supply: at(splice, Port::Joint),
            engine_ground,
            unit,
            drivers,
            power_ground: PinId::from_number(0),
            connectors: Vec::new(),
            packs: Vec::new(),
            feeds: BTreeMap::new(),
            coil_ground: None,
            coils: 0,
            harness,
        };
        let minus = at(battery, Port::Minus);
        builder.connect(minus, body_ground, looks::GROUND_CABLE);
        builder.connect(minus, engine_ground, looks::GROUND_CABLE.of_length(0.9));
        builder.connect(
            body_ground,
            engine_ground,
            looks::GROUND_CABLE.of_length(0.3),
        );
        builder.supply(at(battery, Port::Plus), body_ground);
        builder.power(unit, body_ground);
        if drivers != unit {
            builder.power(drivers, body_ground);
        }
        builder.inline();
        builder
    }

    /// The finished map.
    pub(super) fn finish(self) -> Harness {
        self.harness
    }

    /// Battery to the supply splice, through a fuse and a relay or the key.
    fn supply(&mut self, plus: Terminal, body_ground: Terminal) {
        let fuse = self.harness.add_part(
            said("Ignition fuse"),
            PartKind::Fuse(Fuse {
                rating: Some(Fact::assumed(value::FUSE)),
            }),
        );
        let key = self
            .harness
            .add_part(said("Ignition key"), PartKind::KeySwitch);
        self.connect(plus, at(fuse, Port::In), looks::BATTERY_FEED);
        let fused = at(fuse, Port::Out);
        match self.plan.supply {
            SupplyBy::Key => {
                self.connect(fused, at(key, Port::In), looks::BATTERY_FEED);
                self.connect(at(key, Port::Out), self.supply, looks::SWITCHED);
            }
            SupplyBy::Relay => {
                let relay = self.harness.add_part(
                    said("Ignition relay"),
                    PartKind::Relay(Relay {
                        winding: Some(Fact::assumed(value::RELAY_WINDING)),
                    }),
                );
                self.connect(fused, at(relay, Port::ContactIn), looks::BATTERY_FEED);
                self.connect(at(relay, Port::ContactOut), self.supply, looks::SWITCHED);
                self.connect(plus, at(key, Port::In), looks::BATTERY_FEED.of_length(1.2));
                self.connect(
                    at(key, Port::Out),
                    at(relay, Port::WindingStart),
                    looks::KEY,
                );
                self.connect(
                    at(relay, Port::WindingEnd),
                    body_ground,
                    looks::GROUND.of_length(0.4),
                );
            }
        }
    }

    /// Supply and ground pins of a box; the box that holds the drivers gets a power ground.
    fn power(&mut self, unit: PartId, body_ground: Terminal) {
        let supply = self.pin(unit, PinRole::Supply);
        self.connect(self.supply, at(unit, Port::Pin(supply)), looks::UNIT_FEED);
        let ground = self.pin(unit, PinRole::Ground);
        self.connect(at(unit, Port::Pin(ground)), body_ground, looks::GROUND);
        if unit == self.drivers && self.plan.drivers != DriversIn::Coil {
            self.power_ground = self.pin(unit, PinRole::Ground);
            self.connect(
                at(unit, Port::Pin(self.power_ground)),
                self.engine_ground,
                looks::GROUND.of_length(1.2),
            );
        }
    }

    /// The in-line connectors of the plan, still without cavities.
    fn inline(&mut self) {
        let names: Vec<String> = match self.plan.inline {
            Inline::None => Vec::new(),
            Inline::One => vec![say!("Engine connector")],
            Inline::PerBank => self
                .plan
                .engine
                .banks
                .iter()
                .map(|bank| say!("{} connector", bank.name))
                .collect(),
        };
        for name in names {
            let id = self.connector(name);
            self.connectors.push(id);
        }
    }

    /// An injector for each cylinder, on its own splice.
    pub(super) fn injectors(&mut self) {
        let splice = self
            .harness
            .add_part(said("Injector splice"), PartKind::Splice);
        let splice = at(splice, Port::Joint);
        self.connect(self.supply, splice, looks::INJECTOR_FEED.of_length(0.9));
        for (nth, cylinder) in self.plan.engine.cylinders().into_iter().enumerate() {
            let injector = self.harness.add_part(
                say!("Injector {cylinder}"),
                PartKind::Injector(Injector {
                    cylinder: Some(Fact::assumed(cylinder)),
                    winding: Some(Fact::assumed(value::INJECTOR)),
                }),
            );
            self.connect(
                splice,
                at(injector, Port::InjectorFeed),
                looks::INJECTOR_FEED,
            );
            let pin = self.pin(self.unit, PinRole::InjectorSwitch);
            self.connect(
                at(self.unit, Port::Pin(pin)),
                at(injector, Port::InjectorControl),
                looks::injector_switch(nth),
            );
        }
    }

    /// The next pin of a box, numbered in turn.
    fn pin(&mut self, unit: PartId, role: PinRole) -> PinId {
        let id: PinId = self.harness.fresh();
        if let Some(unit) = self.unit_mut(unit) {
            let label = format!("{}", unit.pins.len() + 1);
            unit.pins.push(Pin {
                id,
                label: Some(Fact::assumed(label)),
                role: Some(Fact::assumed(role)),
                note: String::new(),
            });
        }
        id
    }

    fn unit_mut(&mut self, id: PartId) -> Option<&mut ControlUnit> {
        match self.harness.parts.get_mut(&id).map(|part| &mut part.kind) {
            Some(PartKind::ControlUnit(unit)) => Some(unit),
            _ => None,
        }
    }

    fn connector(&mut self, name: String) -> PartId {
        self.harness
            .add_part(name, PartKind::Connector(Connector::default()))
    }

    /// One wire.
    fn connect(&mut self, from: Terminal, to: Terminal, look: Look) {
        self.harness.add_wire(Wire {
            from: Some(Fact::assumed(from)),
            to: Some(Fact::assumed(to)),
            colour: Some(Fact::assumed(look.colour)),
            size: Some(Fact::assumed(WireSize::Area(look.area))),
            length: Some(Fact::assumed(look.length)),
            note: String::new(),
        });
    }

    /// Wires from one terminal to another, through a new cavity of each connector on the way.
    fn run(&mut self, from: Terminal, to: Terminal, through: &[PartId], look: Look) {
        let mut reached = from;
        for connector in through {
            let id = self.harness.fresh();
            if let Some(PartKind::Connector(found)) = self
                .harness
                .parts
                .get_mut(connector)
                .map(|part| &mut part.kind)
            {
                let label = format!("{}", found.cavities.len() + 1);
                found.cavities.push(Cavity {
                    id,
                    label: Some(Fact::assumed(label)),
                });
            }
            self.connect(reached, at(*connector, Port::Cavity(id, Side::A)), look);
            reached = at(*connector, Port::Cavity(id, Side::B));
        }
        let last = if through.is_empty() {
            look
        } else {
            look.of_length(0.4)
        };
        self.connect(reached, to, last);
    }
}

const fn unit_of(role: UnitRole) -> PartKind {
    PartKind::ControlUnit(ControlUnit::new(role))
}
