//! Every arrangement on every engine builds a sound map or is refused with its reason.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeSet;

use super::*;
use crate::edit::{Command, apply};
use crate::engine::{Layout, Strokes};
use crate::model::{PartKind, Works, check as check_map};
use crate::provenance::{Fact, Provenance};
use crate::topology::Topology;
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
        PlugsEach::Two | PlugsEach::TwoOnOneCoil => 2,
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
    assert!(refused.to_string().contains("cylinders 1, 2, 3, 4, 5, 6"));
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

/// Cylinders fed through each part of a kind, by the part's name.
fn fed(harness: &Harness, wanted: impl Fn(&PartKind) -> bool) -> Vec<(String, Vec<u8>)> {
    let topology = Topology::of(harness);
    harness
        .parts
        .iter()
        .filter(|(_, part)| wanted(&part.kind))
        .map(|(id, part)| {
            let mut cylinders: Vec<u8> = harness
                .elements()
                .into_iter()
                .filter(|element| harness.part_of(*element) == Some(*id))
                .flat_map(|element| topology.dependents(element))
                .map(|cylinder| cylinder.0)
                .collect();
            cylinders.sort_unstable();
            cylinders.dedup();
            (part.name.clone(), cylinders)
        })
        .collect()
}

fn row_packs(cylinders: u8, layout: Layout, arrangement: Arrangement, feeds: Feeds) -> Plan {
    Plan {
        housing: Housing::RowPacks(feeds),
        ..plan(cylinders, layout, arrangement)
    }
}

#[test]
fn a_pack_on_a_row_feeds_its_own_row_or_the_opposite_one() {
    let is_connector = |kind: &PartKind| matches!(kind, PartKind::Connector(_));
    for (feeds, left, right) in [
        (Feeds::OwnRow, [1, 2, 3], [4, 5, 6]),
        (Feeds::OppositeRow, [4, 5, 6], [1, 2, 3]),
    ] {
        let mut plan = row_packs(6, VEE, Arrangement::OneEach, feeds);
        plan.engine.banks = rows(6, VEE, Numbering::RowByRow);
        let harness = build(&plan).unwrap();
        sound(&plan, &harness);
        let mut plugs = fed(&harness, is_connector);
        plugs.sort();
        let expected = [
            ("Left row pack plug".to_owned(), left.to_vec()),
            ("Right row pack plug".to_owned(), right.to_vec()),
        ];
        assert_eq!(plugs, expected);
    }
}

/// Tops of a V8 with a flat crank coincide within a row, so packs of double-ended coils keep to theirs.
#[test]
fn pairs_of_a_flat_crank_eight_keep_to_their_row() {
    let mut plan = row_packs(8, VEE, Arrangement::Pairs, Feeds::OppositeRow);
    plan.engine.banks = rows(8, VEE, Numbering::RowByRow);
    plan.engine.order.value = order(&[1, 5, 3, 7, 4, 8, 2, 6]);
    let harness = build(&plan).unwrap();
    sound(&plan, &harness);
    let refused = build(&row_packs(8, VEE, Arrangement::Pairs, Feeds::OwnRow)).unwrap_err();
    let expected = PlanError::AcrossRows {
        cylinders: order(&[1, 6]),
    };
    assert_eq!(refused, expected);
    assert!(refused.to_string().contains("cylinders 1, 6 feeds both"));
}

#[test]
fn packs_on_rows_are_refused_where_there_are_no_two_rows_of_them() {
    let refused = |cylinders, layout| {
        build(&row_packs(
            cylinders,
            layout,
            Arrangement::OneEach,
            Feeds::OwnRow,
        ))
        .unwrap_err()
    };
    assert_eq!(
        refused(4, Layout::Inline),
        PlanError::RowsForPacks { rows: 1 }
    );
    assert_eq!(refused(2, VEE), PlanError::EmptyPack);
}

#[test]
fn both_plugs_of_a_cylinder_hang_on_its_coil() {
    let plan = Plan {
        plugs: PlugsEach::TwoOnOneCoil,
        ..plan(4, Layout::Flat, Arrangement::OneEach)
    };
    let harness = build(&plan).unwrap();
    sound(&plan, &harness);
    let coils = fed(&harness, |kind| matches!(kind, PartKind::Coil(_)));
    let cylinders: Vec<Vec<u8>> = coils.into_iter().map(|(_, fed)| fed).collect();
    assert_eq!(cylinders, [[1], [2], [3], [4]]);
    let pairs = Plan {
        arrangement: Arrangement::Pairs,
        ..plan
    };
    assert_eq!(build(&pairs), Err(PlanError::BothPlugsOneCoil));
}

#[test]
fn uneven_engines_build_and_pairs_are_refused_where_no_two_tops_coincide() {
    let (mut built, mut refused) = (0, 0);
    for cylinders in 1..=MOST_CYLINDERS {
        for layout in [Layout::Inline, VEE, Layout::Flat] {
            for arrangement in [Arrangement::Pairs, Arrangement::OneEach] {
                let mut plan = plan(cylinders, layout, arrangement);
                plan.engine.firing.value = Firing::At(propose_uneven(&plan.engine));
                match build(&plan) {
                    Ok(harness) => {
                        built += 1;
                        sound(&plan, &harness);
                    }
                    Err(error) => {
                        refused += 1;
                        assert_eq!(arrangement, Arrangement::Pairs);
                        let PlanError::NoCompanion { alone } = error else {
                            panic!("{error}");
                        };
                        let companions = plan.engine.companions();
                        assert!(
                            alone
                                .iter()
                                .any(|c| companions.of(*c).count().is_multiple_of(2))
                        );
                    }
                }
            }
        }
    }
    assert!(
        built > 50 && refused > 10,
        "{built} built, {refused} refused"
    );
}

/// Marks on a built map are findings, all in one change.
#[test]
fn several_cylinders_are_marked_in_one_change() {
    for arrangement in [
        Arrangement::Pairs,
        Arrangement::OneEach,
        Arrangement::Distributor,
    ] {
        let plan = plan(8, VEE, arrangement);
        let mut harness = build(&plan).unwrap();
        let marks = order(&[1, 6])
            .into_iter()
            .map(|cylinder| (cylinder, Works::Dead))
            .collect();
        let command = Command::MarkAll { marks, at: None };
        harness = apply(&harness, &command).unwrap();
        assert_eq!(harness.findings.len(), 2);
        assert_eq!(check_map(&harness), []);
    }
}
