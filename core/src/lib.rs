//! The core of Sparktrail: an ignition harness as a graph, what should be read on it, and what could be wrong.
//!
//! It has no input or output, no clock, no randomness of its own, and knows no browser.
#![warn(missing_docs)]

// The macros of `said` name the core as others do.
extern crate self as sparktrail_core;

pub mod compare;
pub mod copper;
pub mod cycle;
pub mod drawing;
pub mod edit;
pub mod electrics;
pub mod engine;
pub mod faults;
pub mod gather;
pub mod isolation;
pub mod model;
pub mod practice;
pub mod provenance;
pub mod report;
pub mod said;
pub mod share;
pub mod table;
pub mod topology;
pub mod trace;
pub mod units;
pub mod walkthrough;
