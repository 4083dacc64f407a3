//! What a fault does to each cylinder, with the reason as data.

use std::collections::BTreeSet;

use super::{Fault, ModeKind};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{DriverId, Element, PartId, Spark};
use crate::topology::{Missing, NeedKind};

/// What a fault does. Every cylinder of the engine stands in exactly one of the three lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Effect {
    /// The fault.
    pub fault: Fault,
    /// Cylinders that do no work, rising.
    pub dead: Vec<Verdict>,
    /// Cylinders of which it cannot be said, or that work badly, rising.
    pub doubtful: Vec<Verdict>,
    /// Cylinders that work as before, rising.
    pub live: Vec<Verdict>,
    /// What else it does.
    pub besides: Vec<Besides>,
}

impl Effect {
    /// The numbers of the dead cylinders.
    #[must_use]
    pub fn dead_cylinders(&self) -> BTreeSet<CylinderId> {
        self.dead.iter().map(|verdict| verdict.cylinder).gather()
    }

    /// The numbers of the doubtful cylinders.
    #[must_use]
    pub fn doubtful_cylinders(&self) -> BTreeSet<CylinderId> {
        self.doubtful
            .iter()
            .map(|verdict| verdict.cylinder)
            .gather()
    }
}

/// What a fault does to one cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Verdict {
    /// The cylinder.
    pub cylinder: CylinderId,
    /// Its spark; `None` where it cannot be said. A cylinder can spark and still be dead.
    pub spark: Option<Spark>,
    /// Why.
    pub reason: Reason,
}

/// Why a cylinder is dead, in doubt or alive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reason {
    /// Alive: nothing that it needs is touched.
    Apart,
    /// Alive: it is on the way, but there is another way.
    OtherWay,
    /// Alive: its coil's other plug suffers, and the loop through both is still closed.
    OtherPlugSuffers(PartId),
    /// Alive: the fault holds on what is on anyway while the engine runs.
    OnAnyway,
    /// Alive: the fault joins what is joined anyway.
    JoinedAnyway,
    /// Alive: the two leads belong to one coil; only the sparks' polarity changes.
    PolarityOnly,
    /// Alive: the sparks that it gets instead come at its own time too.
    SameTime(CylinderId),
    /// Dead: this connection is lost.
    Lost(NeedKind),
    /// Dead: this relay drops.
    RelayDrops(PartId),
    /// Dead: this fuse blows.
    FuseBlows(PartId),
    /// Dead or in doubt: the supply is shorted to ground and no fuse stands before the place.
    SupplyShorted,
    /// Dead: the current through this coil is never cut, and only cutting it makes the spark.
    NeverCut(PartId),
    /// Dead: the transistor of this driver hangs between on and off.
    NotSwitched(DriverId),
    /// Dead: this driver carries the battery's short-circuit current and can build no field.
    DriverShorted(DriverId),
    /// Dead: both ends of this coil's primary are at battery voltage.
    BothEndsFed(PartId),
    /// Dead: this driver gets no signal to switch.
    SignalHeld(DriverId),
    /// Dead or in doubt: shorted turns eat this coil's field.
    TurnsShorted(PartId),
    /// Dead: deposits at this plug drain the voltage before it can jump.
    GapShunted(PartId),
    /// Dead: it gets the sparks that are meant for this cylinder.
    SparksOf(CylinderId),
    /// Dead: it sparks but gets no fuel.
    Starved(NeedKind),
    /// Dead: it sparks, but something that is not electrical is wrong.
    NotElectrical(ModeKind),
    /// In doubt: one of its two plugs has lost this connection.
    OneOfTwoPlugs(NeedKind),
    /// In doubt: the other half of its coil's loop has lost this connection; only stray capacitance
    /// or an arc across the break closes it.
    LoopOpen(NeedKind),
    /// In doubt: the metal of the engine has lost its strap to the battery.
    EngineGroundLost,
    /// In doubt: resistance in this connection weakens it.
    Weakened(NeedKind),
    /// In doubt: high voltage may find an easier way at this element.
    SparkElsewhere(Element),
    /// In doubt: this plug's gap is wide and needs more voltage.
    GapWide(PartId),
    /// In doubt: this driver leaks, so its coil starts with less to gain.
    DriverLeaks(DriverId),
    /// In doubt: two coils are switched together, each at both times.
    FiredTogether,
    /// In doubt: the crank signal of this unit comes and goes.
    ErraticSignal(PartId),
    /// In doubt: something foreign is joined to what it needs.
    Disturbed,
    /// In doubt: this injector stays open and floods it.
    Flooded(PartId),
    /// In doubt: the map does not say whether it depends on what failed.
    Unfinished(Missing),
}

/// What a fault does besides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Besides {
    /// This fuse blows.
    FuseBlows(PartId),
    /// This relay drops.
    RelayDrops(PartId),
    /// Current flows through this coil all the time: it gets hot.
    CoilOverheats(PartId),
    /// This driver carries too much current or turns it into heat.
    DriverOverheats(DriverId),
    /// A wire without a fuse carries a short circuit: it can burn.
    WireCanBurn,
    /// The full voltage of this coil stands across its insulation.
    InsulationStressed(PartId),
    /// The ignition stays on with the key off.
    StaysOnWithKeyOff,
}

impl Reason {
    /// A short name in lower case, the same in every output.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Apart => "apart",
            Self::OtherWay => "other-way",
            Self::OtherPlugSuffers(_) => "other-plug-suffers",
            Self::OnAnyway => "on-anyway",
            Self::JoinedAnyway => "joined-anyway",
            Self::PolarityOnly => "polarity-only",
            Self::SameTime(_) => "same-time",
            Self::Lost(_) => "lost",
            Self::RelayDrops(_) => "relay-drops",
            Self::FuseBlows(_) => "fuse-blows",
            Self::SupplyShorted => "supply-shorted",
            Self::NeverCut(_) => "never-cut",
            Self::NotSwitched(_) => "not-switched",
            Self::DriverShorted(_) => "driver-shorted",
            Self::BothEndsFed(_) => "both-ends-fed",
            Self::SignalHeld(_) => "signal-held",
            Self::TurnsShorted(_) => "turns-shorted",
            Self::GapShunted(_) => "gap-shunted",
            Self::SparksOf(_) => "sparks-of",
            Self::Starved(_) => "starved",
            Self::NotElectrical(_) => "not-electrical",
            Self::OneOfTwoPlugs(_) => "one-of-two-plugs",
            Self::LoopOpen(_) => "loop-open",
            Self::EngineGroundLost => "engine-ground-lost",
            Self::Weakened(_) => "weakened",
            Self::SparkElsewhere(_) => "spark-elsewhere",
            Self::GapWide(_) => "gap-wide",
            Self::DriverLeaks(_) => "driver-leaks",
            Self::FiredTogether => "fired-together",
            Self::ErraticSignal(_) => "erratic-signal",
            Self::Disturbed => "disturbed",
            Self::Flooded(_) => "flooded",
            Self::Unfinished(_) => "unfinished",
        }
    }
}

impl Besides {
    /// A short name in lower case, the same in every output.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::FuseBlows(_) => "fuse-blows",
            Self::RelayDrops(_) => "relay-drops",
            Self::CoilOverheats(_) => "coil-overheats",
            Self::DriverOverheats(_) => "driver-overheats",
            Self::WireCanBurn => "wire-can-burn",
            Self::InsulationStressed(_) => "insulation-stressed",
            Self::StaysOnWithKeyOff => "stays-on-with-key-off",
        }
    }
}
