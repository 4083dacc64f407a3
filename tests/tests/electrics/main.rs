//! The electrics against the outside: ngspice, networkx and scipy.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod cases;
mod cycles;
mod operating_points;
mod resistances;
mod secondaries;
mod transients;
