//! All answers to a question with their chances: what most causes answer, and the causes that answer otherwise.

use super::likelihood::Row;
use super::question::Answer;

/// All answers to a question with their chances by cause.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spread {
    pub(super) answers: Vec<Answer>,
    /// The chances with nothing wrong, which are those of most causes too.
    pub(super) usual: Vec<f64>,
    /// Causes with other chances, rising.
    causes: Vec<usize>,
    /// Their chances, cause by cause.
    chances: Vec<f64>,
}

impl Spread {
    /// Every cause answers as usual.
    pub(super) fn of(answers: Vec<Answer>, usual: &[f64]) -> Self {
        Self {
            answers,
            usual: usual.to_vec(),
            causes: Vec::new(),
            chances: Vec::new(),
        }
    }

    /// A cause with its chances; causes come in rising order.
    pub(super) fn put(&mut self, cause: usize, chances: &[f64]) {
        let as_usual = chances
            .iter()
            .zip(&self.usual)
            .all(|(p, usual)| p.to_bits() == usual.to_bits());
        if !as_usual {
            self.causes.push(cause);
            self.chances.extend_from_slice(chances);
        }
    }

    /// The causes with other chances than usual.
    pub(super) fn others(&self) -> Vec<(usize, &[f64])> {
        let wide = self.usual.len().max(1);
        self.causes
            .iter()
            .copied()
            .zip(self.chances.chunks_exact(wide))
            .collect()
    }

    /// The chance of one answer, by cause and at the end with nothing wrong; `None` where it is none.
    pub(super) fn row(&self, answer: &Answer, causes: usize) -> Option<Row> {
        let place = self.answers.iter().position(|a| a == answer)?;
        let usual = *self.usual.get(place)?;
        let mut row = vec![usual; causes + 1];
        for (cause, chances) in self.others() {
            row[cause] = chances[place];
        }
        Some(row)
    }
}
