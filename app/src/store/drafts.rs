//! What was begun and not yet entered: kept while its map is open, so that who looks something up elsewhere finds it
//! as it was left.

use leptos::prelude::*;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::isolation::Question;
use sparktrail_core::model::{Element, PartId, Terminal};

/// A finding that is being entered: what was chosen and typed, and the places in their lists of what is one of a few.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FindingDraft {
    /// What was done.
    pub kind: usize,
    /// Which cylinder.
    pub cylinder: Option<CylinderId>,
    /// Where the leads were, red and black.
    pub leads: [Option<Terminal>; 2],
    /// Where the meter's leads were when the form was left.
    pub meter: [Option<Terminal>; 2],
    /// Which piece.
    pub element: Option<Element>,
    /// Which part, and with which.
    pub parts: [Option<PartId>; 2],
    /// How.
    pub by: usize,
    /// How the car stood.
    pub setup: usize,
    /// What came of it.
    pub outcome: usize,
    /// Whether the fault was there.
    pub then: usize,
    /// What was typed.
    pub text: String,
}

/// All that was begun on the open map.
#[derive(Debug, Clone, Copy)]
pub struct Drafts {
    /// The finding in the open form; none where it is closed.
    pub finding: StoredValue<Option<FindingDraft>>,
    /// What the meter read, in Next.
    read: RwSignal<String>,
    /// What that was read for.
    asked: StoredValue<Option<Question>>,
    /// What was done to the car.
    pub did: RwSignal<String>,
    /// What it was.
    pub was: RwSignal<String>,
}

impl Drafts {
    pub(super) fn none() -> Self {
        Self {
            finding: StoredValue::new(None),
            read: RwSignal::new(String::new()),
            asked: StoredValue::new(None),
            did: RwSignal::new(String::new()),
            was: RwSignal::new(String::new()),
        }
    }

    /// What was typed as the reading that `question` asks for; what was typed for another one is forgotten.
    #[must_use]
    pub fn read_for(self, question: &Question) -> RwSignal<String> {
        let same = self
            .asked
            .with_value(|asked| asked.as_ref() == Some(question));
        if !same {
            self.asked.set_value(Some(question.clone()));
            self.read.set(String::new());
        }
        self.read
    }

    /// Forgets all of it.
    pub(super) fn clear(self) {
        self.finding.set_value(None);
        self.asked.set_value(None);
        self.read.set(String::new());
        self.did.set(String::new());
        self.was.set(String::new());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_belongs_to_what_it_was_read_for() {
        let owner = Owner::new();
        owner.with(|| {
            let drafts = Drafts::none();
            let (one, other) = (Question::AnyCode, Question::Spark(CylinderId(1)));
            drafts.read_for(&one).set("0.9".to_owned());
            assert_eq!(drafts.read_for(&one).get_untracked(), "0.9");
            assert_eq!(drafts.read_for(&other).get_untracked(), "");
            assert_eq!(drafts.read_for(&one).get_untracked(), "");
        });
    }
}
