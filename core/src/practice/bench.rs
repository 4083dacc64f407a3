//! The bench: one harness with its hidden faults, its suspects and its tests.

use crate::said::say;
use std::sync::Arc;

use super::hidden::Hidden;
use super::luck::Luck;
use super::ticket::{Level, Ticket};
use crate::electrics::{Alteration, Assumptions, Circuit};
use crate::faults::alteration;
use crate::isolation::{Case, CaseError, Plan};
use crate::model::Harness;

/// Why there is no such case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PracticeError {
    /// The engine's map gives no suspects.
    #[error(transparent)]
    NoCase(#[from] CaseError),
    /// No fault of this engine is of the level's kind.
    #[error("{}", say!("this engine offers no fault of that kind: choose another level"))]
    NoSuchFault,
}

/// A case to practise on.
pub struct Bench {
    harness: Harness,
    case: Case<'static>,
    plan: Plan,
    circuit: Arc<Circuit>,
    ticket: Ticket,
    hidden: Hidden,
    change: Alteration,
}

impl std::fmt::Debug for Bench {
    /// Without what is hidden: nobody shall read the answer in a log.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Bench")
            .field("ticket", &self.ticket)
            .finish_non_exhaustive()
    }
}

impl Bench {
    /// The harness as practice has it: without anything that its owner found or wrote about it.
    #[must_use]
    pub fn bare(harness: &Harness) -> Harness {
        let mut bare = harness.clone();
        bare.findings.clear();
        bare.work.clear();
        bare
    }

    /// The whole bench at once.
    ///
    /// # Errors
    /// [`PracticeError`].
    pub fn of(harness: &Harness, ticket: Ticket) -> Result<Self, PracticeError> {
        let bare = Self::bare(harness);
        let case = Case::owning(bare)?;
        let plan = Plan::of(&case);
        Self::set(harness, case, plan, ticket)
    }

    /// The bench from a case and a plan that were made step by step from [`Bench::bare`].
    ///
    /// # Errors
    /// [`PracticeError::NoSuchFault`].
    pub fn set(
        harness: &Harness,
        case: Case<'static>,
        plan: Plan,
        ticket: Ticket,
    ) -> Result<Self, PracticeError> {
        let harness = Self::bare(harness);
        let level = ticket.level;
        let luck = Luck(ticket.seed).of(levels(level));
        let hidden = Hidden::choose(&harness, &case, level, luck)?;
        let circuit = Arc::new(Circuit::of(&harness, &Assumptions::default()));
        let mut change = Alteration::default();
        for fault in &hidden.faults {
            change.join(alteration(&harness, &circuit, *fault));
        }
        Ok(Self {
            harness,
            case,
            plan,
            circuit,
            ticket,
            hidden,
            change,
        })
    }

    /// What names the case.
    #[must_use]
    pub const fn ticket(&self) -> &Ticket {
        &self.ticket
    }

    /// The harness.
    #[must_use]
    pub const fn harness(&self) -> &Harness {
        &self.harness
    }

    /// Everything that could be wrong with it.
    #[must_use]
    pub const fn case(&self) -> &Case<'static> {
        &self.case
    }

    /// Every test that it offers.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    pub(super) const fn circuit(&self) -> &Arc<Circuit> {
        &self.circuit
    }

    pub(super) const fn change(&self) -> &Alteration {
        &self.change
    }

    pub(super) fn causes(&self) -> &[usize] {
        &self.hidden.causes
    }

    pub(super) const fn hidden(&self) -> &Hidden {
        &self.hidden
    }

    pub(super) const fn comes_and_goes(&self) -> bool {
        self.hidden.comes_and_goes
    }

    pub(super) fn luck(&self) -> Luck {
        Luck(self.ticket.seed).of(levels(self.ticket.level)).of(99)
    }
}

/// Levels with one seed hide different things.
const fn levels(level: Level) -> u64 {
    match level {
        Level::Single => 101,
        Level::Intermittent => 102,
        Level::Two => 103,
        Level::Board => 104,
        Level::Misleading => 105,
    }
}
