//! Where a dead cylinder's coil has a wire that nobody has followed, Next says to trace it before it wanders.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::{Case, Loose, Plan, Stop};
use sparktrail_core::model::*;
use sparktrail_core::trace::trials::followed;

/// An unfinished map: two of three coils have a wire that goes into the taped loom, two pins lead nowhere.
const UNFINISHED: &str = include_str!("../../sample-harnesses/barn-find.json");
const WHOLE: &str = include_str!("../../sample-harnesses/red-twin.json");

fn part(harness: &Harness, name: &str) -> PartId {
    let mut parts = harness.parts.iter();
    *parts.find(|(_, part)| part.name == name).unwrap().0
}

/// What is seen with the fault there, added to what was found already.
fn seeing(mut harness: Harness, seen: impl IntoIterator<Item = Seen>) -> Harness {
    for seen in seen {
        let id = harness.fresh();
        harness
            .findings
            .push(Finding::new(id, seen, FaultThen::Present));
    }
    harness
}

fn first(harness: &Harness) -> (Option<Loose>, Stop) {
    let case = Case::of(harness).unwrap();
    let plan = Plan::of(&case);
    let assessment = case.assess().unwrap();
    let (stop, _) = plan.advise(&case, &assessment, 1);
    (case.trace_first(&assessment, stop), stop)
}

/// The coil of the dead cylinders is sound and its plug clean: what is left is on the way to a pin that nobody knows.
fn left_with_the_wire() -> Harness {
    let harness = file::read(UNFINISHED).unwrap();
    let (a, c) = (part(&harness, "Coil A"), part(&harness, "Coil C"));
    let control = Terminal {
        part: c,
        port: Port::Switched,
    };
    let seen = [
        Seen::Swapped {
            what: SwapPair::Parts(a, c),
            outcome: SwapOutcome::Stayed,
        },
        Seen::Cleaned {
            element: Element::Mated(control),
            effect: Effect::Same,
        },
    ];
    seeing(harness, seen)
}

#[test]
fn a_wire_to_nowhere_is_traced_before_more_is_tested() {
    let harness = left_with_the_wire();
    let (loose, stop) = first(&harness);
    let loose = loose.unwrap_or_else(|| panic!("nothing to trace: {stop:?}"));
    assert_eq!(loose.unit, part(&harness, "Control unit"));
    assert_eq!(loose.coils, [part(&harness, "Coil C")]);
    assert_eq!(loose.cylinders, [CylinderId(3), CylinderId(4)]);
    // Those without a use; the ground pin without a number has one.
    assert_eq!(loose.pins.len(), 2, "{:?}", loose.pins);
    let roles = loose
        .pins
        .iter()
        .map(|pin| harness.pin(loose.unit, *pin).unwrap().role);
    assert!(roles.into_iter().all(|role| role.is_none()));
    assert!(loose.share > 0.2 && loose.share <= 1.0, "{}", loose.share);
}

/// Once the map is traced, the same findings ask for no trace: the planner goes on.
#[test]
fn a_traced_map_is_tested_as_any_other() {
    let harness = left_with_the_wire();
    for turn in 0..2 {
        let traced = followed(&harness, turn).unwrap();
        assert!(traced.measurements > 0 && traced.minutes > 0.0);
        assert_eq!(
            Loose::around(&traced.harness, &harness.engine.cylinders()),
            None
        );
        let (loose, _) = first(&traced.harness);
        assert_eq!(loose, None);
    }
}

/// Cylinders whose coil is on a known pin give no reason to trace the others' wires.
#[test]
fn only_the_wires_of_dead_cylinders_are_traced() {
    let mut harness = file::read(UNFINISHED).unwrap();
    for finding in &mut harness.findings {
        if let Seen::Contribution { cylinder, works } = &mut finding.seen {
            // Coil A feeds these, and its pin is known.
            let dead = matches!(cylinder, CylinderId(1 | 6));
            *works = if dead { Works::Dead } else { Works::Alive };
        }
    }
    assert_eq!(first(&harness).0, None);
    assert_eq!(
        Loose::around(&harness, &[CylinderId(1), CylinderId(6)]),
        None
    );
}

#[test]
fn a_map_without_loose_ends_asks_for_no_trace() {
    let harness = file::read(WHOLE).unwrap();
    assert_eq!(Loose::around(&harness, &harness.engine.cylinders()), None);
    assert_eq!(first(&harness).0, None);
}
