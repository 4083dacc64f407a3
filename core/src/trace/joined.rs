//! What the map shows as one conductor: wires, splices and the two sides of a connector's cavity.

use std::collections::{BTreeSet, VecDeque};

use crate::model::{Harness, PartKind, PinRole, Port, Terminal, across, ends_at, other};
use crate::provenance::Provenance;

use super::cost::reach;
use super::{Terminal1, Trace, terminal_1};

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
