//! Words of the questions about an own engine.

use crate::text::{Text, plain, text};
use sparktrail_core::edit::layouts::{Arrangement, DriversIn, OrderError, PlanError};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::Harness;
use sparktrail_core::said::{said, say};

/// How the cylinders stand, as far as the first question goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// In one row.
    Inline,
    /// In two rows at an angle.
    Vee,
    /// In two rows that face away from each other.
    Flat,
}

/// Why the answers make no map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refusal {
    /// The typed firing order is none.
    Order(OrderError),
    /// The typed angle between the rows is none.
    BankAngle,
    /// The crank angle in this place of the order, from 0, does not follow the one before it.
    Angle(usize),
    /// One answer does not fit the others.
    Plan(PlanError),
}

/// Back to the first screen.
pub const BACK: Text = text("Back");
/// The heading.
pub const HEADING: Text = text("My engine");
/// How to answer.
pub const LEAD: Text = text(
    "Change what is different on your car and leave the rest. The map marks every answer as assumed until you have checked it.",
);
/// Takes every answer back.
pub const CLEAR: Text = text("Clear all answers");
/// The count.
pub const CYLINDERS: Text = text("How many cylinders?");
/// Counts without a button.
pub const OTHER_COUNT: Text = text("Another number");
/// Those counts; the first entry stands while none of them holds.
pub const OTHER_COUNTS: &[Text] = &[
    text("other"),
    plain("7"),
    plain("9"),
    plain("11"),
    plain("13"),
    plain("14"),
    plain("15"),
    plain("16"),
];
/// The shape.
pub const STAND: Text = text("How do they stand?");
/// The order.
pub const ORDER: Text = text("Firing order");
/// Nobody has said another one.
pub const ORDER_PROPOSED: Text =
    text("Proposed: a usual one for such an engine. It is often cast or stuck on the engine.");
/// The coils.
pub const COILS: Text = text("How are the coils arranged?");
/// The drivers.
pub const DRIVERS: Text = text("Where are the drivers?");
/// What they are.
pub const DRIVERS_HINT: Text = text("A driver is the transistor that switches a coil.");
/// The dead.
pub const DEAD: Text = text("Which cylinders are dead?");
/// How to say it.
pub const DEAD_HINT: Text = text("The front of the engine is at the left.");
/// Nothing was said.
pub const NOT_SURE: Text = text("Not sure yet? Leave them: you can say it later.");
/// Of those that were not marked.
pub const OTHERS_WORK: Text = text("The others work");
/// The button.
pub const DRAW: Text = text("Draw the map");
/// Over the drawing.
pub const PREVIEW: Text = text("So far");
/// The folded questions.
pub const MORE: Text = text("Name, packs, plugs, uneven firing and more");
/// The map's name.
pub const NAME: Text = text("What you call the car");
/// How coils are housed, and the answers.
pub const HOUSING: (Text, &[Text]) = (
    text("Coil packs"),
    &[
        text("Each coil by itself"),
        text("All coils in one pack"),
        text("Packs of two coils"),
        text("Packs of three coils"),
        text("A pack on each row, for its own row"),
        text("A pack on each row, for the opposite row"),
    ],
);
/// Plugs, and the answers.
pub const PLUGS: (Text, &[Text]) = (
    text("Plugs in each cylinder"),
    &[
        text("One"),
        text("Two, with a second set of coils"),
        text("Two, both on the cylinder’s coil"),
    ],
);
/// The supply, and the answers.
pub const SUPPLY: (Text, &[Text]) = (
    text("What switches the coils’ supply"),
    &[text("A relay"), text("The key itself")],
);
/// In-line connectors, and the answers.
pub const INLINE: (Text, &[Text]) = (
    text("In-line connectors to the coils"),
    &[
        text("None"),
        text("One for the engine"),
        text("One for each row"),
    ],
);
/// Injectors, and the answers.
pub const INJECTORS: (Text, &[Text]) = (
    text("Injectors"),
    &[text("Not on the map"), text("On the map")],
);
/// Strokes, and the answers.
pub const STROKES: (Text, &[Text]) = (
    text("Working cycle"),
    &[text("Four-stroke"), text("Two-stroke")],
);
/// Numbers of two rows, and the answers.
pub const NUMBERING: (Text, &[Text]) = (
    text("How the rows are numbered"),
    &[
        text("One row, then the other"),
        text("Odd left, even right"),
    ],
);
/// Even or not, and the answers.
pub const STEPS: (Text, &[Text]) = (
    text("It fires"),
    &[text("At even steps"), text("Unevenly (odd-fire)")],
);
/// Between the rows.
pub const BANK_ANGLE: Text = text("Angle between the rows, °");
/// Angles of an uneven engine.
pub const ANGLES: Text = text("Crank angle at which each fires, °");
/// How to count them.
pub const ANGLES_HINT: Text = text(
    "From the first one on, rising, over the whole cycle: 720° of a four-stroke, 360° of a two-stroke. Proposed from the shape of the engine.",
);

/// The label of a crank angle.
#[must_use]
pub fn fires_at(cylinder: CylinderId) -> String {
    say!("Cylinder {cylinder}")
}

/// A shape.
#[must_use]
pub fn stand(stand: Stand) -> &'static str {
    said(match stand {
        Stand::Inline => "In line",
        Stand::Vee => "Vee",
        Stand::Flat => "Flat",
    })
}

/// A name for an engine that has none.
#[must_use]
pub fn title(stand: Stand, cylinders: u8) -> String {
    match (stand, cylinders) {
        (_, 1) => say!("My single"),
        (Stand::Inline, n) => say!("My inline {n}"),
        (Stand::Vee, n) => say!("My V{n}"),
        (Stand::Flat, n) => say!("My flat {n}"),
    }
}

/// How coils are arranged.
#[must_use]
pub fn arrangement(arrangement: Arrangement) -> &'static str {
    said(match arrangement {
        Arrangement::Pairs => "One coil for each two cylinders",
        Arrangement::OneEach => "One coil on each cylinder",
        Arrangement::Distributor => "One coil and a distributor",
        Arrangement::TwoDistributors => "Two coils and two distributors",
    })
}

/// How one knows it.
#[must_use]
pub fn arrangement_hint(arrangement: Arrangement) -> &'static str {
    said(match arrangement {
        Arrangement::Pairs => {
            "Double-ended: two leads leave each coil, and both plugs spark at once."
        }
        Arrangement::OneEach => "On the plug or beside it, each with its own plug connector.",
        Arrangement::Distributor => {
            "One lead from the coil to a cap, and one from the cap to each plug."
        }
        Arrangement::TwoDistributors => {
            "Each with its own coil, for every second cylinder that fires."
        }
    })
}

/// Why an arrangement cannot be chosen.
#[must_use]
pub fn not_for_this_engine(error: &PlanError) -> String {
    say!("Not on this engine: {error}.")
}

/// Where drivers are.
#[must_use]
pub fn drivers(drivers: DriversIn) -> &'static str {
    said(match drivers {
        DriversIn::Unit => "In the control unit",
        DriversIn::Module => "In a module of their own",
        DriversIn::Coil => "Inside each coil",
    })
}

/// What is said of a cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// That it is dead.
    Dead,
    /// That it works.
    Works,
    /// Nothing.
    Nothing,
}

impl Said {
    /// The word on its button.
    #[must_use]
    pub fn word(self) -> &'static str {
        said(match self {
            Self::Dead => "dead",
            Self::Works => "works",
            Self::Nothing => "?",
        })
    }

    /// A word for attributes.
    #[must_use]
    pub const fn state(self) -> &'static str {
        match self {
            Self::Dead => "dead",
            Self::Works => "works",
            Self::Nothing => "unknown",
        }
    }
}

/// The name of a cylinder's button for readers, which also say whether it is pressed.
#[must_use]
pub fn is_dead(cylinder: CylinderId) -> String {
    say!("Cylinder {cylinder} is dead")
}

/// Why no map can be drawn, and what to do.
#[must_use]
pub fn refusal(refusal: &Refusal) -> String {
    match refusal {
        Refusal::Order(error) => sentence(&error.to_string()),
        Refusal::BankAngle => {
            say!("The angle between the rows must be a number above 0 and up to 180.")
        }
        Refusal::Angle(place) => say!(
            "Crank angle {} does not fit: the first is 0, each is larger than the one before, and all lie within the cycle.",
            place + 1
        ),
        Refusal::Plan(error) => sentence(&error.to_string()),
    }
}

/// A message of the core as a sentence.
pub(super) fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let first = letters.next().map(char::to_uppercase);
    let first: String = first.into_iter().flatten().collect();
    format!("{first}{}.", letters.as_str())
}

/// What will be drawn.
#[must_use]
pub fn summary(map: &Harness) -> String {
    let coils = map
        .parts
        .keys()
        .filter(|id| map.coil(**id).is_some())
        .count();
    let cylinders = super::start::cylinders(map.engine.cylinders().len());
    let coils = if coils == 1 {
        say!("1 coil")
    } else {
        say!("{coils} coils")
    };
    say!("{cylinders}, {coils}, {} wires", map.wires.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_refusal_is_a_sentence() {
        let refusals = [
            Refusal::BankAngle,
            Refusal::Angle(2),
            Refusal::Plan(PlanError::EmptyPack),
            Refusal::Plan(PlanError::NoCompanion {
                alone: vec![CylinderId(3)],
            }),
        ];
        for one in refusals {
            let words = refusal(&one);
            assert!(
                words.ends_with('.') && words.starts_with(char::is_uppercase),
                "{words}"
            );
        }
    }
}
