//! Ways of choosing the next test: ours, and the ones it is measured against.

use super::choose::score;

/// A test on offer, as a way of searching sees it. Tests are numbered from the battery to the plugs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// Its number; lower is nearer the source.
    pub test: usize,
    /// Expected information about the unit of repair, bits.
    pub bits: f64,
    /// What it costs now, minutes.
    pub price: f64,
    /// Share of the unit of repair it looks at directly; 0 where it looks at none.
    pub aimed_at: f64,
    /// Largest share of the suspects, each counted alike, that one outcome leaves.
    pub largest: f64,
}

/// A way of choosing the next test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Search {
    /// Information^1.5 for the price.
    Planner,
    /// As the planner, but of its leading few the one that ends cheapest when the planner goes on.
    Rollout {
        /// How many to try.
        leading: usize,
    },
    /// From the battery onward, whatever it costs.
    SourceToLoad,
    /// Always halve the suspects, each counted alike, whatever it costs.
    HalfSplit,
    /// The likeliest unit for its price, one unit after the other.
    PriorOverCost,
    /// Any test that still tells something, from this seed.
    Random(u64),
}

impl Search {
    /// The test to do next; `None` where none is on offer. `turn` varies what a random search picks.
    ///
    /// [`Search::Rollout`] picks as the planner does here: rolling out needs the problem itself.
    #[must_use]
    pub fn pick(self, offers: &[Offer], turn: u64) -> Option<usize> {
        let best = |rate: &dyn Fn(&Offer) -> f64| {
            let mut best: Option<(f64, usize)> = None;
            for offer in offers {
                let rate = rate(offer);
                if best.is_none_or(|(most, _)| rate > most) {
                    best = Some((rate, offer.test));
                }
            }
            best.map(|(_, test)| test)
        };
        match self {
            Self::Planner | Self::Rollout { .. } => best(&|o| score(o.bits, o.price)),
            Self::SourceToLoad => offers.iter().map(|o| o.test).min(),
            Self::HalfSplit => best(&|o| -o.largest),
            Self::PriorOverCost => {
                let direct = best(&|o| o.aimed_at / o.price);
                let any = offers.iter().any(|o| o.aimed_at > 0.0);
                if any {
                    direct
                } else {
                    best(&|o| 1.0 / o.price)
                }
            }
            Self::Random(seed) => {
                let count = u64::try_from(offers.len()).unwrap_or(0);
                let place = mix(seed ^ mix(turn)).checked_rem(count)?;
                offers
                    .get(usize::try_from(place).ok()?)
                    .map(|offer| offer.test)
            }
        }
    }
}

/// A number that looks random, from one that does not.
///
/// # Source
/// Finaliser of the SplitMix64 generator (Steele, Lea, Flood 2014), value from memory.
#[must_use]
pub fn mix(seed: u64) -> u64 {
    let mut z = seed.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// The point of a chain to check next, halving what lies between two brackets.
///
/// `first`: the last point known good; `last`: the first point known bad; both by number along the
/// chain. At or just before the middle; `None` when no point lies between them.
///
/// # Source
/// US Army Subcourse IT0338 edition A (May 1996), frame 10: check at or just before the midpoint
/// of the brackets; good moves the first bracket there, bad the last.
#[must_use]
pub fn half_split(first: usize, last: usize) -> Option<usize> {
    if last <= first + 1 {
        None
    } else {
        Some(first + (last - first) / 2)
    }
}
