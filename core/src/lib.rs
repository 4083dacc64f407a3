//! Core of Sparktrail.
