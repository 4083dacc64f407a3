//! What is pulled in, awake, blown and held on once a setup has settled, and what every branch then conducts.

use std::sync::Arc;

use super::alteration::{Alteration, Edit, Silence, Switching};
use super::circuit::{Circuit, FuseAt, RelayAt, StrandKind, UnitAt, siemens};
use super::coil::times_at;
use super::nominal;
use super::operating_point::OperatingPoint;
use crate::model::{BatteryLink, Element, EngineState, Key, UnitRole};

/// What is pulled in and what works.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Wake {
    pub(super) relays: Vec<bool>,
    pub(super) units: Vec<bool>,
    /// Fuses that blew.
    pub(super) blown: Vec<bool>,
    /// Units that woke and whose supply then broke down under their own load: they stay off.
    pub(super) faint: Vec<bool>,
}

/// A driver that is on all the time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Held {
    pub(super) driver: usize,
    /// Current that it lets through at most, A.
    pub(super) limit: Option<f64>,
    /// At its limit it is a current, not a resistance.
    pub(super) limiting: bool,
}

impl Held {
    const fn fully(driver: usize) -> Self {
        Self {
            driver,
            limit: None,
            limiting: false,
        }
    }

    /// The current (A) that it draws whatever stands across it; none unless it is at its limit.
    pub(super) fn drawn(self) -> Option<f64> {
        self.limit.filter(|_| self.limiting)
    }
}

impl OperatingPoint {
    /// Whether the key feeds what the map does not tell about.
    pub(super) fn key_fed(&self) -> bool {
        self.setup.key == Key::On && self.setup.battery == BatteryLink::Connected
    }

    /// Units at rest: only what no supply pin tells about works.
    pub(super) fn asleep(&self) -> Vec<bool> {
        let units = self.circuit.units.iter();
        units
            .map(|unit| unit.rails.is_none() && self.key_fed())
            .collect()
    }

    /// Relays pull in, units wake and fuses blow until nothing changes any more.
    pub(super) fn settle(&mut self, alteration: &Alteration) {
        let more = |old: &[bool], new: &[bool]| -> Vec<bool> {
            old.iter().zip(new).map(|(a, b)| *a || *b).collect()
        };
        let drivers = self.circuit.drivers.len();
        let states = self.wake.relays.len() + self.wake.units.len() + 2 * drivers + 1;
        for _ in 0..=states * (self.wake.blown.len() + self.wake.units.len() + 1) {
            self.load(alteration);
            self.refactorise();
            let wake = self.wake_at(|node| self.off[node]);
            let next = Wake {
                relays: more(&self.wake.relays, &wake.relays),
                units: more(&self.wake.units, &wake.units),
                blown: self.wake.blown.clone(),
                faint: self.wake.faint.clone(),
            };
            let next = Wake {
                units: next
                    .units
                    .iter()
                    .zip(&next.faint)
                    .map(|(on, faint)| *on && !faint)
                    .collect(),
                ..next
            };
            if next != self.wake {
                self.wake = next;
                continue;
            }
            // A driver conducts one way only; what would be driven backward is off.
            let before = self.held.len();
            let (off, circuit) = (&self.off, &self.circuit);
            self.held.retain(|held| {
                let driver = &circuit.drivers[held.driver];
                off[driver.collector] - off[driver.emitter] > driver.volts
            });
            if before != self.held.len() {
                continue;
            }
            if self.hold_driven(alteration) || self.limit() {
                continue;
            }
            let blown = more(&self.wake.blown, &wake.blown);
            let broke: Vec<bool> = self
                .wake
                .units
                .iter()
                .zip(&wake.units)
                .map(|(was, is)| *was && !is)
                .collect();
            let faint = more(&self.wake.faint, &broke);
            if blown == self.wake.blown && faint == self.wake.faint {
                break;
            }
            // With a fuse gone or a unit off, everything begins anew.
            let asleep = self
                .asleep()
                .iter()
                .zip(&faint)
                .map(|(on, faint)| *on && !faint)
                .collect();
            self.wake = Wake {
                relays: vec![false; self.wake.relays.len()],
                units: asleep,
                blown,
                faint,
            };
            self.held = alteration.held(&self.circuit);
        }
    }

    /// Holds on the drivers whose drive signal stands high although nothing commands it; whether any
    /// was added.
    fn hold_driven(&mut self, alteration: &Alteration) -> bool {
        let mut driven = Vec::new();
        for (k, driver) in self.circuit.drivers.iter().enumerate() {
            let Some((start, at)) = driver.line else {
                continue;
            };
            let apart = |volts: &[f64]| volts[start] - volts[driver.emitter];
            let told = alteration.drivers.iter().any(|(id, _)| *id == driver.id);
            let held = self.held.iter().any(|held| held.driver == k);
            if told || held || apart(&self.off) < nominal::DRIVE_LEAST.value {
                continue;
            }
            let strand = &self.circuit.strands[at];
            let current = self.weights[at] * self.emfs[at];
            let signal = self.response(&[(strand.a, current), (strand.b, -current)]);
            let across = self.off[driver.collector] - self.off[driver.emitter];
            if apart(&self.off) - apart(&signal) >= nominal::DRIVE_LEAST.value
                && across > driver.volts
            {
                driven.push(Held::fully(k));
            }
        }
        let added = !driven.is_empty();
        self.held.extend(driven);
        added
    }

    /// Turns drivers that would carry more than their limit into currents; whether any was turned.
    fn limit(&mut self) -> bool {
        let (off, circuit) = (&self.off, &self.circuit);
        let mut turned = false;
        for held in self.held.iter_mut().filter(|held| !held.limiting) {
            let Some(limit) = held.limit else { continue };
            let driver = &circuit.drivers[held.driver];
            let across = off[driver.collector] - off[driver.emitter];
            held.limiting = across - driver.volts > limit * driver.ohms;
            turned |= held.limiting;
        }
        turned
    }

    /// Conductances and drives of every strand as the setup, the wake and the alteration have it.
    fn load(&mut self, alteration: &Alteration) {
        let circuit = Arc::clone(&self.circuit);
        self.weights = circuit
            .strands
            .iter()
            .map(|s| {
                if self.conducts(s.kind, s.element) {
                    if let StrandKind::Load(unit) = s.kind
                        && !self.wake.units[unit]
                    {
                        siemens(nominal::UNIT_ASLEEP.value)
                    } else {
                        s.siemens
                    }
                } else {
                    0.0
                }
            })
            .collect();
        self.emfs = circuit
            .strands
            .iter()
            .enumerate()
            .map(|(at, s)| match s.kind {
                StrandKind::Battery => match self.setup.engine {
                    EngineState::Cranking(_) => s.emf * nominal::CRANKING_SHARE.value,
                    EngineState::Stopped | EngineState::Running(_) => s.emf,
                },
                StrandKind::Drive(unit) => s.emf * self.duty(at, unit, alteration),
                StrandKind::Fixed
                | StrandKind::Key
                | StrandKind::Relay(_)
                | StrandKind::RelaySwitch(_)
                | StrandKind::Load(_)
                | StrandKind::Switch
                | StrandKind::Gap => 0.0,
            })
            .collect();
        for (fuse, _) in circuit
            .fuses
            .iter()
            .zip(&self.wake.blown)
            .filter(|(_, blown)| **blown)
        {
            self.weights[fuse.strand] = 0.0;
        }
        for &(at, edit) in &alteration.edits {
            let old = self.weights[at];
            self.weights[at] = edit.apply(old, circuit.strands[at].siemens);
        }
        for held in self.held.iter().filter(|held| !held.limiting) {
            let driver = &circuit.drivers[held.driver];
            self.weights[driver.strand] = 1.0 / driver.ohms;
            self.emfs[driver.strand] = driver.volts;
        }
        self.weights
            .extend(alteration.bridges.iter().map(|&(_, _, ohms)| siemens(ohms)));
    }

    fn conducts(&self, kind: StrandKind, element: Option<Element>) -> bool {
        let pulled = match element {
            Some(Element::Mated(terminal)) => self.setup.unplugged.contains(&terminal.part),
            Some(Element::Cavity(part, _)) => self.setup.unplugged.contains(&part),
            Some(Element::Contact(part)) => self.setup.pulled_fuses.contains(&part),
            _ => false,
        };
        !pulled
            && match kind {
                StrandKind::Battery => self.setup.battery == BatteryLink::Connected,
                StrandKind::Fixed | StrandKind::Load(_) | StrandKind::Drive(_) => true,
                StrandKind::Key => self.setup.key == Key::On,
                StrandKind::Relay(relay) => self.wake.relays[relay],
                StrandKind::RelaySwitch(unit) => self.wake.units[unit],
                StrandKind::Switch | StrandKind::Gap => false,
            }
    }

    /// Share of the time for which a drive signal says "on".
    fn duty(&self, strand: usize, unit: usize, alteration: &Alteration) -> f64 {
        let driver = self
            .circuit
            .drivers
            .iter()
            .find(|driver| driver.line.is_some_and(|(_, at)| at == strand));
        match driver {
            Some(driver)
                if self.wake.units[unit]
                    && !alteration.silences(driver.id, self.circuit.units[unit].part) =>
            {
                let (period, dwell) = self.timing(driver.sparks);
                if period > 0.0 { dwell / period } else { 0.0 }
            }
            Some(_) | None => 0.0,
        }
    }

    /// Seconds between two sparks of a driver and how long of it it is on; zeros when nothing turns.
    pub(super) fn timing(&self, sparks: f64) -> (f64, f64) {
        let rpm = self.setup.turns_a_minute();
        if rpm <= 0.0 {
            return (0.0, 0.0);
        }
        times_at(self.circuit.turns / sparks, rpm, self.circuit.dwell)
    }

    /// Which relays pull in, which units work and which fuses blow at these potentials (V).
    pub(super) fn wake_at(&self, volts: impl Fn(usize) -> f64) -> Wake {
        let current = |at: usize| self.current(&volts, at, self.weights[at]);
        let (circuit, wake) = (&self.circuit, &self.wake);
        let fuses = circuit.fuses.iter().zip(&wake.blown);
        Wake {
            relays: circuit
                .relays
                .iter()
                .map(|relay| self.pulls(relay, current))
                .collect(),
            faint: wake.faint.clone(),
            units: circuit
                .units
                .iter()
                .map(|unit| self.works(unit, &volts))
                .collect(),
            blown: fuses
                .map(|(fuse, blown)| *blown || blows(fuse, current))
                .collect(),
        }
    }

    /// Whether all that is so stays so at other potentials (V) and conductances (S, by strand).
    pub(super) fn stays(
        &self,
        volts: impl Fn(usize) -> f64,
        weight: impl Fn(usize) -> f64,
    ) -> bool {
        let current = |at: usize| self.current(&volts, at, weight(at));
        let (circuit, wake) = (&self.circuit, &self.wake);
        let relays = circuit.relays.iter().zip(&wake.relays);
        let units = circuit.units.iter().zip(&wake.units);
        let fuses = circuit.fuses.iter().zip(&wake.blown);
        relays
            .into_iter()
            .all(|(relay, on)| self.pulls(relay, current) == *on)
            && units
                .into_iter()
                .all(|(unit, on)| self.works(unit, &volts) == *on)
            && fuses
                .into_iter()
                .all(|(fuse, blown)| *blown || !blows(fuse, current))
    }

    /// Current through a strand of this conductance (S) either way, A, without what it drives itself.
    fn current(&self, volts: impl Fn(usize) -> f64, at: usize, weight: f64) -> f64 {
        let strand = &self.circuit.strands[at];
        weight * (volts(strand.a) - volts(strand.b)).abs()
    }

    fn pulls(&self, relay: &RelayAt, current: impl Fn(usize) -> f64) -> bool {
        relay.winding.is_some_and(|at| {
            let least = nominal::RELAY_PULLS_IN.value * self.circuit.strands[at].siemens;
            current(at) >= least
        })
    }

    fn works(&self, unit: &UnitAt, volts: impl Fn(usize) -> f64) -> bool {
        match unit.rails {
            Some((supply, ground)) => volts(supply) - volts(ground) >= nominal::UNIT_WAKES.value,
            None => self.key_fed(),
        }
    }

    /// Whether the unit whose logic commands a driver, and the module it sits in, work.
    pub(super) fn powered(&self, driver: usize) -> bool {
        let driver = &self.circuit.drivers[driver];
        let works =
            |unit: Option<usize>| unit.map_or_else(|| self.key_fed(), |unit| self.wake.units[unit]);
        works(driver.command) && driver.module.is_none_or(|unit| self.wake.units[unit])
    }
}

/// Whether a fuse blows.
fn blows(fuse: &FuseAt, current: impl Fn(usize) -> f64) -> bool {
    current(fuse.strand) > nominal::FUSE_BLOWS.value * fuse.rating
}

impl Edit {
    /// The conductance that this makes of `old`; `closed` is that of the branch when it conducts.
    pub(super) fn apply(self, old: f64, closed: f64) -> f64 {
        match self {
            Self::Open => 0.0,
            Self::Series(ohms) => old / (1.0 + old * ohms.max(0.0)),
            Self::Welded => closed,
            Self::Share(share) => old / share.clamp(1e-3, 1.0),
        }
    }
}

impl Alteration {
    /// Drivers that are always on, with their limit.
    pub(super) fn held(&self, circuit: &Circuit) -> Vec<Held> {
        self.drivers
            .iter()
            .filter_map(|&(id, how)| {
                let k = circuit.drivers.iter().position(|driver| driver.id == id)?;
                match how {
                    Switching::Always => Some(Held::fully(k)),
                    Switching::Limited(amps) => Some(Held {
                        limit: Some(amps.max(0.0)),
                        ..Held::fully(k)
                    }),
                    Switching::Never | Switching::Clamp(_) => None,
                }
            })
            .collect()
    }

    /// Whether nothing tells this driver to switch.
    pub(super) fn silences(
        &self,
        driver: crate::model::DriverId,
        unit: crate::model::PartId,
    ) -> bool {
        self.silent.iter().any(|silence| match silence {
            Silence::Unit(part) => *part == unit,
            Silence::Driver(id) => *id == driver,
        })
    }
}

impl Circuit {
    /// Whether a unit decides when to spark.
    pub(super) fn decides(&self, unit: usize) -> bool {
        self.units[unit].role == UnitRole::EngineControl
    }
}
