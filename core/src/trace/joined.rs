//! What the map shows as one conductor: wires, splices and the two sides of a connector's cavity.

use std::collections::{BTreeSet, VecDeque};

use crate::model::{Harness, PartKind, PinRole, Port, Side, Terminal, WireEnd, WireId};
use crate::provenance::Provenance;

use super::cost::reach;
use super::{Terminal1, Trace, terminal_1};

/// The far side of a terminal that only passes on: the other side of a cavity.
pub(super) const fn across(terminal: Terminal) -> Option<Terminal> {
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
pub(super) fn ends_at(harness: &Harness, terminal: Terminal) -> Vec<(WireId, WireEnd)> {
    let ends = harness.wires.iter().flat_map(|(&id, wire)| {
        WireEnd::BOTH
            .into_iter()
            .filter(move |end| wire.end(*end).is_some_and(|fact| fact.value == terminal))
            .map(move |end| (id, end))
    });
    ends.collect()
}

/// The other end of a wire.
pub(super) const fn other(end: WireEnd) -> WireEnd {
    match end {
        WireEnd::From => WireEnd::To,
        WireEnd::To => WireEnd::From,
    }
}

/// Where a single wire leads, through connectors, as far as nothing branches off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lead {
    /// The end of the first wire, at the terminal where it begins.
    pub(super) near: (WireId, WireEnd),
    /// The end of the last wire: where it arrives, or hangs loose.
    pub(super) far: (WireId, WireEnd),
    /// Where it arrives; `None` where nobody has followed it.
    pub(super) to: Option<Terminal>,
}

/// The one wire at a terminal, followed; `None` where there is none, or more than one.
pub(super) fn follow(harness: &Harness, from: Terminal) -> Option<Lead> {
    let [near] = ends_at(harness, from)[..] else {
        return None;
    };
    let mut far = (near.0, other(near.1));
    // No conductor has more wires than the map.
    for _ in 0..=harness.wires.len() {
        let to = harness.wires.get(&far.0)?.end(far.1).map(|fact| fact.value);
        let lead = Lead { near, far, to };
        let Some(beyond) = to.and_then(across) else {
            return Some(lead);
        };
        let [(wire, end)] = ends_at(harness, beyond)[..] else {
            return Some(lead);
        };
        far = (wire, other(end));
    }
    None
}

/// Whether the wire at a coil's control arrives at a pin that was measured to be for a coil.
pub(super) fn is_on_a_measured_pin(harness: &Harness, control: Terminal) -> bool {
    let pin = follow(harness, control).and_then(|lead| lead.to);
    let role = pin.and_then(|terminal| {
        let Port::Pin(pin) = terminal.port else {
            return None;
        };
        harness.pin(terminal.part, pin)?.role
    });
    role.is_some_and(|role| {
        role.how == Provenance::Measured
            && matches!(role.value, PinRole::CoilSwitch | PinRole::DriveOut)
    })
}

/// Where the lead of the ohmmeter goes that stays on the coils' feed: a supply pin in the unit's own plug where the
/// map joins it to that feed, else the feed terminal of the coil that is reached soonest.
pub(super) fn feed_point(harness: &Harness, trace: &Trace) -> Option<Terminal> {
    let coils = trace.coils.iter().copied();
    let coil = coils.min_by(|a, b| {
        let last = |coil| terminal_1(harness, coil) == Terminal1::Inside;
        last(*a)
            .cmp(&last(*b))
            .then(reach(harness, *a).total_cmp(&reach(harness, *b)))
    });
    let feed = coil.map(|part| Terminal {
        part,
        port: Port::Feed,
    });
    let unit = harness.unit(trace.unit)?;
    let supplies: Vec<Terminal> = unit
        .pins
        .iter()
        .filter(|pin| !trace.pins.contains(&pin.id))
        .filter(|pin| {
            pin.role.is_some_and(|role| {
                role.value == PinRole::Supply && role.how != Provenance::Assumed
            })
        })
        .map(|pin| trace.terminal(pin.id))
        .collect();
    let Some(feed) = feed else {
        return supplies.first().copied();
    };
    let conductor = conductor(harness, feed);
    let joined = supplies.into_iter().find(|pin| conductor.contains(pin));
    Some(joined.unwrap_or(feed))
}

/// All terminals that wires, splices and cavities join to one.
fn conductor(harness: &Harness, from: Terminal) -> BTreeSet<Terminal> {
    let mut found = BTreeSet::from([from]);
    let mut ahead = VecDeque::from([from]);
    while let Some(terminal) = ahead.pop_front() {
        let far = ends_at(harness, terminal)
            .into_iter()
            .filter_map(|(wire, end)| harness.wires.get(&wire)?.end(other(end)))
            .map(|fact| fact.value);
        for next in far.chain(across(terminal)) {
            let passes = harness
                .parts
                .get(&next.part)
                .is_some_and(|part| matches!(part.kind, PartKind::Splice | PartKind::Connector(_)));
            if found.insert(next) && passes {
                ahead.push_back(next);
            }
        }
    }
    found
}
