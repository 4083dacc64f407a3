//! The JSON Schema of the format, told by the same descriptions that read and write it.

use std::collections::BTreeMap;

use super::json::Json;
use super::limits::{MOST_ID, MOST_NAME, MOST_PROSE};
use super::piece::{Blank, Choice, Fields, Id, Need, Piece, Record, Visit};
use super::plain::GONE;
use super::{FORMAT, VERSION};
use crate::model::Harness;

/// The schema as text, draft 2020-12.
pub(super) fn text() -> String {
    let mut book = Book::default();
    let says = <Harness as Record>::SAYS.1;
    let mut blank = Harness::blank();
    let harness = Sheet::of(&mut book, &mut |fields| blank.visit(fields)).object(says);
    let Json::Object(body) = harness else {
        return String::new();
    };
    let mut fields = vec![
        (
            "$schema",
            Json::text("https://json-schema.org/draft/2020-12/schema"),
        ),
        ("title", Json::text("Sparktrail harness")),
    ];
    fields.extend(body);
    let definitions = book.definitions.into_iter().collect();
    fields.push(("$defs", Json::Object(definitions)));
    Json::Object(fields).document()
}

/// The definitions so far.
#[derive(Default)]
pub(super) struct Book {
    definitions: BTreeMap<&'static str, Json>,
}

impl Book {
    /// A record by name, or described in place where it has none.
    pub(super) fn record(
        &mut self,
        name: &'static str,
        says: &'static str,
        visit: Visit<'_>,
    ) -> Json {
        if name.is_empty() {
            return Sheet::of(self, visit).object(says);
        }
        if !self.definitions.contains_key(name) {
            let schema = Sheet::of(self, visit).object(says);
            self.definitions.insert(name, schema);
        }
        Json::object([("$ref", Json::Text(format!("#/$defs/{name}")))])
    }

    /// The id of something elsewhere in the file.
    pub(super) fn reference(&mut self) -> Json {
        let gone = Json::object([
            ("type", Json::text("string")),
            ("pattern", Json::Text(format!("^{GONE}[1-9][0-9]*$"))),
        ]);
        let says = "The id of something in this file, or \"gone\" and the id that it had.";
        let schema = Json::object([
            ("description", Json::text(says)),
            ("anyOf", Json::List(vec![whole(1, MOST_ID.into()), gone])),
        ]);
        self.shared("reference", schema)
    }

    /// A schema that many places refer to.
    pub(super) fn shared(&mut self, name: &'static str, schema: Json) -> Json {
        self.definitions.insert(name, schema);
        Json::object([("$ref", Json::Text(format!("#/$defs/{name}")))])
    }
}

/// One of these words.
pub(super) fn one_of_words(words: &[&'static str]) -> Json {
    Json::object([("enum", list(words))])
}

/// A number from `least` to `most`.
pub(super) fn number(least: f64, most: f64) -> Json {
    Json::object([
        ("type", Json::text("number")),
        ("minimum", Json::number(least)),
        ("maximum", Json::number(most)),
    ])
}

/// A whole number from `least` to `most`.
pub(super) fn whole(least: i64, most: i64) -> Json {
    Json::object([
        ("type", Json::text("integer")),
        ("minimum", Json::whole(least)),
        ("maximum", Json::whole(most)),
    ])
}

/// A text of at most so many characters.
pub(super) fn string(most: usize) -> Json {
    Json::object([
        ("type", Json::text("string")),
        ("maxLength", Json::Number(most.to_string())),
    ])
}

/// A list of at most so many items.
pub(super) fn array(items: Json, most: usize) -> Json {
    Json::object([
        ("type", Json::text("array")),
        ("items", items),
        ("maxItems", Json::Number(most.to_string())),
    ])
}

/// Any one of these.
pub(super) fn any_of<const N: usize>(schemas: [Json; N]) -> Json {
    Json::object([("anyOf", Json::List(schemas.into()))])
}

fn list(words: &[&'static str]) -> Json {
    Json::List(words.iter().map(|word| Json::text(*word)).collect())
}

/// The fields of one object.
struct Sheet<'b> {
    book: &'b mut Book,
    properties: Vec<(&'static str, Json)>,
    required: Vec<&'static str>,
    /// For each choice, the sheets of its words.
    choices: Vec<Json>,
    /// What the next field means.
    says: &'static str,
}

impl<'b> Sheet<'b> {
    fn blank(book: &'b mut Book) -> Self {
        Self {
            book,
            properties: Vec::new(),
            required: Vec::new(),
            choices: Vec::new(),
            says: "",
        }
    }

    fn of(book: &'b mut Book, visit: Visit<'_>) -> Self {
        let mut sheet = Self::blank(book);
        visit(&mut sheet);
        sheet
    }

    /// The schema of a whole object: no other fields.
    fn object(self, says: &'static str) -> Json {
        let closed = if self.choices.is_empty() {
            "additionalProperties"
        } else {
            "unevaluatedProperties"
        };
        let mut fields = vec![
            ("description", Json::text(says)),
            ("type", Json::text("object")),
        ];
        fields.extend(self.body());
        fields.push((closed, Json::Flag(false)));
        Json::Object(fields)
    }

    /// Properties, required ones, and choices.
    fn body(mut self) -> Vec<(&'static str, Json)> {
        let mut body = vec![("properties", Json::Object(self.properties))];
        if !self.required.is_empty() {
            body.push(("required", list(&self.required)));
        }
        match self.choices.pop() {
            Some(only) if self.choices.is_empty() => body.push(("oneOf", only)),
            Some(last) => {
                self.choices.push(last);
                let each = self.choices.into_iter();
                let each = each.map(|choice| Json::object([("oneOf", choice)]));
                body.push(("allOf", Json::List(each.collect())));
            }
            None => {}
        }
        body
    }

    fn put(&mut self, key: &'static str, schema: Json) {
        let says = std::mem::take(&mut self.says);
        let schema = match schema {
            Json::Object(mut fields) => {
                if !says.is_empty() {
                    fields.retain(|(key, _)| *key != "description");
                    fields.insert(0, ("description", Json::text(says)));
                }
                Json::Object(fields)
            }
            other @ (Json::Flag(_) | Json::Number(_) | Json::Text(_) | Json::List(_)) => other,
        };
        self.properties.push((key, schema));
    }
}

impl Fields for Sheet<'_> {
    fn field(&mut self, key: &'static str, value: &mut dyn Piece, need: Need) {
        let schema = value.schema(self.book);
        self.put(key, schema);
        if need == Need::Always {
            self.required.push(key);
        }
    }

    fn prose(&mut self, key: &'static str, _: &mut String) {
        self.put(key, string(MOST_PROSE));
    }

    fn id(&mut self, _: &mut dyn Id) {
        self.says = "Number by which other places refer to it; never used again.";
        let schema = self.book.shared("id", whole(1, MOST_ID.into()));
        self.put("id", schema);
        self.required.push("id");
    }

    fn choice(&mut self, value: &mut dyn Choice) {
        let (tag, words) = (value.tag(), value.words());
        self.put(tag, one_of_words(words));
        let mut sheets = Vec::new();
        for (place, word) in words.iter().enumerate() {
            let mut sheet = Sheet::blank(self.book);
            sheet.put(tag, Json::object([("const", Json::text(*word))]));
            sheet.required.push(tag);
            value.set(place);
            value.visit(&mut sheet);
            sheets.push(Json::Object(sheet.body()));
        }
        self.choices.push(Json::List(sheets));
    }

    fn host(&mut self, _: u32) {}

    fn heading(&mut self) {
        let is = |value| Json::object([("const", value)]);
        self.says = "Always this.";
        self.put("format", is(Json::text(FORMAT)));
        self.says = "Version of the format.";
        self.put("version", is(Json::whole(VERSION)));
        self.required.extend(["format", "version"]);
        self.says = "Place of this schema, for editors.";
        self.put("$schema", Json::object([("type", Json::text("string"))]));
    }

    fn next_id(&mut self, _: &mut u32) {
        self.says = "Lowest number that no id has ever had. May be left out: then it follows the largest id.";
        self.put("next_id", whole(1, u32::MAX.into()));
    }

    fn say(&mut self, says: &'static str) {
        self.says = says;
    }
}

/// A short text.
pub(super) fn name() -> Json {
    string(MOST_NAME)
}
