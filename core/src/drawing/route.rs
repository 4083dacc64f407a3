//! Routes wires on the grid: level and upright runs that keep off parts and labels and off each other.

mod kept;
mod search;

pub(super) use self::kept::Router;
pub use self::kept::Ways;
use self::search::{Job, Search, split};
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

/// The two directions of tracks.
const LEVEL: usize = 0;
const UPRIGHT: usize = 1;

/// What runs along a cell in one direction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Track {
    Free,
    /// A wire that runs straight from part to part.
    Straight,
    /// A bar, or a wire that goes round something.
    Wound,
}

/// One place of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Cell {
    blocked: bool,
    /// What a step into it costs beside the step.
    extra: u32,
    /// What runs level and what upright along it.
    tracks: [Track; 2],
}

/// What a step into a cell costs, level and upright, and what a turn on it.
#[derive(Debug, Clone, Copy)]
struct Price {
    into: [u32; 2],
    turn: u32,
}

/// The price of what no wire may enter.
const NEVER: u32 = 1 << 28;

impl Cell {
    /// Beyond the edge of the grid.
    const OUTSIDE: Self = Self {
        blocked: true,
        extra: 0,
        tracks: [Track::Free; 2],
    };

    fn price(self) -> Price {
        let into = |way: usize| {
            if self.blocked {
                return NEVER;
            }
            let along = match self.tracks[way] {
                Track::Free => 0,
                Track::Straight | Track::Wound => ALONG,
            };
            let cross = match self.tracks[1 - way] {
                Track::Free => 0,
                Track::Straight => CROSS_STRAIGHT,
                Track::Wound => CROSS,
            };
            (STEP + self.extra + along + cross).min(NEVER)
        };
        let on_wire = self.tracks != [Track::Free; 2];
        Price {
            into: [into(0), into(1)],
            turn: BEND + if on_wire { TURN_ON_WIRE } else { 0 },
        }
    }
}

/// The grid with what stands and runs on it, a row of cells beyond each edge included.
#[derive(Debug)]
pub(super) struct Grid {
    origin: Point,
    w: i32,
    h: i32,
    /// Cells of a row, as a power of two.
    row: u32,
    cells: Vec<Cell>,
    prices: Vec<Price>,
    search: Search,
}

/// One end of a wire on the grid.
#[derive(Debug, Clone, Copy, PartialEq)]
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

/// How a wire is treated by those that come after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Standing {
    /// It runs straight: later ones cross it only for want of a good way round.
    Straight,
    /// It is crossed like any other.
    Common,
}

impl End {
    /// The directions in which a wire may leave.
    fn ways(self) -> [bool; 4] {
        let out = out_dir(self.spot.face);
        let mut ways = [false; 4];
        ways[out] = true;
        if self.exit == Exit::Any {
            ways[(out + 1) % 4] = true;
            ways[(out + 3) % 4] = true;
        }
        ways
    }
}

impl Grid {
    pub(super) fn over(area: Rect) -> Self {
        let w = whole(area.w / GRID) + 1;
        let h = whole(area.h / GRID) + 1;
        let row = (w + 2).unsigned_abs().next_power_of_two().trailing_zeros();
        let all = usize::try_from(h + 2).unwrap_or(0) << row;
        let mut grid = Self {
            origin: Point::new(area.x, area.y),
            w,
            h,
            row,
            cells: vec![Cell::OUTSIDE; all],
            prices: Vec::new(),
            search: Search::default(),
        };
        for y in 0..h {
            let first = grid.index(0, y);
            let width = usize::try_from(w).unwrap_or(0);
            for cell in &mut grid.cells[first..first + width] {
                cell.blocked = false;
            }
        }
        grid
    }

    fn cell(&self, p: Point) -> (i32, i32) {
        let x = whole((p.x - self.origin.x) / GRID);
        let y = whole((p.y - self.origin.y) / GRID);
        (x.clamp(0, self.w - 1), y.clamp(0, self.h - 1))
    }

    fn index(&self, x: i32, y: i32) -> usize {
        usize::try_from(((y + 1) << self.row) + x + 1).unwrap_or(0)
    }

    fn point(&self, x: i32, y: i32) -> Point {
        Point::new(
            self.origin.x + f64::from(x) * GRID,
            self.origin.y + f64::from(y) * GRID,
        )
    }

    /// Changes each cell that lies in `b`.
    fn each(&mut self, b: Rect, act: impl Fn(&mut Cell)) {
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
                    let i = self.index(x, y);
                    act(&mut self.cells[i]);
                }
            }
        }
        self.prices.clear();
    }

    /// No wire may enter `b`.
    pub(super) fn block(&mut self, b: Rect) {
        self.each(b, |cell| cell.blocked = true);
        self.dear(b.grown(GRID), HUG);
    }

    /// Wires go round `b` where they can.
    pub(super) fn dear(&mut self, b: Rect, price: u32) {
        self.each(b, |cell| cell.extra += price);
    }

    /// A label: wires go round it unless the detour is very long.
    pub(super) fn words(&mut self, b: Rect) {
        self.dear(b.grown(3.0), WORDS);
    }

    /// An upright bar: crossed like a wire, never run along.
    pub(super) fn upright_bar(&mut self, x: f64, top: f64, bottom: f64) {
        self.each(Rect::new(x, top, 0.0, bottom - top), |cell| {
            cell.tracks[UPRIGHT] = Track::Wound;
        });
        self.dear(Rect::new(x - GRID, top, 2.0 * GRID, bottom - top), 1);
    }

    /// A level bar: crossed like a wire, never run along.
    pub(super) fn level_bar(&mut self, y: f64, left: f64, right: f64) {
        self.each(Rect::new(left, y, right - left, 0.0), |cell| {
            cell.tracks[LEVEL] = Track::Wound;
        });
        self.dear(
            Rect::new(left - GRID, y - GRID, right - left + 2.0 * GRID, 2.0 * GRID),
            1,
        );
    }

    /// Makes a run cost its own wire's tracks to later wires.
    fn occupy(&mut self, cells: &[(i32, i32)], standing: Standing) {
        let track = match standing {
            Standing::Straight => Track::Straight,
            Standing::Common => Track::Wound,
        };
        for pair in cells.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            for c in [a, b] {
                let i = self.index(c.0, c.1);
                let way = if a.1 == b.1 { LEVEL } else { UPRIGHT };
                self.cells[i].tracks[way] = track;
                // They are not there before the first way is looked for.
                if let Some(price) = self.prices.get_mut(i) {
                    *price = self.cells[i].price();
                }
            }
        }
    }

    /// The cheapest way from one end to the other; a plain corner line where there is none.
    fn way(&mut self, from: End, to: End) -> Vec<(i32, i32)> {
        if self.prices.is_empty() {
            self.prices = self.cells.iter().map(|cell| cell.price()).collect();
        }
        let start = self.cell(from.spot.at);
        let goal = self.cell(to.spot.at);
        let leave = to.ways();
        let job = Job {
            start: self.index(start.0, start.1),
            goal: self.index(goal.0, goal.1),
            first: from.ways(),
            last: [leave[2], leave[3], leave[0], leave[1]],
            row: self.row,
        };
        let found = self.search.cheapest(&self.prices, &job);
        match found {
            Some(way) => way.into_iter().map(|i| self.place(i)).collect(),
            None => dense(&[start, (goal.0, start.1), goal]),
        }
    }

    /// Lays a wire along a way: later ones find it there. Returns its corners.
    fn lay(&mut self, cells: &[(i32, i32)], from: End, to: End, standing: Standing) -> Vec<Point> {
        self.occupy(cells, standing);
        let mut points = vec![from.spot.at];
        points.extend(cells.iter().map(|c| self.point(c.0, c.1)));
        points.push(to.spot.at);
        fix_ends(&mut points, from.spot.at, to.spot.at);
        let points = simplified(&points);
        if points.len() < 2 {
            return vec![from.spot.at, to.spot.at];
        }
        points
    }

    /// Column and row of a cell.
    fn place(&self, cell: usize) -> (i32, i32) {
        let (x, y) = split(cell, self.row);
        (x - 1, y - 1)
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
mod tests;
