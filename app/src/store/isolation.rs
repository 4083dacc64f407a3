//! What the findings say of the open map: reckoned beside the page's work, in steps, and told as plain data.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::{bare, bare_wiring};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::Fault;
use sparktrail_core::isolation::{
    Access, Act, Assessment, Building, Case, CaseError, Cleared, Explained, Explanation, Kit,
    PairSearch, Plan, Proposal, Stop, Tool, Trouble, Unit,
};
use sparktrail_core::model::{
    DriverPiece, Element, Finding, FindingId, Harness, PartKind, Seen, Standing, Works,
};
use sparktrail_core::topology::Pick;

use super::{Place, Session, Tab};
use crate::edge::{clock, page, storage, timer};
use sparktrail_core::gather::{Arrange, Gather};

/// Marks that timing reads.
const BEGUN: &str = "isolation-begun";
const CASE_READY: &str = "isolation-case";
const VERDICT_READY: &str = "isolation-verdict";
const NEXT_READY: &str = "isolation-next";

/// A step of long work gives the page back after this many milliseconds.
const STEP_MS: f64 = 12.0;
/// Faults or acts that are reckoned between two looks at the clock.
const STRETCH: usize = 4;
/// Pairs of causes that are looked at between two looks at the clock.
const PAIRS: usize = 500;
/// Pairs of suspects that are listed.
const MOST_PAIRS: usize = 8;
/// Where the tools are kept between visits.
const TOOLS: &str = "sparktrail/1/tools";
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
    /// No suspect could have produced all of it; this finding is the most doubtful.
    NothingFits(FindingId),
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
    /// Findings that the others contradict, the most doubtful first.
    pub retake: Vec<FindingId>,
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

/// Where the search for two faults at once stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Pairing {
    /// Nobody asked for it, or it was stopped.
    Idle,
    /// So many pairs were looked at, of so many.
    Searching(usize, usize),
    /// What was found.
    Known(Arc<Pairs>),
}

/// Two faults at once.
#[derive(Debug, Clone, PartialEq)]
pub struct Pairs {
    /// The likeliest pairs of suspects, with their share among all pairs.
    pub likeliest: Vec<(Unit, Unit, f64)>,
    /// Chance that it is two faults rather than one.
    pub two: f64,
}

/// A case that is kept as long as the map behind it is the same.
struct Bench {
    /// What of the map bears on its faults.
    map: Harness,
    /// The same without what the owner knows of its parts.
    wiring: Harness,
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
    /// Two faults at once.
    pub pairing: RwSignal<Pairing>,
    /// The owner's tools.
    pub kit: RwSignal<Kit>,
    bench: StoredValue<Option<Rc<Bench>>, LocalStorage>,
    told: StoredValue<Option<Rc<Assessment>>, LocalStorage>,
    /// Work that was begun for an older state stops at its next step.
    turn: StoredValue<u32>,
}

impl Isolation {
    pub(super) fn new() -> Self {
        Self {
            reckoned: RwSignal::new(Reckoned::Soon),
            planned: RwSignal::new(Planned::Weighing(0, 0)),
            pairing: RwSignal::new(Pairing::Idle),
            kit: RwSignal::new(Kit::WORKSHOP),
            bench: StoredValue::new_local(None),
            told: StoredValue::new_local(None),
            turn: StoredValue::new(0),
        }
    }

    /// Follows the document. Nothing is reckoned before the first map was painted, nor before
    /// anything was found or one of the places that tell of it is open.
    pub(super) fn follow(self, harness: Memo<Arc<Harness>>, session: Session) {
        self.kit.set(kept_kit());
        let wanted = Memo::new(move |_| {
            session.place.get() == Place::Job
                && (harness.with(|harness| !harness.findings.is_empty())
                    || matches!(session.tab.get(), Tab::Findings | Tab::Suspects | Tab::Next))
        });
        Effect::watch(
            move || (wanted.get(), harness.get(), self.kit.get()),
            move |(wanted, harness, kit), before, _| {
                let turn = self.turn.get_value().wrapping_add(1);
                self.turn.set_value(turn);
                let other_map = before.is_none_or(|(_, old, _)| !Arc::ptr_eq(old, harness));
                if other_map {
                    self.pairing.set(Pairing::Idle);
                }
                if before.is_some_and(|(_, _, old)| old != kit) {
                    keep_kit(*kit);
                }
                if !wanted {
                    self.planned.set(Planned::Weighing(0, 0));
                    self.reckoned.set(Reckoned::Soon);
                    return;
                }
                let harness = Arc::clone(harness);
                page::after_painting(move || self.reckon(turn, &harness));
            },
            // A map may be open already when the second module comes.
            true,
        );
    }

    fn is_stale(self, turn: u32) -> bool {
        self.turn.try_get_value() != Some(turn)
    }

    /// Looks for two faults at once, in steps.
    pub fn search_pairs(self) {
        let (Some(bench), Some(told)) = (self.bench.get_value(), self.told.get_value()) else {
            return;
        };
        let search = PairSearch::new(&bench.case, &told);
        self.pairing.set(Pairing::Searching(0, 1));
        let turn = self.turn.get_value();
        timer::soon(move || self.pair(turn, &bench, &told, search));
    }

    /// Gives up looking for two faults at once.
    pub fn stop_pairs(self) {
        self.pairing.set(Pairing::Idle);
    }

    fn pair(self, turn: u32, bench: &Rc<Bench>, told: &Rc<Assessment>, mut search: PairSearch) {
        let searching = matches!(
            self.pairing.try_get_untracked(),
            Some(Pairing::Searching(..))
        );
        if self.is_stale(turn) || !searching {
            return;
        }
        let until = clock::now_ms() + STEP_MS;
        let mut progress = search.step(&bench.case, told, PAIRS);
        while progress.done < progress.of && clock::now_ms() < until {
            progress = search.step(&bench.case, told, PAIRS);
        }
        if progress.done < progress.of {
            self.pairing
                .set(Pairing::Searching(progress.done, progress.of));
            let (bench, told) = (Rc::clone(bench), Rc::clone(told));
            timer::soon(move || self.pair(turn, &bench, &told, search));
            return;
        }
        let mut by_unit: BTreeMap<(Unit, Unit), f64> = BTreeMap::new();
        for pair in search.pairs(&bench.case) {
            let (a, b) = pair.units;
            *by_unit.entry((a.min(b), a.max(b))).or_insert(0.0) += pair.share;
        }
        let mut likeliest: Vec<(Unit, Unit, f64)> = by_unit
            .into_iter()
            .map(|((a, b), share)| (a, b, share))
            .collect();
        likeliest.arrange_by(|x, y| y.2.total_cmp(&x.2).then((x.0, x.1).cmp(&(y.0, y.1))));
        likeliest.truncate(MOST_PAIRS);
        self.pairing.set(Pairing::Known(Arc::new(Pairs {
            likeliest,
            two: search.against_one(&bench.case, told),
        })));
    }

    fn reckon(self, turn: u32, harness: &Arc<Harness>) {
        if self.is_stale(turn) {
            return;
        }
        page::mark(BEGUN);
        let map = bare(harness);
        let kept = self.bench.get_value();
        if let Some(bench) = &kept
            && bench.map == map
        {
            self.assess(turn, bench, harness);
            return;
        }
        let wires = bare_wiring(&map);
        if let Some(bench) = kept
            && bench.wiring == wires
        {
            // Only priors and costs can differ.
            let case = bench.case.reweighed(map.clone());
            self.begin(turn, map, wires, case, harness);
            return;
        }
        self.bench.set_value(None);
        self.told.set_value(None);
        self.reckoned.set(Reckoned::Soon);
        self.planned.set(Planned::Weighing(0, 0));
        let building = Case::begin(map.clone());
        self.build(turn, map, wires, building, harness);
    }

    /// Goes on building the case for a while; comes back for the rest.
    fn build(
        self,
        turn: u32,
        map: Harness,
        wires: Harness,
        mut building: Building<'static>,
        harness: &Arc<Harness>,
    ) {
        if self.is_stale(turn) {
            return;
        }
        let until = clock::now_ms() + STEP_MS;
        let mut left = building.grow(STRETCH);
        while left > 0 && clock::now_ms() < until {
            left = building.grow(STRETCH);
        }
        if left > 0 {
            let harness = Arc::clone(harness);
            timer::soon(move || self.build(turn, map, wires, building, &harness));
            return;
        }
        let case = building.finish();
        self.begin(turn, map, wires, case, harness);
    }

    /// A case is ready.
    fn begin(
        self,
        turn: u32,
        map: Harness,
        wires: Harness,
        case: Result<Case<'static>, CaseError>,
        harness: &Arc<Harness>,
    ) {
        match case {
            Ok(case) => {
                let plan = RefCell::new(Plan::begin(&case));
                let bench = Rc::new(Bench {
                    map,
                    wiring: wires,
                    case,
                    plan,
                    left: RefCell::new(usize::MAX),
                });
                self.bench.set_value(Some(Rc::clone(&bench)));
                page::mark(CASE_READY);
                let harness = Arc::clone(harness);
                timer::soon(move || self.assess(turn, &bench, &harness));
            }
            Err(error) => {
                self.bench.set_value(None);
                self.reckoned.set(Reckoned::NoCase(error));
            }
        }
    }

    /// Reckons the readings that the findings need, in steps, then what the findings say.
    fn assess(self, turn: u32, bench: &Rc<Bench>, harness: &Arc<Harness>) {
        if self.is_stale(turn) {
            return;
        }
        let until = clock::now_ms() + STEP_MS;
        let evidence = harness.evidence();
        let mut left = bench.case.prepare(&evidence, STRETCH);
        while left > 0 && clock::now_ms() < until {
            left = bench.case.prepare(&evidence, STRETCH);
        }
        if left > 0 {
            let (bench, harness) = (Rc::clone(bench), Arc::clone(harness));
            timer::soon(move || self.assess(turn, &bench, &harness));
            return;
        }
        let assessment = match bench.case.assess_with(&evidence) {
            Ok(assessment) => assessment,
            Err(contradiction) => {
                self.told.set_value(None);
                self.reckoned
                    .set(Reckoned::NothingFits(contradiction.doubtful));
                self.planned.set(Planned::Known(Arc::new(Advice {
                    stop: Stop::NothingTells,
                    acts: Vec::new(),
                    repairs: Vec::new(),
                    leaders: Vec::new(),
                })));
                return;
            }
        };
        let verdict = verdict(harness, &bench.case, &assessment);
        self.reckoned.set(Reckoned::Known(Arc::new(verdict)));
        page::mark(VERDICT_READY);
        let (bench, assessment) = (Rc::clone(bench), Rc::new(assessment));
        self.told.set_value(Some(Rc::clone(&assessment)));
        timer::soon(move || self.plan(turn, &bench, &assessment));
    }

    /// Weighs acts for a while; comes back for the rest.
    fn plan(self, turn: u32, bench: &Rc<Bench>, assessment: &Rc<Assessment>) {
        if self.is_stale(turn) {
            return;
        }
        let until = clock::now_ms() + STEP_MS;
        let mut plan = bench.plan.borrow_mut();
        plan.set_kit(self.kit.get_untracked());
        let mut left = *bench.left.borrow();
        let ready = left == 0;
        while left > 0 && clock::now_ms() < until {
            left = plan.grow(&bench.case, STRETCH);
        }
        *bench.left.borrow_mut() = left;
        let all = plan.catalogue().acts.len();
        drop(plan);
        if left > 0 {
            self.planned.set(Planned::Weighing(all - left, all));
        }
        if !ready {
            let (bench, assessment) = (Rc::clone(bench), Rc::clone(assessment));
            timer::soon(move || self.plan(turn, &bench, &assessment));
            return;
        }
        let advice = advice(&bench.case, &bench.plan.borrow(), assessment);
        self.planned.set(Planned::Known(Arc::new(advice)));
        page::mark(NEXT_READY);
    }
}

/// The tools that the owner said to have; at first all but a scope and an iron for boards.
fn kept_kit() -> Kit {
    let usual = || {
        Kit::WORKSHOP
            .without(Tool::Scope)
            .without(Tool::BoardSoldering)
    };
    let Ok(Some(text)) = storage::read(TOOLS) else {
        return usual();
    };
    let words: Vec<&str> = text.split(' ').collect();
    Tool::ALL
        .into_iter()
        .filter(|tool| words.contains(&tool.word()))
        .fold(Kit::NONE, Kit::with)
}

fn keep_kit(kit: Kit) {
    let words: Vec<&str> = Tool::ALL
        .into_iter()
        .filter(|tool| kit.has(*tool))
        .map(Tool::word)
        .collect();
    // Tools that cannot be kept are used all the same.
    let _ = storage::write(TOOLS, &words.join(" "));
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
        retake: case.retake(assessment),
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
    let (stop, proposals) = plan.advise(case, assessment, MOST_ACTS);
    let acts = proposals
        .into_iter()
        .map(|proposal| Advised {
            act: plan.catalogue().acts[proposal.act].clone(),
            opens: plan.catalogue().named(proposal.opens).collect(),
            proposal,
        })
        .collect();
    let (repairs, list) = plan.repairs(case, assessment, paid);
    Advice {
        stop,
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
pub fn cylinders_said<'f>(
    findings: impl IntoIterator<Item = &'f Finding>,
) -> BTreeMap<CylinderId, Works> {
    findings
        .into_iter()
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
