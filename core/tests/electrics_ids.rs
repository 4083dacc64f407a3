//! The electrics know no numbers: the same car with every id turned round reads the same.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::Arc;

use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
use sparktrail_core::electrics::{Alteration, Assumptions, Circuit, Solution};
use sparktrail_core::engine::{Layout, Strokes};
use sparktrail_core::model::{Harness, Setup};

/// Renaming ids changes nothing: the same car with every part's number shifted reads the same.
#[test]
fn other_numbers_read_the_same() {
    let plan = || Plan::new("test", propose_engine(4, Layout::Inline, Strokes::Four));
    let first = build(&plan()).unwrap();
    let text = sparktrail_core::model::file::write(&first);
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let second = sparktrail_core::model::file::read(&renumbered(&value).to_string()).unwrap();
    assert_ne!(
        first.parts.keys().collect::<Vec<_>>(),
        second.parts.keys().collect::<Vec<_>>()
    );
    for setup in [Setup::key_on(), Setup::idling(), Setup::battery_off()] {
        let volts = |harness: &Harness| -> Vec<(String, f64)> {
            let circuit = Arc::new(Circuit::of(harness, &Assumptions::default()));
            let solution = Solution::of(&circuit, &setup, &Alteration::default());
            let mut all: Vec<_> = solution
                .potentials()
                .map(|(terminal, volts)| (harness.terminal_name(terminal), volts.get()))
                .collect();
            all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
            all
        };
        for ((name, a), (other, b)) in volts(&first).into_iter().zip(volts(&second)) {
            assert_eq!(name, other);
            assert!((a - b).abs() < 1e-9, "{name}: {a} and {b}");
        }
    }
}

/// The same file with every id turned round.
fn renumbered(value: &serde_json::Value) -> serde_json::Value {
    use serde_json::Value;
    const IDS: &[&str] = &[
        "id",
        "part",
        "pin",
        "cavity",
        "driver",
        "pack",
        "output_pin",
        "ground_pin",
        "drive_pin",
    ];
    let turn = |number: &Value| {
        number
            .as_u64()
            .map_or_else(|| number.clone(), |n| Value::from(5000 - n))
    };
    match value {
        Value::Object(fields) => Value::Object(
            fields
                .iter()
                .map(|(name, field)| {
                    let inner = field.get("value").filter(|_| IDS.contains(&name.as_str()));
                    let field = if IDS.contains(&name.as_str()) && field.is_u64() {
                        turn(field)
                    } else if let Some(inner) = inner.filter(|inner| inner.is_u64()) {
                        let mut fact = field.clone();
                        fact["value"] = turn(inner);
                        fact
                    } else if name == "next_id" {
                        Value::from(6000)
                    } else {
                        renumbered(field)
                    };
                    (name.clone(), field)
                })
                .collect(),
        ),
        Value::Array(all) => Value::Array(all.iter().map(renumbered).collect()),
        Value::String(text) => Value::String(other_terminal(text)),
        Value::Null | Value::Bool(_) | Value::Number(_) => value.clone(),
    }
}

/// "24.p7" with both numbers turned round; what is no terminal stays.
fn other_terminal(text: &str) -> String {
    let turned = |number: &str| number.parse::<u64>().ok().map(|n| 5000 - n);
    let Some((part, port)) = text.split_once('.') else {
        return text.to_owned();
    };
    let Some(part) = turned(part) else {
        return text.to_owned();
    };
    let sort: String = port
        .chars()
        .take_while(|c| matches!(c, 'p' | 'c'))
        .collect();
    let digits: String = port
        .chars()
        .skip(sort.len())
        .take_while(char::is_ascii_digit)
        .collect();
    let rest = &port[sort.len() + digits.len()..];
    match turned(&digits).filter(|_| sort.len() == 1) {
        Some(id) => format!("{part}.{sort}{id}{rest}"),
        None => format!("{part}.{port}"),
    }
}
