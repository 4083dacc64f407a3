//! How the car stands while something is measured.

use std::collections::BTreeSet;

use super::PartId;
use crate::units::Rpm;

/// How the car stands while something is measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Battery connected or not.
    pub battery: BatteryLink,
    /// Ignition key.
    pub key: Key,
    /// What the engine does.
    pub engine: EngineState,
    /// Parts whose plug is pulled: connectors, control units, coils, relays, injectors.
    pub unplugged: BTreeSet<PartId>,
    /// Fuses taken out.
    pub pulled_fuses: BTreeSet<PartId>,
}

/// Battery connected or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BatteryLink {
    /// As usual.
    Connected,
    /// Negative terminal off.
    Disconnected,
}

/// Ignition key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Key {
    /// Off.
    Off,
    /// On.
    On,
}

/// What the engine does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EngineState {
    /// It stands.
    Stopped,
    /// The starter turns it, at this speed.
    Cranking(Rpm),
    /// It runs by itself, at this speed.
    Running(Rpm),
}

impl Setup {
    /// Key on, engine stopped, everything plugged in.
    #[must_use]
    pub const fn key_on() -> Self {
        Self {
            battery: BatteryLink::Connected,
            key: Key::On,
            engine: EngineState::Stopped,
            unplugged: BTreeSet::new(),
            pulled_fuses: BTreeSet::new(),
        }
    }

    /// Idling at 800 rpm, everything plugged in.
    #[must_use]
    pub fn idling() -> Self {
        Self {
            engine: EngineState::Running(Rpm::lit(800.0)),
            ..Self::key_on()
        }
    }

    /// Battery off, key off: the setup for measuring resistance.
    #[must_use]
    pub fn battery_off() -> Self {
        Self {
            battery: BatteryLink::Disconnected,
            key: Key::Off,
            ..Self::key_on()
        }
    }
}
