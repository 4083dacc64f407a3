//! The truth, the path taken beside the planner's, what each test told, and the link to the case.

use leptos::prelude::*;
use leptos::task::spawn_local;
use sparktrail_core::practice::{Bench, Run};

use super::super::words::faults::Say;
use super::super::words::findings as finding_words;
use super::super::words::practice as words;
use super::super::words::suspects as suspect_words;
use super::desk::Desk;
use crate::edge::{address, share};

/// The panel after the last test.
#[component]
pub(super) fn LookBack(desk: Desk) -> impl IntoView {
    let truth = move || {
        let bench = desk.bench()?;
        Some(truth(&bench))
    };
    let table = move || {
        let bench = desk.bench()?;
        let bound = bench.bound();
        let (mine, theirs) = (desk.run.get(), desk.planner.get());
        let row = |name: &'static str, a: String, b: String| {
            view! {
                <tr>
                    <th scope="row">{name}</th>
                    <td class="num">{a}</td>
                    <td class="num">{b}</td>
                </tr>
            }
            .into_any()
        };
        let each = |of: fn(&Run) -> String| (of(&mine), of(&theirs));
        let (tests, minutes, money, bits) = (
            each(|run| run.steps.len().to_string()),
            each(|run| words::minutes(run.minutes)),
            each(|run| words::money(run.money)),
            each(|run| words::bits(run.steps.iter().filter_map(|step| step.bits).sum())),
        );
        Some(
            view! {
                <table class="beside">
                    <thead>
                        <tr>
                            <td></td>
                            <th scope="col">{words::YOU}</th>
                            <th scope="col">{words::PLANNER}</th>
                        </tr>
                    </thead>
                    <tbody>
                        {row(words::TESTS_DONE.said(), tests.0, tests.1)}
                        {row(words::MINUTES.said(), minutes.0, minutes.1)}
                        {row(words::PARTS.said(), money.0, money.1)}
                        {row(words::LEARNED.said(), bits.0, bits.1)}
                    </tbody>
                </table>
                <p class="faint">{words::bound(bound)}</p>
                <p class="faint">{words::end(theirs.end)}</p>
            }
            .into_any(),
        )
    };
    let path = move |run: RwSignal<Run>| {
        let bench = desk.bench()?;
        Some(run.with(|run| path(&bench, run)))
    };
    view! {
        <section class="card" data-card="truth">{truth}</section>
        <section class="card">
            <h2 class="sub-head">{words::BESIDE}</h2>
            {table}
            <h3>{words::YOUR_PATH}</h3>
            {move || path(desk.run)}
            <details>
                <summary>{words::PLANNER_PATH}</summary>
                {move || path(desk.planner)}
            </details>
        </section>
        <section class="card">
            <h2 class="sub-head">{words::LINK}</h2>
            <Link desk />
            <button type="button" class="button" data-weight="strong" on:click=move |_| desk.leave()>
                {words::ANOTHER}
            </button>
        </section>
    }
    .into_any()
}

fn truth(bench: &Bench) -> AnyView {
    let truth = bench.truth();
    let harness = bench.harness();
    let faults: Vec<AnyView> = truth
        .faults
        .iter()
        .map(|(fault, unit)| {
            let what = format!(
                "{}: {}",
                harness.element_name(fault.element),
                Say(harness).mode(fault.mode)
            );
            let unit = suspect_words::titled(&unit.name(harness));
            view! {
                <p><strong>{what}</strong></p>
                <p class="faint">{words::mends(&unit)}</p>
            }
            .into_any()
        })
        .collect();
    let earlier = truth
        .earlier
        .map(|earlier| view! { <p>{words::earlier(harness, earlier)}</p> }.into_any());
    view! {
        <p class="eyebrow">{words::TRUTH}</p>
        {faults}
        {earlier}
    }
    .into_any()
}

/// Every test with its answer and what it told.
fn path(bench: &Bench, run: &Run) -> AnyView {
    if run.steps.is_empty() {
        return view! { <p class="faint">{words::NO_TESTS}</p> }.into_any();
    }
    let rows: Vec<AnyView> = run
        .steps
        .iter()
        .filter_map(|step| {
            let finding = run.findings.get(step.finding)?;
            let leader = step
                .leader
                .map(|(unit, share)| words::leads(&unit.name(bench.harness()), share));
            let told = [Some(words::told(step)), leader].into_iter().flatten();
            let told = told.collect::<Vec<_>>().join(" ");
            Some(
                view! {
                    <li>
                        {finding_words::sentence(bench.harness(), finding)}
                        <span class="sub faint small num">{told}</span>
                    </li>
                }
                .into_any(),
            )
        })
        .collect();
    view! { <ol class="practice-record">{rows}</ol> }.into_any()
}

/// The case as a link.
#[component]
pub(super) fn Link(desk: Desk) -> impl IntoView {
    let link = move || {
        let bench = desk.bench()?;
        Some(words::link(&address::page(), bench.ticket()))
    };
    let copied = RwSignal::new(false);
    let copy = move |_| {
        if let Some(link) = link() {
            spawn_local(async move { copied.set(share::copy(&link).await) });
        }
    };
    view! {
        <p class="faint">{words::LINK_HINT}</p>
        <p><code class="practice-link">{link}</code></p>
        <button type="button" class="button" on:click=copy>{words::COPY}</button>
        <span role="status" class="faint">{move || copied.get().then(|| words::COPIED.said())}</span>
    }
    .into_any()
}
