//! What hands and keys do to the map.

use leptos::prelude::*;
use sparktrail_core::drawing::Point;
use sparktrail_core::edit::{Command, FactAt, FactValue, Hanging, Meets, WireLook, free_name};
use sparktrail_core::model::{DrawnAt, Harness, Hold, PartId, Port, Terminal, WireEnd, WireId};
use sparktrail_core::provenance::Fact;
use sparktrail_core::topology::Pick;

use super::panel::NAME_FIELD;
use crate::edge::canvas::focus_id;
use crate::edge::keys::{Heed, Press, Shift};
use crate::places::words::editor as words;
use crate::store::{Ask, Choose, Mode, Store, Tab};

/// Parts were moved by hand.
pub(crate) fn moved(store: Store, places: Vec<(PartId, Point)>) {
    let places = places.into_iter();
    let places = places.map(|(part, at)| (part, Some(DrawnAt { x: at.x, y: at.y })));
    store.change(Command::Put(places.collect()));
}

/// A wire was drawn from a terminal onto something.
pub(crate) fn joined(store: Store, from: Terminal, onto: Pick) {
    let harness = store.harness_now();
    match met(&harness, onto) {
        Met::One(to) => connect(store, from, to),
        Met::Of(part) => {
            let fits = fitting(&harness, from, part);
            match fits.as_slice() {
                [one] => connect(store, from, *one),
                _several => store.editor.ask.set(Some(Ask::Other(from, Some(part)))),
            }
        }
        Met::Wire(wire) => {
            store.editor.from.set(None);
            splice_in(store, wire, Meets::Terminal(from));
        }
        Met::Nothing => store.session.say(words::ON_A_TERMINAL, None),
    }
}

/// Puts a splice into the wire that is chosen.
pub(super) fn splice(store: Store) {
    if let Some(Pick::Wire(wire)) = store.session.picked.get_untracked() {
        splice_in(store, wire, Meets::Nothing);
    }
}

/// Puts a splice into a wire, joins what meets it there, and chooses the splice.
fn splice_in(store: Store, wire: WireId, meets: Meets) {
    let name = free_name(&store.harness_now(), &words::SPLICE_NAME);
    let how = store.editor.how.get_untracked();
    let new = PartId::from_number(store.next_id());
    store.change(Command::Splice {
        wire,
        name,
        at: None,
        meets,
        how,
    });
    if store.harness_now().parts.contains_key(&new) {
        store.session.picked.set(Some(Pick::Part(new)));
    }
}

/// The end of a wire was led onto something, or into the air.
pub(crate) fn led(store: Store, wire: WireId, end: WireEnd, onto: Option<Pick>) {
    let at = FactAt::WireEnd(wire, end);
    let Some(onto) = onto else {
        store.change(Command::SetFact { at, fact: None });
        return;
    };
    match met(&store.harness_now(), onto) {
        Met::One(terminal) => say(store, at, Some(FactValue::Terminal(terminal))),
        Met::Of(_) => store.editor.ask.set(Some(Ask::Place(at))),
        Met::Wire(onto) => splice_in(store, onto, Meets::End(wire, end)),
        Met::Nothing => store.session.say(words::ON_A_TERMINAL, None),
    }
}

/// What a wire was dropped on.
enum Met {
    One(Terminal),
    Of(PartId),
    Wire(WireId),
    Nothing,
}

fn met(harness: &Harness, onto: Pick) -> Met {
    let of = |part: PartId| match harness.terminals_of(part).as_slice() {
        [] => Met::Nothing,
        [one] => Met::One(*one),
        _several => Met::Of(part),
    };
    match onto {
        Pick::Terminal(terminal) => Met::One(terminal),
        Pick::Part(part) => of(part),
        Pick::Driver(driver) => harness.host_of(driver).map_or(Met::Nothing, Met::Of),
        Pick::Element(element) => harness.part_of(element).map_or(Met::Nothing, of),
        Pick::Cylinder(cylinder) => {
            let plug = harness.parts.keys().find(|part| {
                let plug = harness.plug(**part).and_then(|plug| plug.cylinder);
                plug.is_some_and(|fact| fact.value == cylinder)
            });
            let port = Port::PlugTop;
            plug.map_or(Met::Nothing, |&part| Met::One(Terminal { part, port }))
        }
        Pick::Wire(wire) => Met::Wire(wire),
    }
}

const fn takes_wire(terminal: Terminal) -> bool {
    match terminal.port.hold() {
        Hold::Joint | Hold::Contact | Hold::Plain => true,
        Hold::Push | Hold::Thread => false,
    }
}

/// The terminals of a part that something from `from` can go to.
pub(super) fn fitting(harness: &Harness, from: Terminal, part: PartId) -> Vec<Terminal> {
    let mut all = harness.terminals_of(part);
    all.retain(|to| *to != from && takes_wire(*to) == takes_wire(from) && to.port != Port::Shell);
    all
}

/// Joins two terminals and chooses what joins them.
pub(super) fn connect(store: Store, from: Terminal, to: Terminal) {
    store.editor.from.set(None);
    let id = store.next_id();
    let how = store.editor.how.get_untracked();
    let look = WireLook::default();
    store.change(Command::Connect {
        from,
        to,
        how,
        look,
    });
    let (wire, part) = (WireId::from_number(id), PartId::from_number(id));
    let harness = store.harness_now();
    let new = if harness.wires.contains_key(&wire) {
        Some(Pick::Wire(wire))
    } else {
        harness
            .parts
            .contains_key(&part)
            .then_some(Pick::Part(part))
    };
    if new.is_some() {
        store.session.picked.set(new);
    }
}

/// Says what a fact is, as well known as what is entered now.
pub(super) fn say(store: Store, at: FactAt, value: Option<FactValue>) {
    let how = store.editor.how.get_untracked();
    let fact = value.map(|value| Fact { value, how });
    let said = fact.as_ref().map(|fact| fact.value.clone());
    store.change(Command::SetFact { at, fact });
    let rival = |harness: &std::sync::Arc<Harness>| {
        harness
            .rivals_of(at)
            .any(|rival| Some(&rival.value) == said.as_ref())
    };
    if store.harness.with_untracked(rival) {
        store.session.say(words::BESIDE, None);
    }
}

/// Begins or ends editing.
pub(super) fn turn(store: Store) {
    if store.editor.is_on_now() {
        store.editor.clear();
    } else {
        store.editor.mode.set(Mode::Edit);
        store.session.broken.set(None);
        store.session.tab.set(Tab::Map);
    }
}

/// Takes away what is chosen.
pub(super) fn remove(store: Store) {
    let picked = store.session.picked.get_untracked();
    let several = store.editor.parts(picked);
    let hanging = Hanging::Removed;
    let command = match picked {
        _ if !several.is_empty() => {
            let gone = |part| Command::RemovePart { part, hanging };
            // A lead goes with its coil or plug: it may be gone before its turn comes.
            let harness = store.harness_now();
            let (leads, others): (Vec<PartId>, Vec<PartId>) = several
                .into_iter()
                .partition(|part| harness.lead(*part).is_some());
            Command::Batch(leads.into_iter().chain(others).map(gone).collect())
        }
        Some(Pick::Wire(wire)) => Command::RemoveWire(wire),
        Some(Pick::Driver(driver)) => Command::RemoveDriver(driver),
        Some(Pick::Terminal(terminal)) => {
            let part = terminal.part;
            if let Port::Pin(pin) = terminal.port {
                let unit = part;
                Command::RemovePin { unit, pin, hanging }
            } else if let Port::Cavity(cavity, _) = terminal.port {
                let connector = part;
                Command::RemoveCavity {
                    connector,
                    cavity,
                    hanging,
                }
            } else {
                return;
            }
        }
        Some(Pick::Part(_) | Pick::Element(_) | Pick::Cylinder(_)) | None => return,
    };
    store.change(command);
    store.editor.let_go();
    store.session.picked.set(None);
    store.session.hovered.set(None);
}

/// Copies what is chosen, and chooses the copies.
pub(super) fn copy(store: Store) {
    let parts = store.editor.parts(store.session.picked.get_untracked());
    if parts.is_empty() {
        return;
    }
    let first = store.next_id();
    store.change(Command::Duplicate(parts));
    let new: Vec<PartId> = store.harness.with_untracked(|harness| {
        let all = harness.parts.keys().copied();
        all.filter(|part| part.number() >= first).collect()
    });
    match new.as_slice() {
        [one] => {
            store.editor.let_go();
            store.session.picked.set(Some(Pick::Part(*one)));
        }
        several => {
            let several: Vec<PartId> = several.to_vec();
            store.session.picked.set(None);
            store.editor.chosen.update(|chosen| {
                chosen.clear();
                chosen.extend(several);
            });
        }
    }
}

/// Leaves what is chosen to the map to place; everything where nothing is.
pub(super) fn tidy(store: Store) {
    let mut parts = store.editor.parts(store.session.picked.get_untracked());
    if parts.is_empty() {
        parts = store.harness_now().parts.keys().copied().collect();
    }
    store.change(Command::Put(
        parts.into_iter().map(|part| (part, None)).collect(),
    ));
}

/// Begins to connect what is chosen.
pub(super) fn begin_connecting(store: Store) {
    let harness = store.harness_now();
    match store.session.picked.get_untracked() {
        Some(Pick::Terminal(terminal)) => store.editor.ask.set(Some(Ask::Other(terminal, None))),
        Some(Pick::Part(part)) => match harness.terminals_of(part).as_slice() {
            [] => {}
            [one] => store.editor.ask.set(Some(Ask::Other(*one, None))),
            _several => focus_id(super::panel::FIRST_TERMINAL),
        },
        Some(Pick::Wire(_) | Pick::Driver(_) | Pick::Element(_) | Pick::Cylinder(_)) | None => {}
    }
}

/// Chooses one thing or several.
pub(super) fn turn_several(store: Store) {
    let editor = store.editor;
    match editor.choose.get_untracked() {
        Choose::One => editor.choose.set(Choose::More),
        Choose::More => editor.let_go(),
    }
}

/// Acts on a key that is the editor's.
pub(crate) fn key(store: Store, press: &Press) -> Heed {
    let on = store.editor.is_on_now();
    match press {
        Press::Plain(key) => match key.as_str() {
            "e" | "E" => turn(store),
            "a" | "A" if on => store.editor.ask.set(Some(Ask::Kind)),
            "c" | "C" if on => begin_connecting(store),
            "s" | "S" if on => turn_several(store),
            "Delete" | "Backspace" if on => remove(store),
            "F2" if on => focus_id(NAME_FIELD),
            _ => return Heed::Left,
        },
        Press::Command(key, Shift::Free) if key == "d" && on => copy(store),
        Press::Command(..) => return Heed::Left,
    }
    Heed::Taken
}
