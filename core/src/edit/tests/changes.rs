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

mod coils;
mod joined;
mod pins;

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
