//! How a value of the model and its place in the file go together: one description reads, writes and tells the schema.

use super::error::Wrong;
use super::json::Json;
use super::limits::MOST_ITEMS;
use super::reader::Reader;
use super::schema::Book;
use super::tree::Node;
use super::writer::Writer;

/// A value that stands in the file.
pub(super) trait Piece: Sized {
    /// How many of these a list may hold.
    const MOST: usize = MOST_ITEMS;

    /// What stands in for a value that could not be read. It never leaves the reader: an error was noted.
    fn blank() -> Self;
    /// The value at `node`; what is wrong with it is noted in `reader`.
    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self;
    /// The value as JSON. It is mutable because one description serves for reading and writing.
    fn write(&mut self, writer: &Writer) -> Json;
    /// JSON Schema of such values.
    fn schema(book: &mut Book) -> Json;
}

/// A value that stands in the file as an object with known fields.
pub(super) trait Record: Sized {
    /// Name in the schema; `None` describes it in place.
    const NAME: Option<&'static str>;
    /// What it is.
    const SAYS: &'static str;

    fn blank() -> Self;
    /// Visits every field, in the order in which they are written.
    fn visit<V: Fields>(&mut self, fields: &mut V);
}

/// A value that is one of several things; a word in the field `TAG` says which, and decides the fields beside it.
pub(super) trait Choice: Sized + 'static {
    const TAG: &'static str;
    const WORDS: &'static [&'static str];

    /// The thing that goes with `WORDS[place]`, all else blank.
    fn blank(place: usize) -> Self;
    fn word(&self) -> &'static str;
    fn visit<V: Fields>(&mut self, fields: &mut V);
}

/// An id that the file gives to something.
pub(super) trait Id: Copy {
    /// Of what.
    const WHAT: &'static str;

    fn from_number(number: u32) -> Self;
    fn number(self) -> u32;
}

/// What visits the fields of a record: a reader, a writer, or the schema. `says` is for the schema.
pub(super) trait Fields {
    /// A field that is always there.
    fn must<T: Piece>(&mut self, key: &'static str, value: &mut T, says: &'static str);
    /// A field that may be left out.
    fn option<T: Piece>(&mut self, key: &'static str, value: &mut Option<T>, says: &'static str);
    /// A field that is left out where it has its usual value.
    fn unless_usual<T: Piece + Default + PartialEq>(
        &mut self,
        key: &'static str,
        value: &mut T,
        says: &'static str,
    );
    /// A longer text, left out where it is empty.
    fn prose(&mut self, key: &'static str, value: &mut String, says: &'static str);
    /// The id by which other places refer to this record.
    fn id<I: Id>(&mut self, value: &mut I);
    /// The word that says which of several things this is, and its fields.
    fn choice<C: Choice>(&mut self, value: &mut C, says: &'static str);
    /// From here on, pins and cavities are those of this part.
    fn host(&mut self, part: u32);
    /// What opens every file: format and version.
    fn heading(&mut self);
    /// The lowest number that no id has ever had; comes after every other field.
    fn next_id(&mut self, value: &mut u32);
}

impl<T: Record> Piece for T {
    fn blank() -> Self {
        <T as Record>::blank()
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        super::fields::read(node, reader)
    }

    fn write(&mut self, writer: &Writer) -> Json {
        super::writer::record(self, writer)
    }

    fn schema(book: &mut Book) -> Json {
        book.record::<T>()
    }
}

/// One of a fixed set of words.
pub(super) fn word_place(
    node: &Node<'_>,
    known: &[&'static str],
    reader: &mut Reader<'_>,
) -> Option<usize> {
    let Some(found) = node.text() else {
        let (found, wanted) = (node.is(), "a word");
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

/// Words that stand for the values of a plain enum.
macro_rules! words {
    ($type:ty, $name:literal { $($value:path = $word:literal),* $(,)? }) => {
        impl $crate::model::file::piece::Piece for $type {
            fn blank() -> Self {
                const ALL: &[$crate::model::file::piece::First<$type>] = &[$($value),*];
                ALL[0]
            }

            fn read(
                node: &$crate::model::file::tree::Node<'_>,
                reader: &mut $crate::model::file::reader::Reader<'_>,
            ) -> Self {
                let all = [$($value),*];
                $crate::model::file::piece::word_place(node, &[$($word),*], reader)
                    .and_then(|place| all.get(place).copied())
                    .unwrap_or_else(<Self as $crate::model::file::piece::Piece>::blank)
            }

            fn write(
                &mut self,
                _: &$crate::model::file::writer::Writer,
            ) -> $crate::model::file::json::Json {
                $crate::model::file::json::Json::text(match self { $($value => $word),* })
            }

            fn schema(
                book: &mut $crate::model::file::schema::Book,
            ) -> $crate::model::file::json::Json {
                let words = $crate::model::file::schema::one_of_words(&[$($word),*]);
                book.shared($name, words)
            }
        }
    };
}
pub(super) use words;

/// The type itself, so that a macro can name it in a list.
pub(super) type First<T> = T;

/// A choice by its words: the pattern that has the word, and the blank value.
macro_rules! choice {
    ($type:ident by $tag:literal { $($pattern:pat = $word:literal: $blank:expr),* $(,)? } visit($self:ident, $fields:ident) $body:block) => {
        impl $crate::model::file::piece::Choice for $type {
            const TAG: &'static str = $tag;
            const WORDS: &'static [&'static str] = &[$($word),*];

            fn blank(place: usize) -> Self {
                let blanks: &[fn() -> Self] = &[$(|| $blank),*];
                blanks.get(place).unwrap_or(&blanks[0])()
            }

            fn word(&self) -> &'static str {
                match self { $($pattern => $word),* }
            }

            fn visit<V: $crate::model::file::piece::Fields>(&mut $self, $fields: &mut V) $body
        }
    };
}
pub(super) use choice;
