//! Everything that the places share: the document with its history, the session, what follows from them.

mod autosave;
pub mod backup;
mod compared;
mod cycle;
mod derived;
mod document;
mod drafts;
mod editor;
mod isolation;
mod links;
#[cfg(test)]
mod power_cut;
pub mod projects;
mod readings;
mod session;
pub mod shelf;
#[cfg(test)]
mod tests;
mod verdict;
mod walks;
mod windows;

use std::ops::Deref;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::{Command, EditError, History, told_alike};
use sparktrail_core::model::Harness;

pub use compared::{Beside, Compared, Difference, NoOther};
pub use cycle::{Cycling, Going};
pub use derived::Derived;
pub use document::{Clash, OpenError, Saved, nothing};
pub use drafts::{Drafts, FindingDraft};
pub use editor::{Ask, Choose, Drag, Editor, Mode};
pub use isolation::{Isolation, Pairing, Pairs, Planned, Reckoned};
pub use links::Arrival;
pub use readings::{LeadColour, Meter, Picture};
pub use session::{MapForm, Place, Session, Tab};
pub use sparktrail_core::model::cylinders_said;
pub use verdict::{Advice, Advised, Suspect, Verdict};

use crate::edge::keys::Heed;
use crate::edge::storage::StorageError;
use crate::later::Later;
use projects::{List, ProjectId, Version};
use shelf::BrowserShelf;

/// What opens and shows a map: the document, the session, the editor's hands. Made once, copied freely.
#[derive(Debug, Clone, Copy)]
pub struct Base {
    history: RwSignal<History>,
    /// The open project, and which of its saves the document follows.
    at: StoredValue<Option<Version>>,
    saved: RwSignal<Saved>,
    /// The state that was saved last; the document is safe while it is this one.
    kept: StoredValue<Arc<Harness>>,
    /// The state that is in a file.
    in_file: StoredValue<Arc<Harness>>,
    list: RwSignal<Result<List, StorageError>>,
    /// The second module of the program.
    pub later: Later,
    /// The document as it is now.
    pub harness: Memo<Arc<Harness>>,
    /// The document as it was when last anything but where its parts are drawn changed: what tells of the map follows
    /// this, so that a part that is moved costs nothing but its picture.
    pub told: Memo<Arc<Harness>>,
    /// What the page is doing now.
    pub session: Session,
    /// What the hands do while the map is being edited.
    pub editor: Editor,
}

/// The whole store: the base, and what is reckoned from it. The second module makes it when it comes.
#[derive(Debug, Clone, Copy)]
pub struct Store {
    /// The document and the session.
    base: Base,
    /// What follows from document and session.
    pub derived: Derived,
    /// The meter.
    pub meter: Meter,
    /// The cycle.
    pub cycle: Cycling,
    /// What the findings say, and what to do next.
    pub isolation: Isolation,
}

impl Deref for Store {
    type Target = Base;

    fn deref(&self) -> &Base {
        &self.base
    }
}

impl Store {
    /// A whole store with nothing open, in a program of one piece. Call once, inside the program's root owner.
    #[must_use]
    pub fn new() -> Self {
        let base = Base::new();
        let here = base.later.here_now();
        here.map_or_else(|| Self::begin(base), |here| here.store)
    }

    /// How many things wait in a view. Tracked.
    #[must_use]
    pub fn waiting(self, tab: Tab) -> usize {
        match tab {
            Tab::Check => self.derived.findings.with(Vec::len),
            Tab::Map
            | Tab::Findings
            | Tab::Suspects
            | Tab::Next
            | Tab::WhatIf
            | Tab::Meter
            | Tab::Cycle
            | Tab::Shared
            | Tab::Trace => 0,
        }
    }

    /// Forgets what belongs to one document: the meter's leads, the cycle's dials.
    pub(crate) fn lay_down(self) {
        self.meter.clear();
        self.cycle.clear();
    }

    /// Begins what goes on beside the page: the reckoning, autosave, the watch on other windows.
    pub(crate) fn begin(base: Base) -> Self {
        let (told, session) = (base.told, base.session);
        let store = Self {
            base,
            derived: Derived::new(told, session),
            meter: Meter::new(told, session),
            cycle: Cycling::new(),
            isolation: Isolation::new(),
        };
        // Where nothing can be written, the list shows what is there all the same.
        let _ = projects::mend(&BrowserShelf);
        base.refresh_list();
        if !base.is_kept() {
            // Opened before this module came.
            base.keep_opened();
        }
        autosave::start(base);
        windows::start(base);
        store.isolation.follow(told, session);
        store
    }
}

impl Base {
    /// A store with nothing open. Call once, inside the program's root owner.
    #[must_use]
    pub fn new() -> Self {
        let history = RwSignal::new(History::new(Arc::new(document::nothing())));
        let harness = Memo::new_with_compare(
            move |_| history.with(|history| Arc::clone(history.now())),
            |old, new| match (old, new) {
                (Some(old), Some(new)) => !Arc::ptr_eq(old, new),
                (None, _) | (_, None) => true,
            },
        );
        let told = Memo::new_with_compare(
            move |_| harness.get(),
            |old, new| match (old, new) {
                (Some(old), Some(new)) => !told_alike(old, new),
                (None, _) | (_, None) => true,
            },
        );
        let base = Self {
            history,
            at: StoredValue::new(None),
            saved: RwSignal::new(Saved::Kept),
            kept: StoredValue::new(harness.get_untracked()),
            in_file: StoredValue::new(harness.get_untracked()),
            list: RwSignal::new(Ok(List::default())),
            later: Later::new(),
            harness,
            told,
            session: Session::new(),
            editor: Editor::default(),
        };
        base.take_if_in_one_piece();
        base
    }

    /// Changes the document. The only way to do so.
    ///
    /// # Errors
    /// [`EditError`] where the command does not fit the document, which then stays as it is.
    pub fn dispatch(self, command: Command) -> Result<(), EditError> {
        let mut outcome = Ok(());
        self.history
            .update(|history| outcome = history.apply(command));
        outcome
    }

    /// Changes the document; what does not fit it is told as a passing message.
    pub fn change(self, command: Command) {
        if let Err(error) = self.dispatch(command) {
            let words = self.harness.with_untracked(|harness| error.told(harness));
            self.session.say(words, None);
        }
    }

    /// The number that the next new part, wire, pin or finding gets.
    #[must_use]
    pub fn next_id(self) -> u32 {
        self.history.with_untracked(History::next_id)
    }

    /// The open map's title; empty while none is open. Tracked.
    #[must_use]
    pub fn page_title(self) -> String {
        match self.session.place.get() {
            Place::Start | Place::Engine | Place::Practice => String::new(),
            Place::Job => self.harness.with(|harness| harness.title.clone()),
        }
    }

    /// One step back: puts down what is in hand, puts right what is broken, else puts away what is selected, else shows the map's panel.
    pub fn step_back(self) -> Heed {
        let session = self.session;
        if self.editor.step_back(session.picked.get_untracked()) == Heed::Taken {
            return Heed::Taken;
        }
        if session.broken.get_untracked().is_some() {
            session.broken.set(None);
        } else if session.picked.get_untracked().is_some() {
            session.picked.set(None);
        } else if session.tab.get_untracked() != Tab::Map {
            session.tab.set(Tab::Map);
        } else {
            return Heed::Left;
        }
        Heed::Taken
    }

    /// Takes the last change back.
    pub fn undo(self) {
        self.history.update(History::undo);
    }

    /// Makes the change again that was taken back last.
    pub fn redo(self) {
        self.history.update(History::redo);
    }

    /// The change that [`Base::undo`] would take back. Tracked.
    #[must_use]
    pub fn undoes(self) -> Option<Command> {
        self.history.with(|history| history.undoes().cloned())
    }

    /// The change that [`Base::redo`] would make again. Tracked.
    #[must_use]
    pub fn redoes(self) -> Option<Command> {
        self.history.with(|history| history.redoes().cloned())
    }

    /// The document as it is now. Not tracked.
    #[must_use]
    pub fn harness_now(self) -> Arc<Harness> {
        self.harness.get_untracked()
    }

    /// Which page shows. Tracked.
    #[must_use]
    pub fn place(self) -> Place {
        self.session.place.get()
    }

    /// The open project, if any. Not tracked.
    #[must_use]
    pub fn open_project(self) -> Option<ProjectId> {
        self.at.with_value(|at| at.as_ref().map(|at| at.id.clone()))
    }

    /// Whether the document is kept. Tracked.
    #[must_use]
    pub fn saved(self) -> Saved {
        self.saved.get()
    }

    /// Whether there may be projects on this device, by a glance. Not tracked.
    ///
    /// # Errors
    /// [`StorageError`] where the browser gives no storage.
    pub fn has_maps(self) -> Result<bool, StorageError> {
        projects::may_be(&BrowserShelf)
    }

    /// The projects on this device; none before the second module has read them. Tracked.
    ///
    /// # Errors
    /// [`StorageError`] where the browser gives no storage.
    pub fn list(self) -> Result<List, StorageError> {
        self.list.get()
    }
}

impl Default for Base {
    fn default() -> Self {
        Self::new()
    }
}

impl Default for Store {
    fn default() -> Self {
        Self::new()
    }
}
