//! The time of day, which the core never asks for.

/// Milliseconds since 1970-01-01 UTC.
#[must_use]
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}
