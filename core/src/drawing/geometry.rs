//! Points, boxes and SVG path data in the map's own units: right and down, one unit a CSS pixel at scale 1.

use std::fmt::Write as _;

/// The grid that parts and wires stand on.
pub const GRID: f64 = 12.0;

/// A place on the map.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

impl Point {
    /// A point from its two coordinates.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The point moved by (`dx`, `dy`).
    #[must_use]
    pub fn by(self, dx: f64, dy: f64) -> Self {
        Self::new(self.x + dx, self.y + dy)
    }

    /// Distance to another point.
    #[must_use]
    pub fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// Whether both coordinates are finite.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

/// A box: top left corner, width and height.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rect {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl Rect {
    /// A box from its top left corner and its size.
    #[must_use]
    pub const fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Self { x, y, w, h }
    }

    /// The box of this size about a centre.
    #[must_use]
    pub fn about(centre: Point, w: f64, h: f64) -> Self {
        Self::new(centre.x - w / 2.0, centre.y - h / 2.0, w, h)
    }

    /// The smallest box that holds all `points`; `None` when there are none.
    #[must_use]
    pub fn around(points: &[Point]) -> Option<Self> {
        let first = points.first()?;
        let (mut low, mut high) = (*first, *first);
        for p in points {
            low = Point::new(low.x.min(p.x), low.y.min(p.y));
            high = Point::new(high.x.max(p.x), high.y.max(p.y));
        }
        Some(Self::new(low.x, low.y, high.x - low.x, high.y - low.y))
    }

    /// Right edge.
    #[must_use]
    pub fn right(self) -> f64 {
        self.x + self.w
    }

    /// Bottom edge.
    #[must_use]
    pub fn bottom(self) -> f64 {
        self.y + self.h
    }

    /// Middle.
    #[must_use]
    pub fn centre(self) -> Point {
        Point::new(self.x + self.w / 2.0, self.y + self.h / 2.0)
    }

    /// The box grown by `by` on every side.
    #[must_use]
    pub fn grown(self, by: f64) -> Self {
        Self::new(
            self.x - by,
            self.y - by,
            self.w + 2.0 * by,
            self.h + 2.0 * by,
        )
    }

    /// The box moved by (`dx`, `dy`).
    #[must_use]
    pub fn moved(self, dx: f64, dy: f64) -> Self {
        Self::new(self.x + dx, self.y + dy, self.w, self.h)
    }

    /// Whether the two boxes share more than an edge.
    #[must_use]
    pub fn overlaps(self, other: Self) -> bool {
        self.x < other.right() - 1e-6
            && other.x < self.right() - 1e-6
            && self.y < other.bottom() - 1e-6
            && other.y < self.bottom() - 1e-6
    }

    /// The smallest box that holds both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        let x = self.x.min(other.x);
        let y = self.y.min(other.y);
        Self::new(
            x,
            y,
            self.right().max(other.right()) - x,
            self.bottom().max(other.bottom()) - y,
        )
    }

    /// Whether the straight line from `a` to `b`, upright or level, comes inside the box.
    #[must_use]
    pub fn is_crossed_by(self, a: Point, b: Point) -> bool {
        let line = Self::new(
            a.x.min(b.x) - 0.01,
            a.y.min(b.y) - 0.01,
            (a.x - b.x).abs() + 0.02,
            (a.y - b.y).abs() + 0.02,
        );
        self.overlaps(line)
    }
}

/// The nearest place on the grid.
pub(super) fn snap(v: f64) -> f64 {
    (v / GRID).round() * GRID
}

/// The next place on the grid, at or after `v`.
pub(super) fn snap_up(v: f64) -> f64 {
    (v / GRID - 1e-9).ceil() * GRID
}

/// The nearest whole number, for places on the grid.
#[expect(
    clippy::cast_possible_truncation,
    reason = "map places are thousands at most; the clamp keeps the cast exact"
)]
pub(super) fn whole(v: f64) -> i32 {
    v.round().clamp(-1e9, 1e9) as i32
}

/// Writes a number with one decimal, or none where that is a nought. Digit by digit: a drawing holds thousands, and
/// the formatting of the standard library takes several times as long.
fn tenths(text: &mut String, n: f64) {
    if !n.is_finite() {
        // Writing to a string cannot fail.
        let _ = write!(text, "{n}");
        return;
    }
    let tenths = whole(n * 10.0);
    if tenths < 0 {
        text.push('-');
    }
    let (full, rest) = (tenths.unsigned_abs() / 10, tenths.unsigned_abs() % 10);
    let mut place = 1;
    while full / place >= 10 {
        place *= 10;
    }
    while place > 0 {
        digit(text, full / place % 10);
        place /= 10;
    }
    if rest > 0 {
        text.push('.');
        digit(text, rest);
    }
}

fn digit(text: &mut String, n: u32) {
    text.extend(char::from_digit(n, 10));
}

/// Writes SVG path data, one decimal a number.
#[derive(Debug, Clone, Default)]
pub(super) struct Pen {
    d: String,
}

impl Pen {
    pub(super) fn new() -> Self {
        Self::default()
    }

    fn put(mut self, letter: char, numbers: &[f64]) -> Self {
        self.d.push(letter);
        for (i, n) in numbers.iter().enumerate() {
            if i > 0 {
                self.d.push(' ');
            }
            tenths(&mut self.d, *n);
        }
        self
    }

    pub(super) fn go(self, x: f64, y: f64) -> Self {
        self.put('M', &[x, y])
    }

    pub(super) fn line(self, x: f64, y: f64) -> Self {
        self.put('L', &[x, y])
    }

    pub(super) fn across(self, x: f64) -> Self {
        self.put('H', &[x])
    }

    pub(super) fn down(self, y: f64) -> Self {
        self.put('V', &[y])
    }

    pub(super) fn bend(self, corner: Point, to: Point) -> Self {
        self.put('Q', &[corner.x, corner.y, to.x, to.y])
    }

    pub(super) fn curve(self, a: Point, b: Point, to: Point) -> Self {
        self.put('C', &[a.x, a.y, b.x, b.y, to.x, to.y])
    }

    /// A half circle bulging to the right of the way from here to (x, y), when drawn downward.
    pub(super) fn bulge(self, radius: f64, sweep: Sweep, x: f64, y: f64) -> Self {
        let flag = match sweep {
            Sweep::Clockwise => 1.0,
            Sweep::Counter => 0.0,
        };
        self.put('A', &[radius, radius, 0.0, 0.0, flag, x, y])
    }

    pub(super) fn close(mut self) -> Self {
        self.d.push('Z');
        self
    }

    pub(super) fn circle(self, centre: Point, r: f64) -> Self {
        self.go(centre.x - r, centre.y)
            .bulge(r, Sweep::Clockwise, centre.x + r, centre.y)
            .bulge(r, Sweep::Clockwise, centre.x - r, centre.y)
            .close()
    }

    pub(super) fn rounded(self, b: Rect, r: f64) -> Self {
        let r = r.min(b.w / 2.0).min(b.h / 2.0);
        self.go(b.x + r, b.y)
            .across(b.right() - r)
            .bulge(r, Sweep::Clockwise, b.right(), b.y + r)
            .down(b.bottom() - r)
            .bulge(r, Sweep::Clockwise, b.right() - r, b.bottom())
            .across(b.x + r)
            .bulge(r, Sweep::Clockwise, b.x, b.bottom() - r)
            .down(b.y + r)
            .bulge(r, Sweep::Clockwise, b.x + r, b.y)
            .close()
    }

    pub(super) fn done(self) -> String {
        self.d
    }
}

/// Which way an arc turns on the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sweep {
    Clockwise,
    Counter,
}

/// A line through `points` with its corners rounded by `radius`.
pub(super) fn rounded_line(points: &[Point], radius: f64) -> String {
    let Some(first) = points.first() else {
        return String::new();
    };
    let mut pen = Pen::new().go(first.x, first.y);
    for window in points.windows(3) {
        let (a, b, c) = (window[0], window[1], window[2]);
        let r = radius.min(a.distance(b) / 2.0).min(b.distance(c) / 2.0);
        let before = toward(b, a, r);
        let after = toward(b, c, r);
        pen = pen.line(before.x, before.y).bend(b, after);
    }
    if let Some(last) = points.last() {
        pen = pen.line(last.x, last.y);
    }
    pen.done()
}

fn toward(from: Point, to: Point, by: f64) -> Point {
    let d = from.distance(to);
    if d < 1e-9 {
        return from;
    }
    Point::new(
        from.x + (to.x - from.x) * by / d,
        from.y + (to.y - from.y) * by / d,
    )
}

/// Drops repeated points and those that lie on the straight line between their neighbours.
pub(super) fn simplified(points: &[Point]) -> Vec<Point> {
    let mut out: Vec<Point> = Vec::with_capacity(points.len());
    for p in points {
        if out.last().is_some_and(|q| q.distance(*p) < 1e-6) {
            continue;
        }
        if let [.., a, b] = out.as_slice() {
            let same_x = (a.x - b.x).abs() < 1e-6 && (b.x - p.x).abs() < 1e-6;
            let same_y = (a.y - b.y).abs() < 1e-6 && (b.y - p.y).abs() < 1e-6;
            if same_x || same_y {
                out.pop();
            }
        }
        out.push(*p);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_with_one_decimal() {
        let written = |n: f64| {
            let mut text = String::new();
            tenths(&mut text, n);
            text
        };
        let numbers = [0.0, -0.04, 7.0, -7.25, 0.06, -0.5, 1234.96, f64::NAN];
        let wanted = ["0", "0", "7", "-7.3", "0.1", "-0.5", "1235", "NaN"];
        assert_eq!(numbers.map(written), wanted);
        for tenths in (-40_000..40_000).chain([123_456_789, -1_000_000_000]) {
            let n = f64::from(tenths) / 10.0;
            assert_eq!(written(n), n.to_string());
        }
    }

    #[test]
    fn straight_points_are_dropped() {
        let line = [(0.0, 0.0), (5.0, 0.0), (9.0, 0.0), (9.0, 4.0)].map(|(x, y)| Point::new(x, y));
        assert_eq!(simplified(&line).len(), 3);
    }

    #[test]
    fn boxes_that_touch_do_not_overlap() {
        let a = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert!(!a.overlaps(a.moved(10.0, 0.0)));
        assert!(a.overlaps(a.moved(9.0, 9.0)));
        assert!(a.is_crossed_by(Point::new(-5.0, 5.0), Point::new(20.0, 5.0)));
        assert!(!a.is_crossed_by(Point::new(-5.0, 15.0), Point::new(20.0, 15.0)));
    }
}
