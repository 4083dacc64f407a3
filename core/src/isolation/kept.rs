//! The evidence that was reckoned last: what a finding says is not reckoned again because another one came.

use std::cell::RefCell;

use super::case::Evidence;
use super::question::{Answer, Probes, Question};
use crate::model::{FaultThen, FindingId};

/// All that a row of evidence rests on, beside the case itself.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Asked {
    pub(super) question: Question,
    pub(super) then: FaultThen,
    /// One a finding.
    pub(super) answers: Vec<Answer>,
    /// What was read at terminals like that of the question, with the question's own.
    pub(super) beside: Vec<(Probes, f64)>,
}

/// The pieces of the last assessment. They tell nothing that reckoning them anew would not.
#[derive(Default)]
pub(super) struct Kept(RefCell<Vec<(Asked, Evidence)>>);

impl Kept {
    /// The evidence of `findings`, if the same was asked and answered the last time.
    pub(super) fn find(&self, asked: &Asked, findings: &[FindingId]) -> Option<Evidence> {
        let kept = self.0.borrow();
        let (_, evidence) = kept.iter().find(|(known, _)| known == asked)?;
        Some(Evidence {
            findings: findings.to_vec(),
            ..evidence.clone()
        })
    }

    /// Forgets what was kept and keeps this.
    pub(super) fn replace(&self, pieces: Vec<(Asked, Evidence)>) {
        *self.0.borrow_mut() = pieces;
    }
}
