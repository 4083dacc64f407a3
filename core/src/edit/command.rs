//! The ways in which a harness may be changed.

use std::sync::Arc;

use super::FactAt;
use crate::engine::CylinderId;
use crate::model::{
    FaultThen, FindingId, Harness, PartId, Seen, Setup, Standing, Timestamp, Works,
};
use crate::provenance::{Fact, Provenance};

/// One change to a harness. Each is undone as a whole.
#[derive(Debug, Clone, PartialEq)]
pub enum Command {
    /// Another name for the whole map.
    Rename(String),
    /// Another text about the map.
    SetAbout(String),
    /// Another name for a part.
    RenamePart {
        /// The part.
        part: PartId,
        /// Its new name.
        name: String,
    },
    /// How a fact is known.
    SetProvenance {
        /// The fact.
        at: FactAt,
        /// How it is known from now on.
        how: Provenance,
    },
    /// Another number for a part or wire, or none: nobody knows it any more.
    SetNominal {
        /// The fact.
        at: FactAt,
        /// The number, in the unit of its quantity's range, and how it is known.
        value: Option<Fact<f64>>,
    },
    /// Whether a cylinder works; what was said before of the same cylinder is taken back.
    Mark {
        /// The cylinder.
        cylinder: CylinderId,
        /// Whether it works.
        works: Works,
        /// When this was seen.
        at: Option<Timestamp>,
    },
    /// Whether each of several cylinders works, as [`Command::Mark`] says it of one.
    MarkAll {
        /// The cylinders with what is said of each.
        marks: Vec<(CylinderId, Works)>,
        /// When this was seen.
        at: Option<Timestamp>,
    },
    /// Nothing is known any more of whether a cylinder works.
    Unmark(CylinderId),
    /// Something was seen or measured.
    AddFinding {
        /// What.
        seen: Seen,
        /// How the car stood.
        setup: Option<Setup>,
        /// Whether the fault showed.
        fault_then: FaultThen,
        /// When.
        at: Option<Timestamp>,
        /// Anything else.
        note: String,
    },
    /// A finding counts, or no longer counts.
    SetStanding {
        /// The finding.
        finding: FindingId,
        /// Whether it counts.
        standing: Standing,
    },
    /// Whether the fault showed when a finding was made.
    SetFaultThen {
        /// The finding.
        finding: FindingId,
        /// Whether it showed.
        fault_then: FaultThen,
    },
    /// Another harness altogether in place of this one.
    Replace(Arc<Harness>),
}
