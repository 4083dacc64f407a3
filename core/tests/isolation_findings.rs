//! Findings that cannot be, findings that contradict each other, and laws that hold on any sample.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Case, Explained, Plan, Question, Why, meaning};
use sparktrail_core::model::*;
use sparktrail_core::units::{Ohms, Volts};

const V8: &str = include_str!("../../sample-harnesses/white-cruiser.json");
const TWIN: &str = include_str!("../../sample-harnesses/red-twin.json");

fn finding(number: u32, seen: Seen) -> Finding {
    Finding::new(FindingId::from_number(number), seen, FaultThen::Present)
}

fn part_named(harness: &Harness, name: &str) -> PartId {
    *harness
        .parts
        .iter()
        .find(|(_, p)| p.name == name)
        .unwrap()
        .0
}

#[test]
fn findings_that_cannot_be_are_told_and_left_out() {
    let harness = file::read(V8).unwrap();
    let coil = part_named(&harness, "Coil A");
    let at = |port| Terminal { part: coil, port };
    let nowhere = PartId::from_number(9_999);
    let (feed, switched) = (at(Port::Feed), at(Port::Switched));
    let ohms = |ohms: f64| Seen::Resistance {
        red: feed,
        black: switched,
        reading: OhmReading::Ohms(Ohms::lit(ohms)),
    };
    let cases: Vec<(Seen, Why)> = vec![
        (
            Seen::Contribution {
                cylinder: CylinderId(12),
                works: Works::Dead,
            },
            Why::NoCylinder(CylinderId(12)),
        ),
        (
            Seen::Substituted {
                part: nowhere,
                with: Substitute::New,
                effect: Effect::Same,
            },
            Why::NoPart(nowhere),
        ),
        (
            Seen::Volts {
                red: at(Port::DriveIn),
                black: Some(feed),
                reading: Volts::lit(12.0),
            },
            Why::NoTerminal(coil),
        ),
        (
            Seen::Volts {
                red: feed,
                black: Some(feed),
                reading: Volts::lit(0.0),
            },
            Why::SameTerminal,
        ),
        (
            Seen::Volts {
                red: feed,
                black: Some(switched),
                reading: Volts::lit(12_600.0),
            },
            Why::Volts(12_600.0),
        ),
        (ohms(-3.0), Why::NegativeOhms(-3.0)),
        (ohms(1e12), Why::Ohms(1e12)),
        (
            Seen::Swapped {
                what: SwapPair::Parts(coil, coil),
                outcome: SwapOutcome::Stayed,
            },
            Why::SwappedWithItself,
        ),
        (
            Seen::Look {
                element: Element::Gap(nowhere),
                look: Look::Sound,
            },
            Why::NoElement,
        ),
    ];
    let case = Case::of(&harness).unwrap();
    let before = case.assess_with(&[]).unwrap();
    for (seen, why) in cases {
        let findings = [finding(7, seen)];
        let assessment = case.assess_with(&findings).unwrap();
        assert_eq!(assessment.troubles.len(), 1);
        assert_eq!(assessment.troubles[0].why, why);
        let told = assessment.troubles[0].to_string();
        assert!(
            told.starts_with("finding 7: ") && told.contains(';'),
            "{told}"
        );
        assert_eq!(assessment.belief, before.belief);
    }
}

#[test]
fn contradictions_are_told_and_stay_finite() {
    let harness = file::read(V8).unwrap();
    let case = Case::of(&harness).unwrap();
    let control = part_named(&harness, "Control unit");
    // All cylinders dead, yet regular sparks on every lead, and a fuse change cured it, and did not.
    let mut findings = Vec::new();
    for cylinder in harness.engine.cylinders() {
        let number = u32::from(cylinder.0);
        findings.push(finding(
            number,
            Seen::Contribution {
                cylinder,
                works: Works::Dead,
            },
        ));
        findings.push(finding(
            100 + number,
            Seen::Spark {
                cylinder,
                spark: Spark::Yes,
            },
        ));
    }
    for (number, effect) in [(201, Effect::Cured), (202, Effect::Same)] {
        findings.push(finding(
            number,
            Seen::Substituted {
                part: control,
                with: Substitute::KnownGood,
                effect,
            },
        ));
    }
    let assessment = case.assess_with(&findings).unwrap();
    let sum: f64 = assessment.belief.units().iter().sum();
    assert!((sum - 1.0).abs() < 1e-9);
    assert!(assessment.belief.suspects().iter().all(|p| p.is_finite()));
    assert_ne!(case.explained(&assessment), Explained::ByOne);
    let Explained::CheckAgain(again) = case.explained(&assessment) else {
        panic!("the doubtful ones are named");
    };
    assert!(!again.is_empty());
}

/// A case keeps what it reckoned last. Whatever it was asked before, it says what a fresh one says, to the last bit.
#[test]
fn what_was_reckoned_before_changes_nothing() {
    let harness = file::read(V8).unwrap();
    let findings = &harness.findings;
    let case = Case::of(&harness).unwrap();
    let many = findings.len();
    // Growing, shrinking, one in the middle left out, another answer, unsure whether the fault showed.
    let mut lists: Vec<Vec<Finding>> = (many - 4..=many).map(|n| findings[..n].to_vec()).collect();
    lists.push(findings[..many - 2].to_vec());
    lists.push([&findings[..8], &findings[9..]].concat());
    let mut other = findings.clone();
    let Some(Seen::Volts { reading, .. }) = other.last_mut().map(|last| &mut last.seen) else {
        panic!("the last finding is a voltage");
    };
    *reading = Volts::lit(11.0);
    lists.push(other.clone());
    other[0].fault_then = FaultThen::Unknown;
    lists.push(other);
    lists.push(findings.clone());
    for list in lists {
        let fresh = Case::of(&harness).unwrap();
        let (ours, theirs) = (case.assess_with(&list), fresh.assess_with(&list));
        assert_eq!(ours.unwrap(), theirs.unwrap());
    }
}

#[test]
fn what_is_explained_and_cleared_at_once_is_what_either_tells() {
    let harness = file::read(V8).unwrap();
    let case = Case::of(&harness).unwrap();
    let told = case.assess().unwrap();
    let units: Vec<_> = case
        .ranked(&told, 0.01)
        .into_iter()
        .map(|(unit, _)| unit)
        .collect();
    let (explained, cleared) = case.explain_and_clear(&told, &units);
    assert!(!explained.is_empty() && !cleared.is_empty());
    assert_eq!(explained, case.explain(&told, &units));
    assert_eq!(cleared, case.cleared(&told));
}

#[test]
fn taking_back_and_order_on_a_sample() {
    let mut harness = file::read(V8).unwrap();
    let case = Case::of(&harness).unwrap();
    let whole = case.assess().unwrap();
    let mut turned = harness.findings.clone();
    turned.reverse();
    assert_eq!(case.assess_with(&turned).unwrap().belief, whole.belief);
    let without: Vec<Finding> = harness.findings[1..].to_vec();
    let never = case.assess_with(&without).unwrap().belief;
    let mut back = harness.findings.clone();
    back[0].standing = Standing::TakenBack;
    assert_eq!(case.assess_with(&back).unwrap().belief, never);
    assert_ne!(never, whole.belief);
    drop(case);
    // A part that is known to be new is suspected less.
    let coil = part_named(&harness, "Coil B");
    let share = |harness: &Harness| {
        let case = Case::of(harness).unwrap();
        let unit = case
            .unit_number(sparktrail_core::isolation::Unit::Part(coil))
            .unwrap();
        case.assess_with(&[]).unwrap().belief.unit(unit)
    };
    let unknown = share(&harness);
    harness.parts.get_mut(&coil).unwrap().condition.age = Age::New;
    assert!(share(&harness) < 0.5 * unknown);
}

#[test]
fn every_answer_of_every_act_is_a_probability() {
    let harness = file::read(TWIN).unwrap();
    let case = Case::of(&harness).unwrap();
    let plan = Plan::of(&case);
    // Nothing of the catalogue fell out: each act could be reckoned.
    assert_eq!(plan.table().tests(), plan.catalogue().acts.len());
    // Grown in small steps it is the same.
    let mut steps = Plan::begin(&case);
    while steps.grow(&case, 3) > 0 {}
    assert_eq!(steps.table(), plan.table());
    // Nothing found yet: the first proposals are cheap, and soldering is not among them.
    let assessment = case.assess_with(&[]).unwrap();
    let (_, paid) = plan.done(&assessment);
    for proposal in plan.next(&case, &assessment, paid, 5) {
        let chances: f64 = proposal.outcomes.iter().map(|o| o.chance).sum();
        assert!((chances - 1.0).abs() < 1e-4, "{chances}");
        assert!(proposal.price < 30.0 && proposal.bits > 0.0);
    }
    let asked: Vec<&Question> = plan.catalogue().acts.iter().map(|a| &a.question).collect();
    for (place, question) in asked.iter().enumerate() {
        assert!(!asked[..place].contains(question), "{question:?} twice");
    }
    assert_ne!(meaning("P0301"), meaning("P0302"));
}
