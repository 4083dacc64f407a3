//! The dictionary: for every test, outcome and suspect, how likely that outcome would be.

use super::information::xlogx;
use super::{Belief, Suspects};

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

/// P(outcome | suspect) for every test, as `f32`.
///
/// A *row* is one outcome of one test. Most suspects answer most tests alike: each test keeps the
/// answer of the many once, and beside it the suspects that answer otherwise, in columns sorted by
/// unit of repair.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    suspects: Suspects,
    /// By suspect: its column.
    column_of: Vec<usize>,
    /// By column: its unit of repair.
    unit_of: Vec<usize>,
    tests: Vec<Test>,
    rows: usize,
}

/// One test of a table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Test {
    /// What most suspects answer, one entry an outcome.
    pub(super) usual: Vec<f32>,
    /// Columns of the suspects that answer otherwise, rising.
    pub(super) columns: Vec<usize>,
    /// Their answers, column by column.
    pub(super) entries: Vec<f32>,
    /// Sum of p·log₂ p over what most answer.
    pub(super) logs: f64,
}

impl Test {
    /// The answers of the nth suspect that answers otherwise.
    pub(super) fn other(&self, nth: usize) -> &[f32] {
        let wide = self.usual.len();
        self.entries
            .get(nth * wide..(nth + 1) * wide)
            .unwrap_or(&[])
    }

    /// The suspects that answer otherwise, by rising column, with what they answer.
    pub(super) fn others(&self) -> impl Iterator<Item = (usize, &[f32])> {
        let entries = self.entries.chunks_exact(self.usual.len().max(1));
        self.columns.iter().copied().zip(entries)
    }

    /// What the suspect of a column answers.
    fn of_column(&self, column: usize) -> &[f32] {
        match self.columns.binary_search(&column) {
            Ok(nth) => self.other(nth),
            Err(_) => &self.usual,
        }
    }
}

impl Table {
    /// A table without tests.
    #[must_use]
    pub fn new(suspects: Suspects) -> Self {
        let mut column_of = vec![0; suspects.len()];
        let mut unit_of = vec![0; suspects.len()];
        for (column, suspect) in suspects.columns().iter().enumerate() {
            column_of[*suspect] = column;
            unit_of[column] = suspects.unit_of(*suspect);
        }
        Self {
            suspects,
            column_of,
            unit_of,
            tests: Vec::new(),
            rows: 0,
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
        self.tests.len()
    }

    /// How many rows there are: the outcomes of all tests.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// How many outcomes a test has; 0 for an unknown test.
    #[must_use]
    pub fn outcomes(&self, test: TestIndex) -> usize {
        self.tests.get(test.0).map_or(0, |test| test.usual.len())
    }

    /// Adds a test: for each outcome one probability for each suspect, in the suspects' own order.
    ///
    /// # Errors
    /// [`TableError`] names the test, outcome and suspect at fault; the table is then unchanged.
    pub fn add_test(&mut self, outcomes: &[Vec<f64>]) -> Result<TestIndex, TableError> {
        let test = TestIndex(self.tests());
        if outcomes.is_empty() {
            return Err(TableError::NoOutcome(test));
        }
        let wanted = self.suspects.len();
        if let Some((outcome, row)) = outcomes
            .iter()
            .enumerate()
            .find(|(_, row)| row.len() != wanted)
        {
            return Err(TableError::Length {
                test,
                outcome,
                found: row.len(),
                wanted,
            });
        }
        let of = |suspect: usize| -> Vec<f64> { outcomes.iter().map(|row| row[suspect]).collect() };
        // What most suspects answer, if more than half answer alike; else what some answer.
        let (mut usual, mut votes) = (0, 0_usize);
        for suspect in 0..wanted {
            let alike = outcomes
                .iter()
                .all(|row| row[suspect].to_bits() == row[usual].to_bits());
            if votes == 0 {
                (usual, votes) = (suspect, 1);
            } else if alike {
                votes += 1;
            } else {
                votes -= 1;
            }
        }
        let others: Vec<usize> = (0..wanted)
            .filter(|suspect| {
                outcomes
                    .iter()
                    .any(|row| row[*suspect].to_bits() != row[usual].to_bits())
            })
            .collect();
        // Who is at fault is told by name: the usual answer belongs to the first who gives it.
        let mut named = others.iter();
        let first = (0..wanted)
            .find(|suspect| named.next() != Some(suspect))
            .unwrap_or(usual);
        check(test, first, &of(usual))?;
        let entries: Vec<f64> = others.iter().flat_map(|suspect| of(*suspect)).collect();
        self.add_sparse(&of(usual), &others, &entries)
    }

    /// Adds a test of which all suspects but a few answer alike. `usual`: the probability of each outcome
    /// for the many; `others`: the few, each at most once; `entries`: theirs, suspect by suspect.
    ///
    /// # Errors
    /// [`TableError`] as for [`Self::add_test`]; what is wrong with the many is told of suspect 0.
    pub fn add_sparse(
        &mut self,
        usual: &[f64],
        others: &[usize],
        entries: &[f64],
    ) -> Result<TestIndex, TableError> {
        let test = TestIndex(self.tests());
        check(test, 0, usual)?;
        let wide = usual.len();
        let length = |found, wanted| TableError::Length {
            test,
            outcome: 0,
            found,
            wanted,
        };
        if entries.len() != others.len() * wide {
            return Err(length(entries.len(), others.len() * wide));
        }
        for (suspect, row) in others.iter().zip(entries.chunks_exact(wide)) {
            check(test, *suspect, row)?;
            if *suspect >= self.suspects.len() {
                return Err(length(suspect + 1, self.suspects.len()));
            }
        }
        let (columns, order) = self.by_column(others);
        let mut sorted = Vec::with_capacity(entries.len());
        for nth in order {
            let row = &entries[nth * wide..(nth + 1) * wide];
            sorted.extend(row.iter().map(|p| narrow(*p)));
        }
        let usual: Vec<f32> = usual.iter().map(|p| narrow(*p)).collect();
        self.rows += usual.len();
        self.tests.push(Test {
            logs: usual.iter().map(|p| xlogx(f64::from(*p))).sum(),
            usual,
            columns,
            entries: sorted,
        });
        Ok(test)
    }

    /// The columns of these suspects, rising, and which of them stands in each.
    fn by_column(&self, suspects: &[usize]) -> (Vec<usize>, Vec<usize>) {
        let columns = suspects.iter().map(|suspect| self.column_of[*suspect]);
        let (least, most) = columns.clone().fold((usize::MAX, 0), |(least, most), c| {
            (least.min(c), most.max(c))
        });
        // Suspects of one act mostly stand close together.
        let mut at = vec![usize::MAX; (most + 1).saturating_sub(least)];
        for (nth, column) in columns.enumerate() {
            at[column - least] = nth;
        }
        let taken = at
            .into_iter()
            .enumerate()
            .filter(|(_, nth)| *nth != usize::MAX);
        let (mut rising, mut order) = (Vec::new(), Vec::new());
        rising.reserve_exact(suspects.len());
        order.reserve_exact(suspects.len());
        for (column, nth) in taken {
            rising.push(least + column);
            order.push(nth);
        }
        (rising, order)
    }

    /// P(outcome | suspect) for each suspect, in the suspects' own order: evidence once it was seen.
    ///
    /// # Errors
    /// [`TableError::NoSuch`].
    pub fn row(&self, test: TestIndex, outcome: usize) -> Result<Vec<f64>, TableError> {
        let found = self.tests.get(test.0);
        let found = found.ok_or(TableError::NoSuch { test, outcome })?;
        let usual = found.usual.get(outcome);
        let usual = usual.ok_or(TableError::NoSuch { test, outcome })?;
        let mut row = vec![f64::from(*usual); self.suspects.len()];
        for (nth, column) in found.columns.iter().enumerate() {
            row[self.suspects.columns()[*column]] = f64::from(found.other(nth)[outcome]);
        }
        Ok(row)
    }

    /// By unit of repair, how likely it is at a belief that the unit is at fault and a test has this outcome.
    ///
    /// # Errors
    /// [`TableError::NoSuch`].
    pub fn joint(
        &self,
        test: TestIndex,
        outcome: usize,
        belief: &Belief,
    ) -> Result<Vec<f64>, TableError> {
        let found = self.tests.get(test.0);
        let found = found.ok_or(TableError::NoSuch { test, outcome })?;
        let usual = found.usual.get(outcome);
        let usual = f64::from(*usual.ok_or(TableError::NoSuch { test, outcome })?);
        // What is left to the suspects that answer as usual, and what the others make of it.
        let mut left = belief.units().to_vec();
        let mut units = vec![0.0; left.len()];
        for (column, answers) in found.others() {
            let share = belief.suspect(self.suspects.columns()[column]);
            left[self.unit_of[column]] -= share;
            units[self.unit_of[column]] += share * f64::from(answers[outcome]);
        }
        for (unit, left) in units.iter_mut().zip(left) {
            *unit += usual * left.max(0.0);
        }
        Ok(units)
    }

    /// The outcome that a suspect makes most likely, the first of equals.
    #[must_use]
    pub fn likeliest(&self, test: TestIndex, suspect: usize) -> Option<(usize, f64)> {
        let column = *self.column_of.get(suspect)?;
        let mut best: Option<(usize, f32)> = None;
        for (outcome, p) in self.tests.get(test.0)?.of_column(column).iter().enumerate() {
            if best.is_none_or(|(_, most)| *p > most) {
                best = Some((outcome, *p));
            }
        }
        best.map(|(outcome, p)| (outcome, f64::from(p)))
    }

    /// The tests, in order.
    pub(super) fn all(&self) -> &[Test] {
        &self.tests
    }

    /// The unit of repair of a column.
    pub(super) fn unit_of(&self, column: usize) -> usize {
        self.unit_of[column]
    }
}

/// Whether these are the probabilities of all outcomes for one suspect.
fn check(test: TestIndex, suspect: usize, row: &[f64]) -> Result<(), TableError> {
    if row.is_empty() {
        return Err(TableError::NoOutcome(test));
    }
    if let Some(outcome) = row.iter().position(|p| !(0.0..=1.0).contains(p)) {
        return Err(TableError::NotAProbability {
            test,
            outcome,
            suspect,
        });
    }
    let sum: f64 = row.iter().sum();
    if (sum - 1.0).abs() > SUM_SLACK {
        return Err(TableError::Sum { test, suspect });
    }
    Ok(())
}

/// A probability as the table keeps it.
#[allow(
    clippy::cast_possible_truncation,
    reason = "a probability of 24 bits is finer than any figure that goes into it"
)]
fn narrow(p: f64) -> f32 {
    p as f32
}
