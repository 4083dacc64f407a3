//! What each cause would show: the fate of every cylinder, and what a meter would read.

use crate::engine::CylinderId;
use crate::model::PartId;

/// What a cylinder does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Fate {
    /// It works.
    Lives,
    /// It sparks weakly and may miss.
    Weak,
    /// It does nothing.
    Dies,
    /// It sparks at the wrong time.
    WrongTime,
}

/// What a timing light on a lead sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Flash {
    /// Current in the lead, in time.
    Yes,
    /// Little or irregular.
    Weak,
    /// None.
    No,
    /// At the wrong time.
    WrongTime,
}

/// What the switched terminal of a coil does while the engine turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pulse {
    /// It is pulled to ground and let go, again and again.
    Yes,
    /// The same through so much resistance that a lamp hardly glows.
    Weak,
    /// Nothing pulls it to ground.
    No,
    /// It stays at ground.
    Steady,
}

/// What a meter would read with each cause, and with none. Infinite ohms stand for overload.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// With nothing wrong.
    pub healthy: f64,
    /// With each cause, in the causes' order.
    pub by_cause: Vec<f64>,
}

/// What a meter would read with nothing wrong, and the causes with which it would read something else.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Departures {
    /// With nothing wrong.
    pub(super) healthy: f64,
    /// Causes, rising, and what it reads with each.
    pub(super) causes: Vec<(usize, f64)>,
}

/// Fates of all cylinders under one cause.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Showing {
    /// By cylinder, rising.
    pub fates: Vec<(CylinderId, Fate)>,
    /// By cylinder, rising.
    pub flashes: Vec<(CylinderId, Flash)>,
    /// By coil whose driver stands elsewhere, what its switched terminal does.
    pub pulses: Vec<(PartId, Pulse)>,
}

impl Showing {
    /// Fate of one cylinder; an unknown cylinder lives.
    #[must_use]
    pub fn fate(&self, cylinder: CylinderId) -> Fate {
        self.fates
            .iter()
            .find(|(c, _)| *c == cylinder)
            .map_or(Fate::Lives, |(_, fate)| *fate)
    }

    /// What a timing light sees on one cylinder's lead.
    #[must_use]
    pub fn flash(&self, cylinder: CylinderId) -> Flash {
        self.flashes
            .iter()
            .find(|(c, _)| *c == cylinder)
            .map_or(Flash::Yes, |(_, flash)| *flash)
    }

    /// What the switched terminal of a coil does; `None` where the map does not tell what switches it.
    #[must_use]
    pub fn pulse(&self, coil: PartId) -> Option<Pulse> {
        let found = self.pulses.iter().find(|(c, _)| *c == coil);
        found.map(|(_, pulse)| *pulse)
    }

    /// Cylinders that do not work as they should.
    pub fn ill(&self) -> impl Iterator<Item = CylinderId> + '_ {
        self.fates
            .iter()
            .filter(|(_, fate)| *fate != Fate::Lives)
            .map(|(cylinder, _)| *cylinder)
    }
}
