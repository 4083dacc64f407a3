//! The dictionary: for every test, outcome and suspect, how likely that outcome would be.

use super::Suspects;

/// A test by its place in the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TestIndex(pub usize);

/// Why a row was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// A test has no outcomes.
    #[error("test {0:?} has no outcome")]
    NoOutcome(TestIndex),
    /// A row does not have one entry for each suspect.
    #[error(
        "outcome {outcome} of test {test:?} has {found} entries where there are {wanted} suspects"
    )]
    Length {
        /// Which test.
        test: TestIndex,
        /// Which outcome.
        outcome: usize,
        /// How many entries came.
        found: usize,
        /// How many suspects there are.
        wanted: usize,
    },
    /// An entry is negative, above one or not a number.
    #[error(
        "outcome {outcome} of test {test:?} gives suspect {suspect} something that is no probability"
    )]
    NotAProbability {
        /// Which test.
        test: TestIndex,
        /// Which outcome.
        outcome: usize,
        /// Which suspect.
        suspect: usize,
    },
    /// The outcomes of a test do not sum to one for a suspect.
    #[error("the outcomes of test {test:?} do not sum to 1 for suspect {suspect}")]
    Sum {
        /// Which test.
        test: TestIndex,
        /// Which suspect.
        suspect: usize,
    },
    /// There is no such test or outcome.
    #[error("there is no outcome {outcome} of test {test:?}")]
    NoSuch {
        /// Which test.
        test: TestIndex,
        /// Which outcome.
        outcome: usize,
    },
}

/// How far the outcomes of a test may be from summing to one.
const SUM_SLACK: f64 = 1e-6;

/// P(outcome | suspect) for every test, as `f32`, with suspects in columns sorted by unit of repair.
///
/// A *row* is one outcome of one test. Entries are kept column by column, so that weighing a column
/// with the belief in its suspect runs over neighbours in memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    suspects: Suspects,
    /// First row of each test, and one past the last row.
    first: Vec<usize>,
    /// By column, one entry a row.
    entries: Vec<Vec<f32>>,
}

impl Table {
    /// A table without tests.
    #[must_use]
    pub fn new(suspects: Suspects) -> Self {
        Self {
            entries: vec![Vec::new(); suspects.len()],
            suspects,
            first: vec![0],
        }
    }

    /// The suspects.
    #[must_use]
    pub fn suspects(&self) -> &Suspects {
        &self.suspects
    }

    /// How many tests there are.
    #[must_use]
    pub fn tests(&self) -> usize {
        self.first.len() - 1
    }

    /// How many rows there are: the outcomes of all tests.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.first[self.first.len() - 1]
    }

    /// How many outcomes a test has; 0 for an unknown test.
    #[must_use]
    pub fn outcomes(&self, test: TestIndex) -> usize {
        self.row_range(test).len()
    }

    /// Adds a test: for each outcome one probability for each suspect, in the suspects' own order.
    ///
    /// # Errors
    /// [`TableError`] names the test, outcome and suspect at fault; the table is then unchanged.
    pub fn add_test(&mut self, outcomes: &[Vec<f64>]) -> Result<TestIndex, TableError> {
        let test = TestIndex(self.tests());
        self.check(test, outcomes)?;
        for (column, suspect) in self.entries.iter_mut().zip(self.suspects.columns()) {
            column.extend(outcomes.iter().map(|row| narrow(row[*suspect])));
        }
        self.first.push(self.rows() + outcomes.len());
        Ok(test)
    }

    fn check(&self, test: TestIndex, outcomes: &[Vec<f64>]) -> Result<(), TableError> {
        if outcomes.is_empty() {
            return Err(TableError::NoOutcome(test));
        }
        let wanted = self.suspects.len();
        let mut sums = vec![0.0; wanted];
        for (outcome, row) in outcomes.iter().enumerate() {
            if row.len() != wanted {
                return Err(TableError::Length {
                    test,
                    outcome,
                    found: row.len(),
                    wanted,
                });
            }
            for (suspect, (sum, p)) in sums.iter_mut().zip(row).enumerate() {
                if !(0.0..=1.0).contains(p) {
                    return Err(TableError::NotAProbability {
                        test,
                        outcome,
                        suspect,
                    });
                }
                *sum += p;
            }
        }
        match sums.iter().position(|sum| (sum - 1.0).abs() > SUM_SLACK) {
            Some(suspect) => Err(TableError::Sum { test, suspect }),
            None => Ok(()),
        }
    }

    /// P(outcome | suspect) for each suspect, in the suspects' own order: evidence once it was seen.
    ///
    /// # Errors
    /// [`TableError::NoSuch`].
    pub fn row(&self, test: TestIndex, outcome: usize) -> Result<Vec<f64>, TableError> {
        let rows = self.row_range(test);
        if outcome >= rows.len() {
            return Err(TableError::NoSuch { test, outcome });
        }
        let mut row = vec![0.0; self.suspects.len()];
        for (column, suspect) in self.entries.iter().zip(self.suspects.columns()) {
            row[*suspect] = f64::from(column[rows.start + outcome]);
        }
        Ok(row)
    }

    /// The outcome that a suspect makes most likely, the first of equals.
    #[must_use]
    pub fn likeliest(&self, test: TestIndex, suspect: usize) -> Option<(usize, f64)> {
        let column = self.suspects.columns().iter().position(|h| *h == suspect)?;
        let mut best: Option<(usize, f64)> = None;
        for (outcome, row) in self.row_range(test).enumerate() {
            let p = f64::from(self.entries[column][row]);
            if best.is_none_or(|(_, most)| p > most) {
                best = Some((outcome, p));
            }
        }
        best
    }

    /// Rows of a test; empty for an unknown test.
    pub(super) fn row_range(&self, test: TestIndex) -> std::ops::Range<usize> {
        match (self.first.get(test.0), self.first.get(test.0 + 1)) {
            (Some(from), Some(to)) => *from..*to,
            (None | Some(_), _) => 0..0,
        }
    }

    /// The entries of one column, one a row.
    pub(super) fn column(&self, column: usize) -> &[f32] {
        &self.entries[column]
    }
}

/// A probability as the table keeps it.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a probability of 24 bits is finer than any figure that goes into it"
)]
pub(super) fn narrow(p: f64) -> f32 {
    p as f32
}
