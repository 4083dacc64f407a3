//! Choosing a case: an engine and a level, or a lesson.

use leptos::prelude::*;
use sparktrail_core::practice::{Level, Ticket};

use super::super::samples::samples;
use super::super::words::practice as words;
use super::desk::Desk;
use crate::edge::{clock, events};

/// The choice.
#[component]
pub(super) fn Choose(desk: Desk) -> impl IntoView {
    let engines = words::engines(
        &samples()
            .iter()
            .map(|s| (s.name(), s.title))
            .collect::<Vec<_>>(),
    );
    let engine = RwSignal::new(0_usize);
    let level = RwSignal::new(Level::Single);
    let options: Vec<AnyView> = engines
        .iter()
        .map(|(_, title)| view! { <option>{*title}</option> }.into_any())
        .collect();
    let chosen = move |event| {
        if let Some(place) = events::chosen(&event) {
            engine.set(place);
        }
    };
    let start = move |_| {
        let Some((name, _)) = engines.get(engine.get_untracked()) else {
            return;
        };
        desk.start(Ticket {
            engine: (*name).to_owned(),
            level: level.get_untracked(),
            seed: clock::seed(),
        });
    };
    let levels: Vec<AnyView> = Level::ALL
        .into_iter()
        .map(|this| {
            let pressed = move || if level.get() == this { "true" } else { "false" };
            view! {
                <button
                    type="button"
                    class="row"
                    aria-pressed=pressed
                    data-level=this.code()
                    on:click=move |_| level.set(this)
                >
                    <span class="grow">
                        <strong>{words::level(this)}</strong>
                        <span class="sub">{words::level_hint(this)}</span>
                    </span>
                </button>
            }
            .into_any()
        })
        .collect();
    view! {
        <section class="card">
            <h2>{words::CHOOSE}</h2>
            <p class="faint">{words::LEAD}</p>
            <label class="field">
                <span>{words::ENGINE}</span>
                <select on:change=chosen>{options}</select>
            </label>
            <div class="rows" role="group" aria-label=words::LEVEL>{levels}</div>
            <button type="button" class="button" data-weight="strong" data-act="start" on:click=start>
                {words::START}
            </button>
        </section>
        <section class="card">
            <h2>{words::LESSONS}</h2>
            <p class="faint">{words::LESSONS_LEAD}</p>
            <ol class="rows">
                {super::lessons::titles()
                    .into_iter()
                    .enumerate()
                    .map(|(number, title)| {
                        view! {
                            <li>
                                <button
                                    type="button"
                                    class="row"
                                    data-lesson=number.to_string()
                                    on:click=move |_| super::lessons::open(desk, number)
                                >
                                    <span class="grow">{title}</span>
                                </button>
                            </li>
                        }
                        .into_any()
                    })
                    .collect::<Vec<AnyView>>()}
            </ol>
        </section>
    }
    .into_any()
}
