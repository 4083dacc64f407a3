//! The primary current of the cycle in time, and the readings of practice, against ngspice.

use std::collections::BTreeMap;

use sparktrail_core::electrics::{Alteration, CoilRun, Measure, Solution};
use sparktrail_core::isolation::{Case, Plan, Probes, Question, TestIndex};
use sparktrail_core::model::{BatteryLink, Element, EngineState, FaultThen, Harness, Setup};
use sparktrail_core::practice::{Bench, Level, Ticket};
use sparktrail_tests::outside;

use super::cases::{circuit, clamped, sample};

/// Shares of the dwell, and beyond it, at which currents are compared.
const MOMENTS: [f64; 5] = [0.2, 0.5, 0.8, 0.98, 3.0];

/// The netlist with other questions: the current of a coil at moments after its driver turned on, in the
/// third period, when everything is steady.
fn with_moments(netlist: &str, asked: &[(usize, f64)]) -> String {
    let end = netlist.find("tran ").unwrap();
    let last = asked.iter().map(|(_, at)| *at).fold(0.0, f64::max) + 1e-3;
    let mut text = netlist[..end].to_owned();
    text.push_str(&format!("tran 1e-5 {last:e} 0 1e-5 uic\n"));
    for (number, (strand, at)) in asked.iter().enumerate() {
        text.push_str(&format!(
            "meas tran m{number} FIND i(l{strand}) AT={at:e}\n"
        ));
    }
    text.push_str("quit\n.endc\n.end\n");
    text
}

fn numbers(answer: &str) -> BTreeMap<&str, f64> {
    answer
        .lines()
        .filter_map(|line| {
            let (name, rest) = line.split_once('=')?;
            Some((name.trim(), rest.split_whitespace().next()?.parse().ok()?))
        })
        .collect()
}

/// When the driver of a run turns on for the third time, s: its pulse ends at the spark.
fn third(run: &CoilRun, rpm: f64) -> f64 {
    let spark = run.angles()[0].get() / (6.0 * rpm);
    let start = (spark - run.dwell().get()).rem_euclid(run.period().get());
    start + 2.0 * run.period().get()
}

/// Source: ngspice 39 (Debian), transient run of the netlists that we print, read in time. Currents within
/// 1 % and 20 mA: it steps in time, and its drivers switch within a tenth of a microsecond.
#[test]
fn primary_currents_in_time() {
    let (mut compared, mut worst) = (0, 0.0_f64);
    for (name, rpm) in [
        ("blue-estate", 800.0),
        ("blue-estate", 3000.0),
        ("black-coupe", 800.0),
        ("grey-saloon", 1500.0),
    ] {
        let harness = sample(name);
        let circuit = circuit(&harness);
        let setup = Setup {
            engine: EngineState::Running(sparktrail_core::units::Rpm::lit(rpm)),
            ..Setup::key_on()
        };
        let change = clamped(&harness, Alteration::default());
        let solution = Solution::of(&circuit, &setup, &change);
        let runs = solution.runs();
        let mut asked = Vec::new();
        let mut ours = Vec::new();
        for run in &runs {
            let strand = circuit
                .branches_of(Element::Primary(run.coil()))
                .next()
                .unwrap();
            for share in MOMENTS {
                let after = run.dwell() * share;
                asked.push((strand, third(run, rpm) + after.get()));
                ours.push(run.current(after).get());
            }
        }
        let Some(answer) = outside::ngspice_says(&with_moments(&solution.netlist(name), &asked))
        else {
            return;
        };
        let found = numbers(&answer);
        for (number, ours) in ours.into_iter().enumerate() {
            let theirs = found[format!("m{number}").as_str()].abs();
            let apart = (ours - theirs).abs();
            assert!(
                apart <= 0.02 + 0.01 * theirs,
                "{name} at {rpm}, moment {number}: {ours} A, ngspice {theirs} A"
            );
            worst = worst.max(apart);
            compared += 1;
        }
    }
    assert!(compared > 40, "only {compared} currents were compared");
    println!("{compared} currents, worst {worst} A apart");
}

/// One car, its suspects and tests made once.
fn benches(name: &str, many: u64) -> Vec<Bench> {
    let harness: Harness = sample(name);
    let case = Case::owning(Bench::bare(&harness)).unwrap();
    let plan = Plan::of(&case);
    let levels = Level::ALL.into_iter().cycle();
    let tickets = (0..).zip(levels).map(|(seed, level)| Ticket {
        engine: name.into(),
        level,
        seed,
    });
    tickets
        .filter_map(|ticket| {
            let case = case.reweighed(Bench::bare(&harness)).unwrap();
            Bench::set(&harness, case, plan.clone(), ticket).ok()
        })
        .take(usize::try_from(many).unwrap())
        .collect()
}

/// What ngspice reads between two places of a solved circuit through a meter of 10 MΩ, V.
fn theirs(solution: &Solution, probes: &Probes) -> Option<f64> {
    let circuit = solution.circuit();
    let place = |terminal| circuit.terminal(terminal).unwrap();
    let node = |place: usize| {
        if place == circuit.reference() {
            "0".to_owned()
        } else {
            format!("n{place}")
        }
    };
    let (red, black) = (place(probes.red), place(probes.black?));
    let meter = format!("RMETER {} {} 1e7\n.options", node(red), node(black));
    let netlist = solution.netlist("practice").replacen(".options", &meter, 1);
    let answer = outside::ngspice_says(&netlist)?;
    let found = numbers(&answer);
    let volts = |place: usize| {
        if place == circuit.reference() {
            return 0.0;
        }
        let name = format!("v(n{place})");
        let found = found.get(name.as_str());
        *found.unwrap_or_else(|| panic!("no {name} in\n{answer}"))
    };
    Some(volts(red) - volts(black))
}

/// Source: ngspice 39 (Debian), operating point with the key on and a meter of 10 MΩ, of twenty practice cases
/// of every level. Within 1 mV.
#[test]
fn practice_readings_of_twenty_cases() {
    let (mut cases, mut compared) = (0, 0);
    for (name, many) in [("blue-estate", 8), ("black-coupe", 6), ("grey-saloon", 6)] {
        for bench in benches(name, many) {
            let mut here = 0;
            for test in (0..bench.plan().table().tests()).map(TestIndex) {
                let question = bench.plan().act(test).question.clone();
                let Question::Volts(probes) = &question else {
                    continue;
                };
                let still = probes.setup.engine == EngineState::Stopped
                    && probes.setup.battery == BatteryLink::Connected;
                if !still || here >= 4 {
                    continue;
                }
                let solution = bench.solution(&probes.setup, FaultThen::Present);
                let Some(Measure::Volts(ours)) = bench.behind(&question) else {
                    continue;
                };
                let Some(theirs) = theirs(&solution, probes) else {
                    return;
                };
                let apart = (ours.get() - theirs).abs();
                assert!(
                    apart <= 1e-3,
                    "{:?}: {ours}, ngspice {theirs} V",
                    bench.ticket()
                );
                compared += 1;
                here += 1;
            }
            cases += usize::from(here > 0);
        }
    }
    assert_eq!(cases, 20);
    assert!(compared > 60, "only {compared} readings were compared");
}
