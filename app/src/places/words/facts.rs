//! Words for what is known of parts, wires and cylinders.

use crate::text::{Text, text};
use sparktrail_core::engine::{CylinderId, Layout, Strokes};
use sparktrail_core::model::{
    Age, Exposure, GroundSite, LeadKind, PartKind, PinRole, Secondary, UnitRole, Wire, WireColour,
    WireSize, apart,
};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::said::{digits, said, say};
use sparktrail_core::units::{Amps, Henries, Metres, Millimetres, Ohms, Volts};

/// Nobody has told yet.
pub const UNKNOWN: Text = text("not known yet");
/// How a fact is known, as the label of its choice.
pub const HOW: Text = text("How this is known");
/// Heading over the facts.
pub const FACTS: Text = text("What is known");

/// Terms, in the order of the parts.
pub const PLACE: Text = text("Where it sits");
/// What the owner wrote beside it.
pub const NOTE: Text = text("Note");
/// How old it is.
pub const AGE: Text = text("Age");
/// What it lives in.
pub const EXPOSURE: Text = text("Surroundings");
/// Battery voltage.
pub const VOLTAGE: Text = text("Voltage at rest");
/// Battery resistance.
pub const INNER: Text = text("Inner resistance");
/// Fuse.
pub const RATING: Text = text("Rating");
/// Relay and injector.
pub const WINDING: Text = text("Winding");
/// Unit: by which it sees that a coil hangs on its pin.
pub const PULL_UP: Text = text("Test resistor, coil pins to supply");
/// Unit: the same to ground.
pub const PULL_DOWN: Text = text("Test resistor, coil pins to ground");
/// Coil.
pub const PRIMARY: Text = text("Primary, 1 to 15");
/// Coil.
pub const INDUCTANCE: Text = text("Primary inductance");
/// Coil.
pub const SECONDARY: Text = text("Secondary");
/// Coil.
pub const TURNS: Text = text("Turns ratio");
/// Coil.
pub const SHAPE: Text = text("Built as");
/// Coil.
pub const PACK: Text = text("Housed in");
/// Driver.
pub const DRIVER: Text = text("Driver");
/// Driver.
pub const OUTPUT: Text = text("Switches");
/// Driver.
pub const GROUND: Text = text("Ground by");
/// Driver.
pub const DRIVE: Text = text("Told to switch by");
/// Driver.
pub const ON_VOLTAGE: Text = text("Voltage when on");
/// Driver.
pub const ON_RESISTANCE: Text = text("Resistance when on");
/// Wire and lead.
pub const FROM: Text = text("From");
/// Wire and lead.
pub const TO: Text = text("To");
/// Wire.
pub const COLOUR: Text = text("Colour");
/// Wire.
pub const SIZE: Text = text("Size");
/// Wire.
pub const LENGTH: Text = text("Length");
/// Lead.
pub const RESISTANCE: Text = text("Resistance");
/// Plug and injector.
pub const CYLINDER: Text = text("Cylinder");
/// Plug.
pub const GAP: Text = text("Gap");
/// Plug.
pub const RESISTOR: Text = text("Built-in resistor");
/// Connector.
pub const CAVITIES: Text = text("Cavities");
/// Distributor.
pub const TOWERS: Text = text("Towers");
/// Pin or cavity.
pub const LABEL: Text = text("Number");
/// Pin.
pub const ROLE: Text = text("Used for");
/// Terminal.
pub const PART: Text = text("On");
/// Cylinder.
pub const BANK: Text = text("Bank");
/// Cylinder.
pub const FIRES: Text = text("Fires at");
/// Cylinder.
pub const COMPANIONS: Text = text("Up together with");
/// Engine.
pub const ORDER: Text = text("Firing order");
/// Engine.
pub const LAYOUT: Text = text("Engine");
/// The driver is told by the unit it sits in.
pub const OWN_LOGIC: Text = text("logic of the same unit");
/// The driver has no ground pin of its own.
pub const BOARD_GROUND: Text = text("common ground of the board");
/// No cylinder is up together with this one.
pub const NONE: Text = text("none");

/// How a fact is known.
#[must_use]
pub fn provenance(how: Provenance) -> &'static str {
    said(match how {
        Provenance::Assumed => "assumed",
        Provenance::Diagram => "from a diagram",
        Provenance::Measured => "measured",
    })
}

/// How a fact is known, where there is little room.
#[must_use]
pub fn provenance_short(how: Provenance) -> &'static str {
    said(match how {
        Provenance::Assumed => "assumed",
        Provenance::Diagram => "diagram",
        Provenance::Measured => "measured",
    })
}

/// What a part is.
#[must_use]
pub fn kind(kind: &PartKind) -> &'static str {
    said(match kind {
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
    })
}

/// Parts of one kind, as the heading of a list.
#[must_use]
pub fn kinds(kind: &PartKind) -> &'static str {
    said(match kind {
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
    })
}

/// How a coil's secondary is brought out.
#[must_use]
pub fn secondary(secondary: Secondary) -> &'static str {
    said(match secondary {
        Secondary::TwoEnded => "double-ended: fires two plugs",
        Secondary::ReturnsToFeed => "single, secondary joined to 15",
        Secondary::ReturnsToGround => "single, secondary returned to ground",
    })
}

/// What a pin is for.
#[must_use]
pub fn role(role: PinRole) -> &'static str {
    said(match role {
        PinRole::CoilSwitch => "switching a coil",
        PinRole::DriveOut => "telling a driver elsewhere to switch",
        PinRole::DriveIn => "being told to switch",
        PinRole::Supply => "supply of the unit",
        PinRole::Ground => "ground of the unit",
        PinRole::InjectorSwitch => "opening an injector",
        PinRole::RelaySwitch => "pulling in a relay",
        PinRole::SensorIn => "a sensor’s signal",
        PinRole::Other => "something else",
    })
}

/// How old a part is.
#[must_use]
pub fn age(age: Age) -> Option<&'static str> {
    match age {
        Age::Unknown => None,
        Age::New => Some(said("fitted lately")),
        Age::Old => Some(said("as old as the car")),
    }
}

/// What a part lives in.
#[must_use]
pub fn exposure(exposure: Exposure) -> Option<&'static str> {
    match exposure {
        Exposure::Unknown => None,
        Exposure::Dry => Some(said("dry")),
        Exposure::Wet => Some(said("water gets at it")),
    }
}

/// A number with no more digits than it needs.
fn short(value: f64) -> String {
    let text = digits!("{value:.3}");
    text.trim_end_matches('0')
        .trim_end_matches(['.', ','])
        .to_owned()
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
    say!("{} to 1", short(value))
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
            say!(
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
        WireSize::Awg(gauge) if gauge >= 0 => say!("AWG {gauge}"),
        WireSize::Awg(gauge) => say!("AWG {}/0", 1 - i16::from(gauge)),
    }
}

/// A wire in a list: its colours, or that they are unknown.
#[must_use]
pub fn wire_colour(wire: &Wire) -> String {
    wire.colour
        .map_or_else(|| say!("colour unknown"), |fact| colour(fact.value))
}

/// A cylinder by its number.
#[must_use]
pub fn cylinder(cylinder: CylinderId) -> String {
    say!("Cylinder {cylinder}")
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
        Strokes::Two => said("two-stroke"),
        Strokes::Four => said("four-stroke"),
    };
    let layout = match layout {
        Layout::Inline => say!("in line"),
        Layout::Vee { bank_angle } => say!("in a {} vee", degrees(bank_angle.get())),
        Layout::Flat => say!("flat"),
        Layout::Custom => say!("in rows of their own"),
    };
    let cylinders = if cylinders == 1 {
        say!("1 cylinder")
    } else {
        say!("{cylinders} cylinders")
    };
    format!("{cylinders} {layout}, {strokes}")
}

/// Not electrical, but a cause all the same.
pub const CYLINDER_KIND: Text = text("Cylinder");
/// Wires, as the heading of a list.
pub const WIRES: Text = text("Wires");
/// What a wire is.
pub const WIRE_KIND: Text = text("Wire");
/// What a driver is.
pub const DRIVER_KIND: Text = text("Driver: the transistor that switches a coil");
/// What a terminal is.
pub const TERMINAL_KIND: Text = text("Terminal");
/// What an element is.
pub const ELEMENT_KIND: Text = text("One thing that can fail by itself");

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
