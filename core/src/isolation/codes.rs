//! What a stored trouble code says about causes.

use super::defaults as d;
use super::forecast::{Fate, Showing};
use crate::engine::CylinderId;
use crate::faults::Fault;
use crate::model::{DriverPiece, Element};

/// What a code means, as far as it means anything here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CodeMeaning {
    /// Misfire of one cylinder.
    Misfire(CylinderId),
    /// Misfire somewhere.
    AnyMisfire,
    /// The primary or secondary circuit of some coil. Which coil a code's letter means is for the
    /// owner to say: a letter is no cylinder number.
    CoilCircuit,
    /// Nothing that bears on ignition, or not understood.
    Other,
}

/// The meaning of a code.
///
/// # Source
/// SAE J2012 / ISO 15031-6, wording of definitions from memory: P0300 random misfire, P0301 to P0312
/// misfire of cylinder 1 to 12, P0350 to P0362 coil primary or secondary circuit, P2300 to P2335
/// primary control low, high, secondary by coil.
#[must_use]
pub fn meaning(code: &str) -> CodeMeaning {
    let code = code.trim().to_ascii_uppercase();
    let number = code
        .strip_prefix('P')
        .filter(|digits| digits.len() == 4)
        .and_then(|digits| digits.parse::<u16>().ok());
    match number {
        Some(300) => CodeMeaning::AnyMisfire,
        Some(n @ 301..=312) => {
            CodeMeaning::Misfire(CylinderId(u8::try_from(n - 300).unwrap_or(u8::MAX)))
        }
        Some(350..=362 | 2300..=2335) => CodeMeaning::CoilCircuit,
        Some(_) | None => CodeMeaning::Other,
    }
}

/// Chance that the code is stored under a fault.
pub(super) fn stored(meaning: CodeMeaning, fault: Option<Fault>, showing: &Showing) -> f64 {
    let able = d::CAN_DETECT * d::CODE.0 + (1.0 - d::CAN_DETECT) * d::CODE.1;
    let (_, stray) = d::CODE;
    match meaning {
        CodeMeaning::Misfire(cylinder) => match showing.fate(cylinder) {
            Fate::Dies | Fate::WrongTime => able,
            Fate::Weak => 0.5 * able,
            Fate::Lives => stray,
        },
        CodeMeaning::AnyMisfire => {
            if showing.ill().next().is_some() {
                able
            } else {
                stray
            }
        }
        CodeMeaning::CoilCircuit => match fault {
            Some(fault) if in_coil_circuit(fault.element) && showing.ill().next().is_some() => able,
            Some(_) | None => stray,
        },
        CodeMeaning::Other => 0.5,
    }
}

/// Whether an element carries a coil's primary or secondary current, or switches it.
const fn in_coil_circuit(element: Element) -> bool {
    match element {
        Element::Wire(_)
        | Element::Joint(..)
        | Element::Mated(_)
        | Element::Cavity(..)
        | Element::Trace(..)
        | Element::Primary(_)
        | Element::Secondary(_)
        | Element::CoilInsulation(_)
        | Element::LeadConductor(_)
        | Element::Contact(_) => true,
        Element::Driver(_, piece) => match piece {
            DriverPiece::OutputJoint
            | DriverPiece::Switch
            | DriverPiece::GroundJoint
            | DriverPiece::DriveJoint
            | DriverPiece::DriveResistor
            | DriverPiece::GateJoint => true,
        },
        Element::Battery(_)
        | Element::RelayWinding(_)
        | Element::BoardSupply(_)
        | Element::BoardGround(_)
        | Element::Logic(_)
        | Element::CrankSignal(_)
        | Element::Rotor(_)
        | Element::Cap(_)
        | Element::LeadInsulation(_)
        | Element::Gap(_)
        | Element::Insulator(_)
        | Element::PlugResistor(_)
        | Element::InjectorWinding(_)
        | Element::Cylinder(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_mean_what_the_standard_says_and_nothing_more() {
        assert_eq!(meaning(" p0306 "), CodeMeaning::Misfire(CylinderId(6)));
        assert_eq!(meaning("P0300"), CodeMeaning::AnyMisfire);
        assert_eq!(meaning("P0352"), CodeMeaning::CoilCircuit);
        assert_eq!(meaning("P2334"), CodeMeaning::CoilCircuit);
        for other in ["P0420", "P0313", "U0100", "", "P03", "P03011", "misfire"] {
            assert_eq!(meaning(other), CodeMeaning::Other, "{other}");
        }
    }
}
