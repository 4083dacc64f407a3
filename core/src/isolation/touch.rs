//! What an act does to a cause: cure it, move it, change it, or leave it; also by accident.

use super::cause::Cause;
use super::defaults as d;
use crate::faults::Mode;
use crate::model::{DriverPiece, Element, Harness, PartId, Substitute, SwapPair};

/// Chances that an act makes the trouble go, makes it something else, or takes it along.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Touch {
    pub(super) cured: f64,
    pub(super) changed: f64,
    pub(super) moved: f64,
}

impl Touch {
    /// The act has nothing to do with it.
    pub(super) const NOTHING: Self = Self {
        cured: d::FALSE_CURE,
        changed: 0.01,
        moved: 0.01,
    };

    const fn cure(chance: f64) -> Self {
        Self {
            cured: chance,
            changed: 0.005,
            moved: 0.005,
        }
    }
}

/// What comes and goes may also go while someone acts.
fn by_itself(cause: &Cause, touch: Touch) -> Touch {
    let gone = 0.1 * cause.comes_and_goes;
    Touch {
        cured: touch.cured.max(gone),
        ..touch
    }
}

/// The part whose plug a contact belongs to.
const fn contact_of(element: Element) -> Option<PartId> {
    if let Element::Mated(terminal) = element {
        Some(terminal.part)
    } else if let Element::Cavity(part, _) = element {
        Some(part)
    } else {
        None
    }
}

/// Chance that a look at an element shows damage.
pub(super) fn look(harness: &Harness, element: Element, cause: &Cause) -> f64 {
    let (hit, stray) = if measured_in_place(element) {
        d::CHECK
    } else {
        d::LOOK
    };
    let same = cause.fault.element == element || same_part(harness, element, cause);
    if same && (visible(cause) || measured_in_place(element)) {
        hit
    } else {
        stray
    }
}

/// Whether a look at an element means a check with a meter: the eye alone sees nothing.
const fn measured_in_place(element: Element) -> bool {
    if let Element::Driver(_, piece) = element {
        matches!(piece, DriverPiece::Switch | DriverPiece::DriveResistor)
    } else {
        matches!(
            element,
            Element::CrankSignal(_)
                | Element::Trace(..)
                | Element::BoardSupply(_)
                | Element::BoardGround(_)
                | Element::Logic(_)
                | Element::Cylinder(_)
        )
    }
}

/// A look at a plug or lead shows all of it.
fn same_part(harness: &Harness, element: Element, cause: &Cause) -> bool {
    match (element, cause.fault.element) {
        (
            Element::Gap(a) | Element::Insulator(a) | Element::PlugResistor(a),
            Element::Gap(b) | Element::Insulator(b) | Element::PlugResistor(b),
        )
        | (
            Element::LeadConductor(a) | Element::LeadInsulation(a),
            Element::LeadConductor(b) | Element::LeadInsulation(b),
        )
        | (
            Element::Primary(a) | Element::Secondary(a) | Element::CoilInsulation(a),
            Element::Primary(b) | Element::Secondary(b) | Element::CoilInsulation(b),
        )
        | (Element::Rotor(a) | Element::Cap(a), Element::Rotor(b) | Element::Cap(b)) => a == b,
        (Element::Joint(wire, end), Element::Joint(other, far)) => {
            super::unit::joined_at(harness, wire, end)
                == super::unit::joined_at(harness, other, far)
        }
        _ => false,
    }
}

/// Whether the eye can see it at all.
const fn visible(cause: &Cause) -> bool {
    match cause.fault.element {
        Element::Joint(..)
        | Element::Mated(_)
        | Element::Cavity(..)
        | Element::Contact(_)
        | Element::LeadInsulation(_)
        | Element::CoilInsulation(_)
        | Element::Gap(_)
        | Element::Insulator(_)
        | Element::Rotor(_)
        | Element::Cap(_)
        | Element::Wire(_)
        | Element::BoardSupply(_)
        | Element::BoardGround(_)
        | Element::Trace(..) => true,
        Element::Driver(_, piece) => match piece {
            DriverPiece::OutputJoint
            | DriverPiece::GroundJoint
            | DriverPiece::DriveJoint
            | DriverPiece::GateJoint => true,
            DriverPiece::Switch | DriverPiece::DriveResistor => false,
        },
        // Leads that have changed places are seen at once.
        Element::LeadConductor(_) => matches!(cause.fault.mode, Mode::CrossedWith(_)),
        Element::Battery(_)
        | Element::RelayWinding(_)
        | Element::Logic(_)
        | Element::CrankSignal(_)
        | Element::Primary(_)
        | Element::Secondary(_)
        | Element::PlugResistor(_)
        | Element::InjectorWinding(_)
        | Element::Cylinder(_) => false,
    }
}

/// Wiggling, heating or cooling an element.
pub(super) fn stress(harness: &Harness, element: Element, cause: &Cause) -> Touch {
    let same = cause.fault.element == element || same_part(harness, element, cause);
    let hit = if same {
        // What comes and goes answers best; what is broken for good hardly does.
        d::STRESS.0 * (0.3 + 0.7 * cause.comes_and_goes / 0.55).min(1.0)
    } else {
        d::STRESS.1
    };
    Touch {
        cured: hit * 0.7,
        changed: hit * 0.3,
        moved: 0.0,
    }
}

/// Another part in place of one.
pub(super) fn substitute(
    harness: &Harness,
    part: PartId,
    with: Substitute,
    cause: &Cause,
) -> Touch {
    let bad = match with {
        Substitute::New | Substitute::KnownGood => d::NEW_IS_BAD,
    };
    let touch = if let Mode::CrossedWith(other) = cause.fault.mode {
        // A new lead is pushed on where it belongs, half the time.
        let lead = harness.part_of(cause.fault.element);
        if lead == Some(part) || other == part {
            Touch::cure(0.5)
        } else {
            Touch::NOTHING
        }
    } else if contact_of(cause.fault.element) == Some(part) {
        Touch::cure(d::WIPED)
    } else if harness.part_of(cause.fault.element) == Some(part) {
        return Touch {
            cured: 1.0 - bad - 0.01,
            changed: 0.005,
            moved: 0.0,
        };
    } else {
        Touch::NOTHING
    };
    by_itself(cause, touch)
}

/// A contact cleaned.
pub(super) fn clean(_harness: &Harness, element: Element, cause: &Cause) -> Touch {
    let touch = if cause.fault.element == element {
        Touch::cure(d::CLEAN_CURES)
    } else if contact_of(element).is_some()
        && contact_of(element) == contact_of(cause.fault.element)
    {
        // The whole plug was pulled for it.
        Touch::cure(d::WIPED)
    } else {
        Touch::NOTHING
    };
    by_itself(cause, touch)
}

/// A joint made anew.
pub(super) fn remake(harness: &Harness, element: Element, cause: &Cause) -> Touch {
    let touch = if cause.fault.element == element
        || same_part(harness, element, cause)
        || soldered_together(element, cause.fault.element)
    {
        Touch::cure(d::REMAKE_CURES)
    } else {
        Touch::NOTHING
    };
    by_itself(cause, touch)
}

/// Joints of one driver: whoever solders one solders all.
fn soldered_together(a: Element, b: Element) -> bool {
    let joint = |element: Element| {
        let Element::Driver(driver, piece) = element else {
            return None;
        };
        match piece {
            DriverPiece::OutputJoint
            | DriverPiece::GroundJoint
            | DriverPiece::DriveJoint
            | DriverPiece::GateJoint => Some(driver),
            DriverPiece::Switch | DriverPiece::DriveResistor => None,
        }
    };
    joint(a).is_some() && joint(a) == joint(b)
}

/// Two like things change places.
pub(super) fn swap(harness: &Harness, pair: SwapPair, cause: &Cause) -> Touch {
    let touch = match pair {
        SwapPair::Parts(a, b) => {
            let part = harness.part_of(cause.fault.element);
            if let Mode::CrossedWith(other) = cause.fault.mode {
                if part.map(|p| (p.min(other), p.max(other))) == Some((a.min(b), a.max(b))) {
                    Touch::cure(0.95)
                } else {
                    Touch::NOTHING
                }
            } else if [Some(a), Some(b)].contains(&contact_of(cause.fault.element)) {
                Touch::cure(d::WIPED)
            } else if part == Some(a) || part == Some(b) {
                Touch {
                    cured: 0.02,
                    changed: 0.02,
                    moved: 0.95,
                }
            } else {
                Touch::NOTHING
            }
        }
        SwapPair::Transistors(a, b) => {
            if let Element::Driver(driver, piece) = cause.fault.element
                && (driver == a || driver == b)
            {
                match piece {
                    DriverPiece::Switch => Touch {
                        cured: 0.02,
                        changed: 0.02,
                        moved: 0.95,
                    },
                    DriverPiece::OutputJoint
                    | DriverPiece::GroundJoint
                    | DriverPiece::GateJoint => Touch::cure(d::LEGS_REMADE),
                    DriverPiece::DriveJoint | DriverPiece::DriveResistor => Touch::NOTHING,
                }
            } else {
                Touch::NOTHING
            }
        }
    };
    by_itself(cause, touch)
}
