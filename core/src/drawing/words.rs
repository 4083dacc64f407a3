//! Labels of wires beside their runs, and the last say on labels that would collide: the less weighty one waits for a closer look.

use super::geometry::{Point, Rect};
use super::glyph::Sheet;
use super::shape::{Align, Label, Run, RunKind, Voice, Zoom, text_width};
use crate::gather::Arrange;
use crate::topology::Pick;

/// Adds wire labels where there is room, then resolves collisions.
pub(super) fn settle(sheet: &mut Sheet<'_, '_>, runs: &[Run]) {
    let obstacles = Obstacles::of(sheet);
    let mut placed: Vec<Label> = Vec::new();
    let mut given = std::mem::take(&mut sheet.labels);
    given.arrange_by_key(|l| (weight(l.voice), l.from));
    for label in given {
        admit(&mut placed, label, &obstacles);
    }
    for (label, seats) in std::mem::take(&mut sheet.floating) {
        float(&mut placed, &label, &seats, runs, &obstacles);
    }
    for run in runs {
        if run.kind == RunKind::Wire {
            wire_label(sheet, run, runs, &obstacles, &mut placed);
        }
    }
    sheet.labels = placed;
}

const fn weight(voice: Voice) -> u8 {
    match voice {
        Voice::Number => 0,
        Voice::Pin => 1,
        Voice::Name => 2,
        Voice::Note => 3,
        Voice::Wire => 4,
    }
}

/// What labels must keep off.
struct Obstacles {
    bodies: Vec<(Pick, Rect)>,
}

impl Obstacles {
    fn of(sheet: &Sheet<'_, '_>) -> Self {
        let bodies = sheet
            .shapes
            .iter()
            .filter(|s| !matches!(s.pick, Pick::Driver(_) | Pick::Terminal(_)))
            .map(|s| (s.pick, s.bounds))
            .collect();
        Self { bodies }
    }

    fn are_hit_by(&self, label: &Label) -> bool {
        self.are_hit_by_box(label, label.bounds())
    }

    fn are_hit_by_box(&self, label: &Label, b: Rect) -> bool {
        self.bodies.iter().any(|(pick, body)| {
            let own =
                label.inside.is_some_and(|part| *pick == Pick::Part(part)) || *pick == label.of;
            !own && body.overlaps(b)
        })
    }
}

fn clashes(a: &Label, b: &Label) -> bool {
    a.from.max(b.from) <= a.until.min(b.until) && a.bounds().grown(1.0).overlaps(b.bounds())
}

/// Places a label at the earliest level where it has room, smaller if need be; drops it only when there is none.
fn admit(placed: &mut Vec<Label>, mut label: Label, obstacles: &Obstacles) {
    let tries = [
        (label.from, label.size),
        (label.from, label.size * 0.86),
        (label.from.max(Zoom::Near), label.size),
        (label.from.max(Zoom::Near), label.size * 0.8),
        (Zoom::Close, label.size.min(8.0)),
        (Zoom::Close, label.size.min(5.5)),
    ];
    for (from, size) in tries {
        if from > label.until {
            continue;
        }
        label.from = from;
        label.size = size;
        if !placed.iter().any(|other| clashes(other, &label)) && !obstacles.are_hit_by(&label) {
            placed.push(label);
            return;
        }
    }
}

/// Places a label on the first seat that is free of parts, words and wires; smaller and from closer if need be.
fn float(
    placed: &mut Vec<Label>,
    label: &Label,
    seats: &[(Point, Align)],
    runs: &[Run],
    obstacles: &Obstacles,
) {
    let tries = [
        (Zoom::Near, 1.0),
        (Zoom::Near, 0.82),
        (Zoom::Close, 0.62),
        (Zoom::Close, 0.42),
    ];
    for (from, factor) in tries {
        for (at, align) in seats {
            let tried = Label {
                at: *at,
                align: *align,
                from,
                size: label.size * factor,
                ..label.clone()
            };
            let own = tried.bounds().grown(4.0);
            let is_free = !obstacles.are_hit_by_box(&tried, own)
                && !placed.iter().any(|other| clashes(other, &tried))
                && !is_crossed(own, runs);
            if is_free {
                placed.push(tried);
                return;
            }
        }
    }
}

fn is_crossed(b: Rect, runs: &[Run]) -> bool {
    runs.iter()
        .any(|run| run.points.windows(2).any(|w| b.is_crossed_by(w[0], w[1])))
}

fn wire_label(
    sheet: &Sheet<'_, '_>,
    run: &Run,
    runs: &[Run],
    obstacles: &Obstacles,
    placed: &mut Vec<Label>,
) {
    let Pick::Wire(id) = run.pick else { return };
    let Some(wire) = sheet.plan.harness.wires.get(&id) else {
        return;
    };
    let code = wire.colour.map(|c| c.value.code());
    let size = wire
        .size
        .map(|s| format!("{:.1} mm²", s.value.area().get()));
    let Some(short) = code.clone().or_else(|| size.clone()) else {
        return;
    };
    let full = match (&code, &size) {
        (Some(code), Some(size)) => format!("{code} · {size}"),
        (Some(_), None) | (None, Some(_)) | (None, None) => short.clone(),
    };
    let near = seat(
        run,
        runs,
        obstacles,
        placed,
        &Seat {
            text: &short,
            size: 12.0,
            from: Zoom::Near,
            until: Zoom::Near,
        },
    );
    if let Some(label) = near {
        placed.push(label);
    }
    let close = seat(
        run,
        runs,
        obstacles,
        placed,
        &Seat {
            text: &full,
            size: 7.5,
            from: Zoom::Close,
            until: Zoom::Close,
        },
    );
    if let Some(label) = close {
        placed.push(label);
    }
}

struct Seat<'t> {
    text: &'t str,
    size: f64,
    from: Zoom,
    until: Zoom,
}

/// A free place above or below one of the level stretches of a wire, the longest first.
fn seat(
    run: &Run,
    runs: &[Run],
    obstacles: &Obstacles,
    placed: &[Label],
    seat: &Seat<'_>,
) -> Option<Label> {
    let mut stretches: Vec<(f64, Point, Point)> = run
        .points
        .windows(2)
        .filter(|w| (w[0].y - w[1].y).abs() < 0.5)
        .map(|w| {
            let (a, b) = if w[0].x < w[1].x {
                (w[0], w[1])
            } else {
                (w[1], w[0])
            };
            (b.x - a.x, a, b)
        })
        .collect();
    stretches.arrange_by(|a, b| b.0.total_cmp(&a.0));
    let w = text_width(seat.text, seat.size, false);
    for (length, a, b) in stretches.into_iter().take(3) {
        if length < w + 22.0 {
            continue;
        }
        for dy in [seat.size * 0.76 + 5.0, -5.5] {
            let mut x = a.x + 14.0;
            while x + w < b.x - 15.0 {
                let label = Label {
                    text: seat.text.to_owned(),
                    at: Point::new(x, a.y + dy),
                    align: Align::Start,
                    size: seat.size,
                    voice: Voice::Wire,
                    from: seat.from,
                    until: seat.until,
                    of: run.pick,
                    inside: None,
                };
                let own = label.bounds();
                let is_free = !obstacles.are_hit_by(&label)
                    && !placed.iter().any(|other| clashes(other, &label))
                    && !is_crossed(own.grown(4.0), runs);
                if is_free {
                    return Some(label);
                }
                x += 12.0;
            }
        }
    }
    None
}
