//! What was found so far: the complaint, the earlier repair, and every test with its answer.

use leptos::prelude::*;
use sparktrail_core::practice::{Bench, Run};

use super::super::words::findings as finding_words;
use super::super::words::practice as words;
use super::desk::Desk;

/// The record, newest first, with what was spent.
#[component]
pub(super) fn Record(desk: Desk) -> impl IntoView {
    let body = move || {
        let bench = desk.bench()?;
        let lines = desk.run.with(|run| lines(&bench, run));
        let rows: Vec<AnyView> = lines
            .into_iter()
            .rev()
            .map(|(sentence, note)| {
                view! { <li>{sentence}<span class="sub faint small">{note}</span></li> }.into_any()
            })
            .collect();
        Some(view! { <ul class="practice-record">{rows}</ul> }.into_any())
    };
    let spent = move || {
        desk.run
            .with(|run| words::spent(run.steps.len(), run.minutes, run.money))
    };
    view! {
        <section class="card">
            <h2 class="sub-head">{words::RECORD}</h2>
            <p class="num" data-spent="">{spent}</p>
            {body}
        </section>
    }
    .into_any()
}

/// Every finding as a sentence with its note, oldest first. Cylinders that work are gathered in one line.
fn lines(bench: &Bench, run: &Run) -> Vec<(String, Option<String>)> {
    let harness = bench.harness();
    let first = run
        .steps
        .first()
        .map_or(run.findings.len(), |step| step.finding);
    let start = run.findings.get(..first).unwrap_or_default();
    let mut found: Vec<(String, Option<String>)> = start
        .iter()
        .filter(|finding| !words::is_fine(finding))
        .map(|finding| {
            (
                finding_words::sentence(harness, finding),
                Some(words::TOLD.into()),
            )
        })
        .collect();
    let fine = start
        .iter()
        .filter(|finding| words::is_fine(finding))
        .count();
    if fine > 0 {
        found.insert(0, (words::fine(fine), None));
    }
    for step in &run.steps {
        if let Some(finding) = run.findings.get(step.finding) {
            let note = words::step_note(step, finding.fault_then, bench.ticket().level);
            found.push((finding_words::sentence(harness, finding), Some(note)));
        }
    }
    found
}
