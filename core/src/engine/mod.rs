//! The engine: cylinders, banks, firing order and crank angles.

mod companions;
mod timeline;

use std::fmt;

use crate::gather::Arrange;
use crate::provenance::Fact;
use crate::units::Degrees;

pub use companions::{Companions, SharedSpark};
pub use timeline::{FiringEvent, Stroke};

/// The most cylinders an engine may have here.
pub const MOST_CYLINDERS: u8 = 16;

/// Two crank angles closer than this, in degrees, count as the same.
/// Common practice, no source: firing angles are quoted to the nearest degree.
pub const SAME_ANGLE: Degrees = Degrees::lit(0.5);

/// A cylinder by the number that its maker gave it, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CylinderId(pub u8);

impl fmt::Display for CylinderId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// How many strokes make one working cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Strokes {
    /// A cycle of 360° of crank.
    Two,
    /// A cycle of 720° of crank.
    Four,
}

/// How the cylinders stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Layout {
    /// All in one row.
    Inline,
    /// Two rows at an angle to each other.
    Vee {
        /// Angle between the banks.
        bank_angle: Degrees,
    },
    /// Two rows that face away from each other.
    Flat,
    /// Any other arrangement, told by its rows.
    Custom,
}

/// One row of cylinders, from the front of the engine to the rear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bank {
    /// What the owner calls it.
    pub name: String,
    /// Front to rear.
    pub cylinders: Vec<CylinderId>,
}

/// When each cylinder of the firing order reaches the top of its compression stroke.
#[derive(Debug, Clone, PartialEq)]
pub enum Firing {
    /// At equal steps of (cycle / cylinders).
    Even,
    /// At these crank angles after the first, in firing order; the first is 0°.
    At(Vec<Degrees>),
}

/// An engine as far as ignition is concerned. May be unfinished or wrong: `model::check` says where.
#[derive(Debug, Clone, PartialEq)]
pub struct Engine {
    /// Two- or four-stroke.
    pub strokes: Strokes,
    /// How the cylinders stand.
    pub layout: Layout,
    /// The rows, in the order in which they are drawn (left to right, seen from above, front up).
    pub banks: Vec<Bank>,
    /// The firing order.
    pub order: Fact<Vec<CylinderId>>,
    /// The crank angles that go with the order.
    pub firing: Fact<Firing>,
}

impl Engine {
    /// The cylinders, in rising number, each once.
    #[must_use]
    pub fn cylinders(&self) -> Vec<CylinderId> {
        let mut all: Vec<CylinderId> = self
            .banks
            .iter()
            .flat_map(|bank| bank.cylinders.iter().copied())
            .collect();
        all.arrange();
        all.dedup();
        all
    }

    /// Crank angle of one working cycle.
    #[must_use]
    pub const fn cycle(&self) -> Degrees {
        match self.strokes {
            Strokes::Two => Degrees::lit(360.0),
            Strokes::Four => Degrees::lit(720.0),
        }
    }

    /// Crank angle, 0 up to the cycle, at which `cylinder` is at the top of its compression stroke.
    /// `None` where the firing order or its angles do not name it.
    #[must_use]
    pub fn compression_top(&self, cylinder: CylinderId) -> Option<Degrees> {
        let order = &self.order.value;
        let place = order.iter().position(|c| *c == cylinder)?;
        let angle = match &self.firing.value {
            Firing::Even => {
                let places = u32::try_from(order.len()).ok()?;
                let place = u32::try_from(place).ok()?;
                self.cycle().get() * f64::from(place) / f64::from(places)
            }
            Firing::At(angles) => angles.get(place)?.get(),
        };
        Degrees::new(angle.rem_euclid(self.cycle().get())).ok()
    }

    /// The row in which `cylinder` stands and its place from the front, both from 0.
    #[must_use]
    pub fn place(&self, cylinder: CylinderId) -> Option<(usize, usize)> {
        self.banks.iter().enumerate().find_map(|(row, bank)| {
            bank.cylinders
                .iter()
                .position(|c| *c == cylinder)
                .map(|along| (row, along))
        })
    }
}

/// Crank angle, 0 up to 360°, at which a piston reaches the top of its stroke.
///
/// `throw`: angle of its crankpin, in the direction of rotation, from the reference pin.
/// `bank`: angle of its cylinder from the reference cylinder, in the direction of rotation.
///
/// # Source
/// Crank geometry: the pin meets the cylinder's axis when the crank has turned by (bank − throw).
#[must_use]
pub fn top_from_crank(throw: Degrees, bank: Degrees) -> Degrees {
    Degrees::lit((bank.get() - throw.get()).rem_euclid(360.0))
}
