//! Words for what is unfinished or wrong in the map.

use sparktrail_core::model::Severity;

/// Heading.
pub const HEADING: &str = "Map check";
/// All is well.
pub const CLEAN: &str = "Nothing is missing and nothing contradicts itself.";
/// What that does not say.
pub const CLEAN_HINT: &str =
    "That does not prove the map right: it only hangs together. Measured facts do the rest.";
/// What to do.
pub const LEAD: &str = "Choose a line to go to its place on the map.";

/// Findings of one kind, as a heading.
#[must_use]
pub const fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Wrong => "Cannot be so",
        Severity::Doubtful => "Rare: look again",
        Severity::Unfinished => "Not finished yet",
    }
}
