//! Pins of control units, cavities of connectors, drivers.

use super::rivals::{prune, state};
use super::{EditError, FactAt, FactValue, Hanging, Named, Plenty, wiring};
use crate::model::file::limits::{MOST_ITEMS, MOST_NAME};
use crate::model::{
    Cavity, CavityId, Connector, ControlUnit, Driver, DriverId, Harness, Part, PartId, PartKind,
    Pin, PinId, PinRole, Port, Secondary, Side, Terminal,
};
use crate::provenance::{Fact, Provenance};

fn part_mut(harness: &mut Harness, id: PartId) -> Result<&mut Part, EditError> {
    harness.parts.get_mut(&id).ok_or(EditError::NoPart(id))
}

fn unit_mut(harness: &mut Harness, id: PartId) -> Result<&mut ControlUnit, EditError> {
    if let PartKind::ControlUnit(unit) = &mut part_mut(harness, id)?.kind {
        Ok(unit)
    } else {
        Err(EditError::OtherKind(id))
    }
}

fn connector_mut(harness: &mut Harness, id: PartId) -> Result<&mut Connector, EditError> {
    if let PartKind::Connector(connector) = &mut part_mut(harness, id)?.kind {
        Ok(connector)
    } else {
        Err(EditError::OtherKind(id))
    }
}

fn short(at: FactAt, label: Option<&Fact<String>>) -> Result<(), EditError> {
    let characters = label.map_or(0, |label| label.value.chars().count());
    if characters > MOST_NAME {
        return Err(EditError::LabelTooLong { at, characters });
    }
    Ok(())
}

pub(super) fn add_pin(
    harness: &mut Harness,
    unit: PartId,
    label: Option<&Fact<String>>,
    role: Option<Fact<PinRole>>,
) -> Result<(), EditError> {
    let id: PinId = harness.fresh();
    short(FactAt::PinLabel(unit, id), label)?;
    let pins = &mut unit_mut(harness, unit)?.pins;
    if pins.len() >= MOST_ITEMS {
        return Err(EditError::TooMany(Plenty::Pins));
    }
    pins.push(Pin {
        id,
        label: label.cloned(),
        role,
        note: String::new(),
    });
    Ok(())
}

pub(super) fn remove_pin(
    harness: &mut Harness,
    unit: PartId,
    pin: PinId,
    hanging: Hanging,
) -> Result<(), EditError> {
    let known = unit_mut(harness, unit)?;
    let before = known.pins.len();
    known.pins.retain(|p| p.id != pin);
    if known.pins.len() == before {
        return Err(EditError::NoPin(unit, pin));
    }
    for driver in &mut known.drivers {
        for used in [&mut driver.output, &mut driver.ground, &mut driver.drive] {
            if used.is_some_and(|fact| fact.value == pin) {
                *used = None;
            }
        }
    }
    let gone = Terminal {
        part: unit,
        port: Port::Pin(pin),
    };
    wiring::let_go(harness, hanging, &|terminal| terminal == gone);
    prune(harness);
    Ok(())
}

pub(super) fn add_cavity(
    harness: &mut Harness,
    connector: PartId,
    label: Option<&Fact<String>>,
) -> Result<(), EditError> {
    let id: CavityId = harness.fresh();
    short(FactAt::CavityLabel(connector, id), label)?;
    let cavities = &mut connector_mut(harness, connector)?.cavities;
    if cavities.len() >= MOST_ITEMS {
        return Err(EditError::TooMany(Plenty::Cavities));
    }
    cavities.push(Cavity {
        id,
        label: label.cloned(),
    });
    Ok(())
}

pub(super) fn remove_cavity(
    harness: &mut Harness,
    connector: PartId,
    cavity: CavityId,
    hanging: Hanging,
) -> Result<(), EditError> {
    let cavities = &mut connector_mut(harness, connector)?.cavities;
    let before = cavities.len();
    cavities.retain(|c| c.id != cavity);
    if cavities.len() == before {
        return Err(EditError::NoCavity(connector, cavity));
    }
    wiring::let_go(harness, hanging, &|terminal| {
        terminal.part == connector
            && [Side::A, Side::B]
                .iter()
                .any(|side| terminal.port == Port::Cavity(cavity, *side))
    });
    prune(harness);
    Ok(())
}

/// Gives labels to the first pins or cavities of a part, in turn.
pub(super) fn renumber(
    harness: &mut Harness,
    part: PartId,
    labels: &[String],
    how: Provenance,
) -> Result<(), EditError> {
    let kind = &part_mut(harness, part)?.kind;
    let facts: Vec<FactAt> = if let PartKind::ControlUnit(unit) = kind {
        let label = |pin: &Pin| FactAt::PinLabel(part, pin.id);
        unit.pins.iter().map(label).collect()
    } else if let PartKind::Connector(connector) = kind {
        let label = |cavity: &Cavity| FactAt::CavityLabel(part, cavity.id);
        connector.cavities.iter().map(label).collect()
    } else {
        return Err(EditError::OtherKind(part));
    };
    if labels.len() > facts.len() {
        return Err(EditError::MoreLabels {
            part,
            labels: labels.len(),
            places: facts.len(),
        });
    }
    for (at, label) in facts.into_iter().zip(labels) {
        let value = FactValue::Label(label.clone());
        state(harness, at, Some(Fact { value, how }))?;
    }
    Ok(())
}

fn short_name(of: Named, name: &str) -> Result<(), EditError> {
    let characters = name.chars().count();
    if characters > MOST_NAME {
        return Err(EditError::NameTooLong { of, characters });
    }
    Ok(())
}

pub(super) fn add_driver(harness: &mut Harness, host: PartId, name: &str) -> Result<(), EditError> {
    short_name(Named::NewDriver, name)?;
    let id: DriverId = harness.fresh();
    let kind = &mut part_mut(harness, host)?.kind;
    let driver = Driver::new(id, name);
    if let PartKind::ControlUnit(unit) = kind {
        if unit.drivers.len() >= MOST_ITEMS {
            return Err(EditError::TooMany(Plenty::Drivers));
        }
        unit.drivers.push(driver);
        return Ok(());
    }
    let PartKind::Coil(coil) = kind else {
        return Err(EditError::OtherKind(host));
    };
    if coil.driver.is_some() {
        return Err(EditError::OtherKind(host));
    }
    coil.driver = Some(driver);
    // The wire that switched the coil is the one that now tells its driver to.
    swap_port(harness, host, Port::Switched, Some(Port::DriveIn));
    Ok(())
}

pub(super) fn remove_driver(harness: &mut Harness, id: DriverId) -> Result<(), EditError> {
    let host = harness.host_of(id).ok_or(EditError::NoDriver(id))?;
    let kind = &mut part_mut(harness, host)?.kind;
    if let PartKind::ControlUnit(unit) = kind {
        unit.drivers.retain(|driver| driver.id != id);
    } else if let PartKind::Coil(coil) = kind {
        coil.driver = None;
        let keeps_ground = coil.secondary == Secondary::ReturnsToGround;
        swap_port(harness, host, Port::DriveIn, Some(Port::Switched));
        if !keeps_ground {
            swap_port(harness, host, Port::CoilGround, None);
        }
    }
    prune(harness);
    Ok(())
}

pub(super) fn rename_driver(
    harness: &mut Harness,
    id: DriverId,
    name: &str,
) -> Result<(), EditError> {
    short_name(Named::Driver(id), name)?;
    let none = EditError::NoDriver(id);
    let host = harness.host_of(id).ok_or(none)?;
    let part = part_mut(harness, host)?;
    name.clone_into(&mut part.driver_mut(id).ok_or(none)?.name);
    Ok(())
}

/// Wire ends at one terminal of a part go to another of it, or become loose.
fn swap_port(harness: &mut Harness, part: PartId, from: Port, to: Option<Port>) {
    let at = Terminal { part, port: from };
    for wire in harness.wires.values_mut() {
        for end in [&mut wire.from, &mut wire.to] {
            if let Some(fact) = end
                && fact.value == at
            {
                match to {
                    Some(port) => fact.value.port = port,
                    None => *end = None,
                }
            }
        }
    }
}
