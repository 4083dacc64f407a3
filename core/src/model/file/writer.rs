//! Writing records field by field.

use std::cell::Cell;

use super::json::Json;
use super::piece::{Choice, Fields, Id, Need, Piece, Visit};
use super::{FORMAT, VERSION};
use crate::model::{CavityId, DriverId, Harness, PartId, PinId, WireId};

/// What writing needs to know beside the value at hand.
pub(super) struct Writer<'h> {
    pub(super) harness: &'h Harness,
    /// The part whose pins and cavities are meant.
    host: Cell<Option<PartId>>,
}

impl<'h> Writer<'h> {
    pub(super) const fn new(harness: &'h Harness) -> Self {
        Self {
            harness,
            host: Cell::new(None),
        }
    }

    /// Whether the harness has such a thing; a pin or cavity is looked for on the part that is meant.
    pub(super) fn exists(&self, what: &'static str, id: u32) -> bool {
        let harness = self.harness;
        let host = self.host.get();
        match what {
            "part" => harness.parts.contains_key(&PartId::from_number(id)),
            "wire" => harness.wires.contains_key(&WireId::from_number(id)),
            "driver" => harness.driver(DriverId::from_number(id)).is_some(),
            "pin" => host.is_some_and(|host| harness.pin(host, PinId::from_number(id)).is_some()),
            "cavity" => {
                host.is_some_and(|host| harness.cavity(host, CavityId::from_number(id)).is_some())
            }
            _ => true,
        }
    }
}

pub(super) fn record(visit: Visit<'_>, writer: &Writer<'_>) -> Json {
    let mut into = FieldWriter {
        fields: Vec::new(),
        writer,
    };
    visit(&mut into);
    Json::Object(into.fields)
}

struct FieldWriter<'w> {
    fields: Vec<(&'static str, Json)>,
    writer: &'w Writer<'w>,
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

    fn host(&mut self, part: u32) {
        self.writer.host.set(Some(PartId::from_number(part)));
    }

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
