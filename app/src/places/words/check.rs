//! Words for what is unfinished or wrong in the map.

use crate::text::{Text, text};
use sparktrail_core::model::Severity;
use sparktrail_core::said::said;

/// Heading.
pub const HEADING: Text = text("Map check");
/// All is well.
pub const CLEAN: Text = text("Nothing is missing and nothing contradicts itself.");
/// What that does not say.
pub const CLEAN_HINT: Text =
    text("That does not prove the map right: it only hangs together. Measured facts do the rest.");
/// What to do.
pub const LEAD: Text = text("Choose a line to go to its place on the map.");

/// Findings of one kind, as a heading.
#[must_use]
pub fn severity(severity: Severity) -> &'static str {
    said(match severity {
        Severity::Wrong => "Cannot be so",
        Severity::Doubtful => "Rare: look again",
        Severity::Unfinished => "Not finished yet",
    })
}
