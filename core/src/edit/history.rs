//! The harness as it is now, with every earlier one that undo can bring back.

use std::collections::VecDeque;
use std::sync::Arc;

use super::{Command, EditError, apply};
use crate::model::Harness;

/// How many commands can be undone; the oldest are forgotten first.
const DEEPEST: usize = 400;

/// One command and the harness on the other side of it.
#[derive(Debug, Clone)]
struct Step {
    harness: Arc<Harness>,
    command: Command,
}

/// Past, present and undone future of one harness. Snapshots are shared, never copied.
#[derive(Debug, Clone)]
pub struct History {
    past: VecDeque<Step>,
    now: Arc<Harness>,
    future: Vec<Step>,
    // An id given out by a command that was undone is still used up.
    next_id: u32,
}

impl History {
    /// A history that starts here.
    #[must_use]
    pub fn new(now: Arc<Harness>) -> Self {
        Self {
            past: VecDeque::new(),
            next_id: now.next_id,
            now,
            future: Vec::new(),
        }
    }

    /// The harness as it is now.
    #[must_use]
    pub const fn now(&self) -> &Arc<Harness> {
        &self.now
    }

    /// Carries out a command; what had been undone can no longer be redone.
    /// A command that changes nothing leaves the history as it is.
    ///
    /// # Errors
    /// Those of [`apply`]; the history is then unchanged.
    pub fn apply(&mut self, command: Command) -> Result<(), EditError> {
        let mut next = if self.next_id > self.now.next_id {
            let mut base = Harness::clone(&self.now);
            base.next_id = self.next_id;
            apply(&base, &command)?
        } else {
            apply(&self.now, &command)?
        };
        self.next_id = self.next_id.max(next.next_id);
        next.next_id = self.next_id;
        if same_but_for_next_id(&next, &self.now) {
            return Ok(());
        }
        let before = std::mem::replace(&mut self.now, Arc::new(next));
        self.past.push_back(Step {
            harness: before,
            command,
        });
        if self.past.len() > DEEPEST {
            self.past.pop_front();
        }
        self.future.clear();
        Ok(())
    }

    /// Takes the last command back. Nothing happens where there is none.
    pub fn undo(&mut self) {
        if let Some(step) = self.past.pop_back() {
            let after = std::mem::replace(&mut self.now, step.harness);
            self.future.push(Step {
                harness: after,
                command: step.command,
            });
        }
    }

    /// Carries out again what was undone last. Nothing happens where there is none.
    pub fn redo(&mut self) {
        if let Some(step) = self.future.pop() {
            let before = std::mem::replace(&mut self.now, step.harness);
            self.past.push_back(Step {
                harness: before,
                command: step.command,
            });
        }
    }

    /// The command that [`History::undo`] would take back.
    #[must_use]
    pub fn undoes(&self) -> Option<&Command> {
        self.past.back().map(|step| &step.command)
    }

    /// The command that [`History::redo`] would carry out.
    #[must_use]
    pub fn redoes(&self) -> Option<&Command> {
        self.future.last().map(|step| &step.command)
    }
}

fn same_but_for_next_id(a: &Harness, b: &Harness) -> bool {
    a.title == b.title
        && a.about == b.about
        && a.engine == b.engine
        && a.parts == b.parts
        && a.wires == b.wires
        && a.findings == b.findings
        && a.work == b.work
}
