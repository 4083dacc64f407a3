//! Numbers of parts and wires, to be typed in where they stand; and those that readings take for granted.

use std::collections::BTreeMap;

use leptos::prelude::*;
use sparktrail_core::edit::{Command, EditError, FactAt, nominal as value_at, quantity};
use sparktrail_core::electrics::nominal::{self, Nominal};
use sparktrail_core::electrics::wire_resistance;
use sparktrail_core::model::{DriverPiece, Element, Harness, LeadKind, PartKind, Quantity};
use sparktrail_core::provenance::{Fact, Provenance};
use sparktrail_core::said::said;
use sparktrail_core::topology::Pick;
use sparktrail_core::units::Celsius;

use super::words::facts::ohms;
use super::words::nominals as words;
use crate::store::Store;

/// What readings use while nobody knows a number.
fn default_of(harness: &Harness, at: FactAt) -> Option<Nominal> {
    let boot = |part| {
        harness
            .lead(part)
            .is_some_and(|lead| lead.kind == LeadKind::Boot)
    };
    Some(match (quantity(at)?, at) {
        (Quantity::Lead, FactAt::LeadResistance(part)) if boot(part) => nominal::BOOT,
        (Quantity::Primary, _) => nominal::PRIMARY_RESISTANCE,
        (Quantity::Inductance, _) => nominal::PRIMARY_INDUCTANCE,
        (Quantity::Secondary, _) => nominal::SECONDARY_RESISTANCE,
        (Quantity::TurnsRatio, _) => nominal::TURNS_RATIO,
        (Quantity::Lead, _) => nominal::LEAD,
        (Quantity::PlugResistor, _) => nominal::PLUG_RESISTOR,
        (Quantity::Gap, _) => nominal::PLUG_GAP,
        (Quantity::BatteryVoltage, _) => nominal::BATTERY_VOLTAGE,
        (Quantity::BatteryResistance, _) => nominal::BATTERY_RESISTANCE,
        (Quantity::FuseRating, _) => nominal::FUSE_RATING,
        (Quantity::RelayWinding, _) => nominal::RELAY_WINDING,
        (Quantity::InjectorWinding, _) => nominal::INJECTOR_WINDING,
        // Many units have none.
        (Quantity::Pull, _) => return None,
        (Quantity::DriverVoltage, _) => nominal::DRIVER_VOLTAGE,
        (Quantity::DriverResistance, _) => nominal::DRIVER_RESISTANCE,
        (Quantity::WireArea, _) => nominal::WIRE_AREA,
        (Quantity::WireLength, _) => nominal::WIRE_LENGTH,
    })
}

/// Whether a fact is a number that can be typed in.
pub(super) const fn is_number(at: FactAt) -> bool {
    quantity(at).is_some()
}

/// A number in its field. An empty field is a number that nobody knows.
#[component]
pub(super) fn NumberField(store: Store, at: FactAt, term: String) -> impl IntoView {
    let Some(quantity) = quantity(at) else {
        return ().into_any();
    };
    let words::Scale { unit, one } = words::scale(quantity);
    let label = term + ", " + unit;
    let harness = store.harness;
    // It stays the same field, whatever is typed into it.
    let known = Memo::new(move |_| harness.with(|harness| value_at(harness, at)));
    let default = harness.with_untracked(|harness| default_of(harness, at));
    let trouble = RwSignal::new(None::<String>);
    let number = move |fact: Fact<f64>| words::number(fact.value / one);
    let text = move || known.get().map_or_else(String::new, number);
    let keep = move |typed: String| {
        let known = known.get_untracked();
        if typed.trim() == known.map_or_else(String::new, number) {
            trouble.set(None);
            return;
        }
        let value = if typed.trim().is_empty() {
            None
        } else if let Some(value) = words::typed(&typed, unit) {
            Some(Fact {
                value: value * one,
                how: if store.editor.is_on_now() {
                    store.editor.how.get_untracked()
                } else {
                    known.map_or(Provenance::Assumed, |fact| fact.how)
                },
            })
        } else {
            trouble.set(Some(words::no_number(&typed)));
            return;
        };
        trouble.set(None);
        match store.dispatch(Command::SetNominal { at, value }) {
            Ok(()) => {}
            Err(EditError::OutOfRange(quantity)) => {
                trouble.set(Some(words::out_of_range(quantity)));
            }
            Err(error) => {
                let words = store.harness.with_untracked(|harness| error.told(harness));
                trouble.set(Some(words));
            }
        }
    };
    let is_unknown = Memo::new(move |_| known.with(Option::is_none));
    let note = move || {
        let default = default.filter(|_| is_unknown.get())?;
        let note = words::default_of(default.value, quantity, default.source);
        Some(view! { <span class="faint small taken">{note}</span> }.into_any())
    };
    let wrong = move || {
        let said = trouble.get()?;
        Some(view! { <span class="wrong small" role="alert">{said}</span> }.into_any())
    };
    let invalid = move || trouble.with(Option::is_some).then_some("true");
    let placeholder = default.map(|default| words::number(default.value / one));
    view! {
        <span class="number">
            <input
                type="text"
                inputmode="decimal"
                autocomplete="off"
                class="num"
                aria-label=label
                aria-invalid=invalid
                placeholder=placeholder
                prop:value=text
                on:change:target=move |event| keep(event.target().value())
            />
            <span>{unit}</span>
        </span>
        {note}
        {wrong}
    }
    .into_any()
}

/// What an element with no fact of its own counts as.
fn granted_of(element: Element) -> Option<Nominal> {
    match element {
        Element::Joint(..) => Some(nominal::JOINT),
        Element::Mated(_) | Element::Cavity(..) => Some(nominal::MATED),
        Element::Trace(..) => Some(nominal::TRACE),
        Element::BoardSupply(_) | Element::BoardGround(_) => Some(nominal::BOARD),
        Element::Driver(_, DriverPiece::OutputJoint | DriverPiece::GroundJoint) => {
            Some(nominal::SOLDER)
        }
        Element::Driver(_, DriverPiece::DriveResistor) => Some(nominal::DRIVE_RESISTOR),
        Element::Rotor(_) => Some(nominal::ROTOR),
        Element::Battery(_)
        | Element::Contact(_)
        | Element::RelayWinding(_)
        | Element::Wire(_)
        | Element::Logic(_)
        | Element::CrankSignal(_)
        | Element::Driver(
            _,
            DriverPiece::Switch | DriverPiece::DriveJoint | DriverPiece::GateJoint,
        )
        | Element::Primary(_)
        | Element::Secondary(_)
        | Element::CoilInsulation(_)
        | Element::Cap(_)
        | Element::LeadConductor(_)
        | Element::LeadInsulation(_)
        | Element::Gap(_)
        | Element::Insulator(_)
        | Element::PlugResistor(_)
        | Element::InjectorWinding(_)
        | Element::Cylinder(_) => None,
    }
}

fn of_part(harness: &Harness, pick: Pick) -> Vec<Nominal> {
    let Pick::Part(id) = pick else {
        return Vec::new();
    };
    match harness.parts.get(&id).map(|part| &part.kind) {
        Some(PartKind::Fuse(_)) => vec![nominal::FUSE_DROP, nominal::FUSE_BLOWS],
        Some(PartKind::KeySwitch) => vec![nominal::KEY_CONTACT],
        Some(PartKind::Relay(_)) => vec![nominal::RELAY_CONTACT, nominal::RELAY_PULLS_IN],
        Some(PartKind::ControlUnit(_)) => vec![
            nominal::UNIT_AWAKE,
            nominal::UNIT_ASLEEP,
            nominal::UNIT_WAKES,
            nominal::DWELL,
        ],
        Some(PartKind::Coil(_)) => vec![nominal::COUPLING, nominal::SECONDARY_CAPACITANCE],
        Some(
            PartKind::Battery(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_),
        )
        | None => Vec::new(),
    }
}

/// What readings take for granted of what is selected, each value with its source.
#[component]
pub(super) fn Granted(store: Store, pick: Pick) -> impl IntoView {
    move || {
        let harness = store.told.get();
        let elements = store.derived.elements_at(&harness, pick);
        let mut found: BTreeMap<&'static str, Nominal> = BTreeMap::new();
        let inner = elements.into_iter().filter_map(granted_of);
        for nominal in of_part(&harness, pick).into_iter().chain(inner) {
            found.insert(nominal.what, nominal);
        }
        let wire = if let Pick::Wire(id) = pick {
            let ohm = wire_resistance(&harness, id, Celsius::lit(nominal::TEMPERATURE.value));
            Some((ohms(rounded(ohm)), words::WIRE_OHMS))
        } else {
            None
        };
        if found.is_empty() && wire.is_none() {
            return None;
        }
        let wire = wire.map(|(value, what)| {
            view! {
                <div class="fact">
                    <dt>{what}</dt>
                    <dd class="num">{value}</dd>
                </div>
            }
            .into_any()
        });
        let rows: Vec<AnyView> = found
            .into_values()
            .map(|nominal| {
                view! {
                    <div class="fact">
                        <dt>{said(nominal.what)}</dt>
                        <dd>
                            <span class="num">{words::granted(&nominal)}</span>
                            <span class="faint small">{said(nominal.source)}</span>
                        </dd>
                    </div>
                }
                .into_any()
            })
            .collect();
        Some(
            view! {
                <details class="card group">
                    <summary>{words::GRANTED}</summary>
                    <p class="faint small">{words::GRANTED_HOW}</p>
                    <dl class="facts">{wire} {rows}</dl>
                </details>
            }
            .into_any(),
        )
    }
}

fn rounded(value: sparktrail_core::units::Ohms) -> sparktrail_core::units::Ohms {
    sparktrail_core::units::Ohms::new((value.get() * 1e4).round() / 1e4).unwrap_or_default()
}
