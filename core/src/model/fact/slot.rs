//! What stands at each fact: read, and set to another value of the same kind.

use super::{FactAt, FactOwner, FactValue};
use crate::engine::{CylinderId, Engine, Firing};
use crate::model::{
    Driver, DriverId, Harness, Part, PartId, PartKind, PinId, PinRole, Port, Rival, Terminal, Wire,
    WireColour, WireEnd, WireSize,
};
use crate::provenance::Fact;
use crate::units::{Amps, Henries, Metres, Millimetres, Ohms, Volts};

impl Harness {
    /// What the map goes by at a fact, and how that is known.
    ///
    /// `None` while it is unknown, and where there is no such fact.
    ///
    /// # Example
    /// ```
    /// use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
    /// use sparktrail_core::engine::{Layout, Strokes};
    /// use sparktrail_core::model::{FactAt, FactValue};
    /// let harness = build(&Plan::new("Blue estate", propose_engine(4, Layout::Inline, Strokes::Four)))?;
    /// let wire = *harness.wires.keys().next().unwrap();
    /// let colour = harness.fact(FactAt::WireColour(wire)).unwrap();
    /// assert!(matches!(colour.value, FactValue::Colour(_)));
    /// # Ok::<(), sparktrail_core::edit::layouts::PlanError>(())
    /// ```
    #[must_use]
    pub fn fact(&self, at: FactAt) -> Option<Fact<FactValue>> {
        let mut found = None;
        self.look(at, &mut |slot| found = slot.get())?;
        found
    }

    /// Whether the harness has a place for such a fact, known or not.
    #[must_use]
    pub fn has_fact(&self, at: FactAt) -> bool {
        self.look(at, &mut |_| {}).is_some()
    }

    /// What else is said of a fact.
    pub fn rivals_of(&self, at: FactAt) -> impl Iterator<Item = &Rival> {
        self.rivals.iter().filter(move |rival| rival.at == at)
    }

    /// Calls `act` with the fact. One walk serves for reading and setting; reading works on a copy of the one
    /// thing concerned.
    fn look(&self, at: FactAt, act: Act<'_>) -> Option<()> {
        match at.owner() {
            FactOwner::Engine => at_engine(&mut self.engine.clone(), at, act),
            FactOwner::Wire(id) => at_wire(&mut self.wires.get(&id)?.clone(), at, act),
            FactOwner::Part(id) | FactOwner::Pin(id, _) | FactOwner::Cavity(id, _) => {
                at_part(&mut self.parts.get(&id)?.kind.clone(), at, act)
            }
            FactOwner::Driver(id) => {
                let host = self.host_of(id)?;
                let place = place_of(self.parts.get(&host)?);
                at_driver(&mut self.driver(id)?.clone(), host, place, at, act)
            }
        }
    }

    /// Puts a value at a fact, or takes it away, whatever it refers to.
    ///
    /// `None` where there is no such fact; `Some(Fit::Other)` where another kind of value belongs there.
    pub(crate) fn put_fact(&mut self, at: FactAt, fact: Option<&Fact<FactValue>>) -> Option<Fit> {
        let mut fit = Fit::Fits;
        let mut act = |slot: &mut dyn Slot| fit = slot.set(fact);
        match at.owner() {
            FactOwner::Engine => at_engine(&mut self.engine, at, &mut act)?,
            FactOwner::Wire(id) => at_wire(self.wires.get_mut(&id)?, at, &mut act)?,
            FactOwner::Part(id) | FactOwner::Pin(id, _) | FactOwner::Cavity(id, _) => {
                at_part(&mut self.parts.get_mut(&id)?.kind, at, &mut act)?
            }
            FactOwner::Driver(id) => {
                let host = self.host_of(id)?;
                let part = self.parts.get_mut(&host)?;
                let place = place_of(part);
                at_driver(part.driver_mut(id)?, host, place, at, &mut act)?;
            }
        }
        Some(fit)
    }
}

impl Part {
    /// A driver in this box or coil.
    pub(crate) fn driver_mut(&mut self, id: DriverId) -> Option<&mut Driver> {
        let kind = &mut self.kind;
        if let PartKind::ControlUnit(unit) = kind {
            unit.drivers.iter_mut().find(|driver| driver.id == id)
        } else if let PartKind::Coil(coil) = kind {
            coil.driver.as_mut().filter(|driver| driver.id == id)
        } else {
            None
        }
    }
}

/// Whether a value was of the kind that belongs at a fact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fit {
    /// It was, and was set.
    Fits,
    /// It was not; nothing changed.
    Other,
}

/// A fact that may be unknown, whatever it says.
trait Slot {
    fn get(&self) -> Option<Fact<FactValue>>;
    /// Sets the value where it is of the kind that belongs here.
    fn set(&mut self, fact: Option<&Fact<FactValue>>) -> Fit;
}

macro_rules! slots {
    ($($type:ty: $variant:ident($inner:ident) => $from:expr, $to:expr);* $(;)?) => {
        $(impl Slot for Option<Fact<$type>> {
            fn get(&self) -> Option<Fact<FactValue>> {
                self.as_ref().map(|fact| {
                    let $inner = &fact.value;
                    Fact { value: FactValue::$variant($from), how: fact.how }
                })
            }

            fn set(&mut self, fact: Option<&Fact<FactValue>>) -> Fit {
                let Some(fact) = fact else {
                    *self = None;
                    return Fit::Fits;
                };
                let FactValue::$variant($inner) = &fact.value else {
                    return Fit::Other;
                };
                let Some(value) = $to else {
                    return Fit::Other;
                };
                *self = Some(Fact { value, how: fact.how });
                Fit::Fits
            }
        })*
    };
}

slots!(
    Volts: Number(it) => it.get(), Volts::new(*it).ok();
    Ohms: Number(it) => it.get(), Ohms::new(*it).ok();
    Amps: Number(it) => it.get(), Amps::new(*it).ok();
    Henries: Number(it) => it.get(), Henries::new(*it).ok();
    Metres: Number(it) => it.get(), Metres::new(*it).ok();
    Millimetres: Number(it) => it.get(), Millimetres::new(*it).ok();
    f64: Number(it) => *it, it.is_finite().then_some(*it);
    WireSize: Size(it) => *it, Some(*it);
    WireColour: Colour(it) => *it, Some(*it);
    Terminal: Terminal(it) => *it, Some(*it);
    String: Label(it) => it.clone(), Some(it.clone());
    PinRole: Role(it) => *it, Some(*it);
    CylinderId: Cylinder(it) => *it, Some(*it);
);

/// A pin that a driver uses, told as a terminal of its box.
struct PinOf<'a> {
    unit: PartId,
    pin: &'a mut Option<Fact<PinId>>,
}

impl Slot for PinOf<'_> {
    fn get(&self) -> Option<Fact<FactValue>> {
        self.pin.map(|fact| Fact {
            value: FactValue::Terminal(Terminal {
                part: self.unit,
                port: Port::Pin(fact.value),
            }),
            how: fact.how,
        })
    }

    fn set(&mut self, fact: Option<&Fact<FactValue>>) -> Fit {
        let Some(fact) = fact else {
            *self.pin = None;
            return Fit::Fits;
        };
        if let FactValue::Terminal(Terminal {
            part,
            port: Port::Pin(pin),
        }) = &fact.value
            && *part == self.unit
        {
            *self.pin = Some(Fact {
                value: *pin,
                how: fact.how,
            });
            return Fit::Fits;
        }
        Fit::Other
    }
}

type Act<'a> = &'a mut dyn FnMut(&mut dyn Slot);

fn at_engine(engine: &mut Engine, at: FactAt, act: Act<'_>) -> Option<()> {
    if at == FactAt::FiringOrder {
        act(&mut engine.order);
    } else {
        act(&mut engine.firing);
    }
    Some(())
}

/// An engine always has an order and angles: they cannot be taken away.
macro_rules! always {
    ($($type:ty: $variant:ident);* $(;)?) => {
        $(impl Slot for Fact<$type> {
            fn get(&self) -> Option<Fact<FactValue>> {
                let value = FactValue::$variant(self.value.clone());
                Some(Fact { value, how: self.how })
            }

            fn set(&mut self, fact: Option<&Fact<FactValue>>) -> Fit {
                let Some(Fact { value: FactValue::$variant(value), how }) = fact else {
                    return Fit::Other;
                };
                *self = Fact { value: value.clone(), how: *how };
                Fit::Fits
            }
        })*
    };
}

always!(Vec<CylinderId>: Order; Firing: Firing);

fn at_wire(wire: &mut Wire, at: FactAt, act: Act<'_>) -> Option<()> {
    let slot: &mut dyn Slot = match (wire, at) {
        (wire, FactAt::WireEnd(_, WireEnd::From)) => &mut wire.from,
        (wire, FactAt::WireEnd(_, WireEnd::To)) => &mut wire.to,
        (wire, FactAt::WireColour(_)) => &mut wire.colour,
        (wire, FactAt::WireSize(_)) => &mut wire.size,
        (wire, FactAt::WireLength(_)) => &mut wire.length,
        // A fact of another owner.
        (_, _) => return None,
    };
    act(slot);
    Some(())
}

/// Where a driver sits: inside a coil it has no pins.
#[derive(Clone, Copy, PartialEq, Eq)]
enum DriverPlace {
    Unit,
    Coil,
}

const fn place_of(part: &Part) -> DriverPlace {
    if let PartKind::Coil(_) = part.kind {
        DriverPlace::Coil
    } else {
        DriverPlace::Unit
    }
}

fn at_driver(
    driver: &mut Driver,
    unit: PartId,
    place: DriverPlace,
    at: FactAt,
    act: Act<'_>,
) -> Option<()> {
    let pin = match (driver, at, place) {
        (driver, FactAt::DriverOnVoltage(_), _) => {
            act(&mut driver.on_voltage);
            return Some(());
        }
        (driver, FactAt::DriverOnResistance(_), _) => {
            act(&mut driver.on_resistance);
            return Some(());
        }
        (driver, FactAt::DriverOutput(_), DriverPlace::Unit) => &mut driver.output,
        (driver, FactAt::DriverGround(_), DriverPlace::Unit) => &mut driver.ground,
        (driver, FactAt::DriverDrive(_), DriverPlace::Unit) => &mut driver.drive,
        // A fact of another owner, or a pin of a driver that has none.
        (_, _, _) => return None,
    };
    act(&mut PinOf { unit, pin });
    Some(())
}

fn at_part(kind: &mut PartKind, at: FactAt, act: Act<'_>) -> Option<()> {
    let slot: &mut dyn Slot = match (kind, at) {
        (PartKind::ControlUnit(unit), FactAt::PinLabel(_, pin)) => {
            &mut unit.pins.iter_mut().find(|p| p.id == pin)?.label
        }
        (PartKind::ControlUnit(unit), FactAt::PinRole(_, pin)) => {
            &mut unit.pins.iter_mut().find(|p| p.id == pin)?.role
        }
        (PartKind::Connector(connector), FactAt::CavityLabel(_, cavity)) => {
            &mut connector
                .cavities
                .iter_mut()
                .find(|c| c.id == cavity)?
                .label
        }
        (PartKind::Battery(part), FactAt::BatteryVoltage(_)) => &mut part.voltage,
        (PartKind::Battery(part), FactAt::BatteryResistance(_)) => &mut part.resistance,
        (PartKind::Fuse(part), FactAt::FuseRating(_)) => &mut part.rating,
        (PartKind::Relay(part), FactAt::RelayWinding(_)) => &mut part.winding,
        (PartKind::Coil(part), FactAt::PrimaryResistance(_)) => &mut part.primary_resistance,
        (PartKind::Coil(part), FactAt::PrimaryInductance(_)) => &mut part.primary_inductance,
        (PartKind::Coil(part), FactAt::SecondaryResistance(_)) => &mut part.secondary_resistance,
        (PartKind::Coil(part), FactAt::TurnsRatio(_)) => &mut part.turns_ratio,
        (PartKind::Lead(part), FactAt::LeadFrom(_)) => &mut part.from,
        (PartKind::Lead(part), FactAt::LeadTo(_)) => &mut part.to,
        (PartKind::Lead(part), FactAt::LeadResistance(_)) => &mut part.resistance,
        (PartKind::Plug(part), FactAt::PlugCylinder(_)) => &mut part.cylinder,
        (PartKind::Plug(part), FactAt::PlugGap(_)) => &mut part.gap,
        (PartKind::Plug(part), FactAt::PlugResistor(_)) => &mut part.resistor,
        (PartKind::Injector(part), FactAt::InjectorCylinder(_)) => &mut part.cylinder,
        (PartKind::Injector(part), FactAt::InjectorWinding(_)) => &mut part.winding,
        (PartKind::ControlUnit(part), FactAt::PullUp(_)) => &mut part.pull_up,
        (PartKind::ControlUnit(part), FactAt::PullDown(_)) => &mut part.pull_down,
        // A fact of another kind of part.
        (_, _) => return None,
    };
    act(slot);
    Some(())
}
