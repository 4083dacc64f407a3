//! Reading an object of the file field by field.

use super::error::Wrong;
use super::limits::{MOST_ID, MOST_PROSE};
use super::piece::{Choice, Fields, Id, Need, Piece, Visit, close, word_place};
use super::plain::text_up_to;
use super::reader::Reader;
use super::tree::{Field, Node, Value};
use crate::said::to_say;

/// Takes the fields of a record from `node`.
pub(super) fn read(visit: Visit<'_>, node: &Node<'_>, reader: &mut Reader<'_>) {
    let Value::Object(fields) = &node.value else {
        let (found, wanted) = (node.is(), to_say("an object, in curly brackets"));
        reader.wrong(node.at, Wrong::OtherKind { found, wanted });
        return;
    };
    let mut from = FieldReader {
        at: node.at,
        fields,
        known: Vec::new(),
        missing: Vec::new(),
        lost: false,
        reader,
    };
    visit(&mut from);
    from.end();
}

struct FieldReader<'n, 'a, 'r, 't> {
    at: usize,
    fields: &'n [Field<'a>],
    known: Vec<&'static str>,
    missing: Vec<&'static str>,
    /// Which fields belong here is not known, because the word that decides it is wrong.
    lost: bool,
    reader: &'r mut Reader<'t>,
}

impl<'n, 'a> FieldReader<'n, 'a, '_, '_> {
    fn find(&mut self, key: &'static str) -> Option<&'n Node<'a>> {
        self.known.push(key);
        let field = self.fields.iter().find(|field| field.key == key);
        field.map(|field| &field.value)
    }

    fn find_or_miss(&mut self, key: &'static str) -> Option<&'n Node<'a>> {
        let found = self.find(key);
        if found.is_none() {
            self.missing.push(key);
        }
        found
    }

    /// Notes the fields that are missing and those that are not known.
    fn end(self) {
        let stray: Vec<&Field<'_>> = self
            .fields
            .iter()
            .filter(|field| !self.known.iter().any(|key| *key == field.key))
            .collect();
        let mut renamed = Vec::new();
        for field in self.missing {
            let keys = stray.iter().map(|stray| stray.key.as_ref());
            let instead = keys
                .clone()
                .find(|key| close(key, [field].into_iter()).is_some());
            renamed.extend(instead);
            let instead = instead.map(str::to_owned);
            self.reader
                .wrong(self.at, Wrong::MissingField { field, instead });
        }
        let many = stray.len();
        for (place, stray) in stray.into_iter().enumerate() {
            if self.reader.is_full() && !self.lost {
                self.reader.skip(many - place);
                break;
            }
            if self.lost || renamed.contains(&stray.key.as_ref()) {
                continue;
            }
            let absent = self.known.iter().copied();
            let absent = absent.filter(|key| !self.fields.iter().any(|field| field.key == *key));
            let wrong = Wrong::UnknownField {
                field: stray.key.clone().into_owned(),
                known: self.known.clone(),
                close: close(&stray.key, absent),
            };
            self.reader.wrong(stray.at, wrong);
        }
    }
}

impl Fields for FieldReader<'_, '_, '_, '_> {
    fn field(&mut self, key: &'static str, value: &mut dyn Piece, need: Need) {
        let node = match need {
            Need::Always => self.find_or_miss(key),
            Need::UnlessUsual => self.find(key),
        };
        if let Some(node) = node {
            value.read(node, self.reader);
        }
    }

    fn prose(&mut self, key: &'static str, value: &mut String) {
        if let Some(node) = self.find(key) {
            *value = text_up_to(MOST_PROSE, node, self.reader);
        }
    }

    fn id(&mut self, value: &mut dyn Id) {
        let Some(node) = self.find_or_miss("id") else {
            return;
        };
        if let Some(number) = super::plain::whole(node, 1, MOST_ID.into(), self.reader) {
            let number = u32::try_from(number).unwrap_or(MOST_ID);
            self.reader.give(value.what(), number, node.at);
            value.set(number);
        }
    }

    fn choice(&mut self, value: &mut dyn Choice) {
        let node = self.find_or_miss(value.tag());
        let place = node.and_then(|node| word_place(node, value.words(), self.reader));
        if let Some(place) = place {
            value.set(place);
            value.visit(self);
        } else {
            self.lost = true;
        }
    }

    fn host(&mut self, part: u32) {
        self.reader.host = Some(part);
    }

    fn heading(&mut self) {
        // Looked at before all else; the schema's place may stand in any file, for editors.
        self.known.extend(["format", "version", "$schema"]);
    }

    fn next_id(&mut self, value: &mut u32) {
        let used = self.reader.largest_id();
        *value = used.saturating_add(1);
        let Some(node) = self.find("next_id") else {
            return;
        };
        if let Some(number) = super::plain::whole(node, 1, u32::MAX.into(), self.reader) {
            let found = u32::try_from(number).unwrap_or(u32::MAX);
            if found <= used {
                self.reader
                    .wrong(node.at, Wrong::NextIdTaken { found, used });
            }
            *value = found;
        }
    }

    #[cfg(any(test, feature = "schema"))]
    fn say(&mut self, _: &'static str) {}
}
