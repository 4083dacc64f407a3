//! The map under hands that change it: parts dragged, terminals joined, wire ends led elsewhere, several framed.

use std::collections::BTreeSet;

use leptos::{ev, prelude::*};
use sparktrail_core::drawing::{GRID, Pick, Point, Rect, circle};
use sparktrail_core::gather::Gather;
use sparktrail_core::model::{PartId, Terminal, WireEnd, WireId};

use super::Map;
use super::board::item_id;
use super::layers::focused;
use crate::edge::canvas as edge;
use crate::store::{Choose, Drag, Editor};

/// What happens when the map is changed by hand.
#[derive(Clone, Copy)]
pub struct Hand {
    /// What the hands are doing.
    pub editor: Editor,
    /// What they can do, once that part of the program is here.
    pub acts: Signal<Option<Acts>>,
    /// Called when parts were moved, with where each stands now.
    pub moved: Callback<Vec<(PartId, Point)>>,
    /// Called when a wire was drawn from a terminal onto something.
    pub joined: Callback<(Terminal, Pick)>,
    /// Called when the end of a wire was led onto something, or into the air.
    pub led: Callback<(WireId, WireEnd, Option<Pick>)>,
}

impl Hand {
    /// Hands that do nothing.
    pub(super) fn none() -> Self {
        Self {
            editor: Editor::default(),
            acts: Signal::stored(None),
            moved: Callback::new(|_| {}),
            joined: Callback::new(|_| {}),
            led: Callback::new(|_| {}),
        }
    }

    /// What hands can do now; `None` while the map is only looked at. Not tracked.
    pub(super) fn acts(self) -> Option<Acts> {
        self.acts
            .get_untracked()
            .filter(|_| self.editor.is_on_now())
    }
}

/// What hands can do to the map. Reached through pointers, so that it need not be here before the first map is.
#[derive(Debug, Clone, Copy)]
pub struct Acts {
    pub(super) grip: fn(Map, Point, f64, bool) -> Option<Grip>,
    pub(super) drag: fn(Map, &Grip, Point, Point),
    pub(super) release: fn(Map, Point, f64),
    pub(super) tapped: fn(Map, Option<Pick>, bool) -> bool,
    pub(super) nudged: fn(Map, &ev::KeyboardEvent) -> bool,
    in_hand: fn(Map) -> AnyView,
}

impl Acts {
    /// All of them.
    pub(crate) const ALL: Self = Self {
        grip,
        drag,
        release,
        tapped,
        nudged,
        in_hand,
    };
}

/// What is in hand, on the map.
pub(super) fn shown(map: Map) -> AnyView {
    let hand = map.hand;
    let shown = move || {
        let acts = hand.acts.get().filter(|_| hand.editor.is_on())?;
        Some((acts.in_hand)(map))
    };
    shown.into_any()
}

/// What a pointer that is down holds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Grip {
    Parts(Vec<PartId>),
    Terminal(Terminal),
    End(WireId, WireEnd),
    Frame,
}

/// What is taken hold of at a place of the canvas; `None` leaves the pointer to pan.
fn grip(map: Map, at: Point, reach: f64, shift: bool) -> Option<Grip> {
    let editor = map.hand.editor;
    let here = map.camera.get_untracked().to_map(at);
    let near = reach / map.camera.with_untracked(|c| c.scale);
    if let Some(Pick::Wire(wire)) = map.selected.get_untracked() {
        let ends = ends_of(map, wire);
        let met = ends
            .into_iter()
            .find(|(_, p)| p.distance(here) <= near * 1.2);
        if let Some((end, _)) = met {
            return Some(Grip::End(wire, end));
        }
    }
    let frame = shift || editor.choose.get_untracked() == Choose::More;
    match map.under(at, reach) {
        Some(Pick::Terminal(terminal)) => Some(Grip::Terminal(terminal)),
        Some(pick) => {
            let part = part_of(map, pick)?;
            let chosen = editor.chosen.get_untracked();
            Some(Grip::Parts(if chosen.contains(&part) {
                chosen.into_iter().collect()
            } else {
                vec![part]
            }))
        }
        None => frame.then_some(Grip::Frame),
    }
}

/// The part that is moved by dragging something; `None` where nothing is.
fn part_of(map: Map, pick: Pick) -> Option<PartId> {
    let part = match pick {
        Pick::Part(part) => part,
        Pick::Driver(driver) => map.harness.with_untracked(|h| h.host_of(driver))?,
        Pick::Wire(_) | Pick::Element(_) | Pick::Terminal(_) | Pick::Cylinder(_) => return None,
    };
    let stands = map.drawing.with_untracked(|d| d.stands.contains_key(&part));
    stands.then_some(part)
}

/// Where the two ends of a wire are drawn.
fn ends_of(map: Map, wire: WireId) -> Vec<(WireEnd, Point)> {
    map.drawing.with_untracked(|drawing| {
        let run = drawing.runs.iter().find(|run| run.pick == Pick::Wire(wire));
        let points = run.map(|run| (run.points.first().copied(), run.points.last().copied()));
        let Some((Some(first), Some(last))) = points else {
            return Vec::new();
        };
        // A run may be drawn from either end: the end of which it is known where its terminal stands tells.
        let at = |end: WireEnd| {
            let fact = map
                .harness
                .with_untracked(|h| h.wires.get(&wire)?.end(end))?;
            let terminal = drawing.place_of(Pick::Terminal(fact.value));
            let place = terminal.or_else(|| drawing.place_of(Pick::Part(fact.value.part)))?;
            Some(place.centre())
        };
        let turned = match (at(WireEnd::From), at(WireEnd::To)) {
            (Some(from), _) => from.distance(first) > from.distance(last),
            (None, Some(to)) => to.distance(last) > to.distance(first),
            (None, None) => false,
        };
        let (from, to) = if turned { (last, first) } else { (first, last) };
        vec![(WireEnd::From, from), (WireEnd::To, to)]
    })
}

/// The pointer moved with something in its grip: from and to are places of the canvas.
fn drag(map: Map, grip: &Grip, start: Point, at: Point) {
    let hand = map.hand;
    let camera = map.camera.get_untracked();
    let (from, to) = (camera.to_map(start), camera.to_map(at));
    hand.editor.drag.set(Some(match grip {
        Grip::Parts(parts) => {
            let step = |far: f64| (far / GRID).round() * GRID;
            let by = Point::new(step(to.x - from.x), step(to.y - from.y));
            Drag::Parts(parts.clone(), by)
        }
        Grip::Terminal(terminal) => Drag::Wire(*terminal, to),
        Grip::End(wire, end) => Drag::End(*wire, *end, to),
        Grip::Frame => Drag::Frame(from, to),
    }));
}

/// Nothing is in hand any more, and nothing came of it.
pub(super) fn drop_it(map: Map) {
    let drag = map.hand.editor.drag;
    if drag.with_untracked(Option::is_some) {
        drag.set(None);
    }
}

/// The pointer was lifted at a place of the canvas.
fn release(map: Map, at: Point, reach: f64) {
    let hand = map.hand;
    let Some(drag) = hand.editor.drag.get_untracked() else {
        return;
    };
    hand.editor.drag.set(None);
    match drag {
        Drag::Parts(parts, by) => {
            move_by(map, &parts, by);
        }
        Drag::Wire(from, _) => {
            if let Some(pick) = map.under(at, reach)
                && pick != Pick::Terminal(from)
            {
                hand.joined.run((from, pick));
            }
        }
        Drag::End(wire, end, _) => {
            let found = map.under(at, reach);
            if found != Some(Pick::Wire(wire)) {
                hand.led.run((wire, end, found));
            }
        }
        Drag::Frame(a, b) => {
            let frame = framed(a, b);
            let inside: BTreeSet<PartId> = map.drawing.with_untracked(|drawing| {
                let within = drawing.stands.keys().filter(|part| {
                    let place = drawing.place_of(Pick::Part(**part)).map(Rect::centre);
                    place.is_some_and(|at| frame.overlaps(Rect::about(at, 1.0, 1.0)))
                });
                within.copied().gather()
            });
            hand.editor.chosen.update(|chosen| chosen.extend(inside));
        }
    }
}

/// The box between two corners.
fn framed(a: Point, b: Point) -> Rect {
    Rect::new(
        a.x.min(b.x),
        a.y.min(b.y),
        (a.x - b.x).abs(),
        (a.y - b.y).abs(),
    )
}

/// Whether a tap was meant for the editor, which then has acted on it.
fn tapped(map: Map, found: Option<Pick>, shift: bool) -> bool {
    let hand = map.hand;
    let editor = hand.editor;
    if let (Some(from), Some(pick)) = (editor.from.get_untracked(), found) {
        if pick != Pick::Terminal(from) {
            hand.joined.run((from, pick));
        }
        return true;
    }
    let more = shift || editor.choose.get_untracked() == Choose::More;
    if more && let Some(part) = found.and_then(|pick| part_of(map, pick)) {
        let before = map.selected.get_untracked();
        editor.chosen.update(|chosen| {
            // What was selected by itself is one of several from now on.
            if let Some(Pick::Part(first)) = before
                && chosen.is_empty()
            {
                chosen.insert(first);
            }
            if !chosen.remove(&part) {
                chosen.insert(part);
            }
        });
        map.selected.set(None);
        return true;
    }
    if editor.chosen.with_untracked(|chosen| !chosen.is_empty()) && !more {
        editor.chosen.update(BTreeSet::clear);
    }
    false
}

/// Whether a key moved what is selected.
fn nudged(map: Map, event: &ev::KeyboardEvent) -> bool {
    let hand = map.hand;
    let step = if event.shift_key() { 4.0 * GRID } else { GRID };
    let by = match event.key().as_str() {
        "ArrowLeft" => Point::new(-step, 0.0),
        "ArrowRight" => Point::new(step, 0.0),
        "ArrowUp" => Point::new(0.0, -step),
        "ArrowDown" => Point::new(0.0, step),
        _ => return false,
    };
    let picked = map.selected.get_untracked();
    let at = map.tab_stop.get_untracked();
    let here = map.drawing.with_untracked(|d| d.walk.get(at).copied());
    let moved = move_by(map, &hand.editor.parts(picked), by);
    if moved {
        hand.editor.refocus.set(here);
    }
    moved
}

/// Whether there was anything to move.
fn move_by(map: Map, parts: &[PartId], by: Point) -> bool {
    let places: Vec<(PartId, Point)> = map.drawing.with_untracked(|drawing| {
        let moved = |part: &PartId| Some((*part, drawing.moved(*part, by)?));
        parts.iter().filter_map(moved).collect()
    });
    let any = !places.is_empty() && by.distance(Point::new(0.0, 0.0)) > 0.0;
    if any {
        map.hand.moved.run(places);
    }
    any
}

/// Brings the keyboard back to where it was once the map has been drawn anew.
pub(super) fn keep_focus(map: Map) {
    let refocus = map.hand.editor.refocus;
    Effect::new(move |_| {
        map.drawing.track();
        let Some(pick) = refocus.get() else { return };
        let nth = map
            .drawing
            .with_untracked(|d| d.walk.iter().position(|found| *found == pick));
        if let Some(nth) = nth {
            if map.tab_stop.get_untracked() != nth {
                map.tab_stop.set(nth);
            }
            let id = item_id(pick);
            if edge::has_focus(&id) {
                focused(map, pick);
            } else {
                edge::focus_id(&id);
            }
        }
        refocus.set(None);
    });
}

/// The parts that follow the hand, the wire that is drawn, the frame; and the ends by which the selected wire can
/// be taken.
fn in_hand(map: Map) -> AnyView {
    let hand = map.hand;
    let shown = move || {
        let drag = hand.editor.drag.get()?;
        Some(match drag {
            Drag::Parts(parts, by) => {
                let ghosts = map.drawing.with_untracked(|drawing| {
                    let place = |part| drawing.place_of(Pick::Part(part));
                    let boxes = parts.into_iter().filter_map(place);
                    boxes
                        .map(|b| outline(b.moved(by.x, by.y)))
                        .collect::<String>()
                });
                view! { <path class="ghost" d=ghosts /> }.into_any()
            }
            Drag::Wire(from, to) => {
                let place = map.drawing.with_untracked(|drawing| {
                    let terminal = drawing.place_of(Pick::Terminal(from));
                    terminal.or_else(|| drawing.place_of(Pick::Part(from.part)))
                });
                line(place.map_or(to, Rect::centre), to)
            }
            Drag::End(wire, end, to) => {
                let ends = ends_of(map, wire);
                let other = ends.into_iter().find(|(found, _)| *found != end);
                line(other.map_or(to, |(_, at)| at), to)
            }
            Drag::Frame(a, b) => {
                view! { <path class="frame" d=outline(framed(a, b)) /> }.into_any()
            }
        })
    };
    let handles = move || {
        map.drawing.track();
        let Some(Pick::Wire(wire)) = map.selected.get() else {
            return None;
        };
        let r = 8.0 / map.scale().clamp(0.4, 2.0);
        let discs: String = ends_of(map, wire)
            .into_iter()
            .map(|(_, at)| circle(at, r))
            .collect();
        Some(view! { <path class="wire-end" d=discs /> }.into_any())
    };
    view! { <g class="in-hand-map" aria-hidden="true">{handles} {shown}</g> }.into_any()
}

fn line(from: Point, to: Point) -> AnyView {
    let d = format!("M{:.1} {:.1}L{:.1} {:.1}", from.x, from.y, to.x, to.y);
    let tip = circle(to, 5.0);
    view! {
        <path class="drawn-wire" d=d />
        <path class="drawn-tip" d=tip />
    }
    .into_any()
}

fn outline(b: Rect) -> String {
    format!("M{:.1} {:.1}h{:.1}v{:.1}h{:.1}Z", b.x, b.y, b.w, b.h, -b.w)
}
