//! Opening, closing, copying and deleting whole documents.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::{Command, History};
use sparktrail_core::engine::{Engine, Firing, Layout, Strokes};
use sparktrail_core::model::Harness;
use sparktrail_core::model::file::{self, FileErrors};
use sparktrail_core::provenance::Fact;

use super::backup::{self, BackupError, Packed, Restored};
use super::projects::{self, ProjectError, ProjectId, Record};
use super::shelf::BrowserShelf;
use super::{Base, Place, Tab};
use crate::edge::storage::StorageError;
use crate::edge::{clock, timer};

/// Whether the document is kept on this device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Saved {
    /// It is.
    Kept,
    /// It will be in a moment.
    Soon,
    /// It is not, and why. What was kept before still is.
    Lost(StorageError),
    /// Another window went on with the project; what it did is not overwritten.
    Clash(Clash),
}

/// What another window did to the open project.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clash {
    /// It saved another state.
    Changed,
    /// It deleted the project.
    Deleted,
}

/// Why a document was not opened; the one that was open still is.
#[derive(Debug, Clone, PartialEq)]
pub enum OpenError {
    /// The text is no map; its errors tell where and what was expected.
    Text(FileErrors),
    /// The project could not be fetched.
    Project(ProjectError),
    /// The open document, of this title, is not kept anywhere and would be lost.
    Unsaved(String),
}

/// A document for the time when none is open.
#[must_use]
pub fn nothing() -> Harness {
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

impl Base {
    /// Opens a map from its text as a new project, or as the project that holds just this map already.
    /// Whatever was open before is saved first and stays a project.
    ///
    /// # Errors
    /// [`OpenError::Text`] where the text is no map, [`OpenError::Unsaved`] where the open one would be
    /// lost; nothing is then changed.
    pub fn open_text(self, text: &str) -> Result<(), OpenError> {
        let harness = file::read(text).map_err(OpenError::Text)?;
        self.open_read(harness)
    }

    /// The same in two steps with a breath between them, so that a large map holds nobody up for long.
    ///
    /// # Errors
    /// As [`Self::open_text`].
    pub async fn open_text_in_steps(self, text: &str) -> Result<(), OpenError> {
        let harness = file::read(text).map_err(OpenError::Text)?;
        timer::breath().await;
        self.open_read(harness)
    }

    fn open_read(self, harness: Harness) -> Result<(), OpenError> {
        self.open_harness(harness)?;
        self.mark_in_file();
        Ok(())
    }

    /// Opens a map as a new project, or as the project that holds just this map already.
    /// Whatever was open before is saved first and stays a project.
    ///
    /// # Errors
    /// [`OpenError::Unsaved`] where the open one would be lost; nothing is then changed.
    pub(super) fn open_harness(self, harness: Harness) -> Result<(), OpenError> {
        self.make_way()?;
        self.at.set_value(None);
        self.show(harness);
        match self.later.here_now() {
            Some(here) => (here.keep_opened)(here.store),
            // It is kept as soon as the second module comes.
            None => self.saved.set(Saved::Soon),
        }
        Ok(())
    }

    /// Keeps the document that was opened: as the project that holds just this map already, else as a new one.
    pub(crate) fn keep_opened(self) {
        let harness = self.harness.get_untracked();
        let same = projects::same(&BrowserShelf, &harness.title, &file::write(&harness));
        match same.ok().flatten() {
            Some(version) => {
                self.at.set_value(Some(version));
                self.fetch_walk();
                self.mark_kept();
            }
            None => self.keep_as_new(),
        }
    }

    /// Opens a project of this device.
    ///
    /// # Errors
    /// [`OpenError`] where it is gone, its record is damaged, or the open one would be lost; nothing is
    /// then changed.
    pub fn open(self, id: &ProjectId) -> Result<(), OpenError> {
        self.make_way()?;
        let (text, version) = projects::load(&BrowserShelf, id).map_err(OpenError::Project)?;
        let harness = file::read(&text).map_err(OpenError::Text)?;
        self.at.set_value(Some(version));
        self.show(harness);
        self.fetch_walk();
        self.mark_kept();
        Ok(())
    }

    /// Begins a new project with a map made here and one change to it, so that undo takes the change
    /// back and leaves the map; then shows `tab`.
    ///
    /// # Errors
    /// [`OpenError::Unsaved`] where the open document would be lost; nothing is then changed.
    pub fn open_new(
        self,
        harness: Harness,
        change: Option<Command>,
        tab: Tab,
    ) -> Result<(), OpenError> {
        self.make_way()?;
        self.at.set_value(None);
        self.show(harness);
        if let Some(change) = change {
            self.change(change);
        }
        self.session.tab.set(tab);
        self.keep_as_new();
        Ok(())
    }

    /// Saves what is open, so that something else can take its place.
    fn make_way(self) -> Result<(), OpenError> {
        self.settle_if_here();
        if self.is_at_risk() {
            let title = self.harness.with_untracked(|harness| harness.title.clone());
            return Err(OpenError::Unsaved(title));
        }
        Ok(())
    }

    /// Before the second module is here nothing was changed, so that there is nothing to save.
    pub(crate) fn settle_if_here(self) {
        if let Some(here) = self.later.here_now() {
            (here.settle)(here.store);
        }
    }

    fn show(self, harness: Harness) {
        self.history.set(History::new(Arc::new(harness)));
        self.session.clear();
        if let Some(here) = self.later.here_now() {
            (here.lay_down)(here.store);
        }
        self.editor.clear();
        self.session.place.set(Place::Job);
    }

    /// Goes to the first screen; the document is saved and stays where it is.
    pub fn leave(self) {
        self.settle_if_here();
        self.editor.clear();
        if let Some(here) = self.later.here_now() {
            (here.refresh_list)(here.store);
        }
        self.session.place.set(Place::Start);
    }

    /// Puts the document away for good, with what is not saved of it.
    pub fn give_up(self) {
        self.at.set_value(None);
        self.history.set(History::new(Arc::new(nothing())));
        self.session.clear();
        self.mark_kept();
    }

    /// Remembers that the document as it is now is in a file as well.
    pub fn mark_in_file(self) {
        self.in_file.set_value(self.harness.get_untracked());
    }

    /// Whether the document as it is now is in a file.
    pub(super) fn is_in_file(self) -> bool {
        self.in_file
            .with_value(|file| Arc::ptr_eq(file, &self.harness.get_untracked()))
    }

    /// Forgets that the document was ever kept.
    pub(super) fn disown(self) {
        self.kept.set_value(Arc::new(nothing()));
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
        projects::load(&BrowserShelf, id).map(|(text, _)| text)
    }

    pub(super) fn keep_as_new(self) {
        let harness = self.harness.get_untracked();
        let text = file::write(&harness);
        match projects::add(&BrowserShelf, record(&harness, &text)) {
            Ok(version) => {
                self.at.set_value(Some(version));
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
        if self.is_kept() {
            return;
        }
        let Some(at) = self.at.get_value() else {
            self.keep_as_new();
            return;
        };
        let harness = self.harness.get_untracked();
        let text = file::write(&harness);
        match projects::save(&BrowserShelf, &at, record(&harness, &text)) {
            Ok(version) => {
                self.at.set_value(Some(version));
                self.mark_kept();
            }
            Err(ProjectError::Storage(error)) => self.saved.set(Saved::Lost(error)),
            Err(ProjectError::Changed(_)) => self.saved.set(Saved::Clash(Clash::Changed)),
            Err(ProjectError::Gone(_)) => self.saved.set(Saved::Clash(Clash::Deleted)),
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
        let open = self
            .at
            .with_value(|at| at.as_ref().is_some_and(|at| at.id == *id));
        if open {
            self.make_way()?;
        }
        let (text, version) = projects::load(&BrowserShelf, id).map_err(OpenError::Project)?;
        let mut harness = file::read(&text).map_err(OpenError::Text)?;
        title.clone_into(&mut harness.title);
        let text = file::write(&harness);
        let record = record(&harness, &text);
        match copy {
            Copy::Same => projects::save(&BrowserShelf, &version, record),
            Copy::New => projects::add(&BrowserShelf, record),
        }
        .map_err(OpenError::Project)?;
        if open && matches!(copy, Copy::Same) {
            self.give_up();
        }
        self.refresh_list();
        Ok(())
    }

    /// Deletes a project of this device; [`Base::bring_back`] undoes it.
    ///
    /// # Errors
    /// [`ProjectError`] where it is gone already or storage fails.
    pub fn delete(self, id: &ProjectId) -> Result<(), ProjectError> {
        projects::delete(&BrowserShelf, id)?;
        if self
            .at
            .with_value(|at| at.as_ref().is_some_and(|at| at.id == *id))
        {
            self.give_up();
        }
        self.refresh_list();
        Ok(())
    }

    /// All projects of this device as one text.
    ///
    /// # Errors
    /// [`StorageError`] where the browser gives no storage.
    pub fn pack(self) -> Result<Packed, StorageError> {
        backup::pack(&BrowserShelf)
    }

    /// Takes a backup in, overwriting nothing.
    ///
    /// # Errors
    /// [`BackupError`] where the text is no backup; nothing is then changed.
    pub fn restore(self, text: &str) -> Result<Restored, BackupError> {
        let restored = backup::restore(&BrowserShelf, text);
        self.refresh_list();
        restored
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
        ProjectError::Gone(_) | ProjectError::Changed(_) => StorageError::Refused,
    }
}
