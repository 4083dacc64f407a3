//! Parts in the file.

use super::piece::{Blank, Fields, Record, choice, words};
use super::plain::Row;
use crate::model::{
    Age, Battery, Cavity, CavityId, Coil, Connector, ControlUnit, Distributor, DrawnAt, Driver,
    DriverId, Exposure, Fuse, GroundSite, Injector, Lead, LeadKind, Part, PartId, PartKind, Pin,
    PinId, PinRole, Plug, Relay, Secondary, UnitRole,
};

impl Blank for Row<PartId, Part> {
    fn blank() -> Self {
        Self {
            id: PartId::from_number(0),
            row: Part::new("", PartKind::Splice),
        }
    }
}

impl Record for Row<PartId, Part> {
    const SAYS: (&'static str, &'static str) = ("part", "A part of the car.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.id(&mut self.id);
        fields.host(self.id.number());
        let part = &mut self.row;
        fields.must("name", &mut part.name, "What the owner calls it.");
        fields.one_of(&mut part.kind, "What it is.");
        fields.maybe(
            "place",
            &mut part.place.text,
            "Where it sits, in the owner's words.",
        );
        fields.maybe(
            "reach_minutes",
            &mut part.place.reach,
            "Time to get at it and close up again.",
        );
        fields.maybe("age", &mut part.condition.age, "How old it is.");
        fields.maybe(
            "exposure",
            &mut part.condition.exposure,
            "What it lives in.",
        );
        fields.text("note", &mut part.note, "Anything else worth keeping.");
        fields.maybe(
            "drawn_at",
            &mut part.drawn_at,
            "Where the owner put it on the map.",
        );
        fields.maybe(
            "face",
            &mut part.face,
            "How the cavities of its connector stand.",
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
    Self::ControlUnit(_) = "control_unit": Self::ControlUnit(ControlUnit::new(UnitRole::EngineControl)),
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
            fields.maybe("volts", &mut battery.voltage, "Voltage at rest.");
            fields.maybe("inner_ohms", &mut battery.resistance, "Inner resistance.");
        }
        Self::Fuse(fuse) => fields.maybe("rating_amps", &mut fuse.rating, "Rated current."),
        Self::KeySwitch | Self::Splice | Self::Pack => {}
        Self::Relay(relay) => {
            fields.maybe("winding_ohms", &mut relay.winding, "Resistance of its winding, 85 to 86.");
        }
        Self::Ground(site) => fields.must("site", site, "Which metal it stands on."),
        Self::Connector(connector) => {
            fields.maybe("cavities", &mut connector.cavities, "Its cavities.");
        }
        Self::ControlUnit(unit) => {
            fields.must("role", &mut unit.role, "What kind of box it is.");
            fields.maybe("pins", &mut unit.pins, "Its pins.");
            fields.maybe("drivers", &mut unit.drivers, "The drivers inside it.");
            fields.maybe(
                "pull_up_ohms",
                &mut unit.pull_up,
                "Resistor from each coil output to its supply.",
            );
            fields.maybe(
                "pull_down_ohms",
                &mut unit.pull_down,
                "Resistor from each coil output to its ground.",
            );
        }
        Self::Coil(coil) => visit_coil(coil, fields),
        Self::Distributor(distributor) => fields.must(
            "towers",
            &mut distributor.towers,
            "The cylinder that each tower is meant for, in the order of the cap.",
        ),
        Self::Lead(lead) => {
            fields.must("lead_kind", &mut lead.kind, "A plug lead, or the boot of a coil on its plug.");
            fields.maybe("from", &mut lead.from, "The tower it comes from.");
            fields.maybe("to", &mut lead.to, "What it feeds.");
            fields.maybe("ohms", &mut lead.resistance, "Resistance end to end.");
        }
        Self::Plug(plug) => {
            fields.maybe("cylinder", &mut plug.cylinder, "The cylinder it is screwed into.");
            fields.maybe("gap_mm", &mut plug.gap, "Its gap.");
            fields.maybe("resistor_ohms", &mut plug.resistor, "Its built-in resistor.");
        }
        Self::Injector(injector) => {
            fields.maybe("cylinder", &mut injector.cylinder, "The cylinder it feeds.");
            fields.maybe("winding_ohms", &mut injector.winding, "Resistance of its winding.");
        }
    }
});

fn visit_coil(coil: &mut Coil, fields: &mut dyn Fields) {
    fields.must(
        "secondary",
        &mut coil.secondary,
        "How its secondary is brought out.",
    );
    fields.maybe(
        "driver",
        &mut coil.driver,
        "Its driver, where that sits inside the coil.",
    );
    fields.maybe(
        "pack",
        &mut coil.pack,
        "The housing it shares with other coils.",
    );
    fields.maybe(
        "primary_ohms",
        &mut coil.primary_resistance,
        "Resistance 1 to 15.",
    );
    fields.maybe(
        "primary_henries",
        &mut coil.primary_inductance,
        "Inductance 1 to 15.",
    );
    fields.maybe(
        "secondary_ohms",
        &mut coil.secondary_resistance,
        "Resistance of the secondary.",
    );
    fields.maybe(
        "turns_ratio",
        &mut coil.turns_ratio,
        "Secondary turns for each primary turn.",
    );
}

impl Blank for Cavity {
    fn blank() -> Self {
        Self {
            id: CavityId::from_number(0),
            label: None,
        }
    }
}

impl Record for Cavity {
    const SAYS: (&'static str, &'static str) = ("cavity", "One cavity of a connector.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.id(&mut self.id);
        fields.maybe(
            "label",
            &mut self.label,
            "The number or letter moulded beside it.",
        );
    }
}

impl Blank for Pin {
    fn blank() -> Self {
        Self {
            id: PinId::from_number(0),
            label: None,
            role: None,
            note: String::new(),
        }
    }
}

impl Record for Pin {
    const SAYS: (&'static str, &'static str) = ("pin", "A pin of a control unit.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.id(&mut self.id);
        fields.maybe("label", &mut self.label, "Its number or letter.");
        fields.maybe("role", &mut self.role, "What it is for.");
        fields.text("note", &mut self.note, "Anything else worth keeping.");
    }
}

impl Blank for Driver {
    fn blank() -> Self {
        Self::new(DriverId::from_number(0), "")
    }
}

impl Record for Driver {
    const SAYS: (&'static str, &'static str) = (
        "driver",
        "The transistor that switches one coil, with its surroundings.",
    );

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.id(&mut self.id);
        fields.must("name", &mut self.name, "What the owner calls it.");
        fields.maybe("output_pin", &mut self.output, "The pin that it switches.");
        fields.maybe(
            "ground_pin",
            &mut self.ground,
            "The ground pin that it uses.",
        );
        fields.maybe(
            "drive_pin",
            &mut self.drive,
            "The pin on which it is told to switch.",
        );
        fields.maybe(
            "on_volts",
            &mut self.on_voltage,
            "Fixed voltage across it when on.",
        );
        fields.maybe(
            "on_ohms",
            &mut self.on_resistance,
            "Slope resistance when on.",
        );
    }
}

impl Blank for DrawnAt {
    fn blank() -> Self {
        Self { x: 0.0, y: 0.0 }
    }
}

impl Record for DrawnAt {
    const SAYS: (&'static str, &'static str) = ("", "A place on the map.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.must("x", &mut self.x, "To the right.");
        fields.must("y", &mut self.y, "Downward.");
    }
}

words!(Age, "age", usual Age::Unknown, {
    Age::Unknown = "unknown",
    Age::New = "new",
    Age::Old = "old",
});

words!(Exposure, "exposure", usual Exposure::Unknown, {
    Exposure::Unknown = "unknown",
    Exposure::Dry = "dry",
    Exposure::Wet = "wet",
});

words!(GroundSite, "ground_site", {
    GroundSite::Engine = "engine",
    GroundSite::Body = "body",
});

words!(UnitRole, "unit_role", {
    UnitRole::EngineControl = "engine_control",
    UnitRole::IgnitionModule = "ignition_module",
});

words!(PinRole, "pin_role", {
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

words!(Secondary, "secondary", {
    Secondary::TwoEnded = "two_ended",
    Secondary::ReturnsToFeed = "returns_to_feed",
    Secondary::ReturnsToGround = "returns_to_ground",
});

words!(LeadKind, "lead_kind", {
    LeadKind::Lead = "lead",
    LeadKind::Boot = "boot",
});
