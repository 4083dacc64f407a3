//! Laws that the graph and the effects of faults keep on any harness.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use proptest::prelude::*;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::{Effect, Fault, Mode, all_faults, effect, effects, explains};
use sparktrail_core::model::random::{Dice, random_harness};
use sparktrail_core::model::{
    CavityId, Driver, DriverId, Element, Harness, PartId, PartKind, PinId, Port, Spark, Terminal,
    Wire, WireId,
};
use sparktrail_core::provenance::Fact;
use sparktrail_core::topology::Topology;

/// Gives every id of a harness another number.
struct Renaming(u64);

impl Renaming {
    /// A permutation of the numbers below a prime, so that no two ids meet and their order is lost.
    fn number(&self, number: u32) -> u32 {
        const PRIME: u64 = 1_000_003;
        let factor = 2 + self.0 % (PRIME - 2);
        u32::try_from((u64::from(number) * factor) % PRIME).unwrap()
    }

    fn part(&self, id: PartId) -> PartId {
        PartId::from_number(self.number(id.number()))
    }

    fn wire(&self, id: WireId) -> WireId {
        WireId::from_number(self.number(id.number()))
    }

    fn pin(&self, id: PinId) -> PinId {
        PinId::from_number(self.number(id.number()))
    }

    fn cavity(&self, id: CavityId) -> CavityId {
        CavityId::from_number(self.number(id.number()))
    }

    fn driver(&self, id: DriverId) -> DriverId {
        DriverId::from_number(self.number(id.number()))
    }

    fn terminal(&self, terminal: Terminal) -> Terminal {
        let port = if let Port::Pin(pin) = terminal.port {
            Port::Pin(self.pin(pin))
        } else if let Port::Cavity(cavity, side) = terminal.port {
            Port::Cavity(self.cavity(cavity), side)
        } else {
            terminal.port
        };
        Terminal {
            part: self.part(terminal.part),
            port,
        }
    }

    fn element(&self, element: Element) -> Element {
        match element {
            Element::Battery(p) => Element::Battery(self.part(p)),
            Element::Contact(p) => Element::Contact(self.part(p)),
            Element::RelayWinding(p) => Element::RelayWinding(self.part(p)),
            Element::Wire(w) => Element::Wire(self.wire(w)),
            Element::Joint(w, end) => Element::Joint(self.wire(w), end),
            Element::Mated(t) => Element::Mated(self.terminal(t)),
            Element::Cavity(p, c) => Element::Cavity(self.part(p), self.cavity(c)),
            Element::Trace(p, pin) => Element::Trace(self.part(p), self.pin(pin)),
            Element::BoardSupply(p) => Element::BoardSupply(self.part(p)),
            Element::BoardGround(p) => Element::BoardGround(self.part(p)),
            Element::Logic(p) => Element::Logic(self.part(p)),
            Element::CrankSignal(p) => Element::CrankSignal(self.part(p)),
            Element::Driver(d, piece) => Element::Driver(self.driver(d), piece),
            Element::Primary(p) => Element::Primary(self.part(p)),
            Element::Secondary(p) => Element::Secondary(self.part(p)),
            Element::CoilInsulation(p) => Element::CoilInsulation(self.part(p)),
            Element::Rotor(p) => Element::Rotor(self.part(p)),
            Element::Cap(p) => Element::Cap(self.part(p)),
            Element::LeadConductor(p) => Element::LeadConductor(self.part(p)),
            Element::LeadInsulation(p) => Element::LeadInsulation(self.part(p)),
            Element::Gap(p) => Element::Gap(self.part(p)),
            Element::Insulator(p) => Element::Insulator(self.part(p)),
            Element::PlugResistor(p) => Element::PlugResistor(self.part(p)),
            Element::InjectorWinding(p) => Element::InjectorWinding(self.part(p)),
            Element::Cylinder(c) => Element::Cylinder(c),
        }
    }

    fn fault(&self, fault: Fault) -> Fault {
        let mode = if let Mode::ToNeighbour(other, ohms) = fault.mode {
            Mode::ToNeighbour(self.element(other), ohms)
        } else if let Mode::CrossedWith(lead) = fault.mode {
            Mode::CrossedWith(self.part(lead))
        } else if let Mode::SilentFor(driver) = fault.mode {
            Mode::SilentFor(self.driver(driver))
        } else {
            fault.mode
        };
        Fault::new(self.element(fault.element), mode)
    }

    fn inner(&self, driver: &mut Driver) {
        driver.id = self.driver(driver.id);
        for pin in [&mut driver.output, &mut driver.ground, &mut driver.drive]
            .into_iter()
            .flatten()
        {
            pin.value = self.pin(pin.value);
        }
    }

    fn ends(&self, ends: [&mut Option<Fact<Terminal>>; 2]) {
        for end in ends.into_iter().flatten() {
            end.value = self.terminal(end.value);
        }
    }

    fn harness(&self, harness: &Harness) -> Harness {
        let mut renamed = harness.clone();
        renamed.findings.clear();
        renamed.parts.clear();
        renamed.wires.clear();
        for (&id, part) in &harness.parts {
            let mut part = part.clone();
            if let PartKind::ControlUnit(unit) = &mut part.kind {
                for pin in &mut unit.pins {
                    pin.id = self.pin(pin.id);
                }
                for driver in &mut unit.drivers {
                    self.inner(driver);
                }
            } else if let PartKind::Connector(connector) = &mut part.kind {
                for cavity in &mut connector.cavities {
                    cavity.id = self.cavity(cavity.id);
                }
            } else if let PartKind::Coil(coil) = &mut part.kind {
                coil.pack = coil.pack.map(|pack| self.part(pack));
                if let Some(driver) = &mut coil.driver {
                    self.inner(driver);
                }
            } else if let PartKind::Lead(lead) = &mut part.kind {
                self.ends([&mut lead.from, &mut lead.to]);
            }
            renamed.parts.insert(self.part(id), part);
        }
        for (&id, wire) in &harness.wires {
            let mut wire: Wire = wire.clone();
            self.ends([&mut wire.from, &mut wire.to]);
            renamed.wires.insert(self.wire(id), wire);
        }
        renamed
    }
}

/// What a fault does, without names: who is dead, who is in doubt, who sparks.
fn gist(effect: &Effect) -> [Vec<(CylinderId, Option<Spark>)>; 3] {
    [&effect.dead, &effect.doubtful, &effect.live].map(|verdicts| {
        verdicts
            .iter()
            .map(|verdict| (verdict.cylinder, verdict.spark))
            .collect()
    })
}

/// A coil that lost its own ground stays dead when the engine loses its strap as well.
#[test]
fn a_lost_strap_excuses_no_coil_without_ground() {
    never_revive(8_293_638_778_821_875_901);
}

/// Opening one more element never brings a cylinder back.
fn never_revive(seed: u64) {
    let harness = random_harness(seed, 8);
    let topology = Topology::of(&harness);
    let elements = topology.elements();
    let mut dice = Dice::new(seed);
    for _ in 0..20 {
        let open: Vec<Element> = (0..3)
            .map(|_| *elements.get(dice.below(elements.len())).unwrap())
            .collect();
        let fewer = topology.separates(&open[..2]).dead();
        let more = topology.separates(&open).dead();
        assert!(fewer.is_subset(&more), "{open:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_cylinder_has_one_verdict(seed in any::<u64>()) {
        let harness = random_harness(seed, 8);
        let topology = Topology::of(&harness);
        let all = harness.engine.cylinders();
        let effects = effects(&harness, &topology);
        for effect in &effects {
            let mut seen: Vec<CylinderId> = gist(effect).concat().iter().map(|v| v.0).collect();
            seen.sort_unstable();
            prop_assert_eq!(&seen, &all, "{:?}", effect.fault);
            let dead: Vec<CylinderId> = effect.dead_cylinders().into_iter().collect();
            let explained = explains(&effects, &dead);
            prop_assert_eq!(dead.is_empty(), !explained.iter().any(|(_, e)| e.fault == effect.fault));
        }
    }

    #[test]
    fn an_open_element_kills_its_dependents(seed in any::<u64>()) {
        let harness = random_harness(seed, 8);
        let topology = Topology::of(&harness);
        for &element in topology.elements() {
            let separation = topology.separates(&[element]);
            prop_assert_eq!(separation.dead(), topology.dependents(element));
            // A plain open kills just those that lose their spark or their fuel.
            let effect = effect(&harness, &topology, Fault::new(element, Mode::Open));
            let gone: BTreeSet<CylinderId> = separation.dead().union(&separation.starved()).copied().collect();
            prop_assert_eq!(effect.dead_cylinders(), gone, "{:?}", element);
            for cylinder in topology.dependents(element) {
                prop_assert!(topology.cuts(cylinder).any(|cut| cut == element));
                prop_assert!(topology.users(element).0.contains(&cylinder), "{:?}", element);
            }
        }
    }

    #[test]
    fn more_open_elements_never_revive(seed in any::<u64>()) {
        never_revive(seed);
    }

    #[test]
    fn names_of_things_do_not_matter(seed in any::<u64>(), other in any::<u64>()) {
        let harness = random_harness(seed, 6);
        let renaming = Renaming(other);
        let renamed = renaming.harness(&harness);
        let (before, after) = (Topology::of(&harness), Topology::of(&renamed));
        for fault in all_faults(&harness) {
            let here = gist(&effect(&harness, &before, fault));
            let there = gist(&effect(&renamed, &after, renaming.fault(fault)));
            prop_assert_eq!(here, there, "{:?}", fault);
        }
        prop_assert_eq!(before.sharing().len(), after.sharing().len());
    }

    #[test]
    fn neighbours_touch_each_other(seed in any::<u64>()) {
        let harness = random_harness(seed, 8);
        let topology = Topology::of(&harness);
        for fault in all_faults(&harness) {
            let turned = if let Mode::ToNeighbour(other, ohms) = fault.mode {
                Fault::new(other, Mode::ToNeighbour(fault.element, ohms))
            } else if let (Mode::CrossedWith(other), Element::LeadConductor(lead)) = (fault.mode, fault.element) {
                Fault::new(Element::LeadConductor(other), Mode::CrossedWith(lead))
            } else {
                continue;
            };
            let (one, two) = (effect(&harness, &topology, fault), effect(&harness, &topology, turned));
            prop_assert_eq!(gist(&one), gist(&two), "{:?}", fault);
        }
    }

    #[test]
    fn a_second_wire_beside_the_first_helps_all(seed in any::<u64>()) {
        let mut harness = random_harness(seed, 6);
        let before = Topology::of(&harness);
        let wires: Vec<WireId> = harness.wires.keys().copied().collect();
        let Some(&first) = wires.get(Dice::new(seed).below(wires.len().max(1))) else { return Ok(()) };
        let twin = harness.wires.get(&first).unwrap().clone();
        let whole = twin.from.is_some() && twin.to.is_some();
        harness.add_wire(twin);
        let after = Topology::of(&harness);
        if whole {
            prop_assert_eq!(after.dependents(Element::Wire(first)), BTreeSet::new());
        }
        for &element in before.elements() {
            let finished = before.cylinders().values().all(|needs| needs.missing.is_empty());
            if finished {
                prop_assert!(after.dependents(element).is_subset(&before.dependents(element)), "{:?}", element);
            }
        }
    }
}
