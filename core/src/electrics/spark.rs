//! Whether each plug sparks, at compression and at the waste event, and why not.

use super::alteration::{Alteration, HighFault, HighPlace};
use super::breakdown::{Charge, needed_kilovolts};
use super::circuit::{Circuit, CoilAt};
use super::coil::{ShortedRun, energy};
use super::ends::{End, ends};
use super::energised::Fired;
use super::nominal;
use super::reach::Way;
use super::secondary::{CutOffCoil, loss_ohms};
use crate::engine::{CylinderId, Engine, SAME_ANGLE, Strokes};
use crate::gather::Arrange;
use crate::model::{DriverId, Harness, PartId, PartKind, Port};
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

impl Demand {
    /// What a plug's gap needs by itself at a moment, kV; `wide`: how many times as wide as it should be
    /// its gap is.
    ///
    /// # Source
    /// [`needed_kilovolts`], or what was fixed.
    #[must_use]
    pub fn at(self, harness: &Harness, plug: Option<PartId>, moment: Moment, wide: f64) -> f64 {
        let gap = plug
            .and_then(|plug| harness.plug(plug))
            .and_then(|plug| plug.gap);
        let gap = gap.map_or(nominal::PLUG_GAP.value, |fact| fact.value.get()) * wide;
        let gap = Millimetres::new(gap).unwrap_or_default();
        match (self, moment) {
            (Self::ByGap(charge), Moment::Compression) => needed_kilovolts(gap, charge),
            (Self::ByGap(_), Moment::Exhaust | Moment::Other) => {
                needed_kilovolts(gap, Charge::Exhaust)
            }
            (Self::Fixed { compression, .. }, Moment::Compression) => compression * wide,
            (Self::Fixed { exhaust, .. }, Moment::Exhaust | Moment::Other) => exhaust * wide,
        }
    }
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

/// Whose sparks are asked for.
#[derive(Debug, Clone, Copy)]
pub(super) enum Whose<'a> {
    /// Those of every plug.
    All,
    /// Those of the plugs of these cylinders.
    Of(&'a [CylinderId]),
}

impl Whose<'_> {
    fn is_asked(self, cylinder: Option<CylinderId>) -> bool {
        match self {
            Self::All => true,
            Self::Of(cylinders) => cylinder.is_some_and(|own| cylinders.contains(&own)),
        }
    }

    /// Whether a coil may fire a plug that is asked for: leads on each other's plugs lead anywhere.
    fn reaches(self, coil: &CoilAt, alteration: &Alteration) -> bool {
        let crossed = |fault: &HighFault| matches!(fault, HighFault::Crossed(..));
        let ways = &coil.reach.ways;
        ways.iter().any(|way| self.is_asked(way.cylinder)) || alteration.high.iter().any(crossed)
    }
}

/// What each plug does.
pub(super) fn sparks(
    harness: &Harness,
    circuit: &Circuit,
    fired: &[Fired],
    alteration: &Alteration,
    (demand, whose): (Demand, Whose<'_>),
) -> Vec<PlugSpark> {
    let mut found: Vec<PlugSpark> = harness
        .parts
        .iter()
        .filter_map(|(&plug, part)| {
            let PartKind::Plug(known) = &part.kind else {
                return None;
            };
            let cylinder = known.cylinder.map(|fact| fact.value);
            whose.is_asked(cylinder).then_some(PlugSpark {
                cylinder,
                plug,
                compression: None,
                waste: None,
                stray: Vec::new(),
            })
        })
        .collect();
    let asked = fired.iter().copied();
    let asked = asked.filter(|one| whose.reaches(&circuit.coils[one.coil], alteration));
    discharges(harness, circuit, asked, alteration, demand, |spark| {
        if let Some(known) = found.iter_mut().find(|known| known.plug == spark.plug) {
            known.take(spark.moment, spark.at, spark.event);
        }
    });
    found
}

/// One spark asked of one plug by one coil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Discharge {
    /// The coil.
    pub coil: PartId,
    /// The driver.
    pub driver: DriverId,
    /// Crank angle at which the driver lets go.
    pub at: Degrees,
    /// The tower from which the plug hangs.
    pub tower: Port,
    /// The way from there; the plug at its end is that of the map, not that of crossed leads.
    pub way: Way,
    /// The plug.
    pub plug: PartId,
    /// Its cylinder, where it is known.
    pub cylinder: Option<CylinderId>,
    /// Where that cylinder stands then.
    pub moment: Moment,
    /// How it sparks.
    pub event: SparkEvent,
}

/// Every spark that is asked for, coil by coil, in the order of the crank angle.
pub(super) fn discharges(
    harness: &Harness,
    circuit: &Circuit,
    fired: impl Iterator<Item = Fired>,
    alteration: &Alteration,
    demand: Demand,
    mut say: impl FnMut(Discharge),
) {
    for one in fired {
        let coil = &circuit.coils[one.coil];
        for angle in circuit.let_go(one.driver) {
            let ends = ends(harness, coil, alteration, angle);
            let asked = Asked {
                harness,
                angle,
                demand,
            };
            for (at, end) in ends.iter().enumerate() {
                let (Some((plug, cylinder)), Some(&way)) = (end.plug, end.way) else {
                    continue;
                };
                let partner = (ends.len() > 1).then(|| &ends[1 - at]);
                say(Discharge {
                    coil: coil.part,
                    driver: circuit.drivers[one.driver].id,
                    at: angle,
                    tower: way.tower,
                    way,
                    plug,
                    cylinder,
                    moment: asked.moment(end),
                    event: event(&asked, coil, &one, alteration, (end, partner)),
                });
            }
        }
    }
}

impl Circuit {
    /// Crank angles at which a driver lets go, rising, each once.
    pub(super) fn let_go(&self, driver: usize) -> Vec<Degrees> {
        let coils = self.drivers[driver].coils.iter();
        let mut angles: Vec<Degrees> = coils
            .flat_map(|&j| self.coils[j].reach.angles.iter().copied())
            .collect();
        angles.arrange_by(|a, b| a.get().total_cmp(&b.get()));
        angles.dedup_by(|a, b| (*a - *b).abs() <= SAME_ANGLE);
        angles
    }
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Moment {
    /// At the top of compression: the spark that does the work.
    Compression,
    /// At the end of the exhaust stroke: a waste spark.
    Exhaust,
    /// At any other time.
    Other,
}

impl Engine {
    /// Which spark a cylinder gets when a coil fires at a crank angle.
    #[must_use]
    pub fn moment(&self, cylinder: CylinderId, angle: Degrees) -> Moment {
        let Some(top) = self.compression_top(cylinder) else {
            return Moment::Other;
        };
        let cycle = self.cycle().get();
        let after = (angle - top).get().rem_euclid(cycle);
        let near = |to: f64| (after - to).abs() <= SAME_ANGLE.get();
        if near(0.0) || near(cycle) {
            Moment::Compression
        } else if self.strokes == Strokes::Four && near(360.0) {
            Moment::Exhaust
        } else {
            Moment::Other
        }
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
            self.harness.engine.moment(cylinder, self.angle)
        })
    }

    /// What the gap at an end needs by itself, kV.
    fn needed(&self, end: &End<'_>) -> f64 {
        let plug = end.plug.map(|(plug, _)| plug);
        self.demand
            .at(self.harness, plug, self.moment(end), end.wide)
    }

    /// Whether two ends share a voltage (kV): they do until one of them lets it through. What conducts or
    /// flashes over there lets it through at once, and so does the unknown way of a broken end.
    fn shared(&self, end: &End<'_>, partner: &End<'_>, kilovolts: f64) -> bool {
        let lets_through = |end: &End<'_>| end.broken || end.bridged || end.shunt.is_some();
        let breaks = partner.flashes.min(self.needed(partner));
        !lets_through(end) && !lets_through(partner) && kilovolts / 2.0 < breaks
    }
}

impl Fired {
    /// The primary at the moment that its driver lets go.
    pub(super) fn cut_off(&self, coil: &CoilAt) -> CutOffCoil {
        CutOffCoil {
            henries: coil.henries,
            ratio: coil.ratio,
            // A loop that stays closed keeps a part of the current.
            current: self.run.peak.max(0.0) - self.wound.off.toward,
            clamp: self.clamp - self.feed,
            load: self.wound.off.ohms,
        }
    }

    /// Highest voltage of the secondary with a resistance (Ω) across it or none, kV.
    pub(super) fn limit(&self, coil: &CoilAt, shunt: Option<f64>) -> f64 {
        let cut = self.cut_off(coil);
        let plain = cut.highest(shunt);
        let volts = self.wound.shorted.map_or(plain, |turns| {
            let run = ShortedRun {
                periodic: self.run,
                inside: self.inside.unwrap_or_default(),
            };
            let loss = loss_ohms(coil.henries, coil.ratio);
            plain.min(turns.secondary_peak(run, coil.ratio, loss, cut.clamp))
        });
        volts / 1000.0
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
    let cut = fired.cut_off(coil);
    let limit = |shunt: Option<f64>| fired.limit(coil, shunt);
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
