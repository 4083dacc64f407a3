//! What one row changes at a wire or pin that is there already.

use super::{CellChange, Clash, Given, Spot, Step};
use crate::edit::{Command, FactAt, FactValue, Noted, allowed};
use crate::model::{Harness, Port, Quantity, WireEnd, WireId, WireSize};
use crate::provenance::{Fact, Provenance};
use crate::table::cells;
use crate::table::column::Column;
use crate::table::names::Names;
use crate::table::row::{NoteAt, Row, RowAt, known, note_at, other, row};
use crate::table::wrong::{RowError, Wrong};

/// The changes in the making.
pub(super) struct Changes<'h> {
    harness: &'h Harness,
    at: RowAt,
    now: Row,
    row: &'h Row,
    how: Provenance,
    /// Facts that the row says anew: their way of knowing is told with them.
    said: Vec<FactAt>,
    pub(super) cells: Vec<CellChange>,
    pub(super) steps: Vec<Step>,
    pub(super) errors: Vec<(Column, Wrong)>,
}

impl<'h> Changes<'h> {
    pub(super) fn new(
        harness: &'h Harness,
        names: &Names,
        given: Given,
        at: RowAt,
        row_said: &'h Row,
    ) -> Self {
        Self {
            harness,
            at,
            now: row(harness, names, at),
            row: row_said,
            how: row_said.how.unwrap_or(given.how),
            said: Vec::new(),
            cells: Vec::new(),
            steps: Vec::new(),
            errors: Vec::new(),
        }
    }

    fn wire(&self) -> Option<(WireId, WireEnd)> {
        self.at.wire
    }

    /// Says a fact of the wire or pin.
    fn say(&mut self, at: FactAt, value: FactValue, column: Column, cell: (String, String)) {
        let how = self.how;
        self.note_change(at, column, cell);
        let fact = Some(Fact { value, how });
        self.steps.push(Step::Do(Command::SetFact { at, fact }));
    }

    /// Notes a cell that changes, and whether it clashes with what is known.
    fn note_change(&mut self, at: FactAt, column: Column, (before, after): (String, String)) {
        let clash = match self.harness.fact(at).map(|fact| fact.how) {
            None | Some(Provenance::Assumed) => Clash::None,
            Some(held) if held == self.how => Clash::None,
            Some(held) if self.how > held => Clash::RowStands,
            Some(_) => Clash::MapStands,
        };
        self.said.push(at);
        self.cells.push(CellChange {
            column,
            before,
            after,
            clash,
        });
    }

    /// The number of a pin that had none.
    pub(super) fn label(&mut self, near: Spot, pin: &str) {
        let Spot::There(terminal) = near else { return };
        let part = terminal.part;
        let at = if let Port::Pin(id) = terminal.port {
            FactAt::PinLabel(part, id)
        } else if let Port::Cavity(id, _) = terminal.port {
            FactAt::CavityLabel(part, id)
        } else {
            return;
        };
        if self.harness.fact(at).is_some() || pin.starts_with('?') {
            return;
        }
        let value = FactValue::Label(pin.to_owned());
        self.say(
            at,
            value,
            Column::Pin,
            (self.now.pin.clone(), pin.to_owned()),
        );
    }

    /// The end at which the row stands.
    pub(super) fn near(&mut self, near: Spot, called: &str) {
        if let Some((id, end)) = self.wire() {
            self.end(id, end, near, Column::Pin, called);
        }
    }

    /// The other end.
    pub(super) fn far(&mut self, far: Spot, called: &str) {
        if let Some((id, end)) = self.wire() {
            self.end(id, other(end), far, Column::GoesTo, called);
        }
    }

    fn end(&mut self, wire: WireId, end: WireEnd, to: Spot, column: Column, called: &str) {
        let held = self.harness.wires.get(&wire).and_then(|w| w.end(end));
        if held.map(|fact| Spot::There(fact.value)) == Some(to) {
            return;
        }
        let before = if column == Column::GoesTo {
            self.now.goes_to.clone()
        } else {
            String::new()
        };
        let at = FactAt::WireEnd(wire, end);
        self.note_change(at, column, (before, called.to_owned()));
        let how = self.how;
        self.steps.push(Step::End { wire, end, to, how });
    }

    /// Everything but the ends.
    pub(super) fn rest(&mut self) {
        if let Some((id, _)) = self.wire() {
            self.look(id);
        }
        self.way_of_knowing();
        self.note();
    }

    fn look(&mut self, id: WireId) {
        let (now, row) = (self.now.clone(), self.row);
        if let Some(colour) = row.colour.filter(|colour| now.colour != Some(*colour)) {
            let before = now.colour.map(cells::write_colour).unwrap_or_default();
            let cell = (before, cells::write_colour(colour));
            self.say(
                FactAt::WireColour(id),
                FactValue::Colour(colour),
                Column::Colour,
                cell,
            );
        }
        if let Some(size) = row.size.filter(|size| now.size != Some(*size)) {
            self.errors.extend(size_out_of_range(size));
            let before = now.size.map(cells::write_size).unwrap_or_default();
            let cell = (before, cells::write_size(size));
            self.say(
                FactAt::WireSize(id),
                FactValue::Size(size),
                Column::Area,
                cell,
            );
        }
        if let Some(length) = row.length.filter(|length| now.length != Some(*length)) {
            self.errors
                .extend(out_of(Column::Metres, Quantity::WireLength, length.get()));
            let before = now.length.map(cells::write_length).unwrap_or_default();
            let cell = (before, cells::write_length(length));
            let value = FactValue::Number(length.get());
            self.say(FactAt::WireLength(id), value, Column::Metres, cell);
        }
    }

    /// How ends, colour and pin are known, where the row says otherwise.
    fn way_of_knowing(&mut self) {
        let Some(how) = self.row.how.filter(|how| self.now.how != Some(*how)) else {
            return;
        };
        let mut any = false;
        for (at, held) in known(self.harness, self.at) {
            if held != how && !self.said.contains(&at) {
                any = true;
                self.steps
                    .push(Step::Do(Command::SetProvenance { at, how }));
            }
        }
        if any {
            let before = self.now.how.map(cells::write_how).unwrap_or_default();
            self.cells.push(CellChange {
                column: Column::Known,
                before: before.to_owned(),
                after: cells::write_how(how).to_owned(),
                clash: Clash::None,
            });
        }
    }

    fn note(&mut self) {
        let text = self.row.note.clone();
        if text.is_empty() || text == self.now.note {
            return;
        }
        let of = match note_at(self.harness, self.at) {
            Some(NoteAt::Pin(part, pin)) => Noted::Pin(part, pin),
            Some(NoteAt::Wire(wire)) => Noted::Wire(wire),
            None => return,
        };
        self.cells.push(CellChange {
            column: Column::Note,
            before: self.now.note.clone(),
            after: text.clone(),
            clash: Clash::None,
        });
        self.steps.push(Step::Do(Command::SetNote { of, text }));
    }
}

/// A cell of a row that is new.
pub(super) fn new_cell(column: Column, after: &str) -> CellChange {
    CellChange {
        column,
        before: String::new(),
        after: after.to_owned(),
        clash: Clash::None,
    }
}

/// The cells of a new wire that say something.
pub(super) fn new_cells(row: &Row) -> Vec<CellChange> {
    let cells = [
        (Column::Colour, row.colour.map(cells::write_colour)),
        (Column::Area, row.size.map(cells::write_size)),
        (Column::Metres, row.length.map(cells::write_length)),
        (Column::GoesTo, Some(row.goes_to.clone())),
        (Column::Note, Some(row.note.clone())),
    ];
    let said = cells.into_iter().filter_map(|(column, cell)| {
        let cell = cell.filter(|cell| !cell.is_empty())?;
        Some(new_cell(column, &cell))
    });
    said.collect()
}

/// What of a new wire no wire has.
pub(super) fn out_of_range(row: &Row) -> Vec<(Column, Wrong)> {
    let size = row.size.and_then(size_out_of_range);
    let length = row
        .length
        .and_then(|length| out_of(Column::Metres, Quantity::WireLength, length.get()));
    size.into_iter().chain(length).collect()
}

fn size_out_of_range(size: WireSize) -> Option<(Column, Wrong)> {
    match size {
        WireSize::Area(area) => out_of(Column::Area, Quantity::WireArea, area.get()),
        // Gauges are held to their range where they are read.
        WireSize::Awg(_) => None,
    }
}

fn out_of(column: Column, quantity: Quantity, value: f64) -> Option<(Column, Wrong)> {
    let (low, high) = allowed(quantity);
    (!(low..=high).contains(&value)).then(|| (column, RowError::out_of_range(quantity)))
}
