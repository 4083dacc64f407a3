//! What is wrong in a case, chosen by its seed, and the earlier repair that points the wrong way.

use super::bench::PracticeError;
use super::defaults;
use super::luck::Luck;
use super::ticket::Level;
use crate::faults::Fault;
use crate::isolation::{Case, trials};
use crate::model::{
    DriverPiece, Effect, Element, Harness, PartId, PartKind, Seen, Substitute, SwapOutcome,
    SwapPair,
};

/// What is wrong.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hidden {
    /// Places among the case's causes: one, or two.
    pub(super) causes: Vec<usize>,
    /// The same as faults, each with its own severity between those that the suspects stand on.
    pub(super) faults: Vec<Fault>,
    /// Whether it comes and goes.
    pub(super) comes_and_goes: bool,
    /// What was done before.
    pub(super) earlier: Option<Earlier>,
}

/// An earlier repair.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Earlier {
    /// A new part was fitted and did not help: it was bad itself.
    BadNewPart(PartId),
    /// Two transistors changed places and the dead cylinders stayed: it cleared the transistor, not its
    /// joints and its drive.
    SwappedTransistors(crate::model::DriverId, crate::model::DriverId),
}

impl Earlier {
    /// The finding that the record holds of it.
    #[must_use]
    pub const fn seen(self) -> Seen {
        match self {
            Self::BadNewPart(part) => Seen::Substituted {
                part,
                with: Substitute::New,
                effect: Effect::Same,
            },
            Self::SwappedTransistors(a, b) => Seen::Swapped {
                what: SwapPair::Transistors(a, b),
                outcome: SwapOutcome::Stayed,
            },
        }
    }
}

/// What luck is drawn for.
const FIRST: u64 = 1;
const SECOND: u64 = 2;
const SEVERITY: u64 = 3;
const OTHER: u64 = 4;

impl Hidden {
    pub(super) fn choose(
        harness: &Harness,
        case: &Case<'_>,
        level: Level,
        luck: Luck,
    ) -> Result<Self, PracticeError> {
        let suited: Vec<usize> = trials::noticed(case)
            .into_iter()
            .filter(|cause| suits(harness, case, *cause, level))
            .collect();
        // The square root brings rare faults up often enough to meet them.
        let weight = |cause: &usize| case.causes()[*cause].prior.max(0.0).sqrt();
        let first = *luck
            .pick(FIRST, &suited, weight)
            .ok_or(PracticeError::NoSuchFault)?;
        let mut causes = vec![first];
        if level == Level::Two {
            let others: Vec<usize> = suited
                .iter()
                .copied()
                .filter(|other| apart(case, first, *other))
                .collect();
            causes.push(
                *luck
                    .pick(SECOND, &others, weight)
                    .ok_or(PracticeError::NoSuchFault)?,
            );
        }
        let faults = causes
            .iter()
            .zip(0..)
            .map(|(cause, place)| between(case.causes()[*cause].fault, luck.of(SEVERITY + place)))
            .collect();
        let earlier = (level == Level::Misleading)
            .then(|| earlier(harness, case.causes()[first].fault.element, luck))
            .flatten();
        Ok(Self {
            causes,
            faults,
            comes_and_goes: level == Level::Intermittent,
            earlier,
        })
    }
}

/// Whether a cause is of the kind that a level hides.
fn suits(harness: &Harness, case: &Case<'_>, cause: usize, level: Level) -> bool {
    // Beside a fault that takes every cylinder nobody could see another.
    let some = case.showing(cause).ill().count() < harness.engine.cylinders().len();
    let cause = &case.causes()[cause];
    let element = cause.fault.element;
    match level {
        Level::Single => true,
        Level::Two => some,
        Level::Intermittent => cause.comes_and_goes >= 0.3,
        Level::Board => matches!(
            element,
            Element::Driver(..)
                | Element::Trace(..)
                | Element::BoardSupply(_)
                | Element::BoardGround(_)
                | Element::Logic(_)
        ),
        Level::Misleading => earlier(harness, element, Luck(0)).is_some(),
    }
}

/// Whether two causes make two faults: in units of repair of their own, and each of them seen.
fn apart(case: &Case<'_>, a: usize, b: usize) -> bool {
    let ill = |cause: usize| case.showing(cause).ill().collect::<Vec<_>>();
    let (mine, theirs) = (ill(a), ill(b));
    case.causes()[a].unit != case.causes()[b].unit
        && theirs.iter().any(|cylinder| !mine.contains(cylinder))
        && mine.iter().any(|cylinder| !theirs.contains(cylinder))
}

/// The earlier repair that fits a fault of this element; `None` where none does.
fn earlier(harness: &Harness, element: Element, luck: Luck) -> Option<Earlier> {
    match element {
        Element::Driver(
            driver,
            DriverPiece::OutputJoint
            | DriverPiece::GroundJoint
            | DriverPiece::DriveJoint
            | DriverPiece::DriveResistor
            | DriverPiece::GateJoint,
        ) => {
            let others: Vec<_> = harness
                .drivers()
                .map(|(_, other)| other.id)
                .filter(|other| *other != driver)
                .collect();
            let other = *luck.pick(OTHER, &others, |_| 1.0)?;
            Some(Earlier::SwappedTransistors(driver, other))
        }
        Element::Primary(part)
        | Element::Secondary(part)
        | Element::CoilInsulation(part)
        | Element::LeadConductor(part)
        | Element::Insulator(part)
        | Element::PlugResistor(part) => {
            let part_kind = harness.parts.get(&part).map(|part| &part.kind)?;
            let replaced = matches!(
                part_kind,
                PartKind::Coil(_) | PartKind::Lead(_) | PartKind::Plug(_)
            );
            replaced.then_some(Earlier::BadNewPart(part))
        }
        Element::Driver(_, DriverPiece::Switch)
        | Element::Battery(_)
        | Element::Contact(_)
        | Element::RelayWinding(_)
        | Element::Wire(_)
        | Element::Joint(..)
        | Element::Mated(_)
        | Element::Cavity(..)
        | Element::Trace(..)
        | Element::BoardSupply(_)
        | Element::BoardGround(_)
        | Element::Logic(_)
        | Element::CrankSignal(_)
        | Element::Rotor(_)
        | Element::Cap(_)
        | Element::LeadInsulation(_)
        | Element::Gap(_)
        | Element::InjectorWinding(_)
        | Element::Cylinder(_) => None,
    }
}

/// The same fault with a severity of its own beside that of the grid.
fn between(fault: Fault, luck: Luck) -> Fault {
    let times = (defaults::SEVERITY * luck.normal(0).clamp(-2.0, 2.0)).exp();
    let mode = fault.mode.scaled(times);
    Fault { mode, ..fault }
}
