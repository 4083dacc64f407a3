//! Resistances of bare graphs against networkx and published values; the current ramp against scipy.

use serde_json::{Value, json};
use sparktrail_core::electrics::{current_after, graph_ohms};
use sparktrail_core::units::{Henries, Ohms, Seconds, Volts};
use sparktrail_tests::outside;

use super::cases::Seeded;

/// Nodes, and resistors as two nodes and ohms.
type Graph = (usize, Vec<(usize, usize, f64)>);

fn ohms(nodes: usize, resistors: &[(usize, usize, f64)], pair: (usize, usize)) -> f64 {
    graph_ohms(nodes, resistors, pair).unwrap().get()
}

/// The edges of a unit cube; corners that differ in one bit are joined.
fn cube() -> Vec<(usize, usize, f64)> {
    let corners = 0..8_usize;
    let edges = corners.flat_map(|a| [1, 2, 4].map(|bit| (a, a ^ bit, 1.0)));
    edges.filter(|&(a, b, _)| a < b).collect()
}

/// Source: the classic cube of twelve 1 Ω resistors: 7/12, 3/4 and 5/6 Ω across an edge, a face and the
/// body; and the example in the documentation of networkx 3.6.1, 0.625 Ω. The leak of every node
/// takes a billionth.
#[test]
fn published_graphs() {
    for (to, wanted) in [(1, 7.0 / 12.0), (3, 0.75), (7, 5.0 / 6.0)] {
        let found = ohms(8, &cube(), (0, to));
        assert!((found - wanted).abs() < 1e-8, "{found} Ω, not {wanted} Ω");
    }
    let example = [(1, 2), (1, 3), (1, 4), (3, 4), (3, 5), (4, 5)].map(|(a, b)| (a, b, 1.0));
    assert!((ohms(6, &example, (1, 3)) - 0.625).abs() < 1e-8);
}

/// Source: networkx 3.6.1, `resistance_distance` with resistances for weights, on 200 random graphs.
#[test]
fn random_graphs_against_networkx() {
    let mut random = Seeded(42);
    let graphs: Vec<Graph> = (0..200)
        .map(|_| {
            let nodes = 2 + random.below(14);
            let many = 1 + random.below(3 * nodes);
            let resistors = (0..many)
                .map(|_| {
                    let (a, b) = (random.below(nodes), random.below(nodes));
                    let decade = i32::try_from(random.below(6)).unwrap() - 2;
                    let digits = 1.0 + f64::from(u32::try_from(random.below(900)).unwrap()) / 100.0;
                    (a, b, digits * 10_f64.powi(decade))
                })
                .filter(|(a, b, _)| a != b)
                .collect();
            (nodes, resistors)
        })
        .collect();
    let program = "
import json, sys
import networkx as nx
answers = []
for nodes, resistors in json.load(sys.stdin):
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(nodes))
    graph.add_weighted_edges_from(resistors)
    part = nx.node_connected_component(graph, 0)
    inner = graph.subgraph(part)
    answers.append([
        nx.resistance_distance(inner, 0, node, weight='weight', invert_weight=True) if node in part else None
        for node in range(1, nodes)
    ])
print(json.dumps(answers))
";
    let Some(answer) = outside::python_says(program, &json!(graphs).to_string()) else {
        return;
    };
    let answers: Vec<Vec<Value>> = serde_json::from_str(&answer).unwrap();
    let (mut compared, mut apart) = (0, 0);
    for ((nodes, resistors), theirs) in graphs.iter().zip(answers) {
        for (node, theirs) in (1..*nodes).zip(theirs) {
            let ours = ohms(*nodes, resistors, (0, node));
            match theirs.as_f64() {
                Some(theirs) => {
                    // Every node leaks 1 nS to a common place: sixteen of them beside the resistance.
                    let leaks = 16.0 * 1e-9 * theirs * theirs;
                    let close = (ours - theirs).abs() <= 1e-8 + 1e-9 * theirs + leaks;
                    assert!(close, "{ours} Ω, networkx {theirs} Ω");
                    compared += 1;
                }
                None => {
                    assert!(ours > 1e7, "apart, and yet {ours} Ω");
                    apart += 1;
                }
            }
        }
    }
    assert!(
        compared > 500 && apart > 50,
        "{compared} compared, {apart} apart"
    );
}

/// Source: scipy 1.17.1, `solve_ivp` of L·di/dt = V − R·i, tolerance 1e-11.
#[test]
fn the_current_ramp_against_scipy() {
    let program = "
import json, sys
from scipy.integrate import solve_ivp
answers = []
for volts, ohms, henries, seconds in json.load(sys.stdin):
    run = solve_ivp(lambda t, i: (volts - ohms * i) / henries, (0, seconds), [0.0], rtol=1e-11, atol=1e-13)
    answers.append(run.y[0][-1])
print(json.dumps(answers))
";
    let mut random = Seeded(9);
    let mut between = |low: f64, high: f64| {
        low + (high - low) * f64::from(u32::try_from(random.below(10_000)).unwrap()) / 10_000.0
    };
    let cases: Vec<[f64; 4]> = (0..60)
        .map(|_| {
            [
                between(6.0, 15.0),
                between(0.2, 6.0),
                between(0.001, 0.008),
                between(2e-4, 6e-3),
            ]
        })
        .collect();
    let Some(answer) = outside::python_says(program, &json!(cases).to_string()) else {
        return;
    };
    let answers: Vec<f64> = serde_json::from_str(&answer).unwrap();
    assert_eq!(answers.len(), cases.len());
    for ([volts, ohms, henries, seconds], theirs) in cases.into_iter().zip(answers) {
        let ours = current_after(
            Volts::lit(volts),
            Ohms::lit(ohms),
            Henries::lit(henries),
            Seconds::lit(seconds),
        );
        assert!(
            (ours.get() - theirs).abs() < 1e-8,
            "{ours}, scipy {theirs} A"
        );
    }
}
