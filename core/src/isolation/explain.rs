//! Why a suspect stands where it stands, as data: each finding's factor, what was cleared, what is in doubt.

use super::case::{Assessment, Case};
use super::unit::Unit;
use super::{Belief, NothingFits};
use crate::model::FindingId;

/// What one piece of evidence did to the odds of a unit of repair.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    /// The findings.
    pub findings: Vec<FindingId>,
    /// Odds with it over odds without it: above 1 it speaks against the unit's innocence.
    pub factor: f64,
}

/// A suspect with its reasons.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The unit of repair.
    pub unit: Unit,
    /// Its share now.
    pub share: f64,
    /// Its share before any finding.
    pub before: f64,
    /// Its causes with their shares, the likeliest first.
    pub causes: Vec<(usize, f64)>,
    /// What each piece of evidence did, the strongest first.
    pub factors: Vec<Factor>,
}

/// A unit of repair that the findings cleared.
#[derive(Debug, Clone, PartialEq)]
pub struct Cleared {
    /// The unit.
    pub unit: Unit,
    /// Its share now over its share before any finding.
    pub ratio: f64,
    /// The findings that did most of it, the strongest first.
    pub by: Vec<Factor>,
}

/// Whether one fault explains what was found.
#[derive(Debug, Clone, PartialEq)]
pub enum Explained {
    /// It does.
    ByOne,
    /// Only if a finding is mistaken: look again at these, the most doubtful first.
    CheckAgain(Vec<FindingId>),
    /// It does not, and what is doubtful was looked at again: two faults at once are worth a thought.
    NotByOne,
}

/// A cause explains a finding as long as it makes it at least this likely, beside the best.
const PLAUSIBLE: f64 = 0.05;
/// What must be explained by plausible causes.
const ENOUGH: f64 = 0.5;
/// A unit that fell to this part of its first share counts as cleared.
const CLEARED: f64 = 0.02;

impl Case<'_> {
    /// The suspects, the likeliest first, down to a share.
    #[must_use]
    pub fn ranked(&self, assessment: &Assessment, least: f64) -> Vec<(Unit, f64)> {
        assessment
            .belief
            .ranked()
            .into_iter()
            .take_while(|(_, share)| *share >= least)
            .filter_map(|(unit, share)| Some((*self.units.get(unit)?, share)))
            .collect()
    }

    /// Beliefs that leave out one piece of evidence each.
    fn without_each(&self, assessment: &Assessment) -> Vec<Result<Belief, NothingFits>> {
        (0..assessment.evidence.len())
            .map(|out| {
                let rows: Vec<Vec<f64>> = assessment
                    .evidence
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| *i != out)
                    .map(|(_, e)| e.row.clone())
                    .collect();
                Belief::of(&self.suspects, &rows)
            })
            .collect()
    }

    /// Why each of `units` stands where it stands.
    #[must_use]
    pub fn explain(&self, assessment: &Assessment, units: &[Unit]) -> Vec<Explanation> {
        let without = self.without_each(assessment);
        let prior = Belief::prior(&self.suspects);
        units
            .iter()
            .filter_map(|unit| {
                let number = self.unit_number(*unit)?;
                let share = assessment.belief.unit(number);
                let mut causes: Vec<(usize, f64)> = self
                    .suspects
                    .of_unit(number)
                    .iter()
                    .map(|c| (*c, assessment.belief.suspect(*c)))
                    .collect();
                causes.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
                Some(Explanation {
                    unit: *unit,
                    share,
                    before: prior.unit(number),
                    causes,
                    factors: factors(assessment, &without, number),
                })
            })
            .collect()
    }

    /// What the findings cleared, the most thoroughly cleared first.
    #[must_use]
    pub fn cleared(&self, assessment: &Assessment) -> Vec<Cleared> {
        let without = self.without_each(assessment);
        let prior = Belief::prior(&self.suspects);
        let mut cleared: Vec<Cleared> = self
            .units
            .iter()
            .enumerate()
            .filter_map(|(number, unit)| {
                let ratio = assessment.belief.unit(number) / prior.unit(number).max(1e-300);
                (ratio < CLEARED).then(|| Cleared {
                    unit: *unit,
                    ratio,
                    by: factors(assessment, &without, number)
                        .into_iter()
                        .filter(|f| f.factor < 0.5)
                        .collect(),
                })
            })
            .collect();
        cleared.sort_by(|a, b| a.ratio.total_cmp(&b.ratio).then(a.unit.cmp(&b.unit)));
        cleared
    }

    /// How well a cause explains each piece of evidence: its likelihood over the best one's.
    fn plausibility(&self, assessment: &Assessment, cause: usize) -> Vec<f64> {
        assessment
            .evidence
            .iter()
            .map(|e| {
                let best = e.row.iter().copied().fold(e.nothing, f64::max);
                if best > 0.0 { e.row[cause] / best } else { 1.0 }
            })
            .collect()
    }

    /// Whether one fault explains what was found, or which findings to check again.
    #[must_use]
    pub fn explained(&self, assessment: &Assessment) -> Explained {
        let plausible: f64 = (0..self.causes.len())
            .filter(|c| assessment.belief.suspect(*c) > 1e-6)
            .filter(|c| self.plausibility(assessment, *c).iter().product::<f64>() >= PLAUSIBLE)
            .map(|c| assessment.belief.suspect(c))
            .sum();
        if plausible >= ENOUGH || assessment.evidence.is_empty() {
            return Explained::ByOne;
        }
        // What the believed causes find odd, weighed by belief.
        let mut odd: Vec<(f64, usize)> = (0..assessment.evidence.len())
            .map(|place| {
                let weight: f64 = (0..self.causes.len())
                    .filter(|c| assessment.belief.suspect(*c) > 1e-6)
                    .filter(|c| self.plausibility(assessment, *c)[place] < 0.2)
                    .map(|c| assessment.belief.suspect(c))
                    .sum();
                (weight, place)
            })
            .filter(|(weight, _)| *weight > 0.05)
            .collect();
        odd.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let again: Vec<FindingId> = odd
            .iter()
            .map(|(_, place)| &assessment.evidence[*place])
            .filter(|e| e.findings.len() == 1)
            .flat_map(|e| e.findings.iter().copied())
            .collect();
        if again.is_empty() {
            Explained::NotByOne
        } else {
            Explained::CheckAgain(again)
        }
    }
}

fn factors(
    assessment: &Assessment,
    without: &[Result<Belief, NothingFits>],
    unit: usize,
) -> Vec<Factor> {
    let odds = |p: f64| p / (1.0 - p).max(1e-15);
    let now = odds(assessment.belief.unit(unit));
    let mut factors: Vec<Factor> = assessment
        .evidence
        .iter()
        .zip(without)
        .filter_map(|(evidence, belief)| {
            let before = odds(belief.as_ref().ok()?.unit(unit));
            let factor = if before > 0.0 { now / before } else { 1.0 };
            Some(Factor {
                findings: evidence.findings.clone(),
                factor,
            })
        })
        .collect();
    let strength = |f: f64| f.max(1e-300).ln().abs();
    factors.sort_by(|a, b| {
        strength(b.factor)
            .total_cmp(&strength(a.factor))
            .then_with(|| a.findings.cmp(&b.findings))
    });
    factors
}
