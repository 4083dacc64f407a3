//! What a person does with the page, in a real browser.

mod cases;
mod cycle;
mod early;
mod editor;
mod editor_walk;
mod faults;
mod findings;
mod german;
mod ground;
mod harness;
mod meter;
mod offline;
mod open_to_all;
mod own_engine;
mod owner;
mod practice;
mod report;
mod rescue;
mod suspects;
mod table;
mod trace;
mod walks;
mod windows;
mod wiring;
