//! Trails, cuts and shared paths of starting layouts.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::time::Instant;

use sparktrail_core::edit::layouts::{
    Arrangement, DriversIn, Housing, Injectors, Inline, Plan, build, propose_engine,
};
use sparktrail_core::engine::{CylinderId, Layout, Strokes};
use sparktrail_core::model::{DriverPiece, Element, Harness, PartId, PartKind, Port, Terminal};
use sparktrail_core::topology::{Missing, Pick, SharedBy, Topology};
use sparktrail_core::units::Degrees;

fn plan(cylinders: u8) -> Plan {
    let layout = if cylinders > 6 {
        Layout::Vee {
            bank_angle: Degrees::lit(90.0),
        }
    } else {
        Layout::Inline
    };
    Plan::new("Test car", propose_engine(cylinders, layout, Strokes::Four))
}

fn cylinders(numbers: &[u8]) -> BTreeSet<CylinderId> {
    numbers.iter().map(|&number| CylinderId(number)).collect()
}

fn part_where(harness: &Harness, is: impl Fn(&PartKind) -> bool) -> PartId {
    *harness
        .parts
        .iter()
        .find(|(_, part)| is(&part.kind))
        .unwrap()
        .0
}

fn named(harness: &Harness, name: &str) -> PartId {
    part_named(harness, name).unwrap_or_else(|| panic!("no part {name}"))
}

fn part_named(harness: &Harness, name: &str) -> Option<PartId> {
    harness
        .parts
        .iter()
        .find_map(|(&id, part)| (part.name == name).then_some(id))
}

/// Cylinders 1 to 4 in the order 1-3-4-2: companions 1 + 4 and 2 + 3.
fn inline_four() -> (Harness, Topology) {
    let harness = build(&plan(4)).unwrap();
    let topology = Topology::of(&harness);
    (harness, topology)
}

fn wire_to(harness: &Harness, terminal: Terminal) -> Element {
    let (&id, _) = harness
        .wires
        .iter()
        .find(|(_, wire)| wire.to.is_some_and(|fact| fact.value == terminal))
        .unwrap();
    Element::Wire(id)
}

#[test]
fn companions_depend_on_their_coil_and_all_on_the_relay() {
    let (harness, topology) = inline_four();
    let coil = named(&harness, "Coil A");
    let pair = cylinders(&[1, 4]);
    let all = cylinders(&[1, 2, 3, 4]);
    assert_eq!(topology.dependents(Element::Primary(coil)), pair);
    assert_eq!(topology.dependents(Element::Secondary(coil)), pair);
    let relay = named(&harness, "Ignition relay");
    assert_eq!(topology.dependents(Element::Contact(relay)), all);
    assert_eq!(topology.dependents(Element::RelayWinding(relay)), all);
    let unit = named(&harness, "Control unit");
    assert_eq!(topology.dependents(Element::CrankSignal(unit)), all);
    let lead = named(&harness, "Lead 1");
    assert_eq!(
        topology.dependents(Element::LeadConductor(lead)),
        cylinders(&[1])
    );
}

#[test]
fn an_open_lead_leaves_its_companion_in_doubt() {
    let (harness, topology) = inline_four();
    let lead = named(&harness, "Lead 1");
    let separation = topology.separates(&[Element::LeadConductor(lead)]);
    assert_eq!(separation.dead(), cylinders(&[1]));
    let companion = separation.losses.get(&CylinderId(4)).unwrap();
    assert!(
        companion.spark.is_empty() && companion.doubt.len() == 1,
        "{companion:?}"
    );
    assert_eq!(separation.losses.len(), 2);
}

#[test]
fn either_of_two_parallel_wires_is_enough() {
    let (mut harness, before) = inline_four();
    let feed = Terminal {
        part: named(&harness, "Coil A"),
        port: Port::Feed,
    };
    let first = wire_to(&harness, feed);
    assert_eq!(before.dependents(first), cylinders(&[1, 4]));
    let Element::Wire(id) = first else {
        unreachable!()
    };
    let twin = harness.wires.get(&id).unwrap().clone();
    let second = Element::Wire(harness.add_wire(twin));
    let topology = Topology::of(&harness);
    assert_eq!(topology.dependents(first), cylinders(&[]));
    assert_eq!(topology.dependents(second), cylinders(&[]));
    assert_eq!(
        topology.separates(&[first, second]).dead(),
        cylinders(&[1, 4])
    );
    let trail = topology.trail(&harness, Pick::Element(first));
    assert_eq!(
        (trail.depend, trail.through),
        (cylinders(&[]), cylinders(&[1, 4]))
    );
}

#[test]
fn two_relays_on_one_key_wire_drop_together() {
    let (mut harness, _) = inline_four();
    let relay = named(&harness, "Ignition relay");
    let second = {
        let part = harness.parts.get(&relay).unwrap().kind.clone();
        harness.add_part("Second relay", part)
    };
    let wires: Vec<_> = harness.wires.values().cloned().collect();
    for mut wire in wires {
        let mut touched = false;
        for end in [&mut wire.from, &mut wire.to] {
            if let Some(fact) = end
                && fact.value.part == relay
            {
                fact.value.part = second;
                touched = true;
            }
        }
        if touched {
            harness.add_wire(wire);
        }
    }
    let topology = Topology::of(&harness);
    let key = Element::Contact(named(&harness, "Ignition key"));
    assert_eq!(topology.dependents(Element::Contact(relay)), cylinders(&[]));
    assert_eq!(
        topology.dependents(Element::RelayWinding(second)),
        cylinders(&[])
    );
    assert_eq!(topology.dependents(key), cylinders(&[1, 2, 3, 4]));
    assert_eq!(
        topology.separates(&[key]).relays,
        BTreeSet::from([relay, second])
    );
}

#[test]
fn the_own_trail_runs_from_pin_to_plug() {
    let (harness, topology) = inline_four();
    let trail = topology.trail(&harness, Pick::Cylinder(CylinderId(1)));
    let (driver, lead) = (
        *trail.drivers.iter().next().unwrap(),
        named(&harness, "Lead 1"),
    );
    let relay = Element::Contact(named(&harness, "Ignition relay"));
    for own in [
        Element::Driver(driver, DriverPiece::OutputJoint),
        Element::Primary(named(&harness, "Coil A")),
        Element::LeadConductor(lead),
        Element::Gap(named(&harness, "Plug 1")),
    ] {
        assert!(trail.own.elements.contains(&own), "{own:?}");
        assert!(!trail.shared.elements.contains(&own), "{own:?}");
    }
    assert!(trail.shared.elements.contains(&relay) && !trail.own.elements.contains(&relay));
    let other = named(&harness, "Coil B");
    assert!(!trail.own.parts.contains(&other) && !trail.shared.parts.contains(&other));
    let by_driver = topology.trail(&harness, Pick::Driver(driver));
    assert_eq!(by_driver.through, cylinders(&[1, 4]));
    let fuse = topology.trail(&harness, Pick::Part(named(&harness, "Ignition fuse")));
    assert_eq!(fuse.depend, cylinders(&[1, 2, 3, 4]));
}

#[test]
fn a_terminal_lights_what_meets_there() {
    let (harness, topology) = inline_four();
    let terminal = Terminal {
        part: named(&harness, "Coil B"),
        port: Port::Switched,
    };
    let trail = topology.trail(&harness, Pick::Terminal(terminal));
    assert_eq!(trail.depend, cylinders(&[2, 3]));
}

#[test]
fn groups_name_what_is_shared() {
    let (harness, topology) = inline_four();
    let group = |by: &SharedBy| -> Vec<u8> {
        topology
            .sharing()
            .iter()
            .find(|group| group.by == *by)
            .map(|group| group.cylinders.iter().map(|c| c.0).collect())
            .unwrap_or_default()
    };
    assert_eq!(group(&SharedBy::Coil(named(&harness, "Coil A"))), [1, 4]);
    assert_eq!(
        group(&SharedBy::Unit(named(&harness, "Control unit"))),
        [1, 2, 3, 4]
    );
    assert_eq!(
        group(&SharedBy::Relay(named(&harness, "Ignition relay"))),
        [1, 2, 3, 4]
    );
    let feeds = topology
        .sharing()
        .iter()
        .filter(|group| matches!(group.by, SharedBy::Feed(_)))
        .count();
    assert_eq!(feeds, 3, "the trunk and one branch a coil");
}

#[test]
fn a_distributor_shares_its_rotor_and_not_its_leads() {
    let mut distributor = plan(4);
    distributor.arrangement = Arrangement::Distributor;
    let harness = build(&distributor).unwrap();
    let topology = Topology::of(&harness);
    let part = part_where(&harness, |kind| matches!(kind, PartKind::Distributor(_)));
    assert_eq!(
        topology.dependents(Element::Rotor(part)),
        cylinders(&[1, 2, 3, 4])
    );
    let lead = part_where(&harness, |kind| {
        matches!(kind, PartKind::Lead(lead)
            if lead.from.is_some_and(|f| f.value.port == Port::Tower(CylinderId(3))))
    });
    assert_eq!(
        topology.dependents(Element::LeadConductor(lead)),
        cylinders(&[3])
    );
}

#[test]
fn drivers_in_modules_and_in_coils_are_followed() {
    for (drivers, arrangement) in [
        (DriversIn::Module, Arrangement::Pairs),
        (DriversIn::Coil, Arrangement::OneEach),
        (DriversIn::Coil, Arrangement::Pairs),
    ] {
        let mut wanted = plan(6);
        wanted.drivers = drivers;
        wanted.arrangement = arrangement;
        let harness = build(&wanted).unwrap();
        let topology = Topology::of(&harness);
        let units = topology.unit_needs().map(|(unit, _)| unit);
        let control = units
            .into_iter()
            .find(|&unit| topology.elements().contains(&Element::CrankSignal(unit)))
            .unwrap();
        let all = cylinders(&[1, 2, 3, 4, 5, 6]);
        assert_eq!(topology.dependents(Element::Logic(control)), all);
        for (cylinder, needs) in topology.cylinders() {
            assert_eq!(
                needs.missing,
                [],
                "cylinder {cylinder}, drivers in {drivers:?}"
            );
            assert_eq!(needs.chains.first().unwrap().command, Some(control));
        }
    }
}

#[test]
fn injectors_starve_but_do_not_kill_the_spark() {
    let mut wanted = plan(4);
    wanted.injectors = Injectors::Drawn;
    let harness = build(&wanted).unwrap();
    let topology = Topology::of(&harness);
    let injector = part_where(
        &harness,
        |kind| matches!(kind, PartKind::Injector(i) if i.cylinder.is_some_and(|f| f.value == CylinderId(2))),
    );
    let separation = topology.separates(&[Element::InjectorWinding(injector)]);
    assert_eq!(separation.dead(), cylinders(&[]));
    assert_eq!(separation.starved(), cylinders(&[2]));
    let trail = topology.trail(&harness, Pick::Part(injector));
    assert_eq!(
        (trail.starve, trail.through),
        (cylinders(&[2]), cylinders(&[2]))
    );
}

/// What is on the way of fuel alone has no coil's driver on its trail, with its wires and without.
#[test]
fn an_injector_lights_no_driver_of_a_coil() {
    let mut wanted = plan(4);
    wanted.injectors = Injectors::Drawn;
    let wired = build(&wanted).unwrap();
    let injector = named(&wired, "Injector 2");
    let mut bare = wired.clone();
    bare.wires.retain(|_, wire| {
        let ends = [wire.from, wire.to];
        let mut parts = ends.iter().flatten().map(|fact| fact.value.part);
        !parts.any(|part| part == injector)
    });
    assert_eq!(bare.wires.len() + 2, wired.wires.len());
    for harness in [&wired, &bare] {
        let topology = Topology::of(harness);
        let trail = topology.trail(harness, Pick::Part(injector));
        assert_eq!(trail.through, cylinders(&[2]));
        assert_eq!(trail.drivers, BTreeSet::new());
        let coils = |element: &Element| matches!(element, Element::Driver(..));
        let mut all = trail.own.elements.iter().chain(&trail.shared.elements);
        assert!(!all.any(coils), "{trail:?}");
        // The cylinder itself still leads back to the driver of its spark.
        let trail = topology.trail(harness, Pick::Cylinder(CylinderId(2)));
        assert_eq!(trail.drivers.len(), 1);
    }
}

#[test]
fn an_unfinished_map_says_what_it_lacks() {
    let (mut harness, _) = inline_four();
    let coil = named(&harness, "Coil A");
    let control = Terminal {
        part: coil,
        port: Port::Switched,
    };
    for wire in harness.wires.values_mut() {
        if wire.to.is_some_and(|fact| fact.value == control) {
            wire.from = None;
        }
    }
    let topology = Topology::of(&harness);
    let of = |cylinder| {
        &topology
            .cylinders()
            .get(&CylinderId(cylinder))
            .unwrap()
            .missing
    };
    assert_eq!(of(1), &[Missing::Driver(coil)]);
    assert_eq!(of(4), &[Missing::Driver(coil)]);
    assert_eq!(of(2), &[]);
    // What is known of the loose wire still counts.
    let wire = wire_to(&harness, control);
    assert_eq!(topology.dependents(wire), cylinders(&[1, 4]));
    let empty = Topology::of(&Harness::new("", harness.engine.clone()));
    assert_eq!(
        empty.cylinders().get(&CylinderId(3)).unwrap().missing,
        [Missing::Plug(CylinderId(3))]
    );
}

#[test]
fn twelve_cylinders_in_no_time() {
    let mut wanted = plan(12);
    wanted.arrangement = Arrangement::OneEach;
    wanted.inline = Inline::PerBank;
    wanted.housing = Housing::Single;
    let harness = build(&wanted).unwrap();
    let began = Instant::now();
    let topology = Topology::of(&harness);
    let took = began.elapsed();
    assert_eq!(topology.cylinders().len(), 12);
    // Loose, for a busy machine and an unoptimised build; the measured figure is far below.
    assert!(took.as_millis() < 1500, "{took:?}");
    println!(
        "topology of {} elements in {took:?}",
        topology.elements().len()
    );
}
