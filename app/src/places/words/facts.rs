//! Words for what is known of parts, wires and cylinders.

use sparktrail_core::engine::{CylinderId, Layout, Strokes};
use sparktrail_core::model::{
    Age, Exposure, GroundSite, LeadKind, PartKind, PinRole, Secondary, UnitRole, Wire, WireColour,
    WireSize, apart,
};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::units::{Amps, Henries, Metres, Millimetres, Ohms, Volts};

/// Nobody has told yet.
pub const UNKNOWN: &str = "not known yet";
/// How a fact is known, as the label of its choice.
pub const HOW: &str = "How this is known";
/// Heading over the facts.
pub const FACTS: &str = "What is known";

/// Terms, in the order of the parts.
pub const PLACE: &str = "Where it sits";
/// What the owner wrote beside it.
pub const NOTE: &str = "Note";
/// How old it is.
pub const AGE: &str = "Age";
/// What it lives in.
pub const EXPOSURE: &str = "Surroundings";
/// Battery voltage.
pub const VOLTAGE: &str = "Voltage at rest";
/// Battery resistance.
pub const INNER: &str = "Inner resistance";
/// Fuse.
pub const RATING: &str = "Rating";
/// Relay and injector.
pub const WINDING: &str = "Winding";
/// Unit: by which it sees that a coil hangs on its pin.
pub const PULL_UP: &str = "Test resistor, coil pins to supply";
/// Unit: the same to ground.
pub const PULL_DOWN: &str = "Test resistor, coil pins to ground";
/// Coil.
pub const PRIMARY: &str = "Primary, 1 to 15";
/// Coil.
pub const INDUCTANCE: &str = "Primary inductance";
/// Coil.
pub const SECONDARY: &str = "Secondary";
/// Coil.
pub const TURNS: &str = "Turns ratio";
/// Coil.
pub const SHAPE: &str = "Built as";
/// Coil.
pub const PACK: &str = "Housed in";
/// Driver.
pub const DRIVER: &str = "Driver";
/// Driver.
pub const OUTPUT: &str = "Switches";
/// Driver.
pub const GROUND: &str = "Ground by";
/// Driver.
pub const DRIVE: &str = "Told to switch by";
/// Driver.
pub const ON_VOLTAGE: &str = "Voltage when on";
/// Driver.
pub const ON_RESISTANCE: &str = "Resistance when on";
/// Wire and lead.
pub const FROM: &str = "From";
/// Wire and lead.
pub const TO: &str = "To";
/// Wire.
pub const COLOUR: &str = "Colour";
/// Wire.
pub const SIZE: &str = "Size";
/// Wire.
pub const LENGTH: &str = "Length";
/// Lead.
pub const RESISTANCE: &str = "Resistance";
/// Plug and injector.
pub const CYLINDER: &str = "Cylinder";
/// Plug.
pub const GAP: &str = "Gap";
/// Plug.
pub const RESISTOR: &str = "Built-in resistor";
/// Connector.
pub const CAVITIES: &str = "Cavities";
/// Distributor.
pub const TOWERS: &str = "Towers";
/// Pin or cavity.
pub const LABEL: &str = "Number";
/// Pin.
pub const ROLE: &str = "Used for";
/// Terminal.
pub const PART: &str = "On";
/// Cylinder.
pub const BANK: &str = "Bank";
/// Cylinder.
pub const FIRES: &str = "Fires at";
/// Cylinder.
pub const COMPANIONS: &str = "Up together with";
/// Engine.
pub const ORDER: &str = "Firing order";
/// Engine.
pub const LAYOUT: &str = "Engine";
/// The driver is told by the unit it sits in.
pub const OWN_LOGIC: &str = "logic of the same unit";
/// The driver has no ground pin of its own.
pub const BOARD_GROUND: &str = "common ground of the board";
/// No cylinder is up together with this one.
pub const NONE: &str = "none";

/// How a fact is known.
#[must_use]
pub const fn provenance(how: Provenance) -> &'static str {
    match how {
        Provenance::Assumed => "assumed",
        Provenance::Diagram => "from a diagram",
        Provenance::Measured => "measured",
    }
}

/// How a fact is known, where there is little room.
#[must_use]
pub const fn provenance_short(how: Provenance) -> &'static str {
    match how {
        Provenance::Assumed => "assumed",
        Provenance::Diagram => "diagram",
        Provenance::Measured => "measured",
    }
}

/// What a part is.
#[must_use]
pub const fn kind(kind: &PartKind) -> &'static str {
    match kind {
        PartKind::Battery(_) => "Battery",
        PartKind::Fuse(_) => "Fuse",
        PartKind::KeySwitch => "Ignition switch",
        PartKind::Relay(_) => "Relay",
        PartKind::Splice => "Splice",
        PartKind::Ground(GroundSite::Engine) => "Ground point on the engine",
        PartKind::Ground(GroundSite::Body) => "Ground point on the body",
        PartKind::Connector(_) => "In-line connector",
        PartKind::ControlUnit(unit) => match unit.role {
            UnitRole::EngineControl => "Control unit",
            UnitRole::IgnitionModule => "Ignition module",
        },
        PartKind::Coil(_) => "Ignition coil",
        PartKind::Pack => "Coil pack",
        PartKind::Distributor(_) => "Distributor",
        PartKind::Lead(lead) => match lead.kind {
            LeadKind::Lead => "Plug lead",
            LeadKind::Boot => "Coil boot",
        },
        PartKind::Plug(_) => "Spark plug",
        PartKind::Injector(_) => "Injector",
    }
}

/// Parts of one kind, as the heading of a list.
#[must_use]
pub const fn kinds(kind: &PartKind) -> &'static str {
    match kind {
        PartKind::Battery(_) | PartKind::Fuse(_) | PartKind::KeySwitch | PartKind::Relay(_) => {
            "Supply"
        }
        PartKind::Splice | PartKind::Ground(_) | PartKind::Connector(_) => {
            "Splices, connectors, grounds"
        }
        PartKind::ControlUnit(_) => "Control units",
        PartKind::Coil(_) | PartKind::Pack => "Coils",
        PartKind::Distributor(_) | PartKind::Lead(_) | PartKind::Plug(_) => "Leads and plugs",
        PartKind::Injector(_) => "Injectors",
    }
}

/// How a coil's secondary is brought out.
#[must_use]
pub const fn secondary(secondary: Secondary) -> &'static str {
    match secondary {
        Secondary::TwoEnded => "double-ended: fires two plugs",
        Secondary::ReturnsToFeed => "single, secondary joined to 15",
        Secondary::ReturnsToGround => "single, secondary returned to ground",
    }
}

/// What a pin is for.
#[must_use]
pub const fn role(role: PinRole) -> &'static str {
    match role {
        PinRole::CoilSwitch => "switching a coil",
        PinRole::DriveOut => "telling a driver elsewhere to switch",
        PinRole::DriveIn => "being told to switch",
        PinRole::Supply => "supply of the unit",
        PinRole::Ground => "ground of the unit",
        PinRole::InjectorSwitch => "opening an injector",
        PinRole::RelaySwitch => "pulling in a relay",
        PinRole::SensorIn => "a sensor’s signal",
        PinRole::Other => "something else",
    }
}

/// How old a part is.
#[must_use]
pub const fn age(age: Age) -> Option<&'static str> {
    match age {
        Age::Unknown => None,
        Age::New => Some("fitted lately"),
        Age::Old => Some("as old as the car"),
    }
}

/// What a part lives in.
#[must_use]
pub const fn exposure(exposure: Exposure) -> Option<&'static str> {
    match exposure {
        Exposure::Unknown => None,
        Exposure::Dry => Some("dry"),
        Exposure::Wet => Some("water gets at it"),
    }
}

/// A number with no more digits than it needs.
fn short(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A resistance in the unit people use for its size.
#[must_use]
pub fn ohms(value: Ohms) -> String {
    let size = value.abs().get();
    if size >= 1e6 {
        format!("{} MΩ", short(value.get() / 1e6))
    } else if size >= 1e3 {
        format!("{} kΩ", short(value.get() / 1e3))
    } else if size > 0.0 && size < 0.1 {
        format!("{} mΩ", short(value.get() * 1e3))
    } else {
        format!("{} Ω", short(value.get()))
    }
}

/// An inductance.
#[must_use]
pub fn henries(value: Henries) -> String {
    format!("{} mH", short(value.get() * 1e3))
}

/// A voltage.
#[must_use]
pub fn volts(value: Volts) -> String {
    format!("{} V", short(value.get()))
}

/// A current.
#[must_use]
pub fn amps(value: Amps) -> String {
    format!("{} A", short(value.get()))
}

/// A length of wire.
#[must_use]
pub fn metres(value: Metres) -> String {
    format!("{} m", short(value.get()))
}

/// A gap.
#[must_use]
pub fn millimetres(value: Millimetres) -> String {
    format!("{} mm", short(value.get()))
}

/// A ratio to one.
#[must_use]
pub fn ratio(value: f64) -> String {
    format!("{} to 1", short(value))
}

/// A crank angle.
#[must_use]
pub fn degrees(value: f64) -> String {
    format!("{}°", short(value))
}

/// A wire's colour: the words, and the letters that a diagram would show.
#[must_use]
pub fn colour(colour: WireColour) -> String {
    colour.tracer.map_or_else(
        || format!("{} ({})", colour.base.word(), colour.code()),
        |tracer| {
            format!(
                "{} with {} tracer ({})",
                colour.base.word(),
                tracer.word(),
                colour.code()
            )
        },
    )
}

/// A wire's size as its owner knows it.
#[must_use]
pub fn size(size: WireSize) -> String {
    match size {
        WireSize::Area(area) => format!("{} mm²", short(area.get())),
        WireSize::Awg(gauge) if gauge >= 0 => format!("AWG {gauge}"),
        WireSize::Awg(gauge) => format!("AWG {}/0", 1 - i16::from(gauge)),
    }
}

/// A wire in a list: its colours, or that they are unknown.
#[must_use]
pub fn wire_colour(wire: &Wire) -> String {
    wire.colour
        .map_or_else(|| "colour unknown".into(), |fact| colour(fact.value))
}

/// A cylinder by its number.
#[must_use]
pub fn cylinder(cylinder: CylinderId) -> String {
    format!("Cylinder {cylinder}")
}

/// Something inside a part.
#[must_use]
pub fn of(part: &str, inside: &str) -> String {
    format!("{}, {}", apart(part), apart(inside))
}

/// How many of something.
#[must_use]
pub fn count(number: usize) -> String {
    number.to_string()
}

/// The engine in a few words.
#[must_use]
pub fn engine(cylinders: usize, layout: Layout, strokes: Strokes) -> String {
    let strokes = match strokes {
        Strokes::Two => "two-stroke",
        Strokes::Four => "four-stroke",
    };
    let layout = match layout {
        Layout::Inline => "in line".into(),
        Layout::Vee { bank_angle } => format!("in a {} vee", degrees(bank_angle.get())),
        Layout::Flat => "flat".into(),
        Layout::Custom => "in rows of their own".into(),
    };
    let cylinders = if cylinders == 1 {
        "1 cylinder".into()
    } else {
        format!("{cylinders} cylinders")
    };
    format!("{cylinders} {layout}, {strokes}")
}

/// Not electrical, but a cause all the same.
pub const CYLINDER_KIND: &str = "Cylinder";
/// Wires, as the heading of a list.
pub const WIRES: &str = "Wires";
/// What a wire is.
pub const WIRE_KIND: &str = "Wire";
/// What a driver is.
pub const DRIVER_KIND: &str = "Driver: the transistor that switches a coil";
/// What a terminal is.
pub const TERMINAL_KIND: &str = "Terminal";
/// What an element is.
pub const ELEMENT_KIND: &str = "One thing that can fail by itself";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn resistances_read_as_people_say_them() {
        for (value, expected) in [
            (0.0, "0 Ω"),
            (0.02, "20 mΩ"),
            (0.5, "0.5 Ω"),
            (470.0, "470 Ω"),
            (5_000.0, "5 kΩ"),
            (12_500.0, "12.5 kΩ"),
            (1e7, "10 MΩ"),
        ] {
            assert_eq!(ohms(Ohms::lit(value)), expected);
        }
    }

    #[test]
    fn gauges_below_zero_are_written_with_a_stroke() {
        for (gauge, expected) in [
            (18, "AWG 18"),
            (0, "AWG 0"),
            (-1, "AWG 2/0"),
            (-3, "AWG 4/0"),
        ] {
            assert_eq!(size(WireSize::Awg(gauge)), expected);
        }
    }
}
