//! A message that stays until the person has read it.

use leptos::prelude::*;

use super::words::{start, trouble};
use crate::store::OpenError;

/// What went wrong, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Trouble {
    /// What it is about.
    pub(super) heading: String,
    /// Each thing that is wrong.
    pub(super) lines: Vec<String>,
}

impl Trouble {
    /// One sentence says it all.
    pub(super) fn plain(heading: impl Into<String>) -> Self {
        Self {
            heading: heading.into(),
            lines: Vec::new(),
        }
    }
}

impl From<OpenError> for Trouble {
    fn from(error: OpenError) -> Self {
        let (heading, lines) = trouble::not_opened(&error);
        Self { heading, lines }
    }
}

/// Shows the message, if there is one.
#[component]
pub(super) fn TroubleNote(
    /// The message.
    trouble: RwSignal<Option<Trouble>>,
) -> impl IntoView {
    move || {
        trouble.get().map(|found| {
            let lines: Vec<AnyView> = found
                .lines
                .into_iter()
                .map(|line| view! { <li>{line}</li> }.into_any())
                .collect();
            let untouched = (!lines.is_empty()).then(|| trouble::UNTOUCHED.said());
            view! {
                <div class="alarm" role="alert">
                    <h2>{found.heading}</h2>
                    <ul>{lines}</ul>
                    <p class="small">{untouched}</p>
                    <button type="button" class="button" on:click=move |_| trouble.set(None)>
                        {start::CLOSE}
                    </button>
                </div>
            }
            .into_any()
        })
    }
}
