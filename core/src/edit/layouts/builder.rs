//! Verbs that put a map together: parts, wires through connectors, supply, grounds, coils.

use std::collections::BTreeMap;

use super::looks::{self, Look, value};
use super::sparks::{Job, PlugSet, Serves};
use super::{Arrangement, DriversIn, Housing, Inline, Plan, SupplyBy};
use crate::engine::CylinderId;
use crate::model::{
    Battery, Cavity, Coil, Connector, ControlUnit, Distributor, Driver, Fuse, GroundSite, Harness,
    Injector, Lead, LeadKind, PartId, PartKind, Pin, PinId, PinRole, Plug, Port, Relay, Secondary,
    Side, Terminal, UnitRole, Wire, WireSize,
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
            "Battery",
            PartKind::Battery(Battery {
                voltage: Some(Fact::assumed(value::BATTERY)),
                resistance: Some(Fact::assumed(value::BATTERY_INNER)),
            }),
        );
        let ground = |harness: &mut Harness, name: &str, site| {
            at(harness.add_part(name, PartKind::Ground(site)), Port::Joint)
        };
        let engine_ground = ground(&mut harness, "Engine ground", GroundSite::Engine);
        let body_ground = ground(&mut harness, "Body ground", GroundSite::Body);
        let unit = harness.add_part("Control unit", unit_of(UnitRole::EngineControl));
        let drivers = match plan.drivers {
            DriversIn::Unit | DriversIn::Coil => unit,
            DriversIn::Module => {
                harness.add_part("Ignition module", unit_of(UnitRole::IgnitionModule))
            }
        };
        let splice = harness.add_part("Supply splice", PartKind::Splice);
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
            "Ignition fuse",
            PartKind::Fuse(Fuse {
                rating: Some(Fact::assumed(value::FUSE)),
            }),
        );
        let key = self.harness.add_part("Ignition key", PartKind::KeySwitch);
        self.connect(plus, at(fuse, Port::In), looks::BATTERY_FEED);
        let fused = at(fuse, Port::Out);
        match self.plan.supply {
            SupplyBy::Key => {
                self.connect(fused, at(key, Port::In), looks::BATTERY_FEED);
                self.connect(at(key, Port::Out), self.supply, looks::SWITCHED);
            }
            SupplyBy::Relay => {
                let relay = self.harness.add_part(
                    "Ignition relay",
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
            Inline::One => vec!["Engine connector".into()],
            Inline::PerBank => self
                .plan
                .engine
                .banks
                .iter()
                .map(|bank| format!("{} connector", bank.name))
                .collect(),
        };
        for name in names {
            let id = self.connector(name);
            self.connectors.push(id);
        }
    }

    /// One coil with its feed, its switching, its leads and plugs.
    pub(super) fn coil_for(&mut self, job: &Job) {
        let nth = self.coils;
        self.coils += 1;
        let name = format!("Coil {}", letter(nth));
        let (through, pack) = self.through(nth, job);
        let in_coil = self.plan.drivers == DriversIn::Coil;
        let mut coil = Coil {
            pack,
            primary_resistance: Some(Fact::assumed(match self.plan.arrangement {
                Arrangement::Pairs | Arrangement::OneEach => value::PRIMARY,
                Arrangement::Distributor | Arrangement::TwoDistributors => {
                    value::PRIMARY_DISTRIBUTOR
                }
            })),
            primary_inductance: Some(Fact::assumed(value::INDUCTANCE)),
            secondary_resistance: Some(Fact::assumed(value::SECONDARY)),
            turns_ratio: Some(Fact::assumed(value::TURNS)),
            ..Coil::new(match job.serves {
                Serves::Pair(..) => Secondary::TwoEnded,
                Serves::One(_) | Serves::InTurn(_) if in_coil => Secondary::ReturnsToGround,
                Serves::One(_) | Serves::InTurn(_) => Secondary::ReturnsToFeed,
            })
        };
        if in_coil {
            coil.driver = Some(self.driver(nth));
        }
        let coil = self.harness.add_part(name, PartKind::Coil(coil));
        let feed = self.feed(&through, pack);
        self.connect(feed, at(coil, Port::Feed), looks::COIL_FEED);
        self.switch(nth, coil, &through);
        self.leads(coil, nth, job);
    }

    /// The connectors between a coil and the rest, nearest the unit first, and its pack.
    fn through(&mut self, nth: usize, job: &Job) -> (Vec<PartId>, Option<PartId>) {
        let row = job
            .serves
            .first()
            .and_then(|cylinder| self.plan.engine.place(cylinder))
            .map_or(0, |(row, _)| row);
        let mut through: Vec<PartId> = match self.plan.inline {
            Inline::None => None,
            Inline::One => self.connectors.first(),
            Inline::PerBank => self.connectors.get(row),
        }
        .copied()
        .into_iter()
        .collect();
        let Housing::Packs(coils_each) = self.plan.housing else {
            return (through, None);
        };
        let place = nth / usize::from(coils_each.max(1));
        while self.packs.len() <= place {
            let name = format!("Pack {}", letter(self.packs.len()));
            let pack = self.harness.add_part(name.clone(), PartKind::Pack);
            let plug = self.connector(format!("{name} plug"));
            self.packs.push((pack, plug));
        }
        let pack = self.packs.get(place).map(|(pack, plug)| {
            through.push(*plug);
            *pack
        });
        (through, pack)
    }

    /// The splice that feeds the coils behind the same connectors; made for the first of them.
    fn feed(&mut self, through: &[PartId], pack: Option<PartId>) -> Terminal {
        if let Some(splice) = self.feeds.get(through) {
            return *splice;
        }
        let name = match (pack, through.last()) {
            (Some(pack), _) => format!("{} splice", self.harness.part_name(pack)),
            (None, Some(_)) if self.connectors.len() > 1 => {
                format!("Coil splice {}", letter(self.feeds.len()))
            }
            (None, _) => "Coil splice".into(),
        };
        let splice = at(self.harness.add_part(name, PartKind::Splice), Port::Joint);
        self.run(self.supply, splice, through, looks::SWITCHED);
        self.feeds.insert(through.to_vec(), splice);
        splice
    }

    /// What switches a coil: a driver, its pins and its wires.
    fn switch(&mut self, nth: usize, coil: PartId, through: &[PartId]) {
        match self.plan.drivers {
            DriversIn::Coil => {
                let signal = self.pin(self.unit, PinRole::DriveOut);
                self.run(
                    at(self.unit, Port::Pin(signal)),
                    at(coil, Port::DriveIn),
                    through,
                    looks::drive_signal(nth),
                );
                let ground = self.coil_ground();
                self.connect(
                    at(coil, Port::CoilGround),
                    ground,
                    looks::GROUND.of_length(0.4),
                );
            }
            DriversIn::Unit => self.driver_for(nth, coil, through, None),
            DriversIn::Module => {
                let signal = self.pin(self.unit, PinRole::DriveOut);
                let drive = self.pin(self.drivers, PinRole::DriveIn);
                self.connect(
                    at(self.unit, Port::Pin(signal)),
                    at(self.drivers, Port::Pin(drive)),
                    looks::drive_signal(nth),
                );
                self.driver_for(nth, coil, through, Some(drive));
            }
        }
    }

    /// A driver in a box, its output pin and the wire from there to terminal 1.
    fn driver_for(&mut self, nth: usize, coil: PartId, through: &[PartId], drive: Option<PinId>) {
        let output = self.pin(self.drivers, PinRole::CoilSwitch);
        let driver = Driver {
            output: Some(Fact::assumed(output)),
            ground: Some(Fact::assumed(self.power_ground)),
            drive: drive.map(Fact::assumed),
            ..self.driver(nth)
        };
        let host = self.drivers;
        if let Some(unit) = self.unit_mut(host) {
            unit.drivers.push(driver);
        }
        self.run(
            at(host, Port::Pin(output)),
            at(coil, Port::Switched),
            through,
            looks::coil_switch(nth),
        );
    }

    /// Leads and plugs of a coil, through a distributor where it has one.
    fn leads(&mut self, coil: PartId, nth: usize, job: &Job) {
        match &job.serves {
            Serves::One(cylinder) => {
                self.lead(LeadKind::Boot, at(coil, Port::TowerA), *cylinder, job.set);
            }
            Serves::Pair(a, b) => {
                self.lead(LeadKind::Lead, at(coil, Port::TowerA), *a, job.set);
                self.lead(LeadKind::Lead, at(coil, Port::TowerB), *b, job.set);
            }
            Serves::InTurn(cylinders) => {
                let name = format!("Distributor {}", letter(nth));
                let towers = cylinders.clone();
                let distributor = self
                    .harness
                    .add_part(name, PartKind::Distributor(Distributor { towers }));
                self.push_lead(
                    format!("Coil lead {}", letter(nth)),
                    LeadKind::Lead,
                    at(coil, Port::TowerA),
                    at(distributor, Port::Centre),
                );
                for cylinder in cylinders {
                    let tower = at(distributor, Port::Tower(*cylinder));
                    self.lead(LeadKind::Lead, tower, *cylinder, job.set);
                }
            }
        }
    }

    /// A lead and the plug at its end.
    fn lead(&mut self, kind: LeadKind, from: Terminal, cylinder: CylinderId, set: PlugSet) {
        let which = match set {
            PlugSet::Only => format!("{cylinder}"),
            PlugSet::First => format!("{cylinder}a"),
            PlugSet::Second => format!("{cylinder}b"),
        };
        let plug = self.harness.add_part(
            format!("Plug {which}"),
            PartKind::Plug(Plug {
                cylinder: Some(Fact::assumed(cylinder)),
                gap: Some(Fact::assumed(value::GAP)),
                resistor: Some(Fact::assumed(value::PLUG_RESISTOR)),
            }),
        );
        let name = match kind {
            LeadKind::Lead => format!("Lead {which}"),
            LeadKind::Boot => format!("Boot {which}"),
        };
        self.push_lead(name, kind, from, at(plug, Port::PlugTop));
    }

    fn push_lead(&mut self, name: String, kind: LeadKind, from: Terminal, to: Terminal) {
        let resistance = match kind {
            LeadKind::Lead => value::LEAD,
            LeadKind::Boot => value::BOOT,
        };
        self.harness.add_part(
            name,
            PartKind::Lead(Lead {
                kind,
                from: Some(Fact::assumed(from)),
                to: Some(Fact::assumed(to)),
                resistance: Some(Fact::assumed(resistance)),
            }),
        );
    }

    /// An injector for each cylinder, on its own splice.
    pub(super) fn injectors(&mut self) {
        let splice = self.harness.add_part("Injector splice", PartKind::Splice);
        let splice = at(splice, Port::Joint);
        self.connect(self.supply, splice, looks::INJECTOR_FEED.of_length(0.9));
        for (nth, cylinder) in self.plan.engine.cylinders().into_iter().enumerate() {
            let injector = self.harness.add_part(
                format!("Injector {cylinder}"),
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

    /// The splice that joins the grounds of coils with drivers inside; made once.
    fn coil_ground(&mut self) -> Terminal {
        if let Some(splice) = self.coil_ground {
            return splice;
        }
        let splice = self
            .harness
            .add_part("Coil ground splice", PartKind::Splice);
        let splice = at(splice, Port::Joint);
        self.connect(splice, self.engine_ground, looks::GROUND);
        self.coil_ground = Some(splice);
        splice
    }

    fn driver(&mut self, nth: usize) -> Driver {
        Driver {
            on_voltage: Some(Fact::assumed(value::DRIVER_VOLTAGE)),
            on_resistance: Some(Fact::assumed(value::DRIVER_SLOPE)),
            ..Driver::new(self.harness.fresh(), format!("driver {}", letter(nth)))
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
    PartKind::ControlUnit(ControlUnit {
        role,
        pins: Vec::new(),
        drivers: Vec::new(),
    })
}
