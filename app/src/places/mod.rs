//! What a person does, one file a place.

mod check;
pub(crate) mod editor;
mod engine;
mod entry;
mod facts;
mod findings;
mod inspector;
mod job;
mod keys;
pub(crate) mod lights;
mod map_file;
mod meter;
mod more;
mod next;
mod nominals;
mod overview;
mod palette;
mod panel;
mod projects;
mod samples;
mod selection;
mod share;
mod shared;
mod stage;
mod start;
mod suspects;
mod trouble;
pub mod words;

pub use engine::MyEngine;
pub use job::{FetchAgain, Job};
pub use keys::KeysSheet;
pub(crate) use more::MoreSheet;
pub(crate) use panel::panel;
pub(crate) use share::{ArrivalSheet, ShareSheet};
pub use start::Start;
