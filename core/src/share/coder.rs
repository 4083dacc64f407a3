//! Arithmetic coding of bits by how likely the predictor holds each.
//!
//! Prior art: carry-free binary arithmetic coding with 32-bit bounds (Witten, Neal, Cleary 1987,
//! doi:10.1145/214762.214771, in the bytewise form that is common for such coders; value from memory).

use std::sync::OnceLock;

use super::guess::{CERTAIN, Guess};

/// What a predictor has seen before anything else: a map that uses every word of the format. It is part of the
/// format of links: changing one letter of it would make every link made so far unreadable.
const PRIMER: &[u8] = include_bytes!("primer.json");

fn primed() -> Guess {
    // Reading the primer takes as long as a small map.
    static PRIMED: OnceLock<Guess> = OnceLock::new();
    let primed = PRIMED.get_or_init(|| {
        let mut guess = Guess::new();
        for &byte in PRIMER {
            for place in (0..8).rev() {
                guess.learn(byte >> place & 1);
            }
        }
        guess.begin();
        guess
    });
    primed.clone()
}

/// `bytes`, squeezed.
pub(super) fn squeeze(bytes: &[u8]) -> Vec<u8> {
    let mut guess = primed();
    let (mut low, mut high) = (0_u32, u32::MAX);
    let mut out = Vec::new();
    for &byte in bytes {
        for place in (0..8).rev() {
            let bit = byte >> place & 1;
            let middle = split(low, high, guess.likely());
            if bit == 1 {
                high = middle;
            } else {
                low = middle + 1;
            }
            guess.learn(bit);
            while (low ^ high) >> 24 == 0 {
                out.push(high.to_be_bytes()[0]);
                low <<= 8;
                high = high << 8 | 0xff;
            }
        }
    }
    // One byte more is enough: whatever is missing is read as 0xff.
    if high < u32::MAX {
        out.push(low.to_be_bytes()[0]);
    }
    out
}

/// The `many` bytes that were squeezed into `packed`; `None` where there is more in it than that.
pub(super) fn unsqueeze(packed: &[u8], many: usize) -> Option<Vec<u8>> {
    let mut guess = primed();
    let mut next = packed.iter().copied();
    let mut over = 0_usize;
    let mut take = || {
        next.next().unwrap_or_else(|| {
            over += 1;
            0xff
        })
    };
    let (mut low, mut high) = (0_u32, u32::MAX);
    let mut at = u32::from_be_bytes([take(), take(), take(), take()]);
    let mut out = Vec::new();
    for _ in 0..many {
        let mut byte = 0_u8;
        for _ in 0..8 {
            let middle = split(low, high, guess.likely());
            let bit = u8::from(at <= middle);
            if bit == 1 {
                high = middle;
            } else {
                low = middle + 1;
            }
            guess.learn(bit);
            byte = byte << 1 | bit;
            while (low ^ high) >> 24 == 0 {
                low <<= 8;
                high = high << 8 | 0xff;
                at = at << 8 | u32::from(take());
            }
        }
        out.push(byte);
    }
    (over <= 4 && next.next().is_none()).then_some(out)
}

/// Where between the bounds the share of a one ends, so that both shares keep at least one value.
fn split(low: u32, high: u32, likely: u32) -> u32 {
    let span = u64::from(high - low);
    let share = span * u64::from(likely) / u64::from(CERTAIN);
    // Less than `span`, because nothing is ever held certain.
    low + u32::try_from(share).unwrap_or_default()
}
