//! What each pin may still be, and what was measured so far.

use leptos::prelude::*;
use sparktrail_core::model::Harness;
use sparktrail_core::trace::{Belief, PinBelief, Trace};

use super::super::words::trace as words;
use super::{Tracing, pin_name};

/// Uses told of a pin that is not known yet.
const MOST_USES: usize = 4;
/// Less than this is not told.
const WORTH_TELLING: f64 = 0.005;

/// What each pin may still be.
pub(super) fn pins(harness: &Harness, trace: &Trace, belief: &Belief) -> AnyView {
    let rows: Vec<AnyView> = belief
        .pins
        .iter()
        .map(|pin| {
            let known = pin.known().is_some().then_some("known");
            view! {
                <li class="traced" data-state=known>
                    <span class="traced-pin">{pin_name(harness, trace, pin.pin)}</span>
                    {uses(harness, pin)}
                </li>
            }
            .into_any()
        })
        .collect();
    view! {
        <section class="card">
            <h3>{words::MAY_BE}</h3>
            <ul class="traced-list">{rows}</ul>
        </section>
    }
    .into_any()
}

fn uses(harness: &Harness, pin: &PinBelief) -> AnyView {
    if let Some(known) = pin.known() {
        return view! {
            <span class="traced-use">
                <span class="tick" aria-hidden="true">"✓ "</span>
                {words::usage(harness, known)}
                " "
                <span class="tag" data-source="measured">{words::KNOWN}</span>
            </span>
        }
        .into_any();
    }
    let told = pin
        .uses
        .iter()
        .filter(|(_, share)| share.get() >= WORTH_TELLING);
    let told: Vec<AnyView> = told
        .take(MOST_USES)
        .map(|(what, share)| {
            view! {
                <span class="traced-share">
                    <span>{words::usage(harness, *what)}</span>
                    <span class="num">{words::share(share.get())}</span>
                </span>
            }
            .into_any()
        })
        .collect();
    view! { <span class="traced-use">{told}</span> }.into_any()
}

/// What was measured, newest first; the newest can be taken back.
pub(super) fn so_far(tracing: Tracing, harness: &Harness, trace: &Trace) -> AnyView {
    if trace.taken.is_empty() {
        return ().into_any();
    }
    let rows: Vec<AnyView> = trace
        .taken
        .iter()
        .rev()
        .map(|taken| {
            let read: Vec<String> = taken
                .shown
                .iter()
                .map(|(pin, shown)| {
                    let pin = pin_name(harness, trace, *pin);
                    format!("{pin}: {}", words::shown(&taken.measure, *shown))
                })
                .collect();
            view! {
                <li class="step">
                    <span>
                        {words::act(harness, &taken.measure)} " "
                        <span class="faint small">{read.join(", ")}</span>
                    </span>
                </li>
            }
            .into_any()
        })
        .collect();
    let back = move |_| {
        tracing.change(|trace| {
            trace.take_back();
        });
    };
    view! {
        <section class="card">
            <h3>{words::SO_FAR}</h3>
            <ol class="path" reversed="true">{rows}</ol>
            <button type="button" class="button" on:click=back>{words::TAKE_BACK}</button>
        </section>
    }
    .into_any()
}
