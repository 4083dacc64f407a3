//! Words of the first screen.

use crate::store::backup::Restored;
use crate::text::{Text, text};
use sparktrail_core::said::say;

/// In place of the list of own maps while it is on its way.
pub const OWN_COMING: Text = text("Your maps are on their way…");
/// The heading.
pub const HEADING: Text = text("Two cylinders dead. Which one fault explains it?");
/// What the program does.
pub const LEAD: Text = text(
    "Sparktrail draws how your engine’s ignition is wired, weighs what you find against it, and names the cheapest next test.",
);
/// What happens to what is entered.
pub const PRIVATE: Text = text("Everything stays on this device.");
/// An own engine.
pub const OWN_HEADING: Text = text("Start from my engine");
/// What it takes.
pub const OWN_HINT: Text =
    text("A few questions, each with a proposal. Then the map is drawn and the first test waits.");
/// The button for it.
pub const OWN: Text = text("My engine");
/// Opening a file.
pub const OPEN_HEADING: Text = text("Open a map that someone sent you");
/// What kind of file.
pub const OPEN_HINT: Text =
    text("A link, or a Sparktrail file, ending in .json. A backup of several maps works too.");
/// The button for it.
pub const OPEN: Text = text("Choose a file");
/// Practice.
pub const PRACTICE_HEADING: Text = text("Practise first");
/// What it is.
pub const PRACTICE_HINT: Text =
    text("A hidden fault to find on an example car, and short lessons. It costs nothing.");
/// The button for it.
pub const PRACTICE: Text = text("Practice and lessons");
/// The examples.
pub const EXAMPLES: Text = text("Look at an example");
/// Where they come from.
pub const EXAMPLES_HINT: Text =
    text("Invented cars, from the simplest wiring to maps that are not finished yet.");

/// The examples in the order in which one learns from them, each with what it is about.
pub const LESSONS: &[(&str, Text)] = &[
    (
        "red-twin",
        text("Two cylinders on one coil: what kills both, and only in the wet?"),
    ),
    (
        "blue-estate",
        text("Four cylinders, two coils, and one pair dead since a night of rain."),
    ),
    (
        "yellow-van",
        text("One coil and a distributor: why only one cylinder can be dead."),
    ),
    (
        "white-cruiser",
        text("A V8 whose dead pair kept a new coil: the reading at the pin tells more."),
    ),
    (
        "green-tourer",
        text("Drivers in a module of their own, and a pair that cuts out over bumps."),
    ),
    (
        "grey-saloon",
        text("Drivers inside the coils, so the control unit sends only a signal."),
    ),
    (
        "black-coupe",
        text("Three coils in one pack on a V6, weak under load."),
    ),
    (
        "silver-limousine",
        text("Twelve coils on two connectors, and one cylinder dead after work nearby."),
    ),
    (
        "barn-find",
        text("Nobody knows this car: most of the map is still to be found."),
    ),
    (
        "old-pickup",
        text("An old sketch that cannot be right: the map says where."),
    ),
];

/// What one example is about, in one line.
#[must_use]
pub fn lesson(name: &str) -> Option<&'static str> {
    LESSONS
        .iter()
        .find(|(lesson, _)| *lesson == name)
        .map(|(_, line)| line.said())
}
/// The projects.
pub const YOURS: Text = text("Go on with your own");
/// While an example is on its way.
pub const FETCHING: Text = text("Fetching…");
/// The name of a project without a title.
pub const UNTITLED: Text = text("Untitled map");

/// How many cylinders a small picture shows.
#[must_use]
pub fn cylinders(count: usize) -> String {
    if count == 1 {
        say!("1 cylinder")
    } else {
        say!("{count} cylinders")
    }
}

/// More to do with an own project.
#[must_use]
pub fn more(title: &str) -> String {
    say!("More for {}", titled(title))
}

/// A title, or what stands for one.
#[must_use]
pub fn titled(title: &str) -> &str {
    if title.trim().is_empty() {
        UNTITLED.said()
    } else {
        title
    }
}

/// How long ago a project was saved, in plain words.
#[must_use]
pub fn ago(now_ms: f64, then_ms: f64) -> String {
    let minutes = ((now_ms - then_ms) / 60_000.0).max(0.0).floor();
    let (hours, days) = ((minutes / 60.0).floor(), (minutes / 1_440.0).floor());
    match (minutes, hours, days) {
        (..1.0, _, _) => say!("saved just now"),
        (..2.0, _, _) => say!("saved 1 minute ago"),
        (_, ..1.0, _) => say!("saved {minutes} minutes ago"),
        (_, ..2.0, _) => say!("saved 1 hour ago"),
        (_, _, ..1.0) => say!("saved {hours} hours ago"),
        (_, _, ..2.0) => say!("saved 1 day ago"),
        _ => say!("saved {days} days ago"),
    }
}

/// Renaming.
pub const RENAME: Text = text("Rename");
/// The field for a new name.
pub const NAME: Text = text("Name");
/// Copying.
pub const DUPLICATE: Text = text("Make a copy");
/// Saving as a file.
pub const SAVE_FILE: Text = text("Save as a file");
/// Deleting.
pub const DELETE: Text = text("Delete");
/// Taking a deletion back.
pub const UNDO: Text = text("Undo");
/// Keeping what was typed.
pub const KEEP: Text = text("Keep");
/// Putting a message away.
pub const CLOSE: Text = text("Close");
/// All own maps into one file.
pub const BACK_UP: Text = text("Back up all to one file");
/// And back.
pub const RESTORE: Text = text("Restore a backup");
/// Name of a backup's file.
pub const BACKUP_NAME: Text = text("sparktrail-backup");

/// What became of a backup.
#[must_use]
pub fn restored(restored: &Restored) -> String {
    let mut pieces = Vec::new();
    let maps = |count: usize| {
        if count == 1 {
            say!("1 map")
        } else {
            say!("{count} maps")
        }
    };
    if restored.added > 0 {
        pieces.push(say!("{} restored", maps(restored.added)));
    }
    if restored.beside > 0 {
        pieces.push(say!(
            "{} kept beside your own, which went on since",
            maps(restored.beside)
        ));
    }
    if restored.here > 0 {
        pieces.push(say!("{} here already", maps(restored.here)));
    }
    if pieces.is_empty() {
        say!("No map was restored.")
    } else {
        format!("{}.", pieces.join(", "))
    }
}

/// A backup was saved.
#[must_use]
pub fn backed_up(maps: usize) -> String {
    if maps == 1 {
        say!("1 map is in the backup.")
    } else {
        say!("{maps} maps are in the backup.")
    }
}

/// Projects that were deleted.
pub const BIN: Text = text("Deleted lately");
/// Bringing one back.
pub const PUT_BACK: Text = text("Put back");

/// A project was deleted.
#[must_use]
pub fn deleted(title: &str) -> String {
    say!("{} was deleted.", titled(title))
}

/// The title of a copy.
#[must_use]
pub fn copy_of(title: &str) -> String {
    say!("{} (copy)", titled(title))
}

/// The palette that shows now, and what pressing does.
pub const THEME_SYSTEM: Text = text("Colours: as the system. Change to light");
/// The same for the light palette.
pub const THEME_LIGHT: Text = text("Colours: light. Change to dark");
/// The same for the dark palette.
pub const THEME_DARK: Text = text("Colours: dark. Change to the system’s");

/// The page's title for the browser's tab.
#[must_use]
pub fn page_title(map: &str) -> String {
    if map.trim().is_empty() {
        say!("Sparktrail")
    } else {
        say!("{map} · Sparktrail")
    }
}
