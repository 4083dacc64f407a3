//! What differs between two maps of one car, and the command that takes over each difference.
//!
//! [`align`] first finds out which thing of the other map is which of this one, whoever gave which id to it. After
//! that equal ids mean the same thing, and [`differences`] needs no guessing.
//!
//! ```
//! use sparktrail_core::compare::{Change, align, differences, take};
//! use sparktrail_core::edit::apply;
//! # use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! # use sparktrail_core::engine::{Layout, Strokes};
//! # let four = propose_engine(4, Layout::Inline, Strokes::Four);
//! # let ours = build(&Plan::new("Blue estate", four)).expect("a usual engine");
//! let mut theirs = ours.clone();
//! theirs.title = "Blue estate, with measurements".into();
//! let theirs = align(&ours, &theirs);
//! assert_eq!(differences(&ours, &theirs), [Change::Title]);
//! let command = take(&ours, &theirs, Change::Title).expect("a change that there is");
//! assert!(differences(&apply(&ours, &command)?, &theirs).is_empty());
//! # Ok::<(), sparktrail_core::edit::EditError>(())
//! ```

mod align;
mod change;
mod ids;
mod take;
#[cfg(test)]
mod tests;

pub use align::align;
pub use change::{Change, Only, differences, is_clash};
pub use take::{needs, take, together};
