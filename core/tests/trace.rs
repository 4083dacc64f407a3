//! Tracing of unknown pins: laws on hidden cars, rounds within the bound, cars that obey the electrics.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use proptest::prelude::*;
use sparktrail_core::drawing::{Drawing, Pick};
use sparktrail_core::edit::apply;
use sparktrail_core::edit::layouts::{
    Arrangement, DriversIn, Housing, Injectors, Plan, build, propose_engine,
};
use sparktrail_core::electrics::Measure as Meter;
use sparktrail_core::engine::{Layout, Strokes};
use sparktrail_core::faults::solve;
use sparktrail_core::model::random::Dice;
use sparktrail_core::model::{
    Cavity, CavityId, Connector, FactAt, FactValue, Harness, OhmReading, PartId, PartKind, PinId,
    PinRole, Port, Side, Terminal, Wire, WireEnd, WireId, file,
};
use sparktrail_core::provenance::{Fact, Provenance};
use sparktrail_core::topology::{NeedKind, NeedState, Topology};
use sparktrail_core::trace::trials::{Hidden, Reads, hidden};
use sparktrail_core::trace::{
    Coverage, Measure, Next, Nothing, Power, Shown, Step, Trace, Use, Way, rounds_at_most,
};
use sparktrail_core::units::Minutes;

const OTHERS: [Use; 5] = [
    Use::Injector,
    Use::Relay,
    Use::Feed,
    Use::Ground,
    Use::Signal,
];

fn no_slips() -> BTreeSet<usize> {
    BTreeSet::new()
}

/// Coils in easy reach and an ohmmeter far from them: rounds are the cheaper way, as long as nothing else is said.
fn only_rounds(mut car: Hidden) -> Hidden {
    car.trace.aside.insert(Way::Continuity);
    car
}

#[test]
fn never_more_rounds_than_the_bound() {
    for coils in [4_u8, 6, 8, 12] {
        for seed in 0..if coils < 12 { 8 } else { 2 } {
            let many = usize::from(coils);
            let sure = only_rounds(hidden(coils, &OTHERS, Coverage::All, seed));
            let (_, ended) = sure.follow(Reads::Typical, &no_slips(), seed);
            assert_eq!(ended.wrong, [], "{coils} coils, seed {seed}");
            let bound = rounds_at_most(many, Nothing::Excluded);
            assert!(ended.rounds <= bound, "{coils}: {} rounds", ended.rounds);

            let unsure = only_rounds(hidden(
                coils,
                &[Use::AnotherCoil, Use::Signal],
                Coverage::Some,
                seed,
            ));
            let (_, ended) = unsure.follow(Reads::Typical, &no_slips(), seed);
            assert_eq!(ended.wrong, [], "{coils} coils, seed {seed}");
            let bound = rounds_at_most(many, Nothing::Possible);
            assert!(ended.rounds <= bound, "{coils}: {} rounds", ended.rounds);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever such pins can show, the true assignment never falls out and no reading is ever doubted.
    #[test]
    fn the_truth_keeps_its_belief(
        coils in 1_u8..6,
        others in proptest::collection::vec(proptest::sample::select(&OTHERS[..]), 0..5),
        all in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let coverage = if all { Coverage::All } else { Coverage::Some };
        let car = hidden(coils, &others, coverage, seed);
        let (mut trace, _) = car.follow(Reads::Any, &no_slips(), seed);
        loop {
            let belief = trace.belief(&car.harness);
            prop_assert!(belief.doubted.is_empty());
            for pin in &belief.pins {
                let truth = car.truth[&pin.pin];
                prop_assert!(pin.fits.contains(&truth), "{pin:?} is {truth:?}");
                let sum: f64 = pin.uses.iter().map(|(_, share)| share.get()).sum();
                prop_assert!((sum - 1.0).abs() < 1e-9);
                if let Some(known) = pin.known() && pin.fits.len() == 1 {
                    prop_assert_eq!(known, truth);
                }
            }
            if trace.take_back().is_none() {
                break;
            }
        }
    }

    /// With what such pins usually show, every pin ends known.
    #[test]
    fn without_slips_it_ends_exact(
        coils in 1_u8..7,
        others in proptest::collection::vec(proptest::sample::select(&OTHERS[..]), 0..6),
        all in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let coverage = if all { Coverage::All } else { Coverage::Some };
        let car = hidden(coils, &others, coverage, seed);
        let (trace, ended) = car.follow(Reads::Typical, &no_slips(), seed);
        prop_assert_eq!(ended.wrong, []);
        prop_assert_eq!(trace.next(&car.harness), Next::Done);
    }

    /// One wrong answer is noticed or does no harm, and what is asked again leads to the truth.
    #[test]
    fn one_slip_is_named_and_mended(coils in 2_u8..9, at in 0_usize..64, seed in any::<u64>()) {
        // Each coil has its pin among them, and no other pin is asked for: whatever is taken wrongly clashes.
        let car = only_rounds(hidden(coils, &[], Coverage::All, seed));
        let (right, _) = car.follow(Reads::Typical, &no_slips(), seed);
        let readings: usize = right.taken.iter().map(|taken| taken.shown.len()).sum();
        let slip = BTreeSet::from([at % readings]);
        let (_, ended) = car.follow(Reads::Typical, &slip, seed);
        prop_assert_eq!(ended.wrong, []);
    }

    #[test]
    fn written_and_read(coils in 1_u8..6, seed in any::<u64>(), slip in 0_usize..9) {
        let car = hidden(coils, &OTHERS, Coverage::Some, seed);
        let (mut trace, _) = car.follow(Reads::Any, &BTreeSet::from([slip]), seed);
        trace.aside.insert(Way::Unplug);
        prop_assert_eq!(Trace::read(&trace.written()), Some(trace.clone()));
        // Cut short it is the trace up to a step, or nothing: never something else.
        let cut = trace.written();
        let cut = &cut[..cut.len() / 2];
        if let Some(read) = Trace::read(cut) {
            prop_assert!(read.pins.len() <= trace.pins.len());
        }
    }
}

#[test]
fn contradictory_answers_are_named() {
    let mut car = only_rounds(hidden(4, &[], Coverage::All, 3));
    let pins = car.trace.pins.clone();
    let coils = car.trace.coils.clone();
    let first = Measure::Unplug([coils[0], coils[1]].into());
    // Three pins cannot lose their voltage with two coils.
    car.trace.answer(
        first.clone(),
        vec![
            (pins[0], Shown::NotThere),
            (pins[1], Shown::NotThere),
            (pins[2], Shown::NotThere),
            (pins[3], Shown::There),
        ],
    );
    let Next::Again(doubted) = car.trace.next(&car.harness) else {
        panic!("not noticed");
    };
    assert_eq!(doubted.len(), 3, "{doubted:?}");
    assert!(
        doubted
            .iter()
            .all(|d| d.measure == first && d.shown == Shown::NotThere)
    );
    // Taken again with another outcome it is over; with the same one it is less doubted than the others.
    let named = doubted[0].pin;
    let mut same = car.trace.clone();
    same.answer(first.clone(), vec![(named, Shown::NotThere)]);
    let Next::Again(doubted) = same.next(&car.harness) else {
        panic!("forgotten");
    };
    assert_ne!(doubted[0].pin, named);
    car.trace.answer(first, vec![(named, Shown::There)]);
    assert!(matches!(car.trace.next(&car.harness), Next::Measure(_)));
}

#[test]
fn a_coil_without_a_pin_speaks_against_all_of_them_having_one() {
    let mut car = hidden(2, &[Use::Signal], Coverage::All, 1);
    let (pins, coils) = (car.trace.pins.clone(), car.trace.coils.clone());
    let none = |pins: &[PinId]| pins.iter().map(|pin| (*pin, Shown::NotThere)).collect();
    car.trace.answer(Measure::Continuity(coils[0]), none(&pins));
    let Next::Again(_) = car.trace.next(&car.harness) else {
        panic!("not noticed");
    };
    car.trace.coverage = Coverage::Some;
    assert!(matches!(car.trace.next(&car.harness), Next::Measure(_)));
}

/// Far coils are not unplugged in groups: each is reached once either way, but rounds go to them again and again
/// only in the sense of work; what decides is the count of things to do.
#[test]
fn the_cheaper_way_depends_on_access() {
    let way_of = |car: &Hidden| {
        let Next::Measure(steps) = car.trace.next(&car.harness) else {
            panic!("nothing to do");
        };
        steps[0].measure.way()
    };
    // Twelve coils in easy reach: four rounds are less work than eleven walks with the probe.
    let easy = hidden(12, &[], Coverage::All, 5);
    assert_eq!(way_of(&easy), Way::Unplug);
    // One coil in easy reach, the other far away: one touch at the near one tells both.
    let mut far = hidden(2, &[], Coverage::All, 5);
    let coil = far.trace.coils[1];
    far.harness.parts.get_mut(&coil).unwrap().place.reach = Some(Minutes::lit(45.0));
    let Next::Measure(steps) = far.trace.next(&far.harness) else {
        panic!("nothing to do");
    };
    assert!(!steps[0].measure.unplugged().contains(&coil), "{steps:?}");
    assert!(steps[0].minutes < Minutes::lit(10.0));
}

// ---- Cars that obey the electrics, not the tables of tracing. ----

/// A whole car and what its pins are by its map.
struct Whole {
    /// The car as it is.
    car: Harness,
    unit: PartId,
    truth: Vec<(PinId, Use)>,
}

fn whole(plan: &Plan) -> Whole {
    let car = build(plan).unwrap();
    let drivers = car
        .parts
        .iter()
        .filter_map(|(&id, _)| Some((id, car.unit(id)?)));
    let (unit, _) = drivers.max_by_key(|(_, unit)| unit.drivers.len()).unwrap();
    let topology = Topology::of(&car);
    let mut truth = Vec::new();
    for pin in &car.unit(unit).unwrap().pins {
        let what = match pin.role.unwrap().value {
            PinRole::CoilSwitch => {
                let coil = coil_at(&car, &topology, unit, pin.id);
                Use::Coil(coil)
            }
            PinRole::InjectorSwitch => Use::Injector,
            PinRole::RelaySwitch => Use::Relay,
            PinRole::Supply => Use::Feed,
            PinRole::Ground => Use::Ground,
            PinRole::SensorIn | PinRole::DriveOut | PinRole::DriveIn | PinRole::Other => {
                Use::Signal
            }
        };
        truth.push((pin.id, what));
    }
    Whole { car, unit, truth }
}

/// The coil that a pin switches, by the needs of the sparks.
fn coil_at(car: &Harness, topology: &Topology, unit: PartId, pin: PinId) -> PartId {
    let driver = car.unit(unit).unwrap().drivers.iter();
    let driver = driver
        .filter(|driver| driver.output.is_some_and(|fact| fact.value == pin))
        .map(|driver| driver.id)
        .next()
        .unwrap();
    let needs = topology.needs().iter();
    let mut coils = needs.filter_map(|need| match (need.kind, need.state) {
        (NeedKind::Control(coil, by), NeedState::Shown) if by == driver => Some(coil),
        _ => None,
    });
    coils.next().unwrap()
}

impl Whole {
    /// What a meter shows on the car as it is.
    fn read(&self, trace: &Trace, step: &Step) -> Vec<(PinId, Shown)> {
        let solution = solve(&self.car, &trace.setup(&step.measure), None);
        let lead = trace.other_lead(&self.car, &step.measure).unwrap();
        step.pins
            .iter()
            .map(|pin| {
                let reading = solution.reading(trace.terminal(*pin), lead).unwrap();
                let shown = match (step.measure.power(), reading.value) {
                    (Power::KeyOn, Meter::Volts(volts)) if volts.get() > 9.0 => Shown::There,
                    (Power::KeyOn, _) => Shown::NotThere,
                    (Power::BatteryOff, Meter::Ohms(ohms)) => Shown::Ohms(OhmReading::Ohms(ohms)),
                    (Power::BatteryOff, _) => Shown::Ohms(OhmReading::Overload),
                };
                let joined = matches!(shown, Shown::Ohms(OhmReading::Ohms(o)) if o.get() < 5.0);
                let shown = match step.measure {
                    Measure::Continuity(_) if joined => Shown::There,
                    Measure::Continuity(_) => Shown::NotThere,
                    Measure::Volts | Measure::FromFeed | Measure::ToGround | Measure::Unplug(_) => {
                        shown
                    }
                };
                (*pin, shown)
            })
            .collect()
    }

    /// Traces the pins on a map that knows nothing of them; returns that map and the trace.
    fn traced(&self, aside: &[Way], coverage: Coverage) -> (Harness, Trace) {
        let mut map = self.car.clone();
        let asked: Vec<PinId> = self.truth.iter().map(|(pin, _)| *pin).collect();
        if let PartKind::ControlUnit(unit) = &mut map.parts.get_mut(&self.unit).unwrap().kind {
            for pin in &mut unit.pins {
                pin.role = None;
            }
        }
        let coils = Trace::coils_of(&map);
        let mut trace = Trace::new(&map, self.unit, asked, coils, coverage).unwrap();
        trace.aside.extend(aside);
        for _ in 0..100 {
            match trace.next(&map) {
                Next::Measure(steps) => {
                    let shown = self.read(&trace, &steps[0]);
                    trace.answer(steps[0].measure.clone(), shown);
                }
                Next::Done => return (map, trace),
                other @ (Next::Again(_) | Next::NotAll) => {
                    panic!("{other:?} after {:#?}", trace.taken)
                }
            }
        }
        panic!("no end");
    }
}

fn plan(cylinders: u8, arrangement: Arrangement) -> Plan {
    let mut plan = Plan::new(
        "Whole",
        propose_engine(cylinders, Layout::Inline, Strokes::Four),
    );
    plan.arrangement = arrangement;
    plan
}

/// Every kind of pin that the layouts have comes out by what a meter reads on the healthy car.
#[test]
fn cars_that_obey_the_electrics_are_traced() {
    let mut cars = Vec::new();
    for cylinders in [4, 6, 8, 12] {
        let mut each = plan(cylinders, Arrangement::OneEach);
        each.injectors = Injectors::Drawn;
        cars.push(each);
    }
    cars.push(plan(6, Arrangement::Pairs));
    let mut packs = plan(6, Arrangement::Pairs);
    packs.housing = Housing::Packs(3);
    cars.push(packs);
    for plan in cars {
        let whole = whole(&plan);
        for aside in [&[][..], &[Way::Continuity], &[Way::Unplug], &[Way::Volts]] {
            let (map, trace) = whole.traced(aside, Coverage::Some);
            let belief = trace.belief(&map);
            let packed = plan.housing != Housing::Single;
            if packed && aside.contains(&Way::Continuity) {
                continue; // Coils that share a plug cannot be told apart by unplugging.
            }
            for (pin, what) in &whole.truth {
                let found = belief.pins.iter().find(|b| b.pin == *pin).unwrap();
                assert_eq!(found.known(), Some(*what), "{found:?} without {aside:?}");
            }
        }
    }
}

/// A driver inside the coil: its pin carries a signal, and only continuity finds it.
#[test]
fn coils_with_their_own_driver_are_traced_by_continuity() {
    let mut plan = plan(4, Arrangement::OneEach);
    plan.drivers = DriversIn::Coil;
    let car = build(&plan).unwrap();
    let unit = car
        .parts
        .keys()
        .copied()
        .find(|id| car.unit(*id).is_some())
        .unwrap();
    let pins = &car.unit(unit).unwrap().pins;
    let out: Vec<PinId> = pins
        .iter()
        .filter(|pin| pin.role.is_some_and(|role| role.value == PinRole::DriveOut))
        .map(|pin| pin.id)
        .collect();
    assert_eq!(out.len(), 4);
    let coils = Trace::coils_of(&car);
    let trace = Trace::new(&car, unit, out, coils, Coverage::All).unwrap();
    let Next::Measure(steps) = trace.next(&car) else {
        panic!("nothing to do");
    };
    assert!(
        steps
            .iter()
            .all(|step| step.measure.way() == Way::Continuity),
        "{steps:?}"
    );
}

// ---- What goes on the map. ----

fn barn_find() -> Harness {
    let text = include_str!("../../sample-harnesses/barn-find.json");
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
