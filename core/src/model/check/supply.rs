//! Findings about the battery, grounds, supplies and dead ends.

use super::MapFinding;
use super::joined::Joined;
use crate::model::{GroundSite, Harness, PartId, PartKind, PinRole, Port, Side, Terminal};

pub(super) fn check(harness: &Harness, joined: &Joined, found: &mut Vec<MapFinding>) {
    let batteries = batteries(harness);
    match batteries.as_slice() {
        [] => found.push(MapFinding::NoBattery),
        [_] => {}
        [_, _, ..] => found.push(MapFinding::SeveralBatteries {
            batteries: batteries.clone(),
        }),
    }
    if !batteries.is_empty() && !engine_is_grounded(harness, joined) {
        found.push(MapFinding::NoGroundPath {
            grounds: engine_grounds(harness),
        });
    }
    for battery in &batteries {
        let wires = joined.wires_between(at(*battery, Port::Plus), at(*battery, Port::Minus));
        if let Some(wires) = wires {
            found.push(MapFinding::ShortCircuit { wires });
        }
    }
    for (&id, part) in &harness.parts {
        match &part.kind {
            PartKind::ControlUnit(unit) => {
                let has = |role: PinRole, reached: fn(&Harness, &Joined, Terminal) -> bool| {
                    unit.pins.iter().any(|pin| {
                        pin.role.is_some_and(|known| known.value == role)
                            && reached(harness, joined, at(id, Port::Pin(pin.id)))
                    })
                };
                if !has(PinRole::Supply, is_fed) {
                    found.push(MapFinding::UnitWithoutSupply { unit: id });
                }
                if !has(PinRole::Ground, is_grounded) {
                    found.push(MapFinding::UnitWithoutGround { unit: id });
                }
            }
            PartKind::Relay(_) => {
                for port in [Port::WindingStart, Port::WindingEnd] {
                    if !joined.is_wired(at(id, port)) {
                        found.push(MapFinding::RelayWithoutWinding {
                            terminal: at(id, port),
                        });
                    }
                }
                dead_end(id, (Port::ContactIn, Port::ContactOut), joined, found);
            }
            PartKind::Fuse(_) | PartKind::KeySwitch => {
                dead_end(id, (Port::In, Port::Out), joined, found);
            }
            PartKind::Connector(connector) => {
                for cavity in &connector.cavities {
                    let side = |side| Port::Cavity(cavity.id, side);
                    dead_end(id, (side(Side::A), side(Side::B)), joined, found);
                }
            }
            PartKind::Battery(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Coil(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_) => {}
        }
    }
}

fn dead_end(part: PartId, sides: (Port, Port), joined: &Joined, found: &mut Vec<MapFinding>) {
    let (a, b) = (at(part, sides.0), at(part, sides.1));
    match (joined.is_wired(a), joined.is_wired(b)) {
        (true, false) => found.push(MapFinding::DeadEnd { terminal: b }),
        (false, true) => found.push(MapFinding::DeadEnd { terminal: a }),
        (true, true) | (false, false) => {}
    }
}

const fn at(part: PartId, port: Port) -> Terminal {
    Terminal { part, port }
}

fn batteries(harness: &Harness) -> Vec<PartId> {
    harness
        .parts
        .iter()
        .filter(|(_, part)| matches!(part.kind, PartKind::Battery(_)))
        .map(|(id, _)| *id)
        .collect()
}

fn engine_grounds(harness: &Harness) -> Vec<PartId> {
    harness
        .parts
        .iter()
        .filter(|(_, part)| part.kind == PartKind::Ground(GroundSite::Engine))
        .map(|(id, _)| *id)
        .collect()
}

fn engine_is_grounded(harness: &Harness, joined: &Joined) -> bool {
    engine_grounds(harness)
        .into_iter()
        .any(|id| is_grounded(harness, joined, at(id, Port::Joint)))
}

/// Whether a battery's positive post is joined to this terminal when every contact is closed.
/// Without a battery on the map, whether a wire ends here.
pub(super) fn is_fed(harness: &Harness, joined: &Joined, terminal: Terminal) -> bool {
    reaches(harness, joined, terminal, Port::Plus)
}

/// Whether a battery's negative post is joined to this terminal when every contact is closed.
/// Without a battery on the map, whether a wire ends here.
pub(super) fn is_grounded(harness: &Harness, joined: &Joined, terminal: Terminal) -> bool {
    reaches(harness, joined, terminal, Port::Minus)
}

fn reaches(harness: &Harness, joined: &Joined, terminal: Terminal, post: Port) -> bool {
    let batteries = batteries(harness);
    if batteries.is_empty() {
        joined.is_wired(terminal)
    } else {
        batteries
            .into_iter()
            .any(|battery| joined.are(terminal, at(battery, post)))
    }
}
