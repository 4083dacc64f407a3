//! Drivers beside the pins of a unit: drive path, transistor, joints, trace.

use super::{Say, Sheet, earth};
use crate::drawing::geometry::{Pen, Point, Rect};
use crate::drawing::shape::{Align, Role, Shape, Zoom};
use crate::model::{Driver, DriverPiece, Element, PartId, Port, Terminal};
use crate::topology::Pick;

/// A transistor as a switch: collector above, emitter below `gate`, base at the left.
/// Gives the strokes and the emitter's arrow head. `half`: from the gate to either end.
pub(super) fn transistor(gate: Point, half: f64) -> (String, String) {
    let bar = gate.x - 10.0;
    let near = half * 0.22;
    let far = half * 0.62;
    let stroke = Pen::new()
        .go(bar, gate.y - half * 0.62)
        .down(gate.y + half * 0.62)
        .go(bar, gate.y - near)
        .line(gate.x, gate.y - far)
        .down(gate.y - half)
        .go(bar, gate.y + near)
        .line(gate.x, gate.y + far)
        .down(gate.y + half);
    // The head sits on the emitter's slant, pointing outward.
    let (dx, dy) = (10.0_f64, far - near);
    let len = f64::hypot(dx, dy);
    let (ux, uy) = (dx / len, dy / len);
    let tip = Point::new(gate.x - ux, gate.y + far - uy);
    let back = tip.by(-ux * 6.0, -uy * 6.0);
    let arrow = Pen::new()
        .go(tip.x, tip.y)
        .line(back.x - uy * 3.0, back.y + ux * 3.0)
        .line(back.x + uy * 3.0, back.y - ux * 3.0)
        .close();
    (stroke.done(), arrow.done())
}

impl Sheet<'_, '_> {
    /// The driver whose output stands at `row` in the box `b`, drawn no lower than `room` below it.
    pub(super) fn driver_cell(
        &mut self,
        id: PartId,
        b: Rect,
        driver: &Driver,
        row: f64,
        known: Output,
        room: f64,
    ) {
        // Everything hangs as far below the row as the room allows.
        let low = |share: f64| row + (room - 12.0) * share;
        let tall = self.is_tall();
        // Where drivers are many in a narrow box, only the numbers of their pins show from far.
        let from = if tall && room < 60.0 {
            Zoom::Near
        } else {
            Zoom::Far
        };
        let right = b.right();
        let x = right - if tall { 42.0 } else { 78.0 };
        let gate = low(0.5);
        let bar = x - 10.0;
        let start = driver
            .drive
            .and_then(|pin| {
                self.plan.ports.get(&Terminal {
                    part: id,
                    port: Port::Pin(pin.value),
                })
            })
            .map(|s| s.at);
        let left = match (start, tall) {
            (Some(at), _) if at.x < bar => at.x + 12.0,
            (_, true) => bar - 22.0,
            (_, false) => b.x + 30.0,
        };
        let mut shape = Shape::new(
            Pick::Driver(driver.id),
            Rect::new(left - 4.0, row - 6.0, x - left + 14.0, room + 2.0),
        );
        let level = match start {
            Some(at) if at.x < bar => at.y,
            _other => gate,
        };
        let resistor = Rect::new(bar - 40.0, gate - 5.0, 24.0, 10.0);
        let has_room = resistor.x > left + 8.0;
        let drive = if has_room {
            let pen = Pen::new().go(left, level);
            let pen = if (level - gate).abs() > 0.5 {
                pen.across(resistor.x - 8.0).down(gate).across(resistor.x)
            } else {
                pen.across(resistor.x)
            };
            pen.go(resistor.right(), gate).across(bar).done()
        } else {
            Pen::new()
                .go(left, level)
                .line(bar - 6.0, gate)
                .across(bar)
                .done()
        };
        shape.mark(Role::Symbol, from, drive.clone());
        if has_room {
            shape.mark(Role::Symbol, from, Pen::new().rounded(resistor, 1.5).done());
        }
        let (stroke, arrow) = transistor(Point::new(x, gate), (room - 20.0) / 2.0);
        shape.mark(Role::Symbol, from, stroke.clone());
        shape.mark(Role::Solid, from, arrow);
        let foot = Point::new(x, low(1.0) - 2.0);
        let pen = Pen::new().go(x, foot.y - 2.0).down(foot.y);
        shape.mark(Role::Symbol, from, earth(pen, foot, 8.0).done());
        let end = match known {
            Output::Pin => right - 12.0,
            Output::Unknown => right - 22.0,
        };
        let trace = Pen::new().go(x, row + 4.0).down(row).across(end).done();
        shape.mark(Role::Symbol, from, trace);
        if known == Output::Unknown {
            shape.mark(
                Role::Loose,
                from,
                Pen::new().circle(Point::new(end + 5.0, row), 5.0).done(),
            );
        }
        let joints = [
            (DriverPiece::OutputJoint, Point::new(x, row)),
            (DriverPiece::GroundJoint, Point::new(x, foot.y - 2.0)),
            (
                DriverPiece::DriveJoint,
                Point::new(
                    if has_room {
                        resistor.x - 8.0
                    } else {
                        left + 2.0
                    },
                    gate,
                ),
            ),
            (
                DriverPiece::GateJoint,
                Point::new(
                    if has_room {
                        resistor.right() + 8.0
                    } else {
                        bar - 5.0
                    },
                    gate,
                ),
            ),
        ];
        for (piece, at) in joints {
            shape.mark(Role::Solid, Zoom::Near, Pen::new().circle(at, 2.6).done());
            self.dot_spot(Element::Driver(driver.id, piece), at);
        }
        self.spot(
            Element::Driver(driver.id, DriverPiece::Switch),
            stroke,
            Point::new(x - 2.0, gate),
        );
        let middle = if has_room {
            resistor.centre()
        } else {
            Point::new(bar - 12.0, gate)
        };
        self.spot(
            Element::Driver(driver.id, DriverPiece::DriveResistor),
            if has_room {
                Pen::new().rounded(resistor, 1.5).done()
            } else {
                drive
            },
            middle,
        );
        self.shapes.push(shape);
        let (at, align, size) = if tall {
            (Point::new(b.x + 8.0, row + room - 8.0), Align::Start, 11.0)
        } else {
            (Point::new(left, row + room - 10.0), Align::Start, 13.5)
        };
        let text = super::shortened(&driver.name, size, x - 10.0 - at.x);
        let from = if tall { Zoom::Close } else { Zoom::Near };
        self.say(
            Pick::Driver(driver.id),
            Some(id),
            at,
            &text,
            Say::note(align, size, from),
        );
    }
}

/// Whether a driver's output pin is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Output {
    Pin,
    Unknown,
}
