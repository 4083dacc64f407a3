//! Words of the map as lists: how each cylinder is fed, step by step.

use crate::text::{Text, text};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::Works;
use sparktrail_core::said::say;

use super::facts;
use super::findings::works_word;

/// Heading.
pub const HEADING: Text = text("The map in words");
/// What the lists are.
pub const LEAD: Text = text(
    "How each cylinder gets its spark, step by step, with how it is known and how likely it is the fault. What several ways lead through side by side is left out.",
);
/// A thing that the findings cleared.
pub const CLEARED: Text = text("proven good");
/// A connection that the map does not show.
pub const NOT_SHOWN: Text = text("the map does not show it whole");

/// A cylinder, with what was found of it.
#[must_use]
pub fn cylinder(cylinder: CylinderId, works: Option<Works>) -> String {
    let name = facts::cylinder(cylinder);
    match works {
        Some(works) => format!("{name}, {}", works_word(works)),
        None => name,
    }
}

/// How many more things lie on ways side by side.
#[must_use]
pub fn beside(many: usize) -> String {
    match many {
        1 => say!("and 1 more, on a way beside another"),
        many => say!("and {many} more, on ways side by side"),
    }
}
