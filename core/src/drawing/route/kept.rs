//! The ways of a map's wires, kept for the next time: after an edit only those are looked for anew that it bears on.

use std::collections::BTreeMap;

use super::{Cell, End, Grid, Standing};
use crate::drawing::geometry::{GRID, Point, whole};
use crate::model::WireId;

/// Cells along each side of a tile.
const TILE: i32 = 4;
/// The last of them.
const LAST: i32 = TILE - 1;

/// A place on the plane, in cells or in tiles.
type Place = (i32, i32);

/// What [`Drawing::again`](crate::drawing::Drawing::again) leaves to the next drawing of the same map, or of another.
#[derive(Debug, Default)]
pub struct Ways {
    /// The grid before any wire was laid.
    ground: Option<Ground>,
    found: BTreeMap<WireId, Way>,
    #[cfg(test)]
    looked: usize,
}

#[cfg(test)]
impl Ways {
    /// For how many wires of the last drawing a way was looked for.
    pub(in crate::drawing) const fn looked(&self) -> usize {
        self.looked
    }
}

/// The way of one wire.
#[derive(Debug)]
struct Way {
    from: End,
    to: End,
    standing: Standing,
    cells: Vec<Place>,
    /// The tiles whose prices the search went by.
    seen: Vec<Place>,
}

/// What stands on a grid, by places on the plane.
#[derive(Debug)]
struct Ground {
    corner: Place,
    w: i32,
    h: i32,
    row: u32,
    cells: Vec<Cell>,
}

impl Ground {
    fn of(grid: &Grid) -> Self {
        Self {
            corner: corner(grid),
            w: grid.w,
            h: grid.h,
            row: grid.row,
            cells: grid.cells.clone(),
        }
    }

    /// What stands at a place; beyond the grid nothing can be entered.
    fn at(&self, (x, y): Place) -> Cell {
        let (x, y) = (x - self.corner.0, y - self.corner.1);
        if x < 0 || y < 0 || x >= self.w || y >= self.h {
            return Cell::OUTSIDE;
        }
        let i = usize::try_from(((y + 1) << self.row) + x + 1).unwrap_or(0);
        self.cells.get(i).copied().unwrap_or(Cell::OUTSIDE)
    }

    /// The place after the last one.
    fn end(&self) -> Place {
        (self.corner.0 + self.w, self.corner.1 + self.h)
    }
}

/// The place of a grid's first cell.
fn corner(grid: &Grid) -> Place {
    (whole(grid.origin.x / GRID), whole(grid.origin.y / GRID))
}

const fn tile((x, y): Place) -> Place {
    (x.div_euclid(TILE), y.div_euclid(TILE))
}

/// A set of tiles.
#[derive(Debug, Default)]
struct Tiles {
    corner: Place,
    w: i32,
    h: i32,
    held: Vec<bool>,
}

impl Tiles {
    /// None yet of the tiles that hold the places from `from` to before `to`.
    fn over(from: Place, to: Place) -> Self {
        let (corner, end) = (tile(from), tile(to));
        let (w, h) = (end.0 - corner.0 + 1, end.1 - corner.1 + 1);
        Self {
            corner,
            w,
            h,
            held: vec![false; usize::try_from(w * h).unwrap_or(0)],
        }
    }

    fn slot(&mut self, (x, y): Place) -> Option<&mut bool> {
        let (x, y) = (x - self.corner.0, y - self.corner.1);
        let is_in = x >= 0 && y >= 0 && x < self.w && y < self.h;
        let i = is_in.then(|| usize::try_from(y * self.w + x).ok())??;
        self.held.get_mut(i)
    }

    /// Adds a tile; whether it is new.
    fn add(&mut self, tile: Place) -> bool {
        self.slot(tile)
            .is_some_and(|held| !std::mem::replace(held, true))
    }

    fn has(&mut self, tile: Place) -> bool {
        self.slot(tile).is_some_and(|held| *held)
    }
}

/// Routes the wires of one drawing, with what was found for the one before.
///
/// A way is the same as before where its ends are and nothing else is that the search for it went by: what stands on
/// the grid, and the wires laid before it. Wires whose ends stay keep their order among each other, so that a cell
/// has changed only if what stands on it has, or if a wire runs over it, or ran, that has a new way or new ends.
pub(in crate::drawing) struct Router<'w> {
    grid: Grid,
    ways: &'w mut Ways,
    found: BTreeMap<WireId, Way>,
    /// The tiles in which a cell may be another one than at the same turn before.
    changed: Tiles,
    corner: Place,
}

impl<'w> Router<'w> {
    /// `wires`: all that will be routed.
    pub(in crate::drawing) fn new(
        grid: Grid,
        ways: &'w mut Ways,
        wires: &BTreeMap<WireId, (End, End, Standing)>,
    ) -> Self {
        #[cfg(test)]
        {
            ways.looked = 0;
        }
        let ground = Ground::of(&grid);
        let before = ways.ground.take();
        let mut router = Self {
            corner: ground.corner,
            changed: Tiles::default(),
            found: BTreeMap::new(),
            grid,
            ways,
        };
        match before {
            Some(before) => router.compare(&before, &ground, wires),
            None => router.ways.found.clear(),
        }
        router.ways.ground = Some(ground);
        router
    }

    /// Notes what has changed on the grid, and forgets the wires whose ends have.
    fn compare(
        &mut self,
        before: &Ground,
        now: &Ground,
        wires: &BTreeMap<WireId, (End, End, Standing)>,
    ) {
        let ((ax, ay), (bx, by)) = (before.corner, now.corner);
        let from = (ax.min(bx) - 1, ay.min(by) - 1);
        let ((ax, ay), (bx, by)) = (before.end(), now.end());
        let to = (ax.max(bx) + 1, ay.max(by) + 1);
        self.changed = Tiles::over(from, to);
        for y in from.1..to.1 {
            for x in from.0..to.0 {
                if before.at((x, y)) != now.at((x, y)) {
                    self.changed.add(tile((x, y)));
                }
            }
        }
        let (grid, (x, y)) = (&self.grid, self.corner);
        let place = |end: End| {
            let cell = grid.cell(end.spot.at);
            (cell.0 + x, cell.1 + y)
        };
        let changed = &mut self.changed;
        self.ways.found.retain(|id, way| {
            let same = wires.get(id) == Some(&(way.from, way.to, way.standing))
                && way.cells.first() == Some(&place(way.from))
                && way.cells.last() == Some(&place(way.to));
            if !same {
                mark(changed, &way.cells);
            }
            same
        });
    }

    /// The corners of the cheapest way of a wire; it is laid there, and later ones find it.
    pub(in crate::drawing) fn route(
        &mut self,
        id: WireId,
        from: End,
        to: End,
        standing: Standing,
    ) -> Vec<Point> {
        let before = self.ways.found.remove(&id);
        let way = match before {
            Some(way) if !way.seen.iter().any(|tile| self.changed.has(*tile)) => way,
            before => self.look(before, from, to, standing),
        };
        let (x, y) = self.corner;
        let cells: Vec<Place> = way.cells.iter().map(|c| (c.0 - x, c.1 - y)).collect();
        self.found.insert(id, way);
        self.grid.lay(&cells, from, to, standing)
    }

    /// Looks for a way.
    fn look(&mut self, before: Option<Way>, from: End, to: End, standing: Standing) -> Way {
        #[cfg(test)]
        {
            self.ways.looked += 1;
        }
        let (x, y) = self.corner;
        let cells = self.grid.way(from, to).into_iter();
        let cells: Vec<Place> = cells.map(|c| (c.0 + x, c.1 + y)).collect();
        if before.as_ref().is_none_or(|before| before.cells != cells) {
            mark(&mut self.changed, &cells);
            if let Some(before) = before {
                mark(&mut self.changed, &before.cells);
            }
        }
        Way {
            from,
            to,
            standing,
            cells,
            seen: self.seen(),
        }
    }

    /// The tiles that the last search went by: of each cell that it came to, and of those beside it.
    fn seen(&self) -> Vec<Place> {
        let (x, y) = self.corner;
        let (w, h) = (self.grid.w, self.grid.h);
        let mut held = Tiles::over((x - 1, y - 1), (x + w + 1, y + h + 1));
        let mut seen = Vec::new();
        let mut add = |tile| {
            if held.add(tile) {
                seen.push(tile);
            }
        };
        for cell in &self.grid.search.seen {
            let at = self.grid.place(*cell);
            let at = (at.0 + x, at.1 + y);
            let (tx, ty) = tile(at);
            add((tx, ty));
            match at.0 - tx * TILE {
                0 => add((tx - 1, ty)),
                LAST => add((tx + 1, ty)),
                _ => {}
            }
            match at.1 - ty * TILE {
                0 => add((tx, ty - 1)),
                LAST => add((tx, ty + 1)),
                _ => {}
            }
        }
        seen
    }

    /// Leaves what was found to the next drawing.
    pub(in crate::drawing) fn done(self) {
        self.ways.found = self.found;
    }
}

fn mark(tiles: &mut Tiles, cells: &[Place]) {
    for cell in cells {
        tiles.add(tile(*cell));
    }
}
