//! What an event of the page carries.

use wasm_bindgen::JsCast;
use web_sys::{Element, Event, HtmlSelectElement, PointerEvent};

/// The place, from 0, of the choice made in the list that raised `event`.
#[must_use]
pub fn chosen(event: &Event) -> Option<usize> {
    let list: HtmlSelectElement = event.target()?.dyn_into().ok()?;
    usize::try_from(list.selected_index()).ok()
}

fn listener(event: &Event) -> Option<Element> {
    event.current_target()?.dyn_into().ok()
}

/// How far across the element that listens the pointer is, 0 at its left edge and 1 at its right.
#[must_use]
pub fn share_across(event: &PointerEvent) -> Option<f64> {
    let place = listener(event)?.get_bounding_client_rect();
    let inside = f64::from(event.client_x()) - place.left();
    (place.width() > 0.0).then(|| inside / place.width())
}

/// Lets the element that listens go on hearing of the pointer wherever it goes, until it is lifted.
pub fn hold_pointer(event: &PointerEvent) {
    if let Some(element) = listener(event) {
        // A pointer that is already gone needs no holding.
        let _ = element.set_pointer_capture(event.pointer_id());
    }
}
