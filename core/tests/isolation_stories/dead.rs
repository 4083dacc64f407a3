//! Only some cylinders are dead: which they are says where to look.

use super::*;

#[test]
fn a_companions_dead() {
    let mut story = Story::of(V8);
    story.dead(&[1, 6]);
    story.print("a");
    let pin = story.pin(0);
    let shared = story.share_of(|cause| match cause.fault.element {
        // Of the plugs of unit and connector, the contacts on the way to the coil.
        Element::Mated(terminal) => terminal == pin || terminal.part == story.part("Coil A"),
        Element::Cavity(part, cavity) => [Side::A, Side::B].into_iter().any(|side| {
            let port = Port::Cavity(cavity, side);
            is_cavity(&story.harness, Terminal { part, port }, pin)
        }),
        _ => shared_path_of_1_and_6(&story, cause.unit),
    });
    assert!(shared >= 0.85, "{shared}");
    let leads = [story.part("Lead 1"), story.part("Lead 6")];
    let open = story.share(|unit| leads.iter().any(|l| unit == Unit::Part(*l)));
    assert!((0.03..=0.12).contains(&open), "{open}");
}

#[test]
fn h_one_cylinder_dead() {
    let mut story = Story::of(V8);
    story.dead(&[1]);
    story.print("h");
    let (lead, plug) = (story.part("Lead 1"), story.part("Plug 1"));
    let own = [
        Unit::Part(lead),
        Unit::Part(plug),
        Unit::Cylinder(CylinderId(1)),
    ];
    let coil = Unit::Part(story.part("Coil A"));
    let side = story.share(|u| own.contains(&u));
    // The coil's tower on its side belongs to it as well.
    let tower = story
        .share_of(|c| c.unit == coil && c.fault.mode == sparktrail_core::faults::Mode::Tracking);
    assert!(side + tower >= 0.9, "{side} {tower}");
    for unit in own {
        let share = story.share(|u| u == unit);
        assert!(share > 0.05, "{unit:?} {share}");
    }
    let before = story.share(|u| u == Unit::Part(lead) || u == coil);
    story.see(Seen::Spark {
        cylinder: CylinderId(1),
        spark: Spark::No,
    });
    story.print("h, no flash");
    let after = story.share(|u| u == Unit::Part(lead) || u == coil);
    assert!(after > before && after >= 0.7, "{before} {after}");
}

#[test]
fn i_all_dead() {
    let mut story = Story::of(V8);
    story.dead(&[1, 2, 3, 4, 5, 6, 7, 8]);
    story.print("i");
    let case = story.case();
    let assessment = story.assess(&case);
    let leaders: Vec<Unit> = case
        .ranked(&assessment, 0.0)
        .into_iter()
        .take(6)
        .map(|(u, _)| u)
        .collect();
    for (name, wanted) in [
        ("crank", Unit::CrankSignal(story.part("Control unit"))),
        ("relay", Unit::Part(story.part("Ignition relay"))),
        ("fuse", Unit::Part(story.part("Ignition fuse"))),
    ] {
        assert!(leaders.contains(&wanted), "{name}: {leaders:?}");
    }
    for nth in 0..4 {
        let pair = story.share(|u| story.is_driver(u, nth));
        assert!(pair < 0.01, "{pair}");
    }
    for name in ["Coil A", "Coil B", "Coil C", "Coil D"] {
        let coil = story.part(name);
        let share = story.share(|u| u == Unit::Part(coil));
        assert!(share < 0.01, "{share}");
    }
}

#[test]
fn j_two_dead_that_are_no_companions() {
    let mut story = Story::of(V8);
    story.dead(&[1, 2]);
    story.print("j");
    {
        let case = story.case();
        let assessment = story.assess(&case);
        let Explained::CheckAgain(again) = case.explained(&assessment) else {
            panic!("first: check again");
        };
        println!("{again:?}");
        let dead: Vec<FindingId> = story.findings[..2].iter().map(|f| f.id).collect();
        assert!(again.iter().any(|f| dead.contains(f)), "{again:?}");
    }
    // Looked at again: both are dead.
    for cylinder in [CylinderId(1), CylinderId(2)] {
        story.see(Seen::Contribution {
            cylinder,
            works: Works::Dead,
        });
    }
    {
        let case = story.case();
        let assessment = story.assess(&case);
        let explained = case.explained(&assessment);
        println!("{explained:?}");
        let mut search = PairSearch::new(&case, &assessment);
        let mut progress = search.step(&case, &assessment, 1000);
        while progress.done < progress.of {
            progress = search.step(&case, &assessment, 1000);
        }
        println!(
            "{} pairs, {}",
            search.found(),
            search.against_one(&case, &assessment)
        );
        assert!(search.found() > 50);
        let minimal: Vec<_> = sparktrail_core::isolation::minimal_hitting_sets(&search.family(), 2)
            .into_iter()
            .filter(|set| set.len() == 2)
            .collect();
        assert_eq!(minimal.len(), search.found());
    }
    // The timing light shows them at the wrong time.
    for cylinder in [CylinderId(1), CylinderId(2)] {
        story.see(Seen::Spark {
            cylinder,
            spark: Spark::WrongTime,
        });
    }
    story.print("j, wrong time");
    let (a, b) = (story.part("Lead 1"), story.part("Lead 2"));
    let crossed = story.share(|u| u == Unit::Crossed(a.min(b), a.max(b)));
    assert!(crossed >= 0.9, "{crossed}");
}

/// Eight cylinders, two packs of two double-ended coils: both pairs of one pack are dead.
#[test]
fn k_a_whole_pack_dead() {
    let vee = Layout::Vee {
        bank_angle: Degrees::lit(90.0),
    };
    let plan = layouts::Plan {
        housing: layouts::Housing::Packs(2),
        ..layouts::Plan::new("two packs", layouts::propose_engine(8, vee, Strokes::Four))
    };
    let mut story = Story {
        harness: layouts::build(&plan).unwrap(),
        findings: Vec::new(),
    };
    let pack = story.part("Pack A");
    let mine = |harness: &Harness, part: PartId| {
        harness
            .coil(part)
            .is_some_and(|coil| coil.pack == Some(pack))
    };
    let mut dead: Vec<u8> = Vec::new();
    for part in story.harness.parts.values() {
        if let PartKind::Lead(lead) = &part.kind
            && mine(&story.harness, lead.from.unwrap().value.part)
        {
            let plug = story.harness.plug(lead.to.unwrap().value.part).unwrap();
            dead.push(plug.cylinder.unwrap().value.0);
        }
    }
    assert_eq!(dead.len(), 4);
    story.dead(&dead);
    story.print("k");
    let plug = story.part("Pack A plug");
    let splice = story.part("Pack A splice");
    let shared = story.share(|unit| match unit {
        Unit::Contacts(part) => part == plug,
        Unit::Joints(part) => part == splice || story.harness.part_name(part) == "Supply splice",
        Unit::Wire(wire) => {
            let wire = &story.harness.wires[&wire];
            [wire.from, wire.to]
                .into_iter()
                .flatten()
                .any(|end| end.value.part == splice || end.value.part == plug)
        }
        _ => false,
    });
    assert!(shared >= 0.8, "{shared}");
}
