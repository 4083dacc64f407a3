//! What could be wrong, how sure one can be, and what to learn next.
//!
//! The generic part knows nothing of harnesses: [`Suspects`] with priors and units of repair, a
//! [`Table`] of P(outcome | suspect), exact [`Belief`], [`information`] per test, cost with access
//! paid once ([`rank`]), repair order, and the exact optimal tree to measure all that against.
//! On it stands the [`Case`] of a harness: its causes, what its findings say, why, and what to do next.
//!
//! ```
//! use sparktrail_core::isolation::{Belief, Suspects, Table, information};
//!
//! // A wire that is open (unit 0) or a coil that is open or shorted (unit 1).
//! let suspects = Suspects::new(&[(0.5, 0), (0.25, 1), (0.25, 1)])?;
//! let mut table = Table::new(suspects);
//! // Continuity of the wire: good, or none.
//! let test = table.add_test(&[vec![0.0, 1.0, 1.0], vec![1.0, 0.0, 0.0]])?;
//! let before = Belief::prior(table.suspects());
//! assert!((information(&table, &before)[test.0] - 1.0).abs() < 1e-6);
//! // It was good: the wire is cleared.
//! let after = Belief::of(table.suspects(), &[table.row(test, 0)?])?;
//! assert!(after.unit(0) < 1e-12 && (after.unit(1) - 1.0).abs() < 1e-12);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod belief;
mod building;
mod case;
mod catalogue;
mod cause;
mod choose;
mod codes;
pub mod conflicts;
pub mod defaults;
pub mod exact;
mod explain;
mod forecast;
mod hitting;
mod information;
mod kept;
mod kit;
mod likelihood;
mod loose;
mod meter;
mod near;
mod next;
mod pairs;
mod pulses;
mod question;
mod readings;
mod repair;
mod rollout;
mod said;
pub mod searches;
mod showing;
mod siblings;
mod spread;
mod stop;
mod suspects;
mod table;
mod touch;
pub mod trials;
mod trouble;
mod typed;
mod unit;

pub use belief::{Belief, NothingFits, away, blend_unknown, repeated};
pub use building::Building;
pub use case::{Assessment, Case, CaseError, Contradiction, Evidence};
pub use catalogue::{Access, Act, Catalogue};
pub use cause::{Cause, Doubt, faults, kind_of};
pub use choose::{AccessSet, Acts, Choice, Cost, rank};
pub use codes::{CodeMeaning, meaning};
pub use explain::{Cleared, Explained, Explanation, Factor};
pub use forecast::{Fate, Flash, Pulse, Reading, Showing};
pub use hitting::{Family, minimal_hitting_sets};
pub use information::{entropy, expected_unit_entropy, information};
pub use kit::{Kit, Needs, Tool};
pub use loose::{Loose, control_of};
pub use next::{Outcome, Plan, Proposal};
pub use pairs::{Pair, PairSearch, Progress};
pub use question::{Answer, Probes, Question};
pub use repair::{LastSuspect, Repair, RepairList, expected_cost, plain_order, repair_order};
pub use said::shows_now;
pub use siblings::siblings;
pub use stop::{ISOLATED, MOST_TESTS, Stop};
pub use suspects::{Suspects, SuspectsError};
pub use table::{Table, TableError, TestIndex};
pub use trouble::{Trouble, Why};
pub use typed::Mistyped;
pub use unit::Unit;
