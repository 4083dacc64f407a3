//! Cars that obey the electrics, not the tables of tracing.

use super::*;

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
