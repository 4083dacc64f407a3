//! One cell: what it says, or the field that types over it.

use leptos::prelude::*;
use sparktrail_core::provenance::Provenance;
use sparktrail_core::table::{Column, Row, cells};

use super::super::selection::source;
use super::super::words::facts::provenance;
use super::super::words::table as words;
use super::desk::{Desk, FIELD, Held, cell_id, text};
use super::swatch::swatch;
use crate::edge::events;

const TERMINALS: &str = "pin-terminals";

pub(super) fn cell(
    desk: Desk,
    held: Held,
    row: &Row,
    (active, editing): (Option<Column>, Option<Column>),
    clash: Option<AnyView>,
) -> AnyView {
    let Held { column, .. } = held;
    let clashes = clash.is_some().then_some("true");
    let is_here = active == Some(column);
    let inside = if editing == Some(column) {
        field(desk, held, row)
    } else {
        says(row, column)
    };
    let role = if column == Column::Pin {
        "rowheader"
    } else {
        "gridcell"
    };
    let tap = move |_| {
        let again = desk.active.get_untracked() == Some(held);
        if desk.editing.get_untracked() == Some(held) {
            return;
        }
        if desk.keep() {
            if again {
                desk.begin(held, None);
            } else {
                desk.stand(held);
            }
        }
    };
    view! {
        <td
            id=cell_id(held)
            role=role
            data-column=word(column)
            data-here=is_here.then_some("true")
            data-clash=clashes
            on:click=tap
        >
            {inside}
            {clash}
        </td>
    }
    .into_any()
}

/// The sign in a cell of which something else is said too.
pub(super) fn clash() -> AnyView {
    view! {
        <span class="pin-clash" role="img" title=words::CLASH aria-label=words::CLASH>
            "≠"
        </span>
    }
    .into_any()
}

/// A word for attributes.
const fn word(column: Column) -> &'static str {
    match column {
        Column::Unit => "unit",
        Column::Pin => "pin",
        Column::Colour => "colour",
        Column::Area => "size",
        Column::Metres => "length",
        Column::GoesTo => "goes-to",
        Column::Known => "known",
        Column::Note => "note",
        Column::Base
        | Column::Tracer
        | Column::Gauge
        | Column::Centimetres
        | Column::Millimetres
        | Column::FarPin
        | Column::LeftOut => "other",
    }
}

fn says(row: &Row, column: Column) -> AnyView {
    let said = text(row, column);
    if said.is_empty() {
        return view! { <span class="faint" aria-label=words::NOTHING>"–"</span> }.into_any();
    }
    match column {
        Column::Colour => view! {
            <span class="pin-colour">{swatch(row.colour)}<span>{said}</span></span>
        }
        .into_any(),
        Column::Known => match row.how {
            Some(how) => {
                view! { <span class="tag" data-source=source(how)>{provenance(how)}</span> }
                    .into_any()
            }
            None => ().into_any(),
        },
        Column::Metres => view! { <span class="num">{said} " m"</span> }.into_any(),
        Column::Area => {
            let unit = match row.size {
                Some(sparktrail_core::model::WireSize::Area(_)) => " mm²",
                Some(sparktrail_core::model::WireSize::Awg(_)) | None => "",
            };
            view! { <span class="num">{said} {unit}</span> }.into_any()
        }
        Column::Unit
        | Column::Pin
        | Column::Base
        | Column::Tracer
        | Column::Gauge
        | Column::Centimetres
        | Column::Millimetres
        | Column::GoesTo
        | Column::FarPin
        | Column::Note
        | Column::LeftOut => view! { <span class="num">{said}</span> }.into_any(),
    }
}

/// The field that types over a cell.
fn field(desk: Desk, held: Held, row: &Row) -> AnyView {
    let label = words::editing(held.column, &row.unit, &row.pin);
    if held.column == Column::Known {
        return how(desk, row, label);
    }
    let invalid = move || desk.trouble.with(Option::is_some).then_some("true");
    let list = (held.column == Column::GoesTo).then(|| terminals(desk));
    let listed = list.is_some().then_some(TERMINALS);
    // Put away by Esc or Enter the field leaves the page too: then there is nothing to keep.
    let left = move |_| {
        if desk.editing.get_untracked() == Some(held)
            && desk.write(held, &desk.draft.get_untracked())
        {
            desk.editing.set(None);
        }
    };
    view! {
        <input
            type="text"
            id=FIELD
            autocomplete="off"
            spellcheck="false"
            aria-label=label
            aria-invalid=invalid
            list=listed
            prop:value=move || desk.draft.get()
            on:input:target=move |event| desk.draft.set(event.target().value())
            on:blur=left
        />
        {list}
    }
    .into_any()
}

/// Every terminal to choose from.
fn terminals(desk: Desk) -> AnyView {
    let options: Vec<AnyView> = desk.names.with_untracked(|names| {
        let names = names.terminals();
        names
            .map(|(name, _)| view! { <option value=name.to_owned() /> }.into_any())
            .collect()
    });
    view! { <datalist id=TERMINALS>{options}</datalist> }.into_any()
}

fn how(desk: Desk, row: &Row, label: String) -> AnyView {
    const ALL: [Provenance; 3] = [
        Provenance::Assumed,
        Provenance::Diagram,
        Provenance::Measured,
    ];
    let options: Vec<AnyView> = ALL
        .into_iter()
        .map(|how| {
            view! { <option selected=row.how == Some(how)>{provenance(how)}</option> }.into_any()
        })
        .collect();
    let chosen = move |event: leptos::ev::Event| {
        let how = events::chosen(&event).and_then(|place| ALL.get(place).copied());
        if let Some(how) = how {
            desk.draft.set(cells::write_how(how).into());
            desk.keep();
        }
    };
    view! {
        <select id=FIELD aria-label=label on:change=chosen>
            {options}
        </select>
    }
    .into_any()
}
