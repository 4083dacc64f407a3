//! Every part and wire has a shape, nothing overlaps, nothing is not a number.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;

use super::shape::text_width;
use super::*;
use crate::edit::layouts::{
    Arrangement, DriversIn, Housing, Injectors, Inline, Plan, PlugsEach, SupplyBy, build,
    propose_engine,
};
use crate::engine::{CylinderId, Layout, Strokes};
use crate::model::{
    Cavity, Coil, Connector, ControlUnit, DrawnAt, Driver, GroundSite, Harness, Lead, LeadKind,
    PartId, PartKind, Pin, PinRole, Plug, Secondary, Terminal, UnitRole, Wire, WireId,
};
use crate::provenance::Fact;
use crate::units::Degrees;

mod again;
mod kept;
mod legible;

const BOTH: [Proportions; 2] = [Proportions::Wide, Proportions::Tall];
const VEE: Layout = Layout::Vee {
    bank_angle: Degrees::lit(60.0),
};

fn plan(cylinders: u8, layout: Layout) -> Plan {
    Plan::new("A map", propose_engine(cylinders, layout, Strokes::Four))
}

/// The maps of the engines people have, in all the arrangements that change the picture.
fn layouts() -> Vec<Harness> {
    let mut plans = Vec::new();
    for (cylinders, layout) in [
        (1, Layout::Inline),
        (4, Layout::Inline),
        (6, VEE),
        (8, VEE),
        (12, VEE),
        (4, Layout::Flat),
    ] {
        for (drivers, inline) in [
            (DriversIn::Unit, Inline::PerBank),
            (DriversIn::Module, Inline::None),
            (DriversIn::Coil, Inline::One),
        ] {
            plans.push(Plan {
                drivers,
                inline,
                ..plan(cylinders, layout)
            });
            plans.push(Plan {
                drivers,
                inline,
                arrangement: Arrangement::OneEach,
                injectors: Injectors::Drawn,
                supply: SupplyBy::Key,
                ..plan(cylinders, layout)
            });
        }
        plans.push(Plan {
            arrangement: Arrangement::Distributor,
            ..plan(cylinders, layout)
        });
        plans.push(Plan {
            arrangement: Arrangement::TwoDistributors,
            ..plan(cylinders, layout)
        });
        plans.push(Plan {
            housing: Housing::Packs(3),
            inline: Inline::One,
            plugs: PlugsEach::Two,
            ..plan(cylinders, layout)
        });
    }
    plans.iter().filter_map(|p| build(p).ok()).collect()
}

/// The published samples.
fn samples() -> Vec<Harness> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-harnesses");
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if name.ends_with(".json") && !name.contains("schema") {
            let text = std::fs::read_to_string(&path).unwrap();
            found.push(crate::model::file::read(&text).unwrap());
        }
    }
    assert!(found.len() >= 10, "{} samples", found.len());
    found
}

/// What holds for every harness, finished or not.
fn lawful(harness: &Harness, drawing: &Drawing) {
    for (&id, part) in &harness.parts {
        assert!(
            drawing.place_of(Pick::Part(id)).is_some(),
            "{} is not drawn",
            part.name
        );
    }
    for (_, driver) in harness.drivers() {
        let drawn = drawing.place_of(Pick::Driver(driver.id)).is_some();
        assert!(drawn, "{} is not drawn", driver.name);
    }
    for &id in harness.wires.keys() {
        assert!(
            drawing.place_of(Pick::Wire(id)).is_some(),
            "{}",
            harness.wire_name(id)
        );
    }
    for cylinder in harness.engine.cylinders() {
        assert!(drawing.place_of(Pick::Cylinder(cylinder)).is_some());
    }
    finite(drawing);
    apart(harness, drawing);
}

fn finite(drawing: &Drawing) {
    let paths = drawing
        .shapes
        .iter()
        .chain(&drawing.behind)
        .flat_map(|s| s.marks.iter().map(|m| &m.d))
        .chain(drawing.runs.iter().map(|r| &r.d))
        .chain(drawing.spots.values().map(|s| &s.d))
        .chain(drawing.engine.marks.iter().map(|m| &m.d));
    for d in paths {
        assert!(!d.contains("NaN") && !d.contains("inf"), "{d}");
    }
    let b = drawing.bounds;
    assert!(b.x.is_finite() && b.y.is_finite() && b.w.is_finite() && b.h.is_finite());
    assert!(b.w > 0.0 && b.h > 0.0 && b.w < 3e4 && b.h < 3e4, "{b:?}");
    for run in &drawing.runs {
        assert!(run.points.len() > 1 && run.points.iter().all(|p| p.is_finite()));
    }
    for label in &drawing.labels {
        assert!(label.at.is_finite() && label.size > 0.0);
    }
}

/// The boxes of the parts that take up room of their own.
fn bodies(harness: &Harness, drawing: &Drawing) -> Vec<(PartId, Rect)> {
    harness
        .parts
        .iter()
        .filter(|(_, part)| !matches!(part.kind, PartKind::Lead(_) | PartKind::Plug(_)))
        .filter_map(|(id, part)| {
            let b = drawing.place_of(Pick::Part(*id))?;
            // A pack that holds coils is drawn around them.
            let holds = matches!(part.kind, PartKind::Pack)
                && harness
                    .parts
                    .values()
                    .any(|p| matches!(&p.kind, PartKind::Coil(coil) if coil.pack == Some(*id)));
            (!holds).then_some((*id, b))
        })
        .collect()
}

fn apart(harness: &Harness, drawing: &Drawing) {
    let bodies = bodies(harness, drawing);
    for (i, (a, box_a)) in bodies.iter().enumerate() {
        assert!(
            !box_a.overlaps(drawing.engine.block),
            "{} stands on the engine",
            harness.part_name(*a)
        );
        for (b, box_b) in bodies.iter().skip(i + 1) {
            assert!(
                !box_a.overlaps(*box_b),
                "{} and {} overlap: {box_a:?} {box_b:?}",
                harness.part_name(*a),
                harness.part_name(*b)
            );
        }
    }
}

/// What holds for maps that are laid out without the owner's hand.
fn tidy(harness: &Harness, drawing: &Drawing) {
    for zoom in Zoom::ALL {
        let shown: Vec<&Label> = drawing.labels.iter().filter(|l| l.shows_at(zoom)).collect();
        for (i, a) in shown.iter().enumerate() {
            for b in shown.iter().skip(i + 1) {
                assert!(
                    !a.bounds().overlaps(b.bounds()),
                    "{}: “{}” and “{}” overlap at {zoom:?}",
                    harness.title,
                    a.text,
                    b.text
                );
            }
            for (part, body) in bodies(harness, drawing) {
                let own = a.inside == Some(part) || a.of == Pick::Part(part);
                let connector = matches!(harness.parts[&part].kind, PartKind::Connector(_));
                assert!(
                    own || connector || !a.bounds().overlaps(body),
                    "{}: “{}” lies on {} at {zoom:?}",
                    harness.title,
                    a.text,
                    harness.part_name(part)
                );
            }
        }
    }
    wires_keep_off(harness, drawing);
}

/// No wire runs through a part or through the name of one, and no two wires lie on each other.
fn wires_keep_off(harness: &Harness, drawing: &Drawing) {
    let wires: Vec<&Run> = drawing
        .runs
        .iter()
        .filter(|r| r.kind == RunKind::Wire)
        .collect();
    for run in &wires {
        for w in run.points.windows(2) {
            for (part, body) in bodies(harness, drawing) {
                let crossable = matches!(
                    harness.parts[&part].kind,
                    PartKind::Connector(_)
                        | PartKind::Splice
                        | PartKind::Ground(_)
                        | PartKind::Battery(_)
                );
                assert!(
                    crossable || !body.grown(-1.0).is_crossed_by(w[0], w[1]),
                    "{}: {} runs through {}",
                    harness.title,
                    run.pick.name(harness),
                    harness.part_name(part)
                );
            }
            for label in &drawing.labels {
                let inside = label.inside.is_some() || matches!(label.of, Pick::Terminal(_));
                assert!(
                    inside || !label.bounds().is_crossed_by(w[0], w[1]),
                    "{}: {} runs through “{}”",
                    harness.title,
                    run.pick.name(harness),
                    label.text
                );
            }
        }
    }
    for (i, a) in wires.iter().enumerate() {
        for b in wires.iter().skip(i + 1) {
            let shared = shared_length(a, b);
            assert!(
                shared <= 3.0 * GRID + 0.1,
                "{}: {} and {} lie on each other for {shared}",
                harness.title,
                a.pick.name(harness),
                b.pick.name(harness)
            );
        }
    }
}

/// The length for which two wires run on the same line.
fn shared_length(a: &Run, b: &Run) -> f64 {
    let overlap = |lo: f64, hi: f64, lo2: f64, hi2: f64| (hi.min(hi2) - lo.max(lo2)).max(0.0);
    let mut sum = 0.0;
    for p in a.points.windows(2) {
        for q in b.points.windows(2) {
            let level = |w: &[Point]| (w[0].y - w[1].y).abs() < 0.1;
            let upright = |w: &[Point]| (w[0].x - w[1].x).abs() < 0.1;
            if level(p) && level(q) && (p[0].y - q[0].y).abs() < 0.1 {
                sum += overlap(
                    p[0].x.min(p[1].x),
                    p[0].x.max(p[1].x),
                    q[0].x.min(q[1].x),
                    q[0].x.max(q[1].x),
                );
            } else if upright(p) && upright(q) && (p[0].x - q[0].x).abs() < 0.1 {
                sum += overlap(
                    p[0].y.min(p[1].y),
                    p[0].y.max(p[1].y),
                    q[0].y.min(q[1].y),
                    q[0].y.max(q[1].y),
                );
            }
        }
    }
    sum
}

#[test]
fn samples_are_drawn_whole_and_tidy() {
    for harness in samples() {
        for proportions in BOTH {
            let drawing = Drawing::proportioned(&harness, proportions);
            lawful(&harness, &drawing);
            tidy(&harness, &drawing);
        }
    }
}

#[test]
fn layouts_are_drawn_whole_and_tidy() {
    let harnesses = layouts();
    assert!(harnesses.len() > 40, "{}", harnesses.len());
    for mut harness in harnesses {
        harness.title = format!(
            "{:?} {} with {} parts",
            harness.engine.layout,
            harness.engine.cylinders().len(),
            harness.parts.len()
        );
        for proportions in BOTH {
            let drawing = Drawing::proportioned(&harness, proportions);
            lawful(&harness, &drawing);
            tidy(&harness, &drawing);
        }
    }
}

#[test]
fn an_empty_map_is_drawn() {
    let engine = propose_engine(4, Layout::Inline, Strokes::Four);
    let harness = Harness::new("Nothing yet", engine);
    let drawing = Drawing::of(&harness);
    lawful(&harness, &drawing);
    assert_eq!(drawing.engine.discs.len(), 4);
}

#[test]
fn control_wires_of_a_plain_map_are_straight() {
    let harness = build(&plan(6, Layout::Inline)).unwrap();
    let drawing = Drawing::of(&harness);
    let mut straight = 0;
    for run in &drawing.runs {
        if let Pick::Wire(id) = run.pick {
            let ends = [harness.wires[&id].from, harness.wires[&id].to];
            let switched = ends
                .iter()
                .flatten()
                .any(|f| f.value.port == crate::model::Port::Switched);
            if switched {
                assert_eq!(run.points.len(), 2, "{}", harness.wire_name(id));
                straight += 1;
            }
        }
    }
    assert_eq!(straight, 3);
}

#[test]
fn a_part_stands_where_its_owner_put_it() {
    let mut harness = build(&plan(4, Layout::Inline)).unwrap();
    let coil = *harness
        .parts
        .iter()
        .find(|(_, p)| matches!(p.kind, PartKind::Coil(_)))
        .unwrap()
        .0;
    let before = Drawing::of(&harness).place_of(Pick::Part(coil)).unwrap();
    let mut moved = harness.clone();
    moved.parts.get_mut(&coil).unwrap().drawn_at = Some(DrawnAt { x: 300.0, y: 900.0 });
    let drawing = Drawing::of(&moved);
    lawful(&moved, &drawing);
    let after = drawing.place_of(Pick::Part(coil)).unwrap();
    assert!(after.y > before.y + 200.0, "{before:?} {after:?}");
    // One on top of another: both are seen.
    for part in harness.parts.values_mut() {
        part.drawn_at = Some(DrawnAt { x: 240.0, y: 240.0 });
    }
    lawful(&harness, &Drawing::of(&harness));
}

#[test]
fn a_part_that_is_put_where_it_stands_stays_there() {
    let harness = build(&plan(6, Layout::Inline)).unwrap();
    let before = Drawing::of(&harness);
    let movable = |kind: &PartKind| !matches!(kind, PartKind::Lead(_) | PartKind::Plug(_));
    for (id, part) in &harness.parts {
        let Some(&stands) = before.stands.get(id) else {
            assert!(!movable(&part.kind), "{}", part.name);
            continue;
        };
        let mut put = harness.clone();
        put.parts.get_mut(id).unwrap().drawn_at = Some(DrawnAt {
            x: stands.x,
            y: stands.y,
        });
        let after = Drawing::of(&put);
        let far = after.stands[id].distance(stands);
        assert!(far <= 2.0 * GRID, "{}: {far}", part.name);
        // What is not in the way stays too.
        let battery = harness.parts.iter().find(|(_, p)| p.name == "Battery");
        let battery = *battery.unwrap().0;
        assert_eq!(after.stands[&battery], before.stands[&battery]);
    }
}

#[test]
fn a_part_moved_on_one_sheet_moves_alike_on_the_other_and_widens_neither_much() {
    let harness = build(&plan(8, Layout::Inline)).unwrap();
    let named = |name: &str| {
        *harness
            .parts
            .iter()
            .find(|(_, p)| p.name == name)
            .unwrap()
            .0
    };
    let part = named("Control unit");
    let at = |drawing: &Drawing| drawing.place_of(Pick::Part(part)).unwrap().centre();
    for from in BOTH {
        let before = Drawing::proportioned(&harness, from);
        let by = Point::new(-10.0 * GRID, 6.0 * GRID);
        let place = before.moved(part, by).unwrap();
        let mut put = harness.clone();
        put.parts.get_mut(&part).unwrap().drawn_at = Some(DrawnAt {
            x: place.x,
            y: place.y,
        });
        // It follows the hand on the sheet on which it was moved.
        let after = Drawing::proportioned(&put, from);
        let moved = Point::new(at(&after).x - at(&before).x, at(&after).y - at(&before).y);
        assert!(moved.distance(by) <= 2.0 * GRID, "{from:?} {moved:?}");
        // On the other one it goes the same way, and the map grows by no more than it went.
        let other = BOTH.into_iter().find(|other| *other != from).unwrap();
        let before = Drawing::proportioned(&harness, other);
        let after = Drawing::proportioned(&put, other);
        assert!(at(&after).x < at(&before).x, "{other:?}");
        assert!(at(&after).y > at(&before).y, "{other:?}");
        let most = if other == Proportions::Tall { 1.0 } else { 2.5 };
        let grown = after.bounds.w - before.bounds.w;
        assert!(grown <= most * 10.0 * GRID, "{other:?}: {grown}");
        lawful(&put, &after);
    }
}

#[test]
fn what_is_pointed_at_is_met() {
    for harness in samples() {
        let drawing = Drawing::of(&harness);
        for disc in &drawing.engine.discs {
            assert_eq!(
                drawing.pick_at(disc.at, 8.0, Zoom::Near),
                Some(Pick::Cylinder(disc.cylinder))
            );
        }
        for run in drawing.runs.iter().filter(|r| r.kind == RunKind::Wire) {
            let longest = run
                .points
                .windows(2)
                .max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])))
                .unwrap();
            let at = |t: f64| {
                Point::new(
                    longest[0].x + (longest[1].x - longest[0].x) * t,
                    longest[0].y + (longest[1].y - longest[0].y) * t,
                )
            };
            let met = (1..10).any(|i| {
                drawing.pick_at(at(f64::from(i) / 10.0), 3.0, Zoom::Near) == Some(run.pick)
            });
            assert!(met, "{}: {}", harness.title, run.pick.name(&harness));
        }
        let outside = Point::new(drawing.bounds.x - 500.0, 0.0);
        assert_eq!(drawing.pick_at(outside, 10.0, Zoom::Near), None);
    }
}

#[test]
fn the_walk_names_each_thing_once() {
    for harness in samples() {
        let drawing = Drawing::of(&harness);
        let once: std::collections::BTreeSet<Pick> = drawing.walk.iter().copied().collect();
        assert_eq!(once.len(), drawing.walk.len());
        for &id in harness.parts.keys() {
            assert!(once.contains(&Pick::Part(id)));
        }
        for &id in harness.wires.keys() {
            assert!(once.contains(&Pick::Wire(id)));
        }
        for cylinder in harness.engine.cylinders() {
            assert!(once.contains(&Pick::Cylinder(cylinder)));
        }
    }
}

#[test]
fn every_element_has_a_spot() {
    for harness in samples() {
        let drawing = Drawing::of(&harness);
        for element in harness.elements() {
            assert!(
                drawing.spots.contains_key(&element),
                "{}: {}",
                harness.title,
                harness.element_name(element)
            );
        }
    }
}

#[test]
fn wider_words_are_wider() {
    assert!(text_width("Coil A", 10.0, false) < text_width("Coil A", 10.0, true));
    assert!(text_width("iii", 10.0, false) < text_width("WWW", 10.0, false));
}

/// What a random harness is made of; numbers choose, modulo what there is to choose from.
#[derive(Debug, Clone)]
struct Recipe {
    cylinders: u8,
    layout: u8,
    parts: Vec<(u8, u8)>,
    wires: Vec<(u16, u16)>,
    leads: Vec<(u16, u16)>,
    placed: Vec<(u16, i16, i16)>,
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

fn random(recipe: &Recipe) -> Harness {
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

#[test]
fn a_wire_to_a_part_that_is_gone_is_drawn_as_loose() {
    let mut harness = build(&plan(4, Layout::Inline)).unwrap();
    let gone: Vec<PartId> = harness.parts.keys().copied().step_by(3).collect();
    for id in gone {
        harness.parts.remove(&id);
    }
    let drawing = Drawing::of(&harness);
    lawful(&harness, &drawing);
    let loose: Vec<WireId> = drawing
        .runs
        .iter()
        .filter(|r| !r.loose.is_empty())
        .filter_map(|r| {
            if let Pick::Wire(id) = r.pick {
                Some(id)
            } else {
                None
            }
        })
        .collect();
    assert!(!loose.is_empty());
}
