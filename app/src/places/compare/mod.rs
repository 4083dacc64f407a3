//! Another map beside the open one: what differs, as a list and on the map, each difference takeable by itself.

mod choose;
mod panel;

pub(crate) use choose::ChooseSheet;
pub(super) use panel::ComparePanel;
