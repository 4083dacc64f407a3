//! One cell typed over where it stands: the command that follows.

use super::cells::{self, Bare, LengthUnit};
use super::column::Column;
use super::names::{Names, behind_side, squeezed};
use super::row::{NoteAt, RowAt, known, lined, note_at, other};
use super::wrong::{RowError, Wrong};
use crate::edit::{Command, FactAt, FactValue, Noted, allowed};
use crate::model::file::limits::{MOST_NAME, MOST_PROSE};
use crate::model::{
    Harness, Hold, PartKind, Port, Quantity, Terminal, Wire, WireEnd, WireId, WireSize,
};
use crate::provenance::{Fact, Provenance};

/// Whether a cell can be typed over in its row.
#[must_use]
pub fn can_retype(harness: &Harness, at: RowAt, column: Column) -> bool {
    match column {
        Column::Pin => label_at(at).is_some(),
        Column::Colour
        | Column::Base
        | Column::Tracer
        | Column::Area
        | Column::Gauge
        | Column::Metres
        | Column::Centimetres
        | Column::Millimetres
        | Column::GoesTo => at.wire.is_some() || at.terminal.is_some(),
        Column::Known => !known(harness, at).is_empty(),
        Column::Note => note_at(harness, at).is_some(),
        Column::Unit | Column::FarPin | Column::LeftOut => false,
    }
}

/// The command that makes a cell say `text`; `None` where it does already. An empty text takes away
/// what the cell said.
///
/// A value keeps the way in which the cell was known; one that was unknown is assumed from now on.
///
/// # Errors
/// [`Wrong`] where the cell cannot say so.
pub fn retype(
    harness: &Harness,
    names: &Names,
    at: RowAt,
    column: Column,
    text: &str,
) -> Result<Option<Command>, Wrong> {
    let cell = Cell {
        harness,
        names,
        at,
        text,
    };
    match column {
        Column::Pin => cell.label(),
        Column::Colour | Column::Base | Column::Tracer => {
            let colour = cells::colour(text)?;
            cell.look(FactAt::WireColour, colour.map(FactValue::Colour), |wire| {
                wire.colour = colour.map(Fact::assumed);
            })
        }
        Column::Area => cell.size(Bare::Area),
        Column::Gauge => cell.size(Bare::Gauge),
        Column::Metres => cell.length(LengthUnit::Metre),
        Column::Centimetres => cell.length(LengthUnit::Centimetre),
        Column::Millimetres => cell.length(LengthUnit::Millimetre),
        Column::GoesTo => cell.goes_to(),
        Column::Known => cell.known(),
        Column::Note => cell.note(),
        Column::Unit | Column::FarPin | Column::LeftOut => Ok(None),
    }
}

/// The fact that is the number of a row's pin.
fn label_at(at: RowAt) -> Option<FactAt> {
    let Terminal { part, port } = at.terminal?;
    if let Port::Pin(id) = port {
        Some(FactAt::PinLabel(part, id))
    } else if let Port::Cavity(id, _) = port {
        Some(FactAt::CavityLabel(part, id))
    } else {
        None
    }
}

struct Cell<'c> {
    harness: &'c Harness,
    names: &'c Names,
    at: RowAt,
    text: &'c str,
}

impl Cell<'_> {
    fn wire(&self) -> Option<(WireId, WireEnd)> {
        self.at.wire
    }

    /// Says a fact, as it was known before.
    fn say(&self, at: FactAt, value: Option<FactValue>) -> Option<Command> {
        let held = self.harness.fact(at);
        if held.as_ref().map(|fact| &fact.value) == value.as_ref() {
            return None;
        }
        let how = held.map_or(Provenance::Assumed, |fact| fact.how);
        let fact = value.map(|value| Fact { value, how });
        Some(Command::SetFact { at, fact })
    }

    /// Says a fact of the row's wire; where the pin has none, one is added.
    fn look(
        &self,
        fact: impl FnOnce(WireId) -> FactAt,
        value: Option<FactValue>,
        set: impl FnOnce(&mut Wire),
    ) -> Result<Option<Command>, Wrong> {
        if let Some((id, _)) = self.wire() {
            return Ok(self.say(fact(id), value));
        }
        let (Some(terminal), Some(_)) = (self.at.terminal, value) else {
            return Ok(None);
        };
        let mut wire = Wire {
            from: Some(Fact::assumed(terminal)),
            ..Wire::default()
        };
        set(&mut wire);
        Ok(Some(Command::AddWire(wire)))
    }

    fn label(&self) -> Result<Option<Command>, Wrong> {
        let Some(at) = label_at(self.at) else {
            return Ok(None);
        };
        let mut label = squeezed(self.text);
        if let Some(Terminal {
            part,
            port: Port::Cavity(id, _),
        }) = self.at.terminal
        {
            // The cell shows the side too; it is no part of the label.
            if let Some((plain, _)) = behind_side(&label) {
                label = plain.to_owned();
            }
            let kind = self.harness.parts.get(&part).map(|part| &part.kind);
            let cavities = if let Some(PartKind::Connector(connector)) = kind {
                connector.cavities.as_slice()
            } else {
                &[]
            };
            let others = cavities.iter().filter(|cavity| cavity.id != id);
            let taken = others.filter_map(|cavity| Some(cavity.label.as_ref()?.value.clone()));
            self.refuse_taken(&label, taken)?;
        } else if let Some(Terminal {
            part,
            port: Port::Pin(id),
        }) = self.at.terminal
        {
            let pins = self.harness.unit(part).map_or(&[][..], |unit| &unit.pins);
            let others = pins.iter().filter(|pin| pin.id != id);
            let taken = others.filter_map(|pin| Some(pin.label.as_ref()?.value.clone()));
            self.refuse_taken(&label, taken)?;
        }
        let characters = label.chars().count();
        if characters > MOST_NAME {
            let most = MOST_NAME;
            return Err(Wrong::TooLong { characters, most });
        }
        let value = (!cells::says_nothing(&label)).then_some(FactValue::Label(label));
        Ok(self.say(at, value))
    }

    fn refuse_taken(
        &self,
        label: &str,
        mut taken: impl Iterator<Item = String>,
    ) -> Result<(), Wrong> {
        if !cells::says_nothing(label) && taken.any(|other| other.trim() == label) {
            return Err(Wrong::TakenPin {
                pin: label.to_owned(),
            });
        }
        Ok(())
    }

    fn size(&self, bare: Bare) -> Result<Option<Command>, Wrong> {
        let size = cells::size(self.text, bare)?;
        if let Some(WireSize::Area(area)) = size {
            in_range(Quantity::WireArea, area.get())?;
        }
        self.look(FactAt::WireSize, size.map(FactValue::Size), |wire| {
            wire.size = size.map(Fact::assumed);
        })
    }

    fn length(&self, bare: LengthUnit) -> Result<Option<Command>, Wrong> {
        let length = cells::length(self.text, bare)?;
        if let Some(length) = length {
            in_range(Quantity::WireLength, length.get())?;
        }
        let value = length.map(|length| FactValue::Number(length.get()));
        self.look(FactAt::WireLength, value, |wire| {
            wire.length = length.map(Fact::assumed);
        })
    }

    fn goes_to(&self) -> Result<Option<Command>, Wrong> {
        let text = squeezed(self.text);
        let far = if cells::says_nothing(&text) {
            None
        } else {
            let found = self.names.find_terminal(&text);
            Some(found.ok_or_else(|| Wrong::NoSuchTerminal {
                found: text.clone(),
                close: self.names.close_terminal(&text).map(str::to_owned),
            })?)
        };
        if let Some(far) = far {
            if let Hold::Push | Hold::Thread = far.port.hold() {
                return Err(Wrong::HighVoltage { found: text });
            }
            if Some(far) == self.at.terminal {
                return Err(Wrong::ToItself);
            }
        }
        if let Some((id, end)) = self.wire() {
            let at = FactAt::WireEnd(id, other(end));
            return Ok(self.say(at, far.map(FactValue::Terminal)));
        }
        self.look(FactAt::WireColour, far.map(FactValue::Terminal), |wire| {
            wire.to = far.map(Fact::assumed);
        })
    }

    fn known(&self) -> Result<Option<Command>, Wrong> {
        let Some(how) = cells::how(self.text)? else {
            return Ok(None);
        };
        let known = known(self.harness, self.at).into_iter();
        let changed = known.filter(|(_, held)| *held != how);
        let commands: Vec<Command> = changed
            .map(|(at, _)| Command::SetProvenance { at, how })
            .collect();
        Ok((!commands.is_empty()).then_some(Command::Batch(commands)))
    }

    fn note(&self) -> Result<Option<Command>, Wrong> {
        let text = lined(self.text);
        let characters = text.chars().count();
        if characters > MOST_PROSE {
            let most = MOST_PROSE;
            return Err(Wrong::TooLong { characters, most });
        }
        let (of, held) = match note_at(self.harness, self.at) {
            Some(NoteAt::Pin(part, pin)) => {
                let held = self.harness.pin(part, pin).map(|pin| pin.note.as_str());
                (Noted::Pin(part, pin), held)
            }
            Some(NoteAt::Wire(wire)) => {
                let held = self.harness.wires.get(&wire).map(|wire| wire.note.as_str());
                (Noted::Wire(wire), held)
            }
            None => return Ok(None),
        };
        if held.map(lined).as_deref() == Some(text.as_str()) {
            return Ok(None);
        }
        Ok(Some(Command::SetNote { of, text }))
    }
}

fn in_range(quantity: Quantity, value: f64) -> Result<(), Wrong> {
    let (low, high) = allowed(quantity);
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(RowError::out_of_range(quantity))
    }
}
