//! The time of day, which the core never asks for.

/// Milliseconds since 1970-01-01 UTC.
#[must_use]
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// Milliseconds since the page was opened, finer than [`now_ms`] and never set back.
#[must_use]
pub fn running_ms() -> f64 {
    let performance = web_sys::window().and_then(|window| window.performance());
    performance.map_or_else(now_ms, |performance| performance.now())
}

/// A number that nobody can foresee.
#[must_use]
pub fn seed() -> u64 {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "it lies between 0 and 2^32"
    )]
    let seed = (js_sys::Math::random() * 4_294_967_296.0) as u64;
    seed
}

/// The moment now, for the record.
#[must_use]
pub fn timestamp() -> sparktrail_core::model::Timestamp {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "milliseconds since 1970 are whole and far below 2^53"
    )]
    let now = now_ms() as i64;
    sparktrail_core::model::Timestamp(now)
}
