//! What each branch of a network conducts: the map's numbers, else the usual ones.

use super::build::{Builder, Loose};
use super::circuit::{FuseAt, Strand, StrandKind, wire_resistance};
use super::nominal;
use crate::model::{
    DriverId, DriverPiece, Element, LeadKind, PartId, PartKind, Pin, PinRole, UnitRole,
};
use crate::topology::{Branch, BranchKind, Node};

impl Builder<'_> {
    pub(super) fn strand(&mut self, branch: &Branch) {
        let part = |element: Option<Element>| element.and_then(|e| self.harness.part_of(e));
        let kind_of = |id: PartId| self.harness.parts.get(&id).map(|part| &part.kind);
        let mut emf = 0.0;
        let (kind, ohms) = match branch.kind {
            BranchKind::Source => {
                let battery = match part(branch.element).and_then(kind_of) {
                    Some(PartKind::Battery(battery)) => battery.clone(),
                    _ => crate::model::Battery::default(),
                };
                emf = battery
                    .voltage
                    .map_or(nominal::BATTERY_VOLTAGE.value, |f| f.value.get());
                let inner = battery.resistance.map(|f| f.value.get());
                (
                    StrandKind::Battery,
                    inner.unwrap_or(nominal::BATTERY_RESISTANCE.value),
                )
            }
            BranchKind::Conductor => (StrandKind::Fixed, self.conductor(branch.element)),
            BranchKind::KeyContact => (StrandKind::Key, nominal::KEY_CONTACT.value),
            BranchKind::RelayContact => {
                let relay =
                    part(branch.element).and_then(|id| self.relays.iter().position(|&r| r == id));
                let kind = relay.map_or(StrandKind::Gap, StrandKind::Relay);
                (kind, nominal::RELAY_CONTACT.value)
            }
            BranchKind::RelayWinding => {
                let known = match part(branch.element).and_then(kind_of) {
                    Some(PartKind::Relay(relay)) => relay.winding.map(|f| f.value.get()),
                    _ => None,
                };
                (
                    StrandKind::Fixed,
                    known.unwrap_or(nominal::RELAY_WINDING.value),
                )
            }
            BranchKind::UnitLoad => {
                let unit = part(branch.element).and_then(|id| self.unit(id));
                (
                    unit.map_or(StrandKind::Fixed, StrandKind::Load),
                    nominal::UNIT_AWAKE.value,
                )
            }
            BranchKind::Primary | BranchKind::Secondary => {
                let coil = part(branch.element).and_then(|id| self.harness.coil(id));
                let ohms = if branch.kind == BranchKind::Primary {
                    coil.and_then(|c| c.primary_resistance)
                        .map_or(nominal::PRIMARY_RESISTANCE.value, |f| f.value.get())
                } else {
                    coil.and_then(|c| c.secondary_resistance)
                        .map_or(nominal::SECONDARY_RESISTANCE.value, |f| f.value.get())
                };
                (StrandKind::Fixed, ohms)
            }
            BranchKind::Switch => (StrandKind::Switch, nominal::DRIVER_RESISTANCE.value),
            BranchKind::RelaySwitch => {
                let unit = if let Node::GroundRail(part) = branch.b {
                    self.unit(part)
                } else {
                    None
                };
                let kind = unit.map_or(StrandKind::Gap, StrandKind::RelaySwitch);
                (kind, nominal::RELAY_SWITCH.value)
            }
            BranchKind::InjectorWinding => {
                let known = match part(branch.element).and_then(kind_of) {
                    Some(PartKind::Injector(injector)) => injector.winding.map(|f| f.value.get()),
                    _ => None,
                };
                (
                    StrandKind::Fixed,
                    known.unwrap_or(nominal::INJECTOR_WINDING.value),
                )
            }
            BranchKind::Rotor => (StrandKind::Fixed, nominal::ROTOR.value),
            BranchKind::CapGap(_) | BranchKind::Gap => (StrandKind::Gap, 1e12),
            BranchKind::Lead => {
                let lead = part(branch.element).and_then(|id| self.harness.lead(id));
                let usual = match lead.map(|l| l.kind) {
                    Some(LeadKind::Lead) | None => nominal::LEAD.value,
                    Some(LeadKind::Boot) => nominal::BOOT.value,
                };
                let known = lead.and_then(|l| l.resistance).map(|f| f.value.get());
                (StrandKind::Fixed, known.unwrap_or(usual))
            }
            BranchKind::PlugResistor => {
                let plug = part(branch.element).and_then(|id| self.harness.plug(id));
                let known = plug.and_then(|p| p.resistor).map(|f| f.value.get());
                (
                    StrandKind::Fixed,
                    known.unwrap_or(nominal::PLUG_RESISTOR.value),
                )
            }
            // A signal commands, it carries no power: `outputs` and `inputs` add what loads it.
            BranchKind::Signal => return,
        };
        let (a, b, element) = (branch.a, branch.b, branch.element);
        self.loose.push(Loose {
            a,
            b,
            kind,
            element,
            ohms,
            emf,
        });
    }

    /// Rated current of a fuse, A.
    fn rating(&self, id: PartId) -> f64 {
        let rating = match self.harness.parts.get(&id).map(|part| &part.kind) {
            Some(PartKind::Fuse(fuse)) => fuse.rating.map(|f| f.value.get()),
            _ => None,
        };
        rating.unwrap_or(nominal::FUSE_RATING.value).max(0.1)
    }

    pub(super) fn fuses(&self, strands: &[Strand]) -> Vec<FuseAt> {
        self.harness
            .parts
            .iter()
            .filter(|(_, part)| matches!(part.kind, PartKind::Fuse(_)))
            .filter_map(|(&id, _)| {
                let strand = strands
                    .iter()
                    .position(|s| s.element == Some(Element::Contact(id)))?;
                Some(FuseAt {
                    strand,
                    rating: self.rating(id),
                })
            })
            .collect()
    }

    fn conductor(&self, element: Option<Element>) -> f64 {
        match element {
            Some(Element::Wire(id)) => {
                wire_resistance(self.harness, id, self.assumptions.temperature).get()
            }
            Some(Element::Joint(..)) => nominal::JOINT.value,
            Some(Element::Contact(id)) => nominal::FUSE_DROP.value / self.rating(id),
            Some(Element::Trace(..)) => nominal::TRACE.value,
            Some(Element::BoardSupply(_) | Element::BoardGround(_)) => nominal::BOARD.value,
            Some(Element::Driver(..)) => nominal::SOLDER.value,
            _ => nominal::MATED.value,
        }
    }

    /// What a unit hangs on its outputs: drive signals, and the resistors of its fault detection.
    pub(super) fn outputs(&mut self, unit: usize, part: PartId) {
        let Some(found) = self.harness.unit(part) else {
            return;
        };
        let fed = |pin: &Pin| pin.role.is_some_and(|role| role.value == PinRole::Supply);
        if found.role == UnitRole::IgnitionModule && found.pins.iter().any(fed) {
            let (supply, ground) = (Node::SupplyRail(part), Node::GroundRail(part));
            let load = nominal::MODULE_AWAKE.value;
            self.add(supply, ground, StrandKind::Load(unit), None, load);
        }
        for pin in &found.pins {
            let land = Node::Land(part, pin.id);
            match pin.role.map(|fact| fact.value) {
                Some(PinRole::DriveOut) => self.loose.push(Loose {
                    a: land,
                    b: Node::GroundRail(part),
                    kind: StrandKind::Drive(unit),
                    element: None,
                    ohms: nominal::DRIVE_SOURCE.value,
                    emf: nominal::DRIVE_VOLTAGE.value,
                }),
                Some(PinRole::CoilSwitch) => {
                    let up = (found.pull_up, Node::SupplyRail(part));
                    let down = (found.pull_down, Node::GroundRail(part));
                    for (pull, rail) in [up, down] {
                        if let Some(ohms) = pull {
                            self.add(land, rail, StrandKind::Fixed, None, ohms.value.get());
                        }
                    }
                }
                Some(
                    PinRole::DriveIn
                    | PinRole::Supply
                    | PinRole::Ground
                    | PinRole::InjectorSwitch
                    | PinRole::RelaySwitch
                    | PinRole::SensorIn
                    | PinRole::Other,
                )
                | None => {}
            }
        }
    }

    /// What a drive signal that comes over a wire has to feed.
    pub(super) fn inputs(&mut self, hosts: &[(PartId, DriverId)], starts: &[Option<Node>]) {
        for (&(_, id), start) in hosts.iter().zip(starts) {
            if let Some(start) = *start {
                let ohms = nominal::DRIVE_RESISTOR.value + nominal::GATE_PULL_DOWN.value;
                let element = Element::Driver(id, DriverPiece::DriveResistor);
                self.add(
                    start,
                    Node::Emitter(id),
                    StrandKind::Fixed,
                    Some(element),
                    ohms,
                );
            }
        }
    }
}
