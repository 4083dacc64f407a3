//! How the cavities of a connector stand: rows, columns, and where the numbers run.

/// The face of a connector as one sees it from the wire side; of an in-line connector, from the side
/// toward the control unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Face {
    /// Rows, from 1 to [`Face::MOST`].
    pub rows: u8,
    /// Columns, from 1 to [`Face::MOST`].
    pub columns: u8,
    /// How the numbers run.
    pub run: Run,
    /// The corner in which they begin.
    pub first: Corner,
}

impl Face {
    /// The most rows and the most columns.
    pub const MOST: u8 = 60;
}

/// How the numbers of cavities run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Run {
    /// Along each row, each from the same end.
    #[default]
    Rows,
    /// Along each column, each from the same end.
    Columns,
    /// Along the rows, to and fro.
    ToAndFro,
    /// A letter for the row, a number for the column: A1, A2, B1, B2.
    Letters,
}

impl Run {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::Rows, Self::Columns, Self::ToAndFro, Self::Letters];
}

/// A corner of the face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Corner {
    /// Top left.
    #[default]
    TopLeft,
    /// Top right.
    TopRight,
    /// Bottom left.
    BottomLeft,
    /// Bottom right.
    BottomRight,
}

impl Corner {
    /// Every corner.
    pub const ALL: [Self; 4] = [
        Self::TopLeft,
        Self::TopRight,
        Self::BottomLeft,
        Self::BottomRight,
    ];
}
