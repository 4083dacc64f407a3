//! A case in the making: its causes one after the other, each with its effect, its spark and its readings at idle.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use super::case::{Case, CaseError};
use super::catalogue::Catalogue;
use super::cause::{self, Cause};
use super::defaults::{self as d, Kind};
use super::forecast::Showing;
use super::kept::Kept;
use super::meter::{self, Lamps, VoltTable, Wanted, Workbench};
use super::near::Near;
use super::pulses::Pulses;
use super::suspects::Suspects;
use super::unit::Unit;
use super::{showing, touch};
use crate::electrics::{Alteration, Answer, Assumptions, Charge, Circuit, Demand, Desk};
use crate::engine::CylinderId;
use crate::faults::{self, Fault, Separated};
use crate::gather::Arrange;
use crate::model::{Harness, Setup};
use crate::topology::Topology;

/// A case in the making.
///
/// Each call of [`Self::grow`] does a little and returns, so that a page can breathe in between; then
/// [`Self::finish`] gives the case.
pub struct Building<'h> {
    harness: Cow<'h, Harness>,
    graph: Option<Topology>,
    circuit: Option<Arc<Circuit>>,
    catalogue: Option<Catalogue>,
    wanted: Vec<Wanted>,
    idling: Option<(VoltTable, Desk)>,
    faults: Option<Vec<(Fault, f64, Kind)>>,
    pulses: Pulses,
    separated: Separated,
    /// How many faults are reckoned.
    next: usize,
    causes: Vec<Cause>,
    showings: Vec<Showing>,
    /// Each alteration once; the first is the healthy one.
    alterations: Vec<Alteration>,
    of_cause: Vec<usize>,
}

/// Steps before the first fault: graph, circuit, catalogue, idling engine, list of faults.
const FIRST: usize = 5;

impl<'h> Building<'h> {
    pub(super) fn begin(harness: Cow<'h, Harness>) -> Self {
        Self {
            harness,
            graph: None,
            circuit: None,
            catalogue: None,
            wanted: Vec::new(),
            idling: None,
            faults: None,
            pulses: Pulses::default(),
            separated: Separated::default(),
            next: 0,
            causes: Vec::new(),
            showings: Vec::new(),
            alterations: vec![Alteration::default()],
            of_cause: Vec::new(),
        }
    }

    pub(super) fn whole(mut self) -> Result<Case<'h>, CaseError> {
        while self.grow(usize::MAX) > 0 {}
        self.finish()
    }

    /// How many steps are done, of how many. The total is a guess before the faults are listed.
    #[must_use]
    pub fn progress(&self) -> (usize, usize) {
        let first = [
            self.graph.is_some(),
            self.circuit.is_some(),
            self.catalogue.is_some(),
            self.idling.is_some(),
            self.faults.is_some(),
        ];
        let done = first.into_iter().filter(|done| *done).count();
        let all = self.faults.as_ref().map_or(1000, Vec::len);
        (done + self.next, FIRST + all)
    }

    /// Does up to `steps` steps more, each about as long as solving the circuit for one fault; returns
    /// how many are left. What comes before the first fault is one step at a time.
    pub fn grow(&mut self, steps: usize) -> usize {
        let harness = self.harness.as_ref();
        match (&self.graph, &self.circuit, &mut self.idling, &self.faults) {
            (None, _, _, _) => {
                let graph = Topology::of(harness);
                self.pulses = Pulses::of(harness, &graph);
                self.graph = Some(graph);
            }
            (_, None, _, _) => {
                let circuit = Circuit::of(harness, &Assumptions::default());
                self.circuit = Some(Arc::new(circuit));
            }
            (_, Some(circuit), None, _) => match &self.catalogue {
                None => {
                    let catalogue = Catalogue::of(harness);
                    self.wanted = meter::wanted(circuit, &catalogue, &harness.findings);
                    self.catalogue = Some(catalogue);
                }
                Some(_) => self.idling = Some(idling(circuit, &self.wanted)),
            },
            (_, _, _, None) => {
                let faults = cause::faults(harness);
                make_room(faults.len());
                self.faults = Some(faults);
            }
            (Some(graph), Some(circuit), Some((idling, desk)), Some(faults)) => {
                let mut maker = Maker {
                    harness,
                    graph,
                    circuit,
                    desk,
                    pulses: &self.pulses,
                    separated: &mut self.separated,
                    idling,
                    causes: &mut self.causes,
                    showings: &mut self.showings,
                    alterations: &mut self.alterations,
                    of_cause: &mut self.of_cause,
                };
                let last = faults.len().min(self.next.saturating_add(steps));
                for (fault, prior, kind) in &faults[self.next..last] {
                    maker.add(*fault, *prior, *kind);
                }
                self.next = last;
            }
        }
        let (done, of) = self.progress();
        of - done
    }

    /// The case, once nothing is left; what is left is done at once.
    ///
    /// # Errors
    /// [`CaseError`].
    pub fn finish(mut self) -> Result<Case<'h>, CaseError> {
        while self.grow(usize::MAX) > 0 {}
        let (Some(circuit), Some((idling, _)), Some(catalogue)) =
            (self.circuit, self.idling, self.catalogue)
        else {
            return Err(CaseError::Empty);
        };
        if self.causes.is_empty() {
            return Err(CaseError::Empty);
        }
        let mut showings = self.showings;
        showings.push(showing::healthy(
            self.harness.as_ref(),
            self.pulses.healthy(),
        ));
        let mut units: Vec<Unit> = self.causes.iter().map(|c| c.unit).collect();
        units.arrange();
        units.dedup();
        let given: Vec<(f64, usize)> = self
            .causes
            .iter()
            .map(|c| (c.prior, units.binary_search(&c.unit).unwrap_or(0)))
            .collect();
        let meter = Workbench::new(
            circuit,
            self.alterations,
            self.of_cause,
            self.wanted,
            idling,
        );
        Ok(Case {
            harness: self.harness,
            suspects: Suspects::new(&given)?,
            near: Rc::new(Near::of(&self.causes)),
            causes: self.causes,
            showings,
            units,
            meter: Rc::new(meter),
            catalogue,
            kept: Kept::default(),
        })
    }
}

/// Memory that the causes and tests of a map take, for each fault: 5 kB on the largest sample.
const ROOM: usize = 5000;

/// Asks for the memory of so many faults at once and gives it back to be used. In a page, memory grows by
/// 64 kB a call otherwise, and every call takes as long as solving the circuit for ten faults.
fn make_room(faults: usize) {
    if cfg!(target_arch = "wasm32") {
        let room: Vec<u8> = Vec::with_capacity(faults.saturating_mul(ROOM));
        drop(std::hint::black_box(room));
    }
}

/// The table of the idling engine with the healthy circuit in it, and the desk where the rest is reckoned.
fn idling(circuit: &Arc<Circuit>, wanted: &[Wanted]) -> (VoltTable, Desk) {
    let setup = Setup::idling();
    let nodes = wanted.iter().find(|wanted| wanted.setup == setup);
    let nodes = nodes.map_or(&[][..], |wanted| &wanted.nodes);
    let mut table = VoltTable::filled_elsewhere(circuit, &setup, nodes, Lamps::None);
    let mut desk = table.desk();
    table.put(&desk.answer(&Alteration::default()));
    (table, desk)
}

/// Adds faults as causes.
struct Maker<'a> {
    harness: &'a Harness,
    graph: &'a Topology,
    circuit: &'a Circuit,
    desk: &'a mut Desk,
    pulses: &'a Pulses,
    separated: &'a mut Separated,
    idling: &'a mut VoltTable,
    causes: &'a mut Vec<Cause>,
    showings: &'a mut Vec<Showing>,
    alterations: &'a mut Vec<Alteration>,
    of_cause: &'a mut Vec<usize>,
}

impl Maker<'_> {
    fn add(&mut self, fault: Fault, prior: f64, kind: Kind) {
        let harness = self.harness;
        let effect = faults::effect_after(harness, self.graph, fault, self.separated);
        let alteration = faults::alteration(harness, self.circuit, fault);
        let unseen = alteration.is_unseen();
        let mut sparks = showing::Sparks::new();
        let mut pulses = self.pulses.healthy();
        let asked = showing::asked_of_electrics(&effect);
        if !unseen || !asked.is_empty() {
            let answer = self.desk.answer(&alteration);
            if !unseen {
                self.idling.put(&answer);
                pulses = self.pulses.with(self.circuit, fault, &answer);
            }
            if !asked.is_empty() {
                sparks = sparks_of(harness, self.circuit, &answer, &alteration, &asked);
            }
        }
        let at = if unseen {
            // A meter sees the healthy harness.
            0
        } else {
            self.alterations.push(alteration);
            self.alterations.len() - 1
        };
        let unit = Unit::of(harness, fault);
        for (doubt, share) in showing::outcomes(fault, &effect, &sparks) {
            let showing = showing::showing(harness, fault, doubt, &effect, &sparks, pulses.clone());
            let noticed = if showing.ill().next().is_some() {
                1.0
            } else {
                d::SYMPTOMLESS
            };
            self.causes.push(Cause {
                fault,
                doubt,
                unit,
                prior: prior * share * noticed,
                comes_and_goes: d::comes_and_goes(kind),
                part: harness.part_of(fault.element),
                joined: touch::joint_of(harness, fault.element),
            });
            self.showings.push(showing);
            self.of_cause.push(at);
        }
    }
}

/// How each of these cylinders sparks at its own time with an alteration; the better of two plugs counts.
fn sparks_of(
    harness: &Harness,
    circuit: &Circuit,
    answer: &Answer<'_>,
    alteration: &Alteration,
    cylinders: &[CylinderId],
) -> showing::Sparks {
    let mut found: showing::Sparks = BTreeMap::new();
    let asked = (Demand::ByGap(Charge::PartLoad), cylinders);
    for plug in answer.sparks_of(harness, circuit, alteration, asked) {
        if let Some(cylinder) = plug.cylinder {
            let state = plug.at_work();
            found
                .entry(cylinder)
                .and_modify(|best| *best = (*best).max(state))
                .or_insert(state);
        }
    }
    found
}
