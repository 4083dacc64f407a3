//! Potentials and resistances of every sample, healthy and with seeded faults, against ngspice.

use std::collections::BTreeMap;
use std::fmt::Write;

use sparktrail_core::electrics::Solution;
use sparktrail_core::model::BatteryLink;
use sparktrail_tests::outside;

use super::cases::{Seeded, circuit, samples, seeded, still};

const FAULTS: usize = 60;
/// Current by which ngspice measures a resistance, A.
const PROBE: f64 = 1e-3;

/// Puts the elements of one netlist beside those of others: every name and node gets `suffix`.
pub(crate) fn beside(netlist: &str, suffix: &str, text: &mut String) {
    for line in netlist.lines().skip(1) {
        if line.starts_with('.') {
            break;
        }
        let mut words = line.split_whitespace();
        let (Some(name), Some(a), Some(b)) = (words.next(), words.next(), words.next()) else {
            continue;
        };
        let node = |word: &str| {
            if word == "0" {
                "0".to_owned()
            } else {
                format!("{word}{suffix}")
            }
        };
        let rest: Vec<&str> = words.collect();
        writeln!(
            text,
            "{name}{suffix} {} {} {}",
            node(a),
            node(b),
            rest.join(" ")
        )
        .unwrap();
    }
}

/// Source: ngspice 39 (Debian), operating point of the netlists that we print. Every node within 1 µV and
/// a millionth, floating parts within 1 µV; resistances within a millionth and 1 µΩ.
#[test]
fn every_sample_with_seeded_faults() {
    let (mut compared, mut worst) = (0, 0.0_f64);
    for (number, (name, harness)) in samples().into_iter().enumerate() {
        let circuit = circuit(&harness);
        let cases = seeded(
            &harness,
            &circuit,
            FAULTS,
            1000 + u64::try_from(number).unwrap(),
        );
        let terminals: Vec<_> = circuit.terminals().collect();
        if terminals.is_empty() {
            continue;
        }
        for (setup_name, setup) in still(&harness) {
            let off = setup.battery == BatteryLink::Disconnected;
            let mut random = Seeded(7);
            let mut text = format!("* {name} {setup_name}\n");
            let mut solved = Vec::new();
            for (k, (fault, alteration)) in cases.iter().enumerate() {
                let solution = Solution::of(&circuit, &setup, alteration);
                beside(&solution.netlist(&name), &format!("_{k}"), &mut text);
                let red = terminals[random.below(terminals.len())];
                let black = terminals[random.below(terminals.len())];
                if off {
                    let node = |place: usize| {
                        if place == circuit.reference() {
                            "0".into()
                        } else {
                            format!("n{place}_{k}")
                        }
                    };
                    // Out of black and into red, through the source.
                    writeln!(text, "IP_{k} {} {} {PROBE}", node(black.1), node(red.1)).unwrap();
                }
                solved.push((fault, solution, red, black));
            }
            writeln!(
                text,
                ".options reltol=1e-6 abstol=1e-15 vntol=1e-9 gmin=1e-15"
            )
            .unwrap();
            writeln!(
                text,
                ".control\nset numdgt=14\nop\nprint all\nquit\n.endc\n.end"
            )
            .unwrap();
            let Some(answer) = outside::ngspice_says(&text) else {
                return;
            };
            let found: BTreeMap<&str, f64> = answer
                .lines()
                .filter_map(|line| {
                    let (node, value) = line.split_once(" = ")?;
                    Some((node.trim(), value.trim().parse().ok()?))
                })
                .collect();
            for (k, (fault, solution, red, black)) in solved.into_iter().enumerate() {
                let volts = |place: usize| {
                    if place == circuit.reference() {
                        0.0
                    } else {
                        let node = format!("n{place}_{k}");
                        *found
                            .get(node.as_str())
                            .unwrap_or_else(|| panic!("no {node} in {name}"))
                    }
                };
                if off {
                    if red.1 == black.1 {
                        continue;
                    }
                    let theirs = (volts(red.1) - volts(black.1)) / PROBE;
                    let ours = solution.ohms_between(red.0, black.0).unwrap();
                    match ours {
                        None => assert!(
                            theirs >= 2e6,
                            "{name}, {fault}: OL, but ngspice says {theirs} Ω"
                        ),
                        Some(ours) => {
                            let apart = (ours.get() - theirs).abs();
                            assert!(
                                apart <= 1e-6 + 1e-6 * theirs,
                                "{name}, {fault}: {ours}, ngspice {theirs} Ω"
                            );
                        }
                    }
                    compared += 1;
                    continue;
                }
                for place in 0..circuit.len() {
                    let (ours, theirs) = (solution.volts()[place], volts(place));
                    let apart = (ours - theirs).abs();
                    assert!(
                        apart <= 1e-6 + 1e-6 * theirs.abs(),
                        "{name}, {setup_name}, {fault}, n{place}: {ours} V, ngspice {theirs} V"
                    );
                    worst = worst.max(apart);
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 100_000, "only {compared} values were compared");
    println!("{compared} values, worst {worst:e} V apart");
}
