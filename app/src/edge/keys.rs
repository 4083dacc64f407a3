//! Keys pressed anywhere on the page.

use leptos::ev;
use leptos::prelude::{WindowListenerHandle, window_event_listener};
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, KeyboardEvent};

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

/// Calls `act` for every press outside fields and open sheets, until the handle is removed; for one with Ctrl or Cmd in
/// fields without letters too. Esc leaves a field: what was typed counts as with Tab.
pub fn on_press(act: impl Fn(Press) -> Heed + 'static) -> WindowListenerHandle {
    window_event_listener(ev::keydown, move |event| {
        let at = event
            .target()
            .and_then(|target| target.dyn_into::<HtmlElement>().ok());
        let Some(press) = pressed(&event).filter(|_| !event.default_prevented()) else {
            return;
        };
        match (at.as_deref().map_or(Field::None, field), &press) {
            (Field::None, _) | (Field::Choice, Press::Command(..)) => {
                if act(press) == Heed::Taken {
                    event.prevent_default();
                }
            }
            (Field::Choice | Field::Text, Press::Plain(key)) if key == "Escape" => {
                let _ = at.map(|at| at.blur());
            }
            (Field::Choice | Field::Text | Field::Sheet, _) => {}
        }
    })
}

fn pressed(event: &KeyboardEvent) -> Option<Press> {
    if event.ctrl_key() || event.meta_key() {
        let shift = if event.shift_key() {
            Shift::Held
        } else {
            Shift::Free
        };
        Some(Press::Command(event.key().to_ascii_lowercase(), shift))
    } else {
        (!event.alt_key()).then(|| Press::Plain(event.key()))
    }
}

/// What a press lands in.
#[derive(Clone, Copy)]
enum Field {
    /// No field.
    None,
    /// A list or a box to tick.
    Choice,
    /// A field for letters.
    Text,
    /// Something in a sheet, which has keys of its own.
    Sheet,
}

fn field(at: &Element) -> Field {
    let is_in = |what: &str| at.closest(what).ok().flatten().is_some();
    if is_in("dialog") {
        Field::Sheet
    } else if is_in("select, [type=checkbox], [type=radio]") {
        Field::Choice
    } else if is_in("input, textarea, [contenteditable]") {
        Field::Text
    } else {
        Field::None
    }
}
