//! The sparks of the cycle as a list, in the order of the crank; each leads the cursor there.

use leptos::prelude::*;

use super::super::words::cycle as words;
use super::Seen;

/// The list, folded.
#[component]
pub(super) fn Events(seen: Seen) -> impl IntoView {
    let rows = move || {
        let harness = seen.store.told.get();
        let cycling = seen.store.cycle;
        seen.shown.with(|cycle| {
            let mut all: Vec<_> = cycle
                .coils
                .iter()
                .flat_map(|row| row.firings.iter().map(move |firing| (row, firing)))
                .collect();
            all.sort_by(|a, b| a.1.at.get().total_cmp(&b.1.at.get()));
            all.into_iter()
                .map(|(row, firing)| {
                    let (at, coil) = (firing.at.get(), row.coil);
                    let go = move |_| {
                        cycling.rest();
                        cycling.coil.set(Some(coil));
                        cycling.angle.set(at);
                    };
                    let way = cycle
                        .path(row, firing)
                        .map(|path| words::way(&harness, &path));
                    view! {
                        <li>
                            <button type="button" class="row" on:click=go>
                                <span class="num">{words::angle(at)}</span>
                                <span class="grow">
                                    {words::firing(&harness, row, firing)}
                                    <span class="sub">{way}</span>
                                </span>
                            </button>
                        </li>
                    }
                    .into_any()
                })
                .collect::<Vec<AnyView>>()
        })
    };
    let open = RwSignal::new(false);
    view! {
        <details class="card events" on:toggle=move |_| open.set(true)>
            <summary><h3>{words::EVENTS}</h3></summary>
            <ul class="rows">{move || open.get().then(rows)}</ul>
        </details>
    }
    .into_any()
}
