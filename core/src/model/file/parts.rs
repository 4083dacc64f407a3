//! Parts in the file.

use super::piece::{Fields, Record, choice, words};
use super::plain::Row;
use crate::model::{
    Age, Battery, Cavity, CavityId, Coil, Connector, ControlUnit, Distributor, DrawnAt, Driver,
    DriverId, Exposure, Fuse, GroundSite, Injector, Lead, LeadKind, Part, PartId, PartKind, Pin,
    PinId, PinRole, Plug, Relay, Secondary, UnitRole,
};

impl Record for Row<PartId, Part> {
    const NAME: Option<&'static str> = Some("part");
    const SAYS: &'static str = "A part of the car.";

    fn blank() -> Self {
        Self {
            id: PartId::from_number(0),
            row: Part::new("", PartKind::Splice),
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.id(&mut self.id);
        fields.host(self.id.number());
        let part = &mut self.row;
        fields.must("name", &mut part.name, "What the owner calls it.");
        fields.choice(&mut part.kind, "What it is.");
        fields.unless_usual(
            "place",
            &mut part.place.text,
            "Where it sits, in the owner's words.",
        );
        fields.option(
            "reach_minutes",
            &mut part.place.reach,
            "Time to get at it and close up again.",
        );
        fields.unless_usual("age", &mut part.condition.age, "How old it is.");
        fields.unless_usual(
            "exposure",
            &mut part.condition.exposure,
            "What it lives in.",
        );
        fields.prose("note", &mut part.note, "Anything else worth keeping.");
        fields.option(
            "drawn_at",
            &mut part.drawn_at,
            "Where the owner put it on the map.",
        );
    }
}

choice!(PartKind by "kind" {
    Self::Battery(_) = "battery": Self::Battery(Battery::default()),
    Self::Fuse(_) = "fuse": Self::Fuse(Fuse::default()),
    Self::KeySwitch = "key_switch": Self::KeySwitch,
    Self::Relay(_) = "relay": Self::Relay(Relay::default()),
    Self::Splice = "splice": Self::Splice,
    Self::Ground(_) = "ground": Self::Ground(GroundSite::Engine),
    Self::Connector(_) = "connector": Self::Connector(Connector::default()),
    Self::ControlUnit(_) = "control_unit": Self::ControlUnit(ControlUnit {
        role: UnitRole::EngineControl,
        pins: Vec::new(),
        drivers: Vec::new(),
    }),
    Self::Coil(_) = "coil": Self::Coil(Coil::new(Secondary::TwoEnded)),
    Self::Pack = "pack": Self::Pack,
    Self::Distributor(_) = "distributor": Self::Distributor(Distributor::default()),
    Self::Lead(_) = "lead": Self::Lead(Lead {
        kind: LeadKind::Lead,
        from: None,
        to: None,
        resistance: None,
    }),
    Self::Plug(_) = "plug": Self::Plug(Plug::default()),
    Self::Injector(_) = "injector": Self::Injector(Injector::default()),
} visit(self, fields) {
    match self {
        Self::Battery(battery) => {
            fields.option("volts", &mut battery.voltage, "Voltage at rest.");
            fields.option("inner_ohms", &mut battery.resistance, "Inner resistance.");
        }
        Self::Fuse(fuse) => fields.option("rating_amps", &mut fuse.rating, "Rated current."),
        Self::KeySwitch | Self::Splice | Self::Pack => {}
        Self::Relay(relay) => {
            fields.option("winding_ohms", &mut relay.winding, "Resistance of its winding, 85 to 86.");
        }
        Self::Ground(site) => fields.must("site", site, "Which metal it stands on."),
        Self::Connector(connector) => {
            fields.unless_usual("cavities", &mut connector.cavities, "Its cavities.");
        }
        Self::ControlUnit(unit) => {
            fields.must("role", &mut unit.role, "What kind of box it is.");
            fields.unless_usual("pins", &mut unit.pins, "Its pins.");
            fields.unless_usual("drivers", &mut unit.drivers, "The drivers inside it.");
        }
        Self::Coil(coil) => visit_coil(coil, fields),
        Self::Distributor(distributor) => fields.must(
            "towers",
            &mut distributor.towers,
            "The cylinder that each tower is meant for, in the order of the cap.",
        ),
        Self::Lead(lead) => {
            fields.must("lead_kind", &mut lead.kind, "A plug lead, or the boot of a coil on its plug.");
            fields.option("from", &mut lead.from, "The tower it comes from.");
            fields.option("to", &mut lead.to, "What it feeds.");
            fields.option("ohms", &mut lead.resistance, "Resistance end to end.");
        }
        Self::Plug(plug) => {
            fields.option("cylinder", &mut plug.cylinder, "The cylinder it is screwed into.");
            fields.option("gap_mm", &mut plug.gap, "Its gap.");
            fields.option("resistor_ohms", &mut plug.resistor, "Its built-in resistor.");
        }
        Self::Injector(injector) => {
            fields.option("cylinder", &mut injector.cylinder, "The cylinder it feeds.");
            fields.option("winding_ohms", &mut injector.winding, "Resistance of its winding.");
        }
    }
});

fn visit_coil<V: Fields>(coil: &mut Coil, fields: &mut V) {
    fields.must(
        "secondary",
        &mut coil.secondary,
        "How its secondary is brought out.",
    );
    fields.option(
        "driver",
        &mut coil.driver,
        "Its driver, where that sits inside the coil.",
    );
    fields.option(
        "pack",
        &mut coil.pack,
        "The housing it shares with other coils.",
    );
    fields.option(
        "primary_ohms",
        &mut coil.primary_resistance,
        "Resistance 1 to 15.",
    );
    fields.option(
        "primary_henries",
        &mut coil.primary_inductance,
        "Inductance 1 to 15.",
    );
    fields.option(
        "secondary_ohms",
        &mut coil.secondary_resistance,
        "Resistance of the secondary.",
    );
    fields.option(
        "turns_ratio",
        &mut coil.turns_ratio,
        "Secondary turns for each primary turn.",
    );
}

impl Record for Cavity {
    const NAME: Option<&'static str> = Some("cavity");
    const SAYS: &'static str = "One cavity of a connector.";

    fn blank() -> Self {
        Self {
            id: CavityId::from_number(0),
            label: None,
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.id(&mut self.id);
        fields.option(
            "label",
            &mut self.label,
            "The number or letter moulded beside it.",
        );
    }
}

impl Record for Pin {
    const NAME: Option<&'static str> = Some("pin");
    const SAYS: &'static str = "A pin of a control unit.";

    fn blank() -> Self {
        Self {
            id: PinId::from_number(0),
            label: None,
            role: None,
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.id(&mut self.id);
        fields.option("label", &mut self.label, "Its number or letter.");
        fields.option("role", &mut self.role, "What it is for.");
    }
}

impl Record for Driver {
    const NAME: Option<&'static str> = Some("driver");
    const SAYS: &'static str = "The transistor that switches one coil, with its surroundings.";

    fn blank() -> Self {
        Self::new(DriverId::from_number(0), "")
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.id(&mut self.id);
        fields.must("name", &mut self.name, "What the owner calls it.");
        fields.option("output_pin", &mut self.output, "The pin that it switches.");
        fields.option(
            "ground_pin",
            &mut self.ground,
            "The ground pin that it uses.",
        );
        fields.option(
            "drive_pin",
            &mut self.drive,
            "The pin on which it is told to switch.",
        );
        fields.option(
            "on_volts",
            &mut self.on_voltage,
            "Fixed voltage across it when on.",
        );
        fields.option(
            "on_ohms",
            &mut self.on_resistance,
            "Slope resistance when on.",
        );
    }
}

impl Record for DrawnAt {
    const NAME: Option<&'static str> = None;
    const SAYS: &'static str = "A place on the map.";

    fn blank() -> Self {
        Self { x: 0.0, y: 0.0 }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.must("x", &mut self.x, "To the right.");
        fields.must("y", &mut self.y, "Downward.");
    }
}

words!(Age, "age" {
    Age::Unknown = "unknown",
    Age::New = "new",
    Age::Old = "old",
});

words!(Exposure, "exposure" {
    Exposure::Unknown = "unknown",
    Exposure::Dry = "dry",
    Exposure::Wet = "wet",
});

words!(GroundSite, "ground_site" {
    GroundSite::Engine = "engine",
    GroundSite::Body = "body",
});

words!(UnitRole, "unit_role" {
    UnitRole::EngineControl = "engine_control",
    UnitRole::IgnitionModule = "ignition_module",
});

words!(PinRole, "pin_role" {
    PinRole::CoilSwitch = "coil_switch",
    PinRole::DriveOut = "drive_out",
    PinRole::DriveIn = "drive_in",
    PinRole::Supply = "supply",
    PinRole::Ground = "ground",
    PinRole::InjectorSwitch = "injector_switch",
    PinRole::RelaySwitch = "relay_switch",
    PinRole::SensorIn = "sensor_in",
    PinRole::Other = "other",
});

words!(Secondary, "secondary" {
    Secondary::TwoEnded = "two_ended",
    Secondary::ReturnsToFeed = "returns_to_feed",
    Secondary::ReturnsToGround = "returns_to_ground",
});

words!(LeadKind, "lead_kind" {
    LeadKind::Lead = "lead",
    LeadKind::Boot = "boot",
});
