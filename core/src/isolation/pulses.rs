//! Whether a coil's switched terminal is pulled to ground and let go: what a test lamp from battery plus shows there while the engine turns.

use std::collections::BTreeSet;

use super::forecast::Pulse;
use super::question::Probes;
use crate::electrics::{Answer, Circuit};
use crate::faults::{Fault, Mode};
use crate::gather::Gather;
use crate::model::{BatteryLink, DriverId, Element, EngineState, Harness, Key, PartId, Port};
use crate::topology::{NeedKind, Topology};

/// The coils whose switched terminal a lamp can be held to, each with its driver and what lies between
/// that terminal and battery minus.
#[derive(Debug, Clone, Default)]
pub(super) struct Pulses(Vec<Switched>);

#[derive(Debug, Clone)]
struct Switched {
    coil: PartId,
    driver: DriverId,
    path: BTreeSet<Element>,
}

/// A lamp of 5 W shines brightly up to so much in series, and not at all beyond the second, Ω.
const SERIES: (f64, f64) = (12.0, 94.0);

impl Pulses {
    /// Of every coil whose driver stands elsewhere and is known.
    pub(super) fn of(harness: &Harness, graph: &Topology) -> Self {
        let mut found: Vec<Switched> = Vec::new();
        let chains = graph.cylinders().values().flat_map(|needs| &needs.chains);
        for chain in chains {
            let (coil, Some(driver)) = (chain.tower.part, chain.driver) else {
                continue;
            };
            let outside = harness.coil(coil).is_some_and(|c| c.driver.is_none());
            if !outside || found.iter().any(|known| known.coil == coil) {
                continue;
            }
            let between = |kind: NeedKind| {
                kind == NeedKind::Control(coil, driver)
                    || kind == NeedKind::Switch(driver)
                    || kind == NeedKind::DriverGround(driver)
            };
            let path = graph.needs().iter().enumerate();
            let path = path.filter(|(_, need)| between(need.kind));
            let path = path.flat_map(|(n, _)| graph.needed_by(n)).gather();
            found.push(Switched { coil, driver, path });
        }
        Self(found)
    }

    /// With nothing wrong: every terminal pulses.
    pub(super) fn healthy(&self) -> Vec<(PartId, Pulse)> {
        self.0.iter().map(|at| (at.coil, Pulse::Yes)).collect()
    }

    /// With a fault, of which the electrics say at idle which drivers still switch.
    pub(super) fn with(
        &self,
        circuit: &Circuit,
        fault: Fault,
        answer: &Answer<'_>,
    ) -> Vec<(PartId, Pulse)> {
        let pulse = |at: &Switched| {
            let own = at.path.contains(&fault.element);
            own.then(|| on_the_way(fault.mode)).flatten().unwrap_or({
                if answer.switches(circuit, at.driver) {
                    Pulse::Yes
                } else {
                    Pulse::No
                }
            })
        };
        self.0.iter().map(|at| (at.coil, pulse(at))).collect()
    }
}

/// What a fault between terminal and ground makes of the pulses; `None` where only the driver's own
/// state tells.
fn on_the_way(mode: Mode) -> Option<Pulse> {
    match mode {
        Mode::Open | Mode::NeverOn => Some(Pulse::No),
        Mode::HighResistance(ohms) | Mode::PartlyOn(ohms) => Some(if ohms.get() < SERIES.0 {
            Pulse::Yes
        } else if ohms.get() < SERIES.1 {
            Pulse::Weak
        } else {
            Pulse::No
        }),
        Mode::ToGround(_) | Mode::AlwaysOn | Mode::AlwaysOnLimited(_) => Some(Pulse::Steady),
        // Hard on the supply, nothing pulls it down.
        Mode::ToSupply(ohms) => Some(if ohms.get() < 1.0 {
            Pulse::No
        } else {
            Pulse::Yes
        }),
        Mode::ToNeighbour(..)
        | Mode::Leaky(_)
        | Mode::TurnsShorted(_)
        | Mode::Breakdown
        | Mode::Tracking
        | Mode::TrackingBetween(..)
        | Mode::BurntTower(_)
        | Mode::Fouled(_)
        | Mode::Worn
        | Mode::Cracked
        | Mode::CrossedWith(_)
        | Mode::Silent
        | Mode::SilentFor(_)
        | Mode::Missing
        | Mode::Erratic
        | Mode::NoFuel
        | Mode::WrongAir
        | Mode::NoCompression => None,
    }
}

/// The coil at whose switched terminal a lamp from battery plus shows pulses; `None` where the leads or
/// the setup are others.
pub(super) fn coil_at(probes: &Probes) -> Option<PartId> {
    let setup = &probes.setup;
    let turning = !matches!(setup.engine, EngineState::Stopped);
    let as_it_is = setup.unplugged.is_empty()
        && setup.pulled_fuses.is_empty()
        && setup.key == Key::On
        && setup.battery != BatteryLink::Disconnected;
    let (red, black) = (probes.red, probes.black?);
    let tip = if black.port == Port::Plus {
        red
    } else if red.port == Port::Plus {
        black
    } else {
        return None;
    };
    (turning && as_it_is && tip.port == Port::Switched).then_some(tip.part)
}
