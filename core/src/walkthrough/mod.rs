//! Guided walks: which step comes next, what it should show, and what an answer meant, as a pure state machine.
//!
//! A [`Walk`] is its [`Kind`] and the replies so far; everything else follows from them and the map, so
//! taking a step back is the same as never having answered. [`Walk::stage`] tells the step to do now or how
//! the walk ended, [`Walk::answer`] goes one step on. A reply that is evidence says which finding it makes;
//! whoever keeps the findings tells the walk their ids, and a finding that is undone takes its step along.
//!
//! ```
//! use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! use sparktrail_core::engine::{Layout, Strokes};
//! use sparktrail_core::walkthrough::{Kind, Reply, Stage, Task, Walk};
//!
//! let engine = propose_engine(4, Layout::Inline, Strokes::Four);
//! let harness = build(&Plan::new("four", engine))?;
//! let walk = Walk::begin(&harness, Kind::Dead);
//! let Stage::Ask(step) = walk.stage(&harness).now else { unreachable!() };
//! assert_eq!(step.task, Task::Runs);
//! // It idles: now cylinder by cylinder.
//! let next = walk.answer(&harness, Reply::Yes)?.walk;
//! assert_eq!(next.replies(), [Reply::Yes]);
//! assert_eq!(next.take_back().map(|(before, _)| before), Some(walk));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod bench;
mod caution;
mod dead;
mod gauge;
mod kind;
mod mended;
mod offered;
pub mod owners;
mod path;
mod sheet;
mod single;
mod spark;
mod split;
mod step;
mod stress;
mod swap;
mod tape;
mod text;
mod verdict;
mod walk;

pub use caution::Caution;
pub use kind::Kind;
pub use offered::offered;
pub use path::Fitness;
pub use step::{Expected, Instrument, Refused, Replies, Reply, Step, Task};
pub use swap::{Culprit, Foretold, foretold};
pub use text::NoWalk;
pub use verdict::{Meaning, Verdict};
pub use walk::{Answered, Evidence, Given, Past, Position, Shows, Stage, Walk};
