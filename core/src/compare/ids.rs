//! Every id in a map, given out or referred to, so that all can be exchanged or looked at.

use crate::model::{
    Cavity, CavityId, Driver, DriverId, Element, FactAt, FactValue, Finding, FindingId, Harness,
    Part, PartId, PartKind, Pin, PinId, Port, Rival, Seen, Setup, SwapPair, Terminal, Wire, WireId,
    WorkId,
};

/// What an id is the id of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Of {
    Part,
    Wire,
    Pin,
    Cavity,
    Driver,
    Finding,
    Work,
}

/// Called with each id; the number that it returns takes its place.
pub(super) type Each<'a> = &'a mut dyn FnMut(Of, u32) -> u32;

/// Something with ids in it.
pub(super) trait Ids {
    /// Calls `each` with every id.
    fn ids(&mut self, each: Each<'_>);
}

macro_rules! ids {
    ($($type:ident of $of:ident),* $(,)?) => {
        $(impl Ids for $type {
            fn ids(&mut self, each: Each<'_>) {
                *self = Self::from_number(each(Of::$of, self.number()));
            }
        })*
    };
}

ids!(
    PartId of Part,
    WireId of Wire,
    PinId of Pin,
    CavityId of Cavity,
    DriverId of Driver,
    FindingId of Finding,
    WorkId of Work,
);

impl<T: Ids> Ids for Option<T> {
    fn ids(&mut self, each: Each<'_>) {
        if let Some(inner) = self {
            inner.ids(each);
        }
    }
}

impl<T: Ids> Ids for Vec<T> {
    fn ids(&mut self, each: Each<'_>) {
        for item in self {
            item.ids(each);
        }
    }
}

impl<T: Ids> Ids for crate::provenance::Fact<T> {
    fn ids(&mut self, each: Each<'_>) {
        self.value.ids(each);
    }
}

impl Ids for Terminal {
    fn ids(&mut self, each: Each<'_>) {
        self.part.ids(each);
        if let Port::Pin(pin) = &mut self.port {
            pin.ids(each);
        } else if let Port::Cavity(cavity, _) = &mut self.port {
            cavity.ids(each);
        }
    }
}

impl Ids for Pin {
    fn ids(&mut self, each: Each<'_>) {
        self.id.ids(each);
    }
}

impl Ids for Cavity {
    fn ids(&mut self, each: Each<'_>) {
        self.id.ids(each);
    }
}

impl Ids for Driver {
    fn ids(&mut self, each: Each<'_>) {
        self.id.ids(each);
        self.output.ids(each);
        self.ground.ids(each);
        self.drive.ids(each);
    }
}

impl Ids for Part {
    fn ids(&mut self, each: Each<'_>) {
        match &mut self.kind {
            PartKind::Connector(connector) => connector.cavities.ids(each),
            PartKind::ControlUnit(unit) => {
                unit.pins.ids(each);
                unit.drivers.ids(each);
            }
            PartKind::Coil(coil) => {
                coil.driver.ids(each);
                coil.pack.ids(each);
            }
            PartKind::Lead(lead) => {
                lead.from.ids(each);
                lead.to.ids(each);
            }
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_) => {}
        }
    }
}

impl Ids for Wire {
    fn ids(&mut self, each: Each<'_>) {
        self.from.ids(each);
        self.to.ids(each);
    }
}

impl Ids for Element {
    fn ids(&mut self, each: Each<'_>) {
        match self {
            Self::Battery(part)
            | Self::Contact(part)
            | Self::RelayWinding(part)
            | Self::BoardSupply(part)
            | Self::BoardGround(part)
            | Self::Logic(part)
            | Self::CrankSignal(part)
            | Self::Primary(part)
            | Self::Secondary(part)
            | Self::CoilInsulation(part)
            | Self::Rotor(part)
            | Self::Cap(part)
            | Self::LeadConductor(part)
            | Self::LeadInsulation(part)
            | Self::Gap(part)
            | Self::Insulator(part)
            | Self::PlugResistor(part)
            | Self::InjectorWinding(part) => part.ids(each),
            Self::Wire(wire) | Self::Joint(wire, _) => wire.ids(each),
            Self::Mated(terminal) => terminal.ids(each),
            Self::Cavity(part, cavity) => {
                part.ids(each);
                cavity.ids(each);
            }
            Self::Trace(part, pin) => {
                part.ids(each);
                pin.ids(each);
            }
            Self::Driver(driver, _) => driver.ids(each),
            Self::Cylinder(_) => {}
        }
    }
}

impl Ids for Setup {
    fn ids(&mut self, each: Each<'_>) {
        for parts in [&mut self.unplugged, &mut self.pulled_fuses] {
            for mut part in std::mem::take(parts) {
                part.ids(each);
                parts.insert(part);
            }
        }
    }
}

impl Ids for Seen {
    fn ids(&mut self, each: Each<'_>) {
        match self {
            Self::Contribution { .. }
            | Self::Spark { .. }
            | Self::Code { .. }
            | Self::Compression { .. } => {}
            Self::Volts { red, black, .. } => {
                red.ids(each);
                black.ids(each);
            }
            Self::Resistance { red, black, .. }
            | Self::Drop { red, black, .. }
            | Self::Lamp { red, black, .. } => {
                red.ids(each);
                black.ids(each);
            }
            Self::Look { element, .. }
            | Self::Stress { element, .. }
            | Self::Cleaned { element, .. }
            | Self::Remade { element, .. } => element.ids(each),
            Self::Substituted { part, .. } => part.ids(each),
            Self::Swapped { what, .. } => match what {
                SwapPair::Parts(first, second) => {
                    first.ids(each);
                    second.ids(each);
                }
                SwapPair::Transistors(first, second) => {
                    first.ids(each);
                    second.ids(each);
                }
            },
        }
    }
}

impl Ids for Finding {
    fn ids(&mut self, each: Each<'_>) {
        self.id.ids(each);
        self.seen.ids(each);
        self.setup.ids(each);
    }
}

impl Ids for FactAt {
    fn ids(&mut self, each: Each<'_>) {
        match self {
            Self::FiringOrder | Self::FiringAngles => {}
            Self::WireEnd(wire, _)
            | Self::WireColour(wire)
            | Self::WireSize(wire)
            | Self::WireLength(wire) => wire.ids(each),
            Self::PinLabel(part, pin) | Self::PinRole(part, pin) => {
                part.ids(each);
                pin.ids(each);
            }
            Self::CavityLabel(part, cavity) => {
                part.ids(each);
                cavity.ids(each);
            }
            Self::DriverOutput(driver)
            | Self::DriverGround(driver)
            | Self::DriverDrive(driver)
            | Self::DriverOnVoltage(driver)
            | Self::DriverOnResistance(driver) => driver.ids(each),
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
            | Self::PullDown(part) => part.ids(each),
        }
    }
}

impl Ids for FactValue {
    fn ids(&mut self, each: Each<'_>) {
        match self {
            Self::Terminal(terminal) => terminal.ids(each),
            Self::Number(_)
            | Self::Size(_)
            | Self::Colour(_)
            | Self::Label(_)
            | Self::Role(_)
            | Self::Cylinder(_)
            | Self::Order(_)
            | Self::Firing(_) => {}
        }
    }
}

impl Ids for Rival {
    fn ids(&mut self, each: Each<'_>) {
        self.at.ids(each);
        self.value.ids(each);
    }
}

impl Ids for Harness {
    fn ids(&mut self, each: Each<'_>) {
        for (mut id, mut part) in std::mem::take(&mut self.parts) {
            id.ids(each);
            part.ids(each);
            self.parts.insert(id, part);
        }
        for (mut id, mut wire) in std::mem::take(&mut self.wires) {
            id.ids(each);
            wire.ids(each);
            self.wires.insert(id, wire);
        }
        self.findings.ids(each);
        for entry in &mut self.work {
            entry.id.ids(each);
            entry.element.ids(each);
        }
        self.rivals.ids(each);
    }
}
