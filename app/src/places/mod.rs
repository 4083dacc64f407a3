//! What a person does, one file a place.

mod check;
mod facts;
mod inspector;
mod job;
mod keys;
mod meter;
mod more;
mod nominals;
mod overview;
mod projects;
mod samples;
mod selection;
mod shared;
mod stage;
mod start;
mod trouble;
pub mod words;

pub use job::Job;
pub use keys::KeysSheet;
pub use start::Start;
