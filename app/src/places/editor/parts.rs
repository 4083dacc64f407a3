//! What makes a part of its kind, to be changed: form, pins, cavities, drivers, cylinders.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::{Command, FactAt, Form, Noted, WireLook};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::{
    CavityId, Coil, DriverId, Harness, PartId, PartKind, PinId, Port, Secondary, Side, Terminal,
};
use sparktrail_core::topology::Pick;

use super::fields::{cylinders, label, role, text};
use super::panel::{NAME_FIELD, terminals};
use crate::places::words::editor as words;
use crate::store::Store;
use crate::text::Text;
use crate::ui::drop_down_in_line;

/// Whether the editor shows every fact of it by itself.
pub(super) fn tells_all(store: Store, pick: Pick) -> bool {
    let Pick::Part(part) = pick else {
        return matches!(pick, Pick::Cylinder(_));
    };
    store.harness.with_untracked(|harness| {
        let kind = harness.parts.get(&part).map(|part| &part.kind);
        matches!(
            kind,
            Some(PartKind::ControlUnit(_) | PartKind::Connector(_) | PartKind::Distributor(_))
        )
    })
}

/// The name of what is chosen, where it has one of its own.
pub(super) fn name(store: Store, pick: Pick) -> AnyView {
    let (now, command): (Signal<String>, Box<dyn Fn(String) -> Command>) = match pick {
        Pick::Part(part) => (
            Memo::new(move |_| store.told.with(|h| h.part_name(part).to_owned())).into(),
            Box::new(move |name| Command::RenamePart { part, name }),
        ),
        Pick::Driver(driver) => (
            Memo::new(move |_| {
                let known = store
                    .harness
                    .with(|h| h.driver(driver).map(|d| d.name.clone()));
                known.unwrap_or_default()
            })
            .into(),
            Box::new(move |name| Command::RenameDriver { driver, name }),
        ),
        Pick::Wire(_) | Pick::Element(_) | Pick::Terminal(_) | Pick::Cylinder(_) => {
            return ().into_any();
        }
    };
    let act = move |typed: String| store.change(command(typed.trim().to_owned()));
    let field = text(Some(NAME_FIELD), words::NAME.into(), now, Box::new(act));
    view! { <label class="field"><span>{words::NAME}</span>{field}</label> }.into_any()
}

/// What a part has of its own: it is made anew whenever the part takes another form.
pub(super) fn own(store: Store, part: PartId) -> AnyView {
    let form = Memo::new(move |_| {
        let kind = |harness: &Arc<Harness>| harness.parts.get(&part).map(|p| form_of(&p.kind));
        store.told.with(kind)
    });
    let body = move || {
        form.track();
        let kind = |harness: &Arc<Harness>| harness.parts.get(&part).map(|p| p.kind.clone());
        match store.harness.with_untracked(kind) {
            Some(kind) => of_kind(store, part, &kind),
            None => ().into_any(),
        }
    };
    let place = Memo::new(move |_| {
        let text = |harness: &Arc<Harness>| {
            let part = harness.parts.get(&part);
            part.map_or_else(String::new, |part| part.place.text.clone())
        };
        store.told.with(text)
    });
    let act = move |text: String| {
        let of = Noted::Place(part);
        store.change(Command::SetNote { of, text });
    };
    let place = text(None, words::PLACE.into(), place.into(), Box::new(act));
    view! {
        {body}
        <section class="card">
            <label class="field"><span>{words::PLACE}</span>{place}</label>
        </section>
    }
    .into_any()
}

/// What decides which fields a part has: all else they follow by themselves.
fn form_of(kind: &PartKind) -> (Vec<Form>, Option<DriverId>) {
    let forms = match kind {
        PartKind::Coil(coil) => {
            let driver = coil.driver.as_ref().map(|driver| driver.id);
            return (
                vec![Form::Secondary(coil.secondary), Form::Pack(coil.pack)],
                driver,
            );
        }
        PartKind::Ground(site) => vec![Form::Site(*site)],
        PartKind::ControlUnit(unit) => vec![Form::Unit(unit.role)],
        PartKind::Lead(lead) => vec![Form::Lead(lead.kind)],
        PartKind::Distributor(distributor) => vec![Form::Towers(distributor.towers.clone())],
        PartKind::Battery(_)
        | PartKind::Fuse(_)
        | PartKind::KeySwitch
        | PartKind::Relay(_)
        | PartKind::Splice
        | PartKind::Connector(_)
        | PartKind::Pack
        | PartKind::Plug(_)
        | PartKind::Injector(_) => Vec::new(),
    };
    (forms, None)
}

fn of_kind(store: Store, part: PartId, kind: &PartKind) -> AnyView {
    let form = match kind {
        PartKind::Coil(coil) => coil_form(store, part, coil),
        PartKind::Ground(site) => choice(
            store,
            part,
            words::SITE.said(),
            &words::SITES,
            *site,
            Form::Site,
        ),
        PartKind::ControlUnit(unit) => choice(
            store,
            part,
            words::BOX.said(),
            &words::BOXES,
            unit.role,
            Form::Unit,
        ),
        PartKind::Lead(lead) => choice(
            store,
            part,
            words::LEAD.said(),
            &words::LEADS,
            lead.kind,
            Form::Lead,
        ),
        PartKind::Distributor(distributor) => towers(store, part, &distributor.towers),
        PartKind::Battery(_)
        | PartKind::Fuse(_)
        | PartKind::KeySwitch
        | PartKind::Relay(_)
        | PartKind::Splice
        | PartKind::Connector(_)
        | PartKind::Pack
        | PartKind::Plug(_)
        | PartKind::Injector(_) => ().into_any(),
    };
    let inside = match kind {
        PartKind::ControlUnit(_) => unit_rows(store, part),
        PartKind::Connector(_) => cavity_rows(store, part),
        PartKind::Pack => ().into_any(),
        PartKind::Battery(_)
        | PartKind::Fuse(_)
        | PartKind::KeySwitch
        | PartKind::Relay(_)
        | PartKind::Splice
        | PartKind::Ground(_)
        | PartKind::Coil(_)
        | PartKind::Distributor(_)
        | PartKind::Lead(_)
        | PartKind::Plug(_)
        | PartKind::Injector(_) => {
            let all = store
                .harness
                .with_untracked(|harness| harness.terminals_of(part));
            terminals(store, all)
        }
    };
    view! {
        {form}
        {inside}
    }
    .into_any()
}

/// One of a few forms.
fn choice<T: Copy + PartialEq + Sync + 'static>(
    store: Store,
    part: PartId,
    name: &'static str,
    all: &'static [(T, Text)],
    now: T,
    form: fn(T) -> Form,
) -> AnyView {
    let entries = all
        .iter()
        .map(|(_, words)| words.said().to_owned())
        .collect();
    let chosen = all.iter().position(|(each, _)| *each == now).unwrap_or(0);
    let act = move |nth: usize| {
        if let Some((value, _)) = all.get(nth) {
            let form = form(*value);
            store.change(Command::SetForm { part, form });
        }
    };
    let field = drop_down_in_line(
        name.into(),
        entries,
        Signal::stored(chosen),
        Callback::new(act),
    );
    view! {
        <section class="card">
            <label class="field"><span>{name}</span>{field}</label>
        </section>
    }
    .into_any()
}

fn coil_form(store: Store, part: PartId, coil: &Coil) -> AnyView {
    let built = choice(
        store,
        part,
        words::BUILT.said(),
        &words::SECONDARIES,
        coil.secondary,
        Form::Secondary,
    );
    let driver = coil.driver.as_ref().map(|driver| driver.id);
    let inside = move |_| {
        store.change(driver.map_or_else(
            || Command::AddDriver {
                host: part,
                name: words::DRIVER_INSIDE.into(),
            },
            Command::RemoveDriver,
        ));
    };
    let towers: &[Port] = match coil.secondary {
        Secondary::TwoEnded => &[Port::TowerA, Port::TowerB],
        Secondary::ReturnsToFeed | Secondary::ReturnsToGround => &[Port::TowerA],
    };
    let feeds: Vec<AnyView> = towers
        .iter()
        .map(|&port| feeds(store, Terminal { part, port }))
        .collect();
    let packs: Vec<(PartId, String)> = store.harness.with_untracked(|harness| {
        let packs = harness
            .parts
            .iter()
            .filter(|(_, p)| matches!(p.kind, PartKind::Pack));
        packs.map(|(id, part)| (*id, part.name.clone())).collect()
    });
    let pack = (!packs.is_empty()).then(|| {
        let mut entries = vec![words::ALONE.to_owned()];
        entries.extend(packs.iter().map(|(_, name)| name.clone()));
        let place = packs.iter().position(|(id, _)| Some(*id) == coil.pack);
        let act = move |nth: usize| {
            let pack = nth
                .checked_sub(1)
                .and_then(|nth| packs.get(nth))
                .map(|(id, _)| *id);
            let form = Form::Pack(pack);
            store.change(Command::SetForm { part, form });
        };
        let chosen = place.map_or(0, |place| place + 1);
        let field = drop_down_in_line(
            words::PACK.into(),
            entries,
            Signal::stored(chosen),
            Callback::new(act),
        );
        view! { <label class="field"><span>{words::PACK}</span>{field}</label> }
    });
    view! {
        {built}
        <section class="card">
            <label class="switch">
                <input type="checkbox" prop:checked=driver.is_some() on:change=inside />
                <span>{words::INSIDE}</span>
            </label>
            {feeds}
            {pack}
        </section>
    }
    .into_any()
}

/// The cylinder that a tower of a coil feeds.
fn fed(harness: &Harness, tower: Terminal) -> Option<CylinderId> {
    let mut leads = harness.parts.keys().filter_map(|id| harness.lead(*id));
    let lead = leads.find(|lead| lead.from.is_some_and(|fact| fact.value == tower))?;
    let plug = harness.plug(lead.to?.value.part)?;
    Some(plug.cylinder?.value)
}

fn feeds(store: Store, tower: Terminal) -> AnyView {
    let coil = tower.part;
    let name = store
        .harness
        .with_untracked(|harness| harness.port_name(tower));
    let (all, entries) = cylinders(store);
    let known = all.clone();
    let chosen = Memo::new(move |_| {
        let now = store.told.with(|harness| fed(harness, tower));
        let place = known.iter().position(|each| Some(*each) == now);
        place.map_or(0, |place| place + 1)
    });
    let act = move |nth: usize| {
        let Some(&cylinder) = nth.checked_sub(1).and_then(|nth| all.get(nth)) else {
            return;
        };
        let mut cylinders = vec![cylinder];
        if tower.port == Port::TowerB {
            let port = Port::TowerA;
            let first = Terminal { part: coil, port };
            match store.harness.with_untracked(|harness| fed(harness, first)) {
                Some(first) => cylinders.insert(0, first),
                // The first tower feeds nobody yet: only this one is joined.
                None => return join_to_plug(store, tower, cylinder),
            }
        }
        let how = store.editor.how.get_untracked();
        store.change(Command::AssignCoil {
            coil,
            cylinders,
            how,
        });
    };
    let label = format!("{name} · {}", words::FEEDS);
    let field = drop_down_in_line(label.clone(), entries, chosen.into(), Callback::new(act));
    view! { <label class="field"><span>{label}</span>{field}</label> }.into_any()
}

fn join_to_plug(store: Store, tower: Terminal, cylinder: CylinderId) {
    let plug = store.harness.with_untracked(|harness| {
        harness.parts.keys().copied().find(|part| {
            let plug = harness.plug(*part).and_then(|plug| plug.cylinder);
            plug.is_some_and(|fact| fact.value == cylinder)
        })
    });
    if let Some(part) = plug {
        let port = Port::PlugTop;
        store.change(Command::Connect {
            from: tower,
            to: Terminal { part, port },
            how: store.editor.how.get_untracked(),
            look: WireLook::default(),
        });
    }
}

/// The cylinders of a distributor's towers, as they are written: 1-3-4-2.
fn towers(store: Store, part: PartId, now: &[CylinderId]) -> AnyView {
    let now: Vec<String> = now.iter().map(ToString::to_string).collect();
    let act = move |typed: String| {
        let numbers = typed
            .split(|c: char| !c.is_ascii_digit())
            .filter(|word| !word.is_empty());
        let towers: Option<Vec<CylinderId>> = numbers
            .map(|word| word.parse().ok().map(CylinderId))
            .collect();
        match towers {
            Some(towers) if !towers.is_empty() => {
                let form = Form::Towers(towers);
                store.change(Command::SetForm { part, form });
            }
            Some(_) | None => store.session.say(words::no_towers(&typed), None),
        }
    };
    let now = Signal::stored(now.join("-"));
    let field = text(None, words::TOWERS.into(), now, Box::new(act));
    view! {
        <section class="card">
            <label class="field"><span>{words::TOWERS}</span>{field}</label>
        </section>
    }
    .into_any()
}

fn open_terminal(store: Store, terminal: Terminal) -> AnyView {
    let name = store
        .harness
        .with_untracked(|harness| harness.terminal_name(terminal));
    view! {
        <button
            type="button"
            class="button way"
            aria-label=format!("{} {name}", words::OPEN)
            on:click=move |_| store.session.picked.set(Some(Pick::Terminal(terminal)))
        >
            {words::OPEN}
        </button>
    }
    .into_any()
}

/// The pins of a box, each with its number and use; its drivers. A row stays while what is in it changes, so
/// that the keyboard stays in it.
fn unit_rows(store: Store, part: PartId) -> AnyView {
    let pins = Memo::new(move |_| {
        store.told.with(|harness| {
            let unit = harness.unit(part);
            let pins = unit.map(|unit| unit.pins.iter().map(|pin| pin.id).collect());
            pins.unwrap_or_else(Vec::<PinId>::new)
        })
    });
    let drivers = Memo::new(move |_| {
        store.told.with(|harness| {
            let all = harness.unit(part).map(|unit| {
                let drivers = unit.drivers.iter();
                drivers.map(|d| (d.id, d.name.clone())).collect()
            });
            all.unwrap_or_else(Vec::<(DriverId, String)>::new)
        })
    });
    let row = move |pin: PinId| {
        let terminal = Terminal {
            part,
            port: Port::Pin(pin),
        };
        let named = store
            .harness
            .with_untracked(|harness| harness.port_name(terminal));
        let number = label(
            store,
            FactAt::PinLabel(part, pin),
            &format!("{}: {named}", words::NUMBER),
        );
        let used = role(
            store,
            FactAt::PinRole(part, pin),
            &format!("{}: {named}", words::USE),
        );
        let open = open_terminal(store, terminal);
        let clash = super::clashes::clash(store, FactAt::PinLabel(part, pin));
        view! { <li class="pin-row">{number} {used} {open} {clash}</li> }.into_any()
    };
    let driver_buttons = move || {
        let buttons = drivers.get().into_iter().map(|(id, name)| {
            let act = move |_| store.session.picked.set(Some(Pick::Driver(id)));
            view! { <button type="button" class="button way" on:click=act>{name}</button> }
                .into_any()
        });
        buttons.collect::<Vec<AnyView>>()
    };
    let add_pin = move |_| {
        store.change(Command::AddPin {
            unit: part,
            label: None,
            role: None,
        });
    };
    let add_driver = move |_| {
        let name = words::driver(drivers.with_untracked(Vec::len));
        store.change(Command::AddDriver { host: part, name });
    };
    view! {
        <section class="card">
            <h3>{words::PINS}</h3>
            <ul class="pin-rows">
                <For each=move || pins.get() key=|pin| *pin children=row />
            </ul>
            <div class="way-row">
                <button type="button" class="button" on:click=add_pin>{words::ADD_PIN}</button>
                <button type="button" class="button" on:click=add_driver>{words::ADD_DRIVER}</button>
                {driver_buttons}
            </div>
        </section>
    }
    .into_any()
}

/// The cavities of a connector, each with its number.
fn cavity_rows(store: Store, part: PartId) -> AnyView {
    let cavities = Memo::new(move |_| {
        store.told.with(|harness| {
            let kind = harness.parts.get(&part).map(|part| &part.kind);
            if let Some(PartKind::Connector(connector)) = kind {
                connector.cavities.iter().map(|c| c.id).collect()
            } else {
                Vec::<CavityId>::new()
            }
        })
    });
    let row = move |cavity: CavityId| {
        let side = |side| Terminal {
            part,
            port: Port::Cavity(cavity, side),
        };
        let named = store
            .harness
            .with_untracked(|harness| harness.port_name(side(Side::A)));
        let at = FactAt::CavityLabel(part, cavity);
        let number = label(store, at, &format!("{}: {named}", words::NUMBER));
        let (a, b) = (side(Side::A), side(Side::B));
        view! {
            <li class="pin-row">
                {number} {open_terminal(store, a)} {open_terminal(store, b)}
                {super::clashes::clash(store, at)}
            </li>
        }
        .into_any()
    };
    let add = move |_| {
        store.change(Command::AddCavity {
            connector: part,
            label: None,
        });
    };
    view! {
        <section class="card">
            <h3>{words::CAVITIES}</h3>
            <ul class="pin-rows">
                <For each=move || cavities.get() key=|cavity| *cavity children=row />
            </ul>
            <button type="button" class="button" on:click=add>{words::ADD_CAVITY}</button>
        </section>
    }
    .into_any()
}
