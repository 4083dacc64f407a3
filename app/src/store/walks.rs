//! The guided walk of a project: under way or left, kept as text beside the project's map.

use leptos::prelude::*;
use sparktrail_core::edit::Command;
use sparktrail_core::model::{FindingId, Standing};
use sparktrail_core::walkthrough::{Answered, Kind, Walk};

use super::projects::Beside;
use super::{Base, Tab};
use crate::edge::clock;
use crate::edge::storage::{self, StorageError};

/// Stands before a walk that its owner has left.
const LEFT: &str = "left\n";

impl Base {
    /// Begins a walk in place of the one that was kept.
    ///
    /// # Errors
    /// [`StorageError`] where it is not kept; it goes on all the same while the page is open.
    pub fn begin_walk(self, kind: Kind) -> Result<(), StorageError> {
        let harness = self.harness_now();
        let text = Walk::begin(&harness, kind).text(&harness);
        self.session.walk.set(Some(text));
        self.resume_walk()
    }

    /// Shows the walk that was left.
    ///
    /// # Errors
    /// As [`Self::begin_walk`].
    pub fn resume_walk(self) -> Result<(), StorageError> {
        self.session.walking.set(true);
        self.session.tab.set(Tab::Next);
        self.write_walk()
    }

    /// Leaves the walk; it can be gone on with.
    ///
    /// # Errors
    /// As [`Self::begin_walk`].
    pub fn leave_walk(self) -> Result<(), StorageError> {
        self.session.walking.set(false);
        self.write_walk()
    }

    /// Puts the walk away for good. What it found stays found.
    ///
    /// # Errors
    /// As [`Self::begin_walk`].
    pub fn end_walk(self) -> Result<(), StorageError> {
        self.session.walking.set(false);
        self.session.walk.set(None);
        self.write_walk()
    }

    /// One step on: what the reply found becomes findings, as one change that undo takes back as a whole.
    ///
    /// # Errors
    /// As [`Self::begin_walk`].
    pub fn go_on_walking(self, answered: Answered) -> Result<(), StorageError> {
        let many = answered.evidence.len();
        let commands: Vec<Command> = answered
            .evidence
            .into_iter()
            .map(|evidence| Command::AddFinding {
                seen: evidence.seen,
                setup: evidence.setup,
                fault_then: evidence.fault_then,
                at: Some(clock::timestamp()),
                note: String::new(),
            })
            .collect();
        let before = self.harness_now().findings.len();
        self.change_all(commands);
        let harness = self.harness_now();
        let ids: Vec<FindingId> = harness
            .findings
            .iter()
            .skip(before)
            .map(|finding| finding.id)
            .collect();
        // A finding that the map had no room for was told of; the step then stands unanswered.
        let ids = if ids.len() == many { ids } else { Vec::new() };
        self.keep_walk(&answered.walk.noted(ids))
    }

    /// One step back: its findings no longer count.
    ///
    /// # Errors
    /// As [`Self::begin_walk`].
    pub fn step_back_walking(self, walk: &Walk) -> Result<(), StorageError> {
        let Some((before, findings)) = walk.take_back() else {
            return Ok(());
        };
        let commands: Vec<Command> = findings
            .into_iter()
            .map(|finding| Command::SetStanding {
                finding,
                standing: Standing::TakenBack,
            })
            .collect();
        self.change_all(commands);
        self.keep_walk(&before)
    }

    /// Several changes as one step.
    fn change_all(self, mut commands: Vec<Command>) {
        match commands.pop() {
            None => {}
            Some(only) if commands.is_empty() => self.change(only),
            Some(last) => {
                commands.push(last);
                self.change(Command::Batch(commands));
            }
        }
    }

    fn keep_walk(self, walk: &Walk) -> Result<(), StorageError> {
        let text = walk.text(&self.harness_now());
        self.session.walk.set(Some(text));
        self.write_walk()
    }

    fn write_walk(self) -> Result<(), StorageError> {
        let Some(project) = self.open_project() else {
            return Ok(());
        };
        let key = Beside::Walk.key(&project);
        match self.session.walk.get_untracked() {
            None => storage::remove(&key),
            Some(text) if self.session.walking.get_untracked() => storage::write(&key, &text),
            Some(text) => storage::write(&key, &format!("{LEFT}{text}")),
        }
    }

    /// The walk that was kept with the project that opens now.
    pub(super) fn fetch_walk(self) {
        let kept = self
            .open_project()
            .and_then(|id| storage::read(&Beside::Walk.key(&id)).ok().flatten());
        let Some(kept) = kept else { return };
        let (text, walking) = match kept.strip_prefix(LEFT) {
            Some(text) => (text.to_owned(), false),
            None => (kept, true),
        };
        self.session.walk.set(Some(text));
        self.session.walking.set(walking);
        if walking {
            self.session.tab.set(Tab::Next);
        }
    }
}
