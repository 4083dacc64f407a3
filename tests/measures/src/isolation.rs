//! How good and how quick the isolation is: hidden faults found on every sample, and the largest sample
//! reckoned from nothing, in slices, and after one more finding.

use sparktrail_core::isolation::{Case, Plan};
use sparktrail_core::model::{Harness, file};
use web_time::{Duration, Instant};

use crate::Row;
use crate::stopwatch::median_ms;

/// A V12 with a coil on each cylinder and in-line connectors: the largest sample.
const V12: &str = include_str!("../../../sample-harnesses/silver-limousine.json");
/// As the app does it: work for so long, then give the page back.
const SLICE: Duration = Duration::from_millis(12);
/// Steps between two looks at the clock, as in the app.
const STRETCH: usize = 4;

const PLACE: &str = if cfg!(target_arch = "wasm32") {
    "browser"
} else {
    "native"
};

const LONGEST: &str = if cfg!(target_arch = "wasm32") {
    "isolation.longest_task_ms"
} else {
    "isolation.longest_task_native_ms"
};

pub(crate) fn rows() -> Vec<Row> {
    let Ok(harness) = file::read(V12) else {
        return Vec::new();
    };
    let rows = speed(&harness);
    #[cfg(not(target_arch = "wasm32"))]
    let rows = rows.into_iter().chain(quality::rows()).collect();
    rows
}

fn row(name: String, value: f64, unit: &'static str, note: &str) -> Row {
    Row {
        name,
        value,
        unit,
        beside: None,
        note: note.into(),
    }
}

/// Works in slices until nothing is left; the longest slice and all of them together, ms.
struct Slices {
    longest: f64,
    whole: f64,
}

impl Slices {
    fn work(&mut self, mut step: impl FnMut() -> usize) {
        loop {
            let start = Instant::now();
            let mut left = step();
            while left > 0 && start.elapsed() < SLICE {
                left = step();
            }
            let spent = start.elapsed().as_secs_f64() * 1e3;
            self.longest = self.longest.max(spent);
            self.whole += spent;
            if left == 0 {
                return;
            }
        }
    }
}

fn speed(harness: &Harness) -> Vec<Row> {
    let mut slices = Slices {
        longest: 0.0,
        whole: 0.0,
    };
    let mut building = Case::begin(harness.clone());
    slices.work(|| building.grow(STRETCH));
    let mut made = None;
    let mut rest = Some(building);
    slices.work(|| {
        made = rest.take().and_then(|building| building.finish().ok());
        0
    });
    let Some(case) = made else {
        return Vec::new();
    };
    slices.work(|| case.prepare(&harness.findings, STRETCH));
    let mut told = None;
    slices.work(|| {
        told = case.assess().ok();
        0
    });
    let Some(assessment) = told else {
        return Vec::new();
    };
    slices.work(|| {
        let ranked = case.ranked(&assessment, 0.004);
        let units: Vec<_> = ranked.iter().take(20).map(|(unit, _)| *unit).collect();
        std::hint::black_box((
            case.explain_and_clear(&assessment, &units),
            case.explained(&assessment),
            case.retake(&assessment),
        ));
        0
    });
    let mut plan = Plan::begin(&case);
    slices.work(|| plan.grow(&case, STRETCH));
    slices.work(|| {
        std::hint::black_box(plan.advise(&case, &assessment, 6));
        0
    });
    let update = median_ms(|| {
        let assessment = case.assess().ok()?;
        Some(plan.advise(&case, &assessment, 6))
    });
    vec![
        row(
            format!("isolation.dictionary_{PLACE}_ms"),
            slices.whole,
            "ms",
            "the V12 sample from the map to the first advice, all slices together",
        ),
        row(
            LONGEST.into(),
            slices.longest,
            "ms",
            "the longest of those slices, which the app gives 12 ms each",
        ),
        row(
            format!("isolation.update_{PLACE}_ms"),
            update,
            "ms",
            "the V12 sample: belief from all its findings, and the next acts",
        ),
    ]
}

#[cfg(not(target_arch = "wasm32"))]
mod quality {

    use sparktrail_core::isolation::searches::Search;
    use sparktrail_core::isolation::trials::{self, Tally, hide};
    use sparktrail_core::isolation::{Case, Plan};
    use sparktrail_core::model::file;
    use sparktrail_core::trace::trials::followed;
    use sparktrail_core::walkthrough::owners::{self, Traced};

    use super::row;
    use crate::Row;

    /// About so many faults are hidden in each sample, the likelier ones more often: a share of 0.97 is
    /// then known within about 0.005.
    const RUNS: usize = 1000;

    /// One sample's figures.
    struct Found {
        title: String,
        planner: Tally,
        source: Tally,
        half: Tally,
        /// By walks alone, and the planner on the same faults with the same luck.
        walks: Tally,
        beside_walks: Tally,
        /// Cost beside the exact tree; `None` where no complaint is small enough for it.
        ratio: Option<f64>,
    }

    pub(super) fn rows() -> Vec<Row> {
        let found: Vec<Found> = crate::samples()
            .iter()
            .filter_map(|path| sample(&std::fs::read_to_string(path).ok()?))
            .collect();
        let least = |of: &dyn Fn(&Found) -> f64| worst(&found, |f| -of(f)).map(|(v, t)| (-v, t));
        let most = |of: &dyn Fn(&Found) -> f64| worst(&found, of);
        let told = |name: &str, what: Option<(f64, String)>, unit, note: &str| {
            let (value, title) = what?;
            let note = format!("{note}; worst sample: {title}");
            Some(row(name.into(), value, unit, &note))
        };
        [
            told(
                "isolation.top1_worst",
                least(&|f| f.planner.first()),
                "share",
                "hidden faults with noise: the right unit of repair leads at the end",
            ),
            told(
                "isolation.top3_worst",
                least(&|f| f.planner.third()),
                "share",
                "the same among the first three",
            ),
            told(
                "isolation.long_runs_worst",
                most(&|f| f.planner.long()),
                "share",
                "runs of more than 25 tests",
            ),
            told(
                "isolation.cost_vs_source_to_load_worst",
                most(&|f| f.planner.minutes() / f.source.minutes().max(1e-9)),
                "×",
                "minutes beside going from source to load",
            ),
            told(
                "bench.planner_vs_half_split_worst",
                most(&|f| f.planner.minutes() / f.half.minutes().max(1e-9)),
                "×",
                "hidden faults with noise: the planner's minutes beside those of half-split",
            ),
            told(
                "isolation.cost_ratio_worst",
                most(&|f| f.ratio.unwrap_or(1.0)),
                "×",
                "without noise, beside the exact optimal tree",
            ),
            told(
                "walk.top1_worst",
                least(&|f| f.walks.first()),
                "share",
                "hidden faults, noisy meters, nothing done but what Next and the walks say: the right unit of repair leads at the end",
            ),
            told(
                "walk.cost_ratio_worst",
                most(&|f| f.walks.minutes() / f.beside_walks.minutes().max(1e-9)),
                "×",
                "minutes of those owners, with every reference and repeat, beside the planner alone on the same faults",
            ),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn worst(found: &[Found], of: impl Fn(&Found) -> f64) -> Option<(f64, String)> {
        found
            .iter()
            .map(|f| (of(f), f.title.clone()))
            .max_by(|a, b| a.0.total_cmp(&b.0))
    }

    fn sample(text: &str) -> Option<Found> {
        let mut harness = file::read(text).ok()?;
        harness.findings.clear();
        let case = Case::of(&harness).ok()?;
        let plan = Plan::of(&case);
        let hidden = trials::noticed(&case);
        let once = |search: Search| {
            let mut tally = Tally::default();
            each_round(&case, &hidden, 1, |cause, round, weight| {
                if let Some(run) = hide(&harness, &case, &plan, cause, round, search) {
                    tally.add(&run, weight);
                }
            });
            tally
        };
        let ways = (0..2).filter_map(|turn| followed(&harness, turn));
        let traced: Vec<Traced> = ways
            .filter_map(|way| Traced::new(way.harness, way.minutes, way.measurements))
            .collect();
        let mut planner = Tally::default();
        let (mut walks, mut beside_walks) = (Tally::default(), Tally::default());
        each_round(&case, &hidden, RUNS, |cause, round, weight| {
            let Some(alone) = hide(&harness, &case, &plan, cause, round, Search::Planner) else {
                return;
            };
            planner.add(&alone, weight);
            let ways = &traced;
            let walked = owners::hide_watched(&harness, &case, &plan, ways, cause, round, |_| {});
            if let Some(walked) = walked {
                walks.add(&walked, weight);
                beside_walks.add(&alone, weight);
            }
        });
        let ways = [Search::Rollout { leading: 6 }];
        let exact = trials::without_noise(&case, &plan, &ways);
        Some(Found {
            source: once(Search::SourceToLoad),
            half: once(Search::HalfSplit),
            planner,
            title: harness.title.clone(),
            walks,
            beside_walks,
            ratio: exact.ratios.first().copied().filter(|_| exact.solved > 0),
        })
    }

    /// About `runs` rounds over the hidden faults, the likelier ones more often, each with its weight.
    fn each_round(
        case: &Case<'_>,
        hidden: &[usize],
        runs: usize,
        mut act: impl FnMut(usize, usize, f64),
    ) {
        for (cause, rounds) in trials::rounds(case, hidden, runs) {
            let often = f64::from(u32::try_from(rounds).unwrap_or(u32::MAX));
            let weight = case.causes()[cause].prior / often;
            for round in 0..rounds {
                act(cause, round, weight);
            }
        }
    }
}
