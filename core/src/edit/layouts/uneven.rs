//! Proposals of crank angles for engines that do not fire at even steps, for the owner to correct.

use crate::engine::{Engine, Layout, Strokes};
use crate::units::Degrees;

/// The angle at which the rows of a vee often stand.
///
/// # Source
/// Common practice, no source: 60° and 90° are the usual ones.
#[must_use]
pub const fn propose_bank_angle(cylinders: u8) -> Degrees {
    match cylinders {
        12 => Degrees::lit(60.0),
        _ => Degrees::lit(90.0),
    }
}

/// Crank angles in firing order for an engine of this shape that fires unevenly, the first 0°.
///
/// Two rows: two rods on each crankpin, the pins at even steps, so the second row follows the first
/// by the angle between the rows. One row of two: crankpins half a turn apart. One row of four:
/// crankpins a quarter turn apart. Any other engine: even steps, to be overwritten.
///
/// # Source
/// Two rows: crank geometry. Rows of two and four: value from memory.
#[must_use]
pub fn propose_uneven(engine: &Engine) -> Vec<Degrees> {
    let cylinders = engine.order.value.len();
    let cycle = engine.cycle().get();
    let angles = match (engine.layout, cylinders) {
        (Layout::Vee { bank_angle }, n) if n >= 2 && n % 2 == 0 => {
            shared_pins(n, cycle, bank_angle.get())
        }
        (Layout::Flat, n) if n >= 2 && n % 2 == 0 => shared_pins(n, cycle, 180.0),
        (Layout::Inline, 2) if engine.strokes == Strokes::Four => vec![0.0, 180.0],
        (Layout::Inline, 4) if engine.strokes == Strokes::Four => vec![0.0, 270.0, 450.0, 540.0],
        (Layout::Inline | Layout::Vee { .. } | Layout::Flat | Layout::Custom, n) => steps(n, cycle),
    };
    angles.into_iter().map(Degrees::lit).collect()
}

/// So many equal steps of a cycle.
fn steps(count: usize, cycle: f64) -> Vec<f64> {
    let whole = u32::try_from(count).map_or(1.0, |count| f64::from(count.max(1)));
    (0_u32..)
        .take(count)
        .map(|step| cycle * f64::from(step) / whole)
        .collect()
}

/// The first row at even steps, the second behind it by whatever the angle between the rows allows
/// that comes nearest to half a step.
fn shared_pins(cylinders: usize, cycle: f64, bank_angle: f64) -> Vec<f64> {
    let first = steps(cylinders / 2, cycle);
    let step = first.get(1).copied().unwrap_or(cycle);
    let behind = (0_u8..4)
        .flat_map(|turn| {
            let turn = 360.0 * f64::from(turn);
            [
                turn + bank_angle.rem_euclid(360.0),
                turn - bank_angle.rem_euclid(360.0),
            ]
        })
        .filter(|angle| *angle > 0.0 && *angle < step)
        .min_by(|a, b| {
            let far = |angle: &f64| (angle - step / 2.0).abs();
            far(a).total_cmp(&far(b)).then(a.total_cmp(b))
        })
        .unwrap_or(step / 2.0);
    first
        .into_iter()
        .flat_map(|angle| [angle, angle + behind])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::layouts::propose_engine;

    fn angles(cylinders: u8, layout: Layout) -> Vec<f64> {
        let engine = propose_engine(cylinders, layout, Strokes::Four);
        propose_uneven(&engine).iter().map(|a| a.get()).collect()
    }

    const fn vee(degrees: f64) -> Layout {
        Layout::Vee {
            bank_angle: Degrees::lit(degrees),
        }
    }

    #[track_caller]
    fn check(found: &[f64], expected: &[f64]) {
        let same = found.len() == expected.len()
            && found
                .iter()
                .zip(expected)
                .all(|(a, b)| (a - b).abs() < 1e-9);
        assert!(same, "{found:?} is not {expected:?}");
    }

    /// Source: value from memory, save where a line says otherwise.
    #[test]
    fn known_odd_fire_engines_are_proposed() {
        // Crank geometry: three pins 240° of firing apart, the second row 90° behind.
        check(
            &angles(6, vee(90.0)),
            &[0.0, 90.0, 240.0, 330.0, 480.0, 570.0],
        );
        check(&angles(2, vee(90.0)), &[0.0, 270.0]);
        check(&angles(2, vee(45.0)), &[0.0, 315.0]);
        check(&angles(10, vee(90.0))[..4], &[0.0, 90.0, 144.0, 234.0]);
        check(&angles(2, Layout::Inline), &[0.0, 180.0]);
        check(&angles(4, Layout::Inline), &[0.0, 270.0, 450.0, 540.0]);
    }

    #[test]
    fn every_proposal_rises_from_nought_and_stays_in_the_cycle() {
        let layouts = [
            Layout::Inline,
            Layout::Flat,
            Layout::Custom,
            vee(0.0),
            vee(15.0),
            vee(90.0),
            vee(180.0),
            vee(-45.0),
            vee(725.0),
        ];
        for cylinders in 1..=16 {
            for layout in layouts {
                for strokes in [Strokes::Two, Strokes::Four] {
                    let engine = propose_engine(cylinders, layout, strokes);
                    let angles = propose_uneven(&engine);
                    assert_eq!(angles.len(), usize::from(cylinders));
                    assert!(angles.first().is_some_and(|a| a.get().abs() < 1e-9));
                    assert!(
                        angles.windows(2).all(|two| two[0].get() < two[1].get()),
                        "{angles:?}"
                    );
                    assert!(angles.iter().all(|a| a.get() < engine.cycle().get()));
                }
            }
        }
    }
}
