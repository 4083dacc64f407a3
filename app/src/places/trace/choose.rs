//! Which pins of which plug are to be traced, and which coils may be theirs.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::{Command, FactAt, FactValue};
use sparktrail_core::model::{Harness, PartId, Pin, PinId};
use sparktrail_core::provenance::Fact;
use sparktrail_core::trace::{Coverage, Trace};

use super::super::words::facts as fact_words;
use super::super::words::trace as words;
use super::Tracing;
use crate::ui::choice;

/// What was chosen so far.
#[derive(Clone, Copy)]
struct Chosen {
    unit: RwSignal<PartId>,
    pins: RwSignal<BTreeSet<PinId>>,
    labels: RwSignal<BTreeMap<PinId, String>>,
    more: RwSignal<String>,
    coils: RwSignal<BTreeSet<PartId>>,
    coverage: RwSignal<Coverage>,
    trouble: RwSignal<Option<String>>,
}

/// The form.
pub(super) fn choose(tracing: Tracing, harness: &Arc<Harness>) -> AnyView {
    tracing.store.session.lit.set(None);
    let units = harness.parts.keys().copied();
    let units: Vec<PartId> = units.filter(|id| harness.unit(*id).is_some()).collect();
    // The box with the most pins that nobody knows comes first.
    let first = units
        .iter()
        .copied()
        .max_by_key(|unit| (unknown(harness, *unit).len(), std::cmp::Reverse(*unit)));
    let Some(first) = first else {
        return view! { <section class="card"><p>{words::NO_UNIT}</p></section> }.into_any();
    };
    let chosen = Chosen {
        unit: RwSignal::new(first),
        pins: RwSignal::new(unknown(harness, first)),
        labels: RwSignal::new(BTreeMap::new()),
        more: RwSignal::new(String::new()),
        coils: RwSignal::new(Trace::coils_without_pin(harness).into_iter().collect()),
        coverage: RwSignal::new(Coverage::Some),
        trouble: RwSignal::new(None),
    };
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        match begin(tracing, chosen) {
            Ok(trace) => {
                tracing.chosen.set(0);
                tracing.now.set(Some(trace));
                crate::edge::page::scroll_to_start(".side");
            }
            Err(why) => chosen.trouble.set(Some(why)),
        }
    };
    let wrong = move || {
        let words = chosen.trouble.get()?;
        Some(view! { <p class="alarm" role="alert">{words}</p> }.into_any())
    };
    view! {
        <form class="card trace-form" on:submit=submit>
            <h2>{words::HEADING}</h2>
            <p class="faint">{words::LEAD}</p>
            {which_unit(chosen, harness, &units)}
            {which_pins(chosen, Arc::clone(harness))}
            {which_coils(chosen, harness)}
            {how_sure(chosen)}
            {wrong}
            <button type="submit" class="button" data-weight="strong">{words::BEGIN}</button>
        </form>
    }
    .into_any()
}

/// The pins of a box whose use nobody knows.
fn unknown(harness: &Harness, unit: PartId) -> BTreeSet<PinId> {
    let pins = harness.unit(unit).map_or(&[][..], |unit| &unit.pins);
    let unknown = pins.iter().filter(|pin| pin.role.is_none());
    unknown.map(|pin| pin.id).collect()
}

fn which_unit(chosen: Chosen, harness: &Arc<Harness>, units: &[PartId]) -> AnyView {
    if units.len() < 2 {
        return ().into_any();
    }
    let buttons: Vec<AnyView> = units
        .iter()
        .map(|&unit| {
            let harness = Arc::clone(harness);
            let name = harness.part_name(unit).to_owned();
            let choose = move |_| {
                chosen.pins.set(unknown(&harness, unit));
                chosen.unit.set(unit);
            };
            let pressed = move || {
                if chosen.unit.get() == unit {
                    "true"
                } else {
                    "false"
                }
            };
            view! {
                <button type="button" class="button" aria-pressed=pressed on:click=choose>
                    {name}
                </button>
            }
            .into_any()
        })
        .collect();
    view! {
        <h3>{words::UNIT}</h3>
        <div class="way-row" role="group" aria-label=words::UNIT>{buttons}</div>
    }
    .into_any()
}

fn which_pins(chosen: Chosen, harness: Arc<Harness>) -> AnyView {
    let rows = move || {
        let unit = harness.unit(chosen.unit.get());
        let pins = unit.map_or(&[][..], |unit| &unit.pins);
        pins.iter()
            .map(|pin| pin_row(chosen, pin))
            .collect::<Vec<AnyView>>()
    };
    view! {
        <h3>{words::PINS}</h3>
        <p class="faint small">{words::PINS_HINT}</p>
        <div class="trace-pins">{rows}</div>
        <label class="field">
            <span>{words::MORE}</span>
            <input
                type="text"
                autocomplete="off"
                prop:value=move || chosen.more.get()
                on:input:target=move |event| chosen.more.set(event.target().value())
            />
        </label>
    }
    .into_any()
}

fn pin_row(chosen: Chosen, pin: &Pin) -> AnyView {
    let id = pin.id;
    let role = pin.role.map(|role| fact_words::role(role.value));
    let label = pin.label.as_ref().map(|label| label.value.clone());
    let name = match &label {
        Some(label) => words::pin(label),
        None => words::pin("?"),
    };
    let number = label.is_none().then(|| {
        let text = move || {
            chosen
                .labels
                .with(|all| all.get(&id).cloned().unwrap_or_default())
        };
        view! {
            <label class="field">
                <span>{words::NUMBER}</span>
                <input
                    type="text"
                    maxlength="20"
                    autocomplete="off"
                    prop:value=text
                    on:input:target=move |event| {
                        let text = event.target().value();
                        chosen.labels.update(|all| { all.insert(id, text); });
                    }
                />
            </label>
        }
        .into_any()
    });
    view! {
        <div class="trace-pin">
            {tick(chosen.pins, id, name, role)}
            {number}
        </div>
    }
    .into_any()
}

/// A tick for one of many.
fn tick<T: Copy + Ord + Send + Sync + 'static>(
    all: RwSignal<BTreeSet<T>>,
    one: T,
    name: String,
    note: Option<&'static str>,
) -> AnyView {
    let turn = move |_| {
        all.update(|all| {
            if !all.remove(&one) {
                all.insert(one);
            }
        });
    };
    view! {
        <label class="switch">
            <input
                type="checkbox"
                prop:checked=move || all.with(|all| all.contains(&one))
                on:change=turn
            />
            <span>{name} " " <span class="faint small">{note}</span></span>
        </label>
    }
    .into_any()
}

fn which_coils(chosen: Chosen, harness: &Harness) -> AnyView {
    let coils = Trace::coils_of(harness);
    if coils.is_empty() {
        return ().into_any();
    }
    let rows: Vec<AnyView> = coils
        .into_iter()
        .map(|coil| tick(chosen.coils, coil, harness.part_name(coil).to_owned(), None))
        .collect();
    view! {
        <h3>{words::COILS}</h3>
        {rows}
    }
    .into_any()
}

fn how_sure(chosen: Chosen) -> AnyView {
    let button = |coverage: Coverage, words: &'static str| {
        let is_on = move || chosen.coverage.get() == coverage;
        choice(words, "button", is_on, move || {
            chosen.coverage.set(coverage);
        })
    };
    view! {
        <h3>{words::SURE}</h3>
        <div class="way-row" role="group" aria-label=words::SURE>
            {button(Coverage::All, words::ALL.said())}
            {button(Coverage::Some, words::NOT_SURE.said())}
        </div>
        <p class="faint small">{words::SURE_HINT}</p>
    }
    .into_any()
}

/// Puts the numbers on the map and makes the trace.
fn begin(tracing: Tracing, chosen: Chosen) -> Result<Trace, String> {
    let store = tracing.store;
    let harness = store.harness_now();
    let unit = chosen.unit.get_untracked();
    let mut pins = chosen.pins.get_untracked();
    let commands = numbers(&harness, chosen, &mut pins);
    if !commands.is_empty() {
        store
            .dispatch(Command::Batch(commands))
            .map_err(|error| error.told(&harness))?;
    }
    let after = store.harness_now();
    let ids = |harness: &Harness| -> BTreeSet<PinId> {
        let pins = harness.unit(unit).map_or(&[][..], |unit| &unit.pins);
        pins.iter().map(|pin| pin.id).collect()
    };
    pins.extend(ids(&after).difference(&ids(&harness)));
    let coils = chosen.coils.get_untracked().into_iter().collect();
    let pins = pins.into_iter().collect();
    Trace::new(&after, unit, pins, coils, chosen.coverage.get_untracked())
        .map_err(|error| words::trouble(&after, error))
}

/// The commands that give pins their numbers and add those that the map lacks. A number that a pin has already
/// chooses that pin.
fn numbers(harness: &Harness, chosen: Chosen, pins: &mut BTreeSet<PinId>) -> Vec<Command> {
    let unit = chosen.unit.get_untracked();
    let there = harness.unit(unit).map_or(&[][..], |unit| &unit.pins);
    let mut commands: Vec<Command> = chosen
        .labels
        .get_untracked()
        .into_iter()
        .map(|(pin, text)| (pin, text.trim().to_owned()))
        .filter(|(pin, text)| !text.is_empty() && there.iter().any(|known| known.id == *pin))
        .map(|(pin, text)| Command::SetFact {
            at: FactAt::PinLabel(unit, pin),
            fact: Some(Fact::measured(FactValue::Label(text))),
        })
        .collect();
    let more = chosen.more.get_untracked();
    let labels: BTreeSet<&str> = more
        .split([',', ';', ' '])
        .map(str::trim)
        .filter(|label| !label.is_empty())
        .collect();
    for label in labels {
        let known = there.iter().find(|pin| {
            let known = pin.label.as_ref();
            known.is_some_and(|known| known.value == label)
        });
        if let Some(pin) = known {
            pins.insert(pin.id);
        } else {
            commands.push(Command::AddPin {
                unit,
                label: Some(Fact::measured(label.to_owned())),
                role: None,
            });
        }
    }
    commands
}
