//! Tracing: unknown pins of an unfamiliar car become known by the cheapest measurements.
//!
//! A [`Trace`] is a question about some pins of one unit and the coils that they may serve, with all that was
//! measured so far. From that alone follow, every time anew: the exact belief over all assignments of pins
//! ([`Trace::belief`]), the cheapest next measurement ([`Trace::next`]), a contradiction with the reading to take
//! again, and the facts that go on the map ([`Trace::facts`]).
//!
//! ```
//! use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! use sparktrail_core::engine::{Layout, Strokes};
//! use sparktrail_core::model::PinRole;
//! use sparktrail_core::trace::{Coverage, Measure, Next, Shown, Trace, Use};
//!
//! let harness = build(&Plan::new("Old estate", propose_engine(4, Layout::Inline, Strokes::Four)))?;
//! let (&unit, _) = harness.parts.iter().find(|(_, part)| part.name == "Control unit").unwrap();
//! // Nobody knows which of these two pins switches which of the two coils.
//! let pins: Vec<_> = harness.unit(unit).unwrap().pins.iter()
//!     .filter(|pin| pin.role.is_some_and(|role| role.value == PinRole::CoilSwitch))
//!     .map(|pin| pin.id)
//!     .collect();
//! let mut trace = Trace::new(&harness, unit, pins.clone(), Trace::coils_of(&harness), Coverage::All)?;
//! let Next::Measure(steps) = trace.next(&harness) else { panic!() };
//! // The cheapest: which pin is joined to the plug of one of the coils?
//! let Measure::Continuity(coil) = steps[0].measure else { panic!() };
//! trace.answer(steps[0].measure.clone(), vec![(pins[0], Shown::There), (pins[1], Shown::NotThere)]);
//! assert_eq!(trace.next(&harness), Next::Done);
//! assert_eq!(trace.belief(&harness).pins[0].known(), Some(Use::Coil(coil)));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod belief;
mod cost;
mod exact;
mod facts;
mod joined;
mod plan;
mod rounds;
pub mod trials;
mod usage;
mod written;

use std::collections::BTreeSet;

use crate::model::{Harness, PartId, PartKind, PinId, Port, Setup, Strand, Terminal};

pub use crate::isolation::control_of;
pub use belief::{Belief, Doubted, PinBelief, Premise};
pub use plan::{Next, Step};
pub use rounds::{Nothing, rounds_at_most};
pub use usage::{Shown, Terminal1, Use};

/// The most coils that one trace tells apart: the belief goes over all sets of them.
pub const MOST_COILS: usize = 16;
/// The most pins of one trace.
pub const MOST_PINS: usize = 64;

/// A question about some pins of a unit, with what was measured so far.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// The unit whose plug is taken off.
    pub unit: PartId,
    /// The pins of which nobody knows what they are for.
    pub pins: Vec<PinId>,
    /// The coils that they may serve.
    pub coils: Vec<PartId>,
    /// Whether each of these coils is sure to have its pin among them.
    pub coverage: Coverage,
    /// What was done, oldest first. A reading taken again stands for the earlier one.
    pub taken: Vec<Taken>,
    /// What the person cannot or will not do.
    pub aside: BTreeSet<Way>,
}

/// Whether each of the coils has its pin among those asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Coverage {
    /// Each has.
    All,
    /// Some may have it elsewhere.
    Some,
}

/// A measurement, with the plug of the unit off.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// Key on: is battery voltage at the pin?
    Volts,
    /// Battery off: resistance from the coils' feed to the pin.
    FromFeed,
    /// Battery off: resistance from the pin to ground.
    ToGround,
    /// Key on with these coils unplugged: is battery voltage still at the pin?
    Unplug(BTreeSet<PartId>),
    /// Battery off, this coil unplugged: is its control wire joined to the pin?
    Continuity(PartId),
}

/// A way of measuring, whatever it is done to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// Voltage with the key on.
    Volts,
    /// Resistance from the feed.
    FromFeed,
    /// Resistance to ground.
    ToGround,
    /// Coils unplugged in groups.
    Unplug,
    /// Continuity from coil to pin.
    Continuity,
}

impl Way {
    /// Every way.
    pub const ALL: [Self; 5] = [
        Self::Volts,
        Self::FromFeed,
        Self::ToGround,
        Self::Unplug,
        Self::Continuity,
    ];
}

impl Measure {
    /// The way in which it is done.
    #[must_use]
    pub const fn way(&self) -> Way {
        match self {
            Self::Volts => Way::Volts,
            Self::FromFeed => Way::FromFeed,
            Self::ToGround => Way::ToGround,
            Self::Unplug(_) => Way::Unplug,
            Self::Continuity(_) => Way::Continuity,
        }
    }

    /// The coils whose plug is off for it.
    #[must_use]
    pub fn unplugged(&self) -> BTreeSet<PartId> {
        match self {
            Self::Volts | Self::FromFeed | Self::ToGround => BTreeSet::new(),
            Self::Unplug(coils) => coils.clone(),
            Self::Continuity(coil) => [*coil].into(),
        }
    }

    /// Whether the battery is connected and the key on for it.
    #[must_use]
    pub const fn power(&self) -> Power {
        match self {
            Self::Volts | Self::Unplug(_) => Power::KeyOn,
            Self::FromFeed | Self::ToGround | Self::Continuity(_) => Power::BatteryOff,
        }
    }
}

/// Whether there is power on the wires.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Power {
    /// Battery connected, key on.
    KeyOn,
    /// Battery disconnected.
    BatteryOff,
}

/// What was done in one go.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// How.
    pub measure: Measure,
    /// What it showed on each pin that was tried.
    pub shown: Vec<(PinId, Shown)>,
}

/// Why a trace cannot be begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TraceError {
    /// There is no such unit.
    #[error("there is no control unit {0} on the map")]
    NoUnit(PartId),
    /// The unit has no such pin.
    #[error("unit {0} has no pin {1}")]
    NoPin(PartId, PinId),
    /// There is no such coil.
    #[error("there is no coil {0} on the map")]
    NoCoil(PartId),
    /// No pin is asked for.
    #[error("no pin is chosen")]
    NoPins,
    /// More coils than can be told apart at once.
    #[error("{0} coils are more than the {MOST_COILS} that can be told apart at once")]
    TooManyCoils(usize),
    /// More pins than can be asked for at once.
    #[error("{0} pins are more than the {MOST_PINS} that can be asked for at once")]
    TooManyPins(usize),
    /// Each coil is said to have its pin among them, but there are more coils than pins.
    #[error("{coils} coils cannot all have their pin among {pins}")]
    TooFewPins {
        /// Coils asked for.
        coils: usize,
        /// Pins asked for.
        pins: usize,
    },
}

impl Trace {
    /// A question about pins of a unit of which nothing was measured yet.
    ///
    /// `pins`: 1 to [`MOST_PINS`]; `coils`: up to [`MOST_COILS`], may be empty.
    ///
    /// # Errors
    /// [`TraceError`] names what is not on the map, or is too much.
    pub fn new(
        harness: &Harness,
        unit: PartId,
        pins: Vec<PinId>,
        coils: Vec<PartId>,
        coverage: Coverage,
    ) -> Result<Self, TraceError> {
        let trace = Self {
            unit,
            pins,
            coils,
            coverage,
            taken: Vec::new(),
            aside: BTreeSet::new(),
        };
        trace.fits(harness)?;
        Ok(trace)
    }

    /// Whether all that is asked about stands on this map.
    ///
    /// # Errors
    /// [`TraceError`] names what does not.
    pub fn fits(&self, harness: &Harness) -> Result<(), TraceError> {
        if harness.unit(self.unit).is_none() {
            return Err(TraceError::NoUnit(self.unit));
        }
        if self.pins.is_empty() {
            return Err(TraceError::NoPins);
        }
        if self.pins.len() > MOST_PINS {
            return Err(TraceError::TooManyPins(self.pins.len()));
        }
        if self.coils.len() > MOST_COILS {
            return Err(TraceError::TooManyCoils(self.coils.len()));
        }
        let pins = self.pins.iter();
        if let Some(&pin) = pins
            .clone()
            .find(|pin| harness.pin(self.unit, **pin).is_none())
        {
            return Err(TraceError::NoPin(self.unit, pin));
        }
        if let Some(&coil) = self.coils.iter().find(|c| harness.coil(**c).is_none()) {
            return Err(TraceError::NoCoil(coil));
        }
        if self.coverage == Coverage::All && self.coils.len() > self.pins.len() {
            return Err(TraceError::TooFewPins {
                coils: self.coils.len(),
                pins: self.pins.len(),
            });
        }
        Ok(())
    }

    /// Every coil of a map.
    #[must_use]
    pub fn coils_of(harness: &Harness) -> Vec<PartId> {
        let coils = harness.parts.iter();
        coils
            .filter(|(_, part)| matches!(part.kind, PartKind::Coil(_)))
            .map(|(id, _)| *id)
            .collect()
    }

    /// The coils whose control the map does not lead to a pin that was measured to be for that.
    #[must_use]
    pub fn coils_without_pin(harness: &Harness) -> Vec<PartId> {
        let mut coils = Self::coils_of(harness);
        coils.retain(|coil| {
            let strand = Strand::from(harness, control_of(harness, *coil));
            !strand.is_some_and(|strand| strand.is_on_a_measured_pin(harness))
        });
        coils
    }

    /// Adds what a measurement showed. Pins that it was not tried on are left out.
    pub fn answer(&mut self, measure: Measure, shown: Vec<(PinId, Shown)>) {
        self.taken.push(Taken { measure, shown });
    }

    /// Takes the newest measurement back. Returns it, or `None` where there was none.
    pub fn take_back(&mut self) -> Option<Taken> {
        self.taken.pop()
    }

    /// How the car has to stand for a measurement.
    #[must_use]
    pub fn setup(&self, measure: &Measure) -> Setup {
        let mut setup = match measure.power() {
            Power::KeyOn => Setup::key_on(),
            Power::BatteryOff => Setup::battery_off(),
        };
        setup.unplugged = measure.unplugged();
        setup.unplugged.insert(self.unit);
        setup
    }

    /// Where the lead goes that does not move from pin to pin; `None` where the map has no such place.
    #[must_use]
    pub fn other_lead(&self, harness: &Harness, measure: &Measure) -> Option<Terminal> {
        match measure {
            Measure::Volts | Measure::Unplug(_) | Measure::ToGround => {
                crate::faults::usual_black(harness)
            }
            Measure::FromFeed => joined::feed_point(harness, self),
            Measure::Continuity(coil) => Some(control_of(harness, *coil)),
        }
    }

    /// The terminal of one of the pins.
    #[must_use]
    pub const fn terminal(&self, pin: PinId) -> Terminal {
        Terminal {
            part: self.unit,
            port: Port::Pin(pin),
        }
    }
}

/// Whether a coil's terminal 1 can be reached from outside.
#[must_use]
pub fn terminal_1(harness: &Harness, coil: PartId) -> Terminal1 {
    if harness.coil(coil).is_some_and(|c| c.driver.is_some()) {
        Terminal1::Inside
    } else {
        Terminal1::BroughtOut
    }
}
