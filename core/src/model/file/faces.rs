//! Faces of connectors in the file.

use super::json::Json;
use super::piece::{Blank, Fields, Piece, Record, words};
use super::plain::whole;
use super::reader::Reader;
#[cfg(any(test, feature = "schema"))]
use super::schema::{self, Book};
use super::tree::Node;
use super::writer::Writer;
use crate::model::{Corner, Face, Run};

impl Blank for Face {
    fn blank() -> Self {
        Self {
            rows: 1,
            columns: 1,
            run: Run::default(),
            first: Corner::default(),
        }
    }
}

impl Record for Face {
    const SAYS: (&'static str, &'static str) = (
        "face",
        "The face of a connector as one sees it from the wire side; of an in-line connector, from the side toward the control unit.",
    );

    fn visit(&mut self, fields: &mut dyn Fields) {
        fields.must("rows", &mut self.rows, "Rows of cavities.");
        fields.must("columns", &mut self.columns, "Columns of cavities.");
        fields.maybe("numbers", &mut self.run, "How the numbers run.");
        fields.maybe("first", &mut self.first, "The corner in which they begin.");
    }
}

/// A count of rows or columns.
impl Piece for u8 {
    fn read(&mut self, node: &Node<'_>, reader: &mut Reader<'_>) {
        let count = whole(node, 1, Face::MOST.into(), reader);
        *self = count.and_then(|n| Self::try_from(n).ok()).unwrap_or(1);
    }

    fn write(&mut self, _: &Writer<'_>) -> Json {
        Json::whole(*self)
    }

    #[cfg(any(test, feature = "schema"))]
    fn schema(&mut self, _: &mut Book) -> Json {
        schema::whole(1, Face::MOST.into())
    }
}

words!(Run, "face_numbers", usual Run::Rows, {
    Run::Rows = "rows",
    Run::Columns = "columns",
    Run::ToAndFro = "to_and_fro",
    Run::Letters = "letters",
});

words!(Corner, "face_corner", usual Corner::TopLeft, {
    Corner::TopLeft = "top_left",
    Corner::TopRight = "top_right",
    Corner::BottomLeft = "bottom_left",
    Corner::BottomRight = "bottom_right",
});
