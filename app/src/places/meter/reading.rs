//! The figure, its band, the reason for it, what to mind first, and the map in the colours of its voltages.

use leptos::prelude::*;
use sparktrail_core::electrics::{Measure, Reading, Step};
use sparktrail_core::model::{BatteryLink, EngineState, Harness};
use sparktrail_core::topology::Pick;

use super::super::words::meter::{self as words, HighVoltage, Ohmmeter, UnitUnplugged};
use crate::canvas::Level;
use crate::store::{Picture, Store};

/// The healthy reading, large.
#[component]
pub(super) fn Healthy(store: Store) -> impl IntoView {
    let meter = store.meter;
    let charges = move |reading: &Reading| {
        let running = meter
            .setup
            .with(|setup| matches!(setup.engine, EngineState::Running(_)));
        running && matches!(reading.value, Measure::Volts(volts) if volts.get() > CHARGED)
    };
    let body = move || match meter.reading.get() {
        None => view! { <p class="faint">{words::PUT_RED}</p> }.into_any(),
        Some(Err(error)) => {
            let said = store
                .harness
                .with(|harness| words::no_reading(harness, error));
            view! { <p class="alarm">{said}</p> }.into_any()
        }
        Some(Ok(reading)) => view! {
            <p class="eyebrow">{words::HEALTHY}</p>
            <p class="figure num" data-reading="healthy">{words::measure(reading.value)}</p>
            <p class="num">{words::band(&reading)}</p>
            {clipped(&reading).then(|| view! { <p class="faint small">{words::CLIPPED}</p> })}
            {charges(&reading).then(|| view! { <p class="faint small">{words::CHARGES}</p> })}
        }
        .into_any(),
    };
    view! { <div class="reading" aria-live="polite">{body}</div> }.into_any()
}

/// Above this a reading follows the battery, V.
const CHARGED: f64 = 6.0;

/// Whether the band leaves room for a meter that cuts off flyback spikes.
fn clipped(reading: &Reading) -> bool {
    match reading.value {
        Measure::Volts(volts) => {
            let (below, above) = (volts.get() - reading.band.0, reading.band.1 - volts.get());
            (below - above).abs() > 0.1
        }
        Measure::Ohms(_) | Measure::Overload => false,
    }
}

/// What to mind before measuring so.
#[component]
pub(super) fn Cautions(store: Store) -> impl IntoView {
    let meter = store.meter;
    move || {
        let (red, black) = (meter.at_red.get(), meter.at_black.get());
        let setup = meter.setup.get();
        let unit = store.told.with(|harness| {
            setup
                .unplugged
                .iter()
                .any(|&part| harness.unit(part).is_some())
        });
        let leads = [red, black].into_iter().flatten();
        let high = store.told.with(|harness| HighVoltage::at(harness, leads));
        let said = words::cautions(
            &setup,
            if unit {
                UnitUnplugged::Yes
            } else {
                UnitUnplugged::No
            },
            high,
        );
        let lines: Vec<AnyView> = said
            .into_iter()
            .map(|line| view! { <p>{line}</p> }.into_any())
            .collect();
        view! {
            <div class="caution" role="note" aria-label=words::CAUTION>
                {lines}
                <p class="small">{words::RULES}</p>
            </div>
        }
        .into_any()
    }
}

/// Below this share of the reading, and below ten millivolts, a place is told together with its neighbours.
const SMALL: f64 = 0.02;
/// Volts.
const SMALL_VOLTS: f64 = 0.01;

/// The way from red to black.
#[component]
pub(super) fn Why(store: Store) -> impl IntoView {
    let meter = store.meter;
    move || {
        let Some(Ok(reading)) = meter.reading.get() else {
            return None;
        };
        let harness = store.told.get();
        let ohmmeter = meter.setup.with(|setup| match setup.battery {
            BatteryLink::Connected => Ohmmeter::No,
            BatteryLink::Disconnected => Ohmmeter::Yes,
        });
        let body = if reading.path.is_empty() {
            view! { <p>{words::WHY_NOTHING}</p> }.into_any()
        } else {
            let lead = match ohmmeter {
                Ohmmeter::Yes => words::WHY_OHMS,
                Ohmmeter::No => words::WHY_VOLTS,
            };
            let rows = rows(store, &harness, &reading, ohmmeter);
            let parallel = parallel(&reading)
                .then(|| view! { <p class="faint small">{words::WHY_PARALLEL}</p> }.into_any());
            view! {
                <p class="faint">{lead}</p>
                <ol class="path">{rows}</ol>
                {parallel}
            }
            .into_any()
        };
        Some(
            view! {
                <section class="card" data-card="why">
                    <h3>{words::WHY}</h3>
                    {body}
                </section>
            }
            .into_any(),
        )
    }
}

/// Whether the way shown is not the only one: its resistances add up to more than the reading.
fn parallel(reading: &Reading) -> bool {
    let sum: f64 = reading.path.iter().map(|step| step.ohms.get()).sum();
    match reading.value {
        Measure::Ohms(ohms) => sum > 1.1 * ohms.get() + 0.01,
        Measure::Volts(_) | Measure::Overload => false,
    }
}

/// One line a place where something is lost, one for all between that lose little.
fn rows(store: Store, harness: &Harness, reading: &Reading, ohmmeter: Ohmmeter) -> Vec<AnyView> {
    let size = |step: &Step| match ohmmeter {
        Ohmmeter::Yes => step.ohms.get().abs(),
        Ohmmeter::No => step.drop.get().abs(),
    };
    let all: f64 = reading.path.iter().map(size).fold(0.0, f64::max);
    let least = match ohmmeter {
        Ohmmeter::Yes => SMALL * all,
        Ohmmeter::No => (SMALL * all).clamp(5e-4, SMALL_VOLTS),
    };
    let mut rows = Vec::new();
    let mut few: Vec<&Step> = Vec::new();
    for step in &reading.path {
        if size(step) < least {
            few.push(step);
            continue;
        }
        few_row(store, harness, &mut few, ohmmeter, &mut rows);
        rows.push(step_row(store, harness, step, ohmmeter));
    }
    few_row(store, harness, &mut few, ohmmeter, &mut rows);
    rows
}

fn few_row(
    store: Store,
    harness: &Harness,
    few: &mut Vec<&Step>,
    ohmmeter: Ohmmeter,
    rows: &mut Vec<AnyView>,
) {
    let Some(&first) = few.first() else { return };
    if few.len() == 1 {
        rows.push(step_row(store, harness, first, ohmmeter));
        few.clear();
        return;
    }
    let mut sum = *first;
    for step in &few[1..] {
        sum.drop = sum.drop + step.drop;
        sum.ohms = sum.ohms + step.ohms;
    }
    let inside: Vec<AnyView> = few
        .drain(..)
        .map(|step| step_row(store, harness, step, ohmmeter))
        .collect();
    let count = inside.len();
    rows.push(
        view! {
            <li>
                <details>
                    <summary class="step">
                        <span class="faint">{words::few(count)}</span>
                        <span class="num faint">{words::lost(&sum, ohmmeter)}</span>
                    </summary>
                    <ol class="path">{inside}</ol>
                </details>
            </li>
        }
        .into_any(),
    );
}

fn step_row(store: Store, harness: &Harness, step: &Step, ohmmeter: Ohmmeter) -> AnyView {
    let hovered = store.session.hovered;
    let name = step.element.map_or_else(
        || words::INSIDE.to_owned(),
        |element| harness.element_name(element),
    );
    let pick = step.element.map(Pick::Element);
    view! {
        <li
            class="step"
            on:pointerenter=move |_| hovered.set(pick)
            on:pointerleave=move |_| hovered.set(None)
        >
            <span>{name}</span>
            <span class="num">{words::lost(step, ohmmeter)}</span>
        </li>
    }
    .into_any()
}

/// The button that colours the map by voltage, and the key to the colours.
#[component]
pub(super) fn PictureToggle(store: Store) -> impl IntoView {
    let meter = store.meter;
    let on = move || meter.picture.get() == Picture::Shown;
    let pressed = move || if on() { "true" } else { "false" };
    let turn = move |_| {
        meter.picture.update(|picture| {
            *picture = match *picture {
                Picture::Hidden => Picture::Shown,
                Picture::Shown => Picture::Hidden,
            };
        });
    };
    let legend = move || on().then(|| view! { <Legend store /> }.into_any());
    view! {
        <button type="button" class="button way" aria-pressed=pressed on:click=turn>
            {words::PICTURE}
        </button>
        {legend}
    }
    .into_any()
}

#[component]
fn Legend(store: Store) -> impl IntoView {
    let meter = store.meter;
    move || {
        if meter
            .setup
            .with(|setup| setup.battery == BatteryLink::Disconnected)
        {
            return view! { <p class="faint">{words::PICTURE_OFF}</p> }.into_any();
        }
        let most = meter.most_volts.get();
        let steps: Vec<AnyView> = (0..=Level::LAST)
            .map(|step| {
                let volts = most * f64::from(step) / f64::from(Level::LAST);
                view! {
                    <li>
                        <span class="swatch" data-volt=step.to_string() aria-hidden="true"></span>
                        <span class="num small">{format!("{volts:.1}")}</span>
                    </li>
                }
                .into_any()
            })
            .collect();
        view! {
            <ul class="volt-key">{steps} <li class="num small">"V"</li></ul>
            {move || store.session.broken.get().map(|_| view! { <p class="faint small">{words::PICTURE_FAULT}</p> })}
            <p class="volt-floats small">
                <span class="swatch" data-volt="floats" aria-hidden="true"></span>
                {words::FLOATS}
            </p>
        }
        .into_any()
    }
}
