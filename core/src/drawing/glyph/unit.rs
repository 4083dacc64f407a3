//! Control units and modules: body, name, pins with their numbers, drivers, logic.

use super::driver::Output;
use super::{Far, Say, Sheet};
use crate::drawing::geometry::{Pen, Point, Rect};
use crate::drawing::plan::{Face, LOOSE_DRIVER, PLACE_SIZE, Plan, UNIT_FOOT};
use crate::drawing::shape::{Align, Role, Shape, Voice, Zoom};
use crate::model::{ControlUnit, Element, Part, PartId, PinRole, Port, Terminal, UnitRole};
use crate::said::said;
use crate::topology::Pick;

/// Radius of a pin.
const PIN_R: f64 = 12.0;

impl Sheet<'_, '_> {
    pub(super) fn unit(&mut self, id: PartId, part: &Part, unit: &ControlUnit) {
        let Some(b) = self.plan.boxes.get(&id).copied() else {
            return;
        };
        let mut shape = Shape::new(Pick::Part(id), b);
        shape.mark(Role::Body, Zoom::Far, Pen::new().rounded(b, 14.0).done());
        self.shapes.push(shape);
        let x = b.x + 18.0;
        if self.is_tall() {
            self.stacked_name(id, &part.name, b);
        } else {
            let at = Point::new(x, b.y + 31.0);
            self.name(id, at, Align::Start, Some(id), Far::Shown, b.w - 28.0);
        }
        let note = self.plan.place_note(id, b.w);
        for (line, dy) in note.iter().zip([48.0, 62.0]) {
            self.say(
                Pick::Part(id),
                Some(id),
                Point::new(x, b.y + dy),
                line,
                Say::note(Align::Start, PLACE_SIZE, Zoom::Near),
            );
        }
        self.inner(id, b, unit);
        let row = |pin| {
            self.plan
                .ports
                .get(&Terminal {
                    part: id,
                    port: Port::Pin(pin),
                })
                .filter(|s| s.face == Face::Right)
                .map(|s| s.at.y)
        };
        let mut used = Vec::new();
        let mut loose = Vec::new();
        for driver in &unit.drivers {
            match driver
                .output
                .and_then(|o| row(o.value).map(|y| (o.value, y)))
            {
                // Two drivers on one pin: the second is drawn with the loose ones.
                Some((pin, y)) if !used.contains(&pin) => {
                    used.push(pin);
                    self.driver_cell(id, b, driver, y, Output::Pin, Plan::driver_room(unit));
                }
                Some(_) | None => loose.push(driver),
            }
        }
        let n = loose.len() as f64;
        for (i, driver) in loose.into_iter().enumerate() {
            let y = b.bottom() - UNIT_FOOT - LOOSE_DRIVER * (n - i as f64) + 6.0;
            self.driver_cell(id, b, driver, y.max(b.y + 60.0), Output::Unknown, 60.0);
        }
        self.pins(id, unit, b);
    }

    /// A name in two lines, for a narrow box.
    fn stacked_name(&mut self, id: PartId, name: &str, b: Rect) {
        let (first, second) = name.split_once(' ').unwrap_or((name, ""));
        let far = (self.plan.far * 0.9).min(21.0);
        let sizes = [(far, Zoom::Far, Zoom::Far), (17.0, Zoom::Near, Zoom::Close)];
        for (size, from, until) in sizes {
            for (line, dy) in [(first, size + 7.0), (second, 2.1 * size + 7.0)] {
                let text = super::shortened(line, size, b.w - 20.0);
                self.say(
                    Pick::Part(id),
                    Some(id),
                    Point::new(b.x + 13.0, b.y + dy),
                    &text,
                    Say {
                        align: Align::Start,
                        size,
                        voice: Voice::Name,
                        from,
                        until,
                    },
                );
            }
        }
    }

    fn inner(&mut self, id: PartId, b: Rect, unit: &ControlUnit) {
        let supply = Point::new(b.right() - 20.0, b.y + 14.0);
        let ground = Point::new(b.right() - 20.0, b.bottom() - 14.0);
        self.spot(
            Element::BoardSupply(id),
            Pen::new()
                .go(b.x + 24.0, b.y + 14.0)
                .across(supply.x)
                .done(),
            supply,
        );
        self.spot(
            Element::BoardGround(id),
            Pen::new().go(b.x + 24.0, ground.y).across(ground.x).done(),
            ground,
        );
        if unit.role == UnitRole::EngineControl {
            let head = self.plan.header(id, b.w) + 2.0;
            let logic = Rect::new(b.x + 12.0, b.y + head, 10.0, (b.h - head - 30.0).max(12.0));
            let d = Pen::new().rounded(logic, 3.0).done();
            if let Some(shape) = self.shapes.last_mut()
                && !unit.drivers.is_empty()
            {
                shape.mark(Role::Fine, Zoom::Near, d.clone());
            }
            self.spot(Element::Logic(id), d, logic.centre());
            self.dot_spot(Element::CrankSignal(id), Point::new(b.x, b.y + head + 12.0));
        }
    }

    fn pins(&mut self, id: PartId, unit: &ControlUnit, b: Rect) {
        for pin in &unit.pins {
            let terminal = Terminal {
                part: id,
                port: Port::Pin(pin.id),
            };
            let Some(spot) = self.plan.ports.get(&terminal).copied() else {
                continue;
            };
            let at = spot.at;
            let mut shape = Shape::new(
                Pick::Terminal(terminal),
                Rect::about(at, 2.0 * PIN_R, 2.0 * PIN_R),
            );
            shape.mark(Role::Pin, Zoom::Far, Pen::new().circle(at, PIN_R).done());
            self.shapes.push(shape);
            let (dx, dy) = spot.face.step();
            let inner = match spot.face {
                Face::Right => b.right() - 60.0,
                Face::Left => b.x + 40.0,
                Face::Up | Face::Down => at.x - dx * 24.0,
            };
            let trace = match spot.face {
                Face::Left | Face::Right => Pen::new().go(inner, at.y).across(at.x),
                Face::Up | Face::Down => Pen::new().go(at.x, at.y - dy * 24.0).down(at.y),
            };
            self.spot(
                Element::Trace(id, pin.id),
                trace.done(),
                at.by(-dx * 22.0, -dy * 22.0),
            );
            let text = pin.label.as_ref().map_or("?", |l| l.value.as_str());
            let long = text.chars().count();
            let size = match long {
                0 | 1 => 15.0,
                2 => 13.5,
                3 => 10.0,
                _more => 7.5,
            };
            let text = super::shortened(text, size, 26.0);
            // From far the number stands beside the pin, large.
            let far = match spot.face {
                Face::Right => Some((at.by(-16.0, -7.0), Align::End)),
                Face::Left => Some((at.by(16.0, -7.0), Align::Start)),
                Face::Up | Face::Down => None,
            };
            if let Some((place, align)) = far {
                let size = self.plan.far * 0.9;
                let text = super::shortened(&text, size, 60.0);
                self.say(
                    Pick::Terminal(terminal),
                    Some(id),
                    place,
                    &text,
                    Say {
                        align,
                        size,
                        voice: Voice::Pin,
                        from: Zoom::Far,
                        until: Zoom::Far,
                    },
                );
            }
            self.say(
                Pick::Terminal(terminal),
                Some(id),
                at.by(0.0, size * 0.36),
                &text,
                Say {
                    align: Align::Middle,
                    size,
                    voice: Voice::Pin,
                    from: far.map_or(Zoom::Far, |_| Zoom::Near),
                    until: Zoom::Close,
                },
            );
            self.pin_role(id, terminal, pin.role.map(|r| r.value), at, spot.face);
        }
    }

    fn pin_role(
        &mut self,
        id: PartId,
        terminal: Terminal,
        role: Option<PinRole>,
        at: Point,
        face: Face,
    ) {
        let word = match role {
            Some(PinRole::CoilSwitch) | None => return,
            Some(PinRole::DriveOut) => said("signal out"),
            Some(PinRole::DriveIn) => said("signal in"),
            Some(PinRole::Supply) => said("supply"),
            Some(PinRole::Ground) => said("ground"),
            Some(PinRole::InjectorSwitch) => said("injector"),
            Some(PinRole::RelaySwitch) => said("relay"),
            Some(PinRole::SensorIn) => said("sensor"),
            Some(PinRole::Other) => said("other"),
        };
        let size = 12.0;
        match face {
            Face::Right if !self.is_tall() => self.say(
                Pick::Terminal(terminal),
                Some(id),
                at.by(-18.0, 4.0),
                word,
                Say::note(Align::End, size, Zoom::Near),
            ),
            Face::Left if role != Some(PinRole::DriveIn) => self.say(
                Pick::Terminal(terminal),
                Some(id),
                at.by(17.0, 4.0),
                word,
                Say::note(Align::Start, size, Zoom::Near),
            ),
            Face::Right | Face::Left => {}
            Face::Down => self.say(
                Pick::Terminal(terminal),
                Some(id),
                at.by(0.0, -16.0),
                word,
                Say::note(Align::Middle, 8.0, Zoom::Close),
            ),
            Face::Up => {}
        }
    }
}
