//! The map with what lights and chills it, and the buttons that take changes back.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::drawing::{Drawing, Proportions};
use sparktrail_core::model::{Element, Harness};
use sparktrail_core::topology::{Pick, Topology};

use super::words::job as words;
use crate::canvas::{Camera, Cold, ColdMap, Lit, MapView};
use crate::edge::page;
use crate::store::Store;
use crate::ui::{Icon, IconButton};

/// The mark that timing reads: the first map has been painted.
const FIRST_MAP: &str = "first-map";

/// The map and the buttons that stand on it.
#[component]
pub(super) fn Stage(store: Store) -> impl IntoView {
    let session = store.session;
    let shape = RwSignal::new(Proportions::Wide);
    let camera = RwSignal::new(Camera::default());
    let drawing = Memo::new(move |_| {
        let shape = shape.get();
        store
            .harness
            .with(|harness| Arc::new(Drawing::proportioned(harness, shape)))
    });
    let cold = Memo::new(move |_| cold(store));
    let lit = Memo::new(move |_| lit(store));
    Effect::new(move |_| page::mark_when_painted(FIRST_MAP));
    view! {
        <MapView
            harness=store.harness
            drawing
            selected=session.picked
            hovered=session.hovered
            camera
            cold
            lit
            shape
        />
        <ChangeTools store />
    }
    .into_any()
}

/// The cylinders that the broken thing harms.
fn cold(store: Store) -> ColdMap {
    store.derived.effect.with(|effect| {
        let Some(effect) = effect else {
            return ColdMap::new();
        };
        let dead = effect.dead.iter().map(|v| (v.cylinder, Cold::Dead));
        let doubtful = effect.doubtful.iter().map(|v| (v.cylinder, Cold::Doubtful));
        dead.chain(doubtful).collect()
    })
}

/// What shines: what a panel points at, else the trail of what is pointed at, selected or broken.
fn lit(store: Store) -> Option<Lit> {
    let session = store.session;
    let harness = store.harness.get();
    store.derived.topology.with(|topology| {
        if let Some(picks) = session.lit.get() {
            return Some(light_of(&harness, topology, &picks));
        }
        let broken = || {
            session
                .broken
                .get()
                .map(|fault| Pick::Element(fault.element))
        };
        let pick = session
            .hovered
            .get()
            .or_else(|| session.picked.get())
            .or_else(broken)?;
        Some(Lit::of(&topology.trail(&harness, pick), &harness))
    })
}

/// The light of several things at once. One thing lights its whole trail; of a stretch only itself
/// and its cylinders shine, for its trail would be most of the map.
fn light_of(harness: &Harness, topology: &Topology, picks: &[Pick]) -> Lit {
    if let [one] = picks {
        return Lit::of(&topology.trail(harness, *one), harness);
    }
    let mut own = BTreeSet::new();
    for &pick in picks {
        own.insert(pick);
        if let Pick::Element(element) = pick {
            own.extend(topology.dependents(element).into_iter().map(Pick::Cylinder));
            own.extend(harness.part_of(element).map(Pick::Part));
            if let Element::Wire(wire) | Element::Joint(wire, _) = element {
                own.insert(Pick::Wire(wire));
            }
        }
    }
    Lit::only(own)
}

/// Undo and redo.
#[component]
fn ChangeTools(store: Store) -> impl IntoView {
    let undo_name = Signal::derive(move || {
        store.undoes().map_or_else(
            || words::UNDO.to_owned(),
            |command| words::undo(words::change(&command)),
        )
    });
    let redo_name = Signal::derive(move || {
        store.redoes().map_or_else(
            || words::REDO.to_owned(),
            |command| words::redo(words::change(&command)),
        )
    });
    view! {
        <div class="tools" role="toolbar" aria-label=words::TOOLS>
            <IconButton
                icon=Icon::Undo
                name=undo_name
                act=Callback::new(move |()| store.undo())
                disabled=Signal::derive(move || store.undoes().is_none())
            />
            <IconButton
                icon=Icon::Redo
                name=redo_name
                act=Callback::new(move |()| store.redo())
                disabled=Signal::derive(move || store.redoes().is_none())
            />
        </div>
    }
    .into_any()
}
