//! Findings about cylinders, firing order and crank angles.

use std::collections::BTreeMap;

use super::MapFinding;
use crate::engine::{CylinderId, Firing, MOST_CYLINDERS, SAME_ANGLE};
use crate::model::Harness;
use crate::units::Degrees;

pub(super) fn check(harness: &Harness, found: &mut Vec<MapFinding>) {
    let engine = &harness.engine;
    let cylinders = engine.cylinders();
    if cylinders.is_empty() {
        found.push(MapFinding::NoCylinders);
    }
    if cylinders.len() > usize::from(MOST_CYLINDERS) {
        found.push(MapFinding::TooManyCylinders {
            found: cylinders.len(),
        });
    }
    let stands = count(engine.banks.iter().flat_map(|bank| bank.cylinders.iter()));
    for (cylinder, times) in &stands {
        if *times > 1 {
            found.push(MapFinding::CylinderRepeated {
                cylinder: *cylinder,
            });
        }
    }
    let order = &engine.order.value;
    let named = count(order.iter());
    for cylinder in &cylinders {
        if !named.contains_key(cylinder) {
            found.push(MapFinding::OrderLacks {
                cylinder: *cylinder,
            });
        }
    }
    for (cylinder, times) in named {
        if !stands.contains_key(&cylinder) {
            found.push(MapFinding::OrderUnknown { cylinder });
        }
        if times > 1 {
            found.push(MapFinding::OrderRepeats { cylinder });
        }
    }
    match &engine.firing.value {
        Firing::Even => {}
        Firing::At(angles) => angles_of(angles, order.len(), engine.cycle(), found),
    }
}

fn angles_of(angles: &[Degrees], order: usize, cycle: Degrees, found: &mut Vec<MapFinding>) {
    if angles.len() != order {
        found.push(MapFinding::AngleCount {
            order,
            angles: angles.len(),
        });
    }
    if let Some(first) = angles.first()
        && first.abs() > SAME_ANGLE
    {
        found.push(MapFinding::FirstAngle { at: *first });
    }
    for (place, at) in angles.iter().enumerate() {
        if *at < Degrees::ZERO || *at >= cycle {
            found.push(MapFinding::AngleOutside {
                place,
                at: *at,
                cycle,
            });
        }
        if let Some(before) = place.checked_sub(1).and_then(|place| angles.get(place))
            && at < before
        {
            found.push(MapFinding::AngleFalls {
                place,
                before: *before,
                at: *at,
            });
        }
    }
}

fn count<'a>(all: impl Iterator<Item = &'a CylinderId>) -> BTreeMap<CylinderId, usize> {
    let mut times = BTreeMap::new();
    for cylinder in all {
        *times.entry(*cylinder).or_insert(0) += 1;
    }
    times
}
