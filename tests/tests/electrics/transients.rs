//! Averages over a cycle with the engine idling, against transient runs of ngspice.

use std::collections::BTreeMap;

use sparktrail_core::electrics::{Alteration, BaseCoil, Solution, Switching};
use sparktrail_core::faults::{Fault, Mode, alteration};
use sparktrail_core::model::{DriverPiece, Element, Harness, PartKind, Setup, Terminal};
use sparktrail_core::units::Ohms;
use sparktrail_tests::outside;

use super::cases::{circuit, clamped, every_fault, sample};

/// Largest distance between our averages and those of ngspice over all nodes, V; `None` without ngspice.
fn apart(name: &str, harness: &Harness, change: Alteration) -> Option<f64> {
    let circuit = circuit(harness);
    let solution = Solution::of(&circuit, &Setup::idling(), &clamped(harness, change));
    let answer = outside::ngspice_says(&solution.netlist(name))?;
    let found: BTreeMap<&str, f64> = answer
        .lines()
        .filter_map(|line| {
            let (node, rest) = line.split_once('=')?;
            Some((node.trim(), rest.split_whitespace().next()?.parse().ok()?))
        })
        .collect();
    let mut worst = 0.0_f64;
    for place in 0..circuit.len() {
        let node = format!("a{place}");
        let theirs = found
            .get(node.as_str())
            .unwrap_or_else(|| panic!("no {node}:\n{answer}"));
        worst = worst.max((solution.volts()[place] - theirs).abs());
    }
    Some(worst)
}

fn fault(element: Element, mode: Mode) -> Option<Fault> {
    Some(Fault::new(element, mode))
}

/// Source: ngspice 39 (Debian), transient run of the netlist that we print, averaged over one cycle after
/// two; rows of the signature table. ngspice steps in time, so a few millivolts are its own.
#[test]
fn rows_of_the_signature_table() {
    let base = BaseCoil::new();
    let ohms = Ohms::lit;
    let feed = Element::Wire(base.feed);
    let control = Element::Wire(base.control);
    let piece = |piece| Element::Driver(base.driver, piece);
    let rows = [
        ("healthy", None),
        (
            "primary open",
            fault(Element::Primary(base.coil), Mode::Open),
        ),
        ("feed +0.5 Ω", fault(feed, Mode::HighResistance(ohms(0.5)))),
        ("feed +2 Ω", fault(feed, Mode::HighResistance(ohms(2.0)))),
        ("feed +20 Ω", fault(feed, Mode::HighResistance(ohms(20.0)))),
        (
            "control +5 Ω",
            fault(control, Mode::HighResistance(ohms(5.0))),
        ),
        ("control open", fault(control, Mode::Open)),
        ("never on", fault(piece(DriverPiece::Switch), Mode::NeverOn)),
        (
            "always on",
            fault(piece(DriverPiece::Switch), Mode::AlwaysOn),
        ),
        ("leak 2 Ω", fault(control, Mode::ToGround(ohms(2.0)))),
        ("leak 5 Ω", fault(control, Mode::ToGround(ohms(5.0)))),
        ("leak 20 Ω", fault(control, Mode::ToGround(ohms(20.0)))),
        (
            "partly on 2.2 Ω",
            fault(piece(DriverPiece::Switch), Mode::PartlyOn(ohms(2.2))),
        ),
        (
            "leaky 8 Ω",
            fault(piece(DriverPiece::Switch), Mode::Leaky(ohms(8.0))),
        ),
        (
            "ground joint +2 Ω",
            fault(
                piece(DriverPiece::GroundJoint),
                Mode::HighResistance(ohms(2.0)),
            ),
        ),
        (
            "ground joint +10 Ω",
            fault(
                piece(DriverPiece::GroundJoint),
                Mode::HighResistance(ohms(10.0)),
            ),
        ),
        (
            "control to ground",
            fault(control, Mode::ToGround(ohms(0.02))),
        ),
    ];
    let circuit = circuit(&base.harness);
    for (name, fault) in rows {
        let change = fault.map_or_else(Alteration::default, |f| {
            alteration(&base.harness, &circuit, f)
        });
        let Some(worst) = apart(name, &base.harness, change) else {
            return;
        };
        println!("{name}: {:.2} mV", worst * 1e3);
        assert!(worst < 4e-3, "{name}: {worst} V apart");
    }
    // A clamp that failed low keeps the primary's current up.
    let low = Alteration {
        drivers: vec![(base.driver, Switching::Clamp(40.0))],
        ..Alteration::default()
    };
    let Some(worst) = apart("clamp at 40 V", &base.harness, low) else {
        return;
    };
    println!("clamp at 40 V: {:.2} mV", worst * 1e3);
    assert!(worst < 8e-3, "clamp at 40 V: {worst} V apart");
}

/// Source: ngspice 39 (Debian), as above, for a whole car, healthy and with three faults.
#[test]
fn a_whole_sample() {
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
        port: sparktrail_core::model::Port::Feed,
    });
    let driver = harness.drivers().next().unwrap().1.id;
    let switch = Element::Driver(driver, DriverPiece::Switch);
    for (name, fault) in [
        ("healthy", None),
        (
            "one coil's feed contact +2 Ω",
            fault(feed, Mode::HighResistance(Ohms::lit(2.0))),
        ),
        (
            "one driver leaks 8 Ω",
            fault(switch, Mode::Leaky(Ohms::lit(8.0))),
        ),
        (
            "one driver partly on 3 Ω",
            fault(switch, Mode::PartlyOn(Ohms::lit(3.0))),
        ),
    ] {
        let change = fault.map_or_else(Alteration::default, |f| alteration(&harness, &circuit, f));
        let Some(worst) = apart(name, &harness, change) else {
            return;
        };
        println!("{name}: {:.2} mV", worst * 1e3);
        assert!(worst < 5e-3, "{name}: {worst} V apart");
    }
}

/// Every single fault of a whole sample; takes some minutes:
/// `cargo test --release -p sparktrail-tests --test electrics -- --ignored --nocapture`
#[test]
#[ignore = "some minutes of ngspice"]
fn every_fault_of_a_whole_sample() {
    let harness = sample("black-coupe");
    let circuit = circuit(&harness);
    let mut all = Vec::new();
    for fault in every_fault(&harness) {
        let name = format!("{} {:?}", harness.element_name(fault.element), fault.mode);
        let Some(worst) = apart(&name, &harness, alteration(&harness, &circuit, fault)) else {
            return;
        };
        println!("{:.2} mV  {name}", worst * 1e3);
        all.push((worst, name));
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (worst, name) in all.iter().take(40) {
        println!("{:.2} mV  {name}", worst * 1e3);
    }
}
