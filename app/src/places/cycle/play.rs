//! Turning the crank: play, step from event to event, scrub; by pointer and by key.

use leptos::prelude::*;
use sparktrail_core::cycle::{CoilRow, Cycle};

use super::super::words::cycle as words;
use super::{Seen, degrees};
use crate::edge::{clock, page, timer};
use crate::store::Going;

/// Seconds that one cycle takes while it plays: slow enough to watch.
const SECONDS: f64 = 14.0;
/// Milliseconds between two events where motion is not wanted.
const STEP_MS: u64 = 1400;
/// Two events closer than this, in degrees, are one step.
const SAME: f64 = 0.5;

/// Play, step, scrub.
#[component]
pub(super) fn Controls(seen: Seen) -> impl IntoView {
    let (angle, going) = (seen.store.cycle.angle, seen.store.cycle.going);
    let playing = move || going.get() == Going::Playing;
    let name = move || {
        if playing() {
            words::PAUSE.said()
        } else {
            words::PLAY.said()
        }
    };
    let typed = move |text: String| {
        if let Ok(at) = text.parse::<f64>() {
            going.set(Going::Standing);
            angle.set(at.clamp(0.0, seen.length()));
        }
    };
    let key = move |event: leptos::ev::KeyboardEvent| {
        match event.key().as_str() {
            " " => toggle(seen),
            "PageUp" => step(seen, Direction::On),
            "PageDown" => step(seen, Direction::Back),
            _other => return,
        }
        event.prevent_default();
    };
    view! {
        <div class="crank" role="group" aria-label=words::CRANK>
            <div class="crank-row">
                <button type="button" class="button" on:click=move |_| step(seen, Direction::Back)>
                    {words::BACK}
                </button>
                <button
                    type="button"
                    class="button"
                    data-weight="strong"
                    data-act="play"
                    aria-pressed=move || if playing() { "true" } else { "false" }
                    on:click=move |_| toggle(seen)
                >
                    {name}
                </button>
                <button type="button" class="button" on:click=move |_| step(seen, Direction::On)>
                    {words::ON}
                </button>
                <output class="num crank-angle">{move || words::angle(angle.get())}</output>
            </div>
            <input
                class="slide"
                type="range"
                min="0"
                step="1"
                max=move || format!("{:.0}", seen.length())
                aria-label=words::CRANK
                aria-valuetext=move || words::angle(angle.get())
                prop:value=move || format!("{:.0}", angle.get())
                on:input:target=move |event| typed(event.target().value())
                on:keydown=key
            />
            <p class="faint small only-wide">{words::KEYS}</p>
        </div>
    }
    .into_any()
}

/// What is happening at this angle.
#[component]
pub(super) fn Now(seen: Seen) -> impl IntoView {
    let angle = seen.store.cycle.angle;
    let words = Memo::new(move |_| {
        let at = angle.get();
        let harness = seen.store.told.get();
        seen.shown.with(|cycle| {
            let charging = cycle.coils.iter().filter_map(|row| {
                let amps = row.current_at(degrees(at), cycle.length).get();
                (amps > 0.05).then(|| words::charging(harness.part_name(row.coil), amps))
            });
            let charging: Vec<String> = charging.collect();
            let next = next_firing(cycle, at)
                .map(|(row, place)| words::next_spark(&harness, row, &row.firings[place]));
            words::now(&charging, next)
        })
    });
    view! { <p class="now num">{move || words.get()}</p> }.into_any()
}

/// The firing at or after an angle, round the cycle.
fn next_firing(cycle: &Cycle, angle: f64) -> Option<(&CoilRow, usize)> {
    let length = cycle.length.get();
    let all = cycle.coils.iter().flat_map(|row| {
        let firings = row.firings.iter().enumerate();
        firings.map(move |(place, firing)| {
            let until = (firing.at.get() - angle).rem_euclid(length);
            (until, row, place)
        })
    });
    all.min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, row, place)| (row, place))
}

/// Which way to step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Direction {
    On,
    Back,
}

/// The angles at which something begins or ends, rising.
fn events(cycle: &Cycle) -> Vec<f64> {
    let length = cycle.length.get();
    let rows = cycle.coils.iter();
    let mut found: Vec<f64> = rows
        .flat_map(|row| {
            let dwells = row.dwells.iter().map(|dwell| dwell.from.get());
            dwells.chain(row.firings.iter().map(|firing| firing.at.get()))
        })
        .map(|angle| angle.rem_euclid(length))
        .collect();
    if found.is_empty() {
        found.extend(cycle.cylinders.iter().map(|row| row.top.get()));
    }
    found.sort_by(f64::total_cmp);
    found.dedup_by(|a, b| (*a - *b).abs() < SAME);
    found
}

fn step(seen: Seen, direction: Direction) {
    let cycling = seen.store.cycle;
    cycling.going.set(Going::Standing);
    stride(seen, direction);
}

fn stride(seen: Seen, direction: Direction) {
    let angle = seen.store.cycle.angle;
    let at = angle.get_untracked();
    let events = seen.shown.with_untracked(|cycle| events(cycle));
    let to = match direction {
        Direction::On => {
            let next = events.iter().find(|event| **event > at + SAME);
            next.or_else(|| events.first())
        }
        Direction::Back => {
            let before = events.iter().rev().find(|event| **event < at - SAME);
            before.or_else(|| events.last())
        }
    };
    if let Some(to) = to {
        angle.set(*to);
    }
}

fn toggle(seen: Seen) {
    let going = seen.store.cycle.going;
    match going.get_untracked() {
        Going::Playing => going.set(Going::Standing),
        Going::Standing => {
            going.set(Going::Playing);
            if page::wants_stillness() {
                hop(seen);
            } else {
                turn(seen, clock::running_ms());
            }
        }
    }
}

/// Turns the crank a little with every picture while it plays.
fn turn(seen: Seen, last: f64) {
    page::next_frame(move || {
        let cycling = seen.store.cycle;
        // The place may have been left meanwhile.
        if cycling.going.try_get_untracked() != Some(Going::Playing) {
            return;
        }
        let (now, length) = (clock::running_ms(), seen.length_now());
        let on = (now - last).clamp(0.0, 100.0) * length / (SECONDS * 1e3);
        cycling
            .angle
            .set((cycling.angle.get_untracked() + on).rem_euclid(length));
        turn(seen, now);
    });
}

/// From event to event, without motion between them.
fn hop(seen: Seen) {
    if seen.store.cycle.going.try_get_untracked() != Some(Going::Playing) {
        return;
    }
    stride(seen, Direction::On);
    let _ = timer::after(STEP_MS, move || hop(seen));
}

impl Seen {
    fn length_now(self) -> f64 {
        self.shown.with_untracked(|cycle| cycle.length.get())
    }
}
