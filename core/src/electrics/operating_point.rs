//! One circuit in one setup, factorised: potentials at rest, drivers ready to be switched.

use std::sync::{Arc, OnceLock};

use super::alteration::Alteration;
use super::circuit::Circuit;
use super::energised::SEEN;
use super::nominal;
use super::oracle::{Oracle, Solver};
use super::settle::{Held, Wake};
use super::sparse::{Factor, Pattern};
use crate::model::{EngineState, Setup};

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
    pub(super) pattern: Option<Pattern>,
    pub(super) factor: Factor,
    /// Solves in place of the factor where a check asks for it.
    pub(super) oracle: Option<Arc<dyn Oracle>>,
    pub(super) solver: Option<Arc<dyn Solver>>,
    pub(super) bridges: Vec<(usize, usize)>,
    /// Potential of every node with all drivers off, the reference last, V.
    pub(super) off: Vec<f64>,
    pub(super) drivers: Vec<DriverPoint>,
    /// Resistance between the ends of each coil's primary, drivers off, Ω.
    pub(super) port_ohms: Vec<f64>,
    /// Drivers that an alteration or their own drive signal holds on.
    pub(super) held: Vec<Held>,
    pub(super) own_ohms: OnceLock<Vec<f64>>,
    pub(super) islands: OnceLock<super::islands::Islands>,
}

/// What switching one driver does. Of a driver that is not fed, or is held on, the times alone are known.
#[derive(Debug, Clone, Default)]
pub(super) struct DriverPoint {
    /// Potentials when 1 A is put in at the collector and taken out at the emitter, V.
    pub(super) unit: Vec<f64>,
    /// The largest of them either way, Ω for 1 A.
    pub(super) reach: f64,
    /// Potentials that its drive signal adds when it is fully on, V; see [`OperatingPoint::signal`].
    signal: OnceLock<Vec<f64>>,
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

    pub(super) fn refactorise(&mut self) {
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
        for held in &self.held {
            let driver = &circuit.drivers[held.driver];
            let current = held.drawn().unwrap_or_default();
            off[driver.collector] -= current;
            off[driver.emitter] += current;
        }
        self.solve(&mut off, 0);
        self.off = off;
    }

    /// What each driver does when it switches; nothing does while the engine stands.
    fn switch(&mut self) {
        let circuit = Arc::clone(&self.circuit);
        if self.setup.turns_a_minute() <= 0.0 {
            self.port_ohms = vec![0.0; circuit.coils.len()];
            self.drivers = vec![DriverPoint::default(); circuit.drivers.len()];
            return;
        }
        let held = |k: usize| self.held.iter().any(|held| held.driver == k);
        let may_switch: Vec<bool> = (0..circuit.drivers.len())
            .map(|k| self.powered(k) && !held(k))
            .collect();
        self.port_ohms = if may_switch.contains(&true) {
            let coils = circuit.coils.iter();
            let strands = coils.map(|coil| &circuit.strands[coil.strand]);
            strands
                .map(|strand| {
                    let z = self.response(&[(strand.a, 1.0), (strand.b, -1.0)]);
                    z[strand.a] - z[strand.b]
                })
                .collect()
        } else {
            vec![0.0; circuit.coils.len()]
        };
        self.drivers = circuit
            .drivers
            .iter()
            .zip(may_switch)
            .map(|(driver, may_switch)| {
                let (period, dwell) = self.timing(driver.sparks);
                if !may_switch {
                    return DriverPoint {
                        period,
                        dwell,
                        ..DriverPoint::default()
                    };
                }
                let unit = self.response(&[(driver.collector, 1.0), (driver.emitter, -1.0)]);
                let across: Vec<f64> = circuit
                    .coils
                    .iter()
                    .map(|coil| {
                        let strand = &circuit.strands[coil.strand];
                        unit[strand.a] - unit[strand.b]
                    })
                    .collect();
                let near = (0..circuit.coils.len())
                    .filter(|&j| across[j].abs() * self.weights[circuit.coils[j].strand] >= SEEN)
                    .collect();
                let mut reach = 0.0;
                for v in &unit {
                    if v.abs() > reach {
                        reach = v.abs();
                    }
                }
                DriverPoint {
                    near,
                    reach,
                    unit,
                    signal: OnceLock::new(),
                    across,
                    period,
                    dwell,
                }
            })
            .collect();
    }

    /// Potentials that a driver's drive signal adds when it is fully on, V. Empty without a wire, and while
    /// the engine stands.
    pub(super) fn signal(&self, driver: usize) -> &[f64] {
        let Some((_, at)) = self.circuit.drivers[driver].line else {
            return &[];
        };
        if self.setup.turns_a_minute() <= 0.0 {
            return &[];
        }
        self.drivers[driver].signal.get_or_init(|| {
            let strand = &self.circuit.strands[at];
            let current = self.weights[at] * strand.emf;
            self.response(&[(strand.a, current), (strand.b, -current)])
        })
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
}
