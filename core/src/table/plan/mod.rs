//! What a pasted table would change in a harness, row by row, and the one command that does it.

mod changes;
mod commands;
mod matching;

use super::column::{Column, Pasted};
use super::names::Names;
use super::row::Row;
use super::wrong::{RowError, TextError};
use crate::edit::Command;
use crate::model::{Harness, PartId, Side, Terminal, WireEnd, WireId};
use crate::provenance::Provenance;

/// What holds for rows that do not tell it themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Given {
    /// The part that the pins are on.
    pub unit: Option<PartId>,
    /// The side of an in-line connector.
    pub side: Side,
    /// How the rows are known.
    pub how: Provenance,
}

impl Default for Given {
    fn default() -> Self {
        Self {
            unit: None,
            side: Side::A,
            how: Provenance::Diagram,
        }
    }
}

/// What becomes of one pasted row.
#[derive(Debug, Clone, PartialEq)]
pub enum Fate {
    /// The map says so already.
    Same,
    /// These cells change.
    Changed(Vec<CellChange>),
    /// It is new to the map: a pin, a wire, or both.
    New(Vec<CellChange>),
    /// It is left out: this is wrong with it.
    Wrong(Vec<RowError>),
}

/// A cell that changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CellChange {
    /// Which cell.
    pub column: Column,
    /// What the map says now; empty where it says nothing.
    pub before: String,
    /// What the row says.
    pub after: String,
    /// Whether the map goes by the row from now on.
    pub clash: Clash,
}

/// Whether a row speaks against something that is known from elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clash {
    /// It does not.
    None,
    /// It does, and is the stronger: the map goes by it and keeps the old value beside it.
    RowStands,
    /// It does, and is the weaker: the map keeps its value and notes the row's beside it.
    MapStands,
}

/// One pasted row with what becomes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its line, from 1.
    pub line: usize,
    /// What becomes of it.
    pub fate: Fate,
}

/// What a pasted table would change.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// The rows in their order.
    pub entries: Vec<Entry>,
    pins: Vec<NewPin>,
    wires: Vec<NewWire>,
    steps: Vec<Step>,
}

/// One change to what is there already.
#[derive(Debug, Clone, PartialEq)]
enum Step {
    /// One that needs no new pin.
    Do(Command),
    /// The end of a wire goes to a spot.
    End {
        wire: WireId,
        end: WireEnd,
        to: Spot,
        how: Provenance,
    },
}

/// A pin or cavity that the table has and the harness has not.
#[derive(Debug, Clone, PartialEq, Eq)]
struct NewPin {
    part: PartId,
    label: String,
    how: Provenance,
    kind: NewPinKind,
    note: String,
    /// Whether a row that is not left out needs it.
    use_of: Use,
}

/// Whether anything needs a new pin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Use {
    None,
    Some,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NewPinKind {
    Pin,
    Cavity,
}

/// A wire that the table has and the harness has not.
#[derive(Debug, Clone, PartialEq)]
struct NewWire {
    from: Spot,
    to: Option<Spot>,
    row: Row,
    how: Provenance,
}

/// A terminal, there already or one of the new pins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Spot {
    There(Terminal),
    /// Which of the new pins, and for a cavity on which side.
    New(usize, Side),
}

/// How many rows have which fate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Say what the map says.
    pub same: usize,
    /// Change something.
    pub changed: usize,
    /// Are new.
    pub new: usize,
    /// Are left out.
    pub wrong: usize,
}

impl Plan {
    /// What the pasted rows would change in `harness`, whose names are `names`.
    ///
    /// # Errors
    /// [`TextError`] where no rows can be read at all.
    pub fn of(
        harness: &Harness,
        names: &Names,
        pasted: &Pasted,
        given: Given,
    ) -> Result<Self, TextError> {
        let read = pasted.read()?;
        Ok(matching::Matching::new(harness, names, pasted, given).run(read))
    }

    /// Whether nothing would change.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.pins.iter().all(|pin| pin.use_of == Use::None)
            && self.wires.is_empty()
            && self.steps.is_empty()
    }

    /// How many rows have which fate.
    #[must_use]
    pub fn tally(&self) -> Tally {
        let mut tally = Tally::default();
        for entry in &self.entries {
            match entry.fate {
                Fate::Same => tally.same += 1,
                Fate::Changed(_) => tally.changed += 1,
                Fate::New(_) => tally.new += 1,
                Fate::Wrong(_) => tally.wrong += 1,
            }
        }
        tally
    }

    /// Everything that is wrong, in the order of the lines.
    pub fn errors(&self) -> impl Iterator<Item = &RowError> {
        self.entries.iter().flat_map(|entry| match &entry.fate {
            Fate::Wrong(errors) => errors.as_slice(),
            Fate::Same | Fate::Changed(_) | Fate::New(_) => &[],
        })
    }
}
