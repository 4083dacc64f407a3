//! The firing order and the crank angles are corrected like any other fact, and the check answers.

use std::sync::Arc;

use crate::edit::layouts::{Plan, build, propose_engine, propose_uneven, read_order};
use crate::edit::{Command, EditError, FactAt, FactValue, History, apply};
use crate::engine::{CylinderId, Firing, Layout, Strokes};
use crate::model::{MapFinding, check};
use crate::provenance::Fact;
use crate::units::Degrees;

fn v6() -> Arc<crate::model::Harness> {
    let bank_angle = Degrees::lit(90.0);
    let engine = propose_engine(6, Layout::Vee { bank_angle }, Strokes::Four);
    Arc::new(build(&Plan::new("Six", engine)).unwrap())
}

fn say(at: FactAt, value: FactValue) -> Command {
    Command::SetFact {
        at,
        fact: Some(Fact::measured(value)),
    }
}

fn of_engine(harness: &crate::model::Harness) -> Vec<MapFinding> {
    let mut found = check(harness);
    found.retain(MapFinding::is_of_engine);
    found
}

#[test]
fn another_order_parts_the_companions_and_undo_joins_them_again() {
    let mut history = History::new(v6());
    assert_eq!(of_engine(history.now()), []);
    let pairs = history.now().engine.companions().pairs;
    let order = read_order("1-4-2-3-5-6", &history.now().engine.cylinders()).unwrap();
    let command = say(FactAt::FiringOrder, FactValue::Order(order.clone()));
    history.apply(command).unwrap();
    assert_eq!(history.now().engine.order, Fact::measured(order));
    assert_ne!(history.now().engine.companions().pairs, pairs);
    // The coils still join the cylinders of the old order: the check names each that no longer can.
    let found = of_engine(history.now());
    assert!(
        found
            .iter()
            .any(|found| matches!(found, MapFinding::NotCompanions { .. })),
        "{found:?}"
    );
    history.undo();
    assert_eq!(history.now().engine.companions().pairs, pairs);
    assert_eq!(of_engine(history.now()), []);
}

#[test]
fn uneven_angles_leave_no_companions_and_the_check_says_so() {
    let harness = v6();
    let angles = propose_uneven(&harness.engine);
    let uneven = FactValue::Firing(Firing::At(angles));
    let after = apply(&harness, &say(FactAt::FiringAngles, uneven)).unwrap();
    assert!(after.engine.companions().pairs.is_empty());
    assert!(!of_engine(&after).is_empty());
    let even = FactValue::Firing(Firing::Even);
    let back = apply(&after, &say(FactAt::FiringAngles, even)).unwrap();
    assert_eq!(back.engine.companions(), harness.engine.companions());
}

#[test]
fn an_order_of_cylinders_that_are_not_there_is_refused() {
    let order = vec![CylinderId(1), CylinderId(7)];
    let command = say(FactAt::FiringOrder, FactValue::Order(order));
    let refused = Err(EditError::NoCylinder(CylinderId(7)));
    assert_eq!(apply(&v6(), &command), refused);
}
