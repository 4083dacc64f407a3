//! What is hidden is found: the electrics with the fault in place answer, and the walk must end at it.

use sparktrail_core::faults::{Fault, Mode, USUAL_SERIES};
use sparktrail_core::isolation::Answer;
use sparktrail_core::model::*;
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::*;

use crate::common::sample;
use crate::{ask, control_paths, go, play, samples, v8};

/// Oracle: the electrics with the fault in place answer; the walk must end at it.
#[test]
fn a_break_in_a_control_path_is_found_whatever_piece_it_is() {
    let mut tried = 0;
    for harness in samples() {
        for kind in control_paths(harness).into_iter().take(2) {
            let (_, verdict) = play(harness, kind.clone(), None);
            let Verdict::PathSound {
                cleared, unseen, ..
            } = verdict
            else {
                panic!("{}: {kind:?} of a sound car: {verdict:?}", harness.title);
            };
            assert_eq!(unseen, [], "{}: {kind:?}", harness.title);
            assert!(!cleared.is_empty(), "{}: {kind:?}", harness.title);
            for element in cleared {
                for mode in [Mode::Open, Mode::HighResistance(USUAL_SERIES)] {
                    let fault = Fault::new(element, mode);
                    let (walk, verdict) = play(harness, kind.clone(), Some(&fault));
                    let Verdict::PathBad { within, fitness } = verdict else {
                        panic!("{}: {fault:?}: {verdict:?}", harness.title);
                    };
                    assert!(
                        within.contains(&element),
                        "{}: {fault:?}: {within:?}",
                        harness.title
                    );
                    assert_eq!(fitness == Fitness::Open, mode == Mode::Open);
                    assert!(walk.given().len() <= 7, "{} steps", walk.given().len());
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 60, "only {tried} faults were tried");
}

#[test]
fn a_walk_ends_at_a_single_stretch_of_the_longest_path() {
    let harness = sample("silver-limousine");
    let kind = control_paths(&harness).remove(0);
    let (_, verdict) = play(&harness, kind.clone(), None);
    let Verdict::PathSound { cleared, .. } = verdict else {
        panic!("{verdict:?}")
    };
    let fault = Fault::new(cleared[0], Mode::Open);
    let (_, verdict) = play(&harness, kind, Some(&fault));
    let Verdict::PathBad { within, .. } = verdict else {
        panic!("{verdict:?}")
    };
    assert!(within.len() < cleared.len(), "{within:?} of {cleared:?}");
}

/// The supply of the first coil, where the map shows the whole of it.
fn feed(harness: &Harness) -> Option<Kind> {
    let (coil, _) = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Coil(_)))?;
    let at = Terminal {
        part: *coil,
        port: Port::Feed,
    };
    let wire = harness.wires.iter().find(|(_, wire)| {
        WireEnd::BOTH
            .iter()
            .any(|end| wire.end(*end).is_some_and(|fact| fact.value == at))
    })?;
    offered(harness, Pick::Wire(*wire.0))
        .into_iter()
        .find(|kind| matches!(kind, Kind::Drop { to, .. } if to.port == Port::Feed))
}

#[test]
fn a_bad_joint_in_the_feed_is_found_by_what_it_loses() {
    let mut found = 0;
    for harness in samples() {
        let Some(kind) = feed(harness) else {
            continue;
        };
        let (_, verdict) = play(harness, kind.clone(), None);
        let Verdict::PathSound { cleared, .. } = verdict else {
            panic!("{}: {verdict:?}", harness.title);
        };
        for element in cleared {
            let fault = Fault::new(element, Mode::HighResistance(USUAL_SERIES));
            let (_, verdict) = play(harness, kind.clone(), Some(&fault));
            let Verdict::PathBad { within, .. } = verdict else {
                panic!("{}: {fault:?}: {verdict:?}", harness.title);
            };
            assert!(
                within.contains(&element),
                "{}: {fault:?}: {within:?}",
                harness.title
            );
            found += 1;
        }
    }
    assert!(found > 20, "{found}");
}

#[test]
fn an_odd_pin_stands_out_among_its_siblings() {
    let harness = v8();
    let (driver, pin) = harness
        .drivers()
        .find_map(|(host, driver)| Some((driver.id, (host, driver.output?.value))))
        .unwrap();
    let of = Terminal {
        part: pin.0,
        port: Port::Pin(pin.1),
    };
    let (_, verdict) = play(&harness, Kind::Siblings { of }, None);
    assert!(
        matches!(verdict, Verdict::Siblings { ref odd, .. } if odd.is_empty()),
        "{verdict:?}"
    );
    let stuck = Fault::new(
        Element::Driver(driver, DriverPiece::Switch),
        Mode::PartlyOn(sparktrail_core::units::Ohms::lit(3.0)),
    );
    let (_, verdict) = play(&harness, Kind::Siblings { of }, Some(&stuck));
    let Verdict::Siblings { odd, level } = verdict else {
        panic!("{verdict:?}")
    };
    assert_eq!(odd.len(), 1, "{odd:?} beside {level}");
    assert!(odd[0].0 == of && odd[0].1 < -0.5, "{odd:?}");
}

#[test]
fn each_suspect_predicts_what_a_swap_does() {
    let harness = v8();
    let drivers: Vec<DriverId> = harness.drivers().map(|(_, driver)| driver.id).collect();
    let pair = SwapPair::Transistors(drivers[0], drivers[1]);
    let told = foretold(&harness, pair);
    assert_eq!(told.len(), 2);
    assert_eq!(told[0].culprit, Culprit::Thing);
    assert!(
        told[0].before != told[0].after && told[0].after.len() == 2,
        "{told:?}"
    );
    assert_eq!(told[1].before, told[1].after);
    let walk = Walk::begin(&harness, Kind::Swap(pair));
    let here = go(&harness, &walk, Reply::Yes).walk;
    let step = ask(&harness, &here);
    assert_eq!(step.task, Task::Exchange(pair));
    assert_eq!(step.setup.battery, BatteryLink::Disconnected);
    let swapped = go(&harness, &here, Reply::Done).walk;
    // It stayed: joints and drive path are left, the transistors are not.
    let stayed = go(
        &harness,
        &swapped,
        Reply::Found(Answer::Swap(SwapOutcome::Stayed)),
    )
    .walk;
    let Stage::Over(Verdict::Swapped { outcome, left }) = stayed.stage(&harness).now else {
        panic!("{:?}", stayed.stage(&harness).now);
    };
    assert_eq!(outcome, SwapOutcome::Stayed);
    let piece = |piece| Element::Driver(drivers[0], piece);
    assert!(
        left.contains(&piece(DriverPiece::OutputJoint))
            && left.contains(&piece(DriverPiece::GateJoint))
    );
    assert!(!left.contains(&piece(DriverPiece::Switch)));
    // Gone at once proves little: it is asked again warm, and only that is evidence.
    let gone = go(
        &harness,
        &swapped,
        Reply::Found(Answer::Swap(SwapOutcome::Gone)),
    );
    assert!(gone.evidence.is_empty());
    assert_eq!(ask(&harness, &gone.walk).task, Task::Warm);
    // While the fault is away a swap tells nothing.
    let away = go(&harness, &walk, Reply::No).walk;
    assert_eq!(away.stage(&harness).now, Stage::Over(Verdict::NotNow));
}
