//! Shared ground of the outside checks and the browser runs.

#[cfg(feature = "browser")]
pub mod browser;
pub mod inputs;
pub mod outside;
pub mod place;
pub mod spoil;
