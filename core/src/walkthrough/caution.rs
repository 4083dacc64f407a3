//! What can hurt someone or something at a step, so that the caution stands where the act is.

use super::kind::{goes_onto_a_board, is_high, is_unit};
use super::step::{Instrument, Step, Task};
use crate::faults::kicks;
use crate::isolation::Question;
use crate::model::{BatteryLink, Element, EngineState, Harness, SwapPair};

/// One thing to mind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Caution {
    /// Tens of thousands of volts; keep away with a pacemaker; never pull a lead on a running engine.
    HighVoltage,
    /// Several hundred volts stand at a lead's place each time a coil is switched off.
    Kick,
    /// A coil that sparks into the open hurts people and breaks down itself: its small plug comes off first.
    OpenSpark,
    /// The engine runs: belts, fans, heat, fumes.
    Running,
    /// The starter turns the engine: gearbox, brake, fuel vapour near sparks.
    Cranking,
    /// Engine off, key out and cool before anything is taken off.
    TakingOff,
    /// Battery off before a control unit is unplugged; a static spark kills a board.
    Unit,
    /// A case stands open: static, and live parts.
    OpenCase,
    /// Soldering on a board is for those who are practised at it; the coat goes back on.
    Soldering,
    /// An ohmmeter on a live circuit reads nonsense and may be damaged.
    OhmsOnly,
    /// The fuel system stands under pressure, and vapour burns.
    Fuel,
    /// The car is driven: by someone else than who watches.
    Driving,
    /// Local rules and licensed practice come first.
    LocalRules,
}

impl Step {
    /// What to mind at this step, the most needed first. Whatever asks for care ends in the local rules.
    #[must_use]
    pub fn cautions(&self, harness: &Harness) -> Vec<Caution> {
        let mut found = Vec::new();
        let mut mind = |caution, when: bool| {
            if when {
                found.push(caution);
            }
        };
        let running = matches!(self.setup.engine, EngineState::Running(_));
        let cranking = matches!(self.setup.engine, EngineState::Cranking(_));
        let board = goes_onto_a_board(harness, &self.task);
        mind(
            Caution::HighVoltage,
            (running || cranking) && self.nears_high_voltage(),
        );
        mind(
            Caution::Kick,
            (running || cranking) && self.meets_a_kick(harness),
        );
        mind(Caution::OpenSpark, self.takes_plugs_out());
        mind(Caution::Running, running);
        mind(Caution::Cranking, cranking);
        mind(Caution::Driving, self.task == Task::Warm);
        mind(Caution::Fuel, self.touches_fuel());
        mind(Caution::TakingOff, self.takes_off());
        mind(Caution::Unit, board || self.unplugs_a_unit(harness));
        mind(Caution::OpenCase, board);
        mind(Caution::Soldering, board && self.solders());
        mind(
            Caution::OhmsOnly,
            self.instrument() == Some(Instrument::Ohms),
        );
        if !found.is_empty() {
            found.push(Caution::LocalRules);
        }
        found
    }

    /// Whether somebody stands near leads and coils at it.
    fn nears_high_voltage(&self) -> bool {
        match &self.task {
            Task::ProveTool(_) => true,
            Task::Ask(question) => match question {
                Question::Spark(_)
                | Question::Contribution(_)
                | Question::Stress(..)
                | Question::Compression(_)
                | Question::Volts(_)
                | Question::Drop(_)
                | Question::Lamp(_) => true,
                // Somebody listens and feels about a cylinder while the engine runs.
                Question::Look(element) => {
                    is_high(*element) || matches!(element, Element::Cylinder(_))
                }
                Question::Resistance(_)
                | Question::Substitute(..)
                | Question::Swap(_)
                | Question::Clean(_)
                | Question::Remake(_)
                | Question::Code(_)
                | Question::AnyCode => false,
            },
            Task::Runs
            | Task::FaultNow
            | Task::LeadsTogether
            | Task::Reference(_)
            | Task::LampReference(_)
            | Task::Exchange(_)
            | Task::Carry(_)
            | Task::Restore
            | Task::ClearCodes
            | Task::Warm => false,
        }
    }

    /// Whether a lead stands where a coil kicks back.
    fn meets_a_kick(&self, harness: &Harness) -> bool {
        let ends = self.probes().map(|probes| [Some(probes.red), probes.black]);
        let mut ends = ends.into_iter().flatten().flatten();
        ends.any(|end| kicks(harness, end))
    }

    /// Whether plugs are out while the engine is turned.
    const fn takes_plugs_out(&self) -> bool {
        matches!(self.task, Task::Ask(Question::Compression(_)))
    }

    /// Whether fuel lines or injectors are handled.
    fn touches_fuel(&self) -> bool {
        self.takes_plugs_out()
            || matches!(self.task, Task::Ask(Question::Look(Element::Cylinder(_))))
            || (matches!(self.setup.engine, EngineState::Running(_))
                && !self.setup.unplugged.is_empty())
    }

    /// Whether something comes off, apart or out.
    fn takes_off(&self) -> bool {
        matches!(
            self.task,
            Task::Exchange(_) | Task::Carry(_) | Task::Restore
        ) || self.takes_plugs_out()
            || (!self.setup.unplugged.is_empty() && self.setup.engine == EngineState::Stopped)
            || !self.setup.pulled_fuses.is_empty()
            || self.setup.battery == BatteryLink::Disconnected
    }

    fn unplugs_a_unit(&self, harness: &Harness) -> bool {
        self.setup
            .unplugged
            .iter()
            .any(|part| is_unit(harness, *part))
    }

    const fn solders(&self) -> bool {
        matches!(
            self.task,
            Task::Exchange(SwapPair::Transistors(..)) | Task::Carry(Question::Remake(_))
        )
    }
}
