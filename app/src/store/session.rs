//! What the page is doing now: never saved, never undone.

use std::sync::Arc;

use leptos::prelude::*;

use sparktrail_core::faults::Fault;
use sparktrail_core::model::Terminal;
use sparktrail_core::topology::Pick;

use super::{Arrival, Beside, Compared, Drafts, LeadColour};
use crate::edge::theme::{self, Theme};
use crate::ui::{Toast, ToastAct};

/// Which page shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Place {
    /// The first screen: open, look at an example, go on.
    #[default]
    Start,
    /// The questions about an own engine.
    Engine,
    /// A map is open.
    Job,
    /// A hidden fault to find, and short lessons.
    Practice,
}

/// What shows beside or below the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tab {
    /// The map and what it is about.
    #[default]
    Map,
    /// What was seen and measured.
    Findings,
    /// What could be wrong.
    Suspects,
    /// The best thing to do now.
    Next,
    /// What dies when something fails.
    WhatIf,
    /// What a meter should read, and why.
    Meter,
    /// One working cycle of the engine.
    Cycle,
    /// Who shares what.
    Shared,
    /// What is unfinished or wrong in the map.
    Check,
    /// What unknown pins are for.
    Trace,
}

impl Tab {
    /// Every tab, in the order in which they show.
    pub const ALL: [Self; 10] = [
        Self::Map,
        Self::Findings,
        Self::Suspects,
        Self::Next,
        Self::WhatIf,
        Self::Meter,
        Self::Cycle,
        Self::Shared,
        Self::Check,
        Self::Trace,
    ];
    /// Those that always show; the others stand behind one more entry where there is little room.
    pub const FIRST: [Self; 4] = [Self::Map, Self::Findings, Self::Suspects, Self::Next];

    /// A word for attributes.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Map => "map",
            Self::Findings => "findings",
            Self::Suspects => "suspects",
            Self::Next => "next",
            Self::WhatIf => "what-if",
            Self::Meter => "meter",
            Self::Cycle => "cycle",
            Self::Shared => "shared",
            Self::Check => "check",
            Self::Trace => "trace",
        }
    }
}

/// The form in which the map shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MapForm {
    /// Drawn.
    #[default]
    Drawing,
    /// As rows of pins and wires.
    Table,
    /// As the face of a connector.
    Face,
}

impl MapForm {
    /// Every form, in the order in which they show.
    pub const ALL: [Self; 3] = [Self::Drawing, Self::Table, Self::Face];

    /// A word for attributes.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Drawing => "drawing",
            Self::Table => "table",
            Self::Face => "face",
        }
    }
}

/// The session's signals.
#[derive(Debug, Clone, Copy)]
pub struct Session {
    /// Which page shows.
    pub place: RwSignal<Place>,
    /// What shows beside the map.
    pub tab: RwSignal<Tab>,
    /// The form in which the map shows.
    pub form: RwSignal<MapForm>,
    /// What is selected.
    pub picked: RwSignal<Option<Pick>>,
    /// What is pointed at.
    pub hovered: RwSignal<Option<Pick>>,
    /// What is broken for the sake of trying.
    pub broken: RwSignal<Option<Fault>>,
    /// What a place asks the map to light: things that cylinders share.
    pub lit: RwSignal<Option<Vec<Pick>>>,
    /// The map that the open one is compared with.
    pub compared: RwSignal<Option<Arc<Compared>>>,
    /// Both maps on one sheet, while the list of differences shows.
    pub beside: RwSignal<Option<Arc<Beside>>>,
    /// Whether the map to compare with is being chosen.
    pub choosing: RwSignal<bool>,
    /// Whether the case is shown as a report.
    pub reporting: RwSignal<bool>,
    /// The guided walk under way or left, as text.
    pub walk: RwSignal<Option<String>>,
    /// Whether the walk shows, in place of what is next.
    pub walking: RwSignal<bool>,
    /// Where the step of a walk puts the leads.
    pub leads: RwSignal<Vec<(LeadColour, Terminal)>>,
    /// What was begun in a form and not yet entered.
    pub drafts: Drafts,
    /// A link that waits to be opened.
    pub sent: RwSignal<Option<String>>,
    /// A practice link that waits to be opened.
    pub trial: RwSignal<Option<String>>,
    /// What came of a link that was opened, until it is put away.
    pub arrival: RwSignal<Option<Arrival>>,
    /// Whether the list of keys shows.
    pub keys: RwSignal<bool>,
    /// The palette.
    pub theme: RwSignal<Theme>,
    /// Passing messages.
    pub toasts: RwSignal<Vec<Toast>>,
    next_toast: RwSignal<u32>,
}

/// How long a passing message stays, in milliseconds; one that can be acted on stays longer.
const PASSING_MS: u64 = 5_000;
const ACTABLE_MS: u64 = 12_000;

impl Session {
    pub(super) fn new() -> Self {
        Self {
            place: RwSignal::new(Place::Start),
            tab: RwSignal::new(Tab::Map),
            form: RwSignal::new(MapForm::Drawing),
            picked: RwSignal::new(None),
            hovered: RwSignal::new(None),
            broken: RwSignal::new(None),
            lit: RwSignal::new(None),
            compared: RwSignal::new(None),
            beside: RwSignal::new(None),
            choosing: RwSignal::new(false),
            reporting: RwSignal::new(false),
            walk: RwSignal::new(None),
            walking: RwSignal::new(false),
            leads: RwSignal::new(Vec::new()),
            drafts: Drafts::none(),
            sent: RwSignal::new(None),
            trial: RwSignal::new(None),
            arrival: RwSignal::new(None),
            keys: RwSignal::new(false),
            theme: RwSignal::new(theme::chosen()),
            toasts: RwSignal::new(Vec::new()),
            next_toast: RwSignal::new(0),
        }
    }

    /// Forgets all that belongs to one document.
    pub(super) fn clear(self) {
        self.picked.set(None);
        self.hovered.set(None);
        self.broken.set(None);
        self.lit.set(None);
        self.walk.set(None);
        self.walking.set(false);
        self.leads.set(Vec::new());
        self.drafts.clear();
        self.compared.set(None);
        self.tab.set(Tab::Map);
        self.form.set(MapForm::Drawing);
    }

    /// Shows a passing message, with a way to act on it if there is one.
    pub fn say(self, words: impl Into<String>, act: Option<ToastAct>) {
        let id = self.next_toast.get_untracked();
        self.next_toast.set(id.wrapping_add(1));
        let stays = if act.is_some() {
            ACTABLE_MS
        } else {
            PASSING_MS
        };
        self.toasts.update(|toasts| {
            toasts.push(Toast {
                id,
                words: words.into(),
                act,
            });
            let surplus = toasts.len().saturating_sub(2);
            toasts.drain(..surplus);
        });
        let _ = crate::edge::timer::after(stays, move || self.put_away(id));
    }

    /// Puts a passing message away.
    pub fn put_away(self, id: u32) {
        self.toasts
            .update(|toasts| toasts.retain(|toast| toast.id != id));
    }

    /// The next of the three palettes, shown and kept.
    pub fn turn_theme(self) {
        let next = self.theme.get_untracked().next();
        self.theme.set(next);
        theme::choose(next);
    }
}
