//! What can be wrong with pasted rows, where, and how to mend it.

use crate::model::{Colour, Quantity};
use crate::said::{said, say};

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
    #[error("{}", say!("“{}” is no colour known here", brief(.found)))]
    UnknownColour {
        /// What stands there.
        found: String,
    },
    /// Two colour codes without a stroke between them.
    #[error("{}", say!("“{}{}” does not tell which colour is the stripe", .first.code(), .second.code()))]
    JoinedColour {
        /// The first code.
        first: Colour,
        /// The second code.
        second: Colour,
    },
    /// A tracer without a base.
    #[error("{}", say!("there is a stripe but no base colour"))]
    TracerAlone,
    /// No size.
    #[error("{}", say!("“{}” is no wire size", brief(.found)))]
    NoSize {
        /// What stands there.
        found: String,
    },
    /// No length.
    #[error("{}", say!("“{}” is no length", brief(.found)))]
    NoLength {
        /// What stands there.
        found: String,
    },
    /// A length whose point or comma may part thousands.
    #[error("{}", say!("“{}” can be read in two ways: its mark may part thousands or be the decimal one", brief(.found)))]
    Thousands {
        /// What stands there.
        found: String,
    },
    /// A size or length that no wire has.
    #[error("{}", say!("no wire is like that: it must lie between {low} and {high} {unit}"))]
    OutOfRange {
        /// Least.
        low: f64,
        /// Most.
        high: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// Not a way of knowing.
    #[error("{}", say!("“{}” does not tell how it is known", brief(.found)))]
    UnknownHow {
        /// What stands there.
        found: String,
    },
    /// A text that is too long.
    #[error("{}", say!("this text has {characters} characters, and may have {most}"))]
    TooLong {
        /// How many it has.
        characters: usize,
        /// How many it may have.
        most: usize,
    },
    /// More cells than there are columns.
    #[error("{}", say!("the row has {cells} cells, and the table has {columns} columns"))]
    TooManyCells {
        /// How many it has.
        cells: usize,
        /// How many there are.
        columns: usize,
    },
    /// The row names no unit and none was chosen for all.
    #[error("{}", say!("the row does not tell which unit the pin is on"))]
    NoUnit,
    /// The row names no pin.
    #[error("{}", say!("the row has no pin"))]
    NoPin,
    /// There is no such part.
    #[error("{}", say!("the map has no part “{}”", brief(.found)))]
    NoSuchUnit {
        /// What stands there.
        found: String,
        /// A part that looks like it.
        close: Option<String>,
    },
    /// The part has no such terminal, and none can be added to it.
    #[error("{}", say!("“{}” has no terminal “{}”", brief(.unit), brief(.found)))]
    NoSuchPin {
        /// The part's name.
        unit: String,
        /// What stands there.
        found: String,
    },
    /// No terminal is called so.
    #[error("{}", say!("the map has no terminal “{}”", brief(.found)))]
    NoSuchTerminal {
        /// What stands there.
        found: String,
        /// A terminal that looks like it.
        close: Option<String>,
    },
    /// A plug lead's place: no wire goes there.
    #[error("{}", say!("no wire ends at “{}”: plug leads are parts of their own", brief(.found)))]
    HighVoltage {
        /// What stands there.
        found: String,
    },
    /// The wire would end where it begins.
    #[error("{}", say!("the wire would end where it begins"))]
    ToItself,
    /// The same pin occurs twice.
    #[error("{}", say!("pin “{}” stands on line {first_line} already", brief(.pin)))]
    DuplicatePin {
        /// The pin.
        pin: String,
        /// Where it stands first.
        first_line: usize,
    },
    /// Another pin of the same part has that number.
    #[error("{}", say!("another pin is called “{}” already", brief(.pin)))]
    TakenPin {
        /// The number.
        pin: String,
    },
    /// Two rows tell of one wire, and not the same.
    #[error("{}", say!("this is the wire of line {first_line}, told otherwise"))]
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
                say!(
                    "write {}, base first, then a stroke and the stripe: GN/WH",
                    codes.join(" ")
                )
            }
            Self::JoinedColour { first, second } => {
                let (first, second) = (first.code(), second.code());
                say!("write {first}/{second} or {second}/{first}, base colour first")
            }
            Self::TracerAlone => say!("add the base colour, or take the stripe out"),
            Self::NoSize { .. } => {
                say!("write an area such as 1.5 mm², or a gauge such as AWG 18")
            }
            Self::NoLength { .. } => say!("write a length such as 1.2 m or 120 cm"),
            Self::Thousands { .. } => {
                say!("leave out the mark between thousands, or write the length in metres")
            }
            Self::OutOfRange { .. } => say!("look for a slipped decimal point or another unit"),
            Self::UnknownHow { .. } => say!("write assumed, from a diagram, or measured"),
            Self::TooLong { .. } => say!("make it shorter"),
            Self::TooManyCells { .. } => {
                say!(
                    "put cells that hold the separator in double quotes, or choose another separator"
                )
            }
            Self::NoUnit => {
                say!("choose the unit for all rows above the table, or add a column for it")
            }
            Self::NoPin => say!("write the pin's number, or take the row out"),
            Self::NoSuchUnit { close, .. } => close.as_ref().map_or_else(
                || say!("correct the name, or draw that part first"),
                |close| say!("did you mean “{}”?", brief(close)),
            ),
            Self::NoSuchPin { .. } => say!("write one of the terminals that the part has"),
            Self::NoSuchTerminal { close, .. } => close.as_ref().map_or_else(
                || {
                    say!(
                        "write the part and its terminal, such as “Coil A · 15”, or leave it empty"
                    )
                },
                |close| say!("did you mean “{}”?", brief(close)),
            ),
            Self::HighVoltage { .. } => {
                say!("write the low-voltage terminal, or take the row out")
            }
            Self::ToItself => say!("write the other end, or leave it empty"),
            Self::DuplicatePin { .. } => {
                say!("correct the pin's number on one of the two, or take one out")
            }
            Self::TakenPin { .. } => say!("give that one another number first"),
            Self::SameWire { .. } => say!("make the two rows agree, or take one out"),
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
    #[error("{}", say!("the text has {bytes} bytes; a pin table has at most {most}"))]
    TooLarge {
        /// How many it has.
        bytes: usize,
        /// How many it may have.
        most: usize,
    },
    /// Too many rows.
    #[error("{}", say!("the table has more than {most} rows"))]
    TooManyRows {
        /// How many it may have.
        most: usize,
    },
    /// Nothing but blanks.
    #[error("{}", say!("there is no row in it"))]
    Empty,
    /// A quote is opened and never closed.
    #[error("{}", say!("a double quote opens on line {line} and is never closed"))]
    OpenQuote {
        /// Where.
        line: usize,
    },
    /// No column holds the pins.
    #[error("{}", say!("no column is taken as the pin"))]
    NoPinColumn,
}

impl TextError {
    /// What to do about it.
    #[must_use]
    pub fn mend(self) -> &'static str {
        said(match self {
            Self::TooLarge { .. } | Self::TooManyRows { .. } => "paste a part of it",
            Self::Empty => "copy the rows in the spreadsheet and paste them here",
            Self::OpenQuote { .. } => "close it, or take it out",
            Self::NoPinColumn => "choose above one of the columns which one it is",
        })
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
