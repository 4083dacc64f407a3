//! What shines on the map, what chills and heats it, and the voltages that it shows.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::electrics::Potential;
use sparktrail_core::model::{BatteryLink, CaseState, Element, Harness, Port, Terminal, WireEnd};
use sparktrail_core::topology::{Pick, Topology};

use super::words::meter as meter_words;
use crate::canvas::{Cold, ColdMap, HeatMap, Level, Lit, VoltMap, VoltMark};
use crate::store::{LeadColour, Picture, Reckoned, Store, Tab, Verdict};
use sparktrail_core::gather::Gather;

/// What shines: what a panel points at, else the trail of what is pointed at, selected or broken.
pub(crate) fn lit(store: Store) -> Option<Lit> {
    let session = store.session;
    if session.tab.get() == Tab::Map && session.beside.with(Option::is_some) {
        return session.lit.get().map(Lit::only);
    }
    let harness = store.derived.wired.get();
    // The graph is made when something shines, not before the map is seen.
    let on_graph = |light: &dyn Fn(&Topology) -> Lit| {
        let topology = store.derived.topology;
        topology.with(|topology| topology.as_deref().map(light))
    };
    if let Some(picks) = session.lit.get() {
        return on_graph(&|topology| light_of(&harness, topology, &picks));
    }
    if session.tab.get() == Tab::Cycle && session.hovered.get().is_none() {
        // While a spark is shown, the way of its current.
        if let Some(way) = store.cycle.way.get() {
            return Some(Lit::only(way));
        }
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
        let fault = session.broken.get()?;
        Some(Pick::Element(fault.element))
    };
    let pick = session
        .hovered
        .get()
        .or_else(|| session.picked.get())
        .or_else(broken)?;
    on_graph(&|topology| Lit::of(&topology.trail(&harness, pick), &harness))
}

/// The cylinders that the broken thing harms, while something is broken.
pub(crate) fn cold(store: Store) -> Option<ColdMap> {
    store.derived.effect.with(|effect| {
        let effect = effect.as_ref()?;
        let dead = effect.dead.iter().map(|v| (v.cylinder, Cold::Dead));
        let doubtful = effect.doubtful.iter().map(|v| (v.cylinder, Cold::Doubtful));
        Some(dead.chain(doubtful).gather())
    })
}

/// What the findings say, on the views that are about it.
fn verdict(store: Store) -> Option<Arc<Verdict>> {
    // Differences and suspicions on one map would hide each other.
    if store.session.beside.with(Option::is_some) {
        return None;
    }
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
pub(crate) fn heat(store: Store) -> HeatMap {
    verdict(store).map_or_else(HeatMap::new, |verdict| verdict.heat.clone())
}

/// The elements that the findings cleared.
pub(crate) fn cleared(store: Store) -> BTreeSet<Element> {
    verdict(store).map_or_else(BTreeSet::new, |verdict| verdict.good.clone())
}

/// Where the meter’s leads touch, on the meter’s place; on a walk, where its step puts them.
pub(crate) fn probes(store: Store) -> Vec<(LeadColour, Terminal)> {
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

/// The voltages that the meter's place asks the map to show.
pub(crate) fn volts(store: Store) -> Option<VoltMap> {
    let meter = store.meter;
    let live = || {
        meter
            .setup
            .with(|setup| setup.battery == BatteryLink::Connected)
    };
    if store.session.tab.get() != Tab::Meter || meter.picture.get() == Picture::Hidden || !live() {
        return None;
    }
    let harness = store.told.get();
    let most = meter.most_volts.get();
    meter.potentials.with(|potentials| {
        let potentials = potentials.as_deref()?;
        let mut found: VoltMap = potentials
            .iter()
            .map(|(&terminal, &potential)| (Pick::Terminal(terminal), mark(&[potential], most)))
            .gather();
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
