//! The clipboard, and the device's own way of sending something on.

use js_sys::{Function, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{HtmlTextAreaElement, Navigator};

fn navigator() -> Option<Navigator> {
    Some(web_sys::window()?.navigator())
}

/// Puts `text` on the clipboard; whether that could be done.
pub async fn copy(text: &str) -> bool {
    let Some(navigator) = navigator() else {
        return false;
    };
    // A page that is not served safely has no clipboard.
    let clipboard = Reflect::get(&navigator, &"clipboard".into());
    if clipboard.is_ok_and(|found| found.is_undefined()) {
        return false;
    }
    JsFuture::from(navigator.clipboard().write_text(text))
        .await
        .is_ok()
}

/// The device's own way of sending something on, where there is one.
fn sender() -> Option<(Navigator, Function)> {
    let navigator = navigator()?;
    let share = Reflect::get(&navigator, &"share".into()).ok()?;
    Some((navigator, share.dyn_into().ok()?))
}

/// Whether the device can send something on.
#[must_use]
pub fn can_send() -> bool {
    sender().is_some()
}

/// Lets the person choose to whom the device sends an address; nothing happens where they choose nobody.
pub fn send(title: &str, address: &str) {
    let Some((navigator, share)) = sender() else {
        return;
    };
    let what = Object::new();
    let set = |key: &str, value: &str| Reflect::set(&what, &key.into(), &value.into());
    if set("title", title).is_ok() && set("url", address).is_ok() {
        let sent = share.call1(&navigator, &what);
        if let Some(sent) = sent.ok().and_then(|sent| sent.dyn_into::<Promise>().ok()) {
            // A choice that was put away is refused: that is no fault.
            wasm_bindgen_futures::spawn_local(async move {
                let _: Result<JsValue, JsValue> = JsFuture::from(sent).await;
            });
        }
    }
}

/// Selects all that stands in a field, ready for the device's own copying.
pub fn select_all(field: &HtmlTextAreaElement) {
    field.select();
}
