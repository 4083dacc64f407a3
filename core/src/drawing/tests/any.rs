//! Whatever map there can be is drawn whole.

use proptest::prelude::*;

use super::*;
use crate::engine::CylinderId;
use crate::model::{Cavity, Connector, Driver, Lead, LeadKind, PinRole, Plug};

/// What a random harness is made of; numbers choose, modulo what there is to choose from.
#[derive(Debug, Clone)]
pub(super) struct Recipe {
    pub(super) cylinders: u8,
    pub(super) layout: u8,
    pub(super) parts: Vec<(u8, u8)>,
    pub(super) wires: Vec<(u16, u16)>,
    pub(super) leads: Vec<(u16, u16)>,
    pub(super) placed: Vec<(u16, i16, i16)>,
}

fn recipe() -> impl Strategy<Value = Recipe> {
    (
        1_u8..=16,
        0_u8..4,
        prop::collection::vec((0_u8..14, 0_u8..5), 0..24),
        prop::collection::vec((any::<u16>(), any::<u16>()), 0..40),
        prop::collection::vec((any::<u16>(), any::<u16>()), 0..8),
        prop::collection::vec((any::<u16>(), -900_i16..2000, -900_i16..2000), 0..4),
    )
        .prop_map(|(cylinders, layout, parts, wires, leads, placed)| Recipe {
            cylinders,
            layout,
            parts,
            wires,
            leads,
            placed,
        })
}

fn kind(harness: &mut Harness, which: u8, size: u8) -> PartKind {
    match which {
        0 => PartKind::Battery(crate::model::Battery::default()),
        1 => PartKind::Fuse(crate::model::Fuse::default()),
        2 => PartKind::KeySwitch,
        3 => PartKind::Relay(crate::model::Relay::default()),
        4 => PartKind::Splice,
        5 => PartKind::Ground(GroundSite::Engine),
        6 => PartKind::Connector(Connector {
            cavities: (0..size)
                .map(|_| Cavity {
                    id: harness.fresh(),
                    label: None,
                })
                .collect(),
        }),
        7 | 8 => {
            let pins: Vec<Pin> = (0..size * 2)
                .map(|i| Pin {
                    id: harness.fresh(),
                    label: (i % 3 != 0).then(|| Fact::assumed(format!("{i}"))),
                    role: match i % 5 {
                        0 => None,
                        1 => Some(Fact::assumed(PinRole::CoilSwitch)),
                        2 => Some(Fact::assumed(PinRole::Supply)),
                        3 => Some(Fact::assumed(PinRole::DriveIn)),
                        _more => Some(Fact::assumed(PinRole::Ground)),
                    },
                    note: String::new(),
                })
                .collect();
            let drivers = (0..size)
                .map(|i| Driver {
                    output: pins.get(usize::from(i)).map(|p| Fact::assumed(p.id)),
                    ..Driver::new(harness.fresh(), format!("driver {i}"))
                })
                .collect();
            PartKind::ControlUnit(ControlUnit {
                pins,
                drivers,
                ..ControlUnit::new(if which == 7 {
                    UnitRole::EngineControl
                } else {
                    UnitRole::IgnitionModule
                })
            })
        }
        9 => {
            let secondary = match size % 3 {
                0 => Secondary::TwoEnded,
                1 => Secondary::ReturnsToFeed,
                _more => Secondary::ReturnsToGround,
            };
            let driver = (size > 2).then(|| Driver::new(harness.fresh(), "driver"));
            PartKind::Coil(Coil {
                driver,
                ..Coil::new(secondary)
            })
        }
        10 => PartKind::Pack,
        11 => PartKind::Distributor(crate::model::Distributor {
            towers: (1..=size).map(CylinderId).collect(),
        }),
        12 => PartKind::Plug(Plug {
            cylinder: (size > 0).then(|| Fact::assumed(CylinderId(size))),
            ..Plug::default()
        }),
        _more => PartKind::Injector(crate::model::Injector::default()),
    }
}

pub(super) fn random(recipe: &Recipe) -> Harness {
    let layout = match recipe.layout {
        0 => Layout::Inline,
        1 => VEE,
        2 => Layout::Flat,
        _more => Layout::Custom,
    };
    let engine = propose_engine(recipe.cylinders, layout, Strokes::Four);
    let mut harness = Harness::new("Random", engine);
    for (which, size) in &recipe.parts {
        let kind = kind(&mut harness, *which, *size);
        harness.add_part(format!("Part {which}"), kind);
    }
    let terminals: Vec<Terminal> = harness
        .parts
        .keys()
        .flat_map(|id| harness.terminals_of(*id))
        .collect();
    let end = |n: u16| {
        let n = usize::from(n) % (terminals.len() + 2);
        terminals.get(n).map(|t| Fact::assumed(*t))
    };
    for (from, to) in &recipe.wires {
        harness.add_wire(Wire {
            from: end(*from),
            to: end(*to),
            ..Wire::default()
        });
    }
    for (from, to) in &recipe.leads {
        harness.add_part(
            "Lead",
            PartKind::Lead(Lead {
                kind: LeadKind::Lead,
                from: end(*from),
                to: end(*to),
                resistance: None,
            }),
        );
    }
    let ids: Vec<PartId> = harness.parts.keys().copied().collect();
    for (which, x, y) in &recipe.placed {
        if let Some(id) = ids.get(usize::from(*which) % ids.len().max(1)) {
            harness.parts.get_mut(id).unwrap().drawn_at = Some(DrawnAt {
                x: f64::from(*x),
                y: f64::from(*y),
            });
        }
    }
    harness
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn any_map_is_drawn_whole(recipe in recipe()) {
        let harness = random(&recipe);
        for proportions in BOTH {
            lawful(&harness, &Drawing::proportioned(&harness, proportions));
        }
    }
}
