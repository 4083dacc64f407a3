//! The supply rail across the top: battery, fuses, key, relay, splices, by how far they are from the battery.

use std::collections::BTreeMap;

use super::signals::is_on_rail;
use crate::drawing::geometry::{GRID, Point, Rect, snap, snap_up};
use crate::drawing::plan::{Bar, Class, Face, Plan, Shape};
use crate::gather::Arrange;
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

/// Where on the rail each of its members stands.
struct Seats {
    members: Vec<PartId>,
    depth: BTreeMap<PartId, usize>,
    row: BTreeMap<PartId, usize>,
    /// The middle of each column; a splice begins there and stretches to the right.
    columns: Vec<f64>,
}

impl Seats {
    fn of(plan: &Plan<'_>) -> Self {
        let members = members(plan);
        let depth = depths(plan, &members);
        let row = rows(&main_line(plan, &members, &depth), &depth);
        let mut seats = Self {
            members,
            depth,
            row,
            columns: Vec::new(),
        };
        seats.columns = seats.widths(plan);
        seats
    }

    /// Each column far enough from the one before that no splice of that one reaches into it.
    fn widths(&self, plan: &Plan<'_>) -> Vec<f64> {
        let last = self.depth.values().copied().max().unwrap_or(0);
        let (mut left, mut right) = (vec![0.0_f64; last + 1], vec![0.0_f64; last + 1]);
        for (&id, &column) in &self.depth {
            let half = plan
                .kind(id)
                .filter(|kind| !matches!(kind, PartKind::Splice))
                .map_or(GRID, |kind| size(kind, plan.m.shape).0 / 2.0);
            left[column] = left[column].max(half);
            right[column] = right[column].max(half).max(self.length(plan, id) + GRID);
        }
        let mut x = 24.0;
        let mut columns = vec![x];
        for (before, after) in right.iter().zip(left.iter().skip(1)) {
            x = snap_up((x + before + GRID + after).max(x + plan.m.rail_step));
            columns.push(x);
        }
        columns
    }

    fn at(&self, id: PartId) -> (f64, usize) {
        let column = self.depth.get(&id).copied().unwrap_or(0);
        let x = self.columns.get(column).copied().unwrap_or(24.0);
        (x, self.row.get(&id).copied().unwrap_or(0))
    }

    /// How long a splice becomes: a wire from the part before it and one to the part after it lie level,
    /// the rest leave downward side by side.
    fn length(&self, plan: &Plan<'_>, id: PartId) -> f64 {
        if plan.class(id) != Class::Splice {
            return 0.0;
        }
        let wires = plan.links.of_part(id).count() as f64;
        let level = |test: fn(usize, usize) -> bool| {
            plan.neighbour_ports(id).into_iter().any(|t| {
                !matches!(t.port, Port::WindingStart | Port::WindingEnd)
                    && self.row.contains_key(&t.part)
                    && self.row.get(&t.part) == self.row.get(&id)
                    && matches!((self.depth.get(&t.part), self.depth.get(&id)),
                        (Some(there), Some(here)) if test(*there, *here))
            })
        };
        let before = f64::from(level(|there, here| there < here));
        let after = f64::from(level(|there, here| there > here));
        (wires - before - after - 1.0).max(0.0) * 24.0
    }
}

/// How far to the right the rail reaches.
pub(super) fn reach(plan: &Plan<'_>) -> f64 {
    let seats = Seats::of(plan);
    let ends = seats.members.iter().map(|id| {
        // The last of its wires may go on level into the columns.
        let length = (seats.length(plan, *id) - 24.0).max(0.0);
        seats.at(*id).0 + length + 36.0
    });
    ends.fold(0.0, f64::max)
}

/// Places the rail above everything placed so far.
pub(super) fn place(plan: &mut Plan<'_>) {
    let seats = Seats::of(plan);
    let Some(most) = seats.row.values().copied().max() else {
        return;
    };
    let top_of_rest = plan.bounds().y;
    let base = snap(top_of_rest - 84.0 - ROW * most as f64);
    for &id in &seats.members {
        let (x, row) = seats.at(id);
        put(plan, id, Point::new(x, base + row as f64 * ROW));
    }
}

/// The row of each member: the main line on top, what branches off below it.
fn rows(main: &[PartId], depth: &BTreeMap<PartId, usize>) -> BTreeMap<PartId, usize> {
    let mut columns: BTreeMap<usize, Vec<PartId>> = BTreeMap::new();
    for (id, column) in depth {
        columns.entry(*column).or_default().push(*id);
    }
    let mut rows = BTreeMap::new();
    for parts in columns.values_mut() {
        parts.arrange_by_key(|id| (!main.contains(id), *id));
        let below = usize::from(!parts.first().is_some_and(|id| main.contains(id)));
        for (i, id) in parts.iter().enumerate() {
            rows.insert(*id, i + below);
        }
    }
    rows
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
