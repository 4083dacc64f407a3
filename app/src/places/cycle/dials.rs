//! The dials: a slider and a number for each, and the load.

use leptos::prelude::*;
use sparktrail_core::cycle::{Dials, Range};
use sparktrail_core::electrics::Charge;
use sparktrail_core::units::{Ohms, Rpm, Seconds, Volts};

use super::super::words::cycle as words;
use super::Seen;
use crate::edge::events;

/// One dial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Dial {
    Dwell,
    Supply,
    Speed,
    Added,
}

impl Dial {
    const ALL: [Self; 4] = [Self::Dwell, Self::Supply, Self::Speed, Self::Added];

    const fn range(self) -> Range {
        match self {
            Self::Dwell => Dials::DWELL,
            Self::Supply => Dials::SUPPLY,
            Self::Speed => Dials::SPEED,
            Self::Added => Dials::ADDED,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Dwell => words::DWELL.said(),
            Self::Supply => words::SUPPLY.said(),
            Self::Speed => words::SPEED.said(),
            Self::Added => words::ADDED.said(),
        }
    }

    fn unit(self) -> &'static str {
        match self {
            Self::Dwell => "ms",
            Self::Supply => "V",
            Self::Speed => words::RPM.said(),
            Self::Added => "Ω",
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Dwell => "dwell",
            Self::Supply => "supply",
            Self::Speed => "speed",
            Self::Added => "added",
        }
    }

    fn get(self, dials: &Dials) -> f64 {
        match self {
            Self::Dwell => dials.dwell.get() * 1e3,
            Self::Supply => dials.supply.get(),
            Self::Speed => dials.speed.get(),
            Self::Added => dials.added.get(),
        }
    }

    fn set(self, dials: &mut Dials, value: f64) {
        let value = self.range().hold(value);
        match self {
            Self::Dwell => dials.dwell = Seconds::new(value / 1e3).unwrap_or(dials.dwell),
            Self::Supply => dials.supply = Volts::new(value).unwrap_or(dials.supply),
            Self::Speed => dials.speed = Rpm::new(value).unwrap_or(dials.speed),
            Self::Added => dials.added = Ohms::new(value).unwrap_or(dials.added),
        }
    }

    fn written(self, dials: &Dials) -> String {
        let value = self.get(dials);
        match self {
            Self::Dwell | Self::Supply | Self::Added => format!("{value:.1}"),
            Self::Speed => format!("{value:.0}"),
        }
    }
}

const LOADS: [Charge; 3] = [Charge::Idle, Charge::PartLoad, Charge::FullLoad];

/// All of them.
#[component]
pub(super) fn Sliders(seen: Seen) -> impl IntoView {
    let rows = Dial::ALL.map(|dial| view! { <Slider seen dial /> }.into_any());
    let options = LOADS.map(|load| {
        let here = move || seen.dials.with(|dials| dials.load == load);
        view! { <option prop:selected=here>{words::load(load)}</option> }.into_any()
    });
    let load = move |event| {
        if let Some(load) = events::chosen(&event).and_then(|place| LOADS.get(place)) {
            seen.turn(|dials| dials.load = *load);
        }
    };
    let turned = move || seen.store.cycle.dials.with(Option::is_some);
    view! {
        <div class="dials">
            {rows}
            <label class="field">
                <span>{words::LOAD}</span>
                <select on:change=load>{options}</select>
            </label>
            {move || {
                turned()
                    .then(|| {
                        view! {
                            <button
                                type="button"
                                class="button"
                                data-weight="quiet"
                                on:click=move |_| seen.store.cycle.dials.set(None)
                            >
                                {words::AS_MAP}
                            </button>
                        }
                        .into_any()
                    })
            }}
        </div>
    }
    .into_any()
}

#[component]
fn Slider(seen: Seen, dial: Dial) -> impl IntoView {
    let range = dial.range();
    let value = Memo::new(move |_| seen.dials.with(|dials| dial.written(dials)));
    let turn = move |text: String| {
        if let Ok(value) = text.trim().replace(',', ".").parse::<f64>() {
            seen.turn(|dials| dial.set(dials, value));
        }
    };
    let spoken = move || format!("{} {}", value.get(), dial.unit());
    view! {
        <div class="dial" data-dial=dial.word()>
            <span class="dial-name">{dial.name()}</span>
            <span class="number">
                <input
                    type="number"
                    inputmode="decimal"
                    min=range.least
                    max=range.most
                    step=range.step
                    aria-label=words::typed(dial.name(), dial.unit())
                    prop:value=move || value.get()
                    on:change:target=move |event| turn(event.target().value())
                />
                <span>{dial.unit()}</span>
            </span>
            <input
                class="slide"
                type="range"
                min=range.least
                max=range.most
                step=range.step
                aria-label=dial.name()
                aria-valuetext=spoken
                prop:value=move || value.get()
                on:input:target=move |event| turn(event.target().value())
            />
        </div>
    }
    .into_any()
}
