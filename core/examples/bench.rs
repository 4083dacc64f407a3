//! Hides one fault after the other in sample harnesses and counts what it takes to find it, way by way.
//!
//! `cargo run --release -p sparktrail-core --example bench -- [--every N] [--long] [FILE…]`
//!
//! With noise: each hidden fault answers by chance, as the tables say; `--every 7` hides every seventh.
//! Without noise: each fault answers by its likeliest outcome, and the exact optimal tree is solved
//! wherever it stays small enough.

use std::collections::BTreeMap;
use std::process::ExitCode;

use sparktrail_core::isolation::exact::{Probe, Problem};
use sparktrail_core::isolation::searches::{Offer, Search, mix};
use sparktrail_core::isolation::{
    AccessSet, Answer, Belief, Case, Choice, ISOLATED, Plan, Question, TestIndex, rank, repeated,
};
use sparktrail_core::model::{Effect, Harness, file};

const SEARCHES: [(&str, Search); 5] = [
    ("planner", Search::Planner),
    ("source-to-load", Search::SourceToLoad),
    ("half-split", Search::HalfSplit),
    ("prior-over-cost", Search::PriorOverCost),
    ("random", Search::Random(1)),
];
/// A run that takes longer than this is given up.
const GIVEN_UP: usize = 60;
/// States that the exact tree may take.
const STATES: usize = 400_000;
/// Problems with more classes than this are not tried.
const CLASSES: usize = 22;

/// What is printed.
#[derive(Clone, Copy, PartialEq)]
enum Show {
    /// Averages.
    Sums,
    /// Each long run of the planner as well.
    Long,
}

fn main() -> ExitCode {
    let mut every = 1;
    let mut show = Show::Sums;
    let mut files = Vec::new();
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        if arg == "--long" {
            show = Show::Long;
        } else if arg == "--every" {
            let Some(n) = args.next().and_then(|n| n.parse().ok()).filter(|n| *n > 0) else {
                eprintln!("--every wants a number from 1");
                return ExitCode::FAILURE;
            };
            every = n;
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
        if let Err(why) = sample(&name, every, show) {
            eprintln!("{name}: {why}");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

fn sample(name: &str, every: usize, show: Show) -> Result<(), String> {
    let text = std::fs::read_to_string(name).map_err(|e| e.to_string())?;
    let mut harness = file::read(&text).map_err(|e| e.to_string())?;
    harness.findings.clear();
    let case = Case::of(&harness).map_err(|e| e.to_string())?;
    let plan = Plan::of(&case);
    let hidden: Vec<usize> = (0..case.causes().len())
        .filter(|c| case.showing(*c).ill().next().is_some())
        .step_by(every)
        .collect();
    println!(
        "{}: {} causes, {} units of repair, {} tests, {} rows; {} faults hidden",
        harness.title,
        case.causes().len(),
        case.units().len(),
        plan.table().tests(),
        plan.table().rows(),
        hidden.len()
    );
    println!("  with noise       tests  minutes  top-1  top-3  over 25 tests");
    for (label, search) in SEARCHES {
        let mut sum = Tally::default();
        for cause in &hidden {
            if let Some(run) = hide(&harness, &case, &plan, *cause, search) {
                let cause = case.causes()[*cause];
                if show == Show::Long && search == Search::Planner && run.tests > 25 {
                    println!(
                        "    {} tests, place {}: {} {:?} ({:.2})",
                        run.tests,
                        run.place,
                        harness.element_name(cause.fault.element),
                        cause.fault.mode,
                        cause.prior
                    );
                }
                sum.add(&run, cause.prior);
            }
        }
        println!(
            "  {label:<16} {:>5.1} {:>8.1} {:>6.3} {:>6.3} {:>6.3}",
            sum.tests / sum.weight,
            sum.minutes / sum.weight,
            sum.first / sum.weight,
            sum.third / sum.weight,
            sum.long / sum.weight
        );
    }
    without_noise(&case, &plan);
    Ok(())
}

#[derive(Default)]
struct Tally {
    weight: f64,
    tests: f64,
    minutes: f64,
    first: f64,
    third: f64,
    long: f64,
}

struct Run {
    tests: usize,
    minutes: f64,
    place: usize,
}

impl Tally {
    fn add(&mut self, run: &Run, weight: f64) {
        let tests = u32::try_from(run.tests).map_or(f64::MAX, f64::from);
        self.weight += weight;
        self.tests += weight * tests;
        self.minutes += weight * run.minutes;
        self.first += weight * f64::from(u8::from(run.place == 0));
        self.third += weight * f64::from(u8::from(run.place < 3));
        self.long += weight * f64::from(u8::from(run.tests > 25));
    }
}

/// Hides one fault: the owner first says which cylinders work, then tests until one unit holds 0.95.
/// `None` where the owner, by that luck, saw every cylinder work: nobody would have come.
fn hide(
    harness: &Harness,
    case: &Case<'_>,
    plan: &Plan,
    cause: usize,
    search: Search,
) -> Option<Run> {
    let seed = mix(u64::try_from(cause).unwrap_or(0));
    let mut seen: BTreeMap<TestIndex, Vec<Vec<f64>>> = BTreeMap::new();
    let answer = |test: TestIndex, seen: &mut BTreeMap<TestIndex, Vec<Vec<f64>>>| {
        // The same test on the same fault has the same luck, whichever way of searching asks; the
        // second time its luck is its own as often as the tables say.
        let draw = |salt: u64| {
            let luck = mix(seed ^ mix(salt.wrapping_add(u64::try_from(test.0).unwrap_or(0))));
            f64::from(u32::try_from(luck >> 32).unwrap_or(0)) / 4_294_967_296.0
        };
        let again = seen.contains_key(&test);
        let own = again && draw(1 << 40) >= plan.act(test).question.shared_luck();
        let luck = draw(if own { 1 << 41 } else { 0 });
        let mut before = 0.0;
        let mut last = None;
        let mut which = 0;
        for outcome in 0..plan.table().outcomes(test) {
            let Ok(row) = plan.table().row(test, outcome) else {
                continue;
            };
            before += row[cause];
            last = Some(row);
            which = outcome;
            if luck < before {
                break;
            }
        }
        seen.entry(test).or_default().extend(last);
        which
    };
    let mut complaint = false;
    for cylinder in harness.engine.cylinders() {
        if let Some(test) = plan.test_of(&Question::Contribution(cylinder)) {
            complaint |= answer(test, &mut seen) > 0;
        }
    }
    if !complaint {
        return None;
    }
    let suspects = plan.table().suspects();
    let (mut paid, mut minutes, mut tests, mut cured) = (AccessSet::NONE, 0.0, 0, false);
    loop {
        let evidence: Vec<Vec<f64>> = seen
            .iter()
            .map(|(test, rows)| repeated(rows, plan.act(*test).question.shared_luck()))
            .collect();
        let Ok(belief) = Belief::of(suspects, &evidence) else {
            return Some(Run {
                tests,
                minutes,
                place: usize::MAX,
            });
        };
        let unit = suspects.unit_of(cause);
        let place = belief
            .ranked()
            .iter()
            .position(|(u, _)| *u == unit)
            .unwrap_or(usize::MAX);
        let end = Run {
            tests,
            minutes,
            place,
        };
        if cured || belief.leader().1 >= ISOLATED || tests >= GIVEN_UP {
            return Some(end);
        }
        let choices = match search {
            // The planner as the app has it, rollout of the leading few included.
            Search::Planner => {
                let done = seen.iter().map(|(t, rows)| (*t, rows.len())).collect();
                plan.choices(&belief, paid, &done)
            }
            Search::Rollout { .. }
            | Search::SourceToLoad
            | Search::HalfSplit
            | Search::PriorOverCost
            | Search::Random(_) => {
                let done = seen.keys().copied().collect();
                rank(plan.table(), &belief, plan.costs(), paid, &done)
            }
        };
        let picked = if search == Search::Planner {
            choices.first().map(|c| c.test)
        } else {
            let offers: Vec<Offer> = choices
                .iter()
                .map(|c| offer(case, plan, &belief, c))
                .collect();
            let turn = mix(seed ^ u64::try_from(tests).unwrap_or(0));
            search
                .pick(&offers, turn)
                .map(|number| TestIndex(number % ACTS_LAST))
        };
        let Some(test) = picked else {
            return Some(end);
        };
        let cost = plan.costs().costs[test.0];
        minutes += plan.costs().price(&cost, paid);
        paid = paid.with(cost.access);
        let outcome = answer(test, &mut seen);
        tests += 1;
        // Who mended it, or believes so, stops there.
        cured = plan.answers(test).get(outcome) == Some(&Answer::Effect(Effect::Cured))
            && matches!(
                plan.act(test).question,
                Question::Substitute(..) | Question::Clean(_) | Question::Remake(_)
            );
    }
}

/// Who goes from source to load measures first and swaps or replaces last.
const ACTS_LAST: usize = 1_000_000;

fn offer(case: &Case<'_>, plan: &Plan, belief: &Belief, choice: &Choice) -> Offer {
    let act = plan.act(choice.test);
    let meddles = matches!(
        act.question,
        Question::Substitute(..) | Question::Swap(_) | Question::Clean(_) | Question::Remake(_)
    );
    let aimed_at = act
        .aim
        .and_then(|unit| case.unit_number(unit))
        .map_or(0.0, |unit| belief.unit(unit));
    Offer {
        test: choice.test.0 + if meddles { ACTS_LAST } else { 0 },
        bits: choice.bits,
        price: choice.price,
        aimed_at,
        // With noise there is no clean split: the most informative test stands for the halving one.
        largest: 1.0 - choice.bits,
    }
}

/// Every complaint (which cylinders are ill) as a noise-free problem of its own.
fn without_noise(case: &Case<'_>, plan: &Plan) {
    let table = plan.table();
    let mut complaints: BTreeMap<Vec<u8>, Vec<usize>> = BTreeMap::new();
    for cause in 0..case.causes().len() {
        let ill: Vec<u8> = case.showing(cause).ill().map(|c| c.0).collect();
        if !ill.is_empty() {
            complaints.entry(ill).or_default().push(cause);
        }
    }
    let (mut weight, mut best, mut solved, mut tried) = (0.0, 0.0, 0, 0);
    let mut sums = [0.0; 6];
    for causes in complaints.values() {
        let suspects: Vec<(f64, usize)> = causes
            .iter()
            .map(|c| (case.causes()[*c].prior, table.suspects().unit_of(*c)))
            .collect();
        let probes: Vec<Probe> = (0..table.tests())
            .map(|t| Probe {
                outcome: causes
                    .iter()
                    .map(|c| table.likeliest(TestIndex(t), *c))
                    .map(|o| u16::try_from(o.map_or(0, |(o, _)| o)).unwrap_or(0))
                    .collect(),
                cost: plan.costs().costs[t],
                aim: plan.act(TestIndex(t)).aim.and_then(|u| case.unit_number(u)),
            })
            .collect();
        let Ok(problem) = Problem::new(&suspects, &probes, plan.costs().access.clone()) else {
            continue;
        };
        if problem.classes() < 2 {
            continue;
        }
        tried += 1;
        if problem.classes() > CLASSES {
            continue;
        }
        let Ok(exact) = problem.optimal(STATES) else {
            continue;
        };
        if exact.cost <= 0.0 {
            continue;
        }
        solved += 1;
        let mass: f64 = suspects.iter().map(|(w, _)| w).sum();
        weight += mass;
        best += mass * exact.cost;
        let rollout = std::iter::once(Search::Rollout { leading: 6 });
        for (sum, search) in sums
            .iter_mut()
            .zip(rollout.chain(SEARCHES.iter().map(|(_, s)| *s)))
        {
            *sum += mass * problem.effort(search).cost;
        }
    }
    if weight > 0.0 {
        println!(
            "  without noise: {solved} of {tried} complaints solved exactly, {:.1} minutes on average; times that:",
            best / weight
        );
        println!(
            "    planner with rollout {:.3}, without {:.3}, source-to-load {:.2}, half-split {:.2}, prior-over-cost {:.2}, random {:.2}",
            sums[0] / best,
            sums[1] / best,
            sums[2] / best,
            sums[3] / best,
            sums[4] / best,
            sums[5] / best
        );
    } else {
        println!("  without noise: none of {tried} complaints is small enough for the exact tree");
    }
}
