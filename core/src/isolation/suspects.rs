//! The suspects: what could be wrong, how likely each is at first, and which repair mends it.

use crate::gather::Arrange;
/// Why a list of suspects was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SuspectsError {
    /// There is nothing to suspect.
    #[error("a list of suspects must name at least one")]
    Empty,
    /// A prior is negative, infinite or not a number.
    #[error("the prior of suspect {0} must be a finite number of at least 0")]
    Prior(usize),
    /// All priors are zero.
    #[error("at least one suspect must have a prior above 0")]
    NoMass,
    /// Units of repair are numbered from 0 without a gap; this one has no suspect.
    #[error("unit of repair {0} has no suspect")]
    EmptyUnit(usize),
}

/// Suspects with priors, grouped by the unit of repair that mends them.
///
/// A suspect is known by its place in the list it was given in, from 0. Inside, suspects stand in
/// *columns* sorted by unit of repair, so that sums over a unit are sums over neighbours.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspects {
    /// Prior of each suspect as given, summing to one.
    prior: Vec<f64>,
    /// Unit of each suspect as given.
    unit: Vec<usize>,
    /// Suspect in each column.
    order: Vec<usize>,
    /// First column of each unit, and one past the last column.
    start: Vec<usize>,
}

impl Suspects {
    /// Suspects from pairs of (weight, unit of repair). Weights need not sum to one.
    ///
    /// # Errors
    /// [`SuspectsError`] names the first suspect or unit at fault.
    pub fn new(given: &[(f64, usize)]) -> Result<Self, SuspectsError> {
        if given.is_empty() {
            return Err(SuspectsError::Empty);
        }
        if let Some(bad) = given.iter().position(|(w, _)| !w.is_finite() || *w < 0.0) {
            return Err(SuspectsError::Prior(bad));
        }
        let total: f64 = given.iter().map(|(w, _)| w).sum();
        if !total.is_finite() || total <= 0.0 {
            return Err(SuspectsError::NoMass);
        }
        let units = given.iter().map(|(_, u)| u + 1).max().unwrap_or(0);
        // A unit number beyond the count of suspects leaves a gap for certain.
        let mut count = vec![0_usize; units.min(given.len() + 1)];
        for (_, unit) in given {
            if let Some(slot) = count.get_mut(*unit) {
                *slot += 1;
            }
        }
        if let Some(gap) = count.iter().position(|n| *n == 0) {
            return Err(SuspectsError::EmptyUnit(gap));
        }
        let mut order: Vec<usize> = (0..given.len()).collect();
        order.arrange_by_key(|h| given[*h].1);
        let mut start = vec![0];
        for n in count {
            start.push(start[start.len() - 1] + n);
        }
        Ok(Self {
            prior: given.iter().map(|(w, _)| w / total).collect(),
            unit: given.iter().map(|(_, u)| *u).collect(),
            order,
            start,
        })
    }

    /// How many suspects there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.prior.len()
    }

    /// Never true: a list of suspects names at least one.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.prior.is_empty()
    }

    /// How many units of repair there are.
    #[must_use]
    pub fn units(&self) -> usize {
        self.start.len() - 1
    }

    /// Prior of each suspect, summing to one.
    #[must_use]
    pub fn priors(&self) -> &[f64] {
        &self.prior
    }

    /// Unit of repair of a suspect.
    #[must_use]
    pub fn unit_of(&self, suspect: usize) -> usize {
        self.unit[suspect]
    }

    /// The suspects that one unit of repair mends.
    #[must_use]
    pub fn of_unit(&self, unit: usize) -> &[usize] {
        &self.order[self.start[unit]..self.start[unit + 1]]
    }

    /// Suspect in each column, sorted by unit.
    pub(super) fn columns(&self) -> &[usize] {
        &self.order
    }
}
