//! The prose of the places: nowhere else in them stands a sentence.

pub mod check;
pub mod closing;
pub mod compare;
pub mod cycle;
pub mod editor;
pub mod engine;
pub mod facts;
pub mod faults;
pub mod findings;
pub mod job;
pub mod keys;
pub mod lessons;
pub mod meter;
pub mod next;
pub mod nominals;
pub mod offline;
pub mod practice;
pub mod report;
pub mod share;
pub mod shared;
pub mod start;
pub mod suspects;
pub mod table;
pub mod trace;
pub mod trouble;
pub mod walk;
