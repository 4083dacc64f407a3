//! Every arrangement on every engine builds a sound map or is refused with its reason.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use super::*;
use crate::engine::{Layout, Strokes};
use crate::model::{PartKind, check as check_map};
use crate::provenance::{Fact, Provenance};
use crate::units::Degrees;

const VEE: Layout = Layout::Vee {
    bank_angle: Degrees::lit(90.0),
};

fn order(numbers: &[u8]) -> Vec<CylinderId> {
    numbers.iter().copied().map(CylinderId).collect()
}

fn plan(cylinders: u8, layout: Layout, arrangement: Arrangement) -> Plan {
    Plan {
        arrangement,
        ..Plan::new("Test", propose_engine(cylinders, layout, Strokes::Four))
    }
}

/// Four-stroke plans of every count, layout, arrangement and place of the drivers.
fn every_plan() -> Vec<Plan> {
    let mut plans = Vec::new();
    for cylinders in 1..=MOST_CYLINDERS {
        for layout in [Layout::Inline, VEE, Layout::Flat, Layout::Custom] {
            for arrangement in [
                Arrangement::Pairs,
                Arrangement::OneEach,
                Arrangement::Distributor,
                Arrangement::TwoDistributors,
            ] {
                for drivers in [DriversIn::Unit, DriversIn::Module, DriversIn::Coil] {
                    plans.push(Plan {
                        drivers,
                        ..plan(cylinders, layout, arrangement)
                    });
                    plans.push(Plan {
                        drivers,
                        housing: Housing::Packs(3),
                        plugs: PlugsEach::Two,
                        supply: SupplyBy::Key,
                        inline: Inline::PerBank,
                        injectors: Injectors::Drawn,
                        ..plan(cylinders, layout, arrangement)
                    });
                }
            }
        }
    }
    plans
}

#[test]
fn proposed_orders_name_each_cylinder_once() {
    for cylinders in 1..=MOST_CYLINDERS {
        for layout in [Layout::Inline, VEE, Layout::Flat, Layout::Custom] {
            let engine = propose_engine(cylinders, layout, Strokes::Four);
            let mut named = propose_order(cylinders, layout);
            assert_eq!(named.first(), Some(&CylinderId(1)));
            named.sort_unstable();
            assert_eq!(named, engine.cylinders());
        }
    }
    assert_eq!(propose_order(4, Layout::Inline), order(&[1, 3, 4, 2]));
    assert_eq!(propose_order(6, Layout::Inline), order(&[1, 5, 3, 6, 2, 4]));
}

#[test]
fn every_plan_builds_or_is_refused_for_a_true_reason() {
    let (mut built, mut refused) = (0, 0);
    for plan in every_plan() {
        let cylinders = plan.engine.cylinders().len();
        match build(&plan) {
            Ok(harness) => {
                built += 1;
                sound(&plan, &harness);
            }
            Err(PlanError::NoCompanion { alone }) => {
                refused += 1;
                assert!(!alone.is_empty() && cylinders % 2 == 1);
            }
            Err(PlanError::NothingToDistribute { distributors, .. }) => {
                refused += 1;
                assert!(cylinders < 2 * distributors || cylinders % distributors == 1);
            }
            Err(other) => panic!("{other}"),
        }
    }
    assert!(
        built > 500 && refused > 100,
        "{built} built, {refused} refused"
    );
}

/// Every wire and lead ends at a terminal that exists, every plug is reached, ids are unique.
fn sound(plan: &Plan, harness: &Harness) {
    assert_eq!(check_map(harness), [], "{plan:?}");
    let ends: Vec<_> = harness
        .wires
        .values()
        .flat_map(|wire| [wire.from.unwrap(), wire.to.unwrap()])
        .chain(
            harness
                .parts
                .keys()
                .filter_map(|id| harness.lead(*id))
                .flat_map(|lead| [lead.from.unwrap(), lead.to.unwrap()]),
        )
        .collect();
    for end in &ends {
        assert_eq!(end.how, Provenance::Assumed);
        assert!(harness.has_terminal(end.value), "{:?}", end.value);
    }
    let plugs = harness.parts.keys().filter_map(|id| harness.plug(*id));
    let sets = match plan.plugs {
        PlugsEach::One => 1,
        PlugsEach::Two => 2,
    };
    assert_eq!(plugs.count(), sets * plan.engine.cylinders().len());
    let drivers: BTreeSet<_> = harness.drivers().map(|(_, driver)| driver.id).collect();
    let coils = harness
        .parts
        .keys()
        .filter(|id| harness.coil(**id).is_some());
    assert_eq!(coils.count(), drivers.len());
}

#[test]
fn an_odd_fire_six_has_no_pairs_and_says_so() {
    let mut engine = propose_engine(6, VEE, Strokes::Four);
    let angles = [0.0, 90.0, 240.0, 330.0, 480.0, 570.0];
    engine.firing = Fact::assumed(Firing::At(angles.map(Degrees::lit).to_vec()));
    let plan = Plan {
        arrangement: Arrangement::Pairs,
        ..Plan::new("Test", engine)
    };
    let refused = build(&plan).unwrap_err();
    assert_eq!(
        refused,
        PlanError::NoCompanion {
            alone: order(&[1, 2, 3, 4, 5, 6])
        }
    );
    assert!(refused.to_string().contains("cylinder 1, 2, 3, 4, 5, 6"));
}

#[test]
fn wrong_engines_are_refused() {
    let good = Plan::new("Test", propose_engine(4, Layout::Inline, Strokes::Four));
    let with = |change: fn(&mut Plan)| {
        let mut plan = good.clone();
        change(&mut plan);
        build(&plan).unwrap_err()
    };
    assert_eq!(
        with(|plan| plan.engine.banks.clear()),
        PlanError::Cylinders { found: 0 }
    );
    assert_eq!(
        with(|plan| plan.engine.order.value = order(&[1, 3, 3, 2])),
        PlanError::Order {
            order: 4,
            cylinders: 4
        }
    );
    assert_eq!(
        with(|plan| plan.engine.firing.value = Firing::At(vec![Degrees::ZERO])),
        PlanError::Angles {
            order: 4,
            angles: 1
        }
    );
    assert_eq!(
        with(|plan| plan.housing = Housing::Packs(1)),
        PlanError::EmptyPack
    );
}

#[test]
fn a_pack_shares_housing_plug_and_splice() {
    let plan = Plan {
        housing: Housing::Packs(3),
        ..plan(6, VEE, Arrangement::Pairs)
    };
    let harness = build(&plan).unwrap();
    let packs: BTreeSet<_> = harness
        .parts
        .keys()
        .filter_map(|id| harness.coil(*id))
        .map(|coil| coil.pack)
        .collect();
    assert_eq!(packs.len(), 1);
    let cavities: Vec<_> = harness
        .parts
        .values()
        .filter_map(|part| {
            if let PartKind::Connector(connector) = &part.kind {
                Some(connector.cavities.len())
            } else {
                None
            }
        })
        .collect();
    assert_eq!(cavities, [4], "one feed and three controls");
}
