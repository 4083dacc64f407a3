//! What a meter adds to the map: the voltage of every wire and terminal.

use std::collections::BTreeMap;

use leptos::prelude::*;
use sparktrail_core::drawing::{Drawing, Pick, Point, Rect, Zoom};

use super::Map;

/// Where a voltage lies between nothing and the highest on the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Level {
    /// This many of [`Level::LAST`] steps up.
    Step(u8),
    /// Nowhere: it floats.
    Floats,
}

impl Level {
    /// The highest step.
    pub const LAST: u8 = 6;

    /// The step of a voltage when `most` is the highest; both in volts.
    #[must_use]
    pub fn of(volts: f64, most: f64) -> Self {
        let share = (volts / most.max(1e-9)).clamp(0.0, 1.0) * f64::from(Self::LAST);
        let step = (0..Self::LAST).filter(|&step| share >= f64::from(step) + 0.5);
        Self::Step(u8::try_from(step.count()).unwrap_or(Self::LAST))
    }

    /// A word for attributes.
    #[must_use]
    pub fn word(self) -> String {
        match self {
            Self::Step(step) => step.to_string(),
            Self::Floats => "floats".into(),
        }
    }
}

/// The voltage of one thing on the map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VoltMark {
    /// Its colour.
    pub level: Level,
    /// The number that stands at it.
    pub words: String,
}

/// The voltages of wires, leads and terminals.
pub type VoltMap = BTreeMap<Pick, VoltMark>;

/// Type size of the numbers, in map units.
pub(super) fn type_size(drawing: &Drawing, zoom: Zoom) -> f64 {
    match zoom {
        Zoom::Far => 0.9 * drawing.far_size,
        Zoom::Near => 12.0,
        Zoom::Close => 7.5,
    }
}

/// The numbers on the map, as many as have room.
pub(super) fn numbers(map: Map) -> AnyView {
    let shown = move || {
        let zoom = map.zoom.get();
        let size = map.drawing.with(|drawing| type_size(drawing, zoom));
        map.volts.with(|volts| {
            let volts = volts.as_ref()?;
            let numbers: Vec<AnyView> = map
                .drawing
                .with(|drawing| placed(drawing, volts, zoom))
                .into_iter()
                .map(|(at, mark)| {
                    view! {
                        <text
                            class="volt-number"
                            data-volt=mark.level.word()
                            x=format!("{:.1}", at.x)
                            y=format!("{:.1}", at.y + size * 0.35)
                            font-size=format!("{size:.1}")
                            text-anchor="middle"
                        >
                            {mark.words}
                        </text>
                    }
                    .into_any()
                })
                .collect();
            Some(numbers)
        })
    };
    view! { <g class="volts" aria-hidden="true">{shown}</g> }.into_any()
}

/// Wires first, at the middle of their longest stretch; then terminals, where there is room left.
fn placed(drawing: &Drawing, volts: &VoltMap, zoom: Zoom) -> Vec<(Point, VoltMark)> {
    let size = type_size(drawing, zoom);
    let mut taken: Vec<Rect> = Vec::new();
    let mut found = Vec::new();
    let mut put = |at: Point, mark: &VoltMark| {
        let letters = mark.words.chars().map(|_| 0.6 * size).sum::<f64>();
        let room = Rect::about(at, letters + 0.4 * size, 1.15 * size);
        if !taken.iter().any(|other| other.overlaps(room)) {
            taken.push(room);
            found.push((at, mark.clone()));
        }
    };
    for run in &drawing.runs {
        let stretch = run
            .points
            .windows(2)
            .max_by(|a, b| a[0].distance(a[1]).total_cmp(&b[0].distance(b[1])));
        if let (Some(mark), Some([a, b])) = (volts.get(&run.pick), stretch) {
            put(
                Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y)),
                mark,
            );
        }
    }
    if zoom != Zoom::Far {
        for shape in &drawing.shapes {
            if let (Pick::Terminal(_), Some(mark)) = (shape.pick, volts.get(&shape.pick)) {
                let at = shape.bounds.centre();
                put(
                    Point::new(at.x, at.y - shape.bounds.h / 2.0 - size * 0.6),
                    mark,
                );
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::Level;

    #[test]
    fn steps_go_from_nothing_to_the_highest() {
        for (volts, expected) in [
            (0.0, Level::Step(0)),
            (-0.3, Level::Step(0)),
            (12.8, Level::Step(6)),
            (6.4, Level::Step(3)),
            (10.6, Level::Step(5)),
            (99.0, Level::Step(6)),
        ] {
            assert_eq!(Level::of(volts, 12.8), expected, "{volts}");
        }
    }
}
