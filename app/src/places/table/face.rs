//! The face of a connector: its cavities in rows and columns, each with its colour and where it goes.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::model::{
    Corner, Face, Harness, PartId, PartKind, Run, Side, Terminal, WireColour,
};
use sparktrail_core::table::{Names, Placed, Scope, Seat, Seen, pins, proposed, rows, seating};
use sparktrail_core::topology::Pick;

use super::super::words::table as words;
use super::swatch::swatch;
use crate::edge::events;
use crate::store::Store;
use crate::ui::drop_down;

/// A face that can be looked at.
#[derive(Clone, PartialEq)]
struct Plug {
    part: PartId,
    side: Side,
    name: String,
}

/// The face's signals.
#[derive(Clone, Copy)]
struct View {
    store: Store,
    seen: RwSignal<Seen>,
}

pub(super) fn place(store: Store) -> AnyView {
    let chosen = RwSignal::new(picked_plug(store));
    let plugs = Memo::new(move |_| store.told.with(|harness| plugs(harness)));
    let plug = Memo::new(move |_| {
        let chosen = chosen.get();
        plugs.with(|plugs| {
            let found = chosen.and_then(|(part, side)| {
                let mut plugs = plugs.iter();
                plugs.find(|plug| (plug.part, plug.side) == (part, side))
            });
            found.or_else(|| plugs.first()).cloned()
        })
    });
    let view = View {
        store,
        seen: RwSignal::new(Seen::WireSide),
    };
    let options = move || {
        plugs
            .get()
            .into_iter()
            .map(|each| {
                let name = each.name.clone();
                let is = move || plug.with(|plug| plug.as_ref() == Some(&each));
                view! { <option selected=is>{name}</option> }.into_any()
            })
            .collect::<Vec<AnyView>>()
    };
    let choose = move |event: leptos::ev::Event| {
        let place = events::chosen(&event);
        let found = place.and_then(|place| plugs.with_untracked(|plugs| plugs.get(place).cloned()));
        chosen.set(found.map(|plug| (plug.part, plug.side)));
    };
    let body = move || match plug.get() {
        None => view! { <p class="faint pin-none">{words::NO_CONNECTOR}</p> }.into_any(),
        Some(plug) => face(view, &plug),
    };
    view! {
        <div class="pins face-place">
            <div class="pin-tools">
                <label class="field">
                    <span>{words::CONNECTOR}</span>
                    <select on:change=choose>{options}</select>
                </label>
                {looking(view)}
            </div>
            <div class="pin-scroll face-scroll">{body}</div>
        </div>
    }
    .into_any()
}

/// The plug on which what is picked sits.
fn picked_plug(store: Store) -> Option<(PartId, Side)> {
    let harness = store.harness_now();
    let at = match store.session.picked.get_untracked()? {
        Pick::Terminal(terminal) => vec![terminal],
        Pick::Wire(wire) => {
            let wire = harness.wires.get(&wire)?;
            let ends = [wire.from, wire.to].into_iter().flatten();
            ends.map(|fact| fact.value).collect()
        }
        Pick::Part(part) => return Some((part, Side::A)),
        Pick::Element(_) | Pick::Driver(_) | Pick::Cylinder(_) => return None,
    };
    let plugs = plugs(&harness);
    at.into_iter().find_map(|terminal| {
        let side = side_of(terminal);
        let mut plugs = plugs.iter();
        let plug = plugs.find(|plug| plug.part == terminal.part && plug.side == side)?;
        Some((plug.part, plug.side))
    })
}

fn side_of(terminal: Terminal) -> Side {
    if let sparktrail_core::model::Port::Cavity(_, side) = terminal.port {
        side
    } else {
        Side::A
    }
}

/// Every face of the map.
fn plugs(harness: &Harness) -> Vec<Plug> {
    let mut plugs = Vec::new();
    for (part, name) in super::grid::units(harness) {
        let kind = harness.parts.get(&part).map(|part| &part.kind);
        if matches!(kind, Some(PartKind::ControlUnit(_))) {
            let side = Side::A;
            plugs.push(Plug { part, side, name });
        } else if matches!(kind, Some(PartKind::Connector(_))) {
            plugs.extend([Side::A, Side::B].map(|side| Plug {
                part,
                side,
                name: words::side_of(&name, side),
            }));
        }
    }
    plugs
}

/// From which side one looks.
fn looking(view: View) -> AnyView {
    let button = |to: Seen, name: &'static str| {
        let pressed = move || {
            if view.seen.get() == to {
                "true"
            } else {
                "false"
            }
        };
        view! {
            <button type="button" aria-pressed=pressed on:click=move |_| view.seen.set(to)>
                {name}
            </button>
        }
        .into_any()
    };
    let wires = button(Seen::WireSide, words::WIRE_SIDE.said());
    let mating = button(Seen::MatingSide, words::MATING_SIDE.said());
    view! {
        <div class="field">
            <span>{words::SEEN}</span>
            <div class="forms" role="group" aria-label=words::SEEN>{wires}{mating}</div>
        </div>
    }
    .into_any()
}

/// What is known of the wires at one pin.
struct Wired {
    colour: Option<WireColour>,
    code: String,
    goes_to: String,
}

fn wired(rows: &[Placed], terminal: Terminal) -> Option<Wired> {
    let here = rows.iter().filter(|row| row.at.terminal == Some(terminal));
    let mut wires = here.filter(|row| row.at.wire.is_some()).map(|row| &row.row);
    let first = wires.next()?;
    let mut found = Wired {
        colour: first.colour,
        code: first.colour.map(WireColour::code).unwrap_or_default(),
        goes_to: first.goes_to.clone(),
    };
    for more in wires {
        if !more.goes_to.is_empty() {
            found.goes_to = format!("{}, {}", found.goes_to, more.goes_to);
        }
    }
    Some(found)
}

fn face(view: View, plug: &Plug) -> AnyView {
    let harness = view.store.told.get();
    let seen = view.seen.get();
    let names = Names::of(&harness);
    let pins = pins(&harness, plug.part, plug.side);
    if pins.is_empty() {
        return view! { <p class="faint pin-none">{words::NO_PINS}</p> }.into_any();
    }
    let set = harness.parts.get(&plug.part).and_then(|part| part.face);
    let labels = pins.iter().map(|(_, label)| label.as_str());
    let shape = set.unwrap_or_else(|| proposed(labels));
    let seating = seating(shape, &pins, plug.side, seen);
    let rows = rows(&harness, &names, Scope::Part(plug.part));
    let lines: Vec<AnyView> = seating
        .rows
        .iter()
        .map(|line| {
            let seats: Vec<AnyView> = line
                .iter()
                .map(|seat| place_of(view, &rows, seat))
                .collect();
            view! { <tr>{seats}</tr> }.into_any()
        })
        .collect();
    let beside = (!seating.beside.is_empty()).then(|| {
        let seats: Vec<AnyView> = seating
            .beside
            .iter()
            .map(|&terminal| {
                let number = names.port(terminal).to_owned();
                let seat = cavity(view, &rows, &number, terminal);
                view! { <li>{seat}</li> }.into_any()
            })
            .collect();
        view! {
            <section class="face-beside">
                <h2 class="sub-head">{words::BESIDE}</h2>
                <p class="faint small">{words::BESIDE_WHY}</p>
                <ul>{seats}</ul>
            </section>
        }
        .into_any()
    });
    let caption = match seen {
        Seen::WireSide => words::FROM_WIRES,
        Seen::MatingSide => words::FROM_MATING,
    };
    let turned = (seen == Seen::MatingSide).then_some("true");
    view! {
        <p class="face-caption" data-mirrored=turned>{caption}</p>
        <div class="face-box">
            <table class="face" aria-label=plug.name.clone()>
                <tbody>{lines}</tbody>
            </table>
        </div>
        {beside}
        {shape_form(view.store, plug.part, shape, set)}
    }
    .into_any()
}

fn place_of(view: View, rows: &[Placed], seat: &Seat) -> AnyView {
    let inside = match seat.terminal {
        Some(terminal) => cavity(view, rows, &seat.number, terminal),
        None => view! {
            <span class="cavity" data-free="true">
                <span class="cavity-number num">{seat.number.clone()}</span>
                <span class="unseen">{words::FREE}</span>
            </span>
        }
        .into_any(),
    };
    view! { <td>{inside}</td> }.into_any()
}

/// One cavity; choosing it picks its pin on the map and in the table.
fn cavity(view: View, rows: &[Placed], number: &str, terminal: Terminal) -> AnyView {
    let wire = wired(rows, terminal);
    let inside = match wire {
        Some(wire) => view! {
            <span class="cavity-colour">{swatch(wire.colour)} {wire.code}</span>
            <span class="cavity-to">{wire.goes_to}</span>
        }
        .into_any(),
        None => view! { <span class="cavity-to faint">{words::NO_WIRE}</span> }.into_any(),
    };
    let session = view.store.session;
    let pick = Pick::Terminal(terminal);
    let own: Vec<_> = rows
        .iter()
        .filter(|row| row.at.terminal == Some(terminal))
        .filter_map(|row| row.at.wire.map(|(wire, _)| Pick::Wire(wire)))
        .collect();
    let current = move || {
        let picked = session.picked.get();
        let is = picked == Some(pick) || picked.is_some_and(|picked| own.contains(&picked));
        if is { "true" } else { "false" }
    };
    view! {
        <button
            type="button"
            class="cavity"
            aria-pressed=current
            on:click=move |_| session.picked.set(Some(pick))
            on:pointerenter=move |_| session.hovered.set(Some(pick))
            on:pointerleave=move |_| session.hovered.set(None)
        >
            <span class="cavity-number num">{number.to_owned()}</span>
            {inside}
        </button>
    }
    .into_any()
}

/// Rows, columns and numbers, to be set.
fn shape_form(store: Store, part: PartId, shape: Face, set: Option<Face>) -> AnyView {
    let trouble = RwSignal::new(None::<String>);
    let keep = move |face: Face| {
        store.change(Command::SetFace {
            part,
            face: Some(face),
        });
    };
    let count = move |label: &'static str, value: u8, with: fn(Face, u8) -> Face| {
        let typed = move |text: String| match text.trim().parse::<u8>() {
            Ok(count) if (1..=Face::MOST).contains(&count) => {
                trouble.set(None);
                keep(with(shape, count));
            }
            Ok(_) | Err(_) => trouble.set(Some(words::out_of_count(Face::MOST))),
        };
        view! {
            <label class="field">
                <span>{label}</span>
                <input
                    type="text"
                    inputmode="numeric"
                    autocomplete="off"
                    class="num"
                    prop:value=value.to_string()
                    on:change:target=move |event| typed(event.target().value())
                />
            </label>
        }
        .into_any()
    };
    let rows = count(words::ROWS.said(), shape.rows, |face, rows| Face {
        rows,
        ..face
    });
    let columns = count(words::COLUMNS.said(), shape.columns, |face, columns| Face {
        columns,
        ..face
    });
    let list = move |label: &'static str,
                     words: [&'static str; 4],
                     at: usize,
                     choose: fn(Face, usize) -> Face| {
        let choose = move |place| keep(choose(shape, place));
        drop_down(label, words, Signal::stored(at), Callback::new(choose))
    };
    let run = list(
        words::RUN.said(),
        Run::ALL.map(words::run),
        Run::ALL
            .iter()
            .position(|run| *run == shape.run)
            .unwrap_or(0),
        |face, place| Face {
            run: Run::ALL.get(place).copied().unwrap_or_default(),
            ..face
        },
    );
    let first = list(
        words::FIRST.said(),
        Corner::ALL.map(words::corner),
        Corner::ALL
            .iter()
            .position(|corner| *corner == shape.first)
            .unwrap_or(0),
        |face, place| Face {
            first: Corner::ALL.get(place).copied().unwrap_or_default(),
            ..face
        },
    );
    let proposal = set.is_none().then(|| {
        view! {
            <p>{words::PROPOSED}</p>
            <button type="button" class="button" on:click=move |_| keep(shape)>
                {words::KEEP_SHAPE}
            </button>
        }
        .into_any()
    });
    let wrong = move || {
        let said = trouble.get()?;
        Some(view! { <p class="wrong" role="alert">{said}</p> }.into_any())
    };
    view! {
        <section class="card face-shape">
            <h2 class="sub-head">{words::SHAPE}</h2>
            {proposal}
            <div class="pin-choices">{rows}{columns}{run}{first}</div>
            {wrong}
            <p class="faint small">{words::SHAPE_NOTE}</p>
        </section>
    }
    .into_any()
}
