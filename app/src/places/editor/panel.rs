//! The panel while the map is edited: what is chosen, to be changed; else what can be added.

use leptos::prelude::*;
use sparktrail_core::edit::{Command, Noted};
use sparktrail_core::gather::Arrange;
use sparktrail_core::model::{FactOwner, Harness, PartId, Port, Terminal, WireEnd};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::topology::Pick;

use super::acts::{copy, remove, splice, tidy};
use super::engine::engine;
use super::fields::text;
use super::parts;
use crate::places::selection::{FactCard, PartList, PickedHead};
use crate::places::words::editor as words;
use crate::store::{Ask, Store};
use crate::ui::choice;

/// The id of the field that holds the name of what is chosen.
pub(super) const NAME_FIELD: &str = "name-of-chosen";
/// The id of the button of the first terminal of what is chosen.
pub(super) const FIRST_TERMINAL: &str = "first-terminal";

/// The panel.
pub(in crate::places) fn panel(store: Store, picked: Option<Pick>) -> AnyView {
    let several = move || {
        let many = store.editor.chosen.with(std::collections::BTreeSet::len);
        (many > 0).then(|| group(store, many))
    };
    let body = match picked {
        Some(pick) => chosen(store, pick),
        None => view! {
            {move || {
                let none = store.editor.chosen.with(std::collections::BTreeSet::is_empty);
                none.then(|| nothing_chosen(store))
            }}
        }
        .into_any(),
    };
    view! { <div class="panel edit-panel">{several} {body} {entered(store)}</div> }.into_any()
}

/// Nothing is chosen: what to do first.
fn nothing_chosen(store: Store) -> AnyView {
    view! {
        <section class="card">
            <p>{words::HINT}</p>
            <div class="way-row">
                <button
                    type="button"
                    class="button"
                    data-weight="strong"
                    on:click=move |_| store.editor.ask.set(Some(Ask::Kind))
                >
                    {words::ADD}
                </button>
                {placed_by_hand(store, None)}
            </div>
        </section>
        {clashes(store)}
        {engine(store)}
        <PartList store />
    }
    .into_any()
}

/// Every fact of which several things are said.
fn clashes(store: Store) -> AnyView {
    let found = Memo::new(move |_| {
        store.told.with(|harness| {
            let mut facts: Vec<_> = harness.rivals.iter().map(|rival| rival.at).collect();
            facts.arrange();
            facts.dedup();
            // The engine's show beside its order and angles.
            facts.retain(|at| at.owner() != FactOwner::Engine);
            facts
        })
    });
    let shown = move || {
        let facts = found.get().into_iter();
        let rows: Vec<AnyView> = facts.map(|at| super::clashes::told(store, at)).collect();
        (!rows.is_empty()).then(|| {
            view! {
                <section class="card clashes">
                    <h3>{words::CLASHES}</h3>
                    {rows}
                </section>
            }
        })
    };
    shown.into_any()
}

/// Several parts are chosen.
fn group(store: Store, many: usize) -> AnyView {
    view! {
        <section class="card">
            <h2>{words::chosen(many)}</h2>
            <div class="way-row">
                <button type="button" class="button" on:click=move |_| copy(store)>{words::COPY}</button>
                <button type="button" class="button" on:click=move |_| remove(store)>{words::REMOVE}</button>
                {placed_by_hand(store, None)}
            </div>
        </section>
    }
    .into_any()
}

/// The button that leaves parts to the map; nothing where none was placed by hand.
fn placed_by_hand(store: Store, part: Option<PartId>) -> AnyView {
    let any = Memo::new(move |_| {
        store.harness.with(|harness| match part {
            Some(part) => harness
                .parts
                .get(&part)
                .is_some_and(|p| p.drawn_at.is_some()),
            None => harness.parts.values().any(|p| p.drawn_at.is_some()),
        })
    });
    let words = move || {
        let one = part.is_some() || store.editor.chosen.with(|all| !all.is_empty());
        if one {
            words::TIDY.said()
        } else {
            words::TIDY_ALL.said()
        }
    };
    let shown = move || {
        any.get().then(|| {
            view! {
                <button type="button" class="button" on:click=move |_| tidy(store)>{words}</button>
            }
        })
    };
    shown.into_any()
}

/// One thing is chosen: its name, its facts, what hangs on it.
fn chosen(store: Store, pick: Pick) -> AnyView {
    let there = store
        .harness
        .with_untracked(|harness| is_there(harness, pick));
    if !there {
        return nothing_chosen(store);
    }
    let own = match pick {
        Pick::Part(part) => parts::own(store, part),
        Pick::Terminal(terminal) => terminals(store, vec![terminal]),
        Pick::Cylinder(_) => engine(store),
        Pick::Wire(_) | Pick::Driver(_) | Pick::Element(_) => ().into_any(),
    };
    let note = match pick {
        Pick::Part(part) => note(store, Noted::Part(part)),
        Pick::Wire(wire) => note(store, Noted::Wire(wire)),
        Pick::Terminal(terminal) => {
            if let Port::Pin(pin) = terminal.port {
                note(store, Noted::Pin(terminal.part, pin))
            } else {
                ().into_any()
            }
        }
        Pick::Driver(_) | Pick::Element(_) | Pick::Cylinder(_) => ().into_any(),
    };
    let facts = (!parts::tells_all(store, pick)).then(|| view! { <FactCard store pick /> });
    view! {
        <section class="card picked-edit">
            <PickedHead store pick />
            {parts::name(store, pick)}
            {acts_on(store, pick)}
        </section>
        {own}
        {facts}
        {note}
    }
    .into_any()
}

fn is_there(harness: &Harness, pick: Pick) -> bool {
    match pick {
        Pick::Part(part) => harness.parts.contains_key(&part),
        Pick::Wire(wire) => harness.wires.contains_key(&wire),
        Pick::Driver(driver) => harness.driver(driver).is_some(),
        Pick::Terminal(terminal) => harness.has_terminal(terminal),
        Pick::Cylinder(cylinder) => harness.engine.place(cylinder).is_some(),
        Pick::Element(_) => true,
    }
}

/// Copy, take away, let the map place it.
fn acts_on(store: Store, pick: Pick) -> AnyView {
    let (copies, goes, part) = match pick {
        Pick::Part(part) => (true, true, Some(part)),
        Pick::Wire(_) | Pick::Driver(_) => (false, true, None),
        Pick::Terminal(terminal) => {
            let goes = matches!(terminal.port, Port::Pin(_) | Port::Cavity(..));
            (false, goes, None)
        }
        Pick::Element(_) | Pick::Cylinder(_) => (false, false, None),
    };
    let copies = copies.then(|| {
        view! {
            <button type="button" class="button" on:click=move |_| copy(store)>{words::COPY}</button>
        }
    });
    let goes = goes.then(|| {
        view! {
            <button type="button" class="button" on:click=move |_| remove(store)>{words::REMOVE}</button>
        }
    });
    let placed = part.map(|part| placed_by_hand(store, Some(part)));
    let spliced = matches!(pick, Pick::Wire(_)).then(|| {
        view! {
            <button type="button" class="button" on:click=move |_| splice(store)>{words::SPLICE}</button>
        }
    });
    view! { <div class="way-row">{copies} {goes} {placed} {spliced}</div> }.into_any()
}

fn note(store: Store, of: Noted) -> AnyView {
    let read = move |harness: &std::sync::Arc<Harness>| match of {
        Noted::Map => harness.about.clone(),
        Noted::Part(id) => harness
            .parts
            .get(&id)
            .map_or_else(String::new, |p| p.note.clone()),
        Noted::Place(id) => {
            let part = harness.parts.get(&id);
            part.map_or_else(String::new, |part| part.place.text.clone())
        }
        Noted::Wire(id) => harness
            .wires
            .get(&id)
            .map_or_else(String::new, |w| w.note.clone()),
        Noted::Pin(id, pin) => harness
            .pin(id, pin)
            .map_or_else(String::new, |p| p.note.clone()),
    };
    let now = Memo::new(move |_| store.told.with(read));
    let act = move |text: String| store.change(Command::SetNote { of, text });
    let field = text(None, words::NOTE.into(), now.into(), Box::new(act));
    view! {
        <section class="card">
            <label class="field"><span>{words::NOTE}</span>{field}</label>
        </section>
    }
    .into_any()
}

/// The terminals given, each with what it is joined to and the button that joins it to another.
pub(super) fn terminals(store: Store, all: Vec<Terminal>) -> AnyView {
    let rows = move || {
        let all = all.clone();
        store.told.with(|harness| {
            all.into_iter()
                .enumerate()
                .map(|(nth, terminal)| terminal_row(store, harness, nth, terminal))
                .collect::<Vec<AnyView>>()
        })
    };
    view! {
        <section class="card">
            <h3>{words::TERMINALS}</h3>
            <ul class="terminals">{rows}</ul>
        </section>
    }
    .into_any()
}

fn terminal_row(store: Store, harness: &Harness, nth: usize, terminal: Terminal) -> AnyView {
    let mut links: Vec<(Pick, String)> = Vec::new();
    for (&id, wire) in &harness.wires {
        for (end, other) in [(WireEnd::From, WireEnd::To), (WireEnd::To, WireEnd::From)] {
            if wire.end(end).is_some_and(|fact| fact.value == terminal) {
                let far = wire
                    .end(other)
                    .map(|fact| harness.terminal_name(fact.value));
                links.push((Pick::Wire(id), far.unwrap_or_else(|| words::UNKNOWN.into())));
            }
        }
    }
    for &id in harness.parts.keys() {
        let Some(lead) = harness.lead(id) else {
            continue;
        };
        for (end, other) in [(lead.from, lead.to), (lead.to, lead.from)] {
            if end.is_some_and(|fact| fact.value == terminal) {
                let far = other.map(|fact| harness.terminal_name(fact.value));
                links.push((Pick::Part(id), far.unwrap_or_else(|| words::UNKNOWN.into())));
            }
        }
    }
    let joined: Vec<AnyView> = links
        .into_iter()
        .map(|(pick, name)| {
            view! {
                <button type="button" class="link" on:click=move |_| store.session.picked.set(Some(pick))>
                    {name}
                </button>
            }
            .into_any()
        })
        .collect();
    let nothing = joined
        .is_empty()
        .then(|| view! { <span class="faint">{words::NOTHING}</span> });
    let name = harness.port_name(terminal);
    let id = (nth == 0).then_some(FIRST_TERMINAL);
    let label = format!("{} {}", words::CONNECT, harness.terminal_name(terminal));
    view! {
        <li class="terminal-row">
            <span class="num">{name}</span>
            <span class="joined">{joined} {nothing}</span>
            <button
                type="button"
                id=id
                class="button way"
                aria-label=label
                on:click=move |_| store.editor.ask.set(Some(Ask::Other(terminal, None)))
            >
                {words::CONNECT}
            </button>
        </li>
    }
    .into_any()
}

/// How what is entered from now on is known.
fn entered(store: Store) -> AnyView {
    let buttons: Vec<AnyView> = Provenance::ALL
        .into_iter()
        .map(|how| {
            let is_on = move || store.editor.how.get() == how;
            choice(words::entered(how), "button way", is_on, move || {
                store.editor.how.set(how);
            })
        })
        .collect();
    view! {
        <section class="card">
            <h3 id="entered">{words::ENTERED}</h3>
            <div class="way-row" role="group" aria-labelledby="entered">{buttons}</div>
            <p class="faint small">{words::ENTERED_HINT}</p>
        </section>
    }
    .into_any()
}
