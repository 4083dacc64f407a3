//! The command that takes over one difference.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::ids::{Ids, Of};
use super::{Change, Only};
use crate::edit::{Command, Form, Hanging, Noted};
use crate::model::{
    CavityId, Driver, DriverId, Harness, Part, PartId, PartKind, PinId, Standing, WireEnd, WireId,
};
use crate::provenance::Fact;

/// The command that makes our map as theirs in one point; it brings along what [`needs`] names.
///
/// Something that only theirs has comes with the id that it has there. `None` where there is no such change.
#[must_use]
pub fn take(ours: &Harness, theirs: &Harness, change: Change) -> Option<Command> {
    let needed = needs(ours, theirs, change);
    if needed.is_empty()
        && let Some(command) = plain(ours, theirs, change)
    {
        return Some(command);
    }
    let mut next = ours.clone();
    for change in needed {
        bring(&mut next, theirs, change)?;
    }
    match plain(&next, theirs, change) {
        Some(command) => next = crate::edit::apply(&next, &command).ok()?,
        None => bring(&mut next, theirs, change)?,
    }
    Some(Command::Replace(Arc::new(next)))
}

/// What only theirs has and a change cannot do without: the parts and pins at the ends of a wire.
#[must_use]
pub fn needs(ours: &Harness, theirs: &Harness, change: Change) -> Vec<Change> {
    let mut wanted = Vec::new();
    let mut note = |of: Of, id: u32| {
        wanted.push((of, id));
        id
    };
    match change {
        Change::Wire(id, Only::Theirs) => theirs.wires.get(&id).cloned().ids(&mut note),
        Change::Finding(id, Only::Theirs) => {
            let finding = theirs.findings.iter().find(|finding| finding.id == id);
            finding.cloned().ids(&mut note);
        }
        Change::Fact(at) => {
            let fact = theirs.fact(at);
            fact.map(|fact| fact.value).ids(&mut note);
        }
        Change::Pin(part, ..) | Change::Cavity(part, ..) => {
            wanted.push((Of::Part, part.number()));
        }
        Change::Driver(part, id, Only::Theirs) => {
            wanted.push((Of::Part, part.number()));
            let mut driver = theirs.driver(id).cloned();
            driver.ids(&mut |of, id| {
                wanted.push((of, id));
                id
            });
        }
        Change::Finding(_, Only::Ours)
        | Change::FindingDiffers(_)
        | Change::Work(..)
        | Change::Engine
        | Change::Part(..)
        | Change::Driver(_, _, Only::Ours)
        | Change::Wire(_, Only::Ours)
        | Change::PartName(_)
        | Change::PartPlace(_)
        | Change::PartCondition(_)
        | Change::PartNote(_)
        | Change::PartForm(_)
        | Change::PartFace(_)
        | Change::DriverName(..)
        | Change::PinNote(..)
        | Change::WireNote(_)
        | Change::Title
        | Change::About => {}
    }
    let mut found = BTreeSet::new();
    for (of, id) in wanted {
        let missing = missing(ours, theirs, of, id);
        // A part brings its pins and cavities along.
        let whole = |change: &Change| {
            let inside_of = if let Change::Pin(part, ..)
            | Change::Cavity(part, ..)
            | Change::Driver(part, ..) = *change
            {
                Some(part).filter(|part| !ours.parts.contains_key(part))
            } else {
                None
            };
            inside_of.map_or(*change, |part| Change::Part(part, Only::Theirs))
        };
        found.extend(missing.iter().map(whole).filter(|needed| *needed != change));
    }
    found.into_iter().collect()
}

/// The thing with that id where theirs has it and ours has not.
fn missing(ours: &Harness, theirs: &Harness, of: Of, id: u32) -> Option<Change> {
    let only = Only::Theirs;
    match of {
        Of::Part => {
            let id = PartId::from(id);
            let new = theirs.parts.contains_key(&id) && !ours.parts.contains_key(&id);
            new.then_some(Change::Part(id, only))
        }
        Of::Wire => {
            let id = WireId::from(id);
            let new = theirs.wires.contains_key(&id) && !ours.wires.contains_key(&id);
            new.then_some(Change::Wire(id, only))
        }
        Of::Pin => {
            let id = PinId::from(id);
            let (part, _) = theirs
                .parts
                .iter()
                .find(|(part, _)| theirs.pin(**part, id).is_some())?;
            let new = ours.pin(*part, id).is_none();
            new.then_some(Change::Pin(*part, id, only))
        }
        Of::Cavity => {
            let id = CavityId::from(id);
            let mut parts = theirs.parts.keys();
            let part = parts.find(|part| theirs.cavity(**part, id).is_some())?;
            let new = ours.cavity(*part, id).is_none();
            new.then_some(Change::Cavity(*part, id, only))
        }
        Of::Driver => {
            let id = DriverId::from(id);
            let host = theirs.host_of(id)?;
            let new = ours.driver(id).is_none();
            new.then_some(Change::Driver(host, id, only))
        }
        Of::Finding | Of::Work => None,
    }
}

/// The command for a change that is one of those that a person makes too.
fn plain(ours: &Harness, theirs: &Harness, change: Change) -> Option<Command> {
    let part = |id: PartId| theirs.parts.get(&id);
    let note = |of: Noted, text: &str| Command::SetNote {
        of,
        text: text.to_owned(),
    };
    Some(match change {
        Change::Title => Command::Rename(theirs.title.clone()),
        Change::About => Command::SetAbout(theirs.about.clone()),
        Change::Fact(at) => Command::SetFact {
            at,
            fact: theirs.fact(at),
        },
        Change::PartName(id) => Command::RenamePart {
            part: id,
            name: part(id)?.name.clone(),
        },
        Change::PartPlace(id) => Command::SetPlace {
            part: id,
            place: part(id)?.place.clone(),
        },
        Change::PartCondition(id) => Command::SetCondition {
            part: id,
            condition: part(id)?.condition,
        },
        Change::PartNote(id) => note(Noted::Part(id), &part(id)?.note),
        Change::WireNote(id) => note(Noted::Wire(id), &theirs.wires.get(&id)?.note),
        Change::PinNote(unit, id) => note(Noted::Pin(unit, id), &theirs.pin(unit, id)?.note),
        Change::DriverName(_, id) => Command::RenameDriver {
            driver: id,
            name: theirs.driver(id)?.name.clone(),
        },
        Change::PartForm(id) => Command::Batch(forms(id, part(id)?, ours)),
        Change::Part(id, Only::Ours) => Command::RemovePart {
            part: id,
            hanging: hanging(ours, theirs, id),
        },
        Change::Wire(id, Only::Ours) => Command::RemoveWire(id),
        Change::Pin(unit, pin, Only::Ours) => Command::RemovePin {
            unit,
            pin,
            hanging: Hanging::Loose,
        },
        Change::Cavity(connector, cavity, Only::Ours) => Command::RemoveCavity {
            connector,
            cavity,
            hanging: Hanging::Loose,
        },
        Change::Driver(_, id, Only::Ours) => Command::RemoveDriver(id),
        Change::Finding(id, Only::Ours) => Command::SetStanding {
            finding: id,
            standing: Standing::TakenBack,
        },
        Change::Finding(_, Only::Theirs)
        | Change::FindingDiffers(_)
        | Change::Work(..)
        | Change::Engine
        | Change::Part(_, Only::Theirs)
        | Change::Pin(_, _, Only::Theirs)
        | Change::Cavity(_, _, Only::Theirs)
        | Change::Driver(_, _, Only::Theirs)
        | Change::Wire(_, Only::Theirs)
        | Change::PartFace(_) => return None,
    })
}

/// What makes their part of its kind.
fn forms(id: PartId, part: &Part, ours: &Harness) -> Vec<Command> {
    let form = |form: Form| Command::SetForm { part: id, form };
    match &part.kind {
        PartKind::Coil(coil) => {
            let pack = coil.pack.filter(|pack| ours.parts.contains_key(pack));
            vec![
                form(Form::Secondary(coil.secondary)),
                form(Form::Pack(pack)),
            ]
        }
        PartKind::Ground(site) => vec![form(Form::Site(*site))],
        PartKind::ControlUnit(unit) => vec![form(Form::Unit(unit.role))],
        PartKind::Distributor(distributor) => vec![form(Form::Towers(distributor.towers.clone()))],
        PartKind::Lead(lead) => vec![form(Form::Lead(lead.kind))],
        PartKind::Battery(_)
        | PartKind::Fuse(_)
        | PartKind::KeySwitch
        | PartKind::Relay(_)
        | PartKind::Splice
        | PartKind::Connector(_)
        | PartKind::Pack
        | PartKind::Plug(_)
        | PartKind::Injector(_) => Vec::new(),
    }
}

/// Wires on a part that goes: they go with it where theirs has none of them.
fn hanging(ours: &Harness, theirs: &Harness, part: PartId) -> Hanging {
    let kept = ours.wires.iter().any(|(id, wire)| {
        let on_it = |end| wire.end(end).is_some_and(|fact| fact.value.part == part);
        WireEnd::BOTH.into_iter().any(on_it) && theirs.wires.contains_key(id)
    });
    if kept {
        Hanging::Loose
    } else {
        Hanging::Removed
    }
}

/// Our map with all that only theirs has beside it: both on one sheet.
#[must_use]
pub fn together(ours: &Harness, theirs: &Harness) -> Harness {
    let mut both = ours.clone();
    for change in super::differences(ours, theirs) {
        let adds = matches!(
            change,
            Change::Part(_, Only::Theirs)
                | Change::Pin(_, _, Only::Theirs)
                | Change::Cavity(_, _, Only::Theirs)
                | Change::Driver(_, _, Only::Theirs)
                | Change::Wire(_, Only::Theirs)
        );
        if adds {
            // What does not fit is left out of the picture; the list still tells of it.
            let _ = bring(&mut both, theirs, change);
        }
    }
    both
}

/// Puts what theirs has into `next`, with the id that it has there.
fn bring(next: &mut Harness, theirs: &Harness, change: Change) -> Option<()> {
    match change {
        Change::Part(id, Only::Theirs) => {
            let mut part = theirs.parts.get(&id)?.clone();
            let here = |part: &PartId| next.parts.contains_key(part) || *part == id;
            if let PartKind::Coil(coil) = &mut part.kind {
                coil.pack = coil.pack.filter(here);
            }
            if let PartKind::Lead(lead) = &mut part.kind {
                for end in [&mut lead.from, &mut lead.to] {
                    *end = end.filter(|fact| here(&fact.value.part));
                }
            }
            next.parts.insert(id, part);
        }
        Change::Wire(id, Only::Theirs) => {
            next.wires.insert(id, theirs.wires.get(&id)?.clone());
        }
        Change::Pin(unit, id, Only::Theirs) => {
            let pin = theirs.pin(unit, id)?.clone();
            if let PartKind::ControlUnit(unit) = &mut next.parts.get_mut(&unit)?.kind {
                unit.pins.push(pin);
            }
        }
        Change::Cavity(connector, id, Only::Theirs) => {
            let cavity = theirs.cavity(connector, id)?.clone();
            if let PartKind::Connector(connector) = &mut next.parts.get_mut(&connector)?.kind {
                connector.cavities.push(cavity);
            }
        }
        Change::Driver(host, id, Only::Theirs) => {
            let driver = theirs.driver(id)?.clone();
            put_driver(next.parts.get_mut(&host)?, driver);
        }
        Change::Finding(id, Only::Theirs) => {
            let finding = theirs.findings.iter().find(|finding| finding.id == id)?;
            let later =
                |other: &crate::model::Finding| finding.at.is_some() && other.at > finding.at;
            let place = next.findings.iter().position(later);
            let place = place.unwrap_or(next.findings.len());
            next.findings.insert(place, finding.clone());
        }
        Change::FindingDiffers(id) => {
            let finding = theirs.findings.iter().find(|finding| finding.id == id)?;
            let mut all = next.findings.iter_mut();
            *all.find(|finding| finding.id == id)? = finding.clone();
        }
        Change::Work(id, Only::Theirs) => {
            let entry = theirs.work.iter().find(|entry| entry.id == id)?;
            next.work.push(entry.clone());
        }
        Change::Work(id, Only::Ours) => next.work.retain(|entry| entry.id != id),
        Change::Engine => {
            let order = std::mem::take(&mut next.engine.order.value);
            let mut engine = theirs.engine.clone();
            engine.order = Fact {
                value: order,
                how: next.engine.order.how,
            };
            engine.firing = next.engine.firing.clone();
            next.engine = engine;
        }
        Change::PartFace(id) => next.parts.get_mut(&id)?.face = theirs.parts.get(&id)?.face,
        Change::Finding(_, Only::Ours)
        | Change::Part(_, Only::Ours)
        | Change::Pin(_, _, Only::Ours)
        | Change::Cavity(_, _, Only::Ours)
        | Change::Driver(_, _, Only::Ours)
        | Change::Wire(_, Only::Ours)
        | Change::Fact(_)
        | Change::PartName(_)
        | Change::PartPlace(_)
        | Change::PartCondition(_)
        | Change::PartNote(_)
        | Change::PartForm(_)
        | Change::DriverName(..)
        | Change::PinNote(..)
        | Change::WireNote(_)
        | Change::Title
        | Change::About => return None,
    }
    next.next_id = next.next_id.max(theirs.next_id);
    Some(())
}

fn put_driver(host: &mut Part, driver: Driver) {
    if let PartKind::ControlUnit(unit) = &mut host.kind {
        unit.drivers.push(driver);
    } else if let PartKind::Coil(coil) = &mut host.kind {
        coil.driver = Some(driver);
    }
}
