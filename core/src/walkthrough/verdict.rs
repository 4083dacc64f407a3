//! What an answer meant, and how a walk ended: data, the words come last.

use super::path::Fitness;
use crate::engine::CylinderId;
use crate::isolation::{Answer, Question};
use crate::model::{Effect, Element, FaultThen, Spark, StressKind, SwapOutcome, Terminal, Works};

/// What one reply meant.
#[derive(Debug, Clone, PartialEq)]
pub enum Meaning {
    /// Nothing more than that it was done.
    Noted,
    /// The leads are sound; they show this much by themselves, Ω.
    LeadsSound(f64),
    /// Held together the leads show no way through, or far too much: a broken lead, or the wrong range.
    LeadsBroken,
    /// Meter, range and black lead are proven.
    GroundProven,
    /// The battery does not read like one: the black lead hangs in the air or the range is wrong.
    NoGround,
    /// The battery reads below zero: red and black have changed places.
    LeadsCrossed,
    /// The leads are proven, and the battery reads this all the same: it counts.
    BatteryGivesWay,
    /// The reading cannot be trusted before the black lead is proven again; it does not count.
    Doubted,
    /// The tool shows sparks where there are some.
    ToolProven,
    /// The tool shows none on a cylinder that works; it does not count.
    ToolDoubted(CylinderId),
    /// Whether the fault shows.
    Fault(FaultThen),
    /// A cylinder works, or not.
    Cylinder(CylinderId, Works),
    /// All the others work.
    OthersWork(Vec<CylinderId>),
    /// None works: the engine does not run.
    NoneWorks,
    /// What the lead of a cylinder showed.
    Sparked(CylinderId, Spark),
    /// A stretch is as it should be; these are cleared, unless the fault was away.
    Sound {
        /// What the reading would have shown.
        cleared: Vec<Element>,
        /// Whether the fault was there.
        then: FaultThen,
    },
    /// A stretch is bad: the fault is one of these.
    Bad {
        /// The elements of the stretch.
        within: Vec<Element>,
        /// How bad.
        fitness: Fitness,
    },
    /// A reading is where it should be, or this far off its band, V or Ω.
    Reading {
        /// Zero within the band.
        off: f64,
    },
    /// It seems to be gone. That is asked again once everything is warm: contacts that were moved work
    /// for a while.
    GoneForNow,
    /// Its answer speaks for itself.
    Plain(Answer),
}

/// How a walk ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Which cylinders do not work, and which only at times.
    Cylinders {
        /// Dead.
        dead: Vec<CylinderId>,
        /// Now and then.
        sometimes: Vec<CylinderId>,
    },
    /// The starter does not turn the engine: that is no fault of the spark.
    DoesNotTurn,
    /// Meter, leads or tool could not be proven; nothing was measured.
    NotProven,
    /// The battery gives way: what flows is too little to judge a path by what it loses.
    BatteryGivesWay,
    /// The map does not join the two places.
    NoPath,
    /// Without the engine turning nothing loads the path.
    NoLoad,
    /// The whole path is as it should be.
    PathSound {
        /// Cleared by that.
        cleared: Vec<Element>,
        /// On the path, but this reading would not have shown them.
        unseen: Vec<Element>,
        /// Whether the fault was there; away, nothing is cleared.
        then: FaultThen,
    },
    /// The fault lies here.
    PathBad {
        /// One of these.
        within: Vec<Element>,
        /// How bad the stretch is.
        fitness: Fitness,
    },
    /// The whole was bad, each piece of it good: the fault comes and goes, or a lead had slipped.
    CameAndWent {
        /// The stretch that was looked at last.
        within: Vec<Element>,
    },
    /// Like pins beside each other.
    Siblings {
        /// What most of them read, V.
        level: f64,
        /// Those that are half a volt or more away, with how far, V.
        odd: Vec<(Terminal, f64)>,
    },
    /// What the leads showed: that of the cylinder first, then those that share its coil.
    Sparks(Vec<(CylinderId, Spark)>),
    /// What the fault did when two things changed places, and what is left where it stood.
    Swapped {
        /// What it did.
        outcome: SwapOutcome,
        /// The elements that did not move with the thing.
        left: Vec<Element>,
    },
    /// The fault does not show now: there is nothing to see until it does.
    NotNow,
    /// What provoking it did.
    Stressed {
        /// What was provoked.
        element: Element,
        /// What made a difference, twice.
        found: Option<(StressKind, Effect)>,
        /// Whether the fault was there.
        then: FaultThen,
    },
    /// The fault is gone.
    Mended,
    /// It is not gone, or others came.
    NotMended {
        /// Cylinders that still do not work.
        ill: Vec<CylinderId>,
    },
    /// The answer to the one question.
    One {
        /// The question.
        question: Question,
        /// Its answer.
        answer: Answer,
    },
}
