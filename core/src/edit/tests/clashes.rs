//! Facts that clash are kept side by side until somebody settles them.

use std::sync::Arc;

use crate::edit::layouts::{Plan, build, propose_engine};
use crate::edit::{Command, EditError, FactAt, FactValue, Hanging, History, Rival, apply};
use crate::engine::{Layout, Strokes};
use crate::model::{Colour, Harness, MapFinding, PartKind, WireColour, WireId, check};
use crate::provenance::{Fact, Provenance};

fn four() -> Harness {
    build(&Plan::new(
        "Four",
        propose_engine(4, Layout::Inline, Strokes::Four),
    ))
    .unwrap()
}

fn colour(base: Colour) -> FactValue {
    FactValue::Colour(WireColour { base, tracer: None })
}

struct Case {
    history: History,
    at: FactAt,
}

impl Case {
    fn new() -> Self {
        let harness = four();
        let wire = *harness.wires.keys().next().unwrap();
        Self {
            history: History::new(Arc::new(harness)),
            at: FactAt::WireColour(wire),
        }
    }

    fn say(&mut self, base: Colour, how: Provenance) {
        let value = colour(base);
        let fact = Some(Fact { value, how });
        let at = self.at;
        self.history.apply(Command::SetFact { at, fact }).unwrap();
    }

    /// The base colour that stands on the map, how it is known, and what else is said.
    fn stands(&self) -> (FactValue, Provenance, Vec<(FactValue, Provenance)>) {
        let harness = self.history.now();
        let held = harness.fact(self.at).unwrap();
        let rivals = harness.rivals_of(self.at).map(|r| (r.value.clone(), r.how));
        (held.value, held.how, rivals.collect())
    }
}

const ASSUMED: Provenance = Provenance::Assumed;
const DIAGRAM: Provenance = Provenance::Diagram;
const MEASURED: Provenance = Provenance::Measured;

#[test]
fn an_assumption_gives_way_and_the_same_origin_corrects() {
    let mut case = Case::new();
    case.say(Colour::Green, DIAGRAM);
    assert_eq!(case.stands(), (colour(Colour::Green), DIAGRAM, vec![]));
    case.say(Colour::Grey, DIAGRAM);
    assert_eq!(case.stands(), (colour(Colour::Grey), DIAGRAM, vec![]));
}

#[test]
fn the_car_stands_above_the_diagram_whichever_was_told_first() {
    let both = (
        colour(Colour::Grey),
        MEASURED,
        vec![(colour(Colour::Green), DIAGRAM)],
    );
    let mut case = Case::new();
    case.say(Colour::Green, DIAGRAM);
    case.say(Colour::Grey, MEASURED);
    assert_eq!(case.stands(), both);
    let mut case = Case::new();
    case.say(Colour::Grey, MEASURED);
    case.say(Colour::Green, DIAGRAM);
    assert_eq!(case.stands(), both);
    let clash = MapFinding::FactsClash { at: case.at };
    let harness = case.history.now();
    assert!(check(harness).contains(&clash));
    let told = clash.named(harness).to_string();
    assert!(
        told.contains("GY (measured) and GN (from a diagram)"),
        "{told}"
    );
    case.say(Colour::Pink, ASSUMED);
    assert_eq!(case.stands().2.len(), 2);
    case.history.undo();
    case.history.undo();
    assert_eq!(case.stands(), (colour(Colour::Grey), MEASURED, vec![]));
}

#[test]
fn who_comes_round_ends_the_clash() {
    let mut case = Case::new();
    case.say(Colour::Green, DIAGRAM);
    case.say(Colour::Grey, MEASURED);
    case.say(Colour::Green, MEASURED);
    assert_eq!(case.stands(), (colour(Colour::Green), MEASURED, vec![]));
    case.say(Colour::Green, ASSUMED);
    assert_eq!(case.stands(), (colour(Colour::Green), MEASURED, vec![]));
}

#[test]
fn a_clash_is_settled_either_way() {
    let mut case = Case::new();
    case.say(Colour::Green, DIAGRAM);
    case.say(Colour::Grey, MEASURED);
    let settle = |case: &Case, base| {
        let keep = colour(base);
        apply(case.history.now(), &Command::Settle { at: case.at, keep })
    };
    let kept = settle(&case, Colour::Grey).unwrap();
    assert_eq!(
        kept.fact(case.at),
        Some(Fact::measured(colour(Colour::Grey)))
    );
    assert!(kept.rivals.is_empty());
    let taken = settle(&case, Colour::Green).unwrap();
    assert_eq!(
        taken.fact(case.at),
        Some(Fact::diagram(colour(Colour::Green)))
    );
    assert!(taken.rivals.is_empty());
    assert_eq!(settle(&case, Colour::Red), Err(EditError::NoRival(case.at)));
}

#[test]
fn a_clash_goes_with_what_it_is_about() {
    let mut case = Case::new();
    case.say(Colour::Green, DIAGRAM);
    case.say(Colour::Grey, MEASURED);
    let FactAt::WireColour(wire) = case.at else {
        panic!("not a colour");
    };
    let gone = apply(case.history.now(), &Command::RemoveWire(wire)).unwrap();
    assert!(gone.rivals.is_empty());
    let unknown = Command::SetFact {
        at: case.at,
        fact: None,
    };
    assert!(
        apply(case.history.now(), &unknown)
            .unwrap()
            .rivals
            .is_empty()
    );
}

#[test]
fn a_rival_that_names_a_part_goes_with_that_part() {
    let mut harness = four();
    let is = |found: fn(&PartKind) -> bool| {
        let part = harness.parts.iter().find(|(_, part)| found(&part.kind));
        *part.unwrap().0
    };
    let part = is(|kind| matches!(kind, PartKind::KeySwitch));
    let wire: WireId = *harness.wires.keys().next().unwrap();
    let port = crate::model::Port::In;
    harness.rivals.push(Rival {
        at: FactAt::WireEnd(wire, crate::model::WireEnd::To),
        value: FactValue::Terminal(crate::model::Terminal { part, port }),
        how: Provenance::Diagram,
    });
    let hanging = Hanging::Loose;
    let gone = apply(&harness, &Command::RemovePart { part, hanging }).unwrap();
    assert!(gone.rivals.is_empty());
}

#[test]
fn numbers_clash_too() {
    let harness = four();
    let coil = harness
        .parts
        .iter()
        .find(|(_, p)| matches!(p.kind, PartKind::Coil(_)));
    let at = FactAt::PrimaryResistance(*coil.unwrap().0);
    let set = |harness: &Harness, value, how| {
        let value = Some(Fact { value, how });
        apply(harness, &Command::SetNominal { at, value }).unwrap()
    };
    let harness = set(&set(&harness, 0.5, DIAGRAM), 0.7, MEASURED);
    assert_eq!(
        harness.fact(at),
        Some(Fact::measured(FactValue::Number(0.7)))
    );
    assert_eq!(harness.rivals_of(at).count(), 1);
}
