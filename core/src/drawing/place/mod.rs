//! Places every part: engine and coils first, then leftward to the control unit, then supply above and ground below.

mod bars;
mod coils;
mod columns;
mod engine;
mod rail;
mod settle;
mod signals;

pub(super) use settle::step_across;

use super::plan::{Plan, Shape};
use crate::model::Harness;

/// All places of a harness, before any wire is routed.
pub(super) fn place(harness: &Harness, shape: Shape) -> Plan<'_> {
    let mut plan = untouched(harness, shape);
    settle::settle(&mut plan);
    plan.set_far_size();
    plan
}

/// The places that the map itself gives, whatever the owner moved.
fn untouched(harness: &Harness, shape: Shape) -> Plan<'_> {
    let mut plan = Plan::new(harness, shape);
    coils::place(&mut plan);
    engine::place_rows(&mut plan);
    signals::place(&mut plan);
    columns::place(&mut plan);
    engine::place_columns(&mut plan);
    rail::place(&mut plan);
    bars::place_low(&mut plan);
    bars::place_upright(&mut plan);
    plan
}
