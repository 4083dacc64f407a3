//! The editor on the map: what hands and keys do to it, and the panel that changes what is chosen.

mod acts;
mod ask;
mod clashes;
mod engine;
mod fields;
mod panel;
mod parts;
mod tools;

pub(crate) use acts::{joined, key, led, moved};
pub(super) use clashes::{clash, told};
pub(super) use fields::{field, has_field};
pub(super) use panel::panel;
pub(crate) use tools::tools;
