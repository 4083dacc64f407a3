//! Unknown pins traced on hidden cars: rounds of unplugging beside their bound, and the time of one step.

use std::collections::BTreeSet;

use sparktrail_core::trace::trials::{Hidden, Reads, hidden};
use sparktrail_core::trace::{Coverage, Nothing, Use, Way, rounds_at_most};

use crate::Row;
use crate::stopwatch::median_ms;

/// Cars of each size.
const SEEDS: u64 = 12;
const COILS: [u8; 4] = [4, 6, 8, 12];
const OTHERS: [Use; 5] = [
    Use::Injector,
    Use::Relay,
    Use::Feed,
    Use::Ground,
    Use::Signal,
];

pub(crate) fn rows() -> Vec<Row> {
    let mut over = 0;
    let mut lost = 0;
    let mut told = Vec::new();
    for coils in COILS {
        let mut most = 0;
        let mut bounds = Vec::new();
        for (coverage, nothing) in [
            (Coverage::All, Nothing::Excluded),
            (Coverage::Some, Nothing::Possible),
        ] {
            let bound = rounds_at_most(usize::from(coils), nothing);
            bounds.push(bound.to_string());
            for seed in 0..SEEDS {
                let (rounds, wrong) = traced(coils, coverage, seed);
                most = most.max(rounds);
                lost += wrong;
                over = over.max(rounds.saturating_sub(bound));
            }
        }
        told.push(format!("{coils}: {most} of {}", bounds.join(" or ")));
    }
    vec![
        Row {
            name: "trace.rounds_over_bound".into(),
            value: f64::from(over),
            unit: "rounds",
            beside: None,
            note: format!(
                "coils: most rounds of the bound, where each coil has its pin or may have none; {}; {lost} pins ended wrong or open",
                told.join(", ")
            ),
        },
        step_row(),
    ]
}

/// A car on which continuity is set aside, so that rounds alone tell the coils apart.
fn car(coils: u8, coverage: Coverage, seed: u64) -> Hidden {
    let others: &[Use] = match coverage {
        Coverage::All => &OTHERS,
        Coverage::Some => &[Use::AnotherCoil, Use::Signal],
    };
    let mut car = hidden(coils, others, coverage, seed);
    car.trace.aside.insert(Way::Continuity);
    car
}

/// Rounds that a hidden car took, and how many pins did not end as what they are.
fn traced(coils: u8, coverage: Coverage, seed: u64) -> (u32, usize) {
    let (_, ended) = car(coils, coverage, seed).follow(Reads::Typical, &BTreeSet::new(), seed);
    (ended.rounds, ended.wrong.len())
}

fn step_row() -> Row {
    let car = car(12, Coverage::Some, 1);
    Row {
        name: "trace.next_ms".into(),
        value: median_ms(|| car.trace.next(&car.harness)),
        unit: "ms",
        beside: None,
        note: "the next measurement on 14 pins that may serve 12 coils".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_car_is_traced() {
        let (rounds, wrong) = traced(4, Coverage::Some, 1);
        assert_eq!((rounds, wrong), (3, 0));
    }
}
