//! Looking for the hidden fault: the tests on offer, naming the culprit, giving up.

use leptos::prelude::*;
use sparktrail_core::isolation::{TestIndex, Unit};
use sparktrail_core::practice::Bench;

use super::super::facts;
use super::super::words::meter as meter_words;
use super::super::words::next as act_words;
use super::super::words::practice as words;
use super::super::words::suspects as suspect_words;
use super::desk::Desk;
use super::record::Record;

/// Lines of a list that show at once.
const LINES: usize = 14;

/// The panel while the fault is looked for.
#[component]
pub(super) fn Searching(desk: Desk) -> impl IntoView {
    let filter = RwSignal::new(String::new());
    // What is tapped on the map narrows the tests to it.
    Effect::new(move |_| {
        if let Some(pick) = desk.picked.get() {
            let name = desk
                .harness
                .with_untracked(|harness| facts::name(harness, pick));
            filter.set(name);
        }
    });
    view! {
        <Record desk />
        <section class="card">
            <h2 class="sub-head">{words::TESTS}</h2>
            <Narrow filter hint=words::FILTER_HINT.said() />
            <Tests desk filter />
        </section>
        <Culprit desk />
        <section class="card">
            <h2 class="sub-head">{words::LINK}</h2>
            <super::look_back::Link desk />
            <button type="button" class="button" data-act="give-up" on:click=move |_| desk.tell()>
                {words::GIVE_UP}
            </button>
        </section>
    }
    .into_any()
}

/// A field that narrows a list.
#[component]
fn Narrow(filter: RwSignal<String>, hint: &'static str) -> impl IntoView {
    view! {
        <label class="field">
            <span>{hint}</span>
            <input
                type="search"
                prop:value=move || filter.get()
                on:input:target=move |event| filter.set(event.target().value())
            />
        </label>
    }
    .into_any()
}

/// Whether a line holds every word that was typed.
fn fits(line: &str, filter: &str) -> bool {
    let line = line.to_lowercase();
    let mut words = filter.split(|c: char| !c.is_alphanumeric());
    words.all(|word| line.contains(&word.to_lowercase()))
}

#[component]
fn Tests(desk: Desk, filter: RwSignal<String>) -> impl IntoView {
    move || {
        let bench = desk.bench()?;
        let filter = filter.get();
        let lines = desk.run.with(|run| {
            let offered = (0..bench.plan().table().tests()).map(TestIndex);
            let all = offered.map(|test| {
                let act = bench.plan().act(test);
                let words = act_words::act(bench.harness(), act);
                let stands = act.question.probes();
                let stands = stands.map(|it| meter_words::setup(bench.harness(), &it.setup));
                (test, words, stands, bench.price(run, test))
            });
            all.filter(|(_, words, ..)| fits(words, &filter))
                .collect::<Vec<_>>()
        });
        let more = lines.len().saturating_sub(LINES);
        let rows: Vec<AnyView> = lines
            .into_iter()
            .take(LINES)
            .map(|(test, sentence, stands, (minutes, money))| {
                view! {
                    <li>
                        <button
                            type="button"
                            class="row"
                            data-test=test.0.to_string()
                            on:click=move |_| desk.ask(test)
                        >
                            <span class="grow">{sentence} <span class="sub">{stands}</span></span>
                            <span class="num faint">{words::price(minutes, money)}</span>
                        </button>
                    </li>
                }
                .into_any()
            })
            .collect();
        Some(
            view! {
                <ul class="rows">{rows}</ul>
                <p class="faint">{words::more(more)}</p>
            }
            .into_any(),
        )
    }
}

/// Naming the culprit.
#[component]
fn Culprit(desk: Desk) -> impl IntoView {
    let filter = RwSignal::new(String::new());
    let list = move || {
        let bench = desk.bench()?;
        let filter = filter.get();
        let named = named(&bench, &filter);
        let more = named.len().saturating_sub(LINES);
        let rows: Vec<AnyView> = named
            .into_iter()
            .take(LINES)
            .map(|(number, unit, name)| {
                view! {
                    <li>
                        <button
                            type="button"
                            class="row"
                            data-unit=number.to_string()
                            on:click=move |_| desk.name(unit)
                        >
                            {name}
                        </button>
                    </li>
                }
                .into_any()
            })
            .collect();
        Some(
            view! {
                <ul class="rows">{rows}</ul>
                <p class="faint">{words::more(more)}</p>
            }
            .into_any(),
        )
    };
    let last = move || {
        let bench = desk.bench()?;
        let naming = desk.run.with(|run| run.named.last().copied())?;
        let name = suspect_words::titled(&naming.unit.name(bench.harness()));
        Some(view! { <p role="status">{words::named(&name, naming)}</p> }.into_any())
    };
    view! {
        <section class="card" data-card="culprit">
            <h2 class="sub-head">{words::CULPRIT}</h2>
            <p class="faint">{words::CULPRIT_HINT}</p>
            {last}
            <details>
                <summary>{words::CULPRIT_LIST}</summary>
                <Narrow filter hint=words::CULPRIT_FILTER.said() />
                {list}
            </details>
        </section>
    }
    .into_any()
}

fn named(bench: &Bench, filter: &str) -> Vec<(usize, Unit, String)> {
    let units = bench.case().units().iter().enumerate();
    units
        .map(|(number, unit)| {
            let name = suspect_words::titled(&unit.name(bench.harness()));
            (number, *unit, name)
        })
        .filter(|(.., name)| fits(name, filter))
        .collect()
}
