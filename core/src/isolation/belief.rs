//! Belief: exact Bayes over every suspect, computed afresh from the list of evidence.

use super::Suspects;
use crate::gather::Arrange;

/// All suspects together cannot have produced what was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no suspect could have produced all of this")]
pub struct NothingFits;

/// How likely each suspect and each unit of repair is, given what was seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// By suspect.
    suspect: Vec<f64>,
    /// By unit of repair.
    unit: Vec<f64>,
    /// Natural logarithm of P(everything seen).
    fit: f64,
}

impl Belief {
    /// Belief before anything was seen.
    #[must_use]
    pub fn prior(suspects: &Suspects) -> Self {
        Self::spread(suspects, suspects.priors().to_vec(), 0.0)
    }

    /// Belief after `evidence`: each item gives P(what was seen | suspect) for every suspect.
    ///
    /// Rows may be scaled by any positive factor of their own. The result does not depend on the
    /// order of the rows: each suspect's logarithms are summed from the smallest up, so that even
    /// the last bit is the same. Taking a row out of the list is the same as never having had it,
    /// because nothing else is kept.
    ///
    /// # Errors
    /// [`NothingFits`] when every suspect has a likelihood of zero somewhere.
    ///
    /// # Source
    /// Bayes' rule; the largest logarithm is taken out before the exponential.
    pub fn of(suspects: &Suspects, evidence: &[Vec<f64>]) -> Result<Self, NothingFits> {
        let mut logs = Vec::with_capacity(suspects.len());
        let mut terms = Vec::with_capacity(evidence.len() + 1);
        for (suspect, prior) in suspects.priors().iter().enumerate() {
            terms.clear();
            terms.push(prior.ln());
            for row in evidence {
                let p = row.get(suspect).copied().unwrap_or(1.0);
                // What is no probability speaks for nobody: it can neither clear nor accuse.
                let p = if p.is_finite() && p >= 0.0 { p } else { 1.0 };
                terms.push(p.ln());
            }
            terms.sort_by(f64::total_cmp);
            logs.push(terms.iter().sum::<f64>());
        }
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if !top.is_finite() {
            return Err(NothingFits);
        }
        let weights: Vec<f64> = logs.iter().map(|log| (log - top).exp()).collect();
        let total: f64 = weights.iter().sum();
        let share = weights.into_iter().map(|w| w / total).collect();
        Ok(Self::spread(suspects, share, top + total.ln()))
    }

    fn spread(suspects: &Suspects, suspect: Vec<f64>, fit: f64) -> Self {
        let unit = (0..suspects.units())
            .map(|u| suspects.of_unit(u).iter().map(|h| suspect[*h]).sum())
            .collect();
        Self { suspect, unit, fit }
    }

    /// Share of one suspect, 0 to 1.
    #[must_use]
    pub fn suspect(&self, suspect: usize) -> f64 {
        self.suspect[suspect]
    }

    /// Shares of all suspects; they sum to one.
    #[must_use]
    pub fn suspects(&self) -> &[f64] {
        &self.suspect
    }

    /// Share of one unit of repair, 0 to 1.
    #[must_use]
    pub fn unit(&self, unit: usize) -> f64 {
        self.unit[unit]
    }

    /// Shares of all units of repair; they sum to one.
    #[must_use]
    pub fn units(&self) -> &[f64] {
        &self.unit
    }

    /// Natural logarithm of P(everything seen), as far as the rows were not scaled.
    /// Comparing it with and without one item says how odd that item is.
    #[must_use]
    pub fn fit(&self) -> f64 {
        self.fit
    }

    /// Units of repair with their shares, the likeliest first, equals by number.
    #[must_use]
    pub fn ranked(&self) -> Vec<(usize, f64)> {
        let mut all: Vec<(usize, f64)> = self.unit.iter().copied().enumerate().collect();
        all.arrange_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        all
    }

    /// The likeliest unit of repair and its share.
    #[must_use]
    pub fn leader(&self) -> (usize, f64) {
        self.ranked().first().copied().unwrap_or((0, 0.0))
    }
}

/// Several findings of one test as one finding, because they share what made them right or wrong.
///
/// `rows`: P(outcome | suspect) of each finding. `shared`: chance, 0 to 1, that a repeat merely
/// repeats the first one's luck; then agreeing repeats say no more than one does, while
/// contradicting repeats are independent for sure.
///
/// # Source
/// A latent "same draw" with two states, summed out. Judgement: its share is a table value.
#[must_use]
pub fn repeated(rows: &[Vec<f64>], shared: f64) -> Vec<f64> {
    let Some((first, rest)) = rows.split_first() else {
        return Vec::new();
    };
    let agree = rest.iter().all(|row| row == first);
    let shared = if agree { shared.clamp(0.0, 1.0) } else { 0.0 };
    first
        .iter()
        .enumerate()
        .map(|(suspect, p)| {
            let apart: f64 = rest.iter().map(|row| row[suspect]).product();
            shared * p + (1.0 - shared) * p * apart
        })
        .collect()
}

/// A row of evidence that was gathered while nobody knows whether the fault showed.
///
/// `with_fault`: P(seen | suspect, fault shows); `healthy`: P(seen | nothing wrong);
/// `comes_and_goes`: for each suspect, the share of its cases that come and go; `away`: chance
/// that such a fault was away just then.
#[must_use]
pub fn blend_unknown(
    with_fault: &[f64],
    healthy: f64,
    comes_and_goes: &[f64],
    away: f64,
) -> Vec<f64> {
    with_fault
        .iter()
        .zip(comes_and_goes)
        .map(|(p, share)| {
            let gone = (share * away).clamp(0.0, 1.0);
            gone * healthy + (1.0 - gone) * p
        })
        .collect()
}

/// The one observation "this fault goes away at times": a row that speaks for suspects that do.
///
/// However many findings were made while the fault was away, this row counts once; the findings
/// themselves clear nothing.
#[must_use]
pub fn away(comes_and_goes: &[f64]) -> Vec<f64> {
    comes_and_goes
        .iter()
        .map(|share| share.clamp(0.0, 1.0))
        .collect()
}
