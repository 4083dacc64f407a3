//! What can go wrong with each element, and which cylinders die, live or are in doubt when it does.

mod mode;

pub use mode::{Fault, Mode, ModeKind};
