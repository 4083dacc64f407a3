//! The kinds of walk, and which of them walks through a question.

use super::step::Task;
use crate::engine::CylinderId;
use crate::faults::{high_place, is_high_voltage};
use crate::isolation::{Question, Tool};
use crate::model::{Element, Harness, PartKind, SwapPair, Terminal};

/// What a walk is about.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// Finding the dead cylinders.
    Dead,
    /// Whether a path conducts, narrowed down by halves.
    Continuity {
        /// One end: where it begins.
        from: Terminal,
        /// The other end.
        to: Terminal,
    },
    /// Volts at a pin beside those of its siblings.
    Siblings {
        /// The pin.
        of: Terminal,
    },
    /// Voltage lost along a path under load, narrowed down by halves.
    Drop {
        /// The end nearer battery plus.
        from: Terminal,
        /// The other end.
        to: Terminal,
    },
    /// Spark at the lead of a cylinder.
    Spark(CylinderId),
    /// Two like things change places.
    Swap(SwapPair),
    /// Something is wiggled, or warmed and cooled.
    Stress(Element),
    /// The check after a repair; with what was done, where that is to be noted.
    Mended(Option<Question>),
    /// One question, from setting up to the answer.
    Single(Question),
}

impl Kind {
    /// The walk that takes a person through a question.
    #[must_use]
    pub fn of(question: &Question) -> Self {
        match question {
            Question::Spark(cylinder) => Self::Spark(*cylinder),
            Question::Swap(pair) => Self::Swap(*pair),
            Question::Stress(element, _) => Self::Stress(*element),
            Question::Contribution(_)
            | Question::Volts(_)
            | Question::Resistance(_)
            | Question::Drop(_)
            | Question::Lamp(_)
            | Question::Look(_)
            | Question::Substitute(..)
            | Question::Clean(_)
            | Question::Remake(_)
            | Question::Code(_)
            | Question::AnyCode
            | Question::Compression(_) => Self::Single(question.clone()),
        }
    }

    /// A word for storage: stays as it is.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Dead => "dead",
            Self::Continuity { .. } => "continuity",
            Self::Siblings { .. } => "siblings",
            Self::Drop { .. } => "drop",
            Self::Spark(_) => "spark",
            Self::Swap(_) => "swap",
            Self::Stress(_) => "stress",
            Self::Mended(_) => "mended",
            Self::Single(_) => "single",
        }
    }
}

/// Whether hands must keep off an element while the engine turns: it carries the high voltage.
pub(super) fn is_high(element: Element) -> bool {
    high_place(element).is_some()
        || matches!(element, Element::Mated(terminal) if is_high_voltage(terminal.port))
}

/// Whether a task goes onto the board of a unit.
pub(super) fn goes_onto_a_board(harness: &Harness, task: &Task) -> bool {
    let question = match task {
        Task::Ask(question) | Task::Carry(question) => question.clone(),
        Task::Exchange(pair) => Question::Swap(*pair),
        Task::Runs
        | Task::FaultNow
        | Task::LeadsTogether
        | Task::Reference(_)
        | Task::LampReference(_)
        | Task::ProveTool(_)
        | Task::Restore
        | Task::ClearCodes
        | Task::Warm => return false,
    };
    let needs = crate::isolation::Needs::of(harness, &question);
    needs
        .groups()
        .iter()
        .any(|group| group.contains(&Tool::BoardSoldering))
}

/// Whether a part is a control unit or module.
pub(super) fn is_unit(harness: &Harness, part: crate::model::PartId) -> bool {
    harness
        .parts
        .get(&part)
        .is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_)))
}
