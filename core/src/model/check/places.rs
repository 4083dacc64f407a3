//! How bad each finding about a map is, and where to point.

use super::MapFinding;
use crate::engine::CylinderId;
use crate::model::{
    DriverPiece, Element, FactAt, FactOwner, FindingId, PartId, PinId, Port, Terminal, WireId,
};

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The map is not done yet.
    Unfinished,
    /// Possible on a real car, but rare: worth a second look.
    Doubtful,
    /// No car can be like this.
    Wrong,
}

/// Something on the map to point at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Spot {
    /// A part.
    Part(PartId),
    /// A terminal of a part.
    Terminal(Terminal),
    /// A wire.
    Wire(WireId),
    /// An inner element.
    Element(Element),
    /// A cylinder.
    Cylinder(CylinderId),
    /// An entry of the findings.
    Finding(FindingId),
}

impl MapFinding {
    /// Whether the firing order, the crank angles or the cylinders that share a coil are what it is about.
    #[must_use]
    pub const fn is_of_engine(&self) -> bool {
        matches!(
            self,
            Self::NoCylinders
                | Self::TooManyCylinders { .. }
                | Self::CylinderRepeated { .. }
                | Self::OrderLacks { .. }
                | Self::OrderRepeats { .. }
                | Self::OrderUnknown { .. }
                | Self::AngleCount { .. }
                | Self::AngleFalls { .. }
                | Self::AngleOutside { .. }
                | Self::FirstAngle { .. }
                | Self::NotCompanions { .. }
                | Self::NoCompanionsAtAll { .. }
                | Self::CapOutOfOrder { .. }
        )
    }

    /// How bad it is.
    #[must_use]
    pub const fn severity(&self) -> Severity {
        match self {
            Self::NoCylinders
            | Self::TooManyCylinders { .. }
            | Self::CylinderRepeated { .. }
            | Self::OrderLacks { .. }
            | Self::OrderRepeats { .. }
            | Self::OrderUnknown { .. }
            | Self::AngleCount { .. }
            | Self::AngleFalls { .. }
            | Self::AngleOutside { .. }
            | Self::FirstAngle { .. }
            | Self::WireNowhere { .. }
            | Self::WireAtHighVoltage { .. }
            | Self::WireToItself { .. }
            | Self::LeadNowhere { .. }
            | Self::LeadMisplaced { .. }
            | Self::LeadsShare { .. }
            | Self::PinLabelRepeated { .. }
            | Self::CavityLabelRepeated { .. }
            | Self::NotCompanions { .. }
            | Self::NoCompanionsAtAll { .. }
            | Self::CoilAtWrongPin { .. }
            | Self::DriverPinMissing { .. }
            | Self::DriverPinRole { .. }
            | Self::PackMissing { .. }
            | Self::CylinderUnknown { .. }
            | Self::CapRepeats { .. }
            | Self::CapOutOfOrder { .. }
            | Self::LeadsCrossed { .. }
            | Self::ShortCircuit { .. }
            | Self::FindingNames { .. } => Severity::Wrong,
            Self::WiresParallel { .. }
            | Self::CoilsShareDriver { .. }
            | Self::DriversShareCoil { .. }
            | Self::DriversSharePin { .. }
            | Self::SeveralBatteries { .. }
            | Self::FactsClash { .. }
            | Self::ValueOutOfRange { .. } => Severity::Doubtful,
            Self::WireLoose { .. }
            | Self::LeadLoose { .. }
            | Self::PinUnlabelled { .. }
            | Self::PinUnknown { .. }
            | Self::CavityUnlabelled { .. }
            | Self::TowerWithoutLead { .. }
            | Self::CoilWithoutFeed { .. }
            | Self::CoilWithoutSwitch { .. }
            | Self::CoilWithoutGround { .. }
            | Self::DriverWithoutCoil { .. }
            | Self::DriverWithoutSignal { .. }
            | Self::PackEmpty { .. }
            | Self::CylinderWithoutPlug { .. }
            | Self::CylinderWithoutCoil { .. }
            | Self::PlugWithoutCoil { .. }
            | Self::CylinderUntold { .. }
            | Self::DistributorWithoutCoil { .. }
            | Self::NoBattery
            | Self::NoGroundPath { .. }
            | Self::UnitWithoutSupply { .. }
            | Self::UnitWithoutGround { .. }
            | Self::RelayWithoutWinding { .. }
            | Self::DeadEnd { .. } => Severity::Unfinished,
        }
    }

    /// What to point at on the map, the most telling first. Empty where the finding is about the whole map.
    #[must_use]
    pub fn places(&self) -> Vec<Spot> {
        let pin_of = |part: &PartId, pin: &PinId| {
            Spot::Terminal(Terminal {
                part: *part,
                port: Port::Pin(*pin),
            })
        };
        match self {
            Self::NoCylinders
            | Self::TooManyCylinders { .. }
            | Self::AngleCount { .. }
            | Self::FirstAngle { .. }
            | Self::AngleFalls { .. }
            | Self::AngleOutside { .. }
            | Self::NoBattery => Vec::new(),
            Self::CylinderRepeated { cylinder }
            | Self::OrderLacks { cylinder }
            | Self::OrderRepeats { cylinder }
            | Self::OrderUnknown { cylinder }
            | Self::CylinderWithoutPlug { cylinder }
            | Self::CylinderWithoutCoil { cylinder } => vec![Spot::Cylinder(*cylinder)],
            Self::WireLoose { wire, .. }
            | Self::WireNowhere { wire, .. }
            | Self::WireToItself { wire } => vec![Spot::Wire(*wire)],
            Self::WireAtHighVoltage { wire, terminal, .. } => {
                vec![Spot::Wire(*wire), Spot::Terminal(*terminal)]
            }
            Self::WiresParallel { wires } => vec![Spot::Wire(wires.0), Spot::Wire(wires.1)],
            Self::LeadLoose { lead, .. } | Self::LeadNowhere { lead, .. } => {
                vec![Spot::Part(*lead)]
            }
            Self::LeadMisplaced { lead, terminal, .. } => {
                vec![Spot::Part(*lead), Spot::Terminal(*terminal)]
            }
            Self::LeadsShare { terminal, leads } => std::iter::once(Spot::Terminal(*terminal))
                .chain(leads.iter().map(|lead| Spot::Part(*lead)))
                .collect(),
            Self::PinLabelRepeated { unit, pins } => {
                pins.iter().map(|pin| pin_of(unit, pin)).collect()
            }
            Self::PinUnlabelled { unit, pin } | Self::PinUnknown { unit, pin } => {
                vec![pin_of(unit, pin)]
            }
            Self::CavityLabelRepeated {
                connector,
                cavities,
            } => cavities
                .iter()
                .map(|cavity| Spot::Element(Element::Cavity(*connector, *cavity)))
                .collect(),
            Self::CavityUnlabelled { connector, cavity } => {
                vec![Spot::Element(Element::Cavity(*connector, *cavity))]
            }
            Self::NotCompanions {
                coil,
                cylinders: (a, b),
                ..
            } => vec![Spot::Part(*coil), Spot::Cylinder(*a), Spot::Cylinder(*b)],
            Self::NoCompanionsAtAll { coils } => parts(coils),
            Self::TowerWithoutLead { tower } => vec![Spot::Terminal(*tower)],
            Self::CoilWithoutFeed { coil } => vec![at(*coil, Port::Feed)],
            Self::CoilWithoutSwitch { coil } => vec![Spot::Part(*coil)],
            Self::CoilWithoutGround { coil } => vec![at(*coil, Port::CoilGround)],
            Self::CoilAtWrongPin {
                coil, unit, pin, ..
            } => vec![Spot::Part(*coil), pin_of(unit, pin)],
            Self::CoilsShareDriver { unit, coils, .. } => {
                let mut spots = parts(coils);
                spots.push(Spot::Part(*unit));
                spots
            }
            Self::DriversShareCoil { coil, .. } => vec![Spot::Part(*coil)],
            Self::DriverWithoutCoil { unit, .. }
            | Self::DriverWithoutSignal { unit, .. }
            | Self::DriverPinMissing { unit, .. }
            | Self::UnitWithoutSupply { unit }
            | Self::UnitWithoutGround { unit } => vec![Spot::Part(*unit)],
            Self::DriverPinRole { unit, pin, .. } | Self::DriversSharePin { unit, pin, .. } => {
                vec![pin_of(unit, pin)]
            }
            Self::PackMissing { coil, .. } => vec![Spot::Part(*coil)],
            Self::PackEmpty { pack } => vec![Spot::Part(*pack)],
            Self::PlugWithoutCoil { plug } => vec![Spot::Part(*plug)],
            Self::CylinderUntold { part } | Self::CylinderUnknown { part, .. } => {
                vec![Spot::Part(*part)]
            }
            Self::CapRepeats { distributor, .. }
            | Self::CapOutOfOrder { distributor }
            | Self::DistributorWithoutCoil { distributor } => vec![Spot::Part(*distributor)],
            Self::LeadsCrossed {
                tower,
                lead,
                cylinder,
            } => vec![
                Spot::Part(*lead),
                Spot::Terminal(*tower),
                Spot::Cylinder(*cylinder),
            ],
            Self::SeveralBatteries { batteries } => parts(batteries),
            Self::NoGroundPath { grounds } => parts(grounds),
            Self::ShortCircuit { wires } => wires.iter().map(|wire| Spot::Wire(*wire)).collect(),
            Self::RelayWithoutWinding { terminal } | Self::DeadEnd { terminal } => {
                vec![Spot::Terminal(*terminal)]
            }
            Self::ValueOutOfRange { spot, .. } => vec![*spot],
            Self::FactsClash { at } => spot_of(*at).into_iter().collect(),
            Self::FindingNames { finding, .. } => vec![Spot::Finding(*finding)],
        }
    }
}

const fn at(part: PartId, port: Port) -> Spot {
    Spot::Terminal(Terminal { part, port })
}

fn parts(ids: &[PartId]) -> Vec<Spot> {
    ids.iter().map(|id| Spot::Part(*id)).collect()
}

/// Where a fact stands on the map; `None` for those of the whole engine.
const fn spot_of(fact: FactAt) -> Option<Spot> {
    Some(match fact.owner() {
        FactOwner::Engine => return None,
        FactOwner::Wire(wire) => Spot::Wire(wire),
        FactOwner::Part(part) => Spot::Part(part),
        FactOwner::Pin(part, pin) => at(part, Port::Pin(pin)),
        FactOwner::Cavity(part, cavity) => Spot::Element(Element::Cavity(part, cavity)),
        FactOwner::Driver(driver) => Spot::Element(Element::Driver(driver, piece_of(fact))),
    })
}

/// The piece of a driver that a fact of it is about.
const fn piece_of(fact: FactAt) -> DriverPiece {
    if matches!(fact, FactAt::DriverOutput(_)) {
        DriverPiece::OutputJoint
    } else if matches!(fact, FactAt::DriverGround(_)) {
        DriverPiece::GroundJoint
    } else if matches!(fact, FactAt::DriverDrive(_)) {
        DriverPiece::GateJoint
    } else {
        // Its voltage and resistance when on.
        DriverPiece::Switch
    }
}
