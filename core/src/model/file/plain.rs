//! Numbers, texts, quantities, ids and lists.

use std::collections::{BTreeMap, BTreeSet};

use super::error::{A_NUMBER, Wrong};
use super::json::Json;
use super::limits::{FARTHEST_MOMENT, MOST_ID, MOST_NAME, MOST_NUMBER};
use super::piece::{Fields, Id, Piece, Record, words};
use super::reader::Reader;
use super::schema::{self, Book};
use super::tree::{Node, Value};
use super::writer::Writer;
use crate::engine::{CylinderId, MOST_CYLINDERS};
use crate::model::{CavityId, DriverId, FindingId, PartId, PinId, Timestamp, WireId, WorkId};
use crate::provenance::{Fact, Provenance};
use crate::units::{
    Amps, Degrees, Henries, Metres, Millimetres, Minutes, Ohms, Rpm, SquareMillimetres, Volts,
};

/// The number at `node`, as written.
fn digits<'n>(node: &'n Node<'_>, reader: &mut Reader<'_>) -> Option<&'n str> {
    if let Value::Number(digits) = node.value {
        return Some(digits);
    }
    let (found, wanted) = (node.is(), A_NUMBER);
    reader.wrong(node.at, Wrong::OtherKind { found, wanted });
    None
}

/// The number at `node`, if it lies in the range.
pub(super) fn number(
    node: &Node<'_>,
    least: f64,
    most: f64,
    reader: &mut Reader<'_>,
) -> Option<f64> {
    let digits = digits(node, reader)?;
    let number: f64 = digits.parse().unwrap_or(f64::INFINITY);
    if (least..=most).contains(&number) {
        return Some(number);
    }
    let found = digits.to_owned();
    reader.wrong(node.at, Wrong::OutOfRange { found, least, most });
    None
}

/// The whole number at `node`, if it is one and lies in the range.
pub(super) fn whole(
    node: &Node<'_>,
    least: i64,
    most: i64,
    reader: &mut Reader<'_>,
) -> Option<i64> {
    let digits = digits(node, reader)?;
    match node.whole::<i64>() {
        Some(number) if (least..=most).contains(&number) => Some(number),
        None if digits.parse().is_ok_and(|n: f64| n.fract().abs() > 0.0) => {
            let found = digits.to_owned();
            reader.wrong(node.at, Wrong::NotWhole { found });
            None
        }
        Some(_) | None => {
            let found = digits.to_owned();
            #[allow(
                clippy::cast_precision_loss,
                reason = "only told to people, and all limits here are exact"
            )]
            let (least, most) = (least as f64, most as f64);
            reader.wrong(node.at, Wrong::OutOfRange { found, least, most });
            None
        }
    }
}

/// The text at `node`, if it is one and not longer than that.
pub(super) fn text_up_to(most: usize, node: &Node<'_>, reader: &mut Reader<'_>) -> String {
    let Some(text) = node.text() else {
        let (found, wanted) = (node.is(), "text, in double quotes");
        reader.wrong(node.at, Wrong::OtherKind { found, wanted });
        return String::new();
    };
    let characters = text.chars().count();
    if characters > most {
        reader.wrong(node.at, Wrong::TooLong { characters, most });
        return String::new();
    }
    text.to_owned()
}

impl Piece for String {
    fn blank() -> Self {
        Self::new()
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        text_up_to(MOST_NAME, node, reader)
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::text(self.as_str())
    }

    fn schema(_: &mut Book) -> Json {
        schema::name()
    }
}

/// The items of the list at `node`.
fn list<T: Piece>(node: &Node<'_>, reader: &mut Reader<'_>) -> Vec<T> {
    let Value::List(items) = &node.value else {
        let (found, wanted) = (node.is(), "a list, in square brackets");
        reader.wrong(node.at, Wrong::OtherKind { found, wanted });
        return Vec::new();
    };
    if items.len() > T::MOST {
        let (items, most) = (items.len(), T::MOST);
        reader.wrong(node.at, Wrong::TooMany { items, most });
        return Vec::new();
    }
    items.iter().map(|item| T::read(item, reader)).collect()
}

impl<T: Piece> Piece for Vec<T> {
    fn blank() -> Self {
        Self::new()
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        list(node, reader)
    }

    fn write(&mut self, writer: &Writer) -> Json {
        Json::List(self.iter_mut().map(|item| item.write(writer)).collect())
    }

    fn schema(book: &mut Book) -> Json {
        schema::array(T::schema(book), T::MOST)
    }
}

impl<T: Piece + Ord + Copy> Piece for BTreeSet<T> {
    fn blank() -> Self {
        Self::new()
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        // One by one: collecting would bring along a sort that the app does not have otherwise.
        let mut set = Self::new();
        for item in list(node, reader) {
            set.insert(item);
        }
        set
    }

    fn write(&mut self, writer: &Writer) -> Json {
        Json::List(self.iter().map(|item| { *item }.write(writer)).collect())
    }

    fn schema(book: &mut Book) -> Json {
        schema::array(T::schema(book), T::MOST)
    }
}

/// A value that the model keeps under its id, with the id: in the file they are one record.
pub(super) struct Row<K, T> {
    pub(super) id: K,
    pub(super) row: T,
}

impl<K, T> Piece for BTreeMap<K, T>
where
    K: Ord + Copy,
    Row<K, T>: Record,
{
    fn blank() -> Self {
        Self::new()
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        let mut map = Self::new();
        for row in list::<Row<K, T>>(node, reader) {
            map.insert(row.id, row.row);
        }
        map
    }

    fn write(&mut self, writer: &Writer) -> Json {
        let rows = std::mem::take(self).into_iter();
        let rows = rows.map(|(id, row)| Row { id, row }.write(writer));
        Json::List(rows.collect())
    }

    fn schema(book: &mut Book) -> Json {
        Vec::<Row<K, T>>::schema(book)
    }
}

impl<T: Piece> Record for Fact<T> {
    const NAME: Option<&'static str> = None;
    const SAYS: &'static str = "A fact: a value and how it is known.";

    fn blank() -> Self {
        Self::assumed(T::blank())
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.must("value", &mut self.value, "");
        fields.must("how", &mut self.how, "How it is known.");
    }
}

words!(Provenance, "how" {
    Provenance::Assumed = "assumed",
    Provenance::Diagram = "diagram",
    Provenance::Measured = "measured",
});

macro_rules! quantities {
    ($($type:ident from $least:expr),* $(,)?) => {
        $(impl Piece for $type {
            fn blank() -> Self {
                Self::ZERO
            }

            fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
                number(node, $least, MOST_NUMBER, reader)
                    .and_then(|number| Self::new(number).ok())
                    .unwrap_or_default()
            }

            fn write(&mut self, _: &Writer) -> Json {
                Json::number(self.get())
            }

            fn schema(_: &mut Book) -> Json {
                schema::number($least, MOST_NUMBER)
            }
        })*
    };
}

quantities!(
    Volts from -MOST_NUMBER,
    Ohms from 0.0,
    Amps from 0.0,
    Henries from 0.0,
    Metres from 0.0,
    Millimetres from 0.0,
    SquareMillimetres from 0.0,
    Rpm from 0.0,
    Minutes from 0.0,
);

impl Piece for Degrees {
    const MOST: usize = MOST_CYLINDERS as usize;

    fn blank() -> Self {
        Self::ZERO
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        number(node, -MOST_NUMBER, MOST_NUMBER, reader)
            .and_then(|number| Self::new(number).ok())
            .unwrap_or_default()
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::number(self.get())
    }

    fn schema(_: &mut Book) -> Json {
        schema::number(-MOST_NUMBER, MOST_NUMBER)
    }
}

/// A bare number: a ratio, or a place on the map.
impl Piece for f64 {
    fn blank() -> Self {
        0.0
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        number(node, -MOST_NUMBER, MOST_NUMBER, reader).unwrap_or_default()
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::number(*self)
    }

    fn schema(_: &mut Book) -> Json {
        schema::number(-MOST_NUMBER, MOST_NUMBER)
    }
}

impl Piece for CylinderId {
    const MOST: usize = MOST_CYLINDERS as usize;

    fn blank() -> Self {
        Self(1)
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        let number = whole(node, 1, MOST_CYLINDERS.into(), reader);
        Self(number.and_then(|n| u8::try_from(n).ok()).unwrap_or(1))
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::whole(self.0)
    }

    fn schema(book: &mut Book) -> Json {
        book.shared("cylinder", schema::whole(1, MOST_CYLINDERS.into()))
    }
}

impl Piece for Timestamp {
    fn blank() -> Self {
        Self(0)
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        Self(whole(node, -FARTHEST_MOMENT, FARTHEST_MOMENT, reader).unwrap_or_default())
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::whole(self.0)
    }

    fn schema(_: &mut Book) -> Json {
        schema::whole(-FARTHEST_MOMENT, FARTHEST_MOMENT)
    }
}

/// An id by which something is referred to; it must be given somewhere in the file.
macro_rules! ids {
    ($($type:ident $what:literal exists by |$reader:ident, $id:ident| $exists:expr);* $(;)?) => {
        $(impl Id for $type {
            const WHAT: &'static str = $what;

            fn from_number(number: u32) -> Self {
                Self::from_number(number)
            }

            fn number(self) -> u32 {
                Self::number(self)
            }
        }

        impl Piece for $type {
            fn blank() -> Self {
                Self::from_number(0)
            }

            fn read(node: &Node<'_>, $reader: &mut Reader<'_>) -> Self {
                let number = whole(node, 1, MOST_ID.into(), $reader);
                let Some($id) = number.and_then(|n| u32::try_from(n).ok()) else {
                    return <Self as Piece>::blank();
                };
                if !$exists {
                    $reader.wrong(node.at, Wrong::NoSuchId { what: $what, id: $id });
                }
                Self::from_number($id)
            }

            fn write(&mut self, _: &Writer) -> Json {
                Json::whole(self.number())
            }

            fn schema(book: &mut Book) -> Json {
                book.shared("id", schema::whole(1, MOST_ID.into()))
            }
        })*
    };
}

ids!(
    PartId "part" exists by |reader, id| reader.parts.contains_key(&id);
    WireId "wire" exists by |reader, id| reader.wires.contains(&id);
    DriverId "driver" exists by |reader, id| reader.drivers.contains(&id);
    PinId "pin" exists by |reader, id| reader
        .host
        .and_then(|part| reader.parts.get(&part))
        .is_none_or(|part| part.pins.contains(&id));
    CavityId "cavity" exists by |reader, id| reader
        .host
        .and_then(|part| reader.parts.get(&part))
        .is_none_or(|part| part.cavities.contains(&id));
);

macro_rules! ids_never_referred_to {
    ($($type:ident $what:literal),*) => {
        $(impl Id for $type {
            const WHAT: &'static str = $what;

            fn from_number(number: u32) -> Self {
                Self::from_number(number)
            }

            fn number(self) -> u32 {
                Self::number(self)
            }
        })*
    };
}

ids_never_referred_to!(FindingId "finding", WorkId "entry of the work log");
