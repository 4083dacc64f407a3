//! A walk: its kind and the replies so far; everything else follows from them and the map.

use super::kind::Kind;
use super::step::{Refused, Reply, Step};
use super::tape::{Scene, Tape};
use super::verdict::{Meaning, Verdict};
use super::{dead, mended, single, spark, split, stress, swap};
use crate::model::{
    FaultThen, Finding, FindingId, Harness, Seen, Setup, Standing, Works, cylinders_said,
};

/// Whether the fault was there all the time when the walk began, as far as the findings tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shows {
    /// Nothing speaks against it.
    Steady,
    /// A cylinder was said to work at times: each walk asks whether the fault shows now.
    Wavers,
}

/// A reply, with the findings that were made of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// The reply.
    pub reply: Reply,
    /// The findings of the map that it made.
    pub findings: Vec<FindingId>,
}

/// A guided walk.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    pub(super) kind: Kind,
    pub(super) shows: Shows,
    pub(super) given: Vec<Given>,
}

/// A finding that a reply makes.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// What was seen.
    pub seen: Seen,
    /// How the car stood, where that matters.
    pub setup: Option<Setup>,
    /// Whether the fault showed.
    pub fault_then: FaultThen,
}

/// A step that was answered.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// The step.
    pub step: Step,
    /// The reply.
    pub reply: Reply,
    /// What it meant.
    pub meaning: Meaning,
    /// The findings that it makes.
    pub evidence: Vec<Evidence>,
}

/// Where a walk stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Stage {
    /// This is to be done now.
    Ask(Step),
    /// It is over.
    Over(Verdict),
}

/// Where a walk stands and what led there.
#[derive(Debug, Clone, PartialEq)]
pub struct Position {
    /// Now.
    pub now: Stage,
    /// The steps before, the first one first.
    pub past: Vec<Past>,
}

/// A walk, one step on.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// The walk.
    pub walk: Walk,
    /// The findings that the reply makes; the ids they get belong to [`Walk::noted`].
    pub evidence: Vec<Evidence>,
    /// What the reply meant.
    pub meaning: Meaning,
}

impl Walk {
    /// A walk at its beginning.
    #[must_use]
    pub fn begin(harness: &Harness, kind: Kind) -> Self {
        Self {
            kind,
            shows: if wavers(&harness.findings) {
                Shows::Wavers
            } else {
                Shows::Steady
            },
            given: Vec::new(),
        }
    }

    /// What it is about.
    #[must_use]
    pub const fn kind(&self) -> &Kind {
        &self.kind
    }

    /// What was replied so far, with the findings made of it.
    #[must_use]
    pub fn given(&self) -> &[Given] {
        &self.given
    }

    /// The replies so far.
    #[must_use]
    pub fn replies(&self) -> Vec<Reply> {
        self.given.iter().map(|given| given.reply).collect()
    }

    /// Where it stands on a map. Replies that the map has no question for any more are left out, with
    /// all after them.
    #[must_use]
    pub fn stage(&self, harness: &Harness) -> Position {
        let replies = self.replies();
        let mut tape = Tape::new(harness, self.shows, &replies);
        let now = match play(&mut tape, &self.kind) {
            Ok(verdict) => Stage::Over(verdict),
            Err(step) => Stage::Ask(*step),
        };
        Position {
            now,
            past: tape.past,
        }
    }

    /// One step on.
    ///
    /// # Errors
    /// [`Refused`]: the step takes no such reply, the reading is impossible or in the wrong unit, or the
    /// walk is over. The walk is then where it was.
    pub fn answer(&self, harness: &Harness, reply: Reply) -> Result<Answered, Refused> {
        let position = self.stage(harness);
        let Stage::Ask(step) = position.now else {
            return Err(Refused::Over);
        };
        let reply = step.replies.take(reply)?;
        let mut walk = self.clone();
        walk.given.truncate(position.past.len());
        walk.given.push(Given {
            reply,
            findings: Vec::new(),
        });
        let past = walk.stage(harness).past.pop();
        let (evidence, meaning) = past.map_or((Vec::new(), Meaning::Noted), |past| {
            (past.evidence, past.meaning)
        });
        Ok(Answered {
            walk,
            evidence,
            meaning,
        })
    }

    /// The same walk; its last reply made these findings.
    #[must_use]
    pub fn noted(mut self, findings: Vec<FindingId>) -> Self {
        if let Some(last) = self.given.last_mut() {
            last.findings = findings;
        }
        self
    }

    /// One step back, with the findings that go with it; `None` at the beginning.
    #[must_use]
    pub fn take_back(&self) -> Option<(Self, Vec<FindingId>)> {
        let mut walk = self.clone();
        let last = walk.given.pop()?;
        Some((walk, last.findings))
    }

    /// The walk as far as its findings still count on a map: who undoes a finding goes back to the step
    /// that made it, who redoes it goes on from there.
    #[must_use]
    pub fn live(&self, harness: &Harness) -> Self {
        let past = self.stage(harness).past;
        let stands = |evidence: &Evidence, id: &FindingId| {
            harness.findings.iter().any(|finding| {
                finding.id == *id
                    && finding.standing == Standing::Counts
                    && finding.seen == evidence.seen
            })
        };
        let many = past
            .iter()
            .zip(&self.given)
            .take_while(|(past, given)| {
                past.evidence.len() == given.findings.len()
                    && past
                        .evidence
                        .iter()
                        .zip(&given.findings)
                        .all(|(e, id)| stands(e, id))
            })
            .count();
        let mut walk = self.clone();
        walk.given.truncate(many);
        walk
    }
}

fn play(tape: &mut Tape<'_>, kind: &Kind) -> Scene<Verdict> {
    match kind {
        Kind::Dead => dead::play(tape),
        Kind::Continuity { from, to } => split::continuity(tape, *from, *to),
        Kind::Siblings { of } => single::siblings(tape, *of),
        Kind::Drop { from, to } => split::drop(tape, *from, *to),
        Kind::Spark(cylinder) => spark::play(tape, *cylinder),
        Kind::Swap(pair) => swap::play(tape, *pair),
        Kind::Stress(element) => stress::play(tape, *element),
        Kind::Mended(done) => mended::play(tape, done.as_ref()),
        Kind::Single(question) => single::play(tape, question),
    }
}

/// What the findings that count say of each cylinder, the last word of each.
pub(super) fn said(
    harness: &Harness,
) -> std::collections::BTreeMap<crate::engine::CylinderId, Works> {
    cylinders_said(&harness.findings)
}

fn wavers(findings: &[Finding]) -> bool {
    cylinders_said(findings)
        .into_values()
        .any(|works| works == Works::Sometimes)
}
