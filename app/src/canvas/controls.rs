//! The keyboard on the map, and the buttons for zooming.

use leptos::{ev, prelude::*};
use sparktrail_core::said::said;

use super::Map;
use super::board::item_id;
use crate::edge::canvas as edge;

/// CSS pixels that an arrow key moves the map.
const NUDGE: f64 = 60.0;
/// How much one press zooms.
const NOTCH: f64 = 1.3;

/// Acts on a key pressed while the keyboard is on the map.
pub(super) fn key(map: Map, event: &ev::KeyboardEvent) {
    if event.ctrl_key() || event.meta_key() || event.alt_key() {
        return;
    }
    if map
        .hand
        .acts()
        .is_some_and(|acts| (acts.nudged)(map, event))
    {
        event.prevent_default();
        event.stop_propagation();
        return;
    }
    match event.key().as_str() {
        "+" | "=" => map.zoom_by(NOTCH),
        "-" | "_" => map.zoom_by(1.0 / NOTCH),
        "0" => map.fit(),
        "ArrowLeft" => pan(map, NUDGE, 0.0),
        "ArrowRight" => pan(map, -NUDGE, 0.0),
        "ArrowUp" => pan(map, 0.0, NUDGE),
        "ArrowDown" => pan(map, 0.0, -NUDGE),
        "Enter" | " " => {
            let at = map.tab_stop.get_untracked();
            let pick = map.drawing.with_untracked(|d| d.walk.get(at).copied());
            map.selected.set(pick);
        }
        "Escape" if map.selected.get_untracked().is_some() => map.selected.set(None),
        "Tab" => {
            let at = map.tab_stop.get_untracked();
            let next = if event.shift_key() {
                at.checked_sub(1)
            } else {
                Some(at + 1)
            };
            let next = map.drawing.with_untracked(|d| d.walk.get(next?).copied());
            match next {
                Some(next) => edge::focus_id(&item_id(next)),
                // At either end the key goes on to the rest of the page.
                None => return,
            }
        }
        _ => return,
    }
    event.prevent_default();
    event.stop_propagation();
}

fn pan(map: Map, dx: f64, dy: f64) {
    map.camera.update(|c| *c = c.panned(dx, dy));
}

/// Larger, smaller, whole map.
pub(super) fn buttons(map: Map) -> AnyView {
    view! {
        <div class="map-zoom" role="toolbar" aria-label=said("Zoom")>
            <button type="button" class="icon" title=said("Zoom in") aria-label=said("Zoom in") on:click=move |_| map.zoom_by(NOTCH)>
                <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M12 5V19M5 12H19" /></svg>
            </button>
            <button type="button" class="icon" title=said("Zoom out") aria-label=said("Zoom out") on:click=move |_| map.zoom_by(1.0 / NOTCH)>
                <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M5 12H19" /></svg>
            </button>
            <button type="button" class="icon" title=said("Whole map") aria-label=said("Whole map") on:click=move |_| map.fit()>
                <svg viewBox="0 0 24 24" aria-hidden="true">
                    <path d="M4 9V5.5A1.5 1.5 0 0 1 5.5 4H9M15 4H18.5A1.5 1.5 0 0 1 20 5.5V9M20 15V18.5A1.5 1.5 0 0 1 18.5 20H15M9 20H5.5A1.5 1.5 0 0 1 4 18.5V15" />
                </svg>
            </button>
        </div>
    }
    .into_any()
}
