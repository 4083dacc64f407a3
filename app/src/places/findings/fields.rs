//! Fields of the form that choose from a list: a terminal, an element, a part, one of a few words.

use leptos::prelude::*;

use super::words;
use crate::edge::events;
use crate::ui::drop_down;

/// A group of choices under one heading; an empty heading makes no group.
pub(super) type Grouped<T> = Vec<(String, Vec<(T, String)>)>;

/// A list with nothing chosen at first.
#[component]
pub(super) fn Choice<T>(
    /// Its label.
    label: &'static str,
    /// The choices in groups.
    groups: Grouped<T>,
    /// What is chosen.
    chosen: RwSignal<Option<T>>,
) -> impl IntoView
where
    T: Copy + PartialEq + Send + Sync + 'static,
{
    let now = chosen.get_untracked();
    let mut all: Vec<T> = Vec::new();
    let mut lists: Vec<AnyView> = Vec::new();
    for (heading, entries) in groups {
        let options: Vec<AnyView> = entries
            .into_iter()
            .map(|(value, name)| {
                all.push(value);
                view! { <option selected=now == Some(value)>{name}</option> }.into_any()
            })
            .collect();
        lists.push(if heading.is_empty() {
            options.into_any()
        } else {
            view! { <optgroup label=heading>{options}</optgroup> }.into_any()
        });
    }
    let change = move |event: leptos::ev::Event| {
        let place = events::chosen(&event).and_then(|place| place.checked_sub(1));
        chosen.set(place.and_then(|place| all.get(place).copied()));
    };
    view! {
        <label class="field">
            <span>{label}</span>
            <select on:change=change>
                <option selected=now.is_none()>{words::CHOOSE}</option>
                {lists}
            </select>
        </label>
    }
    .into_any()
}

/// A list of a few words; one is always chosen.
#[component]
pub(super) fn Among(
    /// Its label.
    label: &'static str,
    /// The words.
    names: Vec<String>,
    /// The place of the one that is chosen.
    chosen: RwSignal<usize>,
) -> impl IntoView {
    drop_down(
        label,
        names,
        chosen.into(),
        Callback::new(move |place| chosen.set(place)),
    )
}

/// What was typed.
#[component]
pub(super) fn Typed(
    /// Its label.
    label: &'static str,
    /// The text.
    text: RwSignal<String>,
) -> impl IntoView {
    view! {
        <label class="field">
            <span>{label}</span>
            <input
                type="text"
                autocomplete="off"
                prop:value=move || text.get()
                on:input:target=move |event| text.set(event.target().value())
            />
        </label>
    }
    .into_any()
}
