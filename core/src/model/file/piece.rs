//! How a value of the model and its place in the file go together: one description reads, writes and tells the schema.
//!
//! The descriptions are visited through trait objects: that keeps one copy of each in the app instead of three.

use super::error::Wrong;
use super::json::Json;
use super::limits::MOST_ITEMS;
use super::reader::Reader;
#[cfg(any(test, feature = "schema"))]
use super::schema::Book;
use super::tree::Node;
use super::writer::Writer;
use crate::said::to_say;

/// A value that stands in the file.
pub(super) trait Piece {
    /// Takes the value from `node`; what is wrong with it is noted in `reader`.
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>);
    /// The value as JSON. It is mutable because one description serves for reading and writing.
    fn write(&mut self, writer: &Writer<'_>) -> Json;
    /// Whether a field that may be left out is left out with this value.
    fn is_usual(&self) -> bool {
        false
    }
    /// JSON Schema of such values.
    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json;
}

/// A value that can be made before it is read.
pub(super) trait Blank {
    /// How many of these a list may hold.
    const MOST: usize = MOST_ITEMS;

    /// What stands in for a value that could not be read. It never leaves the reader: an error was noted.
    fn blank() -> Self;
}

/// A value that stands in the file as an object with known fields.
pub(super) trait Record {
    /// Name in the schema, or an empty one where it is described in place; and what it is.
    #[cfg_attr(
        not(any(test, feature = "schema")),
        expect(dead_code, reason = "only the schema needs it")
    )]
    const SAYS: (&'static str, &'static str);

    /// Visits every field, in the order in which they are written.
    fn visit(&mut self, fields: &mut dyn Fields);
}

/// A value that is one of several things; a word in the field `tag` says which, and decides the fields beside it.
pub(super) trait Choice {
    fn tag(&self) -> &'static str;
    fn words(&self) -> &'static [&'static str];
    /// Becomes the thing that goes with that word, all else blank.
    fn set(&mut self, place: usize);
    fn word(&self) -> &'static str;
    fn visit(&mut self, fields: &mut dyn Fields);
}

/// One of a fixed set of words.
pub(super) trait Word {
    fn words(&self) -> &'static [&'static str];
    fn set(&mut self, place: usize);
    fn word(&self) -> &'static str;
}

/// An id that the file gives to something.
pub(super) trait Id {
    /// Of what.
    fn what(&self) -> &'static str;
    fn set(&mut self, number: u32);
    fn get(&self) -> u32;
}

/// Whether a field has to be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Need {
    Always,
    /// It is left out where the value is the usual one.
    UnlessUsual,
}

/// What visits the fields of a record: a reader, a writer, or the schema.
pub(super) trait Fields {
    fn field(&mut self, key: &'static str, value: &mut dyn Piece, need: Need);
    /// A longer text, left out where it is empty.
    fn prose(&mut self, key: &'static str, value: &mut String);
    /// The id by which other places refer to this record.
    fn id(&mut self, value: &mut dyn Id);
    /// The word that says which of several things this is, and its fields.
    fn choice(&mut self, value: &mut dyn Choice);
    /// From here on, pins and cavities are those of this part.
    fn host(&mut self, part: u32);
    /// What opens every file: format and version.
    fn heading(&mut self);
    /// The lowest number that no id has ever had; comes after every other field.
    fn next_id(&mut self, value: &mut u32);
    /// What the next field means, for the schema.
    #[cfg(any(test, feature = "schema"))]
    fn say(&mut self, says: &'static str);
}

impl dyn Fields + '_ {
    /// A field that is always there.
    #[inline(always)]
    pub(super) fn must(&mut self, key: &'static str, value: &mut dyn Piece, says: &'static str) {
        self.tell(says);
        self.field(key, value, Need::Always);
    }

    /// A field that may be left out.
    #[inline(always)]
    pub(super) fn maybe(&mut self, key: &'static str, value: &mut dyn Piece, says: &'static str) {
        self.tell(says);
        self.field(key, value, Need::UnlessUsual);
    }

    /// A longer text, left out where it is empty.
    #[inline(always)]
    pub(super) fn text(&mut self, key: &'static str, value: &mut String, says: &'static str) {
        self.tell(says);
        self.prose(key, value);
    }

    /// One of several things, with its fields.
    #[inline(always)]
    pub(super) fn one_of(&mut self, value: &mut dyn Choice, says: &'static str) {
        self.tell(says);
        self.choice(value);
    }

    /// The app has no schema, and so none of these sentences.
    #[cfg(any(test, feature = "schema"))]
    fn tell(&mut self, says: &'static str) {
        self.say(says);
    }

    #[cfg(not(any(test, feature = "schema")))]
    #[inline(always)]
    fn tell(&mut self, _: &'static str) {}
}

impl<T: Record> Piece for T {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        super::fields::read(&mut |fields| self.visit(fields), node, reader);
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        super::writer::record(&mut |fields| self.visit(fields), writer)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        let (name, says) = T::SAYS;
        book.record(name, says, &mut |fields| self.visit(fields))
    }
}

/// Visits the fields of some record.
pub(super) type Visit<'v> = &'v mut dyn FnMut(&mut dyn Fields);

/// Takes a word from the file.
pub(super) fn read_word(value: &mut dyn Word, node: &Node<'_>, reader: &mut Reader<'_>) {
    if let Some(place) = word_place(node, value.words(), reader) {
        value.set(place);
    }
}

/// The place of the word at `node` among those known.
pub(super) fn word_place(
    node: &Node<'_>,
    known: &[&'static str],
    reader: &mut Reader<'_>,
) -> Option<usize> {
    let Some(found) = node.text() else {
        let (found, wanted) = (node.is(), to_say("a word"));
        reader.wrong(node.at, Wrong::OtherKind { found, wanted });
        return None;
    };
    let place = known.iter().position(|word| *word == found);
    if place.is_none() {
        let wrong = Wrong::UnknownWord {
            found: found.to_owned(),
            known: known.to_vec(),
            close: close(found, known.iter().copied().filter(|_| !reader.is_full())),
        };
        reader.wrong(node.at, wrong);
    }
    place
}

/// The one of `known` that looks most like `found`, if one does.
pub(super) fn close<'k>(found: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    let plain = |text: &str| text.to_ascii_lowercase().replace(['-', ' '], "_");
    let found = plain(found);
    if found.len() > 60 {
        return None;
    }
    known
        .map(|word| (strsim::osa_distance(&found, &plain(word)), word))
        .filter(|(apart, word)| *apart <= (word.len() / 3).min(3))
        .min_by_key(|(apart, _)| *apart)
        .map(|(_, word)| word)
}

/// Words that stand for the values of a plain enum: its name in the schema, the usual value if it has one, all values.
macro_rules! words {
    ($type:ty, $name:literal, usual $usual:path, { $($words:tt)* }) => {
        words!(@piece $type, $name, |value| *value == $usual, { $($words)* });
    };
    ($type:ty, $name:literal, { $($words:tt)* }) => {
        words!(@piece $type, $name, |_| false, { $($words)* });
    };
    (@piece $type:ty, $name:literal, |$it:pat_param| $usual:expr, { $first:path = $first_word:literal $(, $value:path = $word:literal)* $(,)? }) => {
        impl $crate::model::file::piece::Blank for $type {
            fn blank() -> Self {
                $first
            }
        }

        impl $crate::model::file::piece::Word for $type {
            fn words(&self) -> &'static [&'static str] {
                &[$first_word $(, $word)*]
            }

            fn set(&mut self, place: usize) {
                if let Some(value) = [$first $(, $value)*].get(place) {
                    *self = *value;
                }
            }

            fn word(&self) -> &'static str {
                match self {
                    $first => $first_word,
                    $($value => $word),*
                }
            }
        }

        impl $crate::model::file::piece::Piece for $type {
            fn read(
                &mut self,
                node: &$crate::model::file::tree::Node<'_>,
                reader: &mut $crate::model::file::reader::Reader<'_>,
            ) {
                $crate::model::file::piece::read_word(self, node, reader);
            }

            fn write(
                &mut self,
                _: &$crate::model::file::writer::Writer<'_>,
            ) -> $crate::model::file::json::Json {
                $crate::model::file::json::Json::text($crate::model::file::piece::Word::word(self))
            }

            fn is_usual(&self) -> bool {
                let usual = |$it: &Self| $usual;
                usual(self)
            }

            #[cfg(any(test, feature = "schema"))]
            fn schema(
                &mut self,
                book: &mut $crate::model::file::schema::Book,
            ) -> $crate::model::file::json::Json {
                let words = $crate::model::file::piece::Word::words(self);
                book.shared($name, $crate::model::file::schema::one_of_words(words))
            }
        }
    };
}
pub(super) use words;

/// A choice by its words: the pattern that has the word, and the blank value.
macro_rules! choice {
    ($type:ident by $tag:literal { $($pattern:pat = $word:literal: $blank:expr),* $(,)? } visit($self:ident, $fields:ident) $body:block) => {
        impl $crate::model::file::piece::Choice for $type {
            fn tag(&self) -> &'static str {
                $tag
            }

            fn words(&self) -> &'static [&'static str] {
                &[$($word),*]
            }

            fn set(&mut self, place: usize) {
                let mut next = 0..;
                $(if next.next() == Some(place) {
                    *self = $blank;
                })*
            }

            fn word(&self) -> &'static str {
                match self { $($pattern => $word),* }
            }

            fn visit(&mut $self, $fields: &mut dyn $crate::model::file::piece::Fields) $body
        }
    };
}
pub(super) use choice;
