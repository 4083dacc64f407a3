//! What each command of the editor does, on a four-cylinder map.

use crate::edit::layouts::{Arrangement, DriversIn, Inline, Plan, build, propose_engine};
use crate::edit::{
    Command, EditError, FactAt, FactValue, Form, Hanging, Named, Noted, Plenty, WireLook, apply,
    free_name,
};
use crate::engine::{CylinderId, Layout, Strokes};
use crate::model::{
    Coil, Colour, DrawnAt, GroundSite, Harness, LeadKind, MapFinding, PartId, PartKind, PinId,
    Port, Secondary, Side, Terminal, Wire, WireColour, WireEnd, WireId, WireSize, check,
};
use crate::provenance::{Fact, Provenance};
use crate::units::{Metres, SquareMillimetres};

/// An inline four: two double-ended coils, drivers in the unit, one in-line connector.
fn four() -> Harness {
    let engine = propose_engine(4, Layout::Inline, Strokes::Four);
    build(&Plan {
        inline: Inline::One,
        ..Plan::new("Four", engine)
    })
    .unwrap()
}

fn in_coil() -> Harness {
    let engine = propose_engine(4, Layout::Inline, Strokes::Four);
    build(&Plan {
        arrangement: Arrangement::OneEach,
        drivers: DriversIn::Coil,
        ..Plan::new("Four", engine)
    })
    .unwrap()
}

fn part(harness: &Harness, name: &str) -> PartId {
    let found = harness.parts.iter().find(|(_, part)| part.name == name);
    *found.unwrap_or_else(|| panic!("no part {name}")).0
}

fn at(harness: &Harness, name: &str, port: Port) -> Terminal {
    let part = part(harness, name);
    Terminal { part, port }
}

fn on(harness: &Harness, terminal: Terminal) -> Vec<WireId> {
    let touches = |wire: &Wire| {
        [wire.from, wire.to]
            .iter()
            .any(|end| end.is_some_and(|fact| fact.value == terminal))
    };
    let wires = harness.wires.iter();
    wires
        .filter(|(_, wire)| touches(wire))
        .map(|(id, _)| *id)
        .collect()
}

fn done(harness: &Harness, command: &Command) -> Harness {
    apply(harness, command).unwrap_or_else(|error| panic!("{command:?}: {error}"))
}

fn pins(harness: &Harness) -> Vec<PinId> {
    let unit = harness.unit(part(harness, "Control unit")).unwrap();
    unit.pins.iter().map(|pin| pin.id).collect()
}

#[test]
fn a_part_of_every_kind_is_added_and_removed_again() {
    let harness = four();
    let mut kinds: Vec<PartKind> = harness.parts.values().map(|p| p.kind.clone()).collect();
    kinds.extend(
        in_coil()
            .parts
            .values()
            .map(|p| p.kind.clone())
            .filter(|kind| {
                // Those that name other parts name them in another map.
                !matches!(kind, PartKind::Lead(_))
            }),
    );
    kinds.extend([
        PartKind::Pack,
        PartKind::Distributor(crate::model::Distributor::default()),
    ]);
    let place = DrawnAt { x: 120.0, y: 240.0 };
    for kind in kinds {
        let add = Command::AddPart {
            name: "New".into(),
            kind: Box::new(kind.clone()),
            at: Some(place),
        };
        let more = done(&harness, &add);
        let id = part(&more, "New");
        let added = &more.parts[&id];
        assert_eq!(added.drawn_at, Some(place));
        assert_eq!(
            std::mem::discriminant(&added.kind),
            std::mem::discriminant(&kind)
        );
        let inner = more.terminals_of(id).into_iter().filter_map(|terminal| {
            if let Port::Pin(pin) = terminal.port {
                Some(pin.number())
            } else if let Port::Cavity(cavity, _) = terminal.port {
                Some(cavity.number())
            } else {
                None
            }
        });
        let inner: Vec<u32> = inner.collect();
        assert!(inner.iter().all(|id| *id >= harness.next_id), "{inner:?}");
        let removed = done(
            &more,
            &Command::RemovePart {
                part: id,
                hanging: Hanging::Removed,
            },
        );
        assert_eq!(removed.parts, harness.parts);
        assert_eq!(removed.wires, harness.wires);
    }
}

#[test]
fn the_drivers_of_an_added_box_use_its_own_pins() {
    let harness = four();
    let kind = harness.parts[&part(&harness, "Control unit")].kind.clone();
    let add = Command::AddPart {
        name: "Second".into(),
        kind: Box::new(kind),
        at: None,
    };
    let more = done(&harness, &add);
    let unit = more.unit(part(&more, "Second")).unwrap();
    assert!(!unit.drivers.is_empty());
    for driver in &unit.drivers {
        let output = driver.output.unwrap().value;
        assert!(unit.pins.iter().any(|pin| pin.id == output));
        assert!(output.number() >= harness.next_id && driver.id.number() >= harness.next_id);
    }
}

#[test]
fn a_coil_goes_with_its_wires_and_leads_or_leaves_them_loose() {
    let harness = four();
    let coil = part(&harness, "Coil A");
    let feed = on(&harness, at(&harness, "Coil A", Port::Feed));
    assert_eq!(feed.len(), 1);
    let with = done(
        &harness,
        &Command::RemovePart {
            part: coil,
            hanging: Hanging::Removed,
        },
    );
    assert!(!with.wires.contains_key(&feed[0]));
    assert_eq!(with.parts.len() + 3, harness.parts.len());
    let loose = done(
        &harness,
        &Command::RemovePart {
            part: coil,
            hanging: Hanging::Loose,
        },
    );
    assert_eq!(loose.parts.len() + 1, harness.parts.len());
    assert_eq!(loose.wires.len(), harness.wires.len());
    assert!(
        check(&loose)
            .iter()
            .any(|f| matches!(f, MapFinding::WireLoose { wire, .. } if *wire == feed[0]))
    );
    assert!(
        check(&loose)
            .iter()
            .any(|f| matches!(f, MapFinding::LeadLoose { .. }))
    );
    assert_eq!(
        apply(
            &loose,
            &Command::RemovePart {
                part: coil,
                hanging: Hanging::Loose
            }
        ),
        Err(EditError::NoPart(coil))
    );
}

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

#[test]
fn a_driver_moves_into_a_coil_and_out_again_and_the_wire_with_it() {
    let harness = four();
    let coil = part(&harness, "Coil A");
    let wires = on(&harness, at(&harness, "Coil A", Port::Switched));
    assert_eq!(wires.len(), 1);
    let add = Command::AddDriver {
        host: coil,
        name: "inside".into(),
    };
    let inside = done(&harness, &add);
    assert_eq!(on(&inside, at(&harness, "Coil A", Port::DriveIn)), wires);
    assert!(apply(&inside, &add).is_err());
    let driver = inside.coil(coil).unwrap().driver.as_ref().unwrap().id;
    let name = "igniter".to_owned();
    let named = done(&inside, &Command::RenameDriver { driver, name });
    assert_eq!(named.driver(driver).unwrap().name, "igniter");
    let out = done(&named, &Command::RemoveDriver(driver));
    assert_eq!(on(&out, at(&harness, "Coil A", Port::Switched)), wires);
    assert_eq!(out.parts, harness.parts);
    let unit = part(&harness, "Control unit");
    let more = done(
        &harness,
        &Command::AddDriver {
            host: unit,
            name: "driver C".into(),
        },
    );
    assert_eq!(more.drivers().count(), harness.drivers().count() + 1);
    let battery = part(&harness, "Battery");
    let refused = apply(
        &harness,
        &Command::AddDriver {
            host: battery,
            name: "x".into(),
        },
    );
    assert_eq!(refused, Err(EditError::OtherKind(battery)));
}

#[test]
fn a_coil_without_its_driver_loses_the_ground_that_only_the_driver_had() {
    let mut harness = in_coil();
    let coil = part(&harness, "Coil A");
    let form = Form::Secondary(Secondary::ReturnsToFeed);
    harness = done(&harness, &Command::SetForm { part: coil, form });
    let ground = at(&harness, "Coil A", Port::CoilGround);
    let wires = on(&harness, ground);
    assert_eq!(wires.len(), 1);
    let driver = harness.coil(coil).unwrap().driver.as_ref().unwrap().id;
    let out = done(&harness, &Command::RemoveDriver(driver));
    assert!(on(&out, ground).is_empty() && out.wires.contains_key(&wires[0]));
    assert!(
        !check(&out)
            .iter()
            .any(|f| matches!(f, MapFinding::WireNowhere { .. }))
    );
}

#[test]
fn a_coil_is_given_other_cylinders() {
    let harness = four();
    let coil = part(&harness, "Coil A");
    let fed = |harness: &Harness| -> Vec<u8> {
        let mut fed = Vec::new();
        for part in harness.parts.values() {
            if let PartKind::Lead(lead) = &part.kind
                && lead.from.is_some_and(|from| from.value.part == coil)
                && let Some(to) = lead.to
                && let Some(cylinder) = harness.plug(to.value.part).and_then(|p| p.cylinder)
            {
                fed.push(cylinder.value.0);
            }
        }
        fed.sort_unstable();
        fed
    };
    assert_eq!(fed(&harness), [1, 4]);
    let assign = |cylinders: &[u8]| Command::AssignCoil {
        coil,
        cylinders: cylinders.iter().copied().map(CylinderId).collect(),
        how: Provenance::Measured,
    };
    let moved = done(&harness, &assign(&[2, 3]));
    assert_eq!(fed(&moved), [2, 3]);
    assert_eq!(moved.parts.len(), harness.parts.len());
    assert_eq!(
        apply(&harness, &assign(&[9])),
        Err(EditError::NoCylinder(CylinderId(9)))
    );
    assert!(matches!(
        apply(&harness, &assign(&[1, 2, 3])),
        Err(EditError::Towers {
            towers: 2,
            cylinders: 3,
            ..
        })
    ));
    // A bare coil gets leads, and a cylinder without a plug one of these too.
    let mut bare = Harness::new("Bare", harness.engine.clone());
    let coil = bare.add_part("Coil", PartKind::Coil(Coil::new(Secondary::TwoEnded)));
    let cylinders = vec![CylinderId(1), CylinderId(4)];
    let assign = Command::AssignCoil {
        coil,
        cylinders,
        how: Provenance::Assumed,
    };
    let assigned = done(&bare, &assign);
    assert_eq!(assigned.parts.len(), 5);
    assert_eq!(done(&assigned, &assign).parts, assigned.parts);
}

#[test]
fn parts_are_put_at_a_place_and_left_to_the_map() {
    let harness = four();
    let coil = part(&harness, "Coil A");
    let place = DrawnAt { x: 480.0, y: 96.0 };
    let put = done(&harness, &Command::Put(vec![(coil, Some(place))]));
    assert_eq!(put.parts[&coil].drawn_at, Some(place));
    assert_eq!(
        done(&put, &Command::Put(vec![(coil, None)])).parts,
        harness.parts
    );
    let far = DrawnAt {
        x: f64::NAN,
        y: 0.0,
    };
    let refused = apply(&harness, &Command::Put(vec![(coil, Some(far))]));
    assert_eq!(refused, Err(EditError::TooFar(coil)));
}

#[test]
fn copies_have_names_of_their_own_and_the_wires_among_them() {
    let harness = four();
    let (coil, lead, plug) = (
        part(&harness, "Coil A"),
        part(&harness, "Lead 1"),
        part(&harness, "Plug 1"),
    );
    let copied = done(&harness, &Command::Duplicate(vec![coil, lead, plug]));
    assert_eq!(copied.parts.len(), harness.parts.len() + 3);
    let new: Vec<(&PartId, &crate::model::Part)> = copied
        .parts
        .iter()
        .filter(|(id, _)| !harness.parts.contains_key(id))
        .collect();
    assert_eq!(new[0].1.name, "Coil C");
    assert_eq!(new[1].1.name, "Lead 5");
    let new_lead = copied.lead(*new[1].0).unwrap();
    assert_eq!(new_lead.from.unwrap().value.part, *new[0].0);
    assert_eq!(new_lead.to.unwrap().value.part, *new[2].0);
    assert_eq!(new_lead.to.unwrap().how, Provenance::Assumed);
    assert_eq!(copied.plug(*new[2].0).unwrap().cylinder, None);
    let both = vec![part(&harness, "Battery"), part(&harness, "Ignition fuse")];
    let copied = done(&harness, &Command::Duplicate(both));
    assert_eq!(copied.wires.len(), harness.wires.len() + 1);
}

#[test]
fn a_name_that_is_taken_gets_the_next_free_one() {
    let harness = four();
    assert_eq!(free_name(&harness, " Coil A "), "Coil C");
    assert_eq!(free_name(&harness, "Lead 2"), "Lead 5");
    assert_eq!(free_name(&harness, "Battery"), "Battery 2");
    assert_eq!(free_name(&harness, "Sensor"), "Sensor");
}

#[test]
fn parts_take_another_form_and_wires_that_no_longer_fit_come_loose() {
    let harness = four();
    let coil = part(&harness, "Coil A");
    let form = Form::Secondary(Secondary::ReturnsToFeed);
    let single = done(&harness, &Command::SetForm { part: coil, form });
    assert_eq!(
        single.coil(coil).unwrap().secondary,
        Secondary::ReturnsToFeed
    );
    assert!(
        check(&single)
            .iter()
            .any(|f| matches!(f, MapFinding::LeadLoose { .. }))
    );
    assert!(
        !check(&single)
            .iter()
            .any(|f| matches!(f, MapFinding::LeadNowhere { .. }))
    );
    let form = Form::Site(GroundSite::Body);
    let refused = apply(&harness, &Command::SetForm { part: coil, form });
    assert_eq!(refused, Err(EditError::OtherKind(coil)));
    let form = Form::Pack(Some(coil));
    let refused = apply(&harness, &Command::SetForm { part: coil, form });
    assert_eq!(refused, Err(EditError::NoPart(coil)));
}

#[test]
fn a_batch_names_what_its_first_commands_will_make() {
    let harness = four();
    let splice = PartId::from_number(harness.next_id);
    let batch = Command::Batch(vec![
        Command::AddPart {
            name: "Splice".into(),
            kind: Box::new(PartKind::Splice),
            at: None,
        },
        Command::Connect {
            from: at(&harness, "Battery", Port::Plus),
            to: Terminal {
                part: splice,
                port: Port::Joint,
            },
            how: Provenance::Assumed,
            look: WireLook::default(),
        },
    ]);
    let more = done(&harness, &batch);
    assert_eq!(
        on(
            &more,
            Terminal {
                part: splice,
                port: Port::Joint
            }
        )
        .len(),
        1
    );
}

#[test]
fn what_a_file_could_not_hold_is_refused_with_place_and_mend() {
    let harness = four();
    let coil = part(&harness, "Coil A");
    let refused = |command: Command| apply(&harness, &command).unwrap_err();
    let long = "x".repeat(501);
    let error = refused(Command::RenamePart {
        part: coil,
        name: long.clone(),
    });
    assert_eq!(
        error,
        EditError::NameTooLong {
            of: Named::There(Noted::Part(coil)),
            characters: 501
        }
    );
    assert!(
        error.told(&harness).contains("501") && error.told(&harness).contains("Keep it to 500")
    );
    assert!(matches!(
        refused(Command::Rename(long.clone())),
        EditError::NameTooLong { .. }
    ));
    let text = "x".repeat(20_001);
    assert!(matches!(
        refused(Command::SetNote {
            of: Noted::Map,
            text: text.clone()
        }),
        EditError::NoteTooLong {
            characters: 20_001,
            ..
        }
    ));
    assert!(matches!(
        refused(Command::SetAbout(text)),
        EditError::NoteTooLong { .. }
    ));
    let unit = part(&harness, "Control unit");
    let said = Some(Fact::measured(FactValue::Label(long)));
    let at = FactAt::PinLabel(unit, pins(&harness)[0]);
    assert!(matches!(
        refused(Command::SetFact { at, fact: said }),
        EditError::LabelTooLong {
            characters: 501,
            ..
        }
    ));
    let mut full = harness.clone();
    while full.parts.len() < 10_000 {
        full.add_part("Splice", PartKind::Splice);
    }
    let add = Command::AddPart {
        name: "One more".into(),
        kind: Box::new(PartKind::Splice),
        at: None,
    };
    let error = apply(&full, &add).unwrap_err();
    assert_eq!(error, EditError::TooMany(Plenty::Parts));
    assert!(
        error.told(&full).contains("10000 parts"),
        "{}",
        error.told(&full)
    );
}
