//! The box to paste rows into: the guess at their columns, what would change, and the button that does it.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::model::{Harness, PartId, PartKind, Side};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::table::{
    Clash, Column, Entry, Fate, Given, Heading, Pasted, Plan, Separator, TextError,
};

use super::super::entry::takes_back;
use super::super::words::facts::provenance;
use super::super::words::table as words;
use super::desk::{Desk, Mode};
use crate::edge::events;
use crate::store::Store;
use crate::ui::drop_down;

/// Rows that the guess shows.
const GUESSED_ROWS: usize = 4;
/// Changes and wrong rows that are listed.
const LISTED: usize = 40;

/// The box's signals.
#[derive(Clone, Copy)]
struct Sheet {
    desk: Desk,
    pasted: RwSignal<Option<Result<Pasted, TextError>>>,
    given: RwSignal<Given>,
    plan: Memo<Option<Result<Arc<Plan>, TextError>>>,
}

pub(super) fn place(desk: Desk) -> AnyView {
    let pasted = RwSignal::new(None::<Result<Pasted, TextError>>);
    let unit = desk
        .store
        .harness
        .with_untracked(|harness| usual_unit(harness));
    let given = RwSignal::new(Given {
        unit,
        ..Given::default()
    });
    let plan = Memo::new_with_compare(
        move |_| {
            let given = given.get();
            let harness = desk.store.harness.get();
            let names = desk.names.get();
            pasted.with(|pasted| {
                let pasted = match pasted.as_ref()? {
                    Ok(pasted) => pasted,
                    Err(error) => return Some(Err(*error)),
                };
                Some(Plan::of(&harness, &names, pasted, given).map(Arc::new))
            })
        },
        |_, _| true,
    );
    let sheet = Sheet {
        desk,
        pasted,
        given,
        plan,
    };
    let typed = move |text: String| {
        let names = desk.names.get_untracked();
        let blank = text.trim().is_empty();
        pasted.set((!blank).then(|| Pasted::guessed(&text, &names)));
    };
    view! {
        <section class="pin-paste" aria-label=words::PASTE_TITLE>
            <div class="pin-paste-inside">
                <h2>{words::PASTE_TITLE}</h2>
                <p class="faint">{words::PASTE_LEAD}</p>
                <label class="field">
                    <span>{words::PASTE_FIELD}</span>
                    <textarea
                        rows="7"
                        wrap="off"
                        spellcheck="false"
                        autocomplete="off"
                        on:input:target=move |event| typed(event.target().value())
                    />
                </label>
                {move || trouble(sheet)}
                {guess(sheet)}
                {move || outcome(sheet)}
            </div>
            {foot(sheet)}
        </section>
    }
    .into_any()
}

/// The unit that most pin tables are of.
fn usual_unit(harness: &Harness) -> Option<PartId> {
    let mut units = harness
        .parts
        .iter()
        .filter_map(|(&id, part)| matches!(part.kind, PartKind::ControlUnit(_)).then_some(id));
    units.next()
}

fn trouble(sheet: Sheet) -> AnyView {
    match sheet.plan.get() {
        Some(Err(error)) => {
            view! { <p class="alarm" role="alert">{words::text_error(error)}</p> }.into_any()
        }
        Some(Ok(_)) | None => ().into_any(),
    }
}

/// The table as it is taken, each column with its choice.
fn guess(sheet: Sheet) -> AnyView {
    let there = Memo::new(move |_| sheet.pasted.with(|pasted| matches!(pasted, Some(Ok(_)))));
    (move || {
        if !there.get() {
            return ().into_any();
        }
        view! {
            <section class="card">
                <h3>{words::GUESS}</h3>
                <p class="faint small">{words::GUESS_LEAD}</p>
                {choices(sheet)}
                {move || columns(sheet)}
            </section>
        }
        .into_any()
    })
    .into_any()
}

/// A list to choose from.
fn choice(
    label: &'static str,
    words: Vec<String>,
    chosen: impl Fn() -> usize + Send + Sync + 'static,
    choose: impl Fn(usize) + Send + Sync + 'static,
) -> AnyView {
    let at = Memo::new(move |_| chosen());
    drop_down(label, words, at.into(), Callback::new(choose))
}

fn choices(sheet: Sheet) -> AnyView {
    const HEADINGS: [Heading; 2] = [Heading::FirstRow, Heading::None];
    const HOWS: [Provenance; 3] = [
        Provenance::Assumed,
        Provenance::Diagram,
        Provenance::Measured,
    ];
    let names = sheet.desk.names.get_untracked();
    let pasted = sheet.pasted;
    let taken = move |read: fn(&Pasted) -> usize| {
        pasted.with(|pasted| match pasted {
            Some(Ok(pasted)) => read(pasted),
            Some(Err(_)) | None => 0,
        })
    };
    let again = move |change: &dyn Fn(Pasted) -> Result<Pasted, TextError>| {
        pasted.update(|pasted| {
            if let Some(Ok(now)) = pasted.take() {
                *pasted = Some(change(now));
            }
        });
    };
    let by_name = Arc::clone(&names);
    let separator = choice(
        words::SEPARATOR.said(),
        Separator::ALL
            .map(|s| words::separator(s).to_owned())
            .into(),
        move || taken(|p| place_of(&Separator::ALL, p.separator)),
        move |place| {
            if let Some(separator) = Separator::ALL.get(place) {
                again(&|now| now.with_separator(*separator, &by_name));
            }
        },
    );
    let heading = choice(
        words::HEADING.said(),
        HEADINGS.map(|h| words::heading(h).to_owned()).into(),
        move || taken(|p| place_of(&HEADINGS, p.heading)),
        move |place| {
            if let Some(heading) = HEADINGS.get(place) {
                again(&|now| Ok(now.with_heading(*heading, &names)));
            }
        },
    );
    let units = sheet
        .desk
        .store
        .harness
        .with_untracked(|harness| hosts(harness));
    let labels = units.iter().map(|host| host.name.clone());
    let labels = [words::NO_UNIT.to_owned()]
        .into_iter()
        .chain(labels)
        .collect();
    let hosts: Vec<(Option<PartId>, Side)> = [(None, Side::A)]
        .into_iter()
        .chain(units.iter().map(|host| (Some(host.part), host.side)))
        .collect();
    let known = hosts.clone();
    let given = sheet.given;
    let unit = choice(
        words::PASTE_UNIT.said(),
        labels,
        move || {
            let given = given.get();
            let is = |host: &(Option<PartId>, Side)| {
                host.0 == given.unit && (host.1 == given.side || host.0.is_none())
            };
            let loosely = |host: &(Option<PartId>, Side)| host.0 == given.unit;
            let place = known.iter().position(is);
            place
                .or_else(|| known.iter().position(loosely))
                .unwrap_or(0)
        },
        move |place| {
            if let Some((unit, side)) = hosts.get(place).copied() {
                given.update(|given| (given.unit, given.side) = (unit, side));
            }
        },
    );
    let how = choice(
        words::PASTE_HOW.said(),
        HOWS.map(|how| provenance(how).to_owned()).into(),
        move || place_of(&HOWS, given.get().how),
        move |place| {
            if let Some(how) = HOWS.get(place) {
                given.update(|given| given.how = *how);
            }
        },
    );
    view! { <div class="pin-choices">{separator}{heading}{unit}{how}</div> }.into_any()
}

fn place_of<T: PartialEq + Copy>(all: &[T], one: T) -> usize {
    all.iter().position(|other| *other == one).unwrap_or(0)
}

/// A part that pins can be on; an in-line connector stands once for each side.
struct Host {
    part: PartId,
    side: Side,
    name: String,
}

fn hosts(harness: &Harness) -> Vec<Host> {
    let mut hosts = Vec::new();
    for (part, name) in super::grid::units(harness) {
        let kind = harness.parts.get(&part).map(|part| &part.kind);
        if matches!(kind, Some(PartKind::Connector(_))) {
            hosts.extend([Side::A, Side::B].map(|side| Host {
                part,
                side,
                name: words::side_of(&name, side),
            }));
        } else {
            let side = Side::A;
            hosts.push(Host { part, side, name });
        }
    }
    hosts
}

/// The first rows under the choice of each column.
fn columns(sheet: Sheet) -> AnyView {
    let Some(Ok(pasted)) = sheet.pasted.get() else {
        return ().into_any();
    };
    let heads: Vec<AnyView> = pasted
        .columns
        .iter()
        .enumerate()
        .map(|(place, column)| {
            let options: Vec<AnyView> = Column::ALL
                .iter()
                .map(|other| {
                    view! { <option selected=other == column>{words::name(*other)}</option> }
                        .into_any()
                })
                .collect();
            let choose = move |event: leptos::ev::Event| {
                let chosen = events::chosen(&event).and_then(|at| Column::ALL.get(at).copied());
                if let Some(column) = chosen {
                    sheet.pasted.update(|pasted| {
                        if let Some(Ok(pasted)) = pasted {
                            pasted.choose(place, column);
                        }
                    });
                }
            };
            let left = (*column == Column::LeftOut).then_some("true");
            view! {
                <th scope="col" data-left-out=left>
                    <select aria-label=words::column(place) on:change=choose>{options}</select>
                </th>
            }
            .into_any()
        })
        .collect();
    let width = pasted.columns.len();
    let rows: Vec<AnyView> = pasted
        .records
        .iter()
        .take(GUESSED_ROWS)
        .enumerate()
        .map(|(place, record)| {
            let cells: Vec<AnyView> = (0..width)
                .map(|place| {
                    let cell = record.cells.get(place).cloned().unwrap_or_default();
                    view! { <td>{cell}</td> }.into_any()
                })
                .collect();
            let heading = (place == 0 && pasted.heading == Heading::FirstRow).then_some("true");
            view! { <tr data-heading=heading>{cells}</tr> }.into_any()
        })
        .collect();
    let more = pasted.records.len().saturating_sub(GUESSED_ROWS);
    let more = (more > 0)
        .then(|| view! { <p class="faint small">{words::more_rows(more)}</p> }.into_any());
    view! {
        <div class="pin-guess" tabindex="0" role="group" aria-label=words::GUESS>
            <table>
                <thead>
                    <tr>{heads}</tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
        {more}
    }
    .into_any()
}

/// What would change, and which rows are wrong.
fn outcome(sheet: Sheet) -> AnyView {
    let Some(Ok(plan)) = sheet.plan.get() else {
        return ().into_any();
    };
    let tally = plan.tally();
    let changes: Vec<AnyView> = plan.entries.iter().filter_map(entry).take(LISTED).collect();
    let more = (tally.changed + tally.new).saturating_sub(changes.len());
    let more = (more > 0)
        .then(|| view! { <li class="faint small">{words::more_changes(more)}</li> }.into_any());
    view! {
        {wrong(&plan)}
        <section class="card" aria-live="polite">
            <h3>{words::OUTCOME}</h3>
            <p class="pin-tally">{words::tally(tally)}</p>
            <ul class="pin-changes">{changes}{more}</ul>
        </section>
    }
    .into_any()
}

fn wrong(plan: &Plan) -> AnyView {
    let rows = plan.tally().wrong;
    if rows == 0 {
        return ().into_any();
    }
    let all = plan.errors().count();
    let listed: Vec<AnyView> = plan
        .errors()
        .take(LISTED)
        .map(|error| {
            view! {
                <li>
                    <strong class="num">{words::place(error)}</strong>
                    " "
                    {words::wrong(&error.wrong)}
                </li>
            }
            .into_any()
        })
        .collect();
    let more = all.saturating_sub(LISTED);
    let more = (more > 0).then(|| view! { <li>{words::more_wrong(more)}</li> }.into_any());
    view! {
        <div class="alarm pin-wrong">
            <h3>{words::wrong_rows(rows)}</h3>
            <ul>{listed}{more}</ul>
        </div>
    }
    .into_any()
}

/// A row that changes something.
fn entry(entry: &Entry) -> Option<AnyView> {
    let (changes, new) = match &entry.fate {
        Fate::Changed(changes) => (changes, None),
        Fate::New(changes) => (
            changes,
            Some(view! { <span class="tag">{words::NEW}</span> }),
        ),
        Fate::Same | Fate::Wrong(_) => return None,
    };
    let cells: Vec<AnyView> = changes
        .iter()
        .map(|change| {
            let clash = (change.clash != Clash::None).then(|| {
                view! { <span class="pin-clash small">{words::clash(change.clash)}</span> }
            });
            view! {
                <span class="pin-change">
                    {words::change(change.column, &change.before, &change.after)}
                    {clash}
                </span>
            }
            .into_any()
        })
        .collect();
    let row = view! {
        <li>
            <span class="faint num">{words::line(entry.line)}</span>
            <span class="pin-cells">{new}{cells}</span>
        </li>
    };
    Some(row.into_any())
}

fn foot(sheet: Sheet) -> AnyView {
    let desk = sheet.desk;
    let ready = move || match sheet.plan.get() {
        Some(Ok(plan)) if !plan.is_empty() => Some(plan),
        Some(Ok(_) | Err(_)) | None => None,
    };
    let name = move || {
        ready().map_or_else(
            || words::NOTHING_TO_APPLY.to_owned(),
            |plan| words::apply(plan.tally()),
        )
    };
    let apply = move |_| {
        if let Some(plan) = ready() {
            carry_out(desk, &plan);
        }
    };
    view! {
        <div class="pin-foot">
            <button type="button" class="button" on:click=move |_| desk.mode.set(Mode::Grid)>
                {words::CANCEL}
            </button>
            <button
                type="button"
                class="button"
                data-weight="strong"
                disabled=move || ready().is_none()
                on:click=apply
            >
                {name}
            </button>
        </div>
    }
    .into_any()
}

/// Carries the plan out as one step that can be taken back as one.
fn carry_out(desk: Desk, plan: &Plan) {
    let store: Store = desk.store;
    let Some(command) = plan.command(store.next_id()) else {
        return;
    };
    match store.dispatch(command) {
        Ok(()) => {
            let undo = takes_back(store, words::UNDO);
            store.session.say(words::applied(plan.tally()), Some(undo));
            desk.mode.set(Mode::Grid);
        }
        Err(error) => {
            let harness = store.harness_now();
            store.session.say(error.told(&harness), None);
        }
    }
}
