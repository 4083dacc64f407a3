//! Where each pasted row stands, and which terminal it says the wire goes to.

use super::{Anchor, Matching, Wanted, terminal_of};
use crate::model::{Hold, PartId, Port, Side, Terminal};
use crate::table::column::Column;
use crate::table::names::{behind_side, key, with_side};
use crate::table::plan::{Entry, Fate, NewPin, NewPinKind, Spot, Use};
use crate::table::read::ReadRow;
use crate::table::row::{Row, other};
use crate::table::wrong::{RowError, Wrong};

impl Matching<'_> {
    /// The rows with their places; those whose place cannot be told become wrong.
    pub(super) fn places(&mut self, read: Vec<ReadRow>) -> Vec<Wanted> {
        let mut wanted = Vec::new();
        for (entry, ReadRow { line, row }) in read.into_iter().enumerate() {
            let fate = match row {
                Err(errors) => Fate::Wrong(errors),
                Ok(row) => match self.anchor(line, &row) {
                    Err(error) => Fate::Wrong(vec![error]),
                    Ok(at) => {
                        wanted.push(Wanted {
                            line,
                            entry,
                            row,
                            at,
                            far: None,
                            wire: None,
                        });
                        Fate::Same
                    }
                },
            };
            self.plan.entries.push(Entry { line, fate });
        }
        // Other ends may name pins that stand further down, so that they come last.
        let mut kept = Vec::new();
        for mut want in wanted {
            match self.far(&want) {
                Ok(far) => {
                    want.far = far;
                    kept.push(want);
                }
                Err(wrong) => self.refuse(want.entry, want.line, Some(Column::GoesTo), wrong),
            }
        }
        kept
    }

    pub(super) fn refuse(
        &mut self,
        entry: usize,
        line: usize,
        column: Option<Column>,
        wrong: Wrong,
    ) {
        let place = column.and_then(|column| self.pasted.place_like(column));
        let error = RowError {
            line,
            column: place.map(|place| place + 1),
            wrong,
        };
        if let Some(entry) = self.plan.entries.get_mut(entry) {
            if let Fate::Wrong(errors) = &mut entry.fate {
                errors.push(error);
            } else {
                entry.fate = Fate::Wrong(vec![error]);
            }
        }
    }

    fn error(&self, line: usize, column: Column, wrong: Wrong) -> RowError {
        let place = self.pasted.place_like(column);
        RowError {
            line,
            column: place.map(|place| place + 1),
            wrong,
        }
    }

    fn anchor(&mut self, line: usize, row: &Row) -> Result<Anchor, RowError> {
        if let Some(wire) = self.names.find_loose_wire(&row.unit, &row.pin) {
            return Ok(Anchor::Loose(wire));
        }
        let part = if row.unit.is_empty() {
            let given = self.given.unit;
            given.ok_or_else(|| self.error(line, Column::Pin, Wrong::NoUnit))?
        } else {
            self.names.find_part(&row.unit).ok_or_else(|| {
                let wrong = Wrong::NoSuchUnit {
                    found: row.unit.clone(),
                    close: self.names.close_part(&row.unit).map(str::to_owned),
                };
                self.error(line, Column::Unit, wrong)
            })?
        };
        if let Some(terminal) = self.port(part, &row.pin) {
            return match terminal.port.hold() {
                // A wrong map may have a wire there all the same.
                Hold::Push | Hold::Thread if !self.ends.contains_key(&terminal) => {
                    let found = self.names.terminal(terminal);
                    Err(self.error(line, Column::Pin, Wrong::HighVoltage { found }))
                }
                Hold::Push | Hold::Thread | Hold::Joint | Hold::Contact | Hold::Plain => {
                    Ok(Anchor::At(Spot::There(terminal)))
                }
            };
        }
        if let Some(pin) = self.unlabelled(part, row) {
            return Ok(Anchor::At(Spot::There(pin)));
        }
        self.new_pin(part, row).map(Anchor::At).ok_or_else(|| {
            let wrong = Wrong::NoSuchPin {
                unit: self.names.part(part).to_owned(),
                found: row.pin.clone(),
            };
            self.error(line, Column::Pin, wrong)
        })
    }

    /// The terminal called so; on a connector a number alone is on the side that was chosen.
    fn port(&self, part: PartId, pin: &str) -> Option<Terminal> {
        self.names
            .find_port(part, pin)
            .or_else(|| self.names.find_port(part, &with_side(pin, self.given.side)))
    }

    /// A pin of the unit that has no number yet, and from which a wire leads where the row says.
    fn unlabelled(&self, part: PartId, row: &Row) -> Option<Terminal> {
        let far = self.names.find_terminal(&row.goes_to)?;
        let mut found = self.ends.get(&far)?.iter().filter_map(|(id, end)| {
            let near = self.harness.wires.get(id)?.end(other(*end))?.value;
            let is_open = near.part == part && self.is_unlabelled(near);
            is_open.then_some(near)
        });
        let first = found.next()?;
        found.next().is_none().then_some(first)
    }

    fn is_unlabelled(&self, terminal: Terminal) -> bool {
        if let Port::Pin(id) = terminal.port {
            let pin = self.harness.pin(terminal.part, id);
            pin.is_some_and(|pin| pin.label.is_none())
        } else if let Port::Cavity(id, _) = terminal.port {
            let cavity = self.harness.cavity(terminal.part, id);
            cavity.is_some_and(|cavity| cavity.label.is_none())
        } else {
            false
        }
    }

    /// A pin to be added, where the part can have more.
    fn new_pin(&mut self, part: PartId, row: &Row) -> Option<Spot> {
        let kind = if self.harness.unit(part).is_some() {
            NewPinKind::Pin
        } else {
            self.harness.connector(part)?;
            NewPinKind::Cavity
        };
        if row.pin.starts_with('?') {
            return None;
        }
        let (label, side) = match kind {
            NewPinKind::Pin => (row.pin.clone(), Side::A),
            NewPinKind::Cavity => sided(&row.pin, self.given.side),
        };
        let mut known = self.plan.pins.iter();
        let place = known.position(|pin| pin.part == part && pin.label == label);
        let place = place.unwrap_or_else(|| {
            self.plan.pins.push(NewPin {
                part,
                label,
                how: row.how.unwrap_or(self.given.how),
                kind,
                note: String::new(),
                use_of: Use::None,
            });
            self.plan.pins.len() - 1
        });
        Some(Spot::New(place, side))
    }

    pub(super) fn far(&self, want: &Wanted) -> Result<Option<Spot>, Wrong> {
        let text = want.row.goes_to.as_str();
        if text.is_empty() {
            return Ok(None);
        }
        let spot = match self.names.find_terminal(text) {
            Some(terminal) => match terminal.port.hold() {
                Hold::Push | Hold::Thread if !self.are_joined(want.at, terminal) => {
                    let found = text.to_owned();
                    return Err(Wrong::HighVoltage { found });
                }
                Hold::Push | Hold::Thread | Hold::Joint | Hold::Contact | Hold::Plain => {
                    Spot::There(terminal)
                }
            },
            None => self.new_far(text).ok_or_else(|| Wrong::NoSuchTerminal {
                found: text.to_owned(),
                close: self.names.close_terminal(text).map(str::to_owned),
            })?,
        };
        let is_so = |terminal| self.are_joined(want.at, terminal);
        if want.at == Anchor::At(spot) && !terminal_of(want.at).is_some_and(is_so) {
            return Err(Wrong::ToItself);
        }
        Ok(Some(spot))
    }

    /// Whether the map has a wire between the two.
    pub(super) fn are_joined(&self, at: Anchor, far: Terminal) -> bool {
        let near = terminal_of(at);
        let ends = self.ends.get(&far).map_or(&[][..], Vec::as_slice);
        near.is_some() && ends.iter().any(|wire| self.far_of(*wire) == near)
    }

    /// One of the new pins, by its unit and label.
    fn new_far(&self, text: &str) -> Option<Spot> {
        let wanted = key(text);
        let mut pins = self.plan.pins.iter().enumerate();
        pins.find_map(|(place, pin)| {
            let unit = self.names.part(pin.part);
            let called = |label: &str| key(&format!("{unit} {label}")) == wanted;
            match pin.kind {
                NewPinKind::Pin => called(&pin.label).then_some(Spot::New(place, Side::A)),
                NewPinKind::Cavity => [Side::A, Side::B].into_iter().find_map(|side| {
                    let label = with_side(&pin.label, side);
                    called(&label).then_some(Spot::New(place, side))
                }),
            }
        })
    }
}

/// A cavity's label and the side that stands behind it, or else the one given.
fn sided(pin: &str, given: Side) -> (String, Side) {
    let found = behind_side(pin);
    found.map_or_else(
        || (pin.to_owned(), given),
        |(label, side)| (label.to_owned(), side),
    )
}
