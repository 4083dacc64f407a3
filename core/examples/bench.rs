//! Hides one fault after the other in sample harnesses and counts what it takes to find it, way by way.
//!
//! `cargo run --release -p sparktrail-core --example bench -- [--every N] [--runs N] [--each] [--long] [--misses] [--walk] [--owners] [FILE…]`
//!
//! With noise: each hidden fault answers by chance, as the tables say; `--every 7` hides every
//! seventh; `--runs 3000` makes about that many runs (1000 if nothing is said), the likelier faults more
//! often, each time with other luck. `--each` prints every hidden fault by itself: tests and minutes of
//! every way, beside the bits that there are to learn after its complaint. `--long` names the planner's long runs, `--misses`
//! those that ended on the wrong unit, `--walk` tells both test by test; the last two leave out all else.
//! `--owners` hides the same faults from people who do nothing but what Next and the walks say, and shows the
//! planner beside them; with `--walk` it tells their wrong runs act by act.
//! Without noise: each fault answers by its likeliest outcome, and the exact optimal tree is solved
//! wherever it stays small enough.

use std::collections::BTreeMap;
use std::process::ExitCode;

use sparktrail_core::isolation::searches::Search;
use sparktrail_core::isolation::trials::{self, Run, Step, Tally, hide};
use sparktrail_core::isolation::{Belief, Case, MOST_TESTS, Plan, Question, entropy};
use sparktrail_core::model::{Harness, file};
use sparktrail_core::trace::trials::followed;
use sparktrail_core::walkthrough::owners::{self, Traced};

const SEARCHES: [(&str, Search); 5] = [
    ("planner", Search::Planner),
    ("source-to-load", Search::SourceToLoad),
    ("half-split", Search::HalfSplit),
    ("prior-over-cost", Search::PriorOverCost),
    ("random", Search::Random(1)),
];

/// What is printed.
#[derive(Clone, Copy, PartialEq)]
enum Show {
    /// Averages.
    Sums,
    /// Each hidden fault as well, way by way.
    Each,
    /// Each long run of the planner as well.
    Long,
    /// Each run of the planner that ended on the wrong unit as well.
    Misses,
    /// Both, test by test.
    Walks,
}

/// Who searches.
#[derive(Clone, Copy, PartialEq)]
enum Who {
    /// Every way of searching, by the tables.
    Searches,
    /// People who go by the walks.
    Owners,
}

fn main() -> ExitCode {
    let mut every = 1;
    let mut runs = 1000;
    let mut show = Show::Sums;
    let mut who = Who::Searches;
    let mut files = Vec::new();
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        if arg == "--each" {
            show = Show::Each;
        } else if arg == "--long" {
            show = Show::Long;
        } else if arg == "--walk" {
            show = Show::Walks;
        } else if arg == "--owners" {
            who = Who::Owners;
        } else if arg == "--misses" {
            show = Show::Misses;
        } else if arg == "--every" || arg == "--runs" {
            let Some(n) = args.next().and_then(|n| n.parse().ok()).filter(|n| *n > 0) else {
                eprintln!("{arg} wants a number from 1");
                return ExitCode::FAILURE;
            };
            if arg == "--every" {
                every = n;
            } else {
                runs = n;
            }
        } else {
            files.push(arg);
        }
    }
    if files.is_empty() {
        let Ok(entries) = std::fs::read_dir("sample-harnesses") else {
            eprintln!("no folder sample-harnesses here: name the files");
            return ExitCode::FAILURE;
        };
        files = entries
            .filter_map(|e| Some(e.ok()?.path().to_string_lossy().into_owned()))
            .filter(|name| name.ends_with(".json") && !name.ends_with(".schema.json"))
            .collect();
        files.sort();
    }
    for name in files {
        if let Err(why) = sample(&name, every, runs, show, who) {
            eprintln!("{name}: {why}");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

fn sample(name: &str, every: usize, runs: usize, show: Show, who: Who) -> Result<(), String> {
    let text = std::fs::read_to_string(name).map_err(|e| e.to_string())?;
    let mut harness = file::read(&text).map_err(|e| e.to_string())?;
    harness.findings.clear();
    let case = Case::of(&harness).map_err(|e| e.to_string())?;
    let plan = Plan::of(&case);
    let hidden: Vec<usize> = trials::noticed(&case).into_iter().step_by(every).collect();
    println!(
        "{}: {} causes, {} units of repair, {} tests, {} rows; {} faults hidden",
        harness.title,
        case.causes().len(),
        case.units().len(),
        plan.table().tests(),
        plan.table().rows(),
        hidden.len()
    );
    if who == Who::Owners {
        by_walks(
            &harness,
            &case,
            &plan,
            &trials::rounds(&case, &hidden, runs),
            show,
        );
        return Ok(());
    }
    if show == Show::Each {
        for (number, rounds) in trials::rounds(&case, &hidden, runs) {
            each(&harness, &case, &plan, number, rounds);
        }
    }
    println!("  with noise       tests  minutes  top-1  top-3  over 25 tests");
    for (label, search) in SEARCHES {
        let mut sum = Tally::default();
        if matches!(show, Show::Misses | Show::Walks) && search != Search::Planner {
            break;
        }
        for (number, rounds) in &trials::rounds(&case, &hidden, runs) {
            for round in 0..*rounds {
                if let Some(run) = hide(&harness, &case, &plan, *number, round, search) {
                    if search == Search::Planner {
                        tell(&harness, &case, *number, &run, show);
                        if show == Show::Walks && (run.place > 0 || run.tests > MOST_TESTS) {
                            walked(&harness, &case, &plan, *number, round);
                        }
                    }
                    let often = f64::from(u32::try_from(*rounds).unwrap_or(u32::MAX));
                    sum.add(&run, case.causes()[*number].prior / often);
                }
            }
        }
        row(label, &sum);
    }
    if !matches!(show, Show::Misses | Show::Walks) {
        without_noise(&case, &plan);
    }
    Ok(())
}

/// People who go by the walks, and the planner on the same faults.
fn by_walks(harness: &Harness, case: &Case, plan: &Plan, hidden: &[(usize, usize)], show: Show) {
    let (mut walked, mut alone) = (Tally::default(), Tally::default());
    let mut ends = BTreeMap::<String, (usize, usize)>::new();
    let traced = traced(harness);
    for &(cause, rounds) in hidden {
        let often = f64::from(u32::try_from(rounds).unwrap_or(u32::MAX));
        let weight = case.causes()[cause].prior / often;
        for round in 0..rounds {
            if let Some(run) = hide(harness, case, plan, cause, round, Search::Planner) {
                alone.add(&run, weight);
            }
            let mut acts = Vec::new();
            let note = |done: &owners::Done<'_>| {
                let seen: Vec<_> = done
                    .found
                    .iter()
                    .map(|found| Question::of(found).1)
                    .collect();
                acts.push(format!(
                    "      {:?} -> {seen:?}: {:.1} minutes; before it {} led ({:.2}), the hidden one had {:.3}",
                    done.question,
                    done.price,
                    done.leader.0.name(harness),
                    done.leader.1,
                    done.hidden,
                ));
            };
            let Some(run) = owners::hide_watched(harness, case, plan, &traced, cause, round, note)
            else {
                continue;
            };
            walked.add(&run, weight);
            let (all, wrong) = ends.entry(format!("{:?}", run.end)).or_default();
            *all += 1;
            *wrong += usize::from(run.place > 0);
            tell(harness, case, cause, &run, show);
            if show == Show::Walks && (run.place > 0 || run.tests > MOST_TESTS) {
                println!("{}", acts.join("\n"));
            }
        }
    }
    println!("  with noise       tests  minutes  top-1  top-3  over 25 tests");
    row("by walks", &walked);
    row("planner", &alone);
    let ends: Vec<String> = ends
        .into_iter()
        .map(|(end, (all, wrong))| format!("{end} {all} (wrong {wrong})"))
        .collect();
    println!("  ends: {}", ends.join(", "));
}

/// How the car may be behind a map with loose ends: two ways in which they may be joined.
fn traced(harness: &Harness) -> Vec<Traced> {
    let ways = (0..2).filter_map(|turn| followed(harness, turn));
    ways.filter_map(|way| Traced::new(way.harness, way.minutes, way.measurements))
        .collect()
}

fn row(label: &str, sum: &Tally) {
    println!(
        "  {label:<16} {:>5.1} {:>8.1} {:>6.3} {:>6.3} {:>6.3}",
        sum.tests(),
        sum.minutes(),
        sum.first(),
        sum.third(),
        sum.long()
    );
}

/// One hidden fault: what every way took, and the bound. The bits are those after a complaint without error;
/// as many yes-or-no answers, rounded up, are the least that anybody needs on average.
fn each(harness: &Harness, case: &Case<'_>, plan: &Plan, number: usize, rounds: usize) {
    let cause = case.causes()[number];
    let complaint: Vec<Vec<f64>> = harness
        .engine
        .cylinders()
        .into_iter()
        .filter_map(|cylinder| plan.test_of(&Question::Contribution(cylinder)))
        .filter_map(|test| {
            let (outcome, _) = plan.table().likeliest(test, number)?;
            plan.table().row(test, outcome).ok()
        })
        .collect();
    let after = Belief::of(plan.table().suspects(), &complaint);
    let bits = after.map_or(0.0, |belief| entropy(belief.units()));
    let ways: Vec<String> = SEARCHES
        .iter()
        .map(|(label, search)| {
            let mut sum = Tally::default();
            for round in 0..rounds {
                if let Some(run) = hide(harness, case, plan, number, round, *search) {
                    sum.add(&run, 1.0);
                }
            }
            format!("{label} {:.1}/{:.0}", sum.tests(), sum.minutes())
        })
        .collect();
    println!(
        "    {} {:?}: bound {bits:.1} bits; tests/minutes: {}",
        harness.element_name(cause.fault.element),
        cause.fault.mode,
        ways.join(", ")
    );
}

/// Tells the tests of a long or wrong run one by one.
fn walked(harness: &Harness, case: &Case<'_>, plan: &Plan, number: usize, round: usize) {
    let step = |step: &Step| {
        let act = plan.act(step.test);
        println!(
            "      {}{:?} -> {:?}: {:.2} bits, {:.1} minutes; before it {} led ({:.2}), the hidden one had {:.3}",
            if step.mending { "mend now: " } else { "" },
            act.question,
            plan.answers(step.test).get(step.outcome),
            step.bits,
            step.price,
            case.units()[step.leader.0].name(harness),
            step.leader.1,
            step.hidden,
        );
    };
    let _ = trials::hide_watched(harness, case, plan, number, round, Search::Planner, step);
}

/// Names a run that took long or ended on the wrong unit, where that is asked for.
fn tell(harness: &Harness, case: &Case<'_>, number: usize, run: &Run, show: Show) {
    let wanted = match show {
        Show::Sums | Show::Each => false,
        Show::Long => run.tests > MOST_TESTS,
        Show::Misses => run.place > 0,
        Show::Walks => run.place > 0 || run.tests > MOST_TESTS,
    };
    if wanted {
        let cause = case.causes()[number];
        println!(
            "    {:?} after {} tests, place {}: {} {:?} ({:.2}), led by {} ({:.2})",
            run.end,
            run.tests,
            run.place,
            harness.element_name(cause.fault.element),
            cause.fault.mode,
            cause.prior,
            case.units()[run.leader.0].name(harness),
            run.leader.1,
        );
    }
}

/// Every complaint (which cylinders are ill) as a noise-free problem of its own.
fn without_noise(case: &Case<'_>, plan: &Plan) {
    let rollout = Search::Rollout { leading: 6 };
    let [planner, source, half, prior, random] = SEARCHES.map(|(_, search)| search);
    let ways = [rollout, planner, source, half, prior, random];
    let found = trials::without_noise(case, plan, &ways);
    if found.solved == 0 {
        println!(
            "  without noise: none of {} complaints is small enough for the exact tree",
            found.tried
        );
        return;
    }
    println!(
        "  without noise: {} of {} complaints solved exactly, {:.1} minutes on average; times that:",
        found.solved, found.tried, found.minutes
    );
    let names = ["planner with rollout", "without"];
    let others = SEARCHES.iter().skip(1).map(|(name, _)| *name);
    let each: Vec<String> = names
        .into_iter()
        .chain(others)
        .zip(&found.ratios)
        .map(|(name, ratio)| format!("{name} {ratio:.3}"))
        .collect();
    println!("    {}", each.join(", "));
}
