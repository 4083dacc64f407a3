//! What a column of a table holds, told by its heading or by what stands in it.

use super::cells::{self, Bare, LengthUnit, says_nothing};
use super::names::{Names, key};
use super::text::{Record, Separator, records};
use super::wrong::TextError;
use crate::gather::Gather;
use crate::said::said;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Column {
    /// The part that the pin is on.
    Unit,
    /// The pin, cavity or terminal.
    Pin,
    /// Base and tracer in one cell.
    Colour,
    /// The base colour alone.
    Base,
    /// The tracer alone.
    Tracer,
    /// Area or gauge; a bare number is square millimetres.
    Area,
    /// Area or gauge; a bare number is a gauge.
    Gauge,
    /// Length; a bare number is metres.
    Metres,
    /// Length; a bare number is centimetres.
    Centimetres,
    /// Length; a bare number is millimetres.
    Millimetres,
    /// The other end: part and terminal, or the part alone where another column has the terminal.
    GoesTo,
    /// The terminal at the other end.
    FarPin,
    /// How the row is known.
    Known,
    /// Anything else.
    Note,
    /// Nothing that the table takes.
    LeftOut,
}

impl Column {
    /// All of them, in the order in which the table writes those that it writes.
    pub const ALL: [Self; 15] = [
        Self::Unit,
        Self::Pin,
        Self::Colour,
        Self::Base,
        Self::Tracer,
        Self::Area,
        Self::Gauge,
        Self::Metres,
        Self::Centimetres,
        Self::Millimetres,
        Self::GoesTo,
        Self::FarPin,
        Self::Known,
        Self::Note,
        Self::LeftOut,
    ];

    /// What two columns of one table cannot both hold is of one theme.
    const fn theme(self) -> u8 {
        match self {
            Self::Unit => 0,
            Self::Pin => 1,
            Self::Colour | Self::Base => 2,
            Self::Tracer => 3,
            Self::Area | Self::Gauge => 4,
            Self::Metres | Self::Centimetres | Self::Millimetres => 5,
            Self::GoesTo => 6,
            Self::FarPin => 7,
            Self::Known => 8,
            Self::Note => 9,
            Self::LeftOut => 10,
        }
    }

    /// Whether a table may have both.
    #[must_use]
    pub const fn goes_with(self, other: Self) -> bool {
        let both_colours = matches!(
            (self, other),
            (Self::Colour, Self::Tracer) | (Self::Tracer, Self::Colour)
        );
        let any = matches!(self, Self::LeftOut | Self::Note);
        !both_colours && (any || self.theme() != other.theme())
    }

    /// What a heading says that its column holds.
    fn named(heading: &str) -> Option<Self> {
        const WORDS: [(Column, &[&str]); 11] = [
            (
                Column::FarPin,
                &[
                    "to pin",
                    "far pin",
                    "to terminal",
                    "to cavity",
                    "other pin",
                    "destination pin",
                ],
            ),
            (
                Column::GoesTo,
                &[
                    "goes to",
                    "to",
                    "destination",
                    "connects to",
                    "connected to",
                    "target",
                    "other end",
                    "far end",
                    "leads to",
                    "to unit",
                    "to part",
                ],
            ),
            (
                Column::Tracer,
                &[
                    "tracer",
                    "stripe",
                    "trace",
                    "second colour",
                    "tracer colour",
                    "stripe colour",
                    "colour 2",
                ],
            ),
            (
                Column::Base,
                &[
                    "base",
                    "base colour",
                    "main colour",
                    "primary colour",
                    "colour 1",
                ],
            ),
            (
                Column::Colour,
                &[
                    "colour",
                    "wire colour",
                    "wire",
                    "wire color code",
                    "colour code",
                    "cable colour",
                ],
            ),
            (
                Column::Pin,
                &[
                    "pin",
                    "pin no",
                    "pin number",
                    "pin nr",
                    "cavity",
                    "terminal",
                    "cav",
                    "position",
                    "contact",
                    "#",
                    "no",
                    "number",
                    "pin id",
                    "from pin",
                ],
            ),
            (
                Column::Unit,
                &[
                    "unit",
                    "part",
                    "module",
                    "component",
                    "device",
                    "connector",
                    "plug",
                    "box",
                    "control unit",
                    "from",
                    "connector name",
                    "part name",
                ],
            ),
            (
                Column::Area,
                &[
                    "size",
                    "area",
                    "mm²",
                    "mm2",
                    "section",
                    "cross section",
                    "wire size",
                    "size mm²",
                    "area mm²",
                    "size mm2",
                    "area mm2",
                    "csa",
                    "size mm² or awg",
                ],
            ),
            (
                Column::Gauge,
                &["awg", "gauge", "ga", "wire gauge", "size awg", "gauge awg"],
            ),
            (
                Column::Known,
                &[
                    "known",
                    "how known",
                    "how",
                    "source",
                    "status",
                    "known how",
                    "provenance",
                ],
            ),
            (
                Column::Note,
                &[
                    "note",
                    "notes",
                    "remark",
                    "remarks",
                    "comment",
                    "comments",
                    "function",
                    "description",
                    "signal",
                    "use",
                    "used for",
                    "circuit",
                ],
            ),
        ];
        let here = super::row::WRITTEN.iter();
        let mut here = here.filter(|(_, name)| key(said(name)) == key(heading));
        if let Some((column, _)) = here.next() {
            return Some(*column);
        }
        let wanted = key(heading).replace("color", "colour");
        if let Some(length) = length_heading(&wanted) {
            return Some(length);
        }
        let mut words = WORDS.iter();
        let found = words.find(|(_, names)| names.contains(&wanted.as_str()));
        found.map(|(column, _)| *column)
    }
}

fn length_heading(heading: &str) -> Option<Column> {
    let mut words = heading.split(' ');
    if !matches!(words.next(), Some("length" | "len")) {
        return None;
    }
    match words.next() {
        None | Some("m" | "metres" | "meters") => Some(Column::Metres),
        Some("cm") => Some(Column::Centimetres),
        Some("mm") => Some(Column::Millimetres),
        Some(_) => None,
    }
}

/// Whether the first row names the columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heading {
    /// It does.
    FirstRow,
    /// It is a row like the others.
    None,
}

/// A text taken as a table, with what its columns are guessed to hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Pasted {
    /// What stands between the cells.
    pub separator: Separator,
    /// Whether the first row names the columns.
    pub heading: Heading,
    /// What each column holds.
    pub columns: Vec<Column>,
    /// All rows, the heading too.
    pub records: Vec<Record>,
    text: String,
}

impl Pasted {
    /// Takes a text as a table and guesses.
    ///
    /// # Errors
    /// [`TextError`] where there is no table in it.
    pub fn guessed(text: &str, names: &Names) -> Result<Self, TextError> {
        Self::separated(text, Separator::of(text), names)
    }

    /// The same with the separator given.
    ///
    /// # Errors
    /// [`TextError`] where there is no table in it.
    pub fn separated(text: &str, separator: Separator, names: &Names) -> Result<Self, TextError> {
        let records = records(text, separator)?;
        let heading = records.first().map_or(Heading::None, heading);
        let text = text.to_owned();
        Ok(Self::headed((text, records), separator, heading, names))
    }

    /// The same text with another separator; guesses again.
    ///
    /// # Errors
    /// [`TextError`] where there is no table in it then.
    pub fn with_separator(self, separator: Separator, names: &Names) -> Result<Self, TextError> {
        Self::separated(&self.text, separator, names)
    }

    /// The same rows with another say on whether the first names the columns; guesses again.
    #[must_use]
    pub fn with_heading(self, heading: Heading, names: &Names) -> Self {
        Self::headed((self.text, self.records), self.separator, heading, names)
    }

    fn headed(
        (text, records): (String, Vec<Record>),
        separator: Separator,
        heading: Heading,
        names: &Names,
    ) -> Self {
        let width = records.iter().map(|record| record.cells.len()).max();
        let mut columns = vec![None; width.unwrap_or(0).min(MOST_COLUMNS)];
        if heading == Heading::FirstRow
            && let Some(first) = records.first()
        {
            by_heading(&mut columns, first);
        }
        let rows = match heading {
            Heading::FirstRow => records.get(1..).unwrap_or_default(),
            Heading::None => records.as_slice(),
        };
        by_contents(&mut columns, rows, names);
        let columns = columns
            .into_iter()
            .map(|column| column.unwrap_or(Column::LeftOut))
            .collect();
        Self {
            separator,
            heading,
            columns,
            records,
            text,
        }
    }

    /// The rows below the heading.
    #[must_use]
    pub fn rows(&self) -> &[Record] {
        match self.heading {
            Heading::FirstRow => self.records.get(1..).unwrap_or_default(),
            Heading::None => &self.records,
        }
    }

    /// Says what a column holds; another that held the same is left out from now on.
    pub fn choose(&mut self, place: usize, column: Column) {
        for (other, held) in self.columns.iter_mut().enumerate() {
            if other == place {
                *held = column;
            } else if !column.goes_with(*held) {
                *held = Column::LeftOut;
            }
        }
    }

    /// The first column that tells of the same thing as `column`, from 0.
    #[must_use]
    pub fn place_like(&self, column: Column) -> Option<usize> {
        let mut columns = self.columns.iter();
        columns.position(|held| held.theme() == column.theme())
    }

    /// The columns that hold `column`, from 0.
    pub fn places_of(&self, column: Column) -> impl Iterator<Item = usize> {
        let columns = self.columns.iter().enumerate();
        columns.filter_map(move |(place, held)| (*held == column).then_some(place))
    }
}

/// Columns beyond this are not looked at.
const MOST_COLUMNS: usize = 40;
/// Rows that the guess looks at.
const LOOKED_AT: usize = 60;

/// Whether a first row names columns: two of its cells do, or the only one filled does.
fn heading(first: &Record) -> Heading {
    let filled = first.cells.iter().filter(|cell| !cell.is_empty());
    let named = filled.clone().filter(|cell| Column::named(cell).is_some());
    let (filled, named) = (filled.count(), named.count());
    if named >= 2 || (named == 1 && filled == 1) {
        Heading::FirstRow
    } else {
        Heading::None
    }
}

fn by_heading(columns: &mut [Option<Column>], first: &Record) {
    for place in 0..columns.len() {
        let named = first.cells.get(place).and_then(|cell| Column::named(cell));
        if let Some(column) = named
            && is_free(columns, column)
        {
            set(columns, place, column);
        }
    }
}

fn is_free(columns: &[Option<Column>], column: Column) -> bool {
    let mut held = columns.iter().flatten();
    held.all(|held| column.goes_with(*held))
}

fn set(columns: &mut [Option<Column>], place: usize, column: Column) {
    if let Some(held) = columns.get_mut(place) {
        *held = Some(column);
    }
}

/// Fills in what headings left open, the surest kinds first.
fn by_contents(columns: &mut [Option<Column>], rows: &[Record], names: &Names) {
    let rows = rows.get(..rows.len().min(LOOKED_AT)).unwrap_or(rows);
    type Test<'t> = &'t dyn Fn(&str) -> bool;
    let is_colour: Test<'_> = &|cell| {
        matches!(
            cells::colour(cell),
            Ok(Some(_)) | Err(super::Wrong::JoinedColour { .. })
        )
    };
    let is_base: Test<'_> = &|cell| matches!(cells::single_colour(cell), Ok(Some(_)));
    let is_how: Test<'_> = &|cell| matches!(cells::how(cell), Ok(Some(_)));
    let is_terminal: Test<'_> = &|cell| names.find_terminal(cell).is_some();
    let is_part: Test<'_> = &|cell| names.find_part(cell).is_some();
    let has_unit: Test<'_> =
        &|cell| !is_bare_number(cell) && matches!(cells::size(cell, Bare::Area), Ok(Some(_)));
    let is_long: Test<'_> = &|cell| {
        !is_bare_number(cell) && matches!(cells::length(cell, LengthUnit::Metre), Ok(Some(_)))
    };
    let is_area: Test<'_> =
        &|cell| is_bare_number(cell) && COMMON_AREAS.contains(&plain(cell).as_str());
    let is_gauge: Test<'_> =
        &|cell| matches!(plain(cell).parse(), Ok(8_u8..=24)) && is_bare_number(cell);
    let is_pin: Test<'_> = &|cell| {
        cell.chars().count() <= 5 && cell.chars().any(char::is_alphanumeric) && !cell.contains(' ')
    };
    let is_metres: Test<'_> = &|cell| {
        is_bare_number(cell)
            && plain(cell)
                .parse::<f64>()
                .is_ok_and(|n| n > 0.0 && n < 20.0)
    };
    let is_text: Test<'_> = &|cell| cell.chars().any(char::is_alphabetic);

    // A second column of colours is the tracer.
    let tests: [(Column, Test<'_>); 13] = [
        (Column::Known, is_how),
        (Column::Colour, is_colour),
        (Column::Tracer, is_base),
        (Column::Unit, is_part),
        (Column::GoesTo, is_terminal),
        (Column::Area, has_unit),
        (Column::Area, is_area),
        (Column::Metres, is_long),
        (Column::Pin, is_pin),
        (Column::Gauge, is_gauge),
        (Column::Metres, is_metres),
        (Column::GoesTo, is_part),
        (Column::Note, is_text),
    ];
    for (column, test) in tests {
        if column == Column::Tracer {
            tracer(columns, rows, test);
            continue;
        }
        if !is_free(columns, column) {
            continue;
        }
        let mut open = (0..columns.len()).filter(|place| columns.get(*place) == Some(&None));
        let found = if column == Column::Pin {
            // Of several columns of short words the pins are those that differ from row to row.
            let fits = open.filter(|place| is_mostly(rows, *place, test));
            let fits: Vec<usize> = fits.collect();
            let least = fits.iter().map(|place| repeats(rows, *place)).min();
            fits.into_iter()
                .find(|place| Some(repeats(rows, *place)) == least)
        } else {
            open.find(|place| is_mostly(rows, *place, test))
        };
        if let Some(place) = found {
            set(columns, place, column);
        }
    }
}

/// Where a column of single colours stands open behind one taken as the colour, they are tracer and base.
fn tracer(columns: &mut [Option<Column>], rows: &[Record], is_single: &dyn Fn(&str) -> bool) {
    let mut places = 0..columns.len();
    let held = |place: &usize, wanted| columns.get(*place).copied().flatten() == Some(wanted);
    let Some(first) = places.find(|place| held(place, Column::Colour) || held(place, Column::Base))
    else {
        return;
    };
    let mut open = (0..columns.len()).filter(|place| columns.get(*place) == Some(&None));
    let second = open.find(|place| is_mostly(rows, *place, is_single));
    let is_taken = columns.contains(&Some(Column::Tracer));
    if is_taken {
        if held(&first, Column::Colour) {
            set(columns, first, Column::Base);
        }
    } else if let Some(second) = second
        && is_mostly(rows, first, is_single)
    {
        set(columns, first, Column::Base);
        set(columns, second, Column::Tracer);
    }
}

/// Areas of wire as they are sold, in mm².
/// Common practice, no source.
const COMMON_AREAS: [&str; 13] = [
    "0.22", "0.35", "0.5", "0.6", "0.75", "0.8", "0.85", "1.25", "1.5", "2.5", "1.0", "0.50", "2.0",
];

fn plain(cell: &str) -> String {
    cell.trim().replace(',', ".")
}

fn is_bare_number(cell: &str) -> bool {
    plain(cell).bytes().all(|b| b.is_ascii_digit() || b == b'.')
}

/// Whether at least two thirds of the filled cells, and one at least, pass.
fn is_mostly(rows: &[Record], place: usize, test: &dyn Fn(&str) -> bool) -> bool {
    let cells = rows.iter().filter_map(|row| row.cells.get(place));
    let filled = cells.filter(|cell| !says_nothing(cell));
    let passed = filled.clone().filter(|cell| test(cell)).count();
    passed > 0 && passed * 3 >= filled.count() * 2
}

/// How many cells of a column stood there before.
fn repeats(rows: &[Record], place: usize) -> usize {
    let cells = rows.iter().filter_map(|row| row.cells.get(place));
    let filled: Vec<&String> = cells.filter(|cell| !says_nothing(cell)).collect();
    let distinct: std::collections::BTreeSet<&&String> = filled.iter().gather();
    filled.len() - distinct.len()
}
