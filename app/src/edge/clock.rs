//! The time of day, which the core never asks for.

/// Milliseconds since 1970-01-01 UTC.
#[must_use]
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// Day and time in the reader's own way of writing them.
#[must_use]
pub fn local_words(ms: f64) -> String {
    js_sys::Date::new(&ms.into())
        .to_locale_string("default", &js_sys::Object::new())
        .into()
}
