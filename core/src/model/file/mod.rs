//! Harness files: JSON that people can read, written in one stable order, read with every error told by its place.

mod engines;
mod error;
mod faces;
mod fields;
mod findings;
mod json;
pub mod limits;
mod parts;
mod piece;
mod plain;
mod reader;
mod rivals;
#[cfg(any(test, feature = "schema"))]
mod schema;
mod terminal;
mod tree;
mod wires;
mod writer;

use std::collections::BTreeMap;

use self::piece::{Blank, Fields, Piece, Record};
use self::reader::{Reader, located};
use self::tree::{Node, Value, parse};
use self::writer::Writer;
use super::Harness;
use crate::engine::Engine;

pub use error::{FileError, FileErrors, Wrong};

/// What every harness file says of itself in its field "format".
pub const FORMAT: &str = "sparktrail-harness";
/// The version of the format that is written, and the newest that is read.
pub const VERSION: u8 = 1;

/// The harness as the text of a file, ending in a line feed.
///
/// Equal harnesses give equal text. Fields that say nothing are left out.
#[must_use]
pub fn write(harness: &Harness) -> String {
    let writer = Writer::new(harness);
    harness.clone().write(&writer).document()
}

/// The harness in the text of a file.
///
/// An unfinished map is not an error: `check` speaks of that. What [`write()`] wrote reads back equal, as long as
/// the harness keeps to [`limits`] and gave out each id once. A reference to what the harness no longer has is
/// written with the word "gone" and reads back too; without the word it is an error.
///
/// # Errors
/// [`FileErrors`] tells as many errors as could be found in one pass, each with its place and the mend.
pub fn read(text: &str) -> Result<Harness, FileErrors> {
    // Some programs put a byte-order mark in front of a text.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let one = |tree: Option<&Node<'_>>, at, wrong| Err(located(text, tree, vec![(at, wrong)]));
    if text.len() > limits::MOST_BYTES {
        let bytes = text.len();
        return one(None, 0, Wrong::TooLarge { bytes });
    }
    let (tree, repeated) = match parse(text) {
        Ok(parsed) => parsed,
        Err((at, wrong)) => {
            let begin = text.len() - text.trim_start().len();
            return if text.get(begin..).is_some_and(|rest| rest.starts_with('{')) {
                one(None, at, wrong)
            } else {
                one(None, begin, Wrong::OtherFormat)
            };
        }
    };
    let format = tree.get("format");
    if format.and_then(Node::text) != Some(FORMAT) {
        let at = format.map_or(tree.at, |node| node.at);
        return one(Some(&tree), at, Wrong::OtherFormat);
    }
    match version(&tree) {
        Ok(1) => read_version_1(text, &tree, repeated),
        // An older version is first rewritten as the next one, step by step. There is none older than 1.
        Ok(found) => {
            let at = tree.get("version").map_or(tree.at, |node| node.at);
            one(Some(&tree), at, Wrong::NewerVersion { found })
        }
        Err((at, wrong)) => one(Some(&tree), at, wrong),
    }
}

/// The version that the file says it has, from 1.
fn version(tree: &Node<'_>) -> Result<u64, tree::Problem> {
    let Some(node) = tree.get("version") else {
        let (field, instead) = ("version", None);
        return Err((tree.at, Wrong::MissingField { field, instead }));
    };
    let found = match &node.value {
        Value::Number(digits) => (*digits).to_owned(),
        Value::Text(text) => format!("\"{text}\""),
        Value::Null | Value::Flag | Value::List(_) | Value::Object(_) => node.is().to_owned(),
    };
    match node.whole::<u64>() {
        Some(version) if version > 0 => Ok(version),
        Some(_) | None => Err((node.at, Wrong::NoSuchVersion { found })),
    }
}

fn read_version_1(
    text: &str,
    tree: &Node<'_>,
    repeated: Vec<tree::Problem>,
) -> Result<Harness, FileErrors> {
    let mut reader = Reader::new(text, tree, repeated);
    let mut harness = Harness::blank();
    harness.read(tree, &mut reader);
    reader.end(tree, harness)
}

/// JSON Schema (draft 2020-12) of the files, made from the descriptions that read and write them.
///
/// What needs a look at the whole file (ids given twice, references to nothing) a schema cannot tell; [`read`] does.
#[cfg(any(test, feature = "schema"))]
#[must_use]
pub fn schema() -> String {
    schema::text()
}

impl Blank for Harness {
    fn blank() -> Self {
        Self {
            title: String::new(),
            about: String::new(),
            engine: Engine::blank(),
            parts: BTreeMap::new(),
            wires: BTreeMap::new(),
            rivals: Vec::new(),
            findings: Vec::new(),
            work: Vec::new(),
            next_id: 1,
        }
    }
}

impl Record for Harness {
    const SAYS: (&'static str, &'static str) = (
        "",
        "The map of one car's ignition, with all that was found on it.",
    );

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.heading();
        fields.must("title", &mut self.title, "What the owner calls the car.");
        fields.text("about", &mut self.about, "A few sentences about it.");
        fields.must("engine", &mut self.engine, "The engine.");
        fields.must("parts", &mut self.parts, "The parts.");
        fields.must("wires", &mut self.wires, "The wires.");
        fields.maybe(
            "rivals",
            &mut self.rivals,
            "Values that clash with those that the map goes by, until somebody settles them.",
        );
        fields.maybe(
            "findings",
            &mut self.findings,
            "What was seen or measured, oldest first.",
        );
        fields.maybe(
            "work",
            &mut self.work,
            "What was done to the car, oldest first.",
        );
        fields.next_id(&mut self.next_id);
    }
}

#[cfg(test)]
mod tests;
