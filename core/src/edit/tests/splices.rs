//! A splice put into a wire, and what is joined there.

use std::sync::Arc;

use crate::edit::layouts::{Plan, build, propose_engine};
use crate::edit::{Command, EditError, FactAt, FactValue, Hanging, History, Meets, apply};
use crate::engine::{Layout, Strokes};
use crate::model::{
    CaseStep, Colour, Element, FaultThen, Harness, Look, PartId, PartKind, Port, Seen, Terminal,
    WireColour, WireEnd, WireId, check,
};
use crate::provenance::{Fact, Provenance};
use crate::topology::Topology;
use crate::units::Metres;

const MEASURED: Provenance = Provenance::Measured;

fn four() -> Harness {
    build(&Plan::new(
        "Four",
        propose_engine(4, Layout::Inline, Strokes::Four),
    ))
    .unwrap()
}

/// A wire of which both ends are known, measured to be green with a white stripe and 1.5 m long.
fn known() -> (Harness, WireId) {
    let harness = four();
    let unit = harness.parts.iter().find_map(|(id, part)| {
        let is_unit = matches!(part.kind, PartKind::ControlUnit(_));
        is_unit.then_some(*id)
    });
    let wire = harness.wires.iter().find(|(_, wire)| {
        let at_unit = wire.from.is_some_and(|fact| Some(fact.value.part) == unit);
        at_unit && wire.to.is_some()
    });
    let wire = *wire.unwrap().0;
    let colour = WireColour {
        base: Colour::Green,
        tracer: Some(Colour::White),
    };
    let say = |at, value| Command::SetFact {
        at,
        fact: Some(Fact::measured(value)),
    };
    let all = Command::Batch(vec![
        say(FactAt::WireColour(wire), FactValue::Colour(colour)),
        say(FactAt::WireLength(wire), FactValue::Number(1.5)),
    ]);
    (apply(&harness, &all).unwrap(), wire)
}

fn splice(wire: WireId, meets: Meets) -> Command {
    Command::Splice {
        wire,
        name: "Splice".into(),
        at: None,
        meets,
        how: MEASURED,
    }
}

fn new_splice(harness: &Harness) -> PartId {
    let (id, part) = harness.parts.last_key_value().unwrap();
    assert!(matches!(part.kind, PartKind::Splice));
    *id
}

#[test]
fn a_wire_with_a_splice_conducts_as_before_and_keeps_its_looks() {
    let (before, wire) = known();
    let after = apply(&before, &splice(wire, Meets::Nothing)).unwrap();
    let joint = Terminal {
        part: new_splice(&after),
        port: Port::Joint,
    };
    assert_eq!(after.wires.len(), before.wires.len() + 1);
    let (_, far) = after.wires.last_key_value().unwrap();
    let near = &after.wires[&wire];
    let old = &before.wires[&wire];
    assert_eq!((near.from, far.to), (old.from, old.to));
    assert_eq!((near.to, far.from), (Some(Fact::measured(joint)), near.to));
    assert_eq!((near.colour, far.colour), (old.colour, old.colour));
    let half = Some(Fact::assumed(Metres::lit(0.75)));
    assert_eq!((near.length, far.length), (half, half));
    // Whoever depended on the wire depends on both halves.
    let dependent = |harness: &Harness, wire| Topology::of(harness).dependents(Element::Wire(wire));
    let far = *after.wires.last_key_value().unwrap().0;
    assert_eq!(dependent(&after, wire), dependent(&before, wire));
    assert_eq!(dependent(&after, far), dependent(&before, wire));
    assert_eq!(check(&after).len(), check(&before).len());
}

#[test]
fn another_wires_end_and_a_terminal_are_joined_at_the_splice() {
    let (harness, wire) = known();
    let other = *harness.wires.keys().find(|id| **id != wire).unwrap();
    let from_air = Command::SetFact {
        at: FactAt::WireEnd(other, WireEnd::To),
        fact: None,
    };
    let loose = apply(&harness, &from_air).unwrap();
    let joined = apply(&loose, &splice(wire, Meets::End(other, WireEnd::To))).unwrap();
    let joint = Terminal {
        part: new_splice(&joined),
        port: Port::Joint,
    };
    assert_eq!(joined.wires[&other].to, Some(Fact::measured(joint)));

    let from = harness.wires[&other].from.unwrap().value;
    let wired = apply(&harness, &splice(wire, Meets::Terminal(from))).unwrap();
    assert_eq!(wired.wires.len(), harness.wires.len() + 2);
    let (_, new) = wired.wires.last_key_value().unwrap();
    assert_eq!(new.from.map(|fact| fact.value), Some(from));
    let part = new_splice(&wired);
    assert_eq!(new.to.map(|fact| fact.value.part), Some(part));
}

#[test]
fn what_was_found_and_said_at_the_far_end_goes_with_it() {
    let (harness, wire) = known();
    let element = Element::Joint(wire, WireEnd::To);
    let near = Element::Joint(wire, WireEnd::From);
    let look = |element| Command::AddFinding {
        seen: Seen::Look {
            element,
            look: Look::Damaged,
        },
        setup: None,
        fault_then: FaultThen::Unknown,
        at: None,
        note: String::new(),
    };
    let log = Command::Log {
        step: CaseStep::Work,
        text: "cleaned".into(),
        element: Some(element),
        at: None,
    };
    // The diagram said the wire is blue, and ends elsewhere.
    let blue = FactValue::Colour(WireColour {
        base: Colour::Blue,
        tracer: None,
    });
    let end = FactAt::WireEnd(wire, WireEnd::To);
    let (old, from) = (
        harness.fact(end).unwrap().value,
        harness.wires[&wire].from.unwrap().value,
    );
    let elsewhere = FactValue::Terminal(from);
    let say = |at, fact| Command::SetFact {
        at,
        fact: Some(fact),
    };
    let all = Command::Batch(vec![
        look(element),
        look(near),
        log,
        say(FactAt::WireColour(wire), Fact::diagram(blue.clone())),
        say(end, Fact::measured(old)),
        say(end, Fact::diagram(elsewhere.clone())),
    ]);
    let before = apply(&harness, &all).unwrap();
    let after = apply(&before, &splice(wire, Meets::Nothing)).unwrap();
    let far = *after.wires.last_key_value().unwrap().0;
    let moved = Element::Joint(far, WireEnd::To);
    let seen: Vec<_> = after.findings.iter().map(|found| &found.seen).collect();
    assert!(matches!(seen[0], Seen::Look { element, .. } if *element == moved));
    assert!(matches!(seen[1], Seen::Look { element, .. } if *element == near));
    assert_eq!(after.work[0].element, Some(moved));
    let also = |at| -> Vec<FactValue> { after.rivals_of(at).map(|r| r.value.clone()).collect() };
    assert_eq!(also(FactAt::WireEnd(far, WireEnd::To)), [elsewhere]);
    assert_eq!(also(end), []);
    assert_eq!(also(FactAt::WireColour(wire)), std::slice::from_ref(&blue));
    assert_eq!(also(FactAt::WireColour(far)), [blue]);
}

#[test]
fn a_loose_wire_is_spliced_too_and_the_splice_is_undone() {
    let (harness, wire) = known();
    let loosen = Command::SetFact {
        at: FactAt::WireEnd(wire, WireEnd::To),
        fact: None,
    };
    let loose = Arc::new(apply(&harness, &loosen).unwrap());
    let mut history = History::new(Arc::clone(&loose));
    history.apply(splice(wire, Meets::Nothing)).unwrap();
    assert_eq!(history.now().wires.last_key_value().unwrap().1.to, None);
    history.undo();
    assert!(Arc::ptr_eq(history.now(), &loose));
}

#[test]
fn what_cannot_be_spliced_is_refused() {
    let (harness, wire) = known();
    let gone = WireId::from_number(4_000_000);
    let plug = harness.parts.iter().find_map(|(&part, known)| {
        let port = Port::PlugTop;
        matches!(known.kind, PartKind::Plug(_)).then_some(Terminal { part, port })
    });
    let plug = plug.unwrap();
    for (command, expected) in [
        (splice(gone, Meets::Nothing), EditError::NoWire(gone)),
        (
            splice(wire, Meets::End(gone, WireEnd::To)),
            EditError::NoWire(gone),
        ),
        (
            splice(wire, Meets::End(wire, WireEnd::From)),
            EditError::OntoItself(wire),
        ),
        (
            splice(wire, Meets::Terminal(plug)),
            EditError::TakesNoWire(plug),
        ),
    ] {
        assert_eq!(apply(&harness, &command), Err(expected));
        assert!(!expected.told(&harness).is_empty());
    }
    // A splice that is taken away again takes both halves with it, or leaves them loose.
    let after = apply(&harness, &splice(wire, Meets::Nothing)).unwrap();
    let part = new_splice(&after);
    let hanging = Hanging::Loose;
    let left = apply(&after, &Command::RemovePart { part, hanging }).unwrap();
    assert_eq!(left.wires.len(), harness.wires.len() + 1);
    assert_eq!(left.wires[&wire].to, None);
}
