//! What the core says in another language, and reads in it: with the German table of the page.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;

use sparktrail_core::edit::layouts::{self, build, propose_engine};
use sparktrail_core::engine::{Layout, Strokes};
use sparktrail_core::model::{Element, Harness, file};
use sparktrail_core::said::{Table, in_english, speak};
use sparktrail_core::table::{Fate, Given, Names, Pasted, Plan, Scope, Separator, rows, write};

fn speak_german() {
    let text = include_str!("../../static/words/de.json");
    let table: BTreeMap<String, String> = serde_json::from_str(text).unwrap();
    let table = Table::of(table.into_iter().collect());
    speak(Some(Box::leak(Box::new(table))));
}

fn samples() -> Vec<Harness> {
    let folder = format!("{}/../sample-harnesses", env!("CARGO_MANIFEST_DIR"));
    let paths = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let maps = paths.filter(|path| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        name.ends_with(".json") && !name.ends_with(".schema.json")
    });
    maps.map(|path| file::read(&std::fs::read_to_string(path).unwrap()).unwrap())
        .collect()
}

fn pin_table(harness: &Harness) -> String {
    let names = Names::of(harness);
    let rows = rows(harness, &names, Scope::All);
    write(rows.iter().map(|placed| &placed.row), Separator::Tab)
}

/// Rows of a pin table that the map says already.
fn same(harness: &Harness, text: &str) -> bool {
    let names = Names::of(harness);
    let Ok(pasted) = Pasted::guessed(text, &names) else {
        return text.lines().count() < 2;
    };
    let plan = Plan::of(harness, &names, &pasted, Given::default()).unwrap();
    let mut entries = plan.entries.iter();
    entries.all(|entry| matches!(entry.fate, Fate::Same))
}

/// Who speaks German can paste back what was copied in German, and what somebody copied in English.
#[test]
fn a_pin_table_is_read_in_both_languages() {
    speak_german();
    for harness in samples() {
        let german = pin_table(&harness);
        let english = in_english(|| pin_table(&harness));
        assert!(german.starts_with("Gerät\tPin\tFarbe\t"), "{german}");
        assert!(english.starts_with("Unit\tPin\tColour\t"), "{english}");
        assert!(same(&harness, &german), "{}\n{german}", harness.title);
        assert!(same(&harness, &english), "{}\n{english}", harness.title);
    }
}

/// A new map has German names; one that exists keeps the names that it has.
#[test]
fn names_are_german_where_they_are_given() {
    speak_german();
    let engine = propose_engine(4, Layout::Inline, Strokes::Four);
    let harness = build(&layouts::Plan::new("Mein Motor", engine)).unwrap();
    let names: Vec<&str> = harness
        .parts
        .values()
        .map(|part| part.name.as_str())
        .collect();
    for name in [
        "Batterie",
        "Steuergerät",
        "Spule A",
        "Zündkabel 1",
        "Kerze 1",
    ] {
        assert!(names.contains(&name), "{name} is not in {names:?}");
    }
    let told = harness.elements().into_iter();
    let coil = told.filter(|element| matches!(element, Element::Primary(_)));
    let coil: Vec<String> = coil.map(|element| harness.element_name(element)).collect();
    assert_eq!(
        coil.first().map(String::as_str),
        Some("Spule A, Primärwicklung")
    );
}
