//! The map as one SVG picture that stands alone: light ground, plain attributes, a legend under it.
//!
//! No style sheet, no script, no reference to anything outside, so that it looks the same wherever it is shown.
//! Labels become text and nothing else.

use std::collections::{BTreeMap, BTreeSet};

use super::{Align, Drawing, Label, Mark, Role, Run, RunKind, Voice, Zoom, glow, paint};
use crate::engine::CylinderId;
use crate::model::Element;
use crate::provenance::Provenance;

/// What a picture shows beside the wiring, and the words under it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Caption {
    /// The heading.
    pub title: String,
    /// A few sentences, broken into lines where needed.
    pub about: String,
    /// Cylinders that do not do their share, with the word under each.
    pub cold: BTreeMap<CylinderId, String>,
    /// Share of each element that may be the fault.
    pub heat: BTreeMap<Element, f64>,
    /// Elements proven good.
    pub cleared: BTreeSet<Element>,
    /// The words of the legend.
    pub legend: Legend,
}

/// The words of the legend; what has none is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Legend {
    /// A fact nobody has looked at.
    pub assumed: &'static str,
    /// A fact read off a diagram.
    pub diagram: &'static str,
    /// A fact measured on the car.
    pub measured: &'static str,
    /// A cylinder that does not work.
    pub cold: &'static str,
    /// An element that may be the fault.
    pub heat: &'static str,
    /// An element proven good.
    pub cleared: &'static str,
}

/// Room around and between, in map units.
const MARGIN: f64 = 24.0;
/// Room under the map for one line of the legend.
const LINE: f64 = 26.0;
/// Letters in a line of the text about the map, for each map unit of width.
const LETTERS: f64 = 1.0 / 8.2;

const INK: &str = "black";
const FAINT: &str = "dimgray";
const PAPER: &str = "white";
const COLD: &str = "steelblue";
const HOT: &str = "firebrick";
const GOOD: &str = "seagreen";

impl Drawing {
    /// The map as the text of an SVG file, with its width and height in CSS pixels.
    #[must_use]
    pub fn picture(&self, caption: &Caption) -> (String, f64, f64) {
        let mut sheet = Sheet::default();
        let about = broken(&caption.about, self.bounds.w);
        let lines = i32::try_from(about.len()).unwrap_or_default();
        let head = MARGIN + 34.0 + f64::from(lines) * 20.0;
        let (width, height) = (
            self.bounds.w.max(560.0) + 2.0 * MARGIN,
            head + self.bounds.h + 4.0 * LINE + 2.0 * MARGIN,
        );
        sheet.put(&format!(
            "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {width:.0} {height:.0}' width='{width:.0}' height='{height:.0}' font-family='Atkinson Hyperlegible Next, Verdana, sans-serif'>\
             <title>"
        ));
        sheet.words(&caption.title);
        sheet.put("</title><defs><pattern id='dead' width='7' height='7' patternUnits='userSpaceOnUse' patternTransform='rotate(45)'>");
        sheet.put(&format!(
            "<path d='M0 0V7' stroke='{COLD}' stroke-width='2.5'/></pattern></defs><rect width='100%' height='100%' fill='{PAPER}'/>"
        ));
        sheet.text(
            &caption.title,
            MARGIN,
            MARGIN + 16.0,
            24.0,
            "font-weight='700'",
        );
        for (row, line) in (0_u32..).zip(&about) {
            let y = MARGIN + 40.0 + f64::from(row) * 20.0;
            sheet.text(line, MARGIN, y, 15.0, &format!("fill='{FAINT}'"));
        }
        sheet.put(&format!(
            "<g transform='translate({:.1} {:.1})' fill='none' stroke-linecap='round' stroke-linejoin='round'>",
            MARGIN - self.bounds.x,
            head - self.bounds.y
        ));
        self.paint_on(&mut sheet, caption);
        sheet.put("</g>");
        legend(&mut sheet, caption, head + self.bounds.h + MARGIN);
        sheet.put("</svg>");
        (sheet.0, width, height)
    }

    fn paint_on(&self, sheet: &mut Sheet, caption: &Caption) {
        for mark in &self.engine.marks {
            sheet.mark(mark);
        }
        for shape in &self.behind {
            shape.marks.iter().for_each(|mark| sheet.mark(mark));
        }
        for (element, share) in &caption.heat {
            if let Some(spot) = self.spots.get(element) {
                let (width, opacity) = glow(*share);
                sheet.put(&format!(
                    "<path d='{}' stroke='{HOT}' stroke-width='{width:.1}' opacity='{opacity:.2}'/>",
                    spot.d
                ));
            }
        }
        for kind in [[RunKind::Wire; 2], [RunKind::Lead, RunKind::Boot]] {
            if kind[0] == RunKind::Wire {
                self.runs_of(kind, sheet);
                self.discs(sheet, caption);
            } else {
                self.runs_of(kind, sheet);
            }
        }
        for shape in &self.shapes {
            if !matches!(shape.pick, super::Pick::Cylinder(_)) {
                shape.marks.iter().for_each(|mark| sheet.mark(mark));
            }
        }
        for label in self
            .labels
            .iter()
            .filter(|label| label.shows_at(Zoom::Near))
        {
            sheet.label(label);
        }
        for (element, share) in caption.heat.iter().filter(|(_, share)| **share > 0.05) {
            if let Some(spot) = self.spots.get(element) {
                let words = format!("{:.0} %", share * 100.0);
                sheet.put(&format!(
                    "<rect x='{:.1}' y='{:.1}' width='44' height='20' rx='10' fill='{HOT}' stroke='none'/>",
                    spot.at.x - 22.0,
                    spot.at.y - 32.0
                ));
                let look = format!("fill='{PAPER}' font-weight='700' text-anchor='middle'");
                sheet.text(&words, spot.at.x, spot.at.y - 17.5, 13.0, &look);
            }
        }
        for element in &caption.cleared {
            if let Some(spot) = self.spots.get(element) {
                sheet.tick(spot.at.x, spot.at.y);
            }
        }
    }

    fn runs_of(&self, kinds: [RunKind; 2], sheet: &mut Sheet) {
        for run in self.runs.iter().filter(|run| kinds.contains(&run.kind)) {
            sheet.run(run);
        }
    }

    fn discs(&self, sheet: &mut Sheet, caption: &Caption) {
        for shape in &self.shapes {
            if matches!(shape.pick, super::Pick::Cylinder(_)) {
                shape.marks.iter().for_each(|mark| sheet.mark(mark));
            }
        }
        for disc in &self.engine.discs {
            let Some(word) = caption.cold.get(&disc.cylinder) else {
                continue;
            };
            let (x, y, r) = (disc.at.x, disc.at.y, disc.r - 1.0);
            sheet.put(&format!(
                "<circle cx='{x:.1}' cy='{y:.1}' r='{r:.1}' fill='{PAPER}'/><circle cx='{x:.1}' cy='{y:.1}' r='{r:.1}' fill='url(#dead)' stroke='{COLD}' stroke-width='3'/>\
                 <circle cx='{x:.1}' cy='{y:.1}' r='16' fill='{PAPER}'/>"
            ));
            let look = format!("fill='{COLD}' font-weight='700' text-anchor='middle'");
            sheet.text(word, x, y + disc.r + 17.0, 15.0, &look);
        }
    }
}

/// The text of the picture so far.
#[derive(Default)]
struct Sheet(String);

impl Sheet {
    fn put(&mut self, markup: &str) {
        self.0.push_str(markup);
    }

    /// Words that may hold anything: what XML cannot hold is shown as the sign for unknown letters.
    fn words(&mut self, words: &str) {
        for letter in words.chars() {
            match letter {
                '<' => self.put("&lt;"),
                '>' => self.put("&gt;"),
                '&' => self.put("&amp;"),
                '\'' => self.put("&#39;"),
                '"' => self.put("&quot;"),
                '\t' | '\n' | '\r' => self.put(" "),
                '\u{0}'..='\u{1f}' | '\u{7f}' | '\u{fffe}' | '\u{ffff}' => self.put("\u{fffd}"),
                letter => self.0.push(letter),
            }
        }
    }

    fn text(&mut self, words: &str, x: f64, y: f64, size: f64, look: &str) {
        self.put(&format!(
            "<text x='{x:.1}' y='{y:.1}' font-size='{size:.1}' {look}>"
        ));
        self.words(words);
        self.put("</text>");
    }

    fn label(&mut self, label: &Label) {
        let anchor = match label.align {
            Align::Start => "start",
            Align::Middle => "middle",
            Align::End => "end",
        };
        let (weight, fill) = match label.voice {
            Voice::Name | Voice::Number | Voice::Pin => (700, INK),
            Voice::Wire | Voice::Note => (400, FAINT),
        };
        let look = format!("font-weight='{weight}' fill='{fill}' text-anchor='{anchor}'");
        self.text(&label.text, label.at.x, label.at.y, label.size, &look);
    }

    fn mark(&mut self, mark: &Mark) {
        if mark.from > Zoom::Near {
            return;
        }
        let (fill, stroke, width, more) = match mark.role {
            Role::Body => (PAPER, INK, 1.75, ""),
            Role::Pin => (PAPER, INK, 2.0, ""),
            Role::Post => (PAPER, INK, 1.25, ""),
            Role::Housing => ("none", "gray", 1.5, " stroke-dasharray='2 5'"),
            Role::Block | Role::Bank => ("whitesmoke", "lightgray", 1.5, ""),
            Role::Disc => (PAPER, INK, 2.25, ""),
            Role::Symbol => ("none", INK, 1.6, ""),
            Role::Solid => (INK, "none", 0.0, ""),
            Role::Fine => ("none", "gray", 1.1, ""),
            Role::Bar => ("none", INK, 3.25, ""),
            Role::Spine => ("none", "gray", 1.5, " stroke-dasharray='1 5'"),
            Role::Loose => (PAPER, "gray", 1.75, ""),
        };
        self.put(&format!(
            "<path d='{}' fill='{fill}' stroke='{stroke}' stroke-width='{width}'{more}/>",
            mark.d
        ));
    }

    fn line(&mut self, d: &str, stroke: &str, width: f64, more: &str) {
        self.put(&format!(
            "<path d='{d}' fill='none' stroke='{stroke}' stroke-width='{width}' {more}/>"
        ));
    }

    fn run(&mut self, run: &Run) {
        let (thin, dash, tracer) = match run.how {
            Provenance::Assumed => (1.0, "stroke-dasharray='13 6' stroke-linecap='butt'", "6 13"),
            Provenance::Diagram => (0.65, "", "9 7"),
            Provenance::Measured => (1.0, "", "9 7"),
        };
        self.line(&run.d, PAPER, 10.0, "stroke-linecap='butt'");
        match run.kind {
            RunKind::Wire => {
                self.line(&run.d, "gray", 6.25 * thin, dash);
                let base = run.colour.map_or("gainsboro", |colour| paint(colour.base));
                self.line(&run.d, base, 4.25 * thin, dash);
                if let Some(stripe) = run.colour.and_then(|colour| colour.tracer) {
                    let dash = format!("stroke-dasharray='{tracer}' stroke-linecap='butt'");
                    self.line(&run.d, paint(stripe), 1.75 * thin, &dash);
                }
            }
            RunKind::Lead => self.line(&run.d, "slategray", 7.0 * thin, dash),
            RunKind::Boot => self.line(&run.d, "slategray", 9.0 * thin, dash),
        }
        for end in &run.loose {
            self.put(&format!(
                "<circle cx='{:.1}' cy='{:.1}' r='5' fill='{PAPER}' stroke='gray' stroke-width='1.75'/>",
                end.x, end.y
            ));
        }
    }

    fn tick(&mut self, x: f64, y: f64) {
        self.put(&format!(
            "<g transform='translate({x:.1} {y:.1})'><circle r='8' fill='{GOOD}' stroke='none'/>\
             <path d='M-4 0l3 3l5 -6' fill='none' stroke='{PAPER}' stroke-width='2'/></g>"
        ));
    }
}

fn legend(sheet: &mut Sheet, caption: &Caption, top: f64) {
    let words = caption.legend;
    let lines = [
        (words.measured, 5.0, ""),
        (words.diagram, 2.75, ""),
        (words.assumed, 5.0, "stroke-dasharray='11.5 7.5'"),
    ];
    let mut x = MARGIN;
    for (said, width, dash) in lines.into_iter().filter(|(said, ..)| !said.is_empty()) {
        let y = top + LINE / 2.0;
        sheet.line(&format!("M{x:.0} {y:.0}h44"), "slategray", width, dash);
        sheet.text(said, x + 54.0, y + 5.0, 15.0, "");
        x += 74.0 + width_of(said);
    }
    x = MARGIN;
    let y = top + 1.5 * LINE + 4.0;
    if !caption.cold.is_empty() && !words.cold.is_empty() {
        sheet.put(&format!(
            "<circle cx='{:.0}' cy='{y:.0}' r='9' fill='url(#dead)' stroke='{COLD}' stroke-width='2'/>",
            x + 10.0
        ));
        sheet.text(words.cold, x + 28.0, y + 5.0, 15.0, "");
        x += 48.0 + width_of(words.cold);
    }
    if !caption.heat.is_empty() && !words.heat.is_empty() {
        sheet.line(
            &format!("M{:.0} {y:.0}h16", x + 6.0),
            HOT,
            14.0,
            "stroke-linecap='round' opacity='0.7'",
        );
        sheet.text(words.heat, x + 38.0, y + 5.0, 15.0, "");
        x += 58.0 + width_of(words.heat);
    }
    if !caption.cleared.is_empty() && !words.cleared.is_empty() {
        sheet.tick(x + 10.0, y);
        sheet.text(words.cleared, x + 28.0, y + 5.0, 15.0, "");
    }
}

fn width_of(words: &str) -> f64 {
    super::shape::text_width(words, 15.0, false)
}

/// `text` in lines that are not wider than the map.
fn broken(text: &str, width: f64) -> Vec<String> {
    let most = (width.max(560.0) * LETTERS).round();
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if as_number(line) + 1.0 + as_number(word) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) | None => lines.push(word.to_owned()),
        }
        if lines.len() > 8 {
            lines.pop();
            break;
        }
    }
    lines
}

fn as_number(text: &str) -> f64 {
    f64::from(u32::try_from(text.chars().count()).unwrap_or(u32::MAX))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

    use super::*;
    use crate::edit::layouts::{Plan, build, propose_engine};
    use crate::engine::{Layout, Strokes};
    use crate::model::{Element, Harness};

    fn map() -> Harness {
        build(&Plan::new(
            "Blue estate",
            propose_engine(4, Layout::Inline, Strokes::Four),
        ))
        .unwrap()
    }

    #[test]
    fn labels_with_markup_become_text_and_the_picture_stays_well_formed() {
        let mut harness = map();
        let evil = "</text><script>alert('x')</script> & \u{0} \" onload=\"x";
        for part in harness.parts.values_mut() {
            part.name = evil.into();
        }
        let caption = Caption {
            title: evil.into(),
            about: evil.into(),
            cold: [(CylinderId(1), evil.to_owned())].into(),
            ..Caption::default()
        };
        let (picture, ..) = Drawing::of(&harness).picture(&caption);
        assert!(!picture.contains("<script"), "{picture}");
        assert!(!picture.contains('\u{0}'));
        let opened = picture.matches('<').count();
        assert_eq!(opened, picture.matches('>').count());
        let texts = picture.matches("<text ").count();
        assert_eq!(texts, picture.matches("</text>").count());
        assert!(texts > 20, "{texts} labels");
    }

    #[test]
    fn it_stands_alone() {
        let harness = map();
        let heat = [(Element::Cylinder(CylinderId(2)), 0.5)].into();
        let caption = Caption {
            heat,
            ..Caption::default()
        };
        let (picture, width, height) = Drawing::of(&harness).picture(&caption);
        for outside in ["href", "url(h", "@import", "<style", "class=", "var("] {
            assert!(!picture.contains(outside), "{outside}");
        }
        assert!(width > 500.0 && height > 300.0 && width.is_finite() && height.is_finite());
    }

    #[test]
    fn a_long_story_is_broken_and_an_endless_one_is_cut() {
        let lines = broken(&"word ".repeat(60), 600.0);
        assert!(
            lines.len() > 2 && lines.iter().all(|line| line.len() < 80),
            "{lines:?}"
        );
        assert!(broken(&"word ".repeat(6_000), 600.0).len() <= 8);
    }
}
