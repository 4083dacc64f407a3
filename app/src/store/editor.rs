//! What the hands do while the map is being edited: never saved, never undone.

use std::collections::BTreeSet;

use leptos::prelude::*;
use sparktrail_core::drawing::Point;
use sparktrail_core::edit::FactAt;
use sparktrail_core::model::{PartId, Terminal, WireEnd, WireId};
use sparktrail_core::provenance::Provenance;
use sparktrail_core::topology::Pick;

use crate::edge::keys::Heed;

/// Whether the map is looked at or changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Mode {
    /// Nothing on the map can be moved by accident.
    #[default]
    Look,
    /// Parts follow the hand, wires are drawn.
    Edit,
}

/// What a tap on the map chooses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Choose {
    /// One thing in place of another.
    #[default]
    One,
    /// One part more.
    More,
}

/// What a hand that is down is doing, in map units.
#[derive(Debug, Clone, PartialEq)]
pub enum Drag {
    /// Parts are moved by so much.
    Parts(Vec<PartId>, Point),
    /// A wire is drawn from a terminal to here.
    Wire(Terminal, Point),
    /// The end of a wire is taken to here.
    End(WireId, WireEnd, Point),
    /// A frame is drawn around parts, from corner to corner.
    Frame(Point, Point),
}

/// What the editor asks for, over the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// What kind of part to add.
    Kind,
    /// Which terminal to join to this one; only those of a part, where one is given.
    Other(Terminal, Option<PartId>),
    /// Which terminal stands at this fact.
    Place(FactAt),
}

/// The editor's signals.
#[derive(Debug, Clone, Copy)]
pub struct Editor {
    /// Whether the map is looked at or changed.
    pub mode: RwSignal<Mode>,
    /// What a tap chooses.
    pub choose: RwSignal<Choose>,
    /// The parts that are chosen together.
    pub chosen: RwSignal<BTreeSet<PartId>>,
    /// The terminal that waits for another to be tapped.
    pub from: RwSignal<Option<Terminal>>,
    /// What the hand is doing now.
    pub drag: RwSignal<Option<Drag>>,
    /// How what is entered is known.
    pub how: RwSignal<Provenance>,
    /// What is asked over the page.
    pub ask: RwSignal<Option<Ask>>,
    /// What the keyboard shall come back to once the map is drawn anew.
    pub refocus: RwSignal<Option<Pick>>,
}

impl Default for Editor {
    /// Nothing in hand, and the map only looked at.
    fn default() -> Self {
        Self {
            mode: RwSignal::new(Mode::Look),
            choose: RwSignal::new(Choose::One),
            chosen: RwSignal::new(BTreeSet::new()),
            from: RwSignal::new(None),
            drag: RwSignal::new(None),
            how: RwSignal::new(Provenance::Measured),
            ask: RwSignal::new(None),
            refocus: RwSignal::new(None),
        }
    }
}

impl Editor {
    /// Ends editing, and forgets all that belongs to one document.
    pub(crate) fn clear(self) {
        self.let_go();
        self.mode.set(Mode::Look);
    }

    /// Puts down whatever is in hand and chooses nothing.
    pub fn let_go(self) {
        self.choose.set(Choose::One);
        self.chosen.update(BTreeSet::clear);
        self.from.set(None);
        self.drag.set(None);
        self.ask.set(None);
        self.refocus.set(None);
    }

    /// One step back: puts down what is in hand, lets go of those chosen together, ends editing.
    pub(super) fn step_back(self, picked: Option<Pick>) -> Heed {
        let several = self.chosen.with_untracked(|all| !all.is_empty())
            || self.choose.get_untracked() == Choose::More;
        let in_hand =
            self.from.with_untracked(Option::is_some) || self.drag.with_untracked(Option::is_some);
        if in_hand {
            self.from.set(None);
            self.drag.set(None);
        } else if several {
            self.let_go();
        } else if self.is_on_now() && picked.is_none() {
            self.clear();
        } else {
            return Heed::Left;
        }
        Heed::Taken
    }

    /// Whether the map is being edited. Tracked.
    #[must_use]
    pub fn is_on(self) -> bool {
        self.mode.get() == Mode::Edit
    }

    /// Whether the map is being edited. Not tracked.
    #[must_use]
    pub fn is_on_now(self) -> bool {
        self.mode.get_untracked() == Mode::Edit
    }

    /// The parts that a command is about: those chosen together, else the one that is selected. Not tracked.
    #[must_use]
    pub fn parts(self, picked: Option<Pick>) -> Vec<PartId> {
        let several: Vec<PartId> = self
            .chosen
            .with_untracked(|all| all.iter().copied().collect());
        match picked {
            Some(Pick::Part(part)) if several.is_empty() => vec![part],
            Some(_) | None => several,
        }
    }
}
