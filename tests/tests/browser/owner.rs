//! Somebody at a car with a hidden fault, who does what the screen says and has only what the screen offers.
//!
//! What a meter reads, and which cylinders work, comes from the core with the fault in place. What no circuit tells
//! (how a contact looks, what a wiggle, a swap, a repair does) follows from where the fault sits; the reason stands
//! beside each answer.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(
    clippy::wildcard_enum_match_arm,
    reason = "whatever else there may be, nobody here sees or says it"
)]

use std::cell::Cell;
use std::time::Duration;

use serde_json::json;
use sparktrail_core::electrics::Measure;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::faults::{Fault, Mode, effect, expected};
use sparktrail_core::isolation::{Answer, Probes, Question};
use sparktrail_core::model::{
    CompressionResult, DriverPiece, Effect, Element, EngineState, Glow, Harness, Look, Spark,
    Stored, StressKind, SwapOutcome, SwapPair, Works,
};
use sparktrail_core::topology::Topology;
use sparktrail_core::walkthrough::{Replies, Reply, Stage, Step, Task, Verdict, Walk};
use sparktrail_tests::browser::Page;
use thirtyfour::Key;

use super::ground::{go_to, kept};
use super::trace::saved;
use super::walks::{key, tap};

/// What the leads of an ordinary meter add, Ω. Common practice, no source.
const LEADS: f64 = 0.2;

/// With what the screen is used.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Hand {
    Finger,
    Keys,
}

/// Whether the fault comes and goes.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Kind {
    Steady,
    Wavers,
}

/// Somebody at a car.
pub(super) struct Owner<'a> {
    page: &'a Page,
    hand: Hand,
    kind: Kind,
    /// What is broken; nothing once it is mended.
    fault: Cell<Option<Fault>>,
    /// Whether it shows now.
    pub(super) shows: Cell<bool>,
}

impl<'a> Owner<'a> {
    pub(super) const fn new(page: &'a Page, hand: Hand, kind: Kind, fault: Fault) -> Self {
        Self {
            page,
            hand,
            kind,
            fault: Cell::new(Some(fault)),
            shows: Cell::new(true),
        }
    }

    /// The car is sound again.
    pub(super) fn mended(&self) {
        self.fault.set(None);
    }

    /// The fault, while it shows.
    fn showing(&self) -> Option<Fault> {
        self.fault.get().filter(|_| self.shows.get())
    }

    /// Presses the button that begins with these words.
    pub(super) async fn press(&self, words: &str) {
        match self.hand {
            Hand::Finger => tap(self.page, words).await,
            Hand::Keys => key(self.page, words).await,
        }
    }

    /// Goes through the walk that shows, to its end.
    pub(super) async fn walk(&self) -> Verdict {
        for _ in 0..60 {
            let map = saved(self.page).await;
            let text = kept_walk(self.page).await;
            let walk = Walk::of_text(&text).unwrap();
            match walk.live(&map).stage(&map).now {
                Stage::Over(verdict) => {
                    self.step_shows("Done").await;
                    // What was brought back stays for a while.
                    if let Verdict::Stressed { found: Some(_), .. } = verdict {
                        self.shows.set(true);
                    }
                    return verdict;
                }
                Stage::Ask(step) => {
                    self.shown(&map, &step).await;
                    let reply = self.reply(&map, &step);
                    self.give(&step, reply).await;
                    another_step(self.page, &text).await;
                }
            }
        }
        panic!("the walk has no end");
    }

    /// Does what Next says, act by act, until it says what to mend or hands over. Returns what it asked on the way.
    pub(super) async fn search(&self) -> (Vec<String>, String) {
        let mut acts = Vec::new();
        loop {
            go_to(self.page, "Next").await;
            let (act, stop) = next(self.page).await;
            if !stop.is_empty() {
                return (acts, stop);
            }
            acts.push(act);
            assert!(acts.len() < 20, "no end: {acts:?}");
            self.press("Walk me through it").await;
            self.walk().await;
            self.press("See what to do next").await;
        }
    }

    async fn step_shows(&self, words: &str) {
        let script = format!(
            "return document.querySelector('#walk-step')?.textContent === {}",
            json!(words)
        );
        self.page.until(words, &script).await;
    }

    /// Where the leads go can be read on the card, and both are on the map.
    async fn shown(&self, map: &Harness, step: &Step) {
        let Some(probes) = step.probes() else { return };
        for (lead, at) in [("red", Some(probes.red)), ("black", probes.black)] {
            let Some(at) = at else { continue };
            let on_card = format!(
                "return document.querySelector('.walk-card [data-lead={lead}] dd')?.textContent === {}",
                json!(map.terminal_name(at))
            );
            self.page.until("the place of a lead", &on_card).await;
            let on_map = format!(
                "const map = document.querySelector('.map-canvas').getBoundingClientRect();
                 const lead = document.querySelector('.probe[data-lead={lead}] text')?.getBoundingClientRect();
                 return !!lead && lead.left >= map.left && lead.right <= map.right
                   && lead.top >= map.top && lead.bottom <= map.bottom && lead.height >= 12"
            );
            self.page.until("a lead on the map", &on_map).await;
        }
    }

    /// Presses the reply, or types the reading.
    async fn give(&self, step: &Step, reply: Reply) {
        match (&step.replies, reply) {
            (Replies::Choice(_), reply) => self.press(words(&step.task, reply)).await,
            (Replies::Volts | Replies::Ohms, Reply::Found(answer)) => {
                let typed = match answer {
                    Answer::Volts(value, _) | Answer::Ohms(value, _) => format!("{value:.2}"),
                    Answer::Overload => "OL".into(),
                    other => panic!("{other:?} is no reading"),
                };
                self.page.fill(".walk-read input", &typed).await;
                match self.hand {
                    Hand::Finger => tap(self.page, "Enter it").await,
                    Hand::Keys => self.page.press(Key::Enter.value().to_string()).await,
                }
            }
            other => panic!("{other:?}"),
        }
    }

    fn reply(&self, map: &Harness, step: &Step) -> Reply {
        match &step.task {
            Task::Runs => Reply::Yes,
            Task::FaultNow if self.showing().is_some() => Reply::Yes,
            Task::FaultNow => Reply::No,
            Task::LeadsTogether => Reply::Found(Answer::Ohms(LEADS, LEADS)),
            Task::LampReference(_) => Reply::Found(Answer::Glow(Glow::Bright)),
            Task::Reference(probes)
            | Task::Ask(
                Question::Volts(probes) | Question::Drop(probes) | Question::Resistance(probes),
            ) => Reply::Found(self.reads(map, probes)),
            // The light is proven on a cylinder that works.
            Task::ProveTool(_) => Reply::Found(Answer::Spark(Spark::Yes)),
            Task::Ask(question) => Reply::Found(self.sees(map, question)),
            Task::Exchange(_) | Task::Restore | Task::ClearCodes | Task::Warm | Task::Carry(_) => {
                Reply::Done
            }
        }
    }

    /// What a meter reads with the fault in place, by the core.
    fn reads(&self, map: &Harness, probes: &Probes) -> Answer {
        let ends = (probes.red, probes.black.unwrap());
        let fault = self.showing();
        let reading = expected(map, &probes.setup, ends, fault.as_ref()).unwrap();
        match reading.value {
            Measure::Volts(volts) => Answer::Volts(volts.get(), volts.get()),
            Measure::Ohms(ohms) => Answer::Ohms(ohms.get() + LEADS, ohms.get() + LEADS),
            Measure::Overload => Answer::Overload,
        }
    }

    /// How a test lamp shines. What is open here is open altogether, so that lamp and voltmeter agree.
    fn glow(&self, map: &Harness, probes: &Probes) -> Glow {
        let Some(fault) = self.showing() else {
            return if probes.setup.engine == EngineState::Stopped {
                Glow::Bright
            } else {
                Glow::Flickering
            };
        };
        if probes.setup.engine != EngineState::Stopped {
            // From battery plus to a coil's switched terminal: it flickers where the driver switches and its wire
            // gets there. A transistor that is held partly on never lets go.
            let own = map.part_of(fault.element) == Some(probes.red.part);
            return match (fault.element, fault.mode) {
                (Element::Driver(..), Mode::PartlyOn(_)) => Glow::Bright,
                (Element::Mated(at), _) if own && at == probes.red => Glow::Off,
                _ => Glow::Flickering,
            };
        }
        match self.reads(map, probes) {
            Answer::Volts(volts, _) if volts > 9.0 => Glow::Bright,
            Answer::Volts(volts, _) if volts > 2.0 => Glow::Dim,
            _ => Glow::Off,
        }
    }

    /// Whether a cylinder is dead while the fault shows, by the core.
    fn kills(&self, map: &Harness, cylinder: CylinderId) -> bool {
        self.fault.get().is_some_and(|fault| {
            let dead = effect(map, &Topology::of(map), fault).dead_cylinders();
            dead.contains(&cylinder)
        })
    }

    fn sees(&self, map: &Harness, question: &Question) -> Answer {
        let at = self.fault.get().map(|fault| fault.element);
        let in_plug = |element: Element| {
            let same = at.and_then(|at| map.part_of(at)) == map.part_of(element);
            same && at.is_some_and(|at| matches!(at, Element::Mated(_) | Element::Cavity(..)))
        };
        match question {
            Question::Contribution(cylinder) => {
                Answer::Works(match (self.kills(map, *cylinder), self.kind) {
                    (false, _) => Works::Alive,
                    (true, Kind::Steady) => Works::Dead,
                    (true, Kind::Wavers) => Works::Sometimes,
                })
            }
            Question::Spark(cylinder) => {
                let dead = self.shows.get() && self.kills(map, *cylinder);
                Answer::Spark(if dead { Spark::No } else { Spark::Yes })
            }
            // A contact that has gone bad inside its shell is not seen from outside; nothing else is broken.
            Question::Look(_) => Answer::Look(Look::Sound),
            // Moving a plug moves all its contacts: a bad one comes and goes with it.
            Question::Stress(element, StressKind::Wiggled)
                if self.kind == Kind::Wavers && in_plug(*element) =>
            {
                Answer::Effect(if self.shows.get() {
                    Effect::Cured
                } else {
                    Effect::Changed
                })
            }
            Question::Stress(..) => Answer::Effect(Effect::Same),
            // A swap takes along what is cast into the thing, and nothing else.
            Question::Swap(pair) => Answer::Swap(if goes_along(map, *pair, at) {
                SwapOutcome::Moved
            } else {
                SwapOutcome::Stayed
            }),
            Question::Substitute(part, _) => {
                let gone = at.is_some_and(|at| map.part_of(at) == Some(*part) && !in_plug(at));
                self.after(gone)
            }
            Question::Clean(element) => self.after(in_plug(*element)),
            Question::Remake(element) => {
                self.after(at == Some(*element) || same_driver(at, *element))
            }
            // No unit of these maps looks after single cylinders.
            Question::Code(_) | Question::AnyCode => Answer::Stored(Stored::Absent),
            Question::Compression(_) => Answer::Compression(CompressionResult::Good),
            Question::Lamp(probes) => Answer::Glow(self.glow(map, probes)),
            Question::Volts(_) | Question::Drop(_) | Question::Resistance(_) => {
                panic!("{question:?} is no look")
            }
        }
    }

    /// What a repair did; where it was the right one, the car is sound from then on.
    fn after(&self, gone: bool) -> Answer {
        if gone {
            self.mended();
        }
        Answer::Effect(if gone { Effect::Cured } else { Effect::Same })
    }
}

fn goes_along(map: &Harness, pair: SwapPair, at: Option<Element>) -> bool {
    at.is_some_and(|at| match pair {
        SwapPair::Parts(a, b) => {
            let inside = map.part_of(at).is_some_and(|part| part == a || part == b);
            inside && !matches!(at, Element::Mated(_))
        }
        SwapPair::Transistors(a, b) => [a, b]
            .map(|d| Element::Driver(d, DriverPiece::Switch))
            .contains(&at),
    })
}

/// All joints of a driver are heated at once.
fn same_driver(at: Option<Element>, remade: Element) -> bool {
    let driver = |element| {
        if let Element::Driver(driver, piece) = element {
            let joint = !matches!(piece, DriverPiece::Switch | DriverPiece::DriveResistor);
            joint.then_some(driver)
        } else {
            None
        }
    };
    at.and_then(driver)
        .is_some_and(|d| driver(remade) == Some(d))
}

/// A reply as its button says it.
fn words(task: &Task, reply: Reply) -> &'static str {
    let stressed = matches!(task, Task::Ask(Question::Stress(..)));
    match (task, reply) {
        (Task::Runs, Reply::Yes) => "Yes, it runs",
        (Task::FaultNow, Reply::No) => "No, it is away",
        (_, Reply::Done) => "Done",
        (_, Reply::Yes) => "Yes",
        (
            Task::Ask(Question::Look(Element::Cylinder(_))),
            Reply::Found(Answer::Look(Look::Sound)),
        ) => "it gets fuel and air",
        (_, Reply::Found(answer)) => match answer {
            Answer::Works(Works::Alive) => "works",
            Answer::Works(Works::Dead) => "dead",
            Answer::Works(Works::Sometimes) => "comes and goes",
            Answer::Spark(Spark::Yes) => "regular sparks",
            Answer::Spark(Spark::No) => "no spark",
            Answer::Glow(Glow::Bright) => "bright",
            Answer::Glow(Glow::Dim) => "dim",
            Answer::Glow(Glow::Off) => "dark",
            Answer::Glow(Glow::Flickering) => "flickers with the engine",
            Answer::Look(Look::Sound) => "looks sound",
            Answer::Effect(Effect::Same) => "no change",
            Answer::Effect(Effect::Cured) => "the fault went away",
            Answer::Effect(Effect::Changed) if stressed => "the fault came, or got worse",
            Answer::Swap(SwapOutcome::Moved) => "the fault moved with it",
            Answer::Swap(SwapOutcome::Stayed) => "the fault stayed",
            Answer::Stored(Stored::Absent) => "no codes",
            Answer::Compression(CompressionResult::Good) => "like its neighbours",
            other => panic!("nobody here sees {other:?}"),
        },
        other => panic!("nobody here says {other:?}"),
    }
}

/// What Next says: the act, and why to stop testing, empty while there is something to test.
pub(super) async fn next(page: &Page) -> (String, String) {
    page.until(
        "what is next",
        "return !!document.querySelector('.next .act h2') && !document.querySelector('.next progress')",
    )
    .await;
    // What the last finding moves is reckoned first.
    page.settle().await;
    let told = "const next = document.querySelector('.next');
        return [next.querySelector('.act h2')?.textContent ?? '',
                next.querySelector('.good-note')?.textContent ?? '']";
    let told = page.evaluate(told).await;
    let text = |place: usize| told[place].as_str().unwrap_or_default().to_owned();
    (text(0), text(1))
}

/// The walk as the browser keeps it.
async fn kept_walk(page: &Page) -> String {
    let all = kept(page).await;
    let mut walks = all.as_object().unwrap().iter();
    let (_, text) = walks
        .find(|(key, _)| key.starts_with("sparktrail/1/walk/"))
        .expect("a walk is kept");
    text.as_str().unwrap().to_owned()
}

/// Waits until the walk has gone on.
async fn another_step(page: &Page, before: &str) {
    for _ in 0..400 {
        if kept_walk(page).await != before {
            return;
        }
        tokio::time::sleep(Duration::from_millis(30)).await;
    }
    panic!("the walk stands still after\n{before}");
}
