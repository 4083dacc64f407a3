//! Findings about what was seen: entries that name something the map does not have.

use std::collections::BTreeSet;

use super::{MapFinding, Missing};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{Finding, Harness, PartId, Seen, SwapPair, Terminal};

pub(super) fn check(harness: &Harness, found: &mut Vec<MapFinding>) {
    if harness.findings.is_empty() {
        return;
    }
    let cylinders = harness.engine.cylinders();
    for finding in &harness.findings {
        let missing: BTreeSet<Missing> = named(finding)
            .into_iter()
            .filter(|name| match name {
                Missing::Part(part) => !harness.parts.contains_key(part),
                Missing::Terminal(terminal) => !harness.has_terminal(*terminal),
                Missing::Element(element) => !harness.has_element(*element),
                Missing::Cylinder(cylinder) => !cylinders.contains(cylinder),
                Missing::Driver(driver) => harness.driver(*driver).is_none(),
            })
            .gather();
        found.extend(missing.into_iter().map(|missing| MapFinding::FindingNames {
            finding: finding.id,
            missing,
        }));
    }
}

/// Everything that a finding names.
fn named(finding: &Finding) -> Vec<Missing> {
    let cylinder = |c: &CylinderId| vec![Missing::Cylinder(*c)];
    let terminals = |a: &Terminal, b: Option<&Terminal>| {
        std::iter::once(a)
            .chain(b)
            .map(|t| Missing::Terminal(*t))
            .collect::<Vec<_>>()
    };
    let part = |p: &PartId| Missing::Part(*p);
    let mut names = match &finding.seen {
        Seen::Contribution { cylinder: c, .. }
        | Seen::Spark { cylinder: c, .. }
        | Seen::Compression { cylinder: c, .. } => cylinder(c),
        Seen::Volts { red, black, .. } => terminals(red, black.as_ref()),
        Seen::Resistance { red, black, .. }
        | Seen::Drop { red, black, .. }
        | Seen::Lamp { red, black, .. } => terminals(red, Some(black)),
        Seen::Look { element, .. }
        | Seen::Stress { element, .. }
        | Seen::Cleaned { element, .. }
        | Seen::Remade { element, .. } => vec![Missing::Element(*element)],
        Seen::Substituted { part: p, .. } => vec![part(p)],
        Seen::Swapped { what, .. } => match what {
            SwapPair::Parts(a, b) => vec![part(a), part(b)],
            SwapPair::Transistors(a, b) => vec![Missing::Driver(*a), Missing::Driver(*b)],
        },
        Seen::Code { .. } => Vec::new(),
    };
    if let Some(setup) = &finding.setup {
        names.extend(setup.unplugged.iter().chain(&setup.pulled_fuses).map(part));
    }
    names
}
