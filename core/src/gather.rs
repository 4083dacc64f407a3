//! Sorting and gathering whose code all types share.
//!
//! Every type that the standard library's stable sort sees puts another two to four kilobytes into
//! the page, and collecting into a tree map sorts too. What opens and draws a map sorts here.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

/// A stable sort of places: one copy of the code for all that is sorted.
fn sort_places(places: &mut [usize], compare: &mut dyn FnMut(usize, usize) -> Ordering) {
    places.sort_by(|a, b| compare(*a, *b));
}

/// Sorting that keeps what compares equal in the order in which it stood.
pub trait Arrange<T> {
    /// Sorts by a comparison.
    fn arrange_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// Sorts from the least up.
    fn arrange(&mut self)
    where
        T: Ord,
    {
        self.arrange_by(T::cmp);
    }

    /// Sorts by a key.
    fn arrange_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        self.arrange_by(|a, b| key(a).cmp(&key(b)));
    }
}

impl<T> Arrange<T> for [T] {
    fn arrange_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let mut from: Vec<usize> = (0..self.len()).collect();
        sort_places(&mut from, &mut |a, b| compare(&self[a], &self[b]));
        // What belongs at a place stands at `from` of it: each ring of moves is followed once.
        for start in 0..from.len() {
            let mut here = start;
            loop {
                let there = std::mem::replace(&mut from[here], here);
                if there == start {
                    break;
                }
                self.swap(here, there);
                here = there;
            }
        }
    }
}

/// A tree that is filled one by one.
pub trait Tree<T>: Default + Extend<T> {}

impl<K: Ord, V> Tree<(K, V)> for BTreeMap<K, V> {}
impl<T: Ord> Tree<T> for BTreeSet<T> {}

/// Collecting into a tree without sorting first.
pub trait Gather: Iterator + Sized {
    /// The tree of all items; of two with the same key the later one stays.
    fn gather<C: Tree<Self::Item>>(self) -> C {
        let mut tree = C::default();
        tree.extend(self);
        tree
    }
}

impl<I: Iterator> Gather for I {}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn arranged_is_sorted_and_stable(keys in proptest::collection::vec(0_u8..6, 0..40)) {
            let mut ours: Vec<(u8, usize)> = keys.iter().copied().zip(0..).collect();
            let mut theirs = ours.clone();
            ours.arrange_by_key(|(key, _)| *key);
            theirs.sort_by_key(|(key, _)| *key);
            prop_assert_eq!(ours, theirs);
        }

        #[test]
        fn gathered_is_collected(pairs in proptest::collection::vec((0_u8..9, 0_u8..9), 0..40)) {
            let ours: BTreeMap<u8, u8> = pairs.iter().copied().gather();
            let theirs: BTreeMap<u8, u8> = pairs.iter().copied().collect();
            prop_assert_eq!(ours, theirs);
        }
    }
}
