//! Fields in which facts are changed: one for each kind of value.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::{FactAt, FactValue};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::{Colour, Harness, PinRole, WireColour, WireSize};
use sparktrail_core::units::SquareMillimetres;

use super::acts::say;
use crate::places::words::editor as words;
use crate::store::{Ask, Store};
use crate::ui::drop_down_in_line;

/// What a pin can be for.
const ROLES: [PinRole; 9] = [
    PinRole::CoilSwitch,
    PinRole::DriveOut,
    PinRole::DriveIn,
    PinRole::Supply,
    PinRole::Ground,
    PinRole::InjectorSwitch,
    PinRole::RelaySwitch,
    PinRole::SensorIn,
    PinRole::Other,
];

/// Whether a fact has a field here. Numbers have one of their own, and so have the engine's facts.
pub(in crate::places) const fn has_field(at: FactAt) -> bool {
    kind(at).is_some()
}

/// What a fact says, as far as it is changed in a field of this module.
#[derive(Clone, Copy)]
enum Kind {
    Place,
    Colours,
    Size,
    Label,
    Role,
    Cylinder,
}

const fn kind(at: FactAt) -> Option<Kind> {
    Some(match at {
        FactAt::WireEnd(..)
        | FactAt::LeadFrom(_)
        | FactAt::LeadTo(_)
        | FactAt::DriverOutput(_)
        | FactAt::DriverGround(_)
        | FactAt::DriverDrive(_) => Kind::Place,
        FactAt::WireColour(_) => Kind::Colours,
        FactAt::WireSize(_) => Kind::Size,
        FactAt::PinLabel(..) | FactAt::CavityLabel(..) => Kind::Label,
        FactAt::PinRole(..) => Kind::Role,
        FactAt::PlugCylinder(_) | FactAt::InjectorCylinder(_) => Kind::Cylinder,
        FactAt::FiringOrder
        | FactAt::FiringAngles
        | FactAt::WireLength(_)
        | FactAt::DriverOnVoltage(_)
        | FactAt::DriverOnResistance(_)
        | FactAt::BatteryVoltage(_)
        | FactAt::BatteryResistance(_)
        | FactAt::FuseRating(_)
        | FactAt::RelayWinding(_)
        | FactAt::PrimaryResistance(_)
        | FactAt::PrimaryInductance(_)
        | FactAt::SecondaryResistance(_)
        | FactAt::TurnsRatio(_)
        | FactAt::LeadResistance(_)
        | FactAt::PlugGap(_)
        | FactAt::PlugResistor(_)
        | FactAt::InjectorWinding(_)
        | FactAt::PullUp(_)
        | FactAt::PullDown(_) => return None,
    })
}

/// The field of a fact that [`has_field`]. It stays the same field, whatever is chosen in it.
pub(in crate::places) fn field(store: Store, at: FactAt, term: &str) -> AnyView {
    match kind(at) {
        Some(Kind::Place) => place(store, at, term),
        Some(Kind::Colours) => colours(store, at),
        Some(Kind::Size) => size(store, at, term),
        Some(Kind::Label) => label(store, at, term),
        Some(Kind::Role) => role(store, at, term),
        Some(Kind::Cylinder) => cylinder(store, at, term),
        None => ().into_any(),
    }
}

/// What a fact says now.
fn value(store: Store, at: FactAt) -> Memo<Option<FactValue>> {
    Memo::new(move |_| {
        store
            .harness
            .with(|harness| harness.fact(at).map(|fact| fact.value))
    })
}

/// The same in words.
fn told(store: Store, at: FactAt) -> Memo<Option<String>> {
    Memo::new(move |_| {
        store.told.with(|harness| {
            let value = harness.fact(at)?.value;
            Some(harness.value_name(at, &value))
        })
    })
}

/// A text, taken when the person leaves it.
pub(super) fn text(
    id: Option<&'static str>,
    name: String,
    now: Signal<String>,
    act: Box<dyn Fn(String)>,
) -> AnyView {
    view! {
        <input
            type="text"
            id=id
            class="in-line"
            autocomplete="off"
            aria-label=name
            prop:value=move || now.get()
            on:change:target=move |event| act(event.target().value())
        />
    }
    .into_any()
}

fn place(store: Store, at: FactAt, term: &str) -> AnyView {
    let told = told(store, at);
    let name = move || told.get().unwrap_or_else(|| words::CHOOSE.to_owned());
    let term = term.to_owned();
    let looser = format!("{}: {term}", words::LOOSEN);
    let label = move || format!("{term}: {}", name());
    let is_known = Memo::new(move |_| told.with(Option::is_some));
    let loosen = move || {
        is_known.get().then(|| {
            view! {
                <button
                    type="button"
                    class="button way"
                    aria-label=looser.clone()
                    on:click=move |_| say(store, at, None)
                >
                    {words::LOOSEN}
                </button>
            }
            .into_any()
        })
    };
    view! {
        <span class="ends">
            <button
                type="button"
                class="button way grow"
                aria-label=label
                on:click=move |_| store.editor.ask.set(Some(Ask::Place(at)))
            >
                {name}
            </button>
            {loosen}
        </span>
    }
    .into_any()
}

fn colours(store: Store, at: FactAt) -> AnyView {
    let value = value(store, at);
    let now = Memo::new(move |_| {
        if let Some(FactValue::Colour(colour)) = value.get() {
            Some(colour)
        } else {
            None
        }
    });
    let entries = |first: &str| {
        let mut all = vec![first.to_owned()];
        let colours = Colour::ALL.iter();
        all.extend(colours.map(|c| format!("{} {}", c.code(), c.word())));
        all
    };
    let nth = |colour: Option<Colour>| {
        let place = Colour::ALL.iter().position(|c| Some(*c) == colour);
        place.map_or(0, |place| place + 1)
    };
    let of = |nth: usize| Some(*Colour::ALL.get(nth.checked_sub(1)?)?);
    let base = drop_down_in_line(
        words::BASE.into(),
        entries(words::UNKNOWN.said()),
        Signal::derive(move || nth(now.get().map(|colour| colour.base))),
        Callback::new(move |nth| {
            let tracer = now.get_untracked().and_then(|colour| colour.tracer);
            let colour = of(nth).map(|base| FactValue::Colour(WireColour { base, tracer }));
            say(store, at, colour);
        }),
    );
    let is_known = Memo::new(move |_| now.with(Option::is_some));
    let tracer = move || {
        is_known.get().then(|| {
            drop_down_in_line(
                words::TRACER.into(),
                entries(words::NO_TRACER.said()),
                Signal::derive(move || nth(now.get().and_then(|colour| colour.tracer))),
                Callback::new(move |nth| {
                    let colour = now.get_untracked().map(|WireColour { base, .. }| {
                        let tracer = of(nth);
                        FactValue::Colour(WireColour { base, tracer })
                    });
                    say(store, at, colour);
                }),
            )
        })
    };
    view! { <span class="ends">{base} {tracer}</span> }.into_any()
}

/// A wire's size as people write it: "0.75", "0,75 mm²", "AWG 18", "18 awg", "2/0".
fn size_of(typed: &str) -> Option<WireSize> {
    let plain = typed.trim().to_lowercase().replace(',', ".");
    let gauge = |text: &str| -> Option<WireSize> {
        let text = text.trim();
        let gauge = match text.strip_suffix("/0") {
            Some(noughts) => 1_i8.checked_sub(noughts.trim().parse().ok()?)?,
            None => text.parse().ok()?,
        };
        Some(WireSize::Awg(gauge))
    };
    if let Some(rest) = plain
        .strip_prefix("awg")
        .or_else(|| plain.strip_suffix("awg"))
    {
        return gauge(rest);
    }
    if plain.ends_with("/0") {
        return gauge(&plain);
    }
    let number = plain.trim_end_matches("mm²").trim_end_matches("mm2").trim();
    let area = SquareMillimetres::new(number.parse().ok()?).ok()?;
    Some(WireSize::Area(area))
}

fn size(store: Store, at: FactAt, term: &str) -> AnyView {
    let told = told(store, at);
    let act = move |typed: String| {
        if typed.trim() == told.get_untracked().unwrap_or_default() {
            return;
        }
        if typed.trim().is_empty() {
            say(store, at, None);
        } else if let Some(size) = size_of(&typed) {
            say(store, at, Some(FactValue::Size(size)));
        } else {
            store.session.say(words::no_size(&typed), None);
        }
    };
    let now = Signal::derive(move || told.get().unwrap_or_default());
    text(None, term.to_owned(), now, Box::new(act))
}

/// The number or letter of a pin or cavity.
pub(super) fn label(store: Store, at: FactAt, term: &str) -> AnyView {
    let read = move |harness: &Arc<Harness>| {
        if let Some(FactValue::Label(label)) = harness.fact(at).map(|fact| fact.value) {
            label
        } else {
            String::new()
        }
    };
    let now = Memo::new(move |_| store.told.with(read));
    let act = move |typed: String| {
        let typed = typed.trim().to_owned();
        if typed != store.harness.with_untracked(read) {
            say(
                store,
                at,
                (!typed.is_empty()).then_some(FactValue::Label(typed)),
            );
        }
    };
    text(None, term.to_owned(), now.into(), Box::new(act))
}

/// What a pin is for.
pub(super) fn role(store: Store, at: FactAt, term: &str) -> AnyView {
    let now = Memo::new(move |_| {
        let fact = store.told.with(|harness| harness.fact(at));
        if let Some(FactValue::Role(role)) = fact.map(|fact| fact.value) {
            let place = ROLES.iter().position(|each| *each == role);
            place.map_or(0, |place| place + 1)
        } else {
            0
        }
    });
    let mut entries = vec![words::UNKNOWN.to_owned()];
    entries.extend(ROLES.iter().map(|role| role.phrase().to_owned()));
    let act = move |nth: usize| {
        let role = nth.checked_sub(1).and_then(|nth| ROLES.get(nth).copied());
        say(store, at, role.map(FactValue::Role));
    };
    drop_down_in_line(term.to_owned(), entries, now.into(), Callback::new(act))
}

/// The cylinders of the engine, and the entries of a list of them: "not known" first.
pub(super) fn cylinders(store: Store) -> (Vec<CylinderId>, Vec<String>) {
    let all = store
        .harness
        .with_untracked(|harness| harness.engine.cylinders());
    let mut entries = vec![words::UNKNOWN.to_owned()];
    entries.extend(all.iter().map(|cylinder| words::cylinder(cylinder.0)));
    (all, entries)
}

fn cylinder(store: Store, at: FactAt, term: &str) -> AnyView {
    let (all, entries) = cylinders(store);
    let value = value(store, at);
    let all = StoredValue::new(all);
    let place = move |value: FactValue| {
        let FactValue::Cylinder(cylinder) = value else {
            return None;
        };
        all.with_value(|all| all.iter().position(|each| *each == cylinder))
    };
    let chosen = move || value.get().and_then(place).map_or(0, |place| place + 1);
    let act = move |nth: usize| {
        let cylinder = |nth: usize| all.with_value(|all| all.get(nth).copied());
        let cylinder = nth.checked_sub(1).and_then(cylinder);
        say(store, at, cylinder.map(FactValue::Cylinder));
    };
    drop_down_in_line(
        term.to_owned(),
        entries,
        Signal::derive(chosen),
        Callback::new(act),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_as_people_write_them() {
        let area = |area| Some(WireSize::Area(SquareMillimetres::lit(area)));
        for (typed, expected) in [
            ("0.75", area(0.75)),
            (" 0,75 mm² ", area(0.75)),
            ("1.5mm2", area(1.5)),
            ("AWG 18", Some(WireSize::Awg(18))),
            ("18 awg", Some(WireSize::Awg(18))),
            ("AWG 2/0", Some(WireSize::Awg(-1))),
            ("1/0", Some(WireSize::Awg(0))),
            ("thin", None),
            ("", None),
            ("NaN", None),
            ("awg", None),
        ] {
            assert_eq!(size_of(typed), expected, "{typed:?}");
        }
    }
}
