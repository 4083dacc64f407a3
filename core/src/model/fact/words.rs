//! What a fact is called and what it says, with the owner's names for things.

use super::{FactAt, FactValue};
use crate::engine::Firing;
use crate::model::{Harness, PartId, PinRole, Port, Terminal, WireEnd, WireSize};

impl Harness {
    /// A fact as people say it: "the colour of GN/WH wire Unit · pin 12 → Coil B · 1".
    #[must_use]
    pub fn fact_name(&self, at: FactAt) -> String {
        let part = |what: &str, id| format!("the {what} of {}", self.part_name(id));
        let wire = |what: &str, id| format!("the {what} of {}", self.wire_name(id));
        let driver = |what: &str, id| {
            let name = self.driver(id).map_or("a driver", |d| d.name.as_str());
            format!("the {what} of {name}")
        };
        match at {
            FactAt::FiringOrder => "the firing order".into(),
            FactAt::FiringAngles => "the crank angles".into(),
            FactAt::WireEnd(id, WireEnd::From) => wire("first end", id),
            FactAt::WireEnd(id, WireEnd::To) => wire("far end", id),
            FactAt::WireColour(id) => wire("colour", id),
            FactAt::WireSize(id) => wire("size", id),
            FactAt::WireLength(id) => wire("length", id),
            FactAt::PinLabel(id, pin) => pin_words(self, "number", id, Port::Pin(pin)),
            FactAt::PinRole(id, pin) => pin_words(self, "use", id, Port::Pin(pin)),
            FactAt::CavityLabel(id, cavity) => {
                let label = self
                    .cavity(id, cavity)
                    .and_then(|c| c.label.as_ref())
                    .map_or("?", |label| label.value.as_str());
                format!("the number of {} · cavity {label}", self.part_name(id))
            }
            FactAt::DriverOutput(id) => driver("output pin", id),
            FactAt::DriverGround(id) => driver("ground pin", id),
            FactAt::DriverDrive(id) => driver("drive pin", id),
            FactAt::DriverOnVoltage(id) => driver("voltage when on", id),
            FactAt::DriverOnResistance(id) => driver("resistance when on", id),
            FactAt::BatteryVoltage(id) => part("voltage", id),
            FactAt::BatteryResistance(id) => part("inner resistance", id),
            FactAt::FuseRating(id) => part("rating", id),
            FactAt::RelayWinding(id) => part("winding", id),
            FactAt::PrimaryResistance(id) => part("primary resistance", id),
            FactAt::PrimaryInductance(id) => part("primary inductance", id),
            FactAt::SecondaryResistance(id) => part("secondary resistance", id),
            FactAt::TurnsRatio(id) => part("turns ratio", id),
            FactAt::LeadFrom(id) => part("coil end", id),
            FactAt::LeadTo(id) => part("plug end", id),
            FactAt::LeadResistance(id) => part("resistance", id),
            FactAt::PlugCylinder(id) | FactAt::InjectorCylinder(id) => part("cylinder", id),
            FactAt::PlugGap(id) => part("gap", id),
            FactAt::PlugResistor(id) => part("resistor", id),
            FactAt::InjectorWinding(id) => part("winding", id),
            FactAt::PullUp(id) => part("test resistor to supply", id),
            FactAt::PullDown(id) => part("test resistor to ground", id),
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
                1.. => format!("AWG {gauge}"),
                _large => format!("AWG {}/0", 1 - i16::from(*gauge)),
            },
            FactValue::Colour(colour) => colour.code(),
            FactValue::Terminal(terminal) => self.terminal_name(*terminal),
            FactValue::Label(label) => label.clone(),
            FactValue::Role(role) => role.phrase().into(),
            FactValue::Cylinder(cylinder) => format!("cylinder {cylinder}"),
            FactValue::Order(order) => {
                let order: Vec<String> = order.iter().map(ToString::to_string).collect();
                order.join("-")
            }
            FactValue::Firing(Firing::Even) => "even".into(),
            FactValue::Firing(Firing::At(angles)) => {
                let angles: Vec<String> = angles.iter().map(|a| format!("{}°", a.get())).collect();
                angles.join(", ")
            }
        }
    }
}

fn pin_words(harness: &Harness, what: &str, part: PartId, port: Port) -> String {
    format!(
        "the {what} of {}",
        harness.terminal_name(Terminal { part, port })
    )
}

impl PinRole {
    /// What a pin is for, in a few words.
    #[must_use]
    pub const fn phrase(self) -> &'static str {
        match self {
            Self::CoilSwitch => "switches a coil",
            Self::DriveOut => "drive signal out",
            Self::DriveIn => "drive signal in",
            Self::Supply => "supply",
            Self::Ground => "ground",
            Self::InjectorSwitch => "switches an injector",
            Self::RelaySwitch => "switches a relay",
            Self::SensorIn => "sensor in",
            Self::Other => "something else",
        }
    }
}
