//! The graph of a harness: what conducts where, trails, shared paths, what a cut separates.

mod network;

pub use network::{Branch, BranchKind, Network, Node};
