//! All projects in one file, and that file taken in again without overwriting anything.
//!
//! ```json
//! { "format": "sparktrail-backup", "version": 1,
//!   "maps": [ { "id": "1700000000000", "changed": 1700000000000, "map": { … a map … } } ] }
//! ```

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use sparktrail_core::model::file;
use sparktrail_core::said::say;

use super::projects::{self, ProjectError, ProjectId, Record};
use super::shelf::Shelf;
use crate::edge::storage::StorageError;

const FORMAT: &str = "sparktrail-backup";
const VERSION: u32 = 1;
/// The most bytes of a backup: browsers keep about 10 MB for a site, and indents take room besides.
pub const MOST_BYTES: usize = 32_000_000;

#[derive(Serialize, Deserialize)]
struct Backup {
    format: String,
    version: u32,
    maps: Vec<Kept>,
    /// Records that are no maps any more, as they are: a person may mend them by hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    damaged: Vec<Damaged>,
}

#[derive(Serialize, Deserialize)]
struct Damaged {
    title: String,
    text: String,
}

#[derive(Serialize, Deserialize)]
struct Kept {
    #[serde(default)]
    id: String,
    #[serde(default)]
    changed: f64,
    map: Box<RawValue>,
}

/// A backup on its way to a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Packed {
    /// The file's text.
    pub text: String,
    /// How many maps it holds.
    pub maps: usize,
    /// Titles of projects whose records are too damaged to be restored from it.
    pub damaged: Vec<String>,
}

/// Why a text is no backup that can be taken in.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BackupError {
    /// It is damaged: where, and what the reader says.
    #[error("the backup is damaged at {0}")]
    Damaged(String),
    /// A newer program wrote it.
    #[error("the backup is of version {0}, and this program reads up to {VERSION}")]
    Newer(u32),
}

/// What became of each map of a backup.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Restored {
    /// Maps that were not here.
    pub added: usize,
    /// Maps kept beside a project of the same origin that has gone on since.
    pub beside: usize,
    /// Maps that are here just so.
    pub here: usize,
    /// Maps that cannot be read: which one, from 1, and why.
    pub refused: Vec<(usize, String)>,
    /// Maps for which there is no room, by title.
    pub no_room: Vec<String>,
}

/// Whether a text that begins so is a backup.
#[must_use]
pub fn is_backup(beginning: &str) -> bool {
    beginning
        .get(..beginning.len().min(200))
        .unwrap_or(beginning)
        .contains(FORMAT)
}

/// All projects as one text.
///
/// # Errors
/// [`StorageError`] where the shelf cannot be read.
pub fn pack(shelf: &impl Shelf) -> Result<Packed, StorageError> {
    let (mut maps, mut damaged) = (Vec::new(), Vec::new());
    for entry in projects::list(shelf)?.projects {
        let text = match projects::load(shelf, &entry.id) {
            Ok((text, _)) => text,
            Err(ProjectError::Storage(error)) => return Err(error),
            Err(ProjectError::Gone(_) | ProjectError::Changed(_)) => String::new(),
        };
        match RawValue::from_string(text.clone()) {
            Ok(map) => maps.push(Kept {
                id: entry.id.as_str().to_owned(),
                changed: entry.changed,
                map,
            }),
            Err(_) => damaged.push(Damaged {
                title: entry.title,
                text,
            }),
        }
    }
    let titles = damaged.iter().map(|one| one.title.clone()).collect();
    let count = maps.len();
    let backup = Backup {
        format: FORMAT.into(),
        version: VERSION,
        maps,
        damaged,
    };
    let text = serde_json::to_string_pretty(&backup).map_err(|_| StorageError::Refused)?;
    Ok(Packed {
        text,
        maps: count,
        damaged: titles,
    })
}

/// Takes a backup in: what is here already stays as it is, a project that differs from the backup's
/// gets the backup's state as a project of its own beside it.
///
/// # Errors
/// [`BackupError`]; nothing is then changed.
pub fn restore(shelf: &impl Shelf, text: &str) -> Result<Restored, BackupError> {
    let backup: Backup =
        serde_json::from_str(text).map_err(|error| BackupError::Damaged(error.to_string()))?;
    if backup.format != FORMAT {
        let place = say!("\"format\": it must be \"{FORMAT}\"");
        return Err(BackupError::Damaged(place));
    }
    if backup.version > VERSION {
        return Err(BackupError::Newer(backup.version));
    }
    let mut restored = Restored::default();
    // The list shows the one kept last first.
    for (at, kept) in backup.maps.iter().enumerate().rev() {
        match take_in(shelf, kept) {
            Ok(Became::Added) => restored.added += 1,
            Ok(Became::Beside) => restored.beside += 1,
            Ok(Became::Here) => restored.here += 1,
            Err(Refusal::Text(why)) => restored.refused.push((at + 1, why)),
            Err(Refusal::Room(title)) => restored.no_room.push(title),
        }
    }
    restored.refused.reverse();
    restored.no_room.reverse();
    Ok(restored)
}

enum Became {
    Added,
    Beside,
    Here,
}

enum Refusal {
    Text(String),
    Room(String),
}

fn take_in(shelf: &impl Shelf, kept: &Kept) -> Result<Became, Refusal> {
    let mut harness = file::read(kept.map.get()).map_err(|errors| {
        let first = errors.errors.first().map(ToString::to_string);
        Refusal::Text(first.unwrap_or_default())
    })?;
    let no_room = |title: &str| Refusal::Room(title.to_owned());
    let text = file::write(&harness);
    let here = |title: &str, text: &str| projects::same(shelf, title, text);
    if here(&harness.title, &text)
        .map_err(|_| no_room(&harness.title))?
        .is_some()
    {
        return Ok(Became::Here);
    }
    let id = ProjectId::read(&kept.id);
    let gone_on = id.as_ref().is_some_and(|id| {
        projects::list(shelf).is_ok_and(|list| list.projects.iter().any(|e| e.id == *id))
    });
    let text = if gone_on {
        harness.title = super::windows::beside(&harness.title, super::windows::Beside::Backup);
        let text = file::write(&harness);
        if here(&harness.title, &text)
            .map_err(|_| no_room(&harness.title))?
            .is_some()
        {
            return Ok(Became::Here);
        }
        text
    } else {
        text
    };
    let record = Record {
        title: &harness.title,
        about: &harness.about,
        text: &text,
        now: kept.changed,
    };
    let added = match id {
        Some(id) => projects::add_as(shelf, &id, record),
        None => projects::add(shelf, record),
    };
    added.map_err(|_| no_room(&harness.title))?;
    Ok(if gone_on {
        Became::Beside
    } else {
        Became::Added
    })
}
