//! The numbers of a coil, each with its formula, what stands in it, and its source one tap away.

use leptos::prelude::*;
use sparktrail_core::cycle::Figure;

use super::super::words::cycle as words;
use super::Seen;

/// The list.
#[component]
pub(super) fn Numbers(seen: Seen) -> impl IntoView {
    let figures = Memo::new(move |_| {
        let coil = seen.coil.get()?;
        seen.shown.with(|cycle| {
            let row = cycle.coil(coil)?;
            Some((cycle.figures(row), row.steady.get()))
        })
    });
    let kinds = Memo::new(move |_| {
        let found = figures.get();
        found.map_or_else(Vec::new, |(figures, _)| {
            figures.iter().map(|figure| figure.kind).collect::<Vec<_>>()
        })
    });
    let rows = move || {
        let kinds = kinds.get();
        if kinds.is_empty() {
            let steady = figures.get().map_or(0.0, |(_, steady)| steady);
            return view! { <p>{words::not_charged(steady)}</p> }.into_any();
        }
        // A row stays while its kind does, so that an open one stays open.
        kinds
            .into_iter()
            .map(|kind| {
                let this = move || {
                    figures.with(|found| {
                        let (figures, _) = found.as_ref()?;
                        figures.iter().find(|figure| figure.kind == kind).cloned()
                    })
                };
                let number = move || this().map(|figure| words::figure(&figure));
                view! {
                    <details class="figure-row" data-figure=format!("{kind:?}")>
                        <summary class="step">
                            <span>{words::figure_name(kind)}</span>
                            <strong class="num">{number}</strong>
                        </summary>
                        <p class="formula num">{kind.formula()}</p>
                        <p class="num">{move || this().map(|figure| given(&figure))}</p>
                        <p class="faint small">{words::source(kind.source())}</p>
                    </details>
                }
                .into_any()
            })
            .collect::<Vec<AnyView>>()
            .into_any()
    };
    view! { <div class="figures">{rows}</div> }.into_any()
}

fn given(figure: &Figure) -> String {
    let each: Vec<String> = figure.given.iter().map(words::given).collect();
    each.join(", ")
}
