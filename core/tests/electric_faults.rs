//! What single faults do to the readings of a whole car, where no table of signatures tells it.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
use sparktrail_core::edit::{Command, FactAt, apply};
use sparktrail_core::electrics::{Measure, Solution};
use sparktrail_core::engine::{Layout, Strokes};
use sparktrail_core::faults::{Fault, Mode, expected, solve, usual_black};
use sparktrail_core::model::{
    DriverPiece, Element, Harness, PartId, PartKind, Port, Setup, Terminal, WireId,
};
use sparktrail_core::provenance::Fact;
use sparktrail_core::units::Amps;

fn four() -> Harness {
    let engine = propose_engine(4, Layout::Inline, Strokes::Four);
    build(&Plan::new("Test", engine)).unwrap()
}

fn parts(harness: &Harness, wanted: fn(&PartKind) -> bool) -> Vec<PartId> {
    let all = harness.parts.iter();
    all.filter(|(_, part)| wanted(&part.kind))
        .map(|(&id, _)| id)
        .collect()
}

/// The first driver's pin, and the wire on it.
fn pin_and_wire(harness: &Harness) -> (Terminal, WireId) {
    let (part, driver) = harness.drivers().next().unwrap();
    let pin = Terminal {
        part,
        port: Port::Pin(driver.output.unwrap().value),
    };
    let mut wires = harness.wires.iter();
    let (&wire, _) = wires
        .find(|(_, wire)| {
            let mut ends = [wire.from, wire.to].into_iter().flatten();
            ends.any(|end| end.value == pin)
        })
        .unwrap();
    (pin, wire)
}

/// Seen on any car: a lead of some kilohms joins its tower to its plug. With two leads on each other's plugs the
/// ohmmeter finds each tower at the wrong one.
#[test]
fn an_ohmmeter_finds_crossed_leads() {
    let harness = four();
    let leads = parts(&harness, |kind| matches!(kind, PartKind::Lead(_)));
    let ends = |lead: PartId| {
        let lead = harness.lead(lead).unwrap();
        (lead.from.unwrap().value, lead.to.unwrap().value)
    };
    let (mine, other) = leads
        .iter()
        .flat_map(|&a| leads.iter().map(move |&b| (a, b)))
        .find(|&(a, b)| ends(a).0.part != ends(b).0.part)
        .unwrap();
    let fault = Fault::new(Element::LeadConductor(mine), Mode::CrossedWith(other));
    let off = Setup::battery_off();
    let healthy = solve(&harness, &off, None);
    let crossed = solve(&harness, &off, Some(&fault));
    let ((tower, plug), (other_tower, other_plug)) = (ends(mine), ends(other));
    for (from, own, wrong) in [(tower, plug, other_plug), (other_tower, other_plug, plug)] {
        let ohms = |solution: &Solution, to| solution.ohms_between(from, to).unwrap();
        let lead = ohms(&healthy, own).unwrap();
        assert!((1e3..2e4).contains(&lead.get()), "{lead}");
        assert_eq!(ohms(&healthy, wrong), None);
        assert_eq!(ohms(&crossed, own), None);
        assert!((ohms(&crossed, wrong).unwrap().get() - lead.get()).abs() < 1e-3 * lead.get());
    }
    // A voltmeter at the coil's low-voltage side sees nothing of it.
    let black = usual_black(&harness).unwrap();
    let (pin, _) = pin_and_wire(&harness);
    let idling = Setup::idling();
    let reads = |fault: Option<&Fault>| {
        let solution = solve(&harness, &idling, fault);
        solution.volts_between(pin, black).unwrap().get()
    };
    assert!((reads(None) - reads(Some(&fault))).abs() < 1e-6);
}

/// Ohm's law: a transistor that holds its current at 6 A leaves battery minus 6 A times the loop before it; a limit
/// that is never reached changes nothing; and a fuse that 16 A would blow stays whole.
#[test]
fn a_driver_that_holds_its_current_down() {
    let harness = four();
    let (pin, _) = pin_and_wire(&harness);
    let black = usual_black(&harness).unwrap();
    let driver = harness.drivers().next().unwrap().1.id;
    let switch = Element::Driver(driver, DriverPiece::Switch);
    let reads = |mode| {
        let solution = solve(&harness, &Setup::key_on(), Some(&Fault::new(switch, mode)));
        solution.volts_between(pin, black).unwrap().get()
    };
    let [three, six] = [3.0, 6.0].map(|amps| reads(Mode::AlwaysOnLimited(Amps::lit(amps))));
    let healthy = solve(&harness, &Setup::key_on(), None);
    let rest = healthy.volts_between(pin, black).unwrap().get();
    let loop_ohms = (three - six) / 3.0;
    assert!((0.55..0.75).contains(&loop_ohms), "{loop_ohms} Ω");
    assert!((rest - 6.0 * loop_ohms - six).abs() < 0.02, "{rest} {six}");
    let on = reads(Mode::AlwaysOn);
    assert!(on < six, "{on} {six}");
    let never_reached = reads(Mode::AlwaysOnLimited(Amps::lit(100.0)));
    assert!((never_reached - on).abs() < 1e-9);
    // Neither makes a spark.
    let idling = solve(
        &harness,
        &Setup::idling(),
        Some(&Fault::new(switch, Mode::AlwaysOnLimited(Amps::lit(6.0)))),
    );
    assert_eq!(idling.currents().count(), harness.drivers().count() - 1);
}

/// Ohm's law: with the control wire open, a unit's own test resistor to its supply lifts the pin to battery voltage,
/// one to its ground holds it at none, and two alike halve it; with the wire whole none shows.
#[test]
fn a_test_resistor_inside_the_unit_changes_an_open_row() {
    let healthy = four();
    let (pin, wire) = pin_and_wire(&healthy);
    let black = usual_black(&healthy).unwrap();
    let (up, down) = (FactAt::PullUp(pin.part), FactAt::PullDown(pin.part));
    let open = Fault::new(Element::Wire(wire), Mode::Open);
    let reads = |pulls: &[FactAt], fault: Option<&Fault>| {
        let harness = pulls.iter().fold(healthy.clone(), |harness, &at| {
            let value = Some(Fact::assumed(4700.0));
            apply(&harness, &Command::SetNominal { at, value }).unwrap()
        });
        let reading = expected(&harness, &Setup::key_on(), (pin, black), fault).unwrap();
        match reading.value {
            Measure::Volts(volts) => volts.get(),
            Measure::Ohms(_) | Measure::Overload => panic!("no voltage"),
        }
    };
    assert!(reads(&[], Some(&open)).abs() < 0.01);
    let lifted = reads(&[up], Some(&open));
    assert!((12.6..12.8).contains(&lifted), "{lifted}");
    // The unit's own ground stands a little above the engine's: half an ampere through its wire.
    let held = reads(&[down], Some(&open));
    assert!(held.abs() < 0.05, "{held}");
    let halved = reads(&[up, down], Some(&open));
    assert!(
        (halved - f64::midpoint(lifted, held)).abs() < 0.005,
        "{halved}"
    );
    let usual = reads(&[], None);
    for pulls in [&[up][..], &[down], &[up, down]] {
        assert!((reads(pulls, None) - usual).abs() < 0.005, "{pulls:?}");
    }
}
