//! Findings that cannot count: they name what is not on the map, or say what cannot be.

use crate::engine::CylinderId;
use crate::model::{
    Element, Finding, FindingId, Harness, OhmReading, PartId, Seen, SwapPair, Terminal,
};
use crate::said::say;

/// A finding that does not count, and why.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("finding {finding}: {why}")]
pub struct Trouble {
    /// The finding.
    pub finding: FindingId,
    /// Why it does not count.
    pub why: Why,
}

/// Why a finding does not count.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Why {
    /// The engine has no such cylinder.
    #[error("{}", say!("the engine has no cylinder {0}; name one of its cylinders or take the finding back", .0))]
    NoCylinder(CylinderId),
    /// The map has no such part.
    #[error("{}", say!("part {0} is not on the map; put it back or take the finding back", .0))]
    NoPart(PartId),
    /// A part has no such terminal.
    #[error("{}", say!("part {0} has no such terminal; name another or take the finding back", .0))]
    NoTerminal(PartId),
    /// The map has no such element.
    #[error("{}", say!("what it names is no longer on the map; take the finding back"))]
    NoElement,
    /// Red and black lead on the same terminal.
    #[error("{}", say!("both leads are on one terminal; name two"))]
    SameTerminal,
    /// A thing that changed places with itself.
    #[error("{}", say!("a thing cannot change places with itself; name two"))]
    SwappedWithItself,
    /// A voltage that no 12 or 24 V car has.
    #[error("{}", say!("{0} V is no reading of a car's wiring; check the range of the meter and the point", .0))]
    Volts(f64),
    /// A negative resistance.
    #[error("{}", say!("a resistance of {0} Ω cannot be; check the sign and that the battery was off", .0))]
    NegativeOhms(f64),
    /// A resistance that no ohmmeter shows: milliohms or megohms taken for ohms, perhaps.
    #[error("{}", say!("{0} Ω is beyond any ohmmeter; enter \"OL\", or check kΩ and MΩ", .0))]
    Ohms(f64),
    /// The map does not say enough to reckon what should have been read.
    #[error("{}", say!("the map does not say enough to reckon what should be read there; join both points up"))]
    NotReckoned,
}

impl Trouble {
    pub(super) const fn not_reckoned(finding: FindingId) -> Self {
        Self {
            finding,
            why: Why::NotReckoned,
        }
    }
}

/// The most that a voltmeter may show on a car's low-voltage side, V.
pub(super) const MOST_VOLTS: f64 = 60.0;
/// The most that an ohmmeter shows as a number, Ω.
pub(super) const MOST_OHMS: f64 = 1e9;

/// What is wrong with a finding, if anything.
pub(super) fn of(harness: &Harness, finding: &Finding) -> Option<Trouble> {
    why(harness, &finding.seen).map(|why| Trouble {
        finding: finding.id,
        why,
    })
}

fn why(harness: &Harness, seen: &Seen) -> Option<Why> {
    match seen {
        Seen::Contribution { cylinder, .. }
        | Seen::Spark { cylinder, .. }
        | Seen::Compression { cylinder, .. } => {
            (!harness.engine.cylinders().contains(cylinder)).then_some(Why::NoCylinder(*cylinder))
        }
        Seen::Volts {
            red,
            black,
            reading,
        } => probes(harness, *red, *black).or_else(|| volts(reading.get())),
        Seen::Drop {
            red,
            black,
            reading,
        } => probes(harness, *red, Some(*black)).or_else(|| volts(reading.get())),
        Seen::Resistance {
            red,
            black,
            reading,
        } => probes(harness, *red, Some(*black)).or_else(|| match reading {
            OhmReading::Ohms(ohms) if ohms.get() < 0.0 => Some(Why::NegativeOhms(ohms.get())),
            OhmReading::Ohms(ohms) if ohms.get() > MOST_OHMS => Some(Why::Ohms(ohms.get())),
            OhmReading::Ohms(_) | OhmReading::Overload => None,
        }),
        Seen::Lamp { red, black, .. } => probes(harness, *red, Some(*black)),
        Seen::Look { element: e, .. }
        | Seen::Stress { element: e, .. }
        | Seen::Cleaned { element: e, .. }
        | Seen::Remade { element: e, .. } => element(harness, *e),
        Seen::Substituted { part: p, .. } => part(harness, *p),
        Seen::Swapped { what, .. } => match what {
            SwapPair::Parts(a, b) if a == b => Some(Why::SwappedWithItself),
            SwapPair::Transistors(a, b) if a == b => Some(Why::SwappedWithItself),
            SwapPair::Parts(a, b) => part(harness, *a).or_else(|| part(harness, *b)),
            SwapPair::Transistors(a, b) => {
                let there = harness.driver(*a).is_some() && harness.driver(*b).is_some();
                (!there).then_some(Why::NoElement)
            }
        },
        Seen::Code { .. } => None,
    }
}

fn part(harness: &Harness, id: PartId) -> Option<Why> {
    (!harness.parts.contains_key(&id)).then_some(Why::NoPart(id))
}

fn terminal(harness: &Harness, at: Terminal) -> Option<Why> {
    part(harness, at.part)
        .or_else(|| (!harness.has_terminal(at)).then_some(Why::NoTerminal(at.part)))
}

fn probes(harness: &Harness, red: Terminal, black: Option<Terminal>) -> Option<Why> {
    terminal(harness, red)
        .or_else(|| black.and_then(|black| terminal(harness, black)))
        .or_else(|| (black == Some(red)).then_some(Why::SameTerminal))
}

fn element(harness: &Harness, element: Element) -> Option<Why> {
    (!harness.has_element(element)).then_some(Why::NoElement)
}

fn volts(reading: f64) -> Option<Why> {
    (reading.abs() > MOST_VOLTS).then_some(Why::Volts(reading))
}
