//! A case: one harness with everything that could be wrong with it, and what its findings say.

use crate::said::say;
use std::borrow::Cow;
use std::rc::Rc;

use super::SuspectsError;
use super::belief::{Belief, NothingFits, away, blend_unknown, repeated};
use super::building::Building;
use super::catalogue::Catalogue;
use super::cause::{self, Cause};
use super::defaults as d;
use super::forecast::Showing;
use super::kept::{Asked, Kept};
use super::likelihood::{Outlook, Row};
use super::meter::Workbench;
use super::near::Near;
use super::question::{Answer, Question};
use super::siblings;
use super::suspects::Suspects;
use super::trouble::{self, Trouble};
use super::unit::Unit;
use crate::faults::Fault;
use crate::gather::Arrange;
use crate::model::{FaultThen, Finding, FindingId, Harness, Works};

/// Why a harness gives no case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CaseError {
    /// The harness has nothing that can fail.
    #[error("{}", say!("the map has nothing on it that can fail: add parts and wires first"))]
    Empty,
    /// Its tables make no list of suspects.
    #[error("{}", say!("the list of suspects cannot be made: {0}", .0))]
    Suspects(#[from] SuspectsError),
}

/// Findings that nothing on the map could have produced together.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", say!("these findings cannot all be true: the most doubtful is finding {}", doubtful.number()))]
pub struct Contradiction {
    /// The finding without which the others fit best.
    pub doubtful: FindingId,
}

/// One harness with everything that could be wrong with it.
pub struct Case<'h> {
    pub(super) harness: Cow<'h, Harness>,
    pub(super) causes: Vec<Cause>,
    /// By cause; one more at the end for "nothing wrong".
    pub(super) showings: Vec<Showing>,
    pub(super) units: Vec<Unit>,
    pub(super) suspects: Suspects,
    pub(super) meter: Rc<Workbench>,
    pub(super) near: Rc<Near>,
    pub(super) catalogue: Catalogue,
    pub(super) kept: Kept,
}

/// Findings that answer one question under the same circumstances, as one piece of evidence.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The findings; several where something was looked at again.
    pub findings: Vec<FindingId>,
    /// What they answer; `None` for the one observation that the fault goes away at times.
    pub question: Option<Question>,
    /// The answers, one a finding.
    pub answers: Vec<Answer>,
    /// P(answers | cause), up to a factor of its own, by cause.
    pub row: Vec<f64>,
    /// The same with nothing wrong.
    pub nothing: f64,
}

/// What the findings say.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// Belief in every cause and unit of repair.
    pub belief: Belief,
    /// The evidence it rests on.
    pub evidence: Vec<Evidence>,
    /// Findings that do not count, and why.
    pub troubles: Vec<Trouble>,
    /// What was asked while the fault was away, once for each time.
    pub away: Vec<Question>,
}

impl<'h> Case<'h> {
    /// The case of a harness: every fault's effect and spark is reckoned; readings are when asked for.
    ///
    /// # Errors
    /// [`CaseError`].
    pub fn of(harness: &'h Harness) -> Result<Self, CaseError> {
        Building::begin(Cow::Borrowed(harness)).whole()
    }

    /// The case of a harness that it keeps for itself.
    ///
    /// # Errors
    /// [`CaseError`].
    pub fn owning(harness: Harness) -> Result<Case<'static>, CaseError> {
        Building::begin(Cow::Owned(harness)).whole()
    }

    /// The case of a harness, made step by step so that no page waits for it.
    #[must_use]
    pub fn begin(harness: Harness) -> Building<'static> {
        Building::begin(Cow::Owned(harness))
    }

    /// The same case where only what the owner knows of the parts' age, surroundings and reach has
    /// changed: every effect and reading stays, priors and costs are told anew.
    ///
    /// `harness` must have the same wiring, see `edit::bare_wiring`.
    ///
    /// # Errors
    /// [`CaseError`].
    pub fn reweighed(&self, harness: Harness) -> Result<Case<'static>, CaseError> {
        let weight = |faults: Vec<(Fault, f64, d::Kind)>| -> Vec<(Fault, f64)> {
            faults
                .into_iter()
                .map(|(fault, prior, _)| (fault, prior))
                .collect()
        };
        let before = weight(cause::faults(&self.harness));
        let now = weight(cause::faults(&harness));
        let mut causes = self.causes.clone();
        // Both lists and the causes name the same faults in the same order.
        let mut place = 0;
        for cause in &mut causes {
            while before.get(place).is_some_and(|(f, _)| *f != cause.fault) {
                place += 1;
            }
            if let (Some((_, old)), Some((_, new))) = (before.get(place), now.get(place))
                && *old > 0.0
            {
                cause.prior *= new / old;
            }
        }
        let given: Vec<(f64, usize)> = causes
            .iter()
            .map(|c| (c.prior, self.unit_number(c.unit).unwrap_or(0)))
            .collect();
        Ok(Case {
            suspects: Suspects::new(&given)?,
            catalogue: Catalogue::of(&harness),
            harness: Cow::Owned(harness),
            causes,
            showings: self.showings.clone(),
            units: self.units.clone(),
            meter: Rc::clone(&self.meter),
            near: Rc::clone(&self.near),
            kept: Kept::default(),
        })
    }

    /// Every act that the harness offers.
    #[must_use]
    pub fn catalogue(&self) -> &Catalogue {
        &self.catalogue
    }

    /// Reckons up to about `steps` readings that these findings need; returns about how many are left.
    /// What is left over, [`Self::assess_with`] reckons itself.
    pub fn prepare(&self, findings: &[Finding], steps: usize) -> usize {
        let counting = findings
            .iter()
            .filter(|finding| finding.standing == crate::model::Standing::Counts)
            .filter(|finding| trouble::of(&self.harness, finding).is_none());
        for finding in counting {
            let (question, _) = Question::of(finding);
            let left = self.meter.prepare(&question, steps);
            if left > 0 {
                return left;
            }
        }
        0
    }

    /// Everything that could be wrong.
    #[must_use]
    pub fn causes(&self) -> &[Cause] {
        &self.causes
    }

    /// What a cause shows.
    #[must_use]
    pub fn showing(&self, cause: usize) -> &Showing {
        &self.showings[cause.min(self.causes.len())]
    }

    /// The units of repair, rising; belief numbers them in this order.
    #[must_use]
    pub fn units(&self) -> &[Unit] {
        &self.units
    }

    /// The number of a unit of repair.
    #[must_use]
    pub fn unit_number(&self, unit: Unit) -> Option<usize> {
        self.units.binary_search(&unit).ok()
    }

    /// The causes as suspects.
    #[must_use]
    pub fn suspects(&self) -> &Suspects {
        &self.suspects
    }

    pub(super) fn outlook(&self) -> Outlook<'_> {
        Outlook {
            harness: &self.harness,
            causes: &self.causes,
            showings: &self.showings,
            meter: &self.meter,
            near: &self.near,
        }
    }

    /// What the harness's own findings say.
    ///
    /// # Errors
    /// [`Contradiction`] names the most doubtful finding.
    pub fn assess(&self) -> Result<Assessment, Contradiction> {
        self.assess_with(&self.harness.evidence())
    }

    /// What a list of findings says. Their order does not matter; those taken back do not count, and
    /// those that name what is not there or cannot be are reported and left out.
    ///
    /// # Errors
    /// [`Contradiction`] names the most doubtful finding.
    pub fn assess_with(&self, findings: &[Finding]) -> Result<Assessment, Contradiction> {
        let (evidence, troubles, away) = self.evidence(findings);
        let rows: Vec<&[f64]> = evidence.iter().map(|e| &e.row[..]).collect();
        match Belief::of(&self.suspects, &rows) {
            Ok(belief) => Ok(Assessment {
                belief,
                evidence,
                troubles,
                away,
            }),
            Err(NothingFits) => Err(Contradiction {
                doubtful: self.most_doubtful(&evidence),
            }),
        }
    }

    /// The finding that fits the others least: without it the rest fits best, or the fewest causes are
    /// ruled out.
    fn most_doubtful(&self, evidence: &[Evidence]) -> FindingId {
        let mut best: Option<(f64, usize, FindingId)> = None;
        for (out, one) in evidence.iter().enumerate() {
            let rest: Vec<&[f64]> = evidence
                .iter()
                .enumerate()
                .filter(|(i, _)| *i != out)
                .map(|(_, e)| &e.row[..])
                .collect();
            let fit = Belief::of(&self.suspects, &rest).map_or(f64::NEG_INFINITY, |b| b.fit());
            let ruled_out = one.row.iter().filter(|p| **p <= 0.0).count();
            if let Some(finding) = one.findings.last()
                && best
                    .is_none_or(|(most, many, _)| fit > most || (fit >= most && ruled_out > many))
            {
                best = Some((fit, ruled_out, *finding));
            }
        }
        best.map_or(FindingId::from_number(0), |(_, _, finding)| finding)
    }

    /// Evidence from findings: one piece for each question and circumstance; what does not count; and what was asked
    /// while the fault was away.
    pub(super) fn evidence(
        &self,
        findings: &[Finding],
    ) -> (Vec<Evidence>, Vec<Trouble>, Vec<Question>) {
        let mut troubles = Vec::new();
        let mut counting: Vec<(&Finding, Question, Answer)> = Vec::new();
        for finding in findings {
            if finding.standing == crate::model::Standing::TakenBack {
                continue;
            }
            match trouble::of(&self.harness, finding) {
                Some(wrong) => troubles.push(wrong),
                None => {
                    let (question, answer) = Question::of(finding);
                    counting.push((finding, question, answer));
                }
            }
        }
        // By id, so that the order in the list is of no account.
        counting.arrange_by_key(|(finding, _, _)| finding.id);
        let all: Vec<(Question, Answer)> = counting
            .iter()
            .map(|(_, question, answer)| (question.clone(), *answer))
            .collect();
        let mut groups: Vec<(Question, FaultThen, Vec<usize>)> = Vec::new();
        for (place, (finding, question, _)) in counting.iter().enumerate() {
            match groups
                .iter_mut()
                .find(|(q, then, _)| q == question && *then == finding.fault_then)
            {
                Some((_, _, members)) => members.push(place),
                None => groups.push((question.clone(), finding.fault_then, vec![place])),
            }
        }
        let mut pieces: Vec<(Asked, Evidence)> = Vec::new();
        let mut seen_away: Vec<FindingId> = Vec::new();
        let mut asked_away: Vec<Question> = Vec::new();
        for (question, then, members) in groups {
            let ids: Vec<FindingId> = members.iter().map(|m| counting[*m].0.id).collect();
            if then == FaultThen::Away {
                // It clears nothing; that the fault goes away is told once, below.
                seen_away.extend(&ids);
                asked_away.extend(ids.iter().map(|_| question.clone()));
                continue;
            }
            let beside = if let Question::Volts(probes) = &question {
                siblings::readings(&self.harness, &all, probes)
            } else {
                Vec::new()
            };
            let asked = Asked {
                answers: members.iter().map(|m| counting[*m].2).collect(),
                question,
                then,
                beside,
            };
            let kept = self.kept.find(&asked, &ids);
            match kept.or_else(|| self.reckon(&asked, &ids)) {
                Some(evidence) => pieces.push((asked, evidence)),
                None => troubles.extend(ids.iter().map(|id| Trouble::not_reckoned(*id))),
            }
        }
        let mut evidence: Vec<Evidence> = pieces.iter().map(|(_, one)| one.clone()).collect();
        self.kept.replace(pieces);
        if !seen_away.is_empty() {
            let shares: Vec<f64> = self.causes.iter().map(|c| c.comes_and_goes).collect();
            evidence.push(Evidence {
                findings: seen_away,
                question: None,
                answers: Vec::new(),
                row: away(&shares),
                nothing: 0.01,
            });
        }
        (evidence, troubles, asked_away)
    }

    /// One piece of evidence; `None` where its reading cannot be reckoned.
    fn reckon(&self, asked: &Asked, findings: &[FindingId]) -> Option<Evidence> {
        let outlook = self.outlook();
        let question = &asked.question;
        let shifts = if let Question::Volts(probes) = question {
            outlook.shifts(probes, &asked.beside)
        } else {
            Vec::new()
        };
        let answers = asked.answers.iter();
        let rows: Option<Vec<Row>> = answers
            .map(|answer| outlook.row(question, answer, &shifts))
            .collect();
        let joined = join(question, &rows?);
        Some(Evidence {
            findings: findings.to_vec(),
            answers: asked.answers.clone(),
            row: self.by_then(question, asked.then, &joined),
            nothing: joined.last().copied().unwrap_or(0.0),
            question: Some(question.clone()),
        })
    }

    /// A row as it counts when the fault showed, or when nobody knows.
    fn by_then(&self, question: &Question, then: FaultThen, row: &[f64]) -> Vec<f64> {
        let (with_fault, healthy) = row.split_at(self.causes.len());
        match then {
            FaultThen::Unknown if question.can_be_passed_while_away() => {
                let shares: Vec<f64> = self.causes.iter().map(|c| c.comes_and_goes).collect();
                let healthy = healthy.first().copied().unwrap_or(0.0);
                blend_unknown(with_fault, healthy, &shares, d::AWAY)
            }
            FaultThen::Present | FaultThen::Unknown | FaultThen::Away => with_fault.to_vec(),
        }
    }
}

/// Repeats of one question as one piece of evidence.
fn join(question: &Question, rows: &[Row]) -> Row {
    let shared = question.shared_luck();
    let reading = matches!(
        question,
        Question::Volts(_) | Question::Drop(_) | Question::Resistance(_)
    );
    if reading && rows.len() > 1 {
        // Readings are never equal to the digit: each one is right or not, and on average one is.
        let count = f64::from(u32::try_from(rows.len()).unwrap_or(u32::MAX));
        let width = rows.first().map_or(0, Vec::len);
        (0..width)
            .map(|i| rows.iter().map(|row| row[i]).sum::<f64>() / count)
            .collect()
    } else {
        repeated(rows, shared)
    }
}

impl Assessment {
    /// The cylinders that the findings call dead, each once, rising; the last word counts.
    #[must_use]
    pub fn dead(&self) -> Vec<crate::engine::CylinderId> {
        let mut dead: Vec<_> = self
            .evidence
            .iter()
            .filter_map(|e| match (&e.question, e.answers.last()) {
                (
                    Some(Question::Contribution(cylinder)),
                    Some(Answer::Works(Works::Dead | Works::Sometimes)),
                ) => Some(*cylinder),
                _ => None,
            })
            .collect();
        dead.arrange();
        dead.dedup();
        dead
    }
}
