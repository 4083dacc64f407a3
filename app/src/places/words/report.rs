//! Words of the case report.

use crate::text::{Text, plain, text};
use sparktrail_core::said::say;

/// Opens it.
pub const OPEN: Text = text("Report of this case");
/// Its heading in the sheet.
pub const HEADING: Text = text("Report of this case");
/// What it is good for.
pub const LEAD: Text = text(
    "All that is known so far, to paste into a forum, hand to a workshop, or keep with the car. Nothing is sent anywhere.",
);
/// Copies it.
pub const COPY: Text = text("Copy as text");
/// It was copied.
pub const COPIED: Text = text("Copied. Paste it where you like.");
/// It could not be copied.
pub const NOT_COPIED: Text =
    text("This browser does not let the page copy. Save the report as a file instead.");
/// Saves it.
pub const SAVE: Text = text("Save as a file");
/// Prints it.
pub const PRINT: Text = text("Print");
/// A heading: the car.
pub const CAR: Text = text("The car");
/// A heading: how plugs are fed.
pub const FED: Text = text("Which cylinders share what");
/// A heading: what was seen.
pub const FOUND: Text = text("What was found");
/// A heading: what it may be.
pub const SUSPECTS: Text = text("What could be wrong");
/// A heading: what it is not.
pub const CLEARED: Text = text("What was cleared");
/// A heading: what to do.
pub const NEXT: Text = text("What to do next");
/// A heading: how far the map can be trusted.
pub const MAP: Text = text("How sure the map is");
/// A heading: what it was, once the case is closed.
pub const CLOSED: Text = text("What it was");
/// A heading: what it may have been, once the case is closed.
pub const SUSPECTED: Text = text("What was suspected");
/// A heading: what was done to the car.
pub const WORK: Text = text("What was done");
/// A heading: the pins.
pub const PINS: Text = text("Pins");
/// Columns of the pins.
pub const PINS_HEAD: [Text; 6] = [
    text("Unit"),
    text("Pin"),
    text("For"),
    text("Colour"),
    text("Goes to"),
    text("Known how"),
];
/// The picture of the map.
pub const PICTURE: Text = text("The wiring as a map");
/// The map goes with it.
pub const WITH_MAP: Text =
    text("The map as a picture is on the printed report; Share gives it as a file.");
/// A heading: cautions.
pub const MIND: Text = text("Mind");
/// Columns of what cylinders share.
pub const FED_HEAD: [Text; 3] = [text("What"), text("Which"), text("Cylinders")];
/// Columns of the findings.
pub const FOUND_HEAD: [Text; 3] = [plain(""), text("Found"), text("A healthy car would show")];
/// Columns of the suspects.
pub const SUSPECTS_HEAD: [Text; 3] = [text("Suspect"), text("Share"), text("Because")];
/// A finding that was taken back.
pub const TAKEN_BACK: Text = text("taken back");
/// The fault was not there when it was found.
pub const AWAY: Text = text("the fault was away at the time");
/// Nothing was found.
pub const NOTHING_FOUND: Text = text("Nothing yet.");
/// How shares are meant.
pub const SHARES: Text = text(
    "Shares follow from the findings and from how often each thing fails; the latter is judgement. They say where to look next, not what to buy.",
);
/// What to mind.
pub const CAUTIONS: [Text; 3] = [
    text(
        "Ignition voltage can kill, and disturbs pacemakers: never pull or hold a plug lead while the engine turns; use a timing light or a spark tester.",
    ),
    text("Battery off before the control unit is unplugged and before any resistance is measured."),
    text(
        "Belts, fans and hot parts; fuel vapour near sparks. Orange cables (hybrid) and yellow plugs (airbags) are not for this work. Local rules and licensed practice come first.",
    ),
];

/// How many facts are known how.
#[must_use]
pub fn sure(measured: usize, diagram: usize, assumed: usize) -> String {
    say!("{measured} facts are measured, {diagram} are from a diagram, {assumed} are assumed.")
}

/// Who wrote it.
pub const SIGNED: Text = text(
    "Written by Sparktrail from the map and the findings; the map itself can be shared beside it.",
);
