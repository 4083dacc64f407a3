//! What goes on the map.

use super::*;

fn barn_find() -> Harness {
    let text = include_str!("../../../sample-harnesses/barn-find.json");
    file::read(text).unwrap()
}

fn part(harness: &Harness, name: &str) -> PartId {
    let mut parts = harness.parts.iter();
    *parts.find(|(_, part)| part.name == name).unwrap().0
}

#[test]
fn the_unfamiliar_car_turns_solid() {
    let map = barn_find();
    let unit = part(&map, "Control unit");
    let unknown: Vec<PinId> = map
        .unit(unit)
        .unwrap()
        .pins
        .iter()
        .filter(|pin| pin.role.is_none())
        .map(|pin| pin.id)
        .collect();
    let (b, c) = (part(&map, "Coil B"), part(&map, "Coil C"));
    assert_eq!(Trace::coils_without_pin(&map), [b, c]);
    let mut trace = Trace::new(&map, unit, unknown.clone(), vec![b, c], Coverage::All).unwrap();
    assert_eq!(trace.facts(&map).unwrap(), None);
    trace.answer(
        Measure::Unplug([b].into()),
        vec![(unknown[0], Shown::There), (unknown[1], Shown::NotThere)],
    );
    assert_eq!(trace.next(&map), Next::Done);
    let command = trace.facts(&map).unwrap().unwrap();
    let after = apply(&map, &command).unwrap();
    // Loose ends became wires of their coil, with the colour that they had there.
    assert_eq!(after.wires.len(), map.wires.len() - 2);
    for (pin, coil) in [(unknown[1], b), (unknown[0], c)] {
        let role = after.fact(FactAt::PinRole(unit, pin)).unwrap();
        assert_eq!(
            (role.value, role.how),
            (FactValue::Role(PinRole::CoilSwitch), Provenance::Measured)
        );
        let (_, wire) = after
            .wires
            .iter()
            .find(|(_, wire)| {
                wire.to
                    .is_some_and(|to| to.value.part == coil && to.value.port == Port::Switched)
            })
            .unwrap();
        let from = wire.end(WireEnd::From).unwrap();
        assert_eq!(
            (from.value.port, from.how),
            (Port::Pin(pin), Provenance::Measured)
        );
        assert!(
            wire.colour
                .is_some_and(|colour| colour.how == Provenance::Measured)
        );
    }
    // All three coils now have a driver: every cylinder's control path is shown.
    let topology = Topology::of(&after);
    let shown = topology.needs().iter().filter(|need| {
        matches!(need.kind, NeedKind::Control(..)) && need.state == NeedState::Shown
    });
    assert_eq!(shown.count(), 3);
    // Done again, nothing changes.
    assert_eq!(trace.facts(&after).unwrap(), None);
}

/// The map (a diagram) has two coils the wrong way round; the car says so, and both words are kept.
#[test]
fn what_clashes_with_a_diagram_stays_beside_it() {
    let mut map = build(&plan(4, Arrangement::Pairs)).unwrap();
    for wire in map.wires.values_mut() {
        for fact in [&mut wire.from, &mut wire.to].into_iter().flatten() {
            fact.how = Provenance::Diagram;
        }
    }
    let unit = map
        .parts
        .keys()
        .copied()
        .find(|id| map.unit(*id).is_some())
        .unwrap();
    let topology = Topology::of(&map);
    let pins: Vec<PinId> = map
        .unit(unit)
        .unwrap()
        .drivers
        .iter()
        .map(|driver| driver.output.unwrap().value)
        .collect();
    let drawn: Vec<PartId> = pins
        .iter()
        .map(|pin| coil_at(&map, &topology, unit, *pin))
        .collect();
    let mut trace = Trace::new(&map, unit, pins.clone(), drawn.clone(), Coverage::All).unwrap();
    trace.answer(
        Measure::Continuity(drawn[0]),
        vec![(pins[0], Shown::NotThere), (pins[1], Shown::There)],
    );
    let after = apply(&map, &trace.facts(&map).unwrap().unwrap()).unwrap();
    let topology = Topology::of(&after);
    assert_eq!(coil_at(&after, &topology, unit, pins[1]), drawn[0]);
    assert_eq!(coil_at(&after, &topology, unit, pins[0]), drawn[1]);
    assert_eq!(after.rivals.len(), 2, "{:?}", after.rivals);
    assert_eq!(after.wires.len(), map.wires.len());
    // And where the map was right, nothing but the provenance changes.
    let mut right = Trace::new(&map, unit, pins.clone(), drawn.clone(), Coverage::All).unwrap();
    right.answer(
        Measure::Continuity(drawn[0]),
        vec![(pins[0], Shown::There), (pins[1], Shown::NotThere)],
    );
    let after = apply(&map, &right.facts(&map).unwrap().unwrap()).unwrap();
    assert!(after.rivals.is_empty());
    assert_eq!(after.wires.len(), map.wires.len());
    let solid = after.wires.values().filter(|wire| {
        WireEnd::BOTH
            .iter()
            .all(|end| wire.end(*end).unwrap().how == Provenance::Measured)
    });
    assert_eq!(solid.count(), 2);
}

proptest! {
    /// Whatever was answered, the facts fit the map and undo gives it back.
    #[test]
    fn facts_always_fit(coils in 1_u8..6, seed in any::<u64>(), steps in 0_usize..6) {
        let car = hidden(coils, &OTHERS, Coverage::Some, seed);
        let (mut trace, _) = car.follow(Reads::Any, &no_slips(), seed);
        let mut dice = Dice::new(seed);
        for _ in 0..steps {
            if dice.often(50) { trace.take_back(); }
        }
        if let Some(command) = trace.facts(&car.harness).unwrap() {
            let after = apply(&car.harness, &command).unwrap();
            for pin in trace.belief(&car.harness).pins {
                let role = after.fact(FactAt::PinRole(car.trace.unit, pin.pin));
                prop_assert_eq!(role.is_some(), pin.known().is_some());
            }
            prop_assert_eq!(file::read(&file::write(&after)).unwrap(), after);
        }
    }
}

/// A map on which the wire from `pin` to `coil` passes a cavity of a connector that everybody only assumes, with the
/// two wires that it then is.
fn through_a_connector(map: &Harness, pin: Terminal, coil: PartId) -> (Harness, [WireId; 2]) {
    let mut map = map.clone();
    let cavity: CavityId = map.fresh();
    let label = Some(Fact::assumed("3".to_owned()));
    let cavities = vec![Cavity { id: cavity, label }];
    let connector = map.add_part("In the loom", PartKind::Connector(Connector { cavities }));
    let side = |side| {
        Some(Fact::assumed(Terminal {
            part: connector,
            port: Port::Cavity(cavity, side),
        }))
    };
    let control = Terminal {
        part: coil,
        port: Port::Switched,
    };
    let arrives = |wire: &Wire| wire.to.is_some_and(|to| to.value == control);
    let (&whole, _) = map.wires.iter().find(|(_, wire)| arrives(wire)).unwrap();
    let to = map.wires[&whole].to;
    map.wires.get_mut(&whole).unwrap().to = side(Side::A);
    assert_eq!(map.wires[&whole].from.unwrap().value, pin);
    let second = map.add_wire(Wire {
        from: side(Side::B),
        to,
        ..Wire::default()
    });
    (map, [whole, second])
}

/// How the map draws a wire.
fn drawn(map: &Harness, wire: WireId) -> Provenance {
    let drawing = Drawing::of(map);
    let mut runs = drawing.runs.iter();
    runs.find(|run| run.pick == Pick::Wire(wire)).unwrap().how
}

/// Two coils in pairs, the first behind a connector, with what the trace of both found.
struct InLine {
    map: Harness,
    wires: [WireId; 2],
    after: Harness,
}

fn in_line() -> InLine {
    let map = build(&plan(4, Arrangement::Pairs)).unwrap();
    let topology = Topology::of(&map);
    let (&unit, _) = map
        .parts
        .iter()
        .find(|(id, _)| map.unit(**id).is_some())
        .unwrap();
    let drivers = &map.unit(unit).unwrap().drivers;
    let pins: Vec<PinId> = drivers.iter().map(|d| d.output.unwrap().value).collect();
    let coils: Vec<PartId> = pins
        .iter()
        .map(|pin| coil_at(&map, &topology, unit, *pin))
        .collect();
    let pin = Terminal {
        part: unit,
        port: Port::Pin(pins[0]),
    };
    let (map, wires) = through_a_connector(&map, pin, coils[0]);
    let mut trace = Trace::new(&map, unit, pins.clone(), coils.clone(), Coverage::All).unwrap();
    trace.answer(
        Measure::Continuity(coils[0]),
        vec![(pins[0], Shown::There), (pins[1], Shown::NotThere)],
    );
    let after = apply(&map, &trace.facts(&map).unwrap().unwrap()).unwrap();
    InLine { map, wires, after }
}

/// A way that was measured from end to end is drawn so, whatever it passes; which cavity that is, no meter told.
#[test]
fn a_way_through_a_connector_is_measured_and_its_cavity_is_not() {
    let InLine { map, wires, after } = in_line();
    for wire in wires {
        assert_eq!(drawn(&map, wire), Provenance::Assumed);
        assert_eq!(drawn(&after, wire), Provenance::Measured);
        let ends = WireEnd::BOTH.map(|end| after.wires[&wire].end(end).unwrap());
        for end in ends {
            let passes = matches!(end.value.port, Port::Cavity(..));
            let expected = if passes {
                Provenance::Assumed
            } else {
                Provenance::Measured
            };
            assert_eq!(end.how, expected, "{end:?}");
        }
    }
    // A way of which only one end was measured, or that branches, is no whole way.
    let mut half = after.clone();
    half.wires
        .get_mut(&wires[1])
        .unwrap()
        .to
        .as_mut()
        .unwrap()
        .how = Provenance::Diagram;
    let mut forked = after.clone();
    let doubled = forked.wires[&wires[1]].clone();
    forked.add_wire(Wire {
        to: None,
        ..doubled
    });
    // Nor is one to a pin of which only a diagram says what it is for.
    let mut told = after.clone();
    for part in told.parts.values_mut() {
        if let PartKind::ControlUnit(unit) = &mut part.kind {
            for pin in &mut unit.pins {
                pin.role.as_mut().unwrap().how = Provenance::Diagram;
            }
        }
    }
    for map in [half, forked, told] {
        for wire in wires {
            assert_eq!(drawn(&map, wire), Provenance::Assumed);
        }
    }
}

/// Two loose ends that turn out to be one wire: a cavity that was seen on this car stays as well known as it was.
#[test]
fn a_cavity_that_was_seen_stays_seen() {
    for how in Provenance::ALL {
        let InLine { mut map, wires, .. } = in_line();
        let [first, second] = wires;
        let coil = map.wires.get_mut(&second).unwrap().to.take();
        let coil = coil.unwrap().value;
        for (wire, end) in [(first, WireEnd::To), (second, WireEnd::From)] {
            let held = map.wires.get_mut(&wire).unwrap();
            let fact = match end {
                WireEnd::From => &mut held.from,
                WireEnd::To => &mut held.to,
            };
            fact.as_mut().unwrap().how = how;
        }
        let cavity = map.wires[&second].from.unwrap();
        map.add_wire(Wire {
            to: Some(Fact::assumed(coil)),
            ..Wire::default()
        });
        let pin = map.wires[&first].from.unwrap().value;
        let Port::Pin(pin_id) = pin.port else {
            panic!("{pin:?}");
        };
        let mut trace =
            Trace::new(&map, pin.part, vec![pin_id], vec![coil.part], Coverage::All).unwrap();
        trace.answer(Measure::Continuity(coil.part), vec![(pin_id, Shown::There)]);
        let after = apply(&map, &trace.facts(&map).unwrap().unwrap()).unwrap();
        assert_eq!(after.wires.len(), map.wires.len() - 1);
        let mut wires = after.wires.values();
        let joined = wires
            .find(|wire| wire.to.is_some_and(|to| to.value == coil))
            .unwrap();
        assert_eq!(joined.from, Some(cavity));
        assert_eq!(joined.to, Some(Fact::measured(coil)));
    }
}
