//! What is written reads back; what is wrong is told by its place; nothing makes the reader panic.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;

use super::*;
use crate::engine::{CylinderId, Firing, Layout};
use crate::model::random::{Tidiness, random_harness, random_harness_of};
use crate::model::{
    Colour, DriverPiece, Element, Finding, FindingId, Part, PartKind, PinRole, Seen, Standing,
    StressKind, Wire, WireColour, WireSize,
};
use crate::provenance::Fact;
use crate::units::{Degrees, Metres, SquareMillimetres};

/// A file by hand: two cylinders, no parts, and whatever stands in `more`.
fn small(parts: &str, wires: &str, more: &str) -> String {
    format!(
        r#"{{ "format": "sparktrail-harness", "version": 1, "title": "T",
"engine": {{ "strokes": 4, "layout": {{ "kind": "inline" }}, "banks": [{{ "cylinders": [1, 2] }}],
  "firing_order": {{ "value": [1, 2], "how": "assumed" }},
  "firing_degrees": {{ "value": "even", "how": "assumed" }} }},
"parts": [{parts}],
"wires": [{wires}]{more} }}"#
    )
}

/// The one error of a text: its pointer, line, and whole sentence.
fn only_error(text: &str) -> (String, usize, String) {
    let errors = read(text).unwrap_err();
    assert_eq!(errors.errors.len(), 1, "{errors}");
    let error = &errors.errors[0];
    (error.pointer.clone(), error.line, error.to_string())
}

fn same_again(harness: &Harness) {
    let text = write(harness);
    let back = read(&text);
    assert!(back.as_ref() == Ok(harness), "{:?}\n{text}", back.err());
    assert_eq!(write(&back.unwrap()), text);
}

#[test]
fn the_smallest_file_reads_and_its_next_id_follows_the_largest() {
    let harness = read(&small("", "", "")).unwrap();
    assert_eq!(harness.next_id, 1);
    same_again(&harness);
    let part = r#"{ "id": 7, "name": "S", "kind": "splice" }"#;
    assert_eq!(read(&small(part, "", "")).unwrap().next_id, 8);
    assert_eq!(
        read(&small(part, "", r#", "next_id": 30"#))
            .unwrap()
            .next_id,
        30
    );
}

#[test]
fn ids_may_be_written_as_any_whole_number() {
    let part = |id: &str| format!(r#"{{ "id": {id}, "name": "S", "kind": "splice" }}"#);
    for id in ["7", "7.0", "7e0", "70e-1"] {
        assert_eq!(read(&small(&part(id), "", "")).unwrap().next_id, 8);
    }
    for id in ["0", "-7", "7.5", "4294967295", "1e400"] {
        assert_eq!(
            only_error(&small(&part(id), "", "")).0,
            "/parts/0/id",
            "{id}"
        );
    }
}

#[test]
fn a_byte_order_mark_does_not_matter() {
    let text = format!("\u{feff}{}", small("", "", ""));
    assert!(read(&text).is_ok());
}

#[test]
fn every_colour_role_layout_and_size_comes_back() {
    let mut harness = random_harness_of(4, 6, Tidiness::Finished);
    for base in Colour::ALL {
        for tracer in [None, Some(Colour::White), Some(*base)] {
            let colour = WireColour {
                base: *base,
                tracer,
            };
            harness.add_wire(Wire {
                colour: Some(Fact::measured(colour)),
                ..Wire::default()
            });
        }
    }
    for gauge in limits::THICKEST_AWG..=limits::THINNEST_AWG {
        harness.add_wire(Wire {
            size: Some(Fact::diagram(WireSize::Awg(gauge))),
            ..Wire::default()
        });
    }
    let roles = [
        PinRole::CoilSwitch,
        PinRole::DriveOut,
        PinRole::DriveIn,
        PinRole::Supply,
        PinRole::Ground,
        PinRole::InjectorSwitch,
        PinRole::RelaySwitch,
        PinRole::SensorIn,
        PinRole::Other,
    ];
    for role in roles {
        for part in harness.parts.values_mut() {
            if let PartKind::ControlUnit(unit) = &mut part.kind {
                unit.pins[0].role = Some(Fact::diagram(role));
            }
        }
        same_again(&harness);
    }
    let vee = Layout::Vee {
        bank_angle: Degrees::lit(59.9),
    };
    for layout in [Layout::Inline, vee, Layout::Flat, Layout::Custom] {
        harness.engine.layout = layout;
        same_again(&harness);
    }
    harness.engine.firing = Fact::measured(Firing::At(vec![Degrees::ZERO, Degrees::lit(0.1)]));
    same_again(&harness);
}

#[test]
fn every_terminal_and_element_comes_back() {
    for seed in 0..40 {
        let mut harness = random_harness_of(seed, 5, Tidiness::Finished);
        let terminals: Vec<_> = harness
            .parts
            .keys()
            .flat_map(|id| harness.terminals_of(*id))
            .collect();
        for terminal in terminals {
            harness.add_wire(Wire {
                from: Some(Fact::assumed(terminal)),
                ..Wire::default()
            });
        }
        for element in harness.elements() {
            let seen = Seen::Stress {
                element,
                by: StressKind::Cooled,
                effect: crate::model::Effect::Changed,
            };
            let id: FindingId = harness.fresh();
            harness.findings.push(Finding {
                id,
                seen,
                setup: None,
                fault_then: crate::model::FaultThen::Away,
                at: None,
                note: String::new(),
                standing: Standing::TakenBack,
            });
        }
        assert!(
            harness
                .elements()
                .iter()
                .any(|element| matches!(element, Element::Driver(_, DriverPiece::GateJoint)))
        );
        same_again(&harness);
    }
}

#[test]
fn references_to_what_is_gone_come_back() {
    for seed in 0..60 {
        let mut harness = random_harness(seed, 6);
        // All but a few parts and wires go, and nothing that refers to them is told.
        let mut dice = crate::model::random::Dice::new(seed);
        harness.parts.retain(|_, _| dice.often(30));
        harness.wires.retain(|_, _| dice.often(80));
        for part in harness.parts.values_mut() {
            if let PartKind::ControlUnit(unit) = &mut part.kind {
                unit.pins.truncate(1);
            }
        }
        let text = write(&harness);
        assert!(text.contains("gone "), "seed {seed}");
        same_again(&harness);
    }
    let wire =
        |end: &str| format!(r#"{{ "id": 2, "from": {{ "value": "{end}", "how": "assumed" }} }}"#);
    assert!(read(&small("", &wire("gone 9.coil.15"), "")).is_ok());
    for end in [
        "9.15",
        "gone 9.15",
        "gone 9.coil.16",
        "gone 0.coil.15",
        "gone 9.plane.15",
    ] {
        let (pointer, line, _) = only_error(&small("", &wire(end), ""));
        assert_eq!(
            (pointer.as_str(), line),
            ("/wires/0/from/value", 6),
            "{end}"
        );
    }
}

#[test]
fn a_tower_that_a_changed_coil_no_longer_has_still_reads() {
    let coil = r#"{ "id": 1, "name": "C", "kind": "coil", "secondary": "returns_to_feed" }"#;
    let wire = r#"{ "id": 2, "from": { "value": "1.4b", "how": "assumed" } }"#;
    assert!(read(&small(coil, wire, "")).is_ok());
}

#[test]
fn errors_are_collected_in_the_order_of_the_file_and_counted_beyond_fifty() {
    let wires: Vec<String> = (1..=70)
        .map(|id| format!("{{ \"id\": {id}, \"colour\": {id} }}"))
        .collect();
    let errors = read(&small("", &wires.join(",\n"), "")).unwrap_err();
    assert_eq!((errors.errors.len(), errors.more), (50, 20));
    for (place, error) in errors.errors.iter().enumerate() {
        assert_eq!(error.pointer, format!("/wires/{place}/colour"));
        assert_eq!(error.line, 6 + place);
        assert_eq!(error.within, Some(format!("wire {}", place + 1)));
    }
    assert!(errors.to_string().ends_with("\nand 20 more"));
}

#[test]
fn a_pointer_escapes_its_steps_and_a_column_counts_characters() {
    let odd = r#"{ "id": 1, "name": "Zündspule", "kind": "splice", "a/b~c": 1 }"#;
    let errors = read(&small(odd, "", "")).unwrap_err();
    let error = &errors.errors[0];
    assert_eq!(error.pointer, "/parts/0/a~1b~0c");
    assert_eq!((error.line, error.column), (5, 61));
    assert_eq!(error.within.as_deref(), Some("Zündspule"));
}

#[test]
fn a_misspelt_required_field_is_told_once() {
    let part = r#"{ "id": 1, "nmae": "S", "kind": "splice" }"#;
    let (pointer, line, sentence) = only_error(&small(part, "", ""));
    assert_eq!((pointer.as_str(), line), ("/parts/0", 5));
    assert!(
        sentence.ends_with(r#"rename "nmae" to "name""#),
        "{sentence}"
    );
}

#[test]
fn junk_of_any_size_is_refused_soon() {
    let large = "x".repeat(limits::MOST_BYTES + 1);
    let wrong = &read(&large).unwrap_err().errors[0].wrong;
    assert!(matches!(wrong, Wrong::TooLarge { .. }));
    // Of shapes that could cost much, at a quarter of the limit to spare the test's time.
    let room = limits::MOST_BYTES / 4;
    let shapes = [
        small(&"[],".repeat(room / 3 - 1), "", ""),
        small(
            "",
            "",
            &format!(", {}\"z\": 0", "\"z\": 0, ".repeat(room / 8 - 2)),
        ),
        small("", &format!("{}{{}}", "{},".repeat(room / 3 - 2)), ""),
        "[".repeat(room),
        "{\"a\":".repeat(room / 5),
    ];
    for shape in shapes {
        assert!(shape.len() <= limits::MOST_BYTES);
        assert!(read(&shape).is_err());
    }
    let parts: Vec<String> = (0..9_000)
        .map(|_| r#"{ "id": 1, "name": "S", "kind": "splice", "x": 1 }"#.to_owned())
        .collect();
    let errors = read(&small(&parts.join(",\n"), "", "")).unwrap_err();
    assert_eq!(errors.errors.len() + errors.more, 9_000 + 8_999);
}

/// Cuts, doubles, swaps or changes a few characters of a text.
fn spoilt(mut text: Vec<char>, changes: &[(usize, usize, char)]) -> String {
    for (kind, at, letter) in changes {
        let at = at % text.len().max(1);
        let end = (at + 7).min(text.len());
        match kind % 4 {
            0 => text[at] = *letter,
            1 => text.insert(at, *letter),
            2 => drop(text.drain(at..end)),
            _ => {
                let piece: Vec<char> = text[at..end].to_vec();
                text.splice(at..at, piece);
            }
        }
        if text.is_empty() {
            text.push(' ');
        }
    }
    text.into_iter().collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_harness_comes_back(seed: u64, most in 1_u8..=16) {
        let harness = random_harness(seed, most);
        let back = read(&write(&harness));
        prop_assert!(back.as_ref() == Ok(&harness), "{:?}", back.err());
    }

    #[test]
    fn any_text_and_number_comes_back(
        name in ".{0,40}",
        note in "\\PC{0,80}",
        length in 0.0..limits::MOST_NUMBER,
        area in prop_oneof![0.0..1e-300, 0.0..1.0, Just(5e-324)],
        // Higher than any id of the random harness: a part in place of another would leave references to nothing.
        id in 1_000..limits::MOST_ID,
    ) {
        let mut harness = random_harness(1, 2);
        let mut part = Part::new(name, PartKind::Splice);
        part.note = note;
        harness.parts.insert(crate::model::PartId::from_number(id), part);
        harness.next_id = harness.next_id.max(id + 1);
        harness.add_wire(Wire {
            length: Some(Fact::measured(Metres::lit(length))),
            size: Some(Fact::assumed(WireSize::Area(SquareMillimetres::lit(area)))),
            ..Wire::default()
        });
        let back = read(&write(&harness));
        prop_assert!(back.as_ref() == Ok(&harness), "{:?}", back.err());
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC*", bytes: Vec<u8>) {
        prop_assert!(read(&text).is_err());
        prop_assert!(read(&String::from_utf8_lossy(&bytes)).is_err());
    }

    #[test]
    fn a_spoilt_file_is_read_or_refused_with_places(
        seed in 0_u64..20,
        changes in prop::collection::vec((any::<usize>(), any::<usize>(), prop_oneof![
            prop::char::range(' ', '~'),
            prop::sample::select(vec!['{', '}', '[', ']', '"', ':', ',', '0', '.', '\\', '\n', 'e']),
            any::<char>(),
        ]), 1..6),
    ) {
        let text = spoilt(write(&random_harness(seed, 3)).chars().collect(), &changes);
        match read(&text) {
            // What still reads must write and read the same.
            Ok(harness) => prop_assert_eq!(read(&write(&harness)), Ok(harness)),
            Err(errors) => {
                prop_assert!(!errors.errors.is_empty());
                let lines = text.matches('\n').count() + 1;
                for error in &errors.errors {
                    prop_assert!((1..=lines).contains(&error.line));
                    prop_assert!(error.column >= 1);
                    prop_assert!(error.pointer.is_empty() || error.pointer.starts_with('/'));
                    prop_assert!(!error.to_string().contains('\n'));
                }
            }
        }
    }
}

#[test]
fn cylinders_go_from_one_to_sixteen() {
    for number in 1..=16 {
        let text = small("", "", "").replace("[1, 2]", &format!("[{number}]"));
        assert_eq!(
            read(&text).unwrap().engine.cylinders(),
            [CylinderId(number)]
        );
    }
}
