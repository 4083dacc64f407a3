//! What an element measures when nobody has measured it: one table of defaults, each with its source.

use crate::provenance::Provenance;
use crate::said::to_say;

/// A default value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nominal {
    /// What it is the value of, in plain words.
    pub what: &'static str,
    /// The value, in `unit`.
    pub value: f64,
    /// The unit's symbol; empty for a bare number.
    pub unit: &'static str,
    /// Where the value comes from.
    pub source: &'static str,
}

impl Nominal {
    /// How a default is known: it never is more than assumed.
    pub const HOW: Provenance = Provenance::Assumed;
}

/// Says that nobody published the value.
pub const PRACTICE: &str = to_say("common practice, no source");
/// The base coil from which the check values were made.
const BASE_COIL: &str = to_say(
    "invented demo value, inside the range that a coil maker's brochure gives (0.3 to 1.0 Ω, 8 to 15 kΩ), as quoted on a third party's page",
);
/// Ranges remembered from a handbook.
const HANDBOOK: &str = to_say("automotive handbook range, value from memory");

macro_rules! nominals {
    ($($(#[$doc:meta])* $name:ident = $value:literal $unit:literal, $what:expr, $source:expr;)*) => {
        $($(#[$doc])* pub const $name: Nominal = Nominal { what: $what, value: $value, unit: $unit, source: $source };)*

        /// Every default, in the order of the text.
        pub const ALL: &[Nominal] = &[$($name),*];
    };
}

nominals! {
    /// Battery at rest, and while the engine runs: an alternator is not on the map.
    BATTERY_VOLTAGE = 12.8 "V", to_say("battery at rest"), PRACTICE;
    /// Share of the battery's voltage that is left while the starter turns.
    CRANKING_SHARE = 0.82 "", to_say("share of the battery's voltage left while cranking"), PRACTICE;
    /// Battery, inner resistance.
    BATTERY_RESISTANCE = 0.02 "Ω", to_say("battery, inner resistance"), PRACTICE;
    /// Voltage across a fuse at its rated current; its resistance is this over the rating.
    FUSE_DROP = 0.075 "V", to_say("fuse, voltage lost at its rated current"), PRACTICE;
    /// Rating of a fuse.
    FUSE_RATING = 15.0 "A", to_say("fuse, rating"), PRACTICE;
    /// A fuse that carries this many times its rated current blows within seconds.
    FUSE_BLOWS = 2.0 "", to_say("fuse, times its rated current at which it blows"), PRACTICE;
    /// Key switch contact.
    KEY_CONTACT = 0.01 "Ω", to_say("key switch, contact"), PRACTICE;
    /// Relay contact.
    RELAY_CONTACT = 0.01 "Ω", to_say("relay, contact"), PRACTICE;
    /// Relay winding.
    RELAY_WINDING = 85.0 "Ω", to_say("relay, winding"), PRACTICE;
    /// A relay pulls in at this voltage across its winding.
    RELAY_PULLS_IN = 7.5 "V", to_say("relay, pull-in voltage"), PRACTICE;
    /// A control unit's own switch that pulls in a relay.
    RELAY_SWITCH = 1.0 "Ω", to_say("control unit, relay output when on"), PRACTICE;
    /// Where a wire is screwed, crimped or soldered.
    JOINT = 0.001 "Ω", to_say("joint of a wire end"), PRACTICE;
    /// Two contacts pushed together.
    MATED = 0.005 "Ω", to_say("mated contact"), PRACTICE;
    /// Cross-section of a wire.
    WIRE_AREA = 1.0 "mm²", to_say("wire, cross-section"), PRACTICE;
    /// Length of a wire.
    WIRE_LENGTH = 1.0 "m", to_say("wire, length"), PRACTICE;
    /// No wire counts as less than this.
    WIRE_LEAST = 0.0004 "Ω", to_say("wire, least resistance reckoned with"), to_say("keeps the reckoning exact; one centimetre of 0.5 mm² wire");
    /// Temperature of the wiring.
    TEMPERATURE = 20.0 "°C", to_say("wiring, temperature"), PRACTICE;
    /// Trace on a circuit board.
    TRACE = 0.005 "Ω", to_say("trace behind a pin"), PRACTICE;
    /// Joints and traces that share out a unit's supply or ground.
    BOARD = 0.002 "Ω", to_say("supply or ground joints on the board"), PRACTICE;
    /// Solder joint of a driver.
    SOLDER = 0.0005 "Ω", to_say("solder joint of a driver"), PRACTICE;
    /// What a working control unit draws, as a resistance.
    UNIT_AWAKE = 24.0 "Ω", to_say("control unit at work, supply to ground"), PRACTICE;
    /// What a working ignition module draws, as a resistance.
    MODULE_AWAKE = 120.0 "Ω", to_say("ignition module at work, supply to ground"), PRACTICE;
    /// What an unfed control unit looks like to an ohmmeter.
    UNIT_ASLEEP = 10000.0 "Ω", to_say("control unit without supply, supply to ground"), PRACTICE;
    /// Below this a control unit does not work.
    UNIT_WAKES = 6.0 "V", to_say("control unit, least supply"), PRACTICE;
    /// Fixed part of the voltage across a driver that is on.
    DRIVER_VOLTAGE = 0.75 "V", to_say("driver when on, fixed voltage"), to_say("fits ngspice within 4.4 mV over 30 points; demo value");
    /// Slope of the voltage across a driver that is on.
    DRIVER_RESISTANCE = 0.1 "Ω", to_say("driver when on, slope resistance"), to_say("fits ngspice within 4.4 mV over 30 points; demo value");
    /// A driver holds the flyback at this voltage.
    DRIVER_CLAMP = 400.0 "V", to_say("driver, clamp voltage"), HANDBOOK;
    /// Voltage of a drive signal that says "on".
    DRIVE_VOLTAGE = 5.0 "V", to_say("drive signal when on"), PRACTICE;
    /// Inner resistance of what makes a drive signal.
    DRIVE_SOURCE = 1000.0 "Ω", to_say("drive signal, inner resistance"), PRACTICE;
    /// Resistor between logic and gate.
    DRIVE_RESISTOR = 1000.0 "Ω", to_say("drive resistor"), PRACTICE;
    /// What holds a gate down.
    GATE_PULL_DOWN = 10000.0 "Ω", to_say("gate to ground side of the transistor"), PRACTICE;
    /// A drive path with more than this in it no longer switches its transistor.
    DRIVE_FAILS = 20000.0 "Ω", to_say("drive path, most that may be in series"), PRACTICE;
    /// A drive signal below this does not switch its transistor.
    DRIVE_LEAST = 2.5 "V", to_say("drive signal, least that switches"), PRACTICE;
    /// Coil, primary.
    PRIMARY_RESISTANCE = 0.5 "Ω", to_say("coil, primary"), BASE_COIL;
    /// Coil, primary inductance.
    PRIMARY_INDUCTANCE = 0.0035 "H", to_say("coil, primary inductance"), to_say("invented demo value: 104 mJ at 7.7 A, the upper end of handbook ranges");
    /// Coil, secondary.
    SECONDARY_RESISTANCE = 10000.0 "Ω", to_say("coil, secondary"), BASE_COIL;
    /// Coil, secondary turns for each primary turn.
    TURNS_RATIO = 85.0 "", to_say("coil, turns ratio"), HANDBOOK;
    /// Coupling of primary and secondary.
    COUPLING = 0.97 "", to_say("coil, coupling of the windings"), to_say("demo value");
    /// Share of the stored energy that reaches the secondary's capacitance.
    SECONDARY_YIELD = 0.65 "", to_say("coil, share of its energy that charges the secondary"), PRACTICE;
    /// Capacitance that the secondary charges: winding, lead and plug.
    SECONDARY_CAPACITANCE = 6.5e-11 "F", to_say("secondary, lead and plug, capacitance"), PRACTICE;
    /// How far leakage inductance carries the secondary beyond clamp times turns ratio.
    CLAMP_OVERSHOOT = 1.19 "", to_say("secondary voltage over (clamp × turns ratio)"), to_say("ngspice at coupling 0.97: 39.3 kV where the formula gives 32.9 kV");
    /// Dwell: how long a driver is on before each spark.
    DWELL = 0.003 "s", to_say("dwell"), HANDBOOK;
    /// Dwell never takes more than this share of the time between two sparks of a coil.
    DWELL_SHARE = 0.8 "", to_say("most of the time between two sparks that dwell may take"), PRACTICE;
    /// Distributor, rotor.
    ROTOR = 5000.0 "Ω", to_say("rotor"), PRACTICE;
    /// Plug lead.
    LEAD = 5000.0 "Ω", to_say("plug lead"), to_say("wound core 2 to 7 kΩ a metre, value from memory");
    /// Boot of a coil that sits on its plug.
    BOOT = 1000.0 "Ω", to_say("boot"), PRACTICE;
    /// Plug resistor.
    PLUG_RESISTOR = 5000.0 "Ω", to_say("plug, resistor"), to_say("plug maker's bulletin: 1, 5, 6 and 10 kΩ; 5 usual from memory");
    /// Plug gap.
    PLUG_GAP = 0.9 "mm", to_say("plug, gap"), HANDBOOK;
    /// Injector winding.
    INJECTOR_WINDING = 14.0 "Ω", to_say("injector, winding"), PRACTICE;
    /// Leak from every node to ground: damp, dust and the air.
    LEAK = 1e-9 "S", to_say("leak of every terminal to ground"), to_say("keeps what floats defined; far above any meter's sight");
    /// A voltmeter.
    METER = 1.0e7 "Ω", to_say("voltmeter"), PRACTICE;
    /// What an ohmmeter calls overload.
    OVERLOAD = 2.0e6 "Ω", to_say("ohmmeter, most that it shows"), PRACTICE;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_default_is_a_number_with_a_source() {
        for nominal in ALL {
            assert!(
                nominal.value.is_finite() && nominal.value > 0.0,
                "{}",
                nominal.what
            );
            assert!(!nominal.source.is_empty(), "{}", nominal.what);
        }
    }

    /// Source: the ranges in a coil maker's brochure (as quoted by a third party) and in handbooks from memory.
    #[test]
    fn the_coil_lies_inside_published_ranges() {
        assert!((0.3..=1.0).contains(&PRIMARY_RESISTANCE.value));
        assert!((8e3..=15e3).contains(&SECONDARY_RESISTANCE.value));
        assert!((0.002..=0.004).contains(&DWELL.value));
        assert!((0.7..=1.1).contains(&PLUG_GAP.value));
    }
}
