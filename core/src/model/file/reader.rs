//! What reading needs to know beside the value at hand: the ids of the whole file, and the errors so far.

use std::collections::BTreeMap;

use super::error::{FileError, FileErrors, Wrong, brief};
use super::limits::{MOST_ERRORS, MOST_NOTED};
use super::tree::{Node, Problem, Value, place};
use crate::said::{said, to_say};

/// Errors so far, and what the file holds.
pub(super) struct Reader<'t> {
    text: &'t str,
    /// In the order of the file.
    found: Vec<Problem>,
    more: usize,
    /// Every part of the file, known before the parts are read: references may point forward.
    parts: Vec<Outline<'t>>,
    /// Where in `parts` each id is.
    places: BTreeMap<(&'static str, u32), usize>,
    drivers: Vec<u32>,
    wires: Vec<u32>,
    /// Where each id is given, by what it is the id of.
    given: BTreeMap<(&'static str, u32), usize>,
    /// The part whose pins and cavities are meant.
    pub(super) host: Option<u32>,
}

/// What references to a part need to know of it.
#[derive(Debug, Default)]
pub(super) struct Outline<'t> {
    pub(super) kind: &'t str,
    pub(super) name: &'t str,
    pub(super) pins: Vec<u32>,
    pub(super) cavities: Vec<u32>,
}

impl<'t> Reader<'t> {
    pub(super) fn new(text: &'t str, tree: &'t Node<'t>, found: Vec<Problem>) -> Self {
        let mut reader = Self {
            text,
            found,
            more: 0,
            parts: Vec::new(),
            places: BTreeMap::new(),
            drivers: Vec::new(),
            wires: ids(tree.get("wires")),
            given: BTreeMap::new(),
            host: None,
        };
        for part in tree.get("parts").map_or(&[][..], Node::items) {
            reader.drivers.extend(ids(part.get("drivers")));
            reader.drivers.extend(id(part.get("driver")));
            let word = |key| part.get(key).and_then(Node::text).unwrap_or_default();
            if let Some(id) = id(Some(part)) {
                let outline = Outline {
                    kind: word("kind"),
                    name: word("name"),
                    pins: ids(part.get("pins")),
                    cavities: ids(part.get("cavities")),
                };
                reader.places.insert(("part", id), reader.parts.len());
                reader.parts.push(outline);
            }
        }
        reader
    }

    pub(super) fn wrong(&mut self, at: usize, wrong: Wrong) {
        if self.is_full() {
            self.more += 1;
        } else {
            let place = self.found.partition_point(|(before, _)| *before <= at);
            self.found.insert(place, (at, wrong));
        }
    }

    /// Counts so many more errors.
    pub(super) fn skip(&mut self, many: usize) {
        self.more += many;
    }

    /// Whether so much is wrong that no more is looked at closely.
    pub(super) fn is_full(&self) -> bool {
        self.found.len() >= MOST_NOTED
    }

    /// Notes that an id is given at `at`; says so if it was given before.
    pub(super) fn give(&mut self, what: &'static str, id: u32, at: usize) {
        if let Some(&first) = self.given.get(&(what, id)) {
            let first_line = first;
            let wrong = Wrong::SameId {
                what,
                id,
                first_line,
            };
            self.wrong(at, wrong);
        } else {
            self.given.insert((what, id), at);
        }
    }

    /// The part with that id.
    pub(super) fn part(&self, id: u32) -> Option<&Outline<'t>> {
        self.parts.get(*self.places.get(&("part", id))?)
    }

    /// Whether the file has such a thing; a pin or cavity is looked for on the part that is meant.
    pub(super) fn exists(&self, what: &'static str, id: u32) -> bool {
        let host = self.host.and_then(|host| self.part(host));
        match what {
            "part" => self.part(id).is_some(),
            "wire" => self.wires.contains(&id),
            "driver" => self.drivers.contains(&id),
            // Where the part itself is missing, that is what is told.
            "pin" => host.is_none_or(|host| host.pins.contains(&id)),
            "cavity" => host.is_none_or(|host| host.cavities.contains(&id)),
            _ => true,
        }
    }

    /// The largest id given so far, 0 where there is none.
    pub(super) fn largest_id(&self) -> u32 {
        self.given.keys().map(|(_, id)| *id).max().unwrap_or(0)
    }

    /// `value`, unless something was wrong.
    pub(super) fn end<T>(self, tree: &Node<'_>, value: T) -> Result<T, FileErrors> {
        if self.found.is_empty() {
            Ok(value)
        } else {
            let mut errors = located(self.text, Some(tree), self.found);
            errors.more += self.more;
            Err(errors)
        }
    }
}

/// The errors with their places.
pub(super) fn located(text: &str, tree: Option<&Node<'_>>, found: Vec<Problem>) -> FileErrors {
    let more = found.len().saturating_sub(MOST_ERRORS);
    let errors = found.into_iter().take(MOST_ERRORS).map(|(at, mut wrong)| {
        if let Wrong::SameId { first_line, .. } | Wrong::RepeatedField { first_line, .. } =
            &mut wrong
        {
            *first_line = place(text, *first_line).0;
        }
        let (line, column) = place(text, at);
        let (pointer, within) = tree.map_or_else(Default::default, |tree| pointer(tree, at));
        FileError {
            pointer,
            line,
            column,
            within,
            wrong,
        }
    });
    FileErrors {
        errors: errors.collect(),
        more,
    }
}

/// JSON pointer of the value or key at a byte, and the name of the innermost thing around it that has one.
fn pointer(tree: &Node<'_>, at: usize) -> (String, Option<String>) {
    let mut pointer = String::new();
    let mut within = None;
    let mut key: &str = "";
    let mut node = tree;
    loop {
        within = name(node, key).or(within);
        if node.at >= at {
            break;
        }
        match &node.value {
            Value::List(items) => {
                let place = items.partition_point(|item| item.at <= at);
                let Some(item) = place.checked_sub(1).and_then(|place| items.get(place)) else {
                    break;
                };
                pointer.push_str(&format!("/{}", place - 1));
                node = item;
            }
            Value::Object(fields) => {
                let place = fields.partition_point(|field| field.at <= at);
                let Some(field) = place.checked_sub(1).and_then(|place| fields.get(place)) else {
                    break;
                };
                pointer.push('/');
                for letter in field.key.chars() {
                    match letter {
                        '~' => pointer.push_str("~0"),
                        '/' => pointer.push_str("~1"),
                        plain => pointer.push(plain),
                    }
                }
                key = &field.key;
                node = &field.value;
            }
            Value::Null | Value::Flag | Value::Number(_) | Value::Text(_) => break,
        }
    }
    (pointer, within)
}

/// What people call the thing at `node`, which stands in the list `key`.
fn name(node: &Node<'_>, key: &str) -> Option<String> {
    let given = node.get("name").and_then(Node::text);
    if let Some(given) = given.filter(|given| !given.is_empty()) {
        return Some(brief(given));
    }
    let what = match key {
        "parts" => to_say("part"),
        "wires" => to_say("wire"),
        "findings" => to_say("finding"),
        _ => return None,
    };
    id(Some(node)).map(|id| format!("{} {id}", said(what)))
}

fn id(of: Option<&Node<'_>>) -> Option<u32> {
    of?.get("id")?.whole()
}

fn ids(list: Option<&Node<'_>>) -> Vec<u32> {
    let mut ids = Vec::new();
    for item in list.map_or(&[][..], Node::items) {
        ids.extend(id(Some(item)));
    }
    ids
}
