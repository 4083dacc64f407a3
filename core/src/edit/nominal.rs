//! The numbers of parts and wires by their place, and what they can be.

use crate::model::{FactAt, FactValue, Harness, Quantity};
use crate::provenance::Fact;

/// A value beyond what the map check lets pass by more than this many times is a slip of the pen.
const SLIP: f64 = 10.0;

/// What is measured at a fact; `None` where the fact is no number.
#[must_use]
pub const fn quantity(at: FactAt) -> Option<Quantity> {
    at.quantity()
}

/// The least and the greatest value that [`super::Command::SetNominal`] takes, in the unit of the
/// quantity's range: wide enough for a broken part, too narrow for a slipped decimal point.
#[must_use]
pub fn allowed(quantity: Quantity) -> (f64, f64) {
    let (low, high) = quantity.range().passes;
    (low / SLIP, high * SLIP)
}

/// The number at a fact, in the unit of its quantity's range; a wire's gauge is told as its area.
/// `None` while it is unknown, and where there is no such fact.
#[must_use]
pub fn nominal(harness: &Harness, at: FactAt) -> Option<Fact<f64>> {
    quantity(at)?;
    let fact = harness.fact(at)?;
    let number = match fact.value {
        FactValue::Number(number) => number,
        FactValue::Size(size) => size.area().get(),
        FactValue::Colour(_)
        | FactValue::Terminal(_)
        | FactValue::Label(_)
        | FactValue::Role(_)
        | FactValue::Cylinder(_)
        | FactValue::Order(_)
        | FactValue::Firing(_) => return None,
    };
    Some(Fact {
        value: number,
        how: fact.how,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
    use std::sync::Arc;

    use super::*;
    use crate::edit::layouts::{Injectors, Plan, build, propose_engine};
    use crate::edit::{Command, EditError, History, apply, facts};
    use crate::engine::{Layout, Strokes};
    use crate::model::PartId;

    fn example() -> Harness {
        let engine = propose_engine(4, Layout::Inline, Strokes::Four);
        let plan = Plan {
            injectors: Injectors::Drawn,
            ..Plan::new("Test", engine)
        };
        build(&plan).unwrap()
    }

    #[test]
    fn every_number_of_a_map_is_read_set_taken_away_and_brought_back() {
        let harness = Arc::new(example());
        let mut seen = 0;
        for (at, how) in facts(&harness) {
            let Some(quantity) = quantity(at) else {
                continue;
            };
            seen += 1;
            let before = nominal(&harness, at).unwrap();
            assert_eq!(before.how, how, "{at:?}");
            let (low, high) = allowed(quantity);
            let value = f64::midpoint(low, high);
            let mut history = History::new(Arc::clone(&harness));
            let fact = Some(Fact::measured(value));
            history
                .apply(Command::SetNominal { at, value: fact })
                .unwrap();
            assert_eq!(nominal(history.now(), at), fact, "{at:?}");
            history
                .apply(Command::SetNominal { at, value: None })
                .unwrap();
            assert_eq!(nominal(history.now(), at), None, "{at:?}");
            history.undo();
            history.undo();
            assert_eq!(**history.now(), *harness);
        }
        assert!(seen > 20, "{seen}");
    }

    #[test]
    fn a_slip_of_the_pen_is_refused_and_nothing_changes() {
        let harness = example();
        let (at, _) = facts(&harness)
            .into_iter()
            .find(|(at, _)| matches!(at, FactAt::PrimaryResistance(_)))
            .unwrap();
        for value in [f64::NAN, f64::INFINITY, -0.5, 550.0] {
            let value = Some(Fact::measured(value));
            let refused = apply(&harness, &Command::SetNominal { at, value });
            assert_eq!(refused, Err(EditError::OutOfRange(Quantity::Primary)));
        }
        let message = EditError::OutOfRange(Quantity::Primary).to_string();
        assert!(
            message.contains("0.015") && message.contains("40 Ω"),
            "{message}"
        );
        let gone = PartId(u32::MAX - 1);
        let at = FactAt::PlugGap(gone);
        let value = Some(Fact::measured(0.8));
        let refused = apply(&harness, &Command::SetNominal { at, value });
        assert_eq!(refused, Err(EditError::NoPart(gone)));
    }
}
