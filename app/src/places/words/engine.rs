//! Words of the questions about an own engine.

use sparktrail_core::edit::layouts::{Arrangement, DriversIn, OrderError, PlanError};
use sparktrail_core::engine::CylinderId;
use sparktrail_core::model::Harness;

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
pub const BACK: &str = "Back";
/// The heading.
pub const HEADING: &str = "My engine";
/// How to answer.
pub const LEAD: &str = "Change what is different on your car and leave the rest. The map marks every answer as assumed until you have checked it.";
/// The count.
pub const CYLINDERS: &str = "How many cylinders?";
/// Counts without a button.
pub const OTHER_COUNT: &str = "Another number";
/// Those counts; the first entry stands while none of them holds.
pub const OTHER_COUNTS: &[&str] = &["other", "7", "9", "11", "13", "14", "15", "16"];
/// The shape.
pub const STAND: &str = "How do they stand?";
/// The order.
pub const ORDER: &str = "Firing order";
/// Nobody has said another one.
pub const ORDER_PROPOSED: &str =
    "Proposed: a usual one for such an engine. It is often cast or stuck on the engine.";
/// The coils.
pub const COILS: &str = "How are the coils arranged?";
/// The drivers.
pub const DRIVERS: &str = "Where are the drivers?";
/// What they are.
pub const DRIVERS_HINT: &str = "A driver is the transistor that switches a coil.";
/// The dead.
pub const DEAD: &str = "Which cylinders are dead?";
/// How to say it.
pub const DEAD_HINT: &str = "The front of the engine is at the left.";
/// Nothing was said.
pub const NOT_SURE: &str = "Not sure yet? Leave them: you can say it later.";
/// Of those that were not marked.
pub const OTHERS_WORK: &str = "The others work";
/// The button.
pub const DRAW: &str = "Draw the map";
/// Over the drawing.
pub const PREVIEW: &str = "So far";
/// The folded questions.
pub const MORE: &str = "Name, packs, plugs, uneven firing and more";
/// The map's name.
pub const NAME: &str = "What you call the car";
/// How coils are housed, and the answers.
pub const HOUSING: (&str, &[&str]) = (
    "Coil packs",
    &[
        "Each coil by itself",
        "All coils in one pack",
        "Packs of two coils",
        "Packs of three coils",
        "A pack on each row, for its own row",
        "A pack on each row, for the opposite row",
    ],
);
/// Plugs, and the answers.
pub const PLUGS: (&str, &[&str]) = (
    "Plugs in each cylinder",
    &[
        "One",
        "Two, with a second set of coils",
        "Two, both on the cylinder’s coil",
    ],
);
/// The supply, and the answers.
pub const SUPPLY: (&str, &[&str]) = (
    "What switches the coils’ supply",
    &["A relay", "The key itself"],
);
/// In-line connectors, and the answers.
pub const INLINE: (&str, &[&str]) = (
    "In-line connectors to the coils",
    &["None", "One for the engine", "One for each row"],
);
/// Injectors, and the answers.
pub const INJECTORS: (&str, &[&str]) = ("Injectors", &["Not on the map", "On the map"]);
/// Strokes, and the answers.
pub const STROKES: (&str, &[&str]) = ("Working cycle", &["Four-stroke", "Two-stroke"]);
/// Numbers of two rows, and the answers.
pub const NUMBERING: (&str, &[&str]) = (
    "How the rows are numbered",
    &["One row, then the other", "Odd left, even right"],
);
/// Even or not, and the answers.
pub const STEPS: (&str, &[&str]) = ("It fires", &["At even steps", "Unevenly (odd-fire)"]);
/// Between the rows.
pub const BANK_ANGLE: &str = "Angle between the rows, °";
/// Angles of an uneven engine.
pub const ANGLES: &str = "Crank angle at which each fires, °";
/// How to count them.
pub const ANGLES_HINT: &str = "From the first one on, rising, over the whole cycle: 720° of a four-stroke, 360° of a two-stroke. Proposed from the shape of the engine.";

/// The label of a crank angle.
#[must_use]
pub fn fires_at(cylinder: CylinderId) -> String {
    format!("Cylinder {cylinder}")
}

/// A shape.
#[must_use]
pub const fn stand(stand: Stand) -> &'static str {
    match stand {
        Stand::Inline => "In line",
        Stand::Vee => "Vee",
        Stand::Flat => "Flat",
    }
}

/// A name for an engine that has none.
#[must_use]
pub fn title(stand: Stand, cylinders: u8) -> String {
    match (stand, cylinders) {
        (_, 1) => "My single".into(),
        (Stand::Inline, n) => format!("My inline {n}"),
        (Stand::Vee, n) => format!("My V{n}"),
        (Stand::Flat, n) => format!("My flat {n}"),
    }
}

/// How coils are arranged.
#[must_use]
pub const fn arrangement(arrangement: Arrangement) -> &'static str {
    match arrangement {
        Arrangement::Pairs => "One coil for each two cylinders",
        Arrangement::OneEach => "One coil on each cylinder",
        Arrangement::Distributor => "One coil and a distributor",
        Arrangement::TwoDistributors => "Two coils and two distributors",
    }
}

/// How one knows it.
#[must_use]
pub const fn arrangement_hint(arrangement: Arrangement) -> &'static str {
    match arrangement {
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
    }
}

/// Why an arrangement cannot be chosen.
#[must_use]
pub fn not_for_this_engine(error: &PlanError) -> String {
    format!("Not on this engine: {error}.")
}

/// Where drivers are.
#[must_use]
pub const fn drivers(drivers: DriversIn) -> &'static str {
    match drivers {
        DriversIn::Unit => "In the control unit",
        DriversIn::Module => "In a module of their own",
        DriversIn::Coil => "Inside each coil",
    }
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
    pub const fn word(self) -> &'static str {
        match self {
            Self::Dead => "dead",
            Self::Works => "works",
            Self::Nothing => "?",
        }
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
    format!("Cylinder {cylinder} is dead")
}

/// Why no map can be drawn, and what to do.
#[must_use]
pub fn refusal(refusal: &Refusal) -> String {
    match refusal {
        Refusal::Order(error) => sentence(&error.to_string()),
        Refusal::BankAngle => {
            "The angle between the rows must be a number above 0 and up to 180.".into()
        }
        Refusal::Angle(place) => format!(
            "Crank angle {} does not fit: the first is 0, each is larger than the one before, and all lie within the cycle.",
            place + 1
        ),
        Refusal::Plan(error) => sentence(&error.to_string()),
    }
}

fn sentence(message: &str) -> String {
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
        "1 coil".to_owned()
    } else {
        format!("{coils} coils")
    };
    format!("{cylinders}, {coils}, {} wires", map.wires.len())
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
