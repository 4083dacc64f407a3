//! The harness as a pin table: rows out of it, pasted text read and matched with it, and the changes that follow.
//!
//! A table and a drawn map are two views of one thing. Nothing here changes a harness: a
//! pasted table becomes a plan, and a plan becomes one command.

pub mod cells;
mod column;
mod face;
mod names;
mod plan;
mod read;
mod retype;
mod row;
mod text;
mod wrong;

pub use column::{Column, Heading, Pasted};
pub use face::{Seat, Seating, Seen, pins, proposed, seating};
pub use names::Names;
pub use plan::{CellChange, Clash, Entry, Fate, Given, Plan, Tally};
pub use read::ReadRow;
pub use retype::{can_retype, retype};
pub use row::{Placed, Row, RowAt, Scope, WRITTEN, csv, facts_of, known, natural, rows, write};
pub use text::{MOST_BYTES, MOST_ROWS, Record, Separator};
pub use wrong::{RowError, TextError, Wrong};
