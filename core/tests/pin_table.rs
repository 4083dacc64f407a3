//! The pin table: rows out of a harness, text out of rows, and the same rows out of the text.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use proptest::prelude::*;
use sparktrail_core::edit::{FactAt, facts};
use sparktrail_core::model::random::random_harness;
use sparktrail_core::model::{
    Colour, Connector, Harness, PartId, PartKind, Terminal, WireColour, WireSize, file,
};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::table::{
    Column, Heading, Names, Pasted, Row, RowError, Scope, Separator, TextError, WRITTEN, csv,
    facts_of, rows, write,
};
use sparktrail_core::units::{Metres, SquareMillimetres};

fn sample(name: &str) -> Harness {
    let path = format!(
        "{}/../sample-harnesses/{name}.json",
        env!("CARGO_MANIFEST_DIR")
    );
    file::read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn rows_of(harness: &Harness) -> Vec<Row> {
    let names = Names::of(harness);
    let placed = rows(harness, &names, Scope::All).into_iter();
    placed.map(|placed| placed.row).collect()
}

/// Reads a text that has nothing wrong in it.
fn read(text: &str, names: &Names) -> Vec<Row> {
    let pasted = Pasted::guessed(text, names).unwrap();
    let read = pasted.read().unwrap().into_iter();
    read.map(|read| read.row.unwrap()).collect()
}

fn wrongs(text: &str, names: &Names) -> Vec<RowError> {
    let read = Pasted::guessed(text, names).unwrap().read().unwrap();
    read.into_iter()
        .filter_map(|read| read.row.err())
        .flatten()
        .collect()
}

#[test]
fn a_sample_reads_as_a_pin_table() {
    let harness = sample("blue-estate");
    let text = write(&rows_of(&harness), Separator::Tab);
    let lines: Vec<&str> = text.lines().take(4).collect();
    assert_eq!(
        lines,
        [
            "Unit\tPin\tColour\tSize, mm² or AWG\tLength, m\tGoes to\tKnown\tNote",
            "Control unit\t1\tVT\t1.5\t1.5\tCoil A · 1\tfrom a diagram\t",
            "Control unit\t2\tBN\t1.5\t1\tBody ground\tfrom a diagram\t",
            "Control unit\t3\tYE\t1\t1.5\tInjector 1 · control\tfrom a diagram\t",
        ]
    );
}

#[test]
fn every_wire_and_every_pin_has_a_row() {
    for name in ["blue-estate", "silver-limousine", "barn-find"] {
        let harness = sample(name);
        let names = Names::of(&harness);
        let all = rows(&harness, &names, Scope::All);
        let wires: Vec<_> = all
            .iter()
            .filter_map(|row| row.at.wire)
            .map(|w| w.0)
            .collect();
        let mut sorted = wires.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(sorted.len(), wires.len(), "{name}: no wire twice");
        assert_eq!(sorted.len(), harness.wires.len(), "{name}: every wire");
        let ends = |terminal: Terminal| {
            all.iter().any(|row| {
                let wire = row.at.wire.and_then(|(id, _)| harness.wires.get(&id));
                let ends = wire.map(|wire| [wire.from, wire.to]).into_iter().flatten();
                row.at.terminal == Some(terminal) || ends.flatten().any(|end| end.value == terminal)
            })
        };
        for (&id, part) in &harness.parts {
            if matches!(part.kind, PartKind::ControlUnit(_) | PartKind::Connector(_)) {
                assert!(
                    harness.terminals_of(id).into_iter().all(ends),
                    "{name}: {}",
                    part.name
                );
            }
        }
    }
}

#[test]
fn a_connector_by_itself_shows_both_its_sides() {
    let harness = sample("silver-limousine");
    let names = Names::of(&harness);
    let part = names.find_part("Left row connector").unwrap();
    let own = rows(&harness, &names, Scope::Part(part));
    assert_eq!(own.len(), 14, "seven cavities, two sides");
    assert!(own.iter().all(|row| row.at.wire.is_some()));
    assert!(own.iter().all(|row| row.row.unit == "Left row connector"));
}

#[test]
fn parts_called_alike_are_told_apart() {
    let mut harness = sample("blue-estate");
    let names: Vec<PartId> = harness.parts.keys().copied().collect();
    for (place, name) in ["Coil", "coil ", "Coil #5", "", "-", "A · 1", "Loose wire"]
        .iter()
        .enumerate()
    {
        harness.parts.get_mut(&names[place]).unwrap().name = (*name).to_owned();
    }
    for _ in 0..2 {
        let cavities = Connector::default();
        harness.add_part("Plug", PartKind::Connector(cavities));
    }
    let names = Names::of(&harness);
    for &id in harness.parts.keys() {
        assert_eq!(
            names.find_part(names.part(id)),
            Some(id),
            "{}",
            names.part(id)
        );
        for terminal in harness.terminals_of(id) {
            let name = names.terminal(terminal);
            assert_eq!(names.find_terminal(&name), Some(terminal), "{name}");
            assert_eq!(
                names.find_port(id, names.port(terminal)),
                Some(terminal),
                "{name}"
            );
        }
    }
}

#[test]
fn cells_are_read_as_people_write_them() {
    let harness = sample("blue-estate");
    let names = Names::of(&harness);
    let text = "Pin no.;Wire colour;AWG;Length (cm);To;Remarks\n\
                01;red / white;18;115;coil a: pin 1;\"says \"\"no\"\"; twice\"\n\
                2;GNYE;2/0;0,5 m;Body ground;\n\
                3;Grey with blue stripe;1,5 mm²;4 ft;Injector 1 control;\n";
    let pasted = Pasted::guessed(text, &names).unwrap();
    assert_eq!(pasted.separator, Separator::Semicolon);
    assert_eq!(pasted.heading, Heading::FirstRow);
    assert_eq!(
        pasted.columns,
        [
            Column::Pin,
            Column::Colour,
            Column::Gauge,
            Column::Centimetres,
            Column::GoesTo,
            Column::Note
        ]
    );
    let found = read(text, &names);
    let colour = |base, tracer| Some(WireColour { base, tracer });
    assert_eq!(found[0].colour, colour(Colour::Red, Some(Colour::White)));
    assert_eq!(found[0].size, Some(WireSize::Awg(18)));
    assert_eq!(found[0].length, Some(Metres::lit(1.15)));
    assert_eq!(found[0].note, "says \"no\"; twice");
    assert_eq!(found[1].colour, colour(Colour::Green, Some(Colour::Yellow)));
    assert_eq!(found[1].size, Some(WireSize::Awg(-1)));
    assert_eq!(found[1].length, Some(Metres::lit(0.5)));
    assert_eq!(found[2].colour, colour(Colour::Grey, Some(Colour::Blue)));
    assert_eq!(
        found[2].size,
        Some(WireSize::Area(SquareMillimetres::lit(1.5)))
    );
    assert_eq!(found[2].length, Some(Metres::lit(1.2192)));
    let unit = names.find_part("control UNIT").unwrap();
    let first = names.find_port(unit, &found[0].pin).unwrap();
    assert_eq!(names.port(first), "1");
    let coil = names.find_terminal(&found[0].goes_to).unwrap();
    assert_eq!(names.terminal(coil), "Coil A · 1");
}

#[test]
fn columns_are_guessed_from_what_stands_in_them() {
    let names = Names::of(&sample("blue-estate"));
    let columns = |text: &str| Pasted::guessed(text, &names).unwrap().columns;
    assert_eq!(
        columns("1\tVT\t1.5 mm²\tCoil A 1\n2\tBN\t0.75\tBody ground\n20\tVT/WH\t1.5\tCoil B 1\n"),
        [Column::Pin, Column::Colour, Column::Area, Column::GoesTo]
    );
    // Base and tracer in columns of their own, gauge and pins both bare numbers.
    assert_eq!(
        columns(
            "Control unit,1,RD,WH,18,seen\nControl unit,2,BN,,18,guess\nControl unit,3,BK,BU,16,seen\n"
        ),
        [
            Column::Unit,
            Column::Pin,
            Column::Base,
            Column::Tracer,
            Column::Gauge,
            Column::Known
        ]
    );
    assert_eq!(
        columns("Pin\tFunction\tBase\tStripe\tSomething\n1\tcoil\tVT\tWH\t!!\n"),
        [
            Column::Pin,
            Column::Note,
            Column::Base,
            Column::Tracer,
            Column::LeftOut
        ]
    );
}

#[test]
fn a_choice_takes_the_place_of_the_guess() {
    let names = Names::of(&sample("blue-estate"));
    let mut pasted = Pasted::guessed("1\tVT\t18\n2\tBN\t20\n", &names).unwrap();
    assert_eq!(pasted.columns, [Column::Pin, Column::Colour, Column::Gauge]);
    pasted.choose(2, Column::Pin);
    assert_eq!(
        pasted.columns,
        [Column::LeftOut, Column::Colour, Column::Pin]
    );
    pasted.choose(0, Column::Tracer);
    assert_eq!(
        pasted.columns,
        [Column::Tracer, Column::LeftOut, Column::Pin]
    );
    pasted.choose(2, Column::LeftOut);
    assert_eq!(pasted.read(), Err(TextError::NoPinColumn));
}

#[test]
fn wrong_cells_are_told_with_line_column_and_mend() {
    let names = Names::of(&sample("blue-estate"));
    let text = "Pin\tColour\tSize\tLength\tKnown\n\
                1\tXX\t1.5\t1\tmeasured\n\
                \n\
                2\tRDBU\tthick\tlong\tperhaps\n\
                \tVT\t1\t1\t\n\
                3\tBN\t1\t1\tseen\textra\n";
    let found: Vec<(usize, Option<usize>, String, String)> = wrongs(text, &names)
        .into_iter()
        .map(|e| (e.line, e.column, e.wrong.to_string(), e.wrong.mend()))
        .collect();
    let expected = [
        (2, Some(2), "“XX” is no colour known here", "write BK BN RD"),
        (
            4,
            Some(2),
            "“RDBU” does not tell which colour is the stripe",
            "write RD/BU or BU/RD",
        ),
        (
            4,
            Some(3),
            "“thick” is no wire size",
            "write an area such as 1.5 mm²",
        ),
        (
            4,
            Some(4),
            "“long” is no length",
            "write a length such as 1.2 m",
        ),
        (
            4,
            Some(5),
            "“perhaps” does not tell how it is known",
            "write assumed",
        ),
        (5, None, "the row has no pin", "write the pin's number"),
    ];
    for (found, expected) in found.iter().zip(expected) {
        assert_eq!(
            (found.0, found.1, found.2.as_str()),
            (expected.0, expected.1, expected.2)
        );
        assert!(found.3.starts_with(expected.3), "{}", found.3);
    }
    assert_eq!(found.len(), expected.len(), "{found:?}");
    let cut = Pasted::guessed("Pin,Colour\n1,VT\n2,\"BN\n3,RD\n", &names);
    assert_eq!(cut, Err(TextError::OpenQuote { line: 3 }));
    assert_eq!(Pasted::guessed(" \n\t\n", &names), Err(TextError::Empty));
    let long = "1,VT\n".repeat(2_100);
    assert!(matches!(
        Pasted::guessed(&long, &names),
        Err(TextError::TooManyRows { .. })
    ));
    let large = "x".repeat(1_000_001);
    assert!(matches!(
        Pasted::guessed(&large, &names),
        Err(TextError::TooLarge { .. })
    ));
    let head = Pasted::guessed("Pin\tColour\n", &names).unwrap();
    assert_eq!(head.read(), Err(TextError::Empty));
}

#[test]
fn a_cell_that_a_spreadsheet_would_compute_stays_text() {
    let row = Row {
        unit: "Control unit".into(),
        pin: "1".into(),
        note: "=1+1".into(),
        ..Row::default()
    };
    let text = write([&row], Separator::Comma);
    assert!(text.contains("'=1+1"), "{text}");
    assert_eq!(read(&text, &Names::of(&sample("blue-estate"))), [row]);
}

/// Source: RFC 4180, section 2.
#[test]
fn a_file_has_commas_quotes_and_line_ends_as_the_standard_wants_them() {
    let row = Row {
        unit: "Control unit".into(),
        pin: "1".into(),
        goes_to: "Coil \"A\" · 1".into(),
        note: "cut, then\nmended".into(),
        ..Row::default()
    };
    let heading =
        "\u{feff}Unit,Pin,Colour,\"Size, mm² or AWG\",\"Length, m\",Goes to,Known,Note\r\n";
    let line = "Control unit,1,,,,\"Coil \"\"A\"\" · 1\",,\"cut, then\nmended\"\r\n";
    assert_eq!(csv([&row]), format!("{heading}{line}"));
}

#[test]
fn no_cell_of_a_file_is_computed_by_a_spreadsheet() {
    for start in ["=", "+", "-", "@", "'"] {
        let said = format!("{start}2+3");
        let row = Row {
            unit: said.clone(),
            pin: said.clone(),
            goes_to: said.clone(),
            note: said.clone(),
            ..Row::default()
        };
        let text = csv([&row]);
        let last = text.lines().last().unwrap();
        assert_eq!(last.matches(&format!("'{said}")).count(), 4, "{last}");
        assert_eq!(read(&text, &Names::of(&sample("blue-estate"))), [row]);
    }
}

#[test]
fn every_sample_reads_back_from_its_file() {
    for name in [
        "blue-estate",
        "silver-limousine",
        "grey-saloon",
        "old-pickup",
    ] {
        let harness = sample(name);
        let written = rows_of(&harness);
        assert_eq!(
            read(&csv(&written), &Names::of(&harness)),
            written,
            "{name}"
        );
    }
}

#[test]
fn a_cell_names_the_facts_that_it_tells() {
    let harness = sample("blue-estate");
    let names = Names::of(&harness);
    let rows = rows(&harness, &names, Scope::All);
    let told: BTreeSet<FactAt> = rows
        .iter()
        .flat_map(|placed| {
            let columns = WRITTEN.iter().map(|(column, _)| *column);
            columns.flat_map(|column| facts_of(placed.at, column))
        })
        .collect();
    // Every fact of a wire that is known has a cell.
    for (at, _) in facts(&harness) {
        if let FactAt::WireEnd(..)
        | FactAt::WireColour(_)
        | FactAt::WireSize(_)
        | FactAt::WireLength(_)
        | FactAt::PinLabel(..) = at
        {
            assert!(told.contains(&at), "{at:?}");
        }
    }
}

fn name() -> impl Strategy<Value = String> {
    let wild = proptest::string::string_regex("[-=+@'\"#·,;\t\r\n A-Za-z0-9äß→?/.]{0,12}").unwrap();
    wild.prop_map(|text| text.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn any_row() -> impl Strategy<Value = Row> {
    let colour = (
        0..Colour::ALL.len(),
        proptest::option::of(0..Colour::ALL.len()),
    );
    let colour = colour.prop_map(|(base, tracer)| WireColour {
        base: Colour::ALL[base],
        tracer: tracer.map(|tracer| Colour::ALL[tracer]),
    });
    let size = prop_oneof![
        (0.0..1e6_f64).prop_map(|area| WireSize::Area(SquareMillimetres::lit(area))),
        (-3_i8..=56).prop_map(WireSize::Awg),
    ];
    let how = prop_oneof![
        Just(Provenance::Assumed),
        Just(Provenance::Diagram),
        Just(Provenance::Measured)
    ];
    let note =
        "[-=+@'\"#·,;\t\n A-Za-z0-9äß→?/.]{0,30}".prop_map(|note: String| note.trim().to_owned());
    (
        name(),
        name().prop_filter("a row has a pin", |pin| !pin.is_empty()),
        proptest::option::of(colour),
        proptest::option::of(size),
        proptest::option::of((0.0..1e4_f64).prop_map(Metres::lit)),
        name().prop_filter("says something", |to| !matches!(to.as_str(), "-" | "?")),
        proptest::option::of(how),
        note,
    )
        .prop_map(
            |(unit, pin, colour, size, length, goes_to, how, note)| Row {
                unit,
                pin,
                colour,
                size,
                length,
                goes_to,
                how,
                note,
            },
        )
}

proptest! {
    #[test]
    fn rows_written_read_back_the_same(
        written in proptest::collection::vec(any_row(), 1..8),
        separator in (0..3_usize).prop_map(|place| Separator::ALL[place]),
    ) {
        let names = Names::of(&sample("red-twin"));
        let text = write(&written, separator);
        let pasted = Pasted::guessed(&text, &names).unwrap();
        let columns: Vec<Column> = WRITTEN.iter().map(|(column, _)| *column).collect();
        prop_assert_eq!(pasted.separator, separator);
        prop_assert_eq!(pasted.heading, Heading::FirstRow);
        prop_assert_eq!(&pasted.columns, &columns);
        prop_assert_eq!(read(&text, &names), written.clone());
        prop_assert_eq!(read(&csv(&written), &names), written);
    }

    #[test]
    fn any_harness_reads_back_the_same(seed in 0..1_000_u64) {
        let harness = random_harness(seed, 8);
        let written = rows_of(&harness);
        prop_assume!(!written.is_empty());
        let text = write(&written, Separator::Tab);
        prop_assert_eq!(read(&text, &Names::of(&harness)), written);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC*|[\"\t\r\n,;'1aBK./ \u{feff}é-]{0,200}", bytes: Vec<u8>) {
        let names = Names::of(&sample("red-twin"));
        for text in [text, String::from_utf8_lossy(&bytes).into_owned()] {
            for separator in Separator::ALL {
                if let Ok(pasted) = Pasted::separated(&text, separator, &names) {
                    let _ = pasted.read();
                    let _ = pasted.with_heading(Heading::None, &names).read();
                }
            }
        }
    }
}
