//! Why a suspect stands where it stands, as data: each finding's factor, what was cleared, what is in doubt.

use super::Belief;
use super::case::{Assessment, Case};
use super::unit::Unit;
use crate::gather::Arrange;
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
/// How much less likely the others make a finding that is to be made again.
const CLASHES: f64 = 8.0;
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

    /// The shares of all units of repair, leaving out one piece of evidence each.
    fn without_each(&self, assessment: &Assessment) -> Vec<Vec<f64>> {
        let rows: Vec<&[f64]> = assessment.evidence.iter().map(|e| &e.row[..]).collect();
        (0..rows.len())
            .map(|out| assessment.belief.without(&self.suspects, &rows, out))
            .collect()
    }

    /// Findings that the others contradict, the most doubtful first: the others make it
    /// eight times less likely than it was at first, and the believed causes find it odd.
    /// Each was made once only; made again it would be settled.
    #[must_use]
    pub fn retake(&self, assessment: &Assessment) -> Vec<FindingId> {
        let believed: Vec<usize> = (0..self.causes.len())
            .filter(|c| assessment.belief.suspect(*c) > 1e-6)
            .collect();
        let priors = self.suspects.priors();
        let rows: Vec<&[f64]> = assessment.evidence.iter().map(|e| &e.row[..]).collect();
        let mut found: Vec<(f64, FindingId)> = Vec::new();
        for (place, evidence) in assessment.evidence.iter().enumerate() {
            let [finding] = evidence.findings[..] else {
                continue;
            };
            let row = rows[place];
            let best = row.iter().copied().fold(evidence.nothing, f64::max);
            let odd: f64 = believed
                .iter()
                .filter(|c| row[**c] < 0.2 * best)
                .map(|c| assessment.belief.suspect(*c))
                .sum();
            if odd < ENOUGH || evidence.question.is_none() {
                continue;
            }
            let at_first: f64 = row.iter().zip(priors).map(|(p, prior)| p * prior).sum();
            // Belief in each cause without this finding, times its row: P(finding | the others).
            let (mut with, mut without) = (0.0, 0.0);
            for cause in 0..self.causes.len() {
                let rest: f64 = rows
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != place)
                    .map(|(_, row)| row[cause])
                    .product::<f64>()
                    * priors[cause];
                with += rest * row[cause];
                without += rest;
            }
            if without > 0.0 && at_first > 0.0 {
                let ratio = with / without / at_first;
                if ratio * CLASHES < 1.0 {
                    found.push((ratio, finding));
                }
            }
        }
        found.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        found.into_iter().map(|(_, finding)| finding).collect()
    }

    /// Why each of `units` stands where it stands.
    #[must_use]
    pub fn explain(&self, assessment: &Assessment, units: &[Unit]) -> Vec<Explanation> {
        Apart::of(self, assessment).explain(units)
    }

    /// What the findings cleared, the most thoroughly cleared first.
    #[must_use]
    pub fn cleared(&self, assessment: &Assessment) -> Vec<Cleared> {
        Apart::of(self, assessment).cleared()
    }

    /// [`Self::explain`] and [`Self::cleared`] at once, in little more time than either takes.
    #[must_use]
    pub fn explain_and_clear(
        &self,
        assessment: &Assessment,
        units: &[Unit],
    ) -> (Vec<Explanation>, Vec<Cleared>) {
        let apart = Apart::of(self, assessment);
        (apart.explain(units), apart.cleared())
    }

    /// Whether one fault explains what was found, or which findings to check again.
    #[must_use]
    pub fn explained(&self, assessment: &Assessment) -> Explained {
        // How well a cause explains each piece of evidence: its likelihood over the best one's.
        let best: Vec<f64> = assessment
            .evidence
            .iter()
            .map(|e| e.row.iter().copied().fold(e.nothing, f64::max))
            .collect();
        let plausible = |cause: usize, place: usize| {
            if best[place] > 0.0 {
                assessment.evidence[place].row[cause] / best[place]
            } else {
                1.0
            }
        };
        let believed: Vec<usize> = (0..self.causes.len())
            .filter(|c| assessment.belief.suspect(*c) > 1e-6)
            .collect();
        let fits: f64 = believed
            .iter()
            .filter(|c| {
                let whole: f64 = (0..best.len()).map(|place| plausible(**c, place)).product();
                whole >= PLAUSIBLE
            })
            .map(|c| assessment.belief.suspect(*c))
            .sum();
        if fits >= ENOUGH || assessment.evidence.is_empty() {
            return Explained::ByOne;
        }
        // What the believed causes find odd, weighed by belief.
        let mut odd: Vec<(f64, usize)> = (0..assessment.evidence.len())
            .map(|place| {
                let weight: f64 = believed
                    .iter()
                    .filter(|c| plausible(**c, place) < 0.2)
                    .map(|c| assessment.belief.suspect(*c))
                    .sum();
                (weight, place)
            })
            .filter(|(weight, _)| *weight > 0.05)
            .collect();
        odd.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
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

/// An assessment beside what would be believed at first, and without each piece of its evidence.
struct Apart<'a> {
    case: &'a Case<'a>,
    assessment: &'a Assessment,
    /// By piece of evidence, the shares of all units of repair without it.
    without: Vec<Vec<f64>>,
    prior: Belief,
}

impl<'a> Apart<'a> {
    fn of(case: &'a Case<'a>, assessment: &'a Assessment) -> Self {
        Self {
            without: case.without_each(assessment),
            prior: Belief::prior(&case.suspects),
            case,
            assessment,
        }
    }

    fn explain(&self, units: &[Unit]) -> Vec<Explanation> {
        let belief = &self.assessment.belief;
        units
            .iter()
            .filter_map(|unit| {
                let number = self.case.unit_number(*unit)?;
                let of_unit = self.case.suspects.of_unit(number).iter();
                let mut causes: Vec<(usize, f64)> =
                    of_unit.map(|c| (*c, belief.suspect(*c))).collect();
                causes.arrange_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
                Some(Explanation {
                    unit: *unit,
                    share: belief.unit(number),
                    before: self.prior.unit(number),
                    causes,
                    factors: self.factors(number, |_| true),
                })
            })
            .collect()
    }

    fn cleared(&self) -> Vec<Cleared> {
        let units = self.case.units.iter().enumerate();
        let mut cleared: Vec<Cleared> = units
            .filter_map(|(number, unit)| {
                let now = self.assessment.belief.unit(number);
                let ratio = now / self.prior.unit(number).max(1e-300);
                (ratio < CLEARED).then(|| Cleared {
                    unit: *unit,
                    ratio,
                    by: self.factors(number, |factor| factor < 0.5),
                })
            })
            .collect();
        cleared.arrange_by(|a, b| a.ratio.total_cmp(&b.ratio).then(a.unit.cmp(&b.unit)));
        cleared
    }

    /// What each piece of evidence did to the odds of a unit, as far as it is to be told, the strongest first.
    fn factors(&self, unit: usize, is_told: impl Fn(f64) -> bool) -> Vec<Factor> {
        let odds = |p: f64| p / (1.0 - p).max(1e-15);
        let now = odds(self.assessment.belief.unit(unit));
        let evidence = self.assessment.evidence.iter();
        let mut factors: Vec<Factor> = evidence
            .zip(&self.without)
            .filter_map(|(evidence, belief)| {
                let before = odds(*belief.get(unit)?);
                let factor = if before > 0.0 { now / before } else { 1.0 };
                is_told(factor).then(|| Factor {
                    findings: evidence.findings.clone(),
                    factor,
                })
            })
            .collect();
        // A third is as strong as three times.
        let strength = |f: f64| f.max(1.0 / f.max(1e-300));
        factors.arrange_by(|a, b| {
            strength(b.factor)
                .total_cmp(&strength(a.factor))
                .then_with(|| a.findings.cmp(&b.findings))
        });
        factors
    }
}
