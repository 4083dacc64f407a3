//! Practice: the same ticket is the same case, the bench obeys the electrics, and the planner finds what is hidden.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod common;

use sparktrail_core::electrics::Measure;
use sparktrail_core::isolation::{Answer, Case, Plan, Question, TestIndex};
use sparktrail_core::model::{FaultThen, Harness, OhmReading, Seen, Works};
use sparktrail_core::practice::{Bench, End, Level, PracticeError, Run, Ticket};

const ENGINE: &str = "blue-estate";

fn ticket(level: Level, seed: u64) -> Ticket {
    Ticket {
        engine: ENGINE.into(),
        level,
        seed,
    }
}

/// Case and plan are made once: a bench is then quick to set.
struct Shop {
    harness: Harness,
    case: Case<'static>,
    plan: Plan,
}

impl Shop {
    fn open(name: &str) -> Self {
        let harness = common::sample(name);
        let case = Case::owning(Bench::bare(&harness)).unwrap();
        let plan = Plan::of(&case);
        Self {
            harness,
            case,
            plan,
        }
    }

    fn bench(&self, level: Level, seed: u64) -> Result<Bench, PracticeError> {
        let case = self.case.reweighed(Bench::bare(&self.harness)).unwrap();
        Bench::set(&self.harness, case, self.plan.clone(), ticket(level, seed))
    }
}

fn worked(bench: &Bench) -> Run {
    let mut run = bench.begin();
    while bench.planned(&mut run) {}
    run
}

#[test]
fn the_same_ticket_is_the_same_case() {
    let shop = Shop::open(ENGINE);
    for level in Level::ALL {
        let (a, b) = (shop.bench(level, 5).unwrap(), shop.bench(level, 5).unwrap());
        assert_eq!(a.truth(), b.truth());
        assert_eq!(a.begin(), b.begin());
    }
    let (a, b) = (
        shop.bench(Level::Two, 6).unwrap(),
        shop.bench(Level::Two, 6).unwrap(),
    );
    assert_eq!(worked(&a), worked(&b));
    let truths: Vec<_> = (0..12)
        .map(|seed| shop.bench(Level::Single, seed).unwrap().truth())
        .collect();
    assert!(truths.iter().any(|truth| *truth != truths[0]));
}

#[test]
fn a_ticket_can_name_every_sample() {
    for engine in common::names() {
        let ticket = Ticket {
            engine,
            ..ticket(Level::Board, 77)
        };
        assert_eq!(Ticket::read(&ticket.write()), Ok(ticket));
    }
}

#[test]
fn each_level_hides_what_it_says() {
    let shop = Shop::open(ENGINE);
    for seed in 0..10 {
        let two = shop.bench(Level::Two, seed).unwrap().truth();
        assert_eq!(two.faults.len(), 2);
        assert_ne!(two.faults[0].1, two.faults[1].1);
        let misleading = shop.bench(Level::Misleading, seed).unwrap();
        let earlier = misleading.truth().earlier.unwrap();
        let start = misleading.begin();
        assert_eq!(start.findings.last().unwrap().seen, earlier.seen());
        for level in [Level::Single, Level::Intermittent, Level::Board] {
            let truth = shop.bench(level, seed).unwrap().truth();
            assert_eq!((truth.faults.len(), truth.earlier), (1, None));
        }
    }
}

/// Nothing that the owner wrote goes into a case, and the owner's map stays as it is.
#[test]
fn a_case_takes_nothing_of_the_owners() {
    let harness = common::sample(ENGINE);
    let kept = harness.clone();
    let bench = Bench::of(&harness, ticket(Level::Single, 1)).unwrap();
    assert!(bench.harness().findings.is_empty() && bench.harness().work.is_empty());
    worked(&bench);
    assert_eq!(harness, kept);
}

#[test]
fn somebody_always_complains() {
    let shop = Shop::open(ENGINE);
    for level in Level::ALL {
        for seed in 0..20 {
            let start = shop.bench(level, seed).unwrap().begin();
            let ill = start.findings.iter().any(|finding| {
                matches!(
                    finding.seen,
                    Seen::Contribution {
                        works: Works::Dead | Works::Sometimes,
                        ..
                    }
                )
            });
            assert!(ill, "{level:?} {seed}");
        }
    }
}

/// What a meter shows lies about what the electrics say, but for the odd bad contact.
#[test]
fn readings_are_those_of_the_electrics_with_a_meters_error() {
    let shop = Shop::open(ENGINE);
    let (mut close, mut all) = (0, 0);
    for seed in 0..6 {
        let bench = shop.bench(Level::Single, seed).unwrap();
        let mut run = bench.begin();
        for test in (0..bench.plan().table().tests()).step_by(3).map(TestIndex) {
            let question = bench.plan().act(test).question.clone();
            let reading = matches!(
                question,
                Question::Volts(_) | Question::Drop(_) | Question::Resistance(_)
            );
            if !reading {
                continue;
            }
            let behind = bench.behind(&question).unwrap();
            let step = bench.ask(&mut run, test).unwrap();
            let near = match (&run.findings[step.finding].seen, behind) {
                (
                    Seen::Volts { reading, .. } | Seen::Drop { reading, .. },
                    Measure::Volts(volts),
                ) => (*reading - volts).get().abs() <= 0.08 + 0.04 * volts.get().abs(),
                (
                    Seen::Resistance {
                        reading: OhmReading::Ohms(shown),
                        ..
                    },
                    Measure::Ohms(ohms),
                ) => (*shown - ohms).get().abs() <= 0.4 + 0.1 * ohms.get(),
                (
                    Seen::Resistance {
                        reading: OhmReading::Overload,
                        ..
                    },
                    Measure::Overload,
                ) => true,
                _ => false,
            };
            all += 1;
            close += i32::from(near);
        }
    }
    assert!(all > 100, "{all}");
    let share = f64::from(close) / f64::from(all);
    assert!((0.93..1.0).contains(&share), "{share} of {all}");
}

/// The readings by both ways: factorised anew with the fault in it, and as a change of the healthy circuit.
#[test]
fn readings_by_a_second_way() {
    let shop = Shop::open(ENGINE);
    let mut compared = 0;
    for (seed, level) in (0..).zip(Level::ALL) {
        let bench = shop.bench(level, seed).unwrap();
        for test in (0..bench.plan().table().tests()).map(TestIndex) {
            let question = &bench.plan().act(test).question;
            let (Some(again), Some(Measure::Volts(volts))) =
                (bench.behind_by_update(question), bench.behind(question))
            else {
                continue;
            };
            assert!((volts.get() - again).abs() < 1e-6, "{volts}, {again} V");
            compared += 1;
        }
    }
    assert!(compared > 50, "{compared}");
}

#[test]
fn tests_cost_minutes_and_parts_and_access_once() {
    let shop = Shop::open(ENGINE);
    let bench = shop.bench(Level::Single, 3).unwrap();
    let mut run = bench.begin();
    let with_access = (0..bench.plan().table().tests())
        .map(TestIndex)
        .find(|test| {
            let costs = bench.plan().costs();
            costs.costs[test.0].access.numbers().next().is_some()
        });
    let test = with_access.unwrap();
    let (first, _) = bench.price(&run, test);
    let step = bench.ask(&mut run, test).unwrap();
    assert!((step.minutes - first).abs() < 1e-9 && (run.minutes - first).abs() < 1e-9);
    let (second, _) = bench.price(&run, test);
    assert!(second < first, "access is paid once");
    assert!(step.expected.is_some_and(|bits| bits >= 0.0));
}

#[test]
fn naming_the_culprit() {
    let shop = Shop::open(ENGINE);
    let bench = shop.bench(Level::Two, 2).unwrap();
    let mut run = bench.begin();
    let truth = bench.truth();
    let wrong = bench
        .case()
        .units()
        .iter()
        .find(|unit| truth.faults.iter().all(|(_, culprit)| culprit != *unit));
    assert!(!bench.name(&mut run, *wrong.unwrap()).right);
    assert!(!bench.is_solved(&run));
    assert!(bench.name(&mut run, truth.faults[0].1).right);
    assert!(!bench.is_solved(&run), "there are two");
    assert!(bench.name(&mut run, truth.faults[1].1).right);
    assert!(bench.is_solved(&run));
}

/// The planner ends, and in most single cases with the culprit in the lead or the fault mended.
#[test]
fn the_planner_finds_most_single_faults() {
    let shop = Shop::open(ENGINE);
    let (mut found, mut all) = (0, 0);
    for seed in 0..24 {
        let bench = shop.bench(Level::Single, seed).unwrap();
        let run = worked(&bench);
        assert!(run.end.is_some());
        let culprit = bench.truth().faults[0].1;
        let leads = run.steps.last().and_then(|step| step.leader);
        all += 1;
        let right = run.end == Some(End::Cured) || leads.is_some_and(|(unit, _)| unit == culprit);
        found += i32::from(right);
        let bound = bench.bound();
        assert!(bound.bits >= 0.0 && bound.bits < 12.0);
    }
    assert!(found * 10 >= all * 8, "{found} of {all}");
}

/// The bits of all steps together are what the belief lost in doubt from first to last.
#[test]
fn bits_add_up() {
    let shop = Shop::open(ENGINE);
    let bench = shop.bench(Level::Single, 4).unwrap();
    let entropy = |run: &Run| {
        let said = bench.assess(run).unwrap();
        sparktrail_core::isolation::entropy(said.belief.units())
    };
    let before = entropy(&bench.begin());
    let run = worked(&bench);
    let told: f64 = run.steps.iter().map(|step| step.bits.unwrap()).sum();
    assert!((before - told - entropy(&run)).abs() < 1e-9);
}

/// A fault that comes and goes is away at times, and then everything reads healthy.
#[test]
fn an_intermittent_is_away_at_times() {
    let shop = Shop::open(ENGINE);
    let (mut away, mut there) = (0, 0);
    for seed in 0..4 {
        let bench = shop.bench(Level::Intermittent, seed).unwrap();
        let mut run = bench.begin();
        for cylinder in bench.harness().engine.cylinders() {
            let test = bench
                .plan()
                .test_of(&Question::Contribution(cylinder))
                .unwrap();
            for _ in 0..6 {
                let step = bench.ask(&mut run, test).unwrap();
                let found = &run.findings[step.finding];
                match found.fault_then {
                    FaultThen::Away => {
                        away += 1;
                        let (_, answer) = Question::of(found);
                        assert_eq!(answer, Answer::Works(Works::Alive));
                    }
                    FaultThen::Present | FaultThen::Unknown => there += 1,
                }
            }
        }
    }
    assert!(away > 10 && there > 10, "{away} away, {there} there");
}
