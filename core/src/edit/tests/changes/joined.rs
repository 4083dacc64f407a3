//! Wires and leads: joined, taken off, routed elsewhere, with ends unknown.

use super::*;

#[test]
fn two_terminals_are_joined_by_a_wire_with_its_looks() {
    let harness = four();
    let from = at(&harness, "Ignition fuse", Port::Out);
    let to = at(&harness, "Coil B", Port::Feed);
    let colour = WireColour {
        base: Colour::Green,
        tracer: Some(Colour::White),
    };
    let look = WireLook {
        colour: Some(colour),
        size: Some(WireSize::Awg(18)),
        length: Some(Metres::lit(1.5)),
    };
    let joined = done(
        &harness,
        &Command::Connect {
            from,
            to,
            how: Provenance::Measured,
            look,
        },
    );
    let (_, wire) = joined.wires.last_key_value().unwrap();
    assert_eq!(wire.from, Some(Fact::measured(from)));
    assert_eq!(wire.to, Some(Fact::measured(to)));
    assert_eq!(wire.colour, Some(Fact::measured(colour)));
    assert_eq!(wire.size, Some(Fact::measured(WireSize::Awg(18))));
    assert_eq!(wire.length, Some(Fact::measured(Metres::lit(1.5))));
    let refused = |from, to| {
        let look = WireLook::default();
        apply(
            &harness,
            &Command::Connect {
                from,
                to,
                how: Provenance::Assumed,
                look,
            },
        )
    };
    assert_eq!(refused(from, from), Err(EditError::ToItself(from)));
    let tower = at(&harness, "Coil B", Port::TowerA);
    assert_eq!(refused(from, tower), Err(EditError::TakesNoWire(tower)));
    let gone = Terminal {
        port: Port::DriveIn,
        ..to
    };
    assert_eq!(refused(from, gone), Err(EditError::NoTerminal(gone)));
    let other = at(&harness, "Coil A", Port::TowerA);
    assert_eq!(refused(tower, other), Err(EditError::TakesNoWire(other)));
}

#[test]
fn a_tower_and_a_plug_are_joined_by_a_lead_the_loose_one_first() {
    let harness = four();
    let lead = part(&harness, "Lead 1");
    let known = harness.lead(lead).unwrap().clone();
    let tower = known.from.unwrap().value;
    let plug = known.to.unwrap().value;
    let away = done(
        &harness,
        &Command::SetFact {
            at: FactAt::LeadTo(lead),
            fact: None,
        },
    );
    let join = Command::Connect {
        from: plug,
        to: tower,
        how: Provenance::Measured,
        look: WireLook::default(),
    };
    let again = done(&away, &join);
    assert_eq!(again.lead(lead).unwrap().to, Some(Fact::measured(plug)));
    assert_eq!(again.parts.len(), harness.parts.len());
    let without = done(
        &harness,
        &Command::RemovePart {
            part: lead,
            hanging: Hanging::Removed,
        },
    );
    let new = done(&without, &join);
    let new = new.lead(part(&new, "Lead 1")).unwrap();
    assert_eq!(
        (new.from, new.to),
        (Some(Fact::measured(tower)), Some(Fact::measured(plug)))
    );
    assert_eq!(new.kind, LeadKind::Lead);
}

#[test]
fn a_wire_end_is_disconnected_and_routed_elsewhere() {
    let harness = four();
    let feed = on(&harness, at(&harness, "Coil A", Port::Feed))[0];
    let end = if harness.wires[&feed].to.unwrap().value.port == Port::Feed {
        WireEnd::To
    } else {
        WireEnd::From
    };
    let fact = FactAt::WireEnd(feed, end);
    let cut = done(
        &harness,
        &Command::SetFact {
            at: fact,
            fact: None,
        },
    );
    assert_eq!(cut.fact(fact), None);
    let to = at(&harness, "Coil B", Port::Feed);
    let said = Some(Fact::measured(FactValue::Terminal(to)));
    let moved = done(
        &cut,
        &Command::SetFact {
            at: fact,
            fact: said.clone(),
        },
    );
    assert_eq!(moved.fact(fact), said);
    let tower = at(&harness, "Coil B", Port::TowerB);
    let said = Some(Fact::measured(FactValue::Terminal(tower)));
    assert_eq!(
        apply(
            &cut,
            &Command::SetFact {
                at: fact,
                fact: said
            }
        ),
        Err(EditError::TakesNoWire(tower))
    );
    let said = Some(Fact::measured(FactValue::Number(2.0)));
    assert!(
        apply(
            &cut,
            &Command::SetFact {
                at: fact,
                fact: said
            }
        )
        .is_err()
    );
}

#[test]
fn a_wire_is_added_with_an_end_unknown_and_taken_away() {
    let harness = four();
    let from = at(&harness, "Battery", Port::Plus);
    let wire = Wire {
        from: Some(Fact::diagram(from)),
        ..Wire::default()
    };
    let more = done(&harness, &Command::AddWire(wire.clone()));
    let (&id, known) = more.wires.last_key_value().unwrap();
    assert_eq!(*known, wire);
    assert_eq!(done(&more, &Command::RemoveWire(id)).wires, harness.wires);
    let none = WireId::from_number(u32::MAX - 5);
    assert_eq!(
        apply(&more, &Command::RemoveWire(none)),
        Err(EditError::NoWire(none))
    );
    let thick = Wire {
        size: Some(Fact::assumed(WireSize::Area(SquareMillimetres::lit(1e9)))),
        ..Wire::default()
    };
    assert!(matches!(
        apply(&harness, &Command::AddWire(thick)),
        Err(EditError::OutOfRange(_))
    ));
}
