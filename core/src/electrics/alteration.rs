//! What a fault does to a circuit, in the circuit's own terms.

use crate::engine::CylinderId;
use crate::model::{DriverId, PartId, Terminal};

/// All that a fault changes. Healthy is [`Alteration::default`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Alteration {
    /// Branches of the circuit that conduct otherwise.
    pub edits: Vec<(usize, Edit)>,
    /// Paths that should not be there: two places of the circuit and the resistance (Ω) between them.
    pub bridges: Vec<(usize, usize, f64)>,
    /// Drivers that do not switch as they should.
    pub drivers: Vec<(DriverId, Switching)>,
    /// What commands nothing although it should.
    pub silent: Vec<Silence>,
    /// Coils with shorted turns: the share of the primary's turns, 0 to 1.
    pub shorted: Vec<(PartId, f64)>,
    /// What is wrong on the high-voltage side.
    pub high: Vec<HighFault>,
}

impl Alteration {
    /// Adds what another fault changes.
    pub fn join(&mut self, other: Self) {
        self.edits.extend(other.edits);
        self.bridges.extend(other.bridges);
        self.drivers.extend(other.drivers);
        self.silent.extend(other.silent);
        self.shorted.extend(other.shorted);
        self.high.extend(other.high);
    }

    /// Whether it changes nothing that a meter could see: nothing at all, or the high-voltage side only.
    #[must_use]
    pub fn is_unseen(&self) -> bool {
        let Self {
            edits,
            bridges,
            drivers,
            silent,
            shorted,
            high: _,
        } = self;
        edits.is_empty()
            && bridges.is_empty()
            && drivers.is_empty()
            && silent.is_empty()
            && shorted.is_empty()
    }
}

/// Who commands no spark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Silence {
    /// The whole logic of a unit.
    Unit(PartId),
    /// The logic of one driver.
    Driver(DriverId),
}

/// How a branch conducts instead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edit {
    /// Not at all.
    Open,
    /// With this much more (Ω) in series.
    Series(f64),
    /// A contact that never opens.
    Welded,
    /// With this share of its resistance.
    Share(f64),
}

/// How a driver misbehaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Switching {
    /// It is never on.
    Never,
    /// It is always on.
    Always,
    /// It is always on and holds its current (A) down.
    Limited(f64),
    /// It switches, and holds the flyback at this voltage (V) only.
    Clamp(f64),
}

/// What is wrong on the high-voltage side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HighFault {
    /// Nothing passes here, unless it arcs.
    Broken(HighPlace),
    /// This much (Ω) more in series.
    Series(HighPlace, f64),
    /// A path of this resistance (Ω) to metal beside the plug's gap.
    Shunt(HighPlace, f64),
    /// It flashes over to metal at this voltage (kV).
    Flashes(HighPlace, f64),
    /// The plug's gap is this many times as wide.
    Wide(PartId, f64),
    /// The plugs of two leads have changed places.
    Crossed(PartId, PartId),
}

/// A place on the high-voltage side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HighPlace {
    /// A coil's secondary winding.
    Secondary(PartId),
    /// A coil's tower, outside.
    Tower(Terminal),
    /// A distributor's rotor.
    Rotor(PartId),
    /// One tower of a distributor's cap.
    CapTower(PartId, CylinderId),
    /// A lead or boot.
    Lead(PartId),
    /// A plug.
    Plug(PartId),
}
