//! The cycle as a score: every coil a stave, every cylinder a line on it that rises and falls as its piston
//! does, and below them the coil's current, which ends in the spark.

use std::fmt::Write;
use std::sync::Arc;

use leptos::prelude::*;
use sparktrail_core::cycle::{CoilRow, Cycle, CylinderRow, Firing, PlugEnd, Polarity, Span};
use sparktrail_core::electrics::{Moment, SparkState};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::Harness;

use super::super::words::cycle as words;
use super::scale::{Along, GUTTER, WIDTH, path};
use super::{Seen, degrees};
use crate::edge::events;

/// Above the first stave, for the angles.
const HEAD: f64 = 19.0;
/// A stave's name.
const NAME: f64 = 13.0;
/// A cylinder's line with its air.
const LINE: f64 = 30.0;
/// How far a piston rises.
const RISE: f64 = 20.0;
/// The current below the lines.
const CURRENT: f64 = 20.0;
/// Between two staves.
const GAP: f64 = 9.0;
/// Degrees between two points of a piston's line.
const STEP: f64 = 15.0;
/// A word stands in a stroke that is at least this wide, in degrees.
const WORDED: f64 = 120.0;

/// The whole drawing with its cursor.
#[component]
pub(super) fn Score(seen: Seen) -> impl IntoView {
    let angle = seen.store.cycle.angle;
    let drawing = move || {
        let cycle = seen.shown.get();
        let harness = seen.store.told.get();
        Sheet::of(&cycle, &harness).view(seen)
    };
    let along = move || Along::new(seen.length());
    let scrub = move |event: leptos::ev::PointerEvent| {
        if let Some(share) = events::share_across(&event) {
            angle.set(along().angle(share));
        }
    };
    let cursor = move || format!("translate({:.2} 0)", along().at(angle.get()));
    let height = Memo::new(move |_| seen.shown.with(|cycle| height(cycle)));
    view! {
        <svg
            class="score"
            role="img"
            aria-label=words::SCORE
            viewBox=move || format!("0 0 {WIDTH} {:.0}", height.get())
            on:pointerdown=move |event| {
                events::hold_pointer(&event);
                seen.store.cycle.rest();
                scrub(event);
            }
            on:pointermove=move |event| {
                if event.buttons() == 1 {
                    scrub(event);
                }
            }
        >
            {drawing}
            <g class="cursor" transform=cursor>
                <path d=move || format!("M0 {:.0}V{:.0}", HEAD - 2.0, height.get()) />
                <path class="knob" d=format!("M-4 {0:.0}h8l-4 6z", HEAD - 7.0) />
            </g>
        </svg>
        <Key />
    }
    .into_any()
}

/// What the shapes mean.
#[component]
fn Key() -> impl IntoView {
    let row = |mark: AnyView, word: &'static str| {
        view! {
            <li>
                <svg viewBox="-9 -9 18 18" aria-hidden="true">{mark}</svg>
                <span>{word}</span>
            </li>
        }
        .into_any()
    };
    view! {
        <ul class="score-key">
            {row(star("yes"), words::KEY_SPARK.said())}
            {row(ring("yes"), words::KEY_WASTE.said())}
            {row(cross(), words::KEY_NONE.said())}
            {row(
                view! { <path class="current" d="M-8 7L6 -6V7z" /> }.into_any(),
                words::KEY_DWELL.said(),
            )}
        </ul>
    }
    .into_any()
}

fn height(cycle: &Cycle) -> f64 {
    let staves = cycle
        .coils
        .iter()
        .map(|row| stave_height(cylinders(row).len()));
    HEAD + staves.sum::<f64>() + lone_height(cycle)
}

/// Cylinders that no coil on the map serves have a stave of their own, without a current.
fn lone_height(cycle: &Cycle) -> f64 {
    match lone(cycle).len() {
        0 => 0.0,
        many => stave_height(many) - CURRENT,
    }
}

fn stave_height(lines: usize) -> f64 {
    let lines = u32::try_from(lines).map_or(0.0, f64::from);
    NAME + LINE * lines + CURRENT + GAP
}

/// The cylinders of a coil, each once, as they come.
fn cylinders(row: &CoilRow) -> Vec<CylinderId> {
    let mut found = Vec::new();
    for end in row.firings.iter().flat_map(|firing| &firing.ends) {
        if let Some(cylinder) = end.cylinder
            && !found.contains(&cylinder)
        {
            found.push(cylinder);
        }
    }
    found
}

fn lone(cycle: &Cycle) -> Vec<CylinderId> {
    let all = cycle.cylinders.iter().map(|row| row.cylinder);
    all.filter(|&cylinder| cycle.coils_of(cylinder).next().is_none())
        .collect()
}

/// What is being drawn.
struct Sheet<'c> {
    cycle: &'c Arc<Cycle>,
    harness: &'c Harness,
    along: Along,
    /// The highest current of all coils, A.
    most: f64,
}

impl<'c> Sheet<'c> {
    fn of(cycle: &'c Arc<Cycle>, harness: &'c Harness) -> Self {
        let peaks = cycle.coils.iter().map(|row| row.peak().get());
        Self {
            cycle,
            harness,
            along: Along::new(cycle.length.get()),
            most: peaks.fold(1.0, f64::max),
        }
    }

    fn view(&self, seen: Seen) -> AnyView {
        let mut top = HEAD;
        let mut staves = vec![self.angles()];
        // By the first spark of each, so that the sparks run down the sheet.
        let mut rows: Vec<&CoilRow> = self.cycle.coils.iter().collect();
        let first = |row: &CoilRow| row.firings.first().map_or(f64::MAX, |f| f.at.get());
        rows.sort_by(|a, b| first(a).total_cmp(&first(b)));
        for row in rows {
            staves.push(self.stave(seen, row, top));
            top += stave_height(cylinders(row).len());
        }
        let lone = lone(self.cycle);
        if !lone.is_empty() {
            staves.push(
                view! { <text class="stave-name" x="0" y=top + 10.0>{words::LONE}</text> }
                    .into_any(),
            );
            for (place, cylinder) in lone.into_iter().enumerate() {
                staves.push(self.line(cylinder, line_top(top, place)));
            }
        }
        staves.into_any()
    }

    /// The angles over the sheet.
    fn angles(&self) -> AnyView {
        let length = self.cycle.length.get();
        let height = height(self.cycle);
        let mut marks = Vec::new();
        let mut angle = 0.0;
        while angle <= length + 0.5 {
            let x = self.along.at(angle);
            let anchor = if angle > length - 1.0 {
                "end"
            } else {
                "middle"
            };
            marks.push(
                view! {
                    <path class="rule" d=format!("M{x:.1} {HEAD}V{height:.0}") />
                    <text class="angle" x=x y="9" text-anchor=anchor>{words::angle(angle)}</text>
                }
                .into_any(),
            );
            angle += 180.0;
        }
        marks.into_any()
    }

    fn stave(&self, seen: Seen, row: &CoilRow, top: f64) -> AnyView {
        let coil = row.coil;
        let lines = cylinders(row);
        let bottom = line_top(top, lines.len()) + CURRENT;
        let name = self.harness.part_name(coil).to_owned();
        let drawn: Vec<AnyView> = lines
            .iter()
            .enumerate()
            .map(|(place, &cylinder)| self.line(cylinder, line_top(top, place)))
            .collect();
        let sparks: Vec<AnyView> = row
            .firings
            .iter()
            .map(|firing| self.firing(firing, &lines, top, bottom))
            .collect();
        let chosen = move || (seen.coil.get() == Some(coil)).then_some("true");
        view! {
            <g
                class="stave"
                data-coil=coil.to_string()
                data-chosen=chosen
                on:click=move |_| seen.store.cycle.coil.set(Some(coil))
            >
                <path
                    class="stave-ground"
                    d=format!("M0 {:.1}H{WIDTH}V{:.1}H0z", top, bottom + GAP / 2.0)
                />
                <text class="stave-name" x="2" y=top + 10.0>{name}</text>
                {drawn}
                {self.current(row, bottom)}
                {sparks}
            </g>
        }
        .into_any()
    }

    /// One cylinder: its number, and its strokes under the line of its piston.
    fn line(&self, cylinder: CylinderId, top: f64) -> AnyView {
        let Some(row) = self.cycle.cylinders.iter().find(|r| r.cylinder == cylinder) else {
            return ().into_any();
        };
        let strokes: Vec<AnyView> = row
            .strokes
            .iter()
            .map(|span| self.stroke(row, span, top))
            .collect();
        let middle = top + LINE / 2.0 + 2.0;
        view! {
            {strokes}
            <circle class="line-disc" cx="13" cy=middle r="9" />
            <text class="line-number" x="13" y=middle + 3.5 text-anchor="middle">
                {cylinder.to_string()}
            </text>
        }
        .into_any()
    }

    fn stroke(&self, row: &CylinderRow, span: &Span, top: f64) -> AnyView {
        let base = top + LINE - 2.0;
        let (from, to) = (span.from.get(), span.to.get());
        let height = |angle: f64| base - piston(angle - row.top.get()) * RISE;
        let mut points = vec![(self.along.at(from), base)];
        let mut angle = from;
        while angle < to {
            points.push((self.along.at(angle), height(angle)));
            angle += STEP;
        }
        points.push((self.along.at(to), height(to)));
        points.push((self.along.at(to), base));
        let word = (to - from >= WORDED).then(|| {
            let x = self.along.at(f64::midpoint(from, to));
            let word = words::stroke(span.stroke);
            view! { <text class="stroke-word" x=x y=base - 3.0 text-anchor="middle">{word}</text> }
                .into_any()
        });
        view! {
            <path class="stroke" data-stroke=words::stroke_code(span.stroke) d=path(points) />
            {word}
        }
        .into_any()
    }

    /// The coil's current along the crank, up from `bottom`.
    fn current(&self, row: &CoilRow, bottom: f64) -> AnyView {
        let length = self.cycle.length;
        let y = |amps: f64| bottom - (amps / self.most).clamp(0.0, 1.0) * (CURRENT - 2.0);
        let mut text = format!("M{:.1} {bottom:.1}", self.along.at(0.0));
        let mut to = |angle: f64, amps: f64| {
            // Writing to a string cannot fail.
            let _ = write!(text, "L{:.1} {:.1}", self.along.at(angle), y(amps));
        };
        for angle in corners(row, length.get()) {
            to(angle, row.current_at(degrees(angle), length).get());
        }
        to(length.get(), 0.0);
        view! {
            <path class="current" d=format!("{text}z") />
            <path class="zero" d=format!("M{:.1} {bottom:.1}H{WIDTH}", GUTTER) />
        }
        .into_any()
    }

    /// The sparks of one firing, and the thread that joins them to the end of the current.
    fn firing(&self, firing: &Firing, lines: &[CylinderId], top: f64, bottom: f64) -> AnyView {
        let x = self.along.at(firing.at.get());
        let mut crests: Vec<f64> = Vec::new();
        let marks: Vec<AnyView> = firing
            .ends
            .iter()
            .filter_map(|end| {
                let place = lines.iter().position(|c| Some(*c) == end.cylinder)?;
                let y = line_top(top, place) + LINE - 2.0 - RISE;
                crests.push(y);
                Some(mark(end, x, y))
            })
            .collect();
        let highest = crests.iter().copied().fold(bottom, f64::min);
        view! {
            <path class="thread" d=format!("M{x:.1} {highest:.1}V{bottom:.1}") />
            {marks}
        }
        .into_any()
    }
}

fn line_top(top: f64, place: usize) -> f64 {
    top + NAME + LINE * u32::try_from(place).map_or(0.0, f64::from)
}

/// Height of a piston, 0 to 1, so many degrees after its top.
///
/// # Source
/// Crank geometry with an endless rod: (1 + cos)/2.
fn piston(after: f64) -> f64 {
    f64::midpoint(1.0, after.to_radians().cos())
}

/// The angles at which the current's line has to be drawn: through each dwell, and just after it.
fn corners(row: &CoilRow, length: f64) -> Vec<f64> {
    const POINTS: u32 = 12;
    let mut found = vec![0.0, length];
    for dwell in &row.dwells {
        let (from, to) = (dwell.from.get(), dwell.to.get());
        found.push((from - 0.01).rem_euclid(length));
        for point in 0..=POINTS {
            let angle = from + (to - from) * f64::from(point) / f64::from(POINTS);
            found.push(angle.rem_euclid(length));
        }
        found.push((to + 0.01).rem_euclid(length));
    }
    found.sort_by(f64::total_cmp);
    found
}

/// One spark: its shape, its word and its polarity.
fn mark(end: &PlugEnd, x: f64, y: f64) -> AnyView {
    let state = end.spark.state;
    let code = state.code();
    let shape = match (state, end.moment) {
        (SparkState::No, _) => cross(),
        (_, Moment::Compression) => star(code),
        (_, Moment::Exhaust | Moment::Other) => ring(code),
    };
    let word = words::spark_short(end.moment, state);
    // Near the right edge the word stands on the left.
    let left = x > WIDTH - 60.0;
    let (at, anchor) = if left {
        (-10.0, "end")
    } else {
        (10.0, "start")
    };
    let sign = match end.polarity {
        Polarity::Negative => "−",
        Polarity::Positive => "+",
    };
    view! {
        <g
            class="spark-mark"
            data-moment=words::moment_code(end.moment)
            data-state=code
            transform=format!("translate({x:.1} {y:.1})")
        >
            {shape}
            <text class="spark-word" x=at y="1" text-anchor=anchor>{format!("{sign} {word}")}</text>
        </g>
    }
    .into_any()
}

/// A spark that does work.
fn star(state: &'static str) -> AnyView {
    view! {
        <path
            class="star"
            data-state=state
            d="M0-8L1.9-2.6 7-4.4 3.4 0 7 4.4 1.9 2.6 0 8-1.9 2.6-7 4.4-3.4 0-7-4.4-1.9-2.6z"
        />
    }
    .into_any()
}

/// A spark at the end of exhaust, or at no useful time.
fn ring(state: &'static str) -> AnyView {
    view! {
        <circle class="dot-ring" data-state=state r="5" />
        <circle class="dot" r="1.5" />
    }
    .into_any()
}

/// A spark that does not come.
fn cross() -> AnyView {
    view! { <path class="cross" d="M-5-5L5 5M5-5L-5 5" /> }.into_any()
}
