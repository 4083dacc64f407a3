//! The map as a picture: a harness laid out, its wires routed, ready to be painted on a screen or into a file.
//!
//! [`Drawing::of`] is pure and quick enough to call after every edit. It is read left to right, the way the job is
//! reasoned: supply across the top, control unit, control wires, coils, leads, engine from above.

mod geometry;
mod glyph;
mod links;
mod markup;
mod near;
mod order;
mod pick;
mod picture;
mod place;
mod plan;
mod route;
mod runs;
mod shape;
#[cfg(test)]
mod tests;
mod wire_paint;
mod words;

use std::collections::BTreeMap;

use crate::gather::Arrange;
use crate::model::{Element, Harness, PartId};

pub use crate::topology::Pick;
pub use geometry::{GRID, Point, Rect};
pub use markup::{Cold, LOOSE_R, PATTERNS, circle, glow};
pub use picture::{Caption, Legend};
pub use plan::Shape as Proportions;
pub use route::Ways;
pub use shape::{
    Align, Disc, ElementSpot, EnginePlan, Label, Mark, Role, Run, RunKind, Shape, Voice, Zoom,
};
pub use wire_paint::paint;

/// A harness laid out on the plane, in map units (right, down).
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The box that holds everything, margins included.
    pub bounds: Rect,
    /// For which screens it is proportioned.
    pub proportions: Proportions,
    /// What lies behind the wires: engine block, rows, housings.
    pub behind: Vec<Shape>,
    /// Wires and leads, in the order in which they are painted.
    pub runs: Vec<Run>,
    /// Parts, drivers, terminals and cylinders, in the order in which they are painted.
    pub shapes: Vec<Shape>,
    /// Words.
    pub labels: Vec<Label>,
    /// Where each element is.
    pub spots: BTreeMap<Element, ElementSpot>,
    /// The engine.
    pub engine: EnginePlan,
    /// Type size, in map units, of the names that show when the whole map is seen at once.
    pub far_size: f64,
    /// Where each part stands that can be moved by hand, as [`drawn_at`](crate::model::Part::drawn_at) would say it.
    /// Leads and plugs cannot.
    pub stands: BTreeMap<PartId, Point>,
    /// Everything that can be pointed at, from the battery along the trail to the cylinders.
    pub walk: Vec<Pick>,
}

impl Drawing {
    /// The drawing for a screen wider than high.
    #[must_use]
    pub fn of(harness: &Harness) -> Self {
        Self::proportioned(harness, Proportions::Wide)
    }

    /// The drawing in the given proportions.
    #[must_use]
    pub fn proportioned(harness: &Harness, proportions: Proportions) -> Self {
        Self::again(harness, proportions, &mut Ways::default())
    }

    /// The same drawing, quicker where `ways` holds what the last one left: only the wires are routed anew on which
    /// an edit bears.
    #[must_use]
    pub fn again(harness: &Harness, proportions: Proportions, ways: &mut Ways) -> Self {
        let mut plan = place::place(harness, proportions);
        let tray = runs::tray(&mut plan);
        let mut sheet = glyph::Sheet::draw(&plan);
        let runs = runs::runs(&mut sheet, &tray, ways);
        words::settle(&mut sheet, &runs);
        let glyph::Sheet {
            behind,
            shapes,
            labels,
            spots,
            ..
        } = sheet;
        let r = plan.m.disc_r;
        let engine = EnginePlan {
            block: plan.block,
            word_size: plan.word_size(),
            marks: glyph::engine_marks(&plan),
            banks: plan.banks.clone(),
            discs: plan
                .discs
                .iter()
                .map(|(&cylinder, &at)| Disc { cylinder, at, r })
                .collect(),
        };
        let mut drawing = Self {
            bounds: Rect::default(),
            proportions,
            behind,
            runs,
            shapes,
            labels,
            spots,
            engine,
            far_size: plan.far,
            stands: std::mem::take(&mut plan.stands),
            walk: Vec::new(),
        };
        drawing.fit(plan.m.margin);
        drawing.walk = drawing.in_reading_order();
        drawing
    }

    fn fit(&mut self, margin: f64) {
        let all = self
            .behind
            .iter()
            .chain(&self.shapes)
            .map(|s| s.bounds)
            .chain(self.labels.iter().map(Label::bounds))
            .chain(self.runs.iter().filter_map(|r| Rect::around(&r.points)))
            .chain((self.engine.block.w > 0.0).then_some(self.engine.block))
            .reduce(Rect::union)
            .unwrap_or(Rect::new(0.0, 0.0, 240.0, 120.0))
            .grown(margin / 2.0);
        self.bounds = all;
    }

    /// Where a part that is moved by so much on this sheet stands then, as
    /// [`drawn_at`](crate::model::Part::drawn_at) would say it; `None` for what cannot be moved.
    ///
    /// What the owner says is a place on the wide sheet. On the tall one, where everything stands nearer together,
    /// a part stands as far from where the map itself would have put it, narrowed by as much as the sheet is.
    #[must_use]
    pub fn moved(&self, part: PartId, by: Point) -> Option<Point> {
        let at = self.stands.get(&part)?;
        let across = place::step_across(self.proportions);
        Some(at.by(by.x * across, by.y))
    }

    /// Where a pick is: the box of its shape, run or spot.
    #[must_use]
    pub fn place_of(&self, pick: Pick) -> Option<Rect> {
        let shape = self
            .shapes
            .iter()
            .chain(&self.behind)
            .find(|s| s.pick == pick)
            .map(|s| s.bounds);
        let run = || {
            self.runs
                .iter()
                .find(|r| r.pick == pick)
                .and_then(|r| Rect::around(&r.points))
        };
        let spot = || {
            if let Pick::Element(element) = pick {
                self.spots
                    .get(&element)
                    .map(|s| Rect::about(s.at, 12.0, 12.0))
            } else {
                None
            }
        };
        shape.or_else(run).or_else(spot)
    }

    /// Whether something that is drawn is on the [walk](Self::walk): all but terminals are.
    #[must_use]
    pub const fn is_on_walk(pick: Pick) -> bool {
        match pick {
            Pick::Part(_)
            | Pick::Wire(_)
            | Pick::Element(_)
            | Pick::Driver(_)
            | Pick::Cylinder(_) => true,
            Pick::Terminal(_) => false,
        }
    }

    /// Parts, wires, drivers and cylinders from left to right, column by column.
    fn in_reading_order(&self) -> Vec<Pick> {
        let mut found: Vec<(f64, f64, Pick)> = Vec::new();
        for shape in self.behind.iter().chain(&self.shapes) {
            if Self::is_on_walk(shape.pick) {
                found.push((shape.bounds.x, shape.bounds.centre().y, shape.pick));
            }
        }
        for run in &self.runs {
            if let Some(b) = Rect::around(&run.points) {
                found.push((b.x, b.centre().y, run.pick));
            }
        }
        let rail = self.rail_line();
        found.arrange_by(|a, b| {
            let column = |x: f64| (x / 48.0).floor();
            (a.1 > rail)
                .cmp(&(b.1 > rail))
                .then(column(a.0).total_cmp(&column(b.0)))
                .then(a.1.total_cmp(&b.1))
                .then(a.2.cmp(&b.2))
        });
        found.into_iter().map(|(_, _, pick)| pick).collect()
    }

    /// The height above which everything belongs to the supply rail.
    fn rail_line(&self) -> f64 {
        let top = self.engine.block.y;
        if top.is_finite() { top - 30.0 } else { 0.0 }
    }
}
