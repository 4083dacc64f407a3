//! Records into rows, cell by cell; what cannot be read is told with its place.

use super::cells::{self, Bare, LengthUnit};
use super::column::{Column, Pasted};
use super::names::squeezed;
use super::row::{Row, lined};
use super::text::Record;
use super::wrong::{RowError, TextError, Wrong};
use crate::model::WireColour;
use crate::model::file::limits::{MOST_NAME, MOST_PROSE};

/// A row as read, with the line on which it stands, or what is wrong with it.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadRow {
    /// Its line, from 1.
    pub line: usize,
    /// What it says.
    pub row: Result<Row, Vec<RowError>>,
}

impl Pasted {
    /// The rows as their columns say.
    ///
    /// # Errors
    /// [`TextError::NoPinColumn`]; [`TextError::Empty`] where there is nothing but the heading.
    pub fn read(&self) -> Result<Vec<ReadRow>, TextError> {
        if self.rows().is_empty() {
            return Err(TextError::Empty);
        }
        if self.places_of(Column::Pin).next().is_none() {
            return Err(TextError::NoPinColumn);
        }
        let read = |record: &Record| ReadRow {
            line: record.line,
            row: self.read_row(record),
        };
        Ok(self.rows().iter().map(read).collect())
    }

    fn read_row(&self, record: &Record) -> Result<Row, Vec<RowError>> {
        let mut reader = Reader {
            line: record.line,
            row: Row::default(),
            tracer: None,
            far_pin: String::new(),
            errors: Vec::new(),
        };
        let beyond = record.cells.get(self.columns.len()..).unwrap_or_default();
        if beyond.iter().any(|cell| !cell.is_empty()) {
            reader.wrong(
                None,
                Wrong::TooManyCells {
                    cells: record.cells.len(),
                    columns: self.columns.len(),
                },
            );
        }
        for (place, column) in self.columns.iter().enumerate() {
            if let Some(cell) = record.cells.get(place) {
                reader.cell(place, *column, cell);
            }
        }
        reader.end()
    }
}

/// A row in the making.
struct Reader {
    line: usize,
    row: Row,
    tracer: Option<(usize, crate::model::Colour)>,
    far_pin: String,
    errors: Vec<RowError>,
}

impl Reader {
    fn wrong(&mut self, place: Option<usize>, wrong: Wrong) {
        self.errors.push(RowError {
            line: self.line,
            column: place.map(|place| place + 1),
            wrong,
        });
    }

    /// The value, if there is one and nothing is wrong with it.
    fn or_wrong<T>(&mut self, place: usize, value: Result<Option<T>, Wrong>) -> Option<T> {
        match value {
            Ok(value) => value,
            Err(wrong) => {
                self.wrong(Some(place), wrong);
                None
            }
        }
    }

    fn name(&mut self, place: usize, cell: &str) -> String {
        let name = squeezed(cell);
        let characters = name.chars().count();
        if characters > MOST_NAME {
            let most = MOST_NAME;
            self.wrong(Some(place), Wrong::TooLong { characters, most });
        }
        name
    }

    fn cell(&mut self, place: usize, column: Column, cell: &str) {
        match column {
            Column::Unit => self.row.unit = self.name(place, cell),
            Column::Pin => self.row.pin = self.name(place, cell),
            Column::Colour => {
                self.row.colour = self.or_wrong(place, cells::colour(cell));
            }
            Column::Base => {
                let base = self.or_wrong(place, cells::single_colour(cell));
                self.row.colour = base.map(|base| WireColour { base, tracer: None });
            }
            Column::Tracer => {
                let tracer = self.or_wrong(place, cells::single_colour(cell));
                self.tracer = tracer.map(|tracer| (place, tracer));
            }
            Column::Area => self.row.size = self.or_wrong(place, cells::size(cell, Bare::Area)),
            Column::Gauge => self.row.size = self.or_wrong(place, cells::size(cell, Bare::Gauge)),
            Column::Metres => self.length(place, cell, LengthUnit::Metre),
            Column::Centimetres => self.length(place, cell, LengthUnit::Centimetre),
            Column::Millimetres => self.length(place, cell, LengthUnit::Millimetre),
            Column::GoesTo => self.row.goes_to = self.name(place, cell),
            Column::FarPin => self.far_pin = self.name(place, cell),
            Column::Known => self.row.how = self.or_wrong(place, cells::how(cell)),
            Column::Note => self.note(place, cell),
            Column::LeftOut => {}
        }
    }

    fn length(&mut self, place: usize, cell: &str, bare: LengthUnit) {
        self.row.length = self.or_wrong(place, cells::length(cell, bare));
    }

    /// Several columns may hold notes.
    fn note(&mut self, place: usize, cell: &str) {
        let cell = lined(cell);
        if cell.is_empty() {
            return;
        }
        if !self.row.note.is_empty() {
            self.row.note.push_str("; ");
        }
        self.row.note.push_str(&cell);
        let characters = self.row.note.chars().count();
        if characters > MOST_PROSE {
            let most = MOST_PROSE;
            self.wrong(Some(place), Wrong::TooLong { characters, most });
        }
    }

    fn end(mut self) -> Result<Row, Vec<RowError>> {
        if self.row.pin.is_empty() {
            self.wrong(None, Wrong::NoPin);
        }
        if let Some((place, tracer)) = self.tracer {
            match &mut self.row.colour {
                Some(colour) => colour.tracer = Some(tracer),
                None => self.wrong(Some(place), Wrong::TracerAlone),
            }
        }
        if cells::says_nothing(&self.row.goes_to) {
            self.row.goes_to.clear();
        }
        if !self.far_pin.is_empty() && !self.row.goes_to.is_empty() {
            self.row.goes_to = format!("{} · {}", self.row.goes_to, self.far_pin);
        }
        if self.errors.is_empty() {
            Ok(self.row)
        } else {
            Err(self.errors)
        }
    }
}
