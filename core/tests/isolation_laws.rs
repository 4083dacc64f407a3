//! Laws of belief and choice, by random tables against plain oracles.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::{BTreeSet, HashMap};

use proptest::prelude::*;
use sparktrail_core::isolation::exact::{Probe, Problem};
use sparktrail_core::isolation::searches::Search;
use sparktrail_core::isolation::{
    AccessSet, Acts, Belief, Cost, LastSuspect, Repair, Suspects, Table, TestIndex, blend_unknown,
    expected_cost, information, minimal_hitting_sets, rank, repair_order, repeated,
};

const N: usize = 12;

fn priors() -> impl Strategy<Value = Vec<(f64, usize)>> {
    proptest::collection::vec((0.001..1.0_f64, 0..4_usize), N).prop_map(|mut given| {
        for (unit, slot) in given.iter_mut().take(4).enumerate() {
            slot.1 = unit;
        }
        given
    })
}

fn rows(n: usize) -> impl Strategy<Value = Vec<Vec<f64>>> {
    proptest::collection::vec(proptest::collection::vec(0.01..1.0_f64, N), n)
}

fn test_rows(raw: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let sums: Vec<f64> = (0..N).map(|h| raw.iter().map(|r| r[h]).sum()).collect();
    raw.iter()
        .map(|r| r.iter().zip(&sums).map(|(p, s)| p / s).collect())
        .collect()
}

fn same(a: &[f64], b: &[f64]) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn belief_sums_to_one_and_agrees_with_the_plain_product(given in priors(), seen in rows(6)) {
        let suspects = Suspects::new(&given).unwrap();
        let belief = Belief::of(&suspects, &seen).unwrap();
        prop_assert!((belief.suspects().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        prop_assert!((belief.units().iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let plain: Vec<f64> = (0..N)
            .map(|h| given[h].0 * seen.iter().map(|r| r[h]).product::<f64>())
            .collect();
        let total: f64 = plain.iter().sum();
        let plain: Vec<f64> = plain.iter().map(|p| p / total).collect();
        prop_assert!(same(belief.suspects(), &plain));
    }

    #[test]
    fn the_order_of_findings_does_not_matter(given in priors(), seen in rows(6), turn in 0..6_usize) {
        let suspects = Suspects::new(&given).unwrap();
        let mut other = seen.clone();
        other.rotate_left(turn);
        other.swap(0, 3);
        // Equal to the last bit.
        prop_assert_eq!(Belief::of(&suspects, &seen).unwrap(), Belief::of(&suspects, &other).unwrap());
    }

    #[test]
    fn taking_back_equals_never_having_had(given in priors(), seen in rows(6), out in 0..6_usize) {
        let suspects = Suspects::new(&given).unwrap();
        let without: Vec<Vec<f64>> =
            seen.iter().enumerate().filter(|(i, _)| *i != out).map(|(_, r)| r.clone()).collect();
        let mut taken_back = seen.clone();
        taken_back.remove(out);
        let never = Belief::of(&suspects, &without).unwrap();
        prop_assert_eq!(Belief::of(&suspects, &taken_back).unwrap(), never.clone());
        // And dividing the row out again says the same.
        let undone: Vec<f64> = seen[out].iter().map(|p| 0.01 / p).collect();
        let mut both = seen.clone();
        both.push(undone);
        prop_assert!(same(Belief::of(&suspects, &both).unwrap().suspects(), never.suspects()));
    }

    #[test]
    fn what_all_suspects_predict_alike_changes_nothing(given in priors(), seen in rows(3), p in 1e-9..1.0_f64) {
        let suspects = Suspects::new(&given).unwrap();
        let before = Belief::of(&suspects, &seen).unwrap();
        let mut more = seen.clone();
        more.push(vec![p; N]);
        let after = Belief::of(&suspects, &more).unwrap();
        prop_assert!(same(before.suspects(), after.suspects()));
        let mut table = Table::new(suspects);
        table.add_test(&[vec![p; N], vec![1.0 - p; N]]).unwrap();
        prop_assert!(information(&table, &before)[0] < 1e-5);
    }

    #[test]
    fn relabelling_changes_nothing(given in priors(), seen in rows(3), raw in rows(3), shift in 1..N) {
        let moved = |row: &Vec<f64>| { let mut r = row.clone(); r.rotate_left(shift); r };
        let relabelled: Vec<(f64, usize)> = {
            let mut g: Vec<(f64, usize)> = given.iter().map(|(p, u)| (*p, 3 - u)).collect();
            g.rotate_left(shift);
            g
        };
        let (a, b) = (Suspects::new(&given).unwrap(), Suspects::new(&relabelled).unwrap());
        let seen_moved: Vec<Vec<f64>> = seen.iter().map(moved).collect();
        let (before, after) = (Belief::of(&a, &seen).unwrap(), Belief::of(&b, &seen_moved).unwrap());
        prop_assert!(same(&moved(&before.suspects().to_vec()), after.suspects()));
        let units: Vec<f64> = after.units().iter().rev().copied().collect();
        prop_assert!(same(before.units(), &units));
        let test = test_rows(&raw);
        let test_moved: Vec<Vec<f64>> = test.iter().map(moved).collect();
        let (mut ta, mut tb) = (Table::new(a), Table::new(b));
        ta.add_test(&test).unwrap();
        tb.add_test(&test_moved).unwrap();
        prop_assert!((information(&ta, &before)[0] - information(&tb, &after)[0]).abs() < 1e-5);
    }

    /// Oracle: mutual information by summing over every outcome, unit and suspect.
    #[test]
    fn information_agrees_with_the_plain_sum(given in priors(), seen in rows(2), raw in rows(3)) {
        let suspects = Suspects::new(&given).unwrap();
        let belief = Belief::of(&suspects, &seen).unwrap();
        let test = test_rows(&raw);
        let mut table = Table::new(suspects);
        table.add_test(&test).unwrap();
        let mut bits = 0.0;
        for row in &test {
            let p_o: f64 = (0..N).map(|h| row[h] * belief.suspect(h)).sum();
            for unit in 0..4 {
                let joint: f64 = table.suspects().of_unit(unit).iter().map(|h| row[*h] * belief.suspect(*h)).sum();
                bits += joint * (joint / (p_o * belief.unit(unit))).log2();
            }
        }
        prop_assert!((information(&table, &belief)[0] - bits).abs() < 1e-5);
    }

    #[test]
    fn ranking_never_offers_what_is_done_or_tells_nothing(given in priors(), raw in rows(3)) {
        let mut table = Table::new(Suspects::new(&given).unwrap());
        let test = test_rows(&raw);
        table.add_test(&test).unwrap();
        table.add_test(&test).unwrap();
        table.add_test(&[vec![1.0; N]]).unwrap();
        let acts = Acts {
            costs: vec![
                Cost { minutes: 2.0, risk: 0.0, access: AccessSet::one(0).unwrap() },
                Cost { minutes: 3.0, risk: 0.0, access: AccessSet::NONE },
                Cost::default(),
            ],
            access: vec![10.0],
        };
        let belief = Belief::prior(table.suspects());
        let order = |paid, done: &[usize]| -> Vec<usize> {
            let done: BTreeSet<TestIndex> = done.iter().map(|t| TestIndex(*t)).collect();
            rank(&table, &belief, &acts, paid, &done).iter().map(|c| c.test.0).collect()
        };
        let told = information(&table, &belief)[0] > 1e-4;
        if told {
            prop_assert_eq!(order(AccessSet::NONE, &[]), [1, 0]);
            // Once the way is open, the shorter test is the better one.
            prop_assert_eq!(order(AccessSet::one(0).unwrap(), &[]), [0, 1]);
            prop_assert_eq!(order(AccessSet::NONE, &[1]), [0]);
        }
    }

    /// Oracle: all subsets tried.
    #[test]
    fn hitting_sets_agree_with_brute_force(masks in proptest::collection::vec(1..128_u32, 0..7)) {
        let family: Vec<BTreeSet<usize>> =
            masks.iter().map(|m| (0..7).filter(|i| m >> i & 1 == 1).collect()).collect();
        let hits = |s: u32| masks.iter().all(|m| m & s != 0);
        let minimal: BTreeSet<BTreeSet<usize>> = (0..128_u32)
            .filter(|s| hits(*s) && (0..7).all(|i| s >> i & 1 == 0 || !hits(s & !(1 << i))))
            .map(|s| (0..7).filter(|i| s >> i & 1 == 1).collect())
            .collect();
        let found: BTreeSet<BTreeSet<usize>> = minimal_hitting_sets(&family, 7).into_iter().collect();
        prop_assert_eq!(&found, &minimal);
        let pairs: BTreeSet<BTreeSet<usize>> = minimal_hitting_sets(&family, 2).into_iter().collect();
        let short: BTreeSet<BTreeSet<usize>> = minimal.into_iter().filter(|s| s.len() <= 2).collect();
        prop_assert_eq!(pairs, short);
    }

    /// Oracle: all orders tried. Openings nest: {}, {0}, {0,1}, {0,1,2}, {3}, {3,4}.
    #[test]
    fn repair_order_is_the_cheapest_there_is(
        given in proptest::collection::vec((0.01..1.0_f64, 0.5..30.0_f64, 0..6_usize), 1..7),
        access in proptest::collection::vec(0.0..40.0_f64, 5),
    ) {
        let nests: [&[usize]; 6] = [&[], &[0], &[0, 1], &[0, 1, 2], &[3], &[3, 4]];
        let total: f64 = given.iter().map(|(p, _, _)| p).sum();
        let repairs: Vec<Repair> = given.iter().enumerate().map(|(unit, (p, minutes, nest))| Repair {
            unit,
            chance: p / total,
            cost: Cost {
                minutes: *minutes,
                risk: 0.0,
                access: nests[*nest].iter().filter_map(|n| AccessSet::one(*n))
                    .fold(AccessSet::NONE, AccessSet::with),
            },
        }).collect();
        let list = repair_order(&repairs, &access, AccessSet::NONE);
        let mut best = f64::INFINITY;
        let mut order: Vec<usize> = (0..repairs.len()).collect();
        permute(&mut order, 0, &mut |order| {
            best = best.min(expected_cost(&repairs, order, &access, AccessSet::NONE, LastSuspect::Tested));
        });
        prop_assert!(list.cost <= best + 1e-9, "{} against {}", list.cost, best);
    }

    /// Oracle: plain recursion over all trees, without bounds or merged classes.
    #[test]
    fn the_exact_tree_is_the_cheapest_there_is(
        weights in proptest::collection::vec(0.05..1.0_f64, 6),
        units in proptest::collection::vec(0..4_usize, 6),
        masks in proptest::collection::vec((1..63_u8, 1.0..20.0_f64, 0..3_usize), 5),
    ) {
        let suspects: Vec<(f64, usize)> = weights.iter().copied().zip(units).collect();
        let access = vec![7.0, 15.0];
        let probes: Vec<Probe> = masks.iter().map(|(mask, minutes, opening)| Probe {
            outcome: (0..6).map(|i| u16::from(mask >> i & 1)).collect(),
            cost: Cost { minutes: *minutes, risk: 0.0, access: AccessSet::one(*opening).filter(|_| *opening < 2).unwrap_or_default() },
            aim: None,
        }).collect();
        let problem = Problem::new(&suspects, &probes, access.clone()).unwrap();
        let best = problem.optimal(1_000_000).unwrap();
        let plain = plain_best(&suspects, &probes, &access, &mut HashMap::new(), 63, AccessSet::NONE);
        prop_assert!((best.cost - plain).abs() < 1e-9, "{} against {}", best.cost, plain);
        for search in [Search::Planner, Search::Rollout { leading: 3 }, Search::SourceToLoad,
            Search::HalfSplit, Search::PriorOverCost, Search::Random(7)] {
            prop_assert!(problem.effort(search).cost >= best.cost - 1e-9);
        }
        let rolled = problem.effort(Search::Rollout { leading: 5 }).cost;
        prop_assert!(rolled <= problem.effort(Search::Planner).cost + 1e-9);
    }

    /// Three looks at one joint say hardly more than one; a contradiction is worth both.
    #[test]
    fn agreeing_repeats_count_once(given in priors(), look in rows(1), shared in 0.0..1.0_f64) {
        let suspects = Suspects::new(&given).unwrap();
        let once = Belief::of(&suspects, &look).unwrap();
        let three = vec![look[0].clone(), look[0].clone(), look[0].clone()];
        let luck = Belief::of(&suspects, &[repeated(&three, 1.0)]).unwrap();
        prop_assert!(same(once.suspects(), luck.suspects()));
        let independent = Belief::of(&suspects, &three).unwrap();
        let apart = Belief::of(&suspects, &[repeated(&three, 0.0)]).unwrap();
        prop_assert!(same(independent.suspects(), apart.suspects()));
        let row = repeated(&three, shared);
        prop_assert!(row.iter().zip(&look[0]).all(|(r, p)| *r <= *p && *r >= shared * p));
    }

    /// A pass clears a fault that comes and goes only as far as the fault was there.
    #[test]
    fn unknown_stands_between_present_and_away(p in 0.0..1.0_f64, share in 0.0..1.0_f64, gone in 0.0..1.0_f64) {
        let row = blend_unknown(&[p], 1.0, &[share], gone);
        prop_assert!(row[0] >= p - 1e-12 && row[0] <= 1.0 + 1e-12);
    }
}

fn permute(order: &mut Vec<usize>, from: usize, then: &mut impl FnMut(&[usize])) {
    if from == order.len() {
        then(order);
        return;
    }
    for i in from..order.len() {
        order.swap(from, i);
        permute(order, from + 1, then);
        order.swap(from, i);
    }
}

fn plain_best(
    suspects: &[(f64, usize)],
    probes: &[Probe],
    access: &[f64],
    known: &mut HashMap<(u32, AccessSet), f64>,
    left: u32,
    paid: AccessSet,
) -> f64 {
    let members: Vec<usize> = (0..suspects.len()).filter(|i| left >> i & 1 == 1).collect();
    // Goal: no probe separates two suspects of different goals. A signature that several units
    // share is one goal of its own.
    let signature = |i: usize| -> Vec<u16> { probes.iter().map(|p| p.outcome[i]).collect() };
    let goal = |i: usize| -> (Option<usize>, Vec<u16>) {
        let alike: Vec<usize> = (0..suspects.len())
            .filter(|j| signature(*j) == signature(i))
            .collect();
        if alike.iter().all(|j| suspects[*j].1 == suspects[i].1) {
            (Some(suspects[i].1), Vec::new())
        } else {
            (None, signature(i))
        }
    };
    if members.iter().all(|i| goal(*i) == goal(members[0])) {
        return 0.0;
    }
    if let Some(cost) = known.get(&(left, paid)) {
        return *cost;
    }
    let whole: f64 = members.iter().map(|i| suspects[*i].0).sum();
    let mut best = f64::INFINITY;
    for probe in probes {
        let part = |o: u16| -> u32 {
            members
                .iter()
                .filter(|i| probe.outcome[**i] == o)
                .fold(0, |m, i| m | 1 << i)
        };
        let parts = [part(0), part(1)];
        if parts.contains(&0) {
            continue;
        }
        let opening: f64 = probe
            .cost
            .access
            .without(paid)
            .numbers()
            .map(|n| access[n])
            .sum();
        let mut cost = probe.cost.minutes + opening;
        for next in parts {
            let mass: f64 = members
                .iter()
                .filter(|i| next >> **i & 1 == 1)
                .map(|i| suspects[*i].0)
                .sum();
            cost += mass / whole
                * plain_best(
                    suspects,
                    probes,
                    access,
                    known,
                    next,
                    paid.with(probe.cost.access),
                );
        }
        best = best.min(cost);
    }
    known.insert((left, paid), best);
    best
}

/// Source: V12 size as measured for the design: 1,058 suspects, 527 tests, 1,680 rows.
#[test]
#[ignore = "a stopwatch: run it alone, in release"]
fn a_v12_sized_table_is_quick() {
    let n = 1058;
    let given: Vec<(f64, usize)> = (0..n).map(|h| (1.0, h / 4)).collect();
    let mut table = Table::new(Suspects::new(&given).unwrap());
    for t in 0..527_usize {
        let outcomes = if t < 99 { 4 } else { 3 };
        let mut raw = vec![vec![0.02; n]; outcomes];
        for h in 0..n {
            raw[(h * 7 + t * 13 + h * t) % outcomes][h] =
                1.0 - 0.02 * f64::from(u32::try_from(outcomes - 1).unwrap());
        }
        table.add_test(&raw).unwrap();
    }
    assert_eq!(table.rows(), 1680);
    let seen: Vec<Vec<f64>> = (0..10)
        .map(|t| table.row(TestIndex(t), 0).unwrap())
        .collect();
    let mut best = f64::INFINITY;
    for _ in 0..20 {
        let start = std::time::Instant::now();
        let belief = Belief::of(table.suspects(), &seen).unwrap();
        let bits = information(&table, &belief);
        std::hint::black_box(bits);
        best = best.min(start.elapsed().as_secs_f64() * 1e3);
    }
    println!("belief of ten findings and all informations: {best:.2} ms");
    assert!(best < 6.0, "{best} ms");
}
