//! What single faults do to the cylinders of starting layouts.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use sparktrail_core::edit::layouts::{
    Arrangement, DriversIn, Injectors, Inline, Plan, PlugsEach, build, propose_engine,
};
use sparktrail_core::engine::{CylinderId, Layout, Strokes};
use sparktrail_core::faults::{
    Besides, Effect, Fault, Fit, Mode, Reason, all_faults, effect, effects, explains, modes_of,
};
use sparktrail_core::model::{
    DriverId, DriverPiece, Element, Harness, PartId, PartKind, Pin, PinId, PinRole, Port, Spark,
    Terminal,
};
use sparktrail_core::topology::{NeedKind, Topology};
use sparktrail_core::units::Ohms;

const SHORT: Ohms = Ohms::lit(0.05);

/// Order 1-3-4-2: companions 1 + 4 on coil A and 2 + 3 on coil B.
fn four() -> Plan {
    Plan::new("Test car", propose_engine(4, Layout::Inline, Strokes::Four))
}

struct Car {
    harness: Harness,
    topology: Topology,
}

impl Car {
    fn new(plan: &Plan) -> Self {
        Self::of(build(plan).unwrap())
    }

    fn of(harness: Harness) -> Self {
        let topology = Topology::of(&harness);
        Self { harness, topology }
    }

    fn part(&self, name: &str) -> PartId {
        let found = self
            .harness
            .parts
            .iter()
            .find(|(_, part)| part.name == name);
        *found.unwrap_or_else(|| panic!("no part {name}")).0
    }

    fn wire_to(&self, part: &str, port: Port) -> Element {
        let part = self.part(part);
        let wanted = Terminal { part, port };
        let found = self
            .harness
            .wires
            .iter()
            .find(|(_, wire)| wire.to.is_some_and(|fact| fact.value == wanted));
        Element::Wire(*found.unwrap().0)
    }

    fn driver(&self, cylinder: u8) -> DriverId {
        let needs = self
            .topology
            .cylinders()
            .get(&CylinderId(cylinder))
            .unwrap();
        needs.chains.first().unwrap().driver.unwrap()
    }

    fn effect(&self, element: Element, mode: Mode) -> Effect {
        let effect = effect(&self.harness, &self.topology, Fault::new(element, mode));
        partition(&self.topology, &effect);
        effect
    }
}

/// Every cylinder stands in exactly one list.
fn partition(topology: &Topology, effect: &Effect) {
    let mut seen: Vec<CylinderId> = [&effect.dead, &effect.doubtful, &effect.live]
        .into_iter()
        .flatten()
        .map(|verdict| verdict.cylinder)
        .collect();
    seen.sort_unstable();
    let all: Vec<CylinderId> = topology.cylinders().keys().copied().collect();
    assert_eq!(seen, all, "{effect:?}");
}

fn numbers(cylinders: &BTreeSet<CylinderId>) -> Vec<u8> {
    cylinders.iter().map(|cylinder| cylinder.0).collect()
}

fn dead(effect: &Effect) -> Vec<u8> {
    numbers(&effect.dead_cylinders())
}

fn doubtful(effect: &Effect) -> Vec<u8> {
    numbers(&effect.doubtful_cylinders())
}

fn reason(effect: &Effect, cylinder: u8) -> Reason {
    [&effect.dead, &effect.doubtful, &effect.live]
        .into_iter()
        .flatten()
        .find(|verdict| verdict.cylinder == CylinderId(cylinder))
        .unwrap()
        .reason
}

/// Source: simulation of an open lead on a double-ended coil: its own plug is dead unless an arc
/// bridges the break, the companion is doubtful, the full voltage stands across the insulation.
#[test]
fn an_open_lead_kills_its_own_and_leaves_the_companion_in_doubt() {
    let car = Car::new(&four());
    let effect = car.effect(Element::LeadConductor(car.part("Lead 1")), Mode::Open);
    assert_eq!((dead(&effect), doubtful(&effect)), (vec![1], vec![4]));
    assert!(matches!(
        reason(&effect, 4),
        Reason::LoopOpen(NeedKind::Side(..))
    ));
    let coil = car.part("Coil A");
    assert_eq!(effect.besides, [Besides::InsulationStressed(coil)]);
}

/// Source: simulation of a fouled plug: 10 kΩ and 100 kΩ take the spark, its partner always sparks.
#[test]
fn a_fouled_plug_dies_alone() {
    let car = Car::new(&four());
    let plug = car.part("Plug 1");
    let fouled = car.effect(Element::Gap(plug), Mode::Fouled(Ohms::lit(1e5)));
    assert_eq!((dead(&fouled), doubtful(&fouled)), (vec![1], vec![]));
    assert_eq!(reason(&fouled, 4), Reason::OtherPlugSuffers(plug));
    let slightly = car.effect(Element::Gap(plug), Mode::Fouled(Ohms::lit(1e6)));
    assert_eq!((dead(&slightly), doubtful(&slightly)), (vec![], vec![1]));
}

/// Common practice, no source.
#[test]
fn a_control_wire_touching_things() {
    let car = Car::new(&four());
    let wire = car.wire_to("Coil A", Port::Switched);
    let coil = car.part("Coil A");
    let grounded = car.effect(wire, Mode::ToGround(SHORT));
    assert_eq!((dead(&grounded), doubtful(&grounded)), (vec![1, 4], vec![]));
    assert_eq!(reason(&grounded, 1), Reason::NeverCut(coil));
    assert_eq!(grounded.besides, [Besides::CoilOverheats(coil)]);
    let fed = car.effect(wire, Mode::ToSupply(SHORT));
    assert_eq!(dead(&fed), [1, 4]);
    assert_eq!(reason(&fed, 4), Reason::DriverShorted(car.driver(1)));
    let other = car.wire_to("Coil B", Port::Switched);
    let joined = car.effect(wire, Mode::ToNeighbour(other, SHORT));
    assert_eq!(
        (dead(&joined), doubtful(&joined)),
        (vec![], vec![1, 2, 3, 4])
    );
    assert_eq!(reason(&joined, 2), Reason::FiredTogether);
    let leaking = car.effect(wire, Mode::ToGround(Ohms::lit(25.0)));
    assert_eq!((dead(&leaking), doubtful(&leaking)), (vec![], vec![1, 4]));
}

/// Common practice, no source.
#[test]
fn a_shorted_feed_blows_the_fuse_before_it() {
    let car = Car::new(&four());
    let fuse = car.part("Ignition fuse");
    let feed = car.effect(car.wire_to("Coil A", Port::Feed), Mode::ToGround(SHORT));
    assert_eq!(dead(&feed), [1, 2, 3, 4]);
    assert_eq!(reason(&feed, 1), Reason::FuseBlows(fuse));
    assert_eq!(feed.besides, [Besides::FuseBlows(fuse)]);
    let before = car.effect(
        car.wire_to("Ignition fuse", Port::In),
        Mode::ToGround(SHORT),
    );
    assert_eq!(before.besides, [Besides::WireCanBurn]);
    assert_eq!(reason(&before, 3), Reason::SupplyShorted);
}

/// Common practice, no source.
#[test]
fn what_all_cylinders_share_takes_all() {
    let car = Car::new(&four());
    let unit = car.part("Control unit");
    let relay = car.part("Ignition relay");
    for (element, mode) in [
        (Element::RelayWinding(relay), Mode::Open),
        (Element::Contact(relay), Mode::Open),
        (Element::Contact(car.part("Ignition key")), Mode::Open),
        (Element::BoardGround(unit), Mode::Open),
        (Element::BoardSupply(unit), Mode::Open),
        (Element::CrankSignal(unit), Mode::Missing),
        (Element::Logic(unit), Mode::Silent),
        (Element::Battery(car.part("Battery")), Mode::Open),
    ] {
        let effect = car.effect(element, mode);
        assert_eq!(dead(&effect), [1, 2, 3, 4], "{element:?} {mode:?}");
    }
    let dropped = car.effect(Element::RelayWinding(relay), Mode::Open);
    assert_eq!(reason(&dropped, 2), Reason::RelayDrops(relay));
    let erratic = car.effect(Element::CrankSignal(unit), Mode::Erratic);
    assert_eq!(doubtful(&erratic), [1, 2, 3, 4]);
    let welded = car.effect(Element::Contact(relay), Mode::AlwaysOn);
    assert_eq!((dead(&welded), doubtful(&welded)), (vec![], vec![]));
    assert_eq!(welded.besides, [Besides::StaysOnWithKeyOff]);
}

/// Common practice, no source.
#[test]
fn a_driver_fails_in_its_several_ways() {
    let car = Car::new(&four());
    let driver = car.driver(2);
    let piece = |piece| Element::Driver(driver, piece);
    for (element, mode) in [
        (piece(DriverPiece::OutputJoint), Mode::Open),
        (piece(DriverPiece::GroundJoint), Mode::Open),
        (piece(DriverPiece::DriveResistor), Mode::Open),
        (
            piece(DriverPiece::GateJoint),
            Mode::PartlyOn(Ohms::lit(3.0)),
        ),
        (piece(DriverPiece::Switch), Mode::NeverOn),
        (piece(DriverPiece::Switch), Mode::AlwaysOn),
        (piece(DriverPiece::Switch), Mode::PartlyOn(Ohms::lit(3.0))),
    ] {
        let effect = car.effect(element, mode);
        assert_eq!(
            (dead(&effect), doubtful(&effect)),
            (vec![2, 3], vec![]),
            "{element:?} {mode:?}"
        );
    }
    let leaky = car.effect(piece(DriverPiece::Switch), Mode::Leaky(Ohms::lit(25.0)));
    assert_eq!((dead(&leaky), doubtful(&leaky)), (vec![], vec![2, 3]));
    let unit = car.part("Control unit");
    let silent = car.effect(Element::Logic(unit), Mode::SilentFor(driver));
    assert_eq!(dead(&silent), [2, 3]);
}

#[test]
fn no_fuel_leaves_the_spark() {
    let mut plan = four();
    plan.injectors = Injectors::Drawn;
    let car = Car::new(&plan);
    let injector = Element::InjectorWinding(car.part("Injector 2"));
    for (element, mode) in [
        (injector, Mode::Open),
        (Element::Cylinder(CylinderId(2)), Mode::NoCompression),
    ] {
        let effect = car.effect(element, mode);
        assert_eq!(dead(&effect), [2]);
        assert_eq!(effect.dead.first().unwrap().spark, Some(Spark::Yes));
    }
}

#[test]
fn crossed_leads_spark_at_the_wrong_time() {
    let car = Car::new(&four());
    let lead = |number: u8| car.part(&format!("Lead {number}"));
    let crossed = |a, b| car.effect(Element::LeadConductor(lead(a)), Mode::CrossedWith(lead(b)));
    let wrong = crossed(1, 2);
    assert_eq!((dead(&wrong), doubtful(&wrong)), (vec![1, 2], vec![]));
    assert_eq!(wrong.dead.first().unwrap().spark, Some(Spark::WrongTime));
    assert_eq!(reason(&wrong, 1), Reason::SparksOf(CylinderId(2)));
    let harmless = crossed(1, 4);
    assert_eq!((dead(&harmless), doubtful(&harmless)), (vec![], vec![]));
    assert_eq!(reason(&harmless, 4), Reason::PolarityOnly);
    // On a distributor each tower sparks once a cycle: companions crossed are dead too.
    let mut plan = four();
    plan.arrangement = Arrangement::Distributor;
    let car = Car::new(&plan);
    let lead = |number: u8| car.part(&format!("Lead {number}"));
    let effect = car.effect(Element::LeadConductor(lead(1)), Mode::CrossedWith(lead(4)));
    assert_eq!(dead(&effect), [1, 4]);
}

#[test]
fn a_distributor_fails_for_all_or_for_neighbours() {
    let mut plan = four();
    plan.arrangement = Arrangement::Distributor;
    let car = Car::new(&plan);
    let (&part, _) = car
        .harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Distributor(_)))
        .unwrap();
    assert_eq!(
        dead(&car.effect(Element::Rotor(part), Mode::Open)),
        [1, 2, 3, 4]
    );
    let modes = modes_of(&car.harness, Element::Cap(part));
    // Towers stand in firing order 1-3-4-2 around the cap.
    let tracking = Mode::TrackingBetween(CylinderId(1), CylinderId(3));
    assert!(modes.contains(&tracking), "{modes:?}");
    assert!(!modes.contains(&Mode::TrackingBetween(CylinderId(2), CylinderId(3))));
    assert_eq!(doubtful(&car.effect(Element::Cap(part), tracking)), [1, 3]);
    let burnt = car.effect(Element::Cap(part), Mode::BurntTower(CylinderId(4)));
    assert_eq!(dead(&burnt), [4]);
}

#[test]
fn one_of_two_plugs_leaves_a_cylinder_in_doubt() {
    let mut plan = four();
    plan.plugs = PlugsEach::Two;
    let car = Car::new(&plan);
    let needs = car.topology.cylinders().get(&CylinderId(1)).unwrap();
    assert_eq!(needs.chains.len(), 2);
    let coil = needs.chains.first().unwrap().tower.part;
    let effect = car.effect(Element::Primary(coil), Mode::Open);
    assert_eq!((dead(&effect), doubtful(&effect)), (vec![], vec![1, 4]));
    assert!(matches!(reason(&effect, 1), Reason::OneOfTwoPlugs(_)));
}

#[test]
fn single_ended_coils_need_their_return() {
    let mut plan = four();
    plan.arrangement = Arrangement::OneEach;
    for drivers in [DriversIn::Unit, DriversIn::Coil, DriversIn::Module] {
        plan.drivers = drivers;
        let car = Car::new(&plan);
        let primary = Element::Primary(car.part("Coil A"));
        assert_eq!(
            dead(&car.effect(primary, Mode::Open)).len(),
            1,
            "{drivers:?}"
        );
        assert_eq!(
            dead(&car.effect(
                primary,
                Mode::TurnsShorted(sparktrail_core::faults::USUAL_TURNS)
            ))
            .len(),
            1
        );
    }
}

#[test]
fn an_unknown_pin_may_matter_to_an_unfinished_map_only() {
    let mut harness = build(&four()).unwrap();
    let unit = *harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::ControlUnit(_)))
        .unwrap()
        .0;
    let pin: PinId = harness.fresh();
    if let PartKind::ControlUnit(described) = &mut harness.parts.get_mut(&unit).unwrap().kind {
        described.pins.push(Pin {
            id: pin,
            label: None,
            role: Some(sparktrail_core::provenance::Fact::assumed(
                PinRole::CoilSwitch,
            )),
            note: String::new(),
        });
    }
    let unknown = Element::Mated(Terminal {
        part: unit,
        port: Port::Pin(pin),
    });
    let finished = Car::of(harness.clone());
    assert!(doubtful(&finished.effect(unknown, Mode::Open)).is_empty());
    let control = finished.wire_to("Coil A", Port::Switched);
    let Element::Wire(wire) = control else {
        unreachable!()
    };
    harness.wires.get_mut(&wire).unwrap().from = None;
    let unfinished = Car::of(harness);
    let effect = unfinished.effect(unknown, Mode::Open);
    assert_eq!((dead(&effect), doubtful(&effect)), (vec![], vec![1, 4]));
    assert!(matches!(reason(&effect, 1), Reason::Unfinished(_)));
    // What surely belongs to another cylinder does not put it in doubt.
    let elsewhere = unfinished.effect(Element::Primary(unfinished.part("Coil B")), Mode::Open);
    assert_eq!(
        (dead(&elsewhere), doubtful(&elsewhere)),
        (vec![2, 3], vec![])
    );
}

#[test]
fn the_dead_pair_is_explained_by_its_own_path() {
    let mut plan = four();
    plan.inline = Inline::One;
    let car = Car::new(&plan);
    let all = effects(&car.harness, &car.topology);
    assert_eq!(all.len(), all_faults(&car.harness).len());
    for effect in &all {
        partition(&car.topology, effect);
    }
    let found = explains(&all, &[CylinderId(1), CylinderId(4)]);
    let of = |fit| {
        let of_fit = found.iter().filter(move |(f, _)| *f == fit);
        of_fit
            .map(|(_, effect)| effect.fault)
            .collect::<Vec<Fault>>()
    };
    let (exact, with_doubt) = (of(Fit::Exactly), of(Fit::WithDoubt));
    assert!(exact.contains(&Fault::new(
        Element::Primary(car.part("Coil A")),
        Mode::Open
    )));
    assert!(
        !exact
            .iter()
            .any(|fault| fault.element == Element::Primary(car.part("Coil B")))
    );
    let lead = Fault::new(Element::LeadConductor(car.part("Lead 1")), Mode::Open);
    assert!(with_doubt.contains(&lead) && !exact.contains(&lead));
    assert!(
        explains(&all, &[CylinderId(1), CylinderId(2)])
            .iter()
            .all(|(fit, effect)| {
                matches!(effect.fault.mode, Mode::CrossedWith(_)) || *fit == Fit::WithDoubt
            })
    );
    assert!(explains(&all, &[]).is_empty());
}

#[test]
fn every_element_can_fail_somehow() {
    for drivers in [DriversIn::Unit, DriversIn::Module, DriversIn::Coil] {
        let mut plan = four();
        plan.drivers = drivers;
        plan.injectors = Injectors::Drawn;
        let car = Car::new(&plan);
        for &element in car.topology.elements() {
            let modes = modes_of(&car.harness, element);
            let once: BTreeSet<&Mode> = modes.iter().collect();
            assert!(!modes.is_empty(), "{element:?}");
            assert_eq!(once.len(), modes.len(), "{element:?} {modes:?}");
        }
    }
}
