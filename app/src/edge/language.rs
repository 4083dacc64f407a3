//! The language of the person: chosen or the browser's, set on `<html>` before this program runs, and its words.

use js_sys::{Array, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

use super::storage;

const KEY: &str = "sparktrail/1/language";
/// Where `language.js` leaves the words that it sent for.
const WORDS: &str = "sparktrailWords";

/// Every language by its code, each called as its speakers call it.
pub const ALL: [(&str, &str); 2] = [("en", "English"), ("de", "Deutsch")];

/// The code of the language that the page is in.
#[must_use]
pub fn now() -> String {
    web_sys::window()
        .and_then(|window| window.document()?.document_element()?.get_attribute("lang"))
        .unwrap_or_default()
}

/// Keeps the choice for when the page is loaded anew, where storage allows.
pub fn choose(code: &str) {
    // A browser that keeps nothing stays with its own language.
    let _ = storage::write(KEY, code);
}

/// Gives `act` the words of the language: pairs of English and its translation, none where English is spoken or the
/// words cannot be had. It happens at once where nothing is waited for.
pub fn hear(act: impl FnOnce(Vec<(String, String)>) + 'static) {
    let sent_for = Reflect::get(&js_sys::global(), &JsValue::from_str(WORDS));
    let Some(words) = sent_for
        .ok()
        .and_then(|words| words.dyn_into::<Promise>().ok())
    else {
        act(Vec::new());
        return;
    };
    spawn_local(async move {
        let table = JsFuture::from(words).await.ok();
        let table = table.and_then(|table| table.dyn_into::<Object>().ok());
        act(table.map_or_else(Vec::new, |table| pairs(&table)));
    });
}

fn pairs(table: &Object) -> Vec<(String, String)> {
    let entries = Object::entries(table);
    let pair = |entry: JsValue| {
        let entry: Array = entry.dyn_into().ok()?;
        Some((entry.get(0).as_string()?, entry.get(1).as_string()?))
    };
    entries.iter().filter_map(pair).collect()
}
