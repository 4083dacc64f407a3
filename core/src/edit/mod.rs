//! Changes to a harness: commands, what they do, and the history that takes them back.
//!
//! A command never changes the harness it is given: [`apply`] returns another one. Nothing here
//! knows of a view; a program may replay a list of commands with no screen at all.
//!
//! ```
//! use std::sync::Arc;
//! use sparktrail_core::edit::{Command, History};
//! # use sparktrail_core::engine::{Bank, CylinderId, Engine, Firing, Layout, Strokes};
//! # use sparktrail_core::model::Harness;
//! # use sparktrail_core::provenance::Fact;
//! # let engine = Engine {
//! #     strokes: Strokes::Four,
//! #     layout: Layout::Inline,
//! #     banks: vec![Bank { name: String::new(), cylinders: vec![CylinderId(1)] }],
//! #     order: Fact::assumed(vec![CylinderId(1)]),
//! #     firing: Fact::assumed(Firing::Even),
//! # };
//! let mut history = History::new(Arc::new(Harness::new("Old estate", engine)));
//! history.apply(Command::Rename("Blue estate".into()))?;
//! assert_eq!(history.now().title, "Blue estate");
//! history.undo();
//! assert_eq!(history.now().title, "Old estate");
//! # Ok::<(), sparktrail_core::edit::EditError>(())
//! ```

mod apply;
mod bare;
mod command;
mod error;
mod facts;
mod history;
pub mod layouts;
mod names;
mod nominal;
mod parts;
mod pins;
mod rivals;
mod splice;
#[cfg(test)]
pub(crate) mod tests;
mod value;
mod wiring;

pub use crate::model::{FactAt, FactValue, Rival};
pub use apply::apply;
pub use bare::{bare, bare_wiring, drawn_alike, told_alike, wired_alike};
pub use command::{Command, Form, Hanging, WireLook};
pub use error::{EditError, Named, Noted, Plenty};
pub use facts::{FactCount, count_facts, facts, provenance};
pub use history::History;
pub use names::free_name;
pub use nominal::{allowed, nominal, quantity};
pub use splice::Meets;
pub use value::check as can_say;
