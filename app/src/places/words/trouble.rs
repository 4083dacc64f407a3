//! Words for what went wrong: what, where, and what to do.

use crate::edge::fetch::FetchError;
use crate::edge::files::FileTrouble;
use crate::edge::storage::StorageError;
use crate::store::OpenError;
use crate::store::projects::ProjectError;

/// Heading over what is wrong in a file.
pub const BAD_FILE: &str = "This file could not be opened";
/// What became of the open map.
pub const UNTOUCHED: &str = "Nothing else was changed: your own maps are as they were.";

/// Heading and lines for a document that was not opened.
#[must_use]
pub fn not_opened(error: &OpenError) -> (String, Vec<String>) {
    match error {
        OpenError::Text(errors) => {
            let mut lines: Vec<String> = errors.errors.iter().map(ToString::to_string).collect();
            if errors.more > 0 {
                lines.push(format!("and {} more", errors.more));
            }
            (BAD_FILE.into(), lines)
        }
        OpenError::Project(error) => (project(error).into(), Vec::new()),
    }
}

/// Why a project could not be kept, fetched or deleted.
#[must_use]
pub const fn project(error: &ProjectError) -> &'static str {
    match error {
        ProjectError::Storage(error) => storage(*error),
        ProjectError::Gone(_) => {
            "This map is no longer on this device. It may have been deleted in another window."
        }
    }
}

/// Why something is not kept.
#[must_use]
pub const fn storage(error: StorageError) -> &'static str {
    match error {
        StorageError::Closed => {
            "This browser does not let the page keep anything. Save your map as a file before you leave."
        }
        StorageError::Refused => {
            "There is no room left to keep this map, so the last changes are not saved. Save it as a file, or delete maps that you no longer need."
        }
    }
}

/// Why a chosen file could not be read, or one could not be saved.
#[must_use]
pub const fn file(error: FileTrouble) -> &'static str {
    match error {
        FileTrouble::Unreadable => "The browser could not read this file. Choose it again.",
        FileTrouble::TooLarge => "This file is far larger than any map. Choose another one.",
        FileTrouble::NotSaved => {
            "The browser would not save a file. Check whether it blocks downloads."
        }
    }
}

/// Why an example could not be fetched.
#[must_use]
pub fn fetch(error: FetchError) -> String {
    match error {
        FetchError::NoAnswer => {
            "The example could not be fetched. Check the connection and try again.".into()
        }
        FetchError::Status(status) => {
            format!("The example is not where it should be (answer {status}). Load the page again.")
        }
        FetchError::NotText => "The example came damaged. Try again.".into(),
    }
}
