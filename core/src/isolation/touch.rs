//! What an act does to a cause: cure it, move it, change it, or leave it; also by accident.

use super::cause::Cause;
use super::defaults as d;
use crate::faults::Mode;
use crate::model::{DriverPiece, Element, Harness, PartId, Substitute, SwapPair};

/// What an act is about.
#[derive(Debug, Clone, Copy)]
pub(super) struct Aim {
    pub(super) element: Element,
    /// The splice, ground point or battery at which a joint sits.
    pub(super) joined: Option<PartId>,
}

impl Aim {
    pub(super) fn at(harness: &Harness, element: Element) -> Self {
        Self {
            element,
            joined: joint_of(harness, element),
        }
    }
}

/// The splice, ground point or battery at which a joint sits; `None` for all else.
pub(super) fn joint_of(harness: &Harness, element: Element) -> Option<PartId> {
    if let Element::Joint(wire, end) = element {
        super::unit::joined_at(harness, wire, end)
    } else {
        None
    }
}

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

    /// Whatever is wiggled, heated or cooled, trouble elsewhere can come and go meanwhile.
    pub(super) const STRESS_ELSEWHERE: Self = Self::stress(d::STRESS.1);

    const fn stress(hit: f64) -> Self {
        Self {
            cured: hit * 0.7,
            changed: hit * 0.3,
            moved: 0.0,
        }
    }

    const fn cure(chance: f64) -> Self {
        Self {
            cured: chance,
            changed: 0.005,
            moved: 0.005,
        }
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

/// Whether two contacts sit in one plug.
fn same_plug(a: Element, b: Element) -> bool {
    contact_of(a).is_some() && contact_of(a) == contact_of(b)
}

/// Chance that a look shows damage where there is none.
pub(super) const fn stray(aim: &Aim) -> f64 {
    if measured_in_place(aim.element) {
        d::CHECK.1
    } else {
        d::LOOK.1
    }
}

/// Chance that a look at an element shows damage.
pub(super) fn look(aim: &Aim, cause: &Cause) -> f64 {
    let element = aim.element;
    let (hit, stray) = if measured_in_place(element) {
        d::CHECK
    } else {
        d::LOOK
    };
    let same = cause.fault.element == element || same_part(aim, cause);
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
fn same_part(aim: &Aim, cause: &Cause) -> bool {
    match (aim.element, cause.fault.element) {
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
        (Element::Joint(..), Element::Joint(..)) => aim.joined == cause.joined,
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
pub(super) fn stress(aim: &Aim, cause: &Cause) -> Touch {
    let element = aim.element;
    let same = cause.fault.element == element
        || same_part(aim, cause)
        || same_plug(element, cause.fault.element);
    if same {
        // What comes and goes answers best; what is broken for good hardly does.
        Touch::stress(d::STRESS.0 * (0.3 + 0.7 * cause.comes_and_goes / 0.55).min(1.0))
    } else {
        Touch::STRESS_ELSEWHERE
    }
}

/// Another part in place of one.
pub(super) fn substitute(part: PartId, with: Substitute, cause: &Cause) -> Touch {
    let bad = match with {
        Substitute::New | Substitute::KnownGood => d::NEW_IS_BAD,
    };
    if let Mode::CrossedWith(other) = cause.fault.mode {
        // A new lead is pushed on where it belongs, half the time.
        if cause.part == Some(part) || other == part {
            Touch::cure(0.5)
        } else {
            Touch::NOTHING
        }
    } else if contact_of(cause.fault.element) == Some(part) {
        Touch::cure(d::WIPED)
    } else if cause.part == Some(part) {
        Touch {
            cured: 1.0 - bad - 0.01,
            changed: 0.005,
            moved: 0.0,
        }
    } else {
        Touch::NOTHING
    }
}

/// A contact cleaned.
pub(super) fn clean(aim: &Aim, cause: &Cause) -> Touch {
    let element = aim.element;
    // The whole plug is pulled for it, and all its contacts are cleaned.
    if cause.fault.element == element || same_plug(element, cause.fault.element) {
        Touch::cure(d::CLEAN_CURES)
    } else {
        Touch::NOTHING
    }
}

/// A joint made anew.
pub(super) fn remake(aim: &Aim, cause: &Cause) -> Touch {
    let element = aim.element;
    if cause.fault.element == element
        || same_part(aim, cause)
        || soldered_together(element, cause.fault.element)
    {
        Touch::cure(d::REMAKE_CURES)
    } else if legs_of(element, cause.fault.element) {
        Touch::cure(d::LEGS_REMADE)
    } else {
        Touch::NOTHING
    }
}

/// Whether a new transistor re-makes this joint of its legs.
fn legs_of(remade: Element, element: Element) -> bool {
    match (remade, element) {
        (Element::Driver(driver, DriverPiece::Switch), Element::Driver(other, piece)) => {
            driver == other
                && matches!(
                    piece,
                    DriverPiece::OutputJoint | DriverPiece::GroundJoint | DriverPiece::GateJoint
                )
        }
        _ => false,
    }
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
pub(super) fn swap(pair: SwapPair, cause: &Cause) -> Touch {
    match pair {
        SwapPair::Parts(a, b) => {
            let part = cause.part;
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
    }
}
