//! Pins, drivers and cavities of units and connectors.

use super::*;

#[test]
fn pins_are_added_numbered_noted_and_removed() {
    let harness = four();
    let unit = part(&harness, "Control unit");
    let before = pins(&harness);
    let label = Some(Fact::measured("C7".to_owned()));
    let more = done(
        &harness,
        &Command::AddPin {
            unit,
            label: label.clone(),
            role: None,
        },
    );
    let pin = *pins(&more).last().unwrap();
    assert_eq!(more.pin(unit, pin).unwrap().label, label);
    let of = Noted::Pin(unit, pin);
    let text = "green at the crimp".to_owned();
    let noted = done(
        &more,
        &Command::SetNote {
            of,
            text: text.clone(),
        },
    );
    assert_eq!(noted.pin(unit, pin).unwrap().note, text);
    let labels = vec!["A1".to_owned(), "A2".to_owned()];
    let renumber = Command::Renumber {
        part: unit,
        labels,
        how: Provenance::Diagram,
    };
    let numbered = done(&noted, &renumber);
    let label = |pin| numbered.pin(unit, pin).unwrap().label.clone().unwrap();
    assert_eq!(label(before[0]), Fact::diagram("A1".to_owned()));
    assert_eq!(label(before[1]), Fact::diagram("A2".to_owned()));
    assert_eq!(label(pin).value, "C7");
    let labels = vec![String::new(); 99];
    let too_many = Command::Renumber {
        part: unit,
        labels,
        how: Provenance::Diagram,
    };
    assert!(matches!(
        apply(&noted, &too_many),
        Err(EditError::MoreLabels { labels: 99, .. })
    ));
    let gone = done(
        &numbered,
        &Command::RemovePin {
            unit,
            pin,
            hanging: Hanging::Loose,
        },
    );
    assert_eq!(pins(&gone), before);
}

#[test]
fn a_driver_lets_go_of_a_pin_that_is_removed_and_takes_another() {
    let harness = four();
    let unit = part(&harness, "Control unit");
    let driver = harness.unit(unit).unwrap().drivers[0].clone();
    let pin = driver.output.unwrap().value;
    let output = Terminal {
        part: unit,
        port: Port::Pin(pin),
    };
    let wires = on(&harness, output);
    assert_eq!(wires.len(), 1);
    let less = done(
        &harness,
        &Command::RemovePin {
            unit,
            pin,
            hanging: Hanging::Removed,
        },
    );
    assert!(!less.wires.contains_key(&wires[0]));
    assert_eq!(less.driver(driver.id).unwrap().output, None);
    let other = pins(&less)[0];
    let to = |terminal| Command::SetFact {
        at: FactAt::DriverOutput(driver.id),
        fact: Some(Fact::measured(FactValue::Terminal(terminal))),
    };
    let there = Terminal {
        part: unit,
        port: Port::Pin(other),
    };
    let moved = done(&less, &to(there));
    assert_eq!(
        moved.driver(driver.id).unwrap().output,
        Some(Fact::measured(other))
    );
    assert!(apply(&less, &to(output)).is_err());
    assert!(apply(&less, &to(at(&harness, "Coil A", Port::Feed))).is_err());
}

#[test]
fn cavities_are_added_and_removed_on_both_sides() {
    let harness = four();
    let connector = part(&harness, "Engine connector");
    let known = |harness: &Harness| {
        let PartKind::Connector(found) = &harness.parts[&connector].kind else {
            panic!()
        };
        found.cavities.clone()
    };
    let more = done(
        &harness,
        &Command::AddCavity {
            connector,
            label: None,
        },
    );
    assert_eq!(known(&more).len(), known(&harness).len() + 1);
    let cavity = known(&harness)[0].id;
    let hanging = Hanging::Removed;
    let less = done(
        &harness,
        &Command::RemoveCavity {
            connector,
            cavity,
            hanging,
        },
    );
    assert_eq!(less.wires.len() + 2, harness.wires.len());
    for side in [Side::A, Side::B] {
        let port = Port::Cavity(cavity, side);
        assert!(
            on(
                &less,
                Terminal {
                    part: connector,
                    port
                }
            )
            .is_empty()
        );
    }
    let again = Command::RemoveCavity {
        connector,
        cavity,
        hanging,
    };
    assert_eq!(
        apply(&less, &again),
        Err(EditError::NoCavity(connector, cavity))
    );
}
