//! What should be read on a harness in a setup: potentials, averages, resistances, sparks.

mod alteration;
mod base_coil;
mod branches;
mod breakdown;
mod build;
mod circuit;
mod coil;
mod coil_run;
mod desk;
mod ends;
mod energised;
mod graph;
mod islands;
#[cfg(test)]
mod lookalikes;
pub mod nominal;
mod ohms;
mod operating_point;
mod oracle;
mod potential;
mod reach;
mod region;
mod secondary;
mod settle;
#[cfg(test)]
mod signature;
mod solution;
mod spark;
mod sparse;
mod spice;
mod switched;
#[cfg(test)]
mod tests;
mod update;

pub use alteration::{Alteration, Edit, HighFault, HighPlace, Silence, Switching};
pub use base_coil::BaseCoil;
pub use breakdown::{Charge, needed_kilovolts, paschen_volts, uniform_field_kilovolts};
pub use circuit::{Assumptions, Circuit, wire_resistance};
pub use coil::{current_after, energy, time_to};
pub use coil_run::CoilRun;
pub use desk::{Answer, Desk, Tally};
pub use graph::{NoNode, graph_ohms};
pub use ohms::{Ohmmeter, resistances};
pub use operating_point::OperatingPoint;
pub use oracle::{Oracle, Solver};
pub use potential::Potential;
pub use reach::{Reach, Way};
pub use region::Region;
pub use solution::{Measure, Reading, ReadingError, Solution, Step};
pub use spark::{Demand, Discharge, Moment, PlugSpark, SparkEvent, SparkReason, SparkState};
