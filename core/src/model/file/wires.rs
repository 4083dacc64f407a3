//! Wires in the file.

use super::error::Wrong;
use super::json::Json;
use super::limits::{THICKEST_AWG, THINNEST_AWG};
use super::piece::{Blank, Fields, Piece, Record, word_place};
use super::plain::{Row, whole};
use super::reader::Reader;
#[cfg(any(test, feature = "schema"))]
use super::schema::{self, Book};
use super::tree::Node;
use super::writer::Writer;
use crate::model::{Colour, Wire, WireColour, WireId, WireSize};
use crate::units::SquareMillimetres;

impl Blank for Row<WireId, Wire> {
    fn blank() -> Self {
        Self {
            id: WireId::from_number(0),
            row: Wire::default(),
        }
    }
}

impl Record for Row<WireId, Wire> {
    const SAYS: (&'static str, &'static str) = (
        "wire",
        "A wire. An end that nobody has followed yet is left out.",
    );

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.id(&mut self.id);
        let wire = &mut self.row;
        fields.maybe(
            "from",
            &mut wire.from,
            "The end toward the battery or control unit.",
        );
        fields.maybe("to", &mut wire.to, "The other end.");
        fields.maybe(
            "colour",
            &mut wire.colour,
            "Insulation colour, codes of IEC 60757.",
        );
        fields.maybe("size", &mut wire.size, "Conductor size.");
        fields.maybe("length_m", &mut wire.length, "Length.");
        fields.text("note", &mut wire.note, "Anything else worth keeping.");
    }
}

impl Blank for WireColour {
    fn blank() -> Self {
        Self {
            base: Colour::Black,
            tracer: None,
        }
    }
}

impl Record for WireColour {
    const SAYS: (&'static str, &'static str) = ("colour", "Base colour and tracer stripe, apart.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.must("base", &mut self.base, "The insulation.");
        fields.maybe("tracer", &mut self.tracer, "The stripe.");
    }
}

fn codes() -> Vec<&'static str> {
    Colour::ALL.iter().map(|colour| colour.code()).collect()
}

impl Blank for Colour {
    fn blank() -> Self {
        Self::Black
    }
}

impl Piece for Colour {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        let place = word_place(node, &codes(), reader);
        if let Some(colour) = place.and_then(|place| Self::ALL.get(place)) {
            *self = *colour;
        }
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::text(self.code())
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        book.shared("colour_code", schema::one_of_words(&codes()))
    }
}

/// A size in the file: one of two fields, so that an owner may write what the wire says.
struct SizeFields {
    area: Option<SquareMillimetres>,
    gauge: Option<Gauge>,
}

struct Gauge(i8);

impl Blank for Gauge {
    fn blank() -> Self {
        Self(0)
    }
}

impl Piece for Gauge {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        let gauge = whole(node, THICKEST_AWG.into(), THINNEST_AWG.into(), reader);
        self.0 = gauge.and_then(|n| i8::try_from(n).ok()).unwrap_or(0);
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::whole(self.0)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, _: &mut Book) -> Json {
        schema::whole(THICKEST_AWG.into(), THINNEST_AWG.into())
    }
}

impl Blank for SizeFields {
    fn blank() -> Self {
        Self {
            area: None,
            gauge: None,
        }
    }
}

impl Record for SizeFields {
    const SAYS: (&'static str, &'static str) = ("", "Cross-section or gauge: one of the two.");

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.maybe(
            "area_mm2",
            &mut self.area,
            "Cross-section in square millimetres.",
        );
        fields.maybe(
            "awg",
            &mut self.gauge,
            "American wire gauge; 0 is 1/0, -1 is 2/0, down to -3.",
        );
    }
}

impl Blank for WireSize {
    fn blank() -> Self {
        Self::Area(SquareMillimetres::ZERO)
    }
}

impl Piece for WireSize {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        let mut fields = SizeFields::blank();
        fields.read(node, reader);
        match (fields.area, fields.gauge) {
            (Some(area), None) => *self = Self::Area(area),
            (None, Some(Gauge(gauge))) => *self = Self::Awg(gauge),
            (Some(_), Some(_)) => reader.wrong(node.at, Wrong::BothSizes),
            (None, None) => {
                let (field, instead) = ("area_mm2", None);
                reader.wrong(node.at, Wrong::MissingField { field, instead });
            }
        }
    }

    fn write(&mut self, writer: &Writer<'_>) -> Json {
        let mut fields = match self {
            Self::Area(area) => SizeFields {
                area: Some(*area),
                gauge: None,
            },
            Self::Awg(gauge) => SizeFields {
                area: None,
                gauge: Some(Gauge(*gauge)),
            },
        };
        fields.write(writer)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, book: &mut Book) -> Json {
        match SizeFields::blank().schema(book) {
            Json::Object(mut fields) => {
                fields.push(("minProperties", Json::whole(1_u8)));
                fields.push(("maxProperties", Json::whole(1_u8)));
                Json::Object(fields)
            }
            other @ (Json::Flag(_) | Json::Number(_) | Json::Text(_) | Json::List(_)) => other,
        }
    }
}
