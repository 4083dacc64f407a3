//! Keys pressed anywhere on the page.

use leptos::ev;
use leptos::prelude::{WindowListenerHandle, window_event_listener};
use wasm_bindgen::JsCast;
use web_sys::Element;

/// Whether Shift was held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shift {
    /// It was.
    Held,
    /// It was not.
    Free,
}

/// A key press that is not meant for a text field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Press {
    /// A key with Ctrl or Cmd, in lower case.
    Command(String, Shift),
    /// A key by itself, named as the browser names it.
    Plain(String),
}

/// What the page did with a press.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heed {
    /// It was for the page; the browser shall not act on it too.
    Taken,
    /// It was not.
    Left,
}

/// Calls `act` for every press outside text fields and open sheets, until the handle is removed.
pub fn on_press(act: impl Fn(Press) -> Heed + 'static) -> WindowListenerHandle {
    window_event_listener(ev::keydown, move |event| {
        let at = event
            .target()
            .and_then(|target| target.dyn_into::<Element>().ok());
        if event.default_prevented() || at.is_some_and(|at| takes_text(&at)) {
            return;
        }
        let press = if event.ctrl_key() || event.meta_key() {
            let shift = if event.shift_key() {
                Shift::Held
            } else {
                Shift::Free
            };
            Press::Command(event.key().to_ascii_lowercase(), shift)
        } else if event.alt_key() {
            return;
        } else {
            Press::Plain(event.key())
        };
        if act(press) == Heed::Taken {
            event.prevent_default();
        }
    })
}

fn takes_text(at: &Element) -> bool {
    at.closest("input, textarea, select, dialog, [contenteditable]")
        .ok()
        .flatten()
        .is_some()
}
