//! What the findings say of the open map: reckoned beside the page's work, in steps, and told as plain data.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::Fault;
use sparktrail_core::isolation::{
    Access, Act, Assessment, Case, CaseError, Cleared, Explained, Explanation, Plan, Proposal,
    Stop, Trouble, Unit,
};
use sparktrail_core::model::{
    DriverPiece, Element, Finding, Harness, PartKind, Seen, Standing, Works,
};
use sparktrail_core::topology::Pick;

use super::{Place, Session, Tab};
use crate::edge::{clock, page, timer};
use sparktrail_core::gather::Gather;

/// Marks that timing reads.
const BEGUN: &str = "isolation-begun";
const CASE_READY: &str = "isolation-case";
const VERDICT_READY: &str = "isolation-verdict";
const NEXT_READY: &str = "isolation-next";

/// A step of long work gives the page back after this many milliseconds.
const STEP_MS: f64 = 12.0;
/// Suspects below this share are not listed.
const LEAST_SHARE: f64 = 0.004;
/// Suspects that are explained.
const MOST_SUSPECTS: usize = 20;
/// Acts that are proposed.
const MOST_ACTS: usize = 6;
/// An element is hot from this share on.
const LEAST_HEAT: f64 = 0.01;

/// Where the reckoning stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Reckoned {
    /// Nothing was asked yet, or the answer is on its way.
    Soon,
    /// There is no case.
    NoCase(CaseError),
    /// No suspect could have produced all of it.
    NothingFits,
    /// The answer.
    Known(Arc<Verdict>),
}

/// What the findings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The suspects with their reasons, the likeliest first.
    pub suspects: Vec<Suspect>,
    /// What was cleared, by what.
    pub cleared: Vec<Cleared>,
    /// Whether one fault explains it.
    pub explained: Explained,
    /// Findings that do not count.
    pub troubles: Vec<Trouble>,
    /// How many pieces of evidence count.
    pub evidence: usize,
    /// Share of all that is not electrical.
    pub not_electrical: f64,
    /// The share of each hot element.
    pub heat: BTreeMap<Element, f64>,
    /// One element of each thing that is cleared altogether.
    pub good: BTreeSet<Element>,
}

/// A suspect with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// Why it stands where it stands.
    pub why: Explanation,
    /// The likeliest ways in which it fails, with their shares.
    pub ways: Vec<(Fault, f64)>,
}

/// Where the plan stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Planned {
    /// Acts are being weighed: so many are done of so many.
    Weighing(usize, usize),
    /// The plan.
    Known(Arc<Advice>),
}

/// What to do next.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Whether to go on testing.
    pub stop: Stop,
    /// The best acts, the best first.
    pub acts: Vec<Advised>,
    /// What is left to mend, in order.
    pub repairs: Vec<(Unit, f64)>,
    /// The share of each leading suspect now.
    pub leaders: Vec<(Unit, f64)>,
}

/// An act with what it is expected to tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Advised {
    /// The act.
    pub act: Act,
    /// What it is expected to tell.
    pub proposal: Proposal,
    /// What must be opened or taken out first, with its minutes.
    pub opens: Vec<(Access, f64)>,
}

/// A case that is kept as long as the map behind it is the same.
struct Bench {
    /// The map without findings and words.
    map: Harness,
    case: Case<'static>,
    plan: RefCell<Plan>,
    left: RefCell<usize>,
}

/// The reckoning's signals.
#[derive(Debug, Clone, Copy)]
pub struct Isolation {
    /// What the findings say.
    pub reckoned: RwSignal<Reckoned>,
    /// What to do next.
    pub planned: RwSignal<Planned>,
    bench: StoredValue<Option<Rc<Bench>>, LocalStorage>,
    /// Work that was begun for an older state stops at its next step.
    turn: StoredValue<u32>,
}

impl Isolation {
    pub(super) fn new() -> Self {
        Self {
            reckoned: RwSignal::new(Reckoned::Soon),
            planned: RwSignal::new(Planned::Weighing(0, 0)),
            bench: StoredValue::new_local(None),
            turn: StoredValue::new(0),
        }
    }

    /// Follows the document. Nothing is reckoned before the first map was painted, nor before
    /// anything was found or one of the places that tell of it is open.
    pub(super) fn follow(self, harness: Memo<Arc<Harness>>, session: Session) {
        let wanted = Memo::new(move |_| {
            session.place.get() == Place::Job
                && (harness.with(|harness| !harness.findings.is_empty())
                    || matches!(session.tab.get(), Tab::Findings | Tab::Suspects | Tab::Next))
        });
        Effect::watch(
            move || (wanted.get(), harness.get()),
            move |(wanted, harness), _, _| {
                let turn = self.turn.get_value().wrapping_add(1);
                self.turn.set_value(turn);
                if !wanted {
                    self.planned.set(Planned::Weighing(0, 0));
                    self.reckoned.set(Reckoned::Soon);
                    return;
                }
                let harness = Arc::clone(harness);
                page::after_painting(move || self.reckon(turn, &harness));
            },
            false,
        );
    }

    fn is_stale(self, turn: u32) -> bool {
        self.turn.try_get_value() != Some(turn)
    }

    fn reckon(self, turn: u32, harness: &Arc<Harness>) {
        if self.is_stale(turn) {
            return;
        }
        page::mark(BEGUN);
        let map = without_findings(harness);
        let kept = self
            .bench
            .with_value(|bench| bench.clone().filter(|bench| bench.map == map));
        let bench = match kept {
            Some(bench) => bench,
            None => match Case::owning(map.clone()) {
                Ok(case) => {
                    let plan = RefCell::new(Plan::begin(&case));
                    let left = RefCell::new(usize::MAX);
                    let made = Rc::new(Bench {
                        map,
                        case,
                        plan,
                        left,
                    });
                    self.bench.set_value(Some(Rc::clone(&made)));
                    page::mark(CASE_READY);
                    made
                }
                Err(error) => {
                    self.bench.set_value(None);
                    self.reckoned.set(Reckoned::NoCase(error));
                    return;
                }
            },
        };
        let Ok(assessment) = bench.case.assess_with(&harness.findings) else {
            self.reckoned.set(Reckoned::NothingFits);
            self.planned.set(Planned::Known(Arc::new(Advice {
                stop: Stop::NothingTells,
                acts: Vec::new(),
                repairs: Vec::new(),
                leaders: Vec::new(),
            })));
            return;
        };
        let verdict = verdict(harness, &bench.case, &assessment);
        self.reckoned.set(Reckoned::Known(Arc::new(verdict)));
        page::mark(VERDICT_READY);
        timer::soon(move || self.plan(turn, &bench, &Rc::new(assessment)));
    }

    /// Weighs acts for a while; comes back for the rest.
    fn plan(self, turn: u32, bench: &Rc<Bench>, assessment: &Rc<Assessment>) {
        if self.is_stale(turn) {
            return;
        }
        let until = clock::now_ms() + STEP_MS;
        let mut plan = bench.plan.borrow_mut();
        let mut left = *bench.left.borrow();
        while left > 0 && clock::now_ms() < until {
            left = plan.grow(&bench.case, 1);
        }
        *bench.left.borrow_mut() = left;
        let all = plan.catalogue().acts.len();
        drop(plan);
        if left > 0 {
            self.planned.set(Planned::Weighing(all - left, all));
            let (bench, assessment) = (Rc::clone(bench), Rc::clone(assessment));
            timer::soon(move || self.plan(turn, &bench, &assessment));
            return;
        }
        let advice = advice(&bench.case, &bench.plan.borrow(), assessment);
        self.planned.set(Planned::Known(Arc::new(advice)));
        page::mark(NEXT_READY);
    }
}

/// The map alone: neither what was found nor what it is called bears on its causes.
fn without_findings(harness: &Harness) -> Harness {
    let mut map = harness.clone();
    map.findings.clear();
    map.work.clear();
    map.title.clear();
    map.about.clear();
    map.next_id = 0;
    map
}

fn verdict(harness: &Harness, case: &Case<'static>, assessment: &Assessment) -> Verdict {
    let ranked = case.ranked(assessment, LEAST_SHARE);
    let units: Vec<Unit> = ranked
        .iter()
        .take(MOST_SUSPECTS)
        .map(|(unit, _)| *unit)
        .collect();
    let suspects = case
        .explain(assessment, &units)
        .into_iter()
        .map(|why| {
            let mut ways: Vec<(Fault, f64)> = Vec::new();
            for (cause, share) in &why.causes {
                let fault = case.causes()[*cause].fault;
                match ways.iter_mut().find(|(known, _)| *known == fault) {
                    Some((_, sum)) => *sum += share,
                    None => ways.push((fault, *share)),
                }
            }
            ways.retain(|(_, share)| *share > 0.1 * why.share);
            ways.truncate(3);
            Suspect { why, ways }
        })
        .collect();
    let cleared = case.cleared(assessment);
    let cleared_units: BTreeSet<Unit> = cleared.iter().map(|cleared| cleared.unit).gather();
    let told = !assessment.evidence.is_empty();
    let mut heat = BTreeMap::new();
    let mut things: BTreeMap<Pick, (Element, bool)> = BTreeMap::new();
    let mut not_electrical = 0.0;
    for (number, cause) in case.causes().iter().enumerate() {
        let share = assessment.belief.suspect(number);
        if matches!(cause.unit, Unit::Cylinder(_)) {
            not_electrical += share;
        }
        if told {
            *heat.entry(cause.fault.element).or_insert(0.0) += share;
            if let Some((thing, own)) = thing_of(harness, cause.fault.element) {
                let known = things.entry(thing).or_insert((own, true));
                known.0 = known.0.min(own);
                known.1 &= cleared_units.contains(&cause.unit);
            }
        }
    }
    heat.retain(|_, share| *share >= LEAST_HEAT);
    Verdict {
        suspects,
        cleared,
        explained: case.explained(assessment),
        troubles: assessment.troubles.clone(),
        evidence: assessment.evidence.len(),
        not_electrical,
        heat,
        good: things
            .into_values()
            .filter(|(_, all)| *all)
            .map(|(element, _)| element)
            .gather(),
    }
}

/// What a person would tick off as one thing, with the element that stands for it: a wire with its
/// joints, a driver, a part with its contacts; of a unit or connector each pin by itself. Cylinders
/// carry no tick: what is not electrical is no part of the wiring.
fn thing_of(harness: &Harness, element: Element) -> Option<(Pick, Element)> {
    if let Element::Cylinder(_) = element {
        return None;
    }
    if let Element::Wire(wire) | Element::Joint(wire, _) = element {
        return Some((Pick::Wire(wire), Element::Wire(wire)));
    }
    if let Element::Driver(driver, _) = element {
        let switch = Element::Driver(driver, DriverPiece::Switch);
        return Some((Pick::Driver(driver), switch));
    }
    let part = harness.part_of(element)?;
    let many = harness
        .parts
        .get(&part)
        .is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_) | PartKind::Connector(_)));
    match (many, element) {
        (true, Element::Mated(_)) => None,
        (true, element) => Some((Pick::Element(element), element)),
        (false, element) => Some((Pick::Part(part), element)),
    }
}

fn advice(case: &Case<'static>, plan: &Plan, assessment: &Assessment) -> Advice {
    let (_, paid) = plan.done(assessment);
    let acts = plan
        .next(case, assessment, paid, MOST_ACTS)
        .into_iter()
        .map(|proposal| Advised {
            act: plan.catalogue().acts[proposal.act].clone(),
            opens: plan.catalogue().named(proposal.opens).collect(),
            proposal,
        })
        .collect();
    let (repairs, list) = plan.repairs(case, assessment, paid);
    Advice {
        stop: plan.stop(case, assessment, assessment.evidence.len()),
        acts,
        repairs: list
            .order
            .iter()
            .filter_map(|place| {
                let repair = repairs.get(*place)?;
                Some((case.units()[repair.unit], repair.chance))
            })
            .collect(),
        leaders: case.ranked(assessment, 0.01).into_iter().take(5).collect(),
    }
}

/// The last word on each cylinder, among the findings that count.
#[must_use]
pub fn cylinders_said(findings: &[Finding]) -> BTreeMap<CylinderId, Works> {
    findings
        .iter()
        .filter(|finding| finding.standing == Standing::Counts)
        .filter_map(|finding| {
            if let Seen::Contribution { cylinder, works } = finding.seen {
                Some((cylinder, works))
            } else {
                None
            }
        })
        .gather()
}
