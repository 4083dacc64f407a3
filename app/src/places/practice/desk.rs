//! What the practice place holds: the case on the bench, what was done on it, its own map and its light.

use std::rc::Rc;
use std::sync::Arc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::drawing::Drawing;
use sparktrail_core::gather::Gather;
use sparktrail_core::isolation::{Building, Case, Plan, TestIndex, Unit};
use sparktrail_core::model::{Harness, Works, file};
use sparktrail_core::practice::{Bench, Run, Ticket};
use sparktrail_core::topology::{Pick, Topology};

use super::super::samples::samples;
use super::super::words::{practice as words, trouble as wrong};
use crate::canvas::{Camera, Cold, ColdMap, Lit, MapView, likely_shape};
use crate::edge::{clock, fetch, page, timer};
use crate::store::cylinders_said;

/// Milliseconds that one slice of the reckoning may take, and steps between two looks at the clock.
const SLICE_MS: f64 = 12.0;
const STRETCH: usize = 4;

/// How far a case is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Stage {
    /// None is chosen.
    Choosing,
    /// It is being set up: so many steps of so many.
    Setting(usize, usize),
    /// It could not be set up.
    Trouble(String),
    /// The fault is being looked for.
    Searching,
    /// The truth is told.
    Over,
    /// A lesson shows instead.
    Lesson(usize),
}

/// The place's signals. What they hold is forgotten with the place.
#[derive(Clone, Copy)]
pub(super) struct Desk {
    pub(super) stage: RwSignal<Stage>,
    pub(super) run: RwSignal<Run>,
    /// What the planner did on the same bench, while the truth is told.
    pub(super) planner: RwSignal<Run>,
    /// The map that shows.
    pub(super) harness: RwSignal<Arc<Harness>>,
    pub(super) picked: RwSignal<Option<Pick>>,
    hovered: RwSignal<Option<Pick>>,
    /// What shines.
    pub(super) lit: RwSignal<Option<Vec<Pick>>>,
    /// The cylinders that do not work.
    pub(super) cold: RwSignal<ColdMap>,
    bench: StoredValue<Option<Rc<Bench>>, LocalStorage>,
    /// Tells work that has been overtaken from the one that counts.
    turn: StoredValue<u32>,
}

impl Desk {
    pub(super) fn new() -> Self {
        Self {
            stage: RwSignal::new(Stage::Choosing),
            run: RwSignal::new(Run::default()),
            planner: RwSignal::new(Run::default()),
            harness: RwSignal::new(Arc::new(crate::store::nothing())),
            picked: RwSignal::new(None),
            hovered: RwSignal::new(None),
            lit: RwSignal::new(None),
            cold: RwSignal::new(ColdMap::new()),
            bench: StoredValue::new_local(None),
            turn: StoredValue::new(0),
        }
    }

    /// The bench, once it is set.
    pub(super) fn bench(self) -> Option<Rc<Bench>> {
        self.bench.try_get_value().flatten()
    }

    /// Whether a map shows. Tracked.
    pub(super) fn has_map(self) -> bool {
        self.harness.with(|harness| !harness.parts.is_empty())
    }

    /// What the place is about now. Tracked.
    pub(super) fn heading(self) -> String {
        match self.stage.get() {
            Stage::Searching | Stage::Over => {
                let title = self.harness.with(|harness| harness.title.clone());
                let level = self.bench().map(|bench| bench.ticket().level);
                words::case_heading(&title, level)
            }
            Stage::Lesson(number) => words::lesson_heading(number),
            Stage::Choosing | Stage::Setting(..) | Stage::Trouble(_) => words::HEADING.into(),
        }
    }

    /// Back to the choice of a case.
    pub(super) fn leave(self) {
        self.turn.update_value(|turn| *turn = turn.wrapping_add(1));
        self.bench.set_value(None);
        self.clear();
        self.harness.set(Arc::new(crate::store::nothing()));
        self.stage.set(Stage::Choosing);
    }

    fn clear(self) {
        self.picked.set(None);
        self.hovered.set(None);
        self.lit.set(None);
        self.cold.set(ColdMap::new());
        self.run.set(Run::default());
        self.planner.set(Run::default());
    }

    /// Sets up the case that a link names.
    pub(super) fn open(self, link: &str) {
        match Ticket::read(link) {
            Ok(ticket) => self.start(ticket),
            Err(error) => self.stage.set(Stage::Trouble(words::bad_link(error))),
        }
    }

    /// Sets up a case.
    pub(super) fn start(self, ticket: Ticket) {
        self.stage.set(Stage::Setting(0, 1));
        self.fetch(&ticket.engine.clone(), move |desk, harness| {
            let turn = desk.turn.get_value();
            let building = Case::begin(Bench::bare(&harness));
            desk.build(turn, Rc::new((harness, ticket)), building);
        });
    }

    /// Fetches an example's map and goes on with it, unless something else was begun meanwhile.
    pub(super) fn fetch(self, name: &str, go_on: impl FnOnce(Self, Harness) + 'static) {
        self.turn.update_value(|turn| *turn = turn.wrapping_add(1));
        self.bench.set_value(None);
        self.clear();
        let turn = self.turn.get_value();
        let Some(sample) = samples().into_iter().find(|sample| sample.name() == name) else {
            self.stage.set(Stage::Trouble(words::NO_ENGINE.into()));
            return;
        };
        spawn_local(async move {
            let text = fetch::text(&sample.path()).await;
            if self.is_stale(turn) {
                return;
            }
            let harness = match text {
                Ok(text) => file::read(&text).map_err(|error| error.to_string()),
                Err(error) => Err(wrong::fetch(error)),
            };
            match harness {
                Ok(harness) => go_on(self, harness),
                Err(why) => self.stage.set(Stage::Trouble(why)),
            }
        });
    }

    fn is_stale(self, turn: u32) -> bool {
        self.turn.try_get_value() != Some(turn)
    }

    /// Builds the suspects for a while; comes back for the rest.
    fn build(self, turn: u32, given: Rc<(Harness, Ticket)>, mut building: Building<'static>) {
        if self.is_stale(turn) {
            return;
        }
        if slice(|| building.grow(STRETCH)) > 0 {
            let (done, of) = building.progress();
            // The tests come after the suspects: half the way is theirs.
            self.stage.set(Stage::Setting(done, of * 2));
            timer::soon(move || self.build(turn, given, building));
            return;
        }
        match building.finish() {
            Ok(case) => {
                let plan = Plan::begin(&case);
                timer::soon(move || self.plan(turn, given, case, plan));
            }
            Err(error) => self.stage.set(Stage::Trouble(error.to_string())),
        }
    }

    /// Weighs the tests for a while; comes back for the rest.
    fn plan(self, turn: u32, given: Rc<(Harness, Ticket)>, case: Case<'static>, mut plan: Plan) {
        if self.is_stale(turn) {
            return;
        }
        let left = slice(|| plan.grow(&case, STRETCH));
        if left > 0 {
            let all = plan.catalogue().acts.len();
            self.stage.set(Stage::Setting(all * 2 - left, all * 2));
            timer::soon(move || self.plan(turn, given, case, plan));
            return;
        }
        let (harness, ticket) = &*given;
        match Bench::set(harness, case, plan, ticket.clone()) {
            Ok(bench) => self.ready(bench),
            Err(error) => self.stage.set(Stage::Trouble(words::no_case(error))),
        }
    }

    fn ready(self, bench: Bench) {
        let run = bench.begin();
        self.show(bench.harness().clone());
        self.bench.set_value(Some(Rc::new(bench)));
        self.said(&run);
        self.run.set(run);
        self.stage.set(Stage::Searching);
        page::mark("practice-ready");
    }

    /// Shows a map, with nothing on it.
    pub(super) fn show(self, harness: Harness) {
        self.picked.set(None);
        self.lit.set(None);
        self.cold.set(ColdMap::new());
        self.harness.set(Arc::new(harness));
    }

    fn said(self, run: &Run) {
        let said = cylinders_said(&run.findings).into_iter();
        let cold = said.filter_map(|(cylinder, works)| match works {
            Works::Dead => Some((cylinder, Cold::Dead)),
            Works::Sometimes => Some((cylinder, Cold::Doubtful)),
            Works::Alive => None,
        });
        self.cold.set(cold.gather());
    }

    /// Does a test.
    pub(super) fn ask(self, test: TestIndex) {
        let Some(bench) = self.bench() else { return };
        let mut run = self.run.get_untracked();
        if bench.ask(&mut run, test).is_some() {
            self.run.set(run);
        }
    }

    /// Names the culprit.
    pub(super) fn name(self, unit: Unit) {
        let Some(bench) = self.bench() else { return };
        let mut run = self.run.get_untracked();
        bench.name(&mut run, unit);
        let solved = bench.is_solved(&run);
        self.run.set(run);
        if solved {
            self.tell();
        }
    }

    /// Tells the truth and lets the planner try the same bench.
    pub(super) fn tell(self) {
        let Some(bench) = self.bench() else { return };
        let harness = bench.harness();
        let mut picks = Vec::new();
        for (fault, _) in bench.truth().faults {
            picks.push(Pick::Element(fault.element));
            picks.extend(harness.part_of(fault.element).map(Pick::Part));
        }
        self.lit.set(Some(picks));
        self.stage.set(Stage::Over);
        page::scroll_to_start(".side");
        let turn = self.turn.get_value();
        let run = bench.begin();
        timer::soon(move || self.follow_planner(turn, bench, run));
    }

    fn follow_planner(self, turn: u32, bench: Rc<Bench>, mut run: Run) {
        if self.is_stale(turn) {
            return;
        }
        let goes_on = bench.planned(&mut run);
        self.planner.set(run.clone());
        if goes_on {
            timer::soon(move || self.follow_planner(turn, bench, run));
        }
    }

    /// The map, which can be looked at and touched, not changed.
    pub(super) fn map(self) -> AnyView {
        let shape = RwSignal::new(likely_shape());
        let camera = RwSignal::new(Camera::default());
        let harness = self.harness;
        let drawing = Memo::new(move |_| {
            let shape = shape.get();
            harness.with(|harness| Arc::new(Drawing::proportioned(harness, shape)))
        });
        let shown = RwSignal::new(None::<Lit>);
        let mut known: Option<(Arc<Harness>, Topology)> = None;
        Effect::new(move |_| {
            let harness = harness.get();
            let hovered = self.hovered.get().or_else(|| self.picked.get());
            let lit = match (self.lit.get(), hovered) {
                (Some(picks), _) => Some(Lit::only(picks)),
                (None, None) => None,
                (None, Some(pick)) => {
                    let kept = known.take().filter(|(of, _)| Arc::ptr_eq(of, &harness));
                    let (_, topology) = known.insert(kept.unwrap_or_else(|| {
                        let topology = Topology::of(&harness);
                        (Arc::clone(&harness), topology)
                    }));
                    Some(Lit::of(&topology.trail(&harness, pick), &harness))
                }
            };
            shown.set(lit);
        });
        view! {
            <MapView
                harness
                drawing
                selected=self.picked
                hovered=self.hovered
                camera
                cold=self.cold
                lit=shown
                shape
            />
        }
        .into_any()
    }
}

/// Works until nothing is left or the slice is spent; returns what is left.
fn slice(mut work: impl FnMut() -> usize) -> usize {
    let until = clock::now_ms() + SLICE_MS;
    let mut left = work();
    while left > 0 && clock::now_ms() < until {
        left = work();
    }
    left
}
