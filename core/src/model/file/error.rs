//! What is wrong with a file, where, and how to mend it.

use crate::said::{said, say, to_say};
use std::fmt;

use super::limits::MOST_BYTES;
use super::{FORMAT, VERSION};

/// Everything that was found wrong with a file; never empty.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub struct FileErrors {
    /// The errors, in the order in which they stand in the file.
    pub errors: Vec<FileError>,
    /// How many more there were.
    pub more: usize,
}

impl fmt::Display for FileErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, error) in self.errors.iter().enumerate() {
            if place > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{error}")?;
        }
        if self.more > 0 {
            f.write_str(&say!("\nand {} more", self.more))?;
        }
        Ok(())
    }
}

/// One thing that is wrong, with its place.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub struct FileError {
    /// Where in the document, as a JSON pointer (RFC 6901); empty for the document as a whole.
    pub pointer: String,
    /// Line, from 1.
    pub line: usize,
    /// Character in the line, from 1.
    pub column: usize,
    /// Name of the part or driver in which it stands.
    pub within: Option<String>,
    /// What is wrong there.
    pub wrong: Wrong,
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!("line {}, column {}", self.line, self.column))?;
        match (self.pointer.is_empty(), &self.within) {
            (true, None) => {}
            (true, Some(name)) => write!(f, " ({name})")?,
            (false, None) => write!(f, " ({})", brief(&self.pointer))?,
            (false, Some(name)) => write!(f, " ({name}, {})", brief(&self.pointer))?,
        }
        write!(f, ": {}; {}", self.wrong, self.wrong.mend())
    }
}

/// What can be wrong with a file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Wrong {
    /// More text than any harness needs.
    #[error("{}", say!("the file has {bytes} bytes, and a harness takes at most {MOST_BYTES}"))]
    TooLarge {
        /// How many.
        bytes: usize,
    },
    /// Not JSON.
    #[error("{}", say!("this is not JSON: {said}"))]
    NotJson {
        /// What the parser says.
        said: String,
    },
    /// The text breaks off before the document is complete.
    #[error("{}", say!("the file ends before the harness is complete"))]
    EndsTooSoon,
    /// Something follows the document.
    #[error("{}", say!("here stands more text after the end of the harness"))]
    TextAfterEnd,
    /// Objects and lists within each other, further than the format ever goes.
    #[error("{}", say!("objects and lists are nested deeper than in any harness"))]
    TooDeep,
    /// JSON, but not of this format.
    #[error("{}", say!("this is not a Sparktrail harness: it lacks \"format\": \"{FORMAT}\""))]
    OtherFormat,
    /// Made by a newer Sparktrail.
    #[error("{}", say!("this file is version {found}; this Sparktrail reads up to {VERSION}"))]
    NewerVersion {
        /// The file's version.
        found: u64,
    },
    /// A version that never was.
    #[error("{}", say!("the version is not a whole number from 1, but {found}"))]
    NoSuchVersion {
        /// What stands there.
        found: String,
    },
    /// Another kind of value than is wanted here.
    #[error("{}", say!("here stands {}, not {}", said(.found), said(.wanted)))]
    OtherKind {
        /// What stands there.
        found: &'static str,
        /// What is wanted.
        wanted: &'static str,
    },
    /// A field that has to be there is not.
    #[error("{}", say!("the field \"{field}\" is missing"))]
    MissingField {
        /// The field.
        field: &'static str,
        /// A field that stands there and looks like it.
        instead: Option<String>,
    },
    /// A field that the format does not have.
    #[error("{}", say!("the field \"{}\" is unknown here; known are {}", brief(.field), .known.join(", ")))]
    UnknownField {
        /// The field.
        field: String,
        /// Those that could stand there.
        known: Vec<&'static str>,
        /// One of them that looks like it.
        close: Option<&'static str>,
    },
    /// A field that occurs twice in one object.
    #[error("{}", say!("the field \"{}\" stands here a second time, first on line {first_line}", brief(.key)))]
    RepeatedField {
        /// The field.
        key: String,
        /// Where it stood first.
        first_line: usize,
    },
    /// A word that is none of those known here.
    #[error("{}", say!("\"{}\" is none of the words known here: {}", brief(.found), .known.join(", ")))]
    UnknownWord {
        /// The word.
        found: String,
        /// The words that could stand there.
        known: Vec<&'static str>,
        /// One of them that looks like it.
        close: Option<&'static str>,
    },
    /// A number beyond its range.
    #[error("{}", say!("{} is out of range: it must lie from {} to {}", brief(.found), short(*.least), short(*.most)))]
    OutOfRange {
        /// The number as written.
        found: String,
        /// The least that is allowed.
        least: f64,
        /// The most that is allowed.
        most: f64,
    },
    /// A number with a fraction where a whole one is wanted.
    #[error("{}", say!("{} is not a whole number", brief(.found)))]
    NotWhole {
        /// The number as written.
        found: String,
    },
    /// A wire's size told in both ways.
    #[error("{}", say!("here stand both \"area_mm2\" and \"awg\""))]
    BothSizes,
    /// A text that is too long.
    #[error("{}", say!("this text has {characters} characters, and may have {most}"))]
    TooLong {
        /// How many it has.
        characters: usize,
        /// How many it may have.
        most: usize,
    },
    /// A list that is too long.
    #[error("{}", say!("this list has {items} items, and may have {most}"))]
    TooMany {
        /// How many it has.
        items: usize,
        /// How many it may have.
        most: usize,
    },
    /// Two things of a kind with one id.
    #[error("{}", say!("another {what} has the id {id}, on line {first_line}", what = said(.what)))]
    SameId {
        /// Part, wire, pin and so on.
        what: &'static str,
        /// The id.
        id: u32,
        /// Where the other one is.
        first_line: usize,
    },
    /// The next id is one that is, or was, given out.
    #[error("{}", say!("the next id is {found}, but ids up to {used} are taken"))]
    NextIdTaken {
        /// What stands there.
        found: u32,
        /// The largest id in the file.
        used: u32,
    },
    /// A text that does not name a terminal.
    #[error("{}", say!("\"{}\" does not name a terminal", brief(.found)))]
    NotATerminal {
        /// The text.
        found: String,
    },
    /// A terminal that the part does not have.
    #[error("{}", say!("part {part}, \"{}\", has no terminal \"{}\"; it has {}", brief(.name), brief(.token), .has.join(", ")))]
    NoSuchTerminal {
        /// The part's id.
        part: u32,
        /// Its name.
        name: String,
        /// The terminal.
        token: String,
        /// The terminals that it has, a few of them where there are many.
        has: Vec<String>,
    },
    /// A reference to something that is not in the file.
    #[error("{}", say!("there is no {what} with the id {id}", what = said(.what)))]
    NoSuchId {
        /// Part, wire, driver and so on.
        what: &'static str,
        /// The id.
        id: u32,
    },
}

impl Wrong {
    /// What to do about it.
    #[must_use]
    pub fn mend(&self) -> String {
        match self {
            Self::TooLarge { .. } => say!("choose a harness file"),
            Self::NotJson { .. } => {
                say!(
                    "look for a missing or extra comma, quote or bracket at or just before this place"
                )
            }
            Self::EndsTooSoon => {
                say!("take a complete copy of the file, or add the brackets that are missing")
            }
            Self::TextAfterEnd => say!("take it out, or look for a bracket too many before it"),
            Self::TooDeep => say!("take out what does not belong to the harness"),
            Self::OtherFormat => {
                say!("if it is one, add \"format\": \"{FORMAT}\" and \"version\": {VERSION}")
            }
            Self::NewerVersion { .. } => say!("open it with a newer Sparktrail"),
            Self::NoSuchVersion { .. } => say!("write \"version\": {VERSION}"),
            Self::OtherKind { wanted, found } => match *found {
                "text" if *wanted == A_NUMBER => say!("write it without quotes or unit"),
                "null" => say!(
                    "write {}, or leave the field out where it may be unknown",
                    said(wanted)
                ),
                _ => say!("write {}", said(wanted)),
            },
            Self::MissingField { field, instead } => instead.as_ref().map_or_else(
                || say!("add \"{field}\""),
                |key| say!("rename \"{}\" to \"{field}\"", brief(key)),
            ),
            Self::UnknownField { close, .. } => close.map_or_else(
                || say!("take it out, or correct its spelling"),
                |close| say!("did you mean \"{close}\"?"),
            ),
            Self::RepeatedField { .. } | Self::BothSizes => say!("keep one of the two"),
            Self::UnknownWord { close, .. } => close.map_or_else(
                || say!("write one of them"),
                |close| say!("did you mean \"{close}\"?"),
            ),
            Self::OutOfRange { .. } => say!("correct the number"),
            Self::NotWhole { .. } => say!("write it without a fraction"),
            Self::TooLong { .. } | Self::TooMany { .. } => say!("make it shorter"),
            Self::SameId { .. } => say!("give one of them a number of its own"),
            Self::NextIdTaken { used, .. } => say!(
                "write {} or more, or leave the field out",
                used.saturating_add(1)
            ),
            Self::NotATerminal { .. } => {
                say!("write a part's id, a point and one of its terminals, such as \"12.15\"")
            }
            Self::NoSuchTerminal { .. } => say!("write one of them"),
            Self::NoSuchId { what, .. } => {
                say!(
                    "correct the number, or add the {what} that it means",
                    what = said(what)
                )
            }
        }
    }
}

/// What is wanted where a number is.
pub(super) const A_NUMBER: &str = to_say("a number");

/// A number for people: 1e12 rather than all its digits.
fn short(number: f64) -> String {
    let digits = number.to_string();
    digits
        .strip_suffix("000000000000")
        .filter(|rest| !rest.is_empty())
        .map(|rest| format!("{rest}e12"))
        .unwrap_or(digits)
}

/// A text from the file, cut so that a message stays readable and on its line.
pub(super) fn brief(text: &str) -> String {
    const MOST: usize = 60;
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let mut shown: String = text.chars().take(MOST).map(plain).collect();
    if text.chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}
