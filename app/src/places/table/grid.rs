//! The rows: what shows above them, the grid, and the bar below that helps with the cell in hand.

use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::gather::Arrange;
use sparktrail_core::model::{Colour, Harness, PartId, PartKind};
use sparktrail_core::table::{Column, RowAt, Scope, Separator, facts_of, write};
use sparktrail_core::topology::Pick;

use super::super::editor::told;
use super::super::map_file::save_rows;
use super::super::words::table as words;
use super::cell;
use super::desk::{COLUMNS, Desk, GRID, Held, Mode, Sorted, cell_id, pick, row_id};
use super::swatch::swatch;
use crate::edge::{canvas, events, share};
use crate::store::Store;

pub(super) fn place(desk: Desk) -> AnyView {
    view! {
        {tools(desk)}
        {grid(desk)}
        {bar(desk)}
    }
    .into_any()
}

/// The parts that have rows of their own to look at: those with pins first, then those with terminals.
pub(super) fn units(harness: &Harness) -> Vec<(PartId, String)> {
    let mut units: Vec<(u8, PartId, String)> = harness
        .parts
        .iter()
        .filter_map(|(&id, part)| {
            let rank = match &part.kind {
                PartKind::ControlUnit(_) => 0,
                PartKind::Connector(_) => 1,
                PartKind::Coil(_) | PartKind::Injector(_) => 2,
                PartKind::Battery(_) | PartKind::Fuse(_) | PartKind::KeySwitch => 3,
                PartKind::Relay(_) | PartKind::Splice | PartKind::Ground(_) => 4,
                PartKind::Pack | PartKind::Distributor(_) | PartKind::Lead(_) => return None,
                PartKind::Plug(_) => return None,
            };
            Some((rank, id, part.name.clone()))
        })
        .collect();
    units.arrange_by_key(|(rank, id, _)| (*rank, *id));
    units.into_iter().map(|(_, id, name)| (id, name)).collect()
}

/// Which rows show, and what can be done with all of them.
fn tools(desk: Desk) -> AnyView {
    let units = Memo::new(move |_| desk.store.told.with(|harness| units(harness)));
    let options = move || {
        units
            .get()
            .into_iter()
            .map(|(id, name)| {
                let chosen = move || desk.scope.get() == Scope::Part(id);
                view! { <option selected=chosen>{name}</option> }.into_any()
            })
            .collect::<Vec<AnyView>>()
    };
    let choose = move |event: leptos::ev::Event| {
        let Some(place) = events::chosen(&event) else {
            return;
        };
        let part = place
            .checked_sub(1)
            .and_then(|place| units.with_untracked(|units| units.get(place).map(|(id, _)| *id)));
        desk.scope.set(part.map_or(Scope::All, Scope::Part));
    };
    let size = move || {
        let shown = desk.shown.with(Vec::len);
        words::shown(shown, desk.all.with(Vec::len))
    };
    view! {
        <div class="pin-tools">
            <label class="field">
                <span>{words::UNIT}</span>
                <select on:change=choose>
                    <option selected=move || desk.scope.get() == Scope::All>{words::ALL_UNITS}</option>
                    {options}
                </select>
            </label>
            <label class="field">
                <span>{words::FILTER}</span>
                <input
                    type="search"
                    placeholder=words::FILTER_HINT
                    autocomplete="off"
                    prop:value=move || desk.filter.get()
                    on:input:target=move |event| desk.filter.set(event.target().value())
                />
            </label>
            <div class="pin-acts">
                <button type="button" class="button" on:click=move |_| desk.mode.set(Mode::Paste)>
                    {words::PASTE}
                </button>
                <button type="button" class="button" on:click=move |_| copy(desk)>
                    {words::COPY}
                </button>
                <button type="button" class="button" on:click=move |_| save(desk)>
                    {words::SAVE}
                </button>
            </div>
            <p class="faint small num pin-size" role="status">{size}</p>
        </div>
        {move || by_hand(desk)}
    }
    .into_any()
}

/// The rows that show, in their order, onto the clipboard as a spreadsheet takes them.
fn copy(desk: Desk) {
    let shown = desk.shown.get_untracked();
    let text = desk.rows.with_untracked(|rows| {
        let rows = shown.iter().filter_map(|at| rows.get(at));
        write(rows, Separator::Tab)
    });
    let session = desk.store.session;
    let count = shown.len();
    spawn_local(async move {
        if share::copy(&text).await {
            desk.by_hand.set(None);
            session.say(words::copied(count), None);
        } else {
            desk.by_hand.set(Some(text));
        }
    });
}

/// The rows that show, in their order, as a file.
fn save(desk: Desk) {
    let shown = desk.shown.get_untracked();
    desk.rows.with_untracked(|rows| {
        let rows = shown.iter().filter_map(|at| rows.get(at));
        save_rows(*desk.store, rows);
    });
}

fn by_hand(desk: Desk) -> AnyView {
    let Some(text) = desk.by_hand.get() else {
        return ().into_any();
    };
    view! {
        <div class="alarm pin-by-hand">
            <p>{words::NOT_COPIED}</p>
            <textarea rows="4" readonly=true aria-label=words::COPY_BY_HAND prop:value=text />
            <button type="button" class="button" on:click=move |_| desk.by_hand.set(None)>
                {words::DONE}
            </button>
        </div>
    }
    .into_any()
}

fn grid(desk: Desk) -> AnyView {
    let heads: Vec<AnyView> = COLUMNS
        .into_iter()
        .map(|column| head(desk, column))
        .collect();
    let active = move || desk.active.get().map(cell_id);
    let none = move || {
        if !desk.shown.with(Vec::is_empty) {
            return ().into_any();
        }
        let words = if desk.all.with(Vec::is_empty) {
            words::EMPTY
        } else {
            words::NO_ROWS
        };
        view! { <p class="faint pin-none">{words}</p> }.into_any()
    };
    view! {
        <div class="pin-scroll">
            <table
                id=GRID
                class="pin-grid"
                role="grid"
                tabindex="0"
                aria-label=words::TABLE
                aria-activedescendant=active
                aria-rowcount=move || (desk.shown.with(Vec::len) + 1).to_string()
                on:keydown=move |event| press(desk, &event)
            >
                <thead>
                    <tr role="row">{heads}</tr>
                </thead>
                <tbody>
                    <For each=move || desk.shown.get() key=|at| *at children=move |at| row(desk, at) />
                </tbody>
            </table>
            {none}
        </div>
    }
    .into_any()
}

/// The head of a column: it sorts.
fn head(desk: Desk, column: Column) -> AnyView {
    let sorted = desk.sorted;
    let state = move || match sorted.get() {
        Sorted::Up(by) if by == column => "ascending",
        Sorted::Down(by) if by == column => "descending",
        Sorted::Usual | Sorted::Up(_) | Sorted::Down(_) => "none",
    };
    let turn = move |_| {
        sorted.update(|sorted| {
            *sorted = match *sorted {
                Sorted::Up(by) if by == column => Sorted::Down(column),
                Sorted::Down(by) if by == column => Sorted::Usual,
                Sorted::Usual | Sorted::Up(_) | Sorted::Down(_) => Sorted::Up(column),
            };
        });
    };
    let mark = move || match sorted.get() {
        Sorted::Up(by) if by == column => "↑",
        Sorted::Down(by) if by == column => "↓",
        Sorted::Usual | Sorted::Up(_) | Sorted::Down(_) => "",
    };
    view! {
        <th role="columnheader" scope="col" aria-sort=state>
            <button type="button" on:click=turn>
                {words::head(column)}
                <span aria-hidden="true">{mark}</span>
            </button>
        </th>
    }
    .into_any()
}

fn row(desk: Desk, at: RowAt) -> AnyView {
    let says = Memo::new(move |_| {
        desk.rows
            .with(|rows| rows.get(&at).cloned().unwrap_or_default())
    });
    let of = move |held: Option<Held>| held.filter(|held| held.at == at).map(|held| held.column);
    let active = Memo::new(move |_| of(desk.active.get()));
    let editing = Memo::new(move |_| of(desk.editing.get()));
    let picked = Memo::new(move |_| is_picked(desk.store, at));
    let clashing = Memo::new(move |_| clashing(desk.store, at));
    let cells = move || {
        let (active, editing) = (active.get(), editing.get());
        let clashing = clashing.get();
        says.with(|row| {
            let cell = |column| {
                let held = Held { at, column };
                let clash = clashing.contains(&column);
                cell::cell(desk, held, row, (active, editing), clash.then(cell::clash))
            };
            COLUMNS.into_iter().map(cell).collect::<Vec<AnyView>>()
        })
    };
    let hovered = desk.store.session.hovered;
    view! {
        <tr
            role="row"
            id=row_id(at)
            aria-selected=move || if picked.get() { "true" } else { "false" }
            on:pointerenter=move |_| hovered.set(pick(at))
            on:pointerleave=move |_| hovered.set(None)
        >
            {cells}
        </tr>
    }
    .into_any()
}

/// The cells of a row of which something else is said too. Tracked.
fn clashing(store: Store, at: RowAt) -> Vec<Column> {
    store.told.with(|harness| {
        if harness.rivals.is_empty() {
            return Vec::new();
        }
        let clashes = |column: &Column| {
            let mut facts = facts_of(at, *column).into_iter();
            facts.any(|fact| harness.rivals_of(fact).next().is_some())
        };
        COLUMNS.into_iter().filter(clashes).collect()
    })
}

/// Whether the map has picked the row's wire or its terminal.
fn is_picked(store: Store, at: RowAt) -> bool {
    match store.session.picked.get() {
        Some(Pick::Wire(wire)) => at.wire.is_some_and(|(id, _)| id == wire),
        Some(Pick::Terminal(terminal)) => at.terminal == Some(terminal),
        Some(Pick::Part(_) | Pick::Element(_) | Pick::Driver(_) | Pick::Cylinder(_)) | None => {
            false
        }
    }
}

/// A key pressed on the grid or in the field of a cell.
fn press(desk: Desk, event: &KeyboardEvent) {
    if event.ctrl_key() || event.meta_key() || event.alt_key() {
        return;
    }
    let key = event.key();
    let back = event.shift_key();
    if desk.editing.get_untracked().is_some() {
        match key.as_str() {
            "Enter" => {
                event.prevent_default();
                if desk.keep() {
                    desk.step(if back { -1 } else { 1 }, 0);
                }
            }
            "Tab" => {
                event.prevent_default();
                if desk.keep() {
                    desk.step(0, if back { -1 } else { 1 });
                }
            }
            "Escape" => {
                event.prevent_default();
                desk.let_be();
            }
            // Fast fingers are ahead of the field: what they type on the grid belongs into it.
            letter if letter.chars().count() == 1 && canvas::has_focus(GRID) => {
                event.prevent_default();
                desk.draft.update(|draft| draft.push_str(letter));
            }
            _ => {}
        }
        return;
    }
    // The heads of the columns are buttons of their own.
    if !canvas::has_focus(GRID) {
        return;
    }
    let held = desk.active.get_untracked();
    match (key.as_str(), held) {
        ("ArrowDown", _) => desk.step(1, 0),
        ("ArrowUp", _) => desk.step(-1, 0),
        ("ArrowRight", _) => desk.step(0, 1),
        ("ArrowLeft", _) => desk.step(0, -1),
        ("PageDown", _) => desk.step(10, 0),
        ("PageUp", _) => desk.step(-10, 0),
        ("Home", _) => desk.step(0, -99),
        ("End", _) => desk.step(0, 99),
        ("Enter" | "F2", Some(held)) => desk.begin(held, None),
        ("Delete" | "Backspace", Some(held)) => {
            if held.column == Column::Known || held.column == Column::Unit {
                return;
            }
            desk.write(held, "");
        }
        (letter, Some(held)) if letter.chars().count() == 1 && letter != " " => {
            let typed = (held.column != Column::Known).then(|| letter.to_owned());
            desk.begin(held, typed);
        }
        _ => return,
    }
    event.prevent_default();
}

/// What helps with the cell in hand: why it cannot say so, the colours, or how the table is worked.
fn bar(desk: Desk) -> AnyView {
    let trouble = move || {
        let said = desk.trouble.get()?;
        Some(view! { <p class="wrong" role="alert">{said}</p> }.into_any())
    };
    let palette = Memo::new(move |_| {
        desk.editing
            .get()
            .is_some_and(|held| held.column == Column::Colour)
    });
    let help = move || {
        if palette.get() {
            colours(desk)
        } else {
            view! { <p class="faint small">{words::HINT}</p> }.into_any()
        }
    };
    let clashes = move || {
        let facts = desk.active.get().map(|held| facts_of(held.at, held.column));
        let facts = facts.into_iter().flatten();
        facts
            .map(|at| told(desk.store, at))
            .collect::<Vec<AnyView>>()
    };
    view! {
        <div class="pin-bar">
            {trouble}
            {clashes}
            {help}
        </div>
    }
    .into_any()
}

fn colours(desk: Desk) -> AnyView {
    let buttons: Vec<AnyView> = Colour::ALL
        .iter()
        .map(|&colour| {
            let piece = swatch(Some(sparktrail_core::model::WireColour {
                base: colour,
                tracer: None,
            }));
            view! {
                <button
                    type="button"
                    title=colour.word()
                    // The field keeps the keyboard.
                    on:mousedown=|event| event.prevent_default()
                    on:click=move |_| add_colour(desk, colour)
                >
                    {piece}
                    {colour.code()}
                </button>
            }
            .into_any()
        })
        .collect();
    view! {
        <div class="pin-colours" role="group" aria-label=words::PALETTE>
            {buttons}
        </div>
    }
    .into_any()
}

/// The first colour is the base, the second the stripe; a third begins again.
fn add_colour(desk: Desk, colour: Colour) {
    desk.draft.update(|draft| {
        let base = draft.trim();
        *draft = if Colour::from_code(&base.to_uppercase()).is_some() {
            format!("{}/{}", base.to_uppercase(), colour.code())
        } else {
            colour.code().to_owned()
        };
    });
    canvas::focus_id(super::desk::FIELD);
}
