//! My engine: a few questions, each with a proposal, from which the whole map is drawn.

mod answers;
mod fields;
mod more;
mod preview;

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::layouts::{Arrangement, DriversIn, write_order};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::Harness;

use super::palette::ThemeButton;
use super::trouble::{Trouble, TroubleNote};
use super::words::engine::{self as words, Refusal, Stand};
use crate::edge::{clock, page};
use crate::store::{Store, Tab};
use crate::ui::{Mark, drop_down};
use answers::{Answers, Others, marks};
use fields::{Choice, choices, line};

/// The heading, where the keyboard stands after all answers were taken back.
const HEAD: &str = "my-engine";
/// Counts that have a button of their own; the others stand in a list.
const COUNTS: [u8; 9] = [1, 2, 3, 4, 5, 6, 8, 10, 12];
const OTHER_COUNTS: [u8; 7] = [7, 9, 11, 13, 14, 15, 16];
const ARRANGEMENTS: [Arrangement; 4] = [
    Arrangement::Pairs,
    Arrangement::OneEach,
    Arrangement::Distributor,
    Arrangement::TwoDistributors,
];
const STANDS: [Stand; 3] = [Stand::Inline, Stand::Vee, Stand::Flat];
const DRIVERS: [DriversIn; 3] = [DriversIn::Unit, DriversIn::Module, DriversIn::Coil];

/// What was answered.
#[derive(Debug, Clone, PartialEq)]
struct Answered {
    answers: Answers,
    title: Option<String>,
    dead: BTreeSet<CylinderId>,
    others: Others,
}

impl Default for Answered {
    fn default() -> Self {
        Self {
            answers: Answers::default(),
            title: None,
            dead: BTreeSet::new(),
            others: Others::Work,
        }
    }
}

thread_local! {
    /// The answers as they were left: who comes back, by the browser's Back for one, finds them.
    static LEFT: RefCell<Answered> = RefCell::default();
}

/// Everything that is asked.
#[derive(Clone, Copy)]
struct Asked {
    answers: RwSignal<Answers>,
    title: RwSignal<Option<String>>,
    dead: RwSignal<BTreeSet<CylinderId>>,
    others: RwSignal<Others>,
    /// What the answers make; the drawing does not wait for name and marks.
    map: Memo<Result<Arc<Harness>, Refusal>>,
}

impl Asked {
    /// The questions as they were left, or with the proposals alone.
    fn again() -> Self {
        let left = LEFT.with_borrow(Answered::clone);
        let answers = RwSignal::new(left.answers);
        let asked = Self {
            answers,
            title: RwSignal::new(left.title),
            dead: RwSignal::new(left.dead),
            others: RwSignal::new(left.others),
            map: Memo::new(move |_| answers.with(|answers| answers.map().map(Arc::new))),
        };
        on_cleanup(move || LEFT.set(untrack(|| asked.answered())));
        asked
    }

    /// What is answered now. Tracked.
    fn answered(self) -> Answered {
        Answered {
            answers: self.answers.get(),
            title: self.title.get(),
            dead: self.dead.get(),
            others: self.others.get(),
        }
    }

    /// Back to the proposals.
    fn clear(self) {
        let fresh = Answered::default();
        self.answers.set(fresh.answers);
        self.title.set(fresh.title);
        self.dead.set(fresh.dead);
        self.others.set(fresh.others);
    }
}

/// The questions.
#[component]
pub fn MyEngine(
    /// The store.
    store: Store,
) -> impl IntoView {
    let asked = Asked::again();
    let refusal = Signal::derive(move || asked.map.with(|map| map.as_ref().err().cloned()));
    let trouble = RwSignal::new(None);
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        draw(store, asked, trouble);
    };
    page::scroll_to_top();
    // On a narrow screen there is no room for it beside the questions.
    let preview = page::is_wide().then(|| preview::preview(asked.map, asked.dead));
    view! {
        <div class="engine">
            <header class="start-head">
                <button
                    type="button"
                    class="button"
                    data-weight="quiet"
                    on:click=move |_| store.leave()
                >
                    <Mark />
                    {words::BACK}
                </button>
                <ThemeButton base=*store />
            </header>
            <main class="engine-main">
                <form class="engine-form" on:submit=submit>
                    <h1 id=HEAD tabindex="-1">
                        {words::HEADING}
                    </h1>
                    <p class="faint">{words::LEAD}</p>
                    {clear(asked)}
                    <TroubleNote trouble />
                    {cylinders(asked)}
                    {stand(asked)}
                    {order(asked, refusal)}
                    {coils(asked)}
                    {drivers(asked)}
                    {dead(asked)}
                    {more::more(asked.answers, asked.title, refusal)}
                    {finish(asked, refusal)}
                </form>
                {preview}
            </main>
        </div>
    }
    .into_any()
}

/// The button that takes all answers back, while there are any.
fn clear(asked: Asked) -> AnyView {
    let any = Memo::new(move |_| asked.answered() != Answered::default());
    let offer = move || {
        let offer = || {
            view! {
                <button
                    type="button"
                    class="button engine-clear"
                    on:click=move |_| {
                        asked.clear();
                        page::focus(HEAD);
                    }
                >
                    {words::CLEAR}
                </button>
            }
            .into_any()
        };
        any.get().then(offer)
    };
    view! { {offer} }.into_any()
}

/// One question with its answers.
fn question(legend: &'static str, hint: Option<&'static str>, body: AnyView) -> AnyView {
    let hint = hint.map(|hint| view! { <p class="faint small">{hint}</p> }.into_any());
    view! {
        <fieldset class="ask">
            <legend>{legend}</legend>
            {hint}
            {body}
        </fieldset>
    }
    .into_any()
}

fn cylinders(asked: Asked) -> AnyView {
    let answers = asked.answers;
    let count = Memo::new(move |_| answers.with(|answers| answers.cylinders));
    let at = move |counts: &[u8]| counts.iter().position(|one| *one == count.get());
    let buttons = COUNTS.iter().map(|count| Choice::plain(count.to_string()));
    let pick = move |cylinders: u8| answers.update(|answers| answers.count(cylinders));
    let body = view! {
        <div class="counts">
            {choices(
                "cylinders",
                buttons.collect(),
                Signal::derive(move || at(&COUNTS).unwrap_or(usize::MAX)),
                Callback::new(move |place: usize| {
                    COUNTS.get(place).copied().into_iter().for_each(pick);
                }),
            )}
            {drop_down(
                words::OTHER_COUNT.said(),
                words::OTHER_COUNTS.iter().copied(),
                Signal::derive(move || at(&OTHER_COUNTS).map_or(0, |place| place + 1)),
                Callback::new(move |place: usize| {
                    let count = place.checked_sub(1).and_then(|place| OTHER_COUNTS.get(place));
                    count.copied().into_iter().for_each(pick);
                }),
            )}
        </div>
    };
    question(words::CYLINDERS.said(), None, body.into_any())
}

fn stand(asked: Asked) -> AnyView {
    let answers = asked.answers;
    let at = move || {
        let now = answers.with(Answers::stands);
        STANDS.iter().position(|one| *one == now).unwrap_or(0)
    };
    let go = move |place: usize| {
        if let Some(stand) = STANDS.get(place) {
            answers.update(|answers| answers.stand_as(*stand));
        }
    };
    let all = STANDS.map(|stand| Choice::plain(words::stand(stand)));
    let body = choices("stand", all.into(), Signal::derive(at), Callback::new(go));
    question(words::STAND.said(), None, body)
}

fn order(asked: Asked, refusal: Signal<Option<Refusal>>) -> AnyView {
    let answers = asked.answers;
    let text = move || {
        answers.with(|answers| match (&answers.order, answers.fires()) {
            (Some(typed), _) => typed.clone(),
            (None, Ok(order)) => write_order(&order),
            (None, Err(_)) => String::new(),
        })
    };
    let is_wrong = move || matches!(refusal.get(), Some(Refusal::Order(_)));
    let typed = move |typed| {
        answers.update(|answers| {
            answers.order = Some(typed);
            answers.angles.clear();
        });
    };
    let note = move || match refusal.get() {
        Some(wrong @ Refusal::Order(_)) => words::refusal(&wrong),
        Some(_) | None if answers.with(|answers| answers.order.is_none()) => {
            words::ORDER_PROPOSED.into()
        }
        Some(_) | None => String::new(),
    };
    let body = view! {
        {line(
            words::ORDER.into(),
            Signal::derive(text),
            Signal::derive(is_wrong),
            Callback::new(typed),
        )}
        <p class="small" class:faint=move || !is_wrong() role="status">{note}</p>
    };
    view! { <div class="ask">{body}</div> }.into_any()
}

fn coils(asked: Asked) -> AnyView {
    let answers = asked.answers;
    let now = Memo::new(move |_| {
        answers.with(|answers| {
            let proposed = || answers.plan().ok().map(|plan| plan.arrangement);
            answers.coils.or_else(proposed)
        })
    });
    let at = move || {
        let place = |now| ARRANGEMENTS.iter().position(|one| *one == now);
        now.get().and_then(place).unwrap_or(usize::MAX)
    };
    let go = move |place: usize| {
        answers.update(|answers| answers.coils = ARRANGEMENTS.get(place).copied());
    };
    let all = ARRANGEMENTS.map(|arrangement| {
        let against = Memo::new(move |_| answers.with(|answers| answers.against(arrangement)));
        let hint = move || match against.get() {
            Some(error) => words::not_for_this_engine(&error),
            None => words::arrangement_hint(arrangement).into(),
        };
        Choice::hinted(words::arrangement(arrangement), Signal::derive(hint))
    });
    let body = choices("coils", all.into(), Signal::derive(at), Callback::new(go));
    question(words::COILS.said(), None, body)
}

fn drivers(asked: Asked) -> AnyView {
    let answers = asked.answers;
    let at = move || {
        let now = answers.with(|answers| answers.drivers);
        DRIVERS.iter().position(|one| *one == now).unwrap_or(0)
    };
    let go = move |place: usize| {
        if let Some(drivers) = DRIVERS.get(place) {
            answers.update(|answers| answers.drivers = *drivers);
        }
    };
    let all = DRIVERS.map(|drivers| Choice::plain(words::drivers(drivers)));
    let body = choices("drivers", all.into(), Signal::derive(at), Callback::new(go));
    question(
        words::DRIVERS.said(),
        Some(words::DRIVERS_HINT.said()),
        body,
    )
}

/// The cylinders as they stand on the engine; a tap turns one dead and back.
fn dead(asked: Asked) -> AnyView {
    let Asked { dead, others, .. } = asked;
    let rows = Memo::new(move |_| asked.answers.with(Answers::rows));
    let some = Memo::new(move |_| {
        let count = asked.answers.with(|answers| answers.cylinders);
        dead.with(|dead| dead.iter().any(|cylinder| cylinder.0 <= count))
    });
    let button = move |cylinder: CylinderId| {
        let is_dead = Memo::new(move |_| dead.with(|dead| dead.contains(&cylinder)));
        let state = move || match (is_dead.get(), some.get(), others.get()) {
            (true, _, _) => words::Said::Dead,
            (false, true, Others::Work) => words::Said::Works,
            (false, true, Others::Unsaid) | (false, false, _) => words::Said::Nothing,
        };
        let turn = move |_| {
            dead.update(|dead| {
                if !dead.remove(&cylinder) {
                    dead.insert(cylinder);
                }
            });
        };
        view! {
            <button
                type="button"
                class="cyl"
                data-state=move || state().state()
                aria-pressed=move || is_dead.get().to_string()
                aria-label=words::is_dead(cylinder)
                on:click=turn
            >
                <span class="num">{cylinder.to_string()}</span>
                <span class="cyl-word" aria-hidden="true">{move || state().word()}</span>
            </button>
        }
        .into_any()
    };
    let engine = move || {
        let rows = rows.get();
        let named = rows.len() > 1;
        rows.into_iter()
            .map(|(name, cylinders)| {
                let name =
                    named.then(|| view! { <span class="faint small">{name}</span> }.into_any());
                let buttons: Vec<AnyView> = cylinders.into_iter().map(button).collect();
                view! {
                    <div class="dead-row">
                        {name}
                        <div class="cyls">{buttons}</div>
                    </div>
                }
                .into_any()
            })
            .collect::<Vec<AnyView>>()
    };
    let rest = move || {
        if some.get() {
            let turn = move |_| {
                others.update(|others| {
                    *others = match others {
                        Others::Work => Others::Unsaid,
                        Others::Unsaid => Others::Work,
                    };
                });
            };
            view! {
                <label class="switch">
                    <input
                        type="checkbox"
                        prop:checked=move || others.get() == Others::Work
                        on:change=turn
                    />
                    <span>{words::OTHERS_WORK}</span>
                </label>
            }
            .into_any()
        } else {
            view! { <p class="faint small">{words::NOT_SURE}</p> }.into_any()
        }
    };
    let body = view! {
        <div class="dead-rows">{engine}</div>
        {rest}
    };
    question(
        words::DEAD.said(),
        Some(words::DEAD_HINT.said()),
        body.into_any(),
    )
}

/// What comes of the answers, and the button that draws it.
fn finish(asked: Asked, refusal: Signal<Option<Refusal>>) -> AnyView {
    let tells = move || match refusal.get() {
        Some(refusal) => words::refusal(&refusal),
        None => asked.map.with(|map| {
            map.as_ref()
                .map(|map| words::summary(map))
                .unwrap_or_default()
        }),
    };
    let refused = move || refusal.get().is_some();
    view! {
        <div class="engine-finish">
            <p class="small" class:refused=refused role="status">{tells}</p>
            <button type="submit" class="button" data-weight="strong" disabled=refused>
                {words::DRAW}
            </button>
        </div>
    }
    .into_any()
}

/// Makes the map a project and opens it: at the first test where cylinders are dead, else at the
/// place where that is said.
fn draw(store: Store, asked: Asked, trouble: RwSignal<Option<Trouble>>) {
    let Ok(map) = asked.map.get_untracked() else {
        return;
    };
    let (stands, count) = asked
        .answers
        .with_untracked(|answers| (answers.stands(), answers.cylinders));
    let mut harness = Harness::clone(&map);
    harness.title = asked
        .title
        .get_untracked()
        .map(|title| title.trim().to_owned())
        .filter(|title| !title.is_empty())
        .unwrap_or_else(|| words::title(stands, count));
    let others = asked.others.get_untracked();
    let marks = asked
        .dead
        .with_untracked(|dead| marks(count, dead, others, clock::timestamp()));
    let tab = if marks.is_some() {
        Tab::Next
    } else {
        Tab::Findings
    };
    if let Err(error) = store.open_new(harness, marks, tab) {
        trouble.set(Some(error.into()));
        page::scroll_to_top();
    }
}
