//! Words of the frame around the map and of the panel about it.

use crate::store::Tab;
use crate::text::{Text, text};
use sparktrail_core::edit::Command;
use sparktrail_core::said::{said, say};

/// Back to the first screen.
pub const HOME: Text = text("All maps");
/// More to do with this map.
pub const MORE: Text = text("Name, story, file");
/// Sending the map on.
pub const SHARE: Text = text("Share this map");
/// The map's own region.
pub const MAP: Text = text("Map of the ignition");
/// The panel beside it.
pub const SIDE: Text = text("About what is shown");
/// The tabs.
pub const TABS: Text = text("Views of this map");
/// The buttons on the map.
pub const TOOLS: Text = text("Map tools");
/// Nothing to take back.
pub const UNDO: Text = text("Undo");
/// Nothing to make again.
pub const REDO: Text = text("Redo");
/// Kept on this device.
pub const SAVED: Text = text("saved");
/// About to be kept.
pub const SAVING: Text = text("saving…");
/// Not kept.
pub const NOT_SAVED: Text = text("not saved");
/// What to do with nothing selected.
pub const HINT: Text = text(
    "Choose any part or wire on the map to see what is known of it and what dies when it fails.",
);
/// What to do with nothing selected, on a phone.
pub const HINT_SHORT: Text = text("Tap any part or wire.");
/// Heading of the panel about the map.
pub const ABOUT: Text = text("About this map");
/// Heading over how sure the map is.
pub const SURE: Text = text("How sure is this map?");
/// What the lines mean.
pub const SURE_HINT: Text = text(
    "Lines on the map are drawn the way they are known. Change it where you choose a part or wire.",
);
/// Selecting nothing any more.
pub const UNPICK: Text = text("Put away");
/// On to the failures of what is selected.
pub const WHAT_IF: Text = text("What if this fails?");
/// Heading of the list of all parts.
pub const PARTS: Text = text("Everything on the map");
/// The story's field.
pub const STORY: Text = text("Story");

/// The other views, on a phone.
pub const MORE_VIEWS: Text = text("More");

/// A tab's name.
#[must_use]
pub fn tab(tab: Tab) -> &'static str {
    said(match tab {
        Tab::Map => "Map",
        Tab::Findings => "Findings",
        Tab::Suspects => "Suspects",
        Tab::Next => "Next",
        Tab::WhatIf => "What if",
        Tab::Meter => "Meter",
        Tab::Shared => "Shared",
        Tab::Cycle => "Cycle",
        Tab::Check => "Check",
        Tab::Trace => "Trace",
    })
}

/// A change, after "Undo" or "Redo".
#[must_use]
pub fn change(command: &Command) -> &'static str {
    said(match command {
        Command::Rename(_) => "new name",
        Command::SetAbout(_) => "new story",
        Command::RenamePart { .. } => "new name of a part",
        Command::SetProvenance { .. } => "how a fact is known",
        Command::SetNominal { .. } => "new value",
        Command::Mark { .. } | Command::MarkAll { .. } | Command::Unmark(_) => "marks on cylinders",
        Command::AddFinding { .. } => "finding",
        Command::Log { .. } => "entry in the work log",
        Command::SetStanding { .. } => "taking back",
        Command::CorrectFinding { .. } => "change of a finding",
        Command::SetFaultThen { .. } => "whether the fault was there",
        Command::SetFact { fact: None, .. } => "forgetting of a fact",
        Command::SetFact { .. } | Command::Renumber { .. } => "correction",
        Command::Settle { .. } => "settling of a clash",
        Command::SetNote { .. } => "note",
        Command::SetPlace { .. } => "where a part sits",
        Command::SetCondition { .. } => "age and surroundings",
        Command::SetFace { .. } => "how a plug looks",
        Command::SetForm { .. } => "how a part is built",
        Command::RenameDriver { .. } => "new name of a driver",
        Command::AddPart { .. } => "new part",
        Command::RemovePart { .. } => "removal of a part",
        Command::Connect { .. } => "connection",
        Command::AddWire(_) => "new wire",
        Command::RemoveWire(_) => "removal of a wire",
        Command::Splice { .. } => "splice",
        Command::AddDriver { .. } => "new driver",
        Command::RemoveDriver(_) => "removal of a driver",
        Command::AddPin { .. } => "new pin",
        Command::RemovePin { .. } => "removal of a pin",
        Command::AddCavity { .. } => "new cavity",
        Command::RemoveCavity { .. } => "removal of a cavity",
        Command::AssignCoil { .. } => "cylinders of a coil",
        Command::Put(_) => "move",
        Command::Duplicate(_) => "copy",
        Command::Batch(commands) => match commands.as_slice() {
            [one] => change(one),
            _several => "several changes",
        },
        Command::Replace(_) => "what was taken over",
    })
}

/// Taking a change back.
#[must_use]
pub fn undo(change: &str) -> String {
    say!("Undo: {change}")
}

/// Making a change again.
#[must_use]
pub fn redo(change: &str) -> String {
    say!("Redo: {change}")
}

/// Firing order as it is written: 1-3-4-2.
#[must_use]
pub fn order(numbers: &[String]) -> String {
    numbers.join("-")
}

/// Cylinders that could share a double-ended coil.
pub const COMPANIONS: Text = text("Companions");
/// There are none.
pub const NO_COMPANIONS: Text = text("none: no two pistons are at the top together");

/// The pairs of companions.
#[must_use]
pub fn pairs(pairs: &[(String, String)]) -> String {
    if pairs.is_empty() {
        return NO_COMPANIONS.into();
    }
    let pairs: Vec<String> = pairs.iter().map(|(a, b)| say!("{a} and {b}")).collect();
    pairs.join(", ")
}

/// In place of a panel that is on its way.
pub const COMING: Text = text("The panels are on their way…");
/// In place of panels that did not arrive.
pub const NOT_ARRIVED: Text = text(
    "The rest of the program did not arrive. Look at the connection, then fetch it again. The map is safe.",
);
/// The button that shows every map of this device, to be saved as files.
pub const SAVE_ALL: Text = text("Save my maps as files");
/// The button that fetches them again.
pub const FETCH_AGAIN: Text = text("Fetch it again");
