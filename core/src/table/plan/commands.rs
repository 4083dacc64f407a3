//! The one command that carries a plan out.

use super::{NewPin, NewPinKind, Plan, Spot, Step, Use};
use crate::edit::{Command, FactAt, FactValue, Noted};
use crate::model::{CavityId, PinId, Port, Side, Terminal, Wire};
use crate::provenance::Fact;

impl Plan {
    /// The command that carries the plan out as one step; `None` where nothing would change.
    ///
    /// `next_id`: the id that the harness gives out next, as the history has it.
    #[must_use]
    pub fn command(&self, next_id: u32) -> Option<Command> {
        if self.is_empty() {
            return None;
        }
        let mut all = Vec::new();
        // Pins come first: wires refer to them by the ids that they will have.
        for pin in self.pins.iter().filter(|pin| is_used(pin)) {
            let label = Some(Fact {
                value: pin.label.clone(),
                how: pin.how,
            });
            all.push(match pin.kind {
                NewPinKind::Pin => Command::AddPin {
                    unit: pin.part,
                    label,
                    role: None,
                },
                NewPinKind::Cavity => Command::AddCavity {
                    connector: pin.part,
                    label,
                },
            });
        }
        for (place, pin) in self.pins.iter().enumerate() {
            let terminal = self.terminal(Spot::New(place, Side::A), next_id);
            if let Some(Terminal {
                part,
                port: Port::Pin(id),
            }) = terminal
                && is_used(pin)
                && !pin.note.is_empty()
            {
                all.push(Command::SetNote {
                    of: Noted::Pin(part, id),
                    text: pin.note.clone(),
                });
            }
        }
        for wire in &self.wires {
            let how = wire.how;
            let end = |spot| {
                let value = self.terminal(spot, next_id)?;
                Some(Fact { value, how })
            };
            all.push(Command::AddWire(Wire {
                from: end(wire.from),
                to: wire.to.and_then(end),
                colour: wire.row.colour.map(|value| Fact { value, how }),
                size: wire.row.size.map(|value| Fact { value, how }),
                length: wire.row.length.map(|value| Fact { value, how }),
                note: wire.row.note.clone(),
            }));
        }
        for step in &self.steps {
            match step {
                Step::Do(command) => all.push(command.clone()),
                Step::End { wire, end, to, how } => {
                    let value = FactValue::Terminal(self.terminal(*to, next_id)?);
                    all.push(Command::SetFact {
                        at: FactAt::WireEnd(*wire, *end),
                        fact: Some(Fact { value, how: *how }),
                    });
                }
            }
        }
        Some(Command::Batch(all))
    }

    /// The terminal at a spot, once the new pins have their ids.
    fn terminal(&self, spot: Spot, next_id: u32) -> Option<Terminal> {
        match spot {
            Spot::There(terminal) => Some(terminal),
            Spot::New(place, side) => {
                let pin = self.pins.get(place)?;
                let before = self.pins.get(..place)?.iter().filter(|pin| is_used(pin));
                let id = next_id.saturating_add(u32::try_from(before.count()).ok()?);
                let port = match pin.kind {
                    NewPinKind::Pin => Port::Pin(PinId::from_number(id)),
                    NewPinKind::Cavity => Port::Cavity(CavityId::from_number(id), side),
                };
                Some(Terminal {
                    part: pin.part,
                    port,
                })
            }
        }
    }
}

fn is_used(pin: &NewPin) -> bool {
    pin.use_of == Use::Some
}
