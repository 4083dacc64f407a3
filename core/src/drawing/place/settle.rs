//! Honours the places that the owner gave to parts, and moves others aside so that no two boxes overlap.

use std::collections::BTreeMap;

use super::{bars, untouched};
use crate::drawing::geometry::{GRID, Point, Rect, snap};
use crate::drawing::plan::{Bar, Class, Measure, Plan, Shape};
use crate::gather::Gather;
use crate::model::PartId;

/// How far the owner's places are from those on the sheet.
///
/// The owner's places are said as they are on the wide sheet. On the tall one everything stands nearer together, so
/// that a part stands there as far from where the map itself would have put it, narrowed by as much as the sheet is.
struct Turned {
    /// Where the map itself puts each part, on the wide sheet and on this one; nothing where this one is wide.
    own: BTreeMap<PartId, (Point, Point)>,
}

/// How much narrower the tall sheet is.
fn narrowed() -> f64 {
    let across = |shape| {
        let m = Measure::of(shape);
        m.unit_w + m.coil_w + m.lead_gap + 2.0 * m.bank_w
    };
    across(Shape::Tall) / across(Shape::Wide)
}

impl Turned {
    fn of(plan: &Plan<'_>) -> Self {
        if plan.m.shape == Shape::Wide {
            let own = BTreeMap::new();
            return Self { own };
        }
        let wide = untouched(plan.harness, Shape::Wide);
        let parts = plan.harness.parts.keys();
        let own = parts.filter_map(|&id| Some((id, (stand(&wide, id)?, stand(plan, id)?))));
        Self { own: own.gather() }
    }

    /// A place of the owner's, on this sheet.
    fn on_sheet(&self, id: PartId, at: Point) -> Point {
        self.own.get(&id).map_or(at, |(wide, tall)| {
            Point::new(
                tall.x + (at.x - wide.x) * narrowed(),
                tall.y + at.y - wide.y,
            )
        })
    }

    /// A place on this sheet, as the owner's.
    fn said(&self, id: PartId, at: Point) -> Point {
        self.own.get(&id).map_or(at, |(wide, tall)| {
            Point::new(
                wide.x + (at.x - tall.x) / narrowed(),
                wide.y + at.y - tall.y,
            )
        })
    }
}

/// Where a part stands: the middle of its box, the middle of an upright bar.
fn stand(plan: &Plan<'_>, id: PartId) -> Option<Point> {
    match plan.bars.get(&id) {
        Some(&Bar::Upright { x, top, bottom }) => Some(Point::new(x, f64::midpoint(top, bottom))),
        Some(Bar::Level { .. }) | None => utmost(plan, id).map(Rect::centre),
    }
}

/// How far what the owner says moves for one step across the sheet of this shape.
pub(in crate::drawing) fn step_across(shape: Shape) -> f64 {
    match shape {
        Shape::Wide => 1.0,
        Shape::Tall => 1.0 / narrowed(),
    }
}

/// Height of the symbol that hangs below a ground point.
const EARTH: f64 = 36.0;

/// Room kept free about a box: for its name above and for wires beside it.
fn room(b: Rect) -> Rect {
    Rect::new(b.x - 18.0, b.y - 24.0, b.w + 36.0, b.h + 36.0)
}

/// The box of a part, or of a splice or ground point as it stands.
fn body(plan: &Plan<'_>, id: PartId) -> Option<Rect> {
    if let Some(b) = plan.boxes.get(&id) {
        return Some(*b);
    }
    let b = plan.bars.get(&id)?.bounds();
    let below = if plan.class(id) == Class::Ground {
        EARTH
    } else {
        0.0
    };
    Some(Rect::new(b.x, b.y, b.w, b.h + below))
}

/// The box of a part; of a splice or ground point all the room that [`bars::tap`] may ever stretch it to,
/// wherever its wires come from.
fn utmost(plan: &Plan<'_>, id: PartId) -> Option<Rect> {
    let b = body(plan, id)?;
    let Some(bar) = plan.bars.get(&id) else {
        return Some(b);
    };
    let steps = (plan.links.of_part(id).count() as f64 - 1.0).max(0.0);
    Some(match bar {
        Bar::Level { .. } if plan.class(id) == Class::Ground => {
            let more = (steps * 2.0 * GRID + 8.0 - b.w).max(0.0) + GRID;
            Rect::new(b.x - more / 2.0, b.y, b.w + more, b.h)
        }
        Bar::Level { .. } => Rect::new(b.x, b.y, b.w.max(steps * 2.0 * GRID + 8.0), b.h),
        Bar::Upright { .. } => Rect::new(b.x, b.y - steps * GRID, b.w, b.h + 2.0 * steps * GRID),
    })
}

/// Moves the parts that the owner placed, lets every wire tap its splice or ground point, and moves aside
/// whatever is in the way of something placed earlier.
///
/// No two parts overlap afterwards: should the bars stretch anew once things were moved, all is parted again
/// with the utmost room of every bar.
pub(super) fn settle(plan: &mut Plan<'_>) {
    let turned = Turned::of(plan);
    let placed = honour_owner(plan, &turned);
    let rough = plan.bars.clone();
    note_stands(plan, &turned);
    bars::tap(plan);
    if is_apart(plan) {
        return;
    }
    let taken = rooms(plan, body);
    plan.bars = rough;
    part(plan, &placed, &taken);
    let rough = plan.bars.clone();
    note_stands(plan, &turned);
    bars::tap(plan);
    if is_apart(plan) {
        return;
    }
    plan.bars = rough;
    let taken = rooms(plan, utmost);
    part(plan, &placed, &taken);
    note_stands(plan, &turned);
    bars::tap(plan);
}

/// Notes where each part stands, as the owner would say it: from there it is put where it is now.
fn note_stands(plan: &mut Plan<'_>, turned: &Turned) {
    let parts = plan.harness.parts.keys();
    let stands = parts.filter_map(|&id| Some((id, turned.said(id, stand(plan, id)?))));
    plan.stands = stands.gather();
}

type Rooms = BTreeMap<PartId, Rect>;

fn rooms(plan: &Plan<'_>, of: fn(&Plan<'_>, PartId) -> Option<Rect>) -> Rooms {
    let ids = plan.harness.parts.keys();
    ids.filter_map(|id| Some((*id, of(plan, *id)?))).gather()
}

fn is_apart(plan: &Plan<'_>) -> bool {
    let mut all: Vec<Rect> = rooms(plan, body).into_values().collect();
    all.push(plan.block.grown(GRID));
    all.iter()
        .enumerate()
        .all(|(i, a)| all.iter().skip(i + 1).all(|b| !a.overlaps(*b)))
}

/// Moves what the owner placed to its place; gives what was moved.
fn honour_owner(plan: &mut Plan<'_>, turned: &Turned) -> Vec<PartId> {
    let mut moved = Vec::new();
    for (&id, part) in &plan.harness.parts {
        let (Some(at), Some(b)) = (part.drawn_at, utmost(plan, id)) else {
            continue;
        };
        if !(at.x.is_finite() && at.y.is_finite()) {
            continue;
        }
        let at = turned.on_sheet(id, Point::new(at.x, at.y));
        let (x, y) = (at.x.clamp(-4e3, 4e3), at.y.clamp(-4e3, 4e3));
        if plan.class(id) == Class::Splice
            && let Some(Bar::Upright {
                x: bar_x,
                top,
                bottom,
            }) = plan.bars.get_mut(&id)
        {
            *bar_x = snap(x);
            let half = snap((*bottom - *top).min(48.0) / 2.0);
            (*top, *bottom) = (snap(y) - half, snap(y) + half);
        } else {
            plan.shift(id, snap(x - b.centre().x), snap(y - b.centre().y));
        }
        moved.push(id);
    }
    moved
}

/// Moves aside what is in the way of something earlier: the engine, what was placed by hand, boxes, then bars,
/// which are the easiest to move.
fn part(plan: &mut Plan<'_>, placed: &[PartId], rooms: &Rooms) {
    let mut settled: Vec<Rect> = vec![plan.block.grown(GRID)];
    let (boxes, bars): (Vec<PartId>, Vec<PartId>) = rooms
        .keys()
        .copied()
        .filter(|id| !placed.contains(id))
        .partition(|id| plan.boxes.contains_key(id));
    for id in placed.iter().copied().chain(boxes).chain(bars) {
        let Some(b) = rooms.get(&id) else {
            continue;
        };
        let (dx, dy) = free_shift(*b, &settled);
        if dx != 0.0 || dy != 0.0 {
            plan.shift(id, dx, dy);
        }
        settled.push(b.moved(dx, dy));
    }
}

/// The smallest shift on the grid that frees `b` of all `settled` boxes.
fn free_shift(b: Rect, settled: &[Rect]) -> (f64, f64) {
    let is_free = |dx: f64, dy: f64| {
        let own = b.moved(dx, dy);
        settled.iter().all(|s| !s.overlaps(own))
    };
    if is_free(0.0, 0.0) {
        return (0.0, 0.0);
    }
    for ring in 1..400_i32 {
        let reach = f64::from(ring) * 2.0 * GRID;
        for (dx, dy) in [
            (0.0, reach),
            (0.0, -reach),
            (reach, 0.0),
            (-reach, 0.0),
            (reach, reach),
            (-reach, reach),
            (reach, -reach),
            (-reach, -reach),
        ] {
            let roomy = room(b.moved(dx, dy));
            if settled.iter().all(|s| !s.overlaps(roomy)) {
                return (dx, dy);
            }
        }
    }
    let floor = settled
        .iter()
        .map(|s| s.bottom())
        .fold(b.bottom(), f64::max);
    (0.0, snap(floor - b.y) + 36.0)
}
