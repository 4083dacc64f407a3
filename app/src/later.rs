//! The part of the program that comes after the first map: the arithmetic and the panels.
//!
//! Published, the program is two modules. The first holds what opens and draws a map. The second
//! holds everything that is reached only through [`Workshop`]; it is fetched once the first picture
//! stands. Code of the first module therefore calls nothing of topology, electrics, isolation or the
//! panels but through the pointers here; the panels call what they like.

use std::collections::BTreeSet;
use std::ops::Deref;

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos::wasm_split::SplitLoaderError;
use sparktrail_core::drawing::{Pick, Point};
use sparktrail_core::model::{Element, PartId, Terminal, WireEnd, WireId};

use crate::canvas::editing::Acts;
use crate::canvas::{ColdMap, HeatMap, Lit, VoltMap};
use crate::edge::keys::{Heed, Press};
use crate::edge::page;
use crate::places::Trouble;
use crate::store::{Base, LeadColour, OpenError, Store, Tab};

/// The style sheets of what the second module shows; they are fetched with it.
const STYLES: &[&str] = &[
    "engine.css",
    "meter.css",
    "cycle.css",
    "findings.css",
    "report.css",
    "walk.css",
    "table.css",
    "editor.css",
];

/// What the second module does for the first.
#[derive(Debug, Clone, Copy)]
pub struct Workshop {
    /// What shines on the map.
    pub lit: fn(Store) -> Option<Lit>,
    /// The voltages that the map shows.
    pub volts: fn(Store) -> Option<VoltMap>,
    /// The cylinders that the broken thing harms, while something is broken.
    pub cold: fn(Store) -> Option<ColdMap>,
    /// How likely each element is the fault.
    pub heat: fn(Store) -> HeatMap,
    /// The elements that the findings cleared.
    pub cleared: fn(Store) -> BTreeSet<Element>,
    /// Where the meter's leads touch.
    pub probes: fn(Store) -> Vec<(LeadColour, Terminal)>,
    /// How many things wait in a view.
    pub waiting: fn(Store, Tab) -> usize,
    /// Makes the whole store, and begins what goes on beside the page: autosave and the reckoning.
    pub begin: fn(Base) -> Store,
    /// Lays down meter and dials, for another document.
    pub lay_down: fn(Store),
    /// Keeps a map that was opened, as the project that it is already or as a new one.
    pub keep_opened: fn(Store),
    /// Keeps what is not kept yet, at any price.
    pub settle: fn(Store),
    /// Reads the list of maps anew.
    pub refresh_list: fn(Store),
    /// Why a map was not opened.
    pub(crate) told: fn(OpenError) -> Trouble,
    /// The map that could not be kept, on the first screen.
    pub left_unsaved: fn(Store) -> AnyView,
    /// The maps of this device, on the first screen.
    pub(crate) projects: fn(Store, RwSignal<Option<Trouble>>, NodeRef<html::Input>) -> AnyView,
    /// Takes a backup in.
    pub(crate) restore: fn(Store, &str) -> Result<(), Trouble>,
    /// The panel beside the map.
    pub panel: fn(Store) -> AnyView,
    /// The questions about an own engine.
    pub engine: fn(Store) -> AnyView,
    /// A hidden fault to find, and short lessons.
    pub practice: fn(Store) -> AnyView,
    /// What hands can do to the map.
    pub acts: Acts,
    /// Parts were moved by hand.
    pub moved: fn(Store, Vec<(PartId, Point)>),
    /// A wire was drawn from a terminal onto something.
    pub joined: fn(Store, Terminal, Pick),
    /// The end of a wire was led onto something, or into the air.
    pub led: fn(Store, WireId, WireEnd, Option<Pick>),
    /// A key was pressed over an open map.
    pub press: fn(Store, &Press) -> Heed,
    /// The buttons and sheets on the map: undo, redo, the editor's.
    pub tools: fn(Store) -> AnyView,
    /// The map as a table or a connector's face, over the drawing, and the switch between them.
    pub forms: fn(Store) -> AnyView,
    /// The map's name and story.
    pub more: fn(Store, RwSignal<bool>) -> AnyView,
    /// The views that the short row of tabs leaves out.
    pub more_views: fn(Store, RwSignal<bool>) -> AnyView,
    /// Opens the map in a link.
    pub open_link: fn(Store, &str),
    /// What stands over the page: what came of a link, the choice of a map to compare with, the report, the keys,
    /// passing messages.
    pub over: fn(Store) -> AnyView,
    /// The ways to send the map on.
    pub share: fn(Store, RwSignal<bool>) -> AnyView,
}

/// The second module, with the whole store that it made.
#[derive(Debug)]
pub struct Here {
    workshop: Workshop,
    /// The store.
    pub store: Store,
}

impl Deref for Here {
    type Target = Workshop;

    fn deref(&self) -> &Workshop {
        &self.workshop
    }
}

/// Whether the second module is here.
#[derive(Debug, Clone, Copy)]
pub enum Came {
    /// It was not sent for.
    NotYet,
    /// It is on its way.
    Coming,
    /// It is here, and stays as long as the page.
    Here(&'static Here),
    /// It did not arrive.
    Failed,
}

impl Came {
    /// The module, if it is here.
    fn here(self) -> Option<&'static Here> {
        match self {
            Self::Here(here) => Some(here),
            Self::NotYet | Self::Coming | Self::Failed => None,
        }
    }
}

/// The second module, here or not, and who owns what it makes.
#[derive(Debug, Clone, Copy)]
pub struct Later {
    came: RwSignal<Came>,
    owner: StoredValue<Option<Owner>>,
}

impl Later {
    /// Not sent for yet. What the module makes belongs to who makes this.
    pub(crate) fn new() -> Self {
        Self {
            came: RwSignal::new(Came::NotYet),
            owner: StoredValue::new(Owner::current()),
        }
    }

    /// How it stands. Tracked.
    #[must_use]
    pub fn came(self) -> Came {
        self.came.get()
    }

    /// The module, once it is here. Tracked.
    #[must_use]
    pub fn here(self) -> Option<&'static Here> {
        self.came.get().here()
    }

    /// The module, if it is here. Not tracked.
    #[must_use]
    pub fn here_now(self) -> Option<&'static Here> {
        self.came.get_untracked().here()
    }

    fn take(self, base: Base, workshop: Workshop) -> &'static Here {
        let store = self.owner.with_value(|owner| match owner {
            Some(owner) => owner.with(|| (workshop.begin)(base)),
            None => (workshop.begin)(base),
        });
        let here: &'static Here = Box::leak(Box::new(Here { workshop, store }));
        self.came.set(Came::Here(here));
        here
    }
}

impl Base {
    /// Sends for the second module, unless it is here or on its way.
    pub fn fetch_later(self) {
        match self.later.came.get_untracked() {
            Came::Coming | Came::Here(_) => return,
            Came::NotYet | Came::Failed => self.later.came.set(Came::Coming),
        }
        spawn_local(async move {
            if self.later_arrived().await.is_none() {
                self.later.came.set(Came::Failed);
            }
        });
    }

    /// The module, waited for; `None` where it does not arrive.
    pub(crate) async fn later_arrived(self) -> Option<&'static Here> {
        page::add_styles(STYLES);
        let workshop = arrive().await.ok()?;
        // It may have come by another way meanwhile.
        let here = self.later.here_now();
        Some(here.unwrap_or_else(|| self.later.take(self, workshop)))
    }

    /// A program in one piece has all of it at once.
    pub(crate) fn take_if_in_one_piece(self) {
        if !cfg!(feature = "parts") {
            page::add_styles(STYLES);
            self.later.take(self, Workshop::new());
        }
    }
}

#[cfg(feature = "parts")]
async fn arrive() -> Result<Workshop, SplitLoaderError> {
    workshop().await
}

/// In one piece there is nothing to wait for.
#[cfg(not(feature = "parts"))]
async fn arrive() -> Result<Workshop, SplitLoaderError> {
    workshop()
}

/// Where the program is cut in two.
#[cfg_attr(
    feature = "parts",
    leptos::wasm_split::wasm_split(workshop, wasm_split_path = leptos::wasm_split, fallible)
)]
fn workshop() -> Result<Workshop, SplitLoaderError> {
    Ok(Workshop::new())
}
