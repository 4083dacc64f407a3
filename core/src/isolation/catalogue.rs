//! The catalogue: every test and repair that a harness offers, with what it costs to get there.

use super::choose::{AccessSet, Acts, Cost};
use super::defaults::{access, minutes};
use super::question::{Probes, Question};
use super::unit::Unit;
use crate::model::{
    Coil, DriverPiece, Element, EngineState, Harness, PartId, PartKind, PinRole, Port, Secondary,
    Setup, Side, StressKind, Substitute, SwapPair, Terminal, WireEnd,
};

/// What must be opened or taken out, once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Access {
    /// Getting at a part (a pack stands for its coils).
    Reach(PartId),
    /// Getting at the plugs of a row, from 0.
    Plugs(usize),
    /// Opening a unit's housing.
    Open(PartId),
    /// Soldering on a unit's board.
    Solder(PartId),
}

/// One act that tells something, and may mend.
#[derive(Debug, Clone, PartialEq)]
pub struct Act {
    /// What it asks.
    pub question: Question,
    /// What it costs.
    pub cost: Cost,
    /// The unit of repair that it looks at directly, if it does.
    pub aim: Option<Unit>,
}

/// Every act that a harness offers, from the battery to the plugs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Catalogue {
    /// The acts.
    pub acts: Vec<Act>,
    /// The accesses by number, with their minutes.
    pub accesses: Vec<(Access, f64)>,
}

impl Catalogue {
    /// The catalogue of a harness.
    #[must_use]
    pub fn of(harness: &Harness) -> Self {
        let mut maker = Maker {
            harness,
            made: Self::default(),
            minus: battery_minus(harness),
        };
        maker.supply();
        maker.grounds();
        maker.units();
        maker.connectors();
        maker.coils();
        maker.drivers();
        maker.wires();
        maker.high_voltage();
        maker.cylinders();
        maker.made
    }

    /// Costs in the form that ranking takes.
    #[must_use]
    pub fn costs(&self) -> Acts {
        Acts {
            costs: self.acts.iter().map(|act| act.cost).collect(),
            access: self.accesses.iter().map(|(_, minutes)| *minutes).collect(),
        }
    }

    /// Where it measures resistance.
    #[must_use]
    pub fn resistances(&self) -> Vec<(Terminal, Terminal)> {
        self.acts
            .iter()
            .filter_map(|act| match &act.question {
                Question::Resistance(probes) => Some((probes.red, probes.black?)),
                Question::Contribution(_)
                | Question::Spark(_)
                | Question::Volts(_)
                | Question::Drop(_)
                | Question::Lamp(_)
                | Question::Look(_)
                | Question::Stress(..)
                | Question::Substitute(..)
                | Question::Swap(_)
                | Question::Clean(_)
                | Question::Remake(_)
                | Question::Code(_)
                | Question::AnyCode
                | Question::Compression(_) => None,
            })
            .collect()
    }

    /// The accesses in a set.
    pub fn named(&self, set: AccessSet) -> impl Iterator<Item = (Access, f64)> + '_ {
        set.numbers().filter_map(|n| self.accesses.get(n).copied())
    }
}

/// The battery's minus terminal, where the black lead goes.
fn battery_minus(harness: &Harness) -> Option<Terminal> {
    harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)))
        .map(|(id, _)| at(*id, Port::Minus))
}

const fn at(part: PartId, port: Port) -> Terminal {
    Terminal { part, port }
}

struct Maker<'h> {
    harness: &'h Harness,
    made: Catalogue,
    minus: Option<Terminal>,
}

impl Maker<'_> {
    fn number(&mut self, access: Access, cost: f64) -> AccessSet {
        if cost <= 0.0 {
            return AccessSet::NONE;
        }
        let place = self.made.accesses.iter().position(|(a, _)| *a == access);
        let place = place.unwrap_or_else(|| {
            self.made.accesses.push((access, cost));
            self.made.accesses.len() - 1
        });
        // Beyond the 128th, access is not shared: the last one stands for all of them.
        AccessSet::one(place.min(127)).unwrap_or_default()
    }

    /// Access to a part: the owner's own figure, or the usual one for its kind.
    fn reach(&mut self, part: PartId) -> AccessSet {
        let Some(described) = self.harness.parts.get(&part) else {
            return AccessSet::NONE;
        };
        let own = described.place.reach.map(|m| m.get().max(0.0));
        match &described.kind {
            PartKind::Coil(Coil {
                pack: Some(pack), ..
            }) => {
                let shared = self.harness.parts.get(pack).and_then(|p| p.place.reach);
                let cost = own
                    .or(shared.map(|m| m.get().max(0.0)))
                    .unwrap_or(access::COIL);
                self.number(Access::Reach(*pack), cost)
            }
            PartKind::Coil(_) => self.number(Access::Reach(part), own.unwrap_or(access::COIL)),
            PartKind::ControlUnit(_) => {
                self.number(Access::Reach(part), own.unwrap_or(access::UNIT))
            }
            PartKind::Plug(plug) => {
                let row = plug
                    .cylinder
                    .and_then(|c| self.harness.engine.place(c.value))
                    .map_or(0, |(row, _)| row);
                match own {
                    Some(cost) => self.number(Access::Reach(part), cost),
                    None => self.number(Access::Plugs(row), access::PLUGS),
                }
            }
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Injector(_) => self.number(Access::Reach(part), own.unwrap_or(0.0)),
        }
    }

    fn opened(&mut self, unit: PartId) -> AccessSet {
        let reach = self.reach(unit);
        reach.with(self.number(Access::Open(unit), access::OPEN))
    }

    fn soldering(&mut self, unit: PartId) -> AccessSet {
        let open = self.opened(unit);
        open.with(self.number(Access::Solder(unit), access::SOLDER))
    }

    fn add(&mut self, question: Question, minutes: f64, access: AccessSet, aim: Option<Unit>) {
        self.risky(question, minutes, 0.0, access, aim);
    }

    fn risky(
        &mut self,
        question: Question,
        minutes: f64,
        risk: f64,
        access: AccessSet,
        aim: Option<Unit>,
    ) {
        if self.made.acts.iter().any(|act| act.question == question) {
            return;
        }
        self.made.acts.push(Act {
            question,
            cost: Cost {
                minutes,
                risk,
                access,
            },
            aim,
        });
    }

    fn volts(&mut self, red: Terminal, setup: Setup, access: AccessSet, aim: Option<Unit>) {
        if let Some(black) = self.minus
            && black != red
        {
            let probes = Probes {
                red,
                black: Some(black),
                setup,
            };
            self.add(Question::Volts(probes), minutes::VOLTS, access, aim);
        }
    }

    fn ohms(&mut self, red: Terminal, black: Terminal, access: AccessSet, aim: Option<Unit>) {
        let probes = Probes {
            red,
            black: Some(black),
            setup: Setup::battery_off(),
        };
        self.add(Question::Resistance(probes), minutes::OHMS, access, aim);
    }

    /// Voltage lost from a ground terminal to battery minus while the engine turns.
    fn drop_to_minus(&mut self, red: Terminal, access: AccessSet, aim: Option<Unit>) {
        if let Some(black) = self.minus
            && black != red
        {
            let probes = Probes {
                red,
                black: Some(black),
                setup: running(),
            };
            self.add(Question::Drop(probes), minutes::VOLTS, access, aim);
        }
    }

    fn contact(&mut self, terminal: Terminal) {
        let element = Element::Mated(terminal);
        let aim = Some(Unit::Contact(terminal));
        let access = self.reach(terminal.part);
        self.add(
            Question::Stress(element, StressKind::Wiggled),
            minutes::WIGGLE,
            access,
            aim,
        );
        self.add(Question::Clean(element), minutes::CLEAN, access, aim);
    }

    fn supply(&mut self) {
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
                        self.contact(at(part, port));
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

    fn grounds(&mut self) {
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

    fn units(&mut self) {
        let units: Vec<PartId> = self
            .harness
            .parts
            .keys()
            .copied()
            .filter(|id| self.harness.unit(*id).is_some())
            .collect();
        for part in units {
            let Some(unit) = self.harness.unit(part) else {
                continue;
            };
            let reach = self.reach(part);
            let open = self.opened(part);
            for pin in &unit.pins {
                let terminal = at(part, Port::Pin(pin.id));
                let Some(role) = pin.role.map(|r| r.value) else {
                    continue;
                };
                let contact = Some(Unit::Contact(terminal));
                match role {
                    PinRole::Supply => {
                        self.volts(terminal, Setup::key_on(), reach, contact);
                        self.volts(terminal, running(), reach, contact);
                    }
                    PinRole::Ground => self.drop_to_minus(terminal, reach, contact),
                    PinRole::CoilSwitch | PinRole::DriveOut | PinRole::DriveIn => {
                        self.volts(terminal, Setup::key_on(), reach, None);
                        self.volts(terminal, running(), reach, None);
                        // With the unit unplugged the wire is alone with what leaks on it.
                        let mut apart = Setup::key_on();
                        apart.unplugged.insert(part);
                        self.volts(terminal, apart, reach, None);
                        // With the coil unplugged too, what is left on it leaks from elsewhere.
                        if let Some(coil) = super::cause::coil_of_pin(self.harness, terminal) {
                            let mut alone = Setup::key_on();
                            alone.unplugged.extend([part, coil]);
                            let both = reach.with(self.reach(coil));
                            self.volts(terminal, alone, both, None);
                        }
                        self.trace(part, pin.id, open);
                    }
                    PinRole::InjectorSwitch
                    | PinRole::RelaySwitch
                    | PinRole::SensorIn
                    | PinRole::Other => {
                        self.volts(terminal, Setup::key_on(), reach, None);
                        self.trace(part, pin.id, open);
                    }
                }
                self.contact(terminal);
            }
            let look = [
                (Element::BoardSupply(part), Unit::BoardSupply(part)),
                (Element::BoardGround(part), Unit::BoardGround(part)),
            ];
            for (element, unit) in look {
                self.add(Question::Look(element), minutes::JOINT, open, Some(unit));
            }
            if unit.role == crate::model::UnitRole::EngineControl {
                self.add(
                    Question::Look(Element::Logic(part)),
                    minutes::SCOPE,
                    open,
                    Some(Unit::Logic(part)),
                );
            }
            let elements = self.harness.elements();
            if elements.contains(&Element::CrankSignal(part)) {
                self.add(
                    Question::Look(Element::CrankSignal(part)),
                    10.0,
                    AccessSet::NONE,
                    Some(Unit::CrankSignal(part)),
                );
            }
            self.add(
                Question::Substitute(part, Substitute::KnownGood),
                minutes::NEW_UNIT,
                reach,
                Some(Unit::Logic(part)),
            );
        }
    }

    fn trace(&mut self, part: PartId, pin: crate::model::PinId, open: AccessSet) {
        self.add(
            Question::Look(Element::Trace(part, pin)),
            minutes::JOINT,
            open,
            Some(Unit::Trace(part, pin)),
        );
    }

    fn connectors(&mut self) {
        let cavities: Vec<(PartId, crate::model::CavityId)> = self
            .harness
            .parts
            .iter()
            .filter_map(|(id, part)| match &part.kind {
                PartKind::Connector(connector) => Some((*id, connector)),
                PartKind::Battery(_)
                | PartKind::Fuse(_)
                | PartKind::KeySwitch
                | PartKind::Relay(_)
                | PartKind::Splice
                | PartKind::Ground(_)
                | PartKind::ControlUnit(_)
                | PartKind::Coil(_)
                | PartKind::Pack
                | PartKind::Distributor(_)
                | PartKind::Lead(_)
                | PartKind::Plug(_)
                | PartKind::Injector(_) => None,
            })
            .flat_map(|(id, connector)| connector.cavities.iter().map(move |c| (id, c.id)))
            .collect();
        for (part, cavity) in cavities {
            let access = self.reach(part);
            let aim = Some(Unit::Cavity(part, cavity));
            let (a, b) = (
                at(part, Port::Cavity(cavity, Side::A)),
                at(part, Port::Cavity(cavity, Side::B)),
            );
            for side in [a, b] {
                self.volts(side, Setup::key_on(), access, None);
            }
            self.ohms(a, b, access, aim);
            let element = Element::Cavity(part, cavity);
            self.add(
                Question::Stress(element, StressKind::Wiggled),
                minutes::WIGGLE,
                access,
                aim,
            );
            self.add(Question::Clean(element), minutes::CLEAN, access, aim);
        }
    }

    fn coils(&mut self) {
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
            self.contact(at(part, Port::Feed));
            if coil.driver.is_some() {
                self.volts(at(part, Port::DriveIn), running(), access, None);
                self.drop_to_minus(at(part, Port::CoilGround), access, None);
                self.contact(at(part, Port::DriveIn));
                self.contact(at(part, Port::CoilGround));
            } else {
                self.volts(at(part, Port::Switched), Setup::key_on(), access, None);
                self.volts(at(part, Port::Switched), running(), access, None);
                self.ohms(at(part, Port::Feed), at(part, Port::Switched), access, aim);
                self.contact(at(part, Port::Switched));
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

    fn drivers(&mut self) {
        let drivers: Vec<(PartId, crate::model::DriverId)> = self
            .harness
            .drivers()
            .map(|(part, driver)| (part, driver.id))
            .collect();
        for (place, (part, driver)) in drivers.iter().copied().enumerate() {
            if self.harness.coil(part).is_some() {
                // A driver cast into a coil goes with the coil.
                continue;
            }
            let open = self.opened(part);
            let solder = self.soldering(part);
            let joints = Some(Unit::DriverJoints(driver));
            for piece in DriverPiece::ALL {
                let element = Element::Driver(driver, piece);
                let aim = match piece {
                    DriverPiece::Switch => Some(Unit::Transistor(driver)),
                    DriverPiece::DriveResistor => Some(Unit::DriveResistor(driver)),
                    DriverPiece::OutputJoint
                    | DriverPiece::GroundJoint
                    | DriverPiece::DriveJoint
                    | DriverPiece::GateJoint => joints,
                };
                self.add(Question::Look(element), minutes::JOINT, open, aim);
            }
            // All joints of one driver are soldered in one sitting.
            self.risky(
                Question::Remake(Element::Driver(driver, DriverPiece::OutputJoint)),
                minutes::SOLDER,
                3.0,
                solder,
                joints,
            );
            let partner = drivers
                .iter()
                .cycle()
                .skip(place + 1)
                .take(drivers.len().saturating_sub(1))
                .find(|(host, _)| *host == part);
            if let Some((_, partner)) = partner {
                let pair = SwapPair::Transistors(driver.min(*partner), driver.max(*partner));
                self.risky(
                    Question::Swap(pair),
                    minutes::SWAP_TRANSISTORS,
                    5.0,
                    solder,
                    Some(Unit::Transistor(driver)),
                );
            }
        }
    }

    /// Resistance of each wire between the places where its ends can be reached.
    fn wires(&mut self) {
        let wires: Vec<(crate::model::WireId, Terminal, Terminal)> = self
            .harness
            .wires
            .iter()
            .filter_map(|(id, wire)| Some((*id, wire.from?.value, wire.to?.value)))
            .collect();
        for (id, from, to) in wires {
            if from != to {
                let access = self.reach(from.part).with(self.reach(to.part));
                self.ohms(from, to, access, Some(Unit::Wire(id)));
            }
        }
    }

    fn high_voltage(&mut self) {
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
                    self.contact(at(part, Port::InjectorFeed));
                    self.contact(at(part, Port::InjectorControl));
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
        super::cause::leads_beside(self.harness, a, b)
    }

    fn cylinders(&mut self) {
        for cylinder in self.harness.engine.cylinders() {
            self.add(
                Question::Contribution(cylinder),
                minutes::DEAD,
                AccessSet::NONE,
                None,
            );
            self.add(
                Question::Spark(cylinder),
                minutes::FLASH,
                AccessSet::NONE,
                None,
            );
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

/// The engine at idle, as for averages.
fn running() -> Setup {
    let setup = Setup::idling();
    debug_assert!(matches!(setup.engine, EngineState::Running(_)));
    setup
}
