//! What counts as a reading: leads that were proven, a battery that holds, a fault that is there.

use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Answer, Mistyped, Question};
use sparktrail_core::model::*;
use sparktrail_core::walkthrough::*;

use crate::{ask, control_paths, go, v8, volts};

/// The black lead hangs in the air: the meter shows nothing at the battery, or suddenly at a pin.
#[test]
fn a_reading_without_a_ground_is_caught() {
    let harness = v8();
    let Kind::Continuity { from: of, .. } = control_paths(&harness).remove(0) else {
        panic!("a control path is a path");
    };
    let begun = Walk::begin(&harness, Kind::Siblings { of });
    let runs = go(&harness, &begun, Reply::Yes).walk;
    assert!(matches!(ask(&harness, &runs).task, Task::Reference(_)));
    let none = go(&harness, &runs, volts(0.02));
    assert_eq!(none.meaning, Meaning::NoGround);
    assert!(none.evidence.is_empty());
    assert!(matches!(ask(&harness, &none.walk).task, Task::Reference(_)));
    assert_eq!(
        go(&harness, &none.walk, volts(-12.5)).meaning,
        Meaning::LeadsCrossed
    );
    // Never proven: the walk ends without a finding.
    let twice = go(&harness, &none.walk, volts(0.0)).walk;
    let thrice = go(&harness, &twice, volts(0.0)).walk;
    assert_eq!(thrice.stage(&harness).now, Stage::Over(Verdict::NotProven));
    // Proven, and lost again at the pin: the reference comes first, then the pin once more.
    let proven = go(&harness, &none.walk, volts(12.5));
    assert_eq!(proven.meaning, Meaning::GroundProven);
    let lost = go(&harness, &proven.walk, volts(0.01));
    assert_eq!(lost.meaning, Meaning::Doubted);
    assert!(lost.evidence.is_empty());
    assert!(matches!(ask(&harness, &lost.walk).task, Task::Reference(_)));
    let again = go(&harness, &lost.walk, volts(12.5)).walk;
    let step = ask(&harness, &again);
    assert_eq!(step.probes().unwrap().red, of);
    // Now it stands: the pin is at ground.
    assert_eq!(go(&harness, &again, volts(0.01)).evidence.len(), 1);
}

/// A battery that gives way under load is no lead in the air: read at rest it proves the leads, and then counts.
#[test]
fn a_battery_that_gives_way_is_told_from_a_reading_without_a_ground() {
    let harness = v8();
    let Kind::Continuity { from: of, .. } = control_paths(&harness).remove(0) else {
        panic!("a control path is a path");
    };
    let begun = go(
        &harness,
        &Walk::begin(&harness, Kind::Siblings { of }),
        Reply::No,
    )
    .walk;
    let read = |walk: &Walk, readings: &[f64]| {
        readings
            .iter()
            .fold((walk.clone(), Vec::new()), |(walk, mut found), read| {
                let answered = go(&harness, &walk, volts(*read));
                found.extend(answered.evidence);
                (answered.walk, found)
            })
    };
    let (loaded, none) = read(&begun, &[0.2, 0.2]);
    assert!(none.is_empty());
    let at_rest = ask(&harness, &loaded);
    assert!(matches!(at_rest.task, Task::Reference(_)));
    assert_eq!(at_rest.setup.key, Key::Off);
    // Whole at rest, gone with the key on: written down as it is, and the walk goes on with what is left.
    let (walk, found) = read(&loaded, &[12.5, 0.2]);
    assert_eq!(found.len(), 2, "at rest and under load");
    assert_eq!(ask(&harness, &walk).probes().unwrap().red, of);
    // Nothing at the pin is no surprise then.
    assert_eq!(go(&harness, &walk, volts(0.15)).evidence.len(), 1);
    // Flat: more than a lead in the air, and the same with and without a load.
    let (walk, found) = read(&begun, &[4.1, 4.0, 4.3, 4.1]);
    assert_eq!(found.len(), 1);
    let at_the_pin = go(&harness, &walk, volts(4.0));
    assert_eq!(at_the_pin.evidence.len(), 1);
    // It came back: the walk goes on.
    let (walk, _) = read(&loaded, &[12.5, 12.3]);
    assert_eq!(ask(&harness, &walk).probes().unwrap().red, of);
    // The wrong range shows more than any battery, or next to nothing: the leads are not proven.
    for wrong in [[27.0; 3], [0.5; 3]] {
        let (walk, found) = read(&begun, &wrong);
        assert_eq!(walk.stage(&harness).now, Stage::Over(Verdict::NotProven));
        assert!(found.is_empty());
    }
    // Nor are they where they change places at the last reading.
    let (walk, _) = read(&loaded, &[12.5, -12.5]);
    assert_eq!(walk.stage(&harness).now, Stage::Over(Verdict::NotProven));
    // Nothing anywhere: the leads are not proven.
    let (walk, found) = read(&loaded, &[0.0]);
    assert_eq!(walk.stage(&harness).now, Stage::Over(Verdict::NotProven));
    assert!(found.is_empty());
}

/// What is lost along a path tells nothing while the battery gives next to nothing: no path passes by that.
#[test]
fn a_battery_that_gives_way_clears_no_path() {
    let harness = v8();
    let Kind::Continuity { from, to } = control_paths(&harness).remove(0) else {
        panic!("a control path is a path");
    };
    let mut walk = go(
        &harness,
        &Walk::begin(&harness, Kind::Drop { from, to }),
        Reply::OnlyCranks,
    )
    .walk;
    for read in [0.2, 0.2, 12.5, 0.2] {
        walk = go(&harness, &walk, volts(read)).walk;
    }
    let over = Stage::Over(Verdict::BatteryGivesWay);
    assert_eq!(walk.stage(&harness).now, over);
}

#[test]
fn bad_answers_are_refused_and_change_nothing() {
    let harness = v8();
    let walk = Walk::begin(&harness, control_paths(&harness).remove(0));
    let step = ask(&harness, &walk);
    assert_eq!(step.task, Task::LeadsTogether);
    assert_eq!(
        step.replies.typed("12 V"),
        Err(Refused::Mistyped(Mistyped::VoltsForOhms))
    );
    assert_eq!(
        step.replies.typed("-3"),
        Err(Refused::Mistyped(Mistyped::NegativeOhms))
    );
    let typed = step.replies.typed("0,2 Ω").unwrap();
    for wrong in [
        Reply::Yes,
        volts(0.2),
        Reply::Found(Answer::Ohms(-1.0, -1.0)),
    ] {
        assert!(walk.answer(&harness, wrong).is_err(), "{wrong:?}");
    }
    let next = go(&harness, &walk, typed).walk;
    assert!(matches!(
        ask(&harness, &next).task,
        Task::Ask(Question::Resistance(_))
    ));
}

#[test]
fn what_passes_while_the_fault_is_away_clears_nothing() {
    let mut harness = v8();
    let id = harness.fresh();
    harness.findings.push(Finding::new(
        id,
        Seen::Contribution {
            cylinder: CylinderId(1),
            works: Works::Sometimes,
        },
        FaultThen::Unknown,
    ));
    let walk = Walk::begin(&harness, control_paths(&harness).remove(0));
    assert_eq!(ask(&harness, &walk).task, Task::FaultNow);
    let away = go(&harness, &walk, Reply::No).walk;
    let leads = go(&harness, &away, Reply::Found(Answer::Ohms(0.2, 0.2))).walk;
    let good = go(&harness, &leads, Reply::Found(Answer::Ohms(0.25, 0.25)));
    assert_eq!(good.evidence[0].fault_then, FaultThen::Away);
    let Stage::Over(Verdict::PathSound { cleared, then, .. }) = good.walk.stage(&harness).now
    else {
        panic!("{:?}", good.walk.stage(&harness).now);
    };
    assert_eq!((cleared, then), (Vec::new(), FaultThen::Away));

    let wiggle = harness
        .elements()
        .into_iter()
        .find(|e| matches!(e, Element::Mated(_)))
        .unwrap();
    let walk = Walk::begin(&harness, Kind::Stress(wiggle));
    let away = go(&harness, &walk, Reply::No).walk;
    let same = go(&harness, &away, Reply::Found(Answer::Effect(Effect::Same)));
    assert_eq!(same.evidence[0].fault_then, FaultThen::Away);
    // What makes it come shows it.
    let came = go(
        &harness,
        &away,
        Reply::Found(Answer::Effect(Effect::Changed)),
    );
    assert_eq!(came.evidence[0].fault_then, FaultThen::Present);
}
