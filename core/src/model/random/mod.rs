//! Invented harnesses of every kind from a seed, finished and unfinished: for laws that must hold on any harness.

mod dice;
mod engines;
mod findings;
mod mess;
mod wiring;

use super::{Colour, Harness, Terminal, Wire, WireColour, WireSize};
use crate::provenance::{Fact, Provenance};
use crate::units::{Metres, SquareMillimetres};

pub use dice::Dice;

/// How tidy a random harness is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tidiness {
    /// Every cylinder has its coil, lead and plug, every wire both ends, every driver its pins.
    Finished,
    /// As an owner's map may look halfway: ends nobody followed, unknown pins, doubled and lost wires, swapped leads.
    Unfinished,
}

/// A harness of up to `most_cylinders` cylinders (1 to 16), half of them finished. The seed decides everything.
///
/// It refers to nothing that it does not have, and keeps to the limits of the file format.
///
/// # Example
/// ```
/// use sparktrail_core::model::random::random_harness;
/// assert_eq!(random_harness(7, 6), random_harness(7, 6));
/// assert_ne!(random_harness(7, 6), random_harness(8, 6));
/// ```
#[must_use]
pub fn random_harness(seed: u64, most_cylinders: u8) -> Harness {
    let tidiness = if seed.is_multiple_of(2) {
        Tidiness::Finished
    } else {
        Tidiness::Unfinished
    };
    random_harness_of(seed, most_cylinders, tidiness)
}

/// A random harness that is finished or not, as asked.
#[must_use]
pub fn random_harness_of(seed: u64, most_cylinders: u8, tidiness: Tidiness) -> Harness {
    let mut dice = Dice::new(seed);
    let engine = engines::engine(&mut dice, most_cylinders.clamp(1, 16));
    let title = format!("Random harness {seed}");
    let mut maker = Maker {
        harness: Harness::new(title, engine),
        dice,
    };
    maker.build();
    if tidiness == Tidiness::Unfinished {
        mess::up(&mut maker.harness, &mut maker.dice);
    }
    findings::add(&mut maker.harness, &mut maker.dice);
    maker.harness
}

/// A harness in the making.
struct Maker {
    harness: Harness,
    dice: Dice,
}

impl Maker {
    fn fact<T>(&mut self, value: T) -> Fact<T> {
        let how = self.dice.pick(&[
            Provenance::Assumed,
            Provenance::Diagram,
            Provenance::Measured,
        ]);
        Fact { value, how }
    }

    /// A fact, or nothing known.
    fn perhaps<T>(&mut self, value: T) -> Option<Fact<T>> {
        let fact = self.fact(value);
        self.dice.often(60).then_some(fact)
    }

    /// A wire from here to there.
    fn wire(&mut self, from: Terminal, to: Terminal) {
        let colour = WireColour {
            base: self.dice.pick(Colour::ALL),
            tracer: self.dice.often(50).then(|| self.dice.pick(Colour::ALL)),
        };
        let size = if self.dice.often(70) {
            let area = self.dice.pick(&[0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 16.0]);
            WireSize::Area(SquareMillimetres::lit(area))
        } else {
            WireSize::Awg(self.dice.pick(&[-3, 0, 10, 14, 16, 18, 20, 22]))
        };
        let length = Metres::lit(self.dice.between(0.05, 4.0));
        let wire = Wire {
            from: Some(self.fact(from)),
            to: Some(self.fact(to)),
            colour: self.perhaps(colour),
            size: self.perhaps(size),
            length: self.perhaps(length),
            note: String::new(),
        };
        self.harness.add_wire(wire);
    }
}

#[cfg(test)]
mod tests;
