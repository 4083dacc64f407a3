//! Guided walks on every sample: they find what is hidden, are not fooled, and never ask for what hurts.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;
use std::sync::OnceLock;

use proptest::prelude::*;
use sparktrail_core::edit::{Command, History};
use sparktrail_core::electrics::Measure;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::{Fault, Mode, USUAL_SERIES, expected, is_high_voltage};
use sparktrail_core::isolation::{Answer, Mistyped, Probes, Question};
use sparktrail_core::model::*;
use sparktrail_core::topology::Pick;
use sparktrail_core::walkthrough::*;

fn samples() -> &'static [Harness] {
    static SAMPLES: OnceLock<Vec<Harness>> = OnceLock::new();
    SAMPLES.get_or_init(read_samples)
}

fn read_samples() -> Vec<Harness> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-harnesses");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .filter(|path| !path.to_string_lossy().contains("schema"))
        .collect();
    paths.sort();
    paths
        .iter()
        .map(|path| file::read(&std::fs::read_to_string(path).unwrap()).unwrap())
        .collect()
}

fn v8() -> Harness {
    file::read(include_str!("../../sample-harnesses/white-cruiser.json")).unwrap()
}

/// Walks that a map offers all over: at each seventh place and for each third act.
fn some_kinds(harness: &Harness) -> Vec<Kind> {
    let mut picks: Vec<Pick> = harness
        .wires
        .keys()
        .step_by(7)
        .map(|w| Pick::Wire(*w))
        .collect();
    picks.extend(harness.elements().into_iter().step_by(7).map(Pick::Element));
    picks.extend(harness.engine.cylinders().into_iter().map(Pick::Cylinder));
    let mut kinds = vec![Kind::Dead, Kind::Mended(None)];
    for kind in picks.into_iter().flat_map(|pick| offered(harness, pick)) {
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let catalogue = sparktrail_core::isolation::Catalogue::of(harness);
    for act in catalogue.acts.iter().step_by(3) {
        let kind = Kind::of(&act.question);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    kinds
}

/// What a car with a fault reads, leads of the meter included.
fn read(harness: &Harness, probes: &Probes, fault: Option<&Fault>) -> Reply {
    let at = (probes.red, probes.black.unwrap());
    let reading = expected(harness, &probes.setup, at, fault).unwrap();
    Reply::Found(match reading.value {
        Measure::Volts(volts) => Answer::Volts(volts.get(), volts.get()),
        Measure::Ohms(ohms) => Answer::Ohms(ohms.get() + 0.2, ohms.get() + 0.2),
        Measure::Overload => Answer::Overload,
    })
}

/// Plays a walk to its end on a car with a fault; the fault is always there.
fn play(harness: &Harness, kind: Kind, fault: Option<&Fault>) -> (Walk, Verdict) {
    let mut walk = Walk::begin(harness, kind);
    for _ in 0..100 {
        let step = match walk.stage(harness).now {
            Stage::Over(verdict) => return (walk, verdict),
            Stage::Ask(step) => step,
        };
        let reply = match (&step.task, step.probes()) {
            (Task::LeadsTogether, _) => Reply::Found(Answer::Ohms(0.2, 0.2)),
            (_, Some(probes))
                if step.replies == Replies::Volts || step.replies == Replies::Ohms =>
            {
                read(harness, probes, fault)
            }
            (Task::FaultNow | Task::Runs, _) => Reply::Yes,
            _ => panic!("no reply to {step:?}"),
        };
        walk = walk.answer(harness, reply).unwrap().walk;
    }
    panic!("the walk does not end");
}

fn control_paths(harness: &Harness) -> Vec<Kind> {
    let mut found = Vec::new();
    for wire in harness.wires.keys() {
        for kind in offered(harness, Pick::Wire(*wire)) {
            let wanted = matches!(kind, Kind::Continuity { from, to }
                if matches!(from.port, Port::Pin(_))
                    && matches!(to.port, Port::Switched | Port::DriveIn));
            if wanted && !found.contains(&kind) {
                found.push(kind);
            }
        }
    }
    found
}

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
    let harness = file::read(include_str!("../../sample-harnesses/silver-limousine.json")).unwrap();
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

fn ask(harness: &Harness, walk: &Walk) -> Step {
    match walk.stage(harness).now {
        Stage::Ask(step) => step,
        Stage::Over(verdict) => panic!("over: {verdict:?}"),
    }
}

fn volts(value: f64) -> Reply {
    Reply::Found(Answer::Volts(value, value))
}

fn go(harness: &Harness, walk: &Walk, reply: Reply) -> Answered {
    walk.answer(harness, reply)
        .unwrap_or_else(|why| panic!("{reply:?}: {why}"))
}

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
    harness.findings.push(Finding {
        id,
        seen: Seen::Contribution {
            cylinder: CylinderId(1),
            works: Works::Sometimes,
        },
        setup: None,
        fault_then: FaultThen::Unknown,
        at: None,
        note: String::new(),
        standing: Standing::Counts,
    });
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

/// As the app does it: each piece of evidence is a finding, undone with its step.
#[test]
fn findings_and_steps_go_together() {
    let harness = v8();
    let mut history = History::new(std::sync::Arc::new(harness));
    let mut walk = Walk::begin(history.now(), Kind::Dead);
    let replies = [
        Reply::Yes,
        Reply::Found(Answer::Works(Works::Dead)),
        Reply::Found(Answer::Works(Works::Alive)),
        Reply::TheRestWork,
    ];
    for reply in replies {
        let answered = go(history.now(), &walk, reply);
        let mut ids = Vec::new();
        for evidence in answered.evidence {
            history
                .apply(Command::AddFinding {
                    seen: evidence.seen,
                    setup: evidence.setup,
                    fault_then: evidence.fault_then,
                    at: None,
                    note: String::new(),
                })
                .unwrap();
            ids.push(history.now().findings.last().unwrap().id);
        }
        walk = answered.walk.noted(ids);
    }
    assert_eq!(walk.live(history.now()), walk);
    assert_eq!(Walk::of_text(&walk.text(history.now())), Ok(walk.clone()));
    // Undone: back to the step that made it; redone: on again.
    history.undo();
    assert_eq!(walk.live(history.now()).given().len(), 3);
    history.redo();
    assert_eq!(walk.live(history.now()), walk);
    // Taken back: the findings that go along.
    let (before, ids) = walk.take_back().unwrap();
    assert_eq!(ids.len(), 6);
    for finding in ids {
        let standing = Standing::TakenBack;
        history
            .apply(Command::SetStanding { finding, standing })
            .unwrap();
    }
    assert_eq!(walk.live(history.now()), before);
}

#[test]
fn what_is_no_kept_walk_is_told_so() {
    for (text, wanted) in [
        ("", NoWalk::NotOne),
        ("hello\n\n", NoWalk::NotOne),
        ("sparktrail-walk 2 dead steady\n\n", NoWalk::Newer),
        (
            "sparktrail-walk 1 dead steady\nyes\nmaybe\n\n",
            NoWalk::Reply(2),
        ),
        ("sparktrail-walk 1 dead steady\n-4Ω\n\n", NoWalk::Reply(1)),
        ("sparktrail-walk 1 continuity steady\n\n", NoWalk::Subject),
        ("sparktrail-walk 1 spark steady\n\n{}", NoWalk::Subject),
    ] {
        assert_eq!(Walk::of_text(text), Err(wanted), "{text:?}");
    }
}

fn kinds_of(sample: usize) -> &'static [Kind] {
    static KINDS: OnceLock<Vec<OnceLock<Vec<Kind>>>> = OnceLock::new();
    let all = KINDS.get_or_init(|| samples().iter().map(|_| OnceLock::new()).collect());
    all[sample].get_or_init(|| some_kinds(&samples()[sample]))
}

/// What no step may ask for.
fn forbidden(harness: &Harness, step: &Step) -> Option<&'static str> {
    let setup = &step.setup;
    let turning = setup.engine != EngineState::Stopped;
    let live = setup.battery == BatteryLink::Connected;
    let is_unit = |part: &PartId| harness.unit(*part).is_some();
    let is_injector = |part: &PartId| {
        harness
            .parts
            .get(part)
            .is_some_and(|p| matches!(p.kind, PartKind::Injector(_)))
    };
    if turning && !(live && setup.key == Key::On) {
        return Some("an engine that turns without battery or key");
    }
    if live && setup.unplugged.iter().any(is_unit) && !measures_volts(step) {
        return Some("a control unit unplugged with the battery on");
    }
    if turning && setup.unplugged.iter().any(|part| !is_injector(part)) {
        return Some("something but an injector unplugged while the engine turns");
    }
    if step.instrument() == Some(Instrument::Ohms) && live {
        return Some("an ohmmeter on a live circuit");
    }
    if live
        && let Some(probes) = step.probes()
        && [Some(probes.red), probes.black]
            .into_iter()
            .flatten()
            .any(|t| is_high_voltage(t.port))
    {
        return Some("a meter on the high voltage");
    }
    if turning
        && matches!(
            step.task,
            Task::Exchange(_) | Task::Carry(_) | Task::Restore
        )
    {
        return Some("hands in the engine while it turns");
    }
    if let (true, Task::Ask(Question::Stress(element, _))) = (turning, &step.task)
        && matches!(
            element,
            Element::LeadConductor(_)
                | Element::LeadInsulation(_)
                | Element::Secondary(_)
                | Element::CoilInsulation(_)
                | Element::Gap(_)
                | Element::Insulator(_)
                | Element::PlugResistor(_)
                | Element::Cap(_)
                | Element::Rotor(_)
        )
    {
        return Some("hands on the high voltage");
    }
    let soldering = matches!(step.task, Task::Exchange(SwapPair::Transistors(..)));
    if soldering && live {
        return Some("soldering with the battery on");
    }
    None
}

/// A unit that is unplugged for a measurement of volts was unplugged with the battery off, as its
/// caution says.
fn measures_volts(step: &Step) -> bool {
    matches!(
        step.task,
        Task::Ask(Question::Volts(_) | Question::Lamp(_))
            | Task::Reference(_)
            | Task::LampReference(_)
    )
}

/// Any reply that a step takes, by two numbers.
fn any_reply(step: &Step, pick: u8, size: f64) -> Reply {
    match &step.replies {
        Replies::Choice(offered) => offered[usize::from(pick) % offered.len()],
        Replies::Volts => volts(if pick.is_multiple_of(2) {
            12.6 * size
        } else {
            size - 0.2
        }),
        Replies::Ohms if pick.is_multiple_of(4) => Reply::Found(Answer::Overload),
        Replies::Ohms => Reply::Found(Answer::Ohms(size * f64::from(pick), size * f64::from(pick))),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn laws_of_any_walk(
        sample in 0..10_usize,
        kind in any::<proptest::sample::Index>(),
        answers in proptest::collection::vec((any::<u8>(), 0.0..1.2_f64), 64),
    ) {
        let samples = samples();
        let place = sample % samples.len();
        let harness = &samples[place];
        let kinds = kinds_of(place);
        let mut walk = Walk::begin(harness, kind.get(kinds).clone());
        let mut ended = false;
        for (pick, size) in answers {
            let standing = walk.stage(harness);
            prop_assert_eq!(standing.past.len(), walk.given().len());
            let Stage::Ask(step) = standing.now else {
                ended = true;
                break;
            };
            prop_assert_eq!(forbidden(harness, &step), None, "{:?}", step);
            if let Some(probes) = step.probes() {
                prop_assert!(harness.has_terminal(probes.red));
            }
            if step.setup != Setup::key_on() && step.setup.unplugged.iter().any(|p| harness.unit(*p).is_some()) {
                prop_assert!(step.cautions(harness).contains(&Caution::Unit));
            }
            let next = walk.answer(harness, any_reply(&step, pick, size)).unwrap();
            // Taken back is never having answered.
            let (before, _) = next.walk.take_back().unwrap();
            prop_assert_eq!(&before, &walk);
            prop_assert_eq!(Walk::of_text(&next.walk.text(harness)), Ok(next.walk.clone()));
            walk = next.walk;
        }
        prop_assert!(ended || matches!(walk.stage(harness).now, Stage::Over(_)), "no end: {:?}", walk);
    }
}

#[test]
fn a_sheet_holds_the_whole_of_a_walk() {
    let harness = file::read(include_str!("../../sample-harnesses/silver-limousine.json")).unwrap();
    let kind = control_paths(&harness).remove(0);
    let steps = Walk::begin(&harness, kind).sheet(&harness);
    // Leads together, the whole path, and each shorter stretch of it.
    assert_eq!(steps[0].task, Task::LeadsTogether);
    let ends: Vec<_> = steps
        .iter()
        .filter_map(|step| step.probes()?.black)
        .collect();
    assert!(ends.len() > 2, "{ends:?}");
    for kind in [Kind::Dead, Kind::Mended(None), Kind::Spark(CylinderId(1))] {
        let steps = Walk::begin(&harness, kind.clone()).sheet(&harness);
        assert!((2..=40).contains(&steps.len()), "{kind:?}: {}", steps.len());
    }
}
