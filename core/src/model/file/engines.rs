//! The engine in the file.

use super::error::Wrong;
use super::json::Json;
use super::piece::{Fields, Piece, Record, choice, words};
use super::plain::whole;
use super::reader::Reader;
use super::schema::{self, Book};
use super::tree::{Node, Value};
use super::writer::Writer;
use crate::engine::{Bank, Engine, Firing, Layout, Strokes};
use crate::provenance::Fact;
use crate::units::Degrees;

impl Record for Engine {
    const NAME: Option<&'static str> = Some("engine");
    const SAYS: &'static str = "The engine, as far as ignition is concerned.";

    fn blank() -> Self {
        Self {
            strokes: Strokes::Four,
            layout: Layout::Inline,
            banks: Vec::new(),
            order: Fact::assumed(Vec::new()),
            firing: Fact::assumed(Firing::Even),
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
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

impl Record for Bank {
    const NAME: Option<&'static str> = Some("bank");
    const SAYS: &'static str = "One row of cylinders.";

    fn blank() -> Self {
        Self {
            name: String::new(),
            cylinders: Vec::new(),
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.unless_usual("name", &mut self.name, "What the owner calls it.");
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

impl Record for Layout {
    const NAME: Option<&'static str> = None;
    const SAYS: &'static str = "How the cylinders stand.";

    fn blank() -> Self {
        Self::Inline
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.choice(
            self,
            "All in one row, in two rows at an angle, flat, or otherwise.",
        );
    }
}

impl Piece for Strokes {
    fn blank() -> Self {
        Self::Four
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        match whole(node, 0, i64::MAX, reader) {
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
        }
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::whole(match self {
            Self::Two => 2_u8,
            Self::Four => 4,
        })
    }

    fn schema(_: &mut Book) -> Json {
        let both = vec![Json::whole(2_u8), Json::whole(4_u8)];
        Json::object([("enum", Json::List(both))])
    }
}

/// The one word that can stand for all angles.
#[derive(Clone, Copy)]
struct Even;

words!(Even, "even" { Even = "even" });

impl Piece for Firing {
    fn blank() -> Self {
        Self::Even
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        match node.value {
            Value::List(_) => Self::At(Vec::read(node, reader)),
            Value::Text(_) => {
                let Even = Even::read(node, reader);
                Self::Even
            }
            Value::Null | Value::Flag | Value::Number(_) | Value::Object(_) => {
                let (found, wanted) = (node.is(), "\"even\" or a list of crank angles");
                reader.wrong(node.at, Wrong::OtherKind { found, wanted });
                Self::Even
            }
        }
    }

    fn write(&mut self, writer: &Writer) -> Json {
        match self {
            Self::Even => Even.write(writer),
            Self::At(angles) => angles.write(writer),
        }
    }

    fn schema(book: &mut Book) -> Json {
        schema::any_of([Even::schema(book), Vec::<Degrees>::schema(book)])
    }
}
