//! The inner elements of a harness: everything that can fail by itself.

use super::{
    CavityId, ControlUnit, DriverId, Harness, Hold, Part, PartId, PartKind, PinId, PinRole, Port,
    Terminal, UnitRole, WireEnd, WireId, apart,
};
use crate::engine::CylinderId;
use crate::gather::Arrange;
use crate::said::{said, say};

/// One thing that can fail by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Element {
    /// The battery with its inner resistance.
    Battery(PartId),
    /// Contact of a fuse, a key switch, or a relay (30 to 87).
    Contact(PartId),
    /// Winding of a relay (85 to 86).
    RelayWinding(PartId),
    /// A wire's conductor and insulation.
    Wire(WireId),
    /// Where a wire end is screwed, crimped or soldered to a battery post, splice or ground point.
    Joint(WireId, WireEnd),
    /// The mated contact at a pluggable terminal: pin of a unit, coil plug, relay socket, injector plug.
    Mated(Terminal),
    /// The contact of an in-line connector's cavity.
    Cavity(PartId, CavityId),
    /// The circuit-board trace behind a pin.
    Trace(PartId, PinId),
    /// The joints and traces that share out a unit's supply.
    BoardSupply(PartId),
    /// The joints and traces that share out a unit's ground.
    BoardGround(PartId),
    /// The logic that decides when to spark.
    Logic(PartId),
    /// The crank signal that the logic needs.
    CrankSignal(PartId),
    /// One of the pieces of a driver.
    Driver(DriverId, DriverPiece),
    /// A coil's primary winding.
    Primary(PartId),
    /// A coil's secondary winding.
    Secondary(PartId),
    /// A coil's insulation, towers included.
    CoilInsulation(PartId),
    /// A distributor's rotor.
    Rotor(PartId),
    /// A distributor's cap.
    Cap(PartId),
    /// A lead's conductor.
    LeadConductor(PartId),
    /// A lead's or boot's insulation.
    LeadInsulation(PartId),
    /// A plug's gap.
    Gap(PartId),
    /// A plug's insulator.
    Insulator(PartId),
    /// A plug's resistor.
    PlugResistor(PartId),
    /// An injector's winding.
    InjectorWinding(PartId),
    /// Anything in a cylinder that is not electrical: fuel, air, compression.
    Cylinder(CylinderId),
}

/// One of the pieces of a driver.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DriverPiece {
    /// Solder joint of the output (collector or drain).
    OutputJoint,
    /// The switch itself: the transistor.
    Switch,
    /// Solder joint of the ground side (emitter or source).
    GroundJoint,
    /// First joint of the drive path: logic to resistor.
    DriveJoint,
    /// The resistor in the drive path.
    DriveResistor,
    /// Last joint of the drive path: resistor to gate or base.
    GateJoint,
}

impl DriverPiece {
    /// Every piece, from the output to the drive.
    pub const ALL: [Self; 6] = [
        Self::OutputJoint,
        Self::Switch,
        Self::GroundJoint,
        Self::DriveJoint,
        Self::DriveResistor,
        Self::GateJoint,
    ];
}

impl Harness {
    /// Every element of the harness, in rising order, each once.
    #[must_use]
    pub fn elements(&self) -> Vec<Element> {
        let mut found = Vec::new();
        for (&id, part) in &self.parts {
            self.elements_of(id, part, &mut found);
        }
        for &id in self.wires.keys() {
            found.push(Element::Wire(id));
            let joints = WireEnd::BOTH.into_iter();
            let joints = joints.filter(|end| self.is_joint(id, *end));
            found.extend(joints.map(|end| Element::Joint(id, end)));
        }
        found.extend(self.engine.cylinders().into_iter().map(Element::Cylinder));
        found.arrange();
        found.dedup();
        found
    }

    /// Whether [`Self::elements`] holds an element.
    #[must_use]
    pub fn has_element(&self, element: Element) -> bool {
        match element {
            Element::Wire(wire) => self.wires.contains_key(&wire),
            Element::Joint(wire, end) => self.is_joint(wire, end),
            Element::Cylinder(cylinder) => self.engine.cylinders().contains(&cylinder),
            Element::Battery(_)
            | Element::Contact(_)
            | Element::RelayWinding(_)
            | Element::Mated(_)
            | Element::Cavity(..)
            | Element::Trace(..)
            | Element::BoardSupply(_)
            | Element::BoardGround(_)
            | Element::Logic(_)
            | Element::CrankSignal(_)
            | Element::Driver(..)
            | Element::Primary(_)
            | Element::Secondary(_)
            | Element::CoilInsulation(_)
            | Element::Rotor(_)
            | Element::Cap(_)
            | Element::LeadConductor(_)
            | Element::LeadInsulation(_)
            | Element::Gap(_)
            | Element::Insulator(_)
            | Element::PlugResistor(_)
            | Element::InjectorWinding(_) => {
                let mut found = Vec::new();
                let id = self.part_of(element);
                if let Some((id, part)) = id.and_then(|id| Some((id, self.parts.get(&id)?))) {
                    self.elements_of(id, part, &mut found);
                }
                found.contains(&element)
            }
        }
    }

    /// Whether an end of a wire is screwed, crimped or soldered to something.
    fn is_joint(&self, wire: WireId, end: WireEnd) -> bool {
        let at = self.wires.get(&wire).and_then(|wire| wire.end(end));
        at.is_some_and(|fact| fact.value.port.hold() == Hold::Joint)
    }

    /// Adds the elements of one part.
    fn elements_of(&self, id: PartId, part: &Part, found: &mut Vec<Element>) {
        for terminal in self.terminals_of(id) {
            if terminal.port.hold() == Hold::Contact {
                found.push(Element::Mated(terminal));
            }
        }
        match &part.kind {
            PartKind::Battery(_) => found.push(Element::Battery(id)),
            PartKind::Fuse(_) | PartKind::KeySwitch => found.push(Element::Contact(id)),
            PartKind::Relay(_) => {
                found.extend([Element::Contact(id), Element::RelayWinding(id)]);
            }
            PartKind::Splice | PartKind::Ground(_) | PartKind::Pack => {}
            PartKind::Connector(connector) => {
                found.extend(connector.cavities.iter().map(|c| Element::Cavity(id, c.id)));
            }
            PartKind::ControlUnit(unit) => found.extend(unit_elements(id, unit)),
            PartKind::Coil(coil) => {
                found.extend([
                    Element::Primary(id),
                    Element::Secondary(id),
                    Element::CoilInsulation(id),
                ]);
                if let Some(driver) = &coil.driver {
                    found.extend(DriverPiece::ALL.map(|piece| Element::Driver(driver.id, piece)));
                }
            }
            PartKind::Distributor(_) => found.extend([Element::Rotor(id), Element::Cap(id)]),
            PartKind::Lead(_) => {
                found.extend([Element::LeadConductor(id), Element::LeadInsulation(id)]);
            }
            PartKind::Plug(_) => found.extend([
                Element::Gap(id),
                Element::Insulator(id),
                Element::PlugResistor(id),
            ]),
            PartKind::Injector(_) => found.push(Element::InjectorWinding(id)),
        }
    }

    /// The part that an element belongs to; `None` for wires, joints of wires and cylinders.
    #[must_use]
    pub fn part_of(&self, element: Element) -> Option<PartId> {
        match element {
            Element::Battery(part)
            | Element::Contact(part)
            | Element::RelayWinding(part)
            | Element::Cavity(part, _)
            | Element::Trace(part, _)
            | Element::BoardSupply(part)
            | Element::BoardGround(part)
            | Element::Logic(part)
            | Element::CrankSignal(part)
            | Element::Primary(part)
            | Element::Secondary(part)
            | Element::CoilInsulation(part)
            | Element::Rotor(part)
            | Element::Cap(part)
            | Element::LeadConductor(part)
            | Element::LeadInsulation(part)
            | Element::Gap(part)
            | Element::Insulator(part)
            | Element::PlugResistor(part)
            | Element::InjectorWinding(part) => Some(part),
            Element::Mated(terminal) => Some(terminal.part),
            Element::Driver(driver, _) => self.host_of(driver),
            Element::Wire(_) | Element::Joint(..) | Element::Cylinder(_) => None,
        }
    }

    /// An element as people say it: "Coil B, primary winding".
    #[must_use]
    pub fn element_name(&self, element: Element) -> String {
        let of = |part: PartId, what: &str| format!("{}, {what}", apart(self.part_name(part)));
        match element {
            Element::Battery(part) => self.part_name(part).to_owned(),
            Element::Contact(part) => of(part, said("contact")),
            Element::RelayWinding(part) => of(part, said("winding")),
            Element::Wire(wire) => self.wire_name(wire),
            Element::Joint(wire, end) => {
                let at = self
                    .wires
                    .get(&wire)
                    .and_then(|w| w.end(end))
                    .map_or("?", |fact| self.part_name(fact.value.part));
                say!("{}, joint at {}", self.wire_name(wire), apart(at))
            }
            Element::Mated(terminal) => {
                say!("{}, plug contact", self.terminal_name(terminal))
            }
            Element::Cavity(part, cavity) => {
                let label = self
                    .cavity(part, cavity)
                    .and_then(|c| c.label.as_ref())
                    .map_or("?", |label| label.value.as_str());
                of(part, &say!("contact of cavity {label}"))
            }
            Element::Trace(part, pin) => {
                let pin = self.port_name(Terminal {
                    part,
                    port: Port::Pin(pin),
                });
                of(part, &say!("trace behind {pin}"))
            }
            Element::BoardSupply(part) => of(part, said("supply joints on the board")),
            Element::BoardGround(part) => of(part, said("ground joints on the board")),
            Element::Logic(part) => of(part, said("logic")),
            Element::CrankSignal(part) => of(part, said("crank signal")),
            Element::Driver(driver, piece) => {
                let piece = match piece {
                    DriverPiece::OutputJoint => said("output joint"),
                    DriverPiece::Switch => said("transistor"),
                    DriverPiece::GroundJoint => said("ground joint"),
                    DriverPiece::DriveJoint => said("drive path, joint at the logic"),
                    DriverPiece::DriveResistor => said("drive path, resistor"),
                    DriverPiece::GateJoint => said("drive path, joint at the gate"),
                };
                let host = self
                    .host_of(driver)
                    .map_or("?", |part| self.part_name(part));
                let name = self
                    .driver(driver)
                    .map_or_else(|| said("driver ?"), |d| d.name.as_str());
                format!("{}, {}, {piece}", apart(host), apart(name))
            }
            Element::Primary(part) => of(part, said("primary winding")),
            Element::Secondary(part) => of(part, said("secondary winding")),
            Element::CoilInsulation(part) => of(part, said("insulation")),
            Element::Rotor(part) => of(part, said("rotor")),
            Element::Cap(part) => of(part, said("cap")),
            Element::LeadConductor(part) => of(part, said("conductor")),
            Element::LeadInsulation(part) => of(part, said("insulation")),
            Element::Gap(part) => of(part, said("gap")),
            Element::Insulator(part) => of(part, said("insulator")),
            Element::PlugResistor(part) => of(part, said("resistor")),
            Element::InjectorWinding(part) => of(part, said("winding")),
            Element::Cylinder(cylinder) => {
                say!("Cylinder {cylinder}, not electrical (fuel, air, compression)")
            }
        }
    }
}

fn unit_elements(id: PartId, unit: &ControlUnit) -> Vec<Element> {
    let mut found = vec![Element::BoardSupply(id), Element::BoardGround(id)];
    if unit.role == UnitRole::EngineControl {
        found.extend([Element::Logic(id), Element::CrankSignal(id)]);
    }
    found.extend(
        unit.pins
            .iter()
            .filter(|pin| {
                pin.role.is_some_and(|role| {
                    !matches!(
                        role.value,
                        PinRole::Supply | PinRole::Ground | PinRole::Other
                    )
                })
            })
            .map(|pin| Element::Trace(id, pin.id)),
    );
    for driver in &unit.drivers {
        found.extend(DriverPiece::ALL.map(|piece| Element::Driver(driver.id, piece)));
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::model::random::{Dice, random_harness};

    #[test]
    fn an_element_is_there_just_where_the_list_of_all_holds_it() {
        for seed in 0..40 {
            let whole = random_harness(seed, 6);
            let mut harness = whole.clone();
            let mut dice = Dice::new(seed);
            harness.parts.retain(|_, _| dice.often(60));
            harness.wires.retain(|_, _| dice.often(60));
            let left = harness.elements();
            assert!(left.len() < whole.elements().len());
            for element in whole.elements() {
                assert_eq!(
                    harness.has_element(element),
                    left.contains(&element),
                    "{element:?} of map {seed}"
                );
            }
        }
    }
}
