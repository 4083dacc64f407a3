//! How a fact is known: assumed, from a diagram, or measured on this car.

use crate::said::said;
/// How a fact is known, from weakest to strongest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Provenance {
    /// Nobody has looked: a starting layout or a guess.
    #[default]
    Assumed,
    /// Read off a diagram that may or may not belong to this car.
    Diagram,
    /// Seen or measured on this car.
    Measured,
}

impl Provenance {
    /// Every way, from weakest to strongest.
    pub const ALL: [Self; 3] = [Self::Assumed, Self::Diagram, Self::Measured];

    /// The way in a few words.
    #[must_use]
    pub fn phrase(self) -> &'static str {
        said(match self {
            Self::Assumed => "assumed",
            Self::Diagram => "from a diagram",
            Self::Measured => "measured",
        })
    }
}

/// A value and how it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Fact<T> {
    /// What is held to be true.
    pub value: T,
    /// How it is known.
    pub how: Provenance,
}

impl<T> Fact<T> {
    /// A value nobody has looked at yet.
    pub const fn assumed(value: T) -> Self {
        Self {
            value,
            how: Provenance::Assumed,
        }
    }

    /// A value read off a diagram.
    pub const fn diagram(value: T) -> Self {
        Self {
            value,
            how: Provenance::Diagram,
        }
    }

    /// A value seen or measured on this car.
    pub const fn measured(value: T) -> Self {
        Self {
            value,
            how: Provenance::Measured,
        }
    }
}
