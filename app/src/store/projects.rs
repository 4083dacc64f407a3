//! The projects kept on this device: a list and one record each, so written that a failed write
//! never loses the last good state.
//!
//! Each save writes a new record first, then switches the list to it, then forgets the old record.
//! The list is read anew before each change, so that another window's projects survive it; a save tells
//! which revision it follows, so that it never overwrites what another window saved meanwhile.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::shelf::Shelf;
use crate::edge::storage::StorageError;
use sparktrail_core::gather::Arrange;

/// The key of the list: another window's saves and deletions show by a change under it.
pub const LIST: &str = "sparktrail/1/projects";
const RECORDS: &str = "sparktrail/1/map/";
/// A list that could not be read, as it was.
const UNREAD: &str = "sparktrail/1/projects-unread";
/// How many deleted projects can be brought back.
const BIN_DEPTH: usize = 10;

/// A project's id: given out once, kept through renames.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct ProjectId(String);

impl ProjectId {
    /// The id that a text tells; `None` where none of ours looks like it.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let ours = |c: char| c.is_ascii_digit() || c == '-';
        (!text.is_empty() && text.len() <= 40 && text.chars().all(ours))
            .then(|| Self(text.to_owned()))
    }

    /// An id as it is written in keys.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// Work that is kept beside a project, under a key of its own: an older program knows nothing of it and loses
/// nothing by it. It goes when the project can no longer be brought back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// A guided walk.
    Walk,
    /// A trace of unknown pins.
    Trace,
}

impl Beside {
    /// Where it is kept.
    #[must_use]
    pub fn key(self, id: &ProjectId) -> String {
        let kind = match self {
            Self::Walk => "walk",
            Self::Trace => "trace",
        };
        format!("sparktrail/1/{kind}/{}", id.0)
    }
}

/// What the list says of one project.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// Its id.
    pub id: ProjectId,
    /// Its title when last saved.
    pub title: String,
    /// What its owner says of it, when last saved.
    #[serde(default)]
    pub about: String,
    /// When it was last saved, in milliseconds since 1970-01-01 UTC.
    pub changed: f64,
    /// Counts its saves; the record's key carries it.
    pub revision: u32,
    /// What a newer program says of it besides, kept as it stands.
    #[serde(flatten)]
    pub more: More,
}

/// What this program does not know, by name.
pub type More = serde_json::Map<String, serde_json::Value>;

/// A project as a window knows it: the save that its state comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Version {
    /// The project.
    pub id: ProjectId,
    /// The count of saves up to this one.
    pub revision: u32,
    /// When it was saved: tells saves apart that two windows counted alike.
    pub changed: f64,
}

impl Entry {
    /// The state that the list speaks of.
    #[must_use]
    pub fn version(&self) -> Version {
        Version {
            id: self.id.clone(),
            revision: self.revision,
            changed: self.changed,
        }
    }

    fn record(&self) -> String {
        record_key(&self.id, self.revision)
    }
}

/// The list of projects, with those deleted last.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct List {
    /// The projects, the one saved last first.
    pub projects: Vec<Entry>,
    /// Deleted ones that can be brought back, the one deleted last first.
    #[serde(default)]
    pub bin: Vec<Entry>,
    /// What a newer program says besides, kept as it stands.
    #[serde(flatten)]
    pub more: More,
}

/// A map on its way to its record.
#[derive(Debug, Clone, Copy)]
pub struct Record<'a> {
    /// The map's title.
    pub title: &'a str,
    /// What its owner says of it.
    pub about: &'a str,
    /// The whole map as text.
    pub text: &'a str,
    /// The time now, in milliseconds since 1970-01-01 UTC.
    pub now: f64,
}

/// Why a project could not be kept or fetched.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProjectError {
    /// The storage itself failed.
    #[error(transparent)]
    Storage(#[from] StorageError),
    /// There is no such project: another window may have deleted it.
    #[error("there is no project {}", .0.as_str())]
    Gone(ProjectId),
    /// Another window has saved it meanwhile.
    #[error("project {} was saved by another window meanwhile", .0.as_str())]
    Changed(ProjectId),
}

/// The list as it stands. A list that cannot be read is made again from the records.
///
/// # Errors
/// [`StorageError`] where the shelf cannot be read.
pub fn list(shelf: &impl Shelf) -> Result<List, StorageError> {
    match shelf.read(LIST)? {
        None => salvage(shelf),
        Some(text) => match serde_json::from_str(&text) {
            Ok(list) => Ok(list),
            Err(_) => salvage(shelf),
        },
    }
}

/// Whether there may be projects: there is a list of them, or at least a record.
///
/// # Errors
/// [`StorageError`] where the shelf cannot be read.
pub fn may_be(shelf: &impl Shelf) -> Result<bool, StorageError> {
    Ok(shelf.read(LIST)?.is_some() || !shelf.keys(RECORDS)?.is_empty())
}

/// Keeps a map as a new project and returns its first version.
///
/// # Errors
/// [`ProjectError::Storage`]; nothing that was kept before is lost.
pub fn add(shelf: &impl Shelf, record: Record<'_>) -> Result<Version, ProjectError> {
    let list = list(shelf)?;
    let id = fresh_id(&list, record.now);
    let new = entry(id, record, 1, More::new());
    keep(shelf, list, None, new, record.text)
}

/// Keeps a map under an id of long ago, where nothing else has it; else under a new one.
///
/// # Errors
/// [`ProjectError::Storage`]; nothing that was kept before is lost.
pub fn add_as(
    shelf: &impl Shelf,
    id: &ProjectId,
    record: Record<'_>,
) -> Result<Version, ProjectError> {
    let list = list(shelf)?;
    let id = if is_free(&list, id) {
        id.clone()
    } else {
        fresh_id(&list, record.now)
    };
    let new = entry(id, record, 1, More::new());
    keep(shelf, list, None, new, record.text)
}

/// Keeps a project's newest state, which follows on `from`.
///
/// # Errors
/// [`ProjectError::Changed`] where another window saved it since, [`ProjectError::Gone`] where it was
/// deleted, [`ProjectError::Storage`]; the state saved before then still stands.
pub fn save(
    shelf: &impl Shelf,
    from: &Version,
    record: Record<'_>,
) -> Result<Version, ProjectError> {
    let list = list(shelf)?;
    let old = list
        .projects
        .iter()
        .find(|entry| entry.id == from.id)
        .cloned()
        .ok_or_else(|| ProjectError::Gone(from.id.clone()))?;
    if old.revision != from.revision {
        return Err(ProjectError::Changed(old.id));
    }
    let revision = old.revision.wrapping_add(1);
    let next = entry(old.id.clone(), record, revision, old.more.clone());
    keep(shelf, list, Some(&old), next, record.text)
}

fn entry(id: ProjectId, record: Record<'_>, revision: u32, more: More) -> Entry {
    Entry {
        id,
        title: record.title.into(),
        about: record.about.into(),
        changed: record.now,
        revision,
        more,
    }
}

/// Record first, then the list, then the old record goes.
fn keep(
    shelf: &impl Shelf,
    mut list: List,
    old: Option<&Entry>,
    entry: Entry,
    text: &str,
) -> Result<Version, ProjectError> {
    let key = entry.record();
    if shelf.write(&key, text).is_err() {
        // Make room: what was deleted gives way to what is being worked on.
        empty_bin(shelf, &mut list)?;
        shelf.write(&key, text)?;
    }
    let version = entry.version();
    list.projects.retain(|other| other.id != entry.id);
    list.projects.insert(0, entry);
    if let Err(error) = write_list(shelf, &list) {
        let _ = shelf.remove(&key);
        return Err(error.into());
    }
    if let Some(old) = old {
        let _ = shelf.remove(&old.record());
    }
    Ok(version)
}

/// The text of a project's record, and which version it is.
///
/// # Errors
/// [`ProjectError::Gone`] where there is no such project or its record is missing.
pub fn load(shelf: &impl Shelf, id: &ProjectId) -> Result<(String, Version), ProjectError> {
    let gone = || ProjectError::Gone(id.clone());
    let list = list(shelf)?;
    let entry = list
        .projects
        .iter()
        .find(|entry| entry.id == *id)
        .ok_or_else(gone)?;
    let text = shelf.read(&entry.record())?.ok_or_else(gone)?;
    Ok((text, entry.version()))
}

/// The project that holds just this map already, if there is one.
///
/// # Errors
/// [`StorageError`] where the shelf cannot be read.
pub fn same(shelf: &impl Shelf, title: &str, text: &str) -> Result<Option<Version>, StorageError> {
    for entry in list(shelf)?.projects {
        if entry.title == title && shelf.read(&entry.record())?.as_deref() == Some(text) {
            return Ok(Some(entry.version()));
        }
    }
    Ok(None)
}

/// Takes a project off the list; it can be brought back for a while.
///
/// # Errors
/// [`ProjectError::Gone`] where there is none, [`ProjectError::Storage`] where the list cannot be written.
pub fn delete(shelf: &impl Shelf, id: &ProjectId) -> Result<(), ProjectError> {
    let mut list = list(shelf)?;
    let at = list
        .projects
        .iter()
        .position(|entry| entry.id == *id)
        .ok_or_else(|| ProjectError::Gone(id.clone()))?;
    let entry = list.projects.remove(at);
    list.bin.insert(0, entry);
    let forgotten = list.bin.split_off(list.bin.len().min(BIN_DEPTH));
    write_list(shelf, &list)?;
    forget(shelf, &forgotten);
    Ok(())
}

/// Brings a deleted project back.
///
/// # Errors
/// [`ProjectError::Gone`] where it was forgotten, [`ProjectError::Storage`] where the list cannot be written.
pub fn bring_back(shelf: &impl Shelf, id: &ProjectId) -> Result<(), ProjectError> {
    let mut list = list(shelf)?;
    let at = list
        .bin
        .iter()
        .position(|entry| entry.id == *id)
        .ok_or_else(|| ProjectError::Gone(id.clone()))?;
    let entry = list.bin.remove(at);
    list.projects.insert(0, entry);
    list.projects
        .arrange_by(|a, b| b.changed.total_cmp(&a.changed));
    write_list(shelf, &list)?;
    Ok(())
}

fn record_key(id: &ProjectId, revision: u32) -> String {
    format!("{RECORDS}{}.{revision}", id.0)
}

fn write_list(shelf: &impl Shelf, list: &List) -> Result<(), StorageError> {
    let text = serde_json::to_string(list).map_err(|_| StorageError::Refused)?;
    shelf.write(LIST, &text)
}

/// Takes away the records of what can no longer be brought back, with what is kept beside them.
fn forget(shelf: &impl Shelf, forgotten: &[Entry]) {
    for entry in forgotten {
        // What cannot be taken away only takes room.
        let _ = shelf.remove(&entry.record());
        for beside in [Beside::Walk, Beside::Trace] {
            let _ = shelf.remove(&beside.key(&entry.id));
        }
    }
}

fn empty_bin(shelf: &impl Shelf, list: &mut List) -> Result<(), StorageError> {
    let forgotten = std::mem::take(&mut list.bin);
    if !forgotten.is_empty() {
        write_list(shelf, list)?;
    }
    forget(shelf, &forgotten);
    Ok(())
}

fn is_free(list: &List, id: &ProjectId) -> bool {
    !list
        .projects
        .iter()
        .chain(&list.bin)
        .any(|entry| entry.id == *id)
}

fn fresh_id(list: &List, now: f64) -> ProjectId {
    let mut id = ProjectId(format!("{now:.0}"));
    let mut more = 0_u32;
    while !is_free(list, &id) {
        more += 1;
        id = ProjectId(format!("{now:.0}-{more}"));
    }
    id
}

/// Puts right what a cut of the power, a full browser or a hand left behind: a project that the list lacks is on it
/// again, an entry whose record is gone stands for the newest record that is there, and older records that nothing
/// needs any more go. To be called when the program begins.
///
/// # Errors
/// [`StorageError`] where the shelf cannot be read or the list cannot be written; nothing is then lost.
pub fn mend(shelf: &impl Shelf) -> Result<(), StorageError> {
    let told = shelf.read(LIST)?;
    let found = list(shelf)?;
    let mut mended = found.clone();
    let records = records(shelf)?;
    for entry in mended.projects.iter_mut().chain(&mut mended.bin) {
        let Some(revisions) = records.get(&entry.id) else {
            continue;
        };
        if revisions.contains(&entry.revision) {
            for old in revisions.range(..entry.revision) {
                // What cannot be taken away only takes room.
                let _ = shelf.remove(&record_key(&entry.id, *old));
            }
        } else if let Some(newest) = revisions.last() {
            entry.revision = *newest;
        }
    }
    adopt(shelf, &records, &mut mended)?;
    let is_read = told.is_none_or(|text| match serde_json::from_str::<List>(&text) {
        Ok(_) => true,
        Err(_) => {
            // Another program may know what it says. Where there is no room for it, the records say what counts.
            let _ = shelf.write(UNREAD, &text);
            false
        }
    });
    if mended != found || !is_read {
        write_list(shelf, &mended)?;
    }
    Ok(())
}

/// Which revisions of each project have a record.
fn records(shelf: &impl Shelf) -> Result<BTreeMap<ProjectId, BTreeSet<u32>>, StorageError> {
    let mut found: BTreeMap<ProjectId, BTreeSet<u32>> = BTreeMap::new();
    for key in shelf.keys(RECORDS)? {
        let told = key
            .strip_prefix(RECORDS)
            .and_then(|rest| rest.rsplit_once('.'));
        let Some((Some(id), Ok(revision))) =
            told.map(|(id, count)| (ProjectId::read(id), count.parse()))
        else {
            continue;
        };
        found.entry(id).or_default().insert(revision);
    }
    Ok(found)
}

/// A list made from nothing but the records: the newest record of each project.
fn salvage(shelf: &impl Shelf) -> Result<List, StorageError> {
    let mut list = List::default();
    adopt(shelf, &records(shelf)?, &mut list)?;
    Ok(list)
}

/// Puts every project that has a record and no entry on the list, by its newest record.
fn adopt(
    shelf: &impl Shelf,
    records: &BTreeMap<ProjectId, BTreeSet<u32>>,
    list: &mut List,
) -> Result<(), StorageError> {
    let before = list.projects.len();
    for (id, revisions) in records {
        let Some(&revision) = revisions.last().filter(|_| is_free(list, id)) else {
            continue;
        };
        let text = shelf.read(&record_key(id, revision))?.unwrap_or_default();
        let heading: Heading = serde_json::from_str(&text).unwrap_or_default();
        list.projects.push(Entry {
            id: id.clone(),
            title: heading.title,
            about: heading.about,
            // Ids begin with the time at which they were given out.
            changed: id
                .0
                .split('-')
                .next()
                .and_then(|ms| ms.parse().ok())
                .unwrap_or(0.0),
            revision,
            more: More::new(),
        });
    }
    if list.projects.len() > before {
        list.projects
            .arrange_by(|a, b| b.changed.total_cmp(&a.changed));
    }
    Ok(())
}

/// As much of a record as the list shows.
#[derive(Default, Deserialize)]
#[serde(default)]
struct Heading {
    title: String,
    about: String,
}
