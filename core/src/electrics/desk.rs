//! What faults make of a solved circuit: low-rank changes of its solution, or a new factorisation where that is not safe.

use super::alteration::{Alteration, Edit, Switching};
use super::circuit::{Circuit, StrandKind, siemens};
use super::coil::{Periodic, Phase, ShortedTurns, periodic};
use super::islands::{CutOff, Islands};
use super::nominal;
use super::operating_point::OperatingPoint;
use super::spark::{self, Demand, PlugSpark};
use crate::model::Harness;

/// Below this, 1 + Δg·R has lost what a floating part hangs on: factorise anew instead.
const SAFE: f64 = 1e-6;
/// More changes at once than this are factorised anew.
const MOST: usize = 4;
/// A switched coil whose primary sees less than this share of its own voltage is not energised.
pub(super) const SEEN: f64 = 0.02;

/// A primary across which a change puts less than this for 1 A does not feel it, V.
const FELT: f64 = 1e-4;

/// One coil energised by one driver.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fired {
    pub(super) driver: usize,
    pub(super) coil: usize,
    pub(super) run: Periodic,
    /// Current in shorted turns at turn-off, A, with their share.
    pub(super) shorted: Option<(ShortedRunKept, f64)>,
    /// Voltage at which the driver holds the flyback, V.
    pub(super) clamp: f64,
    /// Resistance of the primary's whole loop while the driver is off, Ω.
    pub(super) load: f64,
    /// Current that the primary keeps while the driver is off, A.
    pub(super) resting: f64,
    /// Potential of the feed with the drivers off, V.
    pub(super) feed: f64,
}

/// What is kept of a run with shorted turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ShortedRunKept {
    pub(super) inside: f64,
    /// Resistance of the whole primary, Ω.
    pub(super) ohms: f64,
}

/// A primary as a driver that switches sees it.
struct Port {
    coil: usize,
    /// Its conductance, S.
    weight: f64,
    /// Voltage across it for 1 A into the driver's collector and out of its emitter, V.
    across: f64,
    /// Potential of its feed with the drivers off, V.
    feed: f64,
    /// Current that it runs toward with the driver off, and on, A.
    towards: [f64; 2],
    /// Resistance between its ends with the driver off, itself in place, Ω.
    seen: f64,
}

/// How many alterations went which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Answered by a low-rank change.
    pub updated: usize,
    /// Answered by a closed form for a part that is cut off.
    pub cut: usize,
    /// Factorised anew.
    pub anew: usize,
}

/// A place to answer many faults on one circuit in one setup.
///
/// # Source
/// Sherman, Morrison 1950, doi:10.1214/aoms/1177729893 (value from memory), only where it is safe.
#[derive(Debug)]
pub struct Desk<'s> {
    point: &'s OperatingPoint,
    directions: Vec<Direction>,
    /// Weight of each driver's unit response in the healthy answer, A.
    healthy: Vec<f64>,
    healthy_volts: Vec<f64>,
    /// Largest potential in each driver's unit response, Ω.
    reach: Vec<f64>,
    kappa: Vec<f64>,
    volts: Vec<f64>,
    readings: Vec<f64>,
    fired: Vec<Fired>,
    /// Drivers that still switch.
    switching: Vec<usize>,
    /// Coils whose primary feels the changes.
    touched: Vec<usize>,
    tally: Tally,
}

/// Potentials that 1 A from `a` to `b` gives.
#[derive(Debug, Clone)]
struct Direction {
    a: usize,
    b: usize,
    z: Vec<f64>,
}

/// One change of one branch.
#[derive(Debug, Clone, Copy)]
struct Delta {
    a: usize,
    b: usize,
    siemens: f64,
    emf: f64,
    strand: Option<usize>,
    /// A driver that is held on conducts one way only.
    one_way: bool,
}

/// The changes with the matrix that turns voltages across them into currents through them.
struct Update {
    deltas: Vec<Delta>,
    /// Row by row: (1 + Δ·R)⁻¹·Δ.
    matrix: Vec<f64>,
    cut: Option<CutOff>,
}

/// The answer of a desk for one alteration.
#[derive(Debug, Clone, Copy)]
pub struct Answer<'d> {
    /// Potential of every node (V): averaged over a cycle where the engine turns; reference last.
    pub volts: &'d [f64],
    /// What a meter with its black lead on the reference reads at every node, V.
    pub readings: &'d [f64],
    pub(super) fired: &'d [Fired],
}

impl Answer<'_> {
    /// What each plug does; empty of sparks while the engine stands.
    #[must_use]
    pub fn sparks(
        &self,
        harness: &Harness,
        circuit: &Circuit,
        alteration: &Alteration,
        demand: Demand,
    ) -> Vec<PlugSpark> {
        spark::sparks(harness, circuit, self.fired, alteration, demand)
    }
}

impl<'s> Desk<'s> {
    /// A desk for one circuit in one setup.
    #[must_use]
    pub fn new(point: &'s OperatingPoint) -> Self {
        let mut desk = Self {
            point,
            directions: vec![
                Direction {
                    a: usize::MAX,
                    b: 0,
                    z: Vec::new()
                };
                MOST
            ],
            healthy: vec![0.0; point.drivers.len()],
            healthy_volts: point.off.clone(),
            reach: point
                .drivers
                .iter()
                .map(|d| d.unit.iter().fold(0.0, |most: f64, v| most.max(v.abs())))
                .collect(),
            kappa: Vec::new(),
            volts: Vec::new(),
            readings: Vec::new(),
            fired: Vec::new(),
            switching: Vec::new(),
            touched: Vec::new(),
            tally: Tally::default(),
        };
        let none = Update {
            deltas: Vec::new(),
            matrix: Vec::new(),
            cut: None,
        };
        desk.run(&none, &[], &Alteration::default());
        desk.healthy.clone_from(&desk.kappa);
        desk.healthy_volts.clone_from(&desk.volts);
        desk
    }

    /// How the alterations were answered so far.
    #[must_use]
    pub const fn tally(&self) -> Tally {
        self.tally
    }

    /// Potentials and readings with an alteration.
    pub fn answer(&mut self, alteration: &Alteration) -> Answer<'_> {
        if !self.try_update(alteration) {
            self.tally.anew += 1;
            let anew = OperatingPoint::altered(&self.point.circuit, &self.point.setup, alteration);
            let done = Desk::settled(&anew, alteration);
            self.volts = done.0;
            self.fired = done.1;
            self.readings.clear();
            self.readings.extend(
                self.volts
                    .iter()
                    .zip(anew.own_ohms())
                    .map(|(v, r)| metered(*v, *r)),
            );
        }
        Answer {
            volts: &self.volts,
            readings: &self.readings,
            fired: &self.fired,
        }
    }

    /// Potentials of a circuit that was factorised with the alteration already in it.
    pub(super) fn settled(
        point: &OperatingPoint,
        alteration: &Alteration,
    ) -> (Vec<f64>, Vec<Fired>, Vec<usize>) {
        let mut desk = Desk::new(point);
        let none = Update {
            deltas: Vec::new(),
            matrix: Vec::new(),
            cut: None,
        };
        desk.run(&none, &[], alteration);
        (desk.volts, desk.fired, desk.switching)
    }

    /// Answers by a low-rank change; `false` where that is not safe.
    fn try_update(&mut self, alteration: &Alteration) -> bool {
        let point = self.point;
        let lines = point
            .circuit
            .drivers
            .iter()
            .any(|driver| driver.line.is_some());
        if lines && !alteration.silent.is_empty() {
            return false;
        }
        let Some(deltas) = self.deltas(alteration) else {
            return false;
        };
        let Some(mut update) = self.update(deltas) else {
            return false;
        };
        if update.deltas.iter().any(|delta| delta.one_way) {
            let currents = self.currents(&update, &point.off);
            let blocked = |(delta, current): (&Delta, &f64)| delta.one_way && *current <= 0.0;
            if update.deltas.iter().zip(&currents).any(blocked) {
                let open: Vec<Delta> = update
                    .deltas
                    .iter()
                    .zip(&currents)
                    .filter(|pair| !blocked(*pair))
                    .map(|(delta, _)| *delta)
                    .collect();
                let Some(without) = self.update(open) else {
                    return false;
                };
                update = without;
            }
        }
        let currents = self.currents(&update, &point.off);
        let islands = point.islands.get_or_init(|| Islands::of(point));
        let off = |node: usize| self.at(&update, islands, &point.off, &currents, node);
        let changed: Vec<(usize, f64)> = update
            .deltas
            .iter()
            .filter_map(|delta| {
                let strand = delta.strand?;
                let cut = update.cut.is_some();
                Some((
                    strand,
                    if cut {
                        0.0
                    } else {
                        point.weights[strand] + delta.siemens
                    },
                ))
            })
            .collect();
        if point.wake_at(off, &changed) != point.wake || self.driven(&update, islands, &currents) {
            return false;
        }
        if let Some(cut) = &update.cut {
            // A driver whose ground side hangs on the cut-off part charges it: not closed form any more.
            let across = point.circuit.drivers.iter().any(|driver| {
                islands.holds(cut, driver.emitter) && !islands.holds(cut, driver.collector)
            });
            if across && point.setup.turns_a_minute() > 0.0 {
                return false;
            }
            self.tally.cut += 1;
        } else {
            self.tally.updated += 1;
        }
        self.run(&update, &currents, alteration);
        self.meter(&update, islands);
        true
    }

    /// Whether a change lets a drive signal stand high although nothing commands it.
    fn driven(&self, update: &Update, islands: &Islands, currents: &[f64]) -> bool {
        let point = self.point;
        point
            .circuit
            .drivers
            .iter()
            .zip(&point.drivers)
            .enumerate()
            .any(|(k, (driver, own))| {
                let Some((start, _)) = driver.line else {
                    return false;
                };
                let share = if own.period > 0.0 {
                    own.dwell / own.period
                } else {
                    0.0
                };
                let off = |node: usize| self.at(update, islands, &point.off, currents, node);
                let level = off(start) - off(driver.emitter);
                if level < nominal::DRIVE_LEAST.value
                    || point.held.iter().any(|(held, _)| *held == k)
                {
                    return false;
                }
                if own.signal.is_empty() {
                    return true;
                }
                let shares = self.currents_of(update, &own.signal);
                let signal = |node: usize| self.at(update, islands, &own.signal, &shares, node);
                level - share * (signal(start) - signal(driver.emitter))
                    >= nominal::DRIVE_LEAST.value
            })
    }

    /// The changes of single branches that an alteration makes here; `None` where they must be
    /// factorised anew.
    fn deltas(&self, alteration: &Alteration) -> Option<Vec<Delta>> {
        let point = self.point;
        let circuit = &point.circuit;
        let mut found: Vec<Delta> = Vec::with_capacity(MOST);
        for &(at, edit) in &alteration.edits {
            let strand = circuit.strands.get(at)?;
            // What makes a drive signal shapes more than potentials.
            let signal = matches!(strand.kind, StrandKind::Drive(_));
            if signal || found.iter().any(|delta| delta.strand == Some(at)) {
                return None;
            }
            let old = point.weights[at];
            let new = edit.apply(old, strand.siemens);
            if (new - old).abs() > 0.0 {
                // Exactly −old for an open one: the closed form for bridges asks for it.
                let siemens = if matches!(edit, Edit::Open) {
                    -old
                } else {
                    new - old
                };
                found.push(Delta {
                    a: strand.a,
                    b: strand.b,
                    siemens,
                    emf: point.emfs[at],
                    strand: Some(at),
                    one_way: false,
                });
            }
        }
        for &(a, b, ohms) in &alteration.bridges {
            if a != b {
                found.push(Delta {
                    a,
                    b,
                    siemens: siemens(ohms),
                    emf: 0.0,
                    strand: None,
                    one_way: false,
                });
            }
        }
        for &(id, how) in &alteration.drivers {
            match how {
                Switching::Always => {
                    let driver = circuit.drivers.iter().find(|driver| driver.id == id)?;
                    found.push(Delta {
                        a: driver.collector,
                        b: driver.emitter,
                        siemens: 1.0 / driver.ohms,
                        emf: driver.volts,
                        strand: None,
                        one_way: true,
                    });
                }
                Switching::Limited(_) => return None,
                Switching::Never | Switching::Clamp(_) => {}
            }
        }
        (found.len() <= MOST).then_some(found)
    }

    /// Makes the matrix of these changes; `None` where it would not be safe.
    fn update(&mut self, mut deltas: Vec<Delta>) -> Option<Update> {
        let point = self.point;
        let mut cut = None;
        if let [only] = deltas.as_mut_slice()
            && let Some(strand) = only.strand
            && only.siemens + point.weights[strand] == 0.0
        {
            let islands = point.islands.get_or_init(|| Islands::of(point));
            cut = islands.cut(point, strand);
            if let Some(cut) = &cut {
                // What stays connected loses only the leaks of what is cut off.
                *only = Delta {
                    a: cut.near,
                    b: point.circuit.reference(),
                    siemens: -cut.siemens,
                    emf: 0.0,
                    ..*only
                };
            }
        }
        let r = deltas.len();
        for (slot, delta) in deltas.iter().enumerate() {
            self.aim(slot, delta.a, delta.b);
        }
        let mut left = vec![0.0; r * r];
        let mut matrix = vec![0.0; r * r];
        for (i, delta) in deltas.iter().enumerate() {
            for (j, direction) in self.directions[..r].iter().enumerate() {
                left[i * r + j] = delta.siemens * (direction.z[delta.a] - direction.z[delta.b]);
            }
            left[i * r + i] += 1.0;
            matrix[i * r + i] = delta.siemens;
        }
        for k in 0..r {
            let pivot = left[k * r + k];
            if pivot.abs() < SAFE {
                return None;
            }
            for i in 0..r {
                if i == k {
                    continue;
                }
                let share = left[i * r + k] / pivot;
                for j in 0..r {
                    left[i * r + j] -= share * left[k * r + j];
                    matrix[i * r + j] -= share * matrix[k * r + j];
                }
            }
        }
        for k in 0..r {
            for j in 0..r {
                matrix[k * r + j] /= left[k * r + k];
            }
        }
        Some(Update {
            deltas,
            matrix,
            cut,
        })
    }

    /// Makes direction `slot` that of 1 A from `a` to `b`.
    fn aim(&mut self, slot: usize, a: usize, b: usize) {
        let point = self.point;
        let direction = &mut self.directions[slot];
        if (direction.a, direction.b) == (a, b) {
            return;
        }
        direction.a = a;
        direction.b = b;
        direction.z.clear();
        direction.z.resize(point.off.len(), 0.0);
        point.respond(&[(a, 1.0), (b, -1.0)], &mut direction.z);
    }

    /// Currents (A) that the changes draw from these potentials.
    fn currents(&self, update: &Update, volts: &[f64]) -> Vec<f64> {
        update.through(|delta| volts[delta.a] - volts[delta.b] - delta.emf)
    }

    /// A potential after the changes.
    fn at(
        &self,
        update: &Update,
        islands: &Islands,
        volts: &[f64],
        currents: &[f64],
        node: usize,
    ) -> f64 {
        if update
            .cut
            .as_ref()
            .is_some_and(|cut| islands.holds(cut, node))
        {
            return 0.0;
        }
        let moved: f64 = currents
            .iter()
            .zip(&self.directions)
            .map(|(i, d)| i * d.z[node])
            .sum();
        volts[node] - moved
    }

    /// Potentials with the drivers switching, into `volts`, and the coils that are energised.
    fn run(&mut self, update: &Update, currents: &[f64], alteration: &Alteration) {
        let point = self.point;
        let circuit = &point.circuit;
        let islands = point.islands.get_or_init(|| Islands::of(point));
        self.fired.clear();
        self.switching.clear();
        self.kappa.clear();
        self.kappa.resize(point.drivers.len(), 0.0);
        // What the changes draw in all, once the drivers switch.
        let mut drawn = currents.to_vec();
        if point.setup.turns_a_minute() > 0.0 {
            let felt = |strand: usize| {
                let strand = &circuit.strands[strand];
                let apart = |d: &Direction| (d.z[strand.a] - d.z[strand.b]).abs();
                self.directions[..update.deltas.len()]
                    .iter()
                    .any(|d| apart(d) > FELT)
            };
            let coils = circuit.coils.iter().enumerate();
            self.touched = coils
                .filter(|(_, c)| felt(c.strand))
                .map(|(j, _)| j)
                .collect();
            for k in 0..point.drivers.len() {
                if !self.switches(k, update, islands, currents, alteration) {
                    continue;
                }
                self.switching.push(k);
                let unit = &point.drivers[k].unit;
                let shares = update.through(|delta| unit[delta.a] - unit[delta.b]);
                let kappa = self.switch(k, update, islands, currents, &shares, alteration);
                self.kappa[k] = kappa;
                for (sum, share) in drawn.iter_mut().zip(&shares) {
                    *sum += kappa * share;
                }
            }
        }
        self.volts.clear();
        self.volts.extend_from_slice(&self.healthy_volts);
        for (k, driver) in point.drivers.iter().enumerate() {
            let more = self.kappa[k] - self.healthy[k];
            if more.abs() * self.reach[k] > 1e-9 {
                for (value, unit) in self.volts.iter_mut().zip(&driver.unit) {
                    *value += more * unit;
                }
            }
        }
        for (direction, current) in self.directions.iter().zip(&drawn) {
            for (value, z) in self.volts.iter_mut().zip(&direction.z) {
                *value -= current * z;
            }
        }
        if let Some(cut) = &update.cut {
            for node in 0..circuit.len() {
                if islands.holds(cut, node) {
                    self.volts[node] = 0.0;
                }
            }
        }
    }

    /// Whether a driver still switches.
    fn switches(
        &self,
        k: usize,
        update: &Update,
        islands: &Islands,
        currents: &[f64],
        alteration: &Alteration,
    ) -> bool {
        let point = self.point;
        let driver = &point.circuit.drivers[k];
        let stuck = alteration
            .drivers
            .iter()
            .any(|(id, how)| *id == driver.id && !matches!(how, Switching::Clamp(_)));
        let commanded = driver.command.is_none_or(|unit| {
            point.circuit.decides(unit)
                && !alteration.silences(driver.id, point.circuit.units[unit].part)
        }) && !alteration.silences(driver.id, driver.host);
        let held = point.held.iter().any(|(held, _)| *held == k);
        if stuck || held || !commanded || !point.powered(k) {
            return false;
        }
        let Some((start, _)) = driver.line else {
            return true;
        };
        let (signal, timing) = (&point.drivers[k].signal, &point.drivers[k]);
        let shares = self.currents_of(update, signal);
        let level = |values: &[f64], drawn: &[f64]| {
            self.at(update, islands, values, drawn, start)
                - self.at(update, islands, values, drawn, driver.emitter)
        };
        // The averaged signal is already in the potentials with the drivers off.
        let rest = 1.0 - timing.dwell / timing.period;
        level(&point.off, currents) + rest * level(signal, &shares) >= nominal::DRIVE_LEAST.value
    }

    fn currents_of(&self, update: &Update, values: &[f64]) -> Vec<f64> {
        update.through(|delta| values[delta.a] - values[delta.b])
    }

    /// Average current (A) by which the unit response of driver `k` enters the averaged potentials;
    /// notes the coils that it energises.
    ///
    /// # Source
    /// Average-value model: closed-form periodic current in each primary; the average of the voltage
    /// across an inductance is what its current gains through the on-time.
    fn switch(
        &mut self,
        k: usize,
        update: &Update,
        islands: &Islands,
        currents: &[f64],
        shares: &[f64],
        alteration: &Alteration,
    ) -> f64 {
        let point = self.point;
        let circuit = &point.circuit;
        let (driver, own) = (&circuit.drivers[k], &point.drivers[k]);
        let off = |node: usize| self.at(update, islands, &point.off, currents, node);
        let unit = |node: usize| self.at(update, islands, &own.unit, shares, node);
        let hidden = |node: usize| {
            update
                .cut
                .as_ref()
                .is_some_and(|cut| islands.holds(cut, node))
        };
        let before = off(driver.collector) - off(driver.emitter) - driver.volts;
        if before <= 0.0 || hidden(driver.collector) {
            return 0.0;
        }
        let through = driver.ohms + (unit(driver.collector) - unit(driver.emitter)).max(0.0);
        let current = before / through;
        let clamp = alteration.drivers.iter().find_map(|(id, how)| match how {
            Switching::Clamp(volts) if *id == driver.id => Some(*volts),
            Switching::Clamp(_) | Switching::Never | Switching::Always | Switching::Limited(_) => {
                None
            }
        });
        let mut kappa = -own.dwell * current;
        let ports: Vec<Port> = own
            .near
            .iter()
            .chain(self.touched.iter().filter(|j| !own.near.contains(j)))
            .filter_map(|&j| {
                let strand = &circuit.strands[circuit.coils[j].strand];
                if hidden(strand.a) || hidden(strand.b) {
                    return None;
                }
                let apart =
                    |d: usize| self.directions[d].z[strand.a] - self.directions[d].z[strand.b];
                let weight = update.weight(point, circuit.coils[j].strand);
                let across = own.across[j] - update.moved(shares, apart);
                let resting = off(strand.a) - off(strand.b);
                (weight > 1e-9 && across.abs() * weight >= SEEN).then(|| Port {
                    coil: j,
                    weight,
                    across,
                    feed: off(strand.a),
                    towards: [weight * resting, weight * (resting - current * across)],
                    seen: point.port_ohms[j] - update.squared(apart),
                })
            })
            .collect();
        // Coils that one driver energises together rise and are cut together: none loads another.
        let together = ports.len() > 1;
        for port in ports {
            let coil = &circuit.coils[port.coil];
            let ohms = 1.0 / port.weight;
            // The whole loop from what the primary's ends see with it in place.
            let whole = |seen: f64| ohms * ohms / (ohms - seen).max(ohms * 1e-12);
            let (loop_on, loop_off) = if together {
                (before / port.towards[1].max(1e-9), ohms * 1e12)
            } else {
                let seen_on = port.seen - port.across * port.across / through;
                (whole(seen_on), whole(port.seen))
            };
            let share = alteration
                .shorted
                .iter()
                .find(|(part, _)| *part == coil.part)
                .map(|(_, share)| share.clamp(0.0, 0.95))
                .filter(|share| *share > 1e-4);
            let (mut run, shorted) = if let Some(share) = share {
                let ohms = ohms / (1.0 - share);
                let turns = ShortedTurns {
                    henries: coil.henries,
                    ohms,
                    share,
                };
                let run = turns.run(port.towards[1], loop_on, own.dwell, own.period);
                (
                    run.periodic,
                    Some((
                        ShortedRunKept {
                            inside: run.inside,
                            ohms,
                        },
                        share,
                    )),
                )
            } else {
                let phase = |toward, loop_ohms: f64, time| Phase {
                    toward,
                    constant: coil.henries / loop_ohms,
                    time,
                };
                let on = phase(port.towards[1], loop_on, own.dwell);
                let off = phase(port.towards[0], loop_off, own.period - own.dwell);
                (periodic(coil.henries, on, off), None)
            };
            kappa -= port.weight * run.flux * port.across / through;
            if let Some(clamp) = clamp {
                // A clamp that low holds the primary's current up after the driver has let go.
                let over = (clamp - port.feed).max(1.0);
                let tail = 0.5 * coil.henries * run.peak * run.peak / over;
                kappa -= tail;
                run.average += tail / own.period;
            }
            self.fired.push(Fired {
                driver: k,
                coil: port.coil,
                run,
                shorted,
                clamp: clamp.unwrap_or(nominal::DRIVER_CLAMP.value),
                load: loop_off,
                resting: port.towards[0],
                feed: port.feed,
            });
        }
        kappa / own.period
    }

    /// What a meter against the reference makes of the potentials.
    fn meter(&mut self, update: &Update, islands: &Islands) {
        let ohms = self.point.own_ohms();
        self.readings.clear();
        if let ([_], [factor]) = (update.deltas.as_slice(), update.matrix.as_slice()) {
            let z = &self.directions[0].z;
            let all = self.volts.iter().zip(ohms).zip(z);
            self.readings
                .extend(all.map(|((v, r), z)| metered(*v, r - factor * z * z)));
        } else {
            let all = self.volts.iter().zip(ohms).enumerate();
            self.readings.extend(all.map(|(node, (v, r))| {
                metered(*v, r - update.squared(|d| self.directions[d].z[node]))
            }));
        }
        debug_assert!(islands.len() == 0 || self.readings.len() == ohms.len());
    }
}

impl Update {
    /// Conductance of a strand after the changes, S.
    fn weight(&self, point: &OperatingPoint, strand: usize) -> f64 {
        let changed = self
            .deltas
            .iter()
            .filter(|delta| delta.strand == Some(strand));
        let more: f64 = changed.map(|delta| delta.siemens).sum();
        point.weights[strand] + if self.cut.is_some() { 0.0 } else { more }
    }

    /// Currents through the changes from the voltage that each sees.
    fn through(&self, across: impl Fn(&Delta) -> f64) -> Vec<f64> {
        let r = self.deltas.len();
        let seen: Vec<f64> = self.deltas.iter().map(across).collect();
        (0..r)
            .map(|i| (0..r).map(|j| self.matrix[i * r + j] * seen[j]).sum())
            .collect()
    }

    /// How far currents through the changes move a voltage of which `z` tells the part of each direction.
    fn moved(&self, currents: &[f64], z: impl Fn(usize) -> f64) -> f64 {
        debug_assert_eq!(currents.len(), self.deltas.len());
        currents.iter().enumerate().map(|(d, i)| i * z(d)).sum()
    }

    /// How much the changes lower a resistance of whose ends `z` tells the voltage in each direction.
    fn squared(&self, z: impl Fn(usize) -> f64) -> f64 {
        let r = self.deltas.len();
        let mut sum = 0.0;
        for i in 0..r {
            for j in 0..r {
                sum += z(i) * self.matrix[i * r + j] * z(j);
            }
        }
        sum
    }
}

/// What a meter of [`nominal::METER`] reads of a voltage (V) behind a resistance (Ω).
pub(super) fn metered(volts: f64, ohms: f64) -> f64 {
    volts * (nominal::METER.value / (nominal::METER.value + ohms.max(0.0)))
}
