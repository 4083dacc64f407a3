//! Every sample harness reads, is written in its stable form, and says what its story says.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};

use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::{
    Harness, MapFinding, PartKind, Secondary, Seen, Severity, Works, check, file,
};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-harnesses")
}

fn samples() -> BTreeMap<String, (String, Harness)> {
    std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .map(|path| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .filter(|(name, _)| !name.contains("schema"))
        .map(|(name, text)| {
            let harness = file::read(&text).unwrap_or_else(|e| panic!("{name}: {e}"));
            (name, (text, harness))
        })
        .collect()
}

fn sample(name: &str) -> Harness {
    samples().remove(name).unwrap().1
}

/// Cylinders that the findings call dead, and those that come and go.
fn cold(harness: &Harness) -> (Vec<u8>, Vec<u8>) {
    let (mut dead, mut sometimes) = (Vec::new(), Vec::new());
    for finding in &harness.findings {
        if let Seen::Contribution { cylinder, works } = &finding.seen {
            match works {
                Works::Dead => dead.push(cylinder.0),
                Works::Sometimes => sometimes.push(cylinder.0),
                Works::Alive => {}
            }
        }
    }
    (dead, sometimes)
}

/// The cylinders of each double-ended coil, in the order of the coils.
fn pairs(harness: &Harness) -> Vec<(u8, u8)> {
    let coils = harness.parts.iter().filter(|(_, part)| {
        matches!(&part.kind, PartKind::Coil(coil) if coil.secondary == Secondary::TwoEnded)
    });
    coils
        .map(|(coil, _)| {
            let fed: Vec<u8> = harness
                .parts
                .keys()
                .filter_map(|id| harness.lead(*id))
                .filter(|lead| lead.from.unwrap().value.part == *coil)
                .filter_map(|lead| harness.plug(lead.to.unwrap().value.part))
                .map(|plug| plug.cylinder.unwrap().value.0)
                .collect();
            (fed[0], fed[1])
        })
        .collect()
}

/// To write the samples anew after a change of the writer: `REWRITE_SAMPLES=1 cargo test --test samples`.
#[test]
fn ten_samples_in_their_stable_form() {
    let all = samples();
    assert!(all.len() >= 10, "{}", all.len());
    for (name, (text, harness)) in &all {
        let stable = file::write(harness);
        if std::env::var_os("REWRITE_SAMPLES").is_some() {
            std::fs::write(folder().join(format!("{name}.json")), &stable).unwrap();
        } else {
            let differs = stable.lines().zip(text.lines()).find(|(a, b)| a != b);
            assert!(
                &stable == text,
                "{name} is not in its stable form: {differs:?}"
            );
        }
        let sentences = harness.about.matches(". ").count() + 1;
        assert_eq!(sentences, 2, "{name}: a story has two sentences");
    }
}

/// What each story tells of dead cylinders.
#[test]
fn cold_cylinders_of_the_stories() {
    for (name, dead, sometimes) in [
        ("blue-estate", vec![1, 4], vec![]),
        ("grey-saloon", vec![], vec![3]),
        ("green-tourer", vec![], vec![2, 5]),
        ("black-coupe", vec![], vec![3, 6]),
        ("old-pickup", vec![], vec![]),
        ("yellow-van", vec![2], vec![]),
        ("white-cruiser", vec![1, 6], vec![]),
        ("silver-limousine", vec![9], vec![]),
        ("red-twin", vec![], vec![1, 2]),
        ("barn-find", vec![3, 4], vec![]),
    ] {
        assert_eq!(cold(&sample(name)), (dead, sometimes), "{name}");
    }
}

#[test]
fn arrangements_of_the_stories() {
    assert_eq!(pairs(&sample("blue-estate")), [(1, 4), (2, 3)]);
    assert_eq!(pairs(&sample("green-tourer")), [(1, 6), (2, 5), (3, 4)]);
    assert_eq!(pairs(&sample("black-coupe")), [(1, 4), (2, 5), (3, 6)]);
    assert_eq!(
        pairs(&sample("white-cruiser")),
        [(1, 6), (2, 3), (4, 7), (5, 8)]
    );
    assert_eq!(pairs(&sample("red-twin")), [(1, 2)]);
    for (name, coils, drivers) in [
        ("grey-saloon", 4, 4),
        ("yellow-van", 1, 1),
        ("silver-limousine", 12, 12),
    ] {
        let harness = sample(name);
        let found = harness
            .parts
            .keys()
            .filter(|id| harness.coil(**id).is_some());
        assert_eq!((found.count(), harness.drivers().count()), (coils, drivers));
        assert_eq!(pairs(&harness), []);
    }
}

/// Eight maps are sound; one cannot be right, one is not finished.
#[test]
fn only_two_maps_have_findings() {
    for (name, (_, harness)) in samples() {
        let worst = check(&harness).iter().map(MapFinding::severity).max();
        let wanted = match name.as_str() {
            "old-pickup" => Some(Severity::Wrong),
            "barn-find" => Some(Severity::Unfinished),
            _ => None,
        };
        assert_eq!(worst, wanted, "{name}");
    }
    let odd = sample("old-pickup");
    let alone: Vec<CylinderId> = (1..=6).map(CylinderId).collect();
    assert_eq!(odd.engine.companions().alone, alone);
    assert!(
        check(&odd).iter().any(
            |found| matches!(found, MapFinding::NoCompanionsAtAll { coils } if coils.len() == 3)
        )
    );
}

/// Everything that the check says of the samples.
#[test]
fn findings_of_the_samples() {
    let mut told = String::new();
    for (name, (_, harness)) in samples() {
        let (parts, wires) = (harness.parts.len(), harness.wires.len());
        writeln!(
            told,
            "{name}: {} ({parts} parts, {wires} wires)",
            harness.title
        )
        .unwrap();
        for found in check(&harness) {
            writeln!(told, "  {:?}: {}", found.severity(), found.named(&harness)).unwrap();
        }
    }
    insta::assert_snapshot!(told);
}
