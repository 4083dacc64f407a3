//! How fast, how short and how low it goes: where a coil no longer charges enough for its plugs.

use super::{CoilRow, Cycle};
use crate::electrics::{CoilRun, Moment, nominal};
use crate::units::{Rpm, Seconds};

/// No engine here turns faster.
pub const MOST_SPEED: Rpm = Rpm::lit(20_000.0);
/// Slowest speed that is tried.
const LEAST_SPEED: f64 = 50.0;
/// Above this share of what the gap needs a spark counts as reached. Judgement: the formulas are good to
/// some 15 %.
const ENOUGH: f64 = 1.15;
/// Times that a search halves its bracket.
const HALVINGS: u32 = 40;

/// Where a coil stops charging enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Up to this speed the whole dwell fits between two sparks.
    pub full_dwell: Rpm,
    /// Up to this speed its voltage is enough for its plug at compression; `None` where it is not enough
    /// at any speed, [`MOST_SPEED`] where it is at all.
    pub enough: Option<Rpm>,
    /// The shortest dwell that is enough at this speed; `None` where the time between two sparks is too
    /// short for any.
    pub shortest_dwell: Option<Seconds>,
}

impl Cycle {
    /// Where a coil stops charging enough; `None` where no driver energises it.
    ///
    /// # Source
    /// Dwell that fits: arithmetic. Enough: the coil's closed-form current at other times, its voltage and
    /// the gap's need, searched by halving; the voltage rises with dwell, and dwell falls with speed.
    #[must_use]
    pub fn limits(&self, row: &CoilRow) -> Option<Limits> {
        let run = row.runs.first()?;
        let wanted = self.dials().dwell;
        let needed = row.needed(Moment::Compression)? * ENOUGH;
        let enough = |run: &CoilRun| run.tower_kilovolts() >= needed;
        let at = |speed: f64| run.at_speed(Rpm::new(speed).unwrap_or(MOST_SPEED), wanted);
        let fits =
            |dwell: f64| run.with_times(Seconds::new(dwell).unwrap_or_default(), run.period());
        let full_dwell =
            60.0 * run.turns() / run.sparks() * nominal::DWELL_SHARE.value / wanted.get().max(1e-6);
        let fastest = if enough(&at(MOST_SPEED.get())) {
            Some(MOST_SPEED.get())
        } else if enough(&at(LEAST_SPEED)) {
            Some(halve(LEAST_SPEED, MOST_SPEED.get(), |speed| {
                enough(&at(speed))
            }))
        } else {
            None
        };
        let most = nominal::DWELL_SHARE.value * run.period().get();
        let shortest =
            enough(&fits(most)).then(|| most - halve(0.0, most, |less| enough(&fits(most - less))));
        Some(Limits {
            full_dwell: Rpm::new(full_dwell).unwrap_or(MOST_SPEED),
            enough: fastest.and_then(|speed| Rpm::new(speed).ok()),
            shortest_dwell: shortest.and_then(|dwell| Seconds::new(dwell).ok()),
        })
    }
}

impl CoilRow {
    /// The highest voltage that any of its plugs needs at such a moment, kV; `None` where there is none.
    #[must_use]
    pub fn needed(&self, moment: Moment) -> Option<f64> {
        let ends = self.firings.iter().flat_map(|firing| &firing.ends);
        ends.filter(|end| end.moment == moment)
            .map(|end| end.spark.needed_kv)
            .reduce(f64::max)
    }

    /// The least voltage that any of its plugs could have at such a moment, kV.
    #[must_use]
    pub fn available(&self, moment: Moment) -> Option<f64> {
        let ends = self.firings.iter().flat_map(|firing| &firing.ends);
        ends.filter(|end| end.moment == moment)
            .map(|end| end.spark.available_kv)
            .reduce(f64::min)
    }
}

/// The largest value between `good` and `bad` that is still good; it turns bad once between them.
fn halve(mut good: f64, mut bad: f64, is_good: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(good, bad);
        if is_good(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}
