//! Pasted pin tables: matched with the map, told row by row, carried out as one step or not at all.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::Arc;

use proptest::prelude::*;
use sparktrail_core::edit::{History, apply};
use sparktrail_core::model::random::random_harness;
use sparktrail_core::model::{Harness, PartKind, Side, WireSize, file};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::table::{
    CellChange, Clash, Column, Fate, Given, Names, Pasted, Plan, Row, RowAt, Scope, Separator,
    Tally, retype, rows, write,
};

fn sample(name: &str) -> Harness {
    let path = format!(
        "{}/../sample-harnesses/{name}.json",
        env!("CARGO_MANIFEST_DIR")
    );
    file::read(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn text_of(harness: &Harness, scope: Scope) -> String {
    let names = Names::of(harness);
    let rows = rows(harness, &names, scope);
    write(rows.iter().map(|placed| &placed.row), Separator::Tab)
}

fn plan(harness: &Harness, text: &str, given: Given) -> Plan {
    let names = Names::of(harness);
    let pasted = Pasted::guessed(text, &names).unwrap();
    Plan::of(harness, &names, &pasted, given).unwrap()
}

fn on_the_unit(harness: &Harness) -> Given {
    let unit = Names::of(harness).find_part("Control unit");
    Given {
        unit,
        ..Given::default()
    }
}

/// The harness after the paste, by way of its history.
fn pasted(harness: &Harness, plan: &Plan) -> Harness {
    let mut history = History::new(Arc::new(harness.clone()));
    let command = plan.command(history.next_id()).unwrap();
    history.apply(command).unwrap();
    let after = Harness::clone(history.now());
    history.undo();
    assert_eq!(**history.now(), *harness, "one step back undoes it all");
    after
}

fn row_of(harness: &Harness, unit: &str, pin: &str) -> Row {
    let names = Names::of(harness);
    let all = rows(harness, &names, Scope::All).into_iter();
    let mut found = all.filter(|placed| placed.row.unit == unit && placed.row.pin == pin);
    found.next().unwrap().row
}

fn told(plan: &Plan) -> Vec<String> {
    let told = plan.errors();
    told.map(|e| format!("{}/{:?}: {}; {}", e.line, e.column, e.wrong, e.wrong.mend()))
        .collect()
}

#[test]
fn a_table_pasted_back_changes_nothing() {
    for name in [
        "blue-estate",
        "silver-limousine",
        "barn-find",
        "grey-saloon",
    ] {
        let harness = sample(name);
        let scopes = harness.parts.keys().map(|part| Scope::Part(*part));
        for scope in [Scope::All].into_iter().chain(scopes) {
            let text = text_of(&harness, scope);
            if text.lines().count() < 2 {
                continue;
            }
            let plan = plan(&harness, &text, Given::default());
            assert_eq!(told(&plan), [""; 0], "{name} {scope:?}");
            let changed = plan.entries.iter().find(|e| e.fate != Fate::Same);
            assert_eq!(changed, None, "{name} {scope:?}");
            assert!(plan.is_empty() && plan.command(1).is_none());
        }
    }
}

#[test]
fn changed_cells_change_the_map_and_nothing_else_does() {
    let harness = sample("blue-estate");
    let text = "Pin\tColour\tSize\tGoes to\n\
                1\tVT\t2.5\tCoil A · 1\n\
                2\tBN/WH\t\tEngine ground\n\
                3\tYE\t1\tInjector 1 control\n";
    let plan = plan(&harness, text, on_the_unit(&harness));
    let expected = Tally {
        same: 1,
        changed: 2,
        ..Tally::default()
    };
    assert_eq!(plan.tally(), expected, "{:?}", plan.entries);
    let after = pasted(&harness, &plan);
    // What was measured on the car stands against a table from elsewhere; both are kept.
    let Fate::Changed(cells) = &plan.entries[0].fate else {
        panic!("{:?}", plan.entries[0]);
    };
    assert_eq!(
        cells[..],
        [CellChange {
            column: Column::Area,
            before: "1.5".into(),
            after: "2.5".into(),
            clash: Clash::MapStands,
        }]
    );
    assert_eq!(
        row_of(&after, "Control unit", "1"),
        row_of(&harness, "Control unit", "1")
    );
    assert_eq!(after.rivals.len(), 1);
    let two = row_of(&after, "Control unit", "2");
    assert_eq!(two.goes_to, "Engine ground");
    assert_eq!(two.colour.unwrap().code(), "BN/WH");
    assert_eq!(two.size, row_of(&harness, "Control unit", "2").size);
    assert_eq!(after.wires.len(), harness.wires.len());
    assert_eq!(after.parts, harness.parts);
}

#[test]
fn new_pins_and_wires_are_added_in_one_step() {
    let harness = sample("blue-estate");
    let text = "Unit;Pin;Colour;Goes to;Known;Note\n\
                Control unit;40;GY/RD;Coil splice;measured;behind the clip\n\
                Control unit;41;;;;spare\n\
                Coil splice;;;;;\n\
                Control unit;42;WH;Control unit · 43;;\n\
                Control unit;43;;;;\n\
                Ignition fuse;out;BU;Battery 30;;\n";
    let plan = plan(&harness, text, Given::default());
    assert_eq!(
        told(&plan),
        ["4/None: the row has no pin; write the pin's number, or take the row out"]
    );
    let after = pasted(&harness, &plan);
    assert_eq!(
        after.wires.len(),
        harness.wires.len() + 2,
        "{:?}",
        plan.entries
    );
    let forty = row_of(&after, "Control unit", "40");
    assert_eq!(forty.goes_to, "Coil splice");
    assert_eq!(forty.how, Some(Provenance::Measured));
    assert_eq!(forty.note, "behind the clip");
    assert_eq!(row_of(&after, "Control unit", "41").note, "spare");
    assert_eq!(
        row_of(&after, "Control unit", "42").goes_to,
        "Control unit · 43"
    );
    assert_eq!(
        row_of(&after, "Ignition fuse", "out").goes_to,
        "Battery · 30"
    );
    // Ids that were given out and taken back are not given out again.
    let mut history = History::new(Arc::new(harness.clone()));
    history
        .apply(plan.command(history.next_id()).unwrap())
        .unwrap();
    let first = Harness::clone(history.now());
    history.undo();
    history
        .apply(plan.command(history.next_id()).unwrap())
        .unwrap();
    let second = history.now();
    assert!(second.next_id > first.next_id);
    assert_eq!(text_of(&first, Scope::All), text_of(second, Scope::All));
}

#[test]
fn wrong_rows_are_told_and_left_out() {
    let harness = sample("blue-estate");
    let text = "Unit\tPin\tColour\tLength\tGoes to\n\
                Control unit\t1\tXX\t\t\n\
                Control unit\t2\tBN\t\tEngine grund\n\
                Contrl unit\t3\tYE\t\t\n\
                Control unit\t16\tYE\t5000\t\n\
                Control unit\t17\tGN\t\tControl unit 17\n\
                Control unit\t18\tGN\t\tPlug 1 · top\n\
                Control unit\t20\tVT\t\t\n\
                Control unit\t20\tVT\t\t\n\
                Ignition relay\t99\tRD\t\t\n\
                Lead 1\tcoil end\tRD\t\t\n\
                \t24\tBN\t\t\n\
                Control unit\t33\tYE\t\tInjector 4 control\n";
    let plan = plan(&harness, text, Given::default());
    let told = told(&plan);
    let expected = [
        "2/Some(3): “XX” is no colour",
        "3/Some(5): the map has no terminal “Engine grund”; did you mean “Engine ground”?",
        "4/Some(1): the map has no part “Contrl unit”; did you mean “Control unit”?",
        "5/Some(4): no wire is like that",
        "6/Some(5): the wire would end where it begins",
        "7/Some(5): no wire ends at “Plug 1 · top”",
        "9/Some(2): pin “20” stands on line 8 already",
        "10/Some(2): “Ignition relay” has no terminal “99”",
        "11/Some(2): no wire ends at “Lead 1 · coil end”",
        "12/Some(2): the row does not tell which unit",
    ];
    assert_eq!(told.len(), expected.len(), "{told:#?}");
    for (told, expected) in told.iter().zip(expected) {
        assert!(told.starts_with(expected), "{told}\n{expected}");
    }
    // The rows that are right change a colour each; of the one that was measured the map keeps its own.
    let after = pasted(&harness, &plan);
    assert_eq!(plan.tally().changed, 2);
    assert_eq!(after.parts, harness.parts, "a wrong row adds no pin");
    let wires = after.wires.iter().zip(&harness.wires);
    let changed: Vec<_> = wires.filter(|(a, b)| a != b).map(|(a, _)| a.0).collect();
    assert_eq!(changed.len(), 1, "{changed:?}");
    assert_eq!(after.rivals.len(), 1);
}

#[test]
fn a_number_is_given_to_the_pin_whose_wire_the_row_tells() {
    let mut harness = sample("blue-estate");
    let unit = Names::of(&harness).find_part("Control unit").unwrap();
    if let PartKind::ControlUnit(unit) = &mut harness.parts.get_mut(&unit).unwrap().kind {
        for pin in &mut unit.pins {
            pin.label = None;
        }
    }
    let text = "Pin,Colour,Goes to\n7,VT,Coil A 1\n8,VT/WH,Coil B 1\n";
    let plan = plan(&harness, text, on_the_unit(&harness));
    let after = pasted(&harness, &plan);
    assert_eq!(after.wires.len(), harness.wires.len(), "no wire is new");
    assert_eq!(row_of(&after, "Control unit", "7").goes_to, "Coil A · 1");
    assert_eq!(row_of(&after, "Control unit", "8").goes_to, "Coil B · 1");
    assert_eq!(
        after.unit(unit).unwrap().pins.len(),
        harness.unit(unit).unwrap().pins.len()
    );
}

#[test]
fn a_wire_with_an_open_end_is_found() {
    let mut harness = sample("blue-estate");
    let names = Names::of(&harness);
    let coil = names.find_terminal("Coil A · 1").unwrap();
    let (&id, _) = harness
        .wires
        .iter()
        .find(|(_, wire)| wire.to.is_some_and(|fact| fact.value == coil))
        .unwrap();
    harness.wires.get_mut(&id).unwrap().from = None;
    let plan = plan(
        &harness,
        "Pin\tGoes to\n1\tCoil A 1\n",
        on_the_unit(&harness),
    );
    let after = pasted(&harness, &plan);
    assert_eq!(after.wires.len(), harness.wires.len());
    assert_eq!(row_of(&after, "Control unit", "1").goes_to, "Coil A · 1");
    // A wire that hangs in the air at both ends has a row too, and gets its ends by it.
    harness.wires.get_mut(&id).unwrap().to = None;
    let text = text_of(&harness, Scope::All);
    assert!(text.contains(&format!("Loose wire\t{id}\t")), "{text}");
}

#[test]
fn a_cavity_without_a_side_is_on_the_side_that_was_chosen() {
    let harness = sample("silver-limousine");
    let unit = Names::of(&harness).find_part("Left row connector");
    for (side, word) in [(Side::A, "A"), (Side::B, "B")] {
        let given = Given {
            unit,
            side,
            ..Given::default()
        };
        let plan = plan(&harness, "Cavity,Colour\n3,TQ\n9,SR\n", given);
        assert_eq!(told(&plan), [""; 0]);
        let after = pasted(&harness, &plan);
        let names = Names::of(&after);
        let own = rows(&after, &names, Scope::Part(unit.unwrap()));
        let colour = |pin: &str| {
            let pin = format!("{pin} side {word}");
            let mut own = own.iter();
            let row = own.find(|placed| placed.row.pin == pin).unwrap();
            row.row.colour.map(|colour| colour.code())
        };
        assert_eq!(colour("3").as_deref(), Some("TQ"), "{word}");
        assert_eq!(colour("9").as_deref(), Some("SR"), "{word}");
    }
}

#[test]
fn both_ends_of_a_wire_may_be_told_but_not_differently() {
    let harness = sample("silver-limousine");
    let text = "Unit\tPin\tColour\tGoes to\n\
                Control unit\tC1\tTQ\tLeft row connector · 2 side A\n\
                Left row connector\t2 side A\tTQ\tControl unit · C1\n";
    let agreed = plan(&harness, text, Given::default());
    assert_eq!(told(&agreed), [""; 0]);
    let after = pasted(&harness, &agreed);
    assert_eq!(after.wires.len(), harness.wires.len());
    let otherwise = text.replace("2 side A\tTQ", "2 side A\tBK");
    let torn = plan(&harness, &otherwise, Given::default());
    assert_eq!(
        told(&torn),
        [
            "3/None: this is the wire of line 2, told otherwise; make the two rows agree, or take one out"
        ]
    );
}

#[test]
fn a_way_of_knowing_goes_to_ends_colour_and_pin() {
    let harness = sample("blue-estate");
    let plan = plan(&harness, "Pin\tKnown\n2\tmeasured\n", on_the_unit(&harness));
    let after = pasted(&harness, &plan);
    assert_eq!(
        row_of(&after, "Control unit", "2").how,
        Some(Provenance::Measured)
    );
    let wire = |harness: &Harness| {
        let names = Names::of(harness);
        let all = rows(harness, &names, Scope::All).into_iter();
        let mut all = all.filter(|row| row.row.unit == "Control unit" && row.row.pin == "2");
        let (id, _) = all.next().unwrap().at.wire.unwrap();
        harness.wires[&id].clone()
    };
    let (before, after) = (wire(&harness), wire(&after));
    assert_eq!(after.size, before.size, "nobody measured its size");
    assert_eq!(after.length, before.length);
}

fn type_over(harness: &Harness, at: RowAt, column: Column, text: &str) -> Result<Harness, String> {
    let names = Names::of(harness);
    match retype(harness, &names, at, column, text) {
        Ok(None) => Ok(harness.clone()),
        Ok(Some(command)) => apply(harness, &command).map_err(|error| error.to_string()),
        Err(wrong) => Err(wrong.to_string()),
    }
}

#[test]
fn a_cell_is_typed_over_where_it_stands() {
    let harness = sample("blue-estate");
    let names = Names::of(&harness);
    let all = rows(&harness, &names, Scope::All);
    let at = |pin: &str| all.iter().find(|row| row.row.pin == pin).unwrap().at;
    let one = at("1");
    let check = |column, text: &str, shows: &dyn Fn(&Row) -> String, expected: &str| {
        let after = type_over(&harness, one, column, text).unwrap();
        assert_eq!(shows(&row_of(&after, "Control unit", "1")), expected);
    };
    check(
        Column::Colour,
        "gn/wh",
        &|row| row.colour.unwrap().code(),
        "GN/WH",
    );
    check(
        Column::Colour,
        "",
        &|row| format!("{:?}", row.colour),
        "None",
    );
    check(
        Column::Metres,
        "90 cm",
        &|row| row.length.unwrap().get().to_string(),
        "0.9",
    );
    check(
        Column::GoesTo,
        "coil b 1",
        &|row| row.goes_to.clone(),
        "Coil B · 1",
    );
    check(Column::GoesTo, "", &|row| row.goes_to.clone(), "");
    check(Column::Note, "chafed", &|row| row.note.clone(), "chafed");
    check(
        Column::Known,
        "assumed",
        &|row| format!("{:?}", row.how.unwrap()),
        "Assumed",
    );
    check(
        Column::Area,
        "AWG 16",
        &|row| format!("{:?}", row.size == Some(WireSize::Awg(16))),
        "true",
    );
    let after = type_over(&harness, one, Column::Pin, "51").unwrap();
    assert_eq!(row_of(&after, "Control unit", "51").goes_to, "Coil A · 1");
    for (column, text, expected) in [
        (Column::Colour, "VTX", "“VTX” is no colour known here"),
        (
            Column::Area,
            "50000",
            "no wire is like that: it must lie between",
        ),
        (Column::Metres, "far", "“far” is no length"),
        (
            Column::GoesTo,
            "Nowhere",
            "the map has no terminal “Nowhere”",
        ),
        (
            Column::GoesTo,
            "Control unit 1",
            "the wire would end where it begins",
        ),
        (Column::Pin, "20", "another pin is called “20” already"),
    ] {
        let error = type_over(&harness, one, column, text)
            .err()
            .unwrap_or_default();
        assert!(error.starts_with(expected), "{text}: {error}");
    }
    // What is typed over keeps the way in which it was known, so that it clashes with nothing.
    let after = type_over(&harness, one, Column::Colour, "BK").unwrap();
    assert!(after.rivals.is_empty());
}

proptest! {
    // Each case reads and matches several whole tables.
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_harness_pasted_back_onto_itself_stays_as_it_is(seed in 0..2_000_u64) {
        let harness = random_harness(seed, 8);
        let scopes: Vec<Scope> = harness
            .parts
            .keys()
            .step_by(5)
            .map(|part| Scope::Part(*part))
            .chain([Scope::All])
            .collect();
        for scope in scopes {
            let text = text_of(&harness, scope);
            if text.lines().count() < 2 {
                continue;
            }
            let plan = plan(&harness, &text, Given::default());
            prop_assert_eq!(told(&plan), Vec::<String>::new());
            let changed = plan.entries.iter().find(|entry| entry.fate != Fate::Same);
            prop_assert_eq!(changed, None, "{:?}", scope);
        }
    }

    /// Whatever is pasted, the command fits the harness, undoes as one, and what was planned is what is then there.
    #[test]
    fn any_table_is_carried_out_whole(
        seed in 0..200_u64,
        other in 0..200_u64,
        swaps in proptest::collection::vec((0..8_usize, 0..60_usize, 0..60_usize), 0..6),
    ) {
        let harness = random_harness(seed, 6);
        // The table of another harness, shuffled a little, on this one.
        let text = text_of(&random_harness(other, 6), Scope::All);
        let mut lines: Vec<Vec<String>> = text
            .lines()
            .map(|line| line.split('\t').map(str::to_owned).collect())
            .collect();
        for (column, a, b) in swaps {
            let (a, b) = (1 + a % lines.len().max(2), 1 + b % lines.len().max(2));
            if let (Some(one), Some(two)) = (
                lines.get(a).and_then(|line| line.get(column)).cloned(),
                lines.get(b).and_then(|line| line.get(column)).cloned(),
            ) {
                lines[a][column] = two;
                lines[b][column] = one;
            }
        }
        let text: Vec<String> = lines.iter().map(|line| line.join("\t")).collect();
        let plan = plan(&harness, &text.join("\n"), Given::default());
        let mut history = History::new(Arc::new(harness.clone()));
        if let Some(command) = plan.command(history.next_id()) {
            prop_assert!(history.apply(command).is_ok(), "{:?}", plan.entries);
            history.undo();
        }
        prop_assert_eq!(&**history.now(), &harness);
    }
}
