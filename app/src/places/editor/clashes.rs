//! What else is said of a fact, and the buttons that settle it.

use leptos::prelude::*;
use sparktrail_core::edit::{Command, FactAt, FactValue};

use crate::places::selection::source;
use crate::places::words::{editor as words, facts as fact_words};
use crate::store::Store;

/// A fact with what it says, and the values that clash with it; nothing where none does.
pub(in crate::places) fn told(store: Store, at: FactAt) -> AnyView {
    let held = Memo::new(move |_| {
        store.told.with(|harness| {
            harness.rivals_of(at).next()?;
            let held = harness.fact(at).map(|fact| {
                let value = harness.value_name(at, &fact.value);
                format!("{value}, {}", fact_words::provenance(fact.how))
            });
            Some((harness.fact_name(at), held.unwrap_or_default()))
        })
    });
    let shown = move || {
        held.get().map(|(name, held)| {
            view! {
                <div class="clash-of">
                    <p><strong>{name}</strong> ": " {held}</p>
                    {clash(store, at)}
                </div>
            }
        })
    };
    shown.into_any()
}

/// The values that clash with the one that the map goes by; nothing where none does.
pub(in crate::places) fn clash(store: Store, at: FactAt) -> AnyView {
    let rivals = Memo::new(move |_| {
        store.told.with(|harness| {
            let rivals = harness.rivals_of(at);
            let told = rivals.map(|rival| {
                let words = harness.value_name(at, &rival.value);
                (rival.value.clone(), words, rival.how)
            });
            let held = harness.fact(at).map(|fact| fact.value);
            (held, told.collect::<Vec<_>>())
        })
    });
    let shown = move || {
        let (held, rivals) = rivals.get();
        let rows: Vec<AnyView> = rivals
            .into_iter()
            .map(|(value, told, how)| {
                let settle = move |keep: FactValue| store.change(Command::Settle { at, keep });
                let kept = held.clone();
                view! {
                    <div class="clash" data-source=source(how)>
                        <p>
                            <span class="faint small">{words::ALSO}</span>
                            " "
                            <strong>{told}</strong>
                            " "
                            <span class="faint small">{fact_words::provenance(how)}</span>
                        </p>
                        <button type="button" class="button" on:click=move |_| settle(value.clone())>
                            {words::TAKE}
                        </button>
                        {kept.map(|kept| view! {
                            <button
                                type="button"
                                class="button"
                                data-weight="quiet"
                                on:click=move |_| settle(kept.clone())
                            >
                                {words::KEEP}
                            </button>
                        })}
                    </div>
                }
                .into_any()
            })
            .collect();
        rows
    };
    shown.into_any()
}
