//! Starting layouts: a few answers about an engine become a whole map, every fact of it assumed.
//!
//! ```
//! use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! use sparktrail_core::engine::{Layout, Strokes};
//!
//! let four = propose_engine(4, Layout::Inline, Strokes::Four);
//! let harness = build(&Plan::new("Blue estate", four))?;
//! assert_eq!(harness.drivers().count(), 2);
//! # Ok::<(), sparktrail_core::edit::layouts::PlanError>(())
//! ```

use crate::said::say;
mod builder;
mod looks;
mod order;
mod sparks;
#[cfg(test)]
mod tests;
mod uneven;
mod written;

use crate::engine::{CylinderId, Engine, Firing, MOST_CYLINDERS};
use crate::model::Harness;

use builder::Builder;

pub use order::{Numbering, propose_engine, propose_numbering, propose_order, rows};
pub use uneven::{propose_bank_angle, propose_uneven};
pub use written::{AngleError, OrderError, read_angles, read_order, write_angles, write_order};

/// What the owner knows of an engine before looking closely.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What the owner calls the car.
    pub title: String,
    /// The engine.
    pub engine: Engine,
    /// How the coils are arranged.
    pub arrangement: Arrangement,
    /// Where the drivers are.
    pub drivers: DriversIn,
    /// How the coils are housed.
    pub housing: Housing,
    /// Plugs in each cylinder.
    pub plugs: PlugsEach,
    /// What switches the coils' supply.
    pub supply: SupplyBy,
    /// Connectors between the control unit and the coils.
    pub inline: Inline,
    /// Whether the injectors are on the map.
    pub injectors: Injectors,
}

impl Plan {
    /// A plan with the usual answers: double-ended coils where every cylinder has a companion, else
    /// one coil a cylinder; drivers in the control unit; a relay; no in-line connector; no injectors.
    #[must_use]
    pub fn new(title: impl Into<String>, engine: Engine) -> Self {
        let arrangement = match sparks::pairs(&engine) {
            Ok(_) => Arrangement::Pairs,
            Err(_) => Arrangement::OneEach,
        };
        Self {
            title: title.into(),
            engine,
            arrangement,
            drivers: DriversIn::Unit,
            housing: Housing::Single,
            plugs: PlugsEach::One,
            supply: SupplyBy::Relay,
            inline: Inline::None,
            injectors: Injectors::Left,
        }
    }
}

/// How the coils are arranged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Arrangement {
    /// One double-ended coil for each pair of companions.
    Pairs,
    /// One coil a cylinder.
    OneEach,
    /// One coil and a distributor.
    Distributor,
    /// Two coils and two distributors, each for every second cylinder of the firing order.
    TwoDistributors,
}

/// Where the drivers are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DriversIn {
    /// In the control unit.
    Unit,
    /// In a module of their own.
    Module,
    /// Inside each coil.
    Coil,
}

/// How the coils are housed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Housing {
    /// Each by itself.
    Single,
    /// In packs: that many coils share a housing, a plug and a feed splice.
    Packs(u8),
    /// In one pack on each of two rows.
    RowPacks(Feeds),
}

/// Which cylinders a pack on a row feeds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Feeds {
    /// Those of the row on which it stands.
    OwnRow,
    /// Those of the opposite row: its leads cross over, its plug and supply stay.
    OppositeRow,
}

/// Plugs in each cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PlugsEach {
    /// One.
    One,
    /// Two, each set with coils of its own.
    Two,
    /// Two, both on the one double-ended coil of the cylinder.
    TwoOnOneCoil,
}

/// What switches the coils' supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SupplyBy {
    /// A relay that the key pulls in.
    Relay,
    /// The key itself.
    Key,
}

/// Connectors between the control unit and the coils.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Inline {
    /// None.
    None,
    /// One for the whole engine.
    One,
    /// One for each row of cylinders.
    PerBank,
}

/// Whether the injectors are on the map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Injectors {
    /// Left out.
    Left,
    /// Drawn.
    Drawn,
}

/// Why a plan cannot be built.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// The engine has no cylinder, or too many.
    #[error("{}", say!("an engine has 1 to {MOST_CYLINDERS} cylinders, this one has {found}"))]
    Cylinders {
        /// How many it has.
        found: usize,
    },
    /// The firing order is no permutation of the cylinders.
    #[error("{}", say!("the firing order must name each cylinder once; it has {order} entries for {cylinders} cylinders, or names one twice"))]
    Order {
        /// Entries of the order.
        order: usize,
        /// Cylinders of the engine.
        cylinders: usize,
    },
    /// The crank angles do not go with the firing order.
    #[error("{}", say!("the firing order has {order} entries and needs as many crank angles, there are {angles}"))]
    Angles {
        /// Entries of the order.
        order: usize,
        /// Crank angles given.
        angles: usize,
    },
    /// Cylinders whose pistons are at the top alone.
    #[error("{}", say!("no double-ended coil can serve {}: no other piston is at the top at the same time; one coil a cylinder or a distributor will do", named(.alone)))]
    NoCompanion {
        /// Those cylinders.
        alone: Vec<CylinderId>,
    },
    /// A distributor needs cylinders to choose between.
    #[error("{}", say!("{distributors} distributors cannot share out {cylinders} cylinders evenly among towers"))]
    NothingToDistribute {
        /// Distributors asked for.
        distributors: usize,
        /// Cylinders of the engine.
        cylinders: usize,
    },
    /// A pack without coils.
    #[error("{}", say!("a pack holds at least two coils"))]
    EmptyPack,
    /// A pack on each row needs two rows.
    #[error("{}", say!("a pack on each row needs two rows of cylinders, this engine has {rows}"))]
    RowsForPacks {
        /// Rows of the engine.
        rows: usize,
    },
    /// A coil that feeds both rows belongs to the pack of neither.
    #[error("{}", say!("a pack on each row needs coils that keep to one row, and the coil of cylinders {} feeds both; choose coils by themselves or all in one pack", list(.cylinders)))]
    AcrossRows {
        /// The cylinders of the first such coil.
        cylinders: Vec<CylinderId>,
    },
    /// Both plugs of a cylinder on one coil need a coil for each cylinder.
    #[error("{}", say!("both plugs of a cylinder can share a coil only where each cylinder has a coil of its own; choose one coil on each cylinder, or a second set of coils"))]
    BothPlugsOneCoil,
}

/// "cylinder 3", "cylinders 1, 2, 3".
fn named(cylinders: &[CylinderId]) -> String {
    if let [one] = cylinders {
        say!("cylinder {one}")
    } else {
        say!("cylinders {}", list(cylinders))
    }
}

fn list(cylinders: &[CylinderId]) -> String {
    let numbers: Vec<String> = cylinders.iter().map(ToString::to_string).collect();
    numbers.join(", ")
}

/// The whole map that a plan describes: supply, grounds, control unit, coils, leads and plugs, with
/// colours, sizes and values that are plausible inventions. Every fact is assumed.
///
/// # Errors
/// [`PlanError`] says which answer does not fit the others.
pub fn build(plan: &Plan) -> Result<Harness, PlanError> {
    check(plan)?;
    let jobs = sparks::jobs(plan)?;
    let mut builder = Builder::new(plan);
    for job in &jobs {
        builder.coil_for(job);
    }
    if plan.injectors == Injectors::Drawn {
        builder.injectors();
    }
    Ok(builder.finish())
}

fn check(plan: &Plan) -> Result<(), PlanError> {
    let engine = &plan.engine;
    let cylinders = engine.cylinders();
    if cylinders.is_empty() || cylinders.len() > usize::from(MOST_CYLINDERS) {
        return Err(PlanError::Cylinders {
            found: cylinders.len(),
        });
    }
    let mut order = engine.order.value.clone();
    order.sort_unstable();
    if order != cylinders {
        return Err(PlanError::Order {
            order: order.len(),
            cylinders: cylinders.len(),
        });
    }
    match &engine.firing.value {
        Firing::At(angles) if angles.len() != order.len() => Err(PlanError::Angles {
            order: order.len(),
            angles: angles.len(),
        }),
        Firing::At(_) | Firing::Even => Ok(()),
    }
}
