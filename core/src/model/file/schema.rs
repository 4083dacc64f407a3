//! The JSON Schema of the format, told by the same descriptions that read and write it.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::json::Json;
use super::limits::{MOST_ID, MOST_NAME, MOST_PROSE};
use super::piece::{Choice, Fields, Id, Piece, Record};
use super::{FORMAT, VERSION};
use crate::model::Harness;

/// The schema as text, draft 2020-12.
pub(super) fn text() -> String {
    let mut book = Book::default();
    let harness = Sheet::of::<Harness>(&mut book).object(Harness::SAYS);
    let Json::Object(body) = harness else {
        return String::new();
    };
    let mut fields = vec![
        (
            Cow::Borrowed("$schema"),
            Json::text("https://json-schema.org/draft/2020-12/schema"),
        ),
        (Cow::Borrowed("title"), Json::text("Sparktrail harness")),
    ];
    fields.extend(body);
    let definitions = book.definitions.into_iter();
    let definitions = definitions.map(|(name, schema)| (Cow::Borrowed(name), schema));
    fields.push((Cow::Borrowed("$defs"), Json::Object(definitions.collect())));
    Json::Object(fields).document()
}

/// The definitions so far.
#[derive(Default)]
pub(super) struct Book {
    definitions: BTreeMap<&'static str, Json>,
}

impl Book {
    /// A record by name, or described in place where it has none.
    pub(super) fn record<T: Record>(&mut self) -> Json {
        let Some(name) = T::NAME else {
            return Sheet::of::<T>(self).object(T::SAYS);
        };
        if !self.definitions.contains_key(name) {
            let schema = Sheet::of::<T>(self).object(T::SAYS);
            self.definitions.insert(name, schema);
        }
        Json::object([("$ref", Json::Text(format!("#/$defs/{name}")))])
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
    properties: Vec<(Cow<'static, str>, Json)>,
    required: Vec<&'static str>,
    /// For each choice, the sheets of its words.
    choices: Vec<Json>,
}

impl<'b> Sheet<'b> {
    fn blank(book: &'b mut Book) -> Self {
        Self {
            book,
            properties: Vec::new(),
            required: Vec::new(),
            choices: Vec::new(),
        }
    }

    fn of<T: Record>(book: &'b mut Book) -> Self {
        let mut sheet = Self::blank(book);
        <T as Record>::blank().visit(&mut sheet);
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
            (Cow::Borrowed("description"), Json::text(says)),
            (Cow::Borrowed("type"), Json::text("object")),
        ];
        fields.extend(self.body());
        fields.push((Cow::Borrowed(closed), Json::Flag(false)));
        Json::Object(fields)
    }

    /// Properties, required ones, and choices.
    fn body(mut self) -> Vec<(Cow<'static, str>, Json)> {
        let mut body = vec![(Cow::Borrowed("properties"), Json::Object(self.properties))];
        if !self.required.is_empty() {
            body.push((Cow::Borrowed("required"), list(&self.required)));
        }
        match self.choices.pop() {
            Some(only) if self.choices.is_empty() => body.push((Cow::Borrowed("oneOf"), only)),
            Some(last) => {
                self.choices.push(last);
                let each = self.choices.into_iter();
                let each = each.map(|choice| Json::object([("oneOf", choice)]));
                body.push((Cow::Borrowed("allOf"), Json::List(each.collect())));
            }
            None => {}
        }
        body
    }

    fn put(&mut self, key: &'static str, schema: Json, says: &'static str) {
        let schema = match schema {
            Json::Object(mut fields) => {
                if !says.is_empty() {
                    fields.retain(|(key, _)| key != "description");
                    fields.insert(0, (Cow::Borrowed("description"), Json::text(says)));
                }
                Json::Object(fields)
            }
            other @ (Json::Flag(_) | Json::Number(_) | Json::Text(_) | Json::List(_)) => other,
        };
        self.properties.push((Cow::Borrowed(key), schema));
    }
}

impl Fields for Sheet<'_> {
    fn must<T: Piece>(&mut self, key: &'static str, _: &mut T, says: &'static str) {
        let schema = T::schema(self.book);
        self.put(key, schema, says);
        self.required.push(key);
    }

    fn option<T: Piece>(&mut self, key: &'static str, _: &mut Option<T>, says: &'static str) {
        let schema = T::schema(self.book);
        self.put(key, schema, says);
    }

    fn unless_usual<T: Piece + Default + PartialEq>(
        &mut self,
        key: &'static str,
        _: &mut T,
        says: &'static str,
    ) {
        let schema = T::schema(self.book);
        self.put(key, schema, says);
    }

    fn prose(&mut self, key: &'static str, _: &mut String, says: &'static str) {
        self.put(key, string(MOST_PROSE), says);
    }

    fn id<I: Id>(&mut self, _: &mut I) {
        self.put(
            "id",
            whole(1, MOST_ID.into()),
            "Number by which other places refer to it; never used again.",
        );
        self.required.push("id");
    }

    fn choice<C: Choice>(&mut self, _: &mut C, says: &'static str) {
        let mut sheets = Vec::new();
        for (place, word) in C::WORDS.iter().enumerate() {
            let mut sheet = Sheet::blank(self.book);
            let is = Json::object([("const", Json::text(*word))]);
            sheet.put(C::TAG, is, "");
            sheet.required.push(C::TAG);
            C::blank(place).visit(&mut sheet);
            sheets.push(Json::Object(sheet.body()));
        }
        self.put(C::TAG, one_of_words(C::WORDS), says);
        self.choices.push(Json::List(sheets));
    }

    fn host(&mut self, _: u32) {}

    fn heading(&mut self) {
        let is = |value| Json::object([("const", value)]);
        self.put("format", is(Json::text(FORMAT)), "Always this.");
        self.put(
            "version",
            is(Json::whole(VERSION)),
            "Version of the format.",
        );
        self.required.extend(["format", "version"]);
        let place = Json::object([("type", Json::text("string"))]);
        self.put("$schema", place, "Place of this schema, for editors.");
    }

    fn next_id(&mut self, _: &mut u32) {
        self.put(
            "next_id",
            whole(1, u32::MAX.into()),
            "Lowest number that no id has ever had. May be left out: then it follows the largest id.",
        );
    }
}

/// A short text.
pub(super) fn name() -> Json {
    string(MOST_NAME)
}
