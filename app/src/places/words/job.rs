//! Words of the frame around the map and of the panel about it.

use crate::store::Tab;
use sparktrail_core::edit::Command;

/// Back to the first screen.
pub const HOME: &str = "All maps";
/// More to do with this map.
pub const MORE: &str = "Name, story, file";
/// Sending the map on.
pub const SHARE: &str = "Share this map";
/// The map's own region.
pub const MAP: &str = "Map of the ignition";
/// The panel beside it.
pub const SIDE: &str = "About what is shown";
/// The tabs.
pub const TABS: &str = "Views of this map";
/// The buttons on the map.
pub const TOOLS: &str = "Map tools";
/// Nothing to take back.
pub const UNDO: &str = "Undo";
/// Nothing to make again.
pub const REDO: &str = "Redo";
/// Kept on this device.
pub const SAVED: &str = "saved";
/// About to be kept.
pub const SAVING: &str = "saving…";
/// Not kept.
pub const NOT_SAVED: &str = "not saved";
/// What to do with nothing selected.
pub const HINT: &str =
    "Choose any part or wire on the map to see what is known of it and what dies when it fails.";
/// What to do with nothing selected, on a phone.
pub const HINT_SHORT: &str = "Tap any part or wire.";
/// Heading of the panel about the map.
pub const ABOUT: &str = "About this map";
/// Heading over how sure the map is.
pub const SURE: &str = "How sure is this map?";
/// What the lines mean.
pub const SURE_HINT: &str =
    "Lines on the map are drawn the way they are known. Change it where you choose a part or wire.";
/// Selecting nothing any more.
pub const UNPICK: &str = "Put away";
/// On to the failures of what is selected.
pub const WHAT_IF: &str = "What if this fails?";
/// Heading of the list of all parts.
pub const PARTS: &str = "Everything on the map";
/// The story's field.
pub const STORY: &str = "Story";

/// The other views, on a phone.
pub const MORE_VIEWS: &str = "More";

/// A tab's name.
#[must_use]
pub const fn tab(tab: Tab) -> &'static str {
    match tab {
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
    }
}

/// A change, after "Undo" or "Redo".
#[must_use]
pub const fn change(command: &Command) -> &'static str {
    match command {
        Command::Rename(_) => "new name",
        Command::SetAbout(_) => "new story",
        Command::RenamePart { .. } => "new name of a part",
        Command::SetProvenance { .. } => "how a fact is known",
        Command::SetNominal { .. } => "new value",
        Command::Mark { .. } | Command::MarkAll { .. } | Command::Unmark(_) => "marks on cylinders",
        Command::AddFinding { .. } => "finding",
        Command::Log { .. } => "entry in the work log",
        Command::SetStanding { .. } => "taking back",
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
    }
}

/// Taking a change back.
#[must_use]
pub fn undo(change: &str) -> String {
    format!("Undo: {change}")
}

/// Making a change again.
#[must_use]
pub fn redo(change: &str) -> String {
    format!("Redo: {change}")
}

/// Firing order as it is written: 1-3-4-2.
#[must_use]
pub fn order(numbers: &[String]) -> String {
    numbers.join("-")
}

/// Cylinders that could share a double-ended coil.
pub const COMPANIONS: &str = "Companions";
/// There are none.
pub const NO_COMPANIONS: &str = "none: no two pistons are at the top together";

/// The pairs of companions.
#[must_use]
pub fn pairs(pairs: &[(String, String)]) -> String {
    if pairs.is_empty() {
        return NO_COMPANIONS.into();
    }
    let pairs: Vec<String> = pairs.iter().map(|(a, b)| format!("{a} and {b}")).collect();
    pairs.join(", ")
}

/// In place of a panel that is on its way.
pub const COMING: &str = "The panels are on their way…";
/// In place of panels that did not arrive.
pub const NOT_ARRIVED: &str = "The rest of the program did not arrive. Look at the connection, then fetch it again. The map is safe.";
/// The button that fetches them again.
pub const FETCH_AGAIN: &str = "Fetch it again";
