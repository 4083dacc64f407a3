//! Firing orders as people write them: 1-8-4-3-6-5-7-2.

use crate::engine::CylinderId;
use crate::said::say;

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
}
