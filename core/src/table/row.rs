//! A harness as rows: each pin and each wire once, in the order in which people read a pin table.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use super::cells;
use super::column::Column;
use super::names::{Names, loose};
use super::text::{LineEnd, Separator, text_of};
use crate::edit::FactAt;
use crate::gather::Arrange;
use crate::model::{
    Harness, PartId, PinId, Port, Terminal, UnitRole, Wire, WireColour, WireEnd, WireId, WireSize,
};
use crate::provenance::Provenance;
use crate::said::{said, to_say};
use crate::units::Metres;

/// One row as people read it. What is not known is `None` or empty.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    /// The part.
    pub unit: String,
    /// The pin, cavity or terminal on it.
    pub pin: String,
    /// Base and tracer.
    pub colour: Option<WireColour>,
    /// Area or gauge.
    pub size: Option<WireSize>,
    /// Length.
    pub length: Option<Metres>,
    /// Part and terminal at the other end.
    pub goes_to: String,
    /// How ends and colour are known: the weakest of them.
    pub how: Option<Provenance>,
    /// Anything else.
    pub note: String,
}

/// Where a row stands in its harness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RowAt {
    /// The terminal that the row is of; `None` for a wire that hangs in the air at both ends.
    pub terminal: Option<Terminal>,
    /// The wire that ends there, with that end; `None` for a pin without a wire.
    pub wire: Option<(WireId, WireEnd)>,
}

/// A row of a harness.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// What it says.
    pub row: Row,
    /// Where it stands.
    pub at: RowAt,
}

/// Which rows are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scope {
    /// Every pin, and every wire once.
    All,
    /// Every terminal of one part, with the wires that end there.
    Part(PartId),
}

/// The rows of a harness.
#[must_use]
pub fn rows(harness: &Harness, names: &Names, scope: Scope) -> Vec<Placed> {
    let row = |at| Placed {
        row: row(harness, names, at),
        at,
    };
    places(harness, names, scope).into_iter().map(row).collect()
}

/// Where the rows of a harness stand.
fn places(harness: &Harness, names: &Names, scope: Scope) -> Vec<RowAt> {
    let mut ends: BTreeMap<Terminal, Vec<(WireId, WireEnd)>> = BTreeMap::new();
    let mut wired: BTreeSet<Terminal> = BTreeSet::new();
    let mut loose = Vec::new();
    for (&id, wire) in &harness.wires {
        let there = WireEnd::BOTH.map(|end| Some((end, standing(names, wire, end)?)));
        wired.extend(there.into_iter().flatten().map(|(_, terminal)| terminal));
        let shown: Vec<(WireEnd, Terminal)> = match scope {
            Scope::All => anchor(harness, there).into_iter().collect(),
            Scope::Part(part) => {
                let there = there.into_iter().flatten();
                there
                    .filter(|(_, terminal)| terminal.part == part)
                    .collect()
            }
        };
        if shown.is_empty() && scope == Scope::All {
            loose.push(id);
        }
        for (end, terminal) in shown {
            ends.entry(terminal).or_default().push((id, end));
        }
    }
    let mut parts: Vec<PartId> = match scope {
        Scope::All => harness.parts.keys().copied().collect(),
        Scope::Part(part) => vec![part],
    };
    parts.arrange_by_key(|part| (rank(harness, *part), *part));
    let mut out = Vec::new();
    for part in parts {
        let is_pinned = rank(harness, part) < UNPINNED;
        let mut terminals = harness.terminals_of(part);
        if is_pinned {
            terminals.arrange_by(|a, b| natural(names.port(*a), names.port(*b)).then(a.cmp(b)));
        }
        for terminal in terminals {
            let here = ends.remove(&terminal).unwrap_or_default();
            let of = |wire| RowAt {
                terminal: Some(terminal),
                wire,
            };
            if is_pinned && !wired.contains(&terminal) {
                out.push(of(None));
            }
            out.extend(here.into_iter().map(|end| of(Some(end))));
        }
    }
    out.extend(loose.into_iter().map(|id| RowAt {
        terminal: None,
        wire: Some((id, WireEnd::From)),
    }));
    out
}

/// Where a wire's end is, if that terminal exists.
fn standing(names: &Names, wire: &Wire, end: WireEnd) -> Option<Terminal> {
    let terminal = wire.end(end)?.value;
    names.has(terminal).then_some(terminal)
}

/// Parts of this rank and above have terminals that are not numbered one by one.
const UNPINNED: u8 = 3;

/// How early a part stands in the table.
fn rank(harness: &Harness, part: PartId) -> u8 {
    if let Some(unit) = harness.unit(part) {
        return match unit.role {
            UnitRole::EngineControl => 0,
            UnitRole::IgnitionModule => 1,
        };
    }
    if harness.connector(part).is_some() {
        2
    } else {
        UNPINNED
    }
}

/// The end at which a wire has its row: at a control unit, else at a connector, else where it comes from.
fn anchor(
    harness: &Harness,
    there: [Option<(WireEnd, Terminal)>; 2],
) -> Option<(WireEnd, Terminal)> {
    let there = there.into_iter().flatten();
    there.min_by_key(|(end, terminal)| (rank(harness, terminal.part), *end))
}

/// The end at which a wire has its row when the whole harness is a table.
pub(super) fn anchor_of(
    harness: &Harness,
    names: &Names,
    wire: &Wire,
) -> Option<(WireEnd, Terminal)> {
    anchor(
        harness,
        WireEnd::BOTH.map(|end| Some((end, standing(names, wire, end)?))),
    )
}

/// What the row of a place says.
pub(super) fn row(harness: &Harness, names: &Names, at: RowAt) -> Row {
    let wire = at
        .wire
        .and_then(|(id, end)| Some((harness.wires.get(&id)?, end)));
    let (unit, pin) = match (at.terminal, at.wire) {
        (Some(terminal), _) => (
            names.part(terminal.part).to_owned(),
            names.port(terminal).to_owned(),
        ),
        (None, Some((id, _))) => (loose().to_owned(), id.to_string()),
        (None, None) => (String::new(), String::new()),
    };
    let goes_to = wire.and_then(|(wire, end)| standing(names, wire, other(end)));
    Row {
        unit,
        pin,
        colour: wire
            .and_then(|(wire, _)| wire.colour)
            .map(|fact| fact.value),
        size: wire.and_then(|(wire, _)| wire.size).map(|fact| fact.value),
        length: wire
            .and_then(|(wire, _)| wire.length)
            .map(|fact| fact.value),
        goes_to: goes_to.map_or_else(String::new, |terminal| names.terminal(terminal)),
        how: known(harness, at).into_iter().map(|(_, how)| how).min(),
        note: lined(note(harness, at)),
    }
}

/// The other end.
pub(super) const fn other(end: WireEnd) -> WireEnd {
    match end {
        WireEnd::From => WireEnd::To,
        WireEnd::To => WireEnd::From,
    }
}

/// The facts that a row's way of knowing is about, each with its own: the number of the pin, the ends
/// and the colour of the wire. Size and length are known apart from them.
#[must_use]
pub fn known(harness: &Harness, at: RowAt) -> Vec<(FactAt, Provenance)> {
    let mut found = Vec::new();
    let mut note = |at: FactAt, how: Option<Provenance>| found.extend(how.map(|how| (at, how)));
    if let Some(Terminal { part, port }) = at.terminal {
        if let Port::Pin(id) = port {
            let label = harness.pin(part, id).and_then(|pin| pin.label.as_ref());
            note(FactAt::PinLabel(part, id), label.map(|fact| fact.how));
        } else if let Port::Cavity(id, _) = port {
            let cavity = harness.cavity(part, id);
            let label = cavity.and_then(|cavity| cavity.label.as_ref());
            note(FactAt::CavityLabel(part, id), label.map(|fact| fact.how));
        }
    }
    if let Some((id, wire)) = at
        .wire
        .and_then(|(id, _)| Some((id, harness.wires.get(&id)?)))
    {
        for end in WireEnd::BOTH {
            note(FactAt::WireEnd(id, end), wire.end(end).map(|fact| fact.how));
        }
        note(FactAt::WireColour(id), wire.colour.map(|fact| fact.how));
    }
    found
}

/// The facts that a cell of a row tells: those of which another value may be said.
#[must_use]
pub fn facts_of(at: RowAt, column: Column) -> Vec<FactAt> {
    let label = at.terminal.and_then(|Terminal { part, port }| {
        if let Port::Pin(id) = port {
            Some(FactAt::PinLabel(part, id))
        } else if let Port::Cavity(id, _) = port {
            Some(FactAt::CavityLabel(part, id))
        } else {
            None
        }
    });
    let role = at.terminal.and_then(|Terminal { part, port }| {
        let Port::Pin(id) = port else { return None };
        Some(FactAt::PinRole(part, id))
    });
    let wire = at.wire.map(|(wire, _)| wire);
    let end =
        |turn: fn(WireEnd) -> WireEnd| at.wire.map(|(wire, end)| FactAt::WireEnd(wire, turn(end)));
    let facts = match column {
        Column::Pin => [label, role],
        Column::Unit => [end(|here| here), None],
        Column::Colour => [wire.map(FactAt::WireColour), None],
        Column::Area => [wire.map(FactAt::WireSize), None],
        Column::Metres => [wire.map(FactAt::WireLength), None],
        Column::GoesTo => [end(other), None],
        Column::Known
        | Column::Note
        | Column::Base
        | Column::Tracer
        | Column::Gauge
        | Column::Centimetres
        | Column::Millimetres
        | Column::FarPin
        | Column::LeftOut => [None, None],
    };
    facts.into_iter().flatten().collect()
}

/// Where a row's note stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoteAt {
    /// At the pin.
    Pin(PartId, PinId),
    /// At the wire.
    Wire(WireId),
}

/// Where the note of a row stands: at its pin where that has one, else at its wire.
pub(super) fn note_at(harness: &Harness, at: RowAt) -> Option<NoteAt> {
    let pin = at.terminal.and_then(|Terminal { part, port }| {
        let Port::Pin(id) = port else { return None };
        Some((part, harness.pin(part, id)?))
    });
    match (pin, at.wire) {
        (Some((part, pin)), None) => Some(NoteAt::Pin(part, pin.id)),
        (Some((part, pin)), Some(_)) if !pin.note.trim().is_empty() => {
            Some(NoteAt::Pin(part, pin.id))
        }
        (_, Some((wire, _))) => Some(NoteAt::Wire(wire)),
        (None, None) => None,
    }
}

fn note(harness: &Harness, at: RowAt) -> &str {
    let note = match note_at(harness, at) {
        Some(NoteAt::Pin(part, pin)) => harness.pin(part, pin).map(|pin| pin.note.as_str()),
        Some(NoteAt::Wire(wire)) => harness.wires.get(&wire).map(|wire| wire.note.as_str()),
        None => None,
    };
    note.unwrap_or_default()
}

/// A note as cells hold it: no blanks at its ends, lines ended in one way.
pub(super) fn lined(text: &str) -> String {
    text.replace("\r\n", "\n")
        .replace('\r', "\n")
        .trim()
        .to_owned()
}

/// The columns that the table writes, with their headings.
pub const WRITTEN: [(Column, &str); 8] = [
    (Column::Unit, to_say("Unit")),
    (Column::Pin, to_say("Pin")),
    (Column::Colour, to_say("Colour")),
    (Column::Area, to_say("Size, mm² or AWG")),
    (Column::Metres, to_say("Length, m")),
    (Column::GoesTo, to_say("Goes to")),
    (Column::Known, to_say("Known")),
    (Column::Note, to_say("Note")),
];

/// Rows as text that pastes back as the same rows: a heading, then a line each.
#[must_use]
pub fn write<'r>(rows: impl IntoIterator<Item = &'r Row>, separator: Separator) -> String {
    written(rows, separator, LineEnd::Feed)
}

/// Rows as a `.csv` file, which reads back as the same rows: a heading, then a line each, commas between the cells,
/// lines ended by return and feed, cells with commas, quotes or line ends in double quotes and quotes doubled.
///
/// A cell that a spreadsheet would compute, because it begins with `=`, `+`, `-` or `@`, has an apostrophe before
/// it; reading takes it off again.
///
/// # Source
/// RFC 4180, section 2; the byte order mark at the head, by which spreadsheets know UTF-8: common practice, no source.
#[must_use]
pub fn csv<'r>(rows: impl IntoIterator<Item = &'r Row>) -> String {
    format!(
        "\u{feff}{}",
        written(rows, Separator::Comma, LineEnd::ReturnFeed)
    )
}

fn written<'r>(
    rows: impl IntoIterator<Item = &'r Row>,
    separator: Separator,
    end: LineEnd,
) -> String {
    let mut records: Vec<Vec<String>> = Vec::new();
    records.push(
        WRITTEN
            .iter()
            .map(|(_, name)| said(name).to_owned())
            .collect(),
    );
    records.extend(rows.into_iter().map(cells_of));
    text_of(records.iter().map(Vec::as_slice), separator, end)
}

fn cells_of(row: &Row) -> Vec<String> {
    vec![
        row.unit.clone(),
        row.pin.clone(),
        row.colour.map(cells::write_colour).unwrap_or_default(),
        row.size.map(cells::write_size).unwrap_or_default(),
        row.length.map(cells::write_length).unwrap_or_default(),
        row.goes_to.clone(),
        row.how.map(cells::write_how).unwrap_or_default().to_owned(),
        row.note.clone(),
    ]
}

/// The order of names with numbers in them: 2 before 10, A2 before A10.
#[must_use]
pub fn natural(a: &str, b: &str) -> Ordering {
    let (mut a, mut b) = (a, b);
    loop {
        let (digits_a, digits_b) = (leading_digits(a), leading_digits(b));
        if !digits_a.is_empty() && !digits_b.is_empty() {
            let plain = |digits: &str| {
                let digits = digits.trim_start_matches('0').to_owned();
                (digits.len(), digits)
            };
            let order = plain(digits_a).cmp(&plain(digits_b));
            let order = order.then(digits_a.len().cmp(&digits_b.len()));
            if order != Ordering::Equal {
                return order;
            }
            a = a.get(digits_a.len()..).unwrap_or_default();
            b = b.get(digits_b.len()..).unwrap_or_default();
            continue;
        }
        let (mut letters_a, mut letters_b) = (a.chars(), b.chars());
        match (letters_a.next(), letters_b.next()) {
            (None, None) => return Ordering::Equal,
            (None, Some(_)) => return Ordering::Less,
            (Some(_), None) => return Ordering::Greater,
            (Some(one), Some(two)) if one == two => {}
            (Some(one), Some(two)) => {
                let order = one.to_lowercase().cmp(two.to_lowercase());
                return order.then(one.cmp(&two));
            }
        }
        a = letters_a.as_str();
        b = letters_b.as_str();
    }
}

fn leading_digits(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_ascii_digit());
    text.get(..end.unwrap_or(text.len())).unwrap_or_default()
}
