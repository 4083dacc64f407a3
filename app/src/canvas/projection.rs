//! From map to screen and back: the camera, fitting, zooming about a point.

use sparktrail_core::drawing::{Point, Rect};

/// Least and greatest CSS pixels for one map unit.
const SCALES: (f64, f64) = (0.12, 6.0);
/// The scale at which a small map is drawn when it is fitted: never blown up further.
const FIT_AT_MOST: f64 = 1.35;
/// CSS pixels at the foot of the canvas that the buttons stand on.
const BUTTONS: f64 = 52.0;

/// CSS pixels around places that are brought near: beside, above, below them.
const OVER: (f64, f64, f64) = (64.0, 56.0, 24.0);
/// No place is brought nearer than this: what is around it says where it is.
const OVER_AT_MOST: f64 = 1.4;

/// Whether the camera follows the map's size or stays where a person put it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hold {
    /// The whole map in view, whatever its size and that of the window.
    #[default]
    Fit,
    /// Where it was put.
    Free,
}

/// What stands at the foot of the canvas, over the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Foot {
    /// The buttons.
    #[default]
    Buttons,
    /// Nothing.
    Bare,
}

impl Foot {
    /// CSS pixels that it takes of a canvas so high.
    fn height(self, canvas: f64) -> f64 {
        match self {
            Self::Buttons if canvas > 4.0 * BUTTONS => BUTTONS,
            Self::Buttons | Self::Bare => 0.0,
        }
    }
}

/// How the map lies on the screen: screen = map · scale + (x, y), in CSS pixels from the canvas' corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// CSS pixels for one map unit.
    pub scale: f64,
    /// Where the map's origin lies, to the right.
    pub x: f64,
    /// Where the map's origin lies, downward.
    pub y: f64,
    /// Whether it follows the map.
    pub hold: Hold,
}

impl Default for Camera {
    fn default() -> Self {
        Self {
            scale: 1.0,
            x: 0.0,
            y: 0.0,
            hold: Hold::Fit,
        }
    }
}

/// Width and height of the canvas in CSS pixels.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Size {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl Camera {
    /// The camera that shows all of `map` in the middle of a canvas of `size`, above what stands at its foot.
    #[must_use]
    pub fn fit(map: Rect, size: Size, foot: Foot) -> Self {
        let margin = (size.width.min(size.height) * 0.02).clamp(4.0, 20.0);
        let foot = foot.height(size.height);
        let (w, h) = (
            (size.width - 2.0 * margin).max(1.0),
            (size.height - foot - 2.0 * margin).max(1.0),
        );
        let scale = (w / map.w.max(1.0))
            .min(h / map.h.max(1.0))
            .clamp(SCALES.0, FIT_AT_MOST);
        let middle = map.centre();
        Self {
            scale,
            x: size.width / 2.0 - middle.x * scale,
            y: (size.height - foot) / 2.0 - middle.y * scale,
            hold: Hold::Fit,
        }
    }

    /// The camera that comes as near as it may with all of `places` in view, and room over them for the marks
    /// that stand on them; `None` where there are none.
    #[must_use]
    pub fn over(places: &[Point], size: Size) -> Option<Self> {
        let all = Rect::around(places)?;
        let room = |whole: f64, margins: f64| (whole - margins).max(whole / 4.0);
        let (w, h) = (
            room(size.width, 2.0 * OVER.0),
            room(size.height, OVER.1 + OVER.2),
        );
        let scale = (w / all.w.max(1.0))
            .min(h / all.h.max(1.0))
            .min(OVER_AT_MOST);
        let middle = all.centre();
        Some(Self {
            scale,
            x: size.width / 2.0 - middle.x * scale,
            y: (size.height + OVER.1 - OVER.2) / 2.0 - middle.y * scale,
            hold: Hold::Free,
        })
    }

    /// Where a place of the map is on the canvas.
    #[must_use]
    pub fn to_screen(self, p: Point) -> Point {
        Point::new(p.x * self.scale + self.x, p.y * self.scale + self.y)
    }

    /// Which place of the map a place of the canvas shows.
    #[must_use]
    pub fn to_map(self, p: Point) -> Point {
        Point::new((p.x - self.x) / self.scale, (p.y - self.y) / self.scale)
    }

    /// Larger or smaller by `factor`, with the place under `about` (on the canvas) staying there.
    #[must_use]
    pub fn zoomed(self, factor: f64, about: Point) -> Self {
        let scale = (self.scale * factor).clamp(SCALES.0, SCALES.1);
        let held = self.to_map(about);
        Self {
            scale,
            x: about.x - held.x * scale,
            y: about.y - held.y * scale,
            hold: Hold::Free,
        }
    }

    /// Moved by (`dx`, `dy`) CSS pixels.
    #[must_use]
    pub fn panned(self, dx: f64, dy: f64) -> Self {
        Self {
            x: self.x + dx,
            y: self.y + dy,
            hold: Hold::Free,
            ..self
        }
    }

    /// Moved as little as may be so that `map` is in view; unchanged when it is.
    #[must_use]
    pub fn showing(self, map: Rect, size: Size) -> Self {
        let a = self.to_screen(Point::new(map.x, map.y));
        let b = self.to_screen(Point::new(map.right(), map.bottom()));
        let shift = |low: f64, high: f64, room: f64| {
            let margin = 24.0_f64.min(room / 4.0);
            if high - low > room - 2.0 * margin {
                room / 2.0 - f64::midpoint(low, high)
            } else if low < margin {
                margin - low
            } else if high > room - margin {
                room - margin - high
            } else {
                0.0
            }
        };
        let (dx, dy) = (shift(a.x, b.x, size.width), shift(a.y, b.y, size.height));
        if dx.abs() < 0.5 && dy.abs() < 0.5 {
            self
        } else {
            self.panned(dx, dy)
        }
    }

    /// How far the map lies from where `other` shows it, in CSS pixels; `None` where the one shows it larger.
    #[must_use]
    pub fn beside(self, other: Self) -> Option<Point> {
        let alike = self.scale.to_bits() == other.scale.to_bits();
        alike.then(|| Point::new(self.x - other.x, self.y - other.y))
    }

    /// The camera as an SVG transform.
    #[must_use]
    pub fn transform(self) -> String {
        format!(
            "translate({:.2} {:.2}) scale({:.4})",
            self.x, self.y, self.scale
        )
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;

    const SIZE: Size = Size {
        width: 800.0,
        height: 600.0,
    };

    fn near(a: Point, b: Point) {
        assert!(a.distance(b) < 1e-9, "{a:?} {b:?}");
    }

    #[test]
    fn screen_and_map_are_inverse() {
        let camera = Camera::default()
            .panned(30.0, -12.5)
            .zoomed(1.7, Point::new(100.0, 40.0));
        for p in [
            Point::new(0.0, 0.0),
            Point::new(-310.0, 77.25),
            Point::new(1e4, 3.0),
        ] {
            near(camera.to_map(camera.to_screen(p)), p);
            near(camera.to_screen(camera.to_map(p)), p);
        }
    }

    #[test]
    fn zooming_keeps_the_place_under_the_pointer() {
        let pointer = Point::new(250.0, 410.0);
        let before = Camera::fit(Rect::new(0.0, 0.0, 1000.0, 900.0), SIZE, Foot::Buttons);
        for factor in [0.01, 0.5, 1.0, 3.0, 1000.0] {
            near(
                before.zoomed(factor, pointer).to_map(pointer),
                before.to_map(pointer),
            );
        }
    }

    #[test]
    fn a_fitted_map_is_wholly_in_view() {
        for map in [
            Rect::new(-20.0, 5.0, 1000.0, 900.0),
            Rect::new(0.0, 0.0, 90.0, 2400.0),
            Rect::new(0.0, 0.0, 0.0, 0.0),
        ] {
            for (foot, taken) in [(Foot::Buttons, BUTTONS), (Foot::Bare, 0.0)] {
                let camera = Camera::fit(map, SIZE, foot);
                let a = camera.to_screen(Point::new(map.x, map.y));
                let b = camera.to_screen(Point::new(map.right(), map.bottom()));
                assert!(a.x >= 0.0 && a.y >= 0.0 && b.x <= SIZE.width);
                assert!(b.y <= SIZE.height - taken);
                near(
                    camera.to_screen(map.centre()),
                    Point::new(400.0, 300.0 - taken / 2.0),
                );
            }
        }
    }

    #[test]
    fn a_map_that_was_only_moved_lies_beside_where_it_lay() {
        let held = Camera::fit(Rect::new(0.0, 0.0, 1000.0, 900.0), SIZE, Foot::Buttons);
        let moved = held.panned(31.0, -7.0);
        near(moved.beside(held).unwrap(), Point::new(31.0, -7.0));
        let nearer = moved.zoomed(1.01, Point::new(100.0, 100.0));
        assert_eq!(nearer.beside(held), None);
    }

    #[test]
    fn places_are_brought_near_with_their_marks_in_view() {
        let small = Size {
            width: 390.0,
            height: 219.0,
        };
        for places in [
            vec![Point::new(40.0, 700.0)],
            vec![Point::new(40.0, 700.0), Point::new(90.0, 720.0)],
            vec![Point::new(0.0, 0.0), Point::new(600.0, 1500.0)],
        ] {
            let camera = Camera::over(&places, small).unwrap();
            assert!(camera.scale <= OVER_AT_MOST);
            for place in &places {
                let at = camera.to_screen(*place);
                assert!(at.x >= OVER.0 - 1e-9 && at.x <= small.width - OVER.0 + 1e-9);
                assert!(at.y >= OVER.1 - 1e-9 && at.y <= small.height - OVER.2 + 1e-9);
            }
        }
        assert_eq!(Camera::over(&[], small), None);
    }

    #[test]
    fn what_is_out_of_view_comes_into_view_and_the_rest_stays() {
        let camera = Camera::default();
        assert_eq!(
            camera.showing(Rect::new(100.0, 100.0, 50.0, 50.0), SIZE),
            camera
        );
        let moved = camera.showing(Rect::new(900.0, 100.0, 50.0, 50.0), SIZE);
        assert!(moved.to_screen(Point::new(950.0, 100.0)).x <= SIZE.width);
        assert!((moved.y - camera.y).abs() < 1e-9);
    }
}
