//! What was seen and measured: the cylinders, the list, and a plain form.

mod fields;
mod form;

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::electrics::{Alteration, Solution};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::Question;
use sparktrail_core::model::{FaultThen, Finding, FindingId, Seen, Setup, Standing, Works};
use sparktrail_core::walkthrough::Kind;

use super::closing::{Stands, case_card};
use super::entry::others_work;
use super::words::closing::ON_MENDED;
use super::words::findings as words;
use super::words::meter::measure;
use super::words::walk::FIND_DEAD;
use crate::edge::clock;
use crate::store::{Store, cylinders_said};

/// The panel.
#[component]
pub(super) fn FindingsPanel(store: Store) -> impl IntoView {
    view! {
        <div class="panel findings">
            {case_card(store, Stands::Beside)}
            <Cylinders store />
            <form::Form store />
            <List store />
        </div>
    }
    .into_any()
}

/// One button a cylinder: what a tap says counts at once.
#[component]
fn Cylinders(store: Store) -> impl IntoView {
    let said = Memo::new(move |_| {
        store
            .harness
            .with(|harness| cylinders_said(harness.findings_now()))
    });
    let buttons: Vec<AnyView> = store
        .harness
        .with_untracked(|harness| harness.engine.cylinders())
        .into_iter()
        .map(|cylinder| {
            let works = move || said.with(|said| said.get(&cylinder).copied());
            cylinder_button(cylinder, works, move |_| turn(store, cylinder, works()))
        })
        .collect();
    view! {
        <section class="card">
            <h2>{words::CYLINDERS}</h2>
            <p class="faint small">{words::CYLINDERS_HINT}</p>
            <div class="cyls">{buttons}</div>
            {others_work(store, "untold")}
            {super::walk_offers::begin(store, Kind::Dead, FIND_DEAD.to_owned())}
        </section>
    }
    .into_any()
}

fn cylinder_button(
    cylinder: CylinderId,
    works: impl Fn() -> Option<Works> + Copy + Send + Sync + 'static,
    tap: impl Fn(leptos::ev::MouseEvent) + 'static,
) -> AnyView {
    let state = move || match works() {
        None => "unknown",
        Some(Works::Dead) => "dead",
        Some(Works::Alive) => "works",
        Some(Works::Sometimes) => "sometimes",
    };
    let word = move || works().map_or("?", words::works_word);
    view! {
        <button
            type="button"
            class="cyl"
            data-state=state
            aria-label=move || words::cylinder_state(cylinder, works())
            on:click=tap
        >
            <span class="num">{cylinder.to_string()}</span>
            <span class="cyl-word" aria-hidden="true">{word}</span>
        </button>
    }
    .into_any()
}

fn turn(store: Store, cylinder: CylinderId, works: Option<Works>) {
    let mark = |works| Command::Mark {
        cylinder,
        works,
        at: Some(clock::timestamp()),
    };
    store.change(match works {
        None => mark(Works::Dead),
        Some(Works::Dead) => mark(Works::Alive),
        Some(Works::Alive) => mark(Works::Sometimes),
        Some(Works::Sometimes) => Command::Unmark(cylinder),
    });
}

/// The findings, newest first.
#[component]
fn List(store: Store) -> impl IntoView {
    let ids = Memo::new(move |_| {
        store.harness.with(|harness| {
            let ids: Vec<FindingId> = harness.findings.iter().rev().map(|f| f.id).collect();
            ids
        })
    });
    let empty = move || {
        ids.with(Vec::is_empty)
            .then(|| view! { <p class="faint">{words::NONE}</p> }.into_any())
    };
    view! {
        <section class="card">
            <h2>
                {words::HEADING} " "
                <span class="faint num">{move || ids.with(Vec::len).to_string()}</span>
            </h2>
            {empty}
            <ul class="found-list">
                <For
                    each=move || ids.get()
                    key=|id| *id
                    children=move |id| view! { <Line store id /> }
                />
            </ul>
        </section>
    }
    .into_any()
}

#[component]
fn Line(store: Store, id: FindingId) -> impl IntoView {
    let finding = Memo::new(move |_| {
        store.harness.with(|harness| {
            harness
                .findings
                .iter()
                .find(|found| found.id == id)
                .cloned()
        })
    });
    let taken_back = move || {
        finding.with(|found| {
            found
                .as_ref()
                .is_some_and(|found| found.standing == Standing::TakenBack)
        })
    };
    let turn = move |_| {
        let standing = if taken_back() {
            Standing::Counts
        } else {
            Standing::TakenBack
        };
        store.change(Command::SetStanding {
            finding: id,
            standing,
        });
    };
    let says = move || {
        let found = finding.get()?;
        Some(
            store
                .harness
                .with(|harness| words::sentence(harness, &found)),
        )
    };
    let beside = move || {
        let found = finding.get()?;
        let expected = expected(store, &found)?;
        Some(view! { <p class="faint small num">{words::expected(&expected)}</p> }.into_any())
    };
    let away = move || {
        let found = finding.get()?;
        let asks = Question::of(&found).0.can_be_passed_while_away();
        let is_away = found.fault_then == FaultThen::Away;
        (asks && found.standing == Standing::Counts).then(|| {
            let turn = move |_| {
                let fault_then = if is_away {
                    FaultThen::Unknown
                } else {
                    FaultThen::Away
                };
                store.change(Command::SetFaultThen {
                    finding: id,
                    fault_then,
                });
            };
            view! {
                <label class="switch">
                    <input type="checkbox" prop:checked=is_away on:change=turn />
                    <span>{words::AWAY}</span>
                </label>
            }
            .into_any()
        })
    };
    // Which cylinders work is said, and said anew, with their buttons.
    let changing = RwSignal::new(false);
    let change = move || {
        let found = finding.get()?;
        let marks = matches!(found.seen, Seen::Contribution { .. });
        if marks || found.standing != Standing::Counts {
            return None;
        }
        if changing.get() {
            return Some(form::change(store, &found, changing));
        }
        Some(
            view! {
                <button type="button" class="link" on:click=move |_| changing.set(true)>
                    {words::CHANGE}
                </button>
            }
            .into_any(),
        )
    };
    let state = move || taken_back().then_some("taken-back");
    let tag = move || {
        taken_back().then(|| view! { <span class="tag">{words::TAKEN_BACK}</span> }.into_any())
    };
    let act = move || {
        if taken_back() {
            words::PUT_BACK.said()
        } else {
            words::TAKE_BACK.said()
        }
    };
    let mended = store
        .harness
        .with_untracked(|harness| harness.is_after_mending(id))
        .then(|| view! { <span class="tag">{ON_MENDED}</span> }.into_any());
    view! {
        <li class="found" data-state=state>
            <div class="found-words">
                <p>{says} " " {tag} {mended}</p>
                {beside}
            </div>
            <button type="button" class="button" on:click=turn>{act}</button>
            {away}
            {change}
        </li>
    }
    .into_any()
}

/// What a healthy car would have shown, where a meter was used.
pub(super) fn expected(store: Store, finding: &Finding) -> Option<String> {
    let (red, black, usual) = match &finding.seen {
        Seen::Volts {
            red,
            black: Some(black),
            ..
        } => (*red, *black, Setup::key_on()),
        Seen::Drop { red, black, .. } => (*red, *black, Setup::idling()),
        Seen::Resistance { red, black, .. } => (*red, *black, Setup::battery_off()),
        Seen::Volts { black: None, .. }
        | Seen::Contribution { .. }
        | Seen::Spark { .. }
        | Seen::Lamp { .. }
        | Seen::Look { .. }
        | Seen::Stress { .. }
        | Seen::Substituted { .. }
        | Seen::Swapped { .. }
        | Seen::Cleaned { .. }
        | Seen::Remade { .. }
        | Seen::Code { .. }
        | Seen::Compression { .. } => return None,
    };
    let setup = finding.setup.clone().unwrap_or(usual);
    let circuit = store.meter.circuit.get()?;
    let solution = Solution::of(&circuit, &setup, &Alteration::default());
    let reading = solution.reading(red, black).ok()?;
    Some(measure(reading.value))
}
