//! Several windows on the same projects: what another one did is told, and nobody's work is overwritten.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::model::file;
use std::sync::Arc;

use super::document::Clash;
use super::projects::{self, LIST};
use super::shelf::BrowserShelf;
use super::{Base, OpenError, Place, Saved};
use crate::edge::storage;

/// What a map that is kept beside another one comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beside {
    /// A second window.
    Window,
    /// A backup.
    Backup,
}

/// The title of a map that is kept beside another one of the same title.
#[must_use]
pub fn beside(title: &str, from: Beside) -> String {
    let from = match from {
        Beside::Window => "from a second window",
        Beside::Backup => "from a backup",
    };
    format!("{title} ({from})")
}

pub(super) fn start(store: Base) {
    storage::on_change_elsewhere(LIST, move || store.look_again());
}

impl Base {
    /// Looks at what another window did to the projects, the open one first of all.
    fn look_again(self) {
        self.refresh_list();
        let Some(at) = self.at.get_value() else {
            return;
        };
        let Ok(list) = self.list.get_untracked() else {
            return;
        };
        let now = list.projects.iter().find(|entry| entry.id == at.id);
        let clash = match now.map(projects::Entry::version) {
            None => Some(Clash::Deleted),
            Some(now) if now == at => None,
            Some(now) => {
                if now.revision == at.revision {
                    // Both saved in one moment: what this window saved is gone from the shelf.
                    self.disown();
                }
                Some(Clash::Changed)
            }
        };
        match clash {
            Some(clash) => self.saved.set(Saved::Clash(clash)),
            None if self.is_overtaken() => {
                // It is as this window knows it again: brought back from the bin.
                self.saved.set(Saved::Kept);
                self.save_now();
            }
            None => {}
        }
    }

    /// Makes the document a project of its own, beside what another window made of it.
    pub fn keep_both(self) {
        let title = self.harness.with_untracked(|harness| harness.title.clone());
        if self.saved.get_untracked() == Saved::Clash(Clash::Changed) {
            self.change(Command::Rename(beside(&title, Beside::Window)));
        }
        self.keep_as_new();
    }

    /// Shows what another window made of the open project; undo brings this window's state back.
    ///
    /// # Errors
    /// [`OpenError`] where it is gone or damaged; nothing is then changed.
    pub fn take_theirs(self) -> Result<(), OpenError> {
        let Some(at) = self.at.get_value() else {
            return Ok(());
        };
        let (text, now) = projects::load(&BrowserShelf, &at.id).map_err(OpenError::Project)?;
        let theirs = file::read(&text).map_err(OpenError::Text)?;
        self.change(Command::Replace(Arc::new(theirs)));
        self.at.set_value(Some(now));
        self.mark_kept();
        Ok(())
    }

    /// Keeps what is not kept yet, at any price: where another window went on with the project, as a
    /// project of its own.
    pub fn settle(self) {
        self.save_now();
        if self.is_overtaken() && !self.is_kept() {
            self.keep_both();
        }
    }

    /// Whether another window went on with the open project; what is done here waits for a choice.
    pub(super) fn is_overtaken(self) -> bool {
        matches!(self.saved.get_untracked(), Saved::Clash(_))
    }

    /// Whether the document would be lost if the page went away now.
    #[must_use]
    pub fn is_at_risk(self) -> bool {
        !self.is_kept() && !self.is_in_file()
    }

    /// The document where it would be lost if another were opened; for the first screen. Tracked.
    #[must_use]
    pub fn left_unsaved(self) -> Option<String> {
        let (saved, place) = (self.saved.get(), self.session.place.get());
        (place != Place::Job && matches!(saved, Saved::Lost(_)) && self.is_at_risk())
            .then(|| self.harness.with(|harness| harness.title.clone()))
    }
}
