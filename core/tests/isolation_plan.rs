//! The plan on samples: made in steps or at once, with few tools or all, and with a way to mend every suspect.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{
    Access, AccessSet, Answer, Belief, Case, Kit, MOST_TESTS, Plan, Question, Stop, TestIndex,
    Tool, Unit, information, shows_now, trials,
};
use sparktrail_core::model::*;

const SAMPLES: [(&str, &str); 4] = [
    (
        "V8",
        include_str!("../../sample-harnesses/white-cruiser.json"),
    ),
    (
        "V6",
        include_str!("../../sample-harnesses/black-coupe.json"),
    ),
    (
        "four",
        include_str!("../../sample-harnesses/grey-saloon.json"),
    ),
    ("twin", include_str!("../../sample-harnesses/red-twin.json")),
];

fn finding(number: u32, seen: Seen) -> Finding {
    Finding::new(FindingId::from_number(number), seen, FaultThen::Present)
}

/// These cylinders are dead, all others work.
fn dead(harness: &mut Harness, dead: &[u8]) {
    harness.findings = harness
        .engine
        .cylinders()
        .into_iter()
        .zip(10_000..)
        .map(|(cylinder, number)| {
            let works = if dead.contains(&cylinder.0) {
                Works::Dead
            } else {
                Works::Alive
            };
            finding(number, Seen::Contribution { cylinder, works })
        })
        .collect();
}

#[test]
fn a_case_made_in_steps_is_the_case_made_at_once() {
    let harness = file::read(SAMPLES[0].1).unwrap();
    let whole = Case::of(&harness).unwrap();
    let mut building = Case::begin(harness.clone());
    let mut calls = 0;
    let mut last = usize::MAX;
    loop {
        let left = building.grow(7);
        calls += 1;
        if left == 0 {
            break;
        }
        // Only the listing of the faults may make more of it.
        assert!(left < last || calls < 6, "{left} after {last}");
        last = left;
    }
    assert!(calls > 50, "{calls} calls of seven steps");
    let stepped = building.finish().unwrap();
    assert_eq!(stepped.causes(), whole.causes());
    for steps in [1, 13] {
        while stepped.prepare(&harness.findings, steps) > 0 {}
    }
    let (a, b) = (stepped.assess().unwrap(), whole.assess().unwrap());
    assert_eq!(a, b);
    let mut plan = Plan::begin(&stepped);
    while plan.grow(&stepped, 11) > 0 {}
    let at_once = Plan::of(&whole);
    assert_eq!(plan.table(), at_once.table());
    assert_eq!(
        information(plan.table(), &a.belief),
        information(at_once.table(), &b.belief)
    );
}

/// Every unit of repair needs an act that looks at it or mends it, or it can never be told.
#[test]
fn every_unit_of_repair_can_be_mended_by_an_act() {
    for (name, text) in SAMPLES {
        let harness = file::read(text).unwrap();
        let case = Case::of(&harness).unwrap();
        for unit in case.units() {
            let aimed = case
                .catalogue()
                .acts
                .iter()
                .any(|act| act.aim == Some(*unit));
            assert!(aimed, "{name}: nothing looks at {}", unit.name(&harness));
            // Leads that changed places are swapped back; another trade looks after the rest.
            let other = matches!(unit, Unit::Crossed(..) | Unit::Cylinder(_));
            let mends = case
                .catalogue()
                .acts
                .iter()
                .any(|act| act.aim == Some(*unit) && act.mends());
            assert!(
                other || mends,
                "{name}: nothing mends {}",
                unit.name(&harness)
            );
        }
    }
}

#[test]
fn only_what_the_kit_serves_is_proposed() {
    let mut harness = file::read(SAMPLES[1].1).unwrap();
    dead(&mut harness, &[1, 4]);
    let case = Case::of(&harness).unwrap();
    let assessment = case.assess().unwrap();
    let mut plan = Plan::of(&case);
    let asked = |plan: &Plan| -> Vec<Question> {
        let (_, paid) = plan.done(&assessment);
        plan.next(&case, &assessment, paid, 400)
            .iter()
            .map(|p| plan.catalogue().acts[p.act].question.clone())
            .collect()
    };
    let all = asked(&plan);
    let reads = |q: &Question| {
        matches!(
            q,
            Question::Volts(_) | Question::Resistance(_) | Question::Drop(_)
        )
    };
    assert!(all.iter().any(reads));
    plan.set_kit(Kit::WORKSHOP.without(Tool::Meter));
    let few = asked(&plan);
    assert!(!few.iter().any(reads), "{few:?}");
    assert!(
        few.iter().any(|q| matches!(q, Question::Lamp(_))),
        "{few:?}"
    );
    plan.set_kit(Kit::WORKSHOP.without(Tool::BoardSoldering));
    for question in asked(&plan) {
        let act = plan
            .catalogue()
            .acts
            .iter()
            .find(|act| act.question == question)
            .unwrap();
        let board = act.aim.is_some_and(Unit::is_on_a_board);
        let inside = !matches!(question, Question::Substitute(..)) && board;
        assert!(!inside, "{question:?} asks for an iron");
    }
    plan.set_kit(Kit::NONE);
    for question in asked(&plan) {
        assert!(!reads(&question), "{question:?} asks for a tool");
    }
    // Taking tools away and giving them back changes nothing.
    plan.set_kit(Kit::WORKSHOP);
    assert_eq!(asked(&plan), all);
}

/// Faults that answer by their likeliest outcome are followed to the end: at times mending is advised
/// before testing on, and only of something likely.
#[test]
fn a_cheap_and_likely_repair_is_advised_before_more_tests() {
    let (_, text) = SAMPLES[3];
    let mut harness = file::read(text).unwrap();
    harness.findings.clear();
    let case = Case::of(&harness).unwrap();
    let plan = Plan::of(&case);
    let suspects = plan.table().suspects();
    let (mut promised, mut right) = (0.0, 0.0);
    for cause in trials::noticed(&case).into_iter().step_by(4) {
        let mut done = BTreeMap::new();
        let mut rows: Vec<Vec<f64>> = Vec::new();
        let mut paid = AccessSet::NONE;
        let answer = |test: TestIndex, done: &mut BTreeMap<_, _>, rows: &mut Vec<Vec<f64>>| {
            let (outcome, _) = plan.table().likeliest(test, cause).unwrap();
            rows.push(plan.table().row(test, outcome).unwrap());
            *done.entry(test).or_insert(0) += 1;
        };
        for cylinder in harness.engine.cylinders() {
            let test = plan.test_of(&Question::Contribution(cylinder)).unwrap();
            answer(test, &mut done, &mut rows);
        }
        for _ in 0..MOST_TESTS {
            let belief = Belief::of(suspects, &rows).unwrap();
            let (stop, choices) = plan.decide(&case, &belief, paid, &done, done.len());
            if let Stop::Mend(unit) = stop {
                let share = belief.unit(case.unit_number(unit).unwrap());
                assert!(share >= 0.4, "{}: {share}", unit.name(&harness));
                assert!(plan.mending_test(unit).is_some());
                let known = &case.causes()[cause];
                promised += known.prior * share;
                right += known.prior * f64::from(u8::from(known.unit == unit));
            }
            if stop != Stop::GoOn {
                break;
            }
            let test = choices[0].test;
            paid = paid.with(plan.costs().costs[test.0].access);
            answer(test, &mut done, &mut rows);
        }
    }
    assert!(promised > 0.0, "mending is never advised");
    // By how likely each fault is, it is right about as often as it says.
    assert!(right >= 0.6 * promised, "{right} where {promised} was said");
    // With nothing but the dead cylinders it tests on.
    dead(&mut harness, &[1]);
    let case = Case::of(&harness).unwrap();
    let assessment = case.assess().unwrap();
    let plan = Plan::of(&case);
    assert_eq!(plan.stop(&case, &assessment, 8), Stop::GoOn);
}

/// Who has mended what leads, and tested for long, hands it over; before that, or with nothing that leads, tests go on.
#[test]
fn a_long_search_is_handed_over() {
    let mut harness = file::read(SAMPLES[3].1).unwrap();
    harness.findings.clear();
    let case = Case::of(&harness).unwrap();
    let plan = Plan::of(&case);
    let unit = |cause: usize| case.unit_number(case.causes()[cause].unit).unwrap();
    // A cylinder that the engine has trouble with for reasons that are not electrical leads, but not by far.
    let cylinder = trials::noticed(&case)
        .into_iter()
        .find(|cause| matches!(case.causes()[*cause].unit, Unit::Cylinder(_)))
        .unwrap();
    let led_by = |share: f64| {
        let of = |cause: usize| f64::from(u8::from(unit(cause) == unit(cylinder)));
        let prior = Belief::prior(plan.table().suspects()).unit(unit(cylinder));
        let lift = share / (1.0 - share) * (1.0 - prior) / prior;
        let row: Vec<f64> = (0..case.causes().len())
            .map(|cause| {
                if of(cause) > 0.0 {
                    lift.min(1.0)
                } else {
                    lift.recip().min(1.0)
                }
            })
            .collect();
        Belief::of(plan.table().suspects(), &[row]).unwrap()
    };
    let tests = (0..plan.table().tests()).map(TestIndex);
    let measured: Vec<TestIndex> = tests
        .filter(|test| {
            matches!(
                plan.act(*test).question,
                Question::Volts(_) | Question::Resistance(_)
            )
        })
        .take(19)
        .collect();
    assert_eq!(measured.len(), 19);
    let stop = |share: f64, tests: usize| {
        let done = measured.iter().take(tests).map(|test| (*test, 1)).collect();
        plan.decide(&case, &led_by(share), AccessSet::NONE, &done, 0)
            .0
    };
    let leading = case.causes()[cylinder].unit;
    assert!((led_by(0.5).unit(unit(cylinder)) - 0.5).abs() < 1e-9);
    assert_eq!(stop(0.5, 19), Stop::HandOver(leading));
    assert_ne!(stop(0.5, 18), Stop::HandOver(leading));
    assert_ne!(stop(0.3, 19), Stop::HandOver(leading));
}

/// Who has tested for long, learnt nothing and would have to go through the rest one by one is told so.
#[test]
fn a_hopeless_search_is_not_gone_on_with() {
    let mut harness = file::read(SAMPLES[0].1).unwrap();
    harness.findings.clear();
    let case = Case::of(&harness).unwrap();
    let plan = Plan::of(&case);
    let suspects = plan.table().suspects();
    // Every unit alike, whatever was done: all tests misled.
    let prior = Belief::prior(suspects);
    let alike: Vec<f64> = (0..case.causes().len())
        .map(|cause| 1e-3 / prior.unit(suspects.unit_of(cause)))
        .collect();
    let spread = Belief::of(suspects, &[alike]).unwrap();
    let mut done = std::collections::BTreeMap::new();
    let left = loop {
        let (stop, choices) = plan.decide(&case, &spread, AccessSet::NONE, &done, 0);
        if stop != Stop::GoOn {
            assert_eq!(stop, Stop::NothingTells);
            break choices;
        }
        done.insert(choices.first().unwrap().test, 2);
    };
    assert!(!left.is_empty(), "some tests still tell a little");
    let tests: usize = done.values().sum();
    assert!(tests > 20, "{tests}");
    // With one unit far ahead it is gone on with, however long it took.
    let leader = prior.leader().0;
    let ahead: Vec<f64> = (0..case.causes().len())
        .map(|cause| f64::from(u8::from(suspects.unit_of(cause) == leader)).max(0.01))
        .collect();
    let ahead = Belief::of(suspects, &[ahead]).unwrap();
    let (stop, _) = plan.decide(&case, &ahead, AccessSet::NONE, &done, 0);
    assert_ne!(stop, Stop::NothingTells);
}

/// While the fault is away a measurement tells nothing: the plan asks for what brings it back, twice at most, and for
/// the measurement again, as if it had never been done, once the fault shows.
#[test]
fn while_the_fault_is_away_only_what_tells_then_is_proposed() {
    let mut harness = file::read(SAMPLES[2].1).unwrap();
    dead(&mut harness, &[3]);
    for found in &mut harness.findings {
        if let Seen::Contribution { works, .. } = &mut found.seen
            && *works == Works::Dead
        {
            *works = Works::Sometimes;
        }
    }
    let case = Case::of(&harness).unwrap();
    let mut plan = Plan::of(&case);
    let advised = |plan: &Plan, findings: &[Finding]| -> Vec<Question> {
        let assessment = case.assess_with(findings).unwrap();
        let (_, proposals) = plan.advise(&case, &assessment, 400);
        let acts = &plan.catalogue().acts;
        proposals
            .iter()
            .map(|p| acts[p.act].question.clone())
            .collect()
    };
    let mut findings = harness.findings.clone();
    let measured = advised(&plan, &findings)
        .into_iter()
        .find(Question::can_be_passed_while_away)
        .unwrap();
    let passed = Answer::Spark(Spark::Yes);
    let (seen, setup) = Question::Spark(CylinderId(3)).seen(passed).unwrap();
    assert_eq!(shows_now(&findings), FaultThen::Unknown);
    findings.push(Finding {
        setup,
        fault_then: FaultThen::Away,
        ..finding(20_000, seen)
    });
    assert_eq!(shows_now(&findings), FaultThen::Away);
    // It shows again: what passed while it was away is as good as never done.
    assert!(advised(&plan, &findings).contains(&measured));
    plan.set_now(FaultThen::Away);
    let away = advised(&plan, &findings);
    assert!(away.iter().all(Question::tells_while_away), "{away:?}");
    let wiggle = away
        .iter()
        .find(|question| matches!(question, Question::Stress(..)))
        .unwrap()
        .clone();
    let (seen, _) = wiggle.seen(Answer::Effect(Effect::Same)).unwrap();
    for number in [20_001, 20_002] {
        assert!(advised(&plan, &findings).contains(&wiggle), "{number}");
        findings.push(Finding {
            fault_then: FaultThen::Away,
            ..finding(number, seen.clone())
        });
    }
    assert!(!advised(&plan, &findings).contains(&wiggle));
}

/// Common practice, no source: no clamp goes around the boot of a coil that sits on its plug. The coil comes off, and
/// something goes in between.
#[test]
fn to_see_the_spark_under_a_coil_on_its_plug_the_coil_comes_off() {
    let spark_of = |text: &str| {
        let harness = file::read(text).unwrap();
        let case = Case::of(&harness).unwrap();
        let catalogue = case.catalogue().clone();
        let asks = Question::Spark(CylinderId(2));
        let mut acts = catalogue.acts.iter();
        let act = acts.find(|act| act.question == asks).unwrap();
        let opens: Vec<Access> = catalogue
            .named(act.cost.access)
            .map(|(access, _)| access)
            .collect();
        let boot = harness.boot_of(CylinderId(2)).and_then(|boot| boot.from);
        (act.cost.minutes, opens, boot.map(|from| from.value.part))
    };
    let [(_, wasted), _, (_, on_plug), _] = SAMPLES;
    let (by_lead, opens, coil) = spark_of(wasted);
    assert_eq!((opens, coil), (Vec::new(), None));
    let (by_boot, opens, coil) = spark_of(on_plug);
    assert_eq!(opens, [Access::Reach(coil.unwrap())]);
    assert!(by_boot > by_lead, "{by_boot} {by_lead}");
}
