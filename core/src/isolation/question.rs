//! Questions that can be put to a car, the answers they can have, and which finding answers which.

use super::defaults;
use crate::engine::CylinderId;
use crate::model::{
    CompressionResult, Effect, Element, Finding, Glow, Look, OhmReading, PartId, Seen, Setup,
    Spark, Stored, StressKind, Substitute, SwapOutcome, SwapPair, Terminal, Works,
};

/// Something that can be found out: a finding without its answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// Does the cylinder do its share?
    Contribution(CylinderId),
    /// What does a timing light or spark tester show on its lead?
    Spark(CylinderId),
    /// Volts between two terminals.
    Volts(Probes),
    /// Resistance between two terminals.
    Resistance(Probes),
    /// Voltage lost between two terminals under load.
    Drop(Probes),
    /// A test lamp between two terminals.
    Lamp(Probes),
    /// What does it look like?
    Look(Element),
    /// What happens when it is wiggled, heated, cooled?
    Stress(Element, StressKind),
    /// What happens with another part in its place?
    Substitute(PartId, Substitute),
    /// What happens when two like things change places?
    Swap(SwapPair),
    /// What happens when the contact is cleaned?
    Clean(Element),
    /// What happens when the joint is made anew?
    Remake(Element),
    /// Is this code stored?
    Code(String),
    /// Are there any codes at all? Every code that is said to be absent belongs here.
    AnyCode,
    /// How is the compression?
    Compression(CylinderId),
}

/// Where the leads of a meter go, and how the car stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Probes {
    /// Red lead.
    pub red: Terminal,
    /// Black lead; `None` where it touches nothing.
    pub black: Option<Terminal>,
    /// How the car stands.
    pub setup: Setup,
}

/// What a question can be answered with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Answer {
    /// To [`Question::Contribution`].
    Works(Works),
    /// To [`Question::Spark`].
    Spark(Spark),
    /// To [`Question::Volts`] and [`Question::Drop`]: from the first up to the second, V.
    Volts(f64, f64),
    /// To [`Question::Resistance`]: from the first up to the second, Ω.
    Ohms(f64, f64),
    /// To [`Question::Resistance`]: beyond the meter's range.
    Overload,
    /// To [`Question::Lamp`].
    Glow(Glow),
    /// To [`Question::Look`].
    Look(Look),
    /// To acts: stressed, substituted, cleaned, remade.
    Effect(Effect),
    /// To [`Question::Swap`].
    Swap(SwapOutcome),
    /// To [`Question::Code`] and [`Question::AnyCode`].
    Stored(Stored),
    /// To [`Question::Compression`].
    Compression(CompressionResult),
}

impl Question {
    /// The question that a finding answers, with the answer. A missing setup is taken as the usual
    /// one for the kind of reading: key on for volts and lamps, idling for drops, battery off for
    /// resistance.
    #[must_use]
    pub fn of(finding: &Finding) -> (Self, Answer) {
        let probes = |red: Terminal, black: Option<Terminal>, usual: fn() -> Setup| Probes {
            red,
            black,
            setup: finding.setup.clone().unwrap_or_else(usual),
        };
        match &finding.seen {
            Seen::Contribution { cylinder, works } => {
                (Self::Contribution(*cylinder), Answer::Works(*works))
            }
            Seen::Spark { cylinder, spark } => (Self::Spark(*cylinder), Answer::Spark(*spark)),
            Seen::Volts {
                red,
                black,
                reading,
            } => (
                Self::Volts(probes(*red, *black, Setup::key_on)),
                Answer::Volts(reading.get(), reading.get()),
            ),
            Seen::Resistance {
                red,
                black,
                reading,
            } => (
                Self::Resistance(probes(*red, Some(*black), Setup::battery_off)),
                match reading {
                    OhmReading::Ohms(ohms) => Answer::Ohms(ohms.get(), ohms.get()),
                    OhmReading::Overload => Answer::Overload,
                },
            ),
            Seen::Drop {
                red,
                black,
                reading,
            } => (
                Self::Drop(probes(*red, Some(*black), Setup::idling)),
                Answer::Volts(reading.get(), reading.get()),
            ),
            Seen::Lamp { red, black, glow } => (
                Self::Lamp(probes(*red, Some(*black), Setup::key_on)),
                Answer::Glow(*glow),
            ),
            Seen::Look { element, look } => (Self::Look(*element), Answer::Look(*look)),
            Seen::Stress {
                element,
                by,
                effect,
            } => (Self::Stress(*element, *by), Answer::Effect(*effect)),
            Seen::Substituted { part, with, effect } => {
                (Self::Substitute(*part, *with), Answer::Effect(*effect))
            }
            Seen::Swapped { what, outcome } => (Self::Swap(*what), Answer::Swap(*outcome)),
            Seen::Cleaned { element, effect } => (Self::Clean(*element), Answer::Effect(*effect)),
            Seen::Remade { element, effect } => (Self::Remake(*element), Answer::Effect(*effect)),
            Seen::Code {
                code: Some(code),
                stored: Stored::Present,
            } => (Self::Code(code.clone()), Answer::Stored(Stored::Present)),
            // "None stored", and any single code that is not: one observation for all of them.
            Seen::Code {
                code: None | Some(_),
                stored: Stored::Absent,
            }
            | Seen::Code {
                code: None,
                stored: Stored::Present,
            } => (Self::AnyCode, Answer::Stored(Stored::Absent)),
            Seen::Compression { cylinder, result } => {
                (Self::Compression(*cylinder), Answer::Compression(*result))
            }
        }
    }

    /// Chance, 0 to 1, that asking again only repeats the luck of the first time.
    #[must_use]
    pub const fn shared_luck(&self) -> f64 {
        match self {
            Self::Contribution(_) => defaults::DEAD_SHARED,
            Self::Spark(_) => 0.3,
            // The same meter on the same pins, the same eyes on the same joint.
            Self::Volts(_)
            | Self::Resistance(_)
            | Self::Drop(_)
            | Self::Lamp(_)
            | Self::Look(_)
            | Self::Compression(_) => 0.9,
            Self::Stress(..)
            | Self::Substitute(..)
            | Self::Swap(_)
            | Self::Clean(_)
            | Self::Remake(_) => 0.7,
            Self::Code(_) | Self::AnyCode => 1.0,
        }
    }

    /// Whether it tells anything while the fault is away: what brings the fault back, what is seen whether or not it
    /// shows, what was stored while it did. Whether a repair or a swap helped shows only with the fault.
    #[must_use]
    pub const fn tells_while_away(&self) -> bool {
        match self {
            Self::Look(_)
            | Self::Stress(..)
            | Self::Code(_)
            | Self::AnyCode
            | Self::Compression(_) => true,
            Self::Contribution(_)
            | Self::Spark(_)
            | Self::Volts(_)
            | Self::Resistance(_)
            | Self::Drop(_)
            | Self::Lamp(_)
            | Self::Substitute(..)
            | Self::Swap(_)
            | Self::Clean(_)
            | Self::Remake(_) => false,
        }
    }

    /// Whether it is a measurement or look that a fault which is away would pass. Acts, codes and
    /// compression speak for themselves, and whether a cylinder works is what "away" means.
    #[must_use]
    pub const fn can_be_passed_while_away(&self) -> bool {
        match self {
            Self::Spark(_)
            | Self::Volts(_)
            | Self::Resistance(_)
            | Self::Drop(_)
            | Self::Lamp(_) => true,
            Self::Contribution(_)
            | Self::Look(_)
            | Self::Stress(..)
            | Self::Substitute(..)
            | Self::Swap(_)
            | Self::Clean(_)
            | Self::Remake(_)
            | Self::Code(_)
            | Self::AnyCode
            | Self::Compression(_) => false,
        }
    }
}
