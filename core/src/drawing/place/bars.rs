//! Ground points below, splices between, and where each wire taps them.

use super::signals::is_on_rail;
use crate::drawing::geometry::{GRID, Point, snap, snap_up, whole};
use crate::drawing::order::mean;
use crate::drawing::plan::{Bar, Class, Face, Plan, Spot};
use crate::gather::Arrange;
use crate::model::{PartId, Terminal, WireEnd, WireId};

/// Ground points in a row below everything, each under what it grounds.
pub(super) fn place_low(plan: &mut Plan<'_>) {
    let bottom = plan
        .boxes
        .values()
        .map(|b| b.bottom())
        .chain(plan.bars.values().map(|b| b.bounds().bottom()))
        .fold(0.0, f64::max);
    let y = snap_up(bottom + 72.0);
    let mut wanted: Vec<(f64, PartId, f64)> = plan
        .parts(Class::Ground)
        .into_iter()
        .map(|id| {
            let taps = plan.links.of_part(id).count() as f64;
            let width = ((taps - 1.0) * 24.0).max(24.0);
            let x = mean(
                plan.neighbour_ports(id)
                    .into_iter()
                    .filter(|t| !matches!(plan.class(t.part), Class::Ground | Class::Rail))
                    .filter_map(|t| place_x(plan, t)),
            );
            (x.unwrap_or(0.0), id, width)
        })
        .collect();
    wanted.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut left = 24.0;
    for (x, id, width) in wanted {
        left = snap(x - width / 2.0).max(left);
        plan.bars.insert(
            id,
            Bar::Level {
                y,
                left,
                right: left + width,
            },
        );
        left = snap_up(left + width + 84.0);
    }
}

fn place_x(plan: &Plan<'_>, at: Terminal) -> Option<f64> {
    let bar = || plan.bars.get(&at.part).map(|b| b.bounds().centre().x);
    plan.ports.get(&at).map(|s| s.at.x).or_else(bar)
}

impl Plan<'_> {
    /// The far ends of the wires of a part.
    pub(super) fn neighbour_ports(&self, part: PartId) -> Vec<Terminal> {
        self.links
            .of_part(part)
            .filter_map(|(_, link)| link.other)
            .filter(|t| t.part != part)
            .collect()
    }
}

/// Stretches every splice of the columns to the heights of what it joins.
pub(super) fn place_upright(plan: &mut Plan<'_>) {
    let splices: Vec<PartId> = plan
        .parts(Class::Splice)
        .into_iter()
        .filter(|id| !is_on_rail(plan, *id))
        .collect();
    let ground = plan
        .parts(Class::Ground)
        .iter()
        .filter_map(|id| plan.bars.get(id))
        .map(|bar| bar.bounds().y)
        .fold(f64::INFINITY, f64::min);
    let mut splices = splices;
    let x_of = |plan: &Plan<'_>, id: PartId| plan.bars.get(&id).map_or(0.0, |b| b.bounds().x);
    splices.arrange_by(|a, b| x_of(plan, *b).total_cmp(&x_of(plan, *a)));
    // The farthest splice is fed level from the rail, the next ones each a step lower.
    let mut on_rail = 0.0;
    for id in splices {
        let x = if let Some(Bar::Upright { x, .. }) = plan.bars.get(&id) {
            *x
        } else {
            0.0
        };
        let mut ys = Vec::new();
        for other in plan.neighbour_ports(id) {
            if let Some(spot) = plan.ports.get(&other) {
                match spot.face {
                    Face::Left | Face::Right => ys.push(spot.at.y),
                    Face::Up | Face::Down => {}
                }
            } else if is_on_rail(plan, other.part)
                && let Some(bar) = plan.bars.get(&other.part)
            {
                ys.push(bar.bounds().centre().y + 24.0 * on_rail);
                on_rail += 1.0;
            }
        }
        if ys.is_empty() && ground.is_finite() {
            ys.push(snap(ground - 120.0));
        }
        let mut top = ys.iter().copied().fold(f64::INFINITY, f64::min);
        let mut bottom = ys.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if ys.is_empty() {
            (top, bottom) = (0.0, 24.0);
        }
        let column = crate::drawing::geometry::Rect::new(x - 18.0, top, 36.0, bottom - top);
        let blocked = plan
            .boxes
            .values()
            .filter(|b| b.overlaps(column))
            .map(|b| b.bottom())
            .fold(f64::NEG_INFINITY, f64::max);
        if blocked.is_finite() {
            top = snap_up(blocked + 24.0).min(bottom);
        }
        plan.bars.insert(
            id,
            Bar::Upright {
                x,
                top: snap(top),
                bottom: snap(bottom).max(snap(top)),
            },
        );
    }
}

/// Gives every wire end at a splice or ground point a place of its own, and stretches the bar where it must.
pub(super) fn tap(plan: &mut Plan<'_>) {
    let bars: Vec<PartId> = plan.bars.keys().copied().collect();
    for id in bars {
        match plan.bars.get(&id).copied() {
            Some(Bar::Upright { x, top, bottom }) => tap_upright(plan, id, x, top, bottom),
            Some(Bar::Level { y, left, .. }) if plan.class(id) == Class::Splice => {
                tap_rail(plan, id, y, left);
            }
            Some(Bar::Level { y, left, right }) => tap_level(plan, id, y, left, right),
            None => {}
        }
    }
}

/// The wire ends at a bar with where their other ends stand.
fn ends(plan: &Plan<'_>, id: PartId) -> Vec<(WireId, WireEnd, Option<Spot>)> {
    plan.links
        .of_part(id)
        .map(|(_, link)| {
            let far = link.other.and_then(|t| {
                plan.ports.get(&t).copied().or_else(|| {
                    let at = plan.bars.get(&t.part)?.bounds().centre();
                    Some(Spot { at, face: Face::Up })
                })
            });
            (link.wire, link.end, far)
        })
        .collect()
}

fn tap_upright(plan: &mut Plan<'_>, id: PartId, x: f64, top: f64, bottom: f64) {
    let mut taken: Vec<(i32, Face)> = Vec::new();
    let key = |y: f64| -> i32 { whole(y / GRID) };
    let (mut low, mut high) = (top, bottom);
    let mut ends = ends(plan, id);
    // Level ones first: they keep their height.
    let is_level = |spot: &Option<Spot>| {
        spot.is_some_and(|s| {
            matches!(s.face, Face::Left | Face::Right)
                && s.at.y >= top - 1.0
                && s.at.y <= bottom + 1.0
        })
    };
    ends.arrange_by_key(|(wire, end, spot)| (!is_level(spot), *wire, *end));
    for (wire, end, far) in ends {
        let side = match far {
            Some(spot) if spot.at.x < x => Face::Left,
            _other => Face::Right,
        };
        let want = far.map_or(bottom, |spot| {
            if spot.at.y < top {
                top
            } else if spot.at.y > bottom {
                bottom
            } else {
                snap(spot.at.y)
            }
        });
        let leaves_end = !is_level(&far) && far.is_some();
        let upward = leaves_end && far.is_some_and(|s| s.at.y < top);
        let downward = leaves_end && far.is_some_and(|s| s.at.y > bottom);
        let beside = far.is_some_and(|s| s.at.x < x - 30.0);
        let (at, face) = if upward && !beside && !taken.contains(&(key(top), Face::Up)) {
            (top, Face::Up)
        } else if downward && !taken.contains(&(key(bottom), Face::Down)) {
            (bottom, Face::Down)
        } else {
            let mut y = want;
            let step = if downward {
                GRID
            } else {
                GRID * if upward { -1.0 } else { 1.0 }
            };
            let mut tries = 0.0;
            while taken.contains(&(key(y), side)) {
                tries += 1.0;
                y = want + step * tries;
            }
            (y, side)
        };
        taken.push((key(at), face));
        low = low.min(at);
        high = high.max(at);
        plan.taps.insert(
            (wire, end),
            Spot {
                at: Point::new(x, at),
                face,
            },
        );
    }
    plan.bars.insert(
        id,
        Bar::Upright {
            x,
            top: low,
            bottom: high,
        },
    );
}

fn tap_level(plan: &mut Plan<'_>, id: PartId, y: f64, left: f64, right: f64) {
    let mut ends = ends(plan, id);
    let far_x = |spot: &Option<Spot>| spot.map_or(right, |s| s.at.x);
    ends.arrange_by(|a, b| far_x(&a.2).total_cmp(&far_x(&b.2)).then(a.0.cmp(&b.0)));
    // Two ground points are joined end to end.
    let joined = |wire: WireId, side: Face| {
        plan.links.ends(wire).into_iter().flatten().any(|t| {
            t.part != id
                && plan.class(t.part) == Class::Ground
                && plan.bars.get(&t.part).is_some_and(|b| {
                    let there = b.bounds();
                    (there.centre().y - y).abs() < 1.0 && (there.x < left) == (side == Face::Left)
                })
        })
    };
    let at_left = ends.iter().position(|e| joined(e.0, Face::Left));
    let at_right = ends.iter().rposition(|e| joined(e.0, Face::Right));
    let ups = ends.len() - usize::from(at_left.is_some()) - usize::from(at_right.is_some());
    let span = (ups as f64 - 1.0).max(0.0) * 24.0;
    let start = snap((left + right - span) / 2.0);
    let (low, high) = (snap(left.min(start)), snap(right.max(start + span)));
    let mut x = start;
    for (i, (wire, end, _)) in ends.into_iter().enumerate() {
        let (at, face) = if Some(i) == at_left {
            (Point::new(low, y), Face::Left)
        } else if Some(i) == at_right {
            (Point::new(high, y), Face::Right)
        } else {
            let at = Point::new(x, y);
            x += 24.0;
            (at, Face::Up)
        };
        plan.taps.insert((wire, end), Spot { at, face });
    }
    plan.bars.insert(
        id,
        Bar::Level {
            y,
            left: low,
            right: high,
        },
    );
}

/// A splice on the rail: fed from the left, going on to the right, all else leaves downward.
fn tap_rail(plan: &mut Plan<'_>, id: PartId, y: f64, left: f64) {
    let mut ends = ends(plan, id);
    let level = |far: Option<Spot>| far.is_some_and(|s| (s.at.y - y).abs() < 1.0);
    let far_x = |far: Option<Spot>| far.map_or(f64::MAX, |s| s.at.x);
    ends.arrange_by(|a, b| far_x(a.2).total_cmp(&far_x(b.2)).then(a.0.cmp(&b.0)));
    let before = ends.iter().position(|e| level(e.2) && far_x(e.2) < left);
    let top_of = |wire: WireId| {
        plan.links.ends(wire).into_iter().flatten().find_map(|t| {
            if let Some(Bar::Upright { top, .. }) = plan.bars.get(&t.part)
                && t.part != id
            {
                Some(*top)
            } else {
                None
            }
        })
    };
    let after = ends.iter().rposition(|e| {
        far_x(e.2) > left && (level(e.2) || top_of(e.0).is_some_and(|top| (top - y).abs() < 1.0))
    });
    let downs = ends.len() - usize::from(before.is_some()) - usize::from(after.is_some());
    let right = left + (24.0 * (downs as f64 - 1.0)).max(0.0);
    let mut x = left;
    for (i, (wire, end, _)) in ends.into_iter().enumerate() {
        let (at, face) = if Some(i) == before {
            (Point::new(left, y), Face::Left)
        } else if Some(i) == after {
            (Point::new(right, y), Face::Right)
        } else {
            let at = Point::new(x, y);
            x += 24.0;
            (at, Face::Down)
        };
        plan.taps.insert((wire, end), Spot { at, face });
    }
    plan.bars.insert(id, Bar::Level { y, left, right });
}
