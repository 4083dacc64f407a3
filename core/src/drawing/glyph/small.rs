//! The small parts: battery, fuse, key, relay, splices, grounds, connectors, injectors.

use super::{Far, Say, Sheet, earth, winding};
use crate::drawing::geometry::{Pen, Point, Rect, Sweep};
use crate::drawing::plan::Bar;
use crate::drawing::shape::{Align, Role, Shape, Zoom};
use crate::model::{Connector, Element, Part, PartId, PartKind, Port, Side, Terminal};
use crate::topology::Pick;

impl Sheet<'_, '_> {
    pub(super) fn rail_part(&mut self, id: PartId, part: &Part) {
        let Some(b) = self.plan.boxes.get(&id).copied() else {
            return;
        };
        let mut shape = Shape::new(Pick::Part(id), b);
        let (c, y) = (b.centre(), b.centre().y);
        match &part.kind {
            PartKind::Battery(_) => {
                let long = Pen::new().go(c.x + 5.0, y - 20.0).down(y + 20.0);
                let short = Pen::new().go(c.x - 5.0, y - 10.0).down(y + 10.0);
                shape.mark(
                    Role::Symbol,
                    Zoom::Far,
                    long.go(c.x + 5.0, y).across(b.right()).done(),
                );
                shape.mark(Role::Bar, Zoom::Far, short.done());
                shape.mark(
                    Role::Symbol,
                    Zoom::Far,
                    Pen::new().go(b.x, y).across(c.x - 5.0).done(),
                );
                self.spot(Element::Battery(id), Pen::new().rounded(b, 8.0).done(), c);
            }
            PartKind::Fuse(fuse) => {
                shape.mark(Role::Body, Zoom::Far, Pen::new().rounded(b, 4.0).done());
                let line = Pen::new().go(b.x, y).across(b.right()).done();
                shape.mark(Role::Symbol, Zoom::Far, line.clone());
                self.spot(Element::Contact(id), line, c);
                if let Some(rating) = fuse.rating {
                    self.say(
                        Pick::Part(id),
                        None,
                        Point::new(c.x, b.bottom() + 16.0),
                        &format!("{}", rating.value),
                        Say::note(Align::Middle, 12.0, Zoom::Near),
                    );
                }
            }
            PartKind::Relay(_) => {
                shape.mark(Role::Body, Zoom::Far, Pen::new().rounded(b, 8.0).done());
                let lever = lever(b.x, b.right(), y);
                shape.mark(Role::Symbol, Zoom::Far, lever.clone());
                self.spot(Element::Contact(id), lever, c);
                let x = |port| {
                    let at = self.plan.ports.get(&Terminal { part: id, port });
                    at.map_or(c.x, |s| s.at.x)
                };
                let (l, r) = (x(Port::WindingStart), x(Port::WindingEnd));
                let coil = Rect::new(l + 6.0, b.bottom() - 16.0, r - l - 12.0, 10.0);
                let line = Pen::new()
                    .go(l, b.bottom())
                    .down(coil.centre().y)
                    .across(coil.x)
                    .go(coil.right(), coil.centre().y)
                    .across(r)
                    .down(b.bottom());
                shape.mark(Role::Symbol, Zoom::Near, line.rounded(coil, 1.0).done());
                shape.mark(
                    Role::Fine,
                    Zoom::Near,
                    Pen::new().go(c.x, coil.y).down(y - 5.0).done(),
                );
                self.spot(
                    Element::RelayWinding(id),
                    Pen::new().rounded(coil, 1.0).done(),
                    coil.centre(),
                );
            }
            PartKind::KeySwitch
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::ControlUnit(_)
            | PartKind::Coil(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_) => {
                shape.mark(Role::Body, Zoom::Far, Pen::new().rounded(b, 8.0).done());
                let lever = lever(b.x, b.right(), y);
                shape.mark(Role::Symbol, Zoom::Far, lever.clone());
                self.spot(Element::Contact(id), lever, c);
            }
        }
        self.shapes.push(shape);
        self.name(
            id,
            Point::new(c.x, b.y - 9.0),
            Align::Middle,
            None,
            Far::Hidden,
            self.plan.m.rail_step - 8.0,
        );
        self.rail_terminals(id, b);
    }

    fn rail_terminals(&mut self, id: PartId, b: Rect) {
        for (&terminal, spot) in &self.plan.ports {
            if terminal.part != id || matches!(terminal.port, Port::In | Port::Out) {
                continue;
            }
            let text = self.plan.harness.port_name(terminal);
            let left = spot.at.x < b.centre().x;
            let winding = matches!(terminal.port, Port::WindingStart | Port::WindingEnd);
            let (dx, align) = match (left, winding) {
                (true, true) => (-4.0, Align::End),
                (false, true) => (4.0, Align::Start),
                (true, false) => (4.0, Align::Start),
                (false, false) => (-4.0, Align::End),
            };
            let at = spot.at.by(dx, -5.0);
            self.say(
                Pick::Terminal(terminal),
                Some(id),
                at,
                &text,
                Say::note(align, 8.0, Zoom::Close),
            );
        }
    }

    pub(super) fn bar(&mut self, id: PartId, part: &Part) {
        let Some(bar) = self.plan.bars.get(&id).copied() else {
            return;
        };
        let mut bounds = bar.bounds();
        let is_ground = matches!(part.kind, PartKind::Ground(_));
        if is_ground {
            bounds.h += 32.0;
        }
        let mut shape = Shape::new(Pick::Part(id), bounds);
        let d = match bar {
            Bar::Upright { x, top, bottom } if bottom - top < 1.0 => {
                Pen::new().go(x - 0.1, top).across(x + 0.1).done()
            }
            Bar::Upright { x, top, bottom } => Pen::new().go(x, top).down(bottom).done(),
            Bar::Level { y, left, right } => Pen::new().go(left, y).across(right).done(),
        };
        shape.mark(Role::Bar, Zoom::Far, d);
        if is_ground {
            let c = bounds.centre();
            let y = bar.bounds().bottom() - 4.0;
            let pen = Pen::new().go(c.x, y).down(y + 12.0);
            shape.mark(
                Role::Symbol,
                Zoom::Far,
                earth(pen, Point::new(c.x, y + 12.0), 14.0).done(),
            );
        }
        let taps: Vec<_> = self
            .plan
            .links
            .of_part(id)
            .filter_map(|(_, l)| Some((l.wire, l.end, self.plan.taps.get(&(l.wire, l.end))?.at)))
            .collect();
        for (wire, end, at) in &taps {
            shape.mark(Role::Solid, Zoom::Far, Pen::new().circle(*at, 4.5).done());
            self.dot_spot(Element::Joint(*wire, *end), *at);
        }
        if taps.is_empty() {
            let c = bar.bounds().centre();
            shape.mark(Role::Solid, Zoom::Far, Pen::new().circle(c, 4.5).done());
        }
        self.shapes.push(shape);
        let c = bounds.centre();
        let (low, high) = (bounds.bottom() + 14.0, bounds.y - 8.0);
        let seats = match bar {
            Bar::Level { .. } if is_ground => vec![
                (Point::new(c.x, low), Align::Middle),
                (Point::new(bounds.x, low), Align::Start),
                (Point::new(bounds.right(), low), Align::End),
            ],
            Bar::Level { y, right, .. } => vec![
                (Point::new(c.x, y - 12.0), Align::Middle),
                (Point::new(right + 6.0, y - 9.0), Align::Start),
                (Point::new(right + 6.0, y + 16.0), Align::Start),
                (Point::new(c.x, y + 22.0), Align::Middle),
            ],
            Bar::Upright { x, top, bottom } => {
                let mut seats = vec![
                    (Point::new(x, high), Align::Middle),
                    (Point::new(x - 5.0, high), Align::Start),
                    (Point::new(x + 5.0, high), Align::End),
                    (Point::new(x, low + 2.0), Align::Middle),
                    (Point::new(x - 5.0, low + 2.0), Align::Start),
                    (Point::new(x + 5.0, low + 2.0), Align::End),
                ];
                let mut y = top + 16.0;
                while y < bottom {
                    seats.push((Point::new(x + 9.0, y), Align::Start));
                    seats.push((Point::new(x - 9.0, y), Align::End));
                    y += 12.0;
                }
                seats
            }
        };
        self.float(id, self.note_size(), seats);
    }

    pub(super) fn connector(&mut self, id: PartId, connector: &Connector) {
        let Some(b) = self.plan.boxes.get(&id).copied() else {
            return;
        };
        let mut shape = Shape::new(Pick::Part(id), b);
        let x = b.centre().x;
        shape.mark(
            Role::Spine,
            Zoom::Far,
            Pen::new().go(x, b.y + 4.0).down(b.bottom() - 4.0).done(),
        );
        for pod in self.plan.pods(id) {
            shape.mark(Role::Body, Zoom::Far, Pen::new().rounded(pod, 7.0).done());
        }
        let mut words = Vec::new();
        for cavity in &connector.cavities {
            let terminal = Terminal {
                part: id,
                port: Port::Cavity(cavity.id, Side::A),
            };
            let Some(spot) = self.plan.ports.get(&terminal) else {
                continue;
            };
            let (x, y) = (b.centre().x, spot.at.y);
            // Two contacts that meet.
            let d = Pen::new()
                .go(b.x, y)
                .across(x - 3.5)
                .go(x + 3.5, y)
                .across(b.right())
                .go(x - 3.5, y - 6.5)
                .down(y + 6.5)
                .go(x + 3.5, y - 6.5)
                .down(y + 6.5)
                .done();
            shape.mark(Role::Symbol, Zoom::Far, d.clone());
            self.spot(Element::Cavity(id, cavity.id), d, Point::new(x, y));
            let label = cavity
                .label
                .as_ref()
                .map_or("?", |l| l.value.as_str())
                .to_owned();
            words.push((terminal, Point::new(b.x + 2.0, y - 4.0), label));
        }
        self.shapes.push(shape);
        for (terminal, at, label) in words {
            self.say(
                Pick::Terminal(terminal),
                Some(id),
                at,
                &super::shortened(&label, 6.5, 16.0),
                Say::note(Align::Start, 6.5, Zoom::Close),
            );
        }
        let c = b.centre();
        let mut seats = Vec::new();
        for y in [b.y - 8.0, b.bottom() + 16.0, b.y - 22.0] {
            seats.extend([
                (Point::new(c.x, y), Align::Middle),
                (Point::new(b.right(), y), Align::End),
                (Point::new(b.x, y), Align::Start),
            ]);
        }
        self.float(id, self.note_size(), seats);
    }

    pub(super) fn injector(&mut self, id: PartId) {
        let Some(b) = self.plan.boxes.get(&id).copied() else {
            return;
        };
        let mut shape = Shape::new(Pick::Part(id), b);
        let body = Rect::new(b.x, b.y, b.w - 14.0, b.h);
        shape.mark(Role::Body, Zoom::Far, Pen::new().rounded(body, 6.0).done());
        let nozzle = Pen::new()
            .go(body.right(), b.centre().y - 7.0)
            .line(b.right(), b.centre().y)
            .line(body.right(), b.centre().y + 7.0)
            .close();
        shape.mark(Role::Solid, Zoom::Far, nozzle.done());
        let x = b.x + 22.0;
        let y = |port, otherwise: f64| {
            let at = self.plan.ports.get(&Terminal { part: id, port });
            at.map_or(otherwise, |s| s.at.y)
        };
        let top = y(Port::InjectorFeed, b.centre().y - 6.0);
        let low = y(Port::InjectorControl, b.centre().y + 6.0);
        let pen = Pen::new().go(b.x, top).across(x);
        let pen = winding(pen, x, top, low, 2, Sweep::Clockwise).across(b.x);
        let d = pen.done();
        shape.mark(Role::Symbol, Zoom::Far, d.clone());
        self.shapes.push(shape);
        self.spot(Element::InjectorWinding(id), d, Point::new(x, b.centre().y));
        self.name(
            id,
            Point::new(b.right() + 8.0, b.centre().y + 5.0),
            Align::Start,
            None,
            Far::Hidden,
            110.0,
        );
    }
}

/// An open switch between two sides.
fn lever(left: f64, right: f64, y: f64) -> String {
    let (a, b) = (left + 18.0, right - 18.0);
    Pen::new()
        .go(left, y)
        .across(a)
        .line(b - 3.0, y - 13.0)
        .go(b, y)
        .across(right)
        .done()
}
