//! The findings about a map.

use super::{Quantity, Spot};
use crate::engine::CylinderId;
use crate::model::{
    CavityId, DriverId, Element, FactAt, FindingId, PartId, PinId, PinRole, Terminal, WireEnd,
    WireId,
};
use crate::units::Degrees;

/// Something that a finding names and the map does not have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Missing {
    /// A part.
    Part(PartId),
    /// A terminal.
    Terminal(Terminal),
    /// An element.
    Element(Element),
    /// A cylinder.
    Cylinder(CylinderId),
    /// A driver.
    Driver(DriverId),
}

/// One thing that is wrong, doubtful or unfinished in a map.
#[derive(Debug, Clone, PartialEq)]
pub enum MapFinding {
    /// The engine has no cylinders.
    NoCylinders,
    /// The engine has more cylinders than the program takes.
    TooManyCylinders {
        /// How many.
        found: usize,
    },
    /// A cylinder's number stands twice in the rows.
    CylinderRepeated {
        /// The number.
        cylinder: CylinderId,
    },
    /// The firing order leaves a cylinder out.
    OrderLacks {
        /// The cylinder.
        cylinder: CylinderId,
    },
    /// The firing order names a cylinder more than once.
    OrderRepeats {
        /// The cylinder.
        cylinder: CylinderId,
    },
    /// The firing order names a cylinder that the engine does not have.
    OrderUnknown {
        /// The number.
        cylinder: CylinderId,
    },
    /// There are not as many crank angles as entries of the firing order.
    AngleCount {
        /// Entries of the order.
        order: usize,
        /// Crank angles.
        angles: usize,
    },
    /// The crank angles do not begin at 0°.
    FirstAngle {
        /// The first angle.
        at: Degrees,
    },
    /// A crank angle is smaller than the one before it.
    AngleFalls {
        /// The place in the order, from 0.
        place: usize,
        /// The angle before.
        before: Degrees,
        /// This angle.
        at: Degrees,
    },
    /// A crank angle lies outside the cycle.
    AngleOutside {
        /// The place in the order, from 0.
        place: usize,
        /// The angle.
        at: Degrees,
        /// The cycle.
        cycle: Degrees,
    },

    /// Nobody has followed an end of a wire yet.
    WireLoose {
        /// The wire.
        wire: WireId,
        /// The end.
        end: WireEnd,
    },
    /// A wire ends at a terminal that does not exist.
    WireNowhere {
        /// The wire.
        wire: WireId,
        /// The end.
        end: WireEnd,
        /// The terminal that it names.
        terminal: Terminal,
    },
    /// A wire ends where no wire can: a tower, a lead, a plug.
    WireAtHighVoltage {
        /// The wire.
        wire: WireId,
        /// The end.
        end: WireEnd,
        /// The terminal.
        terminal: Terminal,
    },
    /// Both ends of a wire are at one terminal.
    WireToItself {
        /// The wire.
        wire: WireId,
    },
    /// Two wires join the same two terminals.
    WiresParallel {
        /// The wires.
        wires: (WireId, WireId),
    },
    /// Nobody has followed an end of a lead yet.
    LeadLoose {
        /// The lead.
        lead: PartId,
        /// The end.
        end: WireEnd,
    },
    /// A lead ends at a terminal that does not exist.
    LeadNowhere {
        /// The lead.
        lead: PartId,
        /// The end.
        end: WireEnd,
        /// The terminal that it names.
        terminal: Terminal,
    },
    /// A lead comes from something that is no tower, or goes to something that takes no lead.
    LeadMisplaced {
        /// The lead.
        lead: PartId,
        /// The end.
        end: WireEnd,
        /// The terminal.
        terminal: Terminal,
    },
    /// Two leads on one tower, or on one plug.
    LeadsShare {
        /// The terminal.
        terminal: Terminal,
        /// The leads.
        leads: Vec<PartId>,
    },
    /// Several pins of a box carry the same label.
    PinLabelRepeated {
        /// The box.
        unit: PartId,
        /// The pins.
        pins: Vec<PinId>,
    },
    /// A pin's label is not known.
    PinUnlabelled {
        /// The box.
        unit: PartId,
        /// The pin.
        pin: PinId,
    },
    /// What a pin is for is not known.
    PinUnknown {
        /// The box.
        unit: PartId,
        /// The pin.
        pin: PinId,
    },
    /// Several cavities of a connector carry the same label.
    CavityLabelRepeated {
        /// The connector.
        connector: PartId,
        /// The cavities.
        cavities: Vec<CavityId>,
    },
    /// A cavity's label is not known.
    CavityUnlabelled {
        /// The connector.
        connector: PartId,
        /// The cavity.
        cavity: CavityId,
    },

    /// Two cylinders on one double-ended coil are not at the top together.
    NotCompanions {
        /// The coil.
        coil: PartId,
        /// Its cylinders, tower 4a first.
        cylinders: (CylinderId, CylinderId),
        /// Crank angles of their compression tops.
        tops: (Degrees, Degrees),
        /// How far apart the pistons are, 0 to 180°.
        apart: Degrees,
    },
    /// There are double-ended coils on an engine in which no two pistons are at the top together.
    NoCompanionsAtAll {
        /// The double-ended coils.
        coils: Vec<PartId>,
    },
    /// No lead comes from a coil's tower.
    TowerWithoutLead {
        /// The tower.
        tower: Terminal,
    },
    /// A coil's terminal 15 has no way to the battery.
    CoilWithoutFeed {
        /// The coil.
        coil: PartId,
    },
    /// Nothing switches a coil.
    CoilWithoutSwitch {
        /// The coil.
        coil: PartId,
    },
    /// A coil's ground terminal has no way to ground.
    CoilWithoutGround {
        /// The coil.
        coil: PartId,
    },
    /// A coil's switched side goes to a pin that is for something else.
    CoilAtWrongPin {
        /// The coil.
        coil: PartId,
        /// The box.
        unit: PartId,
        /// The pin.
        pin: PinId,
        /// What the pin is for.
        role: PinRole,
    },
    /// Several coils hang on one driver.
    CoilsShareDriver {
        /// The driver.
        driver: DriverId,
        /// Its box.
        unit: PartId,
        /// The coils.
        coils: Vec<PartId>,
    },
    /// Several drivers switch one coil.
    DriversShareCoil {
        /// The coil.
        coil: PartId,
        /// The drivers.
        drivers: Vec<DriverId>,
    },
    /// A driver switches no coil.
    DriverWithoutCoil {
        /// The driver.
        driver: DriverId,
        /// Its box.
        unit: PartId,
    },
    /// A driver in a module is told by nobody.
    DriverWithoutSignal {
        /// The driver.
        driver: DriverId,
        /// Its box.
        unit: PartId,
    },
    /// A driver names a pin that its box does not have.
    DriverPinMissing {
        /// The driver.
        driver: DriverId,
        /// Its box.
        unit: PartId,
        /// The pin.
        pin: PinId,
    },
    /// A driver uses a pin that is for something else.
    DriverPinRole {
        /// The driver.
        driver: DriverId,
        /// Its box.
        unit: PartId,
        /// The pin.
        pin: PinId,
        /// What the driver needs it for.
        needs: PinRole,
        /// What the pin is for.
        role: PinRole,
    },
    /// Several drivers switch one pin.
    DriversSharePin {
        /// Their box.
        unit: PartId,
        /// The pin.
        pin: PinId,
        /// The drivers.
        drivers: Vec<DriverId>,
    },
    /// A coil names a pack that does not exist or is no pack.
    PackMissing {
        /// The coil.
        coil: PartId,
        /// What it names.
        pack: PartId,
    },
    /// A pack holds no coil.
    PackEmpty {
        /// The pack.
        pack: PartId,
    },
    /// A cylinder has no spark plug.
    CylinderWithoutPlug {
        /// The cylinder.
        cylinder: CylinderId,
    },
    /// None of a cylinder's plugs is reached from a coil.
    CylinderWithoutCoil {
        /// The cylinder.
        cylinder: CylinderId,
    },
    /// One plug of a cylinder is not reached from a coil, another is.
    PlugWithoutCoil {
        /// The plug.
        plug: PartId,
    },
    /// Nobody knows which cylinder a plug or injector belongs to.
    CylinderUntold {
        /// The part.
        part: PartId,
    },
    /// A plug, injector or distributor tower names a cylinder that the engine does not have.
    CylinderUnknown {
        /// The part.
        part: PartId,
        /// The number.
        cylinder: CylinderId,
    },
    /// A distributor has several towers for one cylinder.
    CapRepeats {
        /// The distributor.
        distributor: PartId,
        /// The cylinder.
        cylinder: CylinderId,
    },
    /// A distributor's towers do not follow the firing order.
    CapOutOfOrder {
        /// The distributor.
        distributor: PartId,
    },
    /// The lead on a cylinder's tower goes to another cylinder.
    LeadsCrossed {
        /// The tower.
        tower: Terminal,
        /// The lead.
        lead: PartId,
        /// Where it goes.
        cylinder: CylinderId,
    },
    /// No coil feeds a distributor's terminal 4.
    DistributorWithoutCoil {
        /// The distributor.
        distributor: PartId,
    },

    /// There is no battery.
    NoBattery,
    /// There are several batteries.
    SeveralBatteries {
        /// They.
        batteries: Vec<PartId>,
    },
    /// The engine has no way back to the battery: the plugs' return is not drawn.
    NoGroundPath {
        /// The engine's ground points; empty where there are none.
        grounds: Vec<PartId>,
    },
    /// Battery positive and negative are joined with nothing between.
    ShortCircuit {
        /// The wires on the way, from positive to negative.
        wires: Vec<WireId>,
    },
    /// A box has no supply.
    UnitWithoutSupply {
        /// The box.
        unit: PartId,
    },
    /// A box has no ground.
    UnitWithoutGround {
        /// The box.
        unit: PartId,
    },
    /// A relay's winding is not in a circuit.
    RelayWithoutWinding {
        /// The terminal that nothing is joined to.
        terminal: Terminal,
    },
    /// A fuse, key switch, relay contact or connector cavity is wired on one side only.
    DeadEnd {
        /// The side without a wire.
        terminal: Terminal,
    },

    /// A value far outside what such parts have.
    ValueOutOfRange {
        /// Whose value.
        spot: Spot,
        /// Which value.
        quantity: Quantity,
        /// What the map says, in the unit of the quantity's range.
        value: f64,
    },
    /// What is said of a fact does not agree.
    FactsClash {
        /// The fact.
        at: FactAt,
    },
    /// A finding names something that the map does not have.
    FindingNames {
        /// The finding.
        finding: FindingId,
        /// What is missing.
        missing: Missing,
    },
}
