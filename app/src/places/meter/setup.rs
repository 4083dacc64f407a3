//! How the car stands while the meter reads: the usual ways as buttons, all else in a fold.

use std::collections::BTreeSet;

use leptos::prelude::*;
use sparktrail_core::gather::Arrange;
use sparktrail_core::model::{
    BatteryLink, EngineState, Harness, Key, PartId, PartKind, Setup, UnitRole,
};
use sparktrail_core::units::Rpm;

use super::super::words::meter as words;
use crate::store::Store;
use crate::ui::{choice, drop_down};

/// Speed of the starter, turns a minute. Common practice, no source.
const STARTER: Rpm = Rpm::lit(200.0);
/// Idle speed, turns a minute. Common practice, no source.
const IDLE: Rpm = Rpm::lit(800.0);

/// The usual setups and the fold with the rest.
#[component]
pub(super) fn Usual(store: Store) -> impl IntoView {
    let setup = store.meter.setup;
    let buttons: Vec<AnyView> = words::usual()
        .into_iter()
        .map(|(name, usual)| {
            let this = usual.clone();
            let is_on = move || setup.with(|setup| *setup == this);
            choice(name, "button way", is_on, move || setup.set(usual.clone()))
        })
        .collect();
    let line = move || {
        store
            .harness
            .with(|harness| setup.with(|setup| words::setup(harness, setup)))
    };
    view! {
        <div class="way-row" role="group" aria-label=words::SETUP>{buttons}</div>
        <details class="setup-more">
            <summary>
                <span class="setup-line">{line}</span>
                <span class="unseen">": "{words::SETUP_MORE}</span>
            </summary>
            <Details store />
        </details>
    }
    .into_any()
}

#[component]
fn Details(store: Store) -> impl IntoView {
    let meter = store.meter;
    let setup = meter.setup;
    let battery = drop_down(
        words::BATTERY.said(),
        words::BATTERIES,
        Signal::derive(move || {
            setup.with(|setup| match setup.battery {
                BatteryLink::Connected => 0,
                BatteryLink::Disconnected => 1,
            })
        }),
        Callback::new(move |at| {
            meter.stand(|setup| {
                setup.battery = if at == 0 {
                    BatteryLink::Connected
                } else {
                    BatteryLink::Disconnected
                };
            });
        }),
    );
    let key = drop_down(
        words::KEY.said(),
        words::KEYS,
        Signal::derive(move || {
            setup.with(|setup| match setup.key {
                Key::On => 0,
                Key::Off => 1,
            })
        }),
        Callback::new(move |at| {
            meter.stand(|setup| setup.key = if at == 0 { Key::On } else { Key::Off });
        }),
    );
    let engine = drop_down(
        words::ENGINE.said(),
        words::ENGINES,
        Signal::derive(move || {
            setup.with(|setup| match setup.engine {
                EngineState::Stopped => 0,
                EngineState::Cranking(_) => 1,
                EngineState::Running(_) => 2,
            })
        }),
        Callback::new(move |at| {
            meter.stand(|setup| {
                setup.engine = match at {
                    0 => EngineState::Stopped,
                    1 => EngineState::Cranking(STARTER),
                    _ => EngineState::Running(IDLE),
                };
            });
        }),
    );
    view! {
        <div class="setup">
            <div class="setup-row">{battery} {key}</div>
            <div class="setup-row">{engine} <Speed store /></div>
            <Pulled store which=Which::Plugs />
            <Pulled store which=Which::Fuses />
        </div>
    }
    .into_any()
}

/// Turns a minute, while the engine runs.
#[component]
fn Speed(store: Store) -> impl IntoView {
    let setup = store.meter.setup;
    let speed = Memo::new(move |_| {
        setup.with(|setup| match setup.engine {
            EngineState::Running(rpm) => Some(rpm),
            EngineState::Stopped | EngineState::Cranking(_) => None,
        })
    });
    let typed = move |text: String| {
        let rpm = text
            .trim()
            .parse()
            .ok()
            .and_then(|rpm: f64| Rpm::new(rpm).ok());
        if let Some(rpm) = rpm.filter(|rpm| (100.0..=12_000.0).contains(&rpm.get())) {
            setup.update(|setup| setup.engine = EngineState::Running(rpm));
        }
    };
    move || {
        let rpm = speed.get()?;
        Some(
            view! {
                <label class="field">
                    <span>{words::RPM}</span>
                    <input
                        type="number"
                        inputmode="numeric"
                        min="100"
                        max="12000"
                        step="50"
                        prop:value=format!("{:.0}", rpm.get())
                        on:change:target=move |event| typed(event.target().value())
                    />
                </label>
            }
            .into_any(),
        )
    }
}

/// What is pulled out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Which {
    /// Plugs of units, connectors, coils, relays, injectors.
    Plugs,
    /// Fuses.
    Fuses,
}

impl Which {
    fn of(self, setup: &mut Setup) -> &mut BTreeSet<PartId> {
        match self {
            Self::Plugs => &mut setup.unplugged,
            Self::Fuses => &mut setup.pulled_fuses,
        }
    }

    fn holds(self, setup: &Setup, part: PartId) -> bool {
        match self {
            Self::Plugs => setup.unplugged.contains(&part),
            Self::Fuses => setup.pulled_fuses.contains(&part),
        }
    }

    /// Whether a part of this kind can be pulled; what is pulled most comes first.
    fn rank(self, kind: &PartKind) -> Option<u8> {
        match (self, kind) {
            (Self::Fuses, PartKind::Fuse(_)) => Some(0),
            (Self::Plugs, PartKind::ControlUnit(unit)) => match unit.role {
                UnitRole::EngineControl => Some(0),
                UnitRole::IgnitionModule => Some(1),
            },
            (Self::Plugs, PartKind::Connector(_)) => Some(2),
            (Self::Plugs, PartKind::Coil(_)) => Some(3),
            (Self::Plugs, PartKind::Relay(_)) => Some(4),
            (Self::Plugs, PartKind::Injector(_)) => Some(5),
            (_, _) => None,
        }
    }

    fn parts(self, harness: &Harness) -> Vec<(PartId, String)> {
        let mut found: Vec<(u8, PartId, String)> = harness
            .parts
            .iter()
            .filter_map(|(&id, part)| Some((self.rank(&part.kind)?, id, part.name.clone())))
            .collect();
        found.arrange();
        found.into_iter().map(|(_, id, name)| (id, name)).collect()
    }
}

/// A box to tick for each part that can be pulled.
#[component]
fn Pulled(store: Store, which: Which) -> impl IntoView {
    let setup = store.meter.setup;
    let heading = match which {
        Which::Plugs => words::UNPLUGGED,
        Which::Fuses => words::FUSES,
    };
    move || {
        let parts = store.told.with(|harness| which.parts(harness));
        if parts.is_empty() {
            return None;
        }
        let boxes: Vec<AnyView> = parts
            .into_iter()
            .map(|(part, name)| {
                let out = move || setup.with(|setup| which.holds(setup, part));
                let pressed = move || if out() { "true" } else { "false" };
                let turn = move |_| {
                    store.meter.stand(|setup| {
                        let pulled = which.of(setup);
                        if !pulled.remove(&part) {
                            pulled.insert(part);
                        }
                    });
                };
                view! {
                    <button type="button" class="button way" aria-pressed=pressed on:click=turn>
                        {name}
                    </button>
                }
                .into_any()
            })
            .collect();
        Some(
            view! {
                <fieldset class="pulled">
                    <legend>{heading}</legend>
                    <div class="way-row">{boxes}</div>
                </fieldset>
            }
            .into_any(),
        )
    }
}
