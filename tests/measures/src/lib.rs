//! How long the core takes, natively and in a browser: the rows of `cargo xtask measure`.
//!
//! Each floor has a module here with one function that returns its rows. To add a floor, write
//! such a module and name it in [`FLOORS`]; both the native program and the measuring page then
//! run it.

mod edit;
mod electrics;
mod isolation;
pub mod large;
mod link;
#[cfg(not(target_arch = "wasm32"))]
mod outside;
#[cfg(not(target_arch = "wasm32"))]
mod practice;
#[cfg(not(target_arch = "wasm32"))]
mod precise;
mod scale;
mod stopwatch;
mod trace;

use serde_json::{Value, json};

/// One measured figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What was measured, such as `edit.core_ms`.
    pub name: String,
    /// The figure.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// The figure of a peer or of the least possible work, from the same run.
    pub beside: Option<f64>,
    /// How it was measured, and what stands beside it.
    pub note: String,
}

/// A floor that measures something: its name, and what gives its rows.
type Floor = (&'static str, fn() -> Vec<Row>);

/// Every one of them.
const FLOORS: &[Floor] = &[
    ("edit", edit::rows),
    ("electrics", electrics::rows),
    ("isolation", isolation::rows),
    ("link", link::rows),
    ("trace", trace::rows),
    ("scale", scale::rows),
    #[cfg(not(target_arch = "wasm32"))]
    ("practice", practice::rows),
];

/// The rows of every floor, as a JSON list of `{"name", "value", "unit", "beside", "note"}`.
#[must_use]
pub fn rows() -> Value {
    rows_of(|_| true)
}

/// The rows of the floors whose names are asked for.
#[must_use]
pub fn rows_of(wanted: impl Fn(&str) -> bool) -> Value {
    FLOORS
        .iter()
        .filter(|(name, _)| wanted(name))
        .flat_map(|(_, floor)| floor())
        .map(|row| row.json())
        .collect()
}

/// Every sample harness, sorted by name.
#[cfg(not(target_arch = "wasm32"))]
fn samples() -> Vec<std::path::PathBuf> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-harnesses");
    let mut found: Vec<_> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| {
            let name = path.to_string_lossy();
            name.ends_with(".json") && !name.ends_with(".schema.json")
        })
        .collect();
    found.sort();
    found
}

impl Row {
    fn json(&self) -> Value {
        json!({
            "name": self.name,
            "value": self.value,
            "unit": self.unit,
            "beside": self.beside,
            "note": self.note,
        })
    }
}
