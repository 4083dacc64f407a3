//! Where to put a meter's leads, on the V6 sample: a healthy pin against a partly-on one, and every fault
//! against its own exact solution.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;
use std::sync::Arc;

use sparktrail_core::electrics::{
    Alteration, Assumptions, Circuit, Measure, OperatingPoint, Solution,
};
use sparktrail_core::faults::{
    Fault, Mode, Shown, USUAL_PARTLY_ON, alike, all_faults, expected, is_high_voltage, kicks,
    shifts, solve, tell_apart, usual_black, usual_setups, widths_apart,
};
use sparktrail_core::model::{
    BatteryLink, DriverPiece, Element, Harness, Port, Setup, Terminal, file,
};
use sparktrail_core::units::Volts;

fn sample(name: &str) -> Harness {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../sample-harnesses")
        .join(name);
    file::read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn v6() -> (Harness, Arc<Circuit>) {
    let harness = sample("black-coupe.json");
    let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
    (harness, circuit)
}

/// The first driver of the control unit, its transistor partly on, and the pin that it switches.
fn partly_on(harness: &Harness) -> (Fault, Terminal) {
    let (part, driver) = harness.drivers().next().unwrap();
    let pin = driver.output.unwrap().value;
    let element = Element::Driver(driver.id, DriverPiece::Switch);
    (
        Fault::new(element, Mode::PartlyOn(USUAL_PARTLY_ON)),
        Terminal {
            part,
            port: Port::Pin(pin),
        },
    )
}

fn volts(measure: Measure) -> f64 {
    match measure {
        Measure::Volts(volts) => volts.get(),
        Measure::Ohms(_) | Measure::Overload => panic!("{measure:?} is no voltage"),
    }
}

/// Expected: the signature table's shape. A healthy pin reads battery voltage at key-on and a few tenths
/// less at idle; a pin whose driver hangs partly on reads the divider of primary and transistor in both.
#[test]
fn a_healthy_and_a_partly_on_pin_of_the_v6() {
    let (harness, _) = v6();
    let (fault, pin) = partly_on(&harness);
    let black = usual_black(&harness).unwrap();
    assert_eq!(harness.part_name(black.part), "Engine ground");
    let read = |setup: &Setup, fault: Option<&Fault>| {
        volts(
            expected(&harness, setup, (pin, black), fault)
                .unwrap()
                .value,
        )
    };
    let key_on = read(&Setup::key_on(), None);
    let idling = read(&Setup::idling(), None);
    assert!((12.6..=12.8).contains(&key_on), "{key_on}");
    assert!(idling < key_on && idling > key_on - 0.5, "{idling}");
    // 3 Ω from pin to ground behind a primary of 0.55 Ω, a relay, a fuse and wire: 12.8 · 3 / (3 + 0.55 + …).
    let held = read(&Setup::key_on(), Some(&fault));
    assert!((10.2..10.85).contains(&held), "{held}");
    assert!((read(&Setup::idling(), Some(&fault)) - held).abs() < 0.15);
}

#[test]
fn the_leads_that_tell_a_partly_on_driver_from_a_healthy_one() {
    let (harness, circuit) = v6();
    let (fault, pin) = partly_on(&harness);
    let setups = usual_setups(&harness);
    let found = tell_apart(&harness, &circuit, [None, Some(fault)], &setups, 8);
    assert!(!found.is_empty());
    // Key on comes first, with nothing turning and nothing unplugged, at the pin itself or the coil's 1.
    let first = &found[0];
    assert_eq!(first.setup, Setup::key_on());
    let read = |red, black, fault: Option<&Fault>, setup: &Setup| {
        expected(&harness, setup, (red, black), fault)
            .unwrap()
            .value
    };
    for apart in &found {
        // What is listed is what the solver says, and no band meets the other.
        assert_eq!(
            apart.first.value,
            read(apart.red, apart.black, None, &apart.setup)
        );
        assert_eq!(
            apart.second.value,
            read(apart.red, apart.black, Some(&fault), &apart.setup)
        );
        assert!(apart.widths > 1.0);
        let live = apart.setup.battery == BatteryLink::Connected;
        let high = is_high_voltage(apart.red.port) || is_high_voltage(apart.black.port);
        assert!(!(live && high), "a meter on the high-voltage side");
    }
    let at_pin = found
        .iter()
        .find(|apart| apart.setup == Setup::key_on() && [apart.red, apart.black].contains(&pin));
    let alike = first.red.port == Port::Switched || first.red == pin;
    assert!(alike || at_pin.is_some(), "{first:?}");
}

/// A leak of the wire and a transistor that hangs partly on read the same at the pin with the key on;
/// with the unit unplugged they part: the wire stays low or rises.
#[test]
fn a_leaking_wire_is_told_from_a_driver_by_unplugging_the_unit() {
    let (harness, circuit) = v6();
    let (fault, pin) = partly_on(&harness);
    let (wire, _) = harness
        .wires
        .iter()
        .find(|(_, wire)| {
            [wire.from, wire.to]
                .iter()
                .flatten()
                .any(|end| end.value == pin)
        })
        .unwrap();
    let leak = Fault::new(Element::Wire(*wire), Mode::ToGround(USUAL_PARTLY_ON));
    let setups = usual_setups(&harness);
    let found = tell_apart(&harness, &circuit, [Some(fault), Some(leak)], &setups, 8);
    assert!(!found.is_empty());
    let unplugged = found
        .iter()
        .filter(|apart| !apart.setup.unplugged.is_empty());
    assert!(unplugged.count() > 0, "{found:#?}");
    let key_on = solve(&harness, &Setup::key_on(), Some(&fault));
    let with_leak = solve(&harness, &Setup::key_on(), Some(&leak));
    let black = usual_black(&harness).unwrap();
    let a = volts(key_on.shows(pin, black).unwrap().0);
    let b = volts(with_leak.shows(pin, black).unwrap().0);
    assert!((a - b).abs() < 0.2, "{a} and {b}");
}

/// The quick search over all faults against one exact solution each.
#[test]
fn every_shift_is_what_the_exact_solution_reads() {
    let (harness, circuit) = v6();
    let (fault, pin) = partly_on(&harness);
    let black = usual_black(&harness).unwrap();
    for setup in [Setup::key_on(), Setup::idling(), Setup::battery_off()] {
        let point = Arc::new(OperatingPoint::of(&circuit, &setup));
        let healthy = Solution::of(&circuit, &setup, &Alteration::default());
        let (value, band) = healthy.shows(pin, black).unwrap();
        let healthy = Shown { value, band };
        let faults = all_faults(&harness);
        let found = shifts(&harness, &point, (pin, black), healthy, &faults);
        assert!(found.len() > 100, "{}", found.len());
        for shift in &found {
            let exact = solve(&harness, &setup, Some(&shift.fault))
                .shows(pin, black)
                .unwrap()
                .0;
            match (exact, shift.value) {
                (Measure::Volts(a), Measure::Volts(b)) => {
                    assert!((a.get() - b.get()).abs() < 2e-3, "{shift:?}: {a}");
                }
                (a, b) => assert_eq!(a, b, "{shift:?}"),
            }
        }
        let groups = alike(found.clone(), healthy);
        assert!(groups.windows(2).all(|two| two[0].widths >= two[1].widths));
        let grouped: usize = groups.iter().map(|group| group.faults.len()).sum();
        let felt = found.iter().filter(|shift| shift.widths > 0.5).count();
        assert_eq!(grouped, felt);
        let holds_it = groups.iter().any(|group| group.faults.contains(&fault));
        assert!(holds_it, "{setup:?}");
    }
}

#[test]
fn a_width_apart_is_the_mean_of_the_two_bands() {
    let shown = |volts: f64, half: f64| Shown {
        value: Measure::Volts(Volts::lit(volts)),
        band: (volts - half, volts + half),
    };
    assert!((widths_apart(shown(12.8, 0.2), shown(10.6, 0.2)) - 5.5).abs() < 1e-9);
    assert!((widths_apart(shown(12.8, 0.3), shown(12.4, 0.1)) - 1.0).abs() < 1e-9);
    let open = Shown {
        value: Measure::Overload,
        band: (2e6, f64::MAX),
    };
    assert!(widths_apart(open, shown(0.5, 0.3)).is_finite());
    assert!(widths_apart(open, open) < 1e-9);
}

/// From a coil's switched terminal to the pin of its driver, each terminal on the way, and nothing else, meets the
/// kick of the coil.
///
/// Source: the low end of a primary rises to the driver's clamp when it is switched off (250 to 350 V or more,
/// an electronics article).
#[test]
fn a_coil_kicks_on_its_switched_wire_and_nowhere_else() {
    let harness = sample("white-cruiser.json");
    let outputs: Vec<Terminal> = harness
        .drivers()
        .filter_map(|(part, driver)| {
            let port = Port::Pin(driver.output?.value);
            Some(Terminal { part, port })
        })
        .collect();
    assert_eq!(outputs.len(), 4);
    let mut kicking = Vec::new();
    for part in harness.parts.keys() {
        kicking.extend(
            harness
                .terminals_of(*part)
                .into_iter()
                .filter(|terminal| kicks(&harness, *terminal)),
        );
    }
    let ports = |wanted: fn(Port) -> bool| kicking.iter().filter(|t| wanted(t.port)).count();
    assert!(outputs.iter().all(|pin| kicking.contains(pin)));
    assert_eq!(ports(|port| port == Port::Switched), 4);
    assert_eq!(ports(|port| matches!(port, Port::Pin(_))), 4);
    // Both sides of the cavities on the four wires.
    let cavities = ports(|port| matches!(port, Port::Cavity(..)));
    assert!(cavities >= 8 && cavities.is_multiple_of(2), "{cavities}");
    assert_eq!(kicking.len(), 8 + cavities, "{kicking:?}");
}
