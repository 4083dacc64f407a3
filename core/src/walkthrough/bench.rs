//! What a sound car should read at the steps of a walk: each setup is solved once.

use std::cell::{OnceCell, RefCell};
use std::rc::Rc;
use std::sync::Arc;

use crate::electrics::{Alteration, Assumptions, Circuit, Measure, Reading, Solution};
use crate::faults::{Fault, alteration};
use crate::isolation::Probes;
use crate::model::{Harness, Setup};

/// The circuit of a map, solved for the setups that were asked for.
pub(super) struct Bench<'h> {
    harness: &'h Harness,
    circuit: OnceCell<Arc<Circuit>>,
    solved: RefCell<Vec<(Setup, Rc<Solution>)>>,
}

impl<'h> Bench<'h> {
    pub(super) const fn new(harness: &'h Harness) -> Self {
        Self {
            harness,
            circuit: OnceCell::new(),
            solved: RefCell::new(Vec::new()),
        }
    }

    pub(super) fn circuit(&self) -> &Arc<Circuit> {
        self.circuit
            .get_or_init(|| Arc::new(Circuit::of(self.harness, &Assumptions::default())))
    }

    /// The sound car in a setup.
    pub(super) fn solution(&self, setup: &Setup) -> Rc<Solution> {
        if let Some((_, known)) = self.solved.borrow().iter().find(|(s, _)| s == setup) {
            return Rc::clone(known);
        }
        let solution = Solution::of(self.circuit(), setup, &Alteration::default());
        let solution = Rc::new(solution);
        self.solved
            .borrow_mut()
            .push((setup.clone(), Rc::clone(&solution)));
        solution
    }

    /// What should be read, with its band and why; `None` where the map lacks a terminal or no black
    /// lead is set.
    pub(super) fn reading(&self, probes: &Probes) -> Option<Reading> {
        self.solution(&probes.setup)
            .reading(probes.red, probes.black?)
            .ok()
    }

    /// The same as a number: V, or Ω with infinity for overload.
    pub(super) fn number(&self, probes: &Probes) -> Option<(f64, (f64, f64))> {
        let (value, band) = self
            .solution(&probes.setup)
            .shows(probes.red, probes.black?)
            .ok()?;
        Some((number(value), band))
    }

    /// What would be read with a fault: V, or Ω with infinity for overload.
    pub(super) fn with(&self, probes: &Probes, fault: Fault) -> Option<f64> {
        let change = alteration(self.harness, self.circuit(), fault);
        let solution = Solution::of(self.circuit(), &probes.setup, &change);
        let (value, _) = solution.shows(probes.red, probes.black?).ok()?;
        Some(number(value))
    }
}

const fn number(value: Measure) -> f64 {
    match value {
        Measure::Volts(volts) => volts.get(),
        Measure::Ohms(ohms) => ohms.get(),
        Measure::Overload => f64::INFINITY,
    }
}
