//! The electrics as a meter: readings of every cause at any two terminals, a table a setup, grown in steps.

use std::cell::RefCell;
use std::sync::Arc;

use super::catalogue::Catalogue;
use super::forecast::{Departures, Reading};
use super::pulses::coil_at;
use super::question::{Probes, Question};
use crate::electrics::{Alteration, Answer, Circuit, Desk, Ohmmeter, OperatingPoint, Region};
use crate::model::{BatteryLink, Finding, Setup, Terminal};

/// Readings of every cause, reckoned when first asked for and kept.
pub(super) struct Workbench {
    circuit: Arc<Circuit>,
    /// Each once; the first is empty: the healthy harness.
    alterations: Vec<Alteration>,
    /// By cause: its alteration.
    of_cause: Vec<usize>,
    /// By alteration: the first of its causes, which stand together. Of the healthy harness it says nothing.
    first_cause: Vec<usize>,
    /// What the catalogue asks, setup by setup.
    wanted: Vec<Wanted>,
    volts: RefCell<Vec<VoltTable>>,
    ohms: RefCell<Vec<OhmTable>>,
}

/// Places where one setup's readings are asked for.
pub(super) struct Wanted {
    pub(super) setup: Setup,
    pub(super) nodes: Vec<usize>,
    pairs: Vec<(Terminal, Terminal)>,
    lamps: Lamps,
}

/// Hears the alterations with which a reading may be another than with the healthy circuit, and the reading
/// with each.
type Heard<'a, T> = &'a mut dyn FnMut(&[usize], &dyn Fn(usize) -> f64) -> T;

/// Whether a table is asked what stands behind a lamp.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lamps {
    Lit,
    None,
}

/// Potentials and readings in one setup.
pub(super) struct VoltTable {
    setup: Setup,
    point: Arc<OperatingPoint>,
    /// The nodes that are kept.
    kept: Vec<usize>,
    /// What alone can be felt at the kept nodes.
    region: Option<Region>,
    /// Where the rows are reckoned, until all of them are.
    desk: Option<Desk>,
    /// By alteration: its row. Row 0 is the healthy one.
    row_of: Vec<usize>,
    /// By row: its alteration.
    felt: Vec<usize>,
    rows: usize,
    volts: Vec<f32>,
    readings: Vec<f32>,
    lamps: Lamps,
    /// Resistance to the reference, Ω; empty where no lamp is asked for.
    behind: Vec<f32>,
}

/// Resistances in one setup.
struct OhmTable {
    setup: Setup,
    pairs: Vec<(Terminal, Terminal)>,
    meter: Ohmmeter,
    /// By pair, what it reads on the healthy circuit.
    healthy: Vec<f64>,
    /// By pair, the alterations that it feels, rising, and what it reads with each.
    felt: Vec<Vec<(usize, f64)>>,
    /// How many alterations are done; the first is the healthy circuit.
    done: usize,
}

/// A region with more than this share of the nodes is not worth having.
const SMALL: usize = 4;

impl VoltTable {
    /// A table of the healthy circuit alone. `nodes`: where it will be read.
    fn new(circuit: &Arc<Circuit>, setup: &Setup, nodes: &[usize], lamps: Lamps) -> Self {
        let mut table = Self::filled_elsewhere(circuit, setup, nodes, lamps);
        let region = table.point.region(nodes);
        table.region =
            region.filter(|region| !nodes.is_empty() && region.len() * SMALL <= circuit.len());
        let mut desk = table.desk();
        table.put(&desk.answer(&Alteration::default()));
        table.desk = Some(desk);
        table
    }

    /// An empty table of one setup, filled by whoever asks [`Self::desk`], the healthy circuit first.
    pub(super) fn filled_elsewhere(
        circuit: &Arc<Circuit>,
        setup: &Setup,
        nodes: &[usize],
        lamps: Lamps,
    ) -> Self {
        Self {
            setup: setup.clone(),
            point: Arc::new(OperatingPoint::of(circuit, setup)),
            kept: nodes.to_vec(),
            region: None,
            desk: None,
            row_of: Vec::new(),
            felt: Vec::new(),
            rows: 0,
            volts: Vec::new(),
            readings: Vec::new(),
            lamps,
            behind: Vec::new(),
        }
    }

    /// A desk that tells what this table keeps.
    pub(super) fn desk(&self) -> Desk {
        Desk::watching(&self.point, &self.kept)
    }

    /// The next alteration reads like this.
    pub(super) fn put(&mut self, answer: &Answer<'_>) {
        self.felt.push(self.row_of.len());
        self.row_of.push(self.rows);
        self.rows += 1;
        self.volts.extend(answer.volts.iter().map(|v| narrow(*v)));
        let readings = answer.readings.iter().map(|v| narrow(*v));
        self.readings.extend(readings);
        if self.lamps == Lamps::Lit {
            self.behind.extend(answer.behind.iter().map(|r| narrow(*r)));
        }
    }

    fn slot(&self, node: usize) -> Option<usize> {
        self.kept.iter().position(|kept| *kept == node)
    }

    /// Fills in up to `steps` alterations that are felt; returns about how many are left.
    fn grow(&mut self, circuit: &Circuit, alterations: &[Alteration], steps: usize) -> usize {
        let mut left = steps;
        while self.row_of.len() < alterations.len() && left > 0 {
            let from = self.row_of.len();
            let felt = |alteration: &Alteration| {
                !alteration.is_unseen()
                    && self
                        .region
                        .as_ref()
                        .is_none_or(|region| region.is_touched(circuit, alteration))
            };
            let unfelt = alterations[from..].iter().take_while(|a| !felt(a)).count();
            if unfelt > 0 {
                self.row_of.resize(from + unfelt, 0);
                continue;
            }
            let run: Vec<&Alteration> = alterations[from..]
                .iter()
                .take_while(|a| felt(a))
                .take(left)
                .collect();
            let count = run.len();
            let mut desk = self.desk.take().unwrap_or_else(|| self.desk());
            for alteration in run {
                self.put(&desk.answer(alteration));
            }
            self.desk = Some(desk);
            left -= count;
        }
        if self.row_of.len() == alterations.len() {
            self.desk = None;
        }
        alterations.len() - self.row_of.len()
    }

    fn at<'a>(&'a self, values: &'a [f32], slot: usize, alteration: usize) -> f64 {
        let row = self.row_of.get(alteration).copied().unwrap_or(0);
        f64::from(
            values
                .get(row * self.kept.len() + slot)
                .copied()
                .unwrap_or_default(),
        )
    }
}

/// A voltage as a table keeps it.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a microvolt in twelve volts is far finer than any meter"
)]
fn narrow(volts: f64) -> f32 {
    volts as f32
}

impl OhmTable {
    fn new(circuit: &Arc<Circuit>, setup: Setup, pairs: Vec<(Terminal, Terminal)>) -> Self {
        let point = Arc::new(OperatingPoint::of(circuit, &setup));
        let meter = Ohmmeter::new(point, &pairs);
        Self {
            setup,
            healthy: meter.healthy(),
            felt: vec![Vec::new(); pairs.len()],
            pairs,
            meter,
            done: 1,
        }
    }

    fn grow(&mut self, alterations: &[Alteration], steps: usize) -> usize {
        let mut left = steps;
        while self.done < alterations.len() && left > 0 {
            let alteration = &alterations[self.done];
            if self.meter.may_feel(alteration) {
                let read = self.meter.read(alteration);
                left -= usize::from(!read.is_empty());
                for (pair, ohms) in read {
                    self.felt[pair].push((self.done, ohms));
                }
            }
            self.done += 1;
        }
        alterations.len() - self.done
    }
}

impl Workbench {
    /// A workbench for the alterations of all causes. `wanted`: where they are read; `idling`: the table
    /// of the idling engine, which was filled on the way.
    pub(super) fn new(
        circuit: Arc<Circuit>,
        alterations: Vec<Alteration>,
        of_cause: Vec<usize>,
        wanted: Vec<Wanted>,
        idling: VoltTable,
    ) -> Self {
        let mut first_cause = vec![0; alterations.len()];
        for (cause, at) in of_cause.iter().enumerate().rev() {
            first_cause[*at] = cause;
        }
        Self {
            circuit,
            alterations,
            of_cause,
            first_cause,
            wanted,
            volts: RefCell::new(vec![idling]),
            ohms: RefCell::new(Vec::new()),
        }
    }

    /// Fills in up to `steps` readings of what a question needs; returns about how many are left.
    pub(super) fn prepare(&self, question: &Question, steps: usize) -> usize {
        match question {
            Question::Volts(probes) | Question::Drop(probes) => {
                self.grow_volts(probes, Lamps::None, steps)
            }
            Question::Lamp(probes) if coil_at(probes).is_some() => 0,
            Question::Lamp(probes) => self.grow_volts(probes, Lamps::Lit, steps),
            Question::Resistance(probes) => self.grow_ohms(probes, steps),
            Question::Contribution(_)
            | Question::Spark(_)
            | Question::Look(_)
            | Question::Stress(..)
            | Question::Substitute(..)
            | Question::Swap(_)
            | Question::Clean(_)
            | Question::Remake(_)
            | Question::Code(_)
            | Question::AnyCode
            | Question::Compression(_) => 0,
        }
    }

    fn nodes(&self, probes: &Probes) -> Option<(usize, usize)> {
        let black = match probes.black {
            Some(black) => self.circuit.terminal(black)?,
            None => self.circuit.reference(),
        };
        Some((self.circuit.terminal(probes.red)?, black))
    }

    fn volt_table(&self, setup: &Setup, red: usize, black: usize, lamps: Lamps) -> Option<usize> {
        let reference = self.circuit.reference();
        self.volts.borrow().iter().position(|table| {
            table.setup == *setup
                && (lamps == Lamps::None || table.lamps == Lamps::Lit)
                && [red, black]
                    .iter()
                    .all(|node| *node == reference || table.slot(*node).is_some())
        })
    }

    fn grow_volts(&self, probes: &Probes, lamps: Lamps, steps: usize) -> usize {
        let Some((red, black)) = self.nodes(probes) else {
            return 0;
        };
        let place = self
            .volt_table(&probes.setup, red, black, lamps)
            .unwrap_or_else(|| {
                let wanted = self.wanted.iter().find(|w| w.setup == probes.setup);
                let mut nodes = wanted.map_or_else(Vec::new, |wanted| wanted.nodes.clone());
                let mut lit = wanted.map_or(lamps, |wanted| wanted.lamps);
                if lamps == Lamps::Lit {
                    lit = lamps;
                }
                if !nodes.contains(&red) || !nodes.contains(&black) {
                    nodes = vec![red, black];
                }
                let made = VoltTable::new(&self.circuit, &probes.setup, &nodes, lit);
                let mut tables = self.volts.borrow_mut();
                tables.push(made);
                tables.len() - 1
            });
        let mut tables = self.volts.borrow_mut();
        tables[place].grow(&self.circuit, &self.alterations, steps)
    }

    fn grow_ohms(&self, probes: &Probes, steps: usize) -> usize {
        let Some(black) = probes.black else {
            return 0;
        };
        let setup = unpowered(&probes.setup);
        let known = self.ohm_table(&setup, probes.red, black);
        let place = known.unwrap_or_else(|| {
            let mut pairs = self
                .wanted
                .iter()
                .find(|wanted| wanted.setup == setup)
                .map_or_else(Vec::new, |wanted| wanted.pairs.clone());
            if !pairs.contains(&(probes.red, black)) {
                pairs = vec![(probes.red, black)];
            }
            let made = OhmTable::new(&self.circuit, setup, pairs);
            let mut tables = self.ohms.borrow_mut();
            tables.push(made);
            tables.len() - 1
        });
        self.ohms.borrow_mut()[place].grow(&self.alterations, steps)
    }

    fn ohm_table(&self, setup: &Setup, red: Terminal, black: Terminal) -> Option<usize> {
        let holds = |pairs: &[(Terminal, Terminal)]| {
            pairs.contains(&(red, black)) || pairs.contains(&(black, red))
        };
        self.ohms
            .borrow()
            .iter()
            .position(|table| table.setup == *setup && holds(&table.pairs))
    }

    /// Readings from a table's values, the healthy one first.
    fn reading(&self, value: impl Fn(usize) -> f64) -> Reading {
        Reading {
            healthy: value(0),
            by_cause: self.of_cause.iter().map(|at| value(*at)).collect(),
        }
    }

    /// As [`Self::reading`], of the causes alone that do not read like the healthy circuit; `felt`: the
    /// alterations that may not, rising.
    fn departures(
        &self,
        (felt, value): (&[usize], &dyn Fn(usize) -> f64),
        alike: fn(f64, f64) -> bool,
    ) -> Departures {
        let healthy = value(0);
        let mut causes = Vec::new();
        for &at in felt.iter().filter(|at| **at > 0) {
            let reading = value(at);
            if alike(reading, healthy) {
                continue;
            }
            let first = self.first_cause[at];
            let together = self.of_cause[first..].iter().take_while(|of| **of == at);
            causes.extend((first..).zip(together).map(|(cause, _)| (cause, reading)));
        }
        Departures { healthy, causes }
    }

    /// Volts from red to black with every cause; `None` where that cannot be reckoned.
    pub(super) fn volts(&self, probes: &Probes) -> Option<Reading> {
        self.with_volts(probes, &mut |_, value| self.reading(value))
    }

    /// Volts from red to black with the causes with which they are not alike.
    pub(super) fn volts_apart(
        &self,
        probes: &Probes,
        alike: fn(f64, f64) -> bool,
    ) -> Option<Departures> {
        self.with_volts(probes, &mut |felt, value| {
            self.departures((felt, value), alike)
        })
    }

    /// Tells what volts there are from red to black with each alteration, and with which there may be others
    /// than on the healthy circuit.
    fn with_volts<T>(&self, probes: &Probes, then: Heard<'_, T>) -> Option<T> {
        let (red, _) = self.nodes(probes)?;
        let Some(black) = probes.black else {
            // A lead that touches nothing reads nothing.
            return Some(then(&[], &|_| 0.0));
        };
        let black = self.circuit.terminal(black)?;
        while self.grow_volts(probes, Lamps::None, usize::MAX) > 0 {}
        let place = self.volt_table(&probes.setup, red, black, Lamps::None)?;
        let tables = self.volts.borrow();
        let table = &tables[place];
        let reference = self.circuit.reference();
        let slot = |node: usize| table.slot(node).unwrap_or(usize::MAX);
        Some(if black == reference {
            let slot = slot(red);
            then(&table.felt, &|at| table.at(&table.readings, slot, at))
        } else if red == reference {
            let slot = slot(black);
            then(&table.felt, &|at| -table.at(&table.readings, slot, at))
        } else {
            let (red, black) = (slot(red), slot(black));
            then(&table.felt, &|at| {
                table.at(&table.volts, red, at) - table.at(&table.volts, black, at)
            })
        })
    }

    /// Volts that a lamp of `ohms` has across it from red to black with every cause; `None` where that
    /// cannot be reckoned.
    ///
    /// Where neither lead is on the reference, what stands behind both is added up, as if they had
    /// nothing in common.
    pub(super) fn lit(&self, probes: &Probes, ohms: f64) -> Option<Reading> {
        let (red, _) = self.nodes(probes)?;
        let Some(black) = probes.black else {
            return Some(self.reading(|_| 0.0));
        };
        let black = self.circuit.terminal(black)?;
        while self.grow_volts(probes, Lamps::Lit, usize::MAX) > 0 {}
        let place = self.volt_table(&probes.setup, red, black, Lamps::Lit)?;
        let tables = self.volts.borrow();
        let table = &tables[place];
        // The reference itself is nowhere: it reads nothing.
        let reference = self.circuit.reference();
        let slot = |node: usize| table.slot(node).filter(|_| node != reference);
        let (red, black) = (slot(red), slot(black));
        let at = |values: &[f32], slot: Option<usize>, alteration: usize| {
            slot.map_or(0.0, |slot| table.at(values, slot, alteration))
        };
        Some(self.reading(|n| {
            let volts = at(&table.volts, red, n) - at(&table.volts, black, n);
            let behind = at(&table.behind, red, n) + at(&table.behind, black, n);
            volts * ohms / (ohms + behind.max(0.0))
        }))
    }

    /// Ohms between red and black with every cause, infinite for overload; `None` where that cannot
    /// be reckoned.
    pub(super) fn ohms(&self, probes: &Probes) -> Option<Reading> {
        self.with_ohms(probes, &mut |_, value| self.reading(value))
    }

    /// Ohms between red and black with the causes with which they are not alike.
    pub(super) fn ohms_apart(
        &self,
        probes: &Probes,
        alike: fn(f64, f64) -> bool,
    ) -> Option<Departures> {
        self.with_ohms(probes, &mut |felt, value| {
            self.departures((felt, value), alike)
        })
    }

    fn with_ohms<T>(&self, probes: &Probes, then: Heard<'_, T>) -> Option<T> {
        let black = probes.black?;
        self.circuit.terminal(probes.red)?;
        self.circuit.terminal(black)?;
        while self.grow_ohms(probes, usize::MAX) > 0 {}
        let place = self.ohm_table(&unpowered(&probes.setup), probes.red, black)?;
        let tables = self.ohms.borrow();
        let table = &tables[place];
        let pair = table
            .pairs
            .iter()
            .position(|pair| *pair == (probes.red, black) || *pair == (black, probes.red))?;
        let mut ohms = vec![table.healthy[pair]; self.alterations.len()];
        for (alteration, felt) in &table.felt[pair] {
            ohms[*alteration] = *felt;
        }
        let felt: Vec<usize> = table.felt[pair].iter().map(|(at, _)| *at).collect();
        Some(then(&felt, &|at| ohms[at]))
    }
}

/// Nobody measures resistance on a live circuit: what was meant is the battery off.
fn unpowered(setup: &Setup) -> Setup {
    Setup {
        battery: BatteryLink::Disconnected,
        ..setup.clone()
    }
}

/// Where a catalogue reads, and where was read already, setup by setup.
pub(super) fn wanted(
    circuit: &Circuit,
    catalogue: &Catalogue,
    findings: &[Finding],
) -> Vec<Wanted> {
    let mut found: Vec<Wanted> = Vec::new();
    let mut at = |setup: &Setup| -> usize {
        found
            .iter()
            .position(|wanted| wanted.setup == *setup)
            .unwrap_or_else(|| {
                found.push(Wanted {
                    setup: setup.clone(),
                    nodes: Vec::new(),
                    pairs: Vec::new(),
                    lamps: Lamps::None,
                });
                found.len() - 1
            })
    };
    let mut places: Vec<(usize, &Probes, bool)> = Vec::new();
    let mut lamps = Vec::new();
    let seen: Vec<Question> = findings
        .iter()
        .map(|finding| Question::of(finding).0)
        .collect();
    let acts = catalogue.acts.iter().map(|act| &act.question);
    for question in acts.chain(&seen) {
        match question {
            Question::Volts(probes) | Question::Drop(probes) => {
                places.push((at(&probes.setup), probes, false));
            }
            Question::Resistance(probes) => {
                places.push((at(&unpowered(&probes.setup)), probes, true));
            }
            Question::Lamp(probes) if coil_at(probes).is_some() => {}
            Question::Lamp(probes) => {
                places.push((at(&probes.setup), probes, false));
                lamps.push(at(&probes.setup));
            }
            Question::Contribution(_)
            | Question::Spark(_)
            | Question::Look(_)
            | Question::Stress(..)
            | Question::Substitute(..)
            | Question::Swap(_)
            | Question::Clean(_)
            | Question::Remake(_)
            | Question::Code(_)
            | Question::AnyCode
            | Question::Compression(_) => {}
        }
    }
    for place in lamps {
        found[place].lamps = Lamps::Lit;
    }
    for (place, probes, resistance) in places {
        let Some(black) = probes.black else { continue };
        if resistance {
            let pair = (probes.red, black);
            if !found[place].pairs.contains(&pair) {
                found[place].pairs.push(pair);
            }
        } else {
            for node in [probes.red, black] {
                if let Some(node) = circuit.terminal(node)
                    && !found[place].nodes.contains(&node)
                {
                    found[place].nodes.push(node);
                }
            }
        }
    }
    found
}
