//! Shared ground of the outside checks and the browser runs.

pub mod outside;
pub mod place;
