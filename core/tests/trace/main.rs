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

mod cars;
mod hidden;
mod written;

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
