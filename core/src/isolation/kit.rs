//! What the owner has and can do: tools and skills, and which of them an act asks for.

use super::question::Question;
use super::unit::Unit;
use crate::model::{DriverPiece, Element, Harness, PartKind, SwapPair};

/// A tool, or the skill to use it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tool {
    /// A multimeter.
    Meter,
    /// A test lamp.
    TestLamp,
    /// A timing light.
    TimingLight,
    /// A spark tester.
    SparkTester,
    /// An oscilloscope.
    Scope,
    /// A compression tester.
    CompressionTester,
    /// An iron that holds its temperature, and practice in soldering boards.
    BoardSoldering,
}

impl Tool {
    /// Every tool.
    pub const ALL: [Self; 7] = [
        Self::Meter,
        Self::TestLamp,
        Self::TimingLight,
        Self::SparkTester,
        Self::Scope,
        Self::CompressionTester,
        Self::BoardSoldering,
    ];

    /// A word for storage: stays as it is.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Meter => "meter",
            Self::TestLamp => "test-lamp",
            Self::TimingLight => "timing-light",
            Self::SparkTester => "spark-tester",
            Self::Scope => "scope",
            Self::CompressionTester => "compression-tester",
            Self::BoardSoldering => "board-soldering",
        }
    }
}

/// The tools and skills that somebody has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Kit(u8);

impl Kit {
    /// Nothing but hands and eyes.
    pub const NONE: Self = Self(0);
    /// A workshop that has everything.
    pub const WORKSHOP: Self = Self(0x7f);

    /// With one tool more.
    #[must_use]
    pub const fn with(self, tool: Tool) -> Self {
        Self(self.0 | 1 << tool as u8)
    }

    /// With one tool less.
    #[must_use]
    pub const fn without(self, tool: Tool) -> Self {
        Self(self.0 & !(1 << tool as u8))
    }

    /// Whether a tool is there.
    #[must_use]
    pub const fn has(self, tool: Tool) -> bool {
        self.0 >> tool as u8 & 1 == 1
    }

    /// Whether everything is there that an act asks for.
    #[must_use]
    pub fn serves(self, needs: Needs) -> bool {
        needs
            .0
            .iter()
            .all(|one_of| one_of.iter().any(|tool| self.has(*tool)))
    }
}

/// What an act asks for: of each group, one tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Needs(&'static [&'static [Tool]]);

impl Needs {
    /// Hands and eyes.
    pub const NOTHING: Self = Self(&[]);
    const METER: Self = Self(&[&[Tool::Meter]]);
    const LAMP: Self = Self(&[&[Tool::TestLamp]]);
    const FLASH: Self = Self(&[&[Tool::TimingLight, Tool::SparkTester]]);
    const SCOPE: Self = Self(&[&[Tool::Scope]]);
    const SIGNAL: Self = Self(&[&[Tool::Meter, Tool::Scope]]);
    const COMPRESSION: Self = Self(&[&[Tool::CompressionTester]]);
    const BOARD: Self = Self(&[&[Tool::BoardSoldering]]);
    const BOARD_METER: Self = Self(&[&[Tool::BoardSoldering], &[Tool::Meter]]);

    /// Of each group, one tool is needed.
    #[must_use]
    pub const fn groups(self) -> &'static [&'static [Tool]] {
        self.0
    }

    /// What a question asks for. A unit's housing is for those who solder boards: who opens it must be
    /// able to close it as it was.
    #[must_use]
    pub fn of(harness: &Harness, question: &Question) -> Self {
        match question {
            Question::Volts(_) | Question::Resistance(_) | Question::Drop(_) => Self::METER,
            Question::Lamp(_) => Self::LAMP,
            Question::Spark(_) => Self::FLASH,
            Question::Compression(_) => Self::COMPRESSION,
            Question::Look(Element::Logic(_)) => Self::SCOPE,
            Question::Look(Element::CrankSignal(_)) => Self::SIGNAL,
            Question::Look(Element::Driver(
                _,
                DriverPiece::Switch | DriverPiece::DriveResistor,
            )) => Self::BOARD_METER,
            Question::Swap(SwapPair::Transistors(..)) => Self::BOARD,
            Question::Look(element)
            | Question::Stress(element, _)
            | Question::Clean(element)
            | Question::Remake(element) => {
                if on_a_board(harness, *element) {
                    Self::BOARD
                } else {
                    Self::NOTHING
                }
            }
            Question::Contribution(_)
            | Question::Substitute(..)
            | Question::Swap(SwapPair::Parts(..))
            | Question::Code(_)
            | Question::AnyCode => Self::NOTHING,
        }
    }
}

/// Whether an element sits on the board of a unit that can be opened.
fn on_a_board(harness: &Harness, element: Element) -> bool {
    let inside = matches!(
        element,
        Element::Driver(..)
            | Element::Trace(..)
            | Element::BoardSupply(_)
            | Element::BoardGround(_)
    );
    inside
        && harness
            .part_of(element)
            .and_then(|part| harness.parts.get(&part))
            .is_some_and(|part| matches!(part.kind, PartKind::ControlUnit(_)))
}

impl Unit {
    /// Whether mending it means soldering on a board.
    #[must_use]
    pub const fn is_on_a_board(self) -> bool {
        match self {
            Self::Trace(..)
            | Self::BoardSupply(_)
            | Self::BoardGround(_)
            | Self::Transistor(_)
            | Self::DriverJoints(_)
            | Self::DriveResistor(_) => true,
            Self::Part(_)
            | Self::Wire(_)
            | Self::Joints(_)
            | Self::Contacts(_)
            | Self::Logic(_)
            | Self::CrankSignal(_)
            | Self::Crossed(..)
            | Self::Cylinder(_) => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kit_holds_what_was_put_in() {
        for tool in Tool::ALL {
            assert!(Kit::WORKSHOP.has(tool) && !Kit::NONE.has(tool));
            assert!(Kit::NONE.with(tool).has(tool));
            assert!(!Kit::WORKSHOP.without(tool).has(tool));
        }
        let all = Tool::ALL.into_iter().fold(Kit::NONE, Kit::with);
        assert_eq!(all, Kit::WORKSHOP);
    }

    #[test]
    fn one_of_a_group_is_enough() {
        let light = Kit::NONE.with(Tool::TimingLight);
        assert!(light.serves(Needs::FLASH) && !light.serves(Needs::METER));
        assert!(!Kit::NONE.with(Tool::Meter).serves(Needs::BOARD_METER));
        assert!(Kit::NONE.serves(Needs::NOTHING));
    }
}
