//! Differences of samples, copies and random maps, and what taking them over leads to.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;

use super::ids::Ids as _;
use super::*;
use crate::edit::{Command, EditError, Hanging, History, apply};
use crate::model::random::{Tidiness, random_harness, random_harness_of};
use crate::model::{FactAt, FactValue, Harness, PartKind, file};
use crate::provenance::Fact;

const SAMPLES: [&str; 4] = [
    include_str!("../../../sample-harnesses/white-cruiser.json"),
    include_str!("../../../sample-harnesses/silver-limousine.json"),
    include_str!("../../../sample-harnesses/yellow-van.json"),
    include_str!("../../../sample-harnesses/barn-find.json"),
];

fn sample() -> Harness {
    file::read(SAMPLES[0]).unwrap()
}

/// The same map as somebody else would have numbered it.
fn renumbered(harness: &Harness) -> Harness {
    let mut other = harness.clone();
    other.ids(&mut |_, id| 5_000 - id);
    other.next_id = 5_001;
    other
}

#[test]
fn a_map_differs_in_nothing_from_itself_however_it_is_numbered() {
    for text in SAMPLES {
        let ours = file::read(text).unwrap();
        assert_eq!(differences(&ours, &align(&ours, &ours)), []);
        let theirs = align(&ours, &renumbered(&ours));
        assert_eq!(differences(&ours, &theirs), [], "{}", ours.title);
    }
}

#[test]
fn two_changes_of_three_are_taken_and_undone() {
    let ours = sample();
    let mut history = History::new(ours.clone().into());
    let wire = *ours.wires.keys().next().unwrap();
    let coil = ours
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Coil(_)));
    let coil = *coil.unwrap().0;
    let at = FactAt::PrimaryResistance(coil);
    for command in [
        Command::RenamePart {
            part: coil,
            name: "Front coil".into(),
        },
        Command::SetFact {
            at,
            fact: Some(Fact::measured(FactValue::Number(0.62))),
        },
        Command::RemoveWire(wire),
    ] {
        history.apply(command).unwrap();
    }
    let theirs = align(&ours, history.now());
    let found = differences(&ours, &theirs);
    assert_eq!(
        found,
        [
            Change::Wire(wire, Only::Ours),
            Change::Fact(at),
            Change::PartName(coil)
        ]
    );
    let mut mine = History::new(ours.clone().into());
    for change in &found[1..] {
        mine.apply(take(&ours, &theirs, *change).unwrap()).unwrap();
    }
    assert_eq!(differences(mine.now(), &theirs), found[..1]);
    mine.undo();
    mine.undo();
    assert_eq!(**mine.now(), ours);
}

#[test]
fn a_part_and_its_wire_come_over_together() {
    let ours = sample();
    let relay = ours
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Relay(_)));
    let relay = *relay.unwrap().0;
    let command = Command::RemovePart {
        part: relay,
        hanging: Hanging::Removed,
    };
    let less = apply(&ours, &command).unwrap();
    // Theirs has it, ours has not.
    let theirs = align(&less, &ours);
    let found = differences(&less, &theirs);
    let wire = found
        .iter()
        .find(|change| matches!(change, Change::Wire(..)))
        .unwrap();
    let needed = needs(&less, &theirs, *wire);
    assert!(
        matches!(needed[..], [Change::Part(_, Only::Theirs)]),
        "{needed:?}"
    );
    let taken = apply(&less, &take(&less, &theirs, *wire).unwrap()).unwrap();
    assert_eq!(taken.parts.len(), ours.parts.len());
    assert_eq!(taken.wires.len(), less.wires.len() + 1);
}

#[test]
fn what_was_measured_and_what_a_diagram_says_are_both_kept() {
    let ours = sample();
    let pin = ours.parts.keys().find_map(|id| {
        let unit = ours.unit(*id)?;
        Some(FactAt::PinLabel(*id, unit.pins[0].id))
    });
    let at = pin.unwrap();
    let mut theirs = ours.clone();
    let label = Fact::diagram(FactValue::Label("77".into()));
    theirs.put_fact(at, Some(&label)).unwrap();
    let theirs = align(&ours, &theirs);
    let change = Change::Fact(at);
    assert_eq!(differences(&ours, &theirs), [change]);
    assert!(is_clash(&ours, &theirs, change));
    let taken = apply(&ours, &take(&ours, &theirs, change).unwrap()).unwrap();
    assert_eq!(taken.fact(at), ours.fact(at), "measured stands");
    let rivals: Vec<_> = taken
        .rivals_of(at)
        .map(|rival| rival.value.clone())
        .collect();
    assert_eq!(rivals, [label.value]);
    assert_eq!(differences(&taken, &theirs), []);
}

#[test]
fn both_added_a_finding_under_one_id_and_neither_is_lost() {
    let base = sample();
    let add = |note: &str, cylinder| {
        let command = Command::AddFinding {
            seen: crate::model::Seen::Spark {
                cylinder: crate::engine::CylinderId(cylinder),
                spark: crate::model::Spark::No,
            },
            setup: None,
            fault_then: crate::model::FaultThen::Present,
            at: None,
            note: note.into(),
        };
        apply(&base, &command).unwrap()
    };
    let (ours, theirs) = (add("mine", 1), add("theirs", 6));
    let theirs = align(&ours, &theirs);
    let found = differences(&ours, &theirs);
    assert_eq!(found.len(), 2, "{found:?}");
    let change = found
        .iter()
        .find(|change| matches!(change, Change::Finding(_, Only::Theirs)));
    let taken = apply(&ours, &take(&ours, &theirs, *change.unwrap()).unwrap()).unwrap();
    assert_eq!(taken.findings.len(), base.findings.len() + 2);
    assert_eq!(file::read(&file::write(&taken)), Ok(taken));
}

/// Takes one difference after the other until none is left but those that are refused.
fn taken_over(ours: &Harness, theirs: &Harness) -> Harness {
    let theirs = align(ours, theirs);
    let mut now = ours.clone();
    let mut refused = Vec::new();
    for _ in 0..3_000 {
        let found = differences(&now, &theirs);
        let Some(change) = found.into_iter().find(|change| !refused.contains(change)) else {
            break;
        };
        let next = take(&now, &theirs, change).and_then(|command| apply(&now, &command).ok());
        match next {
            Some(next) if next != now => now = next,
            _ => refused.push(change),
        }
    }
    for change in differences(&now, &theirs) {
        // Editing makes no map that is wrong in itself, and theirs may be.
        let command = take(&now, &theirs, change).unwrap();
        let error = apply(&now, &command).expect_err("what is left over was refused");
        let broken = matches!(
            error,
            EditError::NoCylinder(_) | EditError::NoTerminal(_) | EditError::OutOfRange(_)
        );
        assert!(broken, "{change:?}: {error:?}");
    }
    now
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn all_of_theirs_can_be_taken_over(seed in any::<u32>(), cylinders in 1_u8..=6) {
        let seed = u64::from(seed) * 2;
        let finished = random_harness_of(seed, cylinders, Tidiness::Finished);
        let unfinished = random_harness_of(seed, cylinders, Tidiness::Unfinished);
        for (ours, theirs) in [(&finished, &unfinished), (&unfinished, &finished)] {
            let taken = taken_over(ours, theirs);
            prop_assert_eq!(file::read(&file::write(&taken)), Ok(taken));
        }
    }

    #[test]
    fn maps_of_different_cars_are_compared_without_harm(a in any::<u64>(), b in any::<u64>()) {
        let (ours, theirs) = (random_harness(a, 6), random_harness(b, 6));
        let aligned = align(&ours, &theirs);
        for change in differences(&ours, &aligned) {
            if let Some(command) = take(&ours, &aligned, change)
                && let Ok(taken) = apply(&ours, &command)
            {
                prop_assert_eq!(file::read(&file::write(&taken)), Ok(taken));
            }
        }
    }
}
