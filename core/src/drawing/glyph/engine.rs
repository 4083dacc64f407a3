//! The engine from above, its plugs, and distributors.

use super::{Far, Say, Sheet};
use crate::drawing::geometry::{Pen, Point, Rect};
use crate::drawing::plan::Plan;
use crate::drawing::shape::{Align, Mark, Role, Shape, Voice, Zoom};
use crate::engine::CylinderId;
use crate::model::{Distributor, Element, PartId, Port, Terminal};
use crate::said::said;
use crate::topology::Pick;

/// Radius of a plug.
const PLUG_R: f64 = 7.0;

/// Block, rows and front pulley; nothing for an engine with no cylinders.
pub(in crate::drawing) fn engine_marks(plan: &Plan<'_>) -> Vec<Mark> {
    if plan.discs.is_empty() {
        return Vec::new();
    }
    let mark = |role, d| Mark {
        role,
        from: Zoom::Far,
        d,
    };
    let b = plan.block;
    let pulley = Rect::about(Point::new(b.centre().x, b.y - 5.0), 46.0, 9.0);
    let neck = Rect::about(Point::new(b.centre().x, b.y), 18.0, 12.0);
    let mut marks = vec![
        mark(Role::Block, Pen::new().rounded(neck, 2.0).done()),
        mark(Role::Block, Pen::new().rounded(pulley, 4.0).done()),
        mark(Role::Block, Pen::new().rounded(b, 22.0).done()),
    ];
    marks.extend(
        plan.banks
            .iter()
            .map(|bank| mark(Role::Bank, Pen::new().rounded(*bank, 18.0).done())),
    );
    marks
}

impl Sheet<'_, '_> {
    pub(super) fn engine(&mut self) {
        let engine = &self.plan.harness.engine;
        let r = self.plan.m.disc_r;
        let discs: Vec<(CylinderId, Point)> =
            self.plan.discs.iter().map(|(c, p)| (*c, *p)).collect();
        for (cylinder, at) in &discs {
            let mut shape = Shape::new(
                Pick::Cylinder(*cylinder),
                Rect::about(*at, 2.0 * r, 2.0 * r),
            );
            shape.mark(Role::Disc, Zoom::Far, Pen::new().circle(*at, r).done());
            self.shapes.push(shape);
            let size = if cylinder.0 > 9 { 24.0 } else { 27.0 };
            let size = size * (self.plan.far / 21.0).min(1.2);
            self.say(
                Pick::Cylinder(*cylinder),
                None,
                at.by(0.0, size * 0.36),
                &format!("{cylinder}"),
                Say {
                    align: Align::Middle,
                    size,
                    voice: Voice::Number,
                    from: Zoom::Far,
                    until: Zoom::Close,
                },
            );
            self.spot(
                Element::Cylinder(*cylinder),
                Pen::new().circle(*at, r).done(),
                *at,
            );
        }
        if let Some((first, _)) = discs.first() {
            let block = self.plan.block;
            let about = Pick::Cylinder(*first);
            self.say(
                about,
                None,
                Point::new(block.centre().x, block.y - 18.0),
                said("front ▲"),
                Say::note(Align::Middle, 14.0, Zoom::Near),
            );
            if engine.banks.len() > 1 {
                for (bank, plate) in engine.banks.iter().zip(self.plan.banks.clone()) {
                    let name = super::shortened(&bank.name, 14.0, self.plan.m.bank_w - 6.0);
                    self.say(
                        about,
                        None,
                        Point::new(plate.centre().x, block.bottom() + 18.0),
                        &name,
                        Say::note(Align::Middle, 14.0, Zoom::Near),
                    );
                }
            }
        }
    }

    pub(super) fn plug(&mut self, id: PartId) {
        let r = self.plan.m.disc_r;
        let cylinder = self.plan.links.cylinder_of(id);
        let at = if let Some(centre) = cylinder.and_then(|c| self.plan.discs.get(&c)) {
            let mates: Vec<PartId> = self
                .plan
                .harness
                .parts
                .keys()
                .copied()
                .filter(|p| self.plan.links.cylinder_of(*p) == cylinder)
                .collect();
            let place = mates.iter().position(|p| *p == id).unwrap_or(0) as f64;
            let turn = (place - (mates.len() as f64 - 1.0) / 2.0) * 0.8;
            centre.by(-r * turn.cos(), r * turn.sin())
        } else if let Some(b) = self.plan.boxes.get(&id) {
            b.centre()
        } else {
            return;
        };
        self.plugs.insert(id, at);
        let b = Rect::about(at, 2.0 * PLUG_R, 2.0 * PLUG_R);
        let mut shape = Shape::new(Pick::Part(id), b);
        shape.mark(Role::Body, Zoom::Far, Pen::new().circle(at, PLUG_R).done());
        // The gap: two points that face each other.
        let gap = Pen::new()
            .go(at.x - 4.5, at.y)
            .line(at.x - 0.9, at.y - 2.2)
            .line(at.x - 0.9, at.y + 2.2)
            .close()
            .go(at.x + 4.5, at.y)
            .line(at.x + 0.9, at.y - 2.2)
            .line(at.x + 0.9, at.y + 2.2)
            .close()
            .done();
        shape.mark(Role::Solid, Zoom::Far, gap.clone());
        self.shapes.push(shape);
        self.spot(Element::Gap(id), gap, at);
        self.spot(
            Element::Insulator(id),
            Pen::new().circle(at, PLUG_R).done(),
            at.by(0.0, -PLUG_R),
        );
        self.spot(
            Element::PlugResistor(id),
            Pen::new().go(at.x - PLUG_R, at.y).across(at.x - 4.5).done(),
            at.by(-PLUG_R, 0.0),
        );
        if cylinder.is_none() {
            self.name(id, at.by(14.0, 4.0), Align::Start, None, Far::Hidden, 80.0);
        }
    }

    pub(super) fn distributor(&mut self, id: PartId, d: &Distributor) {
        let Some(b) = self.plan.boxes.get(&id).copied() else {
            return;
        };
        let (c, r) = (b.centre(), b.w / 2.0);
        let mut shape = Shape::new(Pick::Part(id), b);
        let cap = Pen::new().circle(c, r).done();
        shape.mark(Role::Body, Zoom::Far, cap.clone());
        self.spot(Element::Cap(id), cap, Point::new(c.x, b.bottom()));
        shape.mark(Role::Fine, Zoom::Far, Pen::new().circle(c, r * 0.62).done());
        let first = d
            .towers
            .first()
            .and_then(|t| {
                self.plan.ports.get(&Terminal {
                    part: id,
                    port: Port::Tower(*t),
                })
            })
            .map_or(c.by(r, 0.0), |s| s.at);
        let reach = 0.62;
        let tip = Point::new(c.x + (first.x - c.x) * reach, c.y + (first.y - c.y) * reach);
        let rotor = Pen::new().go(c.x, c.y).line(tip.x, tip.y).done();
        shape.mark(
            Role::Symbol,
            Zoom::Far,
            Pen::new().go(b.x, c.y).across(c.x).done(),
        );
        shape.mark(Role::Bar, Zoom::Far, rotor.clone());
        shape.mark(Role::Solid, Zoom::Far, Pen::new().circle(c, 5.0).done());
        self.spot(Element::Rotor(id), rotor, c);
        let towers: Vec<(CylinderId, Point)> = d
            .towers
            .iter()
            .filter_map(|t| {
                let at = self
                    .plan
                    .ports
                    .get(&Terminal {
                        part: id,
                        port: Port::Tower(*t),
                    })?
                    .at;
                Some((*t, at))
            })
            .collect();
        for (_, at) in &towers {
            let inner = Point::new(c.x + (at.x - c.x) * 0.74, c.y + (at.y - c.y) * 0.74);
            shape.mark(
                Role::Fine,
                Zoom::Far,
                Pen::new().go(inner.x, inner.y).line(at.x, at.y).done(),
            );
        }
        self.shapes.push(shape);
        for (cylinder, at) in towers {
            let terminal = Terminal {
                part: id,
                port: Port::Tower(cylinder),
            };
            let inner = Point::new(c.x + (at.x - c.x) * 0.84, c.y + (at.y - c.y) * 0.84 - 3.0);
            self.say(
                Pick::Terminal(terminal),
                Some(id),
                inner,
                &format!("{cylinder}"),
                Say::note(Align::Middle, 9.5, Zoom::Close),
            );
        }
        self.name(
            id,
            Point::new(c.x, b.y - 9.0),
            Align::Middle,
            None,
            Far::Shown,
            (b.w + 60.0).max(120.0),
        );
    }
}
