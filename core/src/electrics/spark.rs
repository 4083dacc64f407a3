//! Whether each plug sparks, at compression and at the waste event, and why not.

use super::alteration::{Alteration, HighFault, HighPlace};
use super::breakdown::{Charge, needed_kilovolts};
use super::circuit::{Circuit, CoilAt};
use super::coil::{ShortedRun, ShortedTurns, energy};
use super::ends::{End, ends};
use super::energised::Fired;
use super::nominal;
use super::secondary::{CutOffCoil, loss_ohms};
use crate::engine::{CylinderId, Engine, SAME_ANGLE, Strokes};
use crate::model::{Harness, PartId};
use crate::units::{Amps, Degrees, Henries, Joules, Millimetres};

/// How a plug sparks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SparkState {
    /// Not at all.
    No,
    /// Nobody can say: the voltage barely reaches, or an arc may or may not bridge a break.
    Doubtful,
    /// It sparks, thinly.
    Weak,
    /// It sparks.
    Yes,
}

/// What limits a spark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SparkReason {
    /// Nothing does.
    Enough,
    /// The coil's primary carries no current, or never lets go of it.
    NotEnergised,
    /// The coil stores too little.
    LittleEnergy,
    /// The secondary cannot rise as high as the gap needs.
    LowVoltage,
    /// A path beside the gap eats the voltage.
    Shunted,
    /// It flashes over elsewhere first.
    FlashesOver,
    /// The way to the plug is broken.
    Broken,
    /// The other end of the coil is broken: this plug sparks only if an arc bridges that break.
    PartnerBroken,
    /// Too much resistance on the way.
    SeriesResistance,
    /// The gap is bridged: current flows, nothing sparks.
    GapBridged,
    /// The way to a plug is not on the map.
    NotOnMap,
}

impl SparkState {
    /// A short name in lower case, the same in every output.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::No => "no",
            Self::Doubtful => "doubtful",
            Self::Weak => "weak",
            Self::Yes => "yes",
        }
    }
}

impl SparkReason {
    /// A short name in lower case, the same in every output.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Enough => "enough",
            Self::NotEnergised => "not-energised",
            Self::LittleEnergy => "little-energy",
            Self::LowVoltage => "low-voltage",
            Self::Shunted => "shunted",
            Self::FlashesOver => "flashes-over",
            Self::Broken => "broken",
            Self::PartnerBroken => "partner-broken",
            Self::SeriesResistance => "series-resistance",
            Self::GapBridged => "gap-bridged",
            Self::NotOnMap => "not-on-map",
        }
    }
}

/// One event at one plug.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SparkEvent {
    /// How it sparks.
    pub state: SparkState,
    /// What limits it.
    pub reason: SparkReason,
    /// What the secondary can reach here, kV; approximate.
    pub available_kv: f64,
    /// What the gap needs, kV.
    pub needed_kv: f64,
    /// What the coil stores.
    pub energy: Joules,
    /// Primary current at turn-off.
    pub peak: Amps,
}

/// What one plug does through a cycle.
#[derive(Debug, Clone, PartialEq)]
pub struct PlugSpark {
    /// The cylinder, where it is known.
    pub cylinder: Option<CylinderId>,
    /// The plug.
    pub plug: PartId,
    /// At the top of compression; `None` when no coil fires then.
    pub compression: Option<SparkEvent>,
    /// At the end of exhaust, for a double-ended coil.
    pub waste: Option<SparkEvent>,
    /// Sparks at other crank angles: where and how.
    pub stray: Vec<(Degrees, SparkEvent)>,
}

impl PlugSpark {
    /// How it sparks when it matters.
    #[must_use]
    pub fn at_work(&self) -> SparkState {
        self.compression.map_or(SparkState::No, |event| event.state)
    }
}

/// How much voltage the gaps need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Demand {
    /// By each plug's gap and what fills it at compression.
    ByGap(Charge),
    /// The same for all plugs, kV.
    Fixed {
        /// At compression.
        compression: f64,
        /// At the end of exhaust.
        exhaust: f64,
    },
}

/// Below this share of what it needs a plug does not spark; up to the second it is doubtful, up to the
/// third weak. Judgement: the formulas are good to some 15 %.
const SHARES: [f64; 3] = [0.85, 1.15, 1.5];
/// With less stored than this, a spark is weak, J. Common practice, no source.
const WEAK_ENERGY: f64 = 0.015;
/// With more than this on the way, a spark is weak, Ω. Common practice, no source.
const WEAK_OHMS: f64 = 60_000.0;
/// What the other plug of a double-ended coil still takes once it has sparked, kV. Common practice, no source.
const PARTNER_ARC: f64 = 0.5;

/// What each plug does.
pub(super) fn sparks(
    harness: &Harness,
    circuit: &Circuit,
    fired: &[Fired],
    alteration: &Alteration,
    demand: Demand,
) -> Vec<PlugSpark> {
    let mut found: Vec<PlugSpark> = harness
        .parts
        .keys()
        .filter_map(|&plug| {
            let cylinder = harness.plug(plug)?.cylinder.map(|fact| fact.value);
            Some(PlugSpark {
                cylinder,
                plug,
                compression: None,
                waste: None,
                stray: Vec::new(),
            })
        })
        .collect();
    for one in fired {
        let coil = &circuit.coils[one.coil];
        let mut angles: Vec<Degrees> = circuit.drivers[one.driver]
            .coils
            .iter()
            .flat_map(|&j| circuit.coils[j].reach.angles.iter().copied())
            .collect();
        angles.sort_unstable_by(|a, b| a.get().total_cmp(&b.get()));
        angles.dedup_by(|a, b| (*a - *b).abs() <= SAME_ANGLE);
        for angle in angles {
            let ends = ends(harness, coil, alteration, angle);
            let asked = Asked {
                harness,
                angle,
                demand,
            };
            for (at, end) in ends.iter().enumerate() {
                let Some((plug, _)) = end.plug else { continue };
                let Some(known) = found.iter_mut().find(|known| known.plug == plug) else {
                    continue;
                };
                let partner = (ends.len() > 1).then(|| &ends[1 - at]);
                let event = event(&asked, coil, one, alteration, (end, partner));
                let moment = asked.moment(end);
                known.take(moment, angle, event);
            }
        }
    }
    found
}

impl PlugSpark {
    fn take(&mut self, moment: Moment, angle: Degrees, event: SparkEvent) {
        let better = |old: Option<SparkEvent>| match old {
            Some(old) if old.state >= event.state => Some(old),
            Some(_) | None => Some(event),
        };
        match moment {
            Moment::Compression => self.compression = better(self.compression),
            Moment::Exhaust => self.waste = better(self.waste),
            Moment::Other => self.stray.push((angle, event)),
        }
    }
}

/// Where a cylinder stands when a spark is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moment {
    Compression,
    Exhaust,
    Other,
}

pub(super) fn moment(engine: &Engine, cylinder: CylinderId, angle: Degrees) -> Moment {
    let Some(top) = engine.compression_top(cylinder) else {
        return Moment::Other;
    };
    let cycle = engine.cycle().get();
    let after = (angle - top).get().rem_euclid(cycle);
    let near = |to: f64| (after - to).abs() <= SAME_ANGLE.get();
    if near(0.0) || near(cycle) {
        Moment::Compression
    } else if engine.strokes == Strokes::Four && near(360.0) {
        Moment::Exhaust
    } else {
        Moment::Other
    }
}

/// What is asked of both plugs of a coil at one moment.
struct Asked<'a> {
    harness: &'a Harness,
    angle: Degrees,
    demand: Demand,
}

impl Asked<'_> {
    fn moment(&self, end: &End<'_>) -> Moment {
        let cylinder = end.plug.and_then(|(_, cylinder)| cylinder);
        cylinder.map_or(Moment::Other, |cylinder| {
            moment(&self.harness.engine, cylinder, self.angle)
        })
    }

    /// What the gap at an end needs by itself, kV.
    fn needed(&self, end: &End<'_>) -> f64 {
        let plug = end.plug.and_then(|(plug, _)| self.harness.plug(plug));
        let gap = plug.and_then(|plug| plug.gap);
        let gap = gap.map_or(nominal::PLUG_GAP.value, |fact| fact.value.get()) * end.wide;
        let gap = Millimetres::new(gap).unwrap_or_default();
        match (self.demand, self.moment(end)) {
            (Demand::ByGap(charge), Moment::Compression) => needed_kilovolts(gap, charge),
            (Demand::ByGap(_), Moment::Exhaust | Moment::Other) => {
                needed_kilovolts(gap, Charge::Exhaust)
            }
            (Demand::Fixed { compression, .. }, Moment::Compression) => compression * end.wide,
            (Demand::Fixed { exhaust, .. }, Moment::Exhaust | Moment::Other) => exhaust * end.wide,
        }
    }

    /// Whether two ends share a voltage (kV): they do until one of them lets it through. What conducts or
    /// flashes over there lets it through at once, and so does the unknown way of a broken end.
    fn shared(&self, end: &End<'_>, partner: &End<'_>, kilovolts: f64) -> bool {
        let lets_through = |end: &End<'_>| end.broken || end.bridged || end.shunt.is_some();
        let breaks = partner.flashes.min(self.needed(partner));
        !lets_through(end) && !lets_through(partner) && kilovolts / 2.0 < breaks
    }
}

/// # Source
/// Two towers of one winding rise by the same voltage against metal, one up and one down, until one of the
/// two plugs sparks; the other then sees the whole. ngspice shows the same on the base coil.
fn event(
    asked: &Asked<'_>,
    coil: &CoilAt,
    fired: &Fired,
    alteration: &Alteration,
    (end, partner): (&End<'_>, Option<&End<'_>>),
) -> SparkEvent {
    let peak = fired.run.peak.max(0.0);
    let cut = CutOffCoil {
        henries: coil.henries,
        ratio: coil.ratio,
        // A loop that stays closed keeps a part of the current.
        current: peak - fired.resting,
        clamp: fired.clamp - fired.feed,
        load: fired.load,
    };
    let limit = |shunt: Option<f64>| {
        let plain = cut.highest(shunt);
        fired.shorted.map_or(plain, |(kept, share)| {
            let turns = ShortedTurns {
                henries: coil.henries,
                ohms: kept.ohms,
                share,
            };
            let run = ShortedRun {
                periodic: fired.run,
                inside: kept.inside,
            };
            let loss = loss_ohms(coil.henries, coil.ratio);
            plain.min(turns.secondary_peak(run, coil.ratio, loss, cut.clamp))
        }) / 1000.0
    };
    let internal = alteration
        .high
        .iter()
        .fold(f64::MAX, |least, fault| match *fault {
            HighFault::Flashes(HighPlace::Secondary(part), kilovolts) if part == coil.part => {
                least.min(kilovolts)
            }
            HighFault::Flashes(..)
            | HighFault::Broken(_)
            | HighFault::Series(..)
            | HighFault::Shunt(..)
            | HighFault::Wide(..)
            | HighFault::Crossed(..) => least,
        });
    let whole = limit(None);
    let apart = (cut.between_towers() / 1000.0).min(internal);
    let shared = partner.is_some_and(|partner| asked.shared(end, partner, apart));
    let (free, arc) = match (partner, shared) {
        (Some(_), true) => (whole.max(apart) / 2.0, 0.0),
        (Some(_), false) => (whole, PARTNER_ARC),
        (None, _) => (whole, 0.0),
    };
    let needed = arc + asked.needed(end);
    let shunted = end.shunt.map_or(free, |load| limit(Some(load)));
    let available = free.min(internal).min(shunted).min(end.flashes);
    let stored = energy(
        Henries::new(coil.henries).unwrap_or_default(),
        Amps::new(peak).unwrap_or_default(),
    );
    let (state, reason) = judge(
        end,
        partner,
        available,
        needed,
        (free, internal, shunted),
        (stored.get(), peak),
    );
    SparkEvent {
        state,
        reason,
        available_kv: available,
        needed_kv: needed,
        energy: stored,
        peak: Amps::new(peak).unwrap_or_default(),
    }
}

fn judge(
    end: &End<'_>,
    partner: Option<&End<'_>>,
    available: f64,
    needed: f64,
    (free, internal, shunted): (f64, f64, f64),
    (stored, peak): (f64, f64),
) -> (SparkState, SparkReason) {
    if peak <= 1e-3 {
        return (SparkState::No, SparkReason::NotEnergised);
    }
    if end.broken {
        return (SparkState::No, SparkReason::Broken);
    }
    if end.bridged {
        return (SparkState::No, SparkReason::GapBridged);
    }
    let share = available / needed.max(1e-3);
    let low = if end.flashes <= available || internal <= available {
        SparkReason::FlashesOver
    } else if shunted < 0.999 * free {
        SparkReason::Shunted
    } else {
        SparkReason::LowVoltage
    };
    let (mut state, mut reason) = if share < SHARES[0] {
        (SparkState::No, low)
    } else if share < SHARES[1] {
        (SparkState::Doubtful, low)
    } else if share < SHARES[2] {
        (SparkState::Weak, low)
    } else {
        (SparkState::Yes, SparkReason::Enough)
    };
    if state == SparkState::Yes && stored < WEAK_ENERGY {
        (state, reason) = (SparkState::Weak, SparkReason::LittleEnergy);
    }
    if state == SparkState::Yes && end.series > WEAK_OHMS {
        (state, reason) = (SparkState::Weak, SparkReason::SeriesResistance);
    }
    if let Some(partner) = partner
        && partner.broken
        && state > SparkState::Doubtful
    {
        let reason = if partner.way.is_some() {
            SparkReason::PartnerBroken
        } else {
            SparkReason::NotOnMap
        };
        return (SparkState::Doubtful, reason);
    }
    (state, reason)
}
