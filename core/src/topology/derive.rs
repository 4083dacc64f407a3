//! Derives from a network what every cylinder needs.

use std::collections::BTreeMap;

use super::need::{Chain, CylinderNeeds, Missing, Need, NeedKind, NeedState, Through};
use super::wiring::{BranchSet, Way, Wiring};
use super::{BranchKind, Network, Node};
use crate::engine::CylinderId;
use crate::gather::Arrange;
use crate::model::{
    DriverId, DriverPiece, Element, GroundSite, Harness, PartId, PartKind, PinRole, Port,
    Secondary, Terminal, UnitRole,
};

/// What every cylinder needs, and the needs themselves, each once.
#[derive(Debug, Clone, Default)]
pub(super) struct Derived {
    /// The plus posts of all batteries.
    pub(super) plus: Vec<Node>,
    pub(super) needs: Vec<Need>,
    pub(super) cylinders: BTreeMap<CylinderId, CylinderNeeds>,
    /// Relays whose winding the map shows, with the needs of the winding.
    pub(super) relays: BTreeMap<PartId, Vec<usize>>,
    /// Control units, with the needs of their supply and ground that the map shows.
    pub(super) units: BTreeMap<PartId, Vec<usize>>,
}

pub(super) fn derive(harness: &Harness, network: &Network, wiring: &Wiring) -> Derived {
    let mut plus = Vec::new();
    let mut minus = Vec::new();
    let mut batteries = Vec::new();
    for (&part, described) in &harness.parts {
        if matches!(described.kind, PartKind::Battery(_)) {
            let at = |port| network.at(Terminal { part, port });
            plus.push(at(Port::Plus));
            minus.push(at(Port::Minus));
            batteries.push(part);
        }
    }
    let mut work = Derivation {
        harness,
        network,
        wiring,
        plus,
        minus,
        batteries,
        known: BTreeMap::new(),
        out: Derived::default(),
    };
    work.relays_and_units();
    for cylinder in harness.engine.cylinders() {
        let needs = work.cylinder(cylinder);
        work.out.cylinders.insert(cylinder, needs);
    }
    work.out.plus = work.plus;
    work.out
}

struct Derivation<'a> {
    harness: &'a Harness,
    network: &'a Network,
    wiring: &'a Wiring,
    plus: Vec<Node>,
    minus: Vec<Node>,
    batteries: Vec<PartId>,
    known: BTreeMap<NeedKind, usize>,
    out: Derived,
}

impl Derivation<'_> {
    /// The index of a need, added when it is new. `lacking` tells what is missing where an end is.
    fn need(
        &mut self,
        kind: NeedKind,
        from: Vec<Node>,
        to: Vec<Node>,
        through: Through,
        lacking: Option<Missing>,
    ) -> usize {
        if let Some(&index) = self.known.get(&kind) {
            return index;
        }
        let (starts, ends) = (self.wiring.indices(&from), self.wiring.indices(&to));
        let reached = self
            .wiring
            .reach(&starts, through, &BranchSet::default(), Way::On);
        let state = if ends.iter().any(|&node| reached.get(node) == Some(&true)) {
            NeedState::Shown
        } else if let Some(missing) = lacking {
            NeedState::Unknown(missing)
        } else if self.batteries.is_empty() {
            NeedState::Unknown(Missing::Battery)
        } else {
            NeedState::Unknown(Missing::Path(kind))
        };
        let index = self.out.needs.len();
        self.out.needs.push(Need {
            kind,
            from,
            to,
            through,
            state,
        });
        self.known.insert(kind, index);
        index
    }

    /// The need that one branch of the network holds.
    fn single(&mut self, kind: NeedKind, element: Element, of: BranchKind) -> Option<usize> {
        let (index, branch) = self
            .network
            .branches_of(element)
            .find(|(_, branch)| branch.kind == of)?;
        let (a, b) = (branch.a, branch.b);
        Some(self.need(kind, vec![a], vec![b], Through::Branch(index), None))
    }

    fn feed(&mut self, kind: NeedKind, to: Node) -> usize {
        let plus = self.plus.clone();
        self.need(kind, plus, vec![to], Through::Power(None), None)
    }

    fn ground(&mut self, kind: NeedKind, from: Node) -> usize {
        let minus = self.minus.clone();
        self.need(kind, vec![from], minus, Through::Power(None), None)
    }

    fn relays_and_units(&mut self) {
        for (&part, described) in &self.harness.parts {
            let behind = |port| Node::Behind(Terminal { part, port });
            match &described.kind {
                PartKind::Relay(_) => {
                    let feed = self.feed(NeedKind::WindingFeed(part), behind(Port::WindingStart));
                    let minus = self.minus.clone();
                    let back = self.need(
                        NeedKind::WindingReturn(part),
                        vec![behind(Port::WindingEnd)],
                        minus,
                        Through::RelayReturn,
                        None,
                    );
                    let winding = self.single(
                        NeedKind::Winding(part),
                        Element::RelayWinding(part),
                        BranchKind::RelayWinding,
                    );
                    let needs = [Some(feed), winding, Some(back)];
                    self.out
                        .relays
                        .insert(part, needs.into_iter().flatten().collect());
                }
                PartKind::ControlUnit(unit) => {
                    let pins = |role: PinRole| {
                        unit.pins
                            .iter()
                            .any(|pin| pin.role.is_some_and(|fact| fact.value == role))
                    };
                    let mut needs = Vec::new();
                    let engine = unit.role == UnitRole::EngineControl;
                    if engine || pins(PinRole::Supply) {
                        let lacking = (!pins(PinRole::Supply)).then_some(Missing::SupplyPin(part));
                        let plus = self.plus.clone();
                        needs.push(self.need(
                            NeedKind::UnitSupply(part),
                            plus,
                            vec![Node::SupplyRail(part)],
                            Through::Power(Some(part)),
                            lacking,
                        ));
                    }
                    if engine || pins(PinRole::Ground) {
                        let lacking = (!pins(PinRole::Ground)).then_some(Missing::GroundPin(part));
                        let minus = self.minus.clone();
                        needs.push(self.need(
                            NeedKind::UnitGround(part),
                            vec![Node::GroundRail(part)],
                            minus,
                            Through::Power(None),
                            lacking,
                        ));
                    }
                    self.out.units.insert(part, needs);
                }
                PartKind::Battery(_)
                | PartKind::Fuse(_)
                | PartKind::KeySwitch
                | PartKind::Splice
                | PartKind::Ground(_)
                | PartKind::Connector(_)
                | PartKind::Coil(_)
                | PartKind::Pack
                | PartKind::Distributor(_)
                | PartKind::Lead(_)
                | PartKind::Plug(_)
                | PartKind::Injector(_) => {}
            }
        }
    }

    fn cylinder(&mut self, cylinder: CylinderId) -> CylinderNeeds {
        let mut found = CylinderNeeds::default();
        let plugs: Vec<PartId> = self
            .harness
            .parts
            .iter()
            .filter(|(_, part)| {
                matches!(&part.kind, PartKind::Plug(plug)
                    if plug.cylinder.is_some_and(|fact| fact.value == cylinder))
            })
            .map(|(&id, _)| id)
            .collect();
        if plugs.is_empty() {
            found.missing.push(Missing::Plug(cylinder));
        }
        for plug in plugs {
            let towers = self.towers_of(plug);
            if towers.is_empty() {
                found.missing.push(Missing::Coil(plug));
            }
            for tower in towers {
                let drivers = self.drivers_of(tower.part);
                if drivers.is_empty() {
                    let chain = self.chain(plug, tower, None);
                    found.chains.push(chain);
                }
                for driver in drivers {
                    let chain = self.chain(plug, tower, Some(driver));
                    found.chains.push(chain);
                }
            }
        }
        let injectors: Vec<PartId> = self
            .harness
            .parts
            .iter()
            .filter(|(_, part)| {
                matches!(&part.kind, PartKind::Injector(injector)
                    if injector.cylinder.is_some_and(|fact| fact.value == cylinder))
            })
            .map(|(&id, _)| id)
            .collect();
        for injector in injectors {
            self.injector(injector, &mut found.fuel);
        }
        let lacking = found
            .chains
            .iter()
            .flat_map(|chain| &chain.needs)
            .filter_map(|&need| match self.out.needs.get(need)?.state {
                NeedState::Shown => None,
                NeedState::Unknown(missing) => Some(missing),
            });
        found.missing.extend(lacking);
        found.missing.arrange();
        found.missing.dedup();
        found
    }

    /// The towers of coils that a plug's lead leads to, directly or through a distributor.
    fn towers_of(&self, plug: PartId) -> Vec<Terminal> {
        let top = self.network.at(Terminal {
            part: plug,
            port: Port::PlugTop,
        });
        // The plug itself is left out of the way: what is sought lies on the other side of its top.
        let reached = self.reached(top, Through::HighVoltage(plug), Way::On, |branch| {
            matches!(branch, BranchKind::PlugResistor | BranchKind::Gap)
        });
        let mut found = Vec::new();
        for (&part, described) in &self.harness.parts {
            let PartKind::Coil(coil) = &described.kind else {
                continue;
            };
            let ports: &[Port] = match coil.secondary {
                Secondary::TwoEnded => &[Port::TowerA, Port::TowerB],
                Secondary::ReturnsToFeed | Secondary::ReturnsToGround => &[Port::TowerA],
            };
            for &port in ports {
                let tower = Terminal { part, port };
                if reached(self.network.at(tower)) {
                    found.push(tower);
                }
            }
        }
        found
    }

    /// The plugs that a tower leads to.
    fn plugs_of(&self, tower: Terminal) -> Vec<PartId> {
        self.harness
            .parts
            .iter()
            .filter(|(_, part)| matches!(part.kind, PartKind::Plug(_)))
            .filter(|&(&plug, _)| self.towers_of(plug).contains(&tower))
            .map(|(&plug, _)| plug)
            .collect()
    }

    fn drivers_of(&self, coil: PartId) -> Vec<DriverId> {
        let Some(low) = self.low_end(coil) else {
            return Vec::new();
        };
        let reached = self.reached(low, Through::Conductors, Way::On, |_| false);
        let mut found: Vec<DriverId> = self
            .harness
            .drivers()
            .map(|(_, driver)| driver.id)
            .filter(|&driver| reached(Node::Collector(driver)))
            .collect();
        found.arrange();
        found
    }

    /// The low end of a coil's primary.
    fn low_end(&self, coil: PartId) -> Option<Node> {
        self.network
            .branches_of(Element::Primary(coil))
            .find(|(_, branch)| branch.kind == BranchKind::Primary)
            .map(|(_, branch)| branch.b)
    }

    /// A test of what can be reached from a node without branches of the left-out kinds.
    fn reached(
        &self,
        from: Node,
        through: Through,
        way: Way,
        left_out: fn(BranchKind) -> bool,
    ) -> impl Fn(Node) -> bool {
        let without = BranchSet::of(
            self.network
                .branches
                .iter()
                .enumerate()
                .filter(|(_, branch)| left_out(branch.kind))
                .map(|(index, _)| index),
        );
        let starts = self.wiring.indices(&[from]);
        let seen = self.wiring.reach(&starts, through, &without, way);
        move |node| {
            self.wiring
                .index(node)
                .is_some_and(|index| seen.get(index) == Some(&true))
        }
    }

    fn chain(&mut self, plug: PartId, tower: Terminal, driver: Option<DriverId>) -> Chain {
        let coil = tower.part;
        let mut needs = Vec::new();
        let mut doubts = Vec::new();
        for battery in self.batteries.clone() {
            // With two batteries one may be away.
            if self.batteries.len() == 1 {
                needs.extend(self.single(
                    NeedKind::Battery(battery),
                    Element::Battery(battery),
                    BranchKind::Source,
                ));
            }
        }
        let behind = |port| Node::Behind(Terminal { part: coil, port });
        needs.push(self.feed(NeedKind::Feed(coil), behind(Port::Feed)));
        needs.extend(self.single(
            NeedKind::Primary(coil),
            Element::Primary(coil),
            BranchKind::Primary,
        ));
        let mut command = None;
        let low: Vec<Node> = self.low_end(coil).into_iter().collect();
        if let Some(driver) = driver {
            let collector = vec![Node::Collector(driver)];
            needs.push(self.need(
                NeedKind::Control(coil, driver),
                low,
                collector,
                Through::Conductors,
                None,
            ));
            command = self.driver(driver, &mut needs);
        } else {
            needs.push(self.need(
                NeedKind::ControlToUnknown(coil),
                low,
                Vec::new(),
                Through::Conductors,
                Some(Missing::Driver(coil)),
            ));
        }
        needs.extend(self.single(
            NeedKind::Secondary(coil),
            Element::Secondary(coil),
            BranchKind::Secondary,
        ));
        needs.push(self.side(tower, plug));
        let engine = Node::Metal(GroundSite::Engine);
        match self.harness.coil(coil).map(|described| described.secondary) {
            Some(Secondary::TwoEnded) => {
                let port = if tower.port == Port::TowerA {
                    Port::TowerB
                } else {
                    Port::TowerA
                };
                let other = Terminal { part: coil, port };
                let plugs = self.plugs_of(other);
                if plugs.is_empty() {
                    let from = vec![self.network.at(other)];
                    needs.push(self.need(
                        NeedKind::SideToUnknown(other),
                        from,
                        Vec::new(),
                        Through::HighVoltage(coil),
                        Some(Missing::PlugAtTower(other)),
                    ));
                }
                for companion in plugs {
                    doubts.push(self.side(other, companion));
                }
            }
            Some(Secondary::ReturnsToFeed) => doubts.push(self.need(
                NeedKind::Return(coil),
                vec![behind(Port::Feed)],
                vec![engine],
                Through::SparkReturn,
                None,
            )),
            Some(Secondary::ReturnsToGround) => needs.push(self.need(
                NeedKind::Return(coil),
                vec![behind(Port::CoilGround)],
                vec![engine],
                Through::Power(None),
                None,
            )),
            None => {}
        }
        doubts.push(self.ground(NeedKind::EngineGround, engine));
        Chain {
            plug,
            tower,
            driver,
            command,
            needs,
            doubts,
        }
    }

    fn side(&mut self, tower: Terminal, plug: PartId) -> usize {
        let from = vec![self.network.at(tower)];
        let to = vec![Node::Metal(GroundSite::Engine)];
        self.need(
            NeedKind::Side(tower, plug),
            from,
            to,
            Through::HighVoltage(plug),
            None,
        )
    }

    /// Adds what a driver needs, and tells which unit commands it.
    fn driver(&mut self, driver: DriverId, needs: &mut Vec<usize>) -> Option<PartId> {
        needs.extend(self.single(
            NeedKind::Switch(driver),
            Element::Driver(driver, DriverPiece::Switch),
            BranchKind::Switch,
        ));
        needs.push(self.ground(NeedKind::DriverGround(driver), Node::Emitter(driver)));
        let host = self.harness.host_of(driver);
        let commands: Vec<PartId> = {
            let reached = self.reached(Node::Gate(driver), Through::Signals, Way::Back, |_| false);
            self.out
                .units
                .keys()
                .copied()
                .filter(|&unit| reached(Node::Crank(unit)))
                .collect()
        };
        let from: Vec<Node> = commands.iter().map(|&unit| Node::Crank(unit)).collect();
        let lacking = commands.is_empty().then_some(Missing::Command(driver));
        needs.push(self.need(
            NeedKind::Drive(driver),
            from,
            vec![Node::Gate(driver)],
            Through::Signals,
            lacking,
        ));
        let command = match commands.as_slice() {
            [only] => Some(*only),
            [] | [..] => None,
        };
        let mut units: Vec<PartId> = command.into_iter().chain(host).collect();
        units.dedup();
        for unit in units {
            needs.extend(self.out.units.get(&unit).into_iter().flatten().copied());
        }
        command
    }

    fn injector(&mut self, injector: PartId, fuel: &mut Vec<usize>) {
        let behind = |port| {
            Node::Behind(Terminal {
                part: injector,
                port,
            })
        };
        fuel.push(self.feed(NeedKind::InjectorFeed(injector), behind(Port::InjectorFeed)));
        fuel.extend(self.single(
            NeedKind::InjectorWinding(injector),
            Element::InjectorWinding(injector),
            BranchKind::InjectorWinding,
        ));
        let low = behind(Port::InjectorControl);
        let mut lands = Vec::new();
        {
            let reached = self.reached(low, Through::Conductors, Way::On, |_| false);
            for (&part, described) in &self.harness.parts {
                let PartKind::ControlUnit(unit) = &described.kind else {
                    continue;
                };
                for pin in &unit.pins {
                    let land = Node::Land(part, pin.id);
                    if pin
                        .role
                        .is_some_and(|fact| fact.value == PinRole::InjectorSwitch)
                        && reached(land)
                    {
                        lands.push((part, land));
                    }
                }
            }
        }
        let lacking = lands.is_empty().then_some(Missing::InjectorPin(injector));
        let to = lands.iter().map(|&(_, land)| land).collect();
        fuel.push(self.need(
            NeedKind::InjectorControl(injector),
            vec![low],
            to,
            Through::Conductors,
            lacking,
        ));
        if let [(unit, _)] = lands.as_slice() {
            fuel.extend(self.out.units.get(unit).into_iter().flatten().copied());
        }
    }
}
