//! Wires in the file.

use super::error::Wrong;
use super::json::Json;
use super::limits::{THICKEST_AWG, THINNEST_AWG};
use super::piece::{Fields, Piece, Record, word_place};
use super::plain::{Row, whole};
use super::reader::Reader;
use super::schema::{self, Book};
use super::tree::Node;
use super::writer::Writer;
use crate::model::{Colour, Wire, WireColour, WireId, WireSize};
use crate::units::SquareMillimetres;

impl Record for Row<WireId, Wire> {
    const NAME: Option<&'static str> = Some("wire");
    const SAYS: &'static str = "A wire. An end that nobody has followed yet is left out.";

    fn blank() -> Self {
        Self {
            id: WireId::from_number(0),
            row: Wire::default(),
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.id(&mut self.id);
        let wire = &mut self.row;
        fields.option(
            "from",
            &mut wire.from,
            "The end toward the battery or control unit.",
        );
        fields.option("to", &mut wire.to, "The other end.");
        fields.option(
            "colour",
            &mut wire.colour,
            "Insulation colour, codes of IEC 60757.",
        );
        fields.option("size", &mut wire.size, "Conductor size.");
        fields.option("length_m", &mut wire.length, "Length.");
        fields.prose("note", &mut wire.note, "Anything else worth keeping.");
    }
}

impl Record for WireColour {
    const NAME: Option<&'static str> = Some("colour");
    const SAYS: &'static str = "Base colour and tracer stripe, apart.";

    fn blank() -> Self {
        Self {
            base: Colour::Black,
            tracer: None,
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.must("base", &mut self.base, "The insulation.");
        fields.option("tracer", &mut self.tracer, "The stripe.");
    }
}

fn codes() -> Vec<&'static str> {
    Colour::ALL.iter().map(|colour| colour.code()).collect()
}

impl Piece for Colour {
    fn blank() -> Self {
        Self::Black
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        let place = word_place(node, &codes(), reader);
        let colour = place.and_then(|place| Self::ALL.get(place).copied());
        colour.unwrap_or(Self::Black)
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::text(self.code())
    }

    fn schema(_: &mut Book) -> Json {
        schema::one_of_words(&codes())
    }
}

/// A size in the file: one of two fields, so that an owner may write what the wire says.
struct SizeFields {
    area: Option<SquareMillimetres>,
    gauge: Option<Gauge>,
}

struct Gauge(i8);

impl Piece for Gauge {
    fn blank() -> Self {
        Self(0)
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        let gauge = whole(node, THICKEST_AWG.into(), THINNEST_AWG.into(), reader);
        Self(gauge.and_then(|n| i8::try_from(n).ok()).unwrap_or(0))
    }

    fn write(&mut self, _: &Writer) -> Json {
        Json::whole(self.0)
    }

    fn schema(_: &mut Book) -> Json {
        schema::whole(THICKEST_AWG.into(), THINNEST_AWG.into())
    }
}

impl Record for SizeFields {
    const NAME: Option<&'static str> = None;
    const SAYS: &'static str = "Cross-section or gauge: one of the two.";

    fn blank() -> Self {
        Self {
            area: None,
            gauge: None,
        }
    }

    fn visit<V: Fields>(&mut self, fields: &mut V) {
        fields.option(
            "area_mm2",
            &mut self.area,
            "Cross-section in square millimetres.",
        );
        fields.option(
            "awg",
            &mut self.gauge,
            "American wire gauge; 0 is 1/0, -1 is 2/0, down to -3.",
        );
    }
}

impl Piece for WireSize {
    fn blank() -> Self {
        Self::Area(SquareMillimetres::ZERO)
    }

    fn read(node: &Node<'_>, reader: &mut Reader<'_>) -> Self {
        let fields = SizeFields::read(node, reader);
        match (fields.area, fields.gauge) {
            (Some(area), None) => Self::Area(area),
            (None, Some(Gauge(gauge))) => Self::Awg(gauge),
            (Some(area), Some(_)) => {
                reader.wrong(node.at, Wrong::BothSizes);
                Self::Area(area)
            }
            (None, None) => {
                if node.get("area_mm2").or(node.get("awg")).is_none() {
                    let (field, instead) = ("area_mm2", None);
                    reader.wrong(node.at, Wrong::MissingField { field, instead });
                }
                <Self as Piece>::blank()
            }
        }
    }

    fn write(&mut self, writer: &Writer) -> Json {
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

    fn schema(book: &mut Book) -> Json {
        match SizeFields::schema(book) {
            Json::Object(mut fields) => {
                fields.push(("minProperties".into(), Json::whole(1_u8)));
                fields.push(("maxProperties".into(), Json::whole(1_u8)));
                Json::Object(fields)
            }
            other @ (Json::Flag(_) | Json::Number(_) | Json::Text(_) | Json::List(_)) => other,
        }
    }
}
