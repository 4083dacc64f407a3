//! Where each pin or cavity sits on the face of its connector.

use std::collections::BTreeSet;

use crate::gather::Gather;
use crate::model::{Corner, Face, Harness, PartId, Port, Run, Side, Terminal};

/// From where one looks at a face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Seen {
    /// From the side where the wires go in.
    #[default]
    WireSide,
    /// From the side that mates: left and right change places.
    MatingSide,
}

/// One place on a face.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seat {
    /// The number or letters that the scheme gives it.
    pub number: String,
    /// What sits there; `None` for an empty place.
    pub terminal: Option<Terminal>,
}

/// A face with all that sits on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seating {
    /// Rows from the top, each from the left, as seen.
    pub rows: Vec<Vec<Seat>>,
    /// Pins that the scheme gives no place, because their number is unknown, beyond it, or taken.
    pub beside: Vec<Terminal>,
}

/// The pins of a control unit, or the cavities of a connector on one side, each with its label.
#[must_use]
pub fn pins(harness: &Harness, part: PartId, side: Side) -> Vec<(Terminal, String)> {
    let label = |terminal: Terminal, label: Option<&crate::provenance::Fact<String>>| {
        let label = label.map_or_else(String::new, |fact| fact.value.trim().to_owned());
        (terminal, label)
    };
    if let Some(unit) = harness.unit(part) {
        let pin = |pin: &crate::model::Pin| {
            let port = Port::Pin(pin.id);
            label(Terminal { part, port }, pin.label.as_ref())
        };
        return unit.pins.iter().map(pin).collect();
    }
    let cavity = |cavity: &crate::model::Cavity| {
        let port = Port::Cavity(cavity.id, side);
        label(Terminal { part, port }, cavity.label.as_ref())
    };
    let cavities = harness.connector(part).map(|found| &found.cavities);
    cavities.into_iter().flatten().map(cavity).collect()
}

/// A face that holds pins with these labels, for as long as nobody has said what it looks like.
///
/// Labels of a letter and a number give a row a letter; others count along rows from the top left.
#[must_use]
pub fn proposed<'l>(labels: impl IntoIterator<Item = &'l str>) -> Face {
    let labels: Vec<&str> = labels.into_iter().collect();
    let lettered: Vec<(char, u32)> = labels.iter().filter_map(|label| lettered(label)).collect();
    if !lettered.is_empty() && lettered.len() * 2 > labels.len() {
        let letters: BTreeSet<char> = lettered.iter().map(|(letter, _)| *letter).gather();
        let most = lettered.iter().map(|(_, number)| *number).max();
        return Face {
            rows: fits(letters.len()),
            columns: fits(usize::try_from(most.unwrap_or(1)).unwrap_or(1)),
            run: Run::Letters,
            first: Corner::TopLeft,
        };
    }
    let most = labels.iter().filter_map(|label| counted(label)).max();
    let many = usize::try_from(most.unwrap_or(0)).unwrap_or(0);
    let many = many.min(MOST_PROPOSED).max(labels.len());
    let rows = match many {
        0..=3 => 1,
        4..=24 => 2,
        25..=60 => 3,
        _ => 4,
    };
    Face {
        rows: fits(rows),
        columns: fits(many.div_ceil(rows)),
        run: Run::Rows,
        first: Corner::TopLeft,
    }
}

/// A number beyond this is no count of cavities.
const MOST_PROPOSED: usize = 200;

fn fits(many: usize) -> u8 {
    u8::try_from(many)
        .unwrap_or(Face::MOST)
        .clamp(1, Face::MOST)
}

/// A letter and a number: "A12".
fn lettered(label: &str) -> Option<(char, u32)> {
    let mut letters = label.chars();
    let letter = letters.next().filter(char::is_ascii_alphabetic)?;
    let number = letters.as_str().parse().ok().filter(|n| *n > 0)?;
    (number <= u32::from(Face::MOST)).then_some((letter.to_ascii_uppercase(), number))
}

/// A number, or a single letter as its place in the alphabet.
fn counted(label: &str) -> Option<u32> {
    let mut letters = label.chars();
    match (letters.next(), letters.next()) {
        (Some(letter), None) if letter.is_ascii_alphabetic() => {
            Some(u32::from(letter.to_ascii_uppercase()) - u32::from('A') + 1)
        }
        (Some(_) | None, Some(_) | None) => label.parse().ok().filter(|n| *n > 0),
    }
}

/// Seats pins on a face and looks at it from one side.
///
/// `side` is the side of an in-line connector that is looked at: seen from its own wires, side B is
/// the mirror of side A.
#[must_use]
pub fn seating(face: Face, pins: &[(Terminal, String)], side: Side, seen: Seen) -> Seating {
    let letters = row_letters(face, pins);
    let (rows, columns) = counts(face);
    let mut grid: Vec<Vec<Seat>> = Vec::with_capacity(rows);
    for row in 0..rows {
        let seat = |column| Seat {
            number: number(face, &letters, (row, column)),
            terminal: None,
        };
        grid.push((0..columns).map(seat).collect());
    }
    let by_letter = pins
        .iter()
        .any(|(_, label)| label.chars().count() == 1 && label.chars().all(char::is_alphabetic));
    let mut beside = Vec::new();
    for (terminal, label) in pins {
        let place = place(face, &letters, label);
        let seat = place.and_then(|(row, column)| grid.get_mut(row)?.get_mut(column));
        match seat.filter(|seat| seat.terminal.is_none()) {
            Some(seat) => {
                seat.terminal = Some(*terminal);
                // What is moulded there says it best.
                seat.number.clone_from(label);
            }
            None => beside.push(*terminal),
        }
    }
    if by_letter && face.run != Run::Letters {
        for seat in grid
            .iter_mut()
            .flatten()
            .filter(|seat| seat.terminal.is_none())
        {
            seat.number = alphabetic(&seat.number);
        }
    }
    let turned_by_side = side == Side::B;
    let turned_by_eye = seen == Seen::MatingSide;
    if turned_by_side != turned_by_eye {
        for row in &mut grid {
            row.reverse();
        }
    }
    Seating { rows: grid, beside }
}

/// A place's number as a letter, where there is one for it.
fn alphabetic(number: &str) -> String {
    let letter = number.parse::<u8>().ok().filter(|n| (1..=26).contains(n));
    letter.map_or_else(
        || number.to_owned(),
        |n| char::from(b'A' + n - 1).to_string(),
    )
}

/// The letters of the rows: A, B, C, unless the pins use others.
fn row_letters(face: Face, pins: &[(Terminal, String)]) -> Vec<char> {
    let used: BTreeSet<char> = pins
        .iter()
        .filter_map(|(_, label)| lettered(label))
        .map(|(letter, _)| letter)
        .gather();
    let alphabet = ('A'..='Z').take(usize::from(face.rows));
    let usual: Vec<char> = alphabet.collect();
    if used.iter().all(|letter| usual.contains(letter)) {
        return usual;
    }
    let others = ('A'..='Z').filter(|letter| !used.contains(letter));
    let all = used.iter().copied().chain(others);
    all.take(usize::from(face.rows)).collect()
}

/// Rows and columns; at least one of each.
fn counts(face: Face) -> (usize, usize) {
    (
        usize::from(face.rows).max(1),
        usize::from(face.columns).max(1),
    )
}

/// Row and column counted from the first corner, turned into row from the top and column from the left; and back.
fn turn(face: Face, (row, column): (usize, usize)) -> (usize, usize) {
    let (rows, columns) = counts(face);
    let (down, back) = match face.first {
        Corner::TopLeft => (false, false),
        Corner::TopRight => (false, true),
        Corner::BottomLeft => (true, false),
        Corner::BottomRight => (true, true),
    };
    let row = if down {
        (rows - 1).saturating_sub(row)
    } else {
        row
    };
    let column = if back {
        (columns - 1).saturating_sub(column)
    } else {
        column
    };
    (row, column)
}

/// The number of the place at a row from the top and a column from the left.
fn number(face: Face, letters: &[char], at: (usize, usize)) -> String {
    let (row, column) = turn(face, at);
    let (rows, columns) = counts(face);
    let number = match face.run {
        Run::Rows => row * columns + column + 1,
        Run::Columns => column * rows + row + 1,
        Run::ToAndFro if row % 2 == 0 => row * columns + column + 1,
        Run::ToAndFro => row * columns + columns - column,
        Run::Letters => {
            let letter = letters.get(row).map_or_else(String::new, char::to_string);
            return format!("{letter}{}", column + 1);
        }
    };
    number.to_string()
}

/// The place of a label: row from the top and column from the left.
fn place(face: Face, letters: &[char], label: &str) -> Option<(usize, usize)> {
    let (rows, columns) = counts(face);
    let at = if face.run == Run::Letters {
        let (letter, number) = lettered(label)?;
        let row = letters.iter().position(|other| *other == letter)?;
        (row, usize::try_from(number).ok()?.checked_sub(1)?)
    } else {
        let nth = usize::try_from(counted(label)?).ok()?.checked_sub(1)?;
        match face.run {
            Run::Rows | Run::Letters => (nth / columns, nth % columns),
            Run::Columns => (nth % rows, nth / rows),
            Run::ToAndFro if (nth / columns) % 2 == 0 => (nth / columns, nth % columns),
            Run::ToAndFro => (nth / columns, columns - 1 - nth % columns),
        }
    };
    (at.0 < rows && at.1 < columns).then(|| turn(face, at))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn face(rows: u8, columns: u8, run: Run, first: Corner) -> Face {
        Face {
            rows,
            columns,
            run,
            first,
        }
    }

    fn numbers(face: Face, seen: Seen, side: Side) -> Vec<String> {
        let seating = seating(face, &[], side, seen);
        let rows = seating.rows.iter();
        rows.map(|row| {
            let row: Vec<&str> = row.iter().map(|seat| seat.number.as_str()).collect();
            row.join(" ")
        })
        .collect()
    }

    fn pin(number: u32, label: &str) -> (Terminal, String) {
        let terminal = Terminal {
            part: PartId::from_number(1),
            port: Port::Pin(crate::model::PinId::from_number(number)),
        };
        (terminal, label.to_owned())
    }

    #[test]
    fn numbers_run_as_the_scheme_says() {
        use Corner::{BottomLeft, BottomRight, TopLeft, TopRight};
        for (run, first, expected) in [
            (Run::Rows, TopLeft, ["1 2 3", "4 5 6"]),
            (Run::Rows, TopRight, ["3 2 1", "6 5 4"]),
            (Run::Rows, BottomLeft, ["4 5 6", "1 2 3"]),
            (Run::Columns, TopLeft, ["1 3 5", "2 4 6"]),
            (Run::Columns, BottomRight, ["6 4 2", "5 3 1"]),
            (Run::ToAndFro, TopLeft, ["1 2 3", "6 5 4"]),
            (Run::ToAndFro, TopRight, ["3 2 1", "4 5 6"]),
            (Run::Letters, BottomLeft, ["B1 B2 B3", "A1 A2 A3"]),
        ] {
            let found = numbers(face(2, 3, run, first), Seen::WireSide, Side::A);
            assert_eq!(found, expected, "{run:?} from {first:?}");
        }
    }

    #[test]
    fn left_and_right_change_places_with_the_side() {
        let face = face(2, 3, Run::Rows, Corner::TopLeft);
        let mirrored = ["3 2 1", "6 5 4"];
        assert_eq!(numbers(face, Seen::MatingSide, Side::A), mirrored);
        assert_eq!(numbers(face, Seen::WireSide, Side::B), mirrored);
        // The mating face of one side is what the wire side of the other looks like.
        assert_eq!(
            numbers(face, Seen::MatingSide, Side::B),
            numbers(face, Seen::WireSide, Side::A)
        );
    }

    #[test]
    fn every_pin_sits_where_its_number_stands_or_beside() {
        for run in Run::ALL {
            for first in Corner::ALL {
                let face = face(3, 4, run, first);
                let empty = seating(face, &[], Side::A, Seen::WireSide);
                let numbers = empty.rows.iter().flatten().map(|seat| seat.number.clone());
                let pins: Vec<(Terminal, String)> = (1..)
                    .zip(numbers)
                    .map(|(n, label)| pin(n, &label))
                    .collect();
                let full = seating(face, &pins, Side::A, Seen::WireSide);
                assert!(full.beside.is_empty(), "{run:?} {first:?}");
                let seats = full.rows.iter().flatten().zip(empty.rows.iter().flatten());
                for (seat, before) in seats {
                    assert_eq!(seat.number, before.number);
                    assert!(seat.terminal.is_some());
                }
            }
        }
        let odd = [
            pin(1, "1"),
            pin(2, "1"),
            pin(3, ""),
            pin(4, "99"),
            pin(5, "X"),
        ];
        let seating = seating(
            face(1, 4, Run::Rows, Corner::TopLeft),
            &odd,
            Side::A,
            Seen::WireSide,
        );
        assert_eq!(seating.beside.len(), 4);
    }

    #[test]
    fn a_proposal_has_room_for_the_pins() {
        let check = |labels: &[&str], rows, columns, run| {
            let found = proposed(labels.iter().copied());
            assert_eq!((found.rows, found.columns, found.run), (rows, columns, run));
        };
        check(&[], 1, 1, Run::Rows);
        check(&["1", "2", "3"], 1, 3, Run::Rows);
        check(&["1", "2", "33"], 3, 11, Run::Rows);
        check(&["A", "B", "C", "D"], 2, 2, Run::Rows);
        check(&["", "", ""], 1, 3, Run::Rows);
        check(&["P1", "P2", "C12", "J3"], 3, 12, Run::Letters);
        check(&["4000000000"], 4, 50, Run::Rows);
    }

    #[test]
    fn rows_take_the_letters_that_the_pins_use() {
        let pins = [pin(1, "P1"), pin(2, "C2"), pin(3, "J3")];
        let labels = pins.iter().map(|(_, label)| label.as_str());
        let face = proposed(labels);
        let found = seating(face, &pins, Side::A, Seen::WireSide);
        assert!(found.beside.is_empty());
        assert_eq!(found.rows[0][1].terminal, Some(pins[1].0), "C is first");
        assert_eq!(found.rows[2][0].number, "P1");
    }
}
