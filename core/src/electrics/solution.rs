//! One solved case: a circuit, a setup, a fault or none; readings between any two terminals.

use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::sync::Arc;

use super::alteration::{Alteration, Switching};
use super::circuit::Circuit;
use super::desk::{Desk, metered};
use super::energised::Fired;
use super::nominal;
use super::operating_point::OperatingPoint;
use super::oracle::Oracle;
use super::spark::{self, Demand, PlugSpark};
use crate::model::{BatteryLink, Element, Harness, Setup, Terminal};
use crate::topology::Node;
use crate::units::{Amps, Ohms, Volts};

/// Why there is no reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ReadingError {
    /// No such terminal.
    #[error("there is no terminal {:?} on part {} of this map", .0.port, .0.part)]
    NoTerminal(Terminal),
    /// An ohmmeter on a live circuit reads nonsense and may be damaged.
    #[error("resistance can only be measured with the battery disconnected")]
    Live,
}

/// A circuit in one setup, with a fault or none, solved.
#[derive(Debug, Clone)]
pub struct Solution {
    point: Arc<OperatingPoint>,
    alteration: Alteration,
    volts: Vec<f64>,
    fired: Vec<Fired>,
    switching: Vec<usize>,
}

/// What a meter between two terminals should show.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The value.
    pub value: Measure,
    /// Lowest and highest value that a sound harness with an ordinary meter may show, same unit.
    pub band: (f64, f64),
    /// Why: what lies between the two terminals, red first, with what is lost at each.
    /// Empty when nothing joins them.
    pub path: Vec<Step>,
}

/// A reading's value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// Of a voltmeter; averaged over the cycle where the engine turns.
    Volts(Volts),
    /// Of an ohmmeter.
    Ohms(Ohms),
    /// Of an ohmmeter beyond its range: "OL".
    Overload,
}

/// One element on the way from red to black.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// What stands there; `None` inside a unit, where nothing fails by itself.
    pub element: Option<Element>,
    /// Red's side.
    pub from: Node,
    /// Black's side.
    pub to: Node,
    /// Voltage from red's side to black's.
    pub drop: Volts,
    /// Its resistance.
    pub ohms: Ohms,
}

/// Width of a voltage band: this many volts and this share. Judgement: meter, battery and contacts together.
const VOLTS_BAND: (f64, f64) = (0.1, 0.01);
/// How much lower a meter that clips flyback spikes reads an idling switched terminal, V.
///
/// # Source
/// ngspice at idle with the meter clipping at 20 V.
const CLIPPED: f64 = 0.26;
/// Width of a resistance band: this many ohms and this share. Judgement: nominal values are assumed.
const OHMS_BAND: (f64, f64) = (0.3, 0.15);

impl Solution {
    /// Solves one case from scratch.
    #[must_use]
    pub fn of(circuit: &Arc<Circuit>, setup: &Setup, alteration: &Alteration) -> Self {
        Self::from(
            OperatingPoint::altered(circuit, setup, alteration),
            alteration,
        )
    }

    /// Solves one case from scratch, every potential from an oracle in place of our own elimination.
    #[must_use]
    pub fn by(
        oracle: Arc<dyn Oracle>,
        circuit: &Arc<Circuit>,
        setup: &Setup,
        alteration: &Alteration,
    ) -> Self {
        let point = OperatingPoint::solved_by(Some(oracle), circuit, setup, alteration);
        Self::from(point, alteration)
    }

    fn from(point: OperatingPoint, alteration: &Alteration) -> Self {
        let point = Arc::new(point);
        let (volts, fired, switching) = Desk::settled(&point, alteration);
        Self {
            point,
            alteration: alteration.clone(),
            volts,
            fired,
            switching,
        }
    }

    fn place(&self, terminal: Terminal) -> Result<usize, ReadingError> {
        self.point
            .circuit()
            .terminal(terminal)
            .ok_or(ReadingError::NoTerminal(terminal))
    }

    /// The circuit.
    #[must_use]
    pub fn circuit(&self) -> &Arc<Circuit> {
        self.point.circuit()
    }

    pub(super) fn point(&self) -> &OperatingPoint {
        &self.point
    }

    pub(super) const fn alteration(&self) -> &Alteration {
        &self.alteration
    }

    /// Coils that are energised.
    pub(super) fn fired(&self) -> &[Fired] {
        &self.fired
    }

    /// Drivers that switch.
    pub(super) fn switching(&self) -> &[usize] {
        &self.switching
    }

    /// Voltage at which a driver holds the flyback, V.
    pub(super) fn clamp(&self, driver: usize) -> f64 {
        let id = self.circuit().drivers[driver].id;
        let found = self
            .alteration
            .drivers
            .iter()
            .find_map(|(other, how)| match how {
                Switching::Clamp(volts) if *other == id => Some(*volts),
                Switching::Clamp(_)
                | Switching::Never
                | Switching::Always
                | Switching::Limited(_) => None,
            });
        found.unwrap_or(nominal::DRIVER_CLAMP.value)
    }

    /// Potential of every node, the reference last, V; averaged where the engine turns.
    #[must_use]
    pub fn volts(&self) -> &[f64] {
        &self.volts
    }

    /// Potential of every terminal against battery minus, without a meter: the voltage picture.
    pub fn potentials(&self) -> impl Iterator<Item = (Terminal, Volts)> + '_ {
        self.circuit()
            .terminals()
            .map(|(terminal, place)| (terminal, Volts::new(self.volts[place]).unwrap_or_default()))
    }

    /// What a voltmeter shows between two terminals.
    ///
    /// # Errors
    /// [`ReadingError::NoTerminal`] for a terminal that is not on the map.
    pub fn volts_between(&self, red: Terminal, black: Terminal) -> Result<Volts, ReadingError> {
        let (red, black) = (self.place(red)?, self.place(black)?);
        let apart = metered(self.volts[red] - self.volts[black], self.seen(red, black));
        Ok(Volts::new(apart).unwrap_or_default())
    }

    /// Resistance between two places with every source dead, Ω.
    fn seen(&self, a: usize, b: usize) -> f64 {
        let z = self.point.response(&[(a, 1.0), (b, -1.0)]);
        (z[a] - z[b]).max(0.0)
    }

    /// What an ohmmeter shows between two terminals; `None` is "OL".
    ///
    /// # Errors
    /// [`ReadingError::NoTerminal`] for a terminal that is not on the map; [`ReadingError::Live`] while
    /// the battery is connected.
    pub fn ohms_between(
        &self,
        red: Terminal,
        black: Terminal,
    ) -> Result<Option<Ohms>, ReadingError> {
        let (red, black) = (self.place(red)?, self.place(black)?);
        if self.point.setup().battery == BatteryLink::Connected {
            return Err(ReadingError::Live);
        }
        let ohms = self.seen(red, black);
        Ok((ohms < nominal::OVERLOAD.value).then(|| Ohms::new(ohms).unwrap_or_default()))
    }

    /// What a meter shows, ohms with the battery off and volts else, and its band: a reading without the
    /// reason.
    ///
    /// # Errors
    /// [`ReadingError::NoTerminal`] for a terminal that is not on the map.
    pub fn shows(
        &self,
        red: Terminal,
        black: Terminal,
    ) -> Result<(Measure, (f64, f64)), ReadingError> {
        if self.point.setup().battery == BatteryLink::Disconnected {
            let Some(ohms) = self.ohms_between(red, black)? else {
                return Ok((Measure::Overload, (nominal::OVERLOAD.value, f64::MAX)));
            };
            let wide = OHMS_BAND.0 + OHMS_BAND.1 * ohms.get();
            let band = ((ohms.get() - wide).max(0.0), ohms.get() + wide);
            return Ok((Measure::Ohms(ohms), band));
        }
        let volts = self.volts_between(red, black)?;
        let wide = VOLTS_BAND.0 + VOLTS_BAND.1 * volts.get().abs();
        let clipped = |terminal| {
            self.place(terminal)
                .map(|place| if self.spikes(place) { CLIPPED } else { 0.0 })
        };
        let band = (
            volts.get() - wide - clipped(red)?,
            volts.get() + wide + clipped(black)?,
        );
        Ok((Measure::Volts(volts), band))
    }

    /// The reading between two terminals, ohms with the battery off and volts else, with its band and why.
    ///
    /// # Errors
    /// [`ReadingError::NoTerminal`] for a terminal that is not on the map.
    pub fn reading(&self, red: Terminal, black: Terminal) -> Result<Reading, ReadingError> {
        let (value, band) = self.shows(red, black)?;
        let path = self.path(red, black)?;
        Ok(Reading { value, band, path })
    }

    /// Whether flyback spikes stand at a place: it follows the low end of an energised primary.
    fn spikes(&self, place: usize) -> bool {
        self.fired.iter().any(|one| {
            let unit = &self.point.drivers[one.driver].unit;
            let strand = &self.circuit().strands[self.circuit().coils[one.coil].strand];
            let across = unit[strand.b] - unit[strand.a];
            across > 0.0 && unit[place] - unit[strand.a] > 0.5 * across
        })
    }

    /// What lies between two terminals along the least resistance, red first.
    ///
    /// # Errors
    /// [`ReadingError::NoTerminal`] for a terminal that is not on the map.
    pub fn path(&self, red: Terminal, black: Terminal) -> Result<Vec<Step>, ReadingError> {
        let (red, black) = (self.place(red)?, self.place(black)?);
        let circuit = self.circuit();
        let mut beside: Vec<Vec<usize>> = vec![Vec::new(); circuit.len() + 1];
        for (at, strand) in circuit.strands.iter().enumerate() {
            if self.point.weights[at] > 0.0 {
                beside[strand.a].push(at);
                beside[strand.b].push(at);
            }
        }
        let mut best = vec![f64::INFINITY; circuit.len() + 1];
        let mut came: Vec<Option<(usize, usize)>> = vec![None; circuit.len() + 1];
        let mut queue = BinaryHeap::from([Nearest(0.0, red)]);
        best[red] = 0.0;
        while let Some(Nearest(far, node)) = queue.pop() {
            if node == black {
                break;
            }
            if far > best[node] {
                continue;
            }
            for &at in &beside[node] {
                let strand = &circuit.strands[at];
                let to = if strand.a == node { strand.b } else { strand.a };
                let next = far + 1.0 / self.point.weights[at];
                if next < best[to] {
                    best[to] = next;
                    came[to] = Some((node, at));
                    queue.push(Nearest(next, to));
                }
            }
        }
        let mut steps = Vec::new();
        let mut node = black;
        while node != red {
            let Some((before, at)) = came[node] else {
                return Ok(Vec::new());
            };
            steps.push(Step {
                element: circuit.strands[at].element,
                from: circuit.node(before),
                to: circuit.node(node),
                drop: Volts::new(self.volts[before] - self.volts[node]).unwrap_or_default(),
                ohms: Ohms::new(1.0 / self.point.weights[at]).unwrap_or_default(),
            });
            node = before;
        }
        steps.reverse();
        Ok(steps)
    }

    /// What each plug does; empty of sparks while the engine stands.
    #[must_use]
    pub fn sparks(&self, harness: &Harness, demand: Demand) -> Vec<PlugSpark> {
        spark::sparks(
            harness,
            self.circuit(),
            &self.fired,
            &self.alteration,
            (demand, spark::Whose::All),
        )
    }

    /// Primary currents of the energised coils: peak and average, with the coil.
    pub fn currents(&self) -> impl Iterator<Item = (crate::model::PartId, Amps, Amps)> + '_ {
        self.fired.iter().map(|one| {
            let amps = |value| Amps::new(value).unwrap_or_default();
            (
                self.circuit().coils[one.coil].part,
                amps(one.run.peak),
                amps(one.run.average),
            )
        })
    }
}

/// A node still to be looked at, the nearest first.
struct Nearest(f64, usize);

impl PartialEq for Nearest {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Nearest {}

impl PartialOrd for Nearest {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Nearest {
    fn cmp(&self, other: &Self) -> Ordering {
        other.0.total_cmp(&self.0).then(other.1.cmp(&self.1))
    }
}
