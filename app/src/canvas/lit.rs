//! What the map shows about its things beside their shape: light on a trail, cold cylinders, heat, cleared.

use sparktrail_core::gather::Gather;
use std::collections::{BTreeMap, BTreeSet};

pub use sparktrail_core::drawing::Cold;
use sparktrail_core::drawing::Pick;
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::{Element, Harness, PartKind, Port, Side, Terminal, WireEnd};
use sparktrail_core::topology::{Lit as Way, Trail};

/// Things on a trail; everything else dims.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lit {
    /// What belongs to the trail alone: brightest.
    pub own: BTreeSet<Pick>,
    /// What the trail shares with others: neither bright nor dim.
    pub shared: BTreeSet<Pick>,
}

impl Lit {
    /// The light of a trail.
    #[must_use]
    pub fn of(trail: &Trail, harness: &Harness) -> Self {
        let mut own = picks(&trail.own, harness);
        own.extend(trail.through.iter().map(|c| Pick::Cylinder(*c)));
        own.extend(trail.depend.iter().map(|c| Pick::Cylinder(*c)));
        own.extend(trail.drivers.iter().map(|d| Pick::Driver(*d)));
        Self {
            own,
            shared: picks(&trail.shared, harness),
        }
    }

    /// Lights just these things.
    #[must_use]
    pub fn only(picks: impl IntoIterator<Item = Pick>) -> Self {
        Self {
            own: picks.into_iter().gather(),
            shared: BTreeSet::new(),
        }
    }

    /// How `pick` is lit. A terminal is lit with its part, except on boxes with many ways through them.
    #[must_use]
    pub fn of_pick(&self, pick: Pick, harness: &Harness) -> Light {
        let light = |pick: Pick| {
            if self.own.contains(&pick) {
                Light::Own
            } else if self.shared.contains(&pick) {
                Light::Shared
            } else {
                Light::Dim
            }
        };
        match (light(pick), pick) {
            (Light::Dim, Pick::Terminal(terminal)) => {
                let many = harness.parts.get(&terminal.part).is_none_or(|part| {
                    matches!(
                        part.kind,
                        PartKind::ControlUnit(_)
                            | PartKind::Connector(_)
                            | PartKind::Distributor(_)
                    )
                });
                if many {
                    Light::Dim
                } else {
                    light(Pick::Part(terminal.part))
                }
            }
            (found, _) => found,
        }
    }
}

fn picks(way: &Way, harness: &Harness) -> BTreeSet<Pick> {
    let mut found: BTreeSet<Pick> = way.parts.iter().map(|p| Pick::Part(*p)).gather();
    for element in &way.elements {
        found.insert(Pick::Element(*element));
        found.extend(terminals_of(*element).into_iter().map(Pick::Terminal));
    }
    for wire in &way.wires {
        found.insert(Pick::Wire(*wire));
        for end in WireEnd::BOTH {
            let terminal = harness.wires.get(wire).and_then(|w| w.end(end));
            found.extend(terminal.map(|f| Pick::Terminal(f.value)));
        }
    }
    found
}

fn terminals_of(element: Element) -> Vec<Terminal> {
    let at = |part, port| Terminal { part, port };
    if let Element::Mated(terminal) = element {
        vec![terminal]
    } else if let Element::Trace(part, pin) = element {
        vec![at(part, Port::Pin(pin))]
    } else if let Element::Cavity(part, cavity) = element {
        vec![
            at(part, Port::Cavity(cavity, Side::A)),
            at(part, Port::Cavity(cavity, Side::B)),
        ]
    } else {
        Vec::new()
    }
}

/// How brightly something is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Light {
    /// On the trail alone.
    Own,
    /// On the trail, shared with others.
    Shared,
    /// Off the trail.
    Dim,
}

impl Light {
    /// The word for it in attributes.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Own => "own",
            Self::Shared => "shared",
            Self::Dim => "dim",
        }
    }
}

/// The cylinders that do not do their share.
pub type ColdMap = BTreeMap<CylinderId, Cold>;

/// The probability, 0 to 1, that each element is the fault. Elements left out have none.
pub type HeatMap = BTreeMap<Element, f64>;
