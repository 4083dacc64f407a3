//! The harness as plain data: parts, terminals, wires, findings, each fact with how it is known.

mod apart;
mod case_state;
mod check;
mod element;
mod face;
mod fact;
pub mod file;
mod finding;
mod harness;
mod ids;
mod part;
pub mod random;
mod setup;
mod strand;
mod terminal;
mod wire;

pub use apart::apart;
pub use case_state::CaseState;
pub use check::{
    Basis, MapFinding, Missing, Named, Quantity, Range, Severity, Spot, check, check_record,
    check_wiring,
};
pub use element::{DriverPiece, Element};
pub use face::{Corner, Face, Run};
pub(crate) use fact::Fit;
pub use fact::{FactAt, FactOwner, FactValue, Rival};
pub use finding::{
    CaseStep, CompressionResult, Effect, FaultThen, Finding, Glow, Look, OhmReading, Seen, Spark,
    Standing, Stored, StressKind, Substitute, SwapOutcome, SwapPair, Timestamp, WorkEntry, Works,
    cylinders_said,
};
pub use harness::Harness;
pub use ids::{CavityId, DriverId, FindingId, PartId, PinId, WireId, WorkId};
pub use part::{
    Age, Battery, Cavity, Coil, Condition, Connector, ControlUnit, Distributor, DrawnAt, Driver,
    Exposure, Fuse, GroundSite, Injector, Lead, LeadKind, Part, PartKind, Pin, PinRole, Place,
    Plug, Relay, Secondary, UnitRole,
};
pub use setup::{BatteryLink, EngineState, Key, Setup};
pub(crate) use strand::{Strand, across, ends_at, other};
pub use terminal::{Hold, Port, Side, Terminal};
pub use wire::{Colour, Wire, WireColour, WireEnd, WireSize};
