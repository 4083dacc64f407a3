//! What each coil does along the crank angle: dwell, sparks at its plugs, and its primary current.

use super::Dials;
use crate::electrics::{
    CoilRun, Demand, Discharge, Moment, Reach, Solution, SparkEvent, SparkReason, SparkState, Way,
};
use crate::engine::{CylinderId, SAME_ANGLE};
use crate::model::{DriverId, Harness, PartId, Port, Secondary};
use crate::units::{Amps, Degrees, Joules, Rpm, Seconds};

/// Sparks closer than this, in degrees of the crank, are one firing.
pub const SPARKS_TOGETHER: Degrees = SAME_ANGLE;

/// One coil through the cycle.
#[derive(Debug, Clone)]
pub struct CoilRow {
    /// The coil.
    pub coil: PartId,
    /// How its secondary is brought out.
    pub secondary: Secondary,
    /// Its periodic current, once for each driver that charges it; empty where none does.
    pub runs: Vec<CoilRun>,
    /// What flows through its primary all the time: none, unless a driver is stuck or something leaks.
    pub steady: Amps,
    /// When its drivers are on, rising.
    pub dwells: Vec<Dwell>,
    /// When it is asked to spark, rising.
    pub firings: Vec<Firing>,
    speed: Rpm,
}

/// A driver that is on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dwell {
    /// The driver.
    pub driver: DriverId,
    /// Where it turns on; below 0° where that lies in the cycle before.
    pub from: Degrees,
    /// Where it lets go.
    pub to: Degrees,
}

/// A coil asked to spark.
#[derive(Debug, Clone, PartialEq)]
pub struct Firing {
    /// Crank angle.
    pub at: Degrees,
    /// Its plugs: two of a double-ended coil, else one.
    pub ends: Vec<PlugEnd>,
}

/// One plug at one firing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlugEnd {
    /// The plug.
    pub plug: PartId,
    /// Its cylinder, where it is known.
    pub cylinder: Option<CylinderId>,
    /// The tower it hangs from.
    pub tower: Port,
    /// The way from there.
    pub way: Way,
    /// Which spark it is.
    pub moment: Moment,
    /// How its centre electrode stands.
    pub polarity: Polarity,
    /// How it sparks, and what it needs and could have.
    pub spark: SparkEvent,
}

/// How a plug's centre electrode stands against its shell when the coil fires.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Polarity {
    /// Below: electrons leave the hot centre electrode. The usual way round.
    Negative,
    /// Above: it needs somewhat more voltage.
    Positive,
}

impl Polarity {
    /// The polarity of the plug at a tower.
    ///
    /// # Source
    /// Plug makers' technical pages: of two plugs on one coil, one always fires with a negative centre
    /// electrode and the other with a positive one. Which tower is which depends on how the coil is wound;
    /// the first tower is taken as the negative one. Common practice, no source.
    #[must_use]
    pub const fn at(tower: Port) -> Self {
        if matches!(tower, Port::TowerB) {
            Self::Positive
        } else {
            Self::Negative
        }
    }

    /// A short name in lower case, the same in every output.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Negative => "negative",
            Self::Positive => "positive",
        }
    }
}

/// Every coil of a harness, in rising order.
pub(super) fn rows(harness: &Harness, solution: &Solution, dials: &Dials) -> Vec<CoilRow> {
    let demand = Demand::ByGap(dials.load);
    let discharges = solution.discharges(harness, demand);
    let runs = solution.runs();
    let reaches = solution.circuit().reaches();
    let mut rows: Vec<CoilRow> = reaches
        .map(|reach| {
            let coil = reach.coil;
            let own = runs.iter().filter(|r| r.coil() == coil && r.charges());
            let runs: Vec<CoilRun> = own.cloned().collect();
            let drivers: Vec<DriverId> = runs.iter().map(CoilRun::driver).collect();
            let mine = discharges.iter().filter(|d| d.coil == coil);
            let mine = mine.filter(|d| drivers.contains(&d.driver));
            let mut row = CoilRow {
                coil,
                secondary: reach.secondary,
                dwells: dwells(&runs, dials.speed),
                steady: solution.steady_current(coil).unwrap_or_default(),
                runs,
                firings: Vec::new(),
                speed: dials.speed,
            };
            mine.for_each(|discharge| row.take(discharge));
            row.fill(harness, reach, demand);
            row
        })
        .collect();
    rows.sort_by_key(|row| row.coil);
    rows
}

fn dwells(runs: &[CoilRun], speed: Rpm) -> Vec<Dwell> {
    let mut found: Vec<Dwell> = runs
        .iter()
        .flat_map(|run| {
            let wide = turned(run.dwell(), speed);
            run.angles().into_iter().map(move |to| Dwell {
                driver: run.driver(),
                from: to - wide,
                to,
            })
        })
        .collect();
    found.sort_by(|a, b| a.to.get().total_cmp(&b.to.get()));
    found
}

/// How far the crank turns in a time.
///
/// # Source
/// Arithmetic: 6 degrees a second for each turn a minute.
fn turned(time: Seconds, speed: Rpm) -> Degrees {
    Degrees::new(6.0 * speed.get() * time.get()).unwrap_or_default()
}

impl CoilRow {
    fn take(&mut self, discharge: &Discharge) {
        let end = PlugEnd {
            plug: discharge.plug,
            cylinder: discharge.cylinder,
            tower: discharge.tower,
            way: discharge.way,
            moment: discharge.moment,
            polarity: Polarity::at(discharge.tower),
            spark: discharge.event,
        };
        self.firing(discharge.at).ends.push(end);
    }

    /// The firing at an angle, put in its place where it is new.
    fn firing(&mut self, at: Degrees) -> &mut Firing {
        let known = &mut self.firings;
        let same = |f: &Firing| (f.at - at).abs() <= SPARKS_TOGETHER;
        let place = known.iter().position(same).unwrap_or_else(|| {
            let place = known.iter().filter(|f| f.at < at).count();
            let ends = Vec::new();
            known.insert(place, Firing { at, ends });
            place
        });
        &mut self.firings[place]
    }

    /// Adds the sparks that should come and do not, for want of current.
    fn fill(&mut self, harness: &Harness, reach: &Reach, demand: Demand) {
        for &at in &reach.angles {
            for (tower, way) in reach.ways_at(&harness.engine, at) {
                let Some((way, plug)) = way.and_then(|way| Some((*way, way.plug?))) else {
                    continue;
                };
                if self.firing(at).ends.iter().any(|end| end.tower == tower) {
                    continue;
                }
                let moment = way
                    .cylinder
                    .map_or(Moment::Other, |c| harness.engine.moment(c, at));
                let spark = SparkEvent {
                    state: SparkState::No,
                    reason: SparkReason::NotEnergised,
                    available_kv: 0.0,
                    needed_kv: demand.at(harness, Some(plug), moment, 1.0),
                    energy: Joules::ZERO,
                    peak: Amps::ZERO,
                };
                self.firing(at).ends.push(PlugEnd {
                    plug,
                    cylinder: way.cylinder,
                    tower,
                    way,
                    moment,
                    polarity: Polarity::at(tower),
                    spark,
                });
            }
        }
    }

    /// Primary current at a crank angle.
    ///
    /// # Source
    /// [`CoilRun::current`], counted from where the driver turned on; sparks of uneven engines are each
    /// taken with the current of even ones.
    #[must_use]
    pub fn current_at(&self, angle: Degrees, cycle: Degrees) -> Amps {
        let mut sum = Amps::ZERO;
        for run in &self.runs {
            let next = run
                .angles()
                .into_iter()
                .map(|at| (at - angle).get().rem_euclid(cycle.get()))
                .fold(f64::INFINITY, f64::min);
            let before = Seconds::new(next / (6.0 * self.speed.get().max(1.0)));
            let Ok(before) = before else { continue };
            let after = run.dwell() - before;
            sum = sum
                + if after >= Seconds::ZERO {
                    run.current(after)
                } else {
                    // Counted from the last spark: the longest time off that the period knows.
                    let off = run.period() - before;
                    run.current(run.dwell() + off.max(Seconds::ZERO))
                };
        }
        if self.runs.is_empty() {
            self.steady
        } else {
            sum
        }
    }

    /// The highest current of the cycle.
    #[must_use]
    pub fn peak(&self) -> Amps {
        let peaks = self.runs.iter().map(CoilRun::peak);
        peaks.fold(self.steady.abs(), Amps::max)
    }
}
