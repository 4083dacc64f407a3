//! The place of every fact in a harness, what can stand there, and what else is said of it.

mod slot;
mod words;

use super::{
    CavityId, DriverId, PartId, PinId, PinRole, Quantity, Terminal, WireColour, WireEnd, WireId,
    WireSize,
};
use crate::engine::{CylinderId, Firing};
use crate::provenance::Provenance;

pub(crate) use slot::Fit;

/// The place of one fact in a harness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FactAt {
    /// The engine's firing order.
    FiringOrder,
    /// The crank angles that go with it.
    FiringAngles,
    /// Where one end of a wire goes.
    WireEnd(WireId, WireEnd),
    /// A wire's colours.
    WireColour(WireId),
    /// A wire's size.
    WireSize(WireId),
    /// A wire's length.
    WireLength(WireId),
    /// The number or letter of a control unit's pin.
    PinLabel(PartId, PinId),
    /// What such a pin is for.
    PinRole(PartId, PinId),
    /// The number or letter of a connector's cavity.
    CavityLabel(PartId, CavityId),
    /// The pin that a driver switches.
    DriverOutput(DriverId),
    /// The ground pin that a driver uses.
    DriverGround(DriverId),
    /// The pin on which a driver is told to switch.
    DriverDrive(DriverId),
    /// A driver's voltage when on.
    DriverOnVoltage(DriverId),
    /// A driver's resistance when on.
    DriverOnResistance(DriverId),
    /// A battery's voltage.
    BatteryVoltage(PartId),
    /// A battery's inner resistance.
    BatteryResistance(PartId),
    /// A fuse's rating.
    FuseRating(PartId),
    /// The resistance of a relay's winding.
    RelayWinding(PartId),
    /// A coil's primary resistance.
    PrimaryResistance(PartId),
    /// A coil's primary inductance.
    PrimaryInductance(PartId),
    /// A coil's secondary resistance.
    SecondaryResistance(PartId),
    /// A coil's turns ratio.
    TurnsRatio(PartId),
    /// The tower that a lead comes from.
    LeadFrom(PartId),
    /// What a lead feeds.
    LeadTo(PartId),
    /// A lead's resistance.
    LeadResistance(PartId),
    /// The cylinder of a plug.
    PlugCylinder(PartId),
    /// A plug's gap.
    PlugGap(PartId),
    /// A plug's resistor.
    PlugResistor(PartId),
    /// The cylinder of an injector.
    InjectorCylinder(PartId),
    /// The resistance of an injector's winding.
    InjectorWinding(PartId),
    /// The resistor from each coil output of a unit to its supply.
    PullUp(PartId),
    /// The resistor from each coil output of a unit to its ground.
    PullDown(PartId),
}

/// Whose fact it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FactOwner {
    /// The engine's.
    Engine,
    /// A wire's.
    Wire(WireId),
    /// A part's.
    Part(PartId),
    /// A control unit's pin's.
    Pin(PartId, PinId),
    /// A connector's cavity's.
    Cavity(PartId, CavityId),
    /// A driver's.
    Driver(DriverId),
}

impl FactAt {
    /// Whose fact it is.
    #[must_use]
    pub const fn owner(self) -> FactOwner {
        match self {
            Self::FiringOrder | Self::FiringAngles => FactOwner::Engine,
            Self::WireEnd(wire, _)
            | Self::WireColour(wire)
            | Self::WireSize(wire)
            | Self::WireLength(wire) => FactOwner::Wire(wire),
            Self::PinLabel(part, pin) | Self::PinRole(part, pin) => FactOwner::Pin(part, pin),
            Self::CavityLabel(part, cavity) => FactOwner::Cavity(part, cavity),
            Self::BatteryVoltage(part)
            | Self::BatteryResistance(part)
            | Self::FuseRating(part)
            | Self::RelayWinding(part)
            | Self::PrimaryResistance(part)
            | Self::PrimaryInductance(part)
            | Self::SecondaryResistance(part)
            | Self::TurnsRatio(part)
            | Self::LeadFrom(part)
            | Self::LeadTo(part)
            | Self::LeadResistance(part)
            | Self::PlugCylinder(part)
            | Self::PlugGap(part)
            | Self::PlugResistor(part)
            | Self::InjectorCylinder(part)
            | Self::InjectorWinding(part)
            | Self::PullUp(part)
            | Self::PullDown(part) => FactOwner::Part(part),
            Self::DriverOutput(driver)
            | Self::DriverGround(driver)
            | Self::DriverDrive(driver)
            | Self::DriverOnVoltage(driver)
            | Self::DriverOnResistance(driver) => FactOwner::Driver(driver),
        }
    }

    /// What is measured at a fact; `None` where the fact is no number.
    #[must_use]
    pub const fn quantity(self) -> Option<Quantity> {
        match self {
            Self::BatteryVoltage(_) => Some(Quantity::BatteryVoltage),
            Self::BatteryResistance(_) => Some(Quantity::BatteryResistance),
            Self::FuseRating(_) => Some(Quantity::FuseRating),
            Self::RelayWinding(_) => Some(Quantity::RelayWinding),
            Self::PrimaryResistance(_) => Some(Quantity::Primary),
            Self::PrimaryInductance(_) => Some(Quantity::Inductance),
            Self::SecondaryResistance(_) => Some(Quantity::Secondary),
            Self::TurnsRatio(_) => Some(Quantity::TurnsRatio),
            Self::LeadResistance(_) => Some(Quantity::Lead),
            Self::PlugGap(_) => Some(Quantity::Gap),
            Self::PlugResistor(_) => Some(Quantity::PlugResistor),
            Self::InjectorWinding(_) => Some(Quantity::InjectorWinding),
            Self::PullUp(_) | Self::PullDown(_) => Some(Quantity::Pull),
            Self::DriverOnVoltage(_) => Some(Quantity::DriverVoltage),
            Self::DriverOnResistance(_) => Some(Quantity::DriverResistance),
            Self::WireSize(_) => Some(Quantity::WireArea),
            Self::WireLength(_) => Some(Quantity::WireLength),
            Self::FiringOrder
            | Self::FiringAngles
            | Self::WireEnd(..)
            | Self::WireColour(_)
            | Self::PinLabel(..)
            | Self::PinRole(..)
            | Self::CavityLabel(..)
            | Self::DriverOutput(_)
            | Self::DriverGround(_)
            | Self::DriverDrive(_)
            | Self::LeadFrom(_)
            | Self::LeadTo(_)
            | Self::PlugCylinder(_)
            | Self::InjectorCylinder(_) => None,
        }
    }
}

/// What a fact says.
#[derive(Debug, Clone, PartialEq)]
pub enum FactValue {
    /// A number, in the unit of its quantity's range.
    Number(f64),
    /// A wire's size.
    Size(WireSize),
    /// A wire's colours.
    Colour(WireColour),
    /// Where a wire or lead ends; the pin that a driver uses, as a terminal of its box.
    Terminal(Terminal),
    /// What is printed or moulded beside a pin or cavity.
    Label(String),
    /// What a pin is for.
    Role(PinRole),
    /// A cylinder.
    Cylinder(CylinderId),
    /// A firing order.
    Order(Vec<CylinderId>),
    /// Crank angles.
    Firing(Firing),
}

/// A value that clashes with the one that the map goes by, kept until somebody settles it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rival {
    /// The fact that it is about.
    pub at: FactAt,
    /// What it says instead.
    pub value: FactValue,
    /// How that is known.
    pub how: Provenance,
}
