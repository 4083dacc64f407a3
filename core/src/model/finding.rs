//! What was seen or measured on the car, and what was done to it.

use std::collections::BTreeMap;

use super::{Element, FindingId, PartId, Setup, Terminal, WorkId};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::units::{Ohms, Volts};

/// Something seen or measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Its id.
    pub id: FindingId,
    /// What was seen.
    pub seen: Seen,
    /// How the car stood, where that matters.
    pub setup: Option<Setup>,
    /// Whether the fault showed at that time.
    pub fault_then: FaultThen,
    /// When, as the clock of the person's device told it.
    pub at: Option<Timestamp>,
    /// Anything else worth keeping.
    pub note: String,
    /// Whether it still counts.
    pub standing: Standing,
}

impl Finding {
    /// Something seen that counts, without a setup, a time or a note.
    #[must_use]
    pub const fn new(id: FindingId, seen: Seen, fault_then: FaultThen) -> Self {
        Self {
            id,
            seen,
            setup: None,
            fault_then,
            at: None,
            note: String::new(),
            standing: Standing::Counts,
        }
    }
}

/// Whether the fault showed while something was measured. A pass while it was away clears nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum FaultThen {
    /// It showed.
    Present,
    /// It did not show.
    Away,
    /// Nobody knows.
    #[default]
    Unknown,
}

/// Whether a finding counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Standing {
    /// It counts.
    #[default]
    Counts,
    /// Taken back by the person; kept for the record.
    TakenBack,
}

/// A moment: milliseconds since 1970-01-01 00:00 UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Timestamp(pub i64);

/// What was seen.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// Whether a cylinder does its share of the work.
    Contribution {
        /// The cylinder.
        cylinder: CylinderId,
        /// Whether it works.
        works: Works,
    },
    /// A timing light or spark tester at the lead of a cylinder.
    Spark {
        /// The cylinder.
        cylinder: CylinderId,
        /// What showed.
        spark: Spark,
    },
    /// A voltmeter between two terminals.
    Volts {
        /// Where the red lead was.
        red: Terminal,
        /// Where the black lead was; `None` when it touched nothing.
        black: Option<Terminal>,
        /// What it read.
        reading: Volts,
    },
    /// An ohmmeter between two terminals.
    Resistance {
        /// Where the red lead was.
        red: Terminal,
        /// Where the black lead was.
        black: Terminal,
        /// What it read.
        reading: OhmReading,
    },
    /// Voltage lost along a path while it carries its current.
    Drop {
        /// The end nearer the battery.
        red: Terminal,
        /// The other end.
        black: Terminal,
        /// What it read.
        reading: Volts,
    },
    /// A test lamp between two terminals.
    Lamp {
        /// One end.
        red: Terminal,
        /// The other end.
        black: Terminal,
        /// How it shone.
        glow: Glow,
    },
    /// A look at a part or joint.
    Look {
        /// What was looked at.
        element: Element,
        /// What it looked like.
        look: Look,
    },
    /// Something was wiggled, heated or cooled.
    Stress {
        /// What.
        element: Element,
        /// How.
        by: StressKind,
        /// What the engine or meter did.
        effect: Effect,
    },
    /// A part was replaced by another.
    Substituted {
        /// The part.
        part: PartId,
        /// What was put in.
        with: Substitute,
        /// What the fault did.
        effect: Effect,
    },
    /// Two like things changed places.
    Swapped {
        /// What changed places.
        what: SwapPair,
        /// What the fault did.
        outcome: SwapOutcome,
    },
    /// A contact was cleaned and put together again.
    Cleaned {
        /// The contact.
        element: Element,
        /// What the fault did.
        effect: Effect,
    },
    /// A joint was soldered, crimped or screwed again.
    Remade {
        /// The joint.
        element: Element,
        /// What the fault did.
        effect: Effect,
    },
    /// Trouble codes were read.
    Code {
        /// The code, or `None` for "no codes at all".
        code: Option<String>,
        /// Whether it was stored.
        stored: Stored,
    },
    /// A compression check.
    Compression {
        /// The cylinder.
        cylinder: CylinderId,
        /// What it showed.
        result: CompressionResult,
    },
}

/// Whether a cylinder works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Works {
    /// It pulls its share.
    Alive,
    /// It does nothing.
    Dead,
    /// It comes and goes.
    Sometimes,
}

/// What a timing light or spark tester showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spark {
    /// Regular sparks.
    Yes,
    /// None.
    No,
    /// Thin or irregular.
    Weak,
    /// At the wrong crank angle.
    WrongTime,
}

/// What an ohmmeter showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OhmReading {
    /// A number.
    Ohms(Ohms),
    /// Beyond the meter's range: "OL".
    Overload,
}

/// How a test lamp shone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Glow {
    /// Fully.
    Bright,
    /// A little.
    Dim,
    /// Not at all.
    Off,
    /// In time with the engine.
    Flickering,
}

/// What something looked like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Look {
    /// Nothing wrong to see.
    Sound,
    /// Cracked, burnt, green, loose or wet.
    Damaged,
}

/// How something was provoked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StressKind {
    /// Moved by hand.
    Wiggled,
    /// Warmed.
    Heated,
    /// Cooled.
    Cooled,
}

/// What the fault did after an act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Effect {
    /// It stayed as it was.
    Same,
    /// It went away.
    Cured,
    /// Something else changed: it came, or other cylinders died.
    Changed,
}

/// What was put in place of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Substitute {
    /// A new part.
    New,
    /// A used part that is known to work.
    KnownGood,
}

/// Two like things that changed places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SwapPair {
    /// Two parts: coils, leads, plugs, relays, injectors.
    Parts(PartId, PartId),
    /// Two transistors on the board.
    Transistors(super::DriverId, super::DriverId),
}

/// What the fault did when two like things changed places.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SwapOutcome {
    /// It went with the thing.
    Moved,
    /// It stayed where it was.
    Stayed,
    /// It went away altogether.
    Gone,
    /// Something else changed.
    Changed,
}

/// Whether a code was stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stored {
    /// It was.
    Present,
    /// It was not.
    Absent,
}

/// What a compression check showed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CompressionResult {
    /// Like its neighbours.
    Good,
    /// Clearly lower.
    Low,
}

/// An entry of the work log: what was done to the car.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkEntry {
    /// Its id.
    pub id: WorkId,
    /// When.
    pub at: Option<Timestamp>,
    /// What was done, in the owner's words; for a case that is closed, what it was.
    pub text: String,
    /// What it means for the case.
    pub step: CaseStep,
    /// The element that it is about; for a case that is closed, what was at fault.
    pub element: Option<Element>,
}

/// What an entry of the work log means for the case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum CaseStep {
    /// Nothing: work on the way.
    #[default]
    Work,
    /// The car was mended: what is found from here on is about the mended car.
    Mended,
    /// The case is closed with its cause.
    Closed,
    /// The fault is back, or was never gone: the search goes on where it stood.
    Reopened,
}

/// The last word on each cylinder, among the findings that count.
#[must_use]
pub fn cylinders_said<'f>(
    findings: impl IntoIterator<Item = &'f Finding>,
) -> BTreeMap<CylinderId, Works> {
    findings
        .into_iter()
        .filter(|finding| finding.standing == Standing::Counts)
        .filter_map(|finding| {
            if let Seen::Contribution { cylinder, works } = finding.seen {
                Some((cylinder, works))
            } else {
                None
            }
        })
        .gather()
}
