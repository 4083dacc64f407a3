//! The supply rail across the top: battery, fuses, key, relay, splices, by how far they are from the battery.

use std::collections::BTreeMap;

use super::signals::is_on_rail;
use crate::drawing::geometry::{Point, Rect, snap};
use crate::drawing::plan::{Bar, Class, Face, Plan, Shape};
use crate::model::{PartId, PartKind, Port, Terminal};

/// Height of one row of the rail.
const ROW: f64 = 96.0;

fn size(kind: &PartKind, shape: Shape) -> (f64, f64) {
    let slim = |wide: f64, slim: f64| match shape {
        Shape::Wide => wide,
        Shape::Tall => slim,
    };
    if matches!(kind, PartKind::Relay(_)) {
        (slim(84.0, 60.0), 48.0)
    } else if matches!(kind, PartKind::KeySwitch) {
        (slim(72.0, 48.0), 48.0)
    } else if matches!(kind, PartKind::Fuse(_)) {
        (slim(60.0, 36.0), 24.0)
    } else {
        (slim(48.0, 36.0), 48.0)
    }
}

/// What stands on the rail: its own parts first, then its splices.
fn members(plan: &Plan<'_>) -> Vec<PartId> {
    let mut on_rail = plan.parts(Class::Rail);
    on_rail.extend(
        plan.parts(Class::Splice)
            .into_iter()
            .filter(|id| is_on_rail(plan, *id)),
    );
    on_rail
}

/// How far to the right the rail reaches.
pub(super) fn reach(plan: &Plan<'_>) -> f64 {
    let on_rail = members(plan);
    let depth = depths(plan, &on_rail);
    on_rail
        .iter()
        .map(|id| {
            let column = depth.get(id).copied().unwrap_or(0) as f64;
            24.0 + column * plan.m.rail_step + splice_length(plan, *id) + 36.0
        })
        .fold(0.0, f64::max)
}

/// How long a splice on the rail becomes: one wire from the left, one on to the right, the rest downward.
pub(super) fn splice_length(plan: &Plan<'_>, id: PartId) -> f64 {
    if plan.class(id) == Class::Splice {
        (plan.links.of_part(id).count() as f64 - 3.0).max(0.0) * 24.0
    } else {
        0.0
    }
}

/// Places the rail above everything placed so far.
pub(super) fn place(plan: &mut Plan<'_>) {
    let on_rail = members(plan);
    if on_rail.is_empty() {
        return;
    }
    let depth = depths(plan, &on_rail);
    let longest = depth.values().copied().max().unwrap_or(0);
    let main = main_line(plan, &on_rail, &depth);
    let mut rows: BTreeMap<usize, Vec<PartId>> = BTreeMap::new();
    for id in &on_rail {
        rows.entry(depth.get(id).copied().unwrap_or(longest))
            .or_default()
            .push(*id);
    }
    let mut row_of: BTreeMap<PartId, usize> = BTreeMap::new();
    let mut most = 0;
    for parts in rows.values_mut() {
        parts.sort_by_key(|id| (!main.contains(id), *id));
        let main_here = parts.first().is_some_and(|id| main.contains(id));
        for (i, id) in parts.iter().enumerate() {
            let row = if main_here { i } else { i + 1 };
            row_of.insert(*id, row);
            most = most.max(row);
        }
    }
    let top_of_rest = plan.bounds().y;
    let base = snap(top_of_rest - 84.0 - ROW * most as f64);
    let step = plan.m.rail_step;
    for id in on_rail {
        let column = depth.get(&id).copied().unwrap_or(longest) as f64;
        let row = row_of.get(&id).copied().unwrap_or(0) as f64;
        let centre = Point::new(24.0 + column * step, base + row * ROW);
        put(plan, id, centre);
    }
}

fn put(plan: &mut Plan<'_>, id: PartId, centre: Point) {
    let Some(kind) = plan.kind(id) else { return };
    if matches!(kind, PartKind::Splice) {
        plan.bars.insert(
            id,
            Bar::Level {
                y: centre.y,
                left: snap(centre.x),
                right: snap(centre.x),
            },
        );
        return;
    }
    let (w, h) = size(kind, plan.m.shape);
    let b = Rect::new(snap(centre.x - w / 2.0), centre.y - h / 2.0, w, h);
    plan.put(id, b);
    let port = |port| Terminal { part: id, port };
    let (left, right, mid) = (b.x, b.right(), centre.y);
    if matches!(kind, PartKind::Battery(_)) {
        plan.port(port(Port::Plus), Point::new(right, mid), Face::Right);
        plan.port(port(Port::Minus), Point::new(left, mid), Face::Left);
    } else if matches!(kind, PartKind::Relay(_)) {
        plan.port(port(Port::ContactIn), Point::new(left, mid), Face::Left);
        plan.port(port(Port::ContactOut), Point::new(right, mid), Face::Right);
        let low = b.bottom();
        plan.port(
            port(Port::WindingStart),
            Point::new(snap(left + b.w * 0.28), low),
            Face::Down,
        );
        plan.port(
            port(Port::WindingEnd),
            Point::new(snap(left + b.w * 0.72), low),
            Face::Down,
        );
    } else {
        plan.port(port(Port::In), Point::new(left, mid), Face::Left);
        plan.port(port(Port::Out), Point::new(right, mid), Face::Right);
    }
}

/// Steps from the battery through rail parts, along and against the wires; the longest simple way of supply.
fn depths(plan: &Plan<'_>, on_rail: &[PartId]) -> BTreeMap<PartId, usize> {
    let mut depth: BTreeMap<PartId, usize> = BTreeMap::new();
    for id in on_rail {
        if plan.class(*id) == Class::Rail && matches!(plan.kind(*id), Some(PartKind::Battery(_))) {
            depth.insert(*id, 0);
        }
    }
    if depth.is_empty()
        && let Some(first) = on_rail.first()
    {
        depth.insert(*first, 0);
    }
    // At most as many rounds as there are parts: loops of supply cannot push a part for ever.
    for _ in 0..on_rail.len() {
        let mut changed = false;
        for id in on_rail {
            let Some(here) = depth.get(id).copied() else {
                continue;
            };
            for (own, link) in plan.links.of_part(*id) {
                let Some(other) = link.other else { continue };
                let outward = matches!(
                    own.port,
                    Port::Plus | Port::Out | Port::ContactOut | Port::Joint
                ) && !matches!(other.port, Port::Plus | Port::Out | Port::ContactOut);
                let known = depth.get(&other.part).copied();
                if outward
                    && on_rail.contains(&other.part)
                    && other.part != *id
                    && (known.is_none()
                        || (other.port != Port::Joint || own.port != Port::Joint)
                            && known.is_some_and(|d| d < here + 1 && here + 1 < on_rail.len()))
                {
                    depth.insert(other.part, here + 1);
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
    let mut next = depth.values().copied().max().map_or(0, |d| d + 1);
    for id in on_rail {
        if !depth.contains_key(id) {
            depth.insert(*id, next);
            next += 1;
        }
    }
    depth
}

/// The line that ends farthest from the battery, walked back.
fn main_line(plan: &Plan<'_>, on_rail: &[PartId], depth: &BTreeMap<PartId, usize>) -> Vec<PartId> {
    let feeds = |id: PartId| {
        plan.neighbours(id)
            .into_iter()
            .filter(|p| !on_rail.contains(p) && plan.class(*p) != Class::Ground)
            .count()
    };
    let Some(mut here) = on_rail
        .iter()
        .copied()
        .max_by_key(|id| (feeds(*id), depth.get(id).copied()))
    else {
        return Vec::new();
    };
    let mut line = vec![here];
    while let Some(d) = depth.get(&here).copied().filter(|d| *d > 0) {
        let contact_first = |id: &PartId| {
            plan.links.of_part(*id).any(|(own, link)| {
                link.other
                    .is_some_and(|t| t.part == here && t.port != Port::WindingStart)
                    && matches!(
                        own.port,
                        Port::Plus | Port::Out | Port::ContactOut | Port::Joint
                    )
            })
        };
        let Some(before) = plan
            .neighbours(here)
            .into_iter()
            .filter(|p| depth.get(p) == Some(&(d - 1)))
            .max_by_key(contact_first)
        else {
            break;
        };
        line.push(before);
        here = before;
    }
    line
}
