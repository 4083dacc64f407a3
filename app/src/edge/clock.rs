//! The time of day, which the core never asks for.

/// Milliseconds since 1970-01-01 UTC.
#[must_use]
pub fn now_ms() -> f64 {
    js_sys::Date::now()
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
