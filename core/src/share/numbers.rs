//! What a number in a map's text will most likely be: ids count upward, and what they refer to moves with them.

use super::outline::{mix, place};

const PLACES: usize = 1 << 12;
/// Larger numbers are no ids.
const LARGEST: i64 = 1 << 40;

/// A field of a map's text.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Field {
    /// Its name and that of the field around it, as a hash.
    pub(super) path: u32,
    /// Whether it gives an id to something.
    pub(super) is_id: bool,
}

/// A number that stood in some field.
#[derive(Debug, Clone, Copy, Default)]
struct Seen {
    number: i64,
    /// The id given last before it.
    under: i64,
    /// The number in the same field before.
    earlier: i64,
}

/// A number that may come next, and how many of its digits did.
#[derive(Debug, Clone, Copy, Default)]
struct Expected {
    digits: [u8; 20],
    many: usize,
    /// `None` once a digit was another.
    come: Option<usize>,
}

/// The numbers so far.
#[derive(Clone)]
pub(super) struct Numbers {
    seen: Vec<Option<Seen>>,
    /// The id given last.
    given: i64,
    /// The number that is being read.
    reading: Option<i64>,
    /// The field of the number that is being read.
    field: Field,
    /// How many numbers this value has had.
    run: u32,
    expected: [Expected; 2],
}

impl Numbers {
    pub(super) fn new() -> Self {
        Self {
            seen: vec![None; PLACES],
            given: 0,
            reading: None,
            field: Field::default(),
            run: 0,
            expected: [Expected::default(); 2],
        }
    }

    /// No number can stand here.
    pub(super) fn pause(&mut self) {
        self.close();
        self.expected = [Expected::default(); 2];
    }

    /// A value begins.
    pub(super) fn start(&mut self, field: Field) {
        self.close();
        self.run = 0;
        self.expect(field);
    }

    /// The next letter of a value.
    pub(super) fn next(&mut self, letter: u8, field: Field) {
        if letter.is_ascii_digit() {
            let before = self.reading.unwrap_or_default();
            let number = before * 10 + i64::from(letter - b'0');
            self.reading = Some(number.min(LARGEST));
            self.field = field;
            for expected in &mut self.expected {
                expected.come = expected
                    .come
                    .filter(|come| expected.digits.get(*come) == Some(&letter))
                    .map(|come| come + 1);
            }
        } else if self.reading.is_some() {
            self.close();
            self.run += 1;
            self.expect(field);
        } else if matches!(letter, b'"' | b'.' | b'p' | b'c') {
            self.expect(field);
        }
    }

    /// The number that was being read has ended.
    fn close(&mut self) {
        let Some(number) = self.reading.take() else {
            return;
        };
        let field = self.field;
        let seen = &mut self.seen[place(mix(field.path, self.run), PLACES)];
        *seen = Some(Seen {
            number,
            under: self.given,
            earlier: seen.map_or(number, |seen| seen.number),
        });
        if field.is_id {
            self.given = number;
        }
    }

    fn expect(&mut self, field: Field) {
        let seen = self.seen[place(mix(field.path, self.run), PLACES)];
        let stepped = seen.map_or(0, |seen| 2 * seen.number - seen.earlier);
        let counted = match seen {
            _ if field.is_id => self.given + 1,
            Some(seen) => seen.number + self.given - seen.under,
            None => self.given,
        };
        self.expected = [counted, stepped].map(Expected::new);
    }

    /// The digit that each expectation holds next, as a number for hashing.
    pub(super) fn expects(&self) -> [u32; 2] {
        self.expected.map(|expected| match expected.come {
            Some(come) => {
                let digit = expected.digits[..expected.many].get(come);
                1 + u32::from(digit.copied().unwrap_or_default())
            }
            None => 0,
        })
    }
}

impl Expected {
    fn new(number: i64) -> Self {
        let mut digits = [0; 20];
        let mut many = 0;
        let mut rest = number.unsigned_abs();
        loop {
            digits[many] = b'0' + u8::try_from(rest % 10).unwrap_or_default();
            many += 1;
            rest /= 10;
            if rest == 0 || many == digits.len() {
                break;
            }
        }
        digits[..many].reverse();
        Self {
            digits,
            many,
            come: (number >= 0).then_some(0),
        }
    }
}
