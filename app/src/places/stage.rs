//! The map with what lights and chills it, and the buttons that take changes back.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::drawing::{Drawing, Proportions};
use sparktrail_core::electrics::Potential;
use sparktrail_core::model::{BatteryLink, Element, Harness, Port, Terminal, WireEnd, Works};
use sparktrail_core::topology::{Pick, Topology};

use super::words::{job as words, meter as meter_words};
use crate::canvas::{Camera, Cold, ColdMap, HeatMap, Level, Lit, MapView, VoltMap, VoltMark};
use crate::edge::page;
use crate::store::{LeadColour, Picture, Reckoned, Store, Tab, Verdict, cylinders_said};
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
    let volts = Memo::new(move |_| volts(store));
    let heat = Memo::new(move |_| heat(store));
    let cleared = Memo::new(move |_| cleared(store));
    let probes = Memo::new(move |_| probes(store));
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
            heat
            cleared
            volts
            probes
            shape
        />
        <ChangeTools store />
    }
    .into_any()
}

/// The cylinders that the broken thing harms; while nothing is broken, those that were found dead.
fn cold(store: Store) -> ColdMap {
    store.derived.effect.with(|effect| {
        let Some(effect) = effect else {
            return found_dead(store);
        };
        let dead = effect.dead.iter().map(|v| (v.cylinder, Cold::Dead));
        let doubtful = effect.doubtful.iter().map(|v| (v.cylinder, Cold::Doubtful));
        dead.chain(doubtful).collect()
    })
}

fn found_dead(store: Store) -> ColdMap {
    let said = store
        .harness
        .with(|harness| cylinders_said(&harness.findings));
    said.into_iter()
        .filter_map(|(cylinder, works)| match works {
            Works::Dead => Some((cylinder, Cold::Dead)),
            Works::Sometimes => Some((cylinder, Cold::Doubtful)),
            Works::Alive => None,
        })
        .collect()
}

/// What the findings say, on the views that are about it.
fn verdict(store: Store) -> Option<Arc<Verdict>> {
    match store.session.tab.get() {
        Tab::Map | Tab::Findings | Tab::Suspects | Tab::Next => {}
        Tab::WhatIf | Tab::Meter | Tab::Shared | Tab::Check => return None,
    }
    match store.isolation.reckoned.get() {
        Reckoned::Known(verdict) => Some(verdict),
        Reckoned::Soon | Reckoned::NoCase(_) | Reckoned::NothingFits => None,
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

/// What shines: what a panel points at, else the trail of what is pointed at, selected or broken.
fn lit(store: Store) -> Option<Lit> {
    let session = store.session;
    let harness = store.harness.get();
    store.derived.topology.with(|topology| {
        if let Some(picks) = session.lit.get() {
            return Some(light_of(&harness, topology, &picks));
        }
        if session.tab.get() == Tab::Meter && session.hovered.get().is_none() {
            // With a lead in hand everything can be touched; else what lies between the leads shines.
            // The voltages are of the whole map.
            let whole = store.meter.picture.get() == Picture::Shown;
            if whole || store.meter.in_hand.get().is_some() {
                return None;
            }
            if let Some(way) = store.meter.way(&harness) {
                return Some(Lit::only(way));
            }
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

/// The voltages that the meter's place asks the map to show.
fn volts(store: Store) -> Option<VoltMap> {
    let meter = store.meter;
    let live = || {
        meter
            .setup
            .with(|setup| setup.battery == BatteryLink::Connected)
    };
    if store.session.tab.get() != Tab::Meter || meter.picture.get() == Picture::Hidden || !live() {
        return None;
    }
    let harness = store.harness.get();
    let most = meter.most_volts.get();
    meter.potentials.with(|potentials| {
        let mut found: VoltMap = potentials
            .iter()
            .map(|(&terminal, &potential)| (Pick::Terminal(terminal), mark(&[potential], most)))
            .collect();
        let mut between = |pick, ends: [Option<Terminal>; 2]| {
            let ends: Vec<Potential> = ends
                .iter()
                .flatten()
                .filter_map(|end| potentials.get(end).copied())
                .collect();
            if !ends.is_empty() {
                found.insert(pick, mark(&ends, most));
            }
        };
        for (&id, wire) in &harness.wires {
            let ends = WireEnd::BOTH.map(|end| wire.end(end).map(|fact| fact.value));
            between(Pick::Wire(id), ends);
        }
        for &part in harness.parts.keys() {
            if harness.lead(part).is_some() {
                let ends = [Port::LeadFrom, Port::LeadTo].map(|port| Some(Terminal { part, port }));
                between(Pick::Part(part), ends);
            }
        }
        Some(found)
    })
}

/// The colour and the number of something that stands at these potentials.
fn mark(ends: &[Potential], most: f64) -> VoltMark {
    let volts: Vec<f64> = ends
        .iter()
        .filter_map(|end| match end {
            Potential::At(volts) => Some(volts.get()),
            Potential::Floats => None,
        })
        .collect();
    let (Some(first), Some(last)) = (volts.first(), volts.last()) else {
        return VoltMark {
            level: Level::Floats,
            words: meter_words::FLOATING.into(),
        };
    };
    VoltMark {
        level: Level::of(f64::midpoint(*first, *last), most),
        words: if volts.len() < ends.len() {
            meter_words::half_floating(*first)
        } else {
            meter_words::ends(*first, *last)
        },
    }
}

/// Where the meter's leads touch, on the meter's place.
fn probes(store: Store) -> Vec<(LeadColour, Terminal)> {
    if store.session.tab.get() != Tab::Meter {
        return Vec::new();
    }
    LeadColour::BOTH
        .into_iter()
        .filter_map(|lead| Some((lead, store.meter.at(lead)?)))
        .collect()
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
