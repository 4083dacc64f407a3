//! What an event of the page carries.

use wasm_bindgen::JsCast;
use web_sys::{Event, HtmlSelectElement};

/// The place, from 0, of the choice made in the list that raised `event`.
#[must_use]
pub fn chosen(event: &Event) -> Option<usize> {
    let list: HtmlSelectElement = event.target()?.dyn_into().ok()?;
    usize::try_from(list.selected_index()).ok()
}
