//! The electrics as a meter: readings of every cause at any two terminals, reckoned once a setup.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::forecast::{Meter, Reading};
use crate::electrics::{Alteration, Circuit, Desk, OperatingPoint, resistances};
use crate::model::{BatteryLink, Setup, Terminal};

/// Readings of every cause, reckoned when first asked for.
pub(super) struct Workbench {
    circuit: Arc<Circuit>,
    /// By cause; one more at the end, empty, for the healthy harness.
    alterations: Vec<Alteration>,
    /// Pairs of terminals whose resistance will be asked for.
    pairs: Vec<(Terminal, Terminal)>,
    volts: RefCell<Vec<(Setup, Arc<Potentials>)>>,
    ohms: RefCell<Vec<(Setup, Arc<Resistances>)>>,
}

/// Potentials in one setup, by cause and place.
struct Potentials {
    volts: Vec<Vec<f64>>,
    readings: Vec<Vec<f64>>,
}

/// Resistances in one setup, by pair and cause.
type Resistances = BTreeMap<(Terminal, Terminal), Vec<f64>>;

impl Workbench {
    /// A workbench for the alterations of all causes. `pairs`: where resistance will be measured.
    pub(super) fn new(
        circuit: Arc<Circuit>,
        mut alterations: Vec<Alteration>,
        pairs: Vec<(Terminal, Terminal)>,
    ) -> Self {
        alterations.push(Alteration::default());
        Self {
            circuit,
            alterations,
            pairs,
            volts: RefCell::new(Vec::new()),
            ohms: RefCell::new(Vec::new()),
        }
    }

    fn potentials(&self, setup: &Setup) -> Arc<Potentials> {
        if let Some((_, known)) = self.volts.borrow().iter().find(|(s, _)| s == setup) {
            return Arc::clone(known);
        }
        let standing = OperatingPoint::of(&self.circuit, setup);
        let mut desk = Desk::new(&standing);
        let (mut volts, mut readings) = (Vec::new(), Vec::new());
        for alteration in &self.alterations {
            let answer = desk.answer(alteration);
            volts.push(answer.volts.to_vec());
            readings.push(answer.readings.to_vec());
        }
        let made = Arc::new(Potentials { volts, readings });
        self.volts
            .borrow_mut()
            .push((setup.clone(), Arc::clone(&made)));
        made
    }

    fn resistances(&self, setup: &Setup) -> Arc<Resistances> {
        if let Some((_, known)) = self.ohms.borrow().iter().find(|(s, _)| s == setup) {
            return Arc::clone(known);
        }
        let made = Arc::new(self.measure(setup, &self.pairs));
        self.ohms
            .borrow_mut()
            .push((setup.clone(), Arc::clone(&made)));
        made
    }

    fn measure(&self, setup: &Setup, pairs: &[(Terminal, Terminal)]) -> Resistances {
        let standing = OperatingPoint::of(&self.circuit, setup);
        let table = resistances(&standing, pairs, &self.alterations);
        pairs.iter().copied().zip(table).collect()
    }
}

/// The last of a list is the healthy one.
fn reading(mut values: Vec<f64>) -> Option<Reading> {
    let healthy = values.pop()?;
    Some(Reading {
        healthy,
        by_cause: values,
    })
}

impl Meter for Workbench {
    fn volts(&self, setup: &Setup, red: Terminal, black: Option<Terminal>) -> Option<Reading> {
        let red = self.circuit.terminal(red)?;
        let Some(black) = black else {
            // A lead that touches nothing reads nothing.
            return reading(vec![0.0; self.alterations.len()]);
        };
        let black = self.circuit.terminal(black)?;
        let potentials = self.potentials(setup);
        let values = if black == self.circuit.reference() {
            potentials.readings.iter().map(|r| r[red]).collect()
        } else if red == self.circuit.reference() {
            potentials.readings.iter().map(|r| -r[black]).collect()
        } else {
            potentials.volts.iter().map(|v| v[red] - v[black]).collect()
        };
        reading(values)
    }

    fn ohms(&self, setup: &Setup, red: Terminal, black: Terminal) -> Option<Reading> {
        self.circuit.terminal(red)?;
        self.circuit.terminal(black)?;
        // Nobody measures resistance on a live circuit: what was meant is the battery off.
        let setup = Setup {
            battery: BatteryLink::Disconnected,
            ..setup.clone()
        };
        let all = self.resistances(&setup);
        if let Some(row) = all.get(&(red, black)).or_else(|| all.get(&(black, red))) {
            return reading(row.clone());
        }
        let mut one = self.measure(&setup, &[(red, black)]);
        reading(one.remove(&(red, black))?)
    }
}
