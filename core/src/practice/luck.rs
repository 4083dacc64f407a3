//! Luck that is the same every time: numbers from a seed and what they are for.

use crate::isolation::searches::mix;

/// A source of luck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Luck(pub(super) u64);

impl Luck {
    /// The luck for one purpose.
    pub(super) fn of(self, purpose: u64) -> Self {
        Self(mix(self.0 ^ mix(purpose)))
    }

    /// Evenly from 0 up to 1.
    pub(super) fn even(self, salt: u64) -> f64 {
        let high = mix(self.0 ^ mix(salt.wrapping_add(0x51))) >> 32;
        f64::from(u32::try_from(high).unwrap_or(0)) / 4_294_967_296.0
    }

    /// Normally, with mean 0 and width 1.
    ///
    /// # Source
    /// Box and Muller 1958, value from memory.
    pub(super) fn normal(self, salt: u64) -> f64 {
        let (a, b) = (self.even(salt), self.even(salt.wrapping_add(0x1_0000)));
        (-2.0 * (1.0 - a).ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    /// One of these by its weight; `None` where none has any.
    pub(super) fn pick<T>(self, salt: u64, all: &[T], weight: impl Fn(&T) -> f64) -> Option<&T> {
        let whole: f64 = all.iter().map(&weight).sum();
        let mut left = self.even(salt) * whole;
        let mut last = None;
        for one in all {
            let mine = weight(one);
            if mine <= 0.0 {
                continue;
            }
            last = Some(one);
            left -= mine;
            if left < 0.0 {
                break;
            }
        }
        last
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn luck_is_even_and_normal() {
        let (mut sum, mut square, mut even) = (0.0, 0.0, 0.0);
        let count = 20_000_u64;
        for seed in 0..count {
            let luck = Luck(seed).of(3);
            let n = luck.normal(1);
            sum += n;
            square += n * n;
            even += luck.even(9);
        }
        let count = 20_000.0;
        assert!((sum / count).abs() < 0.03, "{}", sum / count);
        assert!((square / count - 1.0).abs() < 0.05, "{}", square / count);
        assert!((even / count - 0.5).abs() < 0.01, "{}", even / count);
    }
}
