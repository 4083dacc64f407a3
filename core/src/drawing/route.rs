//! Routes wires on the grid: level and upright runs that keep off parts and labels and off each other.

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
/// No open state.
const NO_OPEN: u32 = u32::MAX;
const DIRS: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

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
#[derive(Debug, Clone, Copy)]
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
/// How many places a search looks at from one end before it begins at the other too.
const HEAD_START: usize = 1024;
/// No price is known yet.
const UNSEEN: u32 = u32::MAX;

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
    fn occupy(&mut self, cells: &[(i32, i32)], track: Track) {
        for pair in cells.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            for c in [a, b] {
                let i = self.index(c.0, c.1);
                let way = if a.1 == b.1 { LEVEL } else { UPRIGHT };
                self.cells[i].tracks[way] = track;
                self.prices[i] = self.cells[i].price();
            }
        }
    }

    /// The cheapest way from one end to the other; a plain corner line where there is none.
    pub(super) fn route(&mut self, from: End, to: End, standing: Standing) -> Vec<Point> {
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
        let cells = match found {
            Some(way) => way.into_iter().map(|i| self.place(i)).collect(),
            None => dense(&[start, (goal.0, start.1), goal]),
        };
        let track = match standing {
            Standing::Straight => Track::Straight,
            Standing::Common => Track::Wound,
        };
        self.occupy(&cells, track);
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

/// A way that is looked for: cells by their places in the list of prices.
struct Job {
    start: usize,
    goal: usize,
    /// The directions in which it may begin, and those in which it may arrive.
    first: [bool; 4],
    last: [bool; 4],
    row: u32,
}

impl Job {
    /// The cell beside another.
    fn beside(&self, cell: usize, dir: usize) -> usize {
        match dir {
            0 => cell + 1,
            1 => cell + (1 << self.row),
            2 => cell - 1,
            _ => cell - (1 << self.row),
        }
    }

    /// The least that lies ahead of a cell come to in a direction. No step takes off more than it costs, so that
    /// what is reached for a total price is reached for the least.
    fn ahead(&self, cell: usize, dir: usize) -> u32 {
        let (x, y) = split(cell, self.row);
        let (gx, gy) = split(self.goal, self.row);
        let (dx, dy) = (gx - x, gy - y);
        let far = dx.unsigned_abs() + dy.unsigned_abs();
        let (sx, sy) = DIRS[dir];
        // At least one corner where the goal is not straight ahead, or one more to arrive the right way.
        let straight = (dx == 0 && dy * sy > 0) || (dy == 0 && dx * sx > 0) || far == 0;
        far * STEP + if straight && self.last[dir] { 0 } else { BEND }
    }

    /// The least that lies behind a cell come to in a direction, as [`Self::ahead`] says what lies ahead.
    fn behind(&self, cell: usize, dir: usize) -> u32 {
        let (x, y) = split(cell, self.row);
        let (sx, sy) = split(self.start, self.row);
        let (dx, dy) = (x - sx, y - sy);
        let far = dx.unsigned_abs() + dy.unsigned_abs();
        let (ox, oy) = DIRS[dir];
        let straight = (dx == 0 && dy * oy > 0) || (dy == 0 && dx * ox > 0) || far == 0;
        far * STEP + if straight && self.first[dir] { 0 } else { BEND }
    }

    /// The least of the rest of the way from a state, where all that can be had for less than `done` is known from
    /// the goal; `known` is what is known of this state.
    fn rest(&self, done: u32, known: u32, cell: usize, dir: usize) -> u32 {
        if done == 0 {
            return self.ahead(cell, dir);
        }
        let behind = self.behind(cell, dir);
        if known != UNSEEN && known + behind < done {
            known
        } else {
            self.ahead(cell, dir).max(done.saturating_sub(behind))
        }
    }

    /// The price of the step between the state (`cell`, `dir`) and the one beside it, seen from `END`, that is come
    /// to or was come to in direction `turn`; with that state. `None` where there is no such step.
    fn beyond<const END: usize>(
        &self,
        prices: &[Price],
        (cell, dir): (usize, usize),
        turn: usize,
    ) -> Option<(usize, u32)> {
        if END == FROM_START {
            if cell == self.goal {
                return None;
            }
            let step = self.step(prices, cell, dir, turn)?;
            return Some((self.beside(cell, turn), step));
        }
        let before = self.beside(cell, opposite(dir));
        let entered = before == self.start || prices[before].into[turn % 2] < NEVER;
        if before == self.goal || !entered {
            return None;
        }
        Some((before, self.step(prices, before, turn, dir)?))
    }

    /// What the step out of a cell come to in direction `dir` costs when it goes on in direction `next`; `None`
    /// where there is no such step.
    fn step(&self, prices: &[Price], cell: usize, dir: usize, next: usize) -> Option<u32> {
        let turn = if dir == next {
            0
        } else if cell == self.start {
            return None;
        } else {
            prices[cell].turn
        };
        let to = self.beside(cell, next);
        let into = if to == self.goal {
            if self.last[next] { STEP } else { NEVER }
        } else {
            prices[to].into[next % 2]
        };
        (into < NEVER).then_some(turn + into)
    }
}

/// Column and row of a place in a list whose rows are a power of two long.
fn split(cell: usize, row: u32) -> (i32, i32) {
    let x = i32::try_from(cell & ((1 << row) - 1)).unwrap_or(0);
    let y = i32::try_from(cell >> row).unwrap_or(0);
    (x, y)
}

/// The two ends from which a way is looked for.
const FROM_START: usize = 0;
const FROM_GOAL: usize = 1;

/// A place to go on from: cell and direction, price so far, and the next of the same total.
#[derive(Debug, Clone, Copy)]
struct Open {
    state: usize,
    cost: u32,
    next: u32,
}

/// What is looked at from one end of a way. Total prices are small whole numbers, so that the open states stand in
/// one list for each.
#[derive(Debug, Default)]
struct Side {
    open: Vec<Open>,
    /// The first open state of each total, from the least total on.
    totals: Vec<u32>,
    /// All that can be had for a lesser total is known.
    done: u32,
}

impl Side {
    fn put(&mut self, state: usize, cost: u32, total: u32) {
        let total = total as usize;
        if total >= self.totals.len() {
            self.totals.resize(total + 64, NO_OPEN);
        }
        let next = self.totals[total];
        self.totals[total] = u32::try_from(self.open.len()).unwrap_or(NO_OPEN);
        self.open.push(Open { state, cost, next });
    }

    /// The next open state of the total that is looked at.
    fn next(&mut self) -> Option<Open> {
        let first = self.totals.get_mut(self.done as usize)?;
        let open = *self.open.get(*first as usize)?;
        *first = open.next;
        Some(open)
    }

    fn is_spent(&self) -> bool {
        self.done as usize >= self.totals.len()
    }
}

/// The search for cheapest ways, with what one leaves to the next.
///
/// A state is a cell and the direction in which it was come to. The search begins at the start. Where that has grown,
/// it begins at the goal too and goes on where it has seen less: a wire that is jammed at one end only is found from
/// there. What is known from the goal then tells which of the places that are known from the start can lie on a
/// cheapest way at all.
#[derive(Debug)]
struct Search {
    /// The least price of each state that is known so far, from the start and to the goal.
    best: Vec<[u32; 2]>,
    sides: [Side; 2],
    /// How many places are looked at from the start before the goal is asked.
    head_start: usize,
}

impl Default for Search {
    fn default() -> Self {
        Self {
            best: Vec::new(),
            sides: <[Side; 2]>::default(),
            head_start: HEAD_START,
        }
    }
}

impl Search {
    /// The cells of the cheapest way, both ends included.
    fn cheapest(&mut self, prices: &[Price], job: &Job) -> Option<Vec<usize>> {
        if job.start == job.goal {
            return None;
        }
        if self.best.len() != prices.len() * 4 {
            self.best = vec![[UNSEEN; 2]; prices.len() * 4];
        }
        self.begin::<FROM_START>(job, job.start, job.first);
        self.begin::<FROM_GOAL>(job, job.goal, job.last);
        let found = self.meet(prices, job).map(|least| {
            self.finish(prices, job, least);
            self.way(prices, job)
        });
        // As clean as it was.
        for side in &mut self.sides {
            for open in side.open.drain(..) {
                self.best[open.state] = [UNSEEN; 2];
            }
            side.totals.clear();
            side.done = 0;
        }
        found
    }

    fn begin<const END: usize>(&mut self, job: &Job, cell: usize, ways: [bool; 4]) {
        for dir in (0..4).filter(|dir| ways[*dir]) {
            self.best[cell * 4 + dir][END] = 0;
            let rest = if END == FROM_START {
                job.ahead(cell, dir)
            } else {
                job.behind(cell, dir)
            };
            self.sides[END].put(cell * 4 + dir, 0, rest);
        }
    }

    /// The least price of a way; `None` where there is none.
    fn meet(&mut self, prices: &[Price], job: &Job) -> Option<u32> {
        let mut least = UNSEEN;
        loop {
            let [forth, back] = &self.sides;
            if least <= forth.done.max(back.done) {
                return Some(least);
            }
            if forth.is_spent() || back.is_spent() {
                return (least != UNSEEN).then_some(least);
            }
            if forth.open.len() <= back.open.len() + self.head_start {
                self.spread::<FROM_START>(prices, job, &mut least);
            } else {
                self.spread::<FROM_GOAL>(prices, job, &mut least);
            }
        }
    }

    /// Looks on from all places of the next total, seen from one end; `least` is that of the ways found.
    fn spread<const END: usize>(&mut self, prices: &[Price], job: &Job, least: &mut u32) {
        let [forth, back] = &mut self.sides;
        let from_goal = back.done;
        let side = if END == FROM_START { forth } else { back };
        while let Some(open) = side.next() {
            let best = self.best[open.state];
            if best[END] < open.cost {
                continue;
            }
            let (cell, dir) = (open.state / 4, open.state % 4);
            if END == FROM_START {
                // What was found from the goal since then may tell that it is dearer.
                let total = open.cost + job.rest(from_goal, best[FROM_GOAL], cell, dir);
                if total > side.done {
                    if total <= *least {
                        side.put(open.state, open.cost, total);
                    }
                    continue;
                }
            }
            for turn in [dir, (dir + 1) % 4, (dir + 3) % 4] {
                let Some((to, step)) = job.beyond::<END>(prices, (cell, dir), turn) else {
                    continue;
                };
                let cost = open.cost + step;
                let best = &mut self.best[to * 4 + turn];
                if best[END] <= cost {
                    continue;
                }
                *least = (*least).min(cost.saturating_add(best[1 - END]));
                let rest = if END == FROM_START {
                    job.rest(from_goal, best[FROM_GOAL], to, turn)
                } else {
                    job.behind(to, turn)
                };
                let total = (cost + rest).max(side.done);
                if total <= *least {
                    best[END] = cost;
                    side.put(to * 4 + turn, cost, total);
                }
            }
        }
        side.done += 1;
    }

    /// Finds the prices of all states on the cheapest ways, whose price is `least`, from the start.
    fn finish(&mut self, prices: &[Price], job: &Job, mut least: u32) {
        let all = least;
        while self.sides[FROM_START].done <= all && !self.sides[FROM_START].is_spent() {
            self.spread::<FROM_START>(prices, job, &mut least);
        }
    }

    /// The way back from the goal. Of two ways into a place that cost the same, the one whose last place promised
    /// less, then the one that had cost less there, then the one that came level and forward: so the same map is
    /// always drawn alike.
    fn way(&self, prices: &[Price], job: &Job) -> Vec<usize> {
        let at_goal = (0..4).map(|dir| (self.best[job.goal * 4 + dir][FROM_START], dir));
        let Some((mut cost, mut dir)) = at_goal.min() else {
            return Vec::new();
        };
        let mut cell = job.goal;
        let mut way = vec![cell];
        while cost > 0 {
            let before = job.beside(cell, opposite(dir));
            let from = [dir, (dir + 1) % 4, (dir + 3) % 4].into_iter();
            let came = from.filter_map(|came| {
                let known = self.best[before * 4 + came][FROM_START];
                let step = job.step(prices, before, came, dir)?;
                let fits = before != job.goal && known != UNSEEN && known + step == cost;
                fits.then(|| (known + job.ahead(before, came), known, came))
            });
            let Some((_, known, came)) = came.min() else {
                break;
            };
            (cell, cost, dir) = (before, known, came);
            way.push(cell);
        }
        way.reverse();
        way
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
mod tests;
