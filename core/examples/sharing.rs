//! Prints which cylinders share what, and what each cylinder depends on, as JSON.
//!
//! ```sh
//! cargo run --release -p sparktrail-core --example sharing -- FILE
//! ```

use std::process::ExitCode;

use serde_json::{Value, json};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::Harness;
use sparktrail_core::topology::Topology;

mod open;

fn main() -> ExitCode {
    open::with_harness("sharing", sharing)
}

fn sharing(harness: &Harness) -> Value {
    let topology = Topology::of(harness);
    let numbers = |cylinders: &[CylinderId]| -> Vec<u8> { cylinders.iter().map(|c| c.0).collect() };
    let groups: Vec<Value> = topology
        .sharing()
        .iter()
        .map(|group| {
            json!({
                "by": group.by.code(),
                "name": group.by.name(harness),
                "cylinders": numbers(&group.cylinders),
            })
        })
        .collect();
    let cylinders: Vec<Value> = topology
        .cylinders()
        .iter()
        .map(|(&cylinder, needs)| {
            let cuts: Vec<String> = topology
                .cuts(cylinder)
                .map(|element| harness.element_name(element))
                .collect();
            let missing: Vec<Value> = needs
                .missing
                .iter()
                .map(|lack| json!({ "what": lack.code(), "at": lack.name(harness) }))
                .collect();
            json!({ "cylinder": cylinder.0, "dies_without": cuts, "map_lacks": missing })
        })
        .collect();
    json!({ "title": harness.title, "sharing": groups, "cylinders": cylinders })
}
