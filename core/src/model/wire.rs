//! Wires: from terminal to terminal, with colour, size and length as far as they are known.

use super::Terminal;
use crate::provenance::Fact;
use crate::said::{said, to_say};
use crate::units::{Metres, SquareMillimetres};

/// A wire. An end that nobody has followed yet is `None`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wire {
    /// The end toward the battery or control unit.
    pub from: Option<Fact<Terminal>>,
    /// The other end.
    pub to: Option<Fact<Terminal>>,
    /// Insulation colour.
    pub colour: Option<Fact<WireColour>>,
    /// Conductor size.
    pub size: Option<Fact<WireSize>>,
    /// Length.
    pub length: Option<Fact<Metres>>,
    /// Anything else worth keeping.
    pub note: String,
}

impl Wire {
    /// The fact at one end.
    #[must_use]
    pub const fn end(&self, end: WireEnd) -> Option<Fact<Terminal>> {
        match end {
            WireEnd::From => self.from,
            WireEnd::To => self.to,
        }
    }
}

/// One of the two ends of a wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WireEnd {
    /// Toward the battery or control unit.
    From,
    /// The other end.
    To,
}

impl WireEnd {
    /// Both ends.
    pub const BOTH: [Self; 2] = [Self::From, Self::To];
}

/// Base colour and tracer stripe, kept apart because a joined code loses which is which.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct WireColour {
    /// The insulation.
    pub base: Colour,
    /// The stripe, if it has one.
    pub tracer: Option<Colour>,
}

macro_rules! colours {
    ($($(#[$doc:meta])* $name:ident $code:literal $word:expr),* $(,)?) => {
        /// A wire colour.
        ///
        /// # Source
        /// Letter codes of IEC 60757:2021, value from memory.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Colour {
            $($(#[$doc])* $name),*
        }

        impl Colour {
            /// Every colour, in the order of the standard's table.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// The letter code.
            #[must_use]
            pub const fn code(self) -> &'static str {
                match self { $(Self::$name => $code),* }
            }

            /// The English word.
            #[must_use]
            pub const fn english(self) -> &'static str {
                match self { $(Self::$name => $word),* }
            }

            /// The word.
            #[must_use]
            pub fn word(self) -> &'static str {
                said(self.english())
            }

            /// The colour with this letter code, upper case.
            #[must_use]
            pub fn from_code(code: &str) -> Option<Self> {
                match code { $($code => Some(Self::$name),)* _ => None }
            }
        }
    };
}

colours! {
    /// Black.
    Black "BK" to_say("black"),
    /// Brown.
    Brown "BN" to_say("brown"),
    /// Red.
    Red "RD" to_say("red"),
    /// Orange.
    Orange "OG" to_say("orange"),
    /// Yellow.
    Yellow "YE" to_say("yellow"),
    /// Green.
    Green "GN" to_say("green"),
    /// Blue.
    Blue "BU" to_say("blue"),
    /// Violet.
    Violet "VT" to_say("violet"),
    /// Grey.
    Grey "GY" to_say("grey"),
    /// White.
    White "WH" to_say("white"),
    /// Pink.
    Pink "PK" to_say("pink"),
    /// Gold.
    Gold "GD" to_say("gold"),
    /// Turquoise.
    Turquoise "TQ" to_say("turquoise"),
    /// Silver.
    Silver "SR" to_say("silver"),
}

impl WireColour {
    /// The codes with a stroke between base and tracer: "GN/WH".
    #[must_use]
    pub fn code(self) -> String {
        self.tracer.map_or_else(
            || self.base.code().into(),
            |t| format!("{}/{}", self.base.code(), t.code()),
        )
    }
}

/// Conductor size as the owner knows it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WireSize {
    /// Cross-section.
    Area(SquareMillimetres),
    /// American wire gauge; 0 is 1/0, −1 is 2/0, and so on to −3.
    Awg(i8),
}

impl WireSize {
    /// Cross-section of the conductor.
    ///
    /// # Source
    /// AWG: ASTM B258-02, diameter 0.127 mm · 92^((36 − n)/39), area 0.012668 mm² · 92^((36 − n)/19.5).
    #[must_use]
    pub fn area(self) -> SquareMillimetres {
        match self {
            Self::Area(area) => area,
            Self::Awg(gauge) => {
                let diameter = 0.127 * 92_f64.powf((36.0 - f64::from(gauge)) / 39.0);
                SquareMillimetres::lit(std::f64::consts::FRAC_PI_4 * diameter * diameter)
            }
        }
    }
}
