//! What faults make of a solved circuit: low-rank changes of its solution, or a new factorisation where that is not safe.

use std::sync::Arc;

use super::alteration::Alteration;
use super::circuit::Circuit;
use super::energised::{Fired, Port};
use super::islands::Islands;
use super::nominal;
use super::operating_point::OperatingPoint;
use super::spark::{self, Demand, PlugSpark, Whose};
use super::update::{Currents, Delta, Direction, MOST, Update};
use crate::engine::CylinderId;
use crate::model::{DriverId, Harness};

/// A primary across which a change puts less than this for 1 A does not feel it, V.
const FELT: f64 = 1e-4;

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
pub struct Desk {
    pub(super) point: Arc<OperatingPoint>,
    /// The nodes whose potentials are told, the reference among them or not.
    watched: Vec<usize>,
    pub(super) directions: Vec<Direction>,
    /// Weight of each driver's unit response in the healthy answer, A.
    healthy: Vec<f64>,
    healthy_volts: Vec<f64>,
    /// Drivers that switch in the healthy answer, and the coils that they energise; empty before it is known.
    pub(super) sound: (Vec<usize>, Vec<Fired>),
    pub(super) kappa: Vec<f64>,
    /// By watched node.
    volts: Vec<f64>,
    readings: Vec<f64>,
    behind: Vec<f64>,
    pub(super) fired: Vec<Fired>,
    /// Drivers that still switch.
    pub(super) switching: Vec<usize>,
    /// Coils whose primary feels the changes.
    pub(super) touched: Vec<usize>,
    /// Where the driver at hand meets coils; empty between two drivers.
    pub(super) ports: Vec<Port>,
    tally: Tally,
}

/// The answer of a desk for one alteration.
#[derive(Debug, Clone, Copy)]
pub struct Answer<'d> {
    /// Potential of every watched node (V): averaged over a cycle where the engine turns. Of a desk that
    /// watches all nodes, by node, the reference last.
    pub volts: &'d [f64],
    /// What a meter with its black lead on the reference reads there, V.
    pub readings: &'d [f64],
    /// Resistance between there and the reference, sources dead, drivers off, Ω.
    pub behind: &'d [f64],
    pub(super) fired: &'d [Fired],
    pub(super) switching: &'d [usize],
}

impl Answer<'_> {
    /// Whether a driver still switches: fed, commanded, not stuck. None does while the engine stands.
    #[must_use]
    pub fn switches(&self, circuit: &Circuit, driver: DriverId) -> bool {
        self.switching
            .iter()
            .any(|k| circuit.drivers[*k].id == driver)
    }

    /// What each plug does; empty of sparks while the engine stands.
    #[must_use]
    pub fn sparks(
        &self,
        harness: &Harness,
        circuit: &Circuit,
        alteration: &Alteration,
        demand: Demand,
    ) -> Vec<PlugSpark> {
        let asked = (demand, Whose::All);
        spark::sparks(harness, circuit, self.fired, alteration, asked)
    }

    /// As [`Self::sparks`], of the plugs of some cylinders alone: the fewer, the quicker.
    #[must_use]
    pub fn sparks_of(
        &self,
        harness: &Harness,
        circuit: &Circuit,
        alteration: &Alteration,
        (demand, cylinders): (Demand, &[CylinderId]),
    ) -> Vec<PlugSpark> {
        let asked = (demand, Whose::Of(cylinders));
        spark::sparks(harness, circuit, self.fired, alteration, asked)
    }
}

impl Desk {
    /// A desk for one circuit in one setup that tells the potentials of all nodes.
    #[must_use]
    pub fn new(point: &Arc<OperatingPoint>) -> Self {
        let mut desk = Self::bare(point);
        desk.run(&Update::none(), &[], &Alteration::default());
        desk.healthy.clone_from(&desk.kappa);
        desk.healthy_volts.clone_from(&desk.volts);
        desk.sound = (desk.switching.clone(), desk.fired.clone());
        desk
    }

    /// A desk that tells the potentials of these nodes alone, in their order: the fewer, the quicker.
    #[must_use]
    pub fn watching(point: &Arc<OperatingPoint>, nodes: &[usize]) -> Self {
        let mut desk = Self::new(point);
        desk.watched = nodes.to_vec();
        desk
    }

    /// A desk whose answers start from the potentials with all drivers off.
    fn bare(point: &Arc<OperatingPoint>) -> Self {
        let none = Direction {
            a: usize::MAX,
            b: 0,
            z: Vec::new(),
        };
        Self {
            point: Arc::clone(point),
            watched: (0..point.off.len()).collect(),
            directions: vec![none; MOST],
            healthy: vec![0.0; point.drivers.len()],
            healthy_volts: point.off.clone(),
            sound: (Vec::new(), Vec::new()),
            kappa: Vec::new(),
            volts: Vec::new(),
            readings: Vec::new(),
            behind: Vec::new(),
            fired: Vec::new(),
            switching: Vec::new(),
            touched: Vec::new(),
            ports: Vec::new(),
            tally: Tally::default(),
        }
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
            let anew = Arc::new(anew);
            let (volts, fired, switching) = Desk::settled(&anew, alteration);
            self.volts.clear();
            self.volts.extend(self.watched.iter().map(|n| volts[*n]));
            self.fired = fired;
            self.switching = switching;
            let ohms = anew.own_ohms();
            self.behind.clear();
            self.behind.extend(self.watched.iter().map(|n| ohms[*n]));
            self.read();
        }
        Answer {
            volts: &self.volts,
            readings: &self.readings,
            behind: &self.behind,
            fired: &self.fired,
            switching: &self.switching,
        }
    }

    /// Potentials of a circuit that was factorised with the alteration already in it.
    pub(super) fn settled(
        point: &Arc<OperatingPoint>,
        alteration: &Alteration,
    ) -> (Vec<f64>, Vec<Fired>, Vec<usize>) {
        let mut desk = Self::bare(point);
        desk.run(&Update::none(), &[], alteration);
        (desk.volts, desk.fired, desk.switching)
    }

    /// Answers by a low-rank change; `false` where that is not safe.
    fn try_update(&mut self, alteration: &Alteration) -> bool {
        let point = &Arc::clone(&self.point);
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
            let all = update.deltas.iter().zip(currents.iter());
            let real: Vec<Delta> = all.filter_map(|(delta, i)| delta.carrying(*i)).collect();
            if real != update.deltas {
                let Some(again) = self.update(real) else {
                    return false;
                };
                update = again;
            }
        }
        let currents = self.currents(&update, &point.off);
        let islands = point.islands.get_or_init(|| Islands::of(point));
        let off = |node: usize| self.at(&update, islands, &point.off, &currents, node);
        let weight = |strand: usize| {
            let cut = update.cut.is_some()
                && update
                    .deltas
                    .iter()
                    .any(|delta| delta.strand == Some(strand));
            if cut {
                0.0
            } else {
                update.weight(point, strand)
            }
        };
        if !point.stays(off, weight) || self.driven(&update, islands, &currents) {
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
        self.meter(&update);
        true
    }

    /// Potentials with the drivers switching, into `volts`, and the coils that are energised.
    fn run(&mut self, update: &Update, currents: &[f64], alteration: &Alteration) {
        let point = &Arc::clone(&self.point);
        let circuit = &point.circuit;
        // Only what an opened bridge cuts off asks for them.
        let none = Islands::default();
        let islands = if update.cut.is_some() {
            point.islands.get_or_init(|| Islands::of(point))
        } else {
            &none
        };
        self.fired.clear();
        self.switching.clear();
        self.kappa.clear();
        self.kappa.resize(point.drivers.len(), 0.0);
        // What the changes draw in all, once the drivers switch.
        let mut drawn = Currents::of(currents);
        if point.setup.turns_a_minute() > 0.0 {
            let felt = |strand: usize| {
                let strand = &circuit.strands[strand];
                let apart = |d: &Direction| (d.z[strand.a] - d.z[strand.b]).abs();
                self.directions[..update.deltas.len()]
                    .iter()
                    .any(|d| apart(d) > FELT)
            };
            let coils = circuit.coils.iter().enumerate();
            let touched = coils.filter(|(_, c)| felt(c.strand)).map(|(j, _)| j);
            self.touched.clear();
            self.touched.extend(touched);
            for k in 0..point.drivers.len() {
                let unit = &point.drivers[k].unit;
                let shares = || update.through(|delta| unit[delta.a] - unit[delta.b]);
                let (shares, kappa) = if self.is_spared(k, update, islands, currents, alteration) {
                    let sound = self.sound.1.iter().filter(|fired| fired.driver == k);
                    self.fired.extend(sound);
                    (shares(), self.healthy[k])
                } else if self.switches(k, update, islands, currents, alteration) {
                    let shares = shares();
                    let kappa = self.switch(k, update, islands, currents, &shares, alteration);
                    (shares, kappa)
                } else {
                    continue;
                };
                self.switching.push(k);
                self.kappa[k] = kappa;
                for (sum, share) in drawn.iter_mut().zip(shares.iter()) {
                    *sum += kappa * share;
                }
            }
        }
        let more: Vec<(f64, &[f64])> = point
            .drivers
            .iter()
            .zip(self.kappa.iter().zip(&self.healthy))
            .map(|(driver, (now, healthy))| (now - healthy, driver))
            .filter(|(more, driver)| more.abs() * driver.reach > 1e-9)
            .map(|(more, driver)| (more, &driver.unit[..]))
            .collect();
        let directions = &self.directions;
        let told = |node: usize| {
            if update
                .cut
                .as_ref()
                .is_some_and(|cut| islands.holds(cut, node))
            {
                return 0.0;
            }
            let mut value = self.healthy_volts[node];
            for (more, unit) in &more {
                value += more * unit[node];
            }
            for (direction, current) in directions.iter().zip(drawn.iter()) {
                value -= current * direction.z[node];
            }
            value
        };
        self.volts.clear();
        self.volts.extend(self.watched.iter().map(|n| told(*n)));
    }

    /// What a meter against the reference makes of the potentials.
    fn meter(&mut self, update: &Update) {
        let ohms = self.point.own_ohms();
        let directions = &self.directions;
        let factor = update.matrix[0];
        self.behind.clear();
        self.behind.extend(self.watched.iter().map(|&node| {
            let less = if update.deltas.len() == 1 {
                let z = directions[0].z[node];
                factor * z * z
            } else {
                update.squared(|d| directions[d].z[node])
            };
            ohms[node] - less
        }));
        self.read();
    }

    /// Readings from the potentials and the resistance behind them.
    fn read(&mut self) {
        self.readings.clear();
        let all = self.volts.iter().zip(&self.behind);
        self.readings.extend(all.map(|(v, r)| metered(*v, *r)));
    }
}

/// What a meter of [`nominal::METER`] reads of a voltage (V) behind a resistance (Ω).
pub(super) fn metered(volts: f64, ohms: f64) -> f64 {
    let behind = if ohms > 0.0 { ohms } else { 0.0 };
    volts * (nominal::METER.value / (nominal::METER.value + behind))
}
