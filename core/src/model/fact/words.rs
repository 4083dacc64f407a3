//! What a fact is called and what it says, with the owner's names for things.

use super::{FactAt, FactValue};
use crate::engine::Firing;
use crate::model::{Harness, PartId, PinRole, Port, Terminal, WireEnd, WireSize};
use crate::said::{said, say};

impl Harness {
    /// A fact as people say it: "the colour of GN/WH wire Unit · pin 12 → Coil B · 1".
    #[must_use]
    pub fn fact_name(&self, at: FactAt) -> String {
        let part = |what: &str, id| say!("the {what} of {}", self.part_name(id));
        let wire = |what: &str, id| say!("the {what} of {}", self.wire_name(id));
        let driver = |what: &str, id| {
            let name = self
                .driver(id)
                .map_or_else(|| said("a driver"), |d| d.name.as_str());
            say!("the {what} of {name}")
        };
        match at {
            FactAt::FiringOrder => say!("the firing order"),
            FactAt::FiringAngles => say!("the crank angles"),
            FactAt::WireEnd(id, WireEnd::From) => wire(said("first end"), id),
            FactAt::WireEnd(id, WireEnd::To) => wire(said("far end"), id),
            FactAt::WireColour(id) => wire(said("colour"), id),
            FactAt::WireSize(id) => wire(said("size"), id),
            FactAt::WireLength(id) => wire(said("length"), id),
            FactAt::PinLabel(id, pin) => pin_words(self, said("number"), id, Port::Pin(pin)),
            FactAt::PinRole(id, pin) => pin_words(self, said("use"), id, Port::Pin(pin)),
            FactAt::CavityLabel(id, cavity) => {
                let label = self
                    .cavity(id, cavity)
                    .and_then(|c| c.label.as_ref())
                    .map_or("?", |label| label.value.as_str());
                say!("the number of {} · cavity {label}", self.part_name(id))
            }
            FactAt::DriverOutput(id) => driver(said("output pin"), id),
            FactAt::DriverGround(id) => driver(said("ground pin"), id),
            FactAt::DriverDrive(id) => driver(said("drive pin"), id),
            FactAt::DriverOnVoltage(id) => driver(said("voltage when on"), id),
            FactAt::DriverOnResistance(id) => driver(said("resistance when on"), id),
            FactAt::BatteryVoltage(id) => part(said("voltage"), id),
            FactAt::BatteryResistance(id) => part(said("inner resistance"), id),
            FactAt::FuseRating(id) => part(said("rating"), id),
            FactAt::RelayWinding(id) => part(said("winding"), id),
            FactAt::PrimaryResistance(id) => part(said("primary resistance"), id),
            FactAt::PrimaryInductance(id) => part(said("primary inductance"), id),
            FactAt::SecondaryResistance(id) => part(said("secondary resistance"), id),
            FactAt::TurnsRatio(id) => part(said("turns ratio"), id),
            FactAt::LeadFrom(id) => part(said("coil end"), id),
            FactAt::LeadTo(id) => part(said("plug end"), id),
            FactAt::LeadResistance(id) => part(said("resistance"), id),
            FactAt::PlugCylinder(id) | FactAt::InjectorCylinder(id) => part(said("cylinder"), id),
            FactAt::PlugGap(id) => part(said("gap"), id),
            FactAt::PlugResistor(id) => part(said("resistor"), id),
            FactAt::InjectorWinding(id) => part(said("winding"), id),
            FactAt::PullUp(id) => part(said("test resistor to supply"), id),
            FactAt::PullDown(id) => part(said("test resistor to ground"), id),
        }
    }

    /// What a fact says, as people say it: "GN/WH", "Control unit · pin 12", "0.85 mm".
    #[must_use]
    pub fn value_name(&self, at: FactAt, value: &FactValue) -> String {
        match value {
            FactValue::Number(number) => {
                let unit = at.quantity().map_or("", |quantity| quantity.range().unit);
                format!("{number} {unit}").trim_end().to_owned()
            }
            FactValue::Size(WireSize::Area(area)) => format!("{} mm²", area.get()),
            FactValue::Size(WireSize::Awg(gauge)) => match gauge {
                1.. => say!("AWG {gauge}"),
                _large => say!("AWG {}/0", 1 - i16::from(*gauge)),
            },
            FactValue::Colour(colour) => colour.code(),
            FactValue::Terminal(terminal) => self.terminal_name(*terminal),
            FactValue::Label(label) => label.clone(),
            FactValue::Role(role) => role.phrase().into(),
            FactValue::Cylinder(cylinder) => say!("cylinder {cylinder}"),
            FactValue::Order(order) => {
                let order: Vec<String> = order.iter().map(ToString::to_string).collect();
                order.join("-")
            }
            FactValue::Firing(Firing::Even) => say!("even"),
            FactValue::Firing(Firing::At(angles)) => {
                let angles: Vec<String> = angles.iter().map(|a| format!("{}°", a.get())).collect();
                angles.join(", ")
            }
        }
    }
}

fn pin_words(harness: &Harness, what: &str, part: PartId, port: Port) -> String {
    say!(
        "the {what} of {}",
        harness.terminal_name(Terminal { part, port })
    )
}

impl PinRole {
    /// What a pin is for, in a few words.
    #[must_use]
    pub fn phrase(self) -> &'static str {
        said(match self {
            Self::CoilSwitch => "switches a coil",
            Self::DriveOut => "drive signal out",
            Self::DriveIn => "drive signal in",
            Self::Supply => "supply",
            Self::Ground => "ground",
            Self::InjectorSwitch => "switches an injector",
            Self::RelaySwitch => "switches a relay",
            Self::SensorIn => "sensor in",
            Self::Other => "something else",
        })
    }
}
