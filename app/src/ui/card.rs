//! What stands on cards: terms with what they are, what to mind, one of several ways.

use leptos::prelude::*;

use super::lines::by_place;
use crate::edge::page;

/// A term and what it is, as a line of a list of facts.
pub fn fact(term: &'static str, value: String) -> AnyView {
    line(term.into_any(), value.into_any())
}

/// The same of what changes.
pub fn living_fact(term: &'static str, value: Signal<String>) -> AnyView {
    line(term.into_any(), (move || value.get()).into_any())
}

/// [`living_fact`] whose term follows as well.
pub fn named_fact(term: Signal<&'static str>, value: Signal<String>) -> AnyView {
    line(
        (move || term.get()).into_any(),
        (move || value.get()).into_any(),
    )
}

fn line(term: AnyView, value: AnyView) -> AnyView {
    view! {
        <div class="fact">
            <dt>{term}</dt>
            <dd>{value}</dd>
        </div>
    }
    .into_any()
}

/// What to mind before an act, under `heading`; nothing where there is nothing to mind.
pub fn caution(heading: &'static str, lines: Vec<impl Into<String>>) -> AnyView {
    if lines.is_empty() {
        return ().into_any();
    }
    let lines: Vec<AnyView> = lines
        .into_iter()
        .map(|line| view! { <p>{line.into()}</p> }.into_any())
        .collect();
    view! {
        <div class="caution" role="note">
            <strong>{heading}</strong>
            {lines}
        </div>
    }
    .into_any()
}

/// One of several ways, pressed while `is_on`. `class` is that of its style sheet.
pub fn choice(
    name: impl Into<String>,
    class: &'static str,
    is_on: impl Fn() -> bool + Send + 'static,
    choose: impl Fn() + 'static,
) -> AnyView {
    let pressed = move || if is_on() { "true" } else { "false" };
    view! {
        <button type="button" class=class aria-pressed=pressed on:click=move |_| choose()>
            {name.into()}
        </button>
    }
    .into_any()
}

/// What could be done instead, folded: each with its name and what it costs; the `chosen` one is marked.
pub fn instead(
    heading: &'static str,
    ways: Signal<Vec<(String, String)>>,
    chosen: RwSignal<usize>,
) -> AnyView {
    let many = Memo::new(move |_| ways.with(Vec::len));
    let some = Memo::new(move |_| many.get() > 1);
    let card = move || {
        let rows = by_place(many.into(), move |place| way(ways, place, chosen));
        view! {
            <details class="card">
                <summary><h3>{heading}</h3></summary>
                <ul class="rows">{rows}</ul>
            </details>
        }
        .into_any()
    };
    view! { {move || some.get().then(card)} }.into_any()
}

fn way(ways: Signal<Vec<(String, String)>>, place: usize, chosen: RwSignal<usize>) -> AnyView {
    let way = move || ways.with(|ways| ways.get(place).cloned().unwrap_or_default());
    let current = move || (chosen.get() == place).then_some("true");
    let choose = move |_| {
        chosen.set(place);
        page::scroll_to_start(".side");
    };
    view! {
        <li>
            <button type="button" class="row" aria-current=current on:click=choose>
                <span class="grow">
                    {move || way().0} " " <span class="sub">{move || way().1}</span>
                </span>
            </button>
        </li>
    }
    .into_any()
}
