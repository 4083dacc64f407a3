//! Short lessons, each step with its own light, fault and live number on an example's map.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::cycle::{Cycle, Dials};
use sparktrail_core::electrics::{Measure, Moment};
use sparktrail_core::faults::{Fault, Mode, expected, refined, usual_black};
use sparktrail_core::gather::Gather;
use sparktrail_core::model::{DriverPiece, Element, Harness, PartKind, Port, Setup, Terminal};
use sparktrail_core::topology::{Pick, Topology};
use sparktrail_core::units::Ohms;

use super::super::words::lessons as words;
use super::desk::{Desk, Stage};
use crate::canvas::{Cold, ColdMap};
use crate::text::Text;

/// What a step shows on the map.
#[derive(Default)]
struct Scene {
    lit: Vec<Pick>,
    fault: Option<Fault>,
    /// What is reckoned live, as a sentence.
    number: Option<String>,
}

/// One step: its words, and what it shows of a map.
struct Step {
    words: Text,
    scene: fn(&Harness) -> Option<Scene>,
}

/// One lesson.
struct Told {
    title: Text,
    sample: &'static str,
    steps: &'static [Step],
    source: Text,
}

const fn step(words: Text, scene: fn(&Harness) -> Option<Scene>) -> Step {
    Step { words, scene }
}

const ALL: &[Told] = &[
    Told {
        title: words::WASTE,
        sample: "blue-estate",
        steps: &[
            step(words::WASTE_PATH, first_path),
            step(words::WASTE_NEEDS, first_needs),
            step(words::WASTE_COIL, |harness| broken(harness, coil_open)),
            step(words::WASTE_LEAD, |harness| broken(harness, lead_open)),
        ],
        source: words::WASTE_SOURCE,
    },
    Told {
        title: words::COMPANIONS,
        sample: "white-cruiser",
        steps: &[
            step(words::COMPANIONS_ONE, |harness| pair(harness, 0)),
            step(words::COMPANIONS_TWO, |harness| pair(harness, 1)),
            step(words::COMPANIONS_DRIVER, |harness| {
                broken(harness, never_on)
            }),
        ],
        source: words::COMPANIONS_SOURCE,
    },
    Told {
        title: words::PIN,
        sample: "blue-estate",
        steps: &[
            step(words::PIN_HEALTHY, |harness| pin_reads(harness, None)),
            step(words::PIN_NEVER, |harness| {
                pin_reads(harness, never_on(harness))
            }),
            step(words::PIN_PARTLY, |harness| {
                pin_reads(harness, partly_on(harness))
            }),
        ],
        source: words::PIN_SOURCE,
    },
    Told {
        title: words::DROP,
        sample: "blue-estate",
        steps: &[
            step(words::DROP_STILL, |harness| {
                feed_reads(harness, &Setup::key_on())
            }),
            step(words::DROP_LOAD, |harness| feed_drop(harness, None)),
            step(words::DROP_BAD, |harness| {
                feed_drop(harness, bad_feed(harness))
            }),
        ],
        source: words::DROP_SOURCE,
    },
    Told {
        title: words::SWAP,
        sample: "white-cruiser",
        steps: &[
            step(words::SWAP_DEAD, |harness| broken(harness, joint_open)),
            step(words::SWAP_CLEARS, |harness| {
                driver_pieces(harness, |piece| piece == DriverPiece::Switch)
            }),
            step(words::SWAP_LEAVES, |harness| {
                driver_pieces(harness, |piece| piece != DriverPiece::Switch)
            }),
        ],
        source: words::SWAP_SOURCE,
    },
    Told {
        title: words::AWAY,
        sample: "green-tourer",
        steps: &[
            step(words::AWAY_THERE, |harness| {
                contact_reads(harness, contact_open(harness))
            }),
            step(words::AWAY_GONE, |harness| contact_reads(harness, None)),
            step(words::AWAY_PROVOKE, |harness| broken(harness, contact_open)),
        ],
        source: words::AWAY_SOURCE,
    },
];

/// The titles, in order.
pub(super) fn titles() -> Vec<&'static str> {
    ALL.iter().map(|lesson| lesson.title.said()).collect()
}

/// Opens a lesson on its map.
pub(super) fn open(desk: Desk, number: usize) {
    let Some(lesson) = ALL.get(number) else {
        return;
    };
    desk.stage.set(Stage::Setting(0, 1));
    desk.fetch(lesson.sample, move |desk, mut harness| {
        harness.findings.clear();
        desk.show(harness);
        desk.stage.set(Stage::Lesson(number));
    });
}

/// The panel of a lesson.
#[component]
pub(super) fn Lesson(desk: Desk, number: usize) -> impl IntoView {
    let at = RwSignal::new(0_usize);
    let number_shown = RwSignal::new(None::<String>);
    let lesson = ALL.get(number);
    let many = lesson.map_or(0, |lesson| lesson.steps.len());
    Effect::new(move |_| {
        let harness = desk.harness.get();
        let step = lesson.and_then(|lesson| lesson.steps.get(at.get()));
        let scene = step
            .and_then(|step| (step.scene)(&harness))
            .unwrap_or_default();
        desk.cold.set(
            scene
                .fault
                .map_or_else(ColdMap::new, |fault| cold(&harness, fault)),
        );
        let mut lit = scene.lit;
        if let Some(fault) = scene.fault
            && lit.is_empty()
        {
            lit.push(Pick::Element(fault.element));
            lit.extend(harness.part_of(fault.element).map(Pick::Part));
        }
        desk.lit.set((!lit.is_empty()).then_some(lit));
        number_shown.set(scene.number);
    });
    let told = move || {
        lesson
            .and_then(|lesson| lesson.steps.get(at.get()))
            .map(|step| step.words.said())
    };
    let first = move || at.get() == 0;
    let last = move || at.get() + 1 >= many;
    let next = move |_| {
        if last() {
            let after = number + 1;
            if after < ALL.len() {
                open(desk, after);
            } else {
                desk.leave();
            }
        } else {
            at.update(|at| *at += 1);
        }
    };
    view! {
        <section class="card lesson" data-lesson-step=move || at.get().to_string()>
            <p class="eyebrow num">{move || words::place(at.get() + 1, many)}</p>
            <p class="lesson-words" aria-live="polite">{told}</p>
            {move || {
                number_shown
                    .get()
                    .map(|number| view! { <p class="lesson-number num">{number}</p> }.into_any())
            }}
            <div class="way-row">
                <button
                    type="button"
                    class="button"
                    disabled=first
                    on:click=move |_| at.update(|at| *at = at.saturating_sub(1))
                >
                    {words::BACK}
                </button>
                <button type="button" class="button" data-weight="strong" data-act="next" on:click=next>
                    {move || if last() { words::ON_FROM_HERE.said() } else { words::NEXT.said() }}
                </button>
            </div>
            <p class="faint small">{lesson.map(|lesson| lesson.source.said())}</p>
        </section>
    }
    .into_any()
}

/// The cylinders that a fault harms.
fn cold(harness: &Harness, fault: Fault) -> ColdMap {
    let topology = Topology::of(harness);
    let effect = refined(harness, &topology, fault).effect;
    let dead = effect.dead.iter().map(|v| (v.cylinder, Cold::Dead));
    let doubtful = effect.doubtful.iter().map(|v| (v.cylinder, Cold::Doubtful));
    dead.chain(doubtful).gather()
}

fn cycle(harness: &Harness) -> Arc<Cycle> {
    Arc::new(Cycle::of(harness, &Dials::of(harness), None))
}

/// The way of the first coil's first spark.
fn first_path(harness: &Harness) -> Option<Scene> {
    let cycle = cycle(harness);
    let row = cycle.coils.first()?;
    let firing = row.firings.first()?;
    Some(Scene {
        lit: cycle.path(row, firing)?.picks(harness, firing),
        ..Scene::default()
    })
}

/// What its two plugs need.
fn first_needs(harness: &Harness) -> Option<Scene> {
    let cycle = cycle(harness);
    let firing = cycle.coils.first()?.firings.first()?;
    let at = |moment| firing.ends.iter().find(|end| end.moment == moment);
    let (work, waste) = (at(Moment::Compression)?, at(Moment::Exhaust)?);
    Some(Scene {
        number: Some(words::needs(
            (work.cylinder?.0, work.spark.needed_kv),
            (waste.cylinder?.0, waste.spark.needed_kv),
        )),
        ..first_path(harness)?
    })
}

/// The cylinders of one pair of companions, with the way between them.
fn pair(harness: &Harness, number: usize) -> Option<Scene> {
    let engine = &harness.engine;
    let (a, b, _) = *engine.companions().pairs.get(number)?;
    let cycle = cycle(harness);
    let row = cycle.coils_of(a).next()?;
    let firing = row.firings.first()?;
    let (top_a, top_b) = (engine.compression_top(a)?, engine.compression_top(b)?);
    Some(Scene {
        lit: cycle.path(row, firing)?.picks(harness, firing),
        number: Some(words::tops((a.0, top_a.get()), (b.0, top_b.get()))),
        ..Scene::default()
    })
}

fn broken(harness: &Harness, fault: fn(&Harness) -> Option<Fault>) -> Option<Scene> {
    Some(Scene {
        fault: Some(fault(harness)?),
        ..Scene::default()
    })
}

fn coil(harness: &Harness) -> Option<sparktrail_core::model::PartId> {
    harness
        .parts
        .keys()
        .copied()
        .find(|&part| harness.coil(part).is_some())
}

fn coil_open(harness: &Harness) -> Option<Fault> {
    Some(Fault::new(Element::Primary(coil(harness)?), Mode::Open))
}

fn lead_open(harness: &Harness) -> Option<Fault> {
    let lead = harness
        .parts
        .keys()
        .copied()
        .find(|&part| harness.lead(part).is_some())?;
    Some(Fault::new(Element::LeadConductor(lead), Mode::Open))
}

fn driver_fault(harness: &Harness, piece: DriverPiece, mode: Mode) -> Option<Fault> {
    let (_, driver) = harness.drivers().next()?;
    Some(Fault::new(Element::Driver(driver.id, piece), mode))
}

fn never_on(harness: &Harness) -> Option<Fault> {
    driver_fault(harness, DriverPiece::Switch, Mode::NeverOn)
}

fn partly_on(harness: &Harness) -> Option<Fault> {
    driver_fault(harness, DriverPiece::Switch, Mode::PartlyOn(Ohms::lit(2.2)))
}

fn joint_open(harness: &Harness) -> Option<Fault> {
    driver_fault(harness, DriverPiece::OutputJoint, Mode::Open)
}

/// The transistor alone, or all that a swap of transistors leaves in question.
fn driver_pieces(harness: &Harness, which: fn(DriverPiece) -> bool) -> Option<Scene> {
    let (_, driver) = harness.drivers().next()?;
    let pieces = DriverPiece::ALL.into_iter();
    let pieces = pieces.filter(|piece| which(*piece));
    Some(Scene {
        lit: pieces
            .map(|piece| Pick::Element(Element::Driver(driver.id, piece)))
            .chain([Pick::Driver(driver.id)])
            .collect(),
        ..Scene::default()
    })
}

/// The pin of the first driver.
fn pin(harness: &Harness) -> Option<Terminal> {
    let (part, driver) = harness.drivers().next()?;
    let output = driver.output?.value;
    Some(Terminal {
        part,
        port: Port::Pin(output),
    })
}

fn volts(
    harness: &Harness,
    setup: &Setup,
    leads: (Terminal, Terminal),
    fault: Option<Fault>,
) -> Option<f64> {
    match expected(harness, setup, leads, fault.as_ref()).ok()?.value {
        Measure::Volts(volts) => Some(volts.get()),
        Measure::Ohms(_) | Measure::Overload => None,
    }
}

fn pin_reads(harness: &Harness, fault: Option<Fault>) -> Option<Scene> {
    let pin = pin(harness)?;
    let black = usual_black(harness)?;
    let reading = volts(harness, &Setup::idling(), (pin, black), fault)?;
    Some(Scene {
        lit: vec![Pick::Terminal(pin), Pick::Part(pin.part)],
        number: Some(words::reads(&harness.terminal_name(pin), reading)),
        fault,
    })
}

/// The first coil's supply terminal and battery plus.
fn feed(harness: &Harness) -> Option<(Terminal, Terminal)> {
    let battery = harness
        .parts
        .iter()
        .find(|(_, part)| matches!(part.kind, PartKind::Battery(_)))?;
    let feed = Terminal {
        part: coil(harness)?,
        port: Port::Feed,
    };
    let plus = Terminal {
        part: *battery.0,
        port: Port::Plus,
    };
    Some((plus, feed))
}

fn bad_feed(harness: &Harness) -> Option<Fault> {
    let (_, feed) = feed(harness)?;
    let wire = harness.wires.iter().find(|(_, wire)| {
        [wire.from, wire.to]
            .into_iter()
            .flatten()
            .any(|end| end.value == feed)
    })?;
    Some(Fault::new(
        Element::Wire(*wire.0),
        Mode::HighResistance(Ohms::lit(2.0)),
    ))
}

/// What stands at the coil's supply with the bad wire in place and no current flowing.
fn feed_reads(harness: &Harness, setup: &Setup) -> Option<Scene> {
    let (_, feed) = feed(harness)?;
    let black = usual_black(harness)?;
    let fault = bad_feed(harness);
    let reading = volts(harness, setup, (feed, black), fault)?;
    Some(Scene {
        lit: vec![Pick::Terminal(feed), Pick::Part(feed.part)],
        number: Some(words::reads(&harness.terminal_name(feed), reading)),
        fault,
    })
}

fn feed_drop(harness: &Harness, fault: Option<Fault>) -> Option<Scene> {
    let (plus, feed) = feed(harness)?;
    let lost = volts(harness, &Setup::idling(), (plus, feed), fault)?;
    Some(Scene {
        lit: vec![
            Pick::Terminal(plus),
            Pick::Part(plus.part),
            Pick::Terminal(feed),
            Pick::Part(feed.part),
        ],
        number: Some(words::lost(lost)),
        fault,
    })
}

fn contact_open(harness: &Harness) -> Option<Fault> {
    let terminal = Terminal {
        part: coil(harness)?,
        port: Port::Feed,
    };
    Some(Fault::new(Element::Mated(terminal), Mode::Open))
}

/// Volts at the low end of the coil whose supply contact is open at times.
fn contact_reads(harness: &Harness, fault: Option<Fault>) -> Option<Scene> {
    let switched = Terminal {
        part: coil(harness)?,
        port: Port::Switched,
    };
    let black = usual_black(harness)?;
    let reading = volts(harness, &Setup::key_on(), (switched, black), fault)?;
    Some(Scene {
        lit: vec![Pick::Terminal(switched), Pick::Part(switched.part)],
        number: Some(words::reads(&harness.terminal_name(switched), reading)),
        fault,
    })
}
