//! A wire followed as far as nothing branches off, and what was measured of it from end to end.

use std::collections::BTreeSet;

use super::{Harness, PartKind, PinRole, Port, Side, Terminal, WireEnd, WireId};
use crate::provenance::Provenance;

/// Where a single wire leads, through connectors, as far as nothing branches off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Strand {
    /// The end of the first wire, at the terminal where it begins.
    pub(crate) near: (WireId, WireEnd),
    /// The end of the last wire: where it arrives, or hangs loose.
    pub(crate) far: (WireId, WireEnd),
    /// Where it arrives; `None` where nobody has followed it.
    pub(crate) to: Option<Terminal>,
}

/// The other end of a wire.
pub(crate) const fn other(end: WireEnd) -> WireEnd {
    match end {
        WireEnd::From => WireEnd::To,
        WireEnd::To => WireEnd::From,
    }
}

/// The far side of a terminal that only passes on: the other side of a cavity.
pub(crate) const fn across(terminal: Terminal) -> Option<Terminal> {
    if let Port::Cavity(cavity, side) = terminal.port {
        let side = match side {
            Side::A => Side::B,
            Side::B => Side::A,
        };
        Some(Terminal {
            part: terminal.part,
            port: Port::Cavity(cavity, side),
        })
    } else {
        None
    }
}

/// The ends of wires at a terminal, in rising order of wire.
pub(crate) fn ends_at(harness: &Harness, terminal: Terminal) -> Vec<(WireId, WireEnd)> {
    let mut ends = Vec::new();
    for (&id, wire) in &harness.wires {
        for end in WireEnd::BOTH {
            if wire.end(end).is_some_and(|fact| fact.value == terminal) {
                ends.push((id, end));
            }
        }
    }
    ends
}

/// The one end of a wire at a terminal; `None` where there is none, or more than one.
fn sole_end(harness: &Harness, terminal: Terminal) -> Option<(WireId, WireEnd)> {
    if let [only] = ends_at(harness, terminal)[..] {
        Some(only)
    } else {
        None
    }
}

impl Strand {
    /// The one wire at a terminal, followed; `None` where there is none, or more than one.
    pub(crate) fn from(harness: &Harness, start: Terminal) -> Option<Self> {
        Self::walked(harness, start, |_| ())
    }

    /// [`Self::from`], with each wire on the way handed to `passes`.
    fn walked(harness: &Harness, start: Terminal, mut passes: impl FnMut(WireId)) -> Option<Self> {
        let near = sole_end(harness, start)?;
        let mut far = (near.0, other(near.1));
        // No conductor has more wires than the map.
        for _ in 0..=harness.wires.len() {
            passes(far.0);
            let to = harness.wires.get(&far.0)?.end(far.1).map(|fact| fact.value);
            let strand = Self { near, far, to };
            // Another wire in the same cavity, on either side of it, branches off.
            let on = to.and_then(|here| sole_end(harness, here).and(across(here)));
            let Some((wire, end)) = on.and_then(|beyond| sole_end(harness, beyond)) else {
                return Some(strand);
            };
            far = (wire, other(end));
        }
        None
    }

    /// Whether it arrives at a unit's pin that was measured to command a coil.
    pub(crate) fn is_on_a_measured_pin(&self, harness: &Harness) -> bool {
        let Some(Terminal {
            part,
            port: Port::Pin(pin),
        }) = self.to
        else {
            return false;
        };
        let role = harness.pin(part, pin).and_then(|pin| pin.role);
        role.is_some_and(|role| {
            role.how == Provenance::Measured
                && matches!(role.value, PinRole::CoilSwitch | PinRole::DriveOut)
        })
    }

    /// Whether it was measured where both its ends are.
    fn ends_were_measured(&self, harness: &Harness) -> bool {
        [self.near, self.far].into_iter().all(|(wire, end)| {
            let held = harness.wires.get(&wire).and_then(|wire| wire.end(end));
            held.is_some_and(|fact| fact.how == Provenance::Measured)
        })
    }
}

impl Harness {
    /// The wires on ways that were measured from end to end: from the control of a coil, through cavities alone, to
    /// a unit's pin that was measured to command a coil, with both outer ends measured.
    ///
    /// That says where such a wire leads. It does not say which cavities it passes: no meter touched those, so the
    /// ends there stay as known as they were.
    pub(crate) fn proved_wires(&self) -> BTreeSet<WireId> {
        let mut proved = BTreeSet::new();
        for (&part, what) in &self.parts {
            if !matches!(what.kind, PartKind::Coil(_)) {
                continue;
            }
            for port in [Port::Switched, Port::DriveIn] {
                let mut passed = Vec::new();
                let start = Terminal { part, port };
                let strand = Strand::walked(self, start, |wire| passed.push(wire));
                if strand.is_some_and(|strand| {
                    strand.is_on_a_measured_pin(self) && strand.ends_were_measured(self)
                }) {
                    proved.extend(passed);
                }
            }
        }
        proved
    }
}
