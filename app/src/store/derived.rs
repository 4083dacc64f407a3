//! What follows from the document: never stored, worked out when asked for.

use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::faults::{Effect, effect};
use sparktrail_core::model::{Harness, MapFinding, check};
use sparktrail_core::topology::Topology;

use super::Session;

/// The memos that follow from document and session.
#[derive(Debug, Clone, Copy)]
pub struct Derived {
    /// The graph.
    pub topology: Memo<Arc<Topology>>,
    /// What is unfinished or wrong in the map.
    pub findings: Memo<Vec<MapFinding>>,
    /// What the broken thing does, while something is broken.
    pub effect: Memo<Option<Effect>>,
}

impl Derived {
    pub(super) fn new(harness: Memo<Arc<Harness>>, session: Session) -> Self {
        let topology = Memo::new_with_compare(
            move |_| harness.with(|harness| Arc::new(Topology::of(harness))),
            |_, _| true,
        );
        Self {
            topology,
            effect: Memo::new(move |_| {
                let fault = session.broken.get()?;
                let topology = topology.get();
                Some(harness.with(|harness| effect(harness, &topology, fault)))
            }),
            findings: Memo::new(move |_| harness.with(|harness| check(harness))),
        }
    }
}
