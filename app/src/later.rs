//! The part of the program that comes after the first map: the arithmetic and the panels.
//!
//! Published, the program is two modules. The first holds what opens and draws a map. The second
//! holds everything that is reached only through [`Workshop`]; it is fetched once the first picture
//! stands. Code of the first module therefore calls nothing of topology, electrics, isolation or the
//! panels but through the pointers here; the panels call what they like.

use std::collections::BTreeMap;

use std::sync::Arc;

use leptos::html;
use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos::wasm_split::SplitLoaderError;
use sparktrail_core::drawing::Point;
use sparktrail_core::electrics::{Circuit, Potential, Reading, ReadingError, Solution};
use sparktrail_core::faults::{Fault, RefinedEffect};
use sparktrail_core::model::{Harness, MapFinding, PartId, Setup, Terminal, WireEnd, WireId};
use sparktrail_core::topology::{Pick, Topology};

use crate::canvas::editing::Acts;
use crate::canvas::{Lit, VoltMap};
use crate::edge::keys::{Heed, Press};
use crate::places::Trouble;
use crate::store::Store;

/// What the second module does for the first.
#[derive(Debug, Clone, Copy)]
pub struct Workshop {
    /// The graph of a map.
    pub topology: fn(&Harness) -> Topology,
    /// What is unfinished or wrong in a map.
    pub check: fn(&Harness) -> Vec<MapFinding>,
    /// What a fault does.
    pub effect: fn(&Harness, &Topology, Fault) -> RefinedEffect,
    /// The circuit of a map.
    pub circuit: fn(&Harness) -> Circuit,
    /// The circuit in a setup, with a fault or none.
    pub solution: fn(&Harness, &Arc<Circuit>, &Setup, Option<Fault>) -> Solution,
    /// What a meter shows.
    pub reading: fn(&Solution, Terminal, Terminal) -> Result<Reading, ReadingError>,
    /// Where every terminal stands.
    pub picture: fn(&Solution) -> BTreeMap<Terminal, Potential>,
    /// What shines on the map.
    pub lit: fn(Store) -> Option<Lit>,
    /// The voltages that the map shows.
    pub volts: fn(Store) -> Option<VoltMap>,
    /// Begins what goes on beside the page: autosave and the reckoning.
    pub begin: fn(Store),
    /// The maps of this device, on the first screen.
    pub(crate) projects: fn(Store, RwSignal<Option<Trouble>>, NodeRef<html::Input>) -> AnyView,
    /// Takes a backup in.
    pub(crate) restore: fn(Store, &str) -> Result<(), Trouble>,
    /// The panel beside the map.
    pub panel: fn(Store) -> AnyView,
    /// The questions about an own engine.
    pub engine: fn(Store) -> AnyView,
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
    /// Opens the map in a link.
    pub open_link: fn(Store, &str),
    /// What stands over the page: what came of a link, the choice of a map to compare with, the report, the keys.
    pub over: fn(Store) -> AnyView,
    /// The ways to send the map on.
    pub share: fn(Store, RwSignal<bool>) -> AnyView,
}

/// Whether the second module is here.
#[derive(Debug, Clone, Copy)]
pub enum Came {
    /// It was not sent for.
    NotYet,
    /// It is on its way.
    Coming,
    /// It is here.
    Here(&'static Workshop),
    /// It did not arrive.
    Failed,
}

impl Came {
    /// The module, if it is here.
    fn here(self) -> Option<Workshop> {
        match self {
            Self::Here(workshop) => Some(*workshop),
            Self::NotYet | Self::Coming | Self::Failed => None,
        }
    }
}

/// The second module, here or not.
#[derive(Debug, Clone, Copy)]
pub struct Later(RwSignal<Came>);

impl Later {
    /// Not sent for yet; a program in one piece has it at once.
    pub(crate) fn new() -> Self {
        Self(RwSignal::new(if cfg!(feature = "parts") {
            Came::NotYet
        } else {
            Came::Here(kept(Workshop::new()))
        }))
    }

    /// How it stands. Tracked.
    #[must_use]
    pub fn came(self) -> Came {
        self.0.get()
    }

    /// The module, once it is here. Tracked.
    #[must_use]
    pub fn here(self) -> Option<Workshop> {
        self.0.get().here()
    }

    /// The module, if it is here. Not tracked.
    #[must_use]
    pub fn here_now(self) -> Option<Workshop> {
        self.0.get_untracked().here()
    }

    /// Sends for it, unless it is here or on its way.
    pub fn fetch(self) {
        match self.0.get_untracked() {
            Came::Coming | Came::Here(_) => return,
            Came::NotYet | Came::Failed => self.0.set(Came::Coming),
        }
        spawn_local(async move {
            self.0.set(match arrive().await {
                Ok(workshop) => Came::Here(kept(workshop)),
                Err(_) => Came::Failed,
            });
        });
    }

    /// The module, waited for; `None` where it does not arrive.
    pub(crate) async fn arrived(self) -> Option<Workshop> {
        if let Some(workshop) = self.here_now() {
            return Some(workshop);
        }
        let workshop = arrive().await.ok()?;
        self.0.set(Came::Here(kept(workshop)));
        Some(workshop)
    }
}

/// The module stays as long as the page.
fn kept(workshop: Workshop) -> &'static Workshop {
    Box::leak(Box::new(workshop))
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
