//! The engine from above at the right: rows of cylinders, front upward, and distributors before it.

use super::coils::along;
use crate::drawing::geometry::{Point, Rect, snap, snap_up};
use crate::drawing::order::mean;
use crate::drawing::plan::{Class, Face, Plan};
use crate::engine::Layout;
use crate::gather::Arrange;
use crate::model::{PartId, Port, Terminal};

/// The heights at which the cylinders stand, beside the coils; x is still 0.
pub(super) fn place_rows(plan: &mut Plan<'_>) {
    let height = plan.block.h;
    for cylinder in plan.harness.engine.cylinders() {
        if let Some(t) = along(plan, cylinder) {
            plan.discs.insert(cylinder, Point::new(0.0, t * height));
        }
    }
}

/// Distributors and the engine, to the right of everything placed so far.
pub(super) fn place_columns(plan: &mut Plan<'_>) {
    let right = plan.boxes.values().map(|b| b.right()).fold(0.0, f64::max);
    let mut x = right;
    let distributors = plan.parts(Class::Distributor);
    if !distributors.is_empty() {
        x += plan.m.pad + 12.0;
        x = place_distributors(plan, &distributors, x);
    }
    x += plan.m.lead_gap;
    place_banks(plan, snap_up(x));
}

fn place_distributors(plan: &mut Plan<'_>, ids: &[PartId], x: f64) -> f64 {
    let mut wanted: Vec<(f64, PartId, f64)> = ids
        .iter()
        .map(|&id| {
            let towers = plan.harness.distributor(id).map_or(0, |d| d.towers.len());
            let size = (24.0 * (towers as f64 + 1.0)).max(96.0);
            (distributor_y(plan, id), id, size)
        })
        .collect();
    wanted.arrange_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = wanted.iter().map(|w| w.2 + 48.0).sum::<f64>() - 48.0;
    let mut y = if let [(at, _, size)] = wanted.as_slice() {
        snap(at - size / 2.0)
    } else {
        snap(((plan.block.h - total) / 2.0).max(0.0))
    };
    let mut widest: f64 = 0.0;
    for (_, id, size) in wanted {
        plan.put(id, Rect::new(x, y, size, size));
        let centre = Point::new(x + size / 2.0, y + size / 2.0);
        let port = |port| Terminal { part: id, port };
        plan.port(
            port(Port::Centre),
            Point::new(x, snap(centre.y)),
            Face::Left,
        );
        let mut towers = plan
            .harness
            .distributor(id)
            .map_or_else(Vec::new, |d| d.towers.clone());
        towers.arrange_by(|a, b| {
            let y = |c| along(plan, c).unwrap_or(2.0);
            y(*a).total_cmp(&y(*b))
        });
        let n = towers.len() as f64;
        for (i, cylinder) in towers.into_iter().enumerate() {
            let ty = centre.y + (i as f64 - (n - 1.0) / 2.0) * 24.0;
            let r = size / 2.0;
            let dx = (r * r - (ty - centre.y).powi(2)).max(0.0).sqrt();
            plan.port(
                port(Port::Tower(cylinder)),
                Point::new(centre.x + dx, ty),
                Face::Right,
            );
        }
        y += snap_up(size + 48.0);
        widest = widest.max(size);
    }
    snap_up(x + widest)
}

/// Where a distributor would like its middle: level with the coil that feeds it, else the engine's middle.
fn distributor_y(plan: &Plan<'_>, id: PartId) -> f64 {
    let centre = Terminal {
        part: id,
        port: Port::Centre,
    };
    let coils = plan.links.leads_to(centre).iter().filter_map(|lead| {
        let from = plan.harness.lead(*lead)?.from?;
        plan.ports.get(&from.value).map(|spot| spot.at.y)
    });
    mean(coils).unwrap_or(plan.block.h / 2.0)
}

fn place_banks(plan: &mut Plan<'_>, x: f64) {
    let engine = &plan.harness.engine;
    let (r, w) = (plan.m.disc_r, plan.m.bank_w);
    let height = plan.block.h;
    let gap = match engine.layout {
        Layout::Inline | Layout::Vee { .. } | Layout::Custom => 0.0,
        Layout::Flat => w * 0.5,
    };
    let plate = 2.0 * r + 24.0;
    // Under the rearmost cylinder of a row there is room for a word on how it fares.
    let word = 16.0;
    let mut banks = Vec::new();
    for (row, bank) in engine.banks.iter().enumerate() {
        let cx = x + plate / 2.0 + 18.0 + row as f64 * (w + gap);
        let mut ys = Vec::new();
        for cylinder in &bank.cylinders {
            if engine.place(*cylinder).is_some_and(|(at, _)| at == row)
                && let Some(at) = plan.discs.get_mut(cylinder)
            {
                at.x = cx;
                ys.push(at.y);
            }
        }
        let top = ys.iter().copied().fold(f64::INFINITY, f64::min);
        let bottom = ys.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let (top, bottom) = if ys.is_empty() {
            (height / 2.0, height / 2.0)
        } else {
            (top, bottom)
        };
        banks.push(Rect::new(
            cx - plate / 2.0,
            top - r - 18.0,
            plate,
            bottom - top + 2.0 * r + 36.0 + word,
        ));
    }
    let block = banks
        .iter()
        .copied()
        .reduce(Rect::union)
        .unwrap_or(Rect::new(x, 0.0, plate, height.max(120.0)));
    plan.block = block.grown(14.0);
    plan.banks = banks;
}
