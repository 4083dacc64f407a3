//! How large things may be in a file; whoever edits a harness keeps to the same limits.

/// Bytes of text in a file.
pub const MOST_BYTES: usize = 4_000_000;
/// Characters in a name, a label or a trouble code.
pub const MOST_NAME: usize = 500;
/// Characters in a note, an entry of the work log, or the text about the car.
pub const MOST_PROSE: usize = 20_000;
/// Parts, wires, pins of one unit, findings and the like.
pub const MOST_ITEMS: usize = 10_000;
/// The largest number of any quantity, in its own unit. Those with a size but no sign start at 0.
pub const MOST_NUMBER: f64 = 1e12;
/// The largest id.
pub const MOST_ID: u32 = u32::MAX - 1;
/// The thinnest wire gauge.
pub const THINNEST_AWG: i8 = 56;
/// The thickest wire gauge: −3 is 4/0.
pub const THICKEST_AWG: i8 = -3;
/// Farthest moment from 1970, in milliseconds: what a clock in a browser can tell.
pub const FARTHEST_MOMENT: i64 = 8_640_000_000_000_000;
/// Objects and lists within each other.
pub(super) const MOST_DEEP: usize = 24;
/// Errors looked at; the rest of a file as wrong as that is only counted.
pub(super) const MOST_NOTED: usize = 1_000;
/// Errors told at once.
pub(super) const MOST_ERRORS: usize = 50;
