//! Words of the first screen.

use crate::store::backup::Restored;

/// In place of the list of own maps while it is on its way.
pub const OWN_COMING: &str = "Your maps are on their way…";
/// The heading.
pub const HEADING: &str = "Two cylinders dead. Which one fault explains it?";
/// What the program does.
pub const LEAD: &str = "Sparktrail draws how your engine’s ignition is wired, weighs what you find against it, and names the cheapest next test.";
/// What happens to what is entered.
pub const PRIVATE: &str = "Everything stays on this device.";
/// An own engine.
pub const OWN_HEADING: &str = "Start from my engine";
/// What it takes.
pub const OWN_HINT: &str =
    "A few questions, each with a proposal. Then the map is drawn and the first test waits.";
/// The button for it.
pub const OWN: &str = "My engine";
/// Opening a file.
pub const OPEN_HEADING: &str = "Open a map that someone sent you";
/// What kind of file.
pub const OPEN_HINT: &str =
    "A link, or a Sparktrail file, ending in .json. A backup of several maps works too.";
/// The button for it.
pub const OPEN: &str = "Choose a file";
/// Practice.
pub const PRACTICE_HEADING: &str = "Practise first";
/// What it is.
pub const PRACTICE_HINT: &str =
    "A hidden fault to find on an example car, and short lessons. It costs nothing.";
/// The button for it.
pub const PRACTICE: &str = "Practice and lessons";
/// The examples.
pub const EXAMPLES: &str = "Look at an example";
/// Where they come from.
pub const EXAMPLES_HINT: &str =
    "Invented cars, from the simplest wiring to maps that are not finished yet.";

/// The examples in the order in which one learns from them, each with what it is about.
pub const LESSONS: &[(&str, &str)] = &[
    (
        "red-twin",
        "Two cylinders on one coil: what kills both, and only in the wet?",
    ),
    (
        "blue-estate",
        "Four cylinders, two coils, and one pair dead since a night of rain.",
    ),
    (
        "yellow-van",
        "One coil and a distributor: why only one cylinder can be dead.",
    ),
    (
        "white-cruiser",
        "A V8 whose dead pair kept a new coil: the reading at the pin tells more.",
    ),
    (
        "green-tourer",
        "Drivers in a module of their own, and a pair that cuts out over bumps.",
    ),
    (
        "grey-saloon",
        "Drivers inside the coils, so the control unit sends only a signal.",
    ),
    (
        "black-coupe",
        "Three coils in one pack on a V6, weak under load.",
    ),
    (
        "silver-limousine",
        "Twelve coils on two connectors, and one cylinder dead after work nearby.",
    ),
    (
        "barn-find",
        "Nobody knows this car: most of the map is still to be found.",
    ),
    (
        "old-pickup",
        "An old sketch that cannot be right: the map says where.",
    ),
];

/// What one example is about, in one line.
#[must_use]
pub fn lesson(name: &str) -> Option<&'static str> {
    LESSONS
        .iter()
        .find(|(lesson, _)| *lesson == name)
        .map(|(_, line)| *line)
}
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
/// All own maps into one file.
pub const BACK_UP: &str = "Back up all to one file";
/// And back.
pub const RESTORE: &str = "Restore a backup";
/// Name of a backup's file.
pub const BACKUP_NAME: &str = "sparktrail-backup";

/// What became of a backup.
#[must_use]
pub fn restored(restored: &Restored) -> String {
    let mut pieces = Vec::new();
    let maps = |count: usize| {
        if count == 1 {
            "1 map".into()
        } else {
            format!("{count} maps")
        }
    };
    if restored.added > 0 {
        pieces.push(format!("{} restored", maps(restored.added)));
    }
    if restored.beside > 0 {
        pieces.push(format!(
            "{} kept beside your own, which went on since",
            maps(restored.beside)
        ));
    }
    if restored.here > 0 {
        pieces.push(format!("{} here already", maps(restored.here)));
    }
    if pieces.is_empty() {
        "No map was restored.".into()
    } else {
        format!("{}.", pieces.join(", "))
    }
}

/// A backup was saved.
#[must_use]
pub fn backed_up(maps: usize) -> String {
    if maps == 1 {
        "1 map is in the backup.".into()
    } else {
        format!("{maps} maps are in the backup.")
    }
}

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
