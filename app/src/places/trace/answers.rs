//! What a person answers to a step: pins to tap, or a number for each.

use std::collections::{BTreeMap, BTreeSet};

use leptos::prelude::*;
use sparktrail_core::isolation::Answer;
use sparktrail_core::model::{Harness, OhmReading, PinId};
use sparktrail_core::trace::{Doubted, Measure, Shown, Step, Trace};
use sparktrail_core::units::Ohms;

use super::super::entry;
use super::super::words::trace as words;
use super::{Tracing, pin_name};
use crate::ui::choice;

type Named = Vec<(PinId, String)>;

fn named(harness: &Harness, trace: &Trace, pins: &[PinId]) -> Named {
    let named = pins
        .iter()
        .map(|pin| (*pin, pin_name(harness, trace, *pin)));
    named.collect()
}

/// The answers to a step.
pub(super) fn answers(tracing: Tracing, harness: &Harness, trace: &Trace, step: &Step) -> AnyView {
    let pins = named(harness, trace, &step.pins);
    match &step.measure {
        Measure::Volts => taps(
            tracing,
            &step.measure,
            pins,
            words::WHICH_LIVE.said(),
            Shown::There,
        ),
        Measure::Unplug(_) => taps(
            tracing,
            &step.measure,
            pins,
            words::WHICH_LOST.said(),
            Shown::NotThere,
        ),
        Measure::Continuity(_) => joined(tracing, &step.measure, &pins),
        Measure::FromFeed | Measure::ToGround => numbers(tracing, &step.measure, &pins),
    }
}

/// One reading taken again.
pub(super) fn once_more(
    tracing: Tracing,
    harness: &Harness,
    trace: &Trace,
    doubted: &Doubted,
) -> AnyView {
    let measure = &doubted.measure;
    if matches!(measure, Measure::FromFeed | Measure::ToGround) {
        return numbers(tracing, measure, &named(harness, trace, &[doubted.pin]));
    }
    let pin = doubted.pin;
    let buttons: Vec<AnyView> = [Shown::There, Shown::NotThere]
        .into_iter()
        .map(|shown| {
            let measure = StoredValue::new(measure.clone());
            let put = move |_| enter(tracing, measure.get_value(), vec![(pin, shown)]);
            let words = measure.with_value(|measure| words::shown(measure, shown));
            view! { <button type="button" class="button" on:click=put>{words}</button> }.into_any()
        })
        .collect();
    view! { <div class="way-row">{buttons}</div> }.into_any()
}

fn enter(tracing: Tracing, measure: Measure, shown: Vec<(PinId, Shown)>) {
    tracing.change(|trace| trace.answer(measure, shown));
}

const fn opposite(shown: Shown) -> Shown {
    match shown {
        Shown::There => Shown::NotThere,
        Shown::NotThere | Shown::Ohms(_) => Shown::There,
    }
}

/// Every pin that showed something is tapped; the others showed the opposite.
fn taps(
    tracing: Tracing,
    measure: &Measure,
    pins: Named,
    question: &'static str,
    tapped: Shown,
) -> AnyView {
    let marked = RwSignal::new(BTreeSet::<PinId>::new());
    let buttons: Vec<AnyView> = pins
        .iter()
        .map(|(pin, name)| {
            let pin = *pin;
            let turn = move || {
                marked.update(|marked| {
                    if !marked.remove(&pin) {
                        marked.insert(pin);
                    }
                });
            };
            let is_on = move || marked.with(|marked| marked.contains(&pin));
            choice(name.clone(), "button", is_on, turn)
        })
        .collect();
    let measure = StoredValue::new(measure.clone());
    let pins = StoredValue::new(pins);
    let put = move |_| {
        let marked = marked.get_untracked();
        let shown = pins.with_value(|pins| {
            let shown = pins.iter().map(|(pin, _)| {
                let shown = if marked.contains(pin) {
                    tapped
                } else {
                    opposite(tapped)
                };
                (*pin, shown)
            });
            shown.collect()
        });
        enter(tracing, measure.get_value(), shown);
    };
    let word = move || {
        if marked.with(BTreeSet::is_empty) {
            words::NONE.said()
        } else {
            words::ENTER.said()
        }
    };
    view! {
        <h3>{question}</h3>
        <div class="way-row" role="group" aria-label=question>{buttons}</div>
        <button type="button" class="button" data-weight="strong" on:click=put>{word}</button>
    }
    .into_any()
}

/// One of the pins is joined, or none.
fn joined(tracing: Tracing, measure: &Measure, pins: &Named) -> AnyView {
    let measure = StoredValue::new(measure.clone());
    let all = StoredValue::new(pins.iter().map(|(pin, _)| *pin).collect::<Vec<PinId>>());
    let put = move |joined: Option<PinId>| {
        let shown = all.with_value(|all| {
            let shown = all.iter().map(|pin| {
                let shown = if Some(*pin) == joined {
                    Shown::There
                } else {
                    Shown::NotThere
                };
                (*pin, shown)
            });
            shown.collect()
        });
        enter(tracing, measure.get_value(), shown);
    };
    let named = pins.iter().map(|(pin, name)| (Some(*pin), name.clone()));
    let buttons: Vec<AnyView> = named
        .chain([(None, words::NONE.to_owned())])
        .map(|(pin, name)| {
            view! {
                <button type="button" class="button" on:click=move |_| put(pin)>
                    {name}
                </button>
            }
            .into_any()
        })
        .collect();
    view! {
        <h3>{words::WHICH_JOINED}</h3>
        <div class="way-row" role="group" aria-label=words::WHICH_JOINED>{buttons}</div>
    }
    .into_any()
}

/// A number for each pin, or OL.
fn numbers(tracing: Tracing, measure: &Measure, pins: &Named) -> AnyView {
    let typed = RwSignal::new(BTreeMap::<PinId, String>::new());
    let trouble = RwSignal::new(None::<String>);
    let measure = StoredValue::new(measure.clone());
    let rows: Vec<AnyView> = pins
        .iter()
        .map(|(pin, name)| number(typed, *pin, name))
        .collect();
    let order = StoredValue::new(pins.clone());
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let read = typed.with_untracked(|typed| order.with_value(|pins| read(typed, pins)));
        match read {
            Ok(shown) => enter(tracing, measure.get_value(), shown),
            Err(why) => trouble.set(Some(why)),
        }
    };
    let wrong = move || {
        let words = trouble.get()?;
        Some(view! { <p class="alarm" role="alert">{words}</p> }.into_any())
    };
    view! {
        <h3>{words::WHAT_OHMS}</h3>
        <form class="read" on:submit=submit>
            {rows}
            <p class="faint small">{words::LEAVE_OUT}</p>
            <button type="submit" class="button" data-weight="strong">{words::ENTER}</button>
            {wrong}
        </form>
    }
    .into_any()
}

fn number(typed: RwSignal<BTreeMap<PinId, String>>, pin: PinId, name: &str) -> AnyView {
    let put = move |text: String| {
        typed.update(|typed| {
            typed.insert(pin, text);
        });
    };
    let text = move || typed.with(|typed| typed.get(&pin).cloned().unwrap_or_default());
    view! {
        <div class="ohms-row">
            <label class="field">
                <span>{name.to_owned()}</span>
                <input
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    prop:value=text
                    on:input:target=move |event| put(event.target().value())
                />
            </label>
            <button type="button" class="button" on:click=move |_| put("OL".into())>"OL"</button>
        </div>
    }
    .into_any()
}

/// What was typed; a pin left empty is left out.
fn read(typed: &BTreeMap<PinId, String>, pins: &Named) -> Result<Vec<(PinId, Shown)>, String> {
    let mut shown = Vec::new();
    for (pin, name) in pins {
        let text = typed.get(pin).map_or("", |text| text.trim());
        if text.is_empty() {
            continue;
        }
        let answer = entry::ohms(text).map_err(|why| format!("{name}: {why}"))?;
        let reading = if let Answer::Ohms(value, _) = answer {
            Ohms::new(value).map(OhmReading::Ohms).ok()
        } else {
            Some(OhmReading::Overload)
        };
        if let Some(reading) = reading {
            shown.push((*pin, Shown::Ohms(reading)));
        }
    }
    if shown.is_empty() {
        return Err(words::NOTHING_TYPED.into());
    }
    Ok(shown)
}
