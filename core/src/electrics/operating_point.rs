//! One circuit in one setup, factorised: potentials at rest, drivers ready to be switched.

use std::sync::{Arc, OnceLock};

use super::alteration::{Alteration, Edit, Silence, Switching};
use super::circuit::{Circuit, StrandKind, siemens};
use super::desk::SEEN;
use super::nominal;
use super::oracle::{Oracle, Solver};
use super::sparse::{Factor, Pattern};
use crate::model::{BatteryLink, Element, EngineState, Key, Setup, UnitRole};

/// A circuit in one setup, solved once; see [`super::Desk`] for what faults make of it.
#[derive(Debug, Clone)]
pub struct OperatingPoint {
    pub(super) circuit: Arc<Circuit>,
    pub(super) setup: Setup,
    /// Conductance of each strand, then of each bridge, S.
    pub(super) weights: Vec<f64>,
    /// What each strand drives, V.
    pub(super) emfs: Vec<f64>,
    pub(super) wake: Wake,
    /// A pattern of its own where bridges join what the circuit keeps apart.
    pattern: Option<Pattern>,
    factor: Factor,
    /// Solves in place of the factor where a check asks for it.
    oracle: Option<Arc<dyn Oracle>>,
    solver: Option<Arc<dyn Solver>>,
    bridges: Vec<(usize, usize)>,
    /// Potential of every node with all drivers off, the reference last, V.
    pub(super) off: Vec<f64>,
    pub(super) drivers: Vec<DriverPoint>,
    /// Resistance between the ends of each coil's primary, drivers off, Ω.
    pub(super) port_ohms: Vec<f64>,
    /// Drivers that an alteration holds on, with the current limit, A.
    pub(super) held: Vec<(usize, Option<f64>)>,
    own_ohms: OnceLock<Vec<f64>>,
    pub(super) islands: OnceLock<super::islands::Islands>,
}

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

/// What switching one driver does.
#[derive(Debug, Clone, Default)]
pub(super) struct DriverPoint {
    /// Potentials when 1 A is put in at the collector and taken out at the emitter, V.
    pub(super) unit: Vec<f64>,
    /// Potentials that its drive signal adds when it is fully on, V. Empty without a wire.
    pub(super) signal: Vec<f64>,
    /// For each coil, the voltage across its primary in `unit`, V.
    pub(super) across: Vec<f64>,
    /// Coils that it energises.
    pub(super) near: Vec<usize>,
    /// Seconds between two sparks, and how long of it the driver is on. Zero when the engine stands.
    pub(super) period: f64,
    pub(super) dwell: f64,
}

impl Setup {
    /// Speed of the crankshaft in turns a minute; zero when it stands.
    pub(super) fn turns_a_minute(&self) -> f64 {
        match self.engine {
            EngineState::Stopped => 0.0,
            EngineState::Cranking(rpm) | EngineState::Running(rpm) => {
                if rpm.get() > 1.0 {
                    rpm.get().min(30_000.0)
                } else {
                    0.0
                }
            }
        }
    }
}

impl OperatingPoint {
    /// The healthy circuit in one setup.
    #[must_use]
    pub fn of(circuit: &Arc<Circuit>, setup: &Setup) -> Self {
        Self::altered(circuit, setup, &Alteration::default())
    }

    /// The circuit in one setup with an alteration, factorised anew: slow, simple and always right.
    #[must_use]
    pub fn altered(circuit: &Arc<Circuit>, setup: &Setup, alteration: &Alteration) -> Self {
        Self::solved_by(None, circuit, setup, alteration)
    }

    /// As [`Self::altered`], every potential from an oracle where one is given.
    pub(super) fn solved_by(
        oracle: Option<Arc<dyn Oracle>>,
        circuit: &Arc<Circuit>,
        setup: &Setup,
        alteration: &Alteration,
    ) -> Self {
        let n = circuit.len();
        let pattern = (!alteration.bridges.is_empty()).then(|| {
            let strands = circuit.strands.iter().map(|s| (s.a, s.b));
            let bridges = alteration.bridges.iter().map(|&(a, b, _)| (a, b));
            Pattern::of(n, &strands.chain(bridges).collect::<Vec<_>>())
        });
        let mut found = Self {
            circuit: Arc::clone(circuit),
            setup: setup.clone(),
            weights: Vec::new(),
            emfs: Vec::new(),
            wake: Wake {
                relays: vec![false; circuit.relays.len()],
                units: Vec::new(),
                blown: vec![false; circuit.fuses.len()],
                faint: vec![false; circuit.units.len()],
            },
            pattern,
            factor: Factor::default(),
            oracle,
            solver: None,
            bridges: alteration.bridges.iter().map(|&(a, b, _)| (a, b)).collect(),
            off: vec![0.0; n + 1],
            drivers: Vec::new(),
            port_ohms: Vec::new(),
            held: alteration.held(circuit),
            own_ohms: OnceLock::new(),
            islands: OnceLock::new(),
        };
        found.wake.units = found.asleep();
        found.settle(alteration);
        found.switch();
        found
    }

    /// Whether the key feeds what the map does not tell about.
    fn key_fed(&self) -> bool {
        self.setup.key == Key::On && self.setup.battery == BatteryLink::Connected
    }

    /// Units at rest: only what no supply pin tells about works.
    fn asleep(&self) -> Vec<bool> {
        let units = self.circuit.units.iter();
        units
            .map(|unit| unit.rails.is_none() && self.key_fed())
            .collect()
    }

    /// Relays pull in, units wake and fuses blow until nothing changes any more.
    fn settle(&mut self, alteration: &Alteration) {
        let more = |old: &[bool], new: &[bool]| -> Vec<bool> {
            old.iter().zip(new).map(|(a, b)| *a || *b).collect()
        };
        let states =
            self.wake.relays.len() + self.wake.units.len() + self.circuit.drivers.len() + 1;
        for _ in 0..=states * (self.wake.blown.len() + self.wake.units.len() + 1) {
            self.load(alteration);
            self.refactorise();
            let wake = self.wake_at(|node| self.off[node], &[]);
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
            self.held.retain(|&(k, _)| {
                let driver = &circuit.drivers[k];
                off[driver.collector] - off[driver.emitter] > driver.volts
            });
            if before != self.held.len() {
                continue;
            }
            if self.hold_driven(alteration) {
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
        self.limit();
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
            let held = self.held.iter().any(|(other, _)| *other == k);
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
                driven.push((k, None));
            }
        }
        self.held.extend(&driven);
        !driven.is_empty()
    }

    /// Holds down the current of drivers that limit it.
    fn limit(&mut self) {
        for (k, limit) in self.held.clone() {
            let Some(limit) = limit else { continue };
            let (strand, volts, ohms) = {
                let driver = &self.circuit.drivers[k];
                (driver.strand, driver.volts, driver.ohms)
            };
            let driver = &self.circuit.drivers[k];
            let current = (self.off[driver.collector] - self.off[driver.emitter] - volts) / ohms;
            if current <= limit {
                continue;
            }
            // Held at its limit it is a current, not a resistance.
            self.weights[strand] = 0.0;
            self.emfs[strand] = 0.0;
            self.refactorise();
            let (collector, emitter) = (
                self.circuit.drivers[k].collector,
                self.circuit.drivers[k].emitter,
            );
            let pull = self.response(&[(collector, 1.0), (emitter, -1.0)]);
            for (value, share) in self.off.iter_mut().zip(&pull) {
                *value -= limit * share;
            }
        }
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
        for &(k, _) in &self.held {
            let driver = &circuit.drivers[k];
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
    fn timing(&self, sparks: f64) -> (f64, f64) {
        let rpm = self.setup.turns_a_minute();
        if rpm <= 0.0 {
            return (0.0, 0.0);
        }
        let period = self.circuit.turns * 60.0 / rpm / sparks;
        (
            period,
            self.circuit.dwell.min(nominal::DWELL_SHARE.value * period),
        )
    }

    fn refactorise(&mut self) {
        let circuit = Arc::clone(&self.circuit);
        let pattern = self.pattern.as_ref().unwrap_or(&circuit.pattern);
        pattern.factorise(
            self.weights.iter().copied(),
            nominal::LEAK.value,
            &mut self.factor,
        );
        if let Some(oracle) = &self.oracle {
            let strands = circuit.strands.iter().map(|s| (s.a, s.b));
            let branches: Vec<(usize, usize, f64)> = strands
                .chain(self.bridges.iter().copied())
                .zip(&self.weights)
                .map(|((a, b), weight)| (a, b, *weight))
                .collect();
            self.solver = Some(oracle.factorise(circuit.len(), &branches, nominal::LEAK.value));
        }
        let mut off = std::mem::take(&mut self.off);
        off.clear();
        off.resize(circuit.len() + 1, 0.0);
        for ((strand, emf), weight) in circuit.strands.iter().zip(&self.emfs).zip(&self.weights) {
            let current = emf * weight;
            if current != 0.0 {
                off[strand.a] += current;
                off[strand.b] -= current;
            }
        }
        self.solve(&mut off, 0);
        self.off = off;
    }

    /// Which relays pull in, which units work and which fuses blow at these potentials. `changed`: strands
    /// that conduct otherwise than here, with their conductance (S).
    pub(super) fn wake_at(&self, volts: impl Fn(usize) -> f64, changed: &[(usize, f64)]) -> Wake {
        let current = |at: usize| {
            let strand = &self.circuit.strands[at];
            let changed = changed.iter().find(|(other, _)| *other == at);
            let weight = changed.map_or(self.weights[at], |(_, weight)| *weight);
            weight * (volts(strand.a) - volts(strand.b)).abs()
        };
        Wake {
            relays: self
                .circuit
                .relays
                .iter()
                .map(|relay| {
                    relay.winding.is_some_and(|at| {
                        let least =
                            nominal::RELAY_PULLS_IN.value * self.circuit.strands[at].siemens;
                        current(at) >= least
                    })
                })
                .collect(),
            faint: self.wake.faint.clone(),
            units: self
                .circuit
                .units
                .iter()
                .map(|unit| match unit.rails {
                    Some((supply, ground)) => {
                        volts(supply) - volts(ground) >= nominal::UNIT_WAKES.value
                    }
                    None => self.key_fed(),
                })
                .collect(),
            blown: self
                .circuit
                .fuses
                .iter()
                .zip(&self.wake.blown)
                .map(|(fuse, blown)| {
                    *blown || current(fuse.strand) > nominal::FUSE_BLOWS.value * fuse.rating
                })
                .collect(),
        }
    }

    /// What each driver does when it switches; nothing does while the engine stands.
    fn switch(&mut self) {
        let circuit = Arc::clone(&self.circuit);
        if self.setup.turns_a_minute() <= 0.0 {
            self.port_ohms = vec![0.0; circuit.coils.len()];
            self.drivers = vec![DriverPoint::default(); circuit.drivers.len()];
            return;
        }
        self.port_ohms = circuit
            .coils
            .iter()
            .map(|coil| {
                let strand = &circuit.strands[coil.strand];
                let z = self.response(&[(strand.a, 1.0), (strand.b, -1.0)]);
                z[strand.a] - z[strand.b]
            })
            .collect();
        self.drivers = circuit
            .drivers
            .iter()
            .map(|driver| {
                let unit = self.response(&[(driver.collector, 1.0), (driver.emitter, -1.0)]);
                let across: Vec<f64> = circuit
                    .coils
                    .iter()
                    .map(|coil| {
                        let strand = &circuit.strands[coil.strand];
                        unit[strand.a] - unit[strand.b]
                    })
                    .collect();
                let signal = driver.line.map_or_else(Vec::new, |(_, at)| {
                    let strand = &circuit.strands[at];
                    let current = self.weights[at] * strand.emf;
                    self.response(&[(strand.a, current), (strand.b, -current)])
                });
                let (period, dwell) = self.timing(driver.sparks);
                let near = (0..circuit.coils.len())
                    .filter(|&j| across[j].abs() * self.weights[circuit.coils[j].strand] >= SEEN)
                    .collect();
                DriverPoint {
                    near,
                    unit,
                    signal,
                    across,
                    period,
                    dwell,
                }
            })
            .collect();
    }

    /// Potentials (V) that these currents (A) alone would give, every source taken as dead.
    pub(super) fn response(&self, currents: &[(usize, f64)]) -> Vec<f64> {
        let mut values = vec![0.0; self.circuit.len() + 1];
        self.respond(currents, &mut values);
        values
    }

    /// As [`Self::response`], into `values`, which holds zeros.
    pub(super) fn respond(&self, currents: &[(usize, f64)], values: &mut [f64]) {
        for &(node, current) in currents {
            values[node] += current;
        }
        let from = currents.iter().map(|(node, _)| *node).min().unwrap_or(0);
        self.solve(values, from);
    }

    /// Currents into the nodes become potentials; the reference is last, nothing stands before `from`.
    fn solve(&self, values: &mut [f64], from: usize) {
        if let Some(solver) = &self.solver {
            let n = self.circuit.len();
            let found = solver.solve(&values[..n]);
            values[..n].copy_from_slice(&found);
            values[n] = 0.0;
            return;
        }
        let pattern = self.pattern.as_ref().unwrap_or(&self.circuit.pattern);
        pattern.solve(&self.factor, values, from);
    }

    /// Resistance (Ω) between each node and the reference, sources dead, drivers off.
    pub(super) fn own_ohms(&self) -> &[f64] {
        self.own_ohms.get_or_init(|| {
            let pattern = self.pattern.as_ref().unwrap_or(&self.circuit.pattern);
            pattern.own_ohms(&self.factor)
        })
    }

    /// The circuit.
    #[must_use]
    pub fn circuit(&self) -> &Arc<Circuit> {
        &self.circuit
    }

    /// The setup.
    #[must_use]
    pub fn setup(&self) -> &Setup {
        &self.setup
    }

    /// Whether the unit whose logic commands a driver, and the module it sits in, work.
    pub(super) fn powered(&self, driver: usize) -> bool {
        let driver = &self.circuit.drivers[driver];
        let works =
            |unit: Option<usize>| unit.map_or_else(|| self.key_fed(), |unit| self.wake.units[unit]);
        works(driver.command) && driver.module.is_none_or(|unit| self.wake.units[unit])
    }
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
    pub(super) fn held(&self, circuit: &Circuit) -> Vec<(usize, Option<f64>)> {
        self.drivers
            .iter()
            .filter_map(|&(id, how)| {
                let k = circuit.drivers.iter().position(|driver| driver.id == id)?;
                match how {
                    Switching::Always => Some((k, None)),
                    Switching::Limited(amps) => Some((k, Some(amps))),
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
