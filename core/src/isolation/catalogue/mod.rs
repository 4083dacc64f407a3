//! The catalogue: every test and repair that a harness offers, with what it costs to get there.

mod ignition;
mod supply;
mod units;

use std::collections::BTreeSet;

use super::choose::{AccessSet, Acts, Cost};
use super::defaults::{access, minutes};
use super::kit::Needs;
use super::question::{Probes, Question};
use super::unit::Unit;
use crate::model::{
    Coil, Element, EngineState, Harness, PartId, PartKind, Port, Setup, StressKind, Terminal,
};
use crate::units::Rpm;

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
    /// The tools and skills it asks for.
    pub needs: Needs,
}

impl Act {
    /// Whether it mends, if it does anything.
    #[must_use]
    pub const fn mends(&self) -> bool {
        matches!(
            self.question,
            Question::Clean(_) | Question::Remake(_) | Question::Substitute(..)
        )
    }
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
            plugs: BTreeSet::new(),
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
        maker.lamps();
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

/// Speed at which a starter turns an engine, turns a minute.
///
/// # Source
/// Common practice, no source.
const STARTER: f64 = 200.0;

struct Maker<'h> {
    harness: &'h Harness,
    made: Catalogue,
    minus: Option<Terminal>,
    /// Plugs that have their acts.
    plugs: BTreeSet<PartId>,
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
            needs: Needs::of(self.harness, &question),
            question,
            cost: Cost {
                minutes: minutes + minutes::EACH,
                risk,
                access,
            },
            aim,
        });
    }

    /// The red lead at a terminal, the black one at battery minus; `None` where there is no battery, and at its minus.
    fn to_minus(&self, red: Terminal, setup: Setup) -> Option<Probes> {
        let black = self.minus.filter(|black| *black != red);
        black.map(|black| Probes {
            red,
            black: Some(black),
            setup,
        })
    }

    fn volts(&mut self, red: Terminal, setup: Setup, access: AccessSet, aim: Option<Unit>) {
        if let Some(probes) = self.to_minus(red, setup) {
            self.add(Question::Volts(probes), minutes::VOLTS, access, aim);
        }
    }

    /// A test lamp from a terminal to battery minus.
    fn lamp(&mut self, red: Terminal, setup: Setup, access: AccessSet, aim: Option<Unit>) {
        if let Some(probes) = self.to_minus(red, setup) {
            self.add(Question::Lamp(probes), minutes::LAMP, access, aim);
        }
    }

    /// A test lamp from battery plus to a coil's switched terminal while the starter turns the engine:
    /// it flickers where the driver does its work.
    fn pulses(&mut self, red: Terminal, access: AccessSet) {
        let Some(battery) = self.minus.map(|minus| minus.part) else {
            return;
        };
        let probes = Probes {
            red,
            black: Some(at(battery, Port::Plus)),
            setup: Setup {
                engine: EngineState::Cranking(Rpm::lit(STARTER)),
                ..Setup::key_on()
            },
        };
        self.add(Question::Lamp(probes), minutes::LAMP, access, None);
    }

    /// Resistance from a terminal to battery minus, with these unplugged and the battery off.
    fn ohms_to_minus(&mut self, red: Terminal, unplugged: &[PartId], access: AccessSet) {
        let mut setup = Setup::battery_off();
        setup.unplugged.extend(unplugged);
        if let Some(probes) = self.to_minus(red, setup) {
            self.add(Question::Resistance(probes), minutes::OHMS, access, None);
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
        if let Some(probes) = self.to_minus(red, running()) {
            self.add(Question::Drop(probes), minutes::VOLTS, access, aim);
        }
    }

    /// Wiggling and cleaning the plug that a contact belongs to: once a plug.
    fn contact(&mut self, element: Element) {
        let Some(part) = self.harness.part_of(element) else {
            return;
        };
        if !self.plugs.insert(part) {
            return;
        }
        let aim = Some(Unit::Contacts(part));
        let access = self.reach(part);
        self.add(
            Question::Stress(element, StressKind::Wiggled),
            minutes::WIGGLE,
            access,
            aim,
        );
        self.add(Question::Clean(element), minutes::CLEAN, access, aim);
    }
}

/// The engine at idle, as for averages.
fn running() -> Setup {
    let setup = Setup::idling();
    debug_assert!(matches!(setup.engine, EngineState::Running(_)));
    setup
}
