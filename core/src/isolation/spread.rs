//! All answers to a question with their chances: what most causes answer, and the causes that answer otherwise.

use super::likelihood::Row;
use super::question::Answer;

/// All answers to a question with their chances by cause.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spread {
    pub(super) answers: Vec<Answer>,
    /// The chances with nothing wrong.
    healthy: Vec<f64>,
    /// The chances of most causes.
    pub(super) usual: Vec<f64>,
    /// Causes with other chances, rising.
    pub(super) causes: Vec<usize>,
    /// Their chances, cause by cause.
    pub(super) chances: Vec<f64>,
}

/// Where a spread keeps the chances of a cause; `None` for the usual ones.
pub(super) type Kept = Option<usize>;

impl Spread {
    /// Every cause answers as if nothing were wrong.
    pub(super) fn of(answers: Vec<Answer>, healthy: &[f64]) -> Self {
        Self::elsewhere(answers, healthy, healthy)
    }

    /// Every cause answers alike.
    pub(super) fn elsewhere(answers: Vec<Answer>, healthy: &[f64], usual: &[f64]) -> Self {
        Self {
            answers,
            healthy: healthy.to_vec(),
            usual: usual.to_vec(),
            causes: Vec::new(),
            chances: Vec::new(),
        }
    }

    /// A cause with its chances; causes come in rising order.
    pub(super) fn put(&mut self, cause: usize, chances: &[f64]) -> Kept {
        let as_usual = chances
            .iter()
            .zip(&self.usual)
            .all(|(p, usual)| p.to_bits() == usual.to_bits());
        if as_usual {
            return None;
        }
        self.causes.push(cause);
        self.chances.extend_from_slice(chances);
        Some(self.causes.len() - 1)
    }

    /// A cause with the chances that another one has.
    pub(super) fn put_again(&mut self, cause: usize, kept: Kept) {
        if let Some(nth) = kept {
            let wide = self.usual.len();
            self.causes.push(cause);
            self.chances
                .extend_from_within(nth * wide..(nth + 1) * wide);
        }
    }

    /// The chance of one answer, by cause and at the end with nothing wrong; `None` where it is none.
    pub(super) fn row(&self, answer: &Answer, causes: usize) -> Option<Row> {
        let place = self.answers.iter().position(|a| a == answer)?;
        let mut row = vec![*self.usual.get(place)?; causes];
        let others = self.chances.chunks_exact(self.usual.len());
        for (cause, chances) in self.causes.iter().zip(others) {
            row[*cause] = chances[place];
        }
        row.push(*self.healthy.get(place)?);
        Some(row)
    }
}

/// What was found for a reading, so that it need not be reckoned again; an old reading gives way to a new
/// one.
pub(super) struct Memo {
    slots: Vec<(u64, bool, Option<Kept>)>,
}

impl Memo {
    /// How many readings are kept, as a power of two.
    const BITS: u32 = 8;

    pub(super) fn new() -> Self {
        Self {
            slots: vec![(0, false, None); 1 << Self::BITS],
        }
    }

    /// What was kept for a reading with a severity or without; empty where it is new.
    pub(super) fn slot(&mut self, reading: f64, graded: bool) -> &mut Option<Kept> {
        let bits = reading.to_bits();
        // Knuth's multiplicative hash: the upper bits are the well mixed ones.
        let mixed = (bits ^ u64::from(graded)).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let place = usize::try_from(mixed >> (64 - Self::BITS)).unwrap_or(0);
        let slot = &mut self.slots[place];
        if (slot.0, slot.1) != (bits, graded) {
            *slot = (bits, graded, None);
        }
        &mut slot.2
    }
}
