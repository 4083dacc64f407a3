//! How cost grows with the map, from 2 to 40 coils: read, drawn, its graph built, belief from one finding, and the
//! next test.

use std::hint::black_box;

use sparktrail_core::drawing::Drawing;
use sparktrail_core::isolation::{Case, Plan};
use sparktrail_core::model::file;
use sparktrail_core::topology::Topology;
use web_time::Instant;

use crate::Row;
use crate::large::large;

/// Coils of the maps, each about twice the one before it until the end.
const SIZES: [usize; 6] = [2, 4, 8, 16, 32, 40];

/// What one map takes, in milliseconds.
#[derive(Debug, Clone, Copy, Default)]
struct Cost {
    read: f64,
    draw: f64,
    graph: f64,
    belief: f64,
    plan: f64,
}

impl Cost {
    /// What stands between a file and the first ranked suspect.
    fn to_belief(self) -> f64 {
        self.read + self.draw + self.graph + self.belief
    }
}

pub(crate) fn rows() -> Vec<Row> {
    let costs: Vec<(f64, Cost)> = SIZES
        .iter()
        .filter_map(|&coils| {
            let cost = cost(&file::write(&large(coils)?))?;
            Some((f64::from(u32::try_from(coils).ok()?), cost))
        })
        .collect();
    let (Some((_, small)), Some((_, big))) = (costs.first().copied(), costs.last().copied()) else {
        return Vec::new();
    };
    let slope = |of: fn(Cost) -> f64| {
        let points: Vec<(f64, f64)> = costs.iter().map(|(n, cost)| (*n, of(*cost))).collect();
        exponent(&points)
    };
    let told = |name: &str, of: fn(Cost) -> f64| {
        format!(
            "{name} {:.1} to {:.0} ms (exponent {:.2})",
            of(small),
            of(big),
            slope(of)
        )
    };
    let parts = [
        told("read", |c| c.read),
        told("drawn", |c| c.draw),
        told("graph", |c| c.graph),
        told("belief", |c| c.belief),
        told("beside it the plan of tests", |c| c.plan),
    ];
    vec![Row {
        name: "scale.growth_exponent".into(),
        value: slope(Cost::to_belief),
        unit: "",
        beside: Some(1.0),
        note: format!(
            "cost of load, drawing, graph and belief as a power of the coils, fitted over {SIZES:?} coils with 25 \
             terminals each; {}; beside: cost in proportion",
            parts.join(", ")
        ),
    }]
}

/// The least of two runs.
fn cost(text: &str) -> Option<Cost> {
    let (one, other) = (once(text)?, once(text)?);
    Some(Cost {
        read: one.read.min(other.read),
        draw: one.draw.min(other.draw),
        graph: one.graph.min(other.graph),
        belief: one.belief.min(other.belief),
        plan: one.plan.min(other.plan),
    })
}

fn once(text: &str) -> Option<Cost> {
    let mut cost = Cost::default();
    let harness = timed(&mut cost.read, || file::read(text).ok())?;
    black_box(timed(&mut cost.draw, || Drawing::of(&harness)));
    black_box(timed(&mut cost.graph, || Topology::of(&harness)));
    let (case, _) = timed(&mut cost.belief, || {
        let case = Case::of(&harness).ok()?;
        let assessment = case.assess().ok()?;
        let ranked = case.ranked(&assessment, 0.004);
        Some((case, ranked))
    })?;
    black_box(timed(&mut cost.plan, || Plan::of(&case)));
    Some(cost)
}

fn timed<T>(ms: &mut f64, work: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let done = work();
    *ms = start.elapsed().as_secs_f64() * 1e3;
    done
}

/// The slope of the straight line through the logarithms of the points, by least squares.
fn exponent(points: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> = points
        .iter()
        .map(|(x, y)| (x.ln(), y.max(1e-6).ln()))
        .collect();
    let count = logs.iter().map(|_| 1.0).sum::<f64>();
    let mean = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / count;
    let (x, y) = (mean(|p| p.0), mean(|p| p.1));
    let along: f64 = logs.iter().map(|p| (p.0 - x) * (p.0 - x)).sum();
    let up: f64 = logs.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    up / along
}

#[cfg(test)]
mod tests {
    use super::exponent;

    #[test]
    fn a_power_is_found_again() {
        let square: Vec<(f64, f64)> = [2.0, 5.0, 40.0].iter().map(|x| (*x, 3.0 * x * x)).collect();
        assert!((exponent(&square) - 2.0).abs() < 1e-9);
    }
}
