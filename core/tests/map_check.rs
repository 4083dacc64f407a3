//! Each finding about a map: a change that makes it, and sound maps that have none.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use sparktrail_core::edit::layouts::{
    Arrangement, DriversIn, Housing, Inline, Plan, build, propose_engine,
};
use sparktrail_core::engine::{CylinderId, Firing, Layout, Strokes};
use sparktrail_core::model::{
    Basis, Cavity, CavityId, Coil, Connector, ControlUnit, Distributor, Driver, DriverId, FactAt,
    FactValue, FaultThen, Finding, FindingId, Harness, Lead, MapFinding, PartId, PartKind, Pin,
    PinId, PinRole, Plug, Port, Quantity, Rival, Secondary, Seen, Setup, SwapOutcome, SwapPair,
    Terminal, Wire, Works, check,
};
use sparktrail_core::provenance::{Fact, Provenance};
use sparktrail_core::units::{Degrees, Metres, Ohms};

/// An inline four with two double-ended coils and an in-line connector, drivers in a module.
fn four() -> Harness {
    build(&Plan {
        drivers: DriversIn::Module,
        inline: Inline::One,
        ..Plan::new("Test", propose_engine(4, Layout::Inline, Strokes::Four))
    })
    .unwrap()
}

/// A flat four with one coil and a distributor.
fn capped() -> Harness {
    build(&Plan {
        arrangement: Arrangement::Distributor,
        ..Plan::new("Test", propose_engine(4, Layout::Flat, Strokes::Four))
    })
    .unwrap()
}

/// An inline four with a coil and a driver on each plug, in packs of two.
fn on_plug() -> Harness {
    build(&Plan {
        arrangement: Arrangement::OneEach,
        drivers: DriversIn::Coil,
        housing: Housing::Packs(2),
        ..Plan::new("Test", propose_engine(4, Layout::Inline, Strokes::Four))
    })
    .unwrap()
}

fn id(harness: &Harness, name: &str) -> PartId {
    let found = harness.parts.iter().find(|(_, part)| part.name == name);
    *found.unwrap_or_else(|| panic!("no part {name}")).0
}

fn kind<'h>(harness: &'h mut Harness, name: &str) -> &'h mut PartKind {
    let id = id(harness, name);
    &mut harness.parts.get_mut(&id).unwrap().kind
}

macro_rules! the {
    ($name:ident, $variant:ident, $what:ty) => {
        fn $name<'h>(harness: &'h mut Harness, name: &str) -> &'h mut $what {
            if let PartKind::$variant(found) = kind(harness, name) {
                found
            } else {
                panic!("{name} is something else")
            }
        }
    };
}
the!(coil, Coil, Coil);
the!(unit, ControlUnit, ControlUnit);
the!(lead, Lead, Lead);
the!(plug, Plug, Plug);
the!(connector, Connector, Connector);
the!(distributor, Distributor, Distributor);

fn at(harness: &Harness, name: &str, port: Port) -> Terminal {
    Terminal {
        part: id(harness, name),
        port,
    }
}

fn join(harness: &mut Harness, from: Terminal, to: Terminal) {
    harness.add_wire(Wire {
        from: Some(Fact::assumed(from)),
        to: Some(Fact::assumed(to)),
        ..Wire::default()
    });
}

fn wire(harness: &mut Harness, nth: usize) -> &mut Wire {
    harness.wires.values_mut().nth(nth).unwrap()
}

/// Takes away every wire that ends here.
fn cut(harness: &mut Harness, terminal: Terminal) {
    harness.wires.retain(|_, wire| {
        [wire.from, wire.to]
            .iter()
            .all(|end| end.map(|fact| fact.value) != Some(terminal))
    });
}

fn pin_of(harness: &mut Harness, name: &str, role: PinRole) -> PinId {
    let wanted = |pin: &&Pin| pin.role.is_some_and(|known| known.value == role);
    let unit = unit(harness, name);
    unit.pins.iter().find(wanted).unwrap().id
}

fn saw(harness: &mut Harness, seen: Seen) {
    let id = harness.fresh();
    harness
        .findings
        .push(Finding::new(id, seen, FaultThen::Unknown));
}

macro_rules! variants {
    ($($name:ident),* $(,)?) => {
        const ALL: &[&str] = &[$(stringify!($name)),*];

        fn name(finding: &MapFinding) -> &'static str {
            match finding {
                $(MapFinding::$name { .. } => stringify!($name)),*
            }
        }
    };
}
variants! {
    NoCylinders, TooManyCylinders, CylinderRepeated, OrderLacks, OrderRepeats, OrderUnknown,
    AngleCount, FirstAngle, AngleFalls, AngleOutside, WireLoose, WireNowhere, WireAtHighVoltage,
    WireToItself, WiresParallel, LeadLoose, LeadNowhere, LeadMisplaced, LeadsShare,
    PinLabelRepeated, PinUnlabelled, PinUnknown, CavityLabelRepeated, CavityUnlabelled,
    NotCompanions, NoCompanionsAtAll, TowerWithoutLead, CoilWithoutFeed, CoilWithoutSwitch,
    CoilWithoutGround, CoilAtWrongPin, CoilsShareDriver, DriversShareCoil, DriverWithoutCoil,
    DriverWithoutSignal, DriverPinMissing, DriverPinRole, DriversSharePin, PackMissing, PackEmpty,
    CylinderWithoutPlug, CylinderWithoutCoil, PlugWithoutCoil, CylinderUntold, CylinderUnknown,
    CapRepeats, CapOutOfOrder, LeadsCrossed, DistributorWithoutCoil, NoBattery, SeveralBatteries,
    NoGroundPath, ShortCircuit, UnitWithoutSupply, UnitWithoutGround, RelayWithoutWinding, DeadEnd,
    ValueOutOfRange, FactsClash, FindingNames,
}

type Base = fn() -> Harness;
type Change = fn(&mut Harness);

fn angles(harness: &mut Harness, degrees: &[f64]) {
    let angles = degrees.iter().map(|d| Degrees::lit(*d)).collect();
    harness.engine.firing.value = Firing::At(angles);
}

/// The variant that each change must bring, the map it starts from, the change.
const ENGINE: &[(&str, Base, Change)] = &[
    ("NoCylinders", four, |h| h.engine.banks.clear()),
    ("TooManyCylinders", four, |h| {
        h.engine.banks[0].cylinders = (1..=17).map(CylinderId).collect();
    }),
    ("CylinderRepeated", four, |h| {
        h.engine.banks[0].cylinders.push(CylinderId(2));
    }),
    ("OrderLacks", four, |h| {
        h.engine.order.value.pop();
    }),
    ("OrderRepeats", four, |h| {
        h.engine.order.value.push(CylinderId(3));
    }),
    ("OrderUnknown", four, |h| {
        h.engine.order.value[1] = CylinderId(9);
    }),
    ("AngleCount", four, |h| angles(h, &[0.0, 180.0, 360.0])),
    ("FirstAngle", four, |h| {
        angles(h, &[10.0, 190.0, 370.0, 550.0]);
    }),
    ("AngleFalls", four, |h| {
        angles(h, &[0.0, 360.0, 180.0, 540.0])
    }),
    ("AngleOutside", four, |h| {
        angles(h, &[0.0, 180.0, 360.0, 720.0]);
    }),
    ("NotCompanions", four, |h| h.engine.order.value.swap(0, 1)),
    ("NoCompanionsAtAll", four, |h| {
        angles(h, &[0.0, 90.0, 270.0, 540.0]);
    }),
];

const WIRING: &[(&str, Base, Change)] = &[
    ("WireLoose", four, |h| wire(h, 3).to = None),
    ("WireNowhere", four, |h| {
        let port = Port::Pin(PinId::from_number(9999));
        let nowhere = at(h, "Control unit", port);
        wire(h, 3).to = Some(Fact::assumed(nowhere));
    }),
    ("WireAtHighVoltage", four, |h| {
        let (plus, tower) = (at(h, "Battery", Port::Plus), at(h, "Coil A", Port::TowerA));
        join(h, plus, tower);
    }),
    ("WireToItself", four, |h| {
        let plus = at(h, "Battery", Port::Plus);
        join(h, plus, plus);
    }),
    ("WiresParallel", four, |h| {
        let first = wire(h, 0).clone();
        h.add_wire(Wire {
            from: first.to,
            to: first.from,
            ..first
        });
    }),
    ("LeadLoose", four, |h| lead(h, "Lead 2").to = None),
    ("LeadNowhere", four, |h| {
        let port = Port::PlugTop;
        let part = PartId::from_number(9999);
        lead(h, "Lead 2").to = Some(Fact::assumed(Terminal { part, port }));
    }),
    ("LeadMisplaced", four, |h| {
        let feed = at(h, "Coil A", Port::Feed);
        lead(h, "Lead 2").from = Some(Fact::assumed(feed));
    }),
    ("LeadsShare", four, |h| {
        let tower = at(h, "Coil A", Port::TowerA);
        lead(h, "Lead 2").from = Some(Fact::assumed(tower));
    }),
    ("PinLabelRepeated", four, |h| {
        let unit = unit(h, "Control unit");
        unit.pins[1].label = unit.pins[0].label.clone();
    }),
    ("PinUnlabelled", four, |h| {
        unit(h, "Control unit").pins[0].label = None;
    }),
    ("PinUnknown", four, |h| {
        unit(h, "Control unit").pins[0].role = None;
    }),
    ("CavityLabelRepeated", four, |h| {
        let connector = connector(h, "Engine connector");
        connector.cavities[1].label = connector.cavities[0].label.clone();
    }),
    ("CavityUnlabelled", four, |h| {
        connector(h, "Engine connector").cavities[0].label = None;
    }),
];

const IGNITION: &[(&str, Base, Change)] = &[
    ("TowerWithoutLead", four, |h| {
        let lead = id(h, "Lead 1");
        h.parts.remove(&lead);
    }),
    ("CoilWithoutFeed", four, |h| {
        let feed = at(h, "Coil A", Port::Feed);
        cut(h, feed);
    }),
    ("CoilWithoutSwitch", four, |h| {
        let switched = at(h, "Coil A", Port::Switched);
        cut(h, switched);
    }),
    ("CoilWithoutGround", on_plug, |h| {
        let ground = at(h, "Coil A", Port::CoilGround);
        cut(h, ground);
    }),
    ("CoilAtWrongPin", on_plug, |h| {
        unit(h, "Control unit").pins[2].role = Some(Fact::measured(PinRole::SensorIn));
    }),
    ("CoilsShareDriver", four, |h| {
        let (a, b) = (
            at(h, "Coil A", Port::Switched),
            at(h, "Coil B", Port::Switched),
        );
        cut(h, b);
        join(h, a, b);
    }),
    ("DriversShareCoil", four, |h| {
        let (a, b) = (
            at(h, "Coil A", Port::Switched),
            at(h, "Coil B", Port::Switched),
        );
        join(h, a, b);
    }),
    ("DriverWithoutCoil", four, |h| {
        unit(h, "Ignition module").drivers[0].output = None;
    }),
    ("DriverWithoutSignal", four, |h| {
        unit(h, "Ignition module").drivers[0].drive = None;
    }),
    ("DriverPinMissing", four, |h| {
        let missing = PinId::from_number(9999);
        unit(h, "Ignition module").drivers[0].output = Some(Fact::assumed(missing));
    }),
    ("DriverPinRole", four, |h| {
        let supply = pin_of(h, "Ignition module", PinRole::Supply);
        unit(h, "Ignition module").drivers[0].output = Some(Fact::assumed(supply));
    }),
    ("DriversSharePin", four, |h| {
        let unit = unit(h, "Ignition module");
        unit.drivers[1].output = unit.drivers[0].output;
    }),
    ("PackMissing", on_plug, |h| {
        let battery = id(h, "Battery");
        coil(h, "Coil A").pack = Some(battery);
    }),
    ("PackEmpty", four, |h| {
        h.add_part("Pack C", PartKind::Pack);
    }),
    ("CylinderWithoutPlug", four, |h| {
        let plug = id(h, "Plug 3");
        h.parts.remove(&plug);
    }),
    ("CylinderWithoutCoil", four, |h| {
        lead(h, "Lead 3").from = None
    }),
    ("CylinderWithoutCoil", capped, |h| {
        lead(h, "Coil lead A").from = None;
    }),
    ("PlugWithoutCoil", four, |h| {
        plug(h, "Plug 3").cylinder = Some(Fact::measured(CylinderId(2)));
        lead(h, "Lead 3").from = None;
    }),
    ("CylinderUntold", four, |h| {
        plug(h, "Plug 3").cylinder = None
    }),
    ("CylinderUnknown", four, |h| {
        plug(h, "Plug 3").cylinder = Some(Fact::measured(CylinderId(7)));
    }),
    ("CylinderUnknown", capped, |h| {
        distributor(h, "Distributor A").towers.push(CylinderId(7));
    }),
    ("CapRepeats", capped, |h| {
        distributor(h, "Distributor A").towers.push(CylinderId(1));
    }),
    ("CapOutOfOrder", capped, |h| {
        distributor(h, "Distributor A").towers.swap(0, 1);
    }),
    ("LeadsCrossed", capped, |h| {
        let (two, three) = (lead(h, "Lead 2").to, lead(h, "Lead 3").to);
        lead(h, "Lead 2").to = three;
        lead(h, "Lead 3").to = two;
    }),
    ("DistributorWithoutCoil", capped, |h| {
        let lead = id(h, "Coil lead A");
        h.parts.remove(&lead);
    }),
];

const SUPPLY: &[(&str, Base, Change)] = &[
    ("NoBattery", four, |h| {
        let battery = id(h, "Battery");
        h.parts.remove(&battery);
    }),
    ("SeveralBatteries", four, |h| {
        let battery = kind(h, "Battery").clone();
        h.add_part("Second battery", battery);
    }),
    ("NoGroundPath", four, |h| {
        let minus = at(h, "Battery", Port::Minus);
        cut(h, minus);
    }),
    ("NoGroundPath", four, |h| {
        let ground = id(h, "Engine ground");
        h.parts.remove(&ground);
    }),
    ("ShortCircuit", four, |h| {
        let (splice, body) = (
            at(h, "Supply splice", Port::Joint),
            at(h, "Body ground", Port::Joint),
        );
        join(h, splice, body);
    }),
    ("UnitWithoutSupply", four, |h| {
        let pin = pin_of(h, "Control unit", PinRole::Supply);
        let pin = at(h, "Control unit", Port::Pin(pin));
        cut(h, pin);
    }),
    ("UnitWithoutGround", four, |h| {
        let pin = pin_of(h, "Control unit", PinRole::Ground);
        let pin = at(h, "Control unit", Port::Pin(pin));
        cut(h, pin);
    }),
    ("RelayWithoutWinding", four, |h| {
        let winding = at(h, "Ignition relay", Port::WindingStart);
        cut(h, winding);
    }),
    ("DeadEnd", four, |h| {
        let fused = at(h, "Ignition fuse", Port::Out);
        cut(h, fused);
    }),
    ("ValueOutOfRange", four, |h| {
        coil(h, "Coil A").primary_resistance = Some(Fact::measured(Ohms::ZERO));
    }),
    ("ValueOutOfRange", four, |h| {
        coil(h, "Coil A").primary_resistance = Some(Fact::measured(Ohms::lit(50.0)));
    }),
    ("FactsClash", four, |h| {
        let (&wire, _) = h.wires.first_key_value().unwrap();
        h.wires.get_mut(&wire).unwrap().length = Some(Fact::measured(Metres::lit(1.5)));
        h.rivals.push(Rival {
            at: FactAt::WireLength(wire),
            value: FactValue::Number(2.0),
            how: Provenance::Diagram,
        });
    }),
    ("FindingNames", four, |h| {
        let cylinder = CylinderId(5);
        let works = Works::Dead;
        saw(h, Seen::Contribution { cylinder, works });
    }),
    ("FindingNames", four, |h| {
        let what = SwapPair::Transistors(DriverId::from_number(9998), DriverId::from_number(9999));
        let outcome = SwapOutcome::Stayed;
        saw(h, Seen::Swapped { what, outcome });
    }),
    ("FindingNames", four, |h| {
        let cylinder = CylinderId(1);
        let works = Works::Dead;
        saw(h, Seen::Contribution { cylinder, works });
        let mut setup = Setup::idling();
        setup.pulled_fuses.insert(PartId::from_number(9999));
        h.findings[0].setup = Some(setup);
    }),
];

fn cases() -> impl Iterator<Item = &'static (&'static str, Base, Change)> {
    [ENGINE, WIRING, IGNITION, SUPPLY].into_iter().flatten()
}

#[test]
fn sound_maps_have_no_findings() {
    for base in [four, capped, on_plug] {
        assert_eq!(check(&base()), []);
    }
}

#[test]
fn each_change_brings_its_finding() {
    for (wanted, base, change) in cases() {
        let mut harness = base();
        change(&mut harness);
        let found: Vec<&str> = check(&harness).iter().map(name).collect();
        assert!(found.contains(wanted), "{wanted} is not in {found:?}");
    }
}

#[test]
fn every_finding_has_a_case() {
    let covered: BTreeSet<&str> = cases().map(|(name, _, _)| *name).collect();
    assert_eq!(covered, ALL.iter().copied().collect());
}

/// What a person reads for each change, and what is pointed at.
#[test]
fn words_and_places() {
    let mut told = String::new();
    for (wanted, base, change) in cases() {
        let mut harness = base();
        change(&mut harness);
        told.push_str(&format!("{wanted}\n"));
        for finding in check(&harness) {
            told.push_str(&format!(
                "  {:?}: {} {:?}\n",
                finding.severity(),
                finding.named(&harness),
                finding.places()
            ));
        }
    }
    insta::assert_snapshot!(told);
}

#[test]
fn the_angles_of_cylinders_that_cannot_share_are_told() {
    let mut harness = four();
    harness.engine.order.value.swap(0, 1);
    let found = check(&harness);
    assert_eq!(
        found[0],
        MapFinding::NotCompanions {
            coil: id(&harness, "Coil A"),
            cylinders: (CylinderId(1), CylinderId(4)),
            tops: (Degrees::lit(180.0), Degrees::lit(360.0)),
            apart: Degrees::lit(180.0),
        }
    );
    assert_eq!(found.len(), 2);
}

/// The cap may be written down either way round, from any tower.
#[test]
fn a_cap_may_be_read_either_way_round() {
    let mut harness = capped();
    distributor(&mut harness, "Distributor A").towers.reverse();
    distributor(&mut harness, "Distributor A")
        .towers
        .rotate_left(1);
    assert_eq!(check(&harness), []);
}

/// Source: a coil maker's brochure read at second hand, electronic ignition 0.3–1.0 Ω and
/// distributor coils 0.5–2.0 Ω primary; 8–15 kΩ and 8–19 kΩ secondary.
#[test]
fn published_coil_ranges() {
    assert_eq!(Quantity::Primary.range().usual, (0.3, 2.0));
    assert_eq!(Quantity::Secondary.range().usual, (8e3, 19e3));
    assert_eq!(Quantity::Primary.range().basis, Basis::Weak);
    for (ohms, findings) in [(0.3, 0), (1.0, 0), (2.0, 0), (0.0, 1), (50.0, 1)] {
        let mut harness = four();
        coil(&mut harness, "Coil A").primary_resistance = Some(Fact::measured(Ohms::lit(ohms)));
        assert_eq!(check(&harness).len(), findings, "{ohms} Ω");
    }
}

/// An empty map and a map of one odd part of each kind are data, never a panic.
#[test]
fn empty_and_bare_maps() {
    let engine = propose_engine(4, Layout::Inline, Strokes::Four);
    let mut harness = Harness::new("Empty", engine);
    let found: Vec<&str> = check(&harness).iter().map(name).collect();
    assert_eq!(
        found,
        [vec!["CylinderWithoutPlug"; 4], vec!["NoBattery"]].concat()
    );
    let cavity = CavityId::from_number(1);
    harness.add_part(
        "Bare connector",
        PartKind::Connector(Connector {
            cavities: vec![Cavity {
                id: cavity,
                label: None,
            }],
        }),
    );
    harness.add_part("Bare coil", PartKind::Coil(Coil::new(Secondary::TwoEnded)));
    let mut driven = Coil::new(Secondary::ReturnsToGround);
    driven.driver = Some(Driver::new(DriverId::from_number(77), "driver"));
    harness.add_part("Driven coil", PartKind::Coil(driven));
    harness.add_part("Bare cap", PartKind::Distributor(Distributor::default()));
    harness.add_part("Bare pack", PartKind::Pack);
    saw(
        &mut harness,
        Seen::Look {
            element: sparktrail_core::model::Element::Gap(PartId::from_number(99)),
            look: sparktrail_core::model::Look::Sound,
        },
    );
    let found = check(&harness);
    assert!(found.len() > 10);
    assert!(
        found
            .iter()
            .all(|f| !f.named(&harness).to_string().is_empty())
    );
    assert_eq!(
        harness.findings[0].id,
        FindingId::from_number(harness.next_id - 1)
    );
}
