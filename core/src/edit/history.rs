//! The harness as it is now, with every earlier one that undo can bring back.

use std::sync::Arc;

use super::{Command, EditError, apply};
use crate::model::Harness;

/// The newest steps keep the harness that they started from; of older ones only every so many does, and what lies
/// between is made again from the commands when it is wanted. So undo reaches back without end in little room.
const NEAR: usize = 200;
/// One in so many older steps keeps its harness.
const EVERY: usize = 25;

/// A command that was carried out, and the harness before it where that is kept.
#[derive(Debug, Clone)]
struct Done {
    before: Option<Arc<Harness>>,
    /// The lowest number that had never been given out when the command came.
    next_id: u32,
    command: Command,
}

/// A command that was undone, and the harness that it had made.
#[derive(Debug, Clone)]
struct Undone {
    after: Arc<Harness>,
    next_id: u32,
    command: Command,
}

/// Past, present and undone future of one harness. Snapshots are shared, never copied. It has no end.
#[derive(Debug, Clone)]
pub struct History {
    past: Vec<Done>,
    now: Arc<Harness>,
    future: Vec<Undone>,
    // An id given out by a command that was undone is still used up.
    next_id: u32,
}

impl History {
    /// A history that starts here.
    #[must_use]
    pub fn new(now: Arc<Harness>) -> Self {
        Self {
            past: Vec::new(),
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
        let next_id = self.next_id;
        let next = step(&self.now, next_id, &command)?;
        self.next_id = next.next_id;
        if same_but_for_next_id(&next, &self.now) {
            return Ok(());
        }
        let before = std::mem::replace(&mut self.now, Arc::new(next));
        self.push(before, next_id, command);
        self.future.clear();
        Ok(())
    }

    /// The lowest number that no id has ever had, here or in anything undone: the next new part, wire or pin gets it.
    #[must_use]
    pub const fn next_id(&self) -> u32 {
        self.next_id
    }

    fn push(&mut self, before: Arc<Harness>, next_id: u32, command: Command) {
        self.past.push(Done {
            before: Some(before),
            next_id,
            command,
        });
        if let Some(old) = self.past.len().checked_sub(NEAR)
            && !old.is_multiple_of(EVERY)
            && let Some(done) = self.past.get_mut(old)
        {
            done.before = None;
        }
    }

    /// Takes the last command back. Nothing happens where there is none.
    pub fn undo(&mut self) {
        let Some(done) = self.past.pop() else {
            return;
        };
        let Some(before) = done.before.clone().or_else(|| self.made_again()) else {
            self.past.push(done);
            return;
        };
        let after = std::mem::replace(&mut self.now, before);
        self.future.push(Undone {
            after,
            next_id: done.next_id,
            command: done.command,
        });
    }

    /// The harness after the last of `past`, made from the nearest one that is kept. The harnesses on the way are
    /// kept from now on: whoever goes back this far will mostly go farther.
    fn made_again(&mut self) -> Option<Arc<Harness>> {
        let kept = self.past.iter().rposition(|done| done.before.is_some())?;
        let mut now = self.past.get(kept)?.before.clone()?;
        for done in self.past.get_mut(kept..)? {
            done.before = Some(Arc::clone(&now));
            now = Arc::new(step(&now, done.next_id, &done.command).ok()?);
        }
        Some(now)
    }

    /// Carries out again what was undone last. Nothing happens where there is none.
    pub fn redo(&mut self) {
        if let Some(undone) = self.future.pop() {
            let before = std::mem::replace(&mut self.now, undone.after);
            self.push(before, undone.next_id, undone.command);
        }
    }

    /// The command that [`History::undo`] would take back.
    #[must_use]
    pub fn undoes(&self) -> Option<&Command> {
        self.past.last().map(|done| &done.command)
    }

    /// The command that [`History::redo`] would carry out.
    #[must_use]
    pub fn redoes(&self) -> Option<&Command> {
        self.future.last().map(|undone| &undone.command)
    }
}

/// What a command makes of a harness, with ids from `next_id` on.
fn step(now: &Harness, next_id: u32, command: &Command) -> Result<Harness, EditError> {
    let mut next = if next_id > now.next_id {
        let mut base = Harness::clone(now);
        base.next_id = next_id;
        apply(&base, command)?
    } else {
        apply(now, command)?
    };
    next.next_id = next.next_id.max(next_id);
    Ok(next)
}

fn same_but_for_next_id(a: &Harness, b: &Harness) -> bool {
    a.title == b.title
        && a.about == b.about
        && a.engine == b.engine
        && a.parts == b.parts
        && a.wires == b.wires
        && a.rivals == b.rivals
        && a.findings == b.findings
        && a.work == b.work
}
