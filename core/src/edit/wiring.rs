//! Wires and leads: joined, let go of, taken off the map.

use super::rivals::{prune, state};
use super::value::check;
use super::{EditError, FactAt, FactValue, Hanging, Named, Plenty, WireLook, free_name};
use crate::engine::CylinderId;
use crate::model::file::limits::{MOST_ITEMS, MOST_PROSE};
use crate::model::{
    Harness, Hold, Lead, LeadKind, Part, PartId, PartKind, Plug, Port, Secondary, Terminal, Wire,
    WireEnd, WireId,
};
use crate::provenance::{Fact, Provenance};
use crate::said::say;

pub(super) fn add_wire(harness: &mut Harness, wire: &Wire) -> Result<(), EditError> {
    if harness.wires.len() >= MOST_ITEMS {
        return Err(EditError::TooMany(Plenty::Wires));
    }
    let characters = wire.note.chars().count();
    if characters > MOST_PROSE {
        let of = Named::NewWire;
        return Err(EditError::NoteTooLong { of, characters });
    }
    if let (Some(from), Some(to)) = (wire.from, wire.to)
        && from.value == to.value
    {
        return Err(EditError::ToItself(from.value));
    }
    let id: WireId = harness.fresh();
    for end in WireEnd::BOTH {
        if let Some(fact) = wire.end(end) {
            let value = FactValue::Terminal(fact.value);
            check(harness, FactAt::WireEnd(id, end), &value)?;
        }
    }
    if let Some(size) = wire.size {
        check(harness, FactAt::WireSize(id), &FactValue::Size(size.value))?;
    }
    if let Some(length) = wire.length {
        let value = FactValue::Number(length.value.get());
        check(harness, FactAt::WireLength(id), &value)?;
    }
    harness.wires.insert(id, wire.clone());
    Ok(())
}

pub(super) fn remove_wire(harness: &mut Harness, id: WireId) -> Result<(), EditError> {
    harness.wires.remove(&id).ok_or(EditError::NoWire(id))?;
    prune(harness);
    Ok(())
}

const fn is_tower(port: Port) -> bool {
    matches!(port, Port::TowerA | Port::TowerB | Port::Tower(_))
}

/// Joins two terminals by a wire or a lead.
pub(super) fn connect(
    harness: &mut Harness,
    from: Terminal,
    to: Terminal,
    how: Provenance,
    look: WireLook,
) -> Result<(), EditError> {
    if from == to {
        return Err(EditError::ToItself(from));
    }
    for terminal in [from, to] {
        if !harness.has_terminal(terminal) {
            return Err(EditError::NoTerminal(terminal));
        }
    }
    let takes_wire = |terminal: Terminal| match terminal.port.hold() {
        Hold::Joint | Hold::Contact | Hold::Plain => true,
        Hold::Push | Hold::Thread => false,
    };
    match (takes_wire(from), takes_wire(to)) {
        (true, true) => {
            let known = |terminal| {
                Some(Fact {
                    value: terminal,
                    how,
                })
            };
            let wire = Wire {
                from: known(from),
                to: known(to),
                colour: look.colour.map(|value| Fact { value, how }),
                size: look.size.map(|value| Fact { value, how }),
                length: look.length.map(|value| Fact { value, how }),
                note: String::new(),
            };
            add_wire(harness, &wire)
        }
        (true, false) => Err(EditError::TakesNoWire(to)),
        (false, true) => Err(EditError::TakesNoWire(from)),
        (false, false) => lead(harness, from, to, how),
    }
}

/// Joins two high-voltage terminals: by a lead that is there with an end loose, or by a new one.
fn lead(harness: &mut Harness, a: Terminal, b: Terminal, how: Provenance) -> Result<(), EditError> {
    for (end, other) in [(a, b), (b, a)] {
        let at = if end.port == Port::LeadFrom {
            FactAt::LeadFrom(end.part)
        } else if end.port == Port::LeadTo {
            FactAt::LeadTo(end.part)
        } else {
            continue;
        };
        let value = FactValue::Terminal(other);
        return state(harness, at, Some(Fact { value, how }));
    }
    let (tower, plug) = if is_tower(a.port) { (a, b) } else { (b, a) };
    if !is_tower(tower.port) {
        return Err(EditError::TakesNoWire(tower));
    }
    if !matches!(plug.port, Port::PlugTop | Port::Centre) {
        return Err(EditError::TakesNoWire(plug));
    }
    let loose = leads(harness).find_map(|(id, lead)| {
        let from = lead.from.map(|fact| fact.value);
        let to = lead.to.map(|fact| fact.value);
        if from == Some(tower) && to.is_none() {
            Some((FactAt::LeadTo(id), plug))
        } else if to == Some(plug) && from.is_none() {
            Some((FactAt::LeadFrom(id), tower))
        } else {
            None
        }
    });
    if let Some((at, terminal)) = loose {
        let value = FactValue::Terminal(terminal);
        return state(harness, at, Some(Fact { value, how }));
    }
    let cylinder = harness.plug(plug.part).and_then(|plug| plug.cylinder);
    let name = cylinder.map_or_else(
        || say!("Coil lead"),
        |cylinder| say!("Lead {}", cylinder.value),
    );
    new_lead(harness, &name, tower, plug, how)
}

fn leads(harness: &Harness) -> impl Iterator<Item = (PartId, &Lead)> {
    let parts = harness.parts.keys();
    parts.filter_map(|&id| harness.lead(id).map(|lead| (id, lead)))
}

/// A lead of the kind that the map has most of.
fn new_lead(
    harness: &mut Harness,
    name: &str,
    tower: Terminal,
    plug: Terminal,
    how: Provenance,
) -> Result<(), EditError> {
    room_for_a_part(harness)?;
    let boots = leads(harness).filter(|(_, lead)| lead.kind == LeadKind::Boot);
    let kind = if boots.count() * 2 > leads(harness).count() {
        LeadKind::Boot
    } else {
        LeadKind::Lead
    };
    let known = |value| Some(Fact { value, how });
    let lead = Lead {
        kind,
        from: known(tower),
        to: known(plug),
        resistance: None,
    };
    let name = free_name(harness, name);
    harness.add_part(name, PartKind::Lead(lead));
    Ok(())
}

pub(super) fn room_for_a_part(harness: &Harness) -> Result<(), EditError> {
    if harness.parts.len() >= MOST_ITEMS {
        return Err(EditError::TooMany(Plenty::Parts));
    }
    Ok(())
}

/// A lead from each tower of a coil goes to a plug of each cylinder; leads and plugs that lack are added.
pub(super) fn assign_coil(
    harness: &mut Harness,
    coil: PartId,
    cylinders: &[CylinderId],
    how: Provenance,
) -> Result<(), EditError> {
    if !harness.parts.contains_key(&coil) {
        return Err(EditError::NoPart(coil));
    }
    let known = harness.coil(coil).ok_or(EditError::OtherKind(coil))?;
    let towers: &[Port] = match known.secondary {
        Secondary::TwoEnded => &[Port::TowerA, Port::TowerB],
        Secondary::ReturnsToFeed | Secondary::ReturnsToGround => &[Port::TowerA],
    };
    if cylinders.len() > towers.len() {
        return Err(EditError::Towers {
            coil,
            towers: towers.len(),
            cylinders: cylinders.len(),
        });
    }
    for (&port, &cylinder) in towers.iter().zip(cylinders) {
        if harness.engine.place(cylinder).is_none() {
            return Err(EditError::NoCylinder(cylinder));
        }
        let tower = Terminal { part: coil, port };
        let plug = plug_for(harness, tower, cylinder, how)?;
        let lead = leads(harness)
            .find(|(_, lead)| lead.from.is_some_and(|fact| fact.value == tower))
            .map(|(id, _)| id);
        match lead {
            Some(lead) => {
                let value = FactValue::Terminal(plug);
                state(harness, FactAt::LeadTo(lead), Some(Fact { value, how }))?;
            }
            None => new_lead(harness, &say!("Lead {cylinder}"), tower, plug, how)?,
        }
    }
    Ok(())
}

/// The plug of a cylinder that the tower feeds already, or else one that no lead goes to, or else any, or else a new one.
fn plug_for(
    harness: &mut Harness,
    tower: Terminal,
    cylinder: CylinderId,
    how: Provenance,
) -> Result<Terminal, EditError> {
    let tops = harness.parts.keys().filter_map(|&part| {
        let of = harness.plug(part)?.cylinder?.value;
        let port = Port::PlugTop;
        (of == cylinder).then_some(Terminal { part, port })
    });
    let rank = |top: &Terminal| {
        let mut from = leads(harness)
            .filter(|(_, lead)| lead.to.is_some_and(|fact| fact.value == *top))
            .map(|(_, lead)| lead.from.map(|fact| fact.value));
        match from.next() {
            Some(from) if from == Some(tower) => 0,
            None => 1,
            Some(_) => 2,
        }
    };
    if let Some(top) = tops.min_by_key(rank) {
        return Ok(top);
    }
    room_for_a_part(harness)?;
    let plug = Plug {
        cylinder: Some(Fact {
            value: cylinder,
            how,
        }),
        ..Plug::default()
    };
    let name = free_name(harness, &say!("Plug {cylinder}"));
    let part = harness.add_part(name, PartKind::Plug(plug));
    let port = Port::PlugTop;
    Ok(Terminal { part, port })
}

/// Takes the wires and leads off terminals that are about to go, or already gone.
pub(super) fn let_go(harness: &mut Harness, hanging: Hanging, goes: &dyn Fn(Terminal) -> bool) {
    let at = |end: &Option<Fact<Terminal>>| end.is_some_and(|fact| goes(fact.value));
    match hanging {
        Hanging::Removed => {
            harness
                .wires
                .retain(|_, wire| !at(&wire.from) && !at(&wire.to));
            let on_it = |part: &Part| matches!(&part.kind, PartKind::Lead(lead) if at(&lead.from) || at(&lead.to));
            let mut leads = Vec::new();
            harness.parts.retain(|&id, part| {
                let goes = on_it(part);
                if goes {
                    leads.push(id);
                }
                !goes
            });
            // Whatever was drawn to end on such a lead stays.
            if !leads.is_empty() {
                let_go(harness, Hanging::Loose, &|terminal| {
                    leads.contains(&terminal.part)
                });
            }
        }
        Hanging::Loose => {
            let loosen = |ends: [&mut Option<Fact<Terminal>>; 2]| {
                for end in ends {
                    if at(end) {
                        *end = None;
                    }
                }
            };
            for wire in harness.wires.values_mut() {
                loosen([&mut wire.from, &mut wire.to]);
            }
            for part in harness.parts.values_mut() {
                if let PartKind::Lead(lead) = &mut part.kind {
                    loosen([&mut lead.from, &mut lead.to]);
                }
            }
        }
    }
}
