//! Honours the places that the owner gave to parts, and moves others aside so that no two boxes overlap.

use crate::drawing::geometry::{GRID, Rect, snap};
use crate::drawing::plan::{Bar, Class, Plan};
use crate::model::PartId;

/// Room kept free about a box: for its name above and for wires beside it.
fn room(b: Rect) -> Rect {
    Rect::new(b.x - 18.0, b.y - 24.0, b.w + 36.0, b.h + 36.0)
}

/// The box of a part; of a splice or ground point with the room that its wires may yet stretch it to.
fn bounds_of(plan: &Plan<'_>, id: PartId) -> Option<Rect> {
    if let Some(b) = plan.boxes.get(&id) {
        return Some(*b);
    }
    let bar = *plan.bars.get(&id)?;
    let b = bar.bounds();
    let wires = plan.links.of_part(id).count() as f64;
    Some(match bar {
        Bar::Level { .. } if plan.class(id) == Class::Ground => {
            let more = (wires * 24.0 - b.w).max(0.0);
            Rect::new(b.x - more / 2.0, b.y, b.w + more, b.h + 36.0)
        }
        Bar::Level { .. } => {
            // Once parts are moved by hand, no wire of it may still be level.
            let by_hand = plan.harness.parts.values().any(|p| p.drawn_at.is_some());
            let length = if by_hand {
                (wires - 1.0).max(0.0) * 2.0 * GRID
            } else {
                super::rail::splice_length(plan, id)
            };
            Rect::new(b.x, b.y, b.w + length, b.h)
        }
        Bar::Upright { top, bottom, .. } => {
            let stray = plan.neighbour_ports(id).into_iter().filter(|t| {
                !plan
                    .ports
                    .get(t)
                    .is_some_and(|s| s.at.y >= top - 1.0 && s.at.y <= bottom + 1.0)
            });
            let loose = plan.links.of_part(id).filter(|(_, l)| l.other.is_none());
            let more = ((stray.count() + loose.count()) as f64 - 1.0).max(0.0) * GRID;
            Rect::new(b.x, b.y - more, b.w, b.h + 2.0 * more)
        }
    })
}

/// Moves the parts that the owner placed, then everything that is in the way of something placed earlier.
pub(super) fn honour_owner(plan: &mut Plan<'_>) {
    let mut moved = Vec::new();
    let ids: Vec<PartId> = plan.harness.parts.keys().copied().collect();
    for id in &ids {
        let Some(at) = plan.harness.parts.get(id).and_then(|p| p.drawn_at) else {
            continue;
        };
        let Some(b) = bounds_of(plan, *id) else {
            continue;
        };
        if !(at.x.is_finite() && at.y.is_finite()) {
            continue;
        }
        let (x, y) = (at.x.clamp(-4e3, 4e3), at.y.clamp(-4e3, 4e3));
        if plan.class(*id) == Class::Splice
            && let Some(Bar::Upright {
                x: bar_x,
                top,
                bottom,
            }) = plan.bars.get_mut(id)
        {
            *bar_x = snap(x);
            let half = snap((*bottom - *top).min(48.0) / 2.0);
            (*top, *bottom) = (snap(y) - half, snap(y) + half);
        } else {
            plan.shift(*id, snap(x - b.centre().x), snap(y - b.centre().y));
        }
        moved.push(*id);
    }
    let mut settled: Vec<Rect> = vec![plan.block.grown(12.0)];
    let rest: Vec<PartId> = ids
        .iter()
        .copied()
        .filter(|id| !moved.contains(id))
        .collect();
    // Boxes before bars: a bar is easier to move.
    let (boxes, bars): (Vec<PartId>, Vec<PartId>) =
        rest.into_iter().partition(|id| plan.boxes.contains_key(id));
    for id in moved.into_iter().chain(boxes).chain(bars) {
        let Some(b) = bounds_of(plan, id) else {
            continue;
        };
        let (dx, dy) = free_shift(b, &settled);
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
