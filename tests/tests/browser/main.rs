//! What a person does with the page, in a real browser.

mod harness;
mod meter;
