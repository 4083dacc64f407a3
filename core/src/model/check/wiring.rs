//! Findings about the ends of wires and leads, and about the labels of pins and cavities.

use std::collections::BTreeMap;

use super::MapFinding;
use crate::model::{
    Connector, ControlUnit, Harness, Hold, Lead, PartId, PartKind, Port, Terminal, WireEnd, WireId,
};

pub(super) fn check(harness: &Harness, found: &mut Vec<MapFinding>) {
    wires(harness, found);
    leads(harness, found);
    for (&id, part) in &harness.parts {
        match &part.kind {
            PartKind::ControlUnit(unit) => pins(id, unit, found),
            PartKind::Connector(connector) => cavities(id, connector, found),
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
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

fn wires(harness: &Harness, found: &mut Vec<MapFinding>) {
    let mut between: BTreeMap<(Terminal, Terminal), WireId> = BTreeMap::new();
    for (&wire, known) in &harness.wires {
        for end in WireEnd::BOTH {
            let Some(terminal) = known.end(end).map(|fact| fact.value) else {
                found.push(MapFinding::WireLoose { wire, end });
                continue;
            };
            if !harness.has_terminal(terminal) {
                found.push(MapFinding::WireNowhere {
                    wire,
                    end,
                    terminal,
                });
            } else if takes_no_wire(terminal.port) {
                found.push(MapFinding::WireAtHighVoltage {
                    wire,
                    end,
                    terminal,
                });
            }
        }
        if let (Some(from), Some(to)) = (known.from, known.to) {
            let pair = (from.value.min(to.value), from.value.max(to.value));
            if from.value == to.value {
                found.push(MapFinding::WireToItself { wire });
            } else if let Some(first) = between.insert(pair, wire) {
                found.push(MapFinding::WiresParallel {
                    wires: (first, wire),
                });
            }
        }
    }
}

const fn takes_no_wire(port: Port) -> bool {
    match port.hold() {
        Hold::Push | Hold::Thread => true,
        Hold::Joint | Hold::Contact | Hold::Plain => false,
    }
}

fn leads(harness: &Harness, found: &mut Vec<MapFinding>) {
    let mut at: BTreeMap<Terminal, Vec<PartId>> = BTreeMap::new();
    let leads = harness
        .parts
        .keys()
        .filter_map(|id| harness.lead(*id).map(|lead| (*id, lead)));
    for (id, lead) in leads {
        for end in WireEnd::BOTH {
            if let Some(terminal) = lead_end(harness, id, lead, end, found) {
                at.entry(terminal).or_default().push(id);
            }
        }
    }
    found.extend(
        at.into_iter()
            .filter(|(_, leads)| leads.len() > 1)
            .map(|(terminal, leads)| MapFinding::LeadsShare { terminal, leads }),
    );
}

/// The terminal at an end of a lead where it is a possible one; else reports it.
fn lead_end(
    harness: &Harness,
    id: PartId,
    lead: &Lead,
    end: WireEnd,
    found: &mut Vec<MapFinding>,
) -> Option<Terminal> {
    let (fact, fits): (_, fn(Port) -> bool) = match end {
        WireEnd::From => (lead.from, |port| {
            matches!(port, Port::TowerA | Port::TowerB | Port::Tower(_))
        }),
        WireEnd::To => (lead.to, |port| matches!(port, Port::PlugTop | Port::Centre)),
    };
    let Some(terminal) = fact.map(|fact| fact.value) else {
        found.push(MapFinding::LeadLoose { lead: id, end });
        return None;
    };
    if !harness.has_terminal(terminal) {
        found.push(MapFinding::LeadNowhere {
            lead: id,
            end,
            terminal,
        });
        None
    } else if !fits(terminal.port) {
        found.push(MapFinding::LeadMisplaced {
            lead: id,
            end,
            terminal,
        });
        None
    } else {
        Some(terminal)
    }
}

fn pins(unit: PartId, known: &ControlUnit, found: &mut Vec<MapFinding>) {
    let mut labels: BTreeMap<&str, Vec<_>> = BTreeMap::new();
    for pin in &known.pins {
        match &pin.label {
            Some(label) => labels.entry(&label.value).or_default().push(pin.id),
            None => found.push(MapFinding::PinUnlabelled { unit, pin: pin.id }),
        }
        if pin.role.is_none() {
            found.push(MapFinding::PinUnknown { unit, pin: pin.id });
        }
    }
    found.extend(
        labels
            .into_values()
            .filter(|pins| pins.len() > 1)
            .map(|pins| MapFinding::PinLabelRepeated { unit, pins }),
    );
}

fn cavities(connector: PartId, known: &Connector, found: &mut Vec<MapFinding>) {
    let mut labels: BTreeMap<&str, Vec<_>> = BTreeMap::new();
    for cavity in &known.cavities {
        match &cavity.label {
            Some(label) => labels.entry(&label.value).or_default().push(cavity.id),
            None => found.push(MapFinding::CavityUnlabelled {
                connector,
                cavity: cavity.id,
            }),
        }
    }
    found.extend(
        labels
            .into_values()
            .filter(|cavities| cavities.len() > 1)
            .map(|cavities| MapFinding::CavityLabelRepeated {
                connector,
                cavities,
            }),
    );
}
