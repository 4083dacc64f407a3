//! Proposals for an engine's rows, numbers and firing order, for the owner to correct.

use crate::engine::{Bank, CylinderId, Engine, Firing, Layout, Strokes};
use crate::provenance::Fact;
use crate::said::said;

/// How a two-row engine's cylinders are numbered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Numbering {
    /// One row first, then the other.
    RowByRow,
    /// Odd numbers in one row, even numbers in the other.
    Alternating,
}

/// The numbering that goes with [`propose_order`].
#[must_use]
pub fn propose_numbering(cylinders: u8, layout: Layout) -> Numbering {
    match (layout, cylinders) {
        (Layout::Vee { .. } | Layout::Flat, 4 | 8) | (Layout::Vee { .. }, 6) => {
            Numbering::Alternating
        }
        (Layout::Vee { .. } | Layout::Flat | Layout::Inline | Layout::Custom, _) => {
            Numbering::RowByRow
        }
    }
}

/// The rows of an engine, numbered from the front; one row where the layout has one.
#[must_use]
pub fn rows(cylinders: u8, layout: Layout, numbering: Numbering) -> Vec<Bank> {
    let row = |name: &str, numbers: Vec<u8>| Bank {
        name: name.into(),
        cylinders: numbers.into_iter().map(CylinderId).collect(),
    };
    match layout {
        Layout::Inline | Layout::Custom => vec![row(said("Row"), (1..=cylinders).collect())],
        Layout::Vee { .. } | Layout::Flat => {
            let (left, right): (Vec<u8>, Vec<u8>) = match numbering {
                Numbering::RowByRow => {
                    let first = cylinders.div_ceil(2);
                    (1..=cylinders).partition(|n| *n <= first)
                }
                Numbering::Alternating => (1..=cylinders).partition(|n| n % 2 == 1),
            };
            vec![row(said("Left row"), left), row(said("Right row"), right)]
        }
    }
}

/// A firing order that such an engine often has. Only the owner's car can tell the right one.
///
/// # Source
/// 1-3-4-2, 1-5-3-6-2-4, 1-8-4-3-6-5-7-2: Goodheart-Willcox, *Auto Engine Repair* (2021), fig. 6-2.
/// 1-2-4-5-3 and 1-3-5-7-2-4-6: encyclopedia text. The orders of flat, ten- and twelve-cylinder
/// engines: value from memory. All others: common practice, no source (mirrored crank in a row, odd
/// counts by every second cylinder, rows in turn).
#[must_use]
pub fn propose_order(cylinders: u8, layout: Layout) -> Vec<CylinderId> {
    let numbers: Vec<u8> = match (layout, cylinders) {
        (Layout::Inline | Layout::Custom, 5) => vec![1, 2, 4, 5, 3],
        (Layout::Inline | Layout::Custom, n) if n % 2 == 0 => mirrored(n),
        (Layout::Inline | Layout::Custom, n) => every_second(n),
        (Layout::Vee { .. }, 4) => vec![1, 3, 4, 2],
        (Layout::Flat, 4) => vec![1, 3, 2, 4],
        (Layout::Vee { .. }, 6) => vec![1, 2, 3, 4, 5, 6],
        (Layout::Flat, 6) => vec![1, 6, 2, 4, 3, 5],
        (Layout::Vee { .. } | Layout::Flat, 8) => vec![1, 8, 4, 3, 6, 5, 7, 2],
        (Layout::Vee { .. } | Layout::Flat, 10) => vec![1, 6, 5, 10, 2, 7, 3, 8, 4, 9],
        (Layout::Vee { .. } | Layout::Flat, 12) => {
            vec![1, 7, 5, 11, 3, 9, 6, 12, 2, 8, 4, 10]
        }
        (Layout::Vee { .. } | Layout::Flat, n) => rows_in_turn(n),
    };
    numbers.into_iter().map(CylinderId).collect()
}

/// An evenly firing engine with proposed numbers and firing order, all assumed.
#[must_use]
pub fn propose_engine(cylinders: u8, layout: Layout, strokes: Strokes) -> Engine {
    Engine {
        strokes,
        layout,
        banks: rows(cylinders, layout, propose_numbering(cylinders, layout)),
        order: Fact::assumed(propose_order(cylinders, layout)),
        firing: Fact::assumed(Firing::Even),
    }
}

/// 1, n−1, 3, n−3 … for the first turn of the crank, then their mirror images: 1-3-4-2, 1-5-3-6-2-4.
fn mirrored(n: u8) -> Vec<u8> {
    let first: Vec<u8> = (0..n / 2)
        .map(|i| if i % 2 == 0 { i + 1 } else { n - i })
        .collect();
    let second = first.iter().map(|c| n + 1 - c);
    first.iter().copied().chain(second).collect()
}

/// Odd numbers, then even ones: every second cylinder, twice round.
fn every_second(n: u8) -> Vec<u8> {
    (1..=n).step_by(2).chain((2..=n).step_by(2)).collect()
}

/// One of each row in turn.
fn rows_in_turn(n: u8) -> Vec<u8> {
    let first = n.div_ceil(2);
    (1..=first)
        .flat_map(|c| [c, c + first])
        .filter(|c| *c <= n)
        .collect()
}
