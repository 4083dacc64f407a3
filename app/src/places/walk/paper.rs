//! A walk on one page, to be taken to the car without a screen.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::model::Harness;
use sparktrail_core::walkthrough::{Caution, Step};

use super::super::words::meter as meter_words;
use super::super::words::walk as words;
use super::{Now, step};
use crate::edge::page;
use crate::ui::{Sheet, SheetActs};

/// The sheet.
pub(super) fn sheet(open: RwSignal<bool>, now: &Arc<Now>) -> AnyView {
    let close = Callback::new(move |()| open.set(false));
    let now = StoredValue::new(Arc::clone(now));
    view! {
        <Sheet open close title=words::SHEET.said()>
            <p class="faint">{words::SHEET_LEAD}</p>
            <SheetActs>
                <button
                    type="button"
                    class="button"
                    data-weight="strong"
                    on:click=|_| page::print()
                >
                    {words::PRINT}
                </button>
            </SheetActs>
            {now.with_value(|now| body(now))}
        </Sheet>
    }
    .into_any()
}

fn body(now: &Now) -> AnyView {
    let harness = &now.harness;
    let steps = now.walk.sheet(harness);
    let mut setup = None;
    let rows: Vec<AnyView> = steps
        .iter()
        .enumerate()
        .map(|(place, step)| {
            // How the car stands is told where it changes.
            let stands = meter_words::setup(harness, &step.setup);
            let told = (setup.as_ref() != Some(&stands)).then(|| stands.clone());
            setup = Some(stands);
            row(harness, place, step, told)
        })
        .collect();
    let mut mind: Vec<Caution> = steps
        .iter()
        .flat_map(|step| step.cautions(harness))
        .collect();
    mind.sort_unstable();
    mind.dedup();
    let mind: Vec<AnyView> = mind
        .into_iter()
        .map(|caution| view! { <li>{words::caution(caution)}</li> }.into_any())
        .collect();
    let head: Vec<AnyView> = words::SHEET_HEAD
        .into_iter()
        .map(|name| view! { <th scope="col">{name}</th> }.into_any())
        .collect();
    view! {
        <article class="report walk-sheet">
            <h3>{words::kind(harness, now.walk.kind())}</h3>
            <p>{super::super::words::start::titled(&harness.title).to_owned()}</p>
            <ul class="small">{mind}</ul>
            <table>
                <thead>
                    <tr>{head}</tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </article>
    }
    .into_any()
}

fn row(harness: &Harness, place: usize, step: &Step, stands: Option<String>) -> AnyView {
    let expected = step
        .expected(harness)
        .map(|expected| step::in_a_line(step, &expected))
        .unwrap_or_default();
    let places = step
        .probes()
        .map(|probes| step::places(harness, step, probes));
    let stands = stands.map(|stands| view! { <strong>{stands} ". "</strong> }.into_any());
    view! {
        <tr>
            <td class="num">{(place + 1).to_string()}</td>
            <td>{stands} {words::task(harness, step)} " " {words::how(step)} " " {places}</td>
            <td class="num">{expected}</td>
            <td class="walk-blank"></td>
        </tr>
    }
    .into_any()
}
