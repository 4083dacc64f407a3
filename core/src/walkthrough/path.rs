//! A path between two terminals: where a lead can go on it, and what stands between.

use std::collections::{BTreeMap, BTreeSet};

use super::bench::Bench;
use crate::electrics::{OperatingPoint, Solution, nominal, resistances};
use crate::faults::{Fault, Mode, ModeKind, USUAL_SERIES, alteration, is_high_voltage};
use crate::isolation::{self, Probes};
use crate::model::{Element, Harness, Hold, PartId, PartKind, Setup, Terminal, WireEnd};
use crate::topology::Node;

/// How a stretch reads beside what it should.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fitness {
    /// As it should.
    Good,
    /// It conducts, but badly.
    High,
    /// It does not conduct.
    Open,
}

impl Fitness {
    /// Of a resistance, Ω, infinite for overload; `band`: of a sound stretch.
    pub(super) fn of_ohms(read: f64, band: (f64, f64)) -> Self {
        if read <= band.1 {
            Self::Good
        } else if read < nominal::OVERLOAD.value {
            Self::High
        } else {
            Self::Open
        }
    }

    /// Of a voltage lost, V; `supply`: what an open path would lose.
    pub(super) fn of_drop(read: f64, band: (f64, f64), supply: f64) -> Self {
        if read <= band.1 {
            Self::Good
        } else if read < 0.9 * supply {
            Self::High
        } else {
            Self::Open
        }
    }
}

/// Places on a path where a lead can go, in order, and the elements between each two.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Path {
    pub(super) stops: Vec<Terminal>,
    between: Vec<Vec<Element>>,
    /// P(open or bad) of each stretch between two stops, up to a factor.
    weights: Vec<f64>,
    /// Minutes to get at each stop.
    reach: Vec<f64>,
}

impl Path {
    /// The path of least resistance in a solved setup; `None` where nothing joins the two.
    pub(super) fn of(
        harness: &Harness,
        solution: &Solution,
        from: Terminal,
        to: Terminal,
    ) -> Option<Self> {
        let steps = solution.path(from, to).ok()?;
        if steps.is_empty() {
            return None;
        }
        let (mut stops, mut between) = (vec![from], vec![Vec::new()]);
        for step in &steps {
            if let (Some(element), Some(last)) = (step.element, between.last_mut()) {
                last.push(element);
            }
            if let Node::At(stop) = step.to
                && can_be_probed(harness, stop)
                && stop != to
                && stops.last() != Some(&stop)
                && between.last().is_some_and(|last| !last.is_empty())
            {
                stops.push(stop);
                between.push(Vec::new());
            }
        }
        stops.push(to);
        let doubts = doubts(harness);
        let weight = |elements: &Vec<Element>| -> f64 {
            let sum: f64 = elements.iter().filter_map(|e| doubts.get(e)).sum();
            sum.max(1e-9)
        };
        Some(Self {
            weights: between.iter().map(weight).collect(),
            reach: stops.iter().map(|stop| reach(harness, stop.part)).collect(),
            stops,
            between,
        })
    }

    /// The elements between two stops.
    pub(super) fn elements(&self, from: usize, to: usize) -> Vec<Element> {
        self.between
            .get(from..to)
            .map_or_else(Vec::new, <[_]>::concat)
    }

    /// The stop that halves a stretch best: most told for the time that it takes to get there.
    pub(super) fn middle(&self, from: usize, to: usize) -> usize {
        let sum = |from: usize, to: usize| -> f64 {
            self.weights.get(from..to).map_or(0.0, |w| w.iter().sum())
        };
        let whole = sum(from, to);
        let score = |stop: usize| {
            let share = (sum(from, stop) / whole).clamp(1e-6, 1.0 - 1e-6);
            let bits = isolation::entropy(&[share, 1.0 - share]);
            let minutes =
                isolation::defaults::minutes::OHMS + self.reach.get(stop).copied().unwrap_or(0.0);
            bits / minutes
        };
        (from + 1..to)
            .max_by(|a, b| score(*a).total_cmp(&score(*b)))
            .unwrap_or(to)
    }
}

/// A probe can go there: not into the loom, where a splice is, nor onto the high voltage.
fn can_be_probed(harness: &Harness, at: Terminal) -> bool {
    let splice = harness
        .parts
        .get(&at.part)
        .is_none_or(|part| matches!(part.kind, PartKind::Splice));
    !splice && !is_high_voltage(at.port)
}

fn reach(harness: &Harness, part: PartId) -> f64 {
    harness
        .parts
        .get(&part)
        .and_then(|part| part.place.reach)
        .map_or(0.0, |minutes| minutes.get().max(0.0))
}

/// How likely each element is to be open or bad, from the tables of the isolation.
fn doubts(harness: &Harness) -> BTreeMap<Element, f64> {
    let mut found = BTreeMap::new();
    for (fault, prior, _) in isolation::faults(harness) {
        if matches!(fault.mode.kind(), ModeKind::Open | ModeKind::HighResistance) {
            *found.entry(fault.element).or_insert(0.0) += prior;
        }
    }
    found
}

/// How the car stands while a path is measured with an ohmmeter: battery off, plugs pulled at both ends,
/// and of what hangs on the splices on the way, where another way round would hide a break.
pub(super) fn ohm_setup(harness: &Harness, bench: &Bench<'_>, path: &Path) -> Setup {
    let mut setup = Setup::battery_off();
    let ends = [path.stops.first(), path.stops.last()];
    setup.unplugged.extend(
        ends.into_iter()
            .flatten()
            .map(|end| end.part)
            .filter(|p| is_pluggable(harness, *p)),
    );
    let last = path.stops.len().saturating_sub(1);
    let elements = path.elements(0, last);
    if unseen(harness, bench, path, &setup, (0, last), &elements).is_empty() {
        return setup;
    }
    let mut bare = setup.clone();
    bare.unplugged.extend(neighbours(harness, &elements));
    let better = unseen(harness, bench, path, &bare, (0, last), &elements).len()
        < unseen(harness, bench, path, &setup, (0, last), &elements).len();
    if better { bare } else { setup }
}

/// The elements of a stretch that would read good although they conduct badly or not at all.
pub(super) fn unseen(
    harness: &Harness,
    bench: &Bench<'_>,
    path: &Path,
    setup: &Setup,
    (from, to): (usize, usize),
    elements: &[Element],
) -> Vec<Element> {
    let (Some(&red), Some(&black)) = (path.stops.get(from), path.stops.get(to)) else {
        return elements.to_vec();
    };
    let probes = Probes {
        red,
        black: Some(black),
        setup: setup.clone(),
    };
    let Some((_, band)) = bench.number(&probes) else {
        return elements.to_vec();
    };
    let point = OperatingPoint::of(bench.circuit(), setup);
    let modes = [Mode::Open, Mode::HighResistance(USUAL_SERIES)];
    let changes: Vec<_> = elements
        .iter()
        .flat_map(|&element| modes.map(|mode| Fault::new(element, mode)))
        .map(|fault| alteration(harness, bench.circuit(), fault))
        .collect();
    let table = resistances(&point, &[(red, black)], &changes);
    let Some(row) = table.first() else {
        return elements.to_vec();
    };
    elements
        .iter()
        .zip(row.chunks(modes.len()))
        .filter(|(_, read)| read.iter().any(|ohms| *ohms <= band.1))
        .map(|(element, _)| *element)
        .collect()
}

fn is_pluggable(harness: &Harness, part: PartId) -> bool {
    harness
        .terminals_of(part)
        .iter()
        .any(|terminal| terminal.port.hold() == Hold::Contact)
}

/// What can be unplugged at the far ends of the wires that meet the wires of a path.
fn neighbours(harness: &Harness, elements: &[Element]) -> BTreeSet<PartId> {
    let own: BTreeSet<_> = elements
        .iter()
        .filter_map(|element| {
            if let Element::Wire(wire) = element {
                Some(*wire)
            } else {
                None
            }
        })
        .collect();
    let ends =
        |wire: &crate::model::Wire| WireEnd::BOTH.map(|end| wire.end(end).map(|f| f.value.part));
    let met: BTreeSet<PartId> = own
        .iter()
        .filter_map(|wire| harness.wires.get(wire))
        .flat_map(ends)
        .flatten()
        .collect();
    harness
        .wires
        .iter()
        .filter(|(id, _)| !own.contains(id))
        .map(|(_, wire)| ends(wire))
        .filter(|ends| ends.iter().flatten().any(|part| met.contains(part)))
        .flat_map(|ends| ends.into_iter().flatten())
        .filter(|part| !met.contains(part) && is_pluggable(harness, *part))
        .collect()
}
