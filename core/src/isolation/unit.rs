//! Units of repair: what one act of mending mends.

use crate::engine::CylinderId;
use crate::faults::{Fault, Mode};
use crate::model::{DriverId, DriverPiece, Element, Harness, PartId, PinId, WireEnd, WireId};
use crate::said::say;

/// What one act of mending mends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// A part as a whole: coil, lead, plug, fuse, relay, key, battery, injector, distributor.
    Part(PartId),
    /// A wire, laid anew.
    Wire(WireId),
    /// The joints at a splice, ground point or battery post.
    Joints(PartId),
    /// The contacts of what is plugged on: a coil, relay, injector, unit or in-line connector. Who
    /// pulls a plug to clean one contact cleans them all.
    Contacts(PartId),
    /// The trace behind a pin.
    Trace(PartId, PinId),
    /// A unit's supply joints.
    BoardSupply(PartId),
    /// A unit's ground joints.
    BoardGround(PartId),
    /// A unit's logic: another unit.
    Logic(PartId),
    /// The crank signal: sensor, its wires, its place.
    CrankSignal(PartId),
    /// A driver's transistor.
    Transistor(DriverId),
    /// The solder joints of a driver: output, ground, gate and drive.
    DriverJoints(DriverId),
    /// The resistor of a drive path.
    DriveResistor(DriverId),
    /// Two leads that have changed places, the smaller id first.
    Crossed(PartId, PartId),
    /// What is not electrical in a cylinder.
    Cylinder(CylinderId),
}

impl Unit {
    /// The unit of repair that mends a fault.
    #[must_use]
    pub fn of(harness: &Harness, fault: Fault) -> Self {
        if let Mode::CrossedWith(other) = fault.mode
            && let Some(part) = harness.part_of(fault.element)
        {
            return Self::Crossed(part.min(other), part.max(other));
        }
        match fault.element {
            Element::Battery(part)
            | Element::Contact(part)
            | Element::RelayWinding(part)
            | Element::Primary(part)
            | Element::Secondary(part)
            | Element::CoilInsulation(part)
            | Element::Rotor(part)
            | Element::Cap(part)
            | Element::LeadConductor(part)
            | Element::LeadInsulation(part)
            | Element::Gap(part)
            | Element::Insulator(part)
            | Element::PlugResistor(part)
            | Element::InjectorWinding(part) => Self::Part(part),
            Element::Wire(wire) => Self::Wire(wire),
            Element::Joint(wire, end) => {
                joined_at(harness, wire, end).map_or(Self::Wire(wire), Self::Joints)
            }
            Element::Mated(terminal) => Self::Contacts(terminal.part),
            Element::Cavity(part, _) => Self::Contacts(part),
            Element::Trace(part, pin) => Self::Trace(part, pin),
            Element::BoardSupply(part) => Self::BoardSupply(part),
            Element::BoardGround(part) => Self::BoardGround(part),
            Element::Logic(part) => Self::Logic(part),
            Element::CrankSignal(part) => Self::CrankSignal(part),
            Element::Driver(driver, piece) => {
                // A driver cast into a coil goes with the coil.
                if let Some(coil) = coil_of(harness, driver) {
                    return Self::Part(coil);
                }
                match piece {
                    DriverPiece::Switch => Self::Transistor(driver),
                    DriverPiece::DriveResistor => Self::DriveResistor(driver),
                    DriverPiece::OutputJoint
                    | DriverPiece::GroundJoint
                    | DriverPiece::DriveJoint
                    | DriverPiece::GateJoint => Self::DriverJoints(driver),
                }
            }
            Element::Cylinder(cylinder) => Self::Cylinder(cylinder),
        }
    }

    /// The unit as people say it.
    #[must_use]
    pub fn name(self, harness: &Harness) -> String {
        let driver_of = |driver: DriverId| {
            harness
                .driver(driver)
                .map_or_else(|| say!("driver ?"), |d| d.name.clone())
        };
        match self {
            Self::Part(part) => harness.part_name(part).to_owned(),
            Self::Wire(wire) => harness.wire_name(wire),
            Self::Joints(part) => say!("{}, joints", harness.part_name(part)),
            Self::Contacts(part) => say!("{}, plug contacts", harness.part_name(part)),
            Self::Trace(part, pin) => harness.element_name(Element::Trace(part, pin)),
            Self::BoardSupply(part) => harness.element_name(Element::BoardSupply(part)),
            Self::BoardGround(part) => harness.element_name(Element::BoardGround(part)),
            Self::Logic(part) => harness.element_name(Element::Logic(part)),
            Self::CrankSignal(part) => harness.element_name(Element::CrankSignal(part)),
            Self::Transistor(driver) => say!("{}, transistor", driver_of(driver)),
            Self::DriverJoints(driver) => say!("{}, solder joints", driver_of(driver)),
            Self::DriveResistor(driver) => say!("{}, drive resistor", driver_of(driver)),
            Self::Crossed(a, b) => say!(
                "{} and {} crossed",
                harness.part_name(a),
                harness.part_name(b)
            ),
            Self::Cylinder(cylinder) => harness.element_name(Element::Cylinder(cylinder)),
        }
    }
}

/// The coil into which a driver is cast.
fn coil_of(harness: &Harness, driver: DriverId) -> Option<PartId> {
    harness
        .drivers()
        .find(|(_, d)| d.id == driver)
        .map(|(host, _)| host)
        .filter(|host| harness.coil(*host).is_some())
}

/// The splice, ground point or battery at which a wire end is joined.
pub(super) fn joined_at(harness: &Harness, wire: WireId, end: WireEnd) -> Option<PartId> {
    let terminal = harness.wires.get(&wire)?.end(end)?.value;
    harness
        .parts
        .contains_key(&terminal.part)
        .then_some(terminal.part)
}
