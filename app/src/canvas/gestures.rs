//! Fingers, mouse and wheel on the map: pan, pinch, zoom, point, tap.

use leptos::{ev, html, prelude::*};
use sparktrail_core::drawing::Point;

use super::Map;
use super::board::item_id;
use super::editing::{self, Grip};
use super::projection::Camera;
use crate::edge::canvas as edge;

/// CSS pixels that a pointer may stray and still tap.
const STRAY: f64 = 5.0;
/// CSS pixels around a mouse pointer within which something is met.
const MOUSE_REACH: f64 = 9.0;
/// The same around a finger.
const FINGER_REACH: f64 = 22.0;

/// One pointer that is down.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Down {
    id: i32,
    start: Point,
    at: Point,
}

/// The pointers that are down and what they have done so far.
#[derive(Debug, Clone, Default)]
struct Hands {
    down: Vec<Down>,
    strayed: Strayed,
    /// Where the last pointer was lifted without having strayed, and its reach.
    tap: Option<(Point, f64)>,
    /// What of the map is held, while it is edited.
    grip: Option<Grip>,
}

/// Whether a touch has turned into a drag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Strayed {
    #[default]
    No,
    Yes,
}

/// Turns pointer events into camera moves and picks. They come from the glass that lies over the map.
#[derive(Clone, Copy)]
pub(super) struct Gestures {
    map: Map,
    glass: NodeRef<html::Div>,
    hands: StoredValue<Hands>,
}

impl Gestures {
    pub(super) fn new(map: Map, glass: NodeRef<html::Div>) -> Self {
        Self {
            map,
            glass,
            hands: StoredValue::new(Hands::default()),
        }
    }

    fn place(self, x: i32, y: i32) -> Point {
        let corner = self
            .glass
            .get_untracked()
            .map(|glass| edge::page_box(&glass))
            .unwrap_or_default();
        Point::new(f64::from(x) - corner.left, f64::from(y) - corner.top)
    }

    fn reach(event: &ev::PointerEvent) -> f64 {
        if event.pointer_type() == "mouse" {
            MOUSE_REACH
        } else {
            FINGER_REACH
        }
    }

    pub(super) fn down(self, event: &ev::PointerEvent) {
        if event.button() != 0 && event.button() != 1 {
            return;
        }
        let at = self.place(event.client_x(), event.client_y());
        let acts = self.map.hand.acts();
        let grip =
            acts.and_then(|acts| (acts.grip)(self.map, at, Self::reach(event), event.shift_key()));
        editing::drop_it(self.map);
        self.hands.update_value(|hands| {
            hands.down.retain(|d| d.id != event.pointer_id());
            // A second finger pinches.
            hands.grip = grip.filter(|_| hands.down.is_empty());
            hands.down.push(Down {
                id: event.pointer_id(),
                start: at,
                at,
            });
            hands.tap = None;
            if hands.down.len() == 1 {
                hands.strayed = Strayed::No;
            }
        });
    }

    pub(super) fn moved(self, event: &ev::PointerEvent) {
        let at = self.place(event.client_x(), event.client_y());
        let hands = self.hands.get_value();
        if !hands.down.iter().any(|d| d.id == event.pointer_id()) {
            if event.pointer_type() == "mouse" {
                self.point(self.map.under(at, MOUSE_REACH));
            }
            return;
        }
        let before = hands.down.clone();
        self.hands.update_value(|hands| {
            for d in &mut hands.down {
                if d.id == event.pointer_id() {
                    if d.start.distance(at) > STRAY && hands.strayed == Strayed::No {
                        hands.strayed = Strayed::Yes;
                        if let Some(glass) = self.glass.get_untracked() {
                            edge::hold_pointer(&glass, event);
                        }
                    }
                    d.at = at;
                }
            }
        });
        let now = self.hands.get_value();
        if now.strayed == Strayed::Yes {
            if let (Some(grip), Some(held)) = (&now.grip, now.down.first()) {
                if let Some(acts) = self.map.hand.acts() {
                    (acts.drag)(self.map, grip, held.start, at);
                }
                return;
            }
            self.hold(now.down.len() == 1);
            self.map.camera.update(|camera| {
                *camera = dragged(*camera, &before, &now.down);
            });
        }
    }

    pub(super) fn up(self, event: &ev::PointerEvent) {
        let hands = self.hands.get_value();
        let tapped = hands.down.len() == 1
            && hands.strayed == Strayed::No
            && hands.down.iter().any(|d| d.id == event.pointer_id())
            && event.button() == 0;
        let at = self.place(event.client_x(), event.client_y());
        if hands.grip.is_some()
            && hands.strayed == Strayed::Yes
            && let Some(acts) = self.map.hand.acts()
        {
            (acts.release)(self.map, at, Self::reach(event));
        }
        self.hands.update_value(|hands| {
            hands.grip = None;
            hands.down.retain(|d| d.id != event.pointer_id());
            hands.tap = tapped.then(|| (at, Self::reach(event)));
        });
        self.hold(false);
    }

    /// Takes hold of the map with one hand, that moves it and nothing else, or lets it go.
    fn hold(self, one: bool) {
        let Map {
            camera,
            held,
            held_at,
            ..
        } = self.map;
        if held.get_untracked() == one {
            return;
        }
        if one {
            held_at.set(camera.get_untracked());
        }
        held.set(one);
    }

    /// Selects what was tapped. Not when the finger is lifted: what is selected moves the page, and
    /// the click that the browser sends after the lift would then meet another thing than the map.
    pub(super) fn clicked(self, event: &ev::MouseEvent) {
        let tap = self
            .hands
            .try_update_value(|hands| hands.tap.take())
            .flatten();
        let Some((at, reach)) = tap else { return };
        let found = self.map.under(at, reach);
        if let Some(pick) = found {
            // The keyboard goes on from there.
            edge::focus_id(&item_id(pick));
        }
        let acts = self.map.hand.acts();
        if acts.is_some_and(|acts| (acts.tapped)(self.map, found, event.shift_key())) {
            return;
        }
        if self.map.selected.get_untracked() != found {
            self.map.selected.set(found);
        }
    }

    pub(super) fn cancel(self, event: &ev::PointerEvent) {
        self.hands.update_value(|hands| {
            hands.grip = None;
            hands.down.retain(|d| d.id != event.pointer_id());
        });
        self.hold(false);
        editing::drop_it(self.map);
    }

    pub(super) fn left(self) {
        self.point(None);
    }

    pub(super) fn wheel(self, event: &ev::WheelEvent) {
        event.prevent_default();
        let at = self.place(event.client_x(), event.client_y());
        // Lines and pages are turned into pixels; a pinch on a touch pad comes as a wheel with Ctrl.
        let unit = match event.delta_mode() {
            0 => 1.0,
            1 => 16.0,
            _ => 300.0,
        };
        let speed = if event.ctrl_key() { 0.01 } else { 0.0016 };
        let factor = (-event.delta_y() * unit * speed).clamp(-0.7, 0.7).exp();
        self.map.camera.update(|c| *c = c.zoomed(factor, at));
    }

    /// A double tap zooms in; from close it shows the whole map again.
    pub(super) fn twice(self, event: &ev::MouseEvent) {
        event.prevent_default();
        let at = self.place(event.client_x(), event.client_y());
        if self.map.camera.with_untracked(|c| c.scale) > 2.4 {
            self.map.fit();
        } else {
            self.map.camera.update(|c| *c = c.zoomed(2.0, at));
        }
    }

    fn point(self, found: Option<sparktrail_core::drawing::Pick>) {
        if self.map.hovered.get_untracked() != found {
            self.map.hovered.set(found);
        }
    }
}

/// The camera after the pointers went from `before` to `now`: one pans, two pan and pinch.
fn dragged(camera: Camera, before: &[Down], now: &[Down]) -> Camera {
    match (before, now) {
        ([a], [b]) => camera.panned(b.at.x - a.at.x, b.at.y - a.at.y),
        ([a, b, ..], [c, d, ..]) => {
            let mid =
                |p: Point, q: Point| Point::new(f64::midpoint(p.x, q.x), f64::midpoint(p.y, q.y));
            let (from, to) = (mid(a.at, b.at), mid(c.at, d.at));
            let factor = c.at.distance(d.at).max(1.0) / a.at.distance(b.at).max(1.0);
            camera
                .panned(to.x - from.x, to.y - from.y)
                .zoomed(factor, to)
        }
        _ => camera,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn down(id: i32, x: f64, y: f64) -> Down {
        let at = Point::new(x, y);
        Down { id, start: at, at }
    }

    #[test]
    fn a_pinch_keeps_both_fingers_on_their_places() {
        let camera = Camera::default().panned(13.0, 7.0);
        let before = [down(1, 100.0, 100.0), down(2, 200.0, 100.0)];
        let now = [down(1, 80.0, 120.0), down(2, 280.0, 120.0)];
        let after = dragged(camera, &before, &now);
        for (a, b) in before.iter().zip(&now) {
            assert!(after.to_screen(camera.to_map(a.at)).distance(b.at) < 1e-9);
        }
    }

    #[test]
    fn one_finger_pans() {
        let after = dragged(
            Camera::default(),
            &[down(1, 0.0, 0.0)],
            &[down(1, 5.0, -3.0)],
        );
        assert!((after.x - 5.0).abs() < 1e-9 && (after.y + 3.0).abs() < 1e-9);
    }
}
