//! What is meant when a place on the map is pointed at: the nearest thing, small things before large ones.

use super::geometry::{Point, Rect};
use super::shape::Zoom;
use super::{Drawing, Pick};

impl Drawing {
    /// What lies at `at`, or within `reach` map units of it, as seen at `zoom`.
    ///
    /// Inside a body, what stands on it (a pin, a driver) comes before the body itself; a wire is met anywhere
    /// within `reach` unless something smaller is nearer. From close, single elements can be met too.
    #[must_use]
    pub fn pick_at(&self, at: Point, reach: f64, zoom: Zoom) -> Option<Pick> {
        let mut best: Option<(f64, Pick)> = None;
        let mut offer = |far: f64, handicap: f64, pick: Pick| {
            if far <= reach {
                let score = far + handicap * reach;
                if best.is_none_or(|(least, _)| score < least) {
                    best = Some((score, pick));
                }
            }
        };
        for shape in &self.shapes {
            let far = distance(shape.bounds, at);
            let round = (shape.bounds.centre().distance(at) - shape.bounds.w / 2.0).max(0.0);
            match shape.pick {
                Pick::Terminal(_) if zoom == Zoom::Far && shape.bounds.w < 16.0 => {}
                Pick::Terminal(_) => offer(round, 0.1, shape.pick),
                Pick::Cylinder(_) => offer(round, 0.3, shape.pick),
                Pick::Driver(_) => offer(far, 0.35, shape.pick),
                Pick::Part(_) if shape.bounds.w.min(shape.bounds.h) < 30.0 => {
                    offer(far, 0.2, shape.pick);
                }
                Pick::Part(_) => offer(far, 0.6, shape.pick),
                Pick::Wire(_) | Pick::Element(_) => {}
            }
        }
        for run in &self.runs {
            let far = run
                .points
                .windows(2)
                .map(|w| from_line(w[0], w[1], at))
                .fold(f64::INFINITY, f64::min);
            offer((far - 4.0).max(0.0), 0.25, run.pick);
        }
        if zoom == Zoom::Close {
            for (element, spot) in &self.spots {
                offer(spot.at.distance(at), 0.0, Pick::Element(*element));
            }
        }
        for shape in &self.behind {
            if matches!(shape.pick, Pick::Part(_)) {
                offer(distance(shape.bounds, at), 0.9, shape.pick);
            }
        }
        best.map(|(_, pick)| pick)
    }
}

fn distance(b: Rect, p: Point) -> f64 {
    let dx = (b.x - p.x).max(p.x - b.right()).max(0.0);
    let dy = (b.y - p.y).max(p.y - b.bottom()).max(0.0);
    dx.hypot(dy)
}

fn from_line(a: Point, b: Point, p: Point) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let length = dx * dx + dy * dy;
    let t = if length > 0.0 {
        (((p.x - a.x) * dx + (p.y - a.y) * dy) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    p.distance(Point::new(a.x + dx * t, a.y + dy * t))
}
