//! The search for the cheapest way over the grid: from its start, and where that is jammed from its goal too.

use super::{BEND, NEVER, Price, STEP};

const DIRS: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];
/// No open state.
const NO_OPEN: u32 = u32::MAX;
/// How many places a search looks at from one end before it begins at the other too.
pub(super) const HEAD_START: usize = 1024;
/// No price is known yet.
const UNSEEN: u32 = u32::MAX;

/// A way that is looked for: cells by their places in the list of prices.
pub(super) struct Job {
    pub(super) start: usize,
    pub(super) goal: usize,
    /// The directions in which it may begin, and those in which it may arrive.
    pub(super) first: [bool; 4],
    pub(super) last: [bool; 4],
    pub(super) row: u32,
}

impl Job {
    /// The cell beside another.
    pub(super) fn beside(&self, cell: usize, dir: usize) -> usize {
        match dir {
            0 => cell + 1,
            1 => cell + (1 << self.row),
            2 => cell - 1,
            _ => cell - (1 << self.row),
        }
    }

    /// The least that lies ahead of a cell come to in a direction. No step takes off more than it costs, so that
    /// what is reached for a total price is reached for the least.
    pub(super) fn ahead(&self, cell: usize, dir: usize) -> u32 {
        self.least(cell, self.goal, dir, self.last)
    }

    /// The least that lies behind a cell come to in a direction.
    fn behind(&self, cell: usize, dir: usize) -> u32 {
        self.least(self.start, cell, dir, self.first)
    }

    /// The least between two cells: the one left or the other come to in direction `dir`, at an end of the way
    /// where the directions `open` are allowed.
    fn least(&self, from: usize, to: usize, dir: usize, open: [bool; 4]) -> u32 {
        let (x, y) = split(from, self.row);
        let (gx, gy) = split(to, self.row);
        let (dx, dy) = (gx - x, gy - y);
        let far = dx.unsigned_abs() + dy.unsigned_abs();
        let (sx, sy) = DIRS[dir];
        // At least one corner where they do not lie in that direction, or one more at the end.
        let straight = (dx == 0 && dy * sy > 0) || (dy == 0 && dx * sx > 0) || far == 0;
        far * STEP + if straight && open[dir] { 0 } else { BEND }
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
    pub(super) fn step(
        &self,
        prices: &[Price],
        cell: usize,
        dir: usize,
        next: usize,
    ) -> Option<u32> {
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
pub(super) fn split(cell: usize, row: u32) -> (i32, i32) {
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
pub(super) struct Search {
    /// The least price of each state that is known so far, from the start and to the goal.
    best: Vec<[u32; 2]>,
    sides: [Side; 2],
    /// How many places are looked at from the start before the goal is asked.
    pub(super) head_start: usize,
    /// The cells that were come to in the last search; their prices and those beside them are all that it went by.
    pub(super) seen: Vec<usize>,
}

impl Default for Search {
    fn default() -> Self {
        Self {
            best: Vec::new(),
            sides: <[Side; 2]>::default(),
            head_start: HEAD_START,
            seen: Vec::new(),
        }
    }
}

impl Search {
    /// The cells of the cheapest way, both ends included.
    pub(super) fn cheapest(&mut self, prices: &[Price], job: &Job) -> Option<Vec<usize>> {
        self.seen.clear();
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
                self.seen.push(open.state / 4);
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

pub(super) const fn opposite(dir: usize) -> usize {
    (dir + 2) % 4
}
