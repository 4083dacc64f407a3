//! Facts that clash: the stronger one stands on the map, the other is kept beside it until somebody settles it.

use super::EditError;
use super::value::{check, put};
use crate::model::{FactAt, FactValue, Harness, Rival};
use crate::provenance::{Fact, Provenance};

/// Says what a fact is, or that nobody knows it.
///
/// An assumption gives way to anything, and a value to another of the same origin: that is a correction. A value
/// read off a diagram and one measured on the car clash where they differ: the measured one stands on the map, the
/// other becomes a [`Rival`]. An assumption that speaks against something known becomes one too.
///
/// # Errors
/// Those of `put`.
pub(super) fn state(
    harness: &mut Harness,
    at: FactAt,
    fact: Option<Fact<FactValue>>,
) -> Result<(), EditError> {
    let Some(mut said) = fact else {
        put(harness, at, None)?;
        harness.rivals.retain(|rival| rival.at != at);
        return Ok(());
    };
    check(harness, at, &said.value)?;
    let held = harness.fact(at);
    match held {
        Some(held) if held.value == said.value => {
            said.how = said.how.max(held.how);
            put(harness, at, Some(&said))?;
        }
        Some(held) if held.how != Provenance::Assumed && held.how != said.how => {
            if said.how > held.how {
                put(harness, at, Some(&said))?;
                beside(harness, at, held);
            } else {
                beside(harness, at, said.clone());
                said = harness.fact(at).unwrap_or(said);
            }
        }
        Some(_) | None => put(harness, at, Some(&said))?,
    }
    harness
        .rivals
        .retain(|rival| rival.at != at || (rival.value != said.value && rival.how != said.how));
    Ok(())
}

/// Keeps a value beside the one that stands on the map; an earlier one of the same origin gives way.
fn beside(harness: &mut Harness, at: FactAt, fact: Fact<FactValue>) {
    harness
        .rivals
        .retain(|rival| rival.at != at || rival.how != fact.how);
    harness.rivals.push(Rival {
        at,
        value: fact.value,
        how: fact.how,
    });
}

/// Ends a clash: `keep` stands on the map from now on, all else that was said of the fact is dropped.
///
/// # Errors
/// [`EditError::NoRival`] where nobody said so.
pub(super) fn settle(harness: &mut Harness, at: FactAt, keep: &FactValue) -> Result<(), EditError> {
    let held = harness.fact(at);
    if !held.is_some_and(|held| held.value == *keep) {
        let rival = harness.rivals_of(at).find(|rival| rival.value == *keep);
        let how = rival.ok_or(EditError::NoRival(at))?.how;
        check(harness, at, keep)?;
        let fact = Fact {
            value: keep.clone(),
            how,
        };
        put(harness, at, Some(&fact))?;
    }
    harness.rivals.retain(|rival| rival.at != at);
    Ok(())
}

/// Drops what was said of things that are gone, or refers to such.
pub(super) fn prune(harness: &mut Harness) {
    if harness.rivals.is_empty() {
        return;
    }
    let all = std::mem::take(&mut harness.rivals);
    let kept = all.into_iter().filter(|rival| {
        let there = |value: &FactValue| {
            if let FactValue::Terminal(terminal) = value {
                harness.has_terminal(*terminal)
            } else {
                true
            }
        };
        harness.has_fact(rival.at) && there(&rival.value)
    });
    harness.rivals = kept.collect();
}
