//! The engine in the file.

use super::error::Wrong;
use super::json::Json;
use super::piece::{Blank, Fields, Piece, Record, choice, words};
use super::plain::whole;
use super::reader::Reader;
#[cfg(any(test, feature = "schema"))]
use super::schema::{self, Book};
use super::tree::{Node, Value};
use super::writer::Writer;
use crate::engine::{Bank, Engine, Firing, Layout, Strokes};
use crate::provenance::Fact;
use crate::said::to_say;
use crate::units::Degrees;

impl Blank for Engine {
    fn blank() -> Self {
        Self {
            strokes: Strokes::Four,
            layout: Layout::Inline,
            banks: Vec::new(),
            order: Fact::assumed(Vec::new()),
            firing: Fact::assumed(Firing::Even),
        }
    }
}

impl Record for Engine {
    const SAYS: (&'static str, &'static str) =
        ("engine", "The engine, as far as ignition is concerned.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.must("strokes", &mut self.strokes, "Two- or four-stroke.");
        fields.must("layout", &mut self.layout, "How the cylinders stand.");
        fields.must(
            "banks",
            &mut self.banks,
            "The rows of cylinders, left to right, seen from above with the front up.",
        );
        fields.must("firing_order", &mut self.order, "The firing order.");
        fields.must(
            "firing_degrees",
            &mut self.firing,
            "\"even\", or the crank angle of each cylinder of the firing order after the first, which is 0.",
        );
    }
}

impl Blank for Bank {
    fn blank() -> Self {
        Self {
            name: String::new(),
            cylinders: Vec::new(),
        }
    }
}

impl Record for Bank {
    const SAYS: (&'static str, &'static str) = ("bank", "One row of cylinders.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.maybe("name", &mut self.name, "What the owner calls it.");
        fields.must("cylinders", &mut self.cylinders, "Front to rear.");
    }
}

choice!(Layout by "kind" {
    Self::Inline = "inline": Self::Inline,
    Self::Vee { .. } = "vee": Self::Vee { bank_angle: Degrees::ZERO },
    Self::Flat = "flat": Self::Flat,
    Self::Custom = "custom": Self::Custom,
} visit(self, fields) {
    match self {
        Self::Vee { bank_angle } => {
            fields.must("bank_angle_degrees", bank_angle, "Angle between the banks.");
        }
        Self::Inline | Self::Flat | Self::Custom => {}
    }
});

impl Blank for Layout {
    fn blank() -> Self {
        Self::Inline
    }
}

impl Record for Layout {
    const SAYS: (&'static str, &'static str) = ("", "How the cylinders stand.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.one_of(
            self,
            "All in one row, in two rows at an angle, flat, or otherwise.",
        );
    }
}

impl Piece for Strokes {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        *self = match whole(node, 0, i64::MAX, reader) {
            Some(2) => Self::Two,
            Some(4) | None => Self::Four,
            Some(strokes) => {
                let wrong = Wrong::UnknownWord {
                    found: strokes.to_string(),
                    known: vec!["2", "4"],
                    close: None,
                };
                reader.wrong(node.at, wrong);
                Self::Four
            }
        };
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::whole(match self {
            Self::Two => 2_u8,
            Self::Four => 4,
        })
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, _: &mut Book) -> Json {
        let both = vec![Json::whole(2_u8), Json::whole(4_u8)];
        Json::object([("enum", Json::List(both))])
    }
}

/// The one word that can stand for all angles.
#[derive(Clone, Copy, PartialEq)]
struct Even;

words!(Even, "even", { Even = "even" });

impl Blank for Firing {
    fn blank() -> Self {
        Self::Even
    }
}

impl Piece for Firing {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        match node.value {
            Value::List(_) => {
                let mut angles: Vec<Degrees> = Vec::new();
                angles.read(node, reader);
                *self = Self::At(angles);
            }
            Value::Text(_) => {
                Even.read(node, reader);
                *self = Self::Even;
            }
            Value::Null | Value::Flag | Value::Number(_) | Value::Object(_) => {
                let (found, wanted) = (node.is(), to_say("\"even\" or a list of crank angles"));
                reader.wrong(node.at, Wrong::OtherKind { found, wanted });
            }
        }
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        match self {
            Self::Even => Even.write(writer),
            Self::At(angles) => angles.write(writer),
        }
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        schema::any_of([Even.schema(book), Vec::<Degrees>::new().schema(book)])
    }
}
