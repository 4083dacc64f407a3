//! The outside programs are there, in the versions whose answers were written down.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use sparktrail_tests::outside;

#[test]
fn python_holds_the_pinned_packages() {
    let program = "
from importlib.metadata import version
for package in ['networkx', 'numpy', 'scipy', 'python-sat', 'pyagrum']:
    print(f'{package}=={version(package)}')
import networkx, scipy.linalg, pysat.examples.hitman, pyagrum
";
    let Some(answer) = outside::python_says(program, "") else {
        return;
    };
    let pinned = include_str!("../requirements.txt");
    let mut seen = 0;
    for line in answer.lines() {
        assert!(
            pinned.lines().any(|pin| pin == line),
            "{line} is not pinned"
        );
        seen += 1;
    }
    assert_eq!(seen, 5);
}

/// Source: networkx 3.6.1 documentation of `resistance_distance`, whose example gives 0.625.
#[test]
fn networkx_gives_its_documented_resistance() {
    let program = "
import networkx as nx
G = nx.Graph([(1, 2), (1, 3), (1, 4), (3, 4), (3, 5), (4, 5)])
print(nx.resistance_distance(G, 1, 3))
";
    let Some(answer) = outside::python_says(program, "") else {
        return;
    };
    let ohms: f64 = answer.trim().parse().unwrap();
    assert!((ohms - 0.625).abs() < 1e-9, "{ohms} Ω");
}

/// Source: Ohm's law; 14 V over 0.62 Ω and 0.58 Ω in series.
#[test]
fn ngspice_solves_a_divider() {
    let circuit = "divider
V1 top 0 14
R1 top mid 0.62
R2 mid 0 0.58
.op
.print op v(mid)
.end
";
    let Some(answer) = outside::ngspice_says(circuit) else {
        return;
    };
    let mid = answer
        .lines()
        .map(str::split_whitespace)
        .find_map(|mut words| (words.next()? == "mid").then(|| words.next())?)
        .unwrap_or_else(|| panic!("no voltage of `mid` in:\n{answer}"));
    let volts: f64 = mid.parse().unwrap();
    assert!((volts - 14.0 * 0.58 / 1.2).abs() < 1e-4, "{volts} V");
}
