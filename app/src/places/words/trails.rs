//! Words of the map as lists: how each cylinder is fed, step by step.

use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::Works;

use super::facts;
use super::findings::works_word;

/// Heading.
pub const HEADING: &str = "The map in words";
/// What the lists are.
pub const LEAD: &str = "How each cylinder gets its spark, step by step, with how it is known and how likely it is the fault. What several ways lead through side by side is left out.";
/// A thing that the findings cleared.
pub const CLEARED: &str = "proven good";
/// A connection that the map does not show.
pub const NOT_SHOWN: &str = "the map does not show it whole";

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
        1 => "and 1 more, on a way beside another".into(),
        many => format!("and {many} more, on ways side by side"),
    }
}
