//! Trials: one fault after the other is hidden in a harness, and a way of searching looks for it.
//!
//! With noise, a hidden fault answers by chance, as the tables say: the simulated car obeys the same
//! model as the belief. Without noise it answers by its likeliest outcome, and the exact optimal tree is
//! solved wherever it stays small enough.

use std::collections::BTreeMap;

use super::exact::{Probe, Problem};
use super::searches::{Offer, Search, mix};
use super::{
    AccessSet, Answer, Belief, Case, Choice, ISOLATED, MOST_TESTS, Plan, Question, Stop, TestIndex,
    rank, repeated,
};
use crate::model::{Effect, Harness};

/// A run that takes longer than this is given up.
const GIVEN_UP: usize = 60;
/// States that the exact tree may take.
const STATES: usize = 400_000;
/// Problems with more classes than this are not tried.
const CLASSES: usize = 22;

/// The search for one hidden fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// How many tests it took.
    pub tests: usize,
    /// How long, in minutes.
    pub minutes: f64,
    /// The place of the right unit of repair at the end, from 0.
    pub place: usize,
    /// Why it ended.
    pub end: End,
    /// The leading unit, with its share.
    pub leader: (usize, f64),
}

/// One test of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// The test.
    pub test: TestIndex,
    /// Which of its outcomes came.
    pub outcome: usize,
    /// The unit that led before it, with its share.
    pub leader: (usize, f64),
    /// Share of the hidden unit before it.
    pub hidden: f64,
    /// What it was expected to tell, bits.
    pub bits: f64,
    /// What it cost, minutes.
    pub price: f64,
    /// Whether it was done to mend.
    pub mending: bool,
}

/// Why a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// One unit holds [`ISOLATED`].
    Isolated,
    /// Something seems to have mended it.
    Cured,
    /// It takes too long.
    GivenUp,
    /// Testing on would cost more than it can tell, and the leader cannot be mended here, or was.
    HandedOver,
    /// No test tells more, or too little for its time.
    NothingTells,
    /// No suspect fits.
    NothingFits,
}

/// Many runs, each weighed by how likely its fault is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tally {
    weight: f64,
    tests: f64,
    minutes: f64,
    first: f64,
    third: f64,
    long: f64,
}

impl Tally {
    /// Counts a run. `weight`: prior of its fault.
    pub fn add(&mut self, run: &Run, weight: f64) {
        let tests = u32::try_from(run.tests).map_or(f64::MAX, f64::from);
        self.weight += weight;
        self.tests += weight * tests;
        self.minutes += weight * run.minutes;
        self.first += weight * f64::from(u8::from(run.place == 0));
        self.third += weight * f64::from(u8::from(run.place < 3));
        self.long += weight * f64::from(u8::from(run.tests > MOST_TESTS));
    }

    fn mean(&self, sum: f64) -> f64 {
        if self.weight > 0.0 {
            sum / self.weight
        } else {
            0.0
        }
    }

    /// Mean number of tests.
    #[must_use]
    pub fn tests(&self) -> f64 {
        self.mean(self.tests)
    }

    /// Mean time, minutes.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        self.mean(self.minutes)
    }

    /// Share of runs in which the right unit of repair leads at the end.
    #[must_use]
    pub fn first(&self) -> f64 {
        self.mean(self.first)
    }

    /// Share of runs in which the right unit of repair is among the first three.
    #[must_use]
    pub fn third(&self) -> f64 {
        self.mean(self.third)
    }

    /// Share of runs that took more than [`MOST_TESTS`].
    #[must_use]
    pub fn long(&self) -> f64 {
        self.mean(self.long)
    }
}

/// The causes that can be hidden: those that anybody would notice.
#[must_use]
pub fn noticed(case: &Case<'_>) -> Vec<usize> {
    (0..case.causes().len())
        .filter(|cause| case.showing(*cause).ill().next().is_some())
        .collect()
}

/// What a test shows with a cause by a luck from 0 to 1: the outcome and its row of the plan's table.
#[must_use]
pub fn drawn(plan: &Plan, test: TestIndex, cause: usize, luck: f64) -> Option<(usize, Vec<f64>)> {
    let mut before = 0.0;
    let mut last = None;
    for outcome in 0..plan.table().outcomes(test) {
        let Ok(row) = plan.table().row(test, outcome) else {
            continue;
        };
        before += row.get(cause).copied().unwrap_or_default();
        last = Some((outcome, row));
        if luck < before {
            break;
        }
    }
    last
}

/// How often to hide each of these causes so that about `runs` runs say most for their number: in
/// proportion to how likely the cause is, each at least once.
#[must_use]
pub fn rounds(case: &Case<'_>, hidden: &[usize], runs: usize) -> Vec<(usize, usize)> {
    let prior = |cause: &usize| case.causes()[*cause].prior;
    let whole: f64 = hidden.iter().map(prior).sum();
    let mut owed = 0.0;
    let share = |cause: &usize| {
        let runs = u32::try_from(runs).map_or(f64::MAX, f64::from);
        owed += runs * prior(cause) / whole;
        let mut count = 0;
        while owed >= 1.0 {
            owed -= 1.0;
            count += 1;
        }
        (*cause, count.max(1))
    };
    hidden.iter().map(share).collect()
}

/// Hides one cause: the owner first says which cylinders work, then tests until one unit of repair is
/// sure enough or the fault is mended. `round` is the luck of the draw. `None` where the owner, by that
/// luck, saw every cylinder work: nobody would have come.
#[must_use]
pub fn hide(
    harness: &Harness,
    case: &Case<'_>,
    plan: &Plan,
    cause: usize,
    round: usize,
    search: Search,
) -> Option<Run> {
    hide_watched(harness, case, plan, cause, round, search, |_| {})
}

/// The same, telling each test as it is done.
#[must_use]
pub fn hide_watched(
    harness: &Harness,
    case: &Case<'_>,
    plan: &Plan,
    cause: usize,
    round: usize,
    search: Search,
    mut watch: impl FnMut(&Step),
) -> Option<Run> {
    let seed = mix(u64::try_from(cause).unwrap_or(0))
        ^ u64::try_from(round)
            .unwrap_or(0)
            .wrapping_mul(0x0001_0001_0001_0001);
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
        let found = drawn(plan, test, cause, luck);
        let which = found.as_ref().map_or(0, |(outcome, _)| *outcome);
        seen.entry(test)
            .or_default()
            .extend(found.map(|(_, row)| row));
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
                end: End::NothingFits,
                leader: (0, 0.0),
            });
        };
        let unit = suspects.unit_of(cause);
        let place = belief
            .ranked()
            .iter()
            .position(|(u, _)| *u == unit)
            .unwrap_or(usize::MAX);
        let leader = belief.leader();
        let ended = |end: End| {
            Some(Run {
                tests,
                minutes,
                place,
                end,
                leader,
            })
        };
        if cured {
            return ended(End::Cured);
        }
        if leader.1 >= ISOLATED {
            return ended(End::Isolated);
        }
        if tests >= GIVEN_UP {
            return ended(End::GivenUp);
        }
        let mut mend = None;
        let choices = match search {
            // The planner as the app has it: rollout of the leading few, and mending at once where that
            // costs less than testing on.
            Search::Planner => {
                let done = seen.iter().map(|(t, rows)| (*t, rows.len())).collect();
                let (stop, choices) = plan.decide(case, &belief, paid, &done, 0);
                if let Stop::HandOver(_) = stop {
                    return ended(End::HandedOver);
                }
                if stop == Stop::NothingTells {
                    return ended(End::NothingTells);
                }
                if let Stop::Mend(unit) = stop {
                    mend = plan.mending_test(unit);
                }
                choices
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
            mend.or_else(|| choices.first().map(|c| c.test))
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
            return ended(End::NothingTells);
        };
        let cost = plan.costs().costs[test.0];
        let price = plan.costs().price(&cost, paid);
        minutes += price;
        paid = paid.with(cost.access);
        let outcome = answer(test, &mut seen);
        watch(&Step {
            test,
            outcome,
            leader,
            hidden: belief.unit(unit),
            bits: choices
                .iter()
                .find(|choice| choice.test == test)
                .map_or(0.0, |choice| choice.bits),
            price,
            mending: mend == Some(test),
        });
        tests += 1;
        // Who mended it, or believes so, stops there.
        cured = plan.answers(test).get(outcome) == Some(&Answer::Effect(Effect::Cured))
            && plan.act(test).mends();
    }
}

/// Who goes from source to load measures first and swaps or replaces last.
const ACTS_LAST: usize = 1_000_000;

fn offer(case: &Case<'_>, plan: &Plan, belief: &Belief, choice: &Choice) -> Offer {
    let act = plan.act(choice.test);
    let meddles = act.mends() || matches!(act.question, Question::Swap(_));
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

/// What ways of searching cost beside the exact optimal tree, where nothing is left to chance.
#[derive(Debug, Clone, PartialEq)]
pub struct NoiseFree {
    /// Complaints with anything to tell apart.
    pub tried: usize,
    /// Complaints small enough for the exact tree.
    pub solved: usize,
    /// What the exact tree costs on average, minutes.
    pub minutes: f64,
    /// What each way costs as a multiple of that, in the order of the ways.
    pub ratios: Vec<f64>,
}

/// Every complaint (which cylinders are ill) as a noise-free problem of its own.
#[must_use]
pub fn without_noise(case: &Case<'_>, plan: &Plan, ways: &[Search]) -> NoiseFree {
    let table = plan.table();
    let mut complaints: BTreeMap<Vec<u8>, Vec<usize>> = BTreeMap::new();
    for cause in 0..case.causes().len() {
        let ill: Vec<u8> = case.showing(cause).ill().map(|c| c.0).collect();
        if !ill.is_empty() {
            complaints.entry(ill).or_default().push(cause);
        }
    }
    let (mut weight, mut best, mut solved, mut tried) = (0.0, 0.0, 0, 0);
    let mut sums = vec![0.0; ways.len()];
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
        for (sum, search) in sums.iter_mut().zip(ways) {
            *sum += mass * problem.effort(*search).cost;
        }
    }
    NoiseFree {
        tried,
        solved,
        minutes: if weight > 0.0 { best / weight } else { 0.0 },
        ratios: sums
            .into_iter()
            .map(|sum| if best > 0.0 { sum / best } else { 1.0 })
            .collect(),
    }
}
