//! Seeded dice: the same seed throws the same numbers everywhere and for ever.

/// A small generator of numbers that look random.
///
/// # Source
/// SplitMix64: Steele, Lea, Flood 2014, doi:10.1145/2660193.2660195; constants from memory.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Dice that a seed decides.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub const fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A place from 0 up to `many`, that one left out; 0 where `many` is 0.
    pub fn below(&mut self, many: usize) -> usize {
        let many = u64::try_from(many).unwrap_or(u64::MAX).max(1);
        usize::try_from(self.bits() % many).unwrap_or(0)
    }

    /// True `percent` times in a hundred.
    pub fn often(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// One of these; the first where there is nothing to choose.
    ///
    /// # Panics
    /// When `from` is empty.
    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    /// A number from `least` to `most`, in steps of a thousandth of the way.
    pub fn between(&mut self, least: f64, most: f64) -> f64 {
        let step = u32::try_from(self.below(1001)).unwrap_or(0);
        least + (most - least) * f64::from(step) / 1000.0
    }

    /// Puts the items in another order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }
}
