//! Whether a value can stand at a fact; putting it there.

use super::{EditError, nominal};
use crate::engine::CylinderId;
use crate::model::file::limits::{MOST_NAME, THICKEST_AWG, THINNEST_AWG};
use crate::model::{
    FactAt, FactOwner, FactValue, Fit, Harness, Hold, Port, Quantity, Terminal, WireSize,
};
use crate::provenance::Fact;

/// Puts a value at a fact, or takes it away. What it refers to is checked first.
///
/// # Errors
/// [`EditError`] where the harness has no place for it, where the value is of another kind, too long, out of
/// range, or refers to what is not there.
pub(super) fn put(
    harness: &mut Harness,
    at: FactAt,
    fact: Option<&Fact<FactValue>>,
) -> Result<(), EditError> {
    if let Some(fact) = fact {
        check(harness, at, &fact.value)?;
    }
    match harness.put_fact(at, fact) {
        Some(Fit::Fits) => Ok(()),
        Some(Fit::Other) => Err(EditError::WrongValue(at)),
        None => Err(absent(harness, at)),
    }
}

/// What is missing where the harness has no such fact.
fn absent(harness: &Harness, at: FactAt) -> EditError {
    let none = EditError::NoFact(at);
    match at.owner() {
        FactOwner::Engine => none,
        FactOwner::Wire(wire) => EditError::NoWire(wire),
        FactOwner::Driver(driver) if harness.driver(driver).is_none() => {
            EditError::NoDriver(driver)
        }
        FactOwner::Driver(_) => none,
        FactOwner::Pin(part, pin) if harness.unit(part).is_some() => EditError::NoPin(part, pin),
        FactOwner::Part(part) | FactOwner::Pin(part, _) | FactOwner::Cavity(part, _) => {
            if harness.parts.contains_key(&part) {
                none
            } else {
                EditError::NoPart(part)
            }
        }
    }
}

/// Whether a value can stand at a fact.
///
/// # Errors
/// [`EditError`] says what stands against it.
pub fn check(harness: &Harness, at: FactAt, value: &FactValue) -> Result<(), EditError> {
    match value {
        FactValue::Number(number) => in_range(at, *number),
        FactValue::Size(WireSize::Area(area)) => in_range(at, area.get()),
        FactValue::Size(WireSize::Awg(gauge)) => {
            if (THICKEST_AWG..=THINNEST_AWG).contains(gauge) {
                Ok(())
            } else {
                Err(EditError::OutOfRange(Quantity::WireArea))
            }
        }
        FactValue::Terminal(terminal) => {
            if !harness.has_terminal(*terminal) {
                return Err(EditError::NoTerminal(*terminal));
            }
            end_fits(harness, at, *terminal)
        }
        FactValue::Label(label) => {
            let characters = label.chars().count();
            if characters > MOST_NAME {
                return Err(EditError::LabelTooLong { at, characters });
            }
            Ok(())
        }
        FactValue::Cylinder(cylinder) => known_cylinder(harness, *cylinder),
        FactValue::Order(order) => {
            if order.len() > usize::from(crate::engine::MOST_CYLINDERS) {
                return Err(EditError::WrongValue(at));
            }
            order.iter().try_for_each(|c| known_cylinder(harness, *c))
        }
        FactValue::Firing(crate::engine::Firing::At(angles))
            if angles.len() > usize::from(crate::engine::MOST_CYLINDERS) =>
        {
            Err(EditError::WrongValue(at))
        }
        FactValue::Firing(_) | FactValue::Colour(_) | FactValue::Role(_) => Ok(()),
    }
}

fn known_cylinder(harness: &Harness, cylinder: CylinderId) -> Result<(), EditError> {
    if harness.engine.place(cylinder).is_none() {
        return Err(EditError::NoCylinder(cylinder));
    }
    Ok(())
}

fn in_range(at: FactAt, number: f64) -> Result<(), EditError> {
    let quantity = nominal::quantity(at).ok_or(EditError::WrongValue(at))?;
    let (low, high) = nominal::allowed(quantity);
    if (low..=high).contains(&number) {
        Ok(())
    } else {
        Err(EditError::OutOfRange(quantity))
    }
}

/// Whether a wire, a lead or a driver can end at such a terminal.
fn end_fits(harness: &Harness, at: FactAt, terminal: Terminal) -> Result<(), EditError> {
    let fits = match at {
        FactAt::WireEnd(..) => match terminal.port.hold() {
            Hold::Joint | Hold::Contact | Hold::Plain => true,
            Hold::Push | Hold::Thread => return Err(EditError::TakesNoWire(terminal)),
        },
        FactAt::LeadFrom(_) => {
            matches!(terminal.port, Port::TowerA | Port::TowerB | Port::Tower(_))
        }
        FactAt::LeadTo(_) => matches!(terminal.port, Port::PlugTop | Port::Centre),
        FactAt::DriverOutput(driver)
        | FactAt::DriverGround(driver)
        | FactAt::DriverDrive(driver) => {
            matches!(terminal.port, Port::Pin(_)) && harness.host_of(driver) == Some(terminal.part)
        }
        FactAt::FiringOrder
        | FactAt::FiringAngles
        | FactAt::WireColour(_)
        | FactAt::WireSize(_)
        | FactAt::WireLength(_)
        | FactAt::PinLabel(..)
        | FactAt::PinRole(..)
        | FactAt::CavityLabel(..)
        | FactAt::DriverOnVoltage(_)
        | FactAt::DriverOnResistance(_)
        | FactAt::BatteryVoltage(_)
        | FactAt::BatteryResistance(_)
        | FactAt::FuseRating(_)
        | FactAt::RelayWinding(_)
        | FactAt::PrimaryResistance(_)
        | FactAt::PrimaryInductance(_)
        | FactAt::SecondaryResistance(_)
        | FactAt::TurnsRatio(_)
        | FactAt::LeadResistance(_)
        | FactAt::PlugCylinder(_)
        | FactAt::PlugGap(_)
        | FactAt::PlugResistor(_)
        | FactAt::InjectorCylinder(_)
        | FactAt::InjectorWinding(_)
        | FactAt::PullUp(_)
        | FactAt::PullDown(_) => return Err(EditError::WrongValue(at)),
    };
    if fits {
        Ok(())
    } else {
        Err(EditError::DoesNotFit { at, terminal })
    }
}
