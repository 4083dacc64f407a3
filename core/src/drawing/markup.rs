//! The map as elements of the page: class names and outlines that the live map shares with the picture of a map that
//! stands on the page before the program does.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::{Align, Disc, Drawing, Label, Mark, Pick, Point, Run, RunKind, Shape, Zoom, paint};
use crate::engine::CylinderId;
use crate::gather::Gather;
use crate::model::{Harness, Works, cylinders_said};
use crate::provenance::Provenance;
use crate::said::said;

/// The hatching of cylinders, as elements for `defs`.
pub const PATTERNS: &str = r#"<pattern id="map-dead" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" d="M4.5 0V9"/></pattern><pattern id="map-doubtful" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><circle class="speck" cx="4" cy="4" r="1.5"/></pattern>"#;

/// How a cylinder fares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cold {
    /// It gets no spark.
    Dead,
    /// It may or may not get one.
    Doubtful,
}

impl Cold {
    /// The word shown under the cylinder.
    #[must_use]
    pub fn word(self) -> &'static str {
        said(match self {
            Self::Dead => "dead",
            Self::Doubtful => "doubtful",
        })
    }

    /// A word for attributes.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Dead => "dead",
            Self::Doubtful => "doubtful",
        }
    }

    /// What its disc is filled with: a pattern of the map.
    #[must_use]
    pub const fn fill(self) -> &'static str {
        match self {
            Self::Dead => "url(#map-dead)",
            Self::Doubtful => "url(#map-doubtful)",
        }
    }

    /// The cylinders that were found not to work, or not always.
    #[must_use]
    pub fn found(harness: &Harness) -> BTreeMap<CylinderId, Self> {
        cylinders_said(harness.findings_now())
            .into_iter()
            .filter_map(|(cylinder, works)| match works {
                Works::Dead => Some((cylinder, Self::Dead)),
                Works::Sometimes => Some((cylinder, Self::Doubtful)),
                Works::Alive => None,
            })
            .gather()
    }
}

impl Mark {
    /// The classes of its element.
    #[must_use]
    pub fn class(&self) -> String {
        format!("mark {} from-{}", self.role.word(), self.from.word())
    }
}

impl Label {
    /// The classes of its element.
    #[must_use]
    pub fn class(&self) -> String {
        let (voice, from, until) = (self.voice.word(), self.from.word(), self.until.word());
        format!("label {voice} from-{from} until-{until}")
    }
}

impl Align {
    /// The value of `text-anchor`.
    #[must_use]
    pub const fn anchor(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

impl Shape {
    /// The classes of the group of its marks.
    #[must_use]
    pub const fn class(&self) -> &'static str {
        match self.pick {
            Pick::Part(_) => "item part",
            Pick::Driver(_) => "item driver",
            Pick::Terminal(_) => "item terminal",
            Pick::Cylinder(_) => "item cylinder",
            Pick::Wire(_) | Pick::Element(_) => "item",
        }
    }
}

impl Run {
    /// How it is known, as a word for attributes.
    #[must_use]
    pub const fn code(&self) -> &'static str {
        match self.how {
            Provenance::Assumed => "assumed",
            Provenance::Diagram => "diagram",
            Provenance::Measured => "measured",
        }
    }

    /// The strokes that paint it, back to front: their classes, and their colour where the style sheet has none.
    #[must_use]
    pub fn strokes(&self) -> Vec<(&'static str, Option<&'static str>)> {
        let colour = self.colour;
        match self.kind {
            RunKind::Wire => {
                let base = colour.map(|colour| paint(colour.base));
                let tracer = colour.and_then(|colour| colour.tracer).map(paint);
                let mut strokes = vec![
                    ("gap", None),
                    ("casing", None),
                    (base.map_or("base unknown", |_| "base"), base),
                ];
                strokes.extend(tracer.map(|tracer| ("tracer", Some(tracer))));
                strokes
            }
            RunKind::Lead => vec![("gap", None), ("lead", None)],
            RunKind::Boot => vec![("gap", None), ("lead boot", None)],
        }
    }
}

/// Width, in map units, and opacity of the glow under an element that is the fault with this probability: the likelier
/// the wider.
#[must_use]
pub fn glow(share: f64) -> (f64, f64) {
    let root = share.clamp(0.0, 1.0).sqrt();
    (5.0 + 26.0 * root, 0.25 + 0.6 * root)
}

/// The radius of the open end of a wire, in map units.
pub const LOOSE_R: f64 = 5.0;

/// A circle as SVG path data; `r` in map units.
#[must_use]
pub fn circle(at: Point, r: f64) -> String {
    format!(
        "M{:.1} {:.1}a{r:.1} {r:.1} 0 1 1 {:.1} 0a{r:.1} {r:.1} 0 1 1 {:.1} 0Z",
        at.x - r,
        at.y,
        2.0 * r,
        -2.0 * r
    )
}

impl Disc {
    /// The ring that is hatched where the cylinder is cold, as SVG path data.
    #[must_use]
    pub fn ring(&self) -> String {
        circle(self.at, self.r - 1.5)
    }

    /// The radius of the clear middle of that ring, where its number stands.
    #[must_use]
    pub fn eye(&self) -> f64 {
        0.56 * self.r
    }
}

impl Drawing {
    /// The middle of the baseline of the word under a cylinder, and its type size, at a level.
    #[must_use]
    pub fn word_under(&self, disc: Disc, zoom: Zoom) -> (Point, f64) {
        let size = match zoom {
            Zoom::Far => self.engine.word_size,
            Zoom::Near => 15.0,
            Zoom::Close => 11.0,
        };
        (disc.at.by(0.0, disc.r + 4.0 + 0.74 * size), size)
    }

    /// The whole map as SVG elements, as the live map paints them, with nothing to point at: what shows at the levels
    /// `Far` and `Near`, at which a whole map is seen. The group's `data-bounds` holds left, top, width and height in
    /// map units; a word under a cylinder is there once for each level, named by `data-zoom`. Its ids begin with
    /// `early-` where those of the live map begin with `map-`, so that both can be on one page.
    #[must_use]
    pub fn markup(&self, cold: &BTreeMap<CylinderId, Cold>) -> String {
        let b = self.bounds;
        let mut sheet = Sheet(format!(
            r#"<defs>{}</defs><g data-bounds="{} {} {} {}">"#,
            own_ids(PATTERNS),
            b.x,
            b.y,
            b.w,
            b.h
        ));
        sheet.group("behind", |sheet| {
            self.engine.marks.iter().for_each(|mark| sheet.mark(mark));
            self.behind.iter().for_each(|shape| sheet.shape(shape));
        });
        let (wires, leads): (Vec<_>, Vec<_>) =
            (self.runs.iter()).partition(|run| run.kind == RunKind::Wire);
        let (discs, parts): (Vec<_>, Vec<_>) =
            (self.shapes.iter()).partition(|shape| matches!(shape.pick, Pick::Cylinder(_)));
        sheet.group("wires", |sheet| {
            wires.into_iter().for_each(|run| sheet.run(run));
        });
        sheet.group("discs", |sheet| {
            discs.into_iter().for_each(|shape| sheet.shape(shape));
            for disc in &self.engine.discs {
                if let Some(cold) = cold.get(&disc.cylinder) {
                    sheet.cold(*disc, *cold);
                }
            }
        });
        sheet.group("leads", |sheet| {
            leads.into_iter().for_each(|run| sheet.run(run));
        });
        sheet.group("parts", |sheet| {
            parts.into_iter().for_each(|shape| sheet.shape(shape));
        });
        sheet.group("words", |sheet| {
            self.labels.iter().for_each(|label| sheet.label(label));
            for disc in &self.engine.discs {
                if let Some(cold) = cold.get(&disc.cylinder) {
                    for zoom in WHOLE {
                        sheet.cold_word(self.word_under(*disc, zoom), *cold, zoom);
                    }
                }
            }
        });
        sheet.put(format_args!("</g>"));
        sheet.0
    }
}

/// The levels at which a whole map may be seen: a fitted map is never as near as the last.
const WHOLE: [Zoom; 2] = [Zoom::Far, Zoom::Near];

/// Names of ours within markup that holds nothing else of this kind.
fn own_ids(markup: &str) -> String {
    markup.replace("map-", "early-")
}

/// The elements so far.
struct Sheet(String);

impl Sheet {
    fn put(&mut self, markup: std::fmt::Arguments<'_>) {
        // Writing to a `String` cannot fail.
        let _ = self.0.write_fmt(markup);
    }

    fn group(&mut self, class: &str, inside: impl FnOnce(&mut Self)) {
        self.put(format_args!(r#"<g class="{class}">"#));
        inside(self);
        self.put(format_args!("</g>"));
    }

    fn mark(&mut self, mark: &Mark) {
        if mark.from <= Zoom::Near {
            self.put(format_args!(
                r#"<path class="{}" d="{}"/>"#,
                mark.class(),
                mark.d
            ));
        }
    }

    fn shape(&mut self, shape: &Shape) {
        shape.marks.iter().for_each(|mark| self.mark(mark));
    }

    fn run(&mut self, run: &Run) {
        self.put(format_args!(r#"<g class="run" data-how="{}">"#, run.code()));
        for (class, stroke) in run.strokes() {
            self.put(format_args!(r#"<path class="{class}" d="{}""#, run.d));
            if let Some(stroke) = stroke {
                self.put(format_args!(r#" stroke="{stroke}""#));
            }
            self.put(format_args!("/>"));
        }
        for at in &run.loose {
            let d = circle(*at, LOOSE_R);
            self.put(format_args!(r#"<path class="loose" d="{d}"/>"#));
        }
        self.put(format_args!("</g>"));
    }

    fn cold(&mut self, disc: Disc, cold: Cold) {
        let ring = disc.ring();
        self.put(format_args!(
            r#"<g class="cold" data-state="{}"><path class="wash" d="{ring}"/><path class="ring" d="{ring}" fill="{}"/><circle class="eye" cx="{}" cy="{}" r="{}"/></g>"#,
            cold.code(),
            own_ids(cold.fill()),
            disc.at.x,
            disc.at.y,
            disc.eye()
        ));
    }

    fn cold_word(&mut self, (at, size): (Point, f64), cold: Cold, zoom: Zoom) {
        self.put(format_args!(
            r#"<text class="cold-word" data-zoom="{}" x="{:.1}" y="{:.1}" font-size="{size:.1}" text-anchor="middle">"#,
            zoom.word(),
            at.x,
            at.y
        ));
        self.text(cold.word());
    }

    fn label(&mut self, label: &Label) {
        if !WHOLE.iter().any(|zoom| label.shows_at(*zoom)) {
            return;
        }
        self.put(format_args!(
            r#"<text class="{}" x="{:.1}" y="{:.1}" font-size="{:.1}" text-anchor="{}">"#,
            label.class(),
            label.at.x,
            label.at.y,
            label.size,
            label.align.anchor()
        ));
        self.text(&label.text);
    }

    /// The words of a `text` element, whatever they hold, and its end.
    fn text(&mut self, words: &str) {
        for letter in words.chars() {
            match letter {
                '<' => self.0.push_str("&lt;"),
                '&' => self.0.push_str("&amp;"),
                '\u{0}'..='\u{1f}' => self.0.push(' '),
                letter => self.0.push(letter),
            }
        }
        self.0.push_str("</text>");
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::drawing::Proportions;
    use crate::model::file;

    fn sample(name: &str) -> Harness {
        let path = format!("{}/../sample-harnesses/{name}", env!("CARGO_MANIFEST_DIR"));
        file::read(&std::fs::read_to_string(path).unwrap()).unwrap()
    }

    #[test]
    fn whatever_shows_on_a_whole_map_is_in_its_markup() {
        let harness = sample("silver-limousine.json");
        for proportions in [Proportions::Wide, Proportions::Tall] {
            let drawing = Drawing::proportioned(&harness, proportions);
            let markup = drawing.markup(&Cold::found(&harness));
            let shown = |what: &str| markup.matches(what).count();
            assert_eq!(shown(r#"class="run""#), drawing.runs.len());
            let words = drawing
                .labels
                .iter()
                .filter(|label| label.from < Zoom::Close);
            assert_eq!(shown(r#"class="label"#), words.count());
            let cold = Cold::found(&harness).len();
            assert!(cold > 0, "a cylinder of this sample is dead");
            assert_eq!(shown(r#"class="cold""#), cold);
            assert_eq!(shown(r#"class="cold-word""#), 2 * cold);
            assert_eq!(shown("from-close"), 0);
            assert_eq!(shown("<g"), shown("</g>"));
        }
    }

    #[test]
    fn names_are_words_and_nothing_else() {
        let mut harness = sample("red-twin.json");
        for part in harness.parts.values_mut() {
            part.name = "</text><script>a && b\u{1}".into();
        }
        let markup = Drawing::of(&harness).markup(&BTreeMap::new());
        assert!(!markup.contains("<script") && !markup.contains('\u{1}'));
        assert_eq!(
            markup.matches("<text").count(),
            markup.matches("</text>").count()
        );
    }
}
