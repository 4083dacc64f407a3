//! What stands between an edit and a redrawn map: the file read, the map checked, its graph built.

use serde_json::Value;
use sparktrail_core::model::check;
use sparktrail_core::model::file;
use sparktrail_core::topology::Topology;

use crate::Row;
use crate::stopwatch::median_ms;

/// A V12 with a coil on each cylinder and in-line connectors: the largest sample.
const V12: &str = include_str!("../../../sample-harnesses/silver-limousine.json");

pub(crate) fn rows() -> Vec<Row> {
    let whole = median_ms(|| {
        let harness = file::read(V12);
        harness.map(|harness| (check(&harness), Topology::of(&harness)))
    });
    let bare = median_ms(|| serde_json::from_str::<Value>(V12));
    let parts = file::read(V12).map_or_else(
        |error| error.to_string(),
        |harness| {
            format!(
                "read {:.2}, check {:.2}, graph {:.2} ms",
                median_ms(|| file::read(V12)),
                median_ms(|| check(&harness)),
                median_ms(|| Topology::of(&harness)),
            )
        },
    );
    vec![Row {
        name: "edit.core_ms".into(),
        value: whole,
        unit: "ms",
        beside: Some(bare),
        note: format!("the V12 sample: {parts}; beside: the same file read as bare JSON"),
    }]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_timed_does_happen() {
        let harness = file::read(V12).expect("the sample can be read");
        assert_eq!(harness.engine.cylinders().len(), 12);
    }
}
