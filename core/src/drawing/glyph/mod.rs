//! Turns placed parts into shapes, labels and element spots.

mod coil;
mod driver;
mod engine;
mod small;
mod unit;

pub(super) use engine::engine_marks;

use std::collections::BTreeMap;

use super::geometry::{Pen, Point, Rect, Sweep};
use super::plan::{Class, Plan, Shape as Proportions};
use super::shape::{Align, ElementSpot, Label, Role, Shape, Voice, Zoom, shortened};
use crate::model::{Element, Hold, PartId, PartKind, Port, WireEnd};
use crate::topology::Pick;

/// Shapes, labels and spots as they are drawn, part by part.
pub(super) struct Sheet<'p, 'h> {
    pub(super) plan: &'p Plan<'h>,
    pub(super) behind: Vec<Shape>,
    pub(super) shapes: Vec<Shape>,
    pub(super) labels: Vec<Label>,
    /// Labels that are placed once the wires are routed: the first free of their seats.
    pub(super) floating: Vec<(Label, Vec<(Point, Align)>)>,
    pub(super) spots: BTreeMap<Element, ElementSpot>,
    /// Where the plugs stand.
    pub(super) plugs: BTreeMap<PartId, Point>,
}

/// What a label says and how; the rest of it follows from where it stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct Say {
    pub(super) align: Align,
    pub(super) size: f64,
    pub(super) voice: Voice,
    pub(super) from: Zoom,
    pub(super) until: Zoom,
}

impl Say {
    pub(super) const fn note(align: Align, size: f64, from: Zoom) -> Self {
        Self {
            align,
            size,
            voice: Voice::Note,
            from,
            until: Zoom::Close,
        }
    }
}

impl<'p, 'h> Sheet<'p, 'h> {
    /// Draws every part but wires and leads.
    pub(super) fn draw(plan: &'p Plan<'h>) -> Self {
        let mut sheet = Self {
            plan,
            behind: Vec::new(),
            shapes: Vec::new(),
            labels: Vec::new(),
            floating: Vec::new(),
            spots: BTreeMap::new(),
            plugs: BTreeMap::new(),
        };
        sheet.engine();
        sheet.packs();
        for (&id, part) in &plan.harness.parts {
            match &part.kind {
                PartKind::Battery(_)
                | PartKind::Fuse(_)
                | PartKind::KeySwitch
                | PartKind::Relay(_) => {
                    sheet.rail_part(id, part);
                }
                PartKind::Splice | PartKind::Ground(_) => sheet.bar(id, part),
                PartKind::Connector(connector) => sheet.connector(id, connector),
                PartKind::ControlUnit(unit) => sheet.unit(id, part, unit),
                PartKind::Coil(coil) => sheet.coil(id, coil),
                PartKind::Distributor(d) => sheet.distributor(id, d),
                PartKind::Injector(_) => sheet.injector(id),
                PartKind::Plug(_) => sheet.plug(id),
                PartKind::Pack | PartKind::Lead(_) => {}
            }
        }
        sheet.posts();
        sheet
    }

    /// Type size of the names of small parts.
    pub(super) fn note_size(&self) -> f64 {
        if self.is_tall() { 11.5 } else { 14.0 }
    }

    pub(super) fn is_tall(&self) -> bool {
        self.plan.m.shape == Proportions::Tall
    }

    pub(super) fn say(
        &mut self,
        of: Pick,
        inside: Option<PartId>,
        at: Point,
        text: &str,
        say: Say,
    ) {
        if text.is_empty() {
            return;
        }
        self.labels.push(Label {
            text: text.to_owned(),
            at,
            align: say.align,
            size: say.size,
            voice: say.voice,
            from: say.from,
            until: say.until,
            of,
            inside,
        });
    }

    /// A name that takes the first free of several seats, once the wires are known.
    pub(super) fn float(&mut self, id: PartId, size: f64, seats: Vec<(Point, Align)>) {
        let text = shortened(self.plan.harness.part_name(id), size, 150.0);
        let Some((at, align)) = seats.first().copied() else {
            return;
        };
        let label = Label {
            text,
            at,
            align,
            size,
            voice: Voice::Note,
            from: Zoom::Near,
            until: Zoom::Close,
            of: Pick::Part(id),
            inside: None,
        };
        self.floating.push((label, seats));
    }

    /// The name of a part: large when far (where `far` says so), smaller from near on.
    pub(super) fn name(
        &mut self,
        id: PartId,
        at: Point,
        align: Align,
        inside: Option<PartId>,
        far: Far,
        room: f64,
    ) {
        let name = self.plan.harness.part_name(id).to_owned();
        let small = 16.5;
        if far == Far::Shown {
            let far = self.plan.far;
            let text = shortened(&name, far, room * far / 21.0);
            self.say(
                Pick::Part(id),
                inside,
                at,
                &text,
                Say {
                    align,
                    size: far,
                    voice: Voice::Name,
                    from: Zoom::Far,
                    until: Zoom::Far,
                },
            );
        }
        let voice = if far == Far::Shown {
            Voice::Name
        } else {
            Voice::Note
        };
        let size = if far == Far::Shown {
            small
        } else {
            self.note_size()
        };
        let text = shortened(&name, size, room);
        self.say(
            Pick::Part(id),
            inside,
            at,
            &text,
            Say {
                align,
                size,
                voice,
                from: Zoom::Near,
                until: Zoom::Close,
            },
        );
    }

    pub(super) fn spot(&mut self, element: Element, d: String, at: Point) {
        self.spots.insert(element, ElementSpot { d, at });
    }

    pub(super) fn dot_spot(&mut self, element: Element, at: Point) {
        self.spot(element, Pen::new().circle(at, 4.0).done(), at);
    }

    /// A small mark at every terminal that has no mark of its own, and the contact that can fail there.
    fn posts(&mut self) {
        for (&terminal, spot) in &self.plan.ports {
            let at = spot.at;
            if terminal.port.hold() == Hold::Contact {
                self.dot_spot(Element::Mated(terminal), at);
            }
            if matches!(terminal.port, Port::Pin(_)) {
                continue;
            }
            let mut shape = Shape::new(Pick::Terminal(terminal), Rect::about(at, 8.0, 8.0));
            shape.mark(Role::Post, Zoom::Near, Pen::new().circle(at, 3.5).done());
            self.shapes.push(shape);
        }
        for (&wire, data) in &self.plan.harness.wires {
            for end in WireEnd::BOTH {
                let at = data.end(end).and_then(|f| {
                    let tap = self.plan.taps.get(&(wire, end));
                    tap.or_else(|| self.plan.ports.get(&f.value))
                        .map(|s| (f.value, s.at))
                });
                if let Some((terminal, at)) = at
                    && terminal.port.hold() == Hold::Joint
                {
                    self.dot_spot(Element::Joint(wire, end), at);
                }
            }
        }
    }

    /// Housings around coils that share one.
    fn packs(&mut self) {
        for pack in self.plan.parts(Class::Pack) {
            let inside = self
                .plan
                .harness
                .parts
                .iter()
                .filter(|(_, p)| matches!(&p.kind, PartKind::Coil(c) if c.pack == Some(pack)))
                .filter_map(|(id, _)| self.plan.boxes.get(id))
                .copied()
                .reduce(Rect::union);
            let own = self.plan.boxes.get(&pack).copied();
            let Some(b) = inside
                .map(|b| Rect::new(b.x - 15.0, b.y - 30.0, b.w + 30.0, b.h + 45.0))
                .or(own)
            else {
                continue;
            };
            let mut shape = Shape::new(Pick::Part(pack), b);
            shape.mark(Role::Housing, Zoom::Far, Pen::new().rounded(b, 18.0).done());
            self.behind.push(shape);
            let seats = vec![
                (
                    Point::new(b.x + b.w / 2.0, b.bottom() + 17.0),
                    Align::Middle,
                ),
                (Point::new(b.right() - 10.0, b.bottom() + 17.0), Align::End),
                (Point::new(b.x + b.w / 2.0, b.y - 8.0), Align::Middle),
            ];
            self.float(pack, self.note_size(), seats);
        }
    }
}

/// Whether a name shows when the map is seen from far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Far {
    Shown,
    Hidden,
}

/// A winding drawn downward: half circles from (x, top) to (x, bottom).
pub(super) fn winding(pen: Pen, x: f64, top: f64, bottom: f64, turns: u8, sweep: Sweep) -> Pen {
    let n = f64::from(turns.max(1));
    let step = (bottom - top) / n;
    let mut pen = pen;
    for i in 0..turns.max(1) {
        pen = pen.bulge(step / 2.0, sweep, x, top + step * (f64::from(i) + 1.0));
    }
    pen
}

/// The earth symbol, its stem ending at `at`.
pub(super) fn earth(pen: Pen, at: Point, size: f64) -> Pen {
    let mut pen = pen;
    for (i, half) in [size, size * 0.62, size * 0.25].into_iter().enumerate() {
        let y = at.y + i as f64 * size * 0.45;
        pen = pen.go(at.x - half, y).across(at.x + half);
    }
    pen
}
