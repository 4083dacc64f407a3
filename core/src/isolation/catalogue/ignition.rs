//! Coils, leads, plugs, distributor, injectors and the cylinders themselves.

use super::super::choose::AccessSet;
use super::super::defaults::minutes;
use super::super::question::Question;
use super::super::unit::Unit;
use super::{Maker, at, running};
use crate::model::{Element, PartId, PartKind, Port, Secondary, Setup, Substitute, SwapPair};

impl Maker<'_> {
    pub(super) fn coils(&mut self) {
        let coils: Vec<PartId> = self
            .harness
            .parts
            .keys()
            .copied()
            .filter(|id| self.harness.coil(*id).is_some())
            .collect();
        for (place, part) in coils.iter().copied().enumerate() {
            let Some(coil) = self.harness.coil(part) else {
                continue;
            };
            let access = self.reach(part);
            let aim = Some(Unit::Part(part));
            self.volts(at(part, Port::Feed), Setup::key_on(), access, None);
            self.volts(at(part, Port::Feed), running(), access, None);
            self.contact(Element::Mated(at(part, Port::Feed)));
            if coil.driver.is_some() {
                self.volts(at(part, Port::DriveIn), running(), access, None);
                self.drop_to_minus(at(part, Port::CoilGround), access, None);
                self.contact(Element::Mated(at(part, Port::DriveIn)));
                self.contact(Element::Mated(at(part, Port::CoilGround)));
            } else {
                self.volts(at(part, Port::Switched), Setup::key_on(), access, None);
                self.volts(at(part, Port::Switched), running(), access, None);
                self.ohms(at(part, Port::Feed), at(part, Port::Switched), access, aim);
                self.contact(Element::Mated(at(part, Port::Switched)));
            }
            if coil.secondary == Secondary::TwoEnded {
                self.ohms(at(part, Port::TowerA), at(part, Port::TowerB), access, aim);
            } else if coil.driver.is_none() {
                self.ohms(at(part, Port::TowerA), at(part, Port::Feed), access, aim);
            }
            self.add(
                Question::Look(Element::CoilInsulation(part)),
                minutes::PLUG,
                access,
                aim,
            );
            // Its partner: the next coil of the same make-up.
            let like = |other: &PartId| {
                self.harness.coil(*other).is_some_and(|c| {
                    c.secondary == coil.secondary && c.driver.is_some() == coil.driver.is_some()
                })
            };
            let partner = coils[place + 1..]
                .iter()
                .chain(&coils[..place])
                .find(|c| like(c));
            if let Some(partner) = partner.copied() {
                let both = access.with(self.reach(partner));
                let pair = SwapPair::Parts(part.min(partner), part.max(partner));
                self.add(Question::Swap(pair), minutes::SWAP_COILS, both, aim);
            }
            self.add(
                Question::Substitute(part, Substitute::New),
                minutes::NEW_COIL,
                access,
                aim,
            );
        }
    }

    pub(super) fn high_voltage(&mut self) {
        let parts: Vec<PartId> = self.harness.parts.keys().copied().collect();
        let leads: Vec<PartId> = parts
            .iter()
            .copied()
            .filter(|p| self.harness.lead(*p).is_some())
            .collect();
        for part in &parts {
            let part = *part;
            let Some(described) = self.harness.parts.get(&part) else {
                continue;
            };
            let access = self.reach(part);
            let aim = Some(Unit::Part(part));
            match &described.kind {
                PartKind::Lead(lead) => {
                    let plugs = lead
                        .to
                        .map_or(AccessSet::NONE, |to| self.reach(to.value.part));
                    let from = lead
                        .from
                        .map_or(AccessSet::NONE, |f| self.reach(f.value.part));
                    let both = access.with(plugs).with(from);
                    self.ohms(at(part, Port::LeadFrom), at(part, Port::LeadTo), both, aim);
                    self.add(
                        Question::Look(Element::LeadInsulation(part)),
                        minutes::PLUG,
                        both,
                        aim,
                    );
                    self.add(
                        Question::Look(Element::LeadConductor(part)),
                        minutes::WIGGLE,
                        AccessSet::NONE,
                        None,
                    );
                    self.add(
                        Question::Substitute(part, Substitute::KnownGood),
                        minutes::SWAP_LEADS,
                        both,
                        aim,
                    );
                    // Leads that may have changed places.
                    for other in leads.iter().copied().filter(|o| *o > part) {
                        let crossed = Unit::Crossed(part, other);
                        if self.beside(part, other) {
                            let ends = both.with(self.reach(other));
                            self.add(
                                Question::Swap(SwapPair::Parts(part, other)),
                                minutes::SWAP_LEADS,
                                ends,
                                Some(crossed),
                            );
                        }
                    }
                }
                PartKind::Plug(_) => {
                    self.add(
                        Question::Look(Element::Gap(part)),
                        minutes::PLUG,
                        access,
                        aim,
                    );
                    self.add(
                        Question::Substitute(part, Substitute::KnownGood),
                        minutes::SWAP_PLUGS,
                        access,
                        aim,
                    );
                }
                PartKind::Distributor(_) => {
                    self.add(
                        Question::Look(Element::Cap(part)),
                        minutes::PLUG,
                        access,
                        aim,
                    );
                    self.add(
                        Question::Substitute(part, Substitute::New),
                        minutes::NEW_SMALL,
                        access,
                        aim,
                    );
                }
                PartKind::Injector(_) => {
                    self.ohms(
                        at(part, Port::InjectorFeed),
                        at(part, Port::InjectorControl),
                        access,
                        aim,
                    );
                    self.add(
                        Question::Substitute(part, Substitute::KnownGood),
                        minutes::SWAP_RELAY,
                        access,
                        aim,
                    );
                    self.contact(Element::Mated(at(part, Port::InjectorFeed)));
                    self.contact(Element::Mated(at(part, Port::InjectorControl)));
                }
                PartKind::Battery(_)
                | PartKind::Fuse(_)
                | PartKind::KeySwitch
                | PartKind::Relay(_)
                | PartKind::Splice
                | PartKind::Ground(_)
                | PartKind::Connector(_)
                | PartKind::ControlUnit(_)
                | PartKind::Coil(_)
                | PartKind::Pack => {}
            }
        }
    }

    /// Whether two leads go to cylinders that stand beside each other.
    fn beside(&self, a: PartId, b: PartId) -> bool {
        super::super::cause::leads_beside(self.harness, a, b)
    }

    pub(super) fn cylinders(&mut self) {
        for cylinder in self.harness.engine.cylinders() {
            self.add(
                Question::Contribution(cylinder),
                minutes::DEAD,
                AccessSet::NONE,
                None,
            );
            let harness = self.harness;
            let (flash, to_coil) = match harness.boot_of(cylinder) {
                None => (minutes::FLASH, AccessSet::NONE),
                Some(boot) => {
                    let coil = boot.from.map(|from| self.reach(from.value.part));
                    (minutes::FLASH_UNDER_COIL, coil.unwrap_or_default())
                }
            };
            self.add(Question::Spark(cylinder), flash, to_coil, None);
            let plugs: Vec<PartId> = self
                .harness
                .parts
                .keys()
                .copied()
                .filter(|p| {
                    self.harness
                        .plug(*p)
                        .and_then(|plug| plug.cylinder)
                        .is_some_and(|c| c.value == cylinder)
                })
                .collect();
            let access = plugs
                .into_iter()
                .fold(AccessSet::NONE, |set, plug| set.with(self.reach(plug)));
            self.add(
                Question::Look(Element::Cylinder(cylinder)),
                minutes::FUEL,
                AccessSet::NONE,
                Some(Unit::Cylinder(cylinder)),
            );
            self.add(
                Question::Compression(cylinder),
                minutes::COMPRESSION,
                access,
                Some(Unit::Cylinder(cylinder)),
            );
        }
        self.add(Question::AnyCode, minutes::CODES, AccessSet::NONE, None);
    }
}
