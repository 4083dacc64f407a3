//! Resistances between many pairs of terminals for many faults: one solution a pair, one a faulty branch.

use std::collections::HashMap;

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
    let circuit = point.circuit();
    let changes: Vec<Vec<Change>> = alterations
        .iter()
        .map(|alteration| changes(point, alteration))
        .collect();
    let mut across = Across {
        point,
        known: HashMap::new(),
    };
    let places: Vec<Option<(usize, usize)>> = pairs
        .iter()
        .map(|(red, black)| Some((circuit.terminal(*red)?, circuit.terminal(*black)?)))
        .collect();
    let responses: Vec<Vec<f64>> = places
        .iter()
        .map(|place| {
            place.map_or_else(Vec::new, |(red, black)| {
                point.response(&[(red, 1.0), (black, -1.0)])
            })
        })
        .collect();
    let islands = point.islands.get_or_init(|| Islands::of(point));
    let mut table = vec![Vec::with_capacity(alterations.len()); pairs.len()];
    for (alteration, changes) in alterations.iter().zip(&changes) {
        let update = Update::of(&mut across, islands, changes);
        let slow = matches!(update, Update::Anew)
            .then(|| Solution::of(circuit, point.setup(), alteration));
        for ((row, place), (pair, z)) in table
            .iter_mut()
            .zip(&places)
            .zip(pairs.iter().zip(&responses))
        {
            let Some((red, black)) = *place else {
                row.push(f64::INFINITY);
                continue;
            };
            let before = (z[red] - z[black]).max(0.0);
            let ohms = match (&update, &slow) {
                (Update::None, _) => before,
                (Update::Cut(cut), _) => {
                    if islands.holds(cut, red) != islands.holds(cut, black) {
                        f64::INFINITY
                    } else {
                        before
                    }
                }
                (Update::Low(matrix), _) => before - matrix.loss(changes, z),
                (Update::Anew, Some(solution)) => match solution.ohms_between(pair.0, pair.1) {
                    Ok(Some(ohms)) => ohms.get(),
                    Ok(None) | Err(_) => f64::INFINITY,
                },
                (Update::Anew, None) => before,
            };
            row.push(if ohms < nominal::OVERLOAD.value {
                ohms.max(0.0)
            } else {
                f64::INFINITY
            });
        }
    }
    table
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
struct Across<'s> {
    point: &'s OperatingPoint,
    known: HashMap<(usize, usize), Vec<f64>>,
}

impl Across<'_> {
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
        let w: Vec<f64> = changes.iter().map(|c| z[c.a] - z[c.b]).collect();
        let n = w.len();
        (0..n)
            .flat_map(|i| (0..n).map(move |j| (i, j)))
            .map(|(i, j)| w[i] * self.0[i * n + j] * w[j])
            .sum()
    }
}

impl Update {
    fn of(across: &mut Across<'_>, islands: &Islands, changes: &[Change]) -> Self {
        match changes {
            [] => Self::None,
            [one] => {
                let cut = one
                    .open
                    .and_then(|strand| islands.cut(across.point, strand));
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
    use std::sync::Arc;

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
