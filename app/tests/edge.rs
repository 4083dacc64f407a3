//! The browser's storage and theme, in a real browser.

#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use sparktrail::edge::storage;
use sparktrail::edge::theme::{self, Theme};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn text_comes_back_as_it_was_kept() {
    let key = "sparktrail/test/text";
    let text = "Ω → ü \u{1f697} \"quoted\"\n";
    storage::write(key, text).unwrap();
    assert_eq!(storage::read(key).unwrap().as_deref(), Some(text));
    assert_eq!(storage::keys("sparktrail/test/").unwrap(), [key]);
    storage::remove(key).unwrap();
    assert_eq!(storage::read(key).unwrap(), None);
}

#[wasm_bindgen_test]
fn a_text_too_large_is_refused_and_the_old_one_stays() {
    let key = "sparktrail/test/large";
    storage::write(key, "small").unwrap();
    // Browsers give a site about 10 MB.
    let large = "x".repeat(64 * 1024 * 1024);
    assert_eq!(
        storage::write(key, &large),
        Err(storage::StorageError::Refused)
    );
    assert_eq!(storage::read(key).unwrap().as_deref(), Some("small"));
    storage::remove(key).unwrap();
}

#[wasm_bindgen_test]
fn a_chosen_theme_stands_on_the_page_and_is_kept() {
    let root = web_sys::window()
        .unwrap()
        .document()
        .unwrap()
        .document_element()
        .unwrap();
    for (theme, attribute) in [
        (Theme::Dark, Some("dark")),
        (Theme::Light, Some("light")),
        (Theme::System, None),
    ] {
        theme::choose(theme);
        assert_eq!(root.get_attribute("data-theme").as_deref(), attribute);
        assert_eq!(theme::chosen(), theme);
    }
}
