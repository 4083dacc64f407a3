//! Writing records field by field.

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::json::Json;
use super::piece::{Choice, Fields, Id, Piece, Record};
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

pub(super) fn record<T: Record>(value: &mut T, writer: &Writer) -> Json {
    let mut into = FieldWriter {
        fields: Vec::new(),
        writer,
    };
    value.visit(&mut into);
    Json::Object(into.fields)
}

struct FieldWriter<'w> {
    fields: Vec<(Cow<'static, str>, Json)>,
    writer: &'w Writer,
}

impl FieldWriter<'_> {
    fn put(&mut self, key: &'static str, value: Json) {
        self.fields.push((Cow::Borrowed(key), value));
    }
}

impl Fields for FieldWriter<'_> {
    fn must<T: Piece>(&mut self, key: &'static str, value: &mut T, _: &'static str) {
        let value = value.write(self.writer);
        self.put(key, value);
    }

    fn option<T: Piece>(&mut self, key: &'static str, value: &mut Option<T>, says: &'static str) {
        if let Some(value) = value {
            self.must(key, value, says);
        }
    }

    fn unless_usual<T: Piece + Default + PartialEq>(
        &mut self,
        key: &'static str,
        value: &mut T,
        says: &'static str,
    ) {
        if *value != T::default() {
            self.must(key, value, says);
        }
    }

    fn prose(&mut self, key: &'static str, value: &mut String, _: &'static str) {
        if !value.is_empty() {
            self.put(key, Json::text(value.as_str()));
        }
    }

    fn id<I: Id>(&mut self, value: &mut I) {
        self.put("id", Json::whole(value.number()));
    }

    fn choice<C: Choice>(&mut self, value: &mut C, _: &'static str) {
        self.put(C::TAG, Json::text(value.word()));
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
}
