//! Minimal hitting sets: the smallest sets that meet every member of a family.

use crate::gather::Arrange;
use std::collections::BTreeSet;

/// A family of sets of numbered things.
pub type Family = Vec<BTreeSet<usize>>;

/// All minimal sets, of at most `most` members, that share a member with every set of the family.
///
/// In rising order of size, then of members. A family with an empty set has none; the empty family
/// is hit by the empty set.
///
/// # Source
/// Berge's sequential algorithm (multiply out one set after the other and keep what is minimal).
/// It needs none of the pruning rules whose first form could lose a set: Reiter 1987,
/// doi:10.1016/0004-3702(87)90062-2, corrected by Greiner, Smith and Wilkerson 1989,
/// doi:10.1016/0004-3702(89)90079-9.
#[must_use]
pub fn minimal_hitting_sets(family: &[BTreeSet<usize>], most: usize) -> Family {
    let mut hits: Family = vec![BTreeSet::new()];
    for set in family {
        let (keep, short): (Family, Family) =
            hits.into_iter().partition(|hit| !hit.is_disjoint(set));
        let mut grown = Vec::new();
        for hit in short.iter().filter(|hit| hit.len() < most) {
            for member in set {
                let mut wider = hit.clone();
                wider.insert(*member);
                // A set that already hits and lies inside makes this one superfluous.
                if !keep.iter().any(|smaller| smaller.is_subset(&wider)) {
                    grown.push(wider);
                }
            }
        }
        // Sets grown from different sets may contain one another.
        grown.arrange_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
        grown.dedup();
        hits = keep;
        for wider in grown {
            if !hits.iter().any(|smaller| smaller.is_subset(&wider)) {
                hits.push(wider);
            }
        }
    }
    hits.arrange_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    hits
}
