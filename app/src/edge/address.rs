//! The browser's Back button: steps left behind and taken back, with the address unchanged.

use leptos::ev;
use leptos::prelude::{WindowListenerHandle, window_event_listener};
use wasm_bindgen::JsValue;

/// Leaves a step called `name` for the Back button to return from.
pub fn step(name: &str) {
    if let Some(history) = web_sys::window().and_then(|window| window.history().ok()) {
        // Browsers limit how fast steps may be left; a lost step costs one press of Back.
        let _ = history.push_state(&JsValue::from_str(name), "");
    }
}

/// Names the step the page stands on now.
pub fn stand(name: &str) {
    if let Some(history) = web_sys::window().and_then(|window| window.history().ok()) {
        let _ = history.replace_state(&JsValue::from_str(name), "");
    }
}

/// Calls `act` with the name of the step that Back or Forward came to.
pub fn on_back(act: impl Fn(String) + 'static) -> WindowListenerHandle {
    window_event_listener(ev::popstate, move |event| {
        act(event.state().as_string().unwrap_or_default());
    })
}
