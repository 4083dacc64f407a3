//! Faults that read alike at one pin, and what parts them, on the base coil against figures worked out by hand.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::Arc;

use super::base_coil::UNIT_SIDE;
use super::*;
use crate::model::{DriverPiece, Element, EngineState, Setup};
use crate::topology::Node;
use crate::units::{Rpm, Seconds};

/// The battery of the base coil, V.
const BATTERY: f64 = 12.8;

struct Bench {
    base: BaseCoil,
    circuit: Arc<Circuit>,
}

impl Bench {
    fn with(assumptions: &Assumptions) -> Self {
        let base = BaseCoil::new();
        let circuit = Arc::new(Circuit::of(&base.harness, assumptions));
        Self { base, circuit }
    }

    /// Volts at the unit's pin, and at the coil's terminal 1.
    fn volts(&self, setup: &Setup, change: &Alteration) -> (f64, f64) {
        let solution = Solution::of(&self.circuit, setup, change);
        let at = |terminal| solution.volts_between(terminal, self.base.minus);
        (
            at(self.base.pin).unwrap().get(),
            at(self.base.low).unwrap().get(),
        )
    }

    fn series(&self, element: Element, ohms: f64) -> Alteration {
        let branches = self.circuit.branches_of(element);
        Alteration {
            edits: branches.map(|at| (at, Edit::Series(ohms))).collect(),
            ..Alteration::default()
        }
    }

    fn unplugged(&self) -> Setup {
        let unit = self.base.pin.part;
        Setup {
            unplugged: std::iter::once(unit).collect(),
            ..Setup::key_on()
        }
    }
}

/// A loop's direct current by hand: what 12.8 V leave at the low end of 0.62 Ω over so many ohms.
fn divided(ohms: f64) -> f64 {
    BATTERY * ohms / (0.62 + ohms)
}

/// Source: Ohm's law over battery and harness (0.12 Ω), primary (0.5 Ω) and what goes to ground.
#[test]
fn ten_volts_from_a_driver_that_is_partly_on_or_from_a_leak() {
    let bench = Bench::with(&Assumptions::default());
    let base = &bench.base;
    let place = |node| bench.circuit.place(node).unwrap();
    let partly = Alteration {
        bridges: vec![(
            place(Node::Collector(base.driver)),
            place(Node::Emitter(base.driver)),
            2.2 - UNIT_SIDE,
        )],
        drivers: vec![(base.driver, Switching::Never)],
        ..Alteration::default()
    };
    let minus = bench.circuit.terminal(base.minus).unwrap();
    let leak = Alteration {
        bridges: vec![(bench.circuit.terminal(base.low).unwrap(), minus, 2.2)],
        ..Alteration::default()
    };
    for change in [&partly, &leak] {
        let (pin, _) = bench.volts(&Setup::key_on(), change);
        assert!((pin - divided(2.2)).abs() < 0.03, "{pin}");
    }
    // The unit unplugged: the wire rises where the fault is inside it, and stays low where it is not.
    let (_, inside) = bench.volts(&bench.unplugged(), &partly);
    let (_, outside) = bench.volts(&bench.unplugged(), &leak);
    assert!((inside - BATTERY).abs() < 0.01, "{inside}");
    assert!((outside - divided(2.2)).abs() < 0.03, "{outside}");
}

/// Source: Ohm's law: 3 MΩ before a meter of 10 MΩ, and before a lamp of 24 Ω.
#[test]
fn ten_volts_from_a_feed_of_megohms_that_a_lamp_pulls_down() {
    let bench = Bench::with(&Assumptions::default());
    let feed = bench.series(Element::Wire(bench.base.feed), 3e6);
    let (pin, _) = bench.volts(&Setup::key_on(), &feed);
    // The damp and dust that each terminal is reckoned with (1 nS) draws a little as well.
    assert!((pin - BATTERY * 10.0 / 13.0).abs() < 0.25, "{pin}");
    let terminal = |at| bench.circuit.terminal(at).unwrap();
    let lamp = Alteration {
        bridges: vec![(terminal(bench.base.pin), terminal(bench.base.minus), 24.0)],
        ..feed
    };
    let (pin, _) = bench.volts(&Setup::key_on(), &lamp);
    assert!(pin < 0.01, "{pin}");
}

/// Source: the average-value model of a switched coil: key-on says nothing of timing; the average falls
/// with the share of the time for which the driver is on, and so with speed.
#[test]
fn a_dwell_far_too_long_is_normal_at_key_on_and_falls_with_speed() {
    let bench = Bench::with(&Assumptions {
        dwell: Seconds::lit(0.02),
        ..Assumptions::default()
    });
    let none = Alteration::default();
    let (still, _) = bench.volts(&Setup::key_on(), &none);
    assert!((still - BATTERY).abs() < 0.005, "{still}");
    let at = |rpm| {
        let engine = EngineState::Running(Rpm::lit(rpm));
        let setup = Setup {
            engine,
            ..Setup::idling()
        };
        bench.volts(&setup, &none).0
    };
    let (slow, idle, fast) = (at(600.0), at(800.0), at(1600.0));
    assert!(slow > idle && idle > fast, "{slow} {idle} {fast}");
    assert!((9.5..11.5).contains(&idle), "{idle}");
}

/// Whatever stands in series, a pin that switches idles between the battery and what it would read if the
/// driver were a piece of wire for the whole dwell.
///
/// Source: the average of dλ/dt is zero in periodic steady state: V_bat − D·(V_bat − V_ce) ≤ V_pin ≤ V_bat.
#[test]
fn any_series_resistance_keeps_the_pin_within_its_bound() {
    let bench = Bench::with(&Assumptions::default());
    let driver = Element::Driver(bench.base.driver, DriverPiece::GroundJoint);
    let (feed, control) = (bench.base.feed, bench.base.control);
    let share = nominal::DWELL.value / 0.075;
    let least = BATTERY - share * (BATTERY - nominal::DRIVER_VOLTAGE.value);
    for element in [Element::Wire(feed), Element::Wire(control), driver] {
        for ohms in [0.0, 0.1, 0.5, 2.0, 5.0, 20.0, 100.0, 1000.0] {
            let (pin, _) = bench.volts(&Setup::idling(), &bench.series(element, ohms));
            assert!(
                (least - 0.002..=BATTERY + 1e-6).contains(&pin),
                "{element:?} +{ohms} Ω: {pin} outside {least} to {BATTERY}"
            );
        }
    }
}
