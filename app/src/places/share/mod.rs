//! Sending a map on: link, code, file, picture; and opening one that was sent.

mod arrival;
mod code;
mod paste;
mod picture;
mod sheet;

pub(crate) use arrival::ArrivalSheet;
pub(super) use paste::{link_form, paste_link};
pub(super) use picture::picture;
pub(crate) use sheet::ShareSheet;
