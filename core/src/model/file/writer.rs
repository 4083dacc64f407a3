//! Writing records field by field.

use std::collections::BTreeSet;

use super::json::Json;
use super::piece::{Choice, Fields, Id, Need, Piece, Visit};
use super::{FORMAT, VERSION};
use crate::model::{Harness, PartId, PartKind, Secondary};

/// What writing needs to know beside the value at hand.
pub(super) struct Writer {
    /// Coils with two towers: their first is called 4a.
    two_ended: BTreeSet<PartId>,
}

impl Writer {
    pub(super) fn new(harness: &Harness) -> Self {
        let mut two_ended = BTreeSet::new();
        for (id, part) in &harness.parts {
            if matches!(&part.kind, PartKind::Coil(coil) if coil.secondary == Secondary::TwoEnded) {
                two_ended.insert(*id);
            }
        }
        Self { two_ended }
    }

    pub(super) fn is_two_ended(&self, part: PartId) -> bool {
        self.two_ended.contains(&part)
    }
}

pub(super) fn record(visit: Visit<'_>, writer: &Writer) -> Json {
    let mut into = FieldWriter {
        fields: Vec::new(),
        writer,
    };
    visit(&mut into);
    Json::Object(into.fields)
}

struct FieldWriter<'w> {
    fields: Vec<(&'static str, Json)>,
    writer: &'w Writer,
}

impl FieldWriter<'_> {
    fn put(&mut self, key: &'static str, value: Json) {
        self.fields.push((key, value));
    }
}

impl Fields for FieldWriter<'_> {
    fn field(&mut self, key: &'static str, value: &mut dyn Piece, need: Need) {
        if need == Need::Always || !value.is_usual() {
            let value = value.write(self.writer);
            self.put(key, value);
        }
    }

    fn prose(&mut self, key: &'static str, value: &mut String) {
        if !value.is_empty() {
            self.put(key, Json::text(value.as_str()));
        }
    }

    fn id(&mut self, value: &mut dyn Id) {
        self.put("id", Json::whole(value.get()));
    }

    fn choice(&mut self, value: &mut dyn Choice) {
        self.put(value.tag(), Json::text(value.word()));
        value.visit(self);
    }

    fn host(&mut self, _: u32) {}

    fn heading(&mut self) {
        self.put("format", Json::text(FORMAT));
        self.put("version", Json::whole(VERSION));
    }

    fn next_id(&mut self, value: &mut u32) {
        self.put("next_id", Json::whole(*value));
    }

    #[cfg(any(test, feature = "schema"))]
    fn say(&mut self, _: &'static str) {}
}
