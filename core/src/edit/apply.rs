//! What each command does to a harness.

use super::facts::visit;
use super::rivals::{settle, state};
use super::{
    Command, EditError, FactAt, FactValue, Named, Noted, Plenty, parts, pins, splice, wiring,
};
use crate::engine::CylinderId;
use crate::model::file::limits::{MOST_ITEMS, MOST_NAME, MOST_PROSE};
use crate::model::{
    Face, FaultThen, Finding, FindingId, Harness, Part, PartId, PartKind, Seen, Standing,
    Timestamp, WireSize, WorkEntry, Works,
};
use crate::provenance::Fact;
use crate::units::SquareMillimetres;

/// The harness that results from `command`; the one given stays as it is.
///
/// # Errors
/// [`EditError`] names what is not there, or what is too much for a map.
pub fn apply(harness: &Harness, command: &Command) -> Result<Harness, EditError> {
    let mut next = harness.clone();
    carry_out(&mut next, command)?;
    // The very last number stays unused, so that it can say that there are no more.
    if next.next_id == u32::MAX && harness.next_id < u32::MAX {
        return Err(EditError::NoIdsLeft);
    }
    Ok(next)
}

fn carry_out(next: &mut Harness, command: &Command) -> Result<(), EditError> {
    match command {
        Command::Rename(title) => {
            short(Noted::Map, title)?;
            next.title.clone_from(title);
        }
        Command::SetAbout(about) => set_note(next, Noted::Map, about)?,
        Command::RenamePart { part, name } => {
            short(Noted::Part(*part), name)?;
            part_mut(next, *part)?.name.clone_from(name);
        }
        Command::SetProvenance { at, how } => {
            let mut found = false;
            visit(next, &mut |place, known| {
                if place == *at {
                    *known = *how;
                    found = true;
                }
            });
            if !found {
                return Err(EditError::NoFact(*at));
            }
        }
        Command::SetNominal { at, value } => {
            let fact = value.map(|fact| numbered(*at, fact)).transpose()?;
            state(next, *at, fact)?;
        }
        Command::Mark {
            cylinder,
            works,
            at,
        } => mark(next, *cylinder, *works, *at)?,
        Command::MarkAll { marks, at } => {
            for &(cylinder, works) in marks {
                mark(next, cylinder, works, *at)?;
            }
        }
        Command::Unmark(cylinder) => take_back_marks(next, *cylinder)?,
        Command::AddFinding {
            seen,
            setup,
            fault_then,
            at,
            note,
        } => {
            room_for_a_finding(next)?;
            prose(Named::NewFinding, note)?;
            let id = next.fresh();
            next.findings.push(Finding {
                setup: setup.clone(),
                at: *at,
                note: note.clone(),
                ..Finding::new(id, seen.clone(), *fault_then)
            });
        }
        Command::Log {
            step,
            text,
            element,
            at,
        } => {
            if next.work.len() >= MOST_ITEMS {
                return Err(EditError::TooMany(Plenty::Work));
            }
            prose(Named::NewWork, text)?;
            let id = next.fresh();
            next.work.push(WorkEntry {
                id,
                at: *at,
                text: text.clone(),
                step: *step,
                element: *element,
            });
        }
        Command::SetStanding { finding, standing } => {
            finding_mut(next, *finding)?.standing = *standing;
        }
        Command::CorrectFinding {
            finding,
            seen,
            setup,
            fault_then,
        } => {
            let found = finding_mut(next, *finding)?;
            found.seen.clone_from(seen);
            found.setup.clone_from(setup);
            found.fault_then = *fault_then;
        }
        Command::SetFaultThen {
            finding,
            fault_then,
        } => finding_mut(next, *finding)?.fault_then = *fault_then,
        Command::SetFact { at, fact } => state(next, *at, fact.clone())?,
        Command::Settle { at, keep } => settle(next, *at, keep)?,
        Command::SetNote { of, text } => set_note(next, *of, text)?,
        Command::SetPlace { part, place } => {
            short(Noted::Place(*part), &place.text)?;
            part_mut(next, *part)?.place.clone_from(place);
        }
        Command::SetCondition { part, condition } => {
            part_mut(next, *part)?.condition = *condition;
        }
        Command::SetFace { part, face } => {
            let within = |count: u8| count.clamp(1, Face::MOST);
            part_mut(next, *part)?.face = face.map(|face| Face {
                rows: within(face.rows),
                columns: within(face.columns),
                ..face
            });
        }
        Command::SetForm { part, form } => parts::reform(next, *part, form)?,
        Command::RenameDriver { driver, name } => pins::rename_driver(next, *driver, name)?,
        Command::AddPart { name, kind, at } => parts::add(next, name, kind, *at)?,
        Command::RemovePart { part, hanging } => parts::remove(next, *part, *hanging)?,
        Command::Connect {
            from,
            to,
            how,
            look,
        } => wiring::connect(next, *from, *to, *how, *look)?,
        Command::AddWire(wire) => wiring::add_wire(next, wire)?,
        Command::RemoveWire(wire) => wiring::remove_wire(next, *wire)?,
        Command::Splice {
            wire,
            name,
            at,
            meets,
            how,
        } => {
            let (wire, at, meets, how) = (*wire, *at, *meets, *how);
            let cut = splice::Cut {
                wire,
                name,
                at,
                meets,
                how,
            };
            splice::cut(next, &cut)?;
        }
        Command::AddDriver { host, name } => pins::add_driver(next, *host, name)?,
        Command::RemoveDriver(driver) => pins::remove_driver(next, *driver)?,
        Command::AddPin { unit, label, role } => {
            pins::add_pin(next, *unit, label.as_ref(), *role)?;
        }
        Command::RemovePin { unit, pin, hanging } => {
            pins::remove_pin(next, *unit, *pin, *hanging)?;
        }
        Command::AddCavity { connector, label } => {
            pins::add_cavity(next, *connector, label.as_ref())?;
        }
        Command::RemoveCavity {
            connector,
            cavity,
            hanging,
        } => pins::remove_cavity(next, *connector, *cavity, *hanging)?,
        Command::Renumber { part, labels, how } => pins::renumber(next, *part, labels, *how)?,
        Command::AssignCoil {
            coil,
            cylinders,
            how,
        } => wiring::assign_coil(next, *coil, cylinders, *how)?,
        Command::Put(places) => parts::put(next, places)?,
        Command::Duplicate(ids) => parts::duplicate(next, ids)?,
        Command::Batch(commands) => {
            for command in commands {
                carry_out(next, command)?;
            }
        }
        Command::Replace(other) => *next = Harness::clone(other),
    }
    Ok(())
}

fn part_mut(harness: &mut Harness, id: PartId) -> Result<&mut Part, EditError> {
    harness.parts.get_mut(&id).ok_or(EditError::NoPart(id))
}

fn finding_mut(harness: &mut Harness, id: FindingId) -> Result<&mut Finding, EditError> {
    let found = harness.findings.iter_mut().find(|found| found.id == id);
    found.ok_or(EditError::NoFinding(id))
}

fn room_for_a_finding(harness: &Harness) -> Result<(), EditError> {
    if harness.findings.len() >= MOST_ITEMS {
        return Err(EditError::TooMany(Plenty::Findings));
    }
    Ok(())
}

fn short(of: Noted, name: &str) -> Result<(), EditError> {
    let characters = name.chars().count();
    if characters > MOST_NAME {
        let of = Named::There(of);
        return Err(EditError::NameTooLong { of, characters });
    }
    Ok(())
}

fn prose(of: Named, note: &str) -> Result<(), EditError> {
    let characters = note.chars().count();
    if characters > MOST_PROSE {
        return Err(EditError::NoteTooLong { of, characters });
    }
    Ok(())
}

/// A number as the fact says it: a wire's area is its size.
fn numbered(at: FactAt, fact: Fact<f64>) -> Result<Fact<FactValue>, EditError> {
    let value = if let FactAt::WireSize(_) = at {
        let area = SquareMillimetres::new(fact.value);
        let area = area.map_err(|_| EditError::OutOfRange(crate::model::Quantity::WireArea))?;
        FactValue::Size(WireSize::Area(area))
    } else {
        FactValue::Number(fact.value)
    };
    let how = fact.how;
    Ok(Fact { value, how })
}

fn set_note(harness: &mut Harness, of: Noted, text: &str) -> Result<(), EditError> {
    prose(Named::There(of), text)?;
    let note = match of {
        Noted::Map => &mut harness.about,
        Noted::Part(id) => &mut part_mut(harness, id)?.note,
        Noted::Place(id) => {
            short(of, text)?;
            &mut part_mut(harness, id)?.place.text
        }
        Noted::Wire(id) => {
            let wire = harness.wires.get_mut(&id);
            &mut wire.ok_or(EditError::NoWire(id))?.note
        }
        Noted::Pin(id, pin) => {
            let PartKind::ControlUnit(unit) = &mut part_mut(harness, id)?.kind else {
                return Err(EditError::OtherKind(id));
            };
            let known = unit.pins.iter_mut().find(|known| known.id == pin);
            &mut known.ok_or(EditError::NoPin(id, pin))?.note
        }
    };
    text.clone_into(note);
    Ok(())
}

fn mark(
    harness: &mut Harness,
    cylinder: CylinderId,
    works: Works,
    at: Option<Timestamp>,
) -> Result<(), EditError> {
    take_back_marks(harness, cylinder)?;
    room_for_a_finding(harness)?;
    let id = harness.fresh();
    harness.findings.push(Finding {
        at,
        ..Finding::new(
            id,
            Seen::Contribution { cylinder, works },
            FaultThen::Present,
        )
    });
    Ok(())
}

fn take_back_marks(harness: &mut Harness, of: CylinderId) -> Result<(), EditError> {
    if harness.engine.place(of).is_none() {
        return Err(EditError::NoCylinder(of));
    }
    // What was seen before the car was mended stays as it was seen.
    let now = harness.last_turn();
    for finding in &mut harness.findings {
        if finding.id.number() > now
            && matches!(finding.seen, Seen::Contribution { cylinder, .. } if cylinder == of)
        {
            finding.standing = Standing::TakenBack;
        }
    }
    Ok(())
}
