//! The parts of an ignition harness and what is known of each.

use super::{CavityId, DriverId, Face, PartId, PinId, Terminal};
use crate::engine::CylinderId;
use crate::provenance::Fact;
use crate::units::{Amps, Henries, Millimetres, Minutes, Ohms, Volts};

/// A part of the car.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What the owner calls it.
    pub name: String,
    /// What it is, with what is known of it.
    pub kind: PartKind,
    /// Where it sits and how hard it is to reach.
    pub place: Place,
    /// Its age and surroundings, as far as the owner knows.
    pub condition: Condition,
    /// Anything else worth keeping.
    pub note: String,
    /// Where the owner put it on the map; `None` lets the map place it.
    pub drawn_at: Option<DrawnAt>,
    /// How the cavities of its connector stand, once the owner has said so.
    pub face: Option<Face>,
}

impl Part {
    /// A part with a name and nothing else known of it.
    #[must_use]
    pub fn new(name: impl Into<String>, kind: PartKind) -> Self {
        Self {
            name: name.into(),
            kind,
            place: Place::default(),
            condition: Condition::default(),
            note: String::new(),
            drawn_at: None,
            face: None,
        }
    }
}

/// Where a part sits.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Place {
    /// In the owner's words: "rear bulkhead".
    pub text: String,
    /// Time to get at it and close up again; `None` takes the usual time for its kind.
    pub reach: Option<Minutes>,
}

/// What the owner knows of a part's life.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Condition {
    /// How old it is.
    pub age: Age,
    /// What it lives in.
    pub exposure: Exposure,
}

/// How old a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Age {
    /// Nobody knows.
    #[default]
    Unknown,
    /// Fitted lately.
    New,
    /// As old as the car.
    Old,
}

/// What a part lives in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Exposure {
    /// Nobody knows.
    #[default]
    Unknown,
    /// Dry.
    Dry,
    /// Water gets at it.
    Wet,
}

/// A place on the map, in the map's own units (right, down).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnAt {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

/// What a part is.
#[derive(Debug, Clone, PartialEq)]
pub enum PartKind {
    /// The battery; terminals 30 and 31.
    Battery(Battery),
    /// A fuse in its holder.
    Fuse(Fuse),
    /// The ignition switch, or its electrical part.
    KeySwitch,
    /// A relay in its socket; terminals 85, 86, 30, 87.
    Relay(Relay),
    /// Wires joined for good, inside the loom.
    Splice,
    /// A screw or stud where wires meet the engine or the body.
    Ground(GroundSite),
    /// An in-line connector: cavities, each with two sides.
    Connector(Connector),
    /// A control unit, or a separate ignition module.
    ControlUnit(ControlUnit),
    /// One ignition coil.
    Coil(Coil),
    /// A housing that holds several coils.
    Pack,
    /// A distributor: rotor and cap.
    Distributor(Distributor),
    /// A plug lead, or the boot of a coil that sits on its plug.
    Lead(Lead),
    /// A spark plug.
    Plug(Plug),
    /// A fuel injector; on the map because it helps to tell pins apart.
    Injector(Injector),
}

/// What the battery is known to be.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Battery {
    /// Voltage at rest.
    pub voltage: Option<Fact<Volts>>,
    /// Inner resistance.
    pub resistance: Option<Fact<Ohms>>,
}

/// What a fuse is known to be.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fuse {
    /// Rated current.
    pub rating: Option<Fact<Amps>>,
}

/// What a relay is known to be.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Relay {
    /// Resistance of its winding, 85 to 86.
    pub winding: Option<Fact<Ohms>>,
}

/// Which metal a ground point stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GroundSite {
    /// The engine; spark plugs return here.
    Engine,
    /// The body.
    Body,
}

/// An in-line connector.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Connector {
    /// Its cavities.
    pub cavities: Vec<Cavity>,
}

/// One cavity of a connector.
#[derive(Debug, Clone, PartialEq)]
pub struct Cavity {
    /// Its id.
    pub id: CavityId,
    /// The number or letter moulded beside it, if it is known.
    pub label: Option<Fact<String>>,
}

/// What kind of box a control unit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UnitRole {
    /// It decides when to spark.
    EngineControl,
    /// It only switches coils when told to.
    IgnitionModule,
}

/// A control unit or a module.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlUnit {
    /// What kind of box it is.
    pub role: UnitRole,
    /// Its pins.
    pub pins: Vec<Pin>,
    /// The drivers inside it.
    pub drivers: Vec<Driver>,
    /// By which it sees an open circuit: a resistor from each coil output to its supply, if it has one.
    pub pull_up: Option<Fact<Ohms>>,
    /// The same to its ground.
    pub pull_down: Option<Fact<Ohms>>,
}

impl ControlUnit {
    /// A box with nothing in it yet.
    #[must_use]
    pub const fn new(role: UnitRole) -> Self {
        Self {
            role,
            pins: Vec::new(),
            drivers: Vec::new(),
            pull_up: None,
            pull_down: None,
        }
    }
}

/// A pin of a control unit. An unknown number or use is data, not an error.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// Its id.
    pub id: PinId,
    /// Its number or letter, if it is known.
    pub label: Option<Fact<String>>,
    /// What it is for, if it is known.
    pub role: Option<Fact<PinRole>>,
    /// Anything else worth keeping.
    pub note: String,
}

/// What a pin is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PinRole {
    /// Output of a driver inside: it switches a coil's terminal 1 to ground.
    CoilSwitch,
    /// A logic signal that tells a driver elsewhere to switch.
    DriveOut,
    /// Where a module takes such a signal.
    DriveIn,
    /// The unit's own supply.
    Supply,
    /// The unit's ground.
    Ground,
    /// Output that opens an injector.
    InjectorSwitch,
    /// Output that pulls in a relay.
    RelaySwitch,
    /// A sensor signal in.
    SensorIn,
    /// Known to be something else.
    Other,
}

/// The transistor that switches one coil, with its joints and its drive path.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// Its id.
    pub id: DriverId,
    /// What the owner calls it: "driver B".
    pub name: String,
    /// The pin of the unit that it switches; `None` while unknown. Not used inside a coil.
    pub output: Option<Fact<PinId>>,
    /// The ground pin that its emitter uses; `None`: the board's common ground. Not used inside a coil.
    pub ground: Option<Fact<PinId>>,
    /// The pin on which it is told to switch; `None`: the logic of the same unit. Not used inside a coil.
    pub drive: Option<Fact<PinId>>,
    /// Fixed voltage across it when on.
    pub on_voltage: Option<Fact<Volts>>,
    /// Slope resistance when on.
    pub on_resistance: Option<Fact<Ohms>>,
}

impl Driver {
    /// A driver with a name and nothing else known of it.
    #[must_use]
    pub fn new(id: DriverId, name: impl Into<String>) -> Self {
        Self {
            id,
            name: name.into(),
            output: None,
            ground: None,
            drive: None,
            on_voltage: None,
            on_resistance: None,
        }
    }
}

/// How a coil's secondary is brought out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Secondary {
    /// Two towers, 4a and 4b, apart from the primary: double-ended.
    TwoEnded,
    /// One tower, 4; the other end is joined to terminal 15 inside.
    ReturnsToFeed,
    /// One tower, 4; the other end is brought out at terminal 31.
    ReturnsToGround,
}

/// One ignition coil.
#[derive(Debug, Clone, PartialEq)]
pub struct Coil {
    /// How its secondary is brought out.
    pub secondary: Secondary,
    /// Its driver, where that sits inside the coil: terminal 1 is then not brought out.
    pub driver: Option<Driver>,
    /// The housing it shares with other coils (a part of kind `Pack`).
    pub pack: Option<PartId>,
    /// Resistance 1 to 15.
    pub primary_resistance: Option<Fact<Ohms>>,
    /// Inductance 1 to 15.
    pub primary_inductance: Option<Fact<Henries>>,
    /// Resistance of the secondary.
    pub secondary_resistance: Option<Fact<Ohms>>,
    /// Secondary turns for each primary turn.
    pub turns_ratio: Option<Fact<f64>>,
}

impl Coil {
    /// A coil of which only the shape is known.
    #[must_use]
    pub const fn new(secondary: Secondary) -> Self {
        Self {
            secondary,
            driver: None,
            pack: None,
            primary_resistance: None,
            primary_inductance: None,
            secondary_resistance: None,
            turns_ratio: None,
        }
    }
}

/// A distributor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Distributor {
    /// The cylinder that each tower is meant for, in the order of the cap.
    pub towers: Vec<CylinderId>,
}

/// How a coil reaches a plug.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LeadKind {
    /// A plug lead.
    Lead,
    /// The boot of a coil that sits on its plug.
    Boot,
}

/// A plug lead or boot. It pushes on at both ends: no wire goes to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Lead {
    /// Lead or boot.
    pub kind: LeadKind,
    /// The tower it comes from: a coil's or a distributor's; a distributor's terminal 4 takes a lead too.
    pub from: Option<Fact<Terminal>>,
    /// What it feeds: a plug's terminal, or a distributor's terminal 4.
    pub to: Option<Fact<Terminal>>,
    /// Resistance end to end.
    pub resistance: Option<Fact<Ohms>>,
}

/// A spark plug. Its shell is screwed into the engine.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plug {
    /// The cylinder it is screwed into.
    pub cylinder: Option<Fact<CylinderId>>,
    /// Its gap.
    pub gap: Option<Fact<Millimetres>>,
    /// Its built-in resistor.
    pub resistor: Option<Fact<Ohms>>,
}

/// A fuel injector.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Injector {
    /// The cylinder it feeds.
    pub cylinder: Option<Fact<CylinderId>>,
    /// Resistance of its winding.
    pub winding: Option<Fact<Ohms>>,
}
