//! Numbers, texts, quantities, ids and lists.

use crate::said::to_say;
use std::collections::{BTreeMap, BTreeSet};

use super::error::{A_NUMBER, Wrong};
use super::json::Json;
use super::limits::{FARTHEST_MOMENT, MOST_ID, MOST_ITEMS, MOST_NAME, MOST_NUMBER};
use super::piece::{Blank, Fields, Id, Piece, Record, words};
use super::reader::Reader;
#[cfg(any(test, feature = "schema"))]
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

/// A number from 1 without sign or leading zero.
pub(super) fn plain_number(text: &str) -> Option<u32> {
    let plain = text.bytes().all(|b| b.is_ascii_digit()) && !text.starts_with('0');
    plain.then(|| text.parse().ok()).flatten()
}

/// The text at `node`, if it is one and not longer than that.
pub(super) fn text_up_to(most: usize, node: &Node<'_>, reader: &mut Reader<'_>) -> String {
    let Some(text) = node.text() else {
        let (found, wanted) = (node.is(), to_say("text, in double quotes"));
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

impl Blank for String {
    fn blank() -> Self {
        Self::new()
    }
}

impl Piece for String {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        *self = text_up_to(MOST_NAME, node, reader);
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::text(self.as_str())
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, _: &mut Book) -> Json {
        schema::name()
    }
}

impl<T: Piece + Blank> Piece for Option<T> {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        self.insert(T::blank()).read(node, reader);
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        self.get_or_insert_with(T::blank).write(writer)
    }

    fn is_usual(&self) -> bool {
        self.is_none()
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        T::blank().schema(book)
    }
}

/// The items of the list at `node`; none where it is no list, or too long a one.
fn items<'n, 'a>(most: usize, node: &'n Node<'a>, reader: &mut Reader<'_>) -> &'n [Node<'a>] {
    let Value::List(items) = &node.value else {
        let (found, wanted) = (node.is(), to_say("a list, in square brackets"));
        reader.wrong(node.at, Wrong::OtherKind { found, wanted });
        return &[];
    };
    if items.len() > most {
        let items = items.len();
        reader.wrong(node.at, Wrong::TooMany { items, most });
        return &[];
    }
    items
}

impl<T> Blank for Vec<T> {
    fn blank() -> Self {
        Self::new()
    }
}

impl<T: Piece + Blank> Piece for Vec<T> {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        for item in items(T::MOST, node, reader) {
            let mut value = T::blank();
            value.read(item, reader);
            self.push(value);
        }
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        Json::List(self.iter_mut().map(|item| item.write(writer)).collect())
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        schema::array(T::blank().schema(book), T::MOST)
    }
}

impl<T: Piece + Blank + Ord + Copy> Piece for BTreeSet<T> {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        // One by one: collecting would bring along a sort that the app does not have otherwise.
        for item in items(T::MOST, node, reader) {
            let mut value = T::blank();
            value.read(item, reader);
            self.insert(value);
        }
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        let mut list = Vec::new();
        for item in &*self {
            list.push({ *item }.write(writer));
        }
        Json::List(list)
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        schema::array(T::blank().schema(book), T::MOST)
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
    Row<K, T>: Record + Blank,
{
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        for item in items(Row::<K, T>::MOST, node, reader) {
            let mut row = Row::blank();
            row.read(item, reader);
            self.insert(row.id, row.row);
        }
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        let mut list = Vec::new();
        for (id, row) in std::mem::take(self) {
            list.push(Row { id, row }.write(writer));
        }
        Json::List(list)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        let most = Row::<K, T>::MOST;
        schema::array(Row::<K, T>::blank().schema(book), most)
    }
}

impl<T: Blank> Blank for Fact<T> {
    fn blank() -> Self {
        Self::assumed(T::blank())
    }
}

impl<T: Piece> Record for Fact<T> {
    const SAYS: (&'static str, &'static str) = ("", "A fact: a value and how it is known.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.must("value", &mut self.value, "");
        fields.must("how", &mut self.how, "How it is known.");
    }
}

words!(Provenance, "how", {
    Provenance::Assumed = "assumed",
    Provenance::Diagram = "diagram",
    Provenance::Measured = "measured",
});

macro_rules! quantities {
    ($($type:ident from $least:expr, at most $most:expr);* $(;)?) => {
        $(impl Blank for $type {
            const MOST: usize = $most;

            fn blank() -> Self {
                Self::ZERO
            }
        }

        impl Piece for $type {
            fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
                let found = number(node, $least, MOST_NUMBER, reader);
                if let Some(value) = found.and_then(|number| Self::new(number).ok()) {
                    *self = value;
                }
            }

            fn write(&mut self, _: &Writer<'_>) -> Json {
                Json::number(self.get())
            }

            #[cfg(any(test, feature = "schema"))]
            fn schema(&mut self, _: &mut Book) -> Json {
                schema::number($least, MOST_NUMBER)
            }
        })*
    };
}

quantities!(
    Volts from -MOST_NUMBER, at most MOST_ITEMS;
    Ohms from 0.0, at most MOST_ITEMS;
    Amps from 0.0, at most MOST_ITEMS;
    Henries from 0.0, at most MOST_ITEMS;
    Metres from 0.0, at most MOST_ITEMS;
    Millimetres from 0.0, at most MOST_ITEMS;
    SquareMillimetres from 0.0, at most MOST_ITEMS;
    Rpm from 0.0, at most MOST_ITEMS;
    Minutes from 0.0, at most MOST_ITEMS;
    Degrees from -MOST_NUMBER, at most MOST_CYLINDERS as usize;
);

impl Blank for f64 {
    fn blank() -> Self {
        0.0
    }
}

/// A bare number: a ratio, or a place on the map.
impl Piece for f64 {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        *self = number(node, -MOST_NUMBER, MOST_NUMBER, reader).unwrap_or_default();
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::number(*self)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, _: &mut Book) -> Json {
        schema::number(-MOST_NUMBER, MOST_NUMBER)
    }
}

impl Blank for CylinderId {
    const MOST: usize = MOST_CYLINDERS as usize;

    fn blank() -> Self {
        Self(1)
    }
}

impl Piece for CylinderId {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        let number = whole(node, 1, MOST_CYLINDERS.into(), reader);
        self.0 = number.and_then(|n| u8::try_from(n).ok()).unwrap_or(1);
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::whole(self.0)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        book.shared("cylinder", schema::whole(1, MOST_CYLINDERS.into()))
    }
}

impl Blank for Timestamp {
    fn blank() -> Self {
        Self(0)
    }
}

impl Piece for Timestamp {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        self.0 = whole(node, -FARTHEST_MOMENT, FARTHEST_MOMENT, reader).unwrap_or_default();
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::whole(self.0)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, _: &mut Book) -> Json {
        schema::whole(-FARTHEST_MOMENT, FARTHEST_MOMENT)
    }
}

macro_rules! ids {
    ($($type:ident $what:expr),* $(,)?) => {
        $(impl Id for $type {
            fn what(&self) -> &'static str {
                $what
            }

            fn set(&mut self, number: u32) {
                *self = Self::from_number(number);
            }

            fn get(&self) -> u32 {
                self.number()
            }
        })*
    };
}

ids!(
    PartId to_say("part"),
    WireId to_say("wire"),
    DriverId to_say("driver"),
    PinId to_say("pin"),
    CavityId to_say("cavity"),
    FindingId to_say("finding"),
    WorkId to_say("entry of the work log"),
);

/// What stands in front of the id of something that the harness no longer has: a finding may well be about a part
/// that is gone. Without it a reference to nothing is an error, for it is most likely a slip.
pub(super) const GONE: &str = "gone ";

/// Ids by which something is referred to.
macro_rules! references {
    ($($type:ident)*) => {
        $(impl Blank for $type {
            fn blank() -> Self {
                Self::from_number(0)
            }
        }

        impl Piece for $type {
            fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
                read_reference(self, node, reader);
            }

            fn write(&mut self, writer: &Writer<'_>) -> Json {
                write_reference(self, writer)
            }

            #[cfg(any(test, feature = "schema"))]
            fn schema(&mut self, book: &mut Book) -> Json {
                book.reference()
            }
        })*
    };
}

references!(PartId WireId DriverId PinId CavityId);

fn write_reference(value: &dyn Id, writer: &Writer<'_>) -> Json {
    if writer.exists(value.what(), value.get()) {
        Json::whole(value.get())
    } else {
        Json::Text(format!("{GONE}{}", value.get()))
    }
}

fn read_reference(value: &mut dyn Id, node: &Node<'_>, reader: &mut Reader<'_>) {
    let gone = node.text().and_then(|text| text.strip_prefix(GONE));
    if let Some(id) = gone.and_then(plain_number) {
        value.set(id);
        return;
    }
    let number = whole(node, 1, MOST_ID.into(), reader);
    let Some(id) = number.and_then(|n| u32::try_from(n).ok()) else {
        return;
    };
    let what = value.what();
    if !reader.exists(what, id) {
        reader.wrong(node.at, Wrong::NoSuchId { what, id });
    }
    value.set(id);
}
