//! Stories that must come out right, told on samples: what the owner found, and what must then be believed.
//!
//! The bounds are those of a prototype of the same method with invented priors: judgement throughout.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "a test names what it looks for"
)]

use sparktrail_core::edit::layouts;
use sparktrail_core::engine::{CylinderId, Layout, Strokes};
use sparktrail_core::isolation::{
    Answer, Assessment, Case, Explained, PairSearch, Plan, Question, Unit,
};
use sparktrail_core::model::*;
use sparktrail_core::units::{Degrees, Ohms, Volts};

const V8: &str = include_str!("../../sample-harnesses/white-cruiser.json");
const V6: &str = include_str!("../../sample-harnesses/black-coupe.json");
const FOUR: &str = include_str!("../../sample-harnesses/blue-estate.json");

/// A sample with its own findings and the owner's word on ages left out.
fn sample(text: &str) -> Harness {
    let mut harness = file::read(text).unwrap();
    harness.findings.clear();
    for part in harness.parts.values_mut() {
        part.condition = Condition::default();
    }
    harness
}

struct Story {
    harness: Harness,
    findings: Vec<Finding>,
}

impl Story {
    fn of(text: &str) -> Self {
        Self {
            harness: sample(text),
            findings: Vec::new(),
        }
    }

    fn see(&mut self, seen: Seen) -> &mut Self {
        self.see_in(seen, None, FaultThen::Present)
    }

    fn see_in(&mut self, seen: Seen, setup: Option<Setup>, then: FaultThen) -> &mut Self {
        let number = 10_000 + u32::try_from(self.findings.len()).unwrap();
        self.findings.push(Finding {
            id: FindingId::from_number(number),
            seen,
            setup,
            fault_then: then,
            at: None,
            note: String::new(),
            standing: Standing::Counts,
        });
        self
    }

    /// These cylinders are dead, all others alive.
    fn dead(&mut self, dead: &[u8]) -> &mut Self {
        for cylinder in self.harness.engine.cylinders() {
            let works = if dead.contains(&cylinder.0) {
                Works::Dead
            } else {
                Works::Alive
            };
            self.see(Seen::Contribution { cylinder, works });
        }
        self
    }

    fn part(&self, name: &str) -> PartId {
        let found = self.harness.parts.iter().find(|(_, p)| p.name == name);
        *found.unwrap_or_else(|| panic!("no part {name}")).0
    }

    fn at(&self, name: &str, port: Port) -> Terminal {
        Terminal {
            part: self.part(name),
            port,
        }
    }

    /// The unit's pin that switches the nth driver.
    fn pin(&self, driver: usize) -> Terminal {
        let (part, driver) = self.harness.drivers().nth(driver).unwrap();
        Terminal {
            part,
            port: Port::Pin(driver.output.unwrap().value),
        }
    }

    fn driver(&self, nth: usize) -> DriverId {
        self.harness.drivers().nth(nth).unwrap().1.id
    }

    fn volts_at(&mut self, red: Terminal, volts: f64, setup: Setup) -> &mut Self {
        let black = Some(self.minus());
        let reading = Volts::lit(volts);
        self.see_in(
            Seen::Volts {
                red,
                black,
                reading,
            },
            Some(setup),
            FaultThen::Present,
        )
    }

    fn minus(&self) -> Terminal {
        let battery = |p: &Part| matches!(p.kind, PartKind::Battery(_));
        let (id, _) = self.harness.parts.iter().find(|(_, p)| battery(p)).unwrap();
        Terminal {
            part: *id,
            port: Port::Minus,
        }
    }

    fn case(&self) -> Case<'_> {
        Case::of(&self.harness).unwrap()
    }

    fn assess(&self, case: &Case<'_>) -> Assessment {
        let assessment = case.assess_with(&self.findings).unwrap();
        assert!(assessment.troubles.is_empty(), "{:?}", assessment.troubles);
        assessment
    }

    fn share(&self, test: impl Fn(Unit) -> bool) -> f64 {
        let case = self.case();
        let assessment = self.assess(&case);
        sum(&case, &assessment, test)
    }

    /// Share of causes rather than units.
    fn share_of(&self, test: impl Fn(&sparktrail_core::isolation::Cause) -> bool) -> f64 {
        let case = self.case();
        let assessment = self.assess(&case);
        case.causes()
            .iter()
            .enumerate()
            .filter(|(_, cause)| test(cause))
            .map(|(i, _)| assessment.belief.suspect(i))
            .sum()
    }

    fn print(&self, what: &str) {
        let case = self.case();
        let assessment = self.assess(&case);
        println!("{what}");
        for (unit, share) in case.ranked(&assessment, 0.004) {
            println!("  {share:.3} {}", unit.name(&self.harness));
        }
    }

    /// Whether a unit belongs to a driver: its pieces, joints and drive path.
    fn is_driver(&self, unit: Unit, nth: usize) -> bool {
        let id = self.driver(nth);
        matches!(unit, Unit::Transistor(d) | Unit::DriverJoints(d) | Unit::DriveResistor(d) if d == id)
    }
}

fn sum(case: &Case<'_>, assessment: &Assessment, test: impl Fn(Unit) -> bool) -> f64 {
    case.units()
        .iter()
        .enumerate()
        .filter(|(_, unit)| test(**unit))
        .map(|(i, _)| assessment.belief.unit(i))
        .sum()
}

/// Whether a unit serves both cylinders of the pair 1 + 6 through its coil, and nothing else.
fn shared_path_of_1_and_6(story: &Story, unit: Unit) -> bool {
    let harness = &story.harness;
    let coil = story.part("Coil A");
    let driver = story.driver(0);
    let pin = story.pin(0);
    let touches = |terminal: Terminal| {
        terminal == pin || terminal.part == coil || is_cavity(harness, terminal, pin)
    };
    match unit {
        Unit::Part(part) => part == coil,
        Unit::Wire(wire) => {
            let wire = &harness.wires[&wire];
            [wire.from, wire.to]
                .into_iter()
                .flatten()
                .any(|end| touches(end.value))
        }
        // The coil's own plug; of the unit's and the connector's plugs, what the pin's causes hold.
        Unit::Contacts(part) => part == coil,
        Unit::Trace(_, id) => Port::Pin(id) == pin.port,
        Unit::Transistor(d) | Unit::DriverJoints(d) | Unit::DriveResistor(d) => d == driver,
        // The joint of the coil's own feed wire at the splice; the unit's logic for that driver.
        Unit::Joints(part) => harness.part_name(part) == "Coil splice",
        Unit::Logic(_) => true,
        Unit::BoardSupply(_)
        | Unit::BoardGround(_)
        | Unit::CrankSignal(_)
        | Unit::Crossed(..)
        | Unit::Cylinder(_) => false,
    }
}

/// Whether a terminal is a side of the cavity to which the pin's wire goes.
fn is_cavity(harness: &Harness, terminal: Terminal, pin: Terminal) -> bool {
    let Port::Cavity(cavity, _) = terminal.port else {
        return false;
    };
    harness.wires.values().any(|wire| {
        let ends: Vec<Terminal> = [wire.from, wire.to]
            .into_iter()
            .flatten()
            .map(|end| end.value)
            .collect();
        ends.contains(&pin)
            && ends.iter().any(|end| {
                end.part == terminal.part && matches!(end.port, Port::Cavity(c, _) if c == cavity)
            })
    })
}

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

/// One control pin at 10.2 V idling, its siblings at 12.6 V.
fn pin_low(text: &str, dead: &[u8]) -> Story {
    let mut story = Story::of(text);
    story.dead(dead);
    let drivers = story.harness.drivers().count();
    for nth in 0..drivers {
        let (pin, volts) = (story.pin(nth), if nth == 0 { 10.2 } else { 12.6 });
        story.volts_at(pin, volts, Setup::idling());
    }
    story
}

/// The cylinders of the first driver's coil, by what its loss kills.
fn first_pair(text: &str) -> Vec<u8> {
    let story = Story::of(text);
    let driver = Element::Driver(story.driver(0), DriverPiece::Switch);
    let case = story.case();
    let cause = case
        .causes()
        .iter()
        .position(|c| {
            c.fault.element == driver && c.fault.mode == sparktrail_core::faults::Mode::NeverOn
        })
        .unwrap();
    case.showing(cause).ill().map(|c| c.0).collect()
}

#[test]
fn d_one_pin_low() {
    for text in [V8, V6, FOUR] {
        let story = pin_low(text, &first_pair(text));
        story.print("d");
        let driver = story.share(|u| story.is_driver(u, 0));
        assert!(driver >= 0.9, "{}: {driver}", story.harness.title);
    }
}

#[test]
fn e_transistors_swapped_and_the_pair_stays() {
    for text in [V8, V6, FOUR] {
        let mut story = pin_low(text, &first_pair(text));
        let transistor = Unit::Transistor(story.driver(0));
        let swap = SwapPair::Transistors(story.driver(0), story.driver(1));
        // What the card says before: "it stays" clears the transistor and nothing else of the driver.
        {
            let case = story.case();
            let assessment = story.assess(&case);
            let plan = Plan::of(&case);
            let told = plan
                .foretell(&case, &assessment, &Question::Swap(swap))
                .unwrap();
            let stayed = told
                .outcomes
                .iter()
                .find(|o| o.answer == Answer::Swap(SwapOutcome::Stayed))
                .unwrap();
            assert_eq!(stayed.clears, [transistor], "{}", story.harness.title);
        }
        story.see(Seen::Swapped {
            what: swap,
            outcome: SwapOutcome::Stayed,
        });
        story.print("e");
        let t = story.share(|u| u == transistor);
        assert!(t <= 0.05, "{}: {t}", story.harness.title);
        let joints = story.share(|u| story.is_driver(u, 0) && u != transistor);
        let case = story.case();
        let assessment = story.assess(&case);
        let (leader, _) = case.ranked(&assessment, 0.0)[0];
        assert!(
            matches!(leader, Unit::DriverJoints(_) | Unit::DriveResistor(_)),
            "{leader:?}"
        );
        assert!(joints >= 0.7, "{joints}");
        // Next: the pin, the drive resistor, re-soldering; nothing dearer before them.
        let plan = Plan::of(&case);
        let (_, paid) = plan.done(&assessment);
        let next = plan.next(&case, &assessment, paid, 6);
        let questions: Vec<&Question> = next
            .iter()
            .map(|p| &plan.catalogue().acts[p.act].question)
            .collect();
        for (p, q) in next.iter().zip(&questions) {
            println!("    {:.2} bits {:.1} min {q:?}", p.bits, p.price);
        }
        let place = |test: &dyn Fn(&Question) -> bool| {
            questions
                .iter()
                .position(|q| test(q))
                .unwrap_or_else(|| panic!("{questions:?}"))
        };
        let pin = place(&|q| matches!(q, Question::Volts(p) if p.red == story.pin(0)));
        let resistor = place(&|q| {
            *q == Question::Look(Element::Driver(story.driver(0), DriverPiece::DriveResistor))
        });
        let solder = place(
            &|q| matches!(q, Question::Remake(Element::Driver(d, _)) if *d == story.driver(0)),
        );
        assert!(pin < resistor && resistor < solder, "{questions:?}");
    }
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
