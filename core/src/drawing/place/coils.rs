//! The column of coils, ordered so that leads cross little, with distributors' towers and injectors below.

use crate::drawing::geometry::{GRID, Point, Rect, snap, snap_up};
use crate::drawing::order::mean;
use crate::drawing::plan::{Class, Face, Plan};
use crate::engine::CylinderId;
use crate::gather::Arrange;
use crate::model::{Coil, PartId, PartKind, Port, Secondary, Terminal};

/// Where along the engine a cylinder stands, 0 at the front to 1 at the rear.
pub(super) fn along(plan: &Plan<'_>, cylinder: CylinderId) -> Option<f64> {
    let engine = &plan.harness.engine;
    let (row, place) = engine.place(cylinder)?;
    let rows = engine.banks.len().max(1) as f64;
    let longest = engine.banks.iter().map(|b| b.cylinders.len()).max()?;
    Some((place as f64 + (row as f64 + 0.5) / rows) / longest.max(1) as f64)
}

/// The height of a coil and where its terminals stand on it, each with the side it looks out of.
pub(super) fn ports_of(coil: &Coil, swapped: Swapped, many: Many) -> (f64, Vec<(Port, f64, Face)>) {
    let mut ports = Vec::new();
    let height;
    let (single, mid, low) = match (many, coil.driver.is_some()) {
        (Many::No, _) => (72.0, 36.0, 60.0),
        (Many::Yes, true) => (60.0, 24.0, 48.0),
        (Many::Yes, false) => (48.0, 24.0, 36.0),
    };
    match (coil.secondary, coil.driver.is_some()) {
        (Secondary::TwoEnded, inside) => {
            height = 108.0;
            let (a, b) = match swapped {
                Swapped::No => (24.0, 84.0),
                Swapped::Yes => (84.0, 24.0),
            };
            ports.extend([
                (Port::Feed, 24.0, Face::Left),
                (Port::TowerA, a, Face::Right),
                (Port::TowerB, b, Face::Right),
            ]);
            if inside {
                ports.extend([
                    (Port::DriveIn, 60.0, Face::Left),
                    (Port::CoilGround, 84.0, Face::Left),
                ]);
            } else {
                ports.push((Port::Switched, 84.0, Face::Left));
            }
        }
        (Secondary::ReturnsToFeed | Secondary::ReturnsToGround, true) => {
            height = single;
            ports.extend([
                (Port::Feed, 12.0, Face::Left),
                (Port::DriveIn, mid, Face::Left),
                (Port::CoilGround, low, Face::Left),
                (Port::TowerA, mid, Face::Right),
            ]);
        }
        (Secondary::ReturnsToFeed, false) => {
            height = single;
            ports.extend([
                (Port::Feed, 12.0, Face::Left),
                (Port::Switched, low, Face::Left),
                (Port::TowerA, mid, Face::Right),
            ]);
        }
        (Secondary::ReturnsToGround, false) => {
            height = single;
            ports.extend([
                (Port::Feed, 12.0, Face::Left),
                (Port::Switched, mid, Face::Left),
                (Port::CoilGround, low, Face::Left),
                (Port::TowerA, mid, Face::Right),
            ]);
        }
    }
    (height, ports)
}

/// Whether there are so many coils that each is drawn lower.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Many {
    No,
    Yes,
}

/// Whether tower 4b is drawn above 4a, so that its two leads do not cross.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Swapped {
    No,
    Yes,
}

fn tower_along(plan: &Plan<'_>, coil: PartId, port: Port) -> Option<f64> {
    mean(
        plan.links
            .cylinders_from(plan.harness, Terminal { part: coil, port })
            .into_iter()
            .filter_map(|c| along(plan, c)),
    )
}

/// Coils, packs kept together: in the order of their names where their leads then cross no more often than in
/// the order of the cylinders they feed, else in that one, those that feed none last.
fn order(plan: &Plan<'_>) -> Vec<PartId> {
    let named = sorted(plan, |id| {
        let name = plan.harness.part_name(id);
        // "Coil 10" comes after "Coil 9".
        (name.chars().count() as f64, name)
    });
    let along = sorted(plan, |id| {
        let towers = [Port::TowerA, Port::TowerB];
        let fed = towers
            .into_iter()
            .filter_map(|port| tower_along(plan, id, port));
        (mean(fed).unwrap_or(2.0), "")
    });
    if crossings(plan, &named) <= crossings(plan, &along) {
        named
    } else {
        along
    }
}

/// The coils by a key of each; a pack stands where the mean of its coils' keys would.
fn sorted<'a>(plan: &Plan<'_>, key: impl Fn(PartId) -> (f64, &'a str)) -> Vec<PartId> {
    let coils = plan.parts(Class::Coil);
    let pack = |id: PartId| plan.harness.coil(id).and_then(|coil| coil.pack);
    let mut keyed: Vec<_> = coils
        .iter()
        .map(|&id| {
            let own = key(id);
            let mates = || coils.iter().copied().filter(|c| pack(*c) == pack(id));
            let group = pack(id).and_then(|pack| {
                let at = mean(mates().map(|c| key(c).0))?;
                Some((at, mates().map(|c| key(c).1).min()?, Some(pack)))
            });
            (group.unwrap_or((own.0, own.1, None)), own, id)
        })
        .collect();
    keyed.arrange_by(|(group_a, own_a, a), (group_b, own_b, b)| {
        let by = |x: &(f64, &str), y: &(f64, &str)| x.0.total_cmp(&y.0).then(x.1.cmp(y.1));
        by(&(group_a.0, group_a.1), &(group_b.0, group_b.1))
            .then(group_a.2.cmp(&group_b.2))
            .then(by(own_a, own_b))
            .then(a.cmp(b))
    });
    keyed.into_iter().map(|(_, _, id)| id).collect()
}

/// How many pairs of leads cross on their way to the cylinders when the coils stand in this order.
fn crossings(plan: &Plan<'_>, order: &[PartId]) -> usize {
    let mut ends = Vec::new();
    for &coil in order {
        let mut towers: Vec<f64> = [Port::TowerA, Port::TowerB]
            .into_iter()
            .filter_map(|port| tower_along(plan, coil, port))
            .collect();
        // The towers of one coil are drawn so that its own leads do not cross.
        towers.arrange_by(f64::total_cmp);
        ends.extend(towers);
    }
    let after = |i: usize| ends.get(i + 1..).unwrap_or_default();
    ends.iter()
        .enumerate()
        .map(|(i, end)| after(i).iter().filter(|later| *later < end).count())
        .sum()
}

/// The height that the engine wants for itself.
fn engine_height(plan: &Plan<'_>) -> f64 {
    let engine = &plan.harness.engine;
    let rows = engine.banks.len() as f64;
    let longest = engine
        .banks
        .iter()
        .map(|b| b.cylinders.len())
        .max()
        .unwrap_or(0);
    let r = plan.m.disc_r;
    let pitch = (2.0 * r + 26.0).max(rows * (r + 16.0));
    longest as f64 * pitch + (rows - 1.0).max(0.0) * r / 2.0
}

/// Stands the coils from 0 downward, all at x = 0, and the injectors below them.
pub(super) fn place(plan: &mut Plan<'_>) {
    let order = order(plan);
    let many = if plan.has_many_coils() {
        Many::Yes
    } else {
        Many::No
    };
    let gap = match many {
        Many::No => 36.0,
        Many::Yes => 12.0,
    };
    let mut natural = 0.0;
    let mut sized = Vec::new();
    for &id in &order {
        let Some(coil) = plan.harness.coil(id) else {
            continue;
        };
        let a = tower_along(plan, id, Port::TowerA);
        let b = tower_along(plan, id, Port::TowerB);
        let swapped = if matches!((a, b), (Some(a), Some(b)) if a > b) {
            Swapped::Yes
        } else {
            Swapped::No
        };
        let (height, ports) = ports_of(coil, swapped, many);
        natural += height + gap;
        sized.push((id, height, ports));
    }
    let count = sized.len().max(1) as f64;
    let total = natural
        .max(engine_height(plan))
        .max((count * 192.0).min(432.0));
    let spare = ((total - natural) / count / GRID).floor() * GRID;
    let mut y = snap(spare / 2.0);
    let w = plan.m.coil_w;
    for (id, height, ports) in sized {
        plan.put(id, Rect::new(0.0, y, w, height));
        for (port, dy, face) in ports {
            let x = if face == Face::Right { w } else { 0.0 };
            plan.port(Terminal { part: id, port }, Point::new(x, y + dy), face);
        }
        y += height + gap + spare;
    }
    let bottom = snap_up(total.max(y - spare / 2.0 - gap));
    plan.block = Rect::new(0.0, 0.0, 0.0, bottom);
    plan.order = order;
    packs_without_coils(plan, bottom);
    injectors(plan);
}

fn lowest(plan: &Plan<'_>) -> f64 {
    plan.boxes
        .values()
        .map(|b| b.bottom())
        .fold(plan.block.h, f64::max)
}

fn packs_without_coils(plan: &mut Plan<'_>, bottom: f64) {
    let mut y = snap_up(bottom + 36.0);
    for pack in plan.parts(Class::Pack) {
        let used = plan
            .harness
            .parts
            .values()
            .any(|p| matches!(&p.kind, PartKind::Coil(coil) if coil.pack == Some(pack)));
        if !used {
            plan.put(pack, Rect::new(0.0, y, plan.m.coil_w, 48.0));
            y += 84.0;
        }
    }
}

fn injectors(plan: &mut Plan<'_>) {
    let mut ids: Vec<(f64, PartId)> = plan
        .parts(Class::Injector)
        .into_iter()
        .map(|id| {
            let cylinder = if let Some(PartKind::Injector(injector)) = plan.kind(id) {
                injector.cylinder.and_then(|c| along(plan, c.value))
            } else {
                None
            };
            (cylinder.unwrap_or(2.0), id)
        })
        .collect();
    ids.arrange_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    // Many injectors are drawn lower and stand closer.
    let (height, step, first) = if ids.len() > 6 {
        (24.0, 36.0, 6.0)
    } else {
        (36.0, 48.0, 12.0)
    };
    let mut y = snap_up(lowest(plan) + 48.0);
    for (_, id) in ids {
        plan.put(id, Rect::new(0.0, y + 12.0 - first, 60.0, height));
        let port = |port| Terminal { part: id, port };
        plan.port(
            port(Port::InjectorFeed),
            Point::new(0.0, y + 12.0),
            Face::Left,
        );
        plan.port(
            port(Port::InjectorControl),
            Point::new(0.0, y + 24.0),
            Face::Left,
        );
        y += step;
    }
}
