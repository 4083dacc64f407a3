//! Two plots of one coil: its current over time, and its voltage over speed beside what the plug needs.

use leptos::prelude::*;
use sparktrail_core::cycle::{CoilRow, Cycle};
use sparktrail_core::electrics::{CoilRun, Moment};
use sparktrail_core::units::{Rpm, Seconds};

use super::super::words::cycle as words;
use super::Seen;
use super::scale::{ABOVE, BELOW, GUTTER, Plane, WIDTH, ticks};

const HEIGHT: f64 = 150.0;
/// Points of a curve.
const POINTS: u32 = 60;
/// The time axis shows at least so many seconds.
const SHORTEST: f64 = 0.004;

/// Both.
#[component]
pub(super) fn Plots(seen: Seen) -> impl IntoView {
    let of = move |draw: fn(&Cycle, &CoilRow, &Cycle) -> AnyView| {
        let coil = seen.coil.get();
        seen.shown.with(|cycle| {
            let row = coil.and_then(|coil| cycle.coil(coil))?;
            seen.healthy.with(|healthy| Some(draw(cycle, row, healthy)))
        })
    };
    view! {
        <figure class="plot">
            <figcaption>{words::PLOT_CURRENT}</figcaption>
            {move || of(current)}
        </figure>
        <figure class="plot">
            <figcaption>{words::PLOT_SPEED}</figcaption>
            {move || of(speed)}
        </figure>
    }
    .into_any()
}

fn share(point: u32) -> f64 {
    f64::from(point) / f64::from(POINTS)
}

/// Current from where the driver turns on until after it has let go.
fn current(cycle: &Cycle, row: &CoilRow, healthy: &Cycle) -> AnyView {
    let before = healthy.coil(row.coil);
    let runs = || {
        row.runs
            .first()
            .into_iter()
            .chain(before.and_then(|row| row.runs.first()))
    };
    let longest = runs().map(|run| run.dwell().get()).fold(0.0, f64::max);
    let end = (longest * 1.3).max(SHORTEST);
    let most = runs()
        .map(|run| run.peak().get())
        .fold(row.steady.get().max(1.0), f64::max);
    let plane = Plane {
        most: (end * 1e3, most * 1.12),
        height: HEIGHT,
    };
    let curve = |run: &CoilRun| {
        let run = run.clone();
        let dwell = run.dwell().get();
        let rise = (0..=POINTS).map(move |point| (dwell * share(point), true));
        let points = rise.chain([(dwell * 1.0001, false), (end, false)]);
        plane.line(points.map(move |(time, _)| {
            let amps = run.current(Seconds::new(time).unwrap_or_default());
            (time * 1e3, amps.get())
        }))
    };
    let shown = row.runs.first().map_or_else(
        || plane.line([(0.0, row.steady.get()), (end * 1e3, row.steady.get())]),
        curve,
    );
    let other = before.filter(|before| before.peak() != row.peak());
    let other = other
        .and_then(|before| before.runs.first())
        .map(|run| view! { <path class="curve was" d=curve(run) /> }.into_any());
    let enough = cycle.limits(row).and_then(|limits| limits.shortest_dwell);
    let enough = enough.zip(row.runs.first()).map(|(dwell, run)| {
        let amps = run.with_times(dwell, run.period()).peak().get();
        let (x, y) = (plane.x(dwell.get() * 1e3), plane.y(amps));
        let zero = plane.y(0.0);
        view! {
            <path class="guide" d=format!("M{GUTTER} {y:.1}H{x:.1}V{zero:.1}") />
            <circle class="spot" cx=x cy=y r="3.5" />
            <text class="plot-word" x=GUTTER + 4.0 y=y - 4.0>{words::enough(amps)}</text>
        }
        .into_any()
    });
    view! {
        <svg viewBox=format!("0 0 {WIDTH} {HEIGHT}") role="img" aria-label=words::current_told(row)>
            {axes(plane, ("ms", "A"))}
            {other}
            <path class="curve" d=shown />
            {enough}
        </svg>
    }
    .into_any()
}

/// What the coil can reach at every speed, beside what its plug needs.
fn speed(cycle: &Cycle, row: &CoilRow, healthy: &Cycle) -> AnyView {
    let (Some(run), Some(needed)) = (row.runs.first(), row.needed(Moment::Compression)) else {
        return view! { <p class="faint">{words::NO_CURVE}</p> }.into_any();
    };
    let limits = cycle.limits(row);
    let limit = limits.and_then(|limits| limits.enough).map(Rpm::get);
    let fastest = limit.unwrap_or(0.0).clamp(9_000.0, 16_000.0) * 1.05;
    let kilovolts = |run: &CoilRun, speed: f64| {
        let speed = Rpm::new(speed.max(100.0)).unwrap_or_default();
        run.at_speed(speed, cycle.dials().dwell).tower_kilovolts()
    };
    let before = healthy.coil(row.coil).and_then(|row| row.runs.first());
    let slow = kilovolts(run, 300.0).max(before.map_or(0.0, |run| kilovolts(run, 300.0)));
    let plane = Plane {
        most: (fastest, slow.max(needed) * 1.15),
        height: HEIGHT,
    };
    let curve = |run: &CoilRun| {
        let points = (0..=POINTS).map(|point| fastest * share(point));
        plane.line(points.map(|speed| (speed, kilovolts(run, speed))))
    };
    let other = before
        .filter(|before| before.peak() != run.peak())
        .map(|before| view! { <path class="curve was" d=curve(before) /> }.into_any());
    let now = cycle.speed.get();
    let (x, y) = (plane.x(now), plane.y(kilovolts(run, now)));
    let zero = plane.y(0.0);
    let limit = limit.filter(|limit| *limit < fastest).map(|limit| {
        let x = plane.x(limit);
        let word = words::fastest(limit);
        view! {
            <path class="guide" d=format!("M{x:.1} {:.1}V{zero:.1}", ABOVE) />
            <text class="plot-word" x=x - 4.0 y=ABOVE + 9.0 text-anchor="end">{word}</text>
        }
        .into_any()
    });
    let level = plane.y(needed);
    view! {
        <svg viewBox=format!("0 0 {WIDTH} {HEIGHT}") role="img" aria-label=words::PLOT_SPEED>
            {axes(plane, (words::RPM.said(), "kV"))}
            {other}
            <path class="curve" d=curve(run) />
            <path class="needs" d=format!("M{GUTTER} {level:.1}H{WIDTH}") />
            <text class="plot-word" x=GUTTER + 4.0 y=level - 4.0>{words::needs(needed)}</text>
            {limit}
            <circle class="spot" cx=x cy=y r="4" />
        </svg>
    }
    .into_any()
}

fn axes(plane: Plane, (across, up): (&'static str, &'static str)) -> AnyView {
    let zero = plane.y(0.0);
    let right: Vec<AnyView> = ticks(plane.most.0, 5.0)
        .into_iter()
        .map(|at| {
            let x = plane.x(at);
            view! {
                <path class="rule" d=format!("M{x:.1} {ABOVE}V{zero:.1}") />
                <text class="angle" x=x y=zero + 11.0 text-anchor="middle">{words::tick(at)}</text>
            }
            .into_any()
        })
        .collect();
    let high: Vec<AnyView> = ticks(plane.most.1, 4.0)
        .into_iter()
        .map(|at| {
            let y = plane.y(at);
            view! {
                <path class="rule" d=format!("M{GUTTER} {y:.1}H{WIDTH}") />
                <text class="angle" x=GUTTER - 4.0 y=y + 3.0 text-anchor="end">{words::tick(at)}</text>
            }
            .into_any()
        })
        .collect();
    view! {
        {right}
        {high}
        <text class="angle" x=WIDTH y=HEIGHT - BELOW + 20.0 text-anchor="end">{across}</text>
        <text class="angle" x="0" y=ABOVE + 3.0>{up}</text>
    }
    .into_any()
}
