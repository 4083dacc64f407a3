//! Heights of connectors, modules and control units: every pin level with what it is wired to, where it can be.

use std::collections::BTreeMap;

use crate::drawing::geometry::{GRID, Point, Rect, snap};
use crate::drawing::order::{Want, mean, spread};
use crate::drawing::plan::{Class, Face, LOOSE_DRIVER, Plan, UNIT_FOOT};
use crate::gather::Arrange;
use crate::model::{
    Connector, ControlUnit, PartId, PartKind, PinId, PinRole, Port, Side, Terminal,
};

/// Half the width of an in-line connector.
pub(super) const CONNECTOR_W: f64 = 24.0;

/// How many steps of connectors and splices lie between a part and the coils, and whether a module does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Depth {
    pub(super) behind_module: bool,
    pub(super) steps: usize,
}

/// Whether a part belongs to the columns between unit and coils.
pub(super) fn is_in_columns(plan: &Plan<'_>, part: PartId) -> bool {
    match plan.class(part) {
        Class::Connector => true,
        Class::Splice => !is_on_rail(plan, part),
        Class::Rail
        | Class::Ground
        | Class::Unit
        | Class::Module
        | Class::Coil
        | Class::Injector
        | Class::Pack
        | Class::Distributor
        | Class::Spark => false,
    }
}

/// A splice that stands on the supply rail: wired to no coil or injector, but to a part of the rail or to nothing else.
pub(super) fn is_on_rail(plan: &Plan<'_>, part: PartId) -> bool {
    if plan.class(part) != Class::Splice {
        return false;
    }
    let classes: Vec<Class> = plan
        .neighbours(part)
        .into_iter()
        .map(|p| plan.class(p))
        .collect();
    let feeds = classes
        .iter()
        .any(|c| matches!(c, Class::Coil | Class::Injector));
    !feeds && classes.contains(&Class::Rail)
}

/// Depth of every connector and column splice.
pub(super) fn depths(plan: &Plan<'_>) -> BTreeMap<PartId, Depth> {
    let mut found = BTreeMap::new();
    for class in [Class::Connector, Class::Splice] {
        for part in plan.parts(class) {
            if is_in_columns(plan, part) {
                depth(plan, part, &mut Vec::new(), &mut found);
            }
        }
    }
    found
}

fn depth(
    plan: &Plan<'_>,
    part: PartId,
    on_way: &mut Vec<PartId>,
    found: &mut BTreeMap<PartId, Depth>,
) -> Depth {
    if let Some(known) = found.get(&part) {
        return *known;
    }
    on_way.push(part);
    let mut steps = 0;
    let (mut modules, mut coils) = (false, false);
    for (own, link) in plan.links.of_part(part) {
        let rightward = !matches!(own.port, Port::Cavity(_, Side::A));
        let Some(other) = link.other else { continue };
        if !rightward || on_way.contains(&other.part) {
            continue;
        }
        match plan.class(other.part) {
            Class::Coil | Class::Injector => coils = true,
            Class::Module => modules |= !is_power(plan, other),
            Class::Connector if !matches!(other.port, Port::Cavity(_, Side::A)) => {}
            Class::Connector | Class::Splice if is_in_columns(plan, other.part) => {
                // From a splice to a splice only along the wire: else the two would wait for each other.
                if plan.class(part) == Class::Splice
                    && plan.class(other.part) == Class::Splice
                    && link.end != crate::model::WireEnd::From
                {
                    continue;
                }
                let next = depth(plan, other.part, on_way, found);
                steps = steps.max(next.steps);
                modules |= next.behind_module;
                coils |= !next.behind_module;
            }
            Class::Connector
            | Class::Splice
            | Class::Rail
            | Class::Ground
            | Class::Unit
            | Class::Pack
            | Class::Distributor
            | Class::Spark => {}
        }
    }
    on_way.pop();
    let depth = Depth {
        behind_module: modules && !coils,
        steps: steps + 1,
    };
    found.insert(part, depth);
    depth
}

fn pin_role(plan: &Plan<'_>, terminal: Terminal) -> Option<PinRole> {
    let Port::Pin(pin) = terminal.port else {
        return None;
    };
    plan.harness.pin(terminal.part, pin)?.role.map(|r| r.value)
}

fn is_power(plan: &Plan<'_>, terminal: Terminal) -> bool {
    matches!(
        pin_role(plan, terminal),
        Some(PinRole::Supply | PinRole::Ground)
    )
}

/// Whether something hangs on the supply rail: a rail part or a splice that stands there.
fn is_rail(plan: &Plan<'_>, part: PartId) -> bool {
    plan.class(part) == Class::Rail || is_on_rail(plan, part)
}

/// Connectors nearest the coils first, then modules, connectors behind modules, control units. All at x = 0.
pub(super) fn place(plan: &mut Plan<'_>) {
    let depths = depths(plan);
    let mut connectors: Vec<(Depth, PartId)> = plan
        .parts(Class::Connector)
        .into_iter()
        .filter_map(|id| depths.get(&id).map(|d| (*d, id)))
        .collect();
    connectors.arrange_by(Ord::cmp);
    for (_, id) in connectors.iter().filter(|(d, _)| !d.behind_module) {
        connector(plan, *id);
    }
    stack(plan, Class::Module);
    for (_, id) in connectors.iter().filter(|(d, _)| d.behind_module) {
        connector(plan, *id);
    }
    stack(plan, Class::Unit);
}

/// Height wanted by a terminal: the mean of what its wires go to, as far as that stands already.
fn wanted(plan: &Plan<'_>, terminal: Terminal) -> Option<f64> {
    mean(
        plan.links
            .at(terminal)
            .iter()
            .filter_map(|link| link.other)
            .filter(|other| other.part != terminal.part)
            .filter_map(|other| plan.known_y(other)),
    )
}

/// Height of the highest terminal that a cavity feeds, a splice behind it passed through.
fn highest_behind(plan: &Plan<'_>, cavity: Terminal) -> Option<f64> {
    let heights = plan.links.at(cavity).iter().filter_map(|link| {
        let other = link.other?;
        if let Some(spot) = plan.ports.get(&other) {
            return Some(spot.at.y);
        }
        plan.neighbour_ports(other.part)
            .into_iter()
            .filter_map(|t| plan.ports.get(&t))
            .map(|spot| spot.at.y)
            .reduce(f64::min)
    });
    heights.reduce(f64::min)
}

fn connector(plan: &mut Plan<'_>, id: PartId) {
    let Some(PartKind::Connector(Connector { cavities })) = plan.kind(id) else {
        return;
    };
    let side = |cavity, side| Terminal {
        part: id,
        port: Port::Cavity(cavity, side),
    };
    let mut wants: Vec<(f64, usize)> = cavities
        .iter()
        .enumerate()
        .map(|(i, cavity)| {
            let left = side(cavity.id, Side::A);
            let from_rail = plan
                .links
                .at(left)
                .iter()
                .any(|link| link.other.is_some_and(|t| is_rail(plan, t.part)));
            let right = side(cavity.id, Side::B);
            if from_rail {
                return (highest_behind(plan, right).unwrap_or(f64::MIN), i);
            }
            let level = wanted(plan, right).or_else(|| wanted(plan, left));
            (level.unwrap_or(f64::MAX), i)
        })
        .collect();
    wants.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let first = wants
        .iter()
        .map(|w| w.0)
        .filter(|y| y.abs() < 1e4)
        .fold(f64::INFINITY, f64::min);
    let first = if first.is_finite() { first } else { 24.0 };
    let last = wants
        .iter()
        .map(|w| w.0)
        .filter(|y| y.abs() < 1e4)
        .fold(first, f64::max);
    let rows: Vec<Want> = wants
        .iter()
        .map(|(y, _)| Want {
            at: if *y < -1e4 {
                first - 24.0
            } else if *y > 1e4 {
                last + 24.0
            } else {
                *y
            },
            before: 12.0,
            after: 12.0,
        })
        .collect();
    let ys = spread(&rows);
    let top = ys.first().copied().unwrap_or(24.0);
    let bottom = ys.last().copied().unwrap_or(24.0);
    plan.put(
        id,
        Rect::new(0.0, top - 12.0, CONNECTOR_W, bottom - top + 24.0),
    );
    for ((_, i), y) in wants.iter().zip(ys) {
        if let Some(cavity) = cavities.get(*i) {
            plan.port(side(cavity.id, Side::A), Point::new(0.0, y), Face::Left);
            plan.port(
                side(cavity.id, Side::B),
                Point::new(CONNECTOR_W, y),
                Face::Right,
            );
        }
    }
}

/// Where the pins of a unit go.
#[derive(Debug, Default)]
struct Sides {
    /// Pin, wanted height, whether a driver stands beside it.
    right: Vec<(PinId, Option<f64>, Row)>,
    left: Vec<(PinId, Option<f64>)>,
    top: Vec<PinId>,
    bottom: Vec<PinId>,
    /// Drivers with no output pin.
    loose: usize,
}

/// What stands beside a pin on the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Row {
    Driver,
    Plain,
}

fn sides(plan: &Plan<'_>, id: PartId, unit: &ControlUnit) -> Sides {
    let mut sides = Sides::default();
    let is_output = |pin: PinId| {
        unit.drivers
            .iter()
            .any(|d| d.output.is_some_and(|o| o.value == pin))
    };
    let is_drive = |pin: PinId| {
        unit.drivers
            .iter()
            .any(|d| d.drive.is_some_and(|o| o.value == pin))
    };
    sides.loose = unit
        .drivers
        .iter()
        .filter(|d| {
            d.output
                .is_none_or(|o| !unit.pins.iter().any(|p| p.id == o.value))
        })
        .count();
    for pin in &unit.pins {
        let terminal = Terminal {
            part: id,
            port: Port::Pin(pin.id),
        };
        let others: Vec<PartId> = plan
            .links
            .at(terminal)
            .iter()
            .filter_map(|l| l.other.map(|t| t.part))
            .collect();
        let want = wanted(plan, terminal);
        let role = pin.role.map(|r| r.value);
        let all =
            |test: &dyn Fn(PartId) -> bool| !others.is_empty() && others.iter().all(|p| test(*p));
        if is_output(pin.id) {
            sides.right.push((pin.id, want, Row::Driver));
        } else if all(&|p| plan.class(p) == Class::Ground)
            || (role == Some(PinRole::Ground) && want.is_none())
        {
            sides.bottom.push(pin.id);
        } else if all(&|p| is_rail(plan, p)) || role == Some(PinRole::Supply) {
            sides.top.push(pin.id);
        } else if is_drive(pin.id) || role == Some(PinRole::DriveIn) {
            sides.left.push((pin.id, want));
        } else if plan.links.at(terminal).is_empty()
            && role != Some(PinRole::DriveOut)
            && role != Some(PinRole::CoilSwitch)
        {
            sides.left.push((pin.id, None));
        } else {
            sides.right.push((pin.id, want, Row::Plain));
        }
    }
    sides
}

/// Units or modules, each placed by its right-hand pins, one below the other.
fn stack(plan: &mut Plan<'_>, class: Class) {
    let mut units: Vec<(f64, PartId)> = plan
        .parts(class)
        .into_iter()
        .map(|id| {
            let y = mean(
                plan.links
                    .of_part(id)
                    .filter_map(|(_, l)| plan.known_y(l.other?)),
            );
            (y.unwrap_or(f64::MAX), id)
        })
        .collect();
    units.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut floor = f64::NEG_INFINITY;
    for (_, id) in units {
        unit_box(plan, id, floor);
        if let Some(b) = plan.boxes.get(&id) {
            floor = b.bottom() + 96.0;
        }
    }
}

fn unit_box(plan: &mut Plan<'_>, id: PartId, floor: f64) {
    let Some(PartKind::ControlUnit(unit)) = plan.kind(id) else {
        return;
    };
    let mut sides = sides(plan, id, unit);
    let w = if plan.class(id) == Class::Module {
        plan.m.module_w
    } else {
        plan.m.unit_w
    };
    // A unit with no driver inside needs room for its name and words only.
    let w = if unit.drivers.is_empty() {
        w.min(168.0)
    } else {
        w
    };
    let across = sides.top.len().max(sides.bottom.len()) as f64;
    let w = w.max(across * 36.0 + 36.0);
    let header = plan.header(id, w);
    let known = |w: Option<f64>| w.unwrap_or(f64::MAX);
    sides
        .right
        .arrange_by(|a, b| known(a.1).total_cmp(&known(b.1)).then(a.0.cmp(&b.0)));
    let wants: Vec<f64> = sides.right.iter().filter_map(|r| r.1).collect();
    let low = wants.iter().copied().fold(f64::INFINITY, f64::min);
    let low = if low.is_finite() { low } else { 48.0 }.max(floor + header);
    let high = wants.iter().copied().fold(low, f64::max);
    let rows: Vec<Want> = sides
        .right
        .iter()
        .map(|(_, want, row)| Want {
            at: want.map_or(high, |y| y.max(low)),
            before: 12.0,
            after: match row {
                Row::Driver => Plan::driver_room(unit),
                Row::Plain => 12.0,
            },
        })
        .collect();
    // Rows that lead nowhere yet follow the others and push none of them away.
    let led = sides.right.iter().filter(|r| r.1.is_some()).count();
    let mut ys = spread(&rows[..led]);
    for (i, row) in rows.iter().enumerate().skip(led) {
        let before = i
            .checked_sub(1)
            .and_then(|b| Some(ys.get(b)? + rows.get(b)?.after));
        ys.push(before.map_or(low, |y| y + row.before));
    }
    // A crowd may have been spread upward past the floor.
    let lift = ys.first().map_or(0.0, |y| (floor + header - y).max(0.0));
    if lift > 0.0 && lift.is_finite() {
        for y in &mut ys {
            *y += snap(lift) + 12.0;
        }
    }
    let first = ys.first().copied().unwrap_or(low);
    let last = ys.last().copied().unwrap_or(low - 12.0);
    let last_after = rows.last().map_or(0.0, |w| w.after);
    let top = snap(first - header);
    let mut bottom = last + last_after + UNIT_FOOT + sides.loose as f64 * LOOSE_DRIVER;
    if sides.loose > 0 {
        bottom += GRID;
    }
    let port = |pin| Terminal {
        part: id,
        port: Port::Pin(pin),
    };
    for ((pin, _, _), y) in sides.right.iter().zip(&ys) {
        plan.port(port(*pin), Point::new(w, *y), Face::Right);
    }
    // Pins that tell a driver to switch stand level with its gate.
    let gate = |plan: &Plan<'_>, pin: PinId| {
        let driver = unit
            .drivers
            .iter()
            .find(|d| d.drive.is_some_and(|f| f.value == pin))?;
        let out = driver.output?;
        plan.ports.get(&port(out.value)).map(|s| s.at.y + 24.0)
    };
    let mut lefts: Vec<(f64, PinId)> = sides
        .left
        .iter()
        .map(|(pin, want)| (gate(plan, *pin).or(*want).unwrap_or(f64::MAX), *pin))
        .collect();
    lefts.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let wants: Vec<Want> = lefts
        .iter()
        .enumerate()
        .map(|(i, (y, _))| Want {
            at: if *y > 1e6 {
                top + 84.0 + 24.0 * i as f64
            } else {
                *y
            },
            before: 12.0,
            after: 12.0,
        })
        .collect();
    let mut ys = spread(&wants);
    let lift = ys.first().map_or(0.0, |y| (top + header - y).max(0.0));
    for y in &mut ys {
        *y += snap(lift);
    }
    for ((_, pin), y) in lefts.iter().zip(ys) {
        plan.port(port(*pin), Point::new(0.0, y), Face::Left);
        bottom = bottom.max(y + 24.0);
    }
    for (i, pin) in sides.top.iter().enumerate() {
        plan.port(
            port(*pin),
            Point::new(36.0 + 36.0 * i as f64, top),
            Face::Up,
        );
    }
    let bottom = bottom.max(top + header + 12.0);
    for (i, pin) in sides.bottom.iter().enumerate() {
        plan.port(
            port(*pin),
            Point::new(36.0 + 36.0 * i as f64, bottom),
            Face::Down,
        );
    }
    plan.put(id, Rect::new(0.0, top, w, bottom - top));
}
