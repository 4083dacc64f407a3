//! Opening, closing, copying and deleting whole documents.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::History;
use sparktrail_core::engine::{Engine, Firing, Layout, Strokes};
use sparktrail_core::model::Harness;
use sparktrail_core::model::file::{self, FileErrors};
use sparktrail_core::provenance::Fact;

use super::projects::{self, ProjectError, ProjectId, Record};
use super::shelf::BrowserShelf;
use super::{Place, Store};
use crate::edge::clock;
use crate::edge::storage::StorageError;

/// Whether the document is kept on this device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Saved {
    /// It is.
    Kept,
    /// It will be in a moment.
    Soon,
    /// It is not, and why. What was kept before still is.
    Lost(StorageError),
}

/// Why a document was not opened; the one that was open still is.
#[derive(Debug, Clone, PartialEq)]
pub enum OpenError {
    /// The text is no map; its errors tell where and what was expected.
    Text(FileErrors),
    /// The project could not be fetched.
    Project(ProjectError),
}

/// A document for the time when none is open.
pub(super) fn nothing() -> Harness {
    Harness::new(
        "",
        Engine {
            strokes: Strokes::Four,
            layout: Layout::Inline,
            banks: Vec::new(),
            order: Fact::assumed(Vec::new()),
            firing: Fact::assumed(Firing::Even),
        },
    )
}

impl Store {
    /// Opens a map from its text as a new project, or as the project that holds just this map already.
    /// Whatever was open before is saved first and stays a project.
    ///
    /// # Errors
    /// [`OpenError::Text`] where the text is no map; nothing is then changed.
    pub fn open_text(self, text: &str) -> Result<(), OpenError> {
        let harness = file::read(text).map_err(OpenError::Text)?;
        self.save_now();
        let text = file::write(&harness);
        let same = projects::same(&BrowserShelf, &harness.title, &text)
            .ok()
            .flatten();
        let known = same.is_some();
        self.open.set(same);
        self.show(harness);
        if known {
            self.mark_kept();
        } else {
            self.keep_as_new();
        }
        Ok(())
    }

    /// Opens a project of this device.
    ///
    /// # Errors
    /// [`OpenError`] where it is gone or its record is damaged; nothing is then changed.
    pub fn open(self, id: &ProjectId) -> Result<(), OpenError> {
        self.save_now();
        let text = projects::load(&BrowserShelf, id).map_err(OpenError::Project)?;
        let harness = file::read(&text).map_err(OpenError::Text)?;
        self.open.set(Some(id.clone()));
        self.show(harness);
        self.mark_kept();
        Ok(())
    }

    fn show(self, harness: Harness) {
        self.history.set(History::new(Arc::new(harness)));
        self.session.clear();
        self.meter.clear();
        self.session.place.set(Place::Job);
    }

    /// Goes to the first screen; the document is saved and stays where it is.
    pub fn leave(self) {
        self.save_now();
        self.refresh_list();
        self.session.place.set(Place::Start);
    }

    /// The document as text, as files hold it.
    #[must_use]
    pub fn text(self) -> String {
        self.harness.with_untracked(|harness| file::write(harness))
    }

    /// The text of a project of this device.
    ///
    /// # Errors
    /// [`ProjectError`] where it is gone or storage is closed.
    pub fn text_of(self, id: &ProjectId) -> Result<String, ProjectError> {
        projects::load(&BrowserShelf, id)
    }

    fn keep_as_new(self) {
        let harness = self.harness.get_untracked();
        let text = file::write(&harness);
        match projects::add(&BrowserShelf, record(&harness, &text)) {
            Ok(id) => {
                self.open.set(Some(id));
                self.mark_kept();
            }
            Err(error) => self.saved.set(Saved::Lost(storage_error(&error))),
        }
        self.refresh_list();
    }

    /// Whether the document is what was saved last.
    pub(super) fn is_kept(self) -> bool {
        self.kept
            .with_value(|kept| Arc::ptr_eq(kept, &self.harness.get_untracked()))
    }

    pub(super) fn mark_kept(self) {
        self.kept.set_value(self.harness.get_untracked());
        self.saved.set(Saved::Kept);
    }

    /// Saves the document now if it has changed.
    pub fn save_now(self) {
        if self.session.place.get_untracked() != Place::Job || self.is_kept() {
            return;
        }
        let Some(id) = self.open.get_untracked() else {
            self.keep_as_new();
            return;
        };
        let harness = self.harness.get_untracked();
        let text = file::write(&harness);
        match projects::save(&BrowserShelf, &id, record(&harness, &text)) {
            Ok(()) => self.mark_kept(),
            Err(error) => self.saved.set(Saved::Lost(storage_error(&error))),
        }
    }

    pub(super) fn wants_saving(self) {
        self.saved.set(Saved::Soon);
    }

    /// Reads the list of projects anew.
    pub fn refresh_list(self) {
        self.list.set(projects::list(&BrowserShelf));
    }

    /// Gives a project of this device another title.
    ///
    /// # Errors
    /// [`OpenError`] where it is gone, damaged, or cannot be written.
    pub fn rename(self, id: &ProjectId, title: &str) -> Result<(), OpenError> {
        self.rewrite(id, Copy::Same, title)
    }

    /// Makes a copy of a project under another title.
    ///
    /// # Errors
    /// [`OpenError`] where it is gone, damaged, or cannot be written.
    pub fn duplicate(self, id: &ProjectId, title: &str) -> Result<(), OpenError> {
        self.rewrite(id, Copy::New, title)
    }

    fn rewrite(self, id: &ProjectId, copy: Copy, title: &str) -> Result<(), OpenError> {
        let text = projects::load(&BrowserShelf, id).map_err(OpenError::Project)?;
        let mut harness = file::read(&text).map_err(OpenError::Text)?;
        title.clone_into(&mut harness.title);
        let text = file::write(&harness);
        let record = record(&harness, &text);
        match copy {
            Copy::Same => projects::save(&BrowserShelf, id, record),
            Copy::New => projects::add(&BrowserShelf, record).map(|_| ()),
        }
        .map_err(OpenError::Project)?;
        self.refresh_list();
        Ok(())
    }

    /// Deletes a project of this device; [`Store::bring_back`] undoes it.
    ///
    /// # Errors
    /// [`ProjectError`] where it is gone already or storage fails.
    pub fn delete(self, id: &ProjectId) -> Result<(), ProjectError> {
        projects::delete(&BrowserShelf, id)?;
        if self.open.get_untracked().as_ref() == Some(id) {
            self.open.set(None);
        }
        self.refresh_list();
        Ok(())
    }

    /// Brings a deleted project back.
    ///
    /// # Errors
    /// [`ProjectError`] where it was forgotten or storage fails.
    pub fn bring_back(self, id: &ProjectId) -> Result<(), ProjectError> {
        projects::bring_back(&BrowserShelf, id)?;
        self.refresh_list();
        Ok(())
    }
}

/// Whether a rewritten project stays itself.
#[derive(Clone, Copy)]
enum Copy {
    Same,
    New,
}

fn record<'a>(harness: &'a Harness, text: &'a str) -> Record<'a> {
    Record {
        title: &harness.title,
        about: &harness.about,
        text,
        now: clock::now_ms(),
    }
}

const fn storage_error(error: &ProjectError) -> StorageError {
    match error {
        ProjectError::Storage(error) => *error,
        ProjectError::Gone(_) => StorageError::Refused,
    }
}
