//! Random wiring: supply, control units, drivers, coils of every kind, distributors, leads and plugs.

use super::Maker;
use crate::engine::CylinderId;
use crate::model::{
    Battery, Cavity, CavityId, Coil, Connector, ControlUnit, Distributor, Driver, DriverId, Fuse,
    GroundSite, Injector, Lead, LeadKind, Part, PartId, PartKind, Pin, PinId, PinRole, Plug, Port,
    Relay, Secondary, Side, Terminal, UnitRole,
};
use crate::units::{Amps, Henries, Millimetres, Minutes, Ohms, Volts};

/// How the sparks are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Style {
    /// A coil for each cylinder.
    Single,
    /// Double-ended coils for companions, single ones for the rest.
    Shared,
    /// One coil and a distributor.
    Distributor,
}

/// Where the drivers sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum DriverSite {
    Unit,
    Module,
    Coil,
}

/// What the wiring so far offers.
struct Loom {
    /// Terminals where switched supply can be had.
    feeds: Vec<Terminal>,
    grounds: Vec<Terminal>,
    /// In-line connectors that wires may run through.
    connectors: Vec<PartId>,
    unit: PartId,
    /// The module that holds the drivers; the unit itself where there is none.
    driving: PartId,
    site: DriverSite,
    pack: Option<PartId>,
}

impl Maker {
    pub(super) fn build(&mut self) {
        let site = self
            .dice
            .pick(&[DriverSite::Unit, DriverSite::Module, DriverSite::Coil]);
        let mut loom = self.supply(site);
        let style = self.dice.pick(&[
            Style::Single,
            Style::Shared,
            Style::Shared,
            Style::Distributor,
        ]);
        let cylinders = self.harness.engine.cylinders();
        match style {
            Style::Single => {
                for cylinder in &cylinders {
                    self.single(&mut loom, *cylinder);
                }
            }
            Style::Shared => self.shared(&mut loom, &cylinders),
            Style::Distributor => self.distributor(&mut loom, &cylinders),
        }
        if self.dice.often(40) {
            for cylinder in cylinders {
                self.injector(&mut loom, cylinder);
            }
        }
    }

    fn part(&mut self, name: impl Into<String>, kind: PartKind) -> PartId {
        let id = self.harness.add_part(name, kind);
        let reach = Minutes::lit(self.dice.between(1.0, 60.0).round());
        let known = self.dice.often(20);
        if let Some(part) = self.harness.parts.get_mut(&id).filter(|_| known) {
            part.place.text = "behind the \"dash\"\n".into();
            part.place.reach = Some(reach);
        }
        id
    }

    fn supply(&mut self, site: DriverSite) -> Loom {
        let battery = Battery {
            voltage: self.perhaps(Volts::lit(12.6)),
            resistance: self.perhaps(Ohms::lit(0.02)),
        };
        let battery = self.part("Battery", PartKind::Battery(battery));
        let body = self.part("Body ground", PartKind::Ground(GroundSite::Body));
        let engine = self.part("Engine ground", PartKind::Ground(GroundSite::Engine));
        self.wire(at(battery, Port::Minus), at(body, Port::Joint));
        self.wire(at(body, Port::Joint), at(engine, Port::Joint));
        if self.dice.often(40) {
            self.wire(at(battery, Port::Minus), at(engine, Port::Joint));
        }
        let connectors = (0..self.dice.below(3))
            .map(|n| self.part(format!("X{n}"), PartKind::Connector(Connector::default())))
            .collect();
        let unit = self.control_unit("Control unit", UnitRole::EngineControl);
        let mut loom = Loom {
            feeds: Vec::new(),
            grounds: vec![at(body, Port::Joint), at(engine, Port::Joint)],
            connectors,
            unit,
            driving: unit,
            site,
            pack: None,
        };
        let mut live = at(battery, Port::Plus);
        if self.dice.often(60) {
            live = self.fuse(live);
        }
        let key = self.part("Key switch", PartKind::KeySwitch);
        self.run(&mut loom, live, at(key, Port::In));
        live = at(key, Port::Out);
        if self.dice.often(40) {
            live = self.relay(&mut loom, at(battery, Port::Plus), live);
        }
        for _ in 0..=self.dice.below(3) {
            let out = self.fuse(live);
            let splice = self.part("Feed splice", PartKind::Splice);
            self.run(&mut loom, out, at(splice, Port::Joint));
            loom.feeds.push(at(splice, Port::Joint));
            if self.dice.often(30) {
                loom.feeds.push(out);
            }
        }
        self.power(&mut loom, unit);
        if site == DriverSite::Module {
            let module = self.control_unit("Ignition module", UnitRole::IgnitionModule);
            self.power(&mut loom, module);
            loom.driving = module;
        }
        if self.dice.often(30) {
            loom.pack = Some(self.part("Coil pack", PartKind::Pack));
        }
        loom
    }

    fn fuse(&mut self, from: Terminal) -> Terminal {
        let rating = self.perhaps(Amps::lit(15.0));
        let fuse = self.part("Fuse", PartKind::Fuse(Fuse { rating }));
        self.wire(from, at(fuse, Port::In));
        at(fuse, Port::Out)
    }

    fn relay(&mut self, loom: &mut Loom, plus: Terminal, switched: Terminal) -> Terminal {
        let winding = self.perhaps(Ohms::lit(85.0));
        let relay = self.part("Relay", PartKind::Relay(Relay { winding }));
        self.wire(plus, at(relay, Port::ContactIn));
        self.wire(switched, at(relay, Port::WindingStart));
        let end = at(relay, Port::WindingEnd);
        if self.dice.often(50) {
            let pin = self.pin(loom.unit, PinRole::RelaySwitch);
            self.run(loom, pin, end);
        } else {
            let ground = self.dice.pick(&loom.grounds);
            self.wire(end, ground);
        }
        at(relay, Port::ContactOut)
    }

    fn control_unit(&mut self, name: &str, role: UnitRole) -> PartId {
        let unit = ControlUnit::new(role);
        self.part(name, PartKind::ControlUnit(unit))
    }

    /// Supply and one or two grounds for a unit.
    fn power(&mut self, loom: &mut Loom, unit: PartId) {
        let supply = self.pin(unit, PinRole::Supply);
        let feed = self.dice.pick(&loom.feeds);
        self.run(loom, feed, supply);
        for _ in 0..=self.dice.below(2) {
            let pin = self.pin(unit, PinRole::Ground);
            let ground = self.dice.pick(&loom.grounds);
            self.run(loom, pin, ground);
        }
    }

    fn pin(&mut self, unit: PartId, role: PinRole) -> Terminal {
        let id: PinId = self.harness.fresh();
        let label = self.fact(id.number().to_string());
        let pin = Pin {
            id,
            label: Some(label),
            role: Some(self.fact(role)),
            note: String::new(),
        };
        if let Some(Part {
            kind: PartKind::ControlUnit(unit),
            ..
        }) = self.harness.parts.get_mut(&unit)
        {
            unit.pins.push(pin);
        }
        at(unit, Port::Pin(id))
    }

    /// A wire from here to there, at times through an in-line connector.
    fn run(&mut self, loom: &mut Loom, from: Terminal, to: Terminal) {
        if loom.connectors.is_empty() || self.dice.often(50) {
            self.wire(from, to);
            return;
        }
        let through = self.dice.pick(&loom.connectors);
        let id: CavityId = self.harness.fresh();
        let label = self.perhaps(id.number().to_string());
        if let Some(Part {
            kind: PartKind::Connector(connector),
            ..
        }) = self.harness.parts.get_mut(&through)
        {
            connector.cavities.push(Cavity { id, label });
        }
        self.wire(from, at(through, Port::Cavity(id, Side::A)));
        self.wire(at(through, Port::Cavity(id, Side::B)), to);
    }

    fn driver(&mut self) -> Driver {
        let id: DriverId = self.harness.fresh();
        let mut driver = Driver::new(id, format!("driver {id}"));
        driver.on_voltage = self.perhaps(Volts::lit(0.75));
        driver.on_resistance = self.perhaps(Ohms::lit(0.1));
        driver
    }

    /// A coil with its supply and its driver.
    fn coil(&mut self, loom: &mut Loom, secondary: Secondary) -> PartId {
        let mut coil = Coil::new(secondary);
        let primary = Ohms::lit(self.dice.between(0.3, 1.2));
        coil.primary_resistance = self.perhaps(primary);
        coil.primary_inductance = self.perhaps(Henries::lit(0.0035));
        let secondary_ohms = Ohms::lit(self.dice.between(7000.0, 15000.0));
        coil.secondary_resistance = self.perhaps(secondary_ohms);
        coil.turns_ratio = self.perhaps(85.0);
        coil.pack = loom.pack.filter(|_| self.dice.often(80));
        if loom.site == DriverSite::Coil {
            coil.driver = Some(self.driver());
        }
        let own = coil.driver.is_some();
        let id = self.part("Coil", PartKind::Coil(coil));
        let feed = self.dice.pick(&loom.feeds);
        self.run(loom, feed, at(id, Port::Feed));
        if own || secondary == Secondary::ReturnsToGround {
            let ground = self.dice.pick(&loom.grounds);
            self.run(loom, at(id, Port::CoilGround), ground);
        }
        if own {
            let signal = self.pin(loom.unit, PinRole::DriveOut);
            self.run(loom, signal, at(id, Port::DriveIn));
        } else {
            let output = self.pin(loom.driving, PinRole::CoilSwitch);
            self.run(loom, output, at(id, Port::Switched));
            self.driver_for(loom, output);
        }
        id
    }

    /// A driver in the unit or module that switches this pin.
    fn driver_for(&mut self, loom: &mut Loom, output: Terminal) {
        let mut driver = self.driver();
        if let Port::Pin(pin) = output.port {
            driver.output = Some(self.fact(pin));
        }
        if self.dice.often(40) {
            let ground = self.pin(loom.driving, PinRole::Ground);
            let to = self.dice.pick(&loom.grounds);
            self.run(loom, ground, to);
            if let Port::Pin(pin) = ground.port {
                driver.ground = Some(self.fact(pin));
            }
        }
        if loom.site == DriverSite::Module {
            let drive = self.pin(loom.driving, PinRole::DriveIn);
            let signal = self.pin(loom.unit, PinRole::DriveOut);
            self.run(loom, signal, drive);
            if let Port::Pin(pin) = drive.port {
                driver.drive = Some(self.fact(pin));
            }
        }
        if let Some(Part {
            kind: PartKind::ControlUnit(unit),
            ..
        }) = self.harness.parts.get_mut(&loom.driving)
        {
            unit.drivers.push(driver);
        }
    }

    fn plug(&mut self, cylinder: CylinderId) -> Terminal {
        let plug = Plug {
            cylinder: Some(self.fact(cylinder)),
            gap: self.perhaps(Millimetres::lit(0.8)),
            resistor: self.perhaps(Ohms::lit(5000.0)),
        };
        let id = self.part(format!("Plug {cylinder}"), PartKind::Plug(plug));
        at(id, Port::PlugTop)
    }

    fn lead(&mut self, kind: LeadKind, from: Terminal, to: Terminal) {
        let lead = Lead {
            kind,
            from: Some(self.fact(from)),
            to: Some(self.fact(to)),
            resistance: self.perhaps(Ohms::lit(4700.0)),
        };
        self.part("Lead", PartKind::Lead(lead));
    }

    fn single(&mut self, loom: &mut Loom, cylinder: CylinderId) {
        let secondary = self.dice.pick(&[
            Secondary::ReturnsToFeed,
            Secondary::ReturnsToGround,
            Secondary::ReturnsToFeed,
        ]);
        let coil = self.coil(loom, secondary);
        let plug = self.plug(cylinder);
        let kind = self.dice.pick(&[LeadKind::Lead, LeadKind::Boot]);
        self.lead(kind, at(coil, Port::TowerA), plug);
    }

    fn shared(&mut self, loom: &mut Loom, cylinders: &[CylinderId]) {
        let companions = self.harness.engine.companions();
        let mut open = cylinders.to_vec();
        while let Some(cylinder) = open.pop() {
            let companion = companions.of(cylinder).find(|other| open.contains(other));
            if let Some(companion) = companion {
                open.retain(|other| *other != companion);
                let coil = self.coil(loom, Secondary::TwoEnded);
                for (port, cylinder) in [(Port::TowerA, cylinder), (Port::TowerB, companion)] {
                    let plug = self.plug(cylinder);
                    self.lead(LeadKind::Lead, at(coil, port), plug);
                }
            } else {
                self.single(loom, cylinder);
            }
        }
    }

    fn distributor(&mut self, loom: &mut Loom, cylinders: &[CylinderId]) {
        let coil = self.coil(loom, Secondary::ReturnsToFeed);
        let towers = cylinders.to_vec();
        let distributor = Distributor { towers };
        let id = self.part("Distributor", PartKind::Distributor(distributor));
        self.lead(LeadKind::Lead, at(coil, Port::TowerA), at(id, Port::Centre));
        for cylinder in cylinders {
            let plug = self.plug(*cylinder);
            self.lead(LeadKind::Lead, at(id, Port::Tower(*cylinder)), plug);
        }
    }

    fn injector(&mut self, loom: &mut Loom, cylinder: CylinderId) {
        let injector = Injector {
            cylinder: Some(self.fact(cylinder)),
            winding: self.perhaps(Ohms::lit(14.0)),
        };
        let id = self.part(format!("Injector {cylinder}"), PartKind::Injector(injector));
        let feed = self.dice.pick(&loom.feeds);
        self.run(loom, feed, at(id, Port::InjectorFeed));
        let pin = self.pin(loom.unit, PinRole::InjectorSwitch);
        self.run(loom, pin, at(id, Port::InjectorControl));
    }
}

const fn at(part: PartId, port: Port) -> Terminal {
    Terminal { part, port }
}
