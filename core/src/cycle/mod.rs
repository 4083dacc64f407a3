//! One working cycle of an engine on its harness: strokes, dwell, sparks, the way of the current, and what
//! dwell, supply, speed and resistance make of them.
//!
//! ```
//! use sparktrail_core::cycle::{Cycle, Dials};
//! use sparktrail_core::edit::layouts::{Plan, build, propose_engine};
//! use sparktrail_core::engine::{Layout, Strokes};
//!
//! let four = propose_engine(4, Layout::Inline, Strokes::Four);
//! let harness = build(&Plan::new("Blue estate", four))?;
//! let cycle = Cycle::of(&harness, &Dials::of(&harness), None);
//! // Two double-ended coils, each sparking twice in a cycle at two plugs.
//! assert!(cycle.coils.iter().all(|coil| coil.firings.len() == 2));
//! # Ok::<(), sparktrail_core::edit::layouts::PlanError>(())
//! ```

mod change;
mod coils;
mod dials;
mod figures;
mod limits;
mod path;
mod strokes;

use std::sync::Arc;

use crate::electrics::{Alteration, Assumptions, Circuit, Demand, Solution};
use crate::engine::CylinderId;
use crate::faults::{Fault, alteration};
use crate::model::{EngineState, Harness, PartId, Setup};
use crate::units::{Degrees, Rpm};

pub use change::{CoilChange, SparkChange, coil_changes, spark_changes};
pub use coils::{CoilRow, Dwell, Firing, PlugEnd, Polarity, SPARKS_TOGETHER};
pub use dials::{Dials, Range};
pub use figures::{Figure, FigureKind, Given};
pub use limits::{Limits, MOST_SPEED};
pub use path::{Leg, SecondaryPath};
pub use strokes::{CylinderRow, Span};

/// One working cycle: 720° of the crank, 360° of a two-stroke.
#[derive(Debug, Clone)]
pub struct Cycle {
    /// Its length.
    pub length: Degrees,
    /// The speed of the crank.
    pub speed: Rpm,
    /// Every cylinder of the firing order, in that order.
    pub cylinders: Vec<CylinderRow>,
    /// Every coil, in rising order.
    pub coils: Vec<CoilRow>,
    dials: Dials,
    /// The harness as the dials have it.
    harness: Arc<Harness>,
    solution: Solution,
}

impl Cycle {
    /// The cycle of a harness at these dials, with a fault or healthy.
    ///
    /// An unfinished map gives what it shows: a coil without plugs has no firings, a cylinder that the
    /// firing order leaves out has no row.
    ///
    /// # Source
    /// Crank geometry for strokes and angles; the electrics' closed-form coil current and spark verdicts
    /// for all else.
    #[must_use]
    pub fn of(harness: &Harness, dials: &Dials, fault: Option<Fault>) -> Self {
        let harness = Arc::new(dials.applied(harness));
        let assumptions = Assumptions {
            dwell: dials.dwell,
            ..Assumptions::default()
        };
        let circuit = Arc::new(Circuit::of(&harness, &assumptions));
        let change = fault.map_or_else(Alteration::default, |fault| {
            alteration(&harness, &circuit, fault)
        });
        let setup = Setup {
            engine: EngineState::Running(dials.speed),
            ..Setup::key_on()
        };
        let solution = Solution::of(&circuit, &setup, &change);
        Self {
            length: harness.engine.cycle(),
            speed: dials.speed,
            cylinders: strokes::rows(&harness.engine),
            coils: coils::rows(&harness, &solution, dials),
            dials: *dials,
            harness,
            solution,
        }
    }

    /// The dials that it was made with.
    #[must_use]
    pub const fn dials(&self) -> &Dials {
        &self.dials
    }

    /// What the gaps need at these dials.
    #[must_use]
    pub const fn demand(&self) -> Demand {
        Demand::ByGap(self.dials.load)
    }

    /// A coil's row.
    #[must_use]
    pub fn coil(&self, coil: PartId) -> Option<&CoilRow> {
        self.coils.iter().find(|row| row.coil == coil)
    }

    /// The coils that spark at a cylinder's plugs, rising.
    pub fn coils_of(&self, cylinder: CylinderId) -> impl Iterator<Item = &CoilRow> {
        self.coils.iter().filter(move |row| {
            let mut ends = row.firings.iter().flat_map(|firing| &firing.ends);
            ends.any(|end| end.cylinder == Some(cylinder))
        })
    }

    /// The harness as the dials have it.
    #[must_use]
    pub fn harness(&self) -> &Harness {
        &self.harness
    }
}
