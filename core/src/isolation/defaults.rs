//! Every table value of isolation in one place: priors, severities, access, costs, rates. All judgement.
//!
//! No published per-mode statistics of ignition faults were found; these are the opinion of
//! engineers, said so in the app, and meant to be edited.

use super::forecast::Pulse;
use crate::faults::ModeKind;

/// A kind of element, as far as priors go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Battery.
    Battery,
    /// Fuse in its holder.
    Fuse,
    /// Key switch contact.
    Key,
    /// Relay contact.
    RelayContact,
    /// Relay winding.
    RelayWinding,
    /// Wire that feeds coils or units, or returns to ground.
    SupplyWire,
    /// Wire that switches a coil or carries a drive signal.
    ControlWire,
    /// Wire that serves something else: an injector, a relay winding.
    OtherWire,
    /// Joint of a wire end at a splice or a battery post.
    SpliceJoint,
    /// Joint of a wire end at a ground point.
    GroundPoint,
    /// Contact of a coil's plug.
    CoilContact,
    /// Contact of a unit's pin.
    UnitPin,
    /// Contact of anything else that is pushed on: relay socket, injector.
    OtherContact,
    /// Contact of an in-line connector.
    Cavity,
    /// Board trace behind a pin.
    Trace,
    /// Supply of a unit's board.
    BoardSupply,
    /// Ground of a unit's board.
    BoardGround,
    /// A unit's logic.
    Logic,
    /// Crank signal.
    CrankSignal,
    /// Output or ground joint of a driver.
    DriverJoint,
    /// The transistor.
    Transistor,
    /// First or last joint of a drive path.
    DriveJoint,
    /// Resistor of a drive path.
    DriveResistor,
    /// Coil primary.
    Primary,
    /// Coil secondary.
    Secondary,
    /// Coil insulation.
    CoilInsulation,
    /// Distributor rotor.
    Rotor,
    /// Distributor cap.
    Cap,
    /// Conductor of a plug lead.
    Lead,
    /// Insulation of a plug lead.
    LeadInsulation,
    /// Conductor of a boot.
    Boot,
    /// Insulation of a boot.
    BootInsulation,
    /// Plug gap.
    Gap,
    /// Plug insulator.
    Insulator,
    /// Plug resistor.
    PlugResistor,
    /// Injector winding.
    Injector,
    /// A cylinder's fuel, air, compression.
    Cylinder,
}

/// Chance of each kind of fault, in thousandths: how often it is what broke, beside the others.
///
/// # Source
/// Engineering judgement: no published statistics of ignition faults were found.
pub const PRIORS: &[(Kind, ModeKind, f64)] = &[
    (Kind::Battery, ModeKind::HighResistance, 0.5),
    (Kind::Fuse, ModeKind::Open, 4.0),
    (Kind::Fuse, ModeKind::HighResistance, 0.5),
    (Kind::Key, ModeKind::Open, 1.0),
    (Kind::Key, ModeKind::HighResistance, 1.0),
    (Kind::RelayContact, ModeKind::Open, 4.0),
    (Kind::RelayContact, ModeKind::HighResistance, 2.0),
    (Kind::RelayWinding, ModeKind::Open, 1.0),
    (Kind::SupplyWire, ModeKind::Open, 0.8),
    (Kind::SupplyWire, ModeKind::HighResistance, 0.6),
    (Kind::ControlWire, ModeKind::Open, 1.5),
    (Kind::ControlWire, ModeKind::HighResistance, 0.7),
    (Kind::ControlWire, ModeKind::ToGround, 1.0),
    (Kind::ControlWire, ModeKind::ToSupply, 0.3),
    (Kind::OtherWire, ModeKind::Open, 0.8),
    (Kind::OtherWire, ModeKind::HighResistance, 0.6),
    (Kind::SpliceJoint, ModeKind::Open, 1.0),
    (Kind::SpliceJoint, ModeKind::HighResistance, 1.5),
    (Kind::GroundPoint, ModeKind::Open, 0.5),
    (Kind::GroundPoint, ModeKind::HighResistance, 1.5),
    (Kind::CoilContact, ModeKind::Open, 2.0),
    (Kind::CoilContact, ModeKind::HighResistance, 3.0),
    (Kind::UnitPin, ModeKind::Open, 1.0),
    (Kind::UnitPin, ModeKind::HighResistance, 1.5),
    (Kind::OtherContact, ModeKind::Open, 1.0),
    (Kind::OtherContact, ModeKind::HighResistance, 1.5),
    (Kind::Cavity, ModeKind::Open, 2.0),
    (Kind::Cavity, ModeKind::HighResistance, 3.0),
    (Kind::Trace, ModeKind::Open, 0.4),
    (Kind::Trace, ModeKind::HighResistance, 0.2),
    (Kind::BoardSupply, ModeKind::Open, 2.0),
    (Kind::BoardGround, ModeKind::Open, 0.3),
    (Kind::BoardGround, ModeKind::HighResistance, 0.5),
    (Kind::Logic, ModeKind::Silent, 0.4),
    (Kind::Logic, ModeKind::SilentFor, 0.4),
    (Kind::CrankSignal, ModeKind::Missing, 8.0),
    (Kind::DriverJoint, ModeKind::Open, 0.8),
    (Kind::DriverJoint, ModeKind::HighResistance, 0.8),
    (Kind::Transistor, ModeKind::NeverOn, 1.5),
    (Kind::Transistor, ModeKind::AlwaysOn, 1.2),
    (Kind::Transistor, ModeKind::Leaky, 0.6),
    (Kind::DriveJoint, ModeKind::Open, 0.25),
    (Kind::DriveJoint, ModeKind::PartlyOn, 0.25),
    (Kind::DriveResistor, ModeKind::Open, 0.1),
    (Kind::DriveResistor, ModeKind::PartlyOn, 0.1),
    (Kind::Primary, ModeKind::Open, 4.0),
    (Kind::Primary, ModeKind::TurnsShorted, 2.0),
    (Kind::Primary, ModeKind::ToGround, 0.4),
    (Kind::Secondary, ModeKind::Open, 3.0),
    (Kind::CoilInsulation, ModeKind::Breakdown, 5.0),
    (Kind::CoilInsulation, ModeKind::Tracking, 3.0),
    (Kind::Rotor, ModeKind::Open, 2.0),
    (Kind::Rotor, ModeKind::Breakdown, 3.0),
    (Kind::Cap, ModeKind::BurntTower, 2.0),
    (Kind::Cap, ModeKind::TrackingBetween, 1.0),
    (Kind::Lead, ModeKind::Open, 5.3),
    (Kind::Lead, ModeKind::CrossedWith, 0.5),
    (Kind::LeadInsulation, ModeKind::Leaky, 4.0),
    (Kind::Boot, ModeKind::Open, 1.0),
    (Kind::BootInsulation, ModeKind::Leaky, 4.0),
    (Kind::Gap, ModeKind::Fouled, 5.0),
    (Kind::Gap, ModeKind::Worn, 5.0),
    (Kind::Insulator, ModeKind::Cracked, 2.0),
    (Kind::PlugResistor, ModeKind::Open, 0.5),
    (Kind::Injector, ModeKind::Open, 2.0),
    (Kind::Cylinder, ModeKind::NoFuel, 8.0),
    (Kind::Cylinder, ModeKind::NoCompression, 5.0),
    (Kind::Cylinder, ModeKind::WrongAir, 2.0),
];

/// The prior of one kind and mode in [`PRIORS`], in thousandths; `None` where the table does not suspect it at all.
#[must_use]
pub fn prior(kind: Kind, mode: ModeKind) -> Option<f64> {
    PRIORS
        .iter()
        .find(|(k, m, _)| *k == kind && *m == mode)
        .map(|(_, _, p)| *p)
}

/// Share (0 to 1) of the faults of a kind that come and go. Judgement.
#[must_use]
pub const fn comes_and_goes(kind: Kind) -> f64 {
    match kind {
        Kind::CoilContact | Kind::UnitPin | Kind::OtherContact | Kind::Cavity => 0.55,
        Kind::SpliceJoint
        | Kind::DriverJoint
        | Kind::DriveJoint
        | Kind::BoardSupply
        | Kind::Trace => 0.5,
        Kind::GroundPoint | Kind::BoardGround => 0.45,
        Kind::SupplyWire
        | Kind::ControlWire
        | Kind::OtherWire
        | Kind::RelayContact
        | Kind::CrankSignal
        | Kind::Key => 0.3,
        Kind::Primary
        | Kind::Secondary
        | Kind::CoilInsulation
        | Kind::Transistor
        | Kind::Lead
        | Kind::LeadInsulation
        | Kind::Boot
        | Kind::BootInsulation => 0.2,
        Kind::Battery
        | Kind::Fuse
        | Kind::RelayWinding
        | Kind::Logic
        | Kind::DriveResistor
        | Kind::Rotor
        | Kind::Cap
        | Kind::Gap
        | Kind::Insulator
        | Kind::PlugResistor
        | Kind::Injector
        | Kind::Cylinder => 0.05,
    }
}

/// Of an open lead of a double-ended coil: share in which the companion dies as well.
/// From the priors "lead open 4, open taking both down 1.3".
pub const OPEN_LEAD_TAKES_BOTH: f64 = 1.3 / 5.3;
/// Of any other fault that leaves a cylinder in doubt: share in which it dies.
pub const DOUBTFUL_DIES: f64 = 0.5;

/// A fault that lets every cylinder live brings nobody to look: how much that changes its prior.
pub const SYMPTOMLESS: f64 = 0.2;

/// Added series resistance that stands for "high resistance", Ω.
pub const HIGH_RESISTANCE: [f64; 4] = [0.5, 2.0, 8.0, 100.0];
/// Resistance of a path to ground or to supply, Ω, with its share: a chafed wire mostly touches hard.
pub const LEAK: [(f64, f64); 4] = [(0.05, 0.97), (3.0, 0.01), (8.0, 0.01), (25.0, 0.01)];
/// Of a coil's tower tracking to metal: share in which one tower, the other, or both lose their spark.
pub const TRACKS: (f64, f64, f64) = (0.42, 0.42, 0.16);
/// Resistance of a transistor that is partly on, Ω.
pub const PARTLY_ON: [f64; 3] = [1.5, 3.0, 8.0];
/// Resistance of a transistor that leaks, Ω.
pub const LEAKY_TRANSISTOR: [f64; 3] = [3.0, 8.0, 25.0];
/// Share of a primary's turns that are shorted, percent.
pub const TURNS: [f64; 2] = [10.0, 30.0];
/// Resistance of a fouled plug, Ω.
pub const FOULED: [f64; 3] = [1.0e4, 1.0e5, 1.0e6];
/// Resistance of a lead's or boot's leak to metal, Ω.
pub const LEAKY_LEAD: [f64; 3] = [1.0e4, 1.0e5, 1.0e6];

/// How much a part's age changes its priors: new, old.
pub const AGE: (f64, f64) = (0.3, 1.5);
/// How much water changes the priors of contacts, joints and insulation: dry, wet.
pub const EXPOSURE: (f64, f64) = (0.8, 2.0);

/// Chance that any reading is grossly wrong: wrong pin, wrong range, misread.
pub const GROSS: f64 = 0.03;
/// The same where siblings read as they should with the same meter in the same setup.
pub const GROSS_VOUCHED: f64 = 0.01;
/// Width of a volt reading at key-on, V: meter and tolerance.
pub const VOLTS_WIDTH: f64 = 0.12;
/// Width of an idle-average reading, V.
pub const IDLE_WIDTH: f64 = 0.15;
/// Width of a resistance reading, decades, and Ω beside it: meter leads and contact.
pub const OHMS_WIDTH: (f64, f64) = (0.10, 0.3);
/// An ohmmeter shows overload from here, Ω.
pub const OVERLOAD: f64 = 2.0e6;
/// A fault's severity lies anywhere between grid points: the reading is as wide as this share of
/// the distance from the healthy reading.
pub const GRID_WIDTH: f64 = 0.25;
/// The same for resistances, decades.
pub const GRID_DECADES: f64 = 0.10;

/// Chance that "dead" or "alive" is a mistake.
pub const DEAD_ERROR: f64 = 0.02;
/// Chance that the same mistake is still there after a second look: 0.02 becomes 0.004.
pub const DEAD_SHARED: f64 = 0.184;
/// Timing light: chance of a miss, and of a flash that belongs to another lead.
pub const FLASH: (f64, f64) = (0.04, 0.04);
/// A test lamp from battery plus at a coil's switched terminal while the starter turns the engine:
/// chances of bright, dim, off and flickering. A lamp with diodes shows pulses of a few milliseconds
/// better than a bulb does.
#[must_use]
pub const fn pulses(pulse: Pulse) -> [f64; 4] {
    match pulse {
        Pulse::Yes => [0.01, 0.03, 0.06, 0.90],
        Pulse::Weak => [0.01, 0.45, 0.24, 0.30],
        Pulse::No => [0.01, 0.02, 0.95, 0.02],
        Pulse::Steady => [0.90, 0.06, 0.02, 0.02],
    }
}
/// A look at a joint, lead or plug: chance to see what is wrong, and to see what is not.
pub const LOOK: (f64, f64) = (0.65, 0.05);
/// A check in place of what the eye alone cannot judge: the crank signal with a meter, the drive out of
/// the logic with a scope, a transistor, resistor or trace on the board, fuel and air of one cylinder:
/// chance to find it, and to be wrong.
pub const CHECK: (f64, f64) = (0.9, 0.03);
/// Wiggling, heating, cooling: chance that a fault of the thing shows, and that another seems to.
pub const STRESS: (f64, f64) = (0.5, 0.03);
/// Compression check: chance to find it, and to be wrong.
pub const COMPRESSION: (f64, f64) = (0.92, 0.05);
/// Cleaning a contact cures it.
pub const CLEAN_CURES: f64 = 0.85;
/// Re-making a joint cures it.
pub const REMAKE_CURES: f64 = 0.92;
/// Taking contacts apart and together wipes them: chance to cure.
pub const WIPED: f64 = 0.28;
/// Taking a transistor out and putting one in re-makes the joints of its legs: chance to cure.
pub const LEGS_REMADE: f64 = 0.68;
/// A new part is bad.
pub const NEW_IS_BAD: f64 = 0.03;
/// The trouble seems to go for a reason that has nothing to do with the act.
pub const FALSE_CURE: f64 = 0.01;
/// Share of cases in which a fault that comes and goes is away when someone measures.
pub const AWAY: f64 = 0.3;
/// Chance that a unit can store a code for this fault at all.
pub const CAN_DETECT: f64 = 0.5;
/// Chance that a unit which can store a code has done so; and that a code is stored without cause.
pub const CODE: (f64, f64) = (0.97, 0.02);

/// Minutes to get at something and close up again, once.
pub mod access {
    /// A coil in easy reach.
    pub const COIL: f64 = 3.0;
    /// The control unit.
    pub const UNIT: f64 = 15.0;
    /// Opening its housing.
    pub const OPEN: f64 = 20.0;
    /// Soldering iron, board held, coating off.
    pub const SOLDER: f64 = 40.0;
    /// Plugs in easy reach.
    pub const PLUGS: f64 = 4.0;
}

/// Working minutes of each act.
pub mod minutes {
    /// What any test takes besides: reading what to do, finding the place, writing down what it showed.
    pub const EACH: f64 = 2.0;
    /// Volts at a pin that can be reached.
    pub const VOLTS: f64 = 2.0;
    /// Resistance.
    pub const OHMS: f64 = 3.5;
    /// Test lamp.
    pub const LAMP: f64 = 5.0;
    /// Timing light on a lead.
    pub const FLASH: f64 = 2.0;
    /// Spark tester, or a lead for the timing light, between a coil and the plug it sits on: the coil comes off and
    /// is put back.
    pub const FLASH_UNDER_COIL: f64 = 7.0;
    /// A second look at whether a cylinder works.
    pub const DEAD: f64 = 3.0;
    /// A look at a plug.
    pub const PLUG: f64 = 5.0;
    /// A look at a joint.
    pub const JOINT: f64 = 6.0;
    /// Wiggling.
    pub const WIGGLE: f64 = 2.0;
    /// Coils change places.
    pub const SWAP_COILS: f64 = 10.0;
    /// Leads change places.
    pub const SWAP_LEADS: f64 = 5.0;
    /// Plugs change places.
    pub const SWAP_PLUGS: f64 = 9.0;
    /// Transistors change places.
    pub const SWAP_TRANSISTORS: f64 = 30.0;
    /// Relay or injector for another.
    pub const SWAP_RELAY: f64 = 4.0;
    /// Cleaning a connector.
    pub const CLEAN: f64 = 6.0;
    /// Re-soldering a joint.
    pub const SOLDER: f64 = 10.0;
    /// A new coil: fetching it and fitting it, its price as time.
    pub const NEW_COIL: f64 = 50.0;
    /// A new lead, plug or fuse.
    pub const NEW_SMALL: f64 = 20.0;
    /// A new transistor.
    pub const NEW_TRANSISTOR: f64 = 45.0;
    /// Another control unit.
    pub const NEW_UNIT: f64 = 240.0;
    /// A wire laid anew.
    pub const NEW_WIRE: f64 = 30.0;
    /// Compression check.
    pub const COMPRESSION: f64 = 15.0;
    /// The drive out of the logic, with a scope.
    pub const SCOPE: f64 = 10.0;
    /// Fuel and air of one cylinder: injector pulse, spray, air leaks.
    pub const FUEL: f64 = 12.0;
    /// Reading trouble codes.
    pub const CODES: f64 = 3.0;
}
