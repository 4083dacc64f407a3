//! Belief and hitting sets against general libraries: pyagrum for Bayes, python-sat for hitting sets.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fmt::Write;

use sparktrail_core::isolation::searches::mix;
use sparktrail_core::isolation::{Belief, Case, Suspects, minimal_hitting_sets};
use sparktrail_core::model::{
    FaultThen, Finding, FindingId, Harness, PartKind, Port, Seen, Setup, Spark, Terminal, Works,
    file,
};
use sparktrail_core::units::Volts;
use sparktrail_tests::{outside, place};

/// A number from 0 up to 1 that looks random.
fn unit(seed: u64) -> f64 {
    f64::from(u32::try_from(mix(seed) >> 32).unwrap()) / 4_294_967_296.0
}

/// Source: minimal hitting sets by python-sat's `Hitman`, on 200 random families.
#[test]
fn hitting_sets_agree_with_python_sat() {
    let families: Vec<Vec<BTreeSet<usize>>> = (0..200_u64)
        .map(|n| {
            let sets = 1 + mix(n * 1000) % 8;
            (0..sets)
                .map(|s| {
                    let mut set: BTreeSet<usize> = (0..10_u64)
                        .filter(|i| unit(n * 1000 + s * 20 + i + 1) < 0.35)
                        .map(|i| usize::try_from(i).unwrap())
                        .collect();
                    set.insert(usize::try_from(mix(n * 77 + s) % 10).unwrap());
                    set
                })
                .collect()
        })
        .collect();
    let program = "
import sys, json
from pysat.examples.hitman import Hitman
for line in sys.stdin:
    family = json.loads(line)
    with Hitman(bootstrap_with=family, htype='sorted') as hitman:
        print(json.dumps(sorted(sorted(h) for h in hitman.enumerate())))
";
    let input: String = families.iter().fold(String::new(), |mut text, family| {
        writeln!(text, "{family:?}").unwrap();
        text
    });
    let input = input.replace('{', "[").replace('}', "]");
    let Some(answer) = outside::python_says(program, &input) else {
        return;
    };
    let mut compared = 0;
    for (family, line) in families.iter().zip(answer.lines()) {
        let mut ours: Vec<Vec<usize>> = minimal_hitting_sets(family, 10)
            .into_iter()
            .map(|set| set.into_iter().collect())
            .collect();
        ours.sort();
        assert_eq!(format!("{ours:?}"), line, "{family:?}");
        compared += 1;
    }
    assert_eq!(compared, 200);
}

const PYAGRUM: &str = "
import sys, json
import pyagrum as gum
for line in sys.stdin:
    table = json.loads(line)
    net = gum.BayesNet()
    n = len(table['priors'])
    h = net.add(gum.LabelizedVariable('h', '', n))
    total = sum(table['priors'])
    net.cpt(h).fillWith([p / total for p in table['priors']])
    seen = {}
    for i, row in enumerate(table['rows']):
        f = net.add(gum.LabelizedVariable(f'f{i}', '', 2))
        net.addArc(h, f)
        net.cpt(f).fillWith([x for p in row for x in (1 - p, p)])
        seen[f'f{i}'] = 1
    engine = gum.LazyPropagation(net)
    engine.setEvidence(seen)
    engine.makeInference()
    print(json.dumps([float(x) for x in engine.posterior('h').tolist()]))
";

/// Source: posteriors by pyagrum's lazy propagation: one node of 24 suspects, ten findings below it.
#[test]
fn belief_agrees_with_pyagrum() {
    const SUSPECTS: usize = 24;
    let mut input = String::new();
    let mut tables = Vec::new();
    for n in 0..20_u64 {
        let given: Vec<(f64, usize)> = (0..SUSPECTS)
            .map(|h| {
                let seed = n * 10_000 + u64::try_from(h).unwrap();
                (unit(seed) * 1e-2 + 1e-4, h / 3)
            })
            .collect();
        let rows: Vec<Vec<f64>> = (0..10_u64)
            .map(|r| {
                (0..SUSPECTS)
                    .map(|h| {
                        let seed = n * 10_000 + 100 + r * 100 + u64::try_from(h).unwrap();
                        0.005 + 0.99 * unit(seed)
                    })
                    .collect()
            })
            .collect();
        let priors: Vec<f64> = given.iter().map(|(p, _)| *p).collect();
        writeln!(input, "{{\"priors\": {priors:?}, \"rows\": {rows:?}}}").unwrap();
        tables.push((given, rows));
    }
    let Some(answer) = outside::python_says(PYAGRUM, &input) else {
        return;
    };
    let mut compared = 0;
    for ((given, rows), line) in tables.iter().zip(answer.lines()) {
        let belief = Belief::of(&Suspects::new(given).unwrap(), rows).unwrap();
        let theirs: Vec<f64> = line
            .trim_matches(['[', ']'])
            .split(", ")
            .map(|number| number.parse().unwrap())
            .collect();
        assert_eq!(theirs.len(), SUSPECTS);
        for (ours, theirs) in belief.suspects().iter().zip(theirs) {
            assert!((ours - theirs).abs() < 1e-12, "{ours} {theirs}");
        }
        compared += 1;
    }
    assert_eq!(compared, 20);
}

/// Source: posteriors by pyagrum's lazy propagation, on each sample: every cause is a value of one node,
/// ten findings with seeded answers hang below it.
#[test]
fn belief_on_each_sample_agrees_with_pyagrum() {
    let mut input = String::new();
    let mut ours = Vec::new();
    for (number, path) in place::samples().unwrap().into_iter().enumerate() {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let mut harness = file::read(&text).unwrap();
        let seed = u64::try_from(number).unwrap() * 1_000_000;
        harness.findings = ten_findings(&harness, seed);
        let case = Case::of(&harness).unwrap();
        let assessment = case.assess().unwrap();
        assert!(assessment.troubles.is_empty(), "{name}");
        assert!(assessment.evidence.len() >= 8, "{name}");
        let rows: Vec<Vec<f64>> = assessment
            .evidence
            .iter()
            .map(|e| {
                // Rows are likelihoods up to a factor; as probabilities they must stay below one.
                let most = e.row.iter().copied().fold(0.0, f64::max);
                e.row.iter().map(|p| 0.9 * p / most).collect()
            })
            .collect();
        let priors = case.suspects().priors();
        writeln!(input, "{{\"priors\": {priors:?}, \"rows\": {rows:?}}}").unwrap();
        ours.push((name, assessment.belief.suspects().to_vec()));
    }
    let Some(answer) = outside::python_says(PYAGRUM, &input) else {
        return;
    };
    let mut compared = 0;
    for ((name, ours), line) in ours.iter().zip(answer.lines()) {
        let theirs: Vec<f64> = line
            .trim_matches(['[', ']'])
            .split(", ")
            .map(|number| number.parse().unwrap())
            .collect();
        assert_eq!(theirs.len(), ours.len(), "{name}");
        for (ours, theirs) in ours.iter().zip(theirs) {
            assert!((ours - theirs).abs() < 1e-12, "{name}: {ours} {theirs}");
        }
        compared += 1;
    }
    assert_eq!(compared, ours.len());
    assert!(compared >= 10, "{compared} samples");
}

/// Whether each of up to four cylinders works, sparks at two, and volts at pins and coils.
fn ten_findings(harness: &Harness, seed: u64) -> Vec<Finding> {
    let mut seen: Vec<(Seen, Option<Setup>)> = Vec::new();
    for (place, cylinder) in (0..).zip(harness.engine.cylinders().into_iter().take(4)) {
        let works = if unit(seed + place) < 0.5 {
            Works::Dead
        } else {
            Works::Alive
        };
        seen.push((Seen::Contribution { cylinder, works }, None));
        if place < 2 {
            let spark = if unit(seed + 50 + place) < 0.5 {
                Spark::No
            } else {
                Spark::Yes
            };
            seen.push((Seen::Spark { cylinder, spark }, None));
        }
    }
    let battery = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)));
    let black = battery.map(|(id, _)| Terminal {
        part: *id,
        port: Port::Minus,
    });
    let points = harness
        .parts
        .keys()
        .flat_map(|part| harness.terminals_of(*part));
    let points = points.filter(|t| matches!(t.port, Port::Feed | Port::Switched | Port::Pin(_)));
    for (place, red) in (100..).zip(points) {
        if seen.len() == 10 {
            break;
        }
        let reading = Volts::new(13.0 * unit(seed + place)).unwrap();
        let setup = if place % 2 == 0 {
            Setup::key_on()
        } else {
            Setup::idling()
        };
        let volts = Seen::Volts {
            red,
            black,
            reading,
        };
        seen.push((volts, Some(setup)));
    }
    (20_000..)
        .zip(seen)
        .map(|(number, (seen, setup))| Finding {
            setup,
            ..Finding::new(FindingId::from_number(number), seen, FaultThen::Present)
        })
        .collect()
}
