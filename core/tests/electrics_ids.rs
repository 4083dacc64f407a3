//! The electrics know no numbers: the same car with every id turned round reads the same.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;

use proptest::prelude::*;
use sparktrail_core::electrics::{Charge, Demand};
use sparktrail_core::faults::{Fault, all_faults, solve};
use sparktrail_core::model::{Harness, Setup, file};

const SAMPLES: &[&str] = &[
    "black-coupe",
    "blue-estate",
    "green-tourer",
    "old-pickup",
    "red-twin",
    "yellow-van",
];

/// A sample, and the same car with every number turned round below `top`.
fn pair(sample: &str, top: u64) -> [Harness; 2] {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../sample-harnesses/{sample}.json"));
    let text = std::fs::read_to_string(path).unwrap();
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let first = file::read(&text).unwrap();
    let second = file::read(&renumbered(&value, top).to_string()).unwrap();
    let ids = |harness: &Harness| harness.parts.keys().copied().collect::<Vec<_>>();
    assert_ne!(ids(&first), ids(&second));
    [first, second]
}

/// What a fault is called, without any number of ours.
fn called(harness: &Harness, fault: Fault) -> String {
    let subject = fault.mode.subject(harness);
    let (element, kind) = (harness.element_name(fault.element), fault.mode.kind());
    format!("{element} {kind:?} {:?} {subject:?}", fault.mode.ohms())
}

/// Every potential and every spark by name, in the order of the names.
fn read(harness: &Harness, setup: &Setup, fault: Option<&Fault>) -> Vec<(String, f64)> {
    let solution = solve(harness, setup, fault);
    let volts = solution.potentials();
    let volts = volts.map(|(terminal, volts)| (harness.terminal_name(terminal), volts.get()));
    let sparks = solution.sparks(harness, Demand::ByGap(Charge::Idle));
    let sparks = sparks.iter().map(|spark| {
        let event = spark.compression;
        let reached = event.map_or(0.0, |event| event.available_kv);
        (format!("spark {:?}", spark.cylinder), reached)
    });
    let mut all: Vec<_> = volts.chain(sparks).collect();
    all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Renaming ids changes nothing: the same car with every number turned round reads the same, healthy and with
    /// any fault.
    #[test]
    fn other_numbers_read_the_same(sample in 0..SAMPLES.len(), top in 2000..9000_u64, fault in 0..10_000_usize) {
        let [first, second] = pair(SAMPLES[sample], top);
        let all = all_faults(&first);
        let fault = all[fault % all.len()];
        let name = called(&first, fault);
        let same: Vec<Fault> = all_faults(&second).into_iter().filter(|f| called(&second, *f) == name).collect();
        // Two elements of one name are told apart by nothing but their numbers; a neighbour may be listed at either.
        let twin = if let [only] = same.as_slice() { Some(*only) } else { None };
        for setup in [Setup::key_on(), Setup::idling(), Setup::battery_off()] {
            let mut cases = vec![(None, None)];
            cases.extend(twin.map(|twin| (Some(fault), Some(twin))));
            for (one, other) in cases {
                let (a, b) = (read(&first, &setup, one.as_ref()), read(&second, &setup, other.as_ref()));
                prop_assert_eq!(a.len(), b.len());
                for ((name, a), (other, b)) in a.into_iter().zip(b) {
                    prop_assert_eq!(&name, &other);
                    prop_assert!((a - b).abs() < 1e-8, "{}: {} and {}", name, a, b);
                }
            }
        }
    }
}

/// The same file with every id turned round.
fn renumbered(value: &serde_json::Value, top: u64) -> serde_json::Value {
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
            .map_or_else(|| number.clone(), |n| Value::from(top - n))
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
                        Value::from(top + 1000)
                    } else {
                        renumbered(field, top)
                    };
                    (name.clone(), field)
                })
                .collect(),
        ),
        Value::Array(all) => Value::Array(all.iter().map(|value| renumbered(value, top)).collect()),
        Value::String(text) => Value::String(other_terminal(text, top)),
        Value::Null | Value::Bool(_) | Value::Number(_) => value.clone(),
    }
}

/// "24.p7" with both numbers turned round; what is no terminal stays.
fn other_terminal(text: &str, top: u64) -> String {
    let turned = |number: &str| number.parse::<u64>().ok().map(|n| top - n);
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
