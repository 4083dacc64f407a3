//! What must hold so that a cylinder works: connections in the network, or what is missing to say so.

use super::{Branch, BranchKind, Node};
use crate::engine::CylinderId;
use crate::model::{DriverId, PartId, Terminal};

/// What a connection is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NeedKind {
    /// The battery itself.
    Battery(PartId),
    /// Battery plus to a coil's 15.
    Feed(PartId),
    /// A coil's primary.
    Primary(PartId),
    /// A coil's 1 to the output side of a driver.
    Control(PartId, DriverId),
    /// A coil's 1 to a driver that nobody has found yet.
    ControlToUnknown(PartId),
    /// A driver's transistor.
    Switch(DriverId),
    /// The ground side of a driver to battery minus.
    DriverGround(DriverId),
    /// Crank signal through logic and drive path to a driver's gate.
    Drive(DriverId),
    /// Battery plus to a unit's supply rail.
    UnitSupply(PartId),
    /// A unit's ground rail to battery minus.
    UnitGround(PartId),
    /// Battery plus to a relay's 86.
    WindingFeed(PartId),
    /// A relay's winding.
    Winding(PartId),
    /// A relay's 85 to battery minus.
    WindingReturn(PartId),
    /// A coil's secondary.
    Secondary(PartId),
    /// From a coil's tower over lead and plug to the metal of the engine.
    Side(Terminal, PartId),
    /// From a coil's tower to a plug that nobody has found yet.
    SideToUnknown(Terminal),
    /// The other end of a single-ended secondary to the metal of the engine.
    Return(PartId),
    /// The metal of the engine to battery minus.
    EngineGround,
    /// Battery plus to an injector.
    InjectorFeed(PartId),
    /// An injector's winding.
    InjectorWinding(PartId),
    /// An injector to the unit's pin that switches it.
    InjectorControl(PartId),
}

/// Which branches a connection may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Through {
    /// This branch of the network alone.
    Branch(usize),
    /// Conductors, key and relay contacts; of the insides of units where supply pins meet, only that
    /// of this unit.
    Power(Option<PartId>),
    /// As `Power(None)`, and a unit's own switches that pull in relays.
    RelayReturn,
    /// Conductors alone.
    Conductors,
    /// Signals in their direction, and conductors.
    Signals,
    /// Leads, rotor and cap gaps, and this plug.
    HighVoltage(PartId),
    /// As `Power(None)`, and the battery.
    SparkReturn,
}

impl Through {
    /// Whether a connection of this sort may use `branch`, the network's branch of that index.
    #[must_use]
    pub fn admits(self, index: usize, branch: &Branch) -> bool {
        use BranchKind::{Conductor, KeyContact, RelayContact};
        let power = |unit: Option<PartId>| {
            matches!(branch.kind, Conductor | KeyContact | RelayContact)
                && [branch.a, branch.b].into_iter().all(|node| match node {
                    Node::SupplyIn(part) => Some(part) == unit,
                    Node::At(_)
                    | Node::Behind(_)
                    | Node::End(..)
                    | Node::Metal(_)
                    | Node::SupplyRail(_)
                    | Node::GroundIn(_)
                    | Node::GroundRail(_)
                    | Node::Land(..)
                    | Node::PrimaryLow(_)
                    | Node::Collector(_)
                    | Node::Emitter(_)
                    | Node::DriveStart(_)
                    | Node::DriveMiddle(_)
                    | Node::DriveEnd(_)
                    | Node::Gate(_)
                    | Node::Crank(_)
                    | Node::Logic(_)
                    | Node::RotorTip(_)
                    | Node::Electrode(_) => true,
                })
        };
        match self {
            Self::Branch(only) => only == index,
            Self::Power(unit) => power(unit),
            Self::RelayReturn => power(None) || branch.kind == BranchKind::RelaySwitch,
            Self::Conductors => branch.kind == Conductor,
            Self::Signals => matches!(branch.kind, Conductor | BranchKind::Signal),
            Self::HighVoltage(plug) => match branch.kind {
                BranchKind::Lead | BranchKind::Rotor | BranchKind::CapGap(_) => true,
                BranchKind::PlugResistor => branch.b == Node::Electrode(plug),
                BranchKind::Gap => branch.a == Node::Electrode(plug),
                BranchKind::Source
                | Conductor
                | KeyContact
                | RelayContact
                | BranchKind::RelayWinding
                | BranchKind::UnitLoad
                | BranchKind::Primary
                | BranchKind::Secondary
                | BranchKind::Switch
                | BranchKind::RelaySwitch
                | BranchKind::InjectorWinding
                | BranchKind::Signal => false,
            },
            Self::SparkReturn => power(None) || branch.kind == BranchKind::Source,
        }
    }
}

/// One connection that must hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// What it is for.
    pub kind: NeedKind,
    /// Where it begins; any of these.
    pub from: Vec<Node>,
    /// Where it ends; any of these.
    pub to: Vec<Node>,
    /// What it may lead through.
    pub through: Through,
    /// Whether the map shows it.
    pub state: NeedState,
}

/// Whether the map shows a connection.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NeedState {
    /// It is there.
    Shown,
    /// It is not there: the map is unfinished.
    Unknown(Missing),
}

/// What the map lacks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Missing {
    /// No battery.
    Battery,
    /// No plug is screwed into this cylinder.
    Plug(CylinderId),
    /// No lead or boot joins this plug to a coil.
    Coil(PartId),
    /// No driver is joined to this coil.
    Driver(PartId),
    /// No plug is joined to this tower of a coil.
    PlugAtTower(Terminal),
    /// No control unit commands this driver.
    Command(DriverId),
    /// This unit has no supply pin.
    SupplyPin(PartId),
    /// This unit has no ground pin.
    GroundPin(PartId),
    /// No pin of a unit is known to switch this injector.
    InjectorPin(PartId),
    /// Both ends are known, but nothing joins them.
    Path(NeedKind),
}

/// One way in which a plug gets its spark: a plug, a coil's tower, a driver and what they need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chain {
    /// The plug.
    pub plug: PartId,
    /// The coil's tower that feeds it; the terminal's part is the coil.
    pub tower: Terminal,
    /// The driver, where one is joined to the coil.
    pub driver: Option<DriverId>,
    /// The unit that commands the driver, where the map shows one.
    pub command: Option<PartId>,
    /// Connections without which there is no spark, by their index among the needs.
    pub needs: Vec<usize>,
    /// Connections without which the spark is in doubt.
    pub doubts: Vec<usize>,
}

/// All that one cylinder needs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CylinderNeeds {
    /// The ways in which it gets a spark; one is enough for it to fire somehow.
    pub chains: Vec<Chain>,
    /// Connections without which it gets no fuel, as far as the map shows injectors.
    pub fuel: Vec<usize>,
    /// What the map lacks to say all.
    pub missing: Vec<Missing>,
}
