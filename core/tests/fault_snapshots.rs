//! What every sample's cylinders share, and what every single fault does to them, kept as text.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fmt::Write;
use std::path::Path;

use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::{Effect, Verdict, effects};
use sparktrail_core::model::{Element, Harness, file};
use sparktrail_core::topology::Topology;

fn check(sample: &str) {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../sample-harnesses/{sample}.json"));
    let harness = file::read(&std::fs::read_to_string(path).unwrap()).unwrap();
    let topology = Topology::of(&harness);
    insta::assert_snapshot!(format!("{sample}-sharing"), sharing(&harness, &topology));
    insta::assert_snapshot!(format!("{sample}-effects"), told(&harness, &topology));
}

fn numbers(cylinders: &[CylinderId]) -> String {
    let numbers: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    numbers.join(" ")
}

fn sharing(harness: &Harness, topology: &Topology) -> String {
    let mut text = String::new();
    for group in topology.sharing() {
        let (by, name) = (group.by.code(), group.by.name(harness));
        writeln!(text, "{}: {by}: {name}", numbers(&group.cylinders)).unwrap();
    }
    for (cylinder, needs) in topology.cylinders() {
        for missing in &needs.missing {
            let (what, at) = (missing.code(), missing.name(harness));
            writeln!(text, "{cylinder} lacks: {what} at {at}").unwrap();
        }
    }
    text
}

/// One line an element, then one a mode with the dead and the doubtful and their reasons.
fn told(harness: &Harness, topology: &Topology) -> String {
    let mut text = String::new();
    let mut last: Option<Element> = None;
    for effect in effects(harness, topology) {
        let fault = effect.fault;
        if last != Some(fault.element) {
            writeln!(text, "{}", harness.element_name(fault.element)).unwrap();
            last = Some(fault.element);
        }
        let with = fault
            .mode
            .subject(harness)
            .map_or_else(String::new, |with| format!(" {with}"));
        writeln!(
            text,
            "  {}{with}: {}",
            fault.mode.kind().code(),
            outcome(&effect)
        )
        .unwrap();
    }
    text
}

fn outcome(effect: &Effect) -> String {
    let list = |what: &str, verdicts: &[Verdict]| {
        verdicts.first()?;
        let cylinders: Vec<CylinderId> = verdicts.iter().map(|verdict| verdict.cylinder).collect();
        let mut reasons: Vec<&str> = Vec::new();
        for verdict in verdicts {
            if !reasons.contains(&verdict.reason.code()) {
                reasons.push(verdict.reason.code());
            }
        }
        Some(format!(
            "{what} {} ({})",
            numbers(&cylinders),
            reasons.join(", ")
        ))
    };
    let mut parts: Vec<String> = [("dead", &effect.dead), ("doubtful", &effect.doubtful)]
        .into_iter()
        .filter_map(|(what, verdicts)| list(what, verdicts))
        .collect();
    if parts.is_empty() {
        parts.push("all live".into());
    }
    parts.extend(effect.besides.iter().map(|what| what.code().to_owned()));
    parts.join("; ")
}

macro_rules! samples {
    ($($test:ident $sample:literal),* $(,)?) => {
        $(#[test]
        fn $test() {
            check($sample);
        })*
    };
}

samples! {
    barn_find "barn-find",
    black_coupe "black-coupe",
    blue_estate "blue-estate",
    green_tourer "green-tourer",
    grey_saloon "grey-saloon",
    old_pickup "old-pickup",
    red_twin "red-twin",
    silver_limousine "silver-limousine",
    white_cruiser "white-cruiser",
    yellow_van "yellow-van",
}
