//! What is broken for trying, as the cycle shows it: sparks that vanish, currents that are otherwise.

use leptos::prelude::*;
use sparktrail_core::cycle::{coil_changes, spark_changes};
use sparktrail_core::faults::Fault;

use super::super::words::cycle as words;
use super::super::words::faults::{self as fault_words, Say};
use super::Seen;
use crate::store::Tab;

/// The card.
#[component]
pub(super) fn Broken(seen: Seen) -> impl IntoView {
    let session = seen.store.session;
    move || {
        let Some(Fault { element, mode }) = session.broken.get() else {
            return view! {
                <section class="card">
                    <h3>{words::TRY_FAULT}</h3>
                    <p class="faint">{words::TRY_FAULT_HINT}</p>
                    <button
                        type="button"
                        class="button"
                        on:click=move |_| session.tab.set(Tab::WhatIf)
                    >
                        {words::TO_WHAT_IF}
                    </button>
                </section>
            }
            .into_any();
        };
        let harness = seen.store.told.get();
        let name = format!(
            "{}: {}",
            harness.element_name(element),
            Say(&harness).mode(mode)
        );
        let (sparks, coils) = seen.healthy.with(|healthy| {
            seen.shown
                .with(|shown| (spark_changes(healthy, shown), coil_changes(healthy, shown)))
        });
        let mut lines: Vec<String> = words::sparks_changed(&harness, &sparks);
        lines.extend(
            coils
                .iter()
                .map(|change| words::coil_changed(&harness, change)),
        );
        if lines.is_empty() {
            lines.push(words::NOTHING_CHANGED.into());
        }
        let lines: Vec<AnyView> = lines
            .into_iter()
            .map(|line| view! { <li>{line}</li> }.into_any())
            .collect();
        view! {
            <section class="card outcome" data-card="broken">
                <p class="eyebrow">{fault_words::BROKEN}</p>
                <h3>{name}</h3>
                <ul class="changes">{lines}</ul>
                <button type="button" class="button" on:click=move |_| session.broken.set(None)>
                    {fault_words::MEND}
                </button>
            </section>
        }
        .into_any()
    }
}
