//! Coils: their drivers, grounds and cylinders.

use super::*;

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
