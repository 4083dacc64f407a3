//! Placeholder until written.
