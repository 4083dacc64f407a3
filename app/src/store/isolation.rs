//! What the findings say of the open map: reckoned beside the page's work, in steps, and told as plain data.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::{bare, bare_wiring, wired_alike};
use sparktrail_core::isolation::{
    Assessment, Building, Case, CaseError, Kit, PairSearch, Plan, Stop, Tool, Unit, shows_now,
};
use sparktrail_core::model::{FaultThen, Finding, FindingId, Harness, Works, cylinders_said};

use super::verdict::{Advice, Shown, Verdict, advice, verdict};
use super::{Place, Session, Store, Tab};
use crate::edge::{clock, page, storage, timer};
use sparktrail_core::gather::Arrange;

/// Marks that timing reads.
const BEGUN: &str = "isolation-begun";
const CASE_READY: &str = "isolation-case";
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

/// Where the plan stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Planned {
    /// Acts are being weighed: so many are done of so many.
    Weighing(usize, usize),
    /// The plan.
    Known(Arc<Advice>),
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
    /// The map it was made of, with what was found on it by then.
    made_of: Arc<Harness>,
    /// What of the map bears on its faults.
    map: Harness,
    /// The same without what the owner knows of its parts.
    wiring: Harness,
    case: Case<'static>,
    shown: Shown,
    plan: RefCell<Plan>,
    left: RefCell<usize>,
}

impl Bench {
    /// Whether everything about a map is what it was on the bench's own.
    fn fits(&self, harness: &Harness) -> bool {
        // What was found changes most often; that nothing else did is soon seen.
        let only_found =
            self.made_of.rivals == harness.rivals && wired_alike(&self.made_of, harness);
        only_found || self.map == bare(harness)
    }
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
    /// What was said of whether the fault shows, after so many findings: the next one speaks for itself.
    said_now: RwSignal<Option<(usize, FaultThen)>>,
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
            said_now: RwSignal::new(None),
            bench: StoredValue::new_local(None),
            told: StoredValue::new_local(None),
            turn: StoredValue::new(0),
        }
    }

    /// Whether the fault shows now: what was said of it last; where nobody said anything, a cylinder that is dead for
    /// good stays dead while someone measures.
    fn now(self, findings: &[Finding]) -> FaultThen {
        match self.said_now.get() {
            Some((many, then)) if many == findings.len() => return then,
            Some(_) | None => {}
        }
        let wavers = || {
            let mut said = cylinders_said(findings).into_values();
            said.any(|works| works == Works::Sometimes)
        };
        match shows_now(findings) {
            FaultThen::Unknown if !wavers() => FaultThen::Present,
            said @ (FaultThen::Present | FaultThen::Away | FaultThen::Unknown) => said,
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
        let away = Memo::new(move |_| {
            harness.with(|harness| self.now(&harness.findings)) == FaultThen::Away
        });
        Effect::watch(
            // The document first: it tells of its change only whoever asks it before a memo that follows from it.
            move || {
                let harness = harness.get();
                (wanted.get(), harness, self.kit.get(), away.get())
            },
            move |now, before, _| {
                if before.is_some_and(|before| asks_the_same(before, now)) {
                    return;
                }
                let (wanted, harness, kit, _) = now;
                let turn = self.turn.get_value().wrapping_add(1);
                self.turn.set_value(turn);
                let other_map = before.is_none_or(|(_, old, ..)| !Arc::ptr_eq(old, harness));
                if other_map {
                    self.pairing.set(Pairing::Idle);
                }
                if before.is_some_and(|(_, _, old, _)| old != kit) {
                    keep_kit(*kit);
                }
                if !wanted {
                    self.planned.set(Planned::Weighing(0, 0));
                    self.reckoned.set(Reckoned::Soon);
                    return;
                }
                if self.is_ready(harness) {
                    // At once: a picture between the finding and what it says would be one too many.
                    self.reckon(turn, harness);
                } else {
                    let harness = Arc::clone(harness);
                    page::after_painting(move || self.reckon(turn, &harness));
                }
            },
            // A map may be open already when the second module comes.
            true,
        );
    }

    /// Whether only the findings changed since everything about the map was reckoned: what they say now then
    /// comes with the same picture as they do.
    fn is_ready(self, harness: &Harness) -> bool {
        let bench = self.bench.get_value();
        bench.is_some_and(|bench| *bench.left.borrow() == 0 && bench.fits(harness))
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
        let kept = self.bench.get_value();
        if let Some(bench) = &kept
            && bench.fits(harness)
        {
            self.assess(turn, bench, harness);
            return;
        }
        let map = bare(harness);
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
                    made_of: Arc::clone(harness),
                    shown: Shown::of(&map, &case),
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
                    loose: None,
                })));
                return;
            }
        };
        let verdict = verdict(&bench.shown, &bench.case, &assessment);
        self.reckoned.set(Reckoned::Known(Arc::new(verdict)));
        let (bench, assessment) = (Rc::clone(bench), Rc::new(assessment));
        self.told.set_value(Some(Rc::clone(&assessment)));
        let now = untrack(|| self.now(&harness.findings));
        if *bench.left.borrow() == 0 && clock::now_ms() < until {
            self.plan(turn, &bench, &assessment, now);
        } else {
            timer::soon(move || self.plan(turn, &bench, &assessment, now));
        }
    }

    /// Weighs acts for a while; comes back for the rest.
    fn plan(self, turn: u32, bench: &Rc<Bench>, assessment: &Rc<Assessment>, now: FaultThen) {
        if self.is_stale(turn) {
            return;
        }
        let until = clock::now_ms() + STEP_MS;
        let mut plan = bench.plan.borrow_mut();
        plan.set_kit(self.kit.get_untracked());
        plan.set_now(now);
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
            timer::soon(move || self.plan(turn, &bench, &assessment, now));
            return;
        }
        let advice = advice(&bench.case, &bench.plan.borrow(), assessment);
        self.planned.set(Planned::Known(Arc::new(advice)));
        page::mark(NEXT_READY);
        // After all that follows from it: the picture then finds the page laid out.
        timer::soon(page::lay_out);
    }
}

/// What is followed: whether it is wanted, the document, the tools, and whether the fault is away just now.
type Asked = (bool, Arc<Harness>, Kit, bool);

/// Whether what was reckoned, or is on its way, answers this too: a part that is put elsewhere on the map asks
/// nothing new.
fn asks_the_same(before: &Asked, now: &Asked) -> bool {
    let (wanted, harness, kit, away) = now;
    let (before_wanted, old, before_kit, before_away) = before;
    wanted == before_wanted
        && kit == before_kit
        && away == before_away
        && old.findings == harness.findings
        && old.work == harness.work
        && wired_alike(old, harness)
}

impl Store {
    /// What is read off the verdict, once there is one; what it reads off the map stands as it was then. Tracked.
    pub fn read_verdict<T: Default>(self, read: impl FnOnce(&Harness, &Verdict) -> T) -> T {
        self.isolation.reckoned.with(|reckoned| match reckoned {
            Reckoned::Known(verdict) => self
                .harness
                .with_untracked(|harness| read(harness, verdict)),
            Reckoned::Soon | Reckoned::NoCase(_) | Reckoned::NothingFits(_) => T::default(),
        })
    }

    /// Whether the fault shows now, as far as was said. Tracked.
    #[must_use]
    pub fn fault_now(self) -> FaultThen {
        self.harness
            .with(|harness| self.isolation.now(&harness.findings))
    }

    /// [`Self::fault_now`], not tracked.
    #[must_use]
    pub fn fault_now_untracked(self) -> FaultThen {
        untrack(|| self.fault_now())
    }

    /// Says whether the fault shows now.
    pub fn say_now(self, then: FaultThen) {
        let many = self
            .harness
            .with_untracked(|harness| harness.findings.len());
        self.isolation.said_now.set(Some((many, then)));
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
