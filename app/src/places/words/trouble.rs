//! Words for what went wrong: what, where, and what to do.

use super::start::titled;
use crate::edge::fetch::FetchError;
use crate::edge::files::FileTrouble;
use crate::edge::storage::StorageError;
use crate::store::backup::{BackupError, Restored};
use crate::store::projects::ProjectError;
use crate::store::{Clash, OpenError};
use crate::text::{Text, text};
use sparktrail_core::said::{said, say};

/// Heading over what is wrong in a file.
pub const BAD_FILE: Text = text("This file could not be opened");
/// What became of the open map.
pub const UNTOUCHED: Text = text("Nothing else was changed: your own maps are as they were.");

/// Heading and lines for a document that was not opened.
#[must_use]
pub fn not_opened(error: &OpenError) -> (String, Vec<String>) {
    match error {
        OpenError::Text(errors) => {
            let mut lines: Vec<String> = errors.errors.iter().map(ToString::to_string).collect();
            if errors.more > 0 {
                lines.push(say!("and {} more", errors.more));
            }
            (BAD_FILE.into(), lines)
        }
        OpenError::Project(error) => (project(error).into(), Vec::new()),
        OpenError::Unsaved(title) => (unsaved_first(title), Vec::new()),
    }
}

/// Nothing else is opened while a map would be lost.
#[must_use]
pub fn unsaved_first(title: &str) -> String {
    say!(
        "“{}” is not kept yet, so nothing else was opened. Save it as a file first, or make room by deleting maps that you no longer need.",
        titled(title)
    )
}

/// A map that the first screen still holds.
#[must_use]
pub fn left_unsaved(title: &str) -> String {
    say!(
        "“{}” could not be kept on this device. It is still here as long as this page stays open.",
        titled(title)
    )
}

/// Back to it.
pub const GO_BACK: Text = text("Go back to it");
/// Without it.
pub const GIVE_UP: Text = text("Leave it unsaved");

/// Another window went on with the open project.
#[must_use]
pub fn clash(clash: Clash) -> &'static str {
    said(match clash {
        Clash::Changed => {
            "This map was changed in another window. Nothing was overwritten, and what you do here is not saved until you choose."
        }
        Clash::Deleted => {
            "This map was deleted in another window. Nothing is lost: you still have it here."
        }
    })
}
/// This window's map becomes one of its own.
pub const KEEP_BOTH: Text = text("Keep both");
/// The same where the other one was deleted.
pub const KEEP_THIS: Text = text("Keep this one");
/// The other window's state shows here.
pub const TAKE_THEIRS: Text = text("Show the other window’s");

/// Heading for a backup that could not be taken in, and what is wrong.
#[must_use]
pub fn no_backup(error: &BackupError) -> (String, Vec<String>) {
    let line = match error {
        BackupError::Damaged(place) => {
            say!("It is damaged or incomplete: {place}. Take a complete copy of it.")
        }
        BackupError::Newer(version) => say!(
            "It is of version {version}, which a newer Sparktrail wrote: open it with a newer Sparktrail."
        ),
    };
    (say!("This backup could not be read"), vec![line])
}

/// What could not be taken in of a backup: a heading, and a line for each map.
#[must_use]
pub fn restored_in_part(restored: &Restored) -> Option<(String, Vec<String>)> {
    let refused = restored
        .refused
        .iter()
        .map(|(at, why)| say!("Map {at} of the backup: {why}"));
    let no_room = restored.no_room.iter().map(|title| {
        say!("“{}”: there is no room left on this device. Delete maps that you no longer need, then restore again.", titled(title))
    });
    let lines: Vec<String> = refused.chain(no_room).collect();
    (!lines.is_empty()).then(|| (say!("Not every map could be restored"), lines))
}

/// Maps that a backup lacks.
#[must_use]
pub fn not_packed(titles: &[String]) -> String {
    let titles: Vec<String> = titles
        .iter()
        .map(|title| format!("“{}”", titled(title)))
        .collect();
    say!(
        "The backup was saved without {}: what this browser keeps of it is damaged.",
        titles.join(", ")
    )
}

/// Why a project could not be kept, fetched or deleted.
#[must_use]
pub fn project(error: &ProjectError) -> &'static str {
    said(match error {
        ProjectError::Storage(error) => storage(*error),
        ProjectError::Gone(_) => {
            "This map is no longer on this device. It may have been deleted in another window."
        }
        ProjectError::Changed(_) => {
            "Another window changed this map at the same moment. Nothing was overwritten; try again."
        }
    })
}

/// Why something is not kept.
#[must_use]
pub fn storage(error: StorageError) -> &'static str {
    said(match error {
        StorageError::Closed => {
            "This browser does not let the page keep anything. Save your map as a file before you leave."
        }
        StorageError::Refused => {
            "There is no room left to keep this map, so the last changes are not saved. Save it as a file, or delete maps that you no longer need."
        }
    })
}

/// The same on the first screen, where no map is open.
#[must_use]
pub fn storage_at_start(error: StorageError) -> &'static str {
    said(match error {
        StorageError::Closed => {
            "This browser does not let the page keep anything. Everything works all the same, but maps that you make or change are gone when the page is closed: save them as files."
        }
        StorageError::Refused => storage(error),
    })
}

/// Why a chosen file could not be read, or one could not be saved.
#[must_use]
pub fn file(error: FileTrouble) -> String {
    match error {
        FileTrouble::Unreadable => say!("The browser could not read this file. Choose it again."),
        FileTrouble::TooLarge { bytes, most } => say!(
            "This file has {:.0} MB. Such a file has at most {:.0} MB, so it was not read: choose another one.",
            (bytes / 1e6).ceil(),
            most / 1e6
        ),
        FileTrouble::NotSaved => {
            say!("The browser would not save a file. Check whether it blocks downloads.")
        }
    }
}

/// Why an example could not be fetched.
#[must_use]
pub fn fetch(error: FetchError) -> String {
    match error {
        FetchError::NoAnswer => {
            say!("The example could not be fetched. Check the connection and try again.")
        }
        FetchError::Status(status) => {
            say!("The example is not where it should be (answer {status}). Load the page again.")
        }
        FetchError::NotText => say!("The example came damaged. Try again."),
    }
}
