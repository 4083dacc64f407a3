//! Words to the script beside the program that hands over every map when the program can do nothing any more
//! (`static/rescue.js`).

use js_sys::{Object, Reflect};
use wasm_bindgen::JsValue;
use web_sys::{CustomEvent, CustomEventInit};

/// The way out is wanted.
const RESCUE: &str = "sparktrail-rescue";
/// A map has no place on this device, or has one again.
const UNSAVED: &str = "sparktrail-unsaved";

/// From now on a panic goes to the console and shows the way out; what is kept is then written no more.
pub fn hold_panics() {
    std::panic::set_hook(Box::new(|info| {
        let reason = info.to_string();
        web_sys::console::error_1(&reason.as_str().into());
        tell(RESCUE, &told([("cause", "broke"), ("reason", &reason)]));
    }));
}

/// Shows every map of this device, each to be saved as a file.
pub fn ask() {
    tell(RESCUE, &told([("cause", "asked"), ("reason", "")]));
}

/// Hands over a map that is not kept on this device, so that it outlives the program.
pub fn hold(title: &str, text: &str) {
    tell(UNSAVED, &told([("title", title), ("text", text)]));
}

/// The map that was handed over is kept.
pub fn let_go() {
    tell(UNSAVED, &JsValue::NULL);
}

fn told(facts: [(&str, &str); 2]) -> JsValue {
    let object = Object::new();
    for (name, value) in facts {
        // A plain object takes every field.
        let _ = Reflect::set(&object, &name.into(), &value.into());
    }
    object.into()
}

fn tell(event: &str, detail: &JsValue) {
    let with = CustomEventInit::new();
    with.set_detail(detail);
    if let Some(window) = web_sys::window()
        && let Ok(event) = CustomEvent::new_with_event_init_dict(event, &with)
    {
        // Nobody can forbid it.
        let _ = window.dispatch_event(&event);
    }
}
