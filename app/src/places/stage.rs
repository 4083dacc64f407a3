//! The map with what lights and chills it.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::drawing::{Drawing, Proportions};
use sparktrail_core::model::{CaseState, Element, Terminal, Works};

use crate::canvas::{Camera, Cold, ColdMap, Hand, HeatMap, MapView};
use crate::edge::page;
use crate::store::{LeadColour, Reckoned, Store, Tab, Verdict, cylinders_said};
use sparktrail_core::gather::Gather;

/// The mark that timing reads: the first map has been painted.
const FIRST_MAP: &str = "first-map";

/// The map and the buttons that stand on it.
#[component]
pub(super) fn Stage(store: Store) -> impl IntoView {
    let session = store.session;
    let shape = RwSignal::new(Proportions::Wide);
    let camera = RwSignal::new(Camera::default());
    let beside = session.beside;
    // While two maps are compared, both are on one sheet.
    let shown = Memo::new_with_compare(
        move |_| match beside.get() {
            Some(beside) => Arc::clone(&beside.both),
            None => store.harness.get(),
        },
        |old, new| match (old, new) {
            (Some(old), Some(new)) => !Arc::ptr_eq(old, new),
            (None, _) | (_, None) => true,
        },
    );
    let marks = Signal::derive(move || {
        beside.with(|beside| beside.as_ref().map_or_else(Vec::new, |b| b.marks.clone()))
    });
    let drawing = Memo::new(move |_| {
        let shape = shape.get();
        shown.with(|harness| Arc::new(Drawing::proportioned(harness, shape)))
    });
    let cold = Memo::new(move |_| cold(store));
    let lit = Memo::new(move |_| store.later.here().and_then(|here| (here.lit)(store)));
    let volts = Memo::new(move |_| store.later.here().and_then(|here| (here.volts)(store)));
    // Differences and suspicions on one map would hide each other.
    let compared = move || beside.with(Option::is_some);
    let heat = Memo::new(move |_| {
        if compared() {
            HeatMap::new()
        } else {
            heat(store)
        }
    });
    let cleared = Memo::new(move |_| {
        if compared() {
            BTreeSet::new()
        } else {
            cleared(store)
        }
    });
    let probes = Memo::new(move |_| probes(store));
    let hand = hand(store);
    // What comes later is sent for only now: until the map stands, the line is the map's.
    Effect::new(move |_| {
        page::after_painting(move || {
            page::mark(FIRST_MAP);
            store.later.fetch();
        });
    });
    view! {
        <MapView
            harness=shown
            drawing
            hand
            selected=session.picked
            hovered=session.hovered
            camera
            cold
            lit
            heat
            cleared
            volts
            probes
            marks
            shape
        />
        {move || store.later.here().map(|here| (here.tools)(store))}
    }
    .into_any()
}

/// What happens when the map is changed by hand: all of it in the program's second part.
fn hand(store: Store) -> Hand {
    Hand {
        editor: store.editor,
        acts: Signal::derive(move || store.later.here().map(|here| here.acts)),
        moved: Callback::new(move |places| {
            if let Some(here) = store.later.here_now() {
                (here.moved)(store, places);
            }
        }),
        joined: Callback::new(move |(from, pick)| {
            if let Some(here) = store.later.here_now() {
                (here.joined)(store, from, pick);
            }
        }),
        led: Callback::new(move |(wire, end, pick)| {
            if let Some(here) = store.later.here_now() {
                (here.led)(store, wire, end, pick);
            }
        }),
    }
}

/// The cylinders that the broken thing harms; while nothing is broken, those that were found dead.
fn cold(store: Store) -> ColdMap {
    store.derived.effect.with(|effect| {
        let Some(effect) = effect else {
            return found_dead(store);
        };
        let dead = effect.dead.iter().map(|v| (v.cylinder, Cold::Dead));
        let doubtful = effect.doubtful.iter().map(|v| (v.cylinder, Cold::Doubtful));
        dead.chain(doubtful).gather()
    })
}

fn found_dead(store: Store) -> ColdMap {
    let said = store
        .harness
        .with(|harness| cylinders_said(harness.findings_now()));
    said.into_iter()
        .filter_map(|(cylinder, works)| match works {
            Works::Dead => Some((cylinder, Cold::Dead)),
            Works::Sometimes => Some((cylinder, Cold::Doubtful)),
            Works::Alive => None,
        })
        .gather()
}

/// What the findings say, on the views that are about it.
fn verdict(store: Store) -> Option<Arc<Verdict>> {
    match store.session.tab.get() {
        Tab::Map | Tab::Findings | Tab::Suspects | Tab::Next => {}
        Tab::WhatIf | Tab::Meter | Tab::Cycle | Tab::Shared | Tab::Check | Tab::Trace => {
            return None;
        }
    }
    // A mended car has no suspects.
    if store
        .harness
        .with(|harness| harness.case_state() != CaseState::Open)
    {
        return None;
    }
    match store.isolation.reckoned.get() {
        Reckoned::Known(verdict) => Some(verdict),
        Reckoned::Soon | Reckoned::NoCase(_) | Reckoned::NothingFits(_) => None,
    }
}

/// How likely each element is the fault.
fn heat(store: Store) -> HeatMap {
    verdict(store).map_or_else(HeatMap::new, |verdict| verdict.heat.clone())
}

/// The elements that the findings cleared.
fn cleared(store: Store) -> BTreeSet<Element> {
    verdict(store).map_or_else(BTreeSet::new, |verdict| verdict.good.clone())
}

/// Where the meter’s leads touch, on the meter’s place; on a walk, where its step puts them.
fn probes(store: Store) -> Vec<(LeadColour, Terminal)> {
    let tab = store.session.tab.get();
    if tab == Tab::Next && store.session.walking.get() {
        return store.session.leads.get();
    }
    if tab != Tab::Meter {
        return Vec::new();
    }
    LeadColour::BOTH
        .into_iter()
        .filter_map(|lead| Some((lead, store.meter.at(lead)?)))
        .collect()
}
