//! Coils: two windings and a core, with the driver where it sits inside.

use super::driver::transistor;
use super::{Far, Say, Sheet, winding};
use crate::drawing::geometry::{Pen, Point, Rect, Sweep};
use crate::drawing::shape::{Align, Role, Shape, Voice, Zoom};
use crate::model::{Coil, DriverPiece, Element, PartId, Port, Secondary, Terminal};
use crate::said::{digits, said_in};
use crate::topology::Pick;

/// Heights of the ends of the windings, from the ports.
struct Coils {
    b: Rect,
    feed: f64,
    low: f64,
    xp: f64,
    xs: f64,
}

impl Sheet<'_, '_> {
    pub(super) fn coil(&mut self, id: PartId, coil: &Coil) {
        let Some(b) = self.plan.boxes.get(&id).copied() else {
            return;
        };
        let y = |port| {
            self.plan
                .ports
                .get(&Terminal { part: id, port })
                .map_or(b.centre().y, |s| s.at.y)
        };
        let inside = coil.driver.is_some();
        let (feed, switched, ground, drive) = (
            y(Port::Feed),
            y(Port::Switched),
            y(Port::CoilGround),
            y(Port::DriveIn),
        );
        let low = if inside {
            feed + (ground - feed) * 0.46
        } else {
            switched
        };
        let c = Coils {
            b,
            feed,
            low,
            xp: b.x + b.w * if inside { 0.5 } else { 0.36 },
            xs: b.x + b.w * if inside { 0.74 } else { 0.64 },
        };
        let from = self.symbols_from();
        let mut shape = Shape::new(Pick::Part(id), b);
        shape.mark(Role::Body, Zoom::Far, Pen::new().rounded(b, 11.0).done());
        let primary = winding(
            Pen::new().go(c.b.x, c.feed).across(c.xp),
            c.xp,
            c.feed,
            c.low,
            4,
            Sweep::Clockwise,
        );
        let primary = if inside {
            primary
        } else {
            primary.across(c.b.x)
        }
        .done();
        self.spot(
            Element::Primary(id),
            primary.clone(),
            Point::new(c.xp, (c.feed + c.low) / 2.0),
        );
        shape.mark(Role::Symbol, from, primary);
        let (secondary, bottom) = self.secondary(id, coil, &c, ground);
        self.spot(
            Element::Secondary(id),
            secondary.clone(),
            Point::new(c.xs, (c.feed + bottom) / 2.0),
        );
        shape.mark(Role::Symbol, from, secondary);
        let mid = (c.xp + c.xs) / 2.0;
        let core = Pen::new()
            .go(mid - 2.5, c.feed + 6.0)
            .down(c.low.max(bottom) - 6.0)
            .go(mid + 2.5, c.feed + 6.0)
            .down(c.low.max(bottom) - 6.0);
        shape.mark(Role::Fine, from, core.done());
        self.spot(
            Element::CoilInsulation(id),
            Pen::new().rounded(b, 11.0).done(),
            Point::new(b.centre().x, b.bottom()),
        );
        self.shapes.push(shape);
        if let Some(driver) = &coil.driver {
            self.inner_driver(id, driver.id, &c, drive, ground);
        }
        self.coil_words(id, coil, b);
    }

    fn secondary(&self, id: PartId, coil: &Coil, c: &Coils, ground: f64) -> (String, f64) {
        let right = c.b.right();
        let tower = |port| {
            self.plan
                .ports
                .get(&Terminal { part: id, port })
                .map_or(c.b.centre().y, |s| s.at.y)
        };
        let (a, b) = (tower(Port::TowerA), tower(Port::TowerB));
        let elbow = (c.xs + right) / 2.0 + 4.0;
        match coil.secondary {
            Secondary::TwoEnded => {
                let (top, bottom) = (a.min(b), a.max(b));
                let pen = Pen::new().go(right, top).across(c.xs);
                let pen = winding(pen, c.xs, top, bottom, 6, Sweep::Counter).across(right);
                (pen.done(), bottom)
            }
            Secondary::ReturnsToFeed => {
                let bottom = if coil.driver.is_some() {
                    ground - 6.0
                } else {
                    c.low
                };
                let pen = Pen::new().go(c.xp, c.feed).across(c.xs);
                let pen = winding(pen, c.xs, c.feed, bottom, 6, Sweep::Counter)
                    .across(elbow)
                    .down(a)
                    .across(right);
                (pen.done(), bottom)
            }
            Secondary::ReturnsToGround => {
                let bottom = ground - 12.0;
                let pen = Pen::new()
                    .go(right, a)
                    .across(elbow)
                    .down(c.feed)
                    .across(c.xs);
                let pen = winding(pen, c.xs, c.feed, bottom, 6, Sweep::Counter).down(ground);
                let pen = if coil.driver.is_some() {
                    pen.across(c.xp)
                } else {
                    pen.across(c.b.x)
                };
                (pen.done(), bottom)
            }
        }
    }

    fn inner_driver(
        &mut self,
        id: PartId,
        driver: crate::model::DriverId,
        c: &Coils,
        drive: f64,
        ground: f64,
    ) {
        let room = ground - c.low;
        let gate = c.low + room * 0.5;
        let bar = c.xp - 10.0;
        let knee = (c.b.x + bar) / 2.0 - 2.0;
        let mut shape = Shape::new(
            Pick::Driver(driver),
            Rect::new(c.b.x + 2.0, c.low, c.xp - c.b.x + 4.0, room),
        );
        let path = Pen::new()
            .go(c.b.x, drive)
            .across(knee)
            .down(gate)
            .across(bar)
            .done();
        let from = self.symbols_from();
        shape.mark(Role::Symbol, from, path.clone());
        let (stroke, arrow) = transistor(Point::new(c.xp, gate), room * 0.5);
        shape.mark(Role::Symbol, from, stroke.clone());
        shape.mark(Role::Solid, Zoom::Near, arrow);
        shape.mark(
            Role::Symbol,
            from,
            Pen::new().go(c.xp, ground).across(c.b.x).done(),
        );
        self.shapes.push(shape);
        let spot = |piece| Element::Driver(driver, piece);
        self.dot_spot(spot(DriverPiece::OutputJoint), Point::new(c.xp, c.low));
        self.spot(spot(DriverPiece::Switch), stroke, Point::new(c.xp, gate));
        self.dot_spot(spot(DriverPiece::GroundJoint), Point::new(c.xp, ground));
        self.dot_spot(spot(DriverPiece::DriveJoint), Point::new(knee - 6.0, drive));
        self.spot(
            spot(DriverPiece::DriveResistor),
            path,
            Point::new(knee, (drive + gate) / 2.0),
        );
        self.dot_spot(spot(DriverPiece::GateJoint), Point::new(bar - 4.0, gate));
        let _ = id;
    }

    /// From where the windings show: where coils are many, their names stand in their place when seen from far.
    fn symbols_from(&self) -> Zoom {
        if self.plan.has_many_coils() {
            Zoom::Near
        } else {
            Zoom::Far
        }
    }

    fn coil_words(&mut self, id: PartId, coil: &Coil, b: Rect) {
        if self.plan.has_many_coils() {
            self.name_beside(id, b);
        } else {
            self.name(
                id,
                Point::new(b.centre().x, b.y - 7.0),
                Align::Middle,
                None,
                Far::Shown,
                b.w + 40.0,
            );
        }
        let harness = self.plan.harness;
        let ports: Vec<(Terminal, Point)> = self
            .plan
            .ports
            .iter()
            .filter(|(t, _)| t.part == id)
            .map(|(t, s)| (*t, s.at))
            .collect();
        let size = if self.is_tall() { 8.5 } else { 10.5 };
        for (terminal, at) in ports {
            let left = at.x < b.centre().x;
            let (dx, align) = if left {
                (6.0, Align::Start)
            } else {
                (-6.0, Align::End)
            };
            let text = harness.port_name(terminal);
            let short = if terminal.port == Port::DriveIn {
                said_in("drive signal", "in")
            } else {
                text.as_str()
            };
            let from = if b.h > 80.0 && !self.is_tall() {
                Zoom::Near
            } else {
                Zoom::Close
            };
            self.say(
                Pick::Terminal(terminal),
                Some(id),
                at.by(dx, -4.0),
                short,
                Say::note(align, size, from),
            );
        }
        if let Some(r) = coil.primary_resistance {
            self.say(
                Pick::Element(Element::Primary(id)),
                None,
                Point::new(b.x + 4.0, b.bottom() + 10.0),
                &format!("{}", r.value),
                Say::note(Align::Start, 8.0, Zoom::Close),
            );
        }
        if let Some(r) = coil.secondary_resistance {
            self.say(
                Pick::Element(Element::Secondary(id)),
                None,
                Point::new(b.right() - 4.0, b.bottom() + 10.0),
                &digits!("{:.1} kΩ", r.value.get() / 1000.0),
                Say::note(Align::End, 8.0, Zoom::Close),
            );
        }
    }

    /// The name in the body when seen from far, else above the lead.
    fn name_beside(&mut self, id: PartId, b: Rect) {
        let name = self.plan.harness.part_name(id);
        let (room, least) = (b.w - 6.0, 18.0);
        let wide = super::super::shape::text_width(name, 1.0, true);
        let size = (room / wide.max(1e-3)).clamp(least, self.plan.far.max(least));
        let inside = (
            Some(id),
            b.centre().by(0.0, size * 0.36),
            super::shortened(name, size, room),
            Say {
                align: Align::Middle,
                size,
                voice: Voice::Name,
                from: Zoom::Far,
                until: Zoom::Far,
            },
        );
        let beside = (
            None,
            Point::new(b.right() + 8.0, b.y + 14.0),
            super::shortened(name, 15.0, self.plan.m.lead_gap - 12.0),
            Say {
                align: Align::Start,
                size: 15.0,
                voice: Voice::Name,
                from: Zoom::Near,
                until: Zoom::Close,
            },
        );
        for (part, at, text, say) in [inside, beside] {
            self.say(Pick::Part(id), part, at, &text, say);
        }
    }
}
