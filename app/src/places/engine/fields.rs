//! The ways to answer: a row or list of choices, a line of text.

use leptos::prelude::*;

/// One answer among several.
pub(super) struct Choice {
    /// Its words.
    pub(super) label: String,
    /// More about it; empty where there is nothing to say.
    pub(super) hint: Signal<String>,
}

impl Choice {
    pub(super) fn plain(label: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            hint: Signal::derive(String::new),
        }
    }

    pub(super) fn hinted(label: impl Into<String>, hint: Signal<String>) -> Self {
        Self {
            label: label.into(),
            hint,
        }
    }
}

/// Choices of which one holds: `at` is its place from 0, `go` is called with another one.
pub(super) fn choices(
    name: &'static str,
    all: Vec<Choice>,
    at: Signal<usize>,
    go: Callback<usize>,
) -> AnyView {
    let all: Vec<AnyView> = all
        .into_iter()
        .enumerate()
        .map(|(place, choice)| {
            let hint = choice.hint;
            let more = move || {
                let hint = hint.get();
                (!hint.is_empty())
                    .then(|| view! { <span class="faint small">{hint}</span> }.into_any())
            };
            view! {
                <label class="choice">
                    <input
                        type="radio"
                        name=name
                        prop:checked=move || at.get() == place
                        on:change=move |_| go.run(place)
                    />
                    <span class="choice-words">
                        <span class="choice-name">{choice.label}</span>
                        {more}
                    </span>
                </label>
            }
            .into_any()
        })
        .collect();
    view! { <div class="choices">{all}</div> }.into_any()
}

/// A line of text.
pub(super) fn line(
    label: String,
    text: Signal<String>,
    is_wrong: Signal<bool>,
    typed: Callback<String>,
) -> AnyView {
    view! {
        <label class="field">
            <span>{label}</span>
            <input
                type="text"
                autocomplete="off"
                maxlength="120"
                aria-invalid=move || is_wrong.get().then_some("true")
                prop:value=move || text.get()
                on:input:target=move |event| typed.run(event.target().value())
            />
        </label>
    }
    .into_any()
}
