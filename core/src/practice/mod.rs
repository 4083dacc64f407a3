//! Practice: a hidden fault on a bench that costs nothing, found with simulated tests, and a look back at the
//! path beside the planner's.
//!
//! A [`Ticket`] names engine, level and seed; the same ticket is the same case on every device. [`Bench`] holds
//! the case, [`Run`] what somebody did on it: a person, or the planner itself.
//!
//! ```
//! use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! use sparktrail_core::engine::{Layout, Strokes};
//! use sparktrail_core::practice::{Bench, Level, Ticket};
//!
//! let four = propose_engine(4, Layout::Inline, Strokes::Four);
//! let harness = build(&Plan::new("Blue estate", four))?;
//! let ticket = Ticket { engine: "blue-estate".into(), level: Level::Single, seed: 7 };
//! assert_eq!(Ticket::read(&ticket.write())?, ticket);
//! let bench = Bench::of(&harness, ticket)?;
//! let mut run = bench.begin();
//! // Somebody complained of at least one cylinder.
//! assert!(!run.findings.is_empty());
//! while bench.planned(&mut run) {}
//! assert!(!run.steps.is_empty());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod bench;
mod defaults;
mod hidden;
mod look_back;
mod luck;
mod run;
mod simulated;
mod ticket;

pub use bench::{Bench, PracticeError};
pub use defaults::money;
pub use hidden::Earlier;
pub use look_back::{Bound, Naming, Truth};
pub use run::{End, Run, Step};
pub use ticket::{Level, MARK, Ticket, TicketError};
