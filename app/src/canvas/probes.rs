//! The meter's two leads on the map: each touches the rim of its terminal, so that what stands there can be read.

use leptos::prelude::*;
use sparktrail_core::drawing::{Drawing, Pick, Point, Rect, Zoom, circle};
use sparktrail_core::model::Terminal;

use super::Map;
use super::overlay::type_size;
use crate::store::LeadColour;

/// The mark of a lead is never smaller than this, CSS pixels.
const LEAST_RADIUS: f64 = 12.0;
/// From tip to head of a lead, in radii of its mark: up and to one side, else down.
const LEANS: [(f64, f64); 4] = [(-1.1, -1.7), (1.1, -1.7), (-1.1, 1.7), (1.1, 1.7)];
/// Words of the terminal itself count as much as so many others.
const OWN_WORDS: usize = 8;

/// A lead and what it touches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Touched {
    /// Which lead.
    lead: LeadColour,
    /// What it is about on the map.
    pick: Pick,
    /// The box of that.
    pub(super) place: Rect,
}

/// Where each of the meter's leads touches, on the map. Tracked.
pub(super) fn touched(map: Map) -> Vec<Touched> {
    map.drawing.with(|drawing| {
        let place = |terminal: Terminal| {
            let picks = [Pick::Terminal(terminal), Pick::Part(terminal.part)];
            picks
                .into_iter()
                .find_map(|pick| Some((pick, drawing.place_of(pick)?)))
        };
        map.probes.with(|probes| {
            let placed = probes.iter().filter_map(|&(lead, at)| {
                let (pick, place) = place(at)?;
                Some(Touched { lead, pick, place })
            });
            placed.collect()
        })
    })
}

/// The meter's leads where they touch.
pub(super) fn probes(map: Map) -> AnyView {
    let shown = move || {
        let zoom = map.zoom.get();
        let none = map.probes.with(Vec::is_empty);
        // Where there are none, nothing waits for the camera.
        let scale = (!none).then(|| map.scale())?;
        let touched = touched(map);
        let marks = map.drawing.with(|drawing| {
            let r = 1.15 * type_size(drawing, zoom);
            laid(drawing, zoom, &touched, r.max(LEAST_RADIUS / scale))
        });
        Some(marks.into_iter().map(probe).collect::<Vec<AnyView>>())
    };
    view! { <g class="probes">{shown}</g> }.into_any()
}

/// The mark of a lead.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Mark {
    lead: LeadColour,
    tip: Point,
    head: Point,
    r: f64,
}

impl Mark {
    /// The mark that leans that way, its tip on the rim of what it touches.
    fn leaning((right, down): (f64, f64), touched: &Touched, r: f64) -> Self {
        let Touched { lead, pick, place } = *touched;
        // A whole part has no rim that a lead would touch.
        let rim = match pick {
            Pick::Terminal(_) => place.w.min(place.h) / 2.0 + 0.2 * r,
            Pick::Part(_)
            | Pick::Driver(_)
            | Pick::Wire(_)
            | Pick::Element(_)
            | Pick::Cylinder(_) => 0.0,
        };
        let length = right.hypot(down);
        let tip = place.centre().by(right / length * rim, down / length * rim);
        Self {
            lead,
            tip,
            head: tip.by(right * r, down * r),
            r,
        }
    }

    fn disc(&self) -> Rect {
        Rect::about(self.head, 2.0 * self.r, 2.0 * self.r)
    }

    /// Whether it covers a piece of a box.
    fn covers(&self, words: Rect) -> bool {
        let dot = Rect::about(self.tip, 0.56 * self.r, 0.56 * self.r);
        words.overlaps(self.disc())
            || words.overlaps(dot)
            || words.is_crossed_by(self.tip, self.head)
    }
}

/// Where the marks stand, `r` their radius: red leans to the left and black to the right, so that both can be read on
/// one place, unless they cover fewer words some other way.
fn laid(drawing: &Drawing, zoom: Zoom, touched: &[Touched], r: f64) -> Vec<Mark> {
    let words = || drawing.labels.iter().filter(|label| label.shows_at(zoom));
    let mut marks: Vec<Mark> = Vec::new();
    for one in touched {
        let hides = |mark: &Mark| {
            let covered = words().filter(|label| mark.covers(label.bounds()));
            let count: usize = covered
                .map(|label| if label.of == one.pick { OWN_WORDS } else { 1 })
                .sum();
            let other = marks.iter().any(|other| other.disc().overlaps(mark.disc()));
            count + if other { OWN_WORDS } else { 0 }
        };
        let mut leans = LEANS;
        if one.lead == LeadColour::Black {
            for (right, _) in &mut leans {
                *right = -*right;
            }
        }
        let ways = leans.map(|lean| Mark::leaning(lean, one, r));
        marks.extend(ways.into_iter().min_by_key(hides));
    }
    marks
}

fn probe(mark: Mark) -> AnyView {
    let Mark { lead, tip, head, r } = mark;
    let stalk = format!("M{:.1} {:.1}L{:.1} {:.1}", tip.x, tip.y, head.x, head.y);
    let dot = circle(tip, 0.28 * r);
    let disc = circle(head, r);
    view! {
        <g class="probe" data-lead=lead.word() role="img" aria-label=lead.letter()>
            <path class="probe-stalk" d=stalk stroke-width=format!("{:.1}", 0.3 * r) />
            <path class="probe-tip" d=dot />
            <path class="probe-disc" d=disc />
            <text
                x=format!("{:.1}", head.x)
                y=format!("{:.1}", head.y + 0.42 * r)
                font-size=format!("{:.1}", 1.2 * r)
                text-anchor="middle"
            >
                {lead.letter()}
            </text>
        </g>
    }
    .into_any()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use sparktrail_core::drawing::Proportions;
    use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
    use sparktrail_core::engine::{Layout, Strokes};
    use sparktrail_core::model::Harness;

    use super::*;

    fn six() -> Harness {
        let engine = propose_engine(6, Layout::Inline, Strokes::Four);
        build(&Plan::new("Six", engine)).unwrap()
    }

    /// On every pin of an engine, at every zoom and in both proportions, a lead leaves the pin's number free.
    #[test]
    fn a_lead_leaves_the_number_of_its_pin_free() {
        let harness = six();
        let mut met = 0;
        for proportions in [Proportions::Wide, Proportions::Tall] {
            let drawing = Drawing::proportioned(&harness, proportions);
            for zoom in Zoom::ALL {
                for lead in [LeadColour::Red, LeadColour::Black] {
                    for label in drawing.labels.iter().filter(|label| label.shows_at(zoom)) {
                        let Pick::Terminal(_) = label.of else {
                            continue;
                        };
                        let place = drawing.place_of(label.of).unwrap();
                        let one = Touched {
                            lead,
                            pick: label.of,
                            place,
                        };
                        let r = 1.15 * type_size(&drawing, zoom);
                        let mark = laid(&drawing, zoom, &[one], r)[0];
                        assert!(!mark.covers(label.bounds()), "{zoom:?} {mark:?} {label:?}");
                        met += 1;
                    }
                }
            }
        }
        assert!(met > 20, "{met}");
    }

    #[test]
    fn two_leads_on_one_place_are_both_read() {
        let harness = six();
        let drawing = Drawing::of(&harness);
        let mut pick = drawing.labels.iter().map(|label| label.of);
        let pick = pick.find(|pick| matches!(pick, Pick::Terminal(_))).unwrap();
        let place = drawing.place_of(pick).unwrap();
        let both = [LeadColour::Red, LeadColour::Black].map(|lead| Touched { lead, pick, place });
        let marks = laid(&drawing, Zoom::Near, &both, 14.0);
        assert!(!marks[0].disc().overlaps(marks[1].disc()), "{marks:?}");
    }
}
