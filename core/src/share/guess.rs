//! How likely the next bit of a map's text is a one: the judgement of several observers, mixed.
//!
//! Each observer keeps, for each state of what it watches, how often a one followed. A mixer weighs them by how
//! well each did lately. Whole numbers only: a link made in one browser must be read in every other.
//!
//! Prior art: context mixing with logistic mixing (Mahoney 2005, "Adaptive weighing of context models for lossless
//! data compression", Florida Tech. report CS-2005-16), value from memory.

use super::outline::{OBSERVERS, Outline, mix};

/// Probabilities are parts of this.
pub(super) const CERTAIN: u32 = 1 << 16;

/// States of one observer.
const STATES: usize = 1 << 17;
/// Two voices of each observer and two of the repeat.
const VOICES: usize = 2 * OBSERVERS + 2;
/// Sets of weights of each of the two mixers.
const SETS: usize = 128;
/// A weight of one.
const ONE: i32 = 1 << 16;
/// Weight of every voice at first.
const FIRST_WEIGHT: i32 = ONE / 7;
/// How fast weights follow.
const HASTE: i64 = 20;
/// How far a log-odds goes, in 1/256.
const FAR: i32 = 2047;
/// Counts after which a state no longer learns more slowly.
const OLD: u8 = 30;

/// One state: how likely a one is, and how often it was met.
#[derive(Debug, Clone, Copy)]
struct State {
    likely: u16,
    met: u8,
}

impl State {
    const NEW: Self = Self {
        likely: 1 << 15,
        met: 0,
    };

    fn learn(&mut self, bit: u8) {
        let to = if bit == 1 { 65_535 } else { 0 };
        let likely = i32::from(self.likely);
        let step = (to - likely) * 2 / (2 * i32::from(self.met) + 3);
        self.likely = u16::try_from((likely + step).clamp(32, 65_503)).unwrap_or(1 << 15);
        self.met = (self.met + 1).min(OLD);
    }
}

/// The predictor.
#[derive(Clone)]
pub(super) struct Guess {
    outline: Outline,
    states: Vec<State>,
    /// The state of each observer that speaks now.
    at: [usize; OBSERVERS],
    voices: [i32; VOICES],
    weights: [Vec<i32>; 2],
    /// Which set of each mixer's weights is used now.
    set: [usize; 2],
    /// What each mixer said.
    said: [i32; 2],
    likely: u32,
    /// The bits of this byte so far, after a one.
    byte: u32,
    repeat: [State; 32],
    log_odds: Vec<i32>,
}

impl Guess {
    pub(super) fn new() -> Self {
        let mut guess = Self {
            outline: Outline::new(),
            states: vec![State::NEW; OBSERVERS * STATES],
            at: [0; OBSERVERS],
            voices: [0; VOICES],
            weights: [
                vec![FIRST_WEIGHT; VOICES * SETS],
                vec![FIRST_WEIGHT; VOICES * SETS],
            ],
            set: [0; 2],
            said: [0; 2],
            likely: CERTAIN / 2,
            byte: 1,
            repeat: [State {
                likely: 60_000,
                met: 0,
            }; 32],
            log_odds: log_odds(),
        };
        guess.judge();
        guess
    }

    /// How likely the next bit is a one, of [`CERTAIN`]; never none and never all of it.
    pub(super) const fn likely(&self) -> u32 {
        self.likely
    }

    /// Another text begins; what was learnt stays.
    pub(super) fn begin(&mut self) {
        self.outline.begin();
        self.judge();
    }

    /// The next bit was this one.
    pub(super) fn learn(&mut self, bit: u8) {
        for (mixer, weights) in self.weights.iter_mut().enumerate() {
            let wrong = i64::from((i32::from(bit) << 16) - self.said[mixer]);
            let from = self.set[mixer] * VOICES;
            for (weight, voice) in weights[from..].iter_mut().zip(&self.voices) {
                let step = (i64::from(*voice) * wrong * HASTE) >> 18;
                let moved = i64::from(*weight) + step;
                *weight = i32::try_from(moved.clamp(-1 << 24, 1 << 24)).unwrap_or_default();
            }
        }
        for at in self.at {
            self.states[at].learn(bit);
        }
        if let Some((length, expected)) = self.repeated() {
            self.repeat[length].learn(u8::from(expected == bit));
        }
        self.byte = self.byte << 1 | u32::from(bit);
        if self.byte >= 256 {
            let byte = self.byte.to_be_bytes()[3];
            self.byte = 1;
            self.outline.next(byte);
        }
        self.judge();
    }

    /// How much of the text before repeats, and the bit that would go on with it.
    fn repeated(&self) -> Option<(usize, u8)> {
        let (length, byte) = self.outline.repeat()?;
        let expected = u32::from(byte) | 256;
        let known = self.byte.ilog2();
        (expected >> (8 - known) == self.byte)
            .then(|| (length.min(31), u8::from(expected >> (7 - known) & 1 == 1)))
    }

    fn judge(&mut self) {
        let watched = self.outline.watched();
        for (observer, watched) in watched.iter().enumerate() {
            let state = mix(*watched, self.byte.wrapping_mul(0x2545_F491)) >> 15;
            let at = observer * STATES + usize::try_from(state).unwrap_or_default();
            self.at[observer] = at;
            let State { likely, met } = self.states[at];
            let likely = i32::from(likely);
            let (odds, lean) = if met == 0 {
                (0, 0)
            } else {
                let lean = ((likely - (1 << 15)) * i32::from(met.min(8))) >> 9;
                (self.odds(likely), lean)
            };
            self.voices[2 * observer] = odds;
            self.voices[2 * observer + 1] = lean;
        }
        let (odds, lean, length) = match self.repeated() {
            Some((length, bit)) => {
                let odds = self.odds(i32::from(self.repeat[length].likely));
                let lean = i32::try_from(length.min(16)).unwrap_or_default() * 32;
                if bit == 1 {
                    (odds, lean, length)
                } else {
                    (-odds, -lean, length)
                }
            }
            None => (0, 0, 0),
        };
        self.voices[VOICES - 2] = odds;
        self.voices[VOICES - 1] = lean;
        let long = match length {
            0 => 0,
            1..8 => 1,
            8..16 => 2,
            _ => 3,
        };
        let known = usize::try_from(self.byte.ilog2()).unwrap_or_default();
        self.set[0] = (long * 8 + known) * 3 + self.outline.standing();
        self.set[1] = self.outline.key() % SETS;
        let mut sum = 0;
        for (mixer, weights) in self.weights.iter().enumerate() {
            let from = self.set[mixer] * VOICES;
            let all = weights[from..].iter().zip(&self.voices);
            let dot: i64 = all
                .map(|(weight, voice)| i64::from(*weight) * i64::from(*voice))
                .sum();
            let far = i64::from(FAR);
            let odds = i32::try_from((dot >> 16).clamp(-far, far)).unwrap_or_default();
            self.said[mixer] = share(odds);
            sum += odds;
        }
        let likely = share(sum / 2).clamp(8, 65_528);
        self.likely = u32::try_from(likely).unwrap_or(CERTAIN / 2);
    }

    /// The log-odds of a probability, in 1/256.
    fn odds(&self, likely: i32) -> i32 {
        let at = usize::try_from(likely >> 4).unwrap_or_default();
        self.log_odds.get(at).copied().unwrap_or_default()
    }
}

/// The probability, of [`CERTAIN`], with these log-odds, in 1/256: 65536 / (1 + e^(−odds/256)).
fn share(odds: i32) -> i32 {
    /// At every half from −8 to 8.
    const KNOTS: [i32; 33] = [
        22, 36, 60, 98, 162, 267, 439, 720, 1_179, 1_921, 3_108, 4_971, 7_812, 11_955, 17_625,
        24_743, 32_768, 40_793, 47_911, 53_581, 57_724, 60_565, 62_428, 63_615, 64_357, 64_816,
        65_097, 65_269, 65_374, 65_438, 65_476, 65_500, 65_514,
    ];
    let from = odds.clamp(-FAR, FAR) + 2048;
    let knot = usize::try_from(from >> 7).unwrap_or_default();
    let (low, high) = (KNOTS[knot], KNOTS[knot + 1]);
    low + (((high - low) * (from & 127)) >> 7)
}

/// The log-odds of each probability in steps of 1/4096: [`share`] turned round.
fn log_odds() -> Vec<i32> {
    let mut table = vec![FAR; 4096];
    let mut next = 0;
    for odds in -FAR..=FAR {
        let upto = usize::try_from(share(odds) >> 4).unwrap_or_default();
        while next <= upto && next < table.len() {
            table[next] = odds;
            next += 1;
        }
    }
    table
}
