//! Who is wired to whom, looked up by terminal and by part.

use std::collections::BTreeMap;

use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{Harness, PartId, PartKind, Port, Terminal, WireEnd, WireId};

/// One wire end at a terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Link {
    pub(super) wire: WireId,
    pub(super) end: WireEnd,
    pub(super) other: Option<Terminal>,
}

/// The wires and leads of a harness by the terminals they end at. Ends at terminals that do not exist are left out.
#[derive(Debug, Default)]
pub(super) struct Links {
    at: BTreeMap<Terminal, Vec<Link>>,
    ends: BTreeMap<WireId, [Option<Terminal>; 2]>,
    lead_from: BTreeMap<Terminal, Vec<PartId>>,
    lead_to: BTreeMap<Terminal, Vec<PartId>>,
    plug_cylinder: BTreeMap<PartId, CylinderId>,
}

impl Links {
    pub(super) fn of(harness: &Harness) -> Self {
        let mut links = Self::default();
        let real: std::collections::BTreeSet<Terminal> = harness
            .parts
            .keys()
            .flat_map(|id| harness.terminals_of(*id))
            .gather();
        let known = |t: Option<Terminal>| t.filter(|t| real.contains(t));
        for (&id, wire) in &harness.wires {
            let from = known(wire.from.map(|f| f.value));
            let to = known(wire.to.map(|f| f.value));
            links.ends.insert(id, [from, to]);
            for (own, end, other) in [(from, WireEnd::From, to), (to, WireEnd::To, from)] {
                if let Some(own) = own {
                    let link = Link {
                        wire: id,
                        end,
                        other,
                    };
                    links.at.entry(own).or_default().push(link);
                }
            }
        }
        for (&id, part) in &harness.parts {
            if let PartKind::Lead(lead) = &part.kind {
                if let Some(from) = known(lead.from.map(|f| f.value)) {
                    links.lead_from.entry(from).or_default().push(id);
                }
                if let Some(to) = known(lead.to.map(|f| f.value)) {
                    links.lead_to.entry(to).or_default().push(id);
                }
            } else if let PartKind::Plug(plug) = &part.kind
                && let Some(cylinder) = plug.cylinder
                && harness.engine.place(cylinder.value).is_some()
            {
                links.plug_cylinder.insert(id, cylinder.value);
            }
        }
        links
    }

    /// The ends of a wire that exist: from, to.
    pub(super) fn ends(&self, wire: WireId) -> [Option<Terminal>; 2] {
        self.ends.get(&wire).copied().unwrap_or([None, None])
    }

    pub(super) fn at(&self, terminal: Terminal) -> &[Link] {
        self.at.get(&terminal).map_or(&[], Vec::as_slice)
    }

    /// Every wire end at any terminal of the part.
    pub(super) fn of_part(&self, part: PartId) -> impl Iterator<Item = (Terminal, Link)> + '_ {
        self.at
            .iter()
            .filter(move |(t, _)| t.part == part)
            .flat_map(|(t, links)| links.iter().map(|l| (*t, *l)))
    }

    /// Cylinder that a plug is screwed into, where the engine has it.
    pub(super) fn cylinder_of(&self, plug: PartId) -> Option<CylinderId> {
        self.plug_cylinder.get(&plug).copied()
    }

    /// The cylinders that a tower reaches through its leads, distributors passed through.
    pub(super) fn cylinders_from(&self, harness: &Harness, tower: Terminal) -> Vec<CylinderId> {
        let mut found = Vec::new();
        let mut todo = vec![tower];
        let mut seen = Vec::new();
        while let Some(tower) = todo.pop() {
            if seen.contains(&tower) {
                continue;
            }
            seen.push(tower);
            for lead in self.lead_from.get(&tower).into_iter().flatten() {
                let Some(to) = harness.lead(*lead).and_then(|l| l.to) else {
                    continue;
                };
                if let Some(cylinder) = self.cylinder_of(to.value.part) {
                    found.push(cylinder);
                } else if let Some(d) = harness.distributor(to.value.part) {
                    todo.extend(d.towers.iter().map(|c| Terminal {
                        part: to.value.part,
                        port: Port::Tower(*c),
                    }));
                }
            }
        }
        found
    }

    /// The leads that end at a terminal.
    pub(super) fn leads_to(&self, terminal: Terminal) -> &[PartId] {
        self.lead_to.get(&terminal).map_or(&[], Vec::as_slice)
    }
}
