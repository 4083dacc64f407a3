//! What follows from the document: never stored, worked out when asked for.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::edit::wired_alike;
use sparktrail_core::faults::{Effect, RefinedEffect, refined};
use sparktrail_core::model::{Element, Harness, MapFinding, check_record, check_wiring};
use sparktrail_core::topology::{Pick, Topology};

use super::Session;

/// The memos that follow from document and session.
#[derive(Debug, Clone, Copy)]
pub struct Derived {
    /// The document as it was when last anything but what was found and where parts are drawn changed.
    pub wired: Memo<Arc<Harness>>,
    /// The graph; it is always there.
    pub topology: Memo<Option<Arc<Topology>>>,
    /// What is unfinished or wrong in the map.
    pub findings: Memo<Vec<MapFinding>>,
    /// What the broken thing does, while something is broken: each cylinder with its spark at idle.
    pub refined: Memo<Option<Arc<RefinedEffect>>>,
    /// The same as lists of cylinders.
    pub effect: Memo<Option<Effect>>,
}

impl Derived {
    /// `told` changes with anything but where parts are drawn.
    pub(super) fn new(told: Memo<Arc<Harness>>, session: Session) -> Self {
        let wired = Memo::new_with_compare(
            move |_| told.get(),
            |old, new| match (old, new) {
                (Some(old), Some(new)) => !wired_alike(old, new),
                (None, _) | (_, None) => true,
            },
        );
        let topology = Memo::new_with_compare(
            move |_| Some(wired.with(|harness| Arc::new(Topology::of(harness)))),
            |_, _| true,
        );
        let refined = Memo::new_with_compare(
            move |_| {
                let fault = session.broken.get()?;
                let topology = topology.get()?;
                Some(wired.with(|harness| Arc::new(refined(harness, &topology, fault))))
            },
            |_, _| true,
        );
        let wiring = Memo::new(move |_| wired.with(|harness| check_wiring(harness)));
        let findings = Memo::new(move |_| {
            let record = told.with(|harness| check_record(harness));
            let mut found = wiring.get();
            found.extend(record);
            found
        });
        Self {
            wired,
            topology,
            refined,
            effect: Memo::new(move |_| {
                refined.with(|refined| refined.as_ref().map(|refined| refined.effect.clone()))
            }),
            findings,
        }
    }

    /// The elements that can fail at a place on the map. Tracked.
    #[must_use]
    pub fn elements_at(self, harness: &Harness, pick: Pick) -> Vec<Element> {
        self.topology.with(|topology| {
            let found = topology
                .as_ref()
                .map(|topology| topology.elements_at(harness, pick));
            found.into_iter().flatten().collect()
        })
    }
}
