//! Parts: added, taken off the map, copied, put at a place, given another form.

use std::collections::BTreeMap;

use super::facts::visit_part;
use super::rivals::prune;
use super::value::check;
use super::wiring::{let_go, room_for_a_part};
use super::{EditError, Form, Hanging, Named, Plenty, free_name};
use crate::engine::MOST_CYLINDERS;
use crate::model::file::limits::{MOST_ITEMS, MOST_NAME, MOST_NUMBER};
use crate::model::{
    Cavity, CavityId, DrawnAt, Driver, DriverId, Harness, PartId, PartKind, Pin, PinId, Port,
    Terminal, Wire,
};
use crate::provenance::{Fact, Provenance};

/// Adds a part; its pins, cavities and drivers get ids of their own.
pub(super) fn add(
    harness: &mut Harness,
    name: &str,
    kind: &PartKind,
    at: Option<DrawnAt>,
) -> Result<(), EditError> {
    room_for_a_part(harness)?;
    let characters = name.chars().count();
    if characters > MOST_NAME {
        let of = Named::NewPart;
        return Err(EditError::NameTooLong { of, characters });
    }
    let mut kind = kind.clone();
    let fresh = Fresh::give(harness, &mut kind);
    fresh.within(&mut kind);
    let id = harness.add_part(name, kind);
    room_inside(harness, id)?;
    let mut facts = Vec::new();
    if let Some(part) = harness.parts.get_mut(&id) {
        part.drawn_at = at;
        visit_part(id, &mut part.kind, &mut |at, _| facts.push(at));
    }
    for at in facts {
        if let Some(fact) = harness.fact(at) {
            check(harness, at, &fact.value)?;
        }
    }
    if let Some(at) = at {
        near(id, at)?;
    }
    Ok(())
}

/// Whether a part holds no more than a file does, and names only what there is.
fn room_inside(harness: &Harness, id: PartId) -> Result<(), EditError> {
    let Some(part) = harness.parts.get(&id) else {
        return Ok(());
    };
    if let PartKind::ControlUnit(unit) = &part.kind {
        if unit.pins.len() > MOST_ITEMS {
            return Err(EditError::TooMany(Plenty::Pins));
        }
        if unit.drivers.len() > MOST_ITEMS {
            return Err(EditError::TooMany(Plenty::Drivers));
        }
    } else if let PartKind::Connector(connector) = &part.kind {
        if connector.cavities.len() > MOST_ITEMS {
            return Err(EditError::TooMany(Plenty::Cavities));
        }
    } else if let PartKind::Distributor(distributor) = &part.kind {
        towers(harness, &distributor.towers)?;
    } else if let PartKind::Coil(coil) = &part.kind
        && let Some(pack) = coil.pack
        && !is_pack(harness, pack)
    {
        return Err(EditError::NoPart(pack));
    }
    Ok(())
}

fn towers(harness: &Harness, towers: &[crate::engine::CylinderId]) -> Result<(), EditError> {
    if towers.len() > usize::from(MOST_CYLINDERS) {
        return Err(EditError::TooMany(Plenty::Towers));
    }
    let unknown = towers.iter().find(|c| harness.engine.place(**c).is_none());
    unknown.map_or(Ok(()), |cylinder| Err(EditError::NoCylinder(*cylinder)))
}

fn is_pack(harness: &Harness, id: PartId) -> bool {
    let part = harness.parts.get(&id);
    part.is_some_and(|part| matches!(part.kind, PartKind::Pack))
}

/// Old ids of pins and cavities with the new ones.
#[derive(Default)]
struct Fresh {
    pins: BTreeMap<PinId, PinId>,
    cavities: BTreeMap<CavityId, CavityId>,
}

impl Fresh {
    /// Gives ids of their own to everything inside a part.
    fn give(harness: &mut Harness, kind: &mut PartKind) -> Self {
        let mut given = Self::default();
        if let PartKind::ControlUnit(unit) = kind {
            for Pin { id, .. } in &mut unit.pins {
                let fresh = harness.fresh();
                given.pins.insert(*id, fresh);
                *id = fresh;
            }
            for Driver { id, .. } in &mut unit.drivers {
                *id = harness.fresh::<DriverId>();
            }
        } else if let PartKind::Connector(connector) = kind {
            for Cavity { id, .. } in &mut connector.cavities {
                let fresh = harness.fresh();
                given.cavities.insert(*id, fresh);
                *id = fresh;
            }
        } else if let PartKind::Coil(coil) = kind
            && let Some(driver) = &mut coil.driver
        {
            driver.id = harness.fresh();
        }
        given
    }

    /// The drivers of a box use its new pins.
    fn within(&self, kind: &mut PartKind) {
        if let PartKind::ControlUnit(unit) = kind {
            for driver in &mut unit.drivers {
                for pin in [&mut driver.output, &mut driver.ground, &mut driver.drive] {
                    *pin = pin.and_then(|fact| {
                        let value = *self.pins.get(&fact.value)?;
                        Some(Fact { value, ..fact })
                    });
                }
            }
        }
    }
}

/// Takes a part off the map.
pub(super) fn remove(harness: &mut Harness, id: PartId, hanging: Hanging) -> Result<(), EditError> {
    let part = harness.parts.remove(&id).ok_or(EditError::NoPart(id))?;
    let_go(harness, hanging, &|terminal| terminal.part == id);
    if matches!(part.kind, PartKind::Pack) {
        for part in harness.parts.values_mut() {
            if let PartKind::Coil(coil) = &mut part.kind
                && coil.pack == Some(id)
            {
                coil.pack = None;
            }
        }
    }
    prune(harness);
    Ok(())
}

/// Copies parts with the wires among them.
pub(super) fn duplicate(harness: &mut Harness, ids: &[PartId]) -> Result<(), EditError> {
    const ASIDE: f64 = 48.0;
    let mut copies: BTreeMap<PartId, (PartId, Fresh)> = BTreeMap::new();
    for &id in ids {
        if copies.contains_key(&id) {
            continue;
        }
        room_for_a_part(harness)?;
        let mut part = harness.parts.get(&id).ok_or(EditError::NoPart(id))?.clone();
        let fresh = Fresh::give(harness, &mut part.kind);
        fresh.within(&mut part.kind);
        part.name = short_enough(free_name(harness, &part.name));
        part.drawn_at = part.drawn_at.map(|at| DrawnAt {
            x: at.x + ASIDE,
            y: at.y + ASIDE,
        });
        if let PartKind::Plug(plug) = &mut part.kind {
            plug.cylinder = None;
        } else if let PartKind::Injector(injector) = &mut part.kind {
            injector.cylinder = None;
        }
        let copy: PartId = harness.fresh();
        visit_part(copy, &mut part.kind, &mut |_, how| {
            *how = Provenance::Assumed;
        });
        harness.parts.insert(copy, part);
        copies.insert(id, (copy, fresh));
    }
    let moved = |end: Option<Fact<Terminal>>| {
        let terminal = end?.value;
        let (part, fresh) = copies.get(&terminal.part)?;
        let port = if let Port::Pin(pin) = terminal.port {
            Port::Pin(*fresh.pins.get(&pin)?)
        } else if let Port::Cavity(cavity, side) = terminal.port {
            Port::Cavity(*fresh.cavities.get(&cavity)?, side)
        } else {
            terminal.port
        };
        Some(Fact::assumed(Terminal { part: *part, port }))
    };
    for (copy, _) in copies.values() {
        let Some(part) = harness.parts.get_mut(copy) else {
            continue;
        };
        if let PartKind::Lead(lead) = &mut part.kind {
            lead.from = moved(lead.from);
            lead.to = moved(lead.to);
        } else if let PartKind::Coil(coil) = &mut part.kind
            && let Some((pack, _)) = coil.pack.and_then(|pack| copies.get(&pack))
        {
            coil.pack = Some(*pack);
        }
    }
    let among: Vec<Wire> = harness
        .wires
        .values()
        .filter_map(|wire| {
            let (from, to) = (moved(wire.from)?, moved(wire.to)?);
            Some(Wire {
                from: Some(from),
                to: Some(to),
                colour: wire.colour.map(|fact| Fact::assumed(fact.value)),
                size: wire.size.map(|fact| Fact::assumed(fact.value)),
                length: wire.length.map(|fact| Fact::assumed(fact.value)),
                note: wire.note.clone(),
            })
        })
        .collect();
    for wire in among {
        if harness.wires.len() >= MOST_ITEMS {
            return Err(EditError::TooMany(Plenty::Wires));
        }
        harness.add_wire(wire);
    }
    Ok(())
}

/// A name with a number behind it may be longer than the one that it was made from.
fn short_enough(name: String) -> String {
    if name.chars().count() > MOST_NAME {
        name.chars().skip(1).take(MOST_NAME).collect()
    } else {
        name
    }
}

fn near(part: PartId, at: DrawnAt) -> Result<(), EditError> {
    let near = |number: f64| (-MOST_NUMBER..=MOST_NUMBER).contains(&number);
    if near(at.x) && near(at.y) {
        Ok(())
    } else {
        Err(EditError::TooFar(part))
    }
}

/// Puts parts at a place by hand, or leaves them to the map.
pub(super) fn put(
    harness: &mut Harness,
    places: &[(PartId, Option<DrawnAt>)],
) -> Result<(), EditError> {
    for &(id, at) in places {
        if let Some(at) = at {
            near(id, at)?;
        }
        let part = harness.parts.get_mut(&id).ok_or(EditError::NoPart(id))?;
        part.drawn_at = at;
    }
    Ok(())
}

/// Gives a part another form.
pub(super) fn reform(harness: &mut Harness, id: PartId, form: &Form) -> Result<(), EditError> {
    match form {
        Form::Towers(all) => towers(harness, all)?,
        Form::Pack(Some(pack)) if !is_pack(harness, *pack) => {
            return Err(EditError::NoPart(*pack));
        }
        Form::Pack(_) | Form::Secondary(_) | Form::Site(_) | Form::Unit(_) | Form::Lead(_) => {}
    }
    let part = harness.parts.get_mut(&id).ok_or(EditError::NoPart(id))?;
    match (&mut part.kind, form) {
        (PartKind::Coil(coil), Form::Secondary(secondary)) => coil.secondary = *secondary,
        (PartKind::Coil(coil), Form::Pack(pack)) => coil.pack = *pack,
        (PartKind::Ground(site), Form::Site(new)) => *site = *new,
        (PartKind::ControlUnit(unit), Form::Unit(role)) => unit.role = *role,
        (PartKind::Distributor(distributor), Form::Towers(towers)) => {
            distributor.towers.clone_from(towers);
        }
        (PartKind::Lead(lead), Form::Lead(kind)) => lead.kind = *kind,
        // A form of another kind of part.
        (_, _) => return Err(EditError::OtherKind(id)),
    }
    let left = harness.terminals_of(id);
    let_go(harness, Hanging::Loose, &|terminal| {
        terminal.part == id && !left.contains(&terminal)
    });
    prune(harness);
    Ok(())
}
