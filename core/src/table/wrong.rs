//! What can be wrong with pasted rows, where, and how to mend it.

use crate::model::{Colour, Quantity};

/// One thing that is wrong with a row.
#[derive(Debug, Clone, PartialEq)]
pub struct RowError {
    /// The line of the text, from 1; in a row that spans several, its first.
    pub line: usize,
    /// The column, from 1; `None` where the row as a whole is meant.
    pub column: Option<usize>,
    /// What is wrong there.
    pub wrong: Wrong,
}

/// What can be wrong with a row.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Wrong {
    /// A colour that is none of those known.
    #[error("“{}” is no colour known here", brief(.found))]
    UnknownColour {
        /// What stands there.
        found: String,
    },
    /// Two colour codes without a stroke between them.
    #[error("“{}{}” does not tell which colour is the stripe", .first.code(), .second.code())]
    JoinedColour {
        /// The first code.
        first: Colour,
        /// The second code.
        second: Colour,
    },
    /// A tracer without a base.
    #[error("there is a stripe but no base colour")]
    TracerAlone,
    /// No size.
    #[error("“{}” is no wire size", brief(.found))]
    NoSize {
        /// What stands there.
        found: String,
    },
    /// No length.
    #[error("“{}” is no length", brief(.found))]
    NoLength {
        /// What stands there.
        found: String,
    },
    /// A size or length that no wire has.
    #[error("no wire is like that: it must lie between {low} and {high} {unit}")]
    OutOfRange {
        /// Least.
        low: f64,
        /// Most.
        high: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// Not a way of knowing.
    #[error("“{}” does not tell how it is known", brief(.found))]
    UnknownHow {
        /// What stands there.
        found: String,
    },
    /// A text that is too long.
    #[error("this text has {characters} characters, and may have {most}")]
    TooLong {
        /// How many it has.
        characters: usize,
        /// How many it may have.
        most: usize,
    },
    /// More cells than there are columns.
    #[error("the row has {cells} cells, and the table has {columns} columns")]
    TooManyCells {
        /// How many it has.
        cells: usize,
        /// How many there are.
        columns: usize,
    },
    /// The row names no unit and none was chosen for all.
    #[error("the row does not tell which unit the pin is on")]
    NoUnit,
    /// The row names no pin.
    #[error("the row has no pin")]
    NoPin,
    /// There is no such part.
    #[error("the map has no part “{}”", brief(.found))]
    NoSuchUnit {
        /// What stands there.
        found: String,
        /// A part that looks like it.
        close: Option<String>,
    },
    /// The part has no such terminal, and none can be added to it.
    #[error("“{}” has no terminal “{}”", brief(.unit), brief(.found))]
    NoSuchPin {
        /// The part's name.
        unit: String,
        /// What stands there.
        found: String,
    },
    /// No terminal is called so.
    #[error("the map has no terminal “{}”", brief(.found))]
    NoSuchTerminal {
        /// What stands there.
        found: String,
        /// A terminal that looks like it.
        close: Option<String>,
    },
    /// A plug lead's place: no wire goes there.
    #[error("no wire ends at “{}”: plug leads are parts of their own", brief(.found))]
    HighVoltage {
        /// What stands there.
        found: String,
    },
    /// The wire would end where it begins.
    #[error("the wire would end where it begins")]
    ToItself,
    /// The same pin occurs twice.
    #[error("pin “{}” stands on line {first_line} already", brief(.pin))]
    DuplicatePin {
        /// The pin.
        pin: String,
        /// Where it stands first.
        first_line: usize,
    },
    /// Another pin of the same part has that number.
    #[error("another pin is called “{}” already", brief(.pin))]
    TakenPin {
        /// The number.
        pin: String,
    },
    /// Two rows tell of one wire, and not the same.
    #[error("this is the wire of line {first_line}, told otherwise")]
    SameWire {
        /// Where it stands first.
        first_line: usize,
    },
}

impl Wrong {
    /// What to do about it.
    #[must_use]
    pub fn mend(&self) -> String {
        match self {
            Self::UnknownColour { .. } => {
                let codes: Vec<&str> = Colour::ALL.iter().map(|colour| colour.code()).collect();
                format!(
                    "write {}, base first, then a stroke and the stripe: GN/WH",
                    codes.join(" ")
                )
            }
            Self::JoinedColour { first, second } => {
                let (first, second) = (first.code(), second.code());
                format!("write {first}/{second} or {second}/{first}, base colour first")
            }
            Self::TracerAlone => "add the base colour, or take the stripe out".into(),
            Self::NoSize { .. } => {
                "write an area such as 1.5 mm², or a gauge such as AWG 18".into()
            }
            Self::NoLength { .. } => "write a length such as 1.2 m or 120 cm".into(),
            Self::OutOfRange { .. } => "look for a slipped decimal point or another unit".into(),
            Self::UnknownHow { .. } => "write assumed, from a diagram, or measured".into(),
            Self::TooLong { .. } => "make it shorter".into(),
            Self::TooManyCells { .. } => {
                "put cells that hold the separator in double quotes, or choose another separator"
                    .into()
            }
            Self::NoUnit => {
                "choose the unit for all rows above the table, or add a column for it".into()
            }
            Self::NoPin => "write the pin's number, or take the row out".into(),
            Self::NoSuchUnit { close, .. } => close.as_ref().map_or_else(
                || "correct the name, or draw that part first".into(),
                |close| format!("did you mean “{}”?", brief(close)),
            ),
            Self::NoSuchPin { .. } => "write one of the terminals that the part has".into(),
            Self::NoSuchTerminal { close, .. } => close.as_ref().map_or_else(
                || {
                    "write the part and its terminal, such as “Coil A · 15”, or leave it empty"
                        .into()
                },
                |close| format!("did you mean “{}”?", brief(close)),
            ),
            Self::HighVoltage { .. } => {
                "write the low-voltage terminal, or take the row out".into()
            }
            Self::ToItself => "write the other end, or leave it empty".into(),
            Self::DuplicatePin { .. } => {
                "correct the pin's number on one of the two, or take one out".into()
            }
            Self::TakenPin { .. } => "give that one another number first".into(),
            Self::SameWire { .. } => "make the two rows agree, or take one out".into(),
        }
    }
}

impl RowError {
    /// A size or length that no wire has.
    pub(super) fn out_of_range(quantity: Quantity) -> Wrong {
        let (low, high) = crate::edit::allowed(quantity);
        let unit = quantity.range().unit;
        Wrong::OutOfRange { low, high, unit }
    }
}

/// Why a text gives no rows at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TextError {
    /// More text than any pin table has.
    #[error("the text has {bytes} bytes; a pin table has at most {most}")]
    TooLarge {
        /// How many it has.
        bytes: usize,
        /// How many it may have.
        most: usize,
    },
    /// Too many rows.
    #[error("the table has more than {most} rows")]
    TooManyRows {
        /// How many it may have.
        most: usize,
    },
    /// Nothing but blanks.
    #[error("there is no row in it")]
    Empty,
    /// A quote is opened and never closed.
    #[error("a double quote opens on line {line} and is never closed")]
    OpenQuote {
        /// Where.
        line: usize,
    },
    /// No column holds the pins.
    #[error("no column is taken as the pin")]
    NoPinColumn,
}

impl TextError {
    /// What to do about it.
    #[must_use]
    pub const fn mend(self) -> &'static str {
        match self {
            Self::TooLarge { .. } | Self::TooManyRows { .. } => "paste a part of it",
            Self::Empty => "copy the rows in the spreadsheet and paste them here",
            Self::OpenQuote { .. } => "close it, or take it out",
            Self::NoPinColumn => "choose above one of the columns which one it is",
        }
    }
}

/// A text from the table, cut so that a message stays readable and on its line.
fn brief(text: &str) -> String {
    const MOST: usize = 60;
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let mut shown: String = text.trim().chars().take(MOST).map(plain).collect();
    if text.trim().chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}
