//! What each measurement takes, in minutes: the work, and what has to be reached for the first time.

use std::collections::BTreeSet;

use crate::isolation::defaults::access;
use crate::model::{Harness, PartId};

use super::{Measure, Power, Trace};

/// Battery on and key on, or battery off again. Judgement, as all numbers here.
const SWITCH: f64 = 2.0;
/// The meter set up and its other lead clipped on.
const BEGIN: f64 = 1.0;
/// A probe on one more pin: a yes or no, or a number to read.
const TOUCH: f64 = 0.2;
const NUMBER: f64 = 0.5;
/// Pulling a coil's plug, or putting it back.
const PLUG: f64 = 0.5;
/// Key off before plugs come off, and on again.
const KEY: f64 = 0.5;

/// A plug on a coil or on a housing of several coils.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Plug {
    /// The coil, or the housing that shares the plug.
    pub(super) access: PartId,
    /// The coils of the trace that it carries.
    pub(super) coils: BTreeSet<PartId>,
    /// Minutes to get at it.
    pub(super) reach: f64,
}

/// The plug of a coil.
pub(super) fn plug_of(trace: &Trace, harness: &Harness, coil: PartId) -> Plug {
    let pack = harness.coil(coil).and_then(|coil| coil.pack);
    let shared = |other: &PartId| harness.coil(*other).and_then(|c| c.pack) == pack;
    let coils = match pack {
        Some(_) => trace.coils.iter().copied().filter(shared).collect(),
        None => [coil].into(),
    };
    Plug {
        access: pack.unwrap_or(coil),
        coils,
        reach: reach(harness, coil),
    }
}

/// Minutes to get at a coil: the owner's figure for it or for its housing, else the usual one.
pub(super) fn reach(harness: &Harness, coil: PartId) -> f64 {
    let own = |part: PartId| harness.parts.get(&part)?.place.reach;
    let pack = harness.coil(coil).and_then(|coil| coil.pack);
    let minutes = own(coil).or_else(|| pack.and_then(own));
    minutes.map_or(access::COIL, |minutes| minutes.get().max(0.0))
}

/// How the car stands after what was done so far.
#[derive(Debug, Clone)]
pub(super) struct Stands {
    power: Option<Power>,
    unplugged: BTreeSet<PartId>,
    reached: BTreeSet<PartId>,
}

impl Stands {
    /// After the measurements of a trace.
    pub(super) fn after(trace: &Trace, harness: &Harness) -> Self {
        let mut stands = Self {
            power: None,
            unplugged: BTreeSet::new(),
            reached: BTreeSet::new(),
        };
        for taken in &trace.taken {
            stands.minutes(trace, harness, &taken.measure, 0);
        }
        stands
    }

    /// Minutes of a measurement on so many pins; the car stands so afterwards.
    pub(super) fn minutes(
        &mut self,
        trace: &Trace,
        harness: &Harness,
        measure: &Measure,
        pins: usize,
    ) -> f64 {
        let mut sum = BEGIN;
        if self.power != Some(measure.power()) {
            sum += SWITCH;
            self.power = Some(measure.power());
        }
        // A plug that is off from before stays off while resistances are taken.
        let wanted = match measure {
            Measure::Continuity(coil) => self.unplugged.union(&[*coil].into()).copied().collect(),
            Measure::FromFeed | Measure::ToGround => self.unplugged.clone(),
            Measure::Volts | Measure::Unplug(_) => measure.unplugged(),
        };
        let moved: BTreeSet<PartId> = self
            .unplugged
            .symmetric_difference(&wanted)
            .map(|coil| plug_of(trace, harness, *coil).access)
            .collect();
        for coil in &wanted {
            let plug = plug_of(trace, harness, *coil);
            if self.reached.insert(plug.access) {
                sum += plug.reach;
            }
        }
        sum += PLUG * f64::from(u32::try_from(moved.len()).unwrap_or(u32::MAX));
        if measure.power() == Power::KeyOn && !moved.is_empty() {
            sum += KEY;
        }
        self.unplugged = wanted;
        let each = match measure {
            Measure::Volts | Measure::Unplug(_) | Measure::Continuity(_) => TOUCH,
            Measure::FromFeed | Measure::ToGround => NUMBER,
        };
        sum + each * f64::from(u32::try_from(pins).unwrap_or(u32::MAX))
    }
}
