//! Every fact of a harness by its place, so that the way it is known can be read and changed.

use crate::model::{ControlUnit, Driver, FactAt, Harness, PartId, PartKind, WireEnd};
use crate::provenance::Provenance;

/// How many facts are known in which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FactCount {
    /// Nobody has looked.
    pub assumed: usize,
    /// Read off a diagram.
    pub diagram: usize,
    /// Seen or measured on this car.
    pub measured: usize,
}

impl FactCount {
    /// All of them together.
    #[must_use]
    pub const fn all(self) -> usize {
        self.assumed + self.diagram + self.measured
    }
}

/// Counts the facts of a harness by how they are known.
#[must_use]
pub fn count_facts(harness: &Harness) -> FactCount {
    let mut count = FactCount::default();
    for (_, how) in facts(harness) {
        match how {
            Provenance::Assumed => count.assumed += 1,
            Provenance::Diagram => count.diagram += 1,
            Provenance::Measured => count.measured += 1,
        }
    }
    count
}

/// How one fact is known; `None` where the harness has no such fact.
#[must_use]
pub fn provenance(harness: &Harness, at: FactAt) -> Option<Provenance> {
    harness.fact(at).map(|fact| fact.how)
}

/// Every fact of a harness that has a value, with how it is known: engine, parts, wires.
#[must_use]
pub fn facts(harness: &Harness) -> Vec<(FactAt, Provenance)> {
    let mut found = Vec::new();
    // One walk serves for reading and changing; reading works on a copy.
    let mut copy = harness.clone();
    visit(&mut copy, &mut |at, how| found.push((at, *how)));
    found
}

/// Calls `each` with the place of every fact that has a value and with how it is known.
pub(super) fn visit(harness: &mut Harness, each: &mut impl FnMut(FactAt, &mut Provenance)) {
    each(FactAt::FiringOrder, &mut harness.engine.order.how);
    each(FactAt::FiringAngles, &mut harness.engine.firing.how);
    for (&id, part) in &mut harness.parts {
        visit_part(id, &mut part.kind, each);
    }
    for (&id, wire) in &mut harness.wires {
        let mut one = |at, how: Option<&mut Provenance>| {
            if let Some(how) = how {
                each(at, how);
            }
        };
        one(
            FactAt::WireEnd(id, WireEnd::From),
            wire.from.as_mut().map(|fact| &mut fact.how),
        );
        one(
            FactAt::WireEnd(id, WireEnd::To),
            wire.to.as_mut().map(|fact| &mut fact.how),
        );
        one(
            FactAt::WireColour(id),
            wire.colour.as_mut().map(|fact| &mut fact.how),
        );
        one(
            FactAt::WireSize(id),
            wire.size.as_mut().map(|fact| &mut fact.how),
        );
        one(
            FactAt::WireLength(id),
            wire.length.as_mut().map(|fact| &mut fact.how),
        );
    }
}

pub(super) fn visit_part(
    id: PartId,
    kind: &mut PartKind,
    each: &mut impl FnMut(FactAt, &mut Provenance),
) {
    macro_rules! facts_of {
        ($($at:ident $field:expr),* $(,)?) => {
            {
                $(if let Some(fact) = $field.as_mut() {
                    each(FactAt::$at(id), &mut fact.how);
                })*
            }
        };
    }
    match kind {
        PartKind::Battery(battery) => facts_of!(
            BatteryVoltage battery.voltage,
            BatteryResistance battery.resistance,
        ),
        PartKind::Fuse(fuse) => facts_of!(FuseRating fuse.rating),
        PartKind::Relay(relay) => facts_of!(RelayWinding relay.winding),
        PartKind::Connector(connector) => {
            for cavity in &mut connector.cavities {
                if let Some(label) = &mut cavity.label {
                    each(FactAt::CavityLabel(id, cavity.id), &mut label.how);
                }
            }
        }
        PartKind::ControlUnit(unit) => {
            visit_unit(id, unit, each);
            facts_of!(
                PullUp unit.pull_up,
                PullDown unit.pull_down,
            );
        }
        PartKind::Coil(coil) => {
            if let Some(driver) = &mut coil.driver {
                visit_driver(driver, each);
            }
            facts_of!(
                PrimaryResistance coil.primary_resistance,
                PrimaryInductance coil.primary_inductance,
                SecondaryResistance coil.secondary_resistance,
                TurnsRatio coil.turns_ratio,
            );
        }
        PartKind::Lead(lead) => facts_of!(
            LeadFrom lead.from,
            LeadTo lead.to,
            LeadResistance lead.resistance,
        ),
        PartKind::Plug(plug) => facts_of!(
            PlugCylinder plug.cylinder,
            PlugGap plug.gap,
            PlugResistor plug.resistor,
        ),
        PartKind::Injector(injector) => facts_of!(
            InjectorCylinder injector.cylinder,
            InjectorWinding injector.winding,
        ),
        PartKind::KeySwitch
        | PartKind::Splice
        | PartKind::Ground(_)
        | PartKind::Pack
        | PartKind::Distributor(_) => {}
    }
}

fn visit_unit(id: PartId, unit: &mut ControlUnit, each: &mut impl FnMut(FactAt, &mut Provenance)) {
    for pin in &mut unit.pins {
        if let Some(label) = &mut pin.label {
            each(FactAt::PinLabel(id, pin.id), &mut label.how);
        }
        if let Some(role) = &mut pin.role {
            each(FactAt::PinRole(id, pin.id), &mut role.how);
        }
    }
    for driver in &mut unit.drivers {
        visit_driver(driver, each);
    }
}

fn visit_driver(driver: &mut Driver, each: &mut impl FnMut(FactAt, &mut Provenance)) {
    let id = driver.id;
    if let Some(fact) = &mut driver.output {
        each(FactAt::DriverOutput(id), &mut fact.how);
    }
    if let Some(fact) = &mut driver.ground {
        each(FactAt::DriverGround(id), &mut fact.how);
    }
    if let Some(fact) = &mut driver.drive {
        each(FactAt::DriverDrive(id), &mut fact.how);
    }
    if let Some(fact) = &mut driver.on_voltage {
        each(FactAt::DriverOnVoltage(id), &mut fact.how);
    }
    if let Some(fact) = &mut driver.on_resistance {
        each(FactAt::DriverOnResistance(id), &mut fact.how);
    }
}
