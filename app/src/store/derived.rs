//! What follows from the document: never stored, worked out when asked for.

use std::sync::Arc;

use leptos::prelude::*;
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
}

impl Derived {
    pub(super) fn new(harness: Memo<Arc<Harness>>, _session: Session) -> Self {
        Self {
            topology: Memo::new_with_compare(
                move |_| harness.with(|harness| Arc::new(Topology::of(harness))),
                |_, _| true,
            ),
            findings: Memo::new(move |_| harness.with(|harness| check(harness))),
        }
    }
}
