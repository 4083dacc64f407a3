//! JSON text as a tree in which every value and every key knows where it stands.

use crate::said::to_say;
use std::borrow::Cow;
use std::fmt;

use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;

use super::error::Wrong;
use super::limits::{MOST_DEEP, MOST_NOTED};

/// A value and the byte at which it begins.
#[derive(Debug)]
pub(super) struct Node<'a> {
    pub(super) at: usize,
    pub(super) value: Value<'a>,
}

#[derive(Debug)]
pub(super) enum Value<'a> {
    Null,
    Flag,
    /// As written.
    Number(&'a str),
    Text(Cow<'a, str>),
    List(Vec<Node<'a>>),
    Object(Vec<Field<'a>>),
}

/// One field of an object; `at` is where its key begins.
#[derive(Debug)]
pub(super) struct Field<'a> {
    pub(super) at: usize,
    pub(super) key: Cow<'a, str>,
    pub(super) value: Node<'a>,
}

impl<'a> Node<'a> {
    /// The field of that name, where this is an object that has one.
    pub(super) fn get(&self, key: &str) -> Option<&Self> {
        match &self.value {
            Value::Object(fields) => fields.iter().find(|f| f.key == key).map(|f| &f.value),
            Value::Null | Value::Flag | Value::Number(_) | Value::Text(_) | Value::List(_) => None,
        }
    }

    /// The items, where this is a list.
    pub(super) fn items(&self) -> &[Self] {
        match &self.value {
            Value::List(items) => items,
            Value::Null | Value::Flag | Value::Number(_) | Value::Text(_) | Value::Object(_) => &[],
        }
    }

    /// The text, where this is text.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            Value::Null | Value::Flag | Value::Number(_) | Value::List(_) | Value::Object(_) => {
                None
            }
        }
    }

    /// The number, where this is a whole one that fits.
    pub(super) fn whole<T: TryFrom<i64>>(&self) -> Option<T> {
        match &self.value {
            Value::Number(text) => whole(text).and_then(|n| T::try_from(n).ok()),
            Value::Null | Value::Flag | Value::Text(_) | Value::List(_) | Value::Object(_) => None,
        }
    }

    /// What kind of value this is, in words.
    pub(super) const fn is(&self) -> &'static str {
        match &self.value {
            Value::Null => "null",
            Value::Flag => to_say("true or false"),
            Value::Number(_) => to_say("a number"),
            Value::Text(_) => to_say("text"),
            Value::List(_) => to_say("a list"),
            Value::Object(_) => to_say("an object"),
        }
    }
}

/// A whole number, also when written as 3.0 or 3e0.
fn whole(text: &str) -> Option<i64> {
    text.parse().ok().or_else(|| {
        let number: f64 = text.parse().ok()?;
        // Beyond this size a float no longer tells neighbouring whole numbers apart.
        if number.fract().abs() > 0.0 || number.abs() > 9.0e15 {
            return None;
        }
        #[allow(
            clippy::cast_possible_truncation,
            reason = "whole and small enough, as was just seen"
        )]
        Some(number as i64)
    })
}

/// What is wrong, and the byte at which it is. Where it tells of a line elsewhere, that is a byte too until the
/// errors are told: counting lines takes a walk through the text.
pub(super) type Problem = (usize, Wrong);

/// The tree, with the keys that occur twice; or the one reason why there is no tree.
pub(super) fn parse(text: &str) -> Result<(Node<'_>, Vec<Problem>), Problem> {
    let raw: &RawValue = serde_json::from_str(text).map_err(|error| syntax(text, text, &error))?;
    let mut builder = Builder {
        text,
        repeated: Vec::new(),
    };
    let tree = builder.node(raw, 0)?;
    Ok((tree, builder.repeated))
}

struct Builder<'a> {
    text: &'a str,
    repeated: Vec<Problem>,
}

impl<'a> Builder<'a> {
    fn offset(&self, raw: &RawValue) -> usize {
        (raw.get().as_ptr() as usize).saturating_sub(self.text.as_ptr() as usize)
    }

    fn node(&mut self, raw: &'a RawValue, depth: usize) -> Result<Node<'a>, Problem> {
        let at = self.offset(raw);
        let text = raw.get();
        if depth > MOST_DEEP {
            return Err((at, Wrong::TooDeep));
        }
        let value = match text.as_bytes().first() {
            Some(b'{') => Value::Object(self.fields(text, depth)?),
            Some(b'[') => {
                let items: Vec<&RawValue> =
                    serde_json::from_str(text).map_err(|e| syntax(self.text, text, &e))?;
                let items = items.into_iter().map(|item| self.node(item, depth + 1));
                Value::List(items.collect::<Result<_, _>>()?)
            }
            Some(b'"') => Value::Text(self.string(text)?),
            Some(b'n') => Value::Null,
            Some(b't' | b'f') => Value::Flag,
            _ => Value::Number(text),
        };
        Ok(Node { at, value })
    }

    fn fields(&mut self, text: &'a str, depth: usize) -> Result<Vec<Field<'a>>, Problem> {
        let Pairs(pairs) = serde_json::from_str(text).map_err(|e| syntax(self.text, text, &e))?;
        let mut fields: Vec<Field<'a>> = Vec::with_capacity(pairs.len());
        for (key, value) in pairs {
            let at = self.offset(key);
            let key = self.string(key.get())?;
            // Objects of the format have few fields; a long one is junk and is not searched.
            let first = fields.iter().take(64).find(|field| field.key == key);
            if let Some(first) = first.filter(|_| self.repeated.len() < MOST_NOTED) {
                let first_line = first.at;
                let key = key.clone().into_owned();
                self.repeated
                    .push((at, Wrong::RepeatedField { key, first_line }));
            }
            let value = self.node(value, depth + 1)?;
            fields.push(Field { at, key, value });
        }
        Ok(fields)
    }

    fn string(&self, quoted: &'a str) -> Result<Cow<'a, str>, Problem> {
        let inner = quoted.get(1..quoted.len().saturating_sub(1)).unwrap_or("");
        if inner.contains('\\') {
            serde_json::from_str::<String>(quoted)
                .map(Cow::Owned)
                .map_err(|e| syntax(self.text, quoted, &e))
        } else {
            Ok(Cow::Borrowed(inner))
        }
    }
}

/// The problem that `error` tells of, found while parsing `piece` of `text`.
fn syntax(text: &str, piece: &str, error: &serde_json::Error) -> Problem {
    let begin = (piece.as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
    let line = error.line().saturating_sub(1);
    let line_at = piece
        .match_indices('\n')
        .map(|(at, _)| at + 1)
        .nth(line.wrapping_sub(1))
        .unwrap_or(0);
    let mut at = (begin + line_at + error.column().saturating_sub(1)).min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let whole = error.to_string();
    // What follows tells line and column, which are told in our own way.
    let letters = whole
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(whole.len());
    let said = whole.get(..letters).unwrap_or("").trim_end();
    let said = said.strip_suffix(" at line").unwrap_or(said).to_owned();
    let wrong = if error.is_eof() {
        Wrong::EndsTooSoon
    } else if said == "trailing characters" {
        Wrong::TextAfterEnd
    } else {
        Wrong::NotJson { said }
    };
    (at, wrong)
}

/// Line and column of a byte, both from 1; the column counts characters.
pub(super) fn place(text: &str, at: usize) -> (usize, usize) {
    let before = text.get(..at).unwrap_or(text);
    let line_at = before.rfind('\n').map_or(0, |newline| newline + 1);
    let line = before.matches('\n').count() + 1;
    let column = before.get(line_at..).unwrap_or("").chars().count() + 1;
    (line, column)
}

struct Pairs<'a>(Vec<(&'a RawValue, &'a RawValue)>);

impl<'de: 'a, 'a> Deserialize<'de> for Pairs<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Collect;
        impl<'de> Visitor<'de> for Collect {
            type Value = Vec<(&'de RawValue, &'de RawValue)>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }

            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Self::Value, M::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    pairs.push(pair);
                }
                Ok(pairs)
            }
        }
        deserializer.deserialize_map(Collect).map(Self)
    }
}
