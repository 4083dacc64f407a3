//! Laws of the reckoning: two ways agree, currents sum to nothing, nothing is ever not a number.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::Arc;

use proptest::prelude::*;

use super::*;
use crate::edit::layouts::{Arrangement, DriversIn, Inline, Plan, build, propose_engine};
use crate::engine::{Layout, Strokes};
use crate::model::{Harness, Setup};
use crate::units::Degrees;

/// Maps of several kinds.
pub(super) fn maps() -> Vec<Harness> {
    let four = propose_engine(4, Layout::Inline, Strokes::Four);
    let six = propose_engine(6, Layout::Inline, Strokes::Four);
    let twelve = propose_engine(
        12,
        Layout::Vee {
            bank_angle: Degrees::lit(60.0),
        },
        Strokes::Four,
    );
    let plan = |engine| Plan::new("test", engine);
    vec![
        build(&plan(four.clone())).unwrap(),
        build(&Plan {
            drivers: DriversIn::Module,
            ..plan(six)
        })
        .unwrap(),
        build(&Plan {
            arrangement: Arrangement::OneEach,
            drivers: DriversIn::Coil,
            ..plan(four.clone())
        })
        .unwrap(),
        build(&Plan {
            arrangement: Arrangement::Distributor,
            ..plan(four)
        })
        .unwrap(),
        build(&Plan {
            arrangement: Arrangement::OneEach,
            inline: Inline::One,
            ..plan(twelve)
        })
        .unwrap(),
    ]
}

pub(super) fn setups() -> Vec<Setup> {
    vec![Setup::key_on(), Setup::idling(), Setup::battery_off()]
}

/// Every single change of every branch, at a few severities.
fn single(circuit: &Circuit) -> Vec<Alteration> {
    let mut found = Vec::new();
    for at in 0..circuit.strands.len() {
        for edit in [
            Edit::Open,
            Edit::Series(0.5),
            Edit::Series(8.0),
            Edit::Series(100.0),
            Edit::Welded,
        ] {
            found.push(Alteration {
                edits: vec![(at, edit)],
                ..Alteration::default()
            });
        }
    }
    for node in 0..circuit.len() {
        for ohms in [0.02, 3.0, 25.0] {
            found.push(Alteration {
                bridges: vec![(node, circuit.reference(), ohms)],
                ..Alteration::default()
            });
        }
    }
    for driver in &circuit.drivers {
        found.push(Alteration {
            drivers: vec![(driver.id, Switching::Never)],
            ..Alteration::default()
        });
        found.push(Alteration {
            drivers: vec![(driver.id, Switching::Always)],
            ..Alteration::default()
        });
        for amps in [0.5, 6.0, 9.0, 100.0] {
            found.push(Alteration {
                drivers: vec![(driver.id, Switching::Limited(amps))],
                ..Alteration::default()
            });
        }
        found.push(Alteration {
            bridges: vec![(driver.collector, driver.emitter, 2.2)],
            ..Alteration::default()
        });
    }
    found
}

#[test]
fn low_rank_changes_agree_with_a_new_factorisation() {
    for (m, harness) in maps().iter().enumerate() {
        let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
        for setup in setups() {
            let point = Arc::new(OperatingPoint::of(&circuit, &setup));
            let mut desk = Desk::new(&point);
            let all = single(&circuit);
            let mut worst: f64 = 0.0;
            let step = if m == 4 { 7 } else { 1 };
            for alteration in all.iter().step_by(step) {
                let answer = desk.answer(alteration);
                let anew = Arc::new(OperatingPoint::altered(&circuit, &setup, alteration));
                let (plain, ..) = Desk::settled(&anew, alteration);
                for (node, (a, b)) in answer.volts.iter().zip(&plain).enumerate() {
                    assert!(a.is_finite() && b.is_finite());
                    let apart = (a - b).abs();
                    assert!(
                        apart < 1e-6,
                        "map {m} {:?}: {a} and {b} at {:?} with {alteration:?}",
                        setup.engine,
                        circuit.nodes.get(node)
                    );
                    worst = worst.max(apart);
                }
            }
            println!(
                "map {m} n {} strands {} {:?} worst {worst:e} {:?} of {}",
                circuit.len(),
                circuit.strands.len(),
                setup.engine,
                desk.tally(),
                all.len()
            );
        }
    }
}

/// A plain dense elimination with pivots on the matrix of nodes.
#[derive(Debug)]
struct Dense;

#[derive(Debug)]
struct DenseSolver {
    n: usize,
    matrix: Vec<f64>,
}

impl Oracle for Dense {
    fn factorise(&self, n: usize, branches: &[(usize, usize, f64)], leak: f64) -> Arc<dyn Solver> {
        let mut matrix = vec![0.0; n * n];
        for node in 0..n {
            matrix[node * n + node] = leak;
        }
        for &(a, b, siemens) in branches {
            if a == b {
                continue;
            }
            for (own, other) in [(a, b), (b, a)] {
                if own < n {
                    matrix[own * n + own] += siemens;
                    if other < n {
                        matrix[own * n + other] -= siemens;
                    }
                }
            }
        }
        Arc::new(DenseSolver { n, matrix })
    }
}

impl Solver for DenseSolver {
    fn solve(&self, currents: &[f64]) -> Vec<f64> {
        let n = self.n;
        let (mut m, mut x) = (self.matrix.clone(), currents.to_vec());
        for k in 0..n {
            let best = (k..n).max_by(|&i, &j| m[i * n + k].abs().total_cmp(&m[j * n + k].abs()));
            let best = best.unwrap();
            for column in 0..n {
                m.swap(k * n + column, best * n + column);
            }
            x.swap(k, best);
            for i in k + 1..n {
                let share = m[i * n + k] / m[k * n + k];
                if share != 0.0 {
                    for column in k..n {
                        m[i * n + column] -= share * m[k * n + column];
                    }
                    x[i] -= share * x[k];
                }
            }
        }
        for k in (0..n).rev() {
            let sum: f64 = (k + 1..n).map(|column| m[k * n + column] * x[column]).sum();
            x[k] = (x[k] - sum) / m[k * n + k];
        }
        x
    }
}

#[test]
fn a_plain_dense_solve_agrees() {
    let mut compared = 0;
    for harness in &maps()[..4] {
        let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
        for setup in [Setup::key_on(), Setup::idling()] {
            for alteration in single(&circuit).iter().step_by(41) {
                let ours = Solution::of(&circuit, &setup, alteration);
                let plain = Solution::by(Arc::new(Dense), &circuit, &setup, alteration);
                for (a, b) in ours.volts().iter().zip(plain.volts()) {
                    // Summed diagonals lose a part of the leaks: microvolts, not more.
                    assert!((a - b).abs() < 2e-5, "{a} and {b} with {alteration:?}");
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 5000, "{compared}");
}

/// A circuit without sources, from random branches.
fn ohms(n: usize, branches: &[(usize, usize, f64)], a: usize, b: usize) -> f64 {
    graph_ohms(n, branches, (a, b)).unwrap().get()
}

/// Random branches between eight nodes: two ends and ohms.
fn branches() -> impl Strategy<Value = Vec<(usize, usize, f64)>> {
    prop::collection::vec((0..8_usize, 0..8_usize, 0.001..1000.0_f64), 1..24)
}

proptest! {
    #[test]
    fn resistance_is_the_same_both_ways(all in branches(), a in 0..8_usize, b in 0..8_usize) {
        let (there, back) = (ohms(8, &all, a, b), ohms(8, &all, b, a));
        prop_assert!((there - back).abs() <= 1e-9 * there.max(1e-6));
    }

    #[test]
    fn more_resistance_never_lowers_a_reading(all in branches(), at in 0..24_usize, more in 0.1..100.0_f64, a in 0..8_usize, b in 0..8_usize) {
        let before = ohms(8, &all, a, b);
        let mut worse = all.clone();
        let at = at % worse.len();
        worse[at].2 += more;
        prop_assert!(ohms(8, &worse, a, b) >= before * (1.0 - 1e-9));
    }

    /// 1 A into one place gives elsewhere what 1 A there gives here, on a whole car with a fault.
    #[test]
    fn a_car_is_reciprocal(here in 0..1000_usize, there in 0..1000_usize, fault in 0..1000_usize, map in 0..4_usize) {
        let circuit = Arc::new(Circuit::of(&maps()[map], &Assumptions::default()));
        let all = single(&circuit);
        let (here, there) = (here % circuit.len(), there % circuit.len());
        for setup in setups() {
            let point = OperatingPoint::altered(&circuit, &setup, &all[fault % all.len()]);
            let a = point.response(&[(here, 1.0)])[there];
            let b = point.response(&[(there, 1.0)])[here];
            prop_assert!((a - b).abs() <= 1e-9 * a.abs().max(1e-9), "{} and {}", a, b);
        }
    }

    #[test]
    fn a_change_of_one_branch_agrees_with_a_new_factorisation(at in 0..1000_usize, severity in 0.001..1e4_f64, map in 0..4_usize) {
        let harness = &maps()[map];
        let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
        let at = at % circuit.strands.len();
        let alteration = Alteration { edits: vec![(at, Edit::Series(severity))], ..Alteration::default() };
        for setup in setups() {
            let point = Arc::new(OperatingPoint::of(&circuit, &setup));
            let mut desk = Desk::new(&point);
            let found = desk.answer(&alteration).volts.to_vec();
            let anew = Solution::of(&circuit, &setup, &alteration);
            for (a, b) in found.iter().zip(anew.volts()) {
                prop_assert!((a - b).abs() < 1e-7, "{} and {}", a, b);
            }
        }
    }

    /// Kirchhoff: at every node the currents through branches, bridges, held drivers and the leak sum to
    /// nothing, with any fault in any setup, the drivers off.
    #[test]
    fn currents_sum_to_nothing(fault in 0..1000_usize, map in 0..4_usize) {
        let circuit = Arc::new(Circuit::of(&maps()[map], &Assumptions::default()));
        let all = single(&circuit);
        let alteration = &all[fault % all.len()];
        for setup in setups() {
            let point = OperatingPoint::altered(&circuit, &setup, alteration);
            let mut sums = vec![0.0; circuit.len() + 1];
            let mut sizes = vec![0.0_f64; circuit.len() + 1];
            let strands = circuit.strands.iter().map(|strand| (strand.a, strand.b));
            let bridges = alteration.bridges.iter().map(|&(a, b, _)| (a, b));
            let emfs = point.emfs.iter().copied().chain(std::iter::repeat(0.0));
            for (((a, b), weight), emf) in strands.chain(bridges).zip(&point.weights).zip(emfs) {
                let current = weight * (point.off[a] - point.off[b] - emf);
                let size = weight * (point.off[a].abs() + point.off[b].abs());
                for (node, way) in [(a, 1.0), (b, -1.0)] {
                    sums[node] += way * current;
                    sizes[node] += size;
                }
            }
            for held in &point.held {
                let driver = &circuit.drivers[held.driver];
                let current = held.drawn().unwrap_or_default();
                sums[driver.collector] += current;
                sums[driver.emitter] -= current;
            }
            for node in 0..circuit.len() {
                let sum = sums[node] + nominal::LEAK.value * point.off[node];
                prop_assert!(sum.abs() <= 1e-12 * sizes[node].max(1e-3), "{} A at {:?}", sum, circuit.nodes[node]);
            }
        }
    }
}

/// Whoever asks for the sparks of some cylinders gets the very sparks that everybody would get there.
#[test]
fn sparks_of_some_cylinders_are_those_of_all() {
    let demand = Demand::ByGap(Charge::PartLoad);
    let mut compared = 0;
    for harness in maps() {
        let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
        let point = Arc::new(OperatingPoint::of(&circuit, &Setup::idling()));
        let mut desk = Desk::new(&point);
        let mut changes = single(&circuit);
        let leads: Vec<_> = harness
            .parts
            .keys()
            .filter(|id| harness.lead(**id).is_some())
            .collect();
        changes.extend(leads.windows(2).map(|pair| Alteration {
            high: vec![HighFault::Crossed(*pair[0], *pair[1])],
            ..Alteration::default()
        }));
        for change in changes.iter().rev().step_by(7) {
            let answer = desk.answer(change);
            let all = answer.sparks(&harness, &circuit, change, demand);
            for cylinder in harness.engine.cylinders() {
                let some = answer.sparks_of(&harness, &circuit, change, (demand, &[cylinder]));
                let own = all.iter().filter(|plug| plug.cylinder == Some(cylinder));
                assert!(own.eq(&some), "{cylinder:?} {change:?}");
                compared += some.len();
            }
        }
    }
    assert!(compared > 1000, "{compared}");
}
