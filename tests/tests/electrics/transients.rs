//! Averages over a cycle with the engine turning, against transient runs of ngspice: some live, all as kept data.
//!
//! `tests/kept/transients.json` holds what ngspice found. This makes it anew, in some minutes:
//!
//! ```sh
//! cargo test -p sparktrail-tests --test electrics -- --ignored --exact transients::keep
//! ```

use std::collections::BTreeMap;
use std::path::PathBuf;

use serde_json::{Value, json};
use sparktrail_core::electrics::{Alteration, BaseCoil, Solution, Switching};
use sparktrail_core::faults::{Fault, Mode, alteration, graded_faults};
use sparktrail_core::model::{
    DriverPiece, Element, EngineState, Harness, PartKind, Port, Setup, Terminal,
};
use sparktrail_core::units::{Amps, Ohms, Rpm};
use sparktrail_tests::{outside, place};

use super::cases::{circuit, clamped, sample};

/// One run: a map, a fault or none, a speed.
struct Case {
    map: &'static str,
    fault: &'static str,
    harness: Harness,
    change: Alteration,
    rpm: f64,
    /// How far our averages may be from those of ngspice, V. It steps in time, so a few millivolts are
    /// its own.
    within: f64,
    /// Run at every test, not only to be kept.
    live: bool,
}

impl Case {
    fn solution(&self) -> Solution {
        let circuit = circuit(&self.harness);
        let setup = Setup {
            engine: EngineState::Running(Rpm::lit(self.rpm)),
            ..Setup::key_on()
        };
        let change = clamped(&self.harness, self.change.clone());
        Solution::of(&circuit, &setup, &change)
    }

    /// Our average at every terminal, with its name, in the order of the circuit.
    fn ours(&self) -> Vec<(String, f64)> {
        self.solution()
            .potentials()
            .map(|(terminal, volts)| (self.harness.terminal_name(terminal), volts.get()))
            .collect()
    }

    /// That of ngspice, likewise; `None` without ngspice.
    fn theirs(&self) -> Option<Vec<(String, f64)>> {
        let solution = self.solution();
        let answer = outside::ngspice_says(&solution.netlist(self.fault))?;
        let found: BTreeMap<&str, f64> = answer
            .lines()
            .filter_map(|line| {
                let (node, rest) = line.split_once('=')?;
                Some((node.trim(), rest.split_whitespace().next()?.parse().ok()?))
            })
            .collect();
        let circuit = solution.circuit();
        let all = circuit.terminals().map(|(terminal, place)| {
            let volts = if place == circuit.reference() {
                0.0
            } else {
                *found
                    .get(format!("a{place}").as_str())
                    .unwrap_or_else(|| panic!("no a{place}:\n{answer}"))
            };
            (self.harness.terminal_name(terminal), volts)
        });
        Some(all.collect())
    }

    fn name(&self) -> String {
        format!("{}, {}, {} rpm", self.map, self.fault, self.rpm)
    }
}

/// The place that is farthest apart, and how far.
fn apart<'a>(ours: &'a [(String, f64)], theirs: &[(String, f64)]) -> (&'a str, f64) {
    assert_eq!(ours.len(), theirs.len());
    ours.iter()
        .zip(theirs)
        .map(|((place, a), (other, b))| {
            assert_eq!(place, other);
            (place.as_str(), (a - b).abs())
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap()
}

/// Rows of the signature table on the base coil.
fn rows() -> Vec<Case> {
    let base = BaseCoil::new();
    let circuit = circuit(&base.harness);
    let ohms = Ohms::lit;
    let feed = Element::Wire(base.feed);
    let control = Element::Wire(base.control);
    let switch = Element::Driver(base.driver, DriverPiece::Switch);
    let ground = Element::Driver(base.driver, DriverPiece::GroundJoint);
    let row = |fault: &'static str, element, mode| (fault, Some(Fault::new(element, mode)));
    let series = |added| Mode::HighResistance(ohms(added));
    let leak = |to| Mode::ToGround(ohms(to));
    let rows = [
        ("healthy", None),
        row("primary open", Element::Primary(base.coil), Mode::Open),
        row("feed +0.5 Ω", feed, series(0.5)),
        row("feed +2 Ω", feed, series(2.0)),
        row("feed +20 Ω", feed, series(20.0)),
        row("control +5 Ω", control, series(5.0)),
        row("control open", control, Mode::Open),
        row("never on", switch, Mode::NeverOn),
        row("always on", switch, Mode::AlwaysOn),
        row(
            "always on, held at 6 A",
            switch,
            Mode::AlwaysOnLimited(Amps::lit(6.0)),
        ),
        row("leak 2 Ω", control, leak(2.0)),
        row("leak 5 Ω", control, leak(5.0)),
        row("leak 20 Ω", control, leak(20.0)),
        row("partly on 2.2 Ω", switch, Mode::PartlyOn(ohms(2.2))),
        row("leaky 8 Ω", switch, Mode::Leaky(ohms(8.0))),
        row("ground joint +2 Ω", ground, series(2.0)),
        row("ground joint +10 Ω", ground, series(10.0)),
        row("control to ground", control, leak(0.02)),
    ];
    let case = |fault, change, within| Case {
        map: "base coil",
        fault,
        harness: base.harness.clone(),
        change,
        rpm: 800.0,
        within,
        live: ["healthy", "feed +2 Ω", "leak 5 Ω", "clamp at 40 V"].contains(&fault),
    };
    let mut cases: Vec<Case> = rows
        .into_iter()
        .map(|(name, fault)| {
            let change = fault.map(|fault| alteration(&base.harness, &circuit, fault));
            case(name, change.unwrap_or_default(), 4e-3)
        })
        .collect();
    // A clamp that failed low keeps the primary's current up.
    let low = Alteration {
        drivers: vec![(base.driver, Switching::Clamp(40.0))],
        ..Alteration::default()
    };
    cases.push(case("clamp at 40 V", low, 8e-3));
    cases
}

/// A whole car, healthy and with three faults.
fn whole() -> Vec<Case> {
    let harness = sample("black-coupe");
    let circuit = circuit(&harness);
    let coil = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Coil(_)))
        .map(|(&id, _)| id)
        .unwrap();
    let feed = Element::Mated(Terminal {
        part: coil,
        port: Port::Feed,
    });
    let driver = harness.drivers().next().unwrap().1.id;
    let switch = Element::Driver(driver, DriverPiece::Switch);
    let ohms = Ohms::lit;
    let row = |fault: &'static str, element, mode| (fault, Some(Fault::new(element, mode)));
    let rows = [
        ("healthy", None),
        row(
            "one coil's feed contact +2 Ω",
            feed,
            Mode::HighResistance(ohms(2.0)),
        ),
        row("one driver leaks 8 Ω", switch, Mode::Leaky(ohms(8.0))),
        row(
            "one driver partly on 3 Ω",
            switch,
            Mode::PartlyOn(ohms(3.0)),
        ),
    ];
    rows.into_iter()
        .map(|(name, fault)| Case {
            map: "black-coupe",
            fault: name,
            harness: harness.clone(),
            change: fault.map_or_else(Alteration::default, |fault| {
                alteration(&harness, &circuit, fault)
            }),
            rpm: 800.0,
            within: 5e-3,
            live: fault.is_some_and(|fault| matches!(fault.mode, Mode::Leaky(_))),
        })
        .collect()
}

/// At speed: at 5000 turns a minute the six-cylinder's dwells follow each other closely, in the other two
/// those of coils on one feed overlap, and each coil is reckoned as if it were alone then.
fn overlapping() -> Vec<Case> {
    [
        ("black-coupe", 5000.0),
        ("black-coupe", 7500.0),
        ("silver-limousine", 3500.0),
    ]
    .into_iter()
    .map(|(map, rpm)| Case {
        map,
        fault: "healthy",
        harness: sample(map),
        change: Alteration::default(),
        rpm,
        within: 0.03,
        live: false,
    })
    .collect()
}

fn all() -> Vec<Case> {
    rows()
        .into_iter()
        .chain(whole())
        .chain(overlapping())
        .collect()
}

fn file() -> PathBuf {
    place::root().join("tests/kept/transients.json")
}

/// What is kept of one case.
fn kept(all: &Value, case: &Case) -> Vec<(String, f64)> {
    let cases = all["cases"].as_array().unwrap();
    let found = cases
        .iter()
        .find(|found| found["case"] == case.name())
        .unwrap_or_else(|| panic!("{} is not kept", case.name()));
    let averages = found["averages"].as_array().unwrap();
    averages
        .iter()
        .map(|pair| {
            let place = pair[0].as_str().unwrap().to_owned();
            (place, pair[1].as_f64().unwrap())
        })
        .collect()
}

/// Source: ngspice 39 (Debian), transient runs of the netlists that we print, averaged over one cycle after
/// two; kept in `tests/kept/transients.json` with the command that made them.
#[test]
fn every_kept_average_is_ours() {
    let all_kept: Value = serde_json::from_str(&std::fs::read_to_string(file()).unwrap()).unwrap();
    let cases = all();
    let of = |map: &str| cases.iter().filter(|case| case.map == map).count();
    assert!(of("base coil") >= 12 && of("black-coupe") >= 4);
    assert_eq!(all_kept["cases"].as_array().unwrap().len(), cases.len());
    for case in &cases {
        let ours = case.ours();
        let (place, volts) = apart(&ours, &kept(&all_kept, case));
        println!("{}: {:.2} mV at {place}", case.name(), volts * 1e3);
        assert!(volts < case.within, "{}: {volts} V at {place}", case.name());
    }
}

/// Source: the same, run now; and what is kept is what ngspice says.
#[test]
fn some_of_them_live() {
    let all_kept: Value = serde_json::from_str(&std::fs::read_to_string(file()).unwrap()).unwrap();
    let mut ran = 0;
    for case in all().iter().filter(|case| case.live) {
        let Some(theirs) = case.theirs() else { return };
        let ours = case.ours();
        let (place, volts) = apart(&ours, &theirs);
        assert!(volts < case.within, "{}: {volts} V at {place}", case.name());
        let (place, volts) = apart(&theirs, &kept(&all_kept, case));
        assert!(volts < 1e-3, "{}: kept otherwise at {place}", case.name());
        ran += 1;
    }
    assert_eq!(ran, 5);
}

/// Runs ngspice on every case and keeps what it says.
#[test]
#[ignore = "some minutes of ngspice; writes tests/kept/transients.json"]
fn keep() {
    let mut kept = Vec::new();
    for case in all() {
        let Some(theirs) = case.theirs() else { return };
        let averages: Vec<Value> = theirs
            .into_iter()
            .map(|(place, volts)| json!([place, (volts * 1e7).round() / 1e7]))
            .collect();
        println!("{}", case.name());
        kept.push(json!({ "case": case.name(), "averages": averages }));
    }
    let cases: Vec<String> = kept.iter().map(ToString::to_string).collect();
    let text = format!(
        "{{\n\"about\": {},\n\"made_by\": {},\n\"cases\": [\n{}\n]\n}}\n",
        json!(
            "Average voltage (V) of every terminal over one cycle, by transient runs of ngspice 39"
        ),
        json!(
            "cargo test -p sparktrail-tests --test electrics -- --ignored --exact transients::keep"
        ),
        cases.join(",\n")
    );
    std::fs::write(file(), text).unwrap();
}

/// Every single fault of a whole small car, live; takes some minutes:
/// `cargo test -p sparktrail-tests --test electrics -- --ignored --nocapture every_fault`
#[test]
#[ignore = "some minutes of ngspice"]
fn every_fault_of_a_whole_sample() {
    let harness = sample("red-twin");
    let circuit = circuit(&harness);
    let mut faults = graded_faults(&harness);
    // The netlist has one winding a coil: shorted turns are not in it.
    faults.retain(|fault| !matches!(fault.mode, Mode::TurnsShorted(_)));
    let mut wrong = Vec::new();
    let mut worst = 0.0_f64;
    for fault in &faults {
        let case = Case {
            map: "red-twin",
            fault: "one of all",
            harness: harness.clone(),
            change: alteration(&harness, &circuit, *fault),
            rpm: 800.0,
            within: 4e-3,
            live: false,
        };
        let Some(theirs) = case.theirs() else { return };
        let ours = case.ours();
        let (place, volts) = apart(&ours, &theirs);
        let told = format!(
            "{:.2} mV at {place}: {} {:?}",
            volts * 1e3,
            harness.element_name(fault.element),
            fault.mode
        );
        println!("{told}");
        worst = worst.max(volts);
        if volts >= case.within {
            wrong.push(told);
        }
    }
    assert!(faults.len() > 200, "{}", faults.len());
    assert!(wrong.is_empty(), "{wrong:#?}");
    println!(
        "{} faults, at most {:.2} mV apart",
        faults.len(),
        worst * 1e3
    );
}
