//! The harness as nodes and branches: every element stands where it conducts, healthy and plugged in.
//!
//! ```text
//! battery ─ joint ─ wire ─ fuse ─ wire ─ key or relay ─ wire ─ splice ─ wire ─ mated 15 ─ primary ─ mated 1
//!   ─ wire ─ cavity ─ wire ─ mated pin ─ trace ─ output joint ─ switch ─ ground joint ─ board ground ─ mated pin
//!   ─ wire ─ joint ─ engine metal ─ joint ─ wire ─ joint ─ battery
//! crank signal ─ logic ─ drive joint ─ drive resistor ─ gate joint ─ (switch)
//! tower ─ lead ─ plug resistor ─ gap ─ engine metal
//! ```

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::CylinderId;
use crate::gather::{Arrange, Gather};
use crate::model::{
    Coil, ControlUnit, DriverId, DriverPiece, Element, GroundSite, Harness, Hold, PartId, PartKind,
    PinId, PinRole, Port, Secondary, Side, Terminal, UnitRole, WireEnd, WireId,
};

/// A place where the potential is one: everything at a node is joined without anything that can fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Node {
    /// A terminal on the side where wires and leads arrive; a probe can go here.
    At(Terminal),
    /// The part's side of a pluggable terminal: behind its mated contact.
    Behind(Terminal),
    /// The end of a wire before its joint.
    End(WireId, WireEnd),
    /// The metal of engine or body.
    Metal(GroundSite),
    /// Inside a unit: where its supply pins meet, before the board's joints.
    SupplyIn(PartId),
    /// Inside a unit: the supply rail of the board.
    SupplyRail(PartId),
    /// Inside a unit: where its common ground pins meet, before the board's joints.
    GroundIn(PartId),
    /// Inside a unit: the ground rail of the board.
    GroundRail(PartId),
    /// The far end of the trace behind a pin.
    Land(PartId, PinId),
    /// Inside a coil that holds its driver: the low end of the primary.
    PrimaryLow(PartId),
    /// The output side of a driver's switch (collector or drain).
    Collector(DriverId),
    /// The ground side of a driver's switch (emitter or source).
    Emitter(DriverId),
    /// Drive path: what comes out of the logic for this driver.
    DriveStart(DriverId),
    /// Drive path: between its first joint and its resistor.
    DriveMiddle(DriverId),
    /// Drive path: between its resistor and its last joint.
    DriveEnd(DriverId),
    /// The gate or base of a driver's switch.
    Gate(DriverId),
    /// The crank signal as it comes in.
    Crank(PartId),
    /// The logic of a unit.
    Logic(PartId),
    /// A distributor's rotor tip.
    RotorTip(PartId),
    /// A plug's centre electrode, behind its resistor.
    Electrode(PartId),
}

/// What a branch does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BranchKind {
    /// The battery: a voltage with an inner resistance, from plus to minus.
    Source,
    /// Wire, joint, mated contact, cavity, trace, board joint, fuse: it conducts.
    Conductor,
    /// A key switch's contact: it conducts with the key on.
    KeyContact,
    /// A relay's contact: it conducts while the relay's winding is fed.
    RelayContact,
    /// A relay's winding.
    RelayWinding,
    /// What a unit itself draws.
    UnitLoad,
    /// A coil's primary, from 15 to 1.
    Primary,
    /// A coil's secondary.
    Secondary,
    /// A driver's transistor, from collector to emitter.
    Switch,
    /// A unit's own low-side switch that pulls in a relay; it conducts while the unit works.
    RelaySwitch,
    /// An injector's winding.
    InjectorWinding,
    /// A distributor's rotor.
    Rotor,
    /// The air gap from a distributor's rotor tip to one tower.
    CapGap(CylinderId),
    /// A lead's conductor.
    Lead,
    /// A plug's resistor.
    PlugResistor,
    /// A plug's gap.
    Gap,
    /// A signal: it carries the command to switch, from `a` to `b`, not power.
    Signal,
}

/// One branch between two nodes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Branch {
    /// One end: the side toward battery plus, or where a signal comes from.
    pub a: Node,
    /// The other end.
    pub b: Node,
    /// What it does.
    pub kind: BranchKind,
    /// The element that stands here. An element can stand in several branches (a unit's logic);
    /// a branch without one cannot fail by itself.
    pub element: Option<Element>,
}

/// All nodes and branches of a harness, in a fixed order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Network {
    /// Every node, rising, each once.
    pub nodes: Vec<Node>,
    /// Every branch, rising.
    pub branches: Vec<Branch>,
    /// Terminals that are one and the same place as another node.
    same: BTreeMap<Terminal, Node>,
}

impl Network {
    /// The network of a harness, everything plugged in. Unfinished parts give unconnected nodes.
    #[must_use]
    pub fn of(harness: &Harness) -> Self {
        let mut network = Self {
            same: same_places(harness),
            ..Self::default()
        };
        for (&id, part) in &harness.parts {
            network.add_part(harness, id, &part.kind);
        }
        for &id in harness.wires.keys() {
            network.add_wire(harness, id);
        }
        network.branches.arrange();
        network.branches.dedup();
        let ends = network
            .branches
            .iter()
            .flat_map(|branch| [branch.a, branch.b]);
        let places = harness
            .parts
            .keys()
            .flat_map(|&part| harness.terminals_of(part))
            .map(|terminal| network.at(terminal));
        let nodes: BTreeSet<Node> = ends.chain(places).gather();
        network.nodes = nodes.into_iter().collect();
        network
    }

    /// The node of a terminal on the side where wires and leads arrive.
    #[must_use]
    pub fn at(&self, terminal: Terminal) -> Node {
        let mut node = Node::At(terminal);
        // A lead's end may name a lead's end; the chain is short, and a loop in a wrong map must end.
        for _ in 0..4 {
            let Node::At(place) = node else { break };
            match self.same.get(&place) {
                Some(&next) if next != node => node = next,
                Some(_) | None => break,
            }
        }
        node
    }

    /// The branches in which an element stands.
    pub fn branches_of(&self, element: Element) -> impl Iterator<Item = (usize, &Branch)> {
        self.branches
            .iter()
            .enumerate()
            .filter(move |(_, branch)| branch.element == Some(element))
    }

    fn add(&mut self, a: Node, b: Node, kind: BranchKind, element: Element) {
        self.branches.push(Branch {
            a,
            b,
            kind,
            element: Some(element),
        });
    }

    fn add_wire(&mut self, harness: &Harness, id: WireId) {
        let Some(wire) = harness.wires.get(&id) else {
            return;
        };
        let mut ends = WireEnd::BOTH.map(|end| Node::End(id, end));
        for (node, end) in ends.iter_mut().zip(WireEnd::BOTH) {
            let Some(fact) = wire.end(end) else { continue };
            if !harness.has_terminal(fact.value) {
                continue;
            }
            let at = self.at(fact.value);
            match fact.value.port.hold() {
                Hold::Joint => {
                    let (a, b) = match end {
                        WireEnd::From => (at, *node),
                        WireEnd::To => (*node, at),
                    };
                    self.add(a, b, BranchKind::Conductor, Element::Joint(id, end));
                }
                Hold::Contact | Hold::Plain | Hold::Push | Hold::Thread => *node = at,
            }
        }
        self.add(ends[0], ends[1], BranchKind::Conductor, Element::Wire(id));
    }

    fn add_part(&mut self, harness: &Harness, id: PartId, kind: &PartKind) {
        let at = |port| Terminal { part: id, port };
        for terminal in harness.terminals_of(id) {
            if terminal.port.hold() == Hold::Contact {
                let behind = behind(harness, terminal);
                self.add(
                    self.at(terminal),
                    behind,
                    BranchKind::Conductor,
                    Element::Mated(terminal),
                );
            }
        }
        match kind {
            PartKind::Battery(_) => self.add(
                Node::At(at(Port::Plus)),
                Node::At(at(Port::Minus)),
                BranchKind::Source,
                Element::Battery(id),
            ),
            PartKind::Fuse(_) => self.add(
                Node::At(at(Port::In)),
                Node::At(at(Port::Out)),
                BranchKind::Conductor,
                Element::Contact(id),
            ),
            PartKind::KeySwitch => self.add(
                Node::At(at(Port::In)),
                Node::At(at(Port::Out)),
                BranchKind::KeyContact,
                Element::Contact(id),
            ),
            PartKind::Relay(_) => {
                self.add(
                    Node::Behind(at(Port::ContactIn)),
                    Node::Behind(at(Port::ContactOut)),
                    BranchKind::RelayContact,
                    Element::Contact(id),
                );
                self.add(
                    Node::Behind(at(Port::WindingStart)),
                    Node::Behind(at(Port::WindingEnd)),
                    BranchKind::RelayWinding,
                    Element::RelayWinding(id),
                );
            }
            PartKind::Splice | PartKind::Ground(_) | PartKind::Pack => {}
            PartKind::Connector(connector) => {
                for cavity in &connector.cavities {
                    self.add(
                        Node::At(at(Port::Cavity(cavity.id, Side::A))),
                        Node::At(at(Port::Cavity(cavity.id, Side::B))),
                        BranchKind::Conductor,
                        Element::Cavity(id, cavity.id),
                    );
                }
            }
            PartKind::ControlUnit(unit) => self.add_unit(harness, id, unit),
            PartKind::Coil(coil) => self.add_coil(harness, id, coil),
            PartKind::Distributor(distributor) => {
                let (centre, tip) = (self.at(at(Port::Centre)), Node::RotorTip(id));
                self.add(centre, tip, BranchKind::Rotor, Element::Rotor(id));
                for &cylinder in &distributor.towers {
                    let tower = self.at(at(Port::Tower(cylinder)));
                    self.add(tip, tower, BranchKind::CapGap(cylinder), Element::Cap(id));
                }
            }
            PartKind::Lead(_) => {
                let (from, to) = (self.at(at(Port::LeadFrom)), self.at(at(Port::LeadTo)));
                self.add(from, to, BranchKind::Lead, Element::LeadConductor(id));
            }
            PartKind::Plug(_) => {
                let (top, electrode) = (self.at(at(Port::PlugTop)), Node::Electrode(id));
                self.add(
                    top,
                    electrode,
                    BranchKind::PlugResistor,
                    Element::PlugResistor(id),
                );
                let engine = Node::Metal(GroundSite::Engine);
                self.add(electrode, engine, BranchKind::Gap, Element::Gap(id));
            }
            PartKind::Injector(_) => self.add(
                Node::Behind(at(Port::InjectorFeed)),
                Node::Behind(at(Port::InjectorControl)),
                BranchKind::InjectorWinding,
                Element::InjectorWinding(id),
            ),
        }
    }

    fn add_unit(&mut self, harness: &Harness, id: PartId, unit: &ControlUnit) {
        use BranchKind::{Conductor, Signal};
        self.add(
            Node::SupplyIn(id),
            Node::SupplyRail(id),
            Conductor,
            Element::BoardSupply(id),
        );
        self.add(
            Node::GroundRail(id),
            Node::GroundIn(id),
            Conductor,
            Element::BoardGround(id),
        );
        if unit.role == UnitRole::EngineControl {
            let load = Element::Logic(id);
            self.add(
                Node::SupplyRail(id),
                Node::GroundRail(id),
                BranchKind::UnitLoad,
                load,
            );
            self.add(
                Node::Crank(id),
                Node::Logic(id),
                Signal,
                Element::CrankSignal(id),
            );
        }
        for pin in &unit.pins {
            let behind = behind(
                harness,
                Terminal {
                    part: id,
                    port: Port::Pin(pin.id),
                },
            );
            let land = Node::Land(id, pin.id);
            let Some(role) = pin.role else { continue };
            match role.value {
                PinRole::Supply | PinRole::Ground | PinRole::Other => continue,
                // A module has no logic of its own.
                PinRole::DriveOut if unit.role == UnitRole::EngineControl => {
                    self.add(Node::Logic(id), land, Signal, Element::Logic(id));
                }
                PinRole::RelaySwitch => self.branches.push(Branch {
                    a: land,
                    b: Node::GroundRail(id),
                    kind: BranchKind::RelaySwitch,
                    element: None,
                }),
                PinRole::CoilSwitch
                | PinRole::DriveOut
                | PinRole::DriveIn
                | PinRole::InjectorSwitch
                | PinRole::SensorIn => {}
            }
            self.add(behind, land, Conductor, Element::Trace(id, pin.id));
        }
        for driver in &unit.drivers {
            let pin = |pin: PinId| Terminal {
                part: id,
                port: Port::Pin(pin),
            };
            if let Some(output) = driver.output {
                let joint = Element::Driver(driver.id, DriverPiece::OutputJoint);
                let land = Node::Land(id, output.value);
                self.add(land, Node::Collector(driver.id), Conductor, joint);
            }
            let ground = driver.ground.map_or(Node::GroundRail(id), |fact| {
                behind(harness, pin(fact.value))
            });
            let start = driver.drive.map_or(Node::DriveStart(driver.id), |fact| {
                Node::Land(id, fact.value)
            });
            if driver.drive.is_none() && unit.role == UnitRole::EngineControl {
                self.add(Node::Logic(id), start, Signal, Element::Logic(id));
            }
            self.add_driver(driver.id, ground, start);
        }
    }

    fn add_coil(&mut self, harness: &Harness, id: PartId, coil: &Coil) {
        let behind_port = |port| behind(harness, Terminal { part: id, port });
        let feed = behind_port(Port::Feed);
        let low = match &coil.driver {
            Some(driver) => {
                let low = Node::PrimaryLow(id);
                let joint = Element::Driver(driver.id, DriverPiece::OutputJoint);
                self.add(
                    low,
                    Node::Collector(driver.id),
                    BranchKind::Conductor,
                    joint,
                );
                self.add_driver(
                    driver.id,
                    behind_port(Port::CoilGround),
                    behind_port(Port::DriveIn),
                );
                low
            }
            None => behind_port(Port::Switched),
        };
        self.add(feed, low, BranchKind::Primary, Element::Primary(id));
        let tower = |port| self.at(Terminal { part: id, port });
        let (first, other) = match coil.secondary {
            Secondary::TwoEnded => (tower(Port::TowerA), tower(Port::TowerB)),
            Secondary::ReturnsToFeed => (tower(Port::TowerA), feed),
            Secondary::ReturnsToGround => (tower(Port::TowerA), behind_port(Port::CoilGround)),
        };
        self.add(first, other, BranchKind::Secondary, Element::Secondary(id));
    }

    fn add_driver(&mut self, id: DriverId, ground: Node, start: Node) {
        use BranchKind::{Conductor, Signal};
        use DriverPiece::{DriveJoint, DriveResistor, GateJoint, GroundJoint, Switch};
        let piece = |piece| Element::Driver(id, piece);
        self.add(
            Node::Collector(id),
            Node::Emitter(id),
            BranchKind::Switch,
            piece(Switch),
        );
        self.add(Node::Emitter(id), ground, Conductor, piece(GroundJoint));
        self.add(start, Node::DriveMiddle(id), Signal, piece(DriveJoint));
        self.add(
            Node::DriveMiddle(id),
            Node::DriveEnd(id),
            Signal,
            piece(DriveResistor),
        );
        self.add(Node::DriveEnd(id), Node::Gate(id), Signal, piece(GateJoint));
    }
}

/// The node behind a pluggable terminal. Supply pins of a unit meet in one place, and so do the
/// ground pins that no driver has for itself.
fn behind(harness: &Harness, terminal: Terminal) -> Node {
    let Port::Pin(pin) = terminal.port else {
        return Node::Behind(terminal);
    };
    let role = harness
        .pin(terminal.part, pin)
        .and_then(|p| p.role)
        .map(|fact| fact.value);
    match role {
        Some(PinRole::Supply) => Node::SupplyIn(terminal.part),
        Some(PinRole::Ground) => {
            let own = harness.unit(terminal.part).is_some_and(|unit| {
                unit.drivers
                    .iter()
                    .any(|d| d.ground.is_some_and(|fact| fact.value == pin))
            });
            if own {
                Node::Behind(terminal)
            } else {
                Node::GroundIn(terminal.part)
            }
        }
        Some(
            PinRole::CoilSwitch
            | PinRole::DriveOut
            | PinRole::DriveIn
            | PinRole::InjectorSwitch
            | PinRole::RelaySwitch
            | PinRole::SensorIn
            | PinRole::Other,
        )
        | None => Node::Behind(terminal),
    }
}

/// Terminals that are one and the same place as another node: ground points and plug threads stand
/// in the metal, lead ends on what they are pushed onto.
fn same_places(harness: &Harness) -> BTreeMap<Terminal, Node> {
    let mut same = BTreeMap::new();
    for (&id, part) in &harness.parts {
        let at = |port| Terminal { part: id, port };
        if let PartKind::Ground(site) = part.kind {
            same.insert(at(Port::Joint), Node::Metal(site));
        }
        if let PartKind::Plug(_) = part.kind {
            same.insert(at(Port::Shell), Node::Metal(GroundSite::Engine));
        }
        if let PartKind::Lead(lead) = &part.kind {
            for (port, end) in [(Port::LeadFrom, lead.from), (Port::LeadTo, lead.to)] {
                if let Some(fact) = end
                    && harness.has_terminal(fact.value)
                {
                    same.insert(at(port), Node::At(fact.value));
                }
            }
        }
    }
    same
}
