//! A part that its owner moved stays where it was put, on either drawing.

use super::*;

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
