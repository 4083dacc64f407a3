//! A set of cylinders as bits: one for each number that a cylinder can have.

use std::collections::BTreeSet;

use crate::engine::CylinderId;
use crate::gather::Gather;

/// A set of cylinders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Crew([u64; 4]);

impl Crew {
    pub(super) fn insert(&mut self, cylinder: CylinderId) {
        let (word, bit) = (usize::from(cylinder.0 / 64), cylinder.0 % 64);
        if let Some(bits) = self.0.get_mut(word) {
            *bits |= 1 << bit;
        }
    }

    pub(super) fn join(&mut self, other: Self) {
        for (bits, more) in self.0.iter_mut().zip(other.0) {
            *bits |= more;
        }
    }

    pub(super) fn len(self) -> u32 {
        self.0.iter().map(|bits| bits.count_ones()).sum()
    }

    pub(super) fn is_empty(self) -> bool {
        self == Self::default()
    }

    pub(super) fn within(self, other: Self) -> bool {
        self.0.iter().zip(other.0).all(|(a, b)| a & !b == 0)
    }

    /// The cylinders, rising.
    pub(super) fn iter(self) -> impl Iterator<Item = CylinderId> {
        (0..=u8::MAX).map(CylinderId).filter(move |cylinder| {
            self.0
                .get(usize::from(cylinder.0 / 64))
                .is_some_and(|bits| bits >> (cylinder.0 % 64) & 1 == 1)
        })
    }
}

impl FromIterator<CylinderId> for Crew {
    fn from_iter<I: IntoIterator<Item = CylinderId>>(cylinders: I) -> Self {
        let mut crew = Self::default();
        for cylinder in cylinders {
            crew.insert(cylinder);
        }
        crew
    }
}

impl From<Crew> for BTreeSet<CylinderId> {
    fn from(crew: Crew) -> Self {
        crew.iter().gather()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bits_are_cylinders() {
        let crew: Crew = [255, 3, 64, 3].into_iter().map(CylinderId).collect();
        let back: Vec<u8> = crew.iter().map(|cylinder| cylinder.0).collect();
        assert_eq!(back, [3, 64, 255]);
        assert_eq!(crew.len(), 3);
        let mut more: Crew = [CylinderId(1)].into_iter().collect();
        assert!(!crew.within(more) && Crew::default().within(more));
        more.join(crew);
        assert!(crew.within(more) && !more.within(crew));
    }
}
