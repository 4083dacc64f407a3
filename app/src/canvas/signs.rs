//! What differs between two maps on one sheet: a sign at each thing.

use leptos::prelude::*;
use sparktrail_core::drawing::{Drawing, Pick, Point, circle};

use super::Map;
use crate::store::Difference;

impl Difference {
    /// A word for attributes, and the sign.
    const fn shown(self) -> (&'static str, &'static str) {
        match self {
            Self::Added => ("added", "+"),
            Self::Removed => ("removed", "−"),
            Self::Differs => ("differs", "≠"),
        }
    }
}

/// The signs.
pub(super) fn signs(map: Map) -> AnyView {
    let signs = move || {
        let drawing = map.drawing.get();
        map.marks.with(|marks| {
            let signs = marks
                .iter()
                .filter_map(|(pick, difference)| Some(sign(place(&drawing, *pick)?, *difference)));
            signs.collect::<Vec<AnyView>>()
        })
    };
    view! { <g class="signs" aria-hidden="true">{signs}</g> }.into_any()
}

fn sign(at: Point, difference: Difference) -> AnyView {
    let (word, sign) = difference.shown();
    view! {
        <g class="sign-mark" data-difference=word>
            <path d=circle(at, 11.0) />
            <text x=at.x y=at.y + 6.0 text-anchor="middle">{sign}</text>
        </g>
    }
    .into_any()
}

/// On the middle of a wire's longest stretch; at the corner of anything else.
fn place(drawing: &Drawing, pick: Pick) -> Option<Point> {
    let run = drawing.runs.iter().find(|run| run.pick == pick);
    let stretch = run.and_then(|run| {
        let stretches = run.points.windows(2).filter_map(|two| match two {
            [a, b] => Some((*a, *b)),
            _ => None,
        });
        let length = |(a, b): &(Point, Point)| (a.x - b.x).hypot(a.y - b.y);
        stretches.max_by(|one, other| length(one).total_cmp(&length(other)))
    });
    if let Some((a, b)) = stretch {
        return Some(Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y)));
    }
    let found = drawing.place_of(pick)?;
    Some(Point::new(found.x + found.w, found.y))
}
