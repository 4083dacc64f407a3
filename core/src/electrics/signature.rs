//! The signatures of single faults on one double-ended coil, against figures simulated with ngspice 39.3.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::Arc;

use super::base_coil::UNIT_SIDE;
use super::*;
use crate::model::{DriverPiece, Element, Port, Setup, Terminal};
use crate::topology::Node;
use crate::units::Henries;

/// The needs that the simulation had: 12 kV at compression, 2 kV at exhaust.
const DEMAND: Demand = Demand::Fixed {
    compression: 12.0,
    exhaust: 2.0,
};

struct Row {
    name: &'static str,
    key_on: f64,
    idle: f64,
    /// How far key-on and idle may be off, V. The simulation's driver was a diode, ours is a straight
    /// line: where many amperes flow for long that shows.
    within: f64,
    spark: &'static [SparkState],
    kilovolts: f64,
    /// How far the kilovolts may be off, as a share: the formulas are approximate, and how tightly the
    /// simulation coupled shorted turns is not recorded. What is far below the need may be off more: near
    /// the exhaust plug's own 2 kV all hangs on whether that plug has sparked yet, and so on how the towers
    /// share the capacitance. At +20 Ω ngspice gives 1.8 to 2.4 kV, see the outside check of secondaries.
    roughly: f64,
    amps: f64,
    alteration: Alteration,
}

fn rows(bench: &BaseCoil, circuit: &Circuit) -> Vec<Row> {
    use SparkState::{Doubtful, No, Weak, Yes};
    let edit = |element, edit| Alteration {
        edits: circuit.branches_of(element).map(|at| (at, edit)).collect(),
        ..Alteration::default()
    };
    let pin = circuit.terminal(bench.pin).unwrap();
    let minus = circuit.terminal(bench.minus).unwrap();
    let leak = |ohms| Alteration {
        bridges: vec![(pin, minus, ohms)],
        ..Alteration::default()
    };
    let partly = |ohms| {
        let (c, e) = (Node::Collector(bench.driver), Node::Emitter(bench.driver));
        Alteration {
            bridges: vec![(
                circuit.place(c).unwrap(),
                circuit.place(e).unwrap(),
                ohms - UNIT_SIDE,
            )],
            drivers: vec![(bench.driver, Switching::Never)],
            ..Alteration::default()
        }
    };
    let ground = Element::Driver(bench.driver, DriverPiece::GroundJoint);
    let switching = |how| Alteration {
        drivers: vec![(bench.driver, how)],
        ..Alteration::default()
    };
    let turns = |share| Alteration {
        shorted: vec![(bench.coil, share)],
        ..edit(Element::Primary(bench.coil), Edit::Share(1.0 - share))
    };
    let high = |fault| Alteration {
        high: vec![fault],
        ..Alteration::default()
    };
    let fouled = |ohms| high(HighFault::Shunt(HighPlace::Plug(bench.plugs[0]), ohms));
    let lead = |ohms| high(HighFault::Series(HighPlace::Lead(bench.leads[0]), ohms));
    let feed = Element::Wire(bench.feed);
    let row = |name, key_on, idle, within, spark, kilovolts, roughly, amps, alteration| Row {
        name,
        key_on,
        idle,
        within,
        spark,
        kilovolts,
        roughly,
        amps,
        alteration,
    };
    vec![
        row(
            "healthy",
            12.80,
            12.694,
            0.005,
            &[Yes],
            39.0,
            0.05,
            0.171,
            Alteration::default(),
        ),
        row(
            "primary open",
            0.0,
            0.0,
            0.005,
            &[No],
            0.0,
            0.0,
            0.0,
            edit(Element::Primary(bench.coil), Edit::Open),
        ),
        row(
            "feed open",
            0.0,
            0.0,
            0.005,
            &[No],
            0.0,
            0.0,
            0.0,
            edit(feed, Edit::Open),
        ),
        row(
            "feed +0.5 Ω",
            12.80,
            12.63,
            0.01,
            &[Yes],
            36.0,
            0.08,
            0.15,
            edit(feed, Edit::Series(0.5)),
        ),
        row(
            "control wire +2 Ω",
            12.80,
            12.51,
            0.01,
            &[Yes],
            24.0,
            0.05,
            0.11,
            edit(Element::Wire(bench.control), Edit::Series(2.0)),
        ),
        row(
            "feed +2 Ω",
            12.80,
            12.51,
            0.01,
            &[Yes],
            24.0,
            0.05,
            0.11,
            edit(feed, Edit::Series(2.0)),
        ),
        row(
            "feed +5 Ω",
            12.80,
            12.42,
            0.01,
            &[Doubtful],
            12.6,
            0.05,
            0.07,
            edit(feed, Edit::Series(5.0)),
        ),
        row(
            "feed +20 Ω",
            12.80,
            12.35,
            0.01,
            &[No],
            2.4,
            0.3,
            0.02,
            edit(feed, Edit::Series(20.0)),
        ),
        row(
            "control wire open",
            0.0,
            0.0,
            0.005,
            &[No],
            0.0,
            0.0,
            0.0,
            edit(Element::Wire(bench.control), Edit::Open),
        ),
        row(
            "driver never on",
            12.80,
            12.80,
            0.005,
            &[No],
            0.0,
            0.0,
            0.0,
            switching(Switching::Never),
        ),
        row(
            "driver ground joint open",
            12.80,
            12.80,
            0.005,
            &[No],
            0.0,
            0.0,
            0.0,
            edit(ground, Edit::Open),
        ),
        row(
            "driver always on",
            2.46,
            2.46,
            0.05,
            &[No],
            0.0,
            0.0,
            16.7,
            switching(Switching::Always),
        ),
        row(
            "leak 2 Ω",
            9.77,
            9.63,
            0.02,
            &[No],
            1.2,
            0.15,
            5.1,
            leak(2.0),
        ),
        row(
            "leak 5 Ω",
            11.39,
            11.26,
            0.02,
            &[No],
            3.7,
            0.35,
            2.5,
            leak(5.0),
        ),
        row(
            "leak 20 Ω",
            12.42,
            12.30,
            0.02,
            &[Doubtful],
            12.6,
            0.35,
            0.8,
            leak(20.0),
        ),
        row(
            "partly on 1 Ω",
            7.90,
            7.90,
            0.06,
            &[No],
            0.0,
            0.0,
            7.9,
            partly(1.0),
        ),
        row(
            "partly on 2 Ω",
            9.77,
            9.77,
            0.03,
            &[No],
            0.0,
            0.0,
            4.9,
            partly(2.0),
        ),
        row(
            "partly on 2.2 Ω",
            9.99,
            9.99,
            0.03,
            &[No],
            0.0,
            0.0,
            4.5,
            partly(2.2),
        ),
        row(
            "partly on 3 Ω",
            10.61,
            10.61,
            0.03,
            &[No],
            0.0,
            0.0,
            3.5,
            partly(3.0),
        ),
        row(
            "partly on 5 Ω",
            11.39,
            11.39,
            0.02,
            &[No],
            0.0,
            0.0,
            2.3,
            partly(5.0),
        ),
        row(
            "ground joint +0.5 Ω",
            12.80,
            12.71,
            0.01,
            &[Yes],
            36.0,
            0.08,
            0.15,
            edit(ground, Edit::Series(0.5)),
        ),
        row(
            "ground joint +2 Ω",
            12.80,
            12.73,
            0.01,
            &[Yes],
            24.0,
            0.05,
            0.11,
            edit(ground, Edit::Series(2.0)),
        ),
        row(
            "ground joint +10 Ω",
            12.80,
            12.78,
            0.01,
            &[No],
            6.5,
            0.05,
            0.04,
            edit(ground, Edit::Series(10.0)),
        ),
        row(
            "control wire to ground",
            0.40,
            0.40,
            0.005,
            &[No],
            0.0,
            0.0,
            20.0,
            leak(0.02),
        ),
        row(
            "turns shorted 5 %",
            12.80,
            12.68,
            0.02,
            &[No, Doubtful],
            10.0,
            0.1,
            0.20,
            turns(0.05),
        ),
        row(
            "turns shorted 10 %",
            12.80,
            12.66,
            0.02,
            &[No],
            6.6,
            0.1,
            0.24,
            turns(0.10),
        ),
        row(
            "turns shorted 30 %",
            12.80,
            12.59,
            0.03,
            &[No],
            5.1,
            0.1,
            0.44,
            turns(0.30),
        ),
        row(
            "clamp at 40 V",
            12.80,
            12.67,
            0.01,
            &[No],
            4.0,
            1.0,
            0.22,
            switching(Switching::Clamp(40.0)),
        ),
        row(
            "fouled 1 MΩ",
            12.80,
            12.69,
            0.01,
            &[Yes],
            31.0,
            0.08,
            0.17,
            fouled(1e6),
        ),
        row(
            "fouled 100 kΩ",
            12.80,
            12.69,
            0.01,
            &[No],
            8.0,
            0.08,
            0.17,
            fouled(1e5),
        ),
        row(
            "fouled 10 kΩ",
            12.80,
            12.69,
            0.01,
            &[No],
            0.9,
            0.08,
            0.17,
            fouled(1e4),
        ),
        row(
            "lead +100 kΩ",
            12.80,
            12.69,
            0.01,
            &[Weak],
            39.0,
            0.05,
            0.17,
            lead(1e5),
        ),
        row(
            "lead +1 MΩ",
            12.80,
            12.70,
            0.02,
            &[Weak],
            36.0,
            0.1,
            0.17,
            lead(1e6),
        ),
    ]
}

/// Source: ngspice 39.3, transient runs of the base coil with one fault each; tolerances stand in the rows.
#[test]
fn signatures_of_single_faults() {
    let bench = BaseCoil::new();
    let circuit = Arc::new(Circuit::of(&bench.harness, &Assumptions::default()));
    let mut wrong = Vec::new();
    for row in rows(&bench, &circuit) {
        let still = Solution::of(&circuit, &Setup::key_on(), &row.alteration);
        let idling = Solution::of(&circuit, &Setup::idling(), &row.alteration);
        let key_on = still.volts_between(bench.pin, bench.minus).unwrap().get();
        let idle = idling.volts_between(bench.pin, bench.minus).unwrap().get();
        let sparks = idling.sparks(&bench.harness, DEMAND);
        let event = sparks
            .iter()
            .find(|p| p.plug == bench.plugs[0])
            .unwrap()
            .compression;
        let state = event.map_or(SparkState::No, |e| e.state);
        let kilovolts = event.map_or(0.0, |e| e.available_kv);
        let off = |found: f64, wanted: f64, within: f64| (found - wanted).abs() > within;
        let off_kv = if row.kilovolts > 0.0 {
            off(kilovolts, row.kilovolts, row.roughly * row.kilovolts)
        } else {
            false
        };
        let amps = idling
            .currents()
            .next()
            .map_or(0.0, |(_, _, average)| average.get());
        let switching_amps = !matches!(state, SparkState::No) || row.amps < 0.3;
        let off_amps =
            switching_amps && row.kilovolts > 5.0 && off(amps, row.amps, 0.1 * row.amps + 0.006);
        println!(
            "{:28} key {key_on:7.3} ({:6.2}) idle {idle:7.3} ({:6.2}) {state:?} {kilovolts:6.2} kV ({:5.1}) {amps:.3} A ({})",
            row.name, row.key_on, row.idle, row.kilovolts, row.amps
        );
        if off(key_on, row.key_on, row.within)
            || off(idle, row.idle, row.within)
            || !row.spark.contains(&state)
            || off_kv
            || off_amps
        {
            wrong.push(row.name);
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// Source: ngspice 39.3 on the base coil: peak 7.716 A, ½LI² 104 mJ, average 0.1710 A, feed 12.7795 V.
#[test]
fn the_base_coil() {
    let bench = BaseCoil::new();
    let circuit = Arc::new(Circuit::of(&bench.harness, &Assumptions::default()));
    let idling = Solution::of(&circuit, &Setup::idling(), &Alteration::default());
    let (_, peak, average) = idling.currents().next().unwrap();
    assert!((peak.get() - 7.716).abs() < 0.02, "{peak}");
    assert!((average.get() - 0.1710).abs() < 0.0015, "{average}");
    let feed = idling
        .volts_between(
            Terminal {
                part: bench.coil,
                port: Port::Feed,
            },
            bench.minus,
        )
        .unwrap();
    assert!((feed.get() - 12.7795).abs() < 0.002, "{feed}");
    let stored = energy(Henries::lit(0.0035), peak);
    assert!((stored.get() - 0.104).abs() < 0.001, "{stored}");
    // The coil's side of an open control wire stays at the battery's voltage.
    let alteration = Alteration {
        edits: circuit
            .branches_of(Element::Wire(bench.control))
            .map(|at| (at, Edit::Open))
            .collect(),
        ..Alteration::default()
    };
    let open = Solution::of(&circuit, &Setup::idling(), &alteration);
    assert!((open.volts_between(bench.low, bench.minus).unwrap().get() - 12.80).abs() < 0.001);
    // The partner of a fouled plug always sparks.
    let fouled = Alteration {
        high: vec![HighFault::Shunt(HighPlace::Plug(bench.plugs[0]), 1e4)],
        ..Alteration::default()
    };
    let idling = Solution::of(&circuit, &Setup::idling(), &fouled);
    let sparks = idling.sparks(&bench.harness, DEMAND);
    assert_eq!(sparks[1].at_work(), SparkState::Yes);
    assert_eq!(sparks[0].at_work(), SparkState::No);
    // One lead open: its own cylinder is dead, its companion in doubt.
    let broken = Alteration {
        high: vec![HighFault::Broken(HighPlace::Lead(bench.leads[0]))],
        ..Alteration::default()
    };
    let sparks = Solution::of(&circuit, &Setup::idling(), &broken).sparks(&bench.harness, DEMAND);
    assert_eq!(
        (sparks[0].at_work(), sparks[1].at_work()),
        (SparkState::No, SparkState::Doubtful)
    );
}
