//! Harness files against an independent validator of JSON Schema, and broken files against the place of their error.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;

use jsonschema::Validator;
use serde_json::Value;
use sparktrail_core::model::file::{self, Wrong};
use sparktrail_core::model::random::{Dice, random_harness};
use sparktrail_tests::place::{root, samples};
use sparktrail_tests::spoil::spoil;

const SCHEMA: &str = "sample-harnesses/sparktrail-harness.schema.json";

fn validator() -> Validator {
    let schema: Value = serde_json::from_str(&file::schema()).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    jsonschema::draft202012::new(&schema).unwrap()
}

/// What the validator has against a text, at most a few sentences.
fn complaints(validator: &Validator, text: &str) -> Vec<String> {
    match serde_json::from_str(text) {
        Ok(json) => {
            let errors = validator.iter_errors(&json).take(3);
            errors
                .map(|error| format!("{} at {}", error, error.instance_path()))
                .collect()
        }
        Err(error) => vec![error.to_string()],
    }
}

#[test]
fn the_kept_schema_is_current() {
    let kept = fs::read_to_string(root().join(SCHEMA)).unwrap();
    assert!(
        kept == file::schema(),
        "rewrite it: cargo run -p sparktrail-core --features schema --example schema > {SCHEMA}"
    );
}

#[test]
fn every_sample_is_valid_and_reads() {
    let validator = validator();
    for path in samples().unwrap() {
        let text = fs::read_to_string(&path).unwrap();
        let none: [String; 0] = [];
        assert_eq!(complaints(&validator, &text), none, "{}", path.display());
        if let Err(errors) = file::read(&text) {
            panic!("{}:\n{errors}", path.display());
        }
    }
}

#[test]
fn every_written_file_is_valid() {
    let validator = validator();
    for seed in 0..200 {
        let text = file::write(&random_harness(seed, 16));
        let none: [String; 0] = [];
        assert_eq!(complaints(&validator, &text), none, "seed {seed}");
    }
}

/// What only a look at the whole file can tell.
const fn is_beyond_schema(wrong: &Wrong) -> bool {
    matches!(
        wrong,
        Wrong::SameId { .. }
            | Wrong::NextIdTaken { .. }
            | Wrong::NoSuchId { .. }
            | Wrong::NoSuchTerminal { .. }
    )
}

#[test]
fn reader_and_schema_agree_on_spoilt_files() {
    let validator = validator();
    let mut dice = Dice::new(11);
    let (mut read, mut refused) = (0, 0);
    for seed in 0..30 {
        let text = file::write(&random_harness(seed, 3));
        for _ in 0..25 {
            let mut json: Value = serde_json::from_str(&text).unwrap();
            spoil(&mut json, &mut dice);
            let spoilt = json.to_string();
            let complaints = complaints(&validator, &spoilt);
            match (file::read(&spoilt), complaints.is_empty()) {
                (Ok(_), true) => read += 1,
                (Ok(_), false) => panic!("only the reader takes {spoilt}: {complaints:?}"),
                (Err(_), false) => refused += 1,
                (Err(errors), true) => assert!(
                    errors
                        .errors
                        .iter()
                        .all(|error| is_beyond_schema(&error.wrong)),
                    "only the schema takes {spoilt}: {errors}"
                ),
            }
        }
    }
    assert!(read > 40 && refused > 200, "{read} read, {refused} refused");
}

/// Whether the schema, which looks at one place at a time, can tell that a file is broken.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Schema {
    Tells,
    CannotTell,
}
use Schema::{CannotTell, Tells};

type Row = (
    &'static str,
    &'static str,
    usize,
    fn(&Wrong) -> bool,
    Schema,
);

/// File, pointer and line of its first error, what is wrong there, and whether the schema tells.
const BROKEN: &[Row] = &[
    (
        "not-json",
        "",
        1,
        |w| matches!(w, Wrong::OtherFormat),
        Tells,
    ),
    (
        "missing-comma",
        "",
        4,
        |w| matches!(w, Wrong::NotJson { .. }),
        Tells,
    ),
    (
        "cut-short",
        "",
        56,
        |w| matches!(w, Wrong::EndsTooSoon),
        Tells,
    ),
    (
        "text-after-the-end",
        "",
        109,
        |w| matches!(w, Wrong::TextAfterEnd),
        Tells,
    ),
    ("too-deep", "", 5, |w| matches!(w, Wrong::TooDeep), Tells),
    (
        "another-format",
        "/format",
        2,
        |w| matches!(w, Wrong::OtherFormat),
        Tells,
    ),
    (
        "newer-version",
        "/version",
        3,
        |w| matches!(w, Wrong::NewerVersion { found: 3 }),
        Tells,
    ),
    (
        "repeated-field",
        "/title",
        5,
        |w| matches!(w, Wrong::RepeatedField { first_line: 4, .. }),
        CannotTell,
    ),
    (
        "misspelt-field",
        "/wires/2/lenght_m",
        77,
        |w| {
            matches!(
                w,
                Wrong::UnknownField {
                    close: Some("length_m"),
                    ..
                }
            )
        },
        Tells,
    ),
    (
        "unknown-kind",
        "/parts/2/kind",
        16,
        |w| {
            matches!(
                w,
                Wrong::UnknownWord {
                    close: Some("key_switch"),
                    ..
                }
            )
        },
        Tells,
    ),
    (
        "unknown-colour",
        "/wires/3/colour/value/base",
        83,
        |w| matches!(w, Wrong::UnknownWord { known, .. } if known.contains(&"GN")),
        Tells,
    ),
    (
        "same-id-twice",
        "/parts/8/id",
        57,
        |w| {
            matches!(
                w,
                Wrong::SameId {
                    id: 12,
                    first_line: 56,
                    ..
                }
            )
        },
        CannotTell,
    ),
    (
        "wire-to-missing-part",
        "/wires/2/to/value",
        74,
        |w| {
            matches!(
                w,
                Wrong::NoSuchId {
                    what: "part",
                    id: 90
                }
            )
        },
        CannotTell,
    ),
    (
        "missing-terminal",
        "/parts/6/from/value",
        53,
        |w| matches!(w, Wrong::NoSuchTerminal { part: 9, .. }),
        Tells,
    ),
    (
        "missing-pin",
        "/wires/3/from/value",
        81,
        |w| matches!(w, Wrong::NoSuchTerminal { part: 4, .. }),
        CannotTell,
    ),
    (
        "cylinder-zero",
        "/engine/firing_order/value/0",
        10,
        |w| matches!(w, Wrong::OutOfRange { .. }),
        Tells,
    ),
    (
        "seventeen-cylinders",
        "/engine/banks/0/cylinders",
        9,
        |w| {
            matches!(
                w,
                Wrong::TooMany {
                    items: 17,
                    most: 16
                }
            )
        },
        Tells,
    ),
    (
        "next-id-taken",
        "/next_id",
        107,
        |w| {
            matches!(
                w,
                Wrong::NextIdTaken {
                    found: 20,
                    used: 21
                }
            )
        },
        CannotTell,
    ),
    (
        "number-too-large",
        "/parts/4/primary_ohms/value",
        38,
        |w| matches!(w, Wrong::OutOfRange { .. }),
        Tells,
    ),
    (
        "negative-length",
        "/wires/2/length_m/value",
        77,
        |w| matches!(w, Wrong::OutOfRange { .. }),
        Tells,
    ),
    (
        "text-for-a-number",
        "/parts/4/primary_ohms/value",
        38,
        |w| matches!(w, Wrong::OtherKind { found: "text", .. }),
        Tells,
    ),
    (
        "fact-without-how",
        "/parts/8/cylinder",
        57,
        |w| matches!(w, Wrong::MissingField { field: "how", .. }),
        Tells,
    ),
    (
        "missing-field",
        "/parts/4",
        33,
        |w| {
            matches!(
                w,
                Wrong::MissingField {
                    field: "secondary",
                    ..
                }
            )
        },
        Tells,
    ),
    (
        "long-label",
        "/parts/3/pins/0/label/value",
        25,
        |w| matches!(w, Wrong::TooLong { .. }),
        Tells,
    ),
    (
        "two-sizes",
        "/wires/2/size/value",
        76,
        |w| matches!(w, Wrong::BothSizes),
        Tells,
    ),
    (
        "several-at-once",
        "/engine/strokes",
        7,
        |w| matches!(w, Wrong::UnknownWord { .. }),
        Tells,
    ),
];

fn broken(name: &str) -> String {
    let path = root().join("tests/broken-harnesses").join(name);
    fs::read_to_string(path.with_extension("json")).unwrap()
}

#[test]
fn every_broken_file_is_refused_at_its_place() {
    for (name, pointer, line, is_wrong, _) in BROKEN {
        let errors = file::read(&broken(name)).unwrap_err();
        let first = &errors.errors[0];
        assert_eq!(
            (first.pointer.as_str(), first.line),
            (*pointer, *line),
            "{name}: {errors}"
        );
        assert!(is_wrong(&first.wrong), "{name}: {errors}");
        let told = if *name == "several-at-once" { 5 } else { 1 };
        assert_eq!(errors.errors.len(), told, "{name}: {errors}");
    }
}

#[test]
fn the_table_names_every_broken_file() {
    let kept: BTreeSet<String> = fs::read_dir(root().join("tests/broken-harnesses"))
        .unwrap()
        .map(|entry| {
            entry
                .unwrap()
                .path()
                .file_stem()
                .unwrap()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    let told: BTreeSet<String> = BROKEN.iter().map(|row| row.0.to_owned()).collect();
    assert_eq!(kept, told);
}

#[test]
fn the_schema_refuses_what_it_can_tell() {
    let validator = validator();
    for (name, _, _, _, schema) in BROKEN {
        let complaints = complaints(&validator, &broken(name));
        let refused = if complaints.is_empty() {
            CannotTell
        } else {
            Tells
        };
        assert!(refused == *schema, "{name}: {complaints:?}");
    }
}
