//! A wire that was measured, a part that was replaced, codes that are not there.

use super::*;

#[test]
fn b_control_wire_measured_good() {
    let mut story = Story::of(V8);
    story.dead(&[1, 6]);
    let wire = |cause: &sparktrail_core::isolation::Cause, story: &Story| {
        matches!(cause.fault.element, Element::Wire(w)
            if story.harness.wires[&w].from.is_some_and(|f| f.value == story.pin(0)))
    };
    let kinds = |story: &Story| {
        use sparktrail_core::faults::ModeKind;
        let of = |kinds: &[ModeKind]| {
            story.share_of(|c| wire(c, story) && kinds.contains(&c.fault.mode.kind()))
        };
        (
            of(&[ModeKind::Open]),
            of(&[ModeKind::HighResistance]),
            of(&[ModeKind::ToGround, ModeKind::ToSupply]),
        )
    };
    let pin = story.pin(0);
    let contact = story.share_of(|c| c.fault.element == Element::Mated(pin));
    let before = kinds(&story);
    let far = story
        .harness
        .wires
        .values()
        .find_map(|w| (w.from?.value == pin).then(|| w.to.map(|t| t.value)));
    story.see(Seen::Resistance {
        red: pin,
        black: far.flatten().unwrap(),
        reading: OhmReading::Ohms(Ohms::lit(0.1)),
    });
    story.print("b");
    let after = kinds(&story);
    assert!(after.0 <= before.0 / 100.0, "open {before:?} {after:?}");
    assert!(
        after.1 <= before.1 / 100.0,
        "high resistance {before:?} {after:?}"
    );
    assert!(after.2 >= before.2, "shorts stay {before:?} {after:?}");
    let still = story.share_of(|c| c.fault.element == Element::Mated(pin));
    assert!(still >= contact, "contacts stay {contact} {still}");
}

#[test]
fn c_a_new_coil_changes_nothing() {
    let mut story = Story::of(V8);
    story.dead(&[1, 6]);
    let coil = story.part("Coil A");
    let before = story.share(|u| u == Unit::Part(coil));
    story.see(Seen::Substituted {
        part: coil,
        with: Substitute::New,
        effect: Effect::Same,
    });
    let after = story.share(|u| u == Unit::Part(coil));
    assert!(after <= before / 10.0, "{before} {after}");
}

#[test]
fn f_no_codes_stored() {
    let mut story = Story::of(V8);
    story.dead(&[1, 6]);
    let case = story.case();
    let before = story.assess(&case);
    let mut none = Story {
        harness: story.harness.clone(),
        findings: story.findings.clone(),
    };
    for code in [
        None,
        Some("P0301"),
        Some("P0306"),
        Some("P0351"),
        Some("P0300"),
    ] {
        none.see(Seen::Code {
            code: code.map(str::to_owned),
            stored: Stored::Absent,
        });
    }
    let after = none.assess(&case);
    let odds = |p: f64| p / (1.0 - p);
    for unit in 0..case.units().len() {
        let (b, a) = (before.belief.unit(unit), after.belief.unit(unit));
        let ratio = odds(a) / odds(b);
        assert!((0.5..=2.0).contains(&ratio), "{ratio}");
    }
}

#[test]
fn g_mated_continuity_good() {
    let clear = |then: FaultThen| {
        let mut story = Story::of(V8);
        story.dead(&[1, 6]);
        let coil = story.part("Coil A");
        let contact = Unit::Contacts(coil);
        let before = story.share(|u| u == contact);
        // Through both mated contacts of the coil and its primary: 0.5 Ω.
        story.see_in(
            Seen::Resistance {
                red: story.at("Coil A", Port::Feed),
                black: story.at("Coil A", Port::Switched),
                reading: OhmReading::Ohms(Ohms::lit(0.5)),
            },
            Some(Setup::battery_off()),
            then,
        );
        story.share(|u| u == contact) / before
    };
    let (present, unknown, away) = (
        clear(FaultThen::Present),
        clear(FaultThen::Unknown),
        clear(FaultThen::Away),
    );
    println!("g {present} {unknown} {away}");
    assert!(present < 0.1, "present clears: {present}");
    assert!(away >= 1.0, "away clears nothing: {away}");
    assert!(
        present < unknown && unknown < away,
        "unknown lies between: {unknown}"
    );
}
