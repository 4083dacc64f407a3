//! What stands between an edit and a redrawn map: the command, the file read, the map checked, its graph built.

use serde_json::Value;
use sparktrail_core::edit::{Command, FactAt, FactValue, Hanging, WireLook, apply};
use sparktrail_core::model::file;
use sparktrail_core::model::{DrawnAt, Harness, check};
use sparktrail_core::provenance::{Fact, Provenance};
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
    let core = Row {
        name: "edit.core_ms".into(),
        value: whole,
        unit: "ms",
        beside: Some(bare),
        note: format!("the V12 sample: {parts}; beside: the same file read as bare JSON"),
    };
    let mut rows = vec![core];
    rows.extend(
        file::read(V12)
            .ok()
            .and_then(|harness| command_row(&harness)),
    );
    rows
}

/// The slowest of the commands that an editor sends most.
fn command_row(harness: &Harness) -> Option<Row> {
    let timed = commands(harness).into_iter().map(|(name, command)| {
        let time = median_ms(|| apply(harness, &command));
        (time, name)
    });
    let (value, name) = timed.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(Row {
        name: "edit.command_ms".into(),
        value,
        unit: "ms",
        beside: Some(median_ms(|| harness.clone())),
        note: format!("the V12 sample, slowest: {name}; beside: the map copied"),
    })
}

fn commands(harness: &Harness) -> Vec<(&'static str, Command)> {
    let mut all = Vec::new();
    let (Some(&part), Some((&wire, known))) = (
        harness.parts.keys().next_back(),
        harness.wires.last_key_value(),
    ) else {
        return all;
    };
    let hanging = Hanging::Removed;
    all.push(("take a part away", Command::RemovePart { part, hanging }));
    all.push(("copy a part", Command::Duplicate(vec![part])));
    let place = DrawnAt { x: 240.0, y: 240.0 };
    let every = harness.parts.keys().map(|part| (*part, Some(place)));
    all.push(("move every part", Command::Put(every.collect())));
    if let (Some(from), Some(to)) = (known.from, known.to) {
        all.push((
            "connect",
            Command::Connect {
                from: from.value,
                to: to.value,
                how: Provenance::Measured,
                look: WireLook::default(),
            },
        ));
    }
    let at = FactAt::WireLength(wire);
    let fact = Some(Fact::measured(FactValue::Number(1.5)));
    all.push(("change a fact", Command::SetFact { at, fact }));
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_timed_does_happen() {
        let harness = file::read(V12).expect("the sample can be read");
        assert_eq!(harness.engine.cylinders().len(), 12);
        let commands = commands(&harness);
        assert_eq!(commands.len(), 5);
        for (name, command) in commands {
            let done = apply(&harness, &command).expect(name);
            assert!(done != harness, "{name} does nothing");
        }
    }
}
