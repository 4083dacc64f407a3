//! From the battery to the coils: supply parts, joints, grounds, connectors, wires.

use super::super::cause::kind_of;
use super::super::choose::AccessSet;
use super::super::defaults::{Kind, minutes};
use super::super::question::Question;
use super::super::unit::Unit;
use super::{Maker, at, running};
use crate::model::{
    CavityId, Element, PartId, PartKind, Port, Setup, Side, Substitute, Terminal, WireEnd, WireId,
};

impl Maker<'_> {
    pub(super) fn supply(&mut self) {
        let parts: Vec<PartId> = self.harness.parts.keys().copied().collect();
        for part in parts {
            let Some(described) = self.harness.parts.get(&part) else {
                continue;
            };
            let access = self.reach(part);
            let aim = Some(Unit::Part(part));
            match &described.kind {
                PartKind::Battery(_) => {
                    self.volts(at(part, Port::Plus), running(), access, aim);
                    self.joints(part, access);
                    self.add(
                        Question::Substitute(part, Substitute::KnownGood),
                        minutes::NEW_SMALL,
                        access,
                        aim,
                    );
                }
                PartKind::Fuse(_) | PartKind::KeySwitch => {
                    self.volts(at(part, Port::In), Setup::key_on(), access, None);
                    self.volts(at(part, Port::Out), Setup::key_on(), access, aim);
                    self.volts(at(part, Port::Out), running(), access, aim);
                    let known_good = Question::Substitute(part, Substitute::KnownGood);
                    let cost = if matches!(described.kind, PartKind::Fuse(_)) {
                        minutes::SWAP_RELAY
                    } else {
                        minutes::NEW_COIL
                    };
                    self.add(known_good, cost, access, aim);
                }
                PartKind::Relay(_) => {
                    for port in [Port::ContactIn, Port::WindingStart, Port::WindingEnd] {
                        self.volts(at(part, port), Setup::key_on(), access, None);
                    }
                    self.volts(at(part, Port::ContactOut), Setup::key_on(), access, aim);
                    self.volts(at(part, Port::ContactOut), running(), access, aim);
                    self.add(
                        Question::Substitute(part, Substitute::KnownGood),
                        minutes::SWAP_RELAY,
                        access,
                        aim,
                    );
                    for port in [
                        Port::ContactIn,
                        Port::ContactOut,
                        Port::WindingStart,
                        Port::WindingEnd,
                    ] {
                        self.contact(Element::Mated(at(part, port)));
                    }
                }
                PartKind::Splice => {
                    self.volts(
                        at(part, Port::Joint),
                        Setup::key_on(),
                        access,
                        Some(Unit::Joints(part)),
                    );
                    self.joints(part, access);
                }
                PartKind::Ground(_)
                | PartKind::Connector(_)
                | PartKind::ControlUnit(_)
                | PartKind::Coil(_)
                | PartKind::Pack
                | PartKind::Distributor(_)
                | PartKind::Lead(_)
                | PartKind::Plug(_)
                | PartKind::Injector(_) => {}
            }
        }
    }

    /// A look at the joints of a splice, ground point or battery post, and making them anew.
    fn joints(&mut self, part: PartId, access: AccessSet) {
        let joint = self.harness.wires.iter().find_map(|(id, wire)| {
            WireEnd::BOTH
                .into_iter()
                .find(|end| wire.end(*end).is_some_and(|f| f.value.part == part))
                .map(|end| Element::Joint(*id, end))
        });
        if let Some(joint) = joint {
            let aim = Some(Unit::Joints(part));
            self.add(Question::Look(joint), minutes::JOINT, access, aim);
            self.add(Question::Remake(joint), minutes::SOLDER, access, aim);
        }
    }

    pub(super) fn grounds(&mut self) {
        let grounds: Vec<PartId> = self
            .harness
            .parts
            .iter()
            .filter(|(_, p)| matches!(p.kind, PartKind::Ground(_)))
            .map(|(id, _)| *id)
            .collect();
        for part in grounds {
            let access = self.reach(part);
            self.drop_to_minus(at(part, Port::Joint), access, Some(Unit::Joints(part)));
            self.joints(part, access);
        }
    }

    pub(super) fn connectors(&mut self) {
        let cavities: Vec<(PartId, CavityId)> = self
            .harness
            .parts
            .keys()
            .filter_map(|id| Some((*id, self.harness.connector(*id)?)))
            .flat_map(|(id, connector)| connector.cavities.iter().map(move |c| (id, c.id)))
            .collect();
        for (part, cavity) in cavities {
            let access = self.reach(part);
            let aim = Some(Unit::Contacts(part));
            let (a, b) = (
                at(part, Port::Cavity(cavity, Side::A)),
                at(part, Port::Cavity(cavity, Side::B)),
            );
            for side in [a, b] {
                self.volts(side, Setup::key_on(), access, None);
            }
            self.ohms(a, b, access, aim);
            self.contact(Element::Cavity(part, cavity));
        }
    }

    /// Each wire: its resistance between the places where its ends can be reached, a control wire that
    /// runs through connectors also alone, piece by piece, and laying it anew.
    pub(super) fn wires(&mut self) {
        let wires: Vec<(WireId, Terminal, Terminal)> = self
            .harness
            .wires
            .iter()
            .filter_map(|(id, wire)| Some((*id, wire.from?.value, wire.to?.value)))
            .collect();
        for (id, from, to) in wires {
            if from == to {
                continue;
            }
            let access = self.reach(from.part).with(self.reach(to.part));
            let aim = Some(Unit::Wire(id));
            self.ohms(from, to, access, aim);
            if let Some(cavity) = [from, to]
                .into_iter()
                .find(|end| matches!(end.port, Port::Cavity(..)))
                && kind_of(self.harness, Element::Wire(id)) == Kind::ControlWire
            {
                // With both its ends unplugged it is alone with what it touches.
                let apart = [from.part, to.part];
                let mut setup = Setup::key_on();
                setup.unplugged.extend(apart);
                self.volts(cavity, setup, access, None);
                self.ohms_to_minus(cavity, &apart, access);
            }
            let anew = Question::Remake(Element::Wire(id));
            self.add(anew, minutes::NEW_WIRE, access, aim);
        }
    }

    /// A test lamp where the supply can be reached: for those who have no meter.
    pub(super) fn lamps(&mut self) {
        let parts: Vec<PartId> = self.harness.parts.keys().copied().collect();
        for part in parts {
            let Some(described) = self.harness.parts.get(&part) else {
                continue;
            };
            let access = self.reach(part);
            let aim = Some(Unit::Part(part));
            match &described.kind {
                PartKind::Fuse(_) | PartKind::KeySwitch => {
                    self.lamp(at(part, Port::In), Setup::key_on(), access, None);
                    self.lamp(at(part, Port::Out), Setup::key_on(), access, aim);
                }
                PartKind::Relay(_) => {
                    self.lamp(at(part, Port::ContactIn), Setup::key_on(), access, None);
                    self.lamp(at(part, Port::WindingStart), Setup::key_on(), access, None);
                    self.lamp(at(part, Port::ContactOut), Setup::key_on(), access, aim);
                }
                PartKind::Splice => {
                    let joints = Some(Unit::Joints(part));
                    self.lamp(at(part, Port::Joint), Setup::key_on(), access, joints);
                }
                PartKind::Coil(coil) => {
                    let switched = coil.driver.is_none();
                    self.lamp(at(part, Port::Feed), Setup::key_on(), access, None);
                    if switched {
                        self.lamp(at(part, Port::Switched), Setup::key_on(), access, None);
                        self.pulses(at(part, Port::Switched), access);
                    }
                }
                PartKind::Battery(_)
                | PartKind::Ground(_)
                | PartKind::Connector(_)
                | PartKind::ControlUnit(_)
                | PartKind::Pack
                | PartKind::Distributor(_)
                | PartKind::Lead(_)
                | PartKind::Plug(_)
                | PartKind::Injector(_) => {}
            }
        }
    }
}
