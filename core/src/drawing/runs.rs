//! Ways of wires and leads, loose ends and the tray of things that hang on nothing yet.

use super::geometry::{Pen, Point, Rect, rounded_line, snap, snap_up};
use super::glyph::Sheet;
use super::plan::{Class, Face, Plan, Spot};
use super::route::{End, Exit, Grid, Router, Standing, Ways};
use super::shape::{Run, RunKind};
use crate::gather::{Arrange, Gather};
use crate::model::{Element, Lead, LeadKind, PartId, PartKind, Port, Terminal, WireEnd, WireId};
use crate::provenance::Provenance;
use crate::topology::Pick;

/// Length of a wire that leads nowhere yet.
const STUB: f64 = 36.0;

/// Wires and leads with no known end, each with its place.
#[derive(Debug, Default)]
pub(super) struct Tray {
    wires: Vec<(WireId, Point)>,
    leads: Vec<(PartId, Point)>,
}

/// Stands everything that hangs on nothing yet in rows at the bottom; plugs with no cylinder too.
pub(super) fn tray(plan: &mut Plan<'_>) -> Tray {
    let all = plan.bounds();
    let mut tray = Tray::default();
    let columns = ((all.w - 60.0) / 108.0).floor().max(3.0);
    let (mut column, mut y) = (0.0, snap_up(all.bottom() + 72.0));
    let mut next = || {
        let at = Point::new(snap_up(all.x) + column * 108.0, y);
        column += 1.0;
        if column >= columns {
            column = 0.0;
            y += 48.0;
        }
        at
    };
    let harness = plan.harness;
    for &id in harness.wires.keys() {
        let [from, to] = plan.links.ends(id);
        let ends = [(WireEnd::From, from), (WireEnd::To, to)];
        if ends
            .iter()
            .all(|(end, t)| spot_of(plan, id, *end, *t).is_none())
        {
            tray.wires.push((id, next()));
        }
    }
    let mut plugs = Vec::new();
    for (&id, part) in &harness.parts {
        match &part.kind {
            PartKind::Lead(lead) if lead_ends(plan, lead) == [None, None] => {
                tray.leads.push((id, next()));
            }
            PartKind::Plug(_) if plan.links.cylinder_of(id).is_none() => plugs.push((id, next())),
            PartKind::Battery(_)
            | PartKind::Fuse(_)
            | PartKind::KeySwitch
            | PartKind::Relay(_)
            | PartKind::Splice
            | PartKind::Ground(_)
            | PartKind::Connector(_)
            | PartKind::ControlUnit(_)
            | PartKind::Coil(_)
            | PartKind::Pack
            | PartKind::Distributor(_)
            | PartKind::Lead(_)
            | PartKind::Plug(_)
            | PartKind::Injector(_) => {}
        }
    }
    for (id, at) in plugs {
        plan.put(id, Rect::about(at, 14.0, 14.0));
    }
    tray
}

/// The ends of a lead that stand somewhere.
fn lead_ends(plan: &Plan<'_>, lead: &Lead) -> [Option<Terminal>; 2] {
    let stands = |t: Terminal| {
        plan.ports.contains_key(&t)
            || matches!(plan.kind(t.part), Some(PartKind::Plug(_))) && t.port == Port::PlugTop
    };
    [lead.from, lead.to].map(|end| end.map(|f| f.value).filter(|t| stands(*t)))
}

/// Routes every wire and draws every lead. Leads come last: they lie on top.
pub(super) fn runs(sheet: &mut Sheet<'_, '_>, tray: &Tray, ways: &mut Ways) -> Vec<Run> {
    let mut runs = wires(sheet, tray, ways);
    runs.extend(leads(sheet, tray));
    runs
}

fn grid(sheet: &Sheet<'_, '_>) -> Grid {
    let plan = sheet.plan;
    let all = plan.bounds().grown(72.0);
    let area = Rect::new(
        snap(all.x) - 12.0,
        snap(all.y) - 12.0,
        snap_up(all.w) + 24.0,
        snap_up(all.h) + 24.0,
    );
    let mut grid = Grid::over(area);
    for (&id, b) in &plan.boxes {
        match plan.class(id) {
            // Wires may pass between the cavities of a connector, across its spine.
            Class::Connector => {
                for pod in plan.pods(id) {
                    grid.block(pod);
                }
                grid.upright_bar(b.centre().x, b.y, b.bottom());
            }
            // Its two terminals stick out: a wire may leave them any way.
            Class::Rail if is_battery(plan, id) => {
                grid.block(Rect::new(b.x + 12.0, b.y, b.w - 24.0, b.h));
            }
            Class::Rail
            | Class::Splice
            | Class::Ground
            | Class::Unit
            | Class::Module
            | Class::Coil
            | Class::Injector
            | Class::Pack
            | Class::Distributor
            | Class::Spark => grid.block(*b),
        }
    }
    if plan.block.w > 1.0 {
        grid.block(plan.block);
    }
    for (&id, bar) in &plan.bars {
        match *bar {
            super::plan::Bar::Upright { x, top, bottom } => grid.upright_bar(x, top, bottom),
            super::plan::Bar::Level { y, left, right } => {
                grid.level_bar(y, left, right);
                if plan.class(id) == Class::Ground {
                    // The symbol and the name hang below.
                    let below = Rect::new(left - 24.0, y + 1.0, right - left + 48.0, 64.0);
                    grid.dear(below, 40);
                }
            }
        }
    }
    // Between unit and coils the level wires have the right of way.
    let control = plan
        .parts(Class::Unit)
        .into_iter()
        .chain(plan.parts(Class::Module));
    let left = control
        .filter_map(|id| plan.boxes.get(&id))
        .map(|b| b.right())
        .fold(f64::INFINITY, f64::min);
    let coils = plan
        .order
        .iter()
        .filter_map(|id| plan.boxes.get(id))
        .copied()
        .reduce(Rect::union);
    if let Some(coils) = coils.filter(|c| left < c.x) {
        grid.dear(Rect::new(left, coils.y, coils.x - left, coils.h), 2);
    }
    for label in &sheet.labels {
        if label.inside.is_none() {
            grid.words(label.bounds());
        }
    }
    grid
}

fn is_battery(plan: &Plan<'_>, id: PartId) -> bool {
    matches!(plan.kind(id), Some(PartKind::Battery(_)))
}

/// The end of a wire at a spot of a part.
fn end_at(plan: &Plan<'_>, terminal: Option<Terminal>, spot: Spot) -> End {
    let exit = if terminal.is_some_and(|t| is_battery(plan, t.part)) {
        Exit::Any
    } else {
        Exit::Straight
    };
    End { spot, exit }
}

fn spot_of(
    plan: &Plan<'_>,
    wire: WireId,
    end: WireEnd,
    terminal: Option<Terminal>,
) -> Option<Spot> {
    let terminal = terminal?;
    plan.taps
        .get(&(wire, end))
        .or_else(|| plan.ports.get(&terminal))
        .copied()
}

/// How a wire is drawn that has an end somewhere.
enum Laid {
    /// It ends where it began.
    Round(Spot, Spot),
    Between(End, End),
    /// Its one end is known; where the other is in the air.
    Loose(End, End),
}

impl Laid {
    /// Its ends, where a way is looked for between them.
    const fn ends(&self) -> Option<(End, End)> {
        match self {
            Self::Round(..) => None,
            Self::Between(from, to) | Self::Loose(from, to) => Some((*from, *to)),
        }
    }
}

/// The wires that have an end somewhere, in the order in which they are laid: the loose ones, the level ones, the
/// rest, the short ones before the long ones.
fn jobs(plan: &Plan<'_>) -> Vec<(WireId, Standing, Laid)> {
    let mut jobs: Vec<(u8, f64, WireId, Laid)> = Vec::new();
    for &id in plan.harness.wires.keys() {
        let [from, to] = plan.links.ends(id);
        let a = spot_of(plan, id, WireEnd::From, from);
        let b = spot_of(plan, id, WireEnd::To, to);
        match (a, b) {
            (Some(a), Some(b)) => {
                let level = (a.at.y - b.at.y).abs() < 0.5;
                let far = (a.at.x - b.at.x).abs() + (a.at.y - b.at.y).abs();
                let laid = if b.at.distance(a.at) < 1.0 {
                    Laid::Round(a, b)
                } else {
                    Laid::Between(end_at(plan, from, a), end_at(plan, to, b))
                };
                jobs.push((if level { 1 } else { 2 }, far, id, laid));
            }
            (Some(a), None) | (None, Some(a)) => {
                let (dx, dy) = a.face.step();
                let tip = Spot {
                    at: a.at.by(dx * STUB, dy * STUB),
                    face: opposite(a.face),
                };
                let laid = Laid::Loose(end_at(plan, None, a), end_at(plan, None, tip));
                jobs.push((0, 0.0, id, laid));
            }
            (None, None) => {}
        }
    }
    jobs.arrange_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
    let jobs = jobs.into_iter().map(|(class, _, id, laid)| {
        let standing = if class < 2 {
            Standing::Straight
        } else {
            Standing::Common
        };
        (id, standing, laid)
    });
    jobs.collect()
}

fn wires(sheet: &mut Sheet<'_, '_>, tray: &Tray, ways: &mut Ways) -> Vec<Run> {
    let jobs = jobs(sheet.plan);
    let ends = jobs.iter().filter_map(|(id, standing, laid)| {
        let (from, to) = laid.ends()?;
        Some((*id, (from, to, *standing)))
    });
    let mut router = Router::new(grid(sheet), ways, &ends.gather());
    let mut runs = Vec::new();
    for (id, standing, laid) in jobs {
        let (points, loose) = match laid {
            Laid::Round(a, b) => (round_trip(a, b), Vec::new()),
            Laid::Between(from, to) => (router.route(id, from, to, standing), Vec::new()),
            Laid::Loose(from, to) => {
                router.route(id, from, to, standing);
                let tip = to.spot.at;
                (vec![from.spot.at, tip], vec![tip])
            }
        };
        runs.push(wire_run(sheet, id, points, loose));
    }
    router.done();
    for (id, at) in &tray.wires {
        let end = at.by(60.0, 0.0);
        runs.push(wire_run(sheet, *id, vec![*at, end], vec![*at, end]));
    }
    runs
}

/// The way of a wire that ends where it began.
fn round_trip(a: Spot, b: Spot) -> Vec<Point> {
    let (dx, dy) = a.face.step();
    let out = a.at.by(dx * 24.0, dy * 24.0);
    let aside = out.by(dy.abs() * 12.0, dx.abs() * 12.0);
    vec![
        a.at,
        out,
        aside,
        a.at.by(dy.abs() * 12.0, dx.abs() * 12.0),
        b.at,
    ]
}

const fn opposite(face: Face) -> Face {
    match face {
        Face::Left => Face::Right,
        Face::Right => Face::Left,
        Face::Up => Face::Down,
        Face::Down => Face::Up,
    }
}

fn wire_run(sheet: &mut Sheet<'_, '_>, id: WireId, points: Vec<Point>, loose: Vec<Point>) -> Run {
    let wire = sheet.plan.harness.wires.get(&id);
    let weaker = wire.map_or(Provenance::Assumed, |w| {
        let end = |e: WireEnd| w.end(e).map_or(Provenance::Assumed, |f| f.how);
        end(WireEnd::From).min(end(WireEnd::To))
    });
    let how = if sheet.plan.proved.contains(&id) {
        Provenance::Measured
    } else {
        weaker
    };
    let d = rounded_line(&points, 8.0);
    sheet.spot(Element::Wire(id), d.clone(), middle(&points));
    Run {
        pick: Pick::Wire(id),
        kind: RunKind::Wire,
        d,
        colour: wire.and_then(|w| w.colour).map(|c| c.value),
        how,
        points,
        loose,
    }
}

/// The point half way along a line.
pub(super) fn middle(points: &[Point]) -> Point {
    let total: f64 = points.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut left = total / 2.0;
    for w in points.windows(2) {
        let step = w[0].distance(w[1]);
        if step >= left && step > 0.0 {
            let t = left / step;
            return Point::new(
                w[0].x + (w[1].x - w[0].x) * t,
                w[0].y + (w[1].y - w[0].y) * t,
            );
        }
        left -= step;
    }
    points.first().copied().unwrap_or_default()
}

fn leads(sheet: &mut Sheet<'_, '_>, tray: &Tray) -> Vec<Run> {
    let plan = sheet.plan;
    let mut runs = Vec::new();
    for (&id, part) in &plan.harness.parts {
        let PartKind::Lead(lead) = &part.kind else {
            continue;
        };
        let [from, to] = lead_ends(plan, lead);
        let at = |t: Terminal| {
            let plug = sheet.plugs.get(&t.part).map(|p| p.by(-7.0, 0.0));
            plug.or_else(|| plan.ports.get(&t).map(|s| s.at))
        };
        let (a, b) = (from.and_then(at), to.and_then(at));
        let in_tray = tray.leads.iter().find(|(l, _)| *l == id).map(|(_, at)| *at);
        let (curve, loose) = match (a, b, in_tray) {
            (Some(a), Some(b), _) => (Curve::between(plan, a, b), Vec::new()),
            (Some(a), None, _) => (Curve::straight(a, a.by(54.0, 0.0)), vec![a.by(54.0, 0.0)]),
            (None, Some(b), _) => (Curve::straight(b.by(-42.0, 0.0), b), vec![b.by(-42.0, 0.0)]),
            (None, None, Some(at)) => (
                Curve::straight(at, at.by(60.0, 0.0)),
                vec![at, at.by(60.0, 0.0)],
            ),
            (None, None, None) => continue,
        };
        let how = |end: Option<crate::provenance::Fact<Terminal>>| {
            end.map_or(Provenance::Assumed, |f| f.how)
        };
        sheet.spots.insert(
            Element::LeadConductor(id),
            super::shape::ElementSpot {
                d: curve.d.clone(),
                at: curve.at(0.5),
            },
        );
        sheet.spots.insert(
            Element::LeadInsulation(id),
            super::shape::ElementSpot {
                d: curve.d.clone(),
                at: curve.at(0.3),
            },
        );
        runs.push(Run {
            pick: Pick::Part(id),
            kind: match lead.kind {
                LeadKind::Lead => RunKind::Lead,
                LeadKind::Boot => RunKind::Boot,
            },
            d: curve.d.clone(),
            points: curve.points(),
            colour: None,
            how: how(lead.from).min(how(lead.to)),
            loose,
        });
    }
    runs
}

/// The way of a lead: one smooth curve, then level to the plug.
struct Curve {
    d: String,
    a: Point,
    c1: Point,
    c2: Point,
    b: Point,
    end: Point,
}

impl Curve {
    fn between(plan: &Plan<'_>, a: Point, end: Point) -> Self {
        // Past the first row of cylinders a lead runs level, so that it meets no disc.
        let gate = plan.block.x - 6.0;
        let b = if plan.block.w > 1.0 && a.x < gate - 30.0 && end.x > gate {
            Point::new(gate.max(a.x + 30.0), end.y)
        } else {
            end
        };
        let reach = ((b.x - a.x).abs() * 0.5).max(30.0);
        let (c1, c2) = (a.by(reach, 0.0), b.by(-reach, 0.0));
        let d = Pen::new()
            .go(a.x, a.y)
            .curve(c1, c2, b)
            .line(end.x, end.y)
            .done();
        Self {
            d,
            a,
            c1,
            c2,
            b,
            end,
        }
    }

    fn straight(a: Point, b: Point) -> Self {
        Self {
            d: Pen::new().go(a.x, a.y).line(b.x, b.y).done(),
            a,
            c1: a,
            c2: b,
            b,
            end: b,
        }
    }

    fn at(&self, t: f64) -> Point {
        let s = 1.0 - t;
        let mix = |a: f64, b: f64, c: f64, d: f64| {
            s * s * s * a + 3.0 * s * s * t * b + 3.0 * s * t * t * c + t * t * t * d
        };
        Point::new(
            mix(self.a.x, self.c1.x, self.c2.x, self.b.x),
            mix(self.a.y, self.c1.y, self.c2.y, self.b.y),
        )
    }

    fn points(&self) -> Vec<Point> {
        let mut points: Vec<Point> = (0..=16).map(|i| self.at(f64::from(i) / 16.0)).collect();
        points.push(self.end);
        points
    }
}
