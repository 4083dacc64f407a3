//! Routes wires on the grid: level and upright runs that keep off parts and labels and off each other.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::geometry::{GRID, Point, Rect, simplified, whole};
use super::plan::{Face, Spot};

/// Price of one step on the grid.
const STEP: u32 = 2;
/// Price of a corner.
const BEND: u32 = 14;
/// Price of crossing another wire or a bar.
const CROSS: u32 = 9;
/// Price of crossing a wire that runs straight from part to part: what is read along it should stay unbroken.
const CROSS_STRAIGHT: u32 = 64;
/// Price of a step beside a part.
const HUG: u32 = 3;
/// Price of a step along another wire: paid only where there is no other way.
const ALONG: u32 = 260;
/// Price of a step through a label.
const WORDS: u32 = 90;
/// Price of turning on another wire.
const TURN_ON_WIRE: u32 = 200;

const NONE: u16 = u16::MAX;
const DIRS: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

/// The grid with what stands and runs on it.
pub(super) struct Grid {
    origin: Point,
    w: i32,
    h: i32,
    blocked: Vec<bool>,
    extra: Vec<u32>,
    level: Vec<u16>,
    upright: Vec<u16>,
    best: Vec<u32>,
    came: Vec<u8>,
    round: Vec<u32>,
    now: u32,
    /// The wires up to this number run straight.
    straight: u16,
}

/// A place to go on from: price with what lies ahead, price so far, cell, direction.
type Open = (u32, u32, i32, i32, u8);

/// One end of a wire on the grid.
#[derive(Debug, Clone, Copy)]
pub(super) struct End {
    pub(super) spot: Spot,
    pub(super) exit: Exit,
}

/// Which ways a wire may leave its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Exit {
    /// Straight out of the part.
    Straight,
    /// Any way but back into the part.
    Any,
}

impl End {
    /// The directions in which a wire may leave.
    fn ways(self) -> Vec<usize> {
        let out = out_dir(self.spot.face);
        match self.exit {
            Exit::Straight => vec![out],
            Exit::Any => vec![out, (out + 1) % 4, (out + 3) % 4],
        }
    }
}

impl Grid {
    pub(super) fn over(area: Rect) -> Self {
        let w = whole(area.w / GRID) + 1;
        let h = whole(area.h / GRID) + 1;
        let cells = usize::try_from(w * h).unwrap_or(0);
        Self {
            origin: Point::new(area.x, area.y),
            w,
            h,
            blocked: vec![false; cells],
            extra: vec![0; cells],
            level: vec![NONE; cells],
            upright: vec![NONE; cells],
            best: vec![0; cells * 4],
            came: vec![0; cells * 4],
            round: vec![0; cells * 4],
            now: 0,
            straight: 0,
        }
    }

    fn cell(&self, p: Point) -> (i32, i32) {
        let x = whole((p.x - self.origin.x) / GRID);
        let y = whole((p.y - self.origin.y) / GRID);
        (x.clamp(0, self.w - 1), y.clamp(0, self.h - 1))
    }

    fn index(&self, x: i32, y: i32) -> usize {
        usize::try_from(y * self.w + x).unwrap_or(0)
    }

    fn point(&self, x: i32, y: i32) -> Point {
        Point::new(
            self.origin.x + f64::from(x) * GRID,
            self.origin.y + f64::from(y) * GRID,
        )
    }

    fn each(&self, b: Rect, mut act: impl FnMut(usize)) {
        let (x0, y0) = self.cell(Point::new(b.x, b.y));
        let (x1, y1) = self.cell(Point::new(b.right(), b.bottom()));
        for y in y0..=y1 {
            for x in x0..=x1 {
                let p = self.point(x, y);
                if p.x >= b.x - 1e-6
                    && p.x <= b.right() + 1e-6
                    && p.y >= b.y - 1e-6
                    && p.y <= b.bottom() + 1e-6
                {
                    act(self.index(x, y));
                }
            }
        }
    }

    /// No wire may enter `b`.
    pub(super) fn block(&mut self, b: Rect) {
        let mut cells = Vec::new();
        self.each(b, |i| cells.push(i));
        for i in cells {
            self.blocked[i] = true;
        }
        self.dear(b.grown(GRID), HUG);
    }

    /// Wires go round `b` where they can.
    pub(super) fn dear(&mut self, b: Rect, price: u32) {
        let mut cells = Vec::new();
        self.each(b, |i| cells.push(i));
        for i in cells {
            self.extra[i] += price;
        }
    }

    /// A label: wires go round it unless the detour is very long.
    pub(super) fn words(&mut self, b: Rect) {
        self.dear(b.grown(3.0), WORDS);
    }

    /// An upright bar: crossed like a wire, never run along.
    pub(super) fn upright_bar(&mut self, x: f64, top: f64, bottom: f64) {
        let mut cells = Vec::new();
        self.each(Rect::new(x, top, 0.0, bottom - top), |i| cells.push(i));
        for i in cells {
            self.upright[i] = NONE - 1;
        }
        self.dear(Rect::new(x - GRID, top, 2.0 * GRID, bottom - top), 1);
    }

    /// A level bar: crossed like a wire, never run along.
    pub(super) fn level_bar(&mut self, y: f64, left: f64, right: f64) {
        let mut cells = Vec::new();
        self.each(Rect::new(left, y, right - left, 0.0), |i| cells.push(i));
        for i in cells {
            self.level[i] = NONE - 1;
        }
        self.dear(
            Rect::new(left - GRID, y - GRID, right - left + 2.0 * GRID, 2.0 * GRID),
            1,
        );
    }

    /// Wires routed so far are straight: later ones cross them only for want of a good way round.
    pub(super) fn all_straight_so_far(&mut self, wire: u16) {
        self.straight = wire;
    }

    /// Makes a run cost its own wire's tracks to later wires.
    fn occupy(&mut self, cells: &[(i32, i32)], wire: u16) {
        for pair in cells.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            for c in [a, b] {
                let i = self.index(c.0, c.1);
                if a.1 == b.1 {
                    self.level[i] = wire;
                } else {
                    self.upright[i] = wire;
                }
            }
        }
    }

    /// The cheapest way from one end to the other; a plain corner line where there is none.
    pub(super) fn route(&mut self, from: End, to: End, wire: u16) -> Vec<Point> {
        let start = self.cell(from.spot.at);
        let goal = self.cell(to.spot.at);
        let arrive: Vec<usize> = to.ways().into_iter().map(opposite).collect();
        let found = self.search(start, &from.ways(), goal, &arrive);
        let cells = found.unwrap_or_else(|| vec![start, (goal.0, start.1), goal]);
        let dense = dense(&cells);
        self.occupy(&dense, wire);
        let mut points = vec![from.spot.at];
        points.extend(dense.iter().map(|c| self.point(c.0, c.1)));
        points.push(to.spot.at);
        fix_ends(&mut points, from.spot.at, to.spot.at);
        let points = simplified(&points);
        if points.len() < 2 {
            return vec![from.spot.at, to.spot.at];
        }
        points
    }

    fn search(
        &mut self,
        start: (i32, i32),
        first: &[usize],
        goal: (i32, i32),
        last: &[usize],
    ) -> Option<Vec<(i32, i32)>> {
        if start == goal {
            return None;
        }
        self.now += 1;
        let mut heap: BinaryHeap<Reverse<Open>> = BinaryHeap::new();
        let ahead = |x: i32, y: i32, dir: usize| -> u32 {
            let (dx, dy) = (goal.0 - x, goal.1 - y);
            let far = dx.unsigned_abs() + dy.unsigned_abs();
            let (sx, sy) = DIRS[dir];
            // At least one corner where the goal is not straight ahead, one more to arrive the right way.
            let straight = (dx == 0 && dy * sy > 0) || (dy == 0 && dx * sx > 0) || far == 0;
            let corners = u32::from(!straight) + u32::from(straight && !last.contains(&dir));
            far * STEP + corners * BEND
        };
        for &way in first {
            let begin = self.index(start.0, start.1) * 4 + way;
            self.best[begin] = 0;
            self.round[begin] = self.now;
            self.came[begin] = 255;
            let price = ahead(start.0, start.1, way);
            heap.push(Reverse((price, 0, start.0, start.1, dir_u8(way))));
        }
        while let Some(Reverse((_, cost, x, y, d))) = heap.pop() {
            let dir = usize::from(d);
            let state = self.index(x, y) * 4 + dir;
            if self.best[state] < cost {
                continue;
            }
            if (x, y) == goal {
                return Some(self.walk_back(x, y, dir));
            }
            for turn in [0_usize, 1, 3] {
                let next = (dir + turn) % 4;
                if turn != 0 && (x, y) == start {
                    continue;
                }
                let (nx, ny) = (x + DIRS[next].0, y + DIRS[next].1);
                if nx < 0 || ny < 0 || nx >= self.w || ny >= self.h {
                    continue;
                }
                let at_goal = (nx, ny) == goal;
                if at_goal && !last.contains(&next) {
                    continue;
                }
                let i = self.index(nx, ny);
                if self.blocked[i] && !at_goal {
                    continue;
                }
                let here = self.index(x, y);
                let mut price = cost + STEP + if at_goal { 0 } else { self.extra[i] };
                let (own, cross) = if next % 2 == 0 {
                    (&self.level, &self.upright)
                } else {
                    (&self.upright, &self.level)
                };
                if !at_goal && own[i] != NONE {
                    price += ALONG;
                }
                if !at_goal && cross[i] != NONE {
                    price += if cross[i] <= self.straight {
                        CROSS_STRAIGHT
                    } else {
                        CROSS
                    };
                }
                if turn != 0 {
                    price += BEND;
                    if self.level[here] != NONE || self.upright[here] != NONE {
                        price += TURN_ON_WIRE;
                    }
                }
                let state = i * 4 + next;
                if self.round[state] != self.now || self.best[state] > price {
                    self.round[state] = self.now;
                    self.best[state] = price;
                    self.came[state] = d;
                    heap.push(Reverse((
                        price + ahead(nx, ny, next),
                        price,
                        nx,
                        ny,
                        dir_u8(next),
                    )));
                }
            }
        }
        None
    }

    fn walk_back(&self, mut x: i32, mut y: i32, mut dir: usize) -> Vec<(i32, i32)> {
        let mut cells = vec![(x, y)];
        loop {
            let came = self.came[self.index(x, y) * 4 + dir];
            if came == 255 {
                break;
            }
            (x, y) = (x - DIRS[dir].0, y - DIRS[dir].1);
            dir = usize::from(came);
            cells.push((x, y));
        }
        cells.reverse();
        cells
    }
}

const fn dir_u8(dir: usize) -> u8 {
    match dir {
        0 => 0,
        1 => 1,
        2 => 2,
        _ => 3,
    }
}

const fn out_dir(face: Face) -> usize {
    match face {
        Face::Right => 0,
        Face::Down => 1,
        Face::Left => 2,
        Face::Up => 3,
    }
}

const fn opposite(dir: usize) -> usize {
    (dir + 2) % 4
}

/// Every cell on the way, corners and all between.
fn dense(cells: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let mut out = Vec::new();
    for pair in cells.windows(2) {
        let (mut x, mut y) = pair[0];
        while (x, y) != pair[1] {
            out.push((x, y));
            x += (pair[1].0 - x).signum();
            y += (pair[1].1 - y).signum() * i32::from(x == pair[1].0);
        }
    }
    out.extend(cells.last());
    out
}

/// Draws the first and last points onto terminals that stand off the grid.
fn fix_ends(points: &mut [Point], from: Point, to: Point) {
    let n = points.len();
    if n < 4 {
        return;
    }
    for (at, near, next) in [(from, 1, 2), (to, n - 2, n - 3)] {
        let level = (points[near].y - points[next].y).abs() < 1e-6;
        let off = points[near];
        let fixed = if level {
            Point::new(off.x, at.y)
        } else {
            Point::new(at.x, off.y)
        };
        // The whole first run moves with its end.
        let mut i = near;
        loop {
            let same_run = if level {
                (points[i].y - off.y).abs() < 1e-6
            } else {
                (points[i].x - off.x).abs() < 1e-6
            };
            if !same_run {
                break;
            }
            if level {
                points[i].y = fixed.y;
            } else {
                points[i].x = fixed.x;
            }
            if near == 1 {
                i += 1;
            } else if i == 0 {
                break;
            } else {
                i -= 1;
            }
            if i >= n {
                break;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn end(x: f64, y: f64, face: Face) -> End {
        End {
            spot: Spot {
                at: Point::new(x, y),
                face,
            },
            exit: Exit::Straight,
        }
    }

    #[test]
    fn a_level_wire_is_straight_and_one_behind_a_box_goes_round() {
        let area = Rect::new(0.0, 0.0, 240.0, 240.0);
        let mut grid = Grid::over(area);
        let straight = grid.route(
            end(0.0, 120.0, Face::Right),
            end(240.0, 120.0, Face::Left),
            0,
        );
        assert_eq!(straight.len(), 2);
        let mut grid = Grid::over(area);
        let wall = Rect::new(96.0, 60.0, 48.0, 120.0);
        grid.block(wall);
        let round = grid.route(
            end(0.0, 120.0, Face::Right),
            end(240.0, 120.0, Face::Left),
            0,
        );
        assert!(round.len() > 2);
        assert!(round.windows(2).all(|w| !wall.is_crossed_by(w[0], w[1])));
    }

    #[test]
    fn two_wires_do_not_share_a_run() {
        let mut grid = Grid::over(Rect::new(0.0, 0.0, 240.0, 240.0));
        grid.block(Rect::new(96.0, 96.0, 48.0, 48.0));
        let a = grid.route(
            end(0.0, 108.0, Face::Right),
            end(240.0, 108.0, Face::Left),
            0,
        );
        let b = grid.route(
            end(0.0, 132.0, Face::Right),
            end(240.0, 132.0, Face::Left),
            1,
        );
        for x in a.windows(2) {
            for y in b.windows(2) {
                let level = |w: &[Point]| (w[0].y - w[1].y).abs() < 1e-6;
                if level(x) == level(y) {
                    let line = Rect::around(x).unwrap_or_default().grown(0.5);
                    assert!(!line.is_crossed_by(y[0], y[1]), "{a:?} {b:?}");
                }
            }
        }
    }
}
