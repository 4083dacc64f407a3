//! Firing orders and crank angles as people write them: 1-8-4-3-6-5-7-2, 0-90-240-330-480-570.

use crate::engine::{CylinderId, Engine};
use crate::said::say;
use crate::units::Degrees;

/// Why a text is no firing order of an engine.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OrderError {
    /// Something in it is no number.
    #[error("{}", say!("the piece in place {place} is no cylinder number; write numbers with dashes, as 1-3-4-2"))]
    NoNumber {
        /// Which piece, from 1.
        place: usize,
    },
    /// It names a cylinder that the engine does not have.
    #[error("{}", say!("the engine has no cylinder {0}", .0))]
    NoCylinder(u32),
    /// It names a cylinder twice.
    #[error("{}", say!("cylinder {0} stands there twice; each fires once", .0))]
    Twice(CylinderId),
    /// It leaves cylinders out.
    #[error("{}", say!("not in it yet: {}", super::named(.0)))]
    Missing(Vec<CylinderId>),
}

/// The firing order that a text tells: numbers with anything but digits between them.
///
/// # Errors
/// [`OrderError`] names the first thing that is wrong.
pub fn read_order(text: &str, cylinders: &[CylinderId]) -> Result<Vec<CylinderId>, OrderError> {
    let apart = |c: char| c.is_whitespace() || "-–—,;/>.→".contains(c);
    let pieces = text.split(apart).filter(|piece| !piece.is_empty());
    let mut order = Vec::new();
    for (at, piece) in pieces.enumerate() {
        let number: u32 = piece
            .parse()
            .map_err(|_| OrderError::NoNumber { place: at + 1 })?;
        let cylinder = u8::try_from(number)
            .map(CylinderId)
            .ok()
            .filter(|cylinder| cylinders.contains(cylinder))
            .ok_or(OrderError::NoCylinder(number))?;
        if order.contains(&cylinder) {
            return Err(OrderError::Twice(cylinder));
        }
        order.push(cylinder);
    }
    let missing: Vec<CylinderId> = cylinders
        .iter()
        .copied()
        .filter(|cylinder| !order.contains(cylinder))
        .collect();
    if missing.is_empty() {
        Ok(order)
    } else {
        Err(OrderError::Missing(missing))
    }
}

/// A firing order as people write it.
#[must_use]
pub fn write_order(order: &[CylinderId]) -> String {
    let numbers: Vec<String> = order.iter().map(ToString::to_string).collect();
    numbers.join("-")
}

/// Why a text tells no crank angles of an engine.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AngleError {
    /// Something in it is no number.
    #[error("{}", say!("the piece in place {place} is no angle; write degrees with dashes, as 0-90-240-330-480-570"))]
    NoNumber {
        /// Which piece, from 1.
        place: usize,
    },
    /// Not as many as cylinders fire.
    #[error("{}", say!("there are {found} angles for {wanted} cylinders; give one for each of the firing order"))]
    Count {
        /// Cylinders in the firing order.
        wanted: usize,
        /// Angles given.
        found: usize,
    },
    /// The first is where the count begins.
    #[error("{}", say!("the angles count from the first cylinder of the firing order: the first must be 0"))]
    First,
    /// It does not rise.
    #[error("{}", say!("the angle in place {place} is not larger than the one before it"))]
    Falls {
        /// Which angle, from 1.
        place: usize,
    },
    /// It lies beyond the cycle.
    #[error("{}", say!("the angle in place {place} lies beyond the cycle, which ends at {}°", .cycle.get()))]
    Beyond {
        /// Which angle, from 1.
        place: usize,
        /// The whole cycle.
        cycle: Degrees,
    },
}

/// The crank angles that a text tells, in degrees, one for each cylinder of the engine's firing order: numbers with
/// dashes, blanks or semicolons between them, and commas too where nothing else parts them.
///
/// # Errors
/// [`AngleError`] names the first thing that is wrong.
pub fn read_angles(text: &str, engine: &Engine) -> Result<Vec<Degrees>, AngleError> {
    let apart = |c: char| c.is_whitespace() || "-–—;/>→".contains(c);
    let commas_part = !text.trim().contains(apart);
    let pieces = text.split(|c: char| apart(c) || (commas_part && c == ','));
    let pieces = pieces
        .map(|piece| piece.trim_matches([',', '°']))
        .filter(|piece| !piece.is_empty());
    let mut angles: Vec<Degrees> = Vec::new();
    for (at, piece) in pieces.enumerate() {
        let place = at + 1;
        let number: Option<f64> = piece.replace(',', ".").parse().ok();
        let angle = number.and_then(|number| Degrees::new(number).ok());
        let angle = angle.ok_or(AngleError::NoNumber { place })?;
        match angles.last() {
            None if angle != Degrees::ZERO => return Err(AngleError::First),
            Some(before) if angle <= *before => return Err(AngleError::Falls { place }),
            None | Some(_) => {}
        }
        let cycle = engine.cycle();
        if angle >= cycle {
            return Err(AngleError::Beyond { place, cycle });
        }
        angles.push(angle);
    }
    let (wanted, found) = (engine.order.value.len(), angles.len());
    if wanted == found {
        Ok(angles)
    } else {
        Err(AngleError::Count { wanted, found })
    }
}

/// Crank angles as people write them, to a tenth of a degree.
#[must_use]
pub fn write_angles(angles: &[Degrees]) -> String {
    let numbers: Vec<String> = angles
        .iter()
        .map(|angle| ((angle.get() * 10.0).round() / 10.0).to_string())
        .collect();
    numbers.join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    const FOUR: [CylinderId; 4] = [CylinderId(1), CylinderId(2), CylinderId(3), CylinderId(4)];

    #[test]
    fn orders_are_read_as_people_write_them() {
        for text in [
            "1-3-4-2",
            "1 3 4 2",
            " 1, 3,4 ,2 ",
            "1–3–4–2",
            "1>3>4>2",
            "01-03-04-02",
        ] {
            let order = read_order(text, &FOUR);
            assert_eq!(
                order.as_deref().map(write_order),
                Ok("1-3-4-2".into()),
                "{text}"
            );
        }
    }

    #[test]
    fn what_is_no_order_is_told() {
        for (text, expected) in [
            ("", OrderError::Missing(FOUR.to_vec())),
            ("1-3-4", OrderError::Missing(vec![CylinderId(2)])),
            ("1-3-4-2-1", OrderError::Twice(CylinderId(1))),
            ("1-3-4-5", OrderError::NoCylinder(5)),
            ("1-3-4-258", OrderError::NoCylinder(258)),
            ("1-3-x-2", OrderError::NoNumber { place: 3 }),
            ("1342", OrderError::NoCylinder(1342)),
            ("1-99999999999", OrderError::NoNumber { place: 2 }),
        ] {
            assert_eq!(read_order(text, &FOUR), Err(expected), "{text}");
        }
    }

    fn twin() -> Engine {
        use crate::edit::layouts::propose_engine;
        use crate::engine::{Layout, Strokes};
        let bank_angle = Degrees::lit(90.0);
        propose_engine(4, Layout::Vee { bank_angle }, Strokes::Four)
    }

    #[test]
    fn angles_are_read_as_people_write_them() {
        for text in [
            "0-90-360-450",
            "0 90 360 450",
            "0°, 90°, 360°, 450°",
            "0,90,360,450",
            "0; 90,0; 360.0; 450",
        ] {
            let angles = read_angles(text, &twin());
            assert_eq!(
                angles.as_deref().map(write_angles),
                Ok("0-90-360-450".into()),
                "{text}"
            );
        }
        let half = read_angles("0-90,5-360-450", &twin()).map(|angles| write_angles(&angles));
        assert_eq!(half, Ok("0-90.5-360-450".into()));
    }

    #[test]
    fn what_are_no_angles_is_told() {
        let cycle = Degrees::lit(720.0);
        let count = |found| AngleError::Count { wanted: 4, found };
        for (text, expected) in [
            ("", count(0)),
            ("0-90", count(2)),
            ("0-90-360-450-500", count(5)),
            ("90-180-360-450", AngleError::First),
            ("0-90-90-450", AngleError::Falls { place: 3 }),
            ("0-90-360-720", AngleError::Beyond { place: 4, cycle }),
            ("0-x-360-450", AngleError::NoNumber { place: 2 }),
            ("0-NaN-360-450", AngleError::NoNumber { place: 2 }),
        ] {
            assert_eq!(read_angles(text, &twin()), Err(expected), "{text}");
        }
    }
}
