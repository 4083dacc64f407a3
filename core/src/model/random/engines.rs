//! Random engines.

use super::Dice;
use crate::engine::{Bank, CylinderId, Engine, Firing, Layout, Strokes};
use crate::provenance::Fact;
use crate::units::Degrees;

/// An engine of one to so many cylinders, its firing order a permutation.
pub(super) fn engine(dice: &mut Dice, most_cylinders: u8) -> Engine {
    let many = u8::try_from(dice.below(most_cylinders.into())).unwrap_or(0) + 1;
    let all: Vec<CylinderId> = (1..=many).map(CylinderId).collect();
    let strokes = if dice.often(85) {
        Strokes::Four
    } else {
        Strokes::Two
    };
    let layout = match dice.below(4) {
        0 => Layout::Inline,
        1 => Layout::Vee {
            bank_angle: Degrees::lit(dice.pick(&[45.0, 60.0, 72.0, 90.0, 120.0])),
        },
        2 => Layout::Flat,
        _ => Layout::Custom,
    };
    let banks = match layout {
        Layout::Inline => vec![bank("", &all)],
        Layout::Vee { .. } | Layout::Flat | Layout::Custom => {
            let split = all.len().div_ceil(2);
            let (left, right) = all.split_at(split);
            if right.is_empty() {
                vec![bank("left", left)]
            } else {
                vec![bank("left", left), bank("right", right)]
            }
        }
    };
    let mut order = all;
    dice.shuffle(&mut order);
    let firing = if dice.often(75) {
        Firing::Even
    } else {
        Firing::At(odd_angles(dice, many, strokes))
    };
    Engine {
        strokes,
        layout,
        banks,
        order: Fact::assumed(order),
        firing: Fact::diagram(firing),
    }
}

fn bank(name: &str, cylinders: &[CylinderId]) -> Bank {
    Bank {
        name: name.into(),
        cylinders: cylinders.to_vec(),
    }
}

/// Rising crank angles from 0, in whole degrees, within one cycle.
fn odd_angles(dice: &mut Dice, many: u8, strokes: Strokes) -> Vec<Degrees> {
    let cycle = match strokes {
        Strokes::Two => 360.0,
        Strokes::Four => 720.0,
    };
    let step = cycle / f64::from(many);
    (0..many)
        .map(|place| {
            let shift = if place == 0 {
                0.0
            } else {
                dice.between(-0.3, 0.3) * step
            };
            Degrees::lit((f64::from(place) * step + shift).round())
        })
        .collect()
}
