//! The router beside a plain one: a heap, no lists by price, and every tie settled by what is come to first.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use proptest::prelude::*;

use super::search::{HEAD_START, opposite};
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

fn route(grid: &mut Grid, from: End, to: End, standing: Standing) -> Vec<Point> {
    let cells = grid.way(from, to);
    grid.lay(&cells, from, to, standing)
}

#[test]
fn a_level_wire_is_straight_and_one_behind_a_box_goes_round() {
    let area = Rect::new(0.0, 0.0, 240.0, 240.0);
    let mut grid = Grid::over(area);
    let straight = route(
        &mut grid,
        end(0.0, 120.0, Face::Right),
        end(240.0, 120.0, Face::Left),
        Standing::Common,
    );
    assert_eq!(straight.len(), 2);
    let mut grid = Grid::over(area);
    let wall = Rect::new(96.0, 60.0, 48.0, 120.0);
    grid.block(wall);
    let round = route(
        &mut grid,
        end(0.0, 120.0, Face::Right),
        end(240.0, 120.0, Face::Left),
        Standing::Common,
    );
    assert!(round.len() > 2);
    assert!(round.windows(2).all(|w| !wall.is_crossed_by(w[0], w[1])));
}

#[test]
fn two_wires_do_not_share_a_run() {
    let mut grid = Grid::over(Rect::new(0.0, 0.0, 240.0, 240.0));
    grid.block(Rect::new(96.0, 96.0, 48.0, 48.0));
    let a = route(
        &mut grid,
        end(0.0, 108.0, Face::Right),
        end(240.0, 108.0, Face::Left),
        Standing::Common,
    );
    let b = route(
        &mut grid,
        end(0.0, 132.0, Face::Right),
        end(240.0, 132.0, Face::Left),
        Standing::Common,
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

/// A place to go on from: price with what lies ahead, price so far, column, row, direction.
type Come = Reverse<(u32, u32, i32, i32, usize)>;

/// The cheapest way, found by a plain search from place to place.
fn plain(prices: &[Price], job: &Job) -> Option<Vec<usize>> {
    let mut known: BTreeMap<(usize, usize), (u32, Option<usize>)> = BTreeMap::new();
    let mut heap: BinaryHeap<Come> = BinaryHeap::new();
    let open = |cell: usize, dir: usize, cost: u32| {
        let (x, y) = split(cell, job.row);
        Reverse((cost + job.ahead(cell, dir), cost, x, y, dir))
    };
    for dir in (0..4).filter(|dir| job.first[*dir]) {
        known.insert((job.start, dir), (0, None));
        heap.push(open(job.start, dir, 0));
    }
    while let Some(Reverse((_, cost, x, y, dir))) = heap.pop() {
        let cell = usize::try_from((y << job.row) + x).unwrap_or(0);
        if known[&(cell, dir)].0 < cost {
            continue;
        }
        if cell == job.goal {
            let (mut cell, mut dir) = (cell, dir);
            let mut way = vec![cell];
            while let Some(came) = known[&(cell, dir)].1 {
                cell = job.beside(cell, opposite(dir));
                dir = came;
                way.push(cell);
            }
            way.reverse();
            return Some(way);
        }
        for next in [dir, (dir + 1) % 4, (dir + 3) % 4] {
            let Some(step) = job.step(prices, cell, dir, next) else {
                continue;
            };
            let (to, cost) = (job.beside(cell, next), cost + step);
            if known.get(&(to, next)).is_none_or(|(old, _)| *old > cost) {
                known.insert((to, next), (cost, Some(dir)));
                heap.push(open(to, next, cost));
            }
        }
    }
    None
}

/// A way with its ends anywhere, and a grid of boxes, words and wires.
fn anywhere() -> impl Strategy<Value = (Grid, Vec<[usize; 4]>)> {
    let side = 16_usize;
    let place = move || (0..side, 0..side);
    let boxes = prop::collection::vec((place(), 1..5_usize, 1..5_usize, 0..4_u8), 0..12);
    let ways = prop::collection::vec((place(), place(), 0..4_usize, 0..4_usize), 1..8);
    (boxes, ways).prop_map(move |(boxes, ways)| {
        let far = |n: usize| f64::from(u32::try_from(n).unwrap_or(0)) * GRID;
        let mut grid = Grid::over(Rect::new(0.0, 0.0, far(side - 1), far(side - 1)));
        for ((x, y), w, h, kind) in boxes {
            let b = Rect::new(far(x), far(y), far(w), far(h));
            match kind {
                0 => grid.block(b),
                1 => grid.words(b),
                2 => grid.upright_bar(b.x, b.y, b.bottom()),
                _ => grid.level_bar(b.y, b.x, b.right()),
            }
        }
        let at = |(x, y): (usize, usize)| ((y + 1) << grid.row) + x + 1;
        let ways = ways.into_iter();
        let ways = ways.map(|(a, b, out, arrive)| [at(a), at(b), out, arrive]);
        let ways = ways.collect();
        (grid, ways)
    })
}

proptest! {
    #[test]
    fn the_router_finds_what_a_plain_search_finds(
        (mut grid, ways) in anywhere(),
        head_start in prop_oneof![Just(0), 1..200_usize, Just(HEAD_START)],
    ) {
        grid.search.head_start = head_start;
        grid.prices = grid.cells.iter().map(|cell| cell.price()).collect();
        for (nth, [start, goal, out, arrive]) in ways.into_iter().enumerate() {
            let mut job = Job { start, goal, first: [false; 4], last: [false; 4], row: grid.row };
            job.first[out] = true;
            job.last[arrive] = true;
            // Some may leave or arrive any way but one.
            if nth % 3 == 0 {
                job.first = [true; 4];
                job.first[opposite(out)] = false;
                job.last = [true; 4];
                job.last[opposite(arrive)] = false;
            }
            let found = grid.search.cheapest(&grid.prices, &job);
            let wanted = if start == goal { None } else { plain(&grid.prices, &job) };
            prop_assert_eq!(&found, &wanted);
            if let Some(way) = found {
                let cells: Vec<(i32, i32)> = way.into_iter().map(|i| grid.place(i)).collect();
                grid.occupy(&cells, if nth % 2 == 0 { Standing::Straight } else { Standing::Common });
            }
        }
    }
}

/// A wire out of a pocket of others, found from its far end, takes the way that a plain search finds.
#[test]
fn a_wire_jammed_at_one_end_is_found_from_the_other() {
    let mut grid = Grid::over(Rect::new(0.0, 0.0, 720.0, 720.0));
    for ring in 0..6 {
        let far = 48.0 + 24.0 * f64::from(ring);
        for x in [360.0 - far, 360.0 + far] {
            grid.upright_bar(x, 360.0 - far, 360.0 + far);
            grid.upright_bar(x + GRID, 360.0 - far, 360.0 + far);
        }
        for y in [360.0 - far, 360.0 + far] {
            grid.level_bar(y, 360.0 - far, 360.0 + far);
            grid.level_bar(y + GRID, 360.0 - far, 360.0 + far);
        }
    }
    grid.prices = grid.cells.iter().map(|cell| cell.price()).collect();
    let at = |x: usize, y: usize| ((y + 1) << grid.row) + x + 1;
    for (start, goal) in [(at(2, 2), at(30, 30)), (at(30, 30), at(2, 2))] {
        let job = Job {
            start,
            goal,
            first: [true, false, false, false],
            last: [false, false, true, false],
            row: grid.row,
        };
        let wanted = plain(&grid.prices, &job);
        assert!(wanted.is_some());
        grid.search.head_start = 0;
        assert_eq!(grid.search.cheapest(&grid.prices, &job), wanted);
        grid.search.head_start = HEAD_START;
        assert_eq!(grid.search.cheapest(&grid.prices, &job), wanted);
    }
}
