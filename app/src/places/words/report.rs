//! Words of the case report.

/// Opens it.
pub const OPEN: &str = "Report of this case";
/// Its heading in the sheet.
pub const HEADING: &str = "Report of this case";
/// What it is good for.
pub const LEAD: &str = "All that is known so far, to paste into a forum, hand to a workshop, or keep with the car. Nothing is sent anywhere.";
/// Copies it.
pub const COPY: &str = "Copy as text";
/// It was copied.
pub const COPIED: &str = "Copied. Paste it where you like.";
/// It could not be copied.
pub const NOT_COPIED: &str =
    "This browser does not let the page copy. Save the report as a file instead.";
/// Saves it.
pub const SAVE: &str = "Save as a file";
/// Prints it.
pub const PRINT: &str = "Print";
/// A heading: the car.
pub const CAR: &str = "The car";
/// A heading: how plugs are fed.
pub const FED: &str = "Which cylinders share what";
/// A heading: what was seen.
pub const FOUND: &str = "What was found";
/// A heading: what it may be.
pub const SUSPECTS: &str = "What could be wrong";
/// A heading: what it is not.
pub const CLEARED: &str = "What was cleared";
/// A heading: what to do.
pub const NEXT: &str = "What to do next";
/// A heading: how far the map can be trusted.
pub const MAP: &str = "How sure the map is";
/// A heading: what it was, once the case is closed.
pub const CLOSED: &str = "What it was";
/// A heading: what it may have been, once the case is closed.
pub const SUSPECTED: &str = "What was suspected";
/// A heading: what was done to the car.
pub const WORK: &str = "What was done";
/// A heading: the pins.
pub const PINS: &str = "Pins";
/// Columns of the pins.
pub const PINS_HEAD: [&str; 6] = ["Unit", "Pin", "For", "Colour", "Goes to", "Known how"];
/// The picture of the map.
pub const PICTURE: &str = "The wiring as a map";
/// The map goes with it.
pub const WITH_MAP: &str =
    "The map as a picture is on the printed report; Share gives it as a file.";
/// A heading: cautions.
pub const MIND: &str = "Mind";
/// Columns of what cylinders share.
pub const FED_HEAD: [&str; 3] = ["What", "Which", "Cylinders"];
/// Columns of the findings.
pub const FOUND_HEAD: [&str; 3] = ["", "Found", "A healthy car would show"];
/// Columns of the suspects.
pub const SUSPECTS_HEAD: [&str; 3] = ["Suspect", "Share", "Because"];
/// A finding that was taken back.
pub const TAKEN_BACK: &str = "taken back";
/// The fault was not there when it was found.
pub const AWAY: &str = "the fault was away at the time";
/// Nothing was found.
pub const NOTHING_FOUND: &str = "Nothing yet.";
/// How shares are meant.
pub const SHARES: &str = "Shares follow from the findings and from how often each thing fails; the latter is judgement. They say where to look next, not what to buy.";
/// What to mind.
pub const CAUTIONS: [&str; 3] = [
    "Ignition voltage can kill, and disturbs pacemakers: never pull or hold a plug lead while the engine turns; use a timing light or a spark tester.",
    "Battery off before the control unit is unplugged and before any resistance is measured.",
    "Belts, fans and hot parts; fuel vapour near sparks. Local rules and licensed practice come first.",
];

/// How many facts are known how.
#[must_use]
pub fn sure(measured: usize, diagram: usize, assumed: usize) -> String {
    format!("{measured} facts are measured, {diagram} are from a diagram, {assumed} are assumed.")
}

/// Who wrote it.
pub const SIGNED: &str =
    "Written by Sparktrail from the map and the findings; the map itself can be shared beside it.";
