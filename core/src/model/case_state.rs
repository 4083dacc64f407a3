//! Whether the case is open, mended or closed, and which findings speak of which car.
//!
//! Ids are given out once and rise, so they tell what came before what.

use super::{CaseStep, Finding, FindingId, Harness, WorkEntry};

/// How far a case is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CaseState<'h> {
    /// The fault is being looked for.
    Open,
    /// Something was mended; whether that was it is to be seen.
    Mended(&'h WorkEntry),
    /// It is closed: what was mended last, where that was said, and what it was.
    Closed(Option<&'h WorkEntry>, &'h WorkEntry),
}

impl Harness {
    /// How far the case is, by the work log.
    #[must_use]
    pub fn case_state(&self) -> CaseState<'_> {
        let mut state = CaseState::Open;
        for entry in &self.work {
            state = match (entry.step, state) {
                (CaseStep::Work, state) => state,
                (CaseStep::Mended, _) => CaseState::Mended(entry),
                (CaseStep::Closed, CaseState::Mended(done)) => CaseState::Closed(Some(done), entry),
                (CaseStep::Closed, CaseState::Closed(done, _)) => CaseState::Closed(done, entry),
                (CaseStep::Closed, CaseState::Open) => CaseState::Closed(None, entry),
                (CaseStep::Reopened, _) => CaseState::Open,
            };
        }
        state
    }

    /// Whether a finding was made on the mended car.
    #[must_use]
    pub fn is_after_mending(&self, finding: FindingId) -> bool {
        let turns = self.turns();
        let last = turns.filter(|(id, _)| *id < finding.number()).last();
        last.is_some_and(|(_, step)| step == CaseStep::Mended)
    }

    /// The findings that speak of the fault: those made on the mended car do not.
    #[must_use]
    pub fn evidence(&self) -> Vec<Finding> {
        let findings = self.findings.iter();
        findings
            .filter(|finding| !self.is_after_mending(finding.id))
            .cloned()
            .collect()
    }

    /// The findings that speak of the car as it is now: since it was mended, or all the evidence.
    pub fn findings_now(&self) -> impl Iterator<Item = &Finding> {
        let from = match self.turns().last() {
            Some((id, CaseStep::Mended)) => Some(id),
            Some((_, CaseStep::Work | CaseStep::Closed | CaseStep::Reopened)) | None => None,
        };
        self.findings.iter().filter(move |finding| match from {
            Some(id) => finding.id.number() > id,
            None => !self.is_after_mending(finding.id),
        })
    }

    /// The number of the last entry after which findings speak of another state of the car; 0 where there is none.
    pub(crate) fn last_turn(&self) -> u32 {
        self.turns().last().map_or(0, |(id, _)| id)
    }

    /// The entries after which findings speak of another state of the car. Closing without a word of what was
    /// mended says that the car is mended.
    fn turns(&self) -> impl Iterator<Item = (u32, CaseStep)> {
        let mut mended = false;
        self.work.iter().filter_map(move |entry| {
            let step = match entry.step {
                CaseStep::Work => return None,
                CaseStep::Closed if mended => return None,
                CaseStep::Mended | CaseStep::Closed => CaseStep::Mended,
                CaseStep::Reopened => CaseStep::Reopened,
            };
            mended = step == CaseStep::Mended;
            Some((entry.id.number(), step))
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::edit::{Command, History};
    use crate::engine::{CylinderId, Layout, Strokes};
    use crate::model::{CaseState, CaseStep, Standing, Works};

    fn log(history: &mut History, step: CaseStep, text: &str) {
        let command = Command::Log {
            step,
            text: text.into(),
            element: None,
            at: None,
        };
        history.apply(command).unwrap();
    }

    fn mark(history: &mut History, works: Works) {
        let command = Command::Mark {
            cylinder: CylinderId(1),
            works,
            at: None,
        };
        history.apply(command).unwrap();
    }

    #[test]
    fn what_is_found_after_mending_is_no_evidence_and_takes_nothing_back() {
        let plan = Plan::new("four", propose_engine(4, Layout::Inline, Strokes::Four));
        let mut history = History::new(std::sync::Arc::new(build(&plan).unwrap()));
        mark(&mut history, Works::Dead);
        log(&mut history, CaseStep::Work, "took the cover off");
        assert_eq!(history.now().case_state(), CaseState::Open);
        log(&mut history, CaseStep::Mended, "cleaned the plug");
        mark(&mut history, Works::Alive);
        let now = history.now();
        assert!(
            matches!(now.case_state(), CaseState::Mended(entry) if entry.text == "cleaned the plug")
        );
        let standing: Vec<Standing> = now.findings.iter().map(|f| f.standing).collect();
        assert_eq!(standing, [Standing::Counts, Standing::Counts]);
        assert_eq!(now.evidence(), now.findings[..1]);
        assert_eq!(now.findings_now().collect::<Vec<_>>(), [&now.findings[1]]);
        log(&mut history, CaseStep::Closed, "green contacts");
        let now = history.now();
        assert!(
            matches!(now.case_state(), CaseState::Closed(Some(done), cause) if done.text == "cleaned the plug" && cause.text == "green contacts")
        );
        assert_eq!(now.evidence().len(), 1);
        history.undo();
        assert!(matches!(history.now().case_state(), CaseState::Mended(_)));
        history.redo();
        // It is back: what was found on the mended car is still no evidence, what is found now is.
        log(&mut history, CaseStep::Reopened, "");
        mark(&mut history, Works::Sometimes);
        let now = history.now();
        assert_eq!(now.case_state(), CaseState::Open);
        assert_eq!(now.evidence().len(), 2);
        assert_eq!(now.findings_now().count(), 2);
        assert_eq!(now.findings[0].standing, Standing::Counts);
    }

    #[test]
    fn closing_alone_says_that_it_is_mended() {
        let plan = Plan::new("four", propose_engine(4, Layout::Inline, Strokes::Four));
        let mut history = History::new(std::sync::Arc::new(build(&plan).unwrap()));
        mark(&mut history, Works::Dead);
        log(&mut history, CaseStep::Closed, "it was the fuse");
        mark(&mut history, Works::Alive);
        let now = history.now();
        assert!(matches!(now.case_state(), CaseState::Closed(None, _)));
        assert_eq!((now.evidence().len(), now.findings_now().count()), (1, 1));
        log(&mut history, CaseStep::Mended, "and a relay");
        assert!(matches!(history.now().case_state(), CaseState::Mended(_)));
    }
}
