//! Shared helpers of the outside checks and browser runs.
