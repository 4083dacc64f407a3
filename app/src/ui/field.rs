//! Lists that drop down, of which one entry is always chosen.

use leptos::ev::Event;
use leptos::prelude::*;

use crate::edge::events;

/// A list under its label: `at` is the place of the chosen entry from 0, `choose` is called with another one.
pub fn drop_down(
    label: &'static str,
    entries: impl IntoIterator<Item = impl Into<String>>,
    at: Signal<usize>,
    choose: Callback<usize>,
) -> AnyView {
    let options = options(entries.into_iter().map(Into::into).collect(), at);
    view! {
        <label class="field">
            <span>{label}</span>
            <select on:change=chosen(choose)>{options}</select>
        </label>
    }
    .into_any()
}

/// The same within a line that tells already what is chosen; `label` is for those who do not see it.
pub fn drop_down_in_line(
    label: String,
    entries: Vec<String>,
    at: Signal<usize>,
    choose: Callback<usize>,
) -> AnyView {
    let options = options(entries, at);
    view! {
        <select class="in-line" aria-label=label on:change=chosen(choose)>
            {options}
        </select>
    }
    .into_any()
}

fn options(entries: Vec<String>, at: Signal<usize>) -> Vec<AnyView> {
    let entries = entries.into_iter().enumerate();
    entries
        .map(|(place, entry)| {
            view! { <option prop:selected=move || at.get() == place>{entry}</option> }.into_any()
        })
        .collect()
}

fn chosen(choose: Callback<usize>) -> impl Fn(Event) {
    move |event| {
        if let Some(place) = events::chosen(&event) {
            choose.run(place);
        }
    }
}
