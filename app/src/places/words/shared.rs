//! Words for what cylinders share.

use crate::text::{Text, text};
use sparktrail_core::said::{said, say};
use sparktrail_core::topology::SharedBy;

/// Heading.
pub const HEADING: Text = text("Who shares what");
/// What it is good for.
pub const LEAD: Text = text(
    "When several cylinders die at once, look first at what only they share. Point at a line to light it on the map.",
);
/// There is nothing to show.
pub const NOTHING: Text =
    text("Nothing is shared yet: the map does not show a way from any coil to a plug.");
/// Anything in common, as a stretch of wiring.
pub const STRETCH: Text = text("a stretch of wiring");

/// Every cylinder of the engine shares it.
#[must_use]
pub fn all(cylinders: usize) -> String {
    say!("all {cylinders}")
}

/// Things of one kind, as a heading.
#[must_use]
pub fn heading(by: &SharedBy) -> &'static str {
    said(match by {
        SharedBy::Unit(_) => "Control unit or module",
        SharedBy::Driver(_) => "Driver",
        SharedBy::Coil(_) => "Coil",
        SharedBy::Pack(_) => "Coil pack",
        SharedBy::Distributor(_) => "Distributor",
        SharedBy::Feed(_) => "Feed",
        SharedBy::Ground(_) => "Ground",
        SharedBy::Key(_) => "Ignition switch",
        SharedBy::Relay(_) => "Relay",
        SharedBy::Fuse(_) => "Fuse",
        SharedBy::Connector(_) => "Connector",
        SharedBy::Splice(_) => "Splice",
    })
}

/// A stretch of feed or ground by the parts on it, of which the first few are named.
#[must_use]
pub fn stretch(parts: &[&str]) -> String {
    const NAMED: usize = 3;
    let named = parts.iter().take(NAMED).copied().collect::<Vec<_>>();
    let more = parts.len().saturating_sub(NAMED);
    if more == 0 {
        named.join(" · ")
    } else {
        say!("{} and {more} more", named.join(" · "))
    }
}
