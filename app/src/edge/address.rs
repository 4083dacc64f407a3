//! The address: what follows its `#`, and the Back button's steps, which leave it unchanged.

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

/// What follows the address from its `#` on, the `#` included; empty where nothing does.
#[must_use]
pub fn fragment() -> String {
    web_sys::window()
        .and_then(|window| window.location().hash().ok())
        .unwrap_or_default()
}

/// The page's address without what follows its `#`.
#[must_use]
pub fn page() -> String {
    let address = web_sys::window().and_then(|window| window.location().href().ok());
    let address = address.unwrap_or_default();
    match address.split_once('#') {
        Some((page, _)) => page.to_owned(),
        None => address,
    }
}

/// Takes what follows the `#` off the address; Back does not return to it.
pub fn drop_fragment() {
    if let Some(history) = web_sys::window().and_then(|window| window.history().ok()) {
        let state = history.state().unwrap_or(JsValue::NULL);
        let _ = history.replace_state_with_url(&state, "", Some(&page()));
    }
}

/// Calls `act` whenever another fragment is put into the address of the open page.
pub fn on_fragment(act: impl Fn() + 'static) -> WindowListenerHandle {
    window_event_listener(ev::hashchange, move |_| act())
}
