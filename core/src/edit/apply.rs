//! What each command does to a harness.

use super::facts::visit;
use super::{Command, FactAt, nominal};
use crate::engine::CylinderId;
use crate::model::{
    FaultThen, Finding, FindingId, Harness, PartId, Quantity, Seen, Standing, Timestamp, Works,
};

/// Why a command could not be carried out; the harness is then as it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The command names a part that the harness does not have.
    #[error("the harness has no part {0}")]
    NoPart(PartId),
    /// The command names a fact that the harness does not have, or that has no value yet.
    #[error("the harness has no such fact: {0:?}")]
    NoFact(FactAt),
    /// The number is far outside what such a thing can have.
    #[error("it must lie {}", span(*.0))]
    OutOfRange(Quantity),
    /// The command names a finding that the harness does not have.
    #[error("the harness has no finding {0}")]
    NoFinding(FindingId),
    /// The command names a cylinder that the engine does not have.
    #[error("the engine has no cylinder {0}")]
    NoCylinder(CylinderId),
}

/// The numbers that a quantity may have, in words.
fn span(quantity: Quantity) -> String {
    let (low, high) = nominal::allowed(quantity);
    format!("between {low} and {high} {}", quantity.range().unit)
}

/// The harness that results from `command`; the one given stays as it is.
///
/// # Errors
/// [`EditError`] names the part, fact, finding or cylinder that is not there.
pub fn apply(harness: &Harness, command: &Command) -> Result<Harness, EditError> {
    let mut next = harness.clone();
    match command {
        Command::Rename(title) => next.title.clone_from(title),
        Command::SetAbout(about) => next.about.clone_from(about),
        Command::RenamePart { part, name } => {
            next.parts
                .get_mut(part)
                .ok_or(EditError::NoPart(*part))?
                .name
                .clone_from(name);
        }
        Command::SetProvenance { at, how } => {
            let mut found = false;
            visit(&mut next, &mut |place, known| {
                if place == *at {
                    *known = *how;
                    found = true;
                }
            });
            if !found {
                return Err(EditError::NoFact(*at));
            }
        }
        Command::SetNominal { at, value } => nominal::set(&mut next, *at, *value)?,
        Command::Mark {
            cylinder,
            works,
            at,
        } => mark(&mut next, *cylinder, *works, *at)?,
        Command::MarkAll { marks, at } => {
            for &(cylinder, works) in marks {
                mark(&mut next, cylinder, works, *at)?;
            }
        }
        Command::Unmark(cylinder) => take_back_marks(&mut next, *cylinder)?,
        Command::AddFinding {
            seen,
            setup,
            fault_then,
            at,
            note,
        } => {
            let id = next.fresh();
            next.findings.push(Finding {
                id,
                seen: seen.clone(),
                setup: setup.clone(),
                fault_then: *fault_then,
                at: *at,
                note: note.clone(),
                standing: Standing::Counts,
            });
        }
        Command::SetStanding { finding, standing } => {
            next.findings
                .iter_mut()
                .find(|found| found.id == *finding)
                .ok_or(EditError::NoFinding(*finding))?
                .standing = *standing;
        }
        Command::SetFaultThen {
            finding,
            fault_then,
        } => {
            next.findings
                .iter_mut()
                .find(|found| found.id == *finding)
                .ok_or(EditError::NoFinding(*finding))?
                .fault_then = *fault_then;
        }
        Command::Replace(other) => next = Harness::clone(other),
    }
    Ok(next)
}

fn mark(
    harness: &mut Harness,
    cylinder: CylinderId,
    works: Works,
    at: Option<Timestamp>,
) -> Result<(), EditError> {
    take_back_marks(harness, cylinder)?;
    let id = harness.fresh();
    harness.findings.push(Finding {
        id,
        seen: Seen::Contribution { cylinder, works },
        setup: None,
        fault_then: FaultThen::Present,
        at,
        note: String::new(),
        standing: Standing::Counts,
    });
    Ok(())
}

fn take_back_marks(harness: &mut Harness, of: CylinderId) -> Result<(), EditError> {
    if harness.engine.place(of).is_none() {
        return Err(EditError::NoCylinder(of));
    }
    for finding in &mut harness.findings {
        if matches!(finding.seen, Seen::Contribution { cylinder, .. } if cylinder == of) {
            finding.standing = Standing::TakenBack;
        }
    }
    Ok(())
}
