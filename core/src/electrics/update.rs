//! Low-rank changes of a solved circuit: what a few branches that conduct otherwise do to all potentials.

use std::ops::{Deref, DerefMut};
use std::sync::Arc;

use super::alteration::{Alteration, Edit, Switching};
use super::circuit::{StrandKind, siemens};
use super::desk::Desk;
use super::islands::{CutOff, Islands};
use super::operating_point::OperatingPoint;

/// Below this, 1 + Δg·R has lost what a floating part hangs on: factorise anew instead.
const SAFE: f64 = 1e-6;

/// More changes at once than this are factorised anew.
pub(super) const MOST: usize = 4;

/// Potentials that 1 A from `a` to `b` gives.
#[derive(Debug, Clone)]
pub(super) struct Direction {
    pub(super) a: usize,
    pub(super) b: usize,
    pub(super) z: Vec<f64>,
}

/// One change of one branch.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Delta {
    pub(super) a: usize,
    pub(super) b: usize,
    pub(super) siemens: f64,
    pub(super) emf: f64,
    pub(super) strand: Option<usize>,
    /// A driver that is held on conducts one way only.
    pub(super) one_way: bool,
    /// Current that it lets through at most, A.
    pub(super) limit: Option<f64>,
    /// Current that it draws whatever stands across it, A.
    pub(super) fixed: f64,
}

/// Currents through the changes, A: one each.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Currents {
    values: [f64; MOST],
    many: usize,
}

impl Currents {
    /// At most [`MOST`] of them.
    pub(super) fn of(values: &[f64]) -> Self {
        let mut found = Self {
            many: values.len(),
            ..Self::default()
        };
        found.values[..values.len()].copy_from_slice(values);
        found
    }
}

impl Deref for Currents {
    type Target = [f64];

    fn deref(&self) -> &[f64] {
        &self.values[..self.many]
    }
}

impl DerefMut for Currents {
    fn deref_mut(&mut self) -> &mut [f64] {
        &mut self.values[..self.many]
    }
}

/// The changes with the matrix that turns voltages across them into currents through them.
pub(super) struct Update {
    pub(super) deltas: Vec<Delta>,
    /// Row by row, as many as there are changes: (1 + Δ·R)⁻¹·Δ.
    pub(super) matrix: [f64; MOST * MOST],
    pub(super) cut: Option<CutOff>,
}

impl Delta {
    /// What it is when this current (A) wants to flow: nothing for a driver that would be driven
    /// backward, a current for one that is at its limit.
    pub(super) fn carrying(self, current: f64) -> Option<Self> {
        if !self.one_way {
            return Some(self);
        }
        if current <= 0.0 {
            return None;
        }
        Some(match self.limit.filter(|limit| current > *limit) {
            Some(fixed) => Self {
                siemens: 0.0,
                emf: 0.0,
                fixed,
                ..self
            },
            None => self,
        })
    }
}

impl Desk {
    /// The changes of single branches that an alteration makes here; `None` where they must be
    /// factorised anew.
    pub(super) fn deltas(&self, alteration: &Alteration) -> Option<Vec<Delta>> {
        let point = &self.point;
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
                    ..Delta::default()
                });
            }
        }
        for &(a, b, ohms) in &alteration.bridges {
            if a != b {
                found.push(Delta {
                    a,
                    b,
                    siemens: siemens(ohms),
                    ..Delta::default()
                });
            }
        }
        for &(id, how) in &alteration.drivers {
            let limit = match how {
                Switching::Always => None,
                Switching::Limited(amps) => Some(amps.max(0.0)),
                Switching::Never | Switching::Clamp(_) => continue,
            };
            let driver = circuit.drivers.iter().find(|driver| driver.id == id)?;
            found.push(Delta {
                a: driver.collector,
                b: driver.emitter,
                siemens: 1.0 / driver.ohms,
                emf: driver.volts,
                one_way: true,
                limit,
                ..Delta::default()
            });
        }
        (found.len() <= MOST).then_some(found)
    }

    /// Makes the matrix of these changes; `None` where it would not be safe.
    pub(super) fn update(&mut self, mut deltas: Vec<Delta>) -> Option<Update> {
        let point = &Arc::clone(&self.point);
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
        let mut left = [0.0; MOST * MOST];
        let mut matrix = [0.0; MOST * MOST];
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
    pub(super) fn aim(&mut self, slot: usize, a: usize, b: usize) {
        let direction = &mut self.directions[slot];
        if (direction.a, direction.b) == (a, b) {
            return;
        }
        direction.a = a;
        direction.b = b;
        direction.z.clear();
        direction.z.resize(self.point.off.len(), 0.0);
        self.point.respond(&[(a, 1.0), (b, -1.0)], &mut direction.z);
    }

    /// Currents (A) that the changes draw from these potentials.
    pub(super) fn currents(&self, update: &Update, volts: &[f64]) -> Currents {
        let fixed = |at: &Delta| -> f64 {
            let all = update.deltas.iter().zip(&self.directions);
            all.map(|(delta, d)| delta.fixed * (d.z[at.a] - d.z[at.b]))
                .sum()
        };
        let mut currents =
            update.through(|delta| volts[delta.a] - volts[delta.b] - delta.emf - fixed(delta));
        for (current, delta) in currents.iter_mut().zip(&update.deltas) {
            *current += delta.fixed;
        }
        currents
    }

    pub(super) fn currents_of(&self, update: &Update, values: &[f64]) -> Currents {
        update.through(|delta| values[delta.a] - values[delta.b])
    }

    /// A potential after the changes.
    pub(super) fn at(
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
}

impl Update {
    /// No change at all.
    pub(super) const fn none() -> Self {
        Self {
            deltas: Vec::new(),
            matrix: [0.0; MOST * MOST],
            cut: None,
        }
    }

    /// Conductance of a strand after the changes, S.
    pub(super) fn weight(&self, point: &OperatingPoint, strand: usize) -> f64 {
        let changed = self
            .deltas
            .iter()
            .filter(|delta| delta.strand == Some(strand));
        let more: f64 = changed.map(|delta| delta.siemens).sum();
        point.weights[strand] + if self.cut.is_some() { 0.0 } else { more }
    }

    /// Currents through the changes from the voltage that each sees.
    pub(super) fn through(&self, across: impl Fn(&Delta) -> f64) -> Currents {
        let r = self.deltas.len();
        let mut seen = [0.0; MOST];
        for (seen, delta) in seen.iter_mut().zip(&self.deltas) {
            *seen = across(delta);
        }
        let mut found = Currents {
            many: r,
            ..Currents::default()
        };
        for (i, current) in found.iter_mut().enumerate() {
            *current = (0..r).map(|j| self.matrix[i * r + j] * seen[j]).sum();
        }
        found
    }

    /// How far currents through the changes move a voltage of which `z` tells the part of each direction.
    pub(super) fn moved(&self, currents: &[f64], z: impl Fn(usize) -> f64) -> f64 {
        debug_assert_eq!(currents.len(), self.deltas.len());
        currents.iter().enumerate().map(|(d, i)| i * z(d)).sum()
    }

    /// How much the changes lower a resistance of whose ends `z` tells the voltage in each direction.
    pub(super) fn squared(&self, z: impl Fn(usize) -> f64) -> f64 {
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
