//! What a drawing leaves to the next one changes nothing but how long that takes.

use proptest::prelude::*;

use super::super::*;
use crate::edit::tests::random::command;
use crate::edit::{Command, apply};
use crate::model::random::{Dice, random_harness};
use crate::model::{DrawnAt, file};

/// Moves some part by some steps of the grid.
fn nudge(harness: &Harness, dice: &mut Dice) -> Command {
    let stands: Vec<(PartId, Point)> = Drawing::of(harness).stands.into_iter().collect();
    let Some((part, at)) = stands.get(dice.below(stands.len())) else {
        return Command::Put(Vec::new());
    };
    let far = |dice: &mut Dice| GRID * dice.between(-4.0, 4.0).round();
    let place = DrawnAt {
        x: at.x + far(dice),
        y: at.y + far(dice),
    };
    Command::Put(vec![(*part, Some(place))])
}

/// Changes a map step by step and holds each drawing that knows the last one beside one that does not.
fn drawn_alike(mut harness: Harness, dice: &mut Dice, steps: usize) -> Result<(), TestCaseError> {
    let mut ways = Ways::default();
    let mut proportions = Proportions::Wide;
    for _ in 0..steps {
        let next = if dice.often(60) {
            nudge(&harness, dice)
        } else {
            command(&harness, dice)
        };
        if let Ok(changed) = apply(&harness, &next) {
            harness = changed;
        }
        if dice.often(10) {
            proportions = match proportions {
                Proportions::Wide => Proportions::Tall,
                Proportions::Tall => Proportions::Wide,
            };
        }
        let again = Drawing::again(&harness, proportions, &mut ways);
        let whole = Drawing::proportioned(&harness, proportions);
        prop_assert!(again == whole, "{:?}", next);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_random_map_that_is_edited_is_drawn_as_if_for_the_first_time(seed in any::<u64>()) {
        drawn_alike(random_harness(seed, 8), &mut Dice::new(seed), 16)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn the_largest_sample_that_is_edited_is_drawn_as_if_for_the_first_time(seed in any::<u64>()) {
        let text = include_str!("../../../../sample-harnesses/silver-limousine.json");
        let harness = file::read(text).expect("a sample");
        drawn_alike(harness, &mut Dice::new(seed), 24)?;
    }
}

#[test]
fn a_step_of_the_hand_routes_few_wires_anew() {
    let text = include_str!("../../../../sample-harnesses/silver-limousine.json");
    let mut harness = file::read(text).expect("a sample");
    let mut ways = Ways::default();
    let drawing = Drawing::again(&harness, Proportions::Wide, &mut ways);
    let (mut looked, mut steps) = (0, 0);
    for (part, at) in drawing.stands {
        let place = DrawnAt {
            x: at.x + GRID,
            y: at.y,
        };
        harness = apply(&harness, &Command::Put(vec![(part, Some(place))])).expect("a place");
        let _ = Drawing::again(&harness, Proportions::Wide, &mut ways);
        looked += ways.looked();
        steps += 1;
    }
    let wires = harness.wires.len();
    assert!(looked * 2 < wires * steps, "{looked} of {}", wires * steps);
}
