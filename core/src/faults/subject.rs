//! What modes, reasons and consequences are about, in the owner's words.

use super::{Besides, Mode, Reason};
use crate::model::{DriverId, Harness, PartId};
use crate::topology::NeedKind;

fn part(harness: &Harness, part: PartId) -> String {
    harness.part_name(part).to_owned()
}

fn driver(harness: &Harness, driver: DriverId) -> String {
    harness
        .driver(driver)
        .map_or_else(|| "?".into(), |found| found.name.clone())
}

fn need(harness: &Harness, kind: NeedKind) -> String {
    format!("{} of {}", kind.code(), kind.name(harness))
}

impl Mode {
    /// The other thing that takes part: the neighbour, the other lead, the towers, the driver.
    #[must_use]
    pub fn subject(self, harness: &Harness) -> Option<String> {
        match self {
            Self::ToNeighbour(element, _) => Some(harness.element_name(element)),
            Self::CrossedWith(lead) => Some(part(harness, lead)),
            Self::TrackingBetween(a, b) => Some(format!("towers {a} and {b}")),
            Self::BurntTower(tower) => Some(format!("tower {tower}")),
            Self::SilentFor(silent) => Some(driver(harness, silent)),
            Self::Open
            | Self::HighResistance(_)
            | Self::ToGround(_)
            | Self::ToSupply(_)
            | Self::NeverOn
            | Self::AlwaysOn
            | Self::AlwaysOnLimited(_)
            | Self::PartlyOn(_)
            | Self::Leaky(_)
            | Self::TurnsShorted(_)
            | Self::Breakdown
            | Self::Tracking
            | Self::Fouled(_)
            | Self::Worn
            | Self::Cracked
            | Self::Silent
            | Self::Missing
            | Self::Erratic
            | Self::NoFuel
            | Self::WrongAir
            | Self::NoCompression => None,
        }
    }
}

impl Reason {
    /// What it is about: the connection, part, driver or cylinder named in it.
    #[must_use]
    pub fn subject(self, harness: &Harness) -> Option<String> {
        match self {
            Self::Apart
            | Self::OtherWay
            | Self::OnAnyway
            | Self::JoinedAnyway
            | Self::PolarityOnly
            | Self::SupplyShorted
            | Self::EngineGroundLost
            | Self::FiredTogether
            | Self::Disturbed => None,
            Self::Lost(kind)
            | Self::Starved(kind)
            | Self::OneOfTwoPlugs(kind)
            | Self::LoopOpen(kind)
            | Self::Weakened(kind) => Some(need(harness, kind)),
            Self::OtherPlugSuffers(at)
            | Self::RelayDrops(at)
            | Self::FuseBlows(at)
            | Self::NeverCut(at)
            | Self::BothEndsFed(at)
            | Self::TurnsShorted(at)
            | Self::GapShunted(at)
            | Self::GapWide(at)
            | Self::ErraticSignal(at)
            | Self::Flooded(at) => Some(part(harness, at)),
            Self::NotSwitched(of)
            | Self::DriverShorted(of)
            | Self::SignalHeld(of)
            | Self::DriverLeaks(of) => Some(driver(harness, of)),
            Self::SameTime(cylinder) | Self::SparksOf(cylinder) => {
                Some(format!("cylinder {cylinder}"))
            }
            Self::NotElectrical(kind) => Some(kind.code().into()),
            Self::SparkElsewhere(element) => Some(harness.element_name(element)),
            Self::Unfinished(missing) => {
                Some(format!("{} at {}", missing.code(), missing.name(harness)))
            }
        }
    }
}

impl Besides {
    /// The part or driver that it happens to.
    #[must_use]
    pub fn subject(self, harness: &Harness) -> Option<String> {
        match self {
            Self::FuseBlows(at)
            | Self::RelayDrops(at)
            | Self::CoilOverheats(at)
            | Self::InsulationStressed(at) => Some(part(harness, at)),
            Self::DriverOverheats(of) => Some(driver(harness, of)),
            Self::WireCanBurn | Self::StaysOnWithKeyOff => None,
        }
    }
}
