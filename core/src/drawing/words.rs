//! Labels of wires beside their runs, and the last say on labels that would collide: the less weighty one waits for a closer look.

use super::geometry::{Point, Rect, whole};
use super::glyph::Sheet;
use super::shape::{Align, Label, Run, RunKind, Voice, Zoom, text_width};
use crate::gather::Arrange;
use crate::topology::Pick;

/// Adds wire labels where there is room, then resolves collisions.
pub(super) fn settle(sheet: &mut Sheet<'_, '_>, runs: &[Run]) {
    let mut seated = Seated::among(sheet, runs);
    let mut given = std::mem::take(&mut sheet.labels);
    given.arrange_by_key(|l| (weight(l.voice), l.from));
    for label in given {
        admit(&mut seated, label);
    }
    for (label, seats) in std::mem::take(&mut sheet.floating) {
        float(&mut seated, &label, &seats);
    }
    for run in runs {
        if run.kind == RunKind::Wire {
            wire_label(sheet, run, &mut seated);
        }
    }
    sheet.labels = seated.placed;
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

/// Things by how high they stand, so that what lies beside a box is found without looking at all of them.
#[derive(Debug)]
struct Rows {
    top: f64,
    rows: Vec<Vec<usize>>,
}

impl Rows {
    /// Height of a row, in map units.
    const HIGH: f64 = 48.0;
    /// The most rows: what lies below counts to the last, as what lies above counts to the first.
    const MOST: i32 = 999;

    fn below(top: f64) -> Self {
        Self {
            top,
            rows: Vec::new(),
        }
    }

    /// The rows that a box touches, the first and the one after the last.
    fn touched(&self, b: Rect) -> (usize, usize) {
        let row = |y: f64| {
            let row = whole(((y - self.top) / Self::HIGH).floor());
            usize::try_from(row.clamp(0, Self::MOST)).unwrap_or(0)
        };
        (row(b.y), row(b.bottom()) + 1)
    }

    fn put(&mut self, nth: usize, b: Rect) {
        let (from, to) = self.touched(b);
        if self.rows.len() < to {
            self.rows.resize(to, Vec::new());
        }
        for row in &mut self.rows[from..to] {
            row.push(nth);
        }
    }

    /// Whether any of what may touch `b` hits it.
    fn any(&self, b: Rect, mut hits: impl FnMut(usize) -> bool) -> bool {
        let (from, to) = self.touched(b);
        let rows = self.rows.get(from..to.min(self.rows.len()));
        let mut near = rows.unwrap_or_default().iter().flatten();
        near.any(|nth| hits(*nth))
    }
}

/// The labels that have their place, and what all labels must keep off.
struct Seated {
    placed: Vec<Label>,
    /// The box of each placed label, with a little room about it.
    rooms: Vec<Rect>,
    rooms_by_row: Rows,
    bodies: Vec<(Pick, Rect)>,
    bodies_by_row: Rows,
    /// The straight stretches of all wires and leads.
    stretches: Vec<(Point, Point)>,
    stretches_by_row: Rows,
}

impl Seated {
    fn among(sheet: &Sheet<'_, '_>, runs: &[Run]) -> Self {
        let top = sheet.plan.bounds().y;
        let mut seated = Self {
            placed: Vec::new(),
            rooms: Vec::new(),
            rooms_by_row: Rows::below(top),
            bodies: Vec::new(),
            bodies_by_row: Rows::below(top),
            stretches: Vec::new(),
            stretches_by_row: Rows::below(top),
        };
        for shape in &sheet.shapes {
            if !matches!(shape.pick, Pick::Driver(_) | Pick::Terminal(_)) {
                seated.bodies_by_row.put(seated.bodies.len(), shape.bounds);
                seated.bodies.push((shape.pick, shape.bounds));
            }
        }
        for pair in runs.iter().flat_map(|run| run.points.windows(2)) {
            let around = Rect::around(pair).unwrap_or_default().grown(1.0);
            seated.stretches_by_row.put(seated.stretches.len(), around);
            seated.stretches.push((pair[0], pair[1]));
        }
        seated
    }

    fn place(&mut self, label: Label) {
        let room = label.bounds().grown(1.0);
        self.rooms_by_row.put(self.placed.len(), room);
        self.rooms.push(room);
        self.placed.push(label);
    }

    /// Whether the label would lie on a body at `b`: what it names and what it stands in are none of those.
    fn is_on_body(&self, label: &Label, b: Rect) -> bool {
        self.bodies_by_row.any(b, |nth| {
            let (pick, body) = self.bodies[nth];
            let inside = label.inside.is_some_and(|part| pick == Pick::Part(part));
            body.overlaps(b) && !inside && pick != label.of
        })
    }

    /// Whether the label would lie on another one at `b` that shows when it does.
    fn is_on_word(&self, label: &Label, b: Rect) -> bool {
        self.rooms_by_row.any(b, |nth| {
            let other = &self.placed[nth];
            self.rooms[nth].overlaps(b)
                && other.from.max(label.from) <= other.until.min(label.until)
        })
    }

    fn is_on_run(&self, b: Rect) -> bool {
        self.stretches_by_row.any(b, |nth| {
            let (from, to) = self.stretches[nth];
            b.is_crossed_by(from, to)
        })
    }
}

/// Places a label at the earliest level where it has room, smaller if need be; drops it only when there is none.
fn admit(seated: &mut Seated, mut label: Label) {
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
        let own = label.bounds();
        if !seated.is_on_word(&label, own) && !seated.is_on_body(&label, own) {
            seated.place(label);
            return;
        }
    }
}

/// Places a label on the first seat that is free of parts, words and wires; smaller and from closer if need be.
fn float(seated: &mut Seated, label: &Label, seats: &[(Point, Align)]) {
    let tries = [
        (Zoom::Near, 1.0),
        (Zoom::Near, 0.82),
        (Zoom::Close, 0.62),
        (Zoom::Close, 0.42),
    ];
    for (from, factor) in tries {
        let mut tried = Label {
            from,
            size: label.size * factor,
            ..label.clone()
        };
        for (at, align) in seats {
            tried.at = *at;
            tried.align = *align;
            let own = tried.bounds();
            let room = own.grown(4.0);
            let is_free = !seated.is_on_body(&tried, room)
                && !seated.is_on_word(&tried, own)
                && !seated.is_on_run(room);
            if is_free {
                seated.place(tried);
                return;
            }
        }
    }
}

fn wire_label(sheet: &Sheet<'_, '_>, run: &Run, seated: &mut Seated) {
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
    seat(run, seated, short, 12.0, Zoom::Near);
    seat(run, seated, full, 7.5, Zoom::Close);
}

/// Places the words of a wire, shown at one level alone, above or below one of its level stretches, the longest
/// first; drops them where there is no room.
fn seat(run: &Run, seated: &mut Seated, text: String, size: f64, zoom: Zoom) {
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
    let w = text_width(&text, size, false);
    let mut label = Label {
        text,
        at: Point::default(),
        align: Align::Start,
        size,
        voice: Voice::Wire,
        from: zoom,
        until: zoom,
        of: run.pick,
        inside: None,
    };
    for (length, a, b) in stretches.into_iter().take(3) {
        if length < w + 22.0 {
            continue;
        }
        for dy in [size * 0.76 + 5.0, -5.5] {
            label.at = Point::new(a.x + 14.0, a.y + dy);
            let mut own = label.bounds();
            while own.x + w < b.x - 15.0 {
                let is_free = !seated.is_on_body(&label, own)
                    && !seated.is_on_word(&label, own)
                    && !seated.is_on_run(own.grown(4.0));
                if is_free {
                    label.at.x = own.x;
                    seated.place(label);
                    return;
                }
                own.x += 12.0;
            }
        }
    }
}
