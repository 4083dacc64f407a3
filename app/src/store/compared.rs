//! Another map beside the open one, to be compared with it.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::compare::align;
use sparktrail_core::model::Harness;
use sparktrail_core::model::file;
use sparktrail_core::share;

use super::document::OpenError;
use super::projects::{ProjectError, ProjectId};
use super::{Base, projects};
use crate::store::shelf::BrowserShelf;

/// The other map, with the open one's ids.
#[derive(Debug, Clone)]
pub struct Compared {
    /// What it is called.
    pub title: String,
    /// The map.
    pub theirs: Arc<Harness>,
}

/// How something on the sheet of both maps differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Difference {
    /// Only theirs has it.
    Added,
    /// Only the open map has it.
    Removed,
    /// Both have it, and they differ.
    Differs,
}

/// Both maps on one sheet, and what differs on it.
#[derive(Debug, Clone)]
pub struct Beside {
    /// The open map with all that only the other has.
    pub both: Arc<Harness>,
    /// What differs.
    pub marks: Vec<(sparktrail_core::drawing::Pick, Difference)>,
}

/// Why there is nothing to compare with.
#[derive(Debug, Clone, PartialEq)]
pub enum NoOther {
    /// The link holds no map.
    Link(share::LinkError),
    /// The file or project is no map, or is gone.
    Open(OpenError),
}

impl Base {
    /// Puts another map beside the open one.
    pub fn compare_with(self, other: &Harness) {
        let ours = self.harness_now();
        self.session.picked.set(None);
        self.session.compared.set(Some(Arc::new(Compared {
            title: other.title.clone(),
            theirs: Arc::new(align(&ours, other)),
        })));
    }

    /// Puts the map in a link beside the open one.
    ///
    /// # Errors
    /// [`NoOther::Link`].
    pub fn compare_with_link(self, text: &str) -> Result<(), NoOther> {
        let other = share::opened(text).map_err(NoOther::Link)?;
        self.compare_with(&other);
        Ok(())
    }

    /// Puts the map in a file's text beside the open one.
    ///
    /// # Errors
    /// [`NoOther::Open`].
    pub fn compare_with_text(self, text: &str) -> Result<(), NoOther> {
        let other = file::read(text).map_err(|errors| NoOther::Open(OpenError::Text(errors)))?;
        self.compare_with(&other);
        Ok(())
    }

    /// Puts a project of this device beside the open one.
    ///
    /// # Errors
    /// [`NoOther::Open`].
    pub fn compare_with_project(self, id: &ProjectId) -> Result<(), NoOther> {
        let gone = |error: ProjectError| NoOther::Open(OpenError::Project(error));
        let (text, _) = projects::load(&BrowserShelf, id).map_err(gone)?;
        self.compare_with_text(&text)
    }

    /// Puts the other map away.
    pub fn end_comparing(self) {
        self.session.compared.set(None);
        self.session.picked.set(None);
        self.session.lit.set(None);
    }
}
