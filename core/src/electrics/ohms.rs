//! Resistances between many pairs of terminals for many faults: one solution a pair, one a faulty branch.

use std::sync::Arc;

use super::alteration::{Alteration, Edit};
use super::circuit::siemens;
use super::islands::{CutOff, Islands};
use super::nominal;
use super::operating_point::OperatingPoint;
use super::solution::Solution;
use crate::gather::Arrange;
use crate::model::Terminal;

/// Below this, an update has lost too many digits: factorise anew. A contact of 10 mΩ that goes to 100 Ω is
/// at 1e-4 and loses four of sixteen.
const SAFE: f64 = 1e-6;
/// A branch across which 1 A through a pair puts less than this (V) is not felt there.
const FELT: f64 = 1e-9;

/// One change of one branch.
#[derive(Debug, Clone, Copy)]
struct Change {
    a: usize,
    b: usize,
    siemens: f64,
    /// The strand, unless it is a path that should not be there.
    strand: Option<usize>,
    open: bool,
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
    let healthy = meter.healthy();
    let mut table: Vec<Vec<f64>> = healthy
        .iter()
        .map(|ohms| vec![*ohms; alterations.len()])
        .collect();
    for (at, alteration) in alterations.iter().enumerate() {
        for (pair, ohms) in meter.read(alteration) {
            table[pair][at] = ohms;
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
    /// By strand, the pairs that feel it, rising.
    feel: Vec<Vec<usize>>,
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
        let responses: Vec<Vec<f64>> = places
            .iter()
            .map(|place| {
                place.map_or_else(Vec::new, |(red, black)| {
                    point.response(&[(red, 1.0), (black, -1.0)])
                })
            })
            .collect();
        let strands = circuit.strands.iter();
        let feel = strands
            .map(|strand| feeling(&responses, strand.a, strand.b).collect())
            .collect();
        Self {
            across: Across {
                point,
                known: Vec::new(),
            },
            pairs: pairs.to_vec(),
            places,
            responses,
            feel,
        }
    }

    /// Whether any pair may feel an alteration; where none does, [`Self::read`] finds nothing.
    #[must_use]
    pub fn may_feel(&self, alteration: &Alteration) -> bool {
        let felt = |at: usize| self.feel.get(at).is_some_and(|pairs| !pairs.is_empty());
        !alteration.bridges.is_empty() || alteration.edits.iter().any(|(at, _)| felt(*at))
    }

    /// What it shows with an alteration at the pairs that feel it, by number, Ω, infinite for "OL". All
    /// others read as on the healthy circuit.
    pub fn read(&mut self, alteration: &Alteration) -> Vec<(usize, f64)> {
        let point = Arc::clone(&self.across.point);
        let changes = changes(&point, alteration);
        let pairs = self.feeling(&changes);
        if pairs.is_empty() {
            return Vec::new();
        }
        let islands = point.islands.get_or_init(|| Islands::of(&point));
        let update = Update::of(&mut self.across, islands, &changes);
        let slow = matches!(update, Update::Anew)
            .then(|| Solution::of(point.circuit(), point.setup(), alteration));
        let ohms = |pair: usize| {
            let Some((red, black)) = self.places[pair] else {
                return f64::INFINITY;
            };
            let z = &self.responses[pair];
            let before = (z[red] - z[black]).max(0.0);
            match (&update, &slow) {
                (Update::None, _) | (Update::Anew, None) => before,
                (Update::Cut(cut), _) => {
                    if islands.holds(cut, red) == islands.holds(cut, black) {
                        before
                    } else {
                        f64::INFINITY
                    }
                }
                (Update::Low(matrix), _) => before - matrix.loss(&changes, z),
                (Update::Anew, Some(solution)) => {
                    let (red, black) = self.pairs[pair];
                    match solution.ohms_between(red, black) {
                        Ok(Some(ohms)) => ohms.get(),
                        Ok(None) | Err(_) => f64::INFINITY,
                    }
                }
            }
        };
        pairs
            .into_iter()
            .map(|pair| (pair, shown(ohms(pair))))
            .collect()
    }

    /// The pairs that feel any of these changes, rising.
    fn feeling(&self, changes: &[Change]) -> Vec<usize> {
        let mut found = Vec::new();
        for change in changes {
            match change.strand.and_then(|at| self.feel.get(at)) {
                Some(feel) => found.extend_from_slice(feel),
                None => found.extend(feeling(&self.responses, change.a, change.b)),
            }
        }
        if changes.len() > 1 {
            found.arrange();
            found.dedup();
        }
        found
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
}

/// The pairs, by their responses, that feel a branch between two nodes, rising.
fn feeling(responses: &[Vec<f64>], a: usize, b: usize) -> impl Iterator<Item = usize> {
    let felt = move |z: &[f64]| !z.is_empty() && (z[a] - z[b]).abs() > FELT;
    let all = responses.iter().enumerate();
    all.filter(move |(_, z)| felt(z)).map(|(pair, _)| pair)
}

/// What the meter shows of a resistance.
fn shown(ohms: f64) -> f64 {
    if ohms < nominal::OVERLOAD.value {
        ohms.max(0.0)
    } else {
        f64::INFINITY
    }
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
                strand: Some(at),
                open: matches!(edit, Edit::Open),
            });
        }
    }
    for &(a, b, ohms) in &alteration.bridges {
        if a != b {
            found.push(Change {
                a,
                b,
                siemens: siemens(ohms),
                strand: None,
                open: false,
            });
        }
    }
    found
}

/// Responses across changed branches, kept: many faults stand in one branch.
#[derive(Debug)]
struct Across {
    point: Arc<OperatingPoint>,
    known: Vec<((usize, usize), Vec<f64>)>,
}

impl Across {
    fn ohms(&mut self, of: &Change, at: &Change) -> f64 {
        // Faults of one branch stand together: what was asked last is asked again.
        let ends = (of.a, of.b);
        let place = self.known.iter().rposition(|(known, _)| *known == ends);
        let place = place.unwrap_or_else(|| {
            let z = self.point.response(&[(of.a, 1.0), (of.b, -1.0)]);
            self.known.push((ends, z));
            self.known.len() - 1
        });
        let z = &self.known[place].1;
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
                let open = one.strand.filter(|_| one.open);
                let cut = open.and_then(|strand| islands.cut(&across.point, strand));
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
            let edit = [
                Edit::Open,
                Edit::Series(8.0),
                Edit::Series(100.0),
                Edit::Open,
                Edit::Share(0.9),
            ][at % 5];
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
