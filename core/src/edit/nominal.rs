//! The numbers of parts and wires by their place: read, checked against what can be, set.

use super::{EditError, FactAt};
use crate::model::{Driver, DriverId, Harness, PartId, PartKind, Quantity, WireId, WireSize};
use crate::provenance::{Fact, Provenance};
use crate::units::{Amps, Henries, Metres, Millimetres, Ohms, SquareMillimetres, Volts};

/// A value beyond what the map check lets pass by more than this many times is a slip of the pen.
const SLIP: f64 = 10.0;

/// What is measured at a fact; `None` where the fact is no number.
#[must_use]
pub const fn quantity(at: FactAt) -> Option<Quantity> {
    match at {
        FactAt::BatteryVoltage(_) => Some(Quantity::BatteryVoltage),
        FactAt::BatteryResistance(_) => Some(Quantity::BatteryResistance),
        FactAt::FuseRating(_) => Some(Quantity::FuseRating),
        FactAt::RelayWinding(_) => Some(Quantity::RelayWinding),
        FactAt::PrimaryResistance(_) => Some(Quantity::Primary),
        FactAt::PrimaryInductance(_) => Some(Quantity::Inductance),
        FactAt::SecondaryResistance(_) => Some(Quantity::Secondary),
        FactAt::TurnsRatio(_) => Some(Quantity::TurnsRatio),
        FactAt::LeadResistance(_) => Some(Quantity::Lead),
        FactAt::PlugGap(_) => Some(Quantity::Gap),
        FactAt::PlugResistor(_) => Some(Quantity::PlugResistor),
        FactAt::InjectorWinding(_) => Some(Quantity::InjectorWinding),
        FactAt::DriverOnVoltage(_) => Some(Quantity::DriverVoltage),
        FactAt::DriverOnResistance(_) => Some(Quantity::DriverResistance),
        FactAt::WireSize(_) => Some(Quantity::WireArea),
        FactAt::WireLength(_) => Some(Quantity::WireLength),
        FactAt::FiringOrder
        | FactAt::FiringAngles
        | FactAt::WireEnd(..)
        | FactAt::WireColour(_)
        | FactAt::PinLabel(..)
        | FactAt::PinRole(..)
        | FactAt::CavityLabel(..)
        | FactAt::DriverOutput(_)
        | FactAt::DriverGround(_)
        | FactAt::DriverDrive(_)
        | FactAt::LeadFrom(_)
        | FactAt::LeadTo(_)
        | FactAt::PlugCylinder(_)
        | FactAt::InjectorCylinder(_) => None,
    }
}

/// The least and the greatest value that [`super::Command::SetNominal`] takes, in the unit of the
/// quantity's range: wide enough for a broken part, too narrow for a slipped decimal point.
#[must_use]
pub fn allowed(quantity: Quantity) -> (f64, f64) {
    let (low, high) = quantity.range().passes;
    (low / SLIP, high * SLIP)
}

/// The number at a fact, in the unit of its quantity's range; a wire's gauge is told as its area.
/// `None` while it is unknown, and where there is no such fact.
#[must_use]
pub fn nominal(harness: &Harness, at: FactAt) -> Option<Fact<f64>> {
    let mut found = None;
    // One walk serves for reading and setting; reading works on a copy.
    visit(&mut harness.clone(), at, &mut |place: &mut dyn Number| {
        found = place.get()
    })?;
    found
}

/// Puts a number at a fact, or takes it away.
///
/// # Errors
/// [`EditError::NoFact`] where no such number can stand; [`EditError::OutOfRange`].
pub(super) fn set(
    harness: &mut Harness,
    at: FactAt,
    value: Option<Fact<f64>>,
) -> Result<(), EditError> {
    let quantity = quantity(at).ok_or(EditError::NoFact(at))?;
    if let Some(fact) = value {
        let (low, high) = allowed(quantity);
        if !(low..=high).contains(&fact.value) {
            return Err(EditError::OutOfRange(quantity));
        }
    }
    visit(harness, at, &mut |place: &mut dyn Number| place.set(value)).ok_or(EditError::NoFact(at))
}

/// A number that may be unknown, whatever its unit.
trait Number {
    fn get(&self) -> Option<Fact<f64>>;
    fn set(&mut self, value: Option<Fact<f64>>);
}

macro_rules! numbers {
    ($($unit:ty),*) => {
        $(impl Number for Option<Fact<$unit>> {
            fn get(&self) -> Option<Fact<f64>> {
                self.map(|fact| Fact { value: fact.value.get(), how: fact.how })
            }

            fn set(&mut self, value: Option<Fact<f64>>) {
                *self = value.and_then(|fact| known(<$unit>::new(fact.value).ok(), fact.how));
            }
        })*
    };
}

numbers!(Volts, Ohms, Amps, Henries, Metres, Millimetres);

impl Number for Option<Fact<f64>> {
    fn get(&self) -> Option<Fact<f64>> {
        *self
    }

    fn set(&mut self, value: Option<Fact<f64>>) {
        *self = value;
    }
}

impl Number for Option<Fact<WireSize>> {
    fn get(&self) -> Option<Fact<f64>> {
        self.map(|fact| Fact {
            value: fact.value.area().get(),
            how: fact.how,
        })
    }

    fn set(&mut self, value: Option<Fact<f64>>) {
        *self = value.and_then(|fact| {
            let area = SquareMillimetres::new(fact.value).ok();
            known(area.map(WireSize::Area), fact.how)
        });
    }
}

fn known<T>(value: Option<T>, how: Provenance) -> Option<Fact<T>> {
    value.map(|value| Fact { value, how })
}

/// Calls `act` with the number at a fact; `None` where the harness has no place for it.
fn visit(harness: &mut Harness, at: FactAt, act: &mut dyn FnMut(&mut dyn Number)) -> Option<()> {
    match at {
        FactAt::WireSize(id) => act(&mut wire(harness, id)?.size),
        FactAt::WireLength(id) => act(&mut wire(harness, id)?.length),
        FactAt::DriverOnVoltage(id) => act(&mut driver(harness, id)?.on_voltage),
        FactAt::DriverOnResistance(id) => act(&mut driver(harness, id)?.on_resistance),
        FactAt::BatteryVoltage(id)
        | FactAt::BatteryResistance(id)
        | FactAt::FuseRating(id)
        | FactAt::RelayWinding(id)
        | FactAt::PrimaryResistance(id)
        | FactAt::PrimaryInductance(id)
        | FactAt::SecondaryResistance(id)
        | FactAt::TurnsRatio(id)
        | FactAt::LeadResistance(id)
        | FactAt::PlugGap(id)
        | FactAt::PlugResistor(id)
        | FactAt::InjectorWinding(id) => act(of_part(harness, id, at)?),
        FactAt::FiringOrder
        | FactAt::FiringAngles
        | FactAt::WireEnd(..)
        | FactAt::WireColour(_)
        | FactAt::PinLabel(..)
        | FactAt::PinRole(..)
        | FactAt::CavityLabel(..)
        | FactAt::DriverOutput(_)
        | FactAt::DriverGround(_)
        | FactAt::DriverDrive(_)
        | FactAt::LeadFrom(_)
        | FactAt::LeadTo(_)
        | FactAt::PlugCylinder(_)
        | FactAt::InjectorCylinder(_) => return None,
    }
    Some(())
}

fn wire(harness: &mut Harness, id: WireId) -> Option<&mut crate::model::Wire> {
    harness.wires.get_mut(&id)
}

fn driver(harness: &mut Harness, id: DriverId) -> Option<&mut Driver> {
    let host = harness.host_of(id)?;
    let kind = &mut harness.parts.get_mut(&host)?.kind;
    if let PartKind::ControlUnit(unit) = kind {
        unit.drivers.iter_mut().find(|driver| driver.id == id)
    } else if let PartKind::Coil(coil) = kind {
        coil.driver.as_mut()
    } else {
        None
    }
}

fn of_part(harness: &mut Harness, id: PartId, at: FactAt) -> Option<&mut dyn Number> {
    let kind = &mut harness.parts.get_mut(&id)?.kind;
    Some(match (kind, at) {
        (PartKind::Battery(part), FactAt::BatteryVoltage(_)) => &mut part.voltage,
        (PartKind::Battery(part), FactAt::BatteryResistance(_)) => &mut part.resistance,
        (PartKind::Fuse(part), FactAt::FuseRating(_)) => &mut part.rating,
        (PartKind::Relay(part), FactAt::RelayWinding(_)) => &mut part.winding,
        (PartKind::Coil(part), FactAt::PrimaryResistance(_)) => &mut part.primary_resistance,
        (PartKind::Coil(part), FactAt::PrimaryInductance(_)) => &mut part.primary_inductance,
        (PartKind::Coil(part), FactAt::SecondaryResistance(_)) => &mut part.secondary_resistance,
        (PartKind::Coil(part), FactAt::TurnsRatio(_)) => &mut part.turns_ratio,
        (PartKind::Lead(part), FactAt::LeadResistance(_)) => &mut part.resistance,
        (PartKind::Plug(part), FactAt::PlugGap(_)) => &mut part.gap,
        (PartKind::Plug(part), FactAt::PlugResistor(_)) => &mut part.resistor,
        (PartKind::Injector(part), FactAt::InjectorWinding(_)) => &mut part.winding,
        // A fact of another kind of part.
        (_, _) => return None,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use std::sync::Arc;

    use super::*;
    use crate::edit::layouts::{Injectors, Plan, build, propose_engine};
    use crate::edit::{Command, History, apply, facts};
    use crate::engine::{Layout, Strokes};

    fn example() -> Harness {
        let engine = propose_engine(4, Layout::Inline, Strokes::Four);
        let plan = Plan {
            injectors: Injectors::Drawn,
            ..Plan::new("Test", engine)
        };
        build(&plan).unwrap()
    }

    #[test]
    fn every_number_of_a_map_is_read_set_taken_away_and_brought_back() {
        let harness = Arc::new(example());
        let mut seen = 0;
        for (at, how) in facts(&harness) {
            let Some(quantity) = quantity(at) else {
                continue;
            };
            seen += 1;
            let before = nominal(&harness, at).unwrap();
            assert_eq!(before.how, how, "{at:?}");
            let (low, high) = allowed(quantity);
            let value = f64::midpoint(low, high);
            let mut history = History::new(Arc::clone(&harness));
            let fact = Some(Fact::measured(value));
            history
                .apply(Command::SetNominal { at, value: fact })
                .unwrap();
            assert_eq!(nominal(history.now(), at), fact, "{at:?}");
            history
                .apply(Command::SetNominal { at, value: None })
                .unwrap();
            assert_eq!(nominal(history.now(), at), None, "{at:?}");
            history.undo();
            history.undo();
            assert_eq!(**history.now(), *harness);
        }
        assert!(seen > 20, "{seen}");
    }

    #[test]
    fn a_slip_of_the_pen_is_refused_and_nothing_changes() {
        let harness = example();
        let (at, _) = facts(&harness)
            .into_iter()
            .find(|(at, _)| matches!(at, FactAt::PrimaryResistance(_)))
            .unwrap();
        for value in [f64::NAN, f64::INFINITY, -0.5, 550.0] {
            let value = Some(Fact::measured(value));
            let refused = apply(&harness, &Command::SetNominal { at, value });
            assert_eq!(refused, Err(EditError::OutOfRange(Quantity::Primary)));
        }
        let message = EditError::OutOfRange(Quantity::Primary).to_string();
        assert!(
            message.contains("0.015") && message.contains("40 Ω"),
            "{message}"
        );
        let other = FactAt::PlugGap(PartId(u32::MAX - 1));
        let value = Some(Fact::measured(0.8));
        let refused = apply(&harness, &Command::SetNominal { at: other, value });
        assert_eq!(refused, Err(EditError::NoFact(other)));
    }
}
