//! Resistances between many pairs of terminals for many faults: one solution a pair, one a faulty branch.

use std::collections::HashMap;
use std::sync::Arc;

use super::alteration::{Alteration, Edit};
use super::circuit::siemens;
use super::islands::{CutOff, Islands};
use super::nominal;
use super::operating_point::OperatingPoint;
use super::solution::Solution;
use crate::model::Terminal;

/// Below this, an update has lost digits: factorise anew.
const SAFE: f64 = 1e-3;

/// One change of one branch.
#[derive(Debug, Clone, Copy)]
struct Change {
    a: usize,
    b: usize,
    siemens: f64,
    /// The strand, where it is open.
    open: Option<usize>,
}

/// What an ohmmeter shows between each pair with each alteration, Ω: pair by pair, infinite for "OL"
/// and for terminals that are not on the map.
///
/// `point`: the healthy circuit with the battery off. Within one part in a thousand: the tiny leaks
/// of a part that is cut off still count beside kilohms.
///
/// # Source
/// R′ = R − wᵀ(1 + ΔR)⁻¹Δw, w = the pair's response across each changed branch (Sherman, Morrison 1950,
/// doi:10.1214/aoms/1177729893, value from memory). A branch that is the only way across cuts off what
/// lies beyond: a pair with one end there reads "OL", any other as before.
#[must_use]
pub fn resistances(
    point: &OperatingPoint,
    pairs: &[(Terminal, Terminal)],
    alterations: &[Alteration],
) -> Vec<Vec<f64>> {
    let mut meter = Ohmmeter::new(Arc::new(point.clone()), pairs);
    let mut table = vec![Vec::with_capacity(alterations.len()); pairs.len()];
    let healthy = meter.healthy();
    for alteration in alterations {
        let read = meter.read(alteration);
        for (row, ohms) in table
            .iter_mut()
            .zip(read.unwrap_or_else(|| healthy.clone()))
        {
            row.push(ohms);
        }
    }
    table
}

/// An ohmmeter at many pairs of terminals of one circuit in one setup, fault by fault; see [`resistances`].
#[derive(Debug)]
pub struct Ohmmeter {
    across: Across,
    pairs: Vec<(Terminal, Terminal)>,
    places: Vec<Option<(usize, usize)>>,
    responses: Vec<Vec<f64>>,
}

impl Ohmmeter {
    /// An ohmmeter at these pairs. `point`: the healthy circuit with the battery off.
    #[must_use]
    pub fn new(point: Arc<OperatingPoint>, pairs: &[(Terminal, Terminal)]) -> Self {
        let circuit = point.circuit();
        let places: Vec<Option<(usize, usize)>> = pairs
            .iter()
            .map(|(red, black)| Some((circuit.terminal(*red)?, circuit.terminal(*black)?)))
            .collect();
        let responses = places
            .iter()
            .map(|place| {
                place.map_or_else(Vec::new, |(red, black)| {
                    point.response(&[(red, 1.0), (black, -1.0)])
                })
            })
            .collect();
        Self {
            across: Across {
                point,
                known: HashMap::new(),
            },
            pairs: pairs.to_vec(),
            places,
            responses,
        }
    }

    /// What it shows at each pair with an alteration, Ω, infinite for "OL"; `None` where every pair
    /// reads as on the healthy circuit.
    pub fn read(&mut self, alteration: &Alteration) -> Option<Vec<f64>> {
        let point = Arc::clone(&self.across.point);
        let changes = changes(&point, alteration);
        let any = |z: &Vec<f64>| !z.is_empty() && felt(&changes, z);
        if !self.responses.iter().any(any) {
            return None;
        }
        Some(self.solved(&point, &changes, alteration))
    }

    /// What it shows at each pair on the healthy circuit, Ω.
    #[must_use]
    pub fn healthy(&self) -> Vec<f64> {
        self.places
            .iter()
            .zip(&self.responses)
            .map(|(place, z)| place.map_or(f64::INFINITY, |(red, black)| shown(z[red] - z[black])))
            .collect()
    }

    fn solved(
        &mut self,
        point: &Arc<OperatingPoint>,
        changes: &[Change],
        alteration: &Alteration,
    ) -> Vec<f64> {
        let islands = point.islands.get_or_init(|| Islands::of(point));
        let update = Update::of(&mut self.across, islands, changes);
        let slow = matches!(update, Update::Anew)
            .then(|| Solution::of(point.circuit(), point.setup(), alteration));
        self.places
            .iter()
            .zip(self.pairs.iter().zip(&self.responses))
            .map(|(place, (pair, z))| {
                let Some((red, black)) = *place else {
                    return f64::INFINITY;
                };
                let before = (z[red] - z[black]).max(0.0);
                let ohms = match (&update, &slow) {
                    (Update::None, _) => before,
                    (Update::Cut(cut), _) => {
                        if islands.holds(cut, red) == islands.holds(cut, black) {
                            before
                        } else {
                            f64::INFINITY
                        }
                    }
                    (Update::Low(matrix), _) => before - matrix.loss(changes, z),
                    // What the changed branches do not feel is as before.
                    (Update::Anew, Some(_)) if !felt(changes, z) => before,
                    (Update::Anew, Some(solution)) => match solution.ohms_between(pair.0, pair.1) {
                        Ok(Some(ohms)) => ohms.get(),
                        Ok(None) | Err(_) => f64::INFINITY,
                    },
                    (Update::Anew, None) => before,
                };
                shown(ohms)
            })
            .collect()
    }
}

/// What the meter shows of a resistance.
fn shown(ohms: f64) -> f64 {
    if ohms < nominal::OVERLOAD.value {
        ohms.max(0.0)
    } else {
        f64::INFINITY
    }
}

/// Whether 1 A through a pair puts a voltage across any changed branch.
fn felt(changes: &[Change], z: &[f64]) -> bool {
    changes.iter().any(|c| (z[c.a] - z[c.b]).abs() > 1e-9)
}

fn changes(point: &OperatingPoint, alteration: &Alteration) -> Vec<Change> {
    let strands = &point.circuit().strands;
    let mut found = Vec::new();
    for &(at, edit) in &alteration.edits {
        let Some(strand) = strands.get(at) else {
            continue;
        };
        let old = point.weights[at];
        let new = edit.apply(old, strand.siemens);
        if (new - old).abs() > 0.0 && strand.a != strand.b {
            found.push(Change {
                a: strand.a,
                b: strand.b,
                siemens: new - old,
                open: matches!(edit, Edit::Open).then_some(at),
            });
        }
    }
    for &(a, b, ohms) in &alteration.bridges {
        if a != b {
            found.push(Change {
                a,
                b,
                siemens: siemens(ohms),
                open: None,
            });
        }
    }
    found
}

/// Responses across changed branches, kept: many faults stand in one branch.
#[derive(Debug)]
struct Across {
    point: Arc<OperatingPoint>,
    known: HashMap<(usize, usize), Vec<f64>>,
}

impl Across {
    fn ohms(&mut self, of: &Change, at: &Change) -> f64 {
        let z = self
            .known
            .entry((of.a, of.b))
            .or_insert_with(|| self.point.response(&[(of.a, 1.0), (of.b, -1.0)]));
        z[at.a] - z[at.b]
    }
}

enum Update {
    None,
    /// One branch that was the only way across is open.
    Cut(CutOff),
    Low(Matrix),
    Anew,
}

/// (1 + ΔR)⁻¹Δ for one or two changes, row by row.
struct Matrix(Vec<f64>);

impl Matrix {
    fn loss(&self, changes: &[Change], z: &[f64]) -> f64 {
        let n = changes.len();
        let mut sum = 0.0;
        for (i, one) in changes.iter().enumerate() {
            let own = z[one.a] - z[one.b];
            for (j, other) in changes.iter().enumerate() {
                sum += own * self.0[i * n + j] * (z[other.a] - z[other.b]);
            }
        }
        sum
    }
}

impl Update {
    fn of(across: &mut Across, islands: &Islands, changes: &[Change]) -> Self {
        match changes {
            [] => Self::None,
            [one] => {
                let cut = one
                    .open
                    .and_then(|strand| islands.cut(&across.point, strand));
                if let Some(cut) = cut {
                    return Self::Cut(cut);
                }
                let d = 1.0 + one.siemens * across.ohms(one, one);
                if d.abs() >= SAFE {
                    Self::Low(Matrix(vec![one.siemens / d]))
                } else {
                    Self::Anew
                }
            }
            [x, y] => {
                let (p, s) = (x.siemens, y.siemens);
                let a = 1.0 + p * across.ohms(x, x);
                let b = p * across.ohms(x, y);
                let c = s * across.ohms(y, x);
                let d = 1.0 + s * across.ohms(y, y);
                let det = a * d - b * c;
                if det.abs() < SAFE * (1.0 + a.abs() + d.abs()) {
                    return Self::Anew;
                }
                // Inverse of [[a, b], [c, d]] times diag(p, s).
                Self::Low(Matrix(vec![
                    d / det * p,
                    -b / det * s,
                    -c / det * p,
                    a / det * s,
                ]))
            }
            [_, _, ..] => Self::Anew,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::electrics::{Assumptions, Circuit};
    use crate::engine::{Layout, Strokes};
    use crate::model::Setup;
    use crate::units::Degrees;

    /// Oracle: every fault factorised anew.
    #[test]
    fn low_rank_resistances_agree_with_new_factorisations() {
        let vee = Layout::Vee {
            bank_angle: Degrees::lit(90.0),
        };
        let harness = build(&Plan::new("six", propose_engine(6, vee, Strokes::Four)))
            .unwrap_or_else(|why| panic!("{why}"));
        let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
        let setup = Setup::battery_off();
        let point = OperatingPoint::of(&circuit, &setup);
        let terminals: Vec<Terminal> = circuit.terminals().map(|(t, _)| t).collect();
        let pairs: Vec<(Terminal, Terminal)> = terminals
            .iter()
            .zip(terminals.iter().cycle().skip(7))
            .map(|(a, b)| (*a, *b))
            .collect();
        let mut alterations = Vec::new();
        for at in 0..circuit.strands.len() {
            let edit = [Edit::Open, Edit::Series(8.0), Edit::Open, Edit::Share(0.9)][at % 4];
            alterations.push(Alteration {
                edits: vec![(at, edit)],
                ..Alteration::default()
            });
            if at % 3 == 0 {
                alterations.push(Alteration {
                    edits: vec![(at, Edit::Series(2.0))],
                    bridges: vec![(at % circuit.len(), circuit.reference(), 3.0)],
                    ..Alteration::default()
                });
            }
        }
        let table = resistances(&point, &pairs, &alterations);
        for (place, alteration) in alterations.iter().enumerate() {
            let solution = Solution::of(&circuit, &setup, alteration);
            for (pair, row) in pairs.iter().zip(&table) {
                let wanted = match solution.ohms_between(pair.0, pair.1) {
                    Ok(Some(ohms)) => ohms.get(),
                    Ok(None) | Err(_) => f64::INFINITY,
                };
                let found = row[place];
                assert!(
                    (wanted.is_infinite() && found.is_infinite())
                        || (wanted - found).abs() <= 1e-5 + 1e-3 * wanted,
                    "{pair:?} {alteration:?}: {found} is not {wanted}"
                );
            }
        }
    }
}
