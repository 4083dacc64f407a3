//! Which coils to unplug together, so that few rounds tell them all apart.

use std::collections::BTreeSet;

use crate::gather::Arrange;
use crate::model::{Harness, PartId};

use super::belief::{Belief, open_coils};
use super::cost::{Plug, plug_of};
use super::usage::Shown;
use super::{Measure, Terminal1, Trace, Use, terminal_1};

/// Whether a pin may belong to none of the coils.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Nothing {
    /// It may.
    Possible,
    /// Each belongs to one.
    Excluded,
}

/// The rounds of unplugging that tell `plugs` apart: ⌈log₂ plugs⌉, and ⌈log₂(plugs + 1)⌉ where a pin may belong
/// to none of them.
///
/// # Source
/// The information bound of group testing with one target: k·log₂(n/k) with k = 1 (Eppstein, Goodrich,
/// Hirschberg, arXiv cs/0505048). It holds for plugs that come off one by one: coils that share a plug are told
/// apart by continuity.
#[must_use]
pub const fn rounds_at_most(plugs: usize, nothing: Nothing) -> u32 {
    let many = match nothing {
        Nothing::Possible => plugs + 1,
        Nothing::Excluded => plugs,
    };
    if many < 2 {
        0
    } else {
        usize::BITS - (many - 1).leading_zeros()
    }
}

/// Plugs that no round so far has told apart.
#[derive(Debug, Clone)]
struct Block {
    plugs: Vec<Plug>,
    /// 1 where a pin of none of the coils would have shown the same in every round, else 0.
    none: usize,
}

/// What rounds there still are, each as the plugs that come off; empty where rounds tell nothing more.
pub(super) fn schedule(trace: &Trace, harness: &Harness, belief: &Belief) -> Vec<Vec<Plug>> {
    let mut blocks = blocks(trace, harness, belief);
    let mut rounds = Vec::new();
    loop {
        let mut off = Vec::new();
        let mut parts = Vec::new();
        for block in &blocks {
            let (out, stay) = split(block);
            off.extend(out.plugs.iter().cloned());
            parts.extend([out, stay].into_iter().filter(|b| !b.plugs.is_empty()));
        }
        if off.is_empty() {
            return rounds;
        }
        rounds.push(off);
        blocks = parts;
    }
}

/// Half of a block, the cheaper to reach, comes off; the half that stays may hold a pin of none.
fn split(block: &Block) -> (Block, Block) {
    let many = (block.plugs.len() + block.none) / 2;
    let mut plugs = block.plugs.clone();
    plugs.arrange_by(|a, b| a.reach.total_cmp(&b.reach));
    let stay = plugs.split_off(many.min(plugs.len()));
    (
        Block { plugs, none: 0 },
        Block {
            plugs: stay,
            none: block.none,
        },
    )
}

fn blocks(trace: &Trace, harness: &Harness, belief: &Belief) -> Vec<Block> {
    let open = open_coils(trace, belief);
    let rounds = rounds_taken(trace);
    let mut found: Vec<(Vec<bool>, Block)> = Vec::new();
    for coil in trace.coils.iter().copied() {
        if !open.contains(&coil) || terminal_1(harness, coil) == Terminal1::Inside {
            continue;
        }
        let plug = plug_of(trace, harness, coil);
        let said: Vec<bool> = rounds.iter().map(|off| off.contains(&coil)).collect();
        let Some((_, block)) = found.iter_mut().find(|(other, _)| *other == said) else {
            let never = !said.contains(&true);
            let none = usize::from(never && none_possible(belief) == Nothing::Possible);
            let plugs = vec![plug];
            found.push((said, Block { plugs, none }));
            continue;
        };
        if !block.plugs.iter().any(|other| other.access == plug.access) {
            block.plugs.push(plug);
        }
    }
    found.into_iter().map(|(_, block)| block).collect()
}

/// Whether a pin that may be a coil's may also be none's.
pub(super) fn none_possible(belief: &Belief) -> Nothing {
    let open = belief.pins.iter().any(|pin| {
        let coil = |option: &Use| matches!(option, Use::Coil(_));
        pin.fits.iter().any(coil) && !pin.fits.iter().all(coil)
    });
    if open {
        Nothing::Possible
    } else {
        Nothing::Excluded
    }
}

/// The groups that came off so far, each once.
pub(super) fn rounds_taken(trace: &Trace) -> BTreeSet<BTreeSet<PartId>> {
    let taken = trace.taken.iter();
    taken
        .filter(|taken| {
            taken
                .shown
                .iter()
                .any(|(_, s)| !matches!(s, Shown::Ohms(_)))
        })
        .filter_map(|taken| {
            if let Measure::Unplug(coils) = &taken.measure {
                Some(coils.clone())
            } else {
                None
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the table in the literature on group testing with one target, ⌈log₂ n⌉.
    #[test]
    fn the_bound() {
        let bound = |n| rounds_at_most(n, Nothing::Excluded);
        assert_eq!(
            [1, 2, 3, 4, 5, 8, 9, 16].map(bound),
            [0, 1, 2, 2, 3, 3, 4, 4]
        );
        assert_eq!(
            [1, 3, 4, 7, 8].map(|n| rounds_at_most(n, Nothing::Possible)),
            [1, 2, 3, 3, 4]
        );
    }
}
