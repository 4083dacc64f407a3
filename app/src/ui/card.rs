//! What stands on cards: terms with what they are, what to mind, one of several ways.

use leptos::prelude::*;

/// A term and what it is, as a line of a list of facts.
pub fn fact(term: &'static str, value: String) -> AnyView {
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
