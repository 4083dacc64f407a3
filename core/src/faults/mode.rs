//! A fault: one element and the way in which it fails, with its severity where one matters.

use crate::engine::CylinderId;
use crate::model::{DriverId, Element, PartId};
use crate::units::{Amps, Ohms, Percent};

/// One element that fails in one way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fault {
    /// What fails.
    pub element: Element,
    /// How.
    pub mode: Mode,
}

impl Fault {
    /// A fault.
    #[must_use]
    pub const fn new(element: Element, mode: Mode) -> Self {
        Self { element, mode }
    }
}

/// The way in which an element fails.
///
/// Resistances are severities: in series for [`Mode::HighResistance`], across the stated path else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mode {
    /// It conducts nothing: broken, burnt out, blown, not made. A piece of a drive path that is open
    /// leaves the transistor off; see [`Mode::PartlyOn`] for the other case.
    Open,
    /// It conducts badly: this much is added in series.
    HighResistance(Ohms),
    /// It touches ground through this resistance; near zero is a dead short.
    ToGround(Ohms),
    /// It touches something that stands at battery voltage.
    ToSupply(Ohms),
    /// It touches its neighbour: the next cavity of a connector, the next pin of a unit.
    ToNeighbour(Element, Ohms),
    /// A transistor that never switches on.
    NeverOn,
    /// A transistor, key or relay contact that never switches off.
    AlwaysOn,
    /// A transistor that never switches off and holds its current down to this.
    AlwaysOnLimited(Amps),
    /// A transistor that does not switch: it stays partly on, with this resistance. Of a piece of a
    /// drive path: it is open, and the gate it leaves floating holds the transistor partly on.
    PartlyOn(Ohms),
    /// A transistor that still switches but leaks when off; a lead or boot that leaks to metal.
    Leaky(Ohms),
    /// This share of a winding's turns is shorted.
    TurnsShorted(Percent),
    /// High voltage breaks through inside: winding to core, rotor to shaft.
    Breakdown,
    /// High voltage creeps along the outside, from a coil's tower to metal.
    Tracking,
    /// High voltage creeps from one tower of a distributor's cap to another.
    TrackingBetween(CylinderId, CylinderId),
    /// One tower of a distributor's cap is burnt away.
    BurntTower(CylinderId),
    /// A plug's gap is bridged by deposits of this resistance.
    Fouled(Ohms),
    /// A plug's gap is worn wide.
    Worn,
    /// A plug's insulator is cracked.
    Cracked,
    /// This lead and another have changed places at their plugs.
    CrossedWith(PartId),
    /// A unit's logic commands no spark at all.
    Silent,
    /// A unit's logic commands no spark of this one driver.
    SilentFor(DriverId),
    /// A signal does not arrive at all.
    Missing,
    /// A signal comes and goes.
    Erratic,
    /// A cylinder gets no fuel, for a reason that is not on the map.
    NoFuel,
    /// A cylinder gets air where it should not, or none.
    WrongAir,
    /// A cylinder does not hold compression.
    NoCompression,
}

/// A mode without its severity or partner: what words, prior tables and pictures go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ModeKind {
    /// See [`Mode::Open`].
    Open,
    /// See [`Mode::HighResistance`].
    HighResistance,
    /// See [`Mode::ToGround`].
    ToGround,
    /// See [`Mode::ToSupply`].
    ToSupply,
    /// See [`Mode::ToNeighbour`].
    ToNeighbour,
    /// See [`Mode::NeverOn`].
    NeverOn,
    /// See [`Mode::AlwaysOn`] and [`Mode::AlwaysOnLimited`]: the limit is its severity.
    AlwaysOn,
    /// See [`Mode::PartlyOn`].
    PartlyOn,
    /// See [`Mode::Leaky`].
    Leaky,
    /// See [`Mode::TurnsShorted`].
    TurnsShorted,
    /// See [`Mode::Breakdown`].
    Breakdown,
    /// See [`Mode::Tracking`].
    Tracking,
    /// See [`Mode::TrackingBetween`].
    TrackingBetween,
    /// See [`Mode::BurntTower`].
    BurntTower,
    /// See [`Mode::Fouled`].
    Fouled,
    /// See [`Mode::Worn`].
    Worn,
    /// See [`Mode::Cracked`].
    Cracked,
    /// See [`Mode::CrossedWith`].
    CrossedWith,
    /// See [`Mode::Silent`].
    Silent,
    /// See [`Mode::SilentFor`].
    SilentFor,
    /// See [`Mode::Missing`].
    Missing,
    /// See [`Mode::Erratic`].
    Erratic,
    /// See [`Mode::NoFuel`].
    NoFuel,
    /// See [`Mode::WrongAir`].
    WrongAir,
    /// See [`Mode::NoCompression`].
    NoCompression,
}

impl Mode {
    /// The mode without its severity or partner.
    #[must_use]
    pub const fn kind(self) -> ModeKind {
        match self {
            Self::Open => ModeKind::Open,
            Self::HighResistance(_) => ModeKind::HighResistance,
            Self::ToGround(_) => ModeKind::ToGround,
            Self::ToSupply(_) => ModeKind::ToSupply,
            Self::ToNeighbour(..) => ModeKind::ToNeighbour,
            Self::NeverOn => ModeKind::NeverOn,
            Self::AlwaysOn | Self::AlwaysOnLimited(_) => ModeKind::AlwaysOn,
            Self::PartlyOn(_) => ModeKind::PartlyOn,
            Self::Leaky(_) => ModeKind::Leaky,
            Self::TurnsShorted(_) => ModeKind::TurnsShorted,
            Self::Breakdown => ModeKind::Breakdown,
            Self::Tracking => ModeKind::Tracking,
            Self::TrackingBetween(..) => ModeKind::TrackingBetween,
            Self::BurntTower(_) => ModeKind::BurntTower,
            Self::Fouled(_) => ModeKind::Fouled,
            Self::Worn => ModeKind::Worn,
            Self::Cracked => ModeKind::Cracked,
            Self::CrossedWith(_) => ModeKind::CrossedWith,
            Self::Silent => ModeKind::Silent,
            Self::SilentFor(_) => ModeKind::SilentFor,
            Self::Missing => ModeKind::Missing,
            Self::Erratic => ModeKind::Erratic,
            Self::NoFuel => ModeKind::NoFuel,
            Self::WrongAir => ModeKind::WrongAir,
            Self::NoCompression => ModeKind::NoCompression,
        }
    }

    /// The same with the resistance that says how bad it is this many times as large, where one does.
    #[must_use]
    pub fn scaled(mut self, times: f64) -> Self {
        if let Some(ohms) = self.ohms_mut() {
            *ohms = *ohms * times;
        }
        self
    }

    /// The resistance that says how bad it is, where one does.
    #[must_use]
    pub const fn ohms(mut self) -> Option<Ohms> {
        self.ohms_mut().copied()
    }

    const fn ohms_mut(&mut self) -> Option<&mut Ohms> {
        match self {
            Self::HighResistance(ohms)
            | Self::ToGround(ohms)
            | Self::ToSupply(ohms)
            | Self::ToNeighbour(_, ohms)
            | Self::PartlyOn(ohms)
            | Self::Leaky(ohms)
            | Self::Fouled(ohms) => Some(ohms),
            Self::Open
            | Self::NeverOn
            | Self::AlwaysOn
            | Self::AlwaysOnLimited(_)
            | Self::TurnsShorted(_)
            | Self::Breakdown
            | Self::Tracking
            | Self::TrackingBetween(..)
            | Self::BurntTower(_)
            | Self::Worn
            | Self::Cracked
            | Self::CrossedWith(_)
            | Self::Silent
            | Self::SilentFor(_)
            | Self::Missing
            | Self::Erratic
            | Self::NoFuel
            | Self::WrongAir
            | Self::NoCompression => None,
        }
    }
}

impl ModeKind {
    /// A short name in lower case, the same in every output: "high-resistance".
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::HighResistance => "high-resistance",
            Self::ToGround => "to-ground",
            Self::ToSupply => "to-supply",
            Self::ToNeighbour => "to-neighbour",
            Self::NeverOn => "never-on",
            Self::AlwaysOn => "always-on",
            Self::PartlyOn => "partly-on",
            Self::Leaky => "leaky",
            Self::TurnsShorted => "turns-shorted",
            Self::Breakdown => "breakdown",
            Self::Tracking => "tracking",
            Self::TrackingBetween => "tracking-between",
            Self::BurntTower => "burnt-tower",
            Self::Fouled => "fouled",
            Self::Worn => "worn",
            Self::Cracked => "cracked",
            Self::CrossedWith => "crossed-with",
            Self::Silent => "silent",
            Self::SilentFor => "silent-for",
            Self::Missing => "missing",
            Self::Erratic => "erratic",
            Self::NoFuel => "no-fuel",
            Self::WrongAir => "wrong-air",
            Self::NoCompression => "no-compression",
        }
    }
}
