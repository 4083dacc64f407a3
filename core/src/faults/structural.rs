//! The effect of a fault from the structure of the harness alone: what is cut, shorted, held or fooled.
//!
//! Common practice of the trade, no source, where no other is named. Readings and sparks computed from
//! values refine it.

use std::collections::BTreeSet;

use super::effect::{Besides, Effect, Reason};
use super::verdicts::{Fares, Verdicts, kind_of};
use super::{Fault, Mode};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{DriverId, Element, Harness, PartId, Secondary, Spark};
use crate::topology::{Chain, NeedKind, Separation, Topology};
use crate::units::Ohms;

/// At most this much across a gap takes the spark.
///
/// # Source
/// Simulated signatures of one invented coil: no spark at 100 kΩ, a weaker one at 1 MΩ.
const SHUNTED: Ohms = Ohms::lit(3e5);
/// What a fault does, from the structure of the harness alone.
#[must_use]
pub fn effect(harness: &Harness, topology: &Topology, fault: Fault) -> Effect {
    effect_after(harness, topology, fault, &mut Separated::default())
}

/// What opening one element takes, kept for the next fault: it is the same for every severity.
#[derive(Debug, Clone, Default)]
pub struct Separated(Option<(Element, Separation)>);

/// As [`effect`], for one fault after another of the same harness: quicker where faults of one element
/// stand together. `separated` must be used for no other harness.
#[must_use]
pub fn effect_after(
    harness: &Harness,
    topology: &Topology,
    fault: Fault,
    separated: &mut Separated,
) -> Effect {
    let mut case = Case {
        harness,
        topology,
        fault,
        verdicts: Verdicts::new(topology, fault),
    };
    case.judge(separated);
    case.verdicts.finish()
}

impl Separated {
    fn by(&mut self, topology: &Topology, element: Element) -> &Separation {
        if self.0.as_ref().is_some_and(|(last, _)| *last != element) {
            self.0 = None;
        }
        let opened = || (element, topology.separates(&[element]));
        &self.0.get_or_insert_with(opened).1
    }
}

/// One fault in the harness, and what was said of it so far.
pub(super) struct Case<'a> {
    pub(super) harness: &'a Harness,
    pub(super) topology: &'a Topology,
    pub(super) fault: Fault,
    pub(super) verdicts: Verdicts<'a>,
}

impl Case<'_> {
    fn judge(&mut self, separated: &mut Separated) {
        let element = self.fault.element;
        match self.fault.mode {
            Mode::Open | Mode::NeverOn | Mode::Silent | Mode::Missing => {
                let separation = separated.by(self.topology, element);
                self.verdicts.separated(separation, None);
            }
            Mode::HighResistance(_) => {
                let separation = separated.by(self.topology, element);
                self.verdicts.weakened(separation);
            }
            Mode::ToGround(ohms) => self.short_to_ground(element, ohms),
            Mode::ToSupply(_) => self.short_to_supply(element),
            Mode::ToNeighbour(other, ohms) => self.short_between(element, other, ohms),
            Mode::AlwaysOn | Mode::AlwaysOnLimited(_) => self.always_on(),
            Mode::PartlyOn(_) => {
                if let Some(driver) = driver_of(element) {
                    self.each_of_driver(driver, Reason::NotSwitched(driver), Fares::Dead);
                    self.verdicts.besides(Besides::DriverOverheats(driver));
                }
            }
            Mode::Leaky(_) => self.leaky(),
            Mode::TurnsShorted(_) => self.turns_shorted(),
            Mode::Breakdown | Mode::Tracking => {
                for cylinder in self.users(element) {
                    self.verdicts
                        .doubtful(cylinder, Reason::SparkElsewhere(element));
                }
            }
            Mode::TrackingBetween(a, b) => {
                for tower in [a, b] {
                    for cylinder in self.behind_tower(tower) {
                        self.verdicts
                            .doubtful(cylinder, Reason::SparkElsewhere(element));
                    }
                }
            }
            Mode::BurntTower(tower) => {
                for (cylinder, kind) in self.sides_behind_tower(tower) {
                    self.verdicts.dead(cylinder, Reason::Lost(kind));
                }
            }
            Mode::Fouled(ohms) => {
                if let Element::Gap(plug) = element {
                    let reason = Reason::GapShunted(plug);
                    let fares = if ohms <= SHUNTED {
                        Fares::Dead
                    } else {
                        Fares::Doubtful
                    };
                    self.at_plug(plug, fares, reason);
                }
            }
            Mode::Worn => {
                if let Element::Gap(plug) = element {
                    self.at_plug(plug, Fares::Doubtful, Reason::GapWide(plug));
                }
            }
            Mode::Cracked => {
                if let Element::Insulator(plug) = element {
                    self.at_plug(plug, Fares::Doubtful, Reason::SparkElsewhere(element));
                }
            }
            Mode::CrossedWith(other) => self.crossed(other),
            Mode::SilentFor(driver) => {
                let reason = Reason::Lost(NeedKind::Drive(driver));
                self.each_of_driver(driver, reason, Fares::Dead);
            }
            Mode::Erratic => {
                if let Element::CrankSignal(unit) = element {
                    for cylinder in self.users(element) {
                        self.verdicts
                            .doubtful(cylinder, Reason::ErraticSignal(unit));
                    }
                }
            }
            Mode::NoFuel | Mode::WrongAir | Mode::NoCompression => {
                if let Element::Cylinder(cylinder) = element {
                    let reason = Reason::NotElectrical(kind_of(self.fault));
                    self.verdicts
                        .say(cylinder, Fares::Dead, Some(Spark::Yes), reason);
                }
            }
        }
    }

    /// The cylinders on whose trails for the spark an element lies.
    pub(super) fn users(&self, element: Element) -> BTreeSet<CylinderId> {
        self.topology.users(element).0
    }

    /// Every way to a spark, with its cylinder.
    pub(super) fn chains(&self) -> Vec<(CylinderId, Chain)> {
        self.topology
            .cylinders()
            .iter()
            .flat_map(|(&cylinder, needs)| {
                needs
                    .chains
                    .iter()
                    .map(move |chain| (cylinder, chain.clone()))
            })
            .collect()
    }

    /// Speaks of the cylinders that a coil feeds. With another coil at a second plug it is only doubt.
    pub(super) fn each_of_coil(&mut self, coil: PartId, reason: Reason, fares: Fares) {
        self.each_where(|chain| chain.tower.part == coil, reason, fares);
    }

    pub(super) fn each_of_driver(&mut self, driver: DriverId, reason: Reason, fares: Fares) {
        self.each_where(|chain| chain.driver == Some(driver), reason, fares);
    }

    pub(super) fn each_where(&mut self, is: impl Fn(&Chain) -> bool, reason: Reason, fares: Fares) {
        for (&cylinder, needs) in self.topology.cylinders() {
            let hit = needs.chains.iter().filter(|chain| is(chain)).count();
            if hit == 0 {
                continue;
            }
            if hit == needs.chains.len() && fares == Fares::Dead {
                self.verdicts.dead(cylinder, reason);
            } else if fares >= Fares::Doubtful {
                self.verdicts.doubtful(cylinder, reason);
            } else {
                self.verdicts.live(cylinder, reason);
            }
        }
    }

    /// Something at a plug: its own cylinder suffers, the other plug of a two-ended coil does not.
    pub(super) fn at_plug(&mut self, plug: PartId, fares: Fares, reason: Reason) {
        let coils: BTreeSet<PartId> = self
            .chains()
            .iter()
            .filter(|(_, chain)| chain.plug == plug)
            .map(|(_, chain)| chain.tower.part)
            .gather();
        self.each_where(|chain| chain.plug == plug, reason, fares);
        for coil in coils {
            if self.harness.coil(coil).map(|c| c.secondary) == Some(Secondary::TwoEnded) {
                self.each_where(
                    |chain| chain.tower.part == coil && chain.plug != plug,
                    Reason::OtherPlugSuffers(plug),
                    Fares::Live,
                );
            }
        }
    }

    fn always_on(&mut self) {
        let element = self.fault.element;
        if let Some(driver) = driver_of(element) {
            self.held_on(&BTreeSet::from([driver]));
            return;
        }
        for cylinder in self.users(element) {
            self.verdicts.live(cylinder, Reason::OnAnyway);
        }
        self.verdicts.besides(Besides::StaysOnWithKeyOff);
    }

    /// Drivers that never switch off.
    pub(super) fn held_on(&mut self, drivers: &BTreeSet<DriverId>) {
        let coils: BTreeSet<PartId> = self
            .chains()
            .iter()
            .filter(|(_, chain)| chain.driver.is_some_and(|driver| drivers.contains(&driver)))
            .map(|(_, chain)| chain.tower.part)
            .gather();
        for coil in coils {
            self.each_of_coil(coil, Reason::NeverCut(coil), Fares::Dead);
            self.verdicts.besides(Besides::CoilOverheats(coil));
        }
        for &driver in drivers {
            self.verdicts.besides(Besides::DriverOverheats(driver));
        }
    }

    fn leaky(&mut self) {
        let element = self.fault.element;
        if let Some(driver) = driver_of(element) {
            self.each_of_driver(driver, Reason::DriverLeaks(driver), Fares::Doubtful);
            self.verdicts.besides(Besides::DriverOverheats(driver));
        } else if let Element::LeadInsulation(lead) = element {
            let plugs: Vec<PartId> = self
                .chains()
                .iter()
                .map(|(_, chain)| chain.plug)
                .filter(|&plug| self.lead_feeds(lead, plug))
                .collect();
            if plugs.is_empty() {
                // The lead from a coil to a distributor.
                for cylinder in self.users(element) {
                    self.verdicts
                        .doubtful(cylinder, Reason::SparkElsewhere(element));
                }
            }
            for plug in plugs {
                self.at_plug(plug, Fares::Doubtful, Reason::SparkElsewhere(element));
            }
        }
    }

    fn lead_feeds(&self, lead: PartId, plug: PartId) -> bool {
        self.harness
            .lead(lead)
            .and_then(|lead| lead.to)
            .is_some_and(|to| to.value.part == plug)
    }

    fn turns_shorted(&mut self) {
        let element = self.fault.element;
        // Source: simulated signatures of one invented coil: no spark from 5 % of the primary on.
        if let Element::Primary(coil) = element {
            self.each_of_coil(coil, Reason::TurnsShorted(coil), Fares::Dead);
        } else if let Element::Secondary(coil) = element {
            self.each_of_coil(coil, Reason::TurnsShorted(coil), Fares::Doubtful);
        } else if let Element::InjectorWinding(injector) = element {
            let kind = NeedKind::InjectorWinding(injector);
            for cylinder in self.topology.users(element).1 {
                self.verdicts.doubtful(cylinder, Reason::Weakened(kind));
            }
        }
    }
}

const fn driver_of(element: Element) -> Option<DriverId> {
    if let Element::Driver(driver, _) = element {
        Some(driver)
    } else {
        None
    }
}
