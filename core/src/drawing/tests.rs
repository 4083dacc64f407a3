//! Every part and wire has a shape, nothing overlaps, nothing is not a number.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use super::shape::text_width;
use super::*;
use crate::edit::layouts::{
    Arrangement, DriversIn, Housing, Injectors, Inline, Plan, PlugsEach, SupplyBy, build,
    propose_engine,
};
use crate::engine::{Layout, Strokes};
use crate::model::{
    Coil, ControlUnit, DrawnAt, GroundSite, Harness, PartId, PartKind, Pin, Secondary, Terminal,
    UnitRole, Wire, WireId,
};
use crate::provenance::Fact;
use crate::units::Degrees;

mod again;
mod any;
mod kept;
mod legible;
mod moved;

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
