//! The map with what lights and chills it.

use std::collections::BTreeSet;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::drawing::{Drawing, Ways};
use sparktrail_core::edit::drawn_alike;
use sparktrail_core::model::Harness;

use crate::canvas::{Camera, Cold, Foot, Hand, HeatMap, MapView, likely_shape};
use crate::edge::early::{self, Before, Stands};
use crate::edge::{page, timer};
use crate::store::{Base, Tab};

/// The mark that timing reads: the first map has been painted, were it as a picture.
const FIRST_MAP: &str = "first-map";
/// The mark that timing reads: the map has been painted that answers a finger.
const ANSWERS: &str = "first-map-answers";

/// A map of more parts and wires is drawn once the page around it stands, and put on the page after that.
const LARGE: usize = 300;

/// The map and the buttons that stand on it.
#[component]
pub(super) fn Stage(base: Base) -> impl IntoView {
    let session = base.session;
    let shape = RwSignal::new(likely_shape());
    let camera = RwSignal::new(Camera::default());
    let beside = session.beside;
    // While two maps are compared, both are on one sheet.
    let shown = Memo::new_with_compare(
        move |_| match beside.get() {
            Some(beside) => Arc::clone(&beside.both),
            None => base.harness.get(),
        },
        |old, new| match (old, new) {
            (Some(old), Some(new)) => !Arc::ptr_eq(old, new),
            (None, _) | (_, None) => true,
        },
    );
    let told = Signal::derive(move || match beside.get() {
        Some(beside) => Arc::clone(&beside.both),
        None => base.told.get(),
    });
    let marks = Signal::derive(move || {
        beside.with(|beside| beside.as_ref().map_or_else(Vec::new, |b| b.marks.clone()))
    });
    // What is found on a map draws no other one.
    let laid_out = Memo::new_with_compare(
        move |_| shown.get(),
        |old, new| match (old, new) {
            (Some(old), Some(new)) => !drawn_alike(old, new),
            (None, _) | (_, None) => true,
        },
    );
    // What one drawing found out makes the next one quicker.
    let ways = StoredValue::new(Ways::default());
    let drawing = Memo::new(move |before: Option<&Arc<Drawing>>| {
        let shape = shape.get();
        // To take a large drawing apart can wait until the next one was painted.
        if let Some(before) = before.cloned() {
            page::after_painting(move || drop(before));
        }
        let ways = &mut *ways.write_value();
        laid_out.with(|harness| Arc::new(Drawing::again(harness, shape, ways)))
    });
    let here = move || base.later.here();
    let cold = Memo::new(move |_| {
        let harmed = here().and_then(|here| (here.cold)(here.store));
        harmed.unwrap_or_else(|| base.harness.with(|harness| Cold::found(harness)))
    });
    let lit = Memo::new(move |_| here().and_then(|here| (here.lit)(here.store)));
    let volts = Memo::new(move |_| here().and_then(|here| (here.volts)(here.store)));
    let heat = Memo::new(move |_| here().map_or_else(HeatMap::new, |here| (here.heat)(here.store)));
    let cleared =
        Memo::new(move |_| here().map_or_else(BTreeSet::new, |here| (here.cleared)(here.store)));
    let probes = Memo::new(move |_| here().map_or_else(Vec::new, |here| (here.probes)(here.store)));
    let near = Signal::derive(move || session.walking.get() && session.tab.get() == Tab::Next);
    // Beside a panel on a narrow screen no buttons stand on the map (layout.css).
    let foot = Signal::derive(move || {
        if session.tab.get() == Tab::Map || page::is_wide() {
            Foot::Buttons
        } else {
            Foot::Bare
        }
    });
    let hand = hand(base);
    let is_large = |harness: &Arc<Harness>| harness.parts.len() + harness.wires.len() > LARGE;
    let begins = RwSignal::new(!shown.with_untracked(is_large));
    if !begins.get_untracked() {
        timer::soon(move || {
            if drawing.try_with_untracked(|_| ()).is_some() {
                timer::soon(move || {
                    begins.try_set(true);
                });
            }
        });
    }
    let whole = RwSignal::new(false);
    // What comes later is sent for only now: until the map stands, the line is the map's.
    Effect::new(move |_| {
        if !whole.get() {
            return;
        }
        let answers = move || {
            page::mark(ANSWERS);
            base.fetch_later();
        };
        page::after_painting(move || match early::tell(Stands::Map) {
            Before::Picture => page::after_painting(answers),
            Before::Nothing => {
                page::mark(FIRST_MAP);
                answers();
            }
        });
    });
    let map = move || {
        view! {
            <MapView
                harness=shown
                told
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
                near
                marks
                shape
                foot
                whole
            />
        }
        .into_any()
    };
    view! {
        {move || begins.get().then(map)}
        {move || here().map(|here| (here.tools)(here.store))}
    }
    .into_any()
}

/// What happens when the map is changed by hand: all of it in the program's second part.
fn hand(base: Base) -> Hand {
    Hand {
        editor: base.editor,
        acts: Signal::derive(move || base.later.here().map(|here| here.acts)),
        moved: Callback::new(move |places| {
            if let Some(here) = base.later.here_now() {
                (here.moved)(here.store, places);
            }
        }),
        joined: Callback::new(move |(from, pick)| {
            if let Some(here) = base.later.here_now() {
                (here.joined)(here.store, from, pick);
            }
        }),
        led: Callback::new(move |(wire, end, pick)| {
            if let Some(here) = base.later.here_now() {
                (here.led)(here.store, wire, end, pick);
            }
        }),
    }
}
