//! Text into records of cells and back: tab, comma or semicolon between cells, double quotes around what needs them.

use csv_core::{ReadFieldResult, ReaderBuilder, Terminator, WriteResult, WriterBuilder};

use super::wrong::TextError;

/// Bytes of pasted text.
pub const MOST_BYTES: usize = 1_000_000;
/// Rows of a table.
pub const MOST_ROWS: usize = 2_000;

/// What stands between the cells of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Separator {
    /// As spreadsheets copy.
    Tab,
    /// As most of them save.
    Comma,
    /// As they save where the comma is the decimal point.
    Semicolon,
}

impl Separator {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Tab, Self::Comma, Self::Semicolon];

    const fn byte(self) -> u8 {
        match self {
            Self::Tab => b'\t',
            Self::Comma => b',',
            Self::Semicolon => b';',
        }
    }

    /// The separator that `text` most likely uses: the one with which most rows have as many cells
    /// as the first and more than one; where two do alike, the one that makes more cells.
    #[must_use]
    pub fn of(text: &str) -> Self {
        const LOOKED_AT: usize = 30;
        let merit = |separator: Self| {
            let mut records = Vec::new();
            // A quote that is never closed is told later, by the separator that fits best.
            let _ = split(text, separator, LOOKED_AT, &mut records);
            let width = records.first().map_or(0, |record| record.cells.len());
            if width < 2 {
                return (0, 0);
            }
            let alike = records.iter().filter(|record| record.cells.len() == width);
            (alike.count(), width)
        };
        let mut best = Self::Tab;
        for separator in [Self::Semicolon, Self::Comma] {
            if merit(separator) > merit(best) {
                best = separator;
            }
        }
        best
    }
}

/// One row of cells.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Record {
    /// The line on which it begins, from 1.
    pub line: usize,
    /// Its cells without blanks at their ends.
    pub cells: Vec<String>,
}

/// The records of a text; rows without any cell filled are left out.
///
/// # Errors
/// [`TextError`] where the text is too long, empty, or a quote is never closed.
pub(super) fn records(text: &str, separator: Separator) -> Result<Vec<Record>, TextError> {
    if text.len() > MOST_BYTES {
        return Err(TextError::TooLarge {
            bytes: text.len(),
            most: MOST_BYTES,
        });
    }
    let mut records = Vec::new();
    split(text, separator, MOST_ROWS + 2, &mut records)?;
    if records.len() > MOST_ROWS + 1 {
        return Err(TextError::TooManyRows { most: MOST_ROWS });
    }
    if records.is_empty() {
        return Err(TextError::Empty);
    }
    Ok(records)
}

/// Adds up to `most` records to `out`.
fn split(
    text: &str,
    separator: Separator,
    most: usize,
    out: &mut Vec<Record>,
) -> Result<(), TextError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = ReaderBuilder::new().delimiter(separator.byte()).build();
    let mut record = Record::default();
    let mut cell: Vec<u8> = Vec::new();
    let mut buffer = [0_u8; 256];
    let mut rest = text.as_bytes();
    let mut lines = Lines::default();
    let mut begin = 0;
    while out.len() < most {
        let (result, read, written) = reader.read_field(rest, &mut buffer);
        let at = text.len() - rest.len();
        rest = rest.get(read..).unwrap_or_default();
        cell.extend_from_slice(buffer.get(..written).unwrap_or_default());
        match result {
            ReadFieldResult::OutputFull => {}
            // With all the input given at once: what follows is the end.
            ReadFieldResult::InputEmpty => {
                if let Some(raw) = text.as_bytes().get(begin..)
                    && is_open(raw)
                {
                    let line = lines.at(text, begin);
                    return Err(TextError::OpenQuote { line });
                }
            }
            ReadFieldResult::Field { record_end } => {
                if record.cells.is_empty() {
                    record.line = lines.at(text, first_of(text, begin));
                }
                // The reader splits at ASCII only, so that the cell is whole UTF-8.
                let raw = String::from_utf8_lossy(&cell);
                record
                    .cells
                    .push(unguarded(raw.trim()).replace("\r\n", "\n"));
                cell.clear();
                begin = at + read;
                if record_end {
                    keep(out, std::mem::take(&mut record));
                }
            }
            ReadFieldResult::End => break,
        }
    }
    Ok(())
}

/// The first byte from `begin` that is no line's end: empty lines before a record are skipped.
fn first_of(text: &str, begin: usize) -> usize {
    let rest = text.as_bytes().get(begin..).unwrap_or_default();
    let skipped = rest.iter().take_while(|b| matches!(b, b'\r' | b'\n'));
    begin + skipped.count()
}

fn keep(out: &mut Vec<Record>, record: Record) {
    if record.cells.iter().any(|cell| !cell.is_empty()) {
        out.push(record);
    }
}

/// Whether the last cell begins with a quote that is not closed.
fn is_open(raw: &[u8]) -> bool {
    let raw = raw.trim_ascii_start();
    raw.first() == Some(&b'"') && raw.iter().filter(|b| **b == b'"').count() % 2 == 1
}

/// Counts lines up to a byte, going forward only.
#[derive(Default)]
struct Lines {
    upto: usize,
    before: usize,
}

impl Lines {
    fn at(&mut self, text: &str, byte: usize) -> usize {
        let passed = text.as_bytes().get(self.upto..byte).unwrap_or_default();
        let mut last = self
            .upto
            .checked_sub(1)
            .and_then(|b| text.as_bytes().get(b));
        for b in passed {
            // A return alone ends a line too; with a feed after it they are one end.
            if *b == b'\r' || (*b == b'\n' && last != Some(&b'\r')) {
                self.before += 1;
            }
            last = Some(b);
        }
        self.upto = self.upto.max(byte);
        self.before + 1
    }
}

/// Letters with which a spreadsheet begins what it computes.
///
/// # Source
/// OWASP Application Security Verification Standard, requirement 1.2.10: `=`, `+`, `-`, `@`, tab and null. The
/// apostrophe itself is ours, so that a cell that begins with one reads back as it was.
const COMPUTED: [char; 7] = ['=', '+', '-', '@', '\t', '\0', '\''];

/// A cell that no spreadsheet takes for something to compute: as in spreadsheets themselves, an
/// apostrophe before it says that it is text.
fn guarded(cell: &str) -> String {
    if cell.starts_with(COMPUTED) {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}

fn unguarded(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

/// How a line ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineEnd {
    /// As on a clipboard.
    Feed,
    /// As in files.
    ReturnFeed,
}

/// Records as text, each on a line of its own.
#[must_use]
pub(super) fn text_of<'c>(
    records: impl IntoIterator<Item = &'c [String]>,
    separator: Separator,
    end: LineEnd,
) -> String {
    let end = match end {
        LineEnd::Feed => Terminator::Any(b'\n'),
        LineEnd::ReturnFeed => Terminator::CRLF,
    };
    let mut writer = WriterBuilder::new()
        .delimiter(separator.byte())
        .terminator(end)
        .build();
    let mut out: Vec<u8> = Vec::new();
    let mut buffer = [0_u8; 256];
    for record in records {
        for (place, cell) in record.iter().enumerate() {
            if place > 0 {
                whole(&mut out, &mut buffer, |b| writer.delimiter(b));
            }
            let cell = guarded(cell);
            let mut rest = cell.as_bytes();
            loop {
                let (result, read, written) = writer.field(rest, &mut buffer);
                out.extend_from_slice(buffer.get(..written).unwrap_or_default());
                rest = rest.get(read..).unwrap_or_default();
                if result == WriteResult::InputEmpty {
                    break;
                }
            }
        }
        whole(&mut out, &mut buffer, |b| writer.terminator(b));
    }
    whole(&mut out, &mut buffer, |b| writer.finish(b));
    String::from_utf8_lossy(&out).into_owned()
}

/// Writes one of the marks between cells, however little room there is.
fn whole(
    out: &mut Vec<u8>,
    buffer: &mut [u8],
    mut write: impl FnMut(&mut [u8]) -> (WriteResult, usize),
) {
    loop {
        let (result, written) = write(buffer);
        out.extend_from_slice(buffer.get(..written).unwrap_or_default());
        if result == WriteResult::InputEmpty {
            return;
        }
    }
}
