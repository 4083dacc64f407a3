//! What happens when a conductor touches ground, supply or its neighbour.

use std::collections::BTreeSet;

use super::effect::{Besides, Reason};
use super::role::{Main, Role};
use super::structural::Case;
use super::verdicts::Fares;
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{DriverId, Element, PartId, PartKind, Spark};
use crate::topology::NeedKind;
use crate::units::Ohms;

/// At most this much to ground blows a fuse or holds a switched side down; above, it only drains.
///
/// # Source
/// Simulated signatures of one invented coil: 2 to 5 Ω from the switched side to ground leave no spark,
/// 20 Ω a marginal one.
const HARD_SHORT: Ohms = Ohms::lit(10.0);

impl Case<'_> {
    pub(super) fn short_to_ground(&mut self, element: Element, ohms: Ohms) {
        if let Element::Primary(coil) = element {
            // Winding to core: the current has a way that no driver cuts.
            self.each_of_coil(coil, Reason::NeverCut(coil), Fares::Dead);
            self.verdicts.besides(Besides::CoilOverheats(coil));
            return;
        }
        let role = Role::of(self.topology, element);
        if ohms > HARD_SHORT {
            for cylinder in self.users(element) {
                self.verdicts.doubtful(cylinder, Reason::Disturbed);
            }
            return;
        }
        match role.main() {
            Main::Control => {
                for coil in role.control {
                    self.each_of_coil(coil, Reason::NeverCut(coil), Fares::Dead);
                    self.verdicts.besides(Besides::CoilOverheats(coil));
                }
            }
            Main::Drive => {
                for driver in role.drive {
                    self.each_of_driver(driver, Reason::SignalHeld(driver), Fares::Dead);
                }
            }
            Main::Injector => self.flooded(&role),
            Main::Supply => self.supply_shorted(element),
            Main::Ground => self.joined_anyway(element),
            Main::RelayLow => self.stays_on(element),
            Main::Nothing => {}
        }
    }

    fn flooded(&mut self, role: &Role) {
        for &injector in &role.injector {
            for cylinder in self.topology.users(Element::InjectorWinding(injector)).1 {
                self.verdicts.say(
                    cylinder,
                    Fares::Doubtful,
                    Some(Spark::Yes),
                    Reason::Flooded(injector),
                );
            }
        }
    }

    fn joined_anyway(&mut self, element: Element) {
        self.still_live(element, Reason::JoinedAnyway);
    }

    /// What is on anyway while the engine runs stays on; behind key or relay also with the key off.
    fn stays_on(&mut self, element: Element) {
        let (_, before) = self.topology.supply_to(element);
        let switched = before.iter().any(|&before| {
            let Element::Contact(part) = before else {
                return false;
            };
            self.harness
                .parts
                .get(&part)
                .is_some_and(|part| matches!(part.kind, PartKind::KeySwitch | PartKind::Relay(_)))
        });
        if switched || before.is_empty() {
            self.still_live(element, Reason::OnAnyway);
            self.verdicts.besides(Besides::StaysOnWithKeyOff);
        } else {
            self.joined_anyway(element);
        }
    }

    fn still_live(&mut self, element: Element, reason: Reason) {
        let (spark, fuel) = self.topology.users(element);
        for &cylinder in spark.union(&fuel) {
            self.verdicts.live(cylinder, reason);
        }
    }

    /// Supply to ground: the weakest fuse before the place blows, else the battery is shorted.
    fn supply_shorted(&mut self, element: Element) {
        let (needed, any) = self.topology.supply_to(element);
        let is_fuse = |element: &Element| -> Option<PartId> {
            let &Element::Contact(part) = element else {
                return None;
            };
            matches!(self.harness.parts.get(&part)?.kind, PartKind::Fuse(_)).then_some(part)
        };
        // From the place back to the battery, so that of equal fuses the nearest blows.
        let weakest = needed.iter().rev().filter_map(is_fuse).min_by(|a, b| {
            let amps = |part: &PartId| self.rating(*part);
            amps(a).total_cmp(&amps(b))
        });
        let blown: Vec<PartId> = match weakest {
            Some(fuse) => vec![fuse],
            None => any.iter().filter_map(is_fuse).collect(),
        };
        if blown.is_empty() {
            self.verdicts.besides(Besides::WireCanBurn);
            let all: Vec<CylinderId> = self.topology.cylinders().keys().copied().collect();
            for cylinder in all {
                self.verdicts.dead(cylinder, Reason::SupplyShorted);
            }
            return;
        }
        let open: Vec<Element> = blown.iter().map(|&fuse| Element::Contact(fuse)).collect();
        let separation = self.topology.separates(&open);
        for &fuse in &blown {
            self.verdicts.besides(Besides::FuseBlows(fuse));
        }
        if let Some(&first) = blown.first() {
            self.verdicts
                .separated(&separation, Some(Reason::FuseBlows(first)));
        }
    }

    /// A fuse's rating in amperes; an unknown one counts as stronger than any known.
    fn rating(&self, part: PartId) -> f64 {
        let kind = self.harness.parts.get(&part).map(|part| &part.kind);
        if let Some(PartKind::Fuse(fuse)) = kind {
            fuse.rating.map_or(f64::MAX, |fact| fact.value.get())
        } else {
            f64::MAX
        }
    }

    pub(super) fn short_to_supply(&mut self, element: Element) {
        let role = Role::of(self.topology, element);
        match role.main() {
            Main::Control => {
                let shorted: BTreeSet<DriverId> = self
                    .chains()
                    .iter()
                    .filter(|(_, chain)| role.control.contains(&chain.tower.part))
                    .filter_map(|(_, chain)| chain.driver)
                    .gather();
                for &driver in &shorted {
                    self.each_of_driver(driver, Reason::DriverShorted(driver), Fares::Dead);
                    self.verdicts.besides(Besides::DriverOverheats(driver));
                }
                for coil in role.control {
                    self.each_of_coil(coil, Reason::BothEndsFed(coil), Fares::Dead);
                }
            }
            Main::Drive => self.held_on(&role.drive),
            Main::Injector => {
                for &injector in &role.injector {
                    let kind = NeedKind::InjectorControl(injector);
                    for cylinder in self.topology.users(Element::InjectorWinding(injector)).1 {
                        self.verdicts.say(
                            cylinder,
                            Fares::Dead,
                            Some(Spark::Yes),
                            Reason::Starved(kind),
                        );
                    }
                }
            }
            Main::Supply => self.stays_on(element),
            Main::Ground => {
                self.verdicts.besides(Besides::WireCanBurn);
                for cylinder in self.users(element) {
                    self.verdicts.doubtful(cylinder, Reason::SupplyShorted);
                }
            }
            Main::RelayLow => {
                let contacts: Vec<Element> = role
                    .relay_low
                    .iter()
                    .map(|&relay| Element::RelayWinding(relay))
                    .collect();
                let separation = self.topology.separates(&contacts);
                let because = role
                    .relay_low
                    .first()
                    .map(|&relay| Reason::RelayDrops(relay));
                self.verdicts.separated(&separation, because);
            }
            Main::Nothing => {}
        }
    }

    pub(super) fn short_between(&mut self, element: Element, other: Element, ohms: Ohms) {
        use Main::{Control, Drive, Ground, Injector, Nothing, RelayLow, Supply};
        let (here, there) = (
            Role::of(self.topology, element),
            Role::of(self.topology, other),
        );
        match (here.main(), there.main()) {
            (Ground, Ground) => {
                self.joined_anyway(element);
                self.joined_anyway(other);
            }
            (Supply, Supply) => {
                self.stays_on(element);
                self.stays_on(other);
            }
            (_, Ground) => self.short_to_ground(element, ohms),
            (Ground, _) => self.short_to_ground(other, ohms),
            (_, Supply) => self.short_to_supply(element),
            (Supply, _) => self.short_to_supply(other),
            (Control, Control) if here.control == there.control => {
                self.joined_anyway(element);
                self.joined_anyway(other);
            }
            (Drive, Drive) if here.drive == there.drive => {
                self.joined_anyway(element);
                self.joined_anyway(other);
            }
            (Control, Control) | (Drive, Drive) => {
                for cylinder in self.users(element).union(&self.users(other)) {
                    self.verdicts.doubtful(*cylinder, Reason::FiredTogether);
                }
            }
            (Nothing, Nothing) => {}
            (
                Control | Drive | Injector | RelayLow | Nothing,
                Control | Drive | Injector | RelayLow | Nothing,
            ) => {
                for element in [element, other] {
                    let (spark, fuel) = self.topology.users(element);
                    for &cylinder in spark.union(&fuel) {
                        self.verdicts.doubtful(cylinder, Reason::Disturbed);
                    }
                }
            }
        }
    }
}
