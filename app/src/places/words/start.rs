//! Words of the first screen.

/// The heading.
pub const HEADING: &str = "Two cylinders dead. Which one fault explains it?";
/// What the program does.
pub const LEAD: &str = "Sparktrail draws how an engine’s ignition is wired. Break any part of it on the screen and see which cylinders lose their spark, and why.";
/// What happens to what is entered.
pub const PRIVATE: &str = "Everything stays on this device.";
/// Opening a file.
pub const OPEN_HEADING: &str = "Open a map that someone sent you";
/// What kind of file.
pub const OPEN_HINT: &str = "A Sparktrail file, ending in .json";
/// The button for it.
pub const OPEN: &str = "Choose a file";
/// The examples.
pub const EXAMPLES: &str = "Look at an example";
/// Where they come from.
pub const EXAMPLES_HINT: &str = "Invented cars, one for each way an ignition is commonly built.";
/// The projects.
pub const YOURS: &str = "Go on with your own";
/// While an example is on its way.
pub const FETCHING: &str = "Fetching…";
/// The name of a project without a title.
pub const UNTITLED: &str = "Untitled map";

/// How many cylinders a small picture shows.
#[must_use]
pub fn cylinders(count: usize) -> String {
    if count == 1 {
        "1 cylinder".into()
    } else {
        format!("{count} cylinders")
    }
}

/// More to do with an own project.
#[must_use]
pub fn more(title: &str) -> String {
    format!("More for {}", titled(title))
}

/// A title, or what stands for one.
#[must_use]
pub fn titled(title: &str) -> &str {
    if title.trim().is_empty() {
        UNTITLED
    } else {
        title
    }
}

/// How long ago a project was saved, in plain words.
#[must_use]
pub fn ago(now_ms: f64, then_ms: f64) -> String {
    let minutes = ((now_ms - then_ms) / 60_000.0).max(0.0).floor();
    let (amount, unit) = if minutes < 1.0 {
        return "saved just now".into();
    } else if minutes < 60.0 {
        (minutes, "minute")
    } else if minutes < 1_440.0 {
        ((minutes / 60.0).floor(), "hour")
    } else {
        ((minutes / 1_440.0).floor(), "day")
    };
    let plural = if amount > 1.0 { "s" } else { "" };
    format!("saved {amount} {unit}{plural} ago")
}

/// Renaming.
pub const RENAME: &str = "Rename";
/// The field for a new name.
pub const NAME: &str = "Name";
/// Copying.
pub const DUPLICATE: &str = "Make a copy";
/// Saving as a file.
pub const SAVE_FILE: &str = "Save as a file";
/// Deleting.
pub const DELETE: &str = "Delete";
/// Taking a deletion back.
pub const UNDO: &str = "Undo";
/// Keeping what was typed.
pub const KEEP: &str = "Keep";
/// Putting a message away.
pub const CLOSE: &str = "Close";
/// Projects that were deleted.
pub const BIN: &str = "Deleted lately";
/// Bringing one back.
pub const PUT_BACK: &str = "Put back";

/// A project was deleted.
#[must_use]
pub fn deleted(title: &str) -> String {
    format!("{} was deleted.", titled(title))
}

/// The title of a copy.
#[must_use]
pub fn copy_of(title: &str) -> String {
    format!("{} (copy)", titled(title))
}

/// The palette that shows now, and what pressing does.
pub const THEME_SYSTEM: &str = "Colours: as the system. Change to light";
/// The same for the light palette.
pub const THEME_LIGHT: &str = "Colours: light. Change to dark";
/// The same for the dark palette.
pub const THEME_DARK: &str = "Colours: dark. Change to the system’s";

/// The page's title for the browser's tab.
#[must_use]
pub fn page_title(map: &str) -> String {
    if map.trim().is_empty() {
        "Sparktrail".into()
    } else {
        format!("{map} · Sparktrail")
    }
}
