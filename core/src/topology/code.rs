//! Short names that every output uses, and what each thing is about in the owner's words.

use super::{Missing, NeedKind, SharedBy};
use crate::model::{DriverId, Element, Harness, PartId};

fn driver_name(harness: &Harness, driver: DriverId) -> String {
    harness
        .driver(driver)
        .map_or_else(|| "?".into(), |found| found.name.clone())
}

fn element_names(harness: &Harness, elements: &[Element]) -> String {
    let names: Vec<String> = elements.iter().map(|&e| harness.element_name(e)).collect();
    names.join("; ")
}

impl SharedBy {
    /// A short name in lower case: "driver", "feed".
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self {
            Self::Unit(_) => "unit",
            Self::Driver(_) => "driver",
            Self::Coil(_) => "coil",
            Self::Pack(_) => "pack",
            Self::Distributor(_) => "distributor",
            Self::Feed(_) => "feed",
            Self::Ground(_) => "ground",
            Self::Key(_) => "key",
            Self::Relay(_) => "relay",
            Self::Fuse(_) => "fuse",
            Self::Connector(_) => "connector",
            Self::Splice(_) => "splice",
        }
    }

    /// What the owner calls it; of a stretch of feed or ground all its elements, with semicolons.
    #[must_use]
    pub fn name(&self, harness: &Harness) -> String {
        match self {
            Self::Driver(driver) => driver_name(harness, *driver),
            Self::Feed(elements) | Self::Ground(elements) => element_names(harness, elements),
            Self::Unit(part)
            | Self::Coil(part)
            | Self::Pack(part)
            | Self::Distributor(part)
            | Self::Key(part)
            | Self::Relay(part)
            | Self::Fuse(part)
            | Self::Connector(part)
            | Self::Splice(part) => harness.part_name(*part).to_owned(),
        }
    }
}

impl NeedKind {
    /// A short name in lower case: "feed", "driver-ground".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Battery(_) => "battery",
            Self::Feed(_) => "feed",
            Self::Primary(_) => "primary",
            Self::Control(..) => "control",
            Self::ControlToUnknown(_) => "control-to-unknown",
            Self::Switch(_) => "switch",
            Self::DriverGround(_) => "driver-ground",
            Self::Drive(_) => "drive",
            Self::UnitSupply(_) => "unit-supply",
            Self::UnitGround(_) => "unit-ground",
            Self::WindingFeed(_) => "winding-feed",
            Self::Winding(_) => "winding",
            Self::WindingReturn(_) => "winding-return",
            Self::Secondary(_) => "secondary",
            Self::Side(..) => "side",
            Self::SideToUnknown(_) => "side-to-unknown",
            Self::Return(_) => "return",
            Self::EngineGround => "engine-ground",
            Self::InjectorFeed(_) => "injector-feed",
            Self::InjectorWinding(_) => "injector-winding",
            Self::InjectorControl(_) => "injector-control",
        }
    }

    /// What the connection belongs to, as the owner calls it.
    #[must_use]
    pub fn name(self, harness: &Harness) -> String {
        let part = |part: PartId| harness.part_name(part).to_owned();
        match self {
            Self::Battery(at)
            | Self::Feed(at)
            | Self::Primary(at)
            | Self::ControlToUnknown(at)
            | Self::UnitSupply(at)
            | Self::UnitGround(at)
            | Self::WindingFeed(at)
            | Self::Winding(at)
            | Self::WindingReturn(at)
            | Self::Secondary(at)
            | Self::Return(at)
            | Self::InjectorFeed(at)
            | Self::InjectorWinding(at)
            | Self::InjectorControl(at) => part(at),
            Self::Control(coil, driver) => {
                format!("{} to {}", part(coil), driver_name(harness, driver))
            }
            Self::Switch(driver) | Self::DriverGround(driver) | Self::Drive(driver) => {
                driver_name(harness, driver)
            }
            Self::Side(tower, plug) => {
                format!("{} to {}", harness.terminal_name(tower), part(plug))
            }
            Self::SideToUnknown(tower) => harness.terminal_name(tower),
            Self::EngineGround => "engine".into(),
        }
    }
}

impl Missing {
    /// A short name in lower case: "no-driver".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Battery => "no-battery",
            Self::Plug(_) => "no-plug",
            Self::Coil(_) => "no-coil",
            Self::Driver(_) => "no-driver",
            Self::PlugAtTower(_) => "no-plug-at-tower",
            Self::Command(_) => "no-command",
            Self::SupplyPin(_) => "no-supply-pin",
            Self::GroundPin(_) => "no-ground-pin",
            Self::InjectorPin(_) => "no-injector-pin",
            Self::Path(_) => "no-path",
        }
    }

    /// What it is missing at, as the owner calls it.
    #[must_use]
    pub fn name(self, harness: &Harness) -> String {
        match self {
            Self::Battery => "battery".into(),
            Self::Plug(cylinder) => format!("cylinder {cylinder}"),
            Self::Coil(part)
            | Self::Driver(part)
            | Self::SupplyPin(part)
            | Self::GroundPin(part)
            | Self::InjectorPin(part) => harness.part_name(part).to_owned(),
            Self::PlugAtTower(tower) => harness.terminal_name(tower),
            Self::Command(driver) => driver_name(harness, driver),
            Self::Path(kind) => format!("{} of {}", kind.code(), kind.name(harness)),
        }
    }
}
