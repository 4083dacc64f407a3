//! Columns from left to right: units, connectors, modules, connectors and splices, coils.

use std::collections::BTreeMap;

use super::signals::{Depth, depths, is_on_rail};
use crate::drawing::geometry::snap_up;
use crate::drawing::plan::{Bar, Class, Plan};
use crate::gather::Arrange;
use crate::model::PartId;

/// A column of connectors and splices that do not overlap in height.
struct Slot {
    depth: Depth,
    class: Class,
    spans: Vec<(f64, f64)>,
    parts: Vec<PartId>,
}

/// Moves every box placed so far to its column, and gives column splices an upright bar (its ends still rough).
pub(super) fn place(plan: &mut Plan<'_>) {
    let slots = slots(plan);
    let mut x = 0.0;
    let units = plan.parts(Class::Unit);
    let modules = plan.parts(Class::Module);
    let widest = |plan: &Plan<'_>, ids: &[PartId]| {
        ids.iter()
            .filter_map(|id| plan.boxes.get(id))
            .map(|b| b.w)
            .fold(0.0, f64::max)
    };
    let width = widest(plan, &units);
    for id in &units {
        let own = plan.boxes.get(id).map_or(0.0, |b| b.w);
        plan.shift(*id, width - own, 0.0);
    }
    x += width + plan.m.pad;
    x = fill(plan, &slots, true, x);
    if !modules.is_empty() {
        let width = widest(plan, &modules);
        for id in &modules {
            plan.shift(*id, snap_up(x), 0.0);
        }
        x = snap_up(x) + width + plan.m.pad;
    }
    // Splices hang on the rail: they stand to the right of its end.
    if slots.iter().any(|s| !s.depth.behind_module) {
        x = x.max(super::rail::reach(plan));
    }
    x = fill(plan, &slots, false, x);
    let x = snap_up(x + 12.0);
    for class in [Class::Coil, Class::Injector, Class::Pack] {
        for id in plan.parts(class) {
            plan.shift(id, x, 0.0);
        }
    }
}

fn fill(plan: &mut Plan<'_>, slots: &[Slot], behind_module: bool, start: f64) -> f64 {
    let mut x = start;
    for slot in slots
        .iter()
        .filter(|s| s.depth.behind_module == behind_module)
    {
        let width = if slot.class == Class::Connector {
            plan.m.connector_slot
        } else {
            plan.m.bar_slot
        };
        let middle = snap_up(x + width / 2.0 - 6.0);
        for part in &slot.parts {
            if let Some(bar) = plan.bars.get_mut(part) {
                if let Bar::Upright { x, .. } = bar {
                    *x = middle;
                }
            } else {
                plan.shift(*part, middle - 12.0, 0.0);
            }
        }
        x += width;
    }
    x
}

/// Farthest from the coils first.
fn slots(plan: &mut Plan<'_>) -> Vec<Slot> {
    let depths: BTreeMap<PartId, Depth> = depths(plan);
    let mut items: Vec<(Depth, PartId)> = depths.into_iter().map(|(id, d)| (d, id)).collect();
    items.arrange_by(Ord::cmp);
    let mut slots: Vec<Slot> = Vec::new();
    for (depth, id) in items {
        let class = plan.class(id);
        let span = if let Some(b) = plan.boxes.get(&id) {
            (b.y - 36.0, b.bottom() + 12.0)
        } else {
            rough_bar(plan, id)
        };
        let free = slots.iter_mut().find(|slot| {
            slot.depth == depth
                && slot.class == class
                && slot
                    .spans
                    .iter()
                    .all(|(top, bottom)| span.1 < *top || *bottom < span.0)
        });
        if let Some(slot) = free {
            slot.spans.push(span);
            slot.parts.push(id);
        } else {
            slots.push(Slot {
                depth,
                class,
                spans: vec![span],
                parts: vec![id],
            });
        }
    }
    slots.reverse();
    slots
}

fn rough_bar(plan: &mut Plan<'_>, id: PartId) -> (f64, f64) {
    let ys: Vec<f64> = plan
        .neighbour_ports(id)
        .into_iter()
        .filter_map(|t| plan.ports.get(&t))
        .map(|spot| spot.at.y)
        .collect();
    let mut top = ys.iter().copied().fold(f64::INFINITY, f64::min);
    let mut bottom = ys.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if ys.is_empty() {
        (top, bottom) = (0.0, 24.0);
    }
    plan.bars.insert(
        id,
        Bar::Upright {
            x: 0.0,
            top,
            bottom,
        },
    );
    let neighbours = plan.neighbours(id);
    if neighbours
        .iter()
        .any(|p| plan.class(*p) == Class::Rail || is_on_rail(plan, *p))
    {
        top = f64::NEG_INFINITY;
    }
    if neighbours.iter().any(|p| plan.class(*p) == Class::Ground) {
        bottom = f64::INFINITY;
    }
    (top - 24.0, bottom + 24.0)
}
