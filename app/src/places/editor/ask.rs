//! The sheets of the editor: what kind of part to add, which terminal is meant.

use leptos::prelude::*;
use sparktrail_core::edit::{Command, FactAt, FactValue, can_say, free_name};
use sparktrail_core::model::{
    Battery, Coil, Connector, ControlUnit, Distributor, Fuse, GroundSite, Harness, Injector,
    PartId, PartKind, Plug, Relay, Secondary, Terminal, UnitRole,
};
use sparktrail_core::topology::Pick;

use super::acts::{connect, fitting, say};
use crate::places::words::editor as words;
use crate::store::{Ask, Store};
use crate::ui::{Sheet, SheetActs};

/// How many terminals the list shows at once.
const MOST_SHOWN: usize = 60;

/// Whatever is asked now.
pub(super) fn sheets(store: Store) -> AnyView {
    let ask = store.editor.ask;
    let open = Signal::derive(move || ask.with(Option::is_some));
    let close = Callback::new(move |()| ask.set(None));
    let title = Signal::derive(move || {
        store.told.with(|harness| match ask.get() {
            Some(Ask::Kind) => words::ADD.to_owned(),
            Some(Ask::Other(from, _)) => words::connect(&harness.terminal_name(from)),
            Some(Ask::Place(at)) => words::which(&harness.fact_name(at)),
            None => String::new(),
        })
    });
    view! {
        <Sheet open close title>
            {move || match ask.get_untracked() {
                Some(Ask::Kind) => kinds(store),
                Some(Ask::Other(from, within)) => {
                    others(store, from, within)
                }
                Some(Ask::Place(at)) => places(store, at),
                None => ().into_any(),
            }}
            <SheetActs>
                <button type="button" class="button" on:click=move |_| ask.set(None)>
                    {words::CLOSE}
                </button>
            </SheetActs>
        </Sheet>
    }
    .into_any()
}

/// The part behind each entry of the list of kinds.
fn made(harness: &Harness, nth: usize) -> PartKind {
    let unit = |role| PartKind::ControlUnit(ControlUnit::new(role));
    match nth {
        0 => PartKind::Coil(Coil::new(Secondary::TwoEnded)),
        1 => PartKind::Coil(Coil::new(Secondary::ReturnsToFeed)),
        2 => PartKind::Pack,
        3 => unit(UnitRole::EngineControl),
        4 => unit(UnitRole::IgnitionModule),
        5 => PartKind::Connector(Connector::default()),
        6 => PartKind::Splice,
        7 => PartKind::Ground(GroundSite::Engine),
        8 => PartKind::Fuse(Fuse::default()),
        9 => PartKind::Relay(Relay::default()),
        10 => PartKind::KeySwitch,
        11 => PartKind::Battery(Battery::default()),
        12 => PartKind::Distributor(Distributor {
            towers: harness.engine.order.value.clone(),
        }),
        13 => PartKind::Injector(Injector::default()),
        _ => PartKind::Plug(Plug::default()),
    }
}

fn kinds(store: Store) -> AnyView {
    let rows: Vec<AnyView> = words::KINDS
        .iter()
        .enumerate()
        .map(|(nth, &(heading, name))| {
            let add = move |_| {
                let harness = store.harness_now();
                let id = store.next_id();
                store.editor.ask.set(None);
                let kind = Box::new(made(&harness, nth));
                let name = free_name(&harness, name.said());
                let at = None;
                store.change(Command::AddPart { name, kind, at });
                let part = PartId::from_number(id);
                if store.harness_now().parts.contains_key(&part) {
                    store.session.picked.set(Some(Pick::Part(part)));
                }
            };
            view! {
                <li>
                    <button type="button" class="row" on:click=add>{heading}</button>
                </li>
            }
            .into_any()
        })
        .collect();
    view! { <ul class="rows kinds">{rows}</ul> }.into_any()
}

/// Every terminal that something from `from` can go to.
fn others(store: Store, from: Terminal, within: Option<PartId>) -> AnyView {
    let harness = store.harness_now();
    let parts: Vec<PartId> = within.map_or_else(
        || harness.parts.keys().copied().collect(),
        |part| vec![part],
    );
    let mut all: Vec<Terminal> = Vec::new();
    for part in parts {
        all.extend(fitting(&harness, from, part));
    }
    let choose = move |to: Terminal| {
        store.editor.ask.set(None);
        connect(store, from, to);
    };
    let on_map = move |_| {
        store.editor.from.set(Some(from));
        store.editor.ask.set(None);
    };
    view! {
        {list(store, all, Callback::new(choose))}
        <button type="button" class="button" on:click=on_map>{words::IN_HAND_BUTTON}</button>
    }
    .into_any()
}

/// Every terminal that can stand at a fact.
fn places(store: Store, at: FactAt) -> AnyView {
    let harness = store.harness_now();
    let parts = harness.parts.keys();
    let mut all: Vec<Terminal> = parts.flat_map(|part| harness.terminals_of(*part)).collect();
    all.retain(|terminal| can_say(&harness, at, &FactValue::Terminal(*terminal)).is_ok());
    let choose = move |terminal: Terminal| {
        store.editor.ask.set(None);
        say(store, at, Some(FactValue::Terminal(terminal)));
    };
    list(store, all, Callback::new(choose))
}

/// A list to choose from, with a field that narrows it.
fn list(store: Store, all: Vec<Terminal>, choose: Callback<Terminal>) -> AnyView {
    let harness = store.harness_now();
    let named: Vec<(Terminal, String)> = all
        .into_iter()
        .map(|terminal| (terminal, harness.terminal_name(terminal)))
        .collect();
    let typed = RwSignal::new(String::new());
    let rows = move || {
        let wanted = typed.with(|typed| typed.to_lowercase());
        let found = named.iter().filter(|(_, name)| {
            let name = name.to_lowercase();
            wanted.split_whitespace().all(|word| name.contains(word))
        });
        let rows: Vec<AnyView> = found
            .take(MOST_SHOWN)
            .map(|(terminal, name)| {
                let terminal = *terminal;
                view! {
                    <li>
                        <button type="button" class="row" on:click=move |_| choose.run(terminal)>
                            {name.clone()}
                        </button>
                    </li>
                }
                .into_any()
            })
            .collect();
        if rows.is_empty() {
            vec![view! { <li class="faint">{words::NONE_FOUND}</li> }.into_any()]
        } else {
            rows
        }
    };
    view! {
        <label class="field">
            <span>{words::FIND}</span>
            <input
                type="search"
                autocomplete="off"
                prop:value=move || typed.get()
                on:input:target=move |event| typed.set(event.target().value())
            />
        </label>
        <ul class="rows lookup">{rows}</ul>
    }
    .into_any()
}
