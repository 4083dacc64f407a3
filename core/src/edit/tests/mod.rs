//! Laws of the history, on random commands over a small harness.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod changes;
mod clashes;
mod firing;
mod laws;
pub(crate) mod random;
mod splices;

use std::sync::Arc;

use proptest::prelude::*;

use super::{Command, EditError, FactAt, History, apply, count_facts, facts, provenance};
use crate::engine::{Bank, CylinderId, Engine, Firing, Layout, Strokes};
use crate::model::{
    Coil, FaultThen, FindingId, Harness, PartId, PartKind, Plug, Secondary, Seen, Standing,
    Timestamp, Wire, WireId, Works,
};
use crate::provenance::{Fact, Provenance};
use crate::units::Ohms;

fn twin() -> Harness {
    let cylinders = vec![CylinderId(1), CylinderId(2)];
    let mut harness = Harness::new(
        "Twin",
        Engine {
            strokes: Strokes::Four,
            layout: Layout::Inline,
            banks: vec![Bank {
                name: String::new(),
                cylinders: cylinders.clone(),
            }],
            order: Fact::diagram(cylinders),
            firing: Fact::assumed(Firing::Even),
        },
    );
    let mut coil = Coil::new(Secondary::TwoEnded);
    coil.primary_resistance = Some(Fact::measured(Ohms::lit(0.6)));
    harness.add_part("Coil", PartKind::Coil(coil));
    harness.add_part(
        "Plug 1",
        PartKind::Plug(Plug {
            cylinder: Some(Fact::assumed(CylinderId(1))),
            ..Plug::default()
        }),
    );
    harness.add_wire(Wire::default());
    harness
}

fn how() -> impl Strategy<Value = Provenance> {
    prop_oneof![
        Just(Provenance::Assumed),
        Just(Provenance::Diagram),
        Just(Provenance::Measured)
    ]
}

fn works() -> impl Strategy<Value = Works> {
    prop_oneof![
        Just(Works::Alive),
        Just(Works::Dead),
        Just(Works::Sometimes)
    ]
}

/// Commands of every kind; some name things that the twin does not have.
fn command() -> impl Strategy<Value = Command> {
    let part = (1_u32..5).prop_map(PartId::from_number);
    prop_oneof![
        "[a-z]{0,3}".prop_map(Command::Rename),
        "[a-z]{0,3}".prop_map(Command::SetAbout),
        (part, "[a-z]{0,2}").prop_map(|(part, name)| Command::RenamePart { part, name }),
        (0_usize..6, how()).prop_map(|(which, how)| {
            let twin = twin();
            let all = facts(&twin);
            let at = all
                .get(which)
                .map_or(FactAt::FuseRating(PartId::from_number(9)), |f| f.0);
            Command::SetProvenance { at, how }
        }),
        (0_u8..4, works(), proptest::option::of(0_i64..9)).prop_map(|(c, works, at)| {
            Command::Mark {
                cylinder: CylinderId(c),
                works,
                at: at.map(Timestamp),
            }
        }),
        (proptest::collection::vec((0_u8..4, works()), 0..4)).prop_map(|marks| {
            let marks = marks.into_iter().map(|(c, works)| (CylinderId(c), works));
            Command::MarkAll {
                marks: marks.collect(),
                at: None,
            }
        }),
        (0_u8..4).prop_map(|c| Command::Unmark(CylinderId(c))),
        (1_u8..3).prop_map(|c| Command::AddFinding {
            seen: Seen::Contribution {
                cylinder: CylinderId(c),
                works: Works::Dead,
            },
            setup: None,
            fault_then: FaultThen::Unknown,
            at: None,
            note: String::new(),
        }),
        (1_u32..9).prop_map(|id| Command::SetStanding {
            finding: FindingId::from_number(id),
            standing: Standing::TakenBack,
        }),
        (1_u32..9).prop_map(|id| Command::CorrectFinding {
            finding: FindingId::from_number(id),
            seen: Seen::Contribution {
                cylinder: CylinderId(1),
                works: Works::Alive,
            },
            setup: None,
            fault_then: FaultThen::Away,
        }),
        Just(Command::Replace(Arc::new(twin()))),
    ]
}

proptest! {
    #[test]
    fn undo_after_apply_is_identity(commands in prop::collection::vec(command(), 1..30)) {
        let mut history = History::new(Arc::new(twin()));
        let mut seen = vec![Arc::clone(history.now())];
        for command in commands {
            let before = Arc::clone(history.now());
            let _ = history.apply(command);
            if !Arc::ptr_eq(&before, history.now()) {
                seen.push(Arc::clone(history.now()));
            }
        }
        for at in (0..seen.len() - 1).rev() {
            history.undo();
            prop_assert!(Arc::ptr_eq(history.now(), &seen[at]));
        }
        prop_assert!(history.undoes().is_none());
        for state in &seen[1..] {
            history.redo();
            prop_assert!(Arc::ptr_eq(history.now(), state));
        }
        prop_assert!(history.redoes().is_none());
    }

    #[test]
    fn a_refused_command_changes_nothing(commands in prop::collection::vec(command(), 1..30)) {
        let mut history = History::new(Arc::new(twin()));
        for command in commands {
            let before = Arc::clone(history.now());
            if history.apply(command).is_err() {
                prop_assert!(Arc::ptr_eq(&before, history.now()));
            }
        }
    }

    #[test]
    fn no_id_is_given_out_twice(undone in 1_usize..5) {
        let mut history = History::new(Arc::new(twin()));
        let mark = |works| Command::Mark { cylinder: CylinderId(1), works, at: None };
        let mut given = Vec::new();
        for _ in 0..undone {
            history.apply(mark(Works::Dead)).unwrap();
            given.push(history.now().findings.last().unwrap().id);
        }
        for _ in 0..undone {
            history.undo();
        }
        history.apply(mark(Works::Alive)).unwrap();
        prop_assert!(!given.contains(&history.now().findings.last().unwrap().id));
    }
}

#[test]
fn a_mark_takes_the_earlier_one_back() {
    let mut history = History::new(Arc::new(twin()));
    for works in [Works::Dead, Works::Alive] {
        history
            .apply(Command::Mark {
                cylinder: CylinderId(2),
                works,
                at: None,
            })
            .unwrap();
    }
    let standing: Vec<Standing> = history.now().findings.iter().map(|f| f.standing).collect();
    assert_eq!(standing, [Standing::TakenBack, Standing::Counts]);
}

#[test]
fn a_command_without_effect_is_no_step() {
    let mut history = History::new(Arc::new(twin()));
    history.apply(Command::Rename("Twin".into())).unwrap();
    assert!(history.undoes().is_none());
}

#[test]
fn facts_are_found_counted_and_changed() {
    let twin = twin();
    let count = count_facts(&twin);
    assert_eq!(
        (count.assumed, count.diagram, count.measured, count.all()),
        (2, 1, 1, 4)
    );
    let at = FactAt::PlugCylinder(PartId::from_number(2));
    let how = Provenance::Measured;
    let next = apply(&twin, &Command::SetProvenance { at, how }).unwrap();
    assert_eq!(provenance(&twin, at), Some(Provenance::Assumed));
    assert_eq!(provenance(&next, at), Some(Provenance::Measured));
    assert_eq!(count_facts(&next).measured, 2);
}

#[test]
fn a_fact_without_a_value_is_refused() {
    let at = FactAt::WireColour(WireId::from_number(3));
    let how = Provenance::Measured;
    assert_eq!(
        apply(&twin(), &Command::SetProvenance { at, how }),
        Err(EditError::NoFact(at))
    );
}

#[test]
fn a_finding_that_is_changed_keeps_its_id_and_time() {
    let mark = Command::Mark {
        cylinder: CylinderId(1),
        works: Works::Dead,
        at: Some(Timestamp(7)),
    };
    let before = apply(&twin(), &mark).unwrap();
    let entered = before.findings[0].clone();
    let seen = Seen::Contribution {
        cylinder: CylinderId(1),
        works: Works::Sometimes,
    };
    let change = |finding| Command::CorrectFinding {
        finding,
        seen: seen.clone(),
        setup: None,
        fault_then: FaultThen::Away,
    };
    let after = apply(&before, &change(entered.id)).unwrap();
    let changed = &after.findings[0];
    assert_eq!((changed.id, changed.at), (entered.id, entered.at));
    assert_eq!(changed.seen, seen);
    assert_eq!(changed.fault_then, FaultThen::Away);
    let nobody = FindingId::from_number(99);
    assert_eq!(
        apply(&before, &change(nobody)),
        Err(EditError::NoFinding(nobody))
    );
}
